"""Texts of a fixed form: what each is worth, worked out by hand, and the whole of each hint."""

from __future__ import annotations

import json
from typing import Any

import pytest
from kit_reading import TABLES, judged

from felt_engine.reading import forms
from felt_engine.reading.json_tree import read_json
from felt_engine.reading.shape import Context, Form


def value(form: Form, text: str) -> Any:
    document = json.dumps(text)
    context = Context(document, "json", TABLES)
    found = form.read(read_json(document), "", context)
    assert not context.problems, context.problems
    assert found.text == text
    return found


def refusal(form: Form, text: str) -> tuple[str, str]:
    (problem,) = judged(form, text)
    return problem.kind, problem.mend


SIZES = [
    ("60 x 40 cm", 0.6, 0.4), ("60 cm x 40 cm", 0.6, 0.4), ("60x40 cm", 0.6, 0.4),
    ("60 × 40 cm", 0.6, 0.4), ("60 by 40 cm", 0.6, 0.4), ("1 m x 40 cm", 1.0, 0.4),
    ("1/2 x 40 cm", 0.005, 0.4), ("½ x 1½ in", 0.0127, 0.0381), ("30 cm across", 0.3, None),
    ("30 cm", 0.3, None), ("1 ft 2 in x 3 ft", 0.3556, 0.9144), ("2 in x 3 cm", 0.0508, 0.03),
]  # fmt: skip


@pytest.mark.parametrize(("text", "width", "depth"), SIZES)
def test_a_size_goes_west_to_east_and_then_from_the_near_edge(
    text: str, width: float, depth: float | None
) -> None:
    size = value(forms.SIZE, text)
    assert size.width.si == pytest.approx(width, rel=1e-12)
    assert (size.depth is None) == (depth is None)
    assert size.sides[1] == pytest.approx(depth or width, rel=1e-12)


def test_a_point_is_counted_east_and_then_north() -> None:
    for text in ("62 cm east, 22 cm north", "62,0 cm east, 22,0 cm north"):
        point = value(forms.POINT, text)
        assert (point.east.si, point.north.si) == pytest.approx((0.62, 0.22), rel=1e-12)


DIRECTIONS = [
    ("north-south", "axis", 0.0), ("S-N", None, None), ("N-S", "axis", 0.0), ("E-W", "axis", 90.0),
    ("east-west", "axis", 90.0), ("NE-SW", "axis", 45.0), ("northwest-southeast", "axis", 135.0),
    ("bearing 30°", "axis", 30.0), ("bearing 179°", "axis", 179.0), ("bearing 180°", "axis", 0.0),
    ("bearing 210 degrees", "axis", 30.0), ("bearing 360 deg", "axis", 0.0), ("radial", "radial", None),
    ("random", "random", None), ("around", "around", None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "way", "bearing"), DIRECTIONS)
def test_a_direction_is_an_axis_clockwise_from_north(
    text: str, way: str | None, bearing: float | None
) -> None:
    if way is None:
        assert refusal(forms.DIRECTION, text)[0] == "shape"
        return
    found = value(forms.DIRECTION, text)
    assert (found.way, found.bearing) == (way, bearing)


SHARES = [
    (forms.SHARE, "70 %", 70.0, "percent"), (forms.SHARE, "100 %", 100.0, "percent"),
    (forms.SHARE, "33.3%", 33.3, "percent"), (forms.SHARE, "100,0 %", 100.0, "percent"),
    (forms.SHARE, "1 %", 1.0, "percent"), (forms.SHARE, "3 parts", 3.0, "parts"),
    (forms.SHARE, "1 part", 1.0, "parts"), (forms.SHARE, "1/2 parts", 0.5, "parts"),
    (forms.SHARE, "12 g", 0.012, "weight"), (forms.PART, "1/3", 100 / 3, "percent"),
    (forms.PART, "1/2", 50.0, "percent"), (forms.PART, "2/3", 200 / 3, "percent"),
    (forms.PART, "1/4", 25.0, "percent"), (forms.PART, "3/4", 75.0, "percent"),
    (forms.PART, "2/5", 40.0, "percent"), (forms.PART, "25 %", 25.0, "percent"),
    (forms.PART, "0 %", 0.0, "percent"), (forms.PART, "90 %", 90.0, "percent"),
    (forms.PART, "9/10", 90.0, "percent"), (forms.PART, "90,0 %", 90.0, "percent"),
    (forms.SHRINKAGE, "30 %", 30.0, "side"), (forms.SHRINKAGE, "80 %", 80.0, "side"),
    (forms.SHRINKAGE, "1/3", 100 / 3, "side"), (forms.SHRINKAGE, "50 % by area", 50.0, "area"),
    (forms.SHRINKAGE, "2/5 of the area", 40.0, "area"), (forms.SHRINKAGE, "1 %", 1.0, "side"),
]  # fmt: skip


@pytest.mark.parametrize(("form", "text", "worth", "basis"), SHARES)
def test_a_share_is_worth_what_its_text_says(
    form: Form, text: str, worth: float, basis: str
) -> None:
    found = value(form, text)
    assert (found.value, found.basis) == (pytest.approx(worth, rel=1e-12), basis)


def test_prices_are_per_kilogram_and_fineness_is_in_metres() -> None:
    """4.80 per 100 g is 48 per kilogram; 3 per ounce of 28.349523125 g is 105.8219."""
    for text, worth, currency in (("4.80 EUR per 100 g", 48.0, "EUR"), ("3 USD / oz", 105.8219, "USD"),
                                  ("1,20 GBP/kg", 1.2, "GBP")):  # fmt: skip
        price = value(forms.PRICE, text)
        assert price.value == pytest.approx(worth, rel=1e-6) and price.currency == currency
    for text in ("21 um", "21,0 um"):
        fineness = value(forms.FINENESS, text)
        assert fineness.low == fineness.high == pytest.approx(21e-6, rel=1e-12)
    grade = value(forms.FINENESS, "64s")
    assert 20e-6 < grade.low < grade.high < 23e-6


def test_colours_and_water() -> None:
    """#abc is #aabbcc and navy is #000080 (CSS Color Module Level 4)."""
    colours = {"#b3202a": "#b3202a", "#B3202A": "#b3202a", "#abc": "#aabbcc", "B3202a": "#b3202a",
               "navy": "#000080"}  # fmt: skip
    for text, hexed in colours.items():
        assert value(forms.COLOUR, text).hex == hexed
    assert value(forms.WARMTH, "hot").kelvin is None
    for text in ("40 °C", "104 °F"):
        assert value(forms.WARMTH, text).kelvin == pytest.approx(313.15, rel=1e-12)


HINTS = [
    (forms.SIZE, "60 X 40 cm", "write 60 x 40 cm, if that is meant"),
    (forms.SIZE, "60*40 cm", "write 60 x 40 cm, if that is meant"),
    (forms.SIZE, "30 cm wide", "write 30 cm across, if that is meant"),
    (forms.SIZE, "30 cm diameter", "write 30 cm across, if that is meant"),
    (forms.SIZE, "60 x 40 cm across", "write 60 x 40 cm alone"),
    (forms.SIZE, "12 in square", "write both sides: 12 in x 12 in"),
    (forms.SIZE, "12 sq in", "write both sides, such as 12 x 12 in"),
    (forms.SIZE, "6 x 4 x 2 cm", "write two lengths; weight or thickness have keys of their own"),
    (forms.SIZE, "60 x 40", "say the unit: 60 x 40 cm, if that is meant"),
    (forms.SIZE, "60 x 4 g", "g is the unit of a weight"),
    (forms.SIZE, "60 x 3 ft 4 in", "write both lengths with their units"),
    (forms.SIZE, "4 g x 60 cm", "g is the unit of a weight"),
    (forms.SIZE, "1,500 x 900 mm", "write 1500 x 900 mm or 1.5 x 900 mm, whichever you mean"),
    (forms.SIZE, "1,500 mm x 900 mm", "write 1500 mm x 900 mm or 1.5 mm x 900 mm, whichever you mean"),
    (forms.POINT, "3 cm west, 4 cm north",
     "count from the near left corner: so far east, so far north, never below 0"),
    (forms.POINT, "-3 cm east, 4 cm north",
     "count from the near left corner: so far east, so far north, never below 0"),
    (forms.POINT, "3 cm north, 4 cm east", "write 4 cm east, 3 cm north"),
    (forms.POINT, "3 east, 4 north", "say the units: 3 cm east, 4 cm north, if that is meant"),
    (forms.POINT, "3 e, 4 n", "say the units: 3 cm east, 4 cm north, if that is meant"),
    (forms.DIRECTION, "vertical", "write north-south, if that is meant"),
    (forms.DIRECTION, "up and down", "write north-south, if that is meant"),
    (forms.DIRECTION, "North", "write north-south, if that is meant"),
    (forms.DIRECTION, "south", "write north-south, if that is meant"),
    (forms.DIRECTION, "horizontal", "write east-west, if that is meant"),
    (forms.DIRECTION, "sideways", "write east-west, if that is meant"),
    (forms.DIRECTION, "across",
     "write north-south (away from you) or east-west, whichever way that is on the table"),
    (forms.DIRECTION, "east", "write east-west, if that is meant"),
    (forms.DIRECTION, "west", "write east-west, if that is meant"),
    (forms.DIRECTION, "diagonal",
     "write northeast-southwest or northwest-southeast, whichever you mean"),
    (forms.DIRECTION, "circular", "write around, if that is meant"),
    (forms.DIRECTION, "spiral", "write around, if that is meant"),
    (forms.DIRECTION, "none", "write random, if that is meant"),
    (forms.DIRECTION, "outwards", "write radial, if that is meant"),
    (forms.DIRECTION, "30°", "write bearing 30° (clockwise from the far edge of the table)"),
    (forms.DIRECTION, "bearing 120", "write bearing 120° (clockwise from the far edge of the table)"),
    (forms.DIRECTION, "north to south", "write north-south, if that is meant"),
    (forms.DIRECTION, "east/west", "write east-west, if that is meant"),
    (forms.DIRECTION, "east–west", "write east-west, if that is meant"),
    (forms.DIRECTION, "randon", 'write "random", if that is meant'),
    (forms.DIRECTION, "whatever", "write it clockwise from the far edge, in degrees, as in bearing 30°"),
    *((forms.DIRECTION, word, "write north-south (away from you) or east-west, whichever way that is "
       "on the table") for word in ("lengthwise", "lengthways", "crosswise", "widthwise")),
    (forms.SHARE, "70", "write 70 % or 70 parts, whichever you mean"),
    (forms.SHARE, "70 percent", "write 70 %"), (forms.SHARE, "70 pct", "write 70 %"),
    (forms.SHARE, "3 cm", "cm is the unit of a length"),
    (forms.PART, "25", "write 25 %, if that is meant"),
    (forms.SHRINKAGE, "30", "write 30 %, if that is meant"),
    (forms.FINENESS, "19", "write 19 um"), (forms.FINENESS, "39.9", "write 39.9 um"),
    (forms.FINENESS, "40", "write 40s, if a count grade is meant"),
    (forms.FINENESS, "64 s", "write 64s"), (forms.FINENESS, "64'S", "write 64s"),
    (forms.FINENESS, "19 mic", "write 19 um, if that is meant"),
    (forms.WARMTH, "tepid", "write lukewarm, if that is meant"),
    (forms.WARMTH, "40", "say the unit: 40 °C, if that is meant"),
    (forms.COLOUR, "navvy", 'write "navy", if that is meant'),
    (forms.COLOUR, "dark blue", 'write "darkblue", if that is meant'),
]  # fmt: skip


@pytest.mark.parametrize(("form", "text", "said"), HINTS)
def test_the_whole_hint(form: Form, text: str, said: str) -> None:
    assert refusal(form, text)[1] == said


LIMITS = [
    (forms.DIRECTION, "bearing 361°"), (forms.DIRECTION, "bearing 360.1°"), (forms.SHARE, "101 %"),
    (forms.SHARE, "100,5 %"), (forms.PART, "91 %"), (forms.PART, "91/100"), (forms.SHRINKAGE, "81 %"),
    (forms.SHRINKAGE, "0 %"), (forms.SHRINKAGE, "5/6"),
]  # fmt: skip


@pytest.mark.parametrize(("form", "text"), LIMITS)
def test_beyond_its_limit_it_is_refused(form: Form, text: str) -> None:
    assert refusal(form, text) == ("limit", "check the figure")
