"""Pairs: the same recipe written otherwise gets the same findings, each at a place in its own file."""

from __future__ import annotations

import random
from typing import Any

import pytest
from kit_rewrite import in_flow, quoted, remarked, shuffled, to_milligrams
from kit_rules import CASES, as_json, at_pointer, cases, text_of

from felt_engine.api import Engine
from felt_engine.checking.report import Report

TABLES = sorted(path.name for path in CASES.glob("*.yaml") if path.name != "shelf.yaml")
ENGINE = Engine()


def told(report: Report, without: tuple[str, ...] = ()) -> Any:
    """All that the rules said, but for where it stands in the file."""
    assert not report.problems and not report.not_judged, (report.problems, report.not_judged)
    return (
        sorted((f.rule, f.level, f.message, f.do, f.waived is None) for f in report.findings
               if f.rule not in without),
        sorted((u.rule, u.text) for u in report.unsaid if u.rule not in without),
    )  # fmt: skip


@pytest.mark.parametrize("table", TABLES)
def test_the_same_recipe_written_otherwise_is_judged_alike(table: str) -> None:
    chance = random.Random(table)
    for case in cases(table):
        recipe = case.recipe
        plain = told(ENGINE.check(text_of(recipe)))
        for name, text in {
            "order of keys": text_of(shuffled(recipe, chance)),
            "remarks": remarked(text_of(recipe)),
            "quotes": quoted(recipe),
            "flow": in_flow(recipe),
            "JSON": as_json(recipe),
        }.items():
            assert told(ENGINE.check(text)) == plain, (case.name, name)


@pytest.mark.parametrize("table", TABLES)
def test_other_units_of_the_same_amounts_are_judged_alike(table: str) -> None:
    """But for two that ask how a figure was written: its unit, and its last digit (a rounded total)."""
    pairs = 0
    for case in cases(table):
        if "unit-slip" in case.expect:
            continue
        other = to_milligrams(case.recipe)
        pairs += other != case.recipe
        one, two = (ENGINE.check(text_of(r)) for r in (case.recipe, other))
        assert rules_of(one) == rules_of(two), case.name
    assert pairs


def rules_of(report: Report) -> list[tuple[str, str, str]]:
    """Rules, levels and places; messages may quote an amount as it was written."""
    return [
        (f.rule, f.level, f.spot.pointer) for f in report.findings
        if f.rule not in ("unit-slip", "stated-totals")
    ]  # fmt: skip


@pytest.mark.parametrize("table", TABLES)
def test_every_place_of_every_report_is_in_its_file(table: str) -> None:
    places = 0
    for case in cases(table):
        for text in (text_of(case.recipe), as_json(case.recipe) + "\n"):
            report = ENGINE.check(text)
            lines = text.splitlines()
            for one in (*report.findings, *report.unsaid, *report.tips):
                places += 1
                at_pointer(case.recipe, one.spot.pointer)
                assert one.spot.line and one.spot.column, (case.name, one)
                assert one.spot.column <= len(lines[one.spot.line - 1]), (case.name, one)
    assert places
