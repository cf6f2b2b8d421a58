"""Blends of dyed fibre.

Source: E. I. Stearns & F. Noechel, American Dyestuff Reporter 33 (1944) 177-180 (citation from
memory).  The tables say where their figures come from.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from felt_engine.analysis.colour import (
    DARKEST,
    STEARNS_NOECHEL_B,
    blend,
    difference,
    hex_of_linear,
    lab_of_linear,
    linear_of_hex,
    sn_f,
    sn_inverse,
)

DATA = Path(__file__).parent / "data"

Row = dict[str, float]


def _rows(name: str) -> list[Row]:
    text = (DATA / name).read_text("utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("# ")]
    return [{key: float(value) for key, value in row.items()} for row in csv.DictReader(lines)]


FUNCTION = _rows("stearns_noechel_f.csv")
BLENDS = _rows("stearns_noechel_blends.csv")


def test_the_tables_are_whole() -> None:
    assert (len(FUNCTION), len(BLENDS)) == (30, 7)


def test_the_constant_for_wool() -> None:
    """Stearns & Noechel 1944: b = 0.15 for wool."""
    assert STEARNS_NOECHEL_B == 0.15


@pytest.mark.parametrize("row", FUNCTION)
def test_additive_function_and_its_inverse(row: Row) -> None:
    """Stearns & Noechel 1944, three constants b."""
    assert sn_f(row["reflectance"], row["b"]) == pytest.approx(row["f"], abs=1e-6)
    assert sn_inverse(row["f"], row["b"]) == pytest.approx(row["reflectance"], abs=1e-8)


@pytest.mark.parametrize("b", [0.0, 0.11, 0.15, 0.189, 0.25, 0.9082325582947869])
def test_fixed_points_of_the_function(b: float) -> None:
    """Stearns & Noechel 1944: f(1) = 0 and f(0.01) = 99 whatever b is."""
    assert sn_f(1.0, b) == 0.0
    assert sn_f(0.01, b) == pytest.approx(99.0, rel=1e-12)
    assert 0.0 <= sn_inverse(sn_f(0.0, b), b) < 1e-12


def test_black_end_of_the_function() -> None:
    assert sn_f(0.0) == pytest.approx(117.64705882, abs=1e-8)


@pytest.mark.parametrize("row", BLENDS)
def test_blend_of_two_reflectances(row: Row) -> None:
    """Stearns & Noechel 1944: f is additive by mass, not the reflectance."""
    first, second, share = row["reflectance1"], row["reflectance2"], row["share1"]
    mixed = share * sn_f(first) + (1.0 - share) * sn_f(second)
    assert mixed == pytest.approx(row["f"], abs=1e-6)
    found = blend([(share, (first, 0.5, second)), (1.0 - share, (second, 0.5, first))])
    swapped = blend([(1.0 - share, (first,) * 3), (share, (second,) * 3)])[0]
    assert found == pytest.approx((row["reflectance"], 0.5, swapped), abs=1e-8)


def test_shares_may_come_in_any_unit() -> None:
    one, other = (0.04, 0.2, 0.6), (0.8, 0.3, 0.1)
    grams = blend([(15.0, one), (45.0, other)])
    assert grams == pytest.approx(blend([(0.25, one), (0.75, other)]), rel=1e-12)


# --- computed by the project's own model (formula of the source, by linear channel), no outside
# --- source for the figures themselves


def test_function_at_the_figures_of_the_model() -> None:
    assert sn_f(0.5) == pytest.approx(5.98802, abs=5.1e-6)
    assert sn_f(DARKEST) == pytest.approx(95.92233, abs=5.1e-6)
    assert DARKEST == 0.012


def test_red_and_blue_half_and_half() -> None:
    found = blend([(1.0, linear_of_hex("#b3202a")), (1.0, linear_of_hex("#27519c"))])
    assert found == pytest.approx((0.076977, 0.037409, 0.075800), abs=5.1e-7)
    assert hex_of_linear(found) == "#4e364e"
    assert lab_of_linear(found) == pytest.approx((26.3304, 15.2942, -10.0730), abs=5.1e-5)


@pytest.mark.parametrize(
    ("most", "few", "text", "away"),
    [("#e8c53a", "#1d2747", "#baa93b", 9.7828), ("#1d2747", "#e8c53a", "#222b46", 1.9403)],
    ids=["dark in light", "light in dark"],
)
def test_five_per_cent_of_another_colour(most: str, few: str, text: str, away: float) -> None:
    pure = linear_of_hex(most)
    found = blend([(0.95, pure), (0.05, linear_of_hex(few))])
    assert hex_of_linear(found) == text
    assert difference(found, pure) == pytest.approx(away, abs=5.1e-5)


@pytest.mark.parametrize(
    ("share", "dark_in_light", "light_in_dark"),
    [(0.01, 2.32, 0.37), (0.02, 4.42, 0.76), (0.05, 9.78, 1.94), (0.10, 16.83, 4.06)],
)
def test_dark_in_light_shows_more_than_light_in_dark(
    share: float, dark_in_light: float, light_in_dark: float
) -> None:
    light, dark = linear_of_hex("#e8c53a"), linear_of_hex("#1d2747")
    in_light = difference(blend([(1.0 - share, light), (share, dark)]), light)
    in_dark = difference(blend([(1.0 - share, dark), (share, light)]), dark)
    assert (in_light, in_dark) == pytest.approx((dark_in_light, light_in_dark), abs=0.0051)


def test_no_channel_counts_as_darker_than_the_floor() -> None:
    assert blend([(1.0, (0.0, 0.004, 0.5))]) == pytest.approx((0.012, 0.012, 0.5), rel=1e-12)


@pytest.mark.parametrize("wrong", [-0.1, 1.1, math.nan])
def test_nonsense_reflectances_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        sn_f(wrong)
    with pytest.raises(ValueError, match="between 0 and 1"):
        blend([(1.0, (0.5, 0.5, wrong))])


@pytest.mark.parametrize("wrong", [-0.1, 118.0, math.nan, math.inf])
def test_nonsense_values_of_f_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="f must lie"):
        sn_inverse(wrong)


@pytest.mark.parametrize("wrong", [-0.01, 1.0, math.nan])
def test_nonsense_constants_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="constant"):
        sn_f(0.5, wrong)
    with pytest.raises(ValueError, match="constant"):
        sn_inverse(1.0, wrong)


@pytest.mark.parametrize("wrong", [-1.0, math.nan, math.inf])
def test_nonsense_shares_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="positive finite"):
        blend([(1.0, (0.5, 0.5, 0.5)), (wrong, (0.5, 0.5, 0.5))])


def test_a_blend_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one share"):
        blend([])
    with pytest.raises(ValueError, match="at least one share"):
        blend([(0.0, (0.5, 0.5, 0.5))])
