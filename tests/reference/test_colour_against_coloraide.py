"""Conversions and CIEDE2000 against a general colour library.

Outside reference: the package coloraide.  Sources of the formulas: IEC 61966-2-1:1999, CIE 15:2004,
Sharma, Wu & Dalal 2005.
"""

from __future__ import annotations

import math

import pytest
from coloraide import Color
from hypothesis import assume, example, given
from hypothesis import strategies as st

from felt_engine.analysis.colour import (
    delta_e_2000,
    difference,
    hex_of_linear,
    lab_of_linear,
    linear_of_hex,
    xyz_of_linear,
)

CODES = st.integers(0, 0xFFFFFF).map(lambda code: f"#{code:06x}")
CHANNELS = st.floats(0.0, 1.0, allow_subnormal=False)
LINEAR = st.tuples(CHANNELS, CHANNELS, CHANNELS)
LABS = st.tuples(st.floats(0.0, 100.0), st.floats(-120.0, 120.0), st.floats(-120.0, 120.0))

Triple = tuple[float, float, float]


def _theirs(space: str, colour: Color) -> list[float]:
    return [float(value) for value in colour.convert(space).coords(nans=False)]


def _opposite(first: Triple, second: Triple) -> bool:
    """Tell hues so near to 180 degrees apart that the formula jumps with the last bit."""
    (_, a1, b1), (_, a2, b2) = first, second
    across = abs(a1 * b2 - a2 * b1)
    return a1 * a2 + b1 * b2 < 0.0 and across <= 1e-6 * math.hypot(a1, b1) * math.hypot(a2, b2)


@given(CODES)
@example("#000000")
@example("#ffffff")
@example("#0a0a0b")
def test_hex_to_linear_xyz_and_lab(text: str) -> None:
    linear, colour = linear_of_hex(text), Color(text)
    assert linear == pytest.approx(_theirs("srgb-linear", colour), abs=1e-14)
    assert xyz_of_linear(linear) == pytest.approx(_theirs("xyz-d65", colour), abs=1e-14)
    assert lab_of_linear(linear) == pytest.approx(_theirs("lab-d65", colour), abs=1e-10)


@given(LINEAR)
@example((0.002, 0.0031308, 0.0032))
def test_linear_to_lab_and_hex(linear: Triple) -> None:
    colour = Color("srgb-linear", list(linear))
    assert lab_of_linear(linear) == pytest.approx(_theirs("lab-d65", colour), abs=1e-10)
    codes = [int(hex_of_linear(linear)[place : place + 2], 16) for place in (1, 3, 5)]
    theirs = [255.0 * value for value in _theirs("srgb", colour)]
    assert codes == pytest.approx(theirs, abs=0.5 + 1e-9)


@given(LABS, LABS)
@example((50.0, 100.0, -9.0), (50.0, 60.0, 10.0))  # the short way round crosses hue 0
@example((50.0, 100.0, -20.0), (50.0, 60.0, 5.0))
def test_difference_of_lab_colours(first: Triple, second: Triple) -> None:
    assume(not _opposite(first, second))
    one, other = Color("lab-d65", list(first)), Color("lab-d65", list(second))
    theirs = one.delta_e(other, method="2000", space="lab-d65")
    assert delta_e_2000(first, second) == pytest.approx(theirs, rel=1e-9, abs=1e-7)


@given(CODES, CODES)
def test_difference_of_screen_colours(first: str, second: str) -> None:
    theirs = Color(first).delta_e(Color(second), method="2000", space="lab-d65")
    found = difference(linear_of_hex(first), linear_of_hex(second))
    assert found == pytest.approx(theirs, rel=1e-9, abs=1e-7)
