"""Figures in words: what is advised as a least amount is enough in either system."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from felt_engine import figures
from felt_engine.reading.quantity import parse

LEAST = {
    "areal": figures.areal_at_least, "length": figures.length_at_least,
    "weight": figures.weight_at_least,
}  # fmt: skip
MOST = {
    "areal": figures.areal_at_most, "length": figures.length_at_most,
    "weight": figures.weight_at_most,
}  # fmt: skip


@pytest.mark.parametrize("kind", sorted(MOST))
@given(value=st.floats(2e-3, 40.0))
def test_whoever_follows_the_most_has_no_more(kind: str, value: float) -> None:
    words = re.fullmatch(r"(.+) \((.+)\)", MOST[kind](value))
    assert words
    for text in words.groups():
        assert value / 1.11 <= parse(kind, text).si <= value * (1 + 1e-9)


@pytest.mark.parametrize("kind", sorted(LEAST))
@given(value=st.floats(1e-3, 40.0))
def test_whoever_follows_the_least_has_enough(kind: str, value: float) -> None:
    words = re.fullmatch(r"(.+) \((.+)\)", LEAST[kind](value))
    assert words
    for text in words.groups():
        amount = parse(kind, text).si
        assert value * (1 - 1e-9) <= amount <= value * 1.11


def test_a_figure_that_needs_no_rounding_stays() -> None:
    assert figures.areal_at_least(0.0554) == "55.4 g/m² (1.64 oz/yd²)"
    assert figures.areal_at_least(0.05541) == "55.5 g/m² (1.64 oz/yd²)"
    assert figures.length_at_least(0.0254) == "2.6 cm (1 in)"
    assert figures.weight_at_most(0.0001749) == "0.174 g (0.00616 oz)"


def test_a_weight_is_never_told_as_none_where_there_is_some() -> None:
    assert [figures.weight(kg) for kg in (4e-6, 5e-6, 1.2345e-8, 1e-12, 0.0)] == [
        "4 mg", "0.01 g (0.000 oz)", "0.0123 mg", "less than 0.001 mg", "0.00 g (0.000 oz)",
    ]  # fmt: skip
