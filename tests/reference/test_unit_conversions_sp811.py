"""Unit factors against the published table of conversion factors, as exact fractions, and pint's.

Source: NIST Special Publication 811 (2008), Guide for the Use of the International System of Units,
appendix B. The figures as printed come from memory, see the table; the fractions follow from the
definitions of the international inch and pound (1 in = 2.54 cm, 1 lb = 0.453 592 37 kg).
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from felt_engine.analysis import say
from felt_engine.reading.quantity import UNITS, parse

TABLE = Path(__file__).parent / "data" / "unit_conversions_sp811.csv"
LINES = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("# ")]
ROWS = list(csv.DictReader(LINES))
OURS = [row for row in ROWS if row["unit"]]
INCH, POUND = Fraction(254, 10_000), Fraction(45_359_237, 100_000_000)
YARD, FOOT = 36 * INCH, 12 * INCH
SPELT = {
    "weight": {
        "mg": "milligram", "g": "gram", "gram": "gram", "grams": "gram", "kg": "kilogram",
        "oz": "ounce", "ounce": "ounce", "ounces": "ounce",
        "lb": "pound", "lbs": "pound", "pound": "pound", "pounds": "pound",
    },
    "length": {
        "mm": "millimeter", "cm": "centimeter", "m": "meter",
        "in": "inch", "inch": "inch", "inches": "inch", '"': "inch", "″": "inch", "”": "inch",
        "ft": "foot", "foot": "foot", "feet": "foot", "'": "foot", "′": "foot", "’": "foot",
        "yd": "yard", "yard": "yard", "yards": "yard",
    },
    "areal": {
        "g/m²": "g/m^2", "g/m2": "g/m^2", "gsm": "g/m^2", "kg/m²": "kg/m^2", "kg/m2": "kg/m^2",
        "oz/yd²": "oz/yd^2", "oz/yd2": "oz/yd^2", "oz/ft²": "oz/ft^2", "oz/ft2": "oz/ft^2",
        "g/ft²": "g/ft^2", "g/ft2": "g/ft^2",
    },
    "fineness": dict.fromkeys(
        ("um", "µm", "μm", "micron", "microns", "micrometre", "micrometres"), "micrometer"
    ),
    "time": {
        "s": "second", "second": "second", "seconds": "second",
        "min": "minute", "minute": "minute", "minutes": "minute",
        "h": "hour", "hour": "hour", "hours": "hour", "day": "day", "days": "day",
    },
}  # fmt: skip
"""Every unit that is read, and pint's own name for it."""


@pytest.mark.parametrize("row", OURS, ids=[row["unit"] for row in OURS])
def test_factors_are_those_of_the_table(row: dict[str, str]) -> None:
    factor = UNITS[row["kind"]][row["unit"]]
    assert factor == pytest.approx(float(Fraction(row["exact_fraction"])), rel=1e-15)
    assert float(f"{factor:.6e}") == pytest.approx(float(row["printed"]), rel=1e-9)
    assert parse(row["kind"], f"1 {row['unit']}").si == factor


@pytest.mark.parametrize("row", ROWS, ids=[row["conversion"] for row in ROWS])
def test_printed_figures_are_the_fractions_rounded(row: dict[str, str]) -> None:
    exact = float(Fraction(row["exact_fraction"]))
    assert float(f"{exact:.6e}") == pytest.approx(float(row["printed"]), rel=1e-9)


def test_the_fractions_follow_from_inch_and_pound() -> None:
    named = {row["conversion"]: Fraction(row["exact_fraction"]) for row in ROWS}
    assert named["inch to metre"] == INCH and named["pound to kilogram"] == POUND
    assert named["ounce to kilogram"] == POUND / 16
    assert named["foot to metre"] == FOOT and named["yard to metre"] == YARD
    assert named["square yard to square metre"] == YARD**2
    assert named["square foot to square metre"] == FOOT**2
    assert named["square inch to square metre"] == INCH**2
    assert named["mil (0.001 inch) to metre"] == INCH / 1000
    areal = "kilogram per square metre"
    assert named[f"ounce per square yard to {areal}"] == POUND / 16 / YARD**2
    assert named[f"ounce per square foot to {areal}"] == POUND / 16 / FOOT**2


def test_every_unit_that_is_read_equals_pint() -> None:
    pint = pytest.importorskip("pint")
    registry = pint.UnitRegistry()
    assert set(UNITS) - {"position", "temperature"} == set(SPELT)
    assert UNITS["position"] is UNITS["length"]
    for kind, names in SPELT.items():
        assert set(names) == set(UNITS[kind])
        for unit, factor in UNITS[kind].items():
            wanted = registry.Quantity(1.0, names[unit]).to_base_units().magnitude
            assert factor == pytest.approx(wanted, rel=1e-15), unit


def test_worked_weights_over_areas() -> None:
    """Worked by hand from the fractions above: a twelve inch square, a yard square."""
    ounce, foot = parse("weight", "1 oz").si, parse("length", "12 in").si
    assert ounce / foot**2 == pytest.approx(0.30515173, rel=1e-7)
    assert parse("areal", "1 oz/ft²").si == pytest.approx(ounce / foot**2, rel=1e-15)
    yard = parse("length", "1 yd").si
    assert parse("weight", "100 g").si / yard**2 == pytest.approx(0.119599, rel=1e-5)
    assert parse("areal", "4 oz/yd2").si == pytest.approx(0.13562299, rel=1e-7)


def test_what_is_said_uses_the_same_factors() -> None:
    assert UNITS["weight"]["oz"] == say.OUNCE and UNITS["length"]["in"] == say.INCH
    assert pytest.approx(UNITS["areal"]["oz/yd²"], rel=1e-15) == say.OUNCE_PER_SQUARE_YARD
    assert say.weight(0.0113398) == "11.3 g (0.400 oz)"
    assert say.length(0.3048) == "30.5 cm (12 in)"
    assert say.areal(0.122061) == "122 g/m² (3.6 oz/yd²)"
