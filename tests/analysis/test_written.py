"""How figures are written: units, last digits, other units."""

from __future__ import annotations

import math

import pytest

from felt_engine.analysis.written import (
    FACTORS,
    factor,
    half_digit,
    imperial,
    is_sum,
    unit,
    with_unit,
)
from felt_engine.model.amount import Amount
from felt_engine.reading.quantity import UNITS, parse, parse_any


@pytest.mark.parametrize("kind", ["weight", "length", "areal"])
def test_every_unit_of_the_reader_is_known_here(kind: str) -> None:
    for word, size in UNITS[kind].items():
        amount = Amount(f"1 {word}", size, word, kind)
        assert math.isclose(factor(amount), size, rel_tol=1e-12), word
        assert unit(amount) in FACTORS[kind]


@pytest.mark.parametrize(
    ("text", "half"),
    [
        ("12 g", 0.5e-3), ("12.5 g", 0.05e-3), ("0,25 g", 0.005e-3), (".5 g", 0.05e-3),
        ("2 kg", 0.5), ("1/4 oz", 0.028349523125 / 8), ("1 1/2 oz", 0.028349523125 / 4),
        ("1½ oz", 0.028349523125 / 4), ("2 lb 3 oz", 0.028349523125 / 2), ("120 g/m²", 0.5e-3),
    ],
)  # fmt: skip
def test_half_of_the_last_digit(text: str, half: float) -> None:
    assert math.isclose(half_digit(parse_any(("weight", "areal"), text)), half, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("text", "word", "meant"),
    [("1.7 g", "oz", "1.7 oz"), ("1/2 oz", "g", "1/2 g"), ("12 in", "cm", "12 cm"),
     ('12"', "cm", "12 cm"), ("3 lbs", "oz", "3 oz")],
)  # fmt: skip
def test_the_same_digits_with_another_unit_read_as_that(text: str, word: str, meant: str) -> None:
    kind = "length" if word == "cm" else "weight"
    other = with_unit(parse(kind, text), word)
    assert other.text == meant
    assert math.isclose(other.si, parse(kind, meant).si, rel_tol=1e-12)


def test_sums_and_systems() -> None:
    assert is_sum(parse("weight", "2 lb 3 oz")) and not is_sum(parse("weight", "1 1/2 oz"))
    assert imperial(parse("length", "3 ft")) and not imperial(parse("length", "3 m"))
