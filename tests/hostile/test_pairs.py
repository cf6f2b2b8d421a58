"""Pairs: the same recipe written otherwise gets the same findings, each at a place in its own file."""

from __future__ import annotations

import math
import random
import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from kit_rewrite import in_flow, quoted, remarked, shuffled
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


GRAMS = {"mg": Fraction(1, 1000), "kg": Fraction(1000), "oz": Fraction("28.349523125"),
         "lb": Fraction("453.59237")}  # fmt: skip
CENTIMETRES = {
    "mm": Fraction(1, 10),
    "m": Fraction(100),
    "in": Fraction("2.54"),
    "ft": Fraction("30.48"),
}
AREAL = {"kg/m²": Fraction(1000), "oz/yd²": Fraction("28.349523125") / Fraction("0.9144") ** 2,
         "oz/ft²": Fraction("28.349523125") / Fraction("0.3048") ** 2}  # fmt: skip
"""Other units in those that the tables are written in. NIST SP 811 (2008), appendix B."""
EXACT = ("mg", "kg", "mm", "m", "kg/m²")
"""Units in which a figure has the same digits."""
UNITS = [("mg", "mm", "kg/m²"), ("kg", "m", "kg/m²"), ("oz", "in", "oz/yd²"), ("lb", "ft", "oz/ft²"),
         ("oz", "mm", "g/m²"), ("g", "in", "kg/m²")]  # fmt: skip
_N = r"(\d+(?:\.\d+)?)"
_FORMS = (
    (rf"{_N} g", 0), (rf"{_N} cm", 1), (rf"{_N} g/m²", 2), (rf"{_N} x {_N} cm", 1), (rf"{_N} cm across", 1),
    (rf"{_N} cm east, {_N} cm north", 1),
)  # fmt: skip


def in_units(value: Any, units: tuple[str, str, str]) -> Any:
    """A recipe with all plain weights, lengths and weights per area in these units."""
    if isinstance(value, dict):
        return {key: in_units(one, units) for key, one in value.items()}
    if isinstance(value, list):
        return [in_units(one, units) for one in value]
    for form, which in _FORMS:
        if isinstance(value, str) and re.fullmatch(form, value):
            other, own = units[which], ("g", "cm", "g/m²")[which]
            text = re.sub(_N, lambda m: converted(m[1], which, other), value)  # noqa: B023
            return re.sub(rf"(?<=\d) {own}(?= |,|$)", f" {other}", text)
    return value


def converted(number: str, which: int, unit: str) -> str:
    """A figure in another unit: with its own digits where that is exact, else with six decimals."""
    factor = (GRAMS, CENTIMETRES, AREAL)[which].get(unit)
    if factor is None:
        return number
    exact = Fraction(number) / factor
    if unit not in EXACT:
        return f"{float(exact):.6f}"
    tens = round(math.log10(factor))
    places = max(0, len(number.partition(".")[2]) + tens)
    return f"{Decimal(number).scaleb(-tens):.{places}f}"


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


@pytest.mark.parametrize("units", UNITS, ids=" ".join)
@pytest.mark.parametrize("table", TABLES)
def test_other_units_of_the_same_amounts_are_judged_alike(
    table: str, units: tuple[str, str, str]
) -> None:
    """But for what asks how a figure is written: unit-slip; and a total, where the digits are others.

    Six decimals of a pound are half a milligram, too coarse for what lies just at a step of the scale.
    """
    pairs = 0
    without = {"unit-slip"} if set(units) <= set(EXACT) else {"unit-slip", "stated-totals"}
    without |= {"below-scale"} if units[0] == "lb" else set()
    for case in cases(table):
        if "unit-slip" in case.expect:
            continue
        other = in_units(case.recipe, units)
        pairs += other != case.recipe
        one, two = (rules_of(ENGINE.check(text_of(r)), without) for r in (case.recipe, other))
        assert one == two, case.name
    assert pairs


@pytest.mark.parametrize(("number", "which", "unit", "wanted"), [
    ("40", 0, "mg", "40000"), ("40", 0, "kg", "0.040"), ("2.5", 0, "kg", "0.0025"),
    ("1", 0, "oz", "0.035274"),
    ("60", 1, "m", "0.60"), ("60", 1, "mm", "600"), ("2.54", 1, "in", "1.000000"),
    ("120", 2, "kg/m²", "0.120"),
])  # fmt: skip
def test_what_stands_in_other_units_is_the_same(
    number: str, which: int, unit: str, wanted: str
) -> None:
    assert converted(number, which, unit) == wanted


def rules_of(report: Report, without: set[str]) -> list[tuple[str, str, str]]:
    """Rules, levels and places; messages may quote an amount as it was written.

    What is told under a slip of the unit counts as if it stood by itself.
    """
    assert not report.problems and not report.not_judged, (report.problems, report.not_judged)
    found: list[Any] = []
    for one in report.findings:
        found += one.explains if one.rule == "unit-slip" else [one]
    return sorted((f.rule, f.level, f.spot.pointer) for f in found if f.rule not in without)


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
