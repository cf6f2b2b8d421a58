"""The named colours of CSS.

Source: W3C, CSS Color Module Level 4, "Named Colors"; compared with the package webcolors, which
carries the list of CSS 3 (all but one of the names).
"""

from __future__ import annotations

import pytest
import webcolors  # type: ignore[import-untyped]

from felt_engine.analysis.colour import hex_of_linear, linear_of_hex
from felt_engine.data.colours import CSS_COLOURS

# The one name that level 4 adds (W3C, CSS Color Module Level 4; value from memory).
ADDED = {"rebeccapurple": "#663399"}


def test_the_names_are_those_of_the_recommendation() -> None:
    assert set(CSS_COLOURS) == {*webcolors.names("css3"), *ADDED}
    assert len(CSS_COLOURS) == 148


@pytest.mark.parametrize("name", webcolors.names("css3"))
def test_value_of_a_name(name: str) -> None:
    assert CSS_COLOURS[name] == webcolors.name_to_hex(name, spec="css3")


@pytest.mark.parametrize(("name", "value"), ADDED.items())
def test_value_of_the_added_name(name: str, value: str) -> None:
    assert CSS_COLOURS[name] == value


def test_both_spellings_of_grey_mean_one_colour() -> None:
    greys = [name for name in CSS_COLOURS if "grey" in name]
    assert len(greys) == 7
    for name in greys:
        assert CSS_COLOURS[name] == CSS_COLOURS[name.replace("grey", "gray")]


@pytest.mark.parametrize("value", sorted(set(CSS_COLOURS.values())))
def test_each_value_can_be_read_and_written(value: str) -> None:
    assert hex_of_linear(linear_of_hex(value)) == value
