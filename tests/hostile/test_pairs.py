"""Pairs: the same recipe written otherwise gets the same findings, each at a place in its own file."""

from __future__ import annotations

import json
import random
import re
from typing import Any

import pytest
import yaml
from kit_rules import CASES, Plain, as_json, at_pointer, cases, text_of

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


def shuffled(value: Any, chance: random.Random) -> Any:
    """Keys of a record in another order. Maps by own names keep theirs, which is told in messages."""
    if isinstance(value, list):
        return [shuffled(one, chance) for one in value]
    if not isinstance(value, dict):
        return value
    keys = list(value)
    if not KEPT.isdisjoint(keys):
        chance.shuffle(keys)
    return {
        key: dict(value[key])
        if key in ("lots", "blends", "zones")
        else shuffled(value[key], chance)
        for key in keys
    }


KEPT = frozenset(("piece", "title", "name", "of", "amount", "do", "what", "rule", "per"))


def remarked(text: str) -> str:
    """A remark before and behind every line, and other line ends."""
    rows = []
    for row in text.splitlines():
        margin = row[: len(row) - len(row.lstrip())]
        rows += [f"{margin}# é 🧶: - [x", row + "   # - {a: b"]
    return "\r\n".join(rows) + "\r\n"


def quoted(recipe: Plain) -> str:
    """Every key and every text in quotes of one kind."""
    return str(yaml.safe_dump(recipe, sort_keys=False, allow_unicode=True, default_style="'")) \
        if all_texts(recipe) else text_of(recipe)  # fmt: skip


def all_texts(value: Any) -> bool:
    if isinstance(value, dict):
        return all(all_texts(one) for one in value.values())
    return all(map(all_texts, value)) if isinstance(value, list) else isinstance(value, str)


def in_flow(recipe: Plain) -> str:
    return str(
        yaml.safe_dump(
            recipe, sort_keys=False, allow_unicode=True, default_flow_style=True, width=60
        )
    )


def to_milligrams(recipe: Plain) -> Plain:
    """Grams as milligrams and centimetres as millimetres, exactly."""
    text = json.dumps(recipe, ensure_ascii=False)
    for old, new, tens in (("g", "mg", 3), ("cm", "mm", 1)):
        pattern = rf'"(\d+(?:\.\d+)?) {old}"'
        text = re.sub(pattern, lambda m: f'"{moved(m[1], tens)} {new}"', text)  # noqa: B023
    return dict(json.loads(text))


def moved(number: str, tens: int) -> str:
    whole, _, part = number.partition(".")
    part = part.ljust(tens, "0")
    made = whole + part[:tens] + ("." + part[tens:] if part[tens:] else "")
    return made.lstrip("0") or "0"


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
