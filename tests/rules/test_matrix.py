"""Every rule over every recipe of every table; and the table of them all, readable by a felt maker."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from kit_rules import CASES, RULES, Case, cases, report_of, said, shown

TABLES = sorted(path.name for path in CASES.glob("*.yaml") if path.name != "shelf.yaml")
PAGE = CASES / "TABLE.md"
HEAD = """\
# Which recipe must raise what

Each line is a recipe of the tables beside this page: what it is, what the rules must say of it, and
why. A recipe that raises nothing is right. This page is written by a test (`REWRITE_GOLDEN=1`).
"""


def every() -> dict[str, list[Case]]:
    return {name: list(cases(name)) for name in TABLES}


@pytest.mark.parametrize("table", TABLES)
def test_no_rule_finds_anything_in_a_right_recipe(table: str) -> None:
    for case in cases(table):
        if not case.expect:
            report = report_of(case.recipe, case.name)
            found = [f for f in report.findings if f.waived is None and f.rule in RULES]
            assert not found and not report.unsaid, (case.name, shown(report))


@pytest.mark.parametrize("table", TABLES)
def test_each_recipe_raises_what_the_table_says_and_nothing_else(table: str) -> None:
    for case in cases(table):
        if case.expect:
            assert said(case.recipe) == case.expect, case.name


def test_there_are_enough_of_them_and_most_are_right() -> None:
    found = [case for table in every().values() for case in table]
    right = [case for case in found if not case.expect]
    names = [(table, case.name) for table, rows in every().items() for case in rows]
    assert len(found) >= 400 and len(right) >= 0.55 * len(found)
    assert len(names) == len(set(names))


def page() -> str:
    lines = [HEAD]
    for name, rows in every().items():
        lines += ["", f"## {Path(name).stem.capitalize()}", "", "| recipe | the rules say | why |",
                  "|---|---|---|"]  # fmt: skip
        for case in rows:
            verdict = ", ".join(f"{rule}: {what}" for rule, what in sorted(case.expect.items()))
            lines.append(f"| {case.name} | {verdict or 'nothing'} | {case.why} |")
    return "\n".join(lines) + "\n"


def test_the_readable_table_is_up_to_date() -> None:
    if os.environ.get("REWRITE_GOLDEN"):
        PAGE.write_text(page(), encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == page()
