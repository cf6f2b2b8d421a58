"""Figures in words: what is advised as a least amount is enough in either system."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from felt_engine import figures
from felt_engine.reading.quantity import parse

READ = {"areal": figures.areal_at_least, "length": figures.length_at_least}


@pytest.mark.parametrize("kind", sorted(READ))
@given(value=st.floats(1e-3, 40.0))
def test_whoever_follows_the_least_has_enough(kind: str, value: float) -> None:
    words = re.fullmatch(r"(.+) \((.+)\)", READ[kind](value))
    assert words
    for text in words.groups():
        amount = parse(kind, text).si
        assert value * (1 - 1e-9) <= amount <= value * 1.11


def test_a_figure_that_needs_no_rounding_stays() -> None:
    assert figures.areal_at_least(0.0554) == "55.4 g/m² (1.7 oz/yd²)"
    assert figures.areal_at_least(0.05541) == "55.5 g/m² (1.7 oz/yd²)"
    assert figures.length_at_least(0.0254) == "2.6 cm (1 in)"
