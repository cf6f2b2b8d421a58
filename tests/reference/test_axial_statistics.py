"""Directions of fibres: axial statistics.

Sources: J. H. Zar, Biostatistical Analysis, 5th ed. (2010); N. I. Fisher, Statistical Analysis of
Circular Data (1993); K. V. Mardia, Statistics of Directional Data (1972); K. V. Mardia &
P. E. Jupp, Directional Statistics (2000); S. G. Advani & C. L. Tucker III, J. Rheology 31 (1987)
751-784.  The tables say which figures are printed there and which were computed.
"""

from __future__ import annotations

import cmath
import csv
import math
import random
from pathlib import Path

import pytest

from felt_engine.analysis.axes import (
    ALIGNMENT,
    alignment_of_spread,
    angle_of_bearing,
    bearing_of_angle,
    kindest,
    layer_resultant,
    mean_axis,
    spread_of_alignment,
    stack_resultant,
)

DATA = Path(__file__).parent / "data"

Row = dict[str, str]
Layer = tuple[float, float, float]


def _rows(name: str) -> list[Row]:
    text = (DATA / name).read_text("utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("# ")))


SETS, RESULTS, WEBS = _rows("axial_sets.csv"), _rows("axial_results.csv"), _rows("layered_webs.csv")
AXES = [row for row in RESULTS if row["set"] != "zar_26.8"]


def _observations(result: Row) -> tuple[list[float], list[float], float]:
    """Return axes in radians, weights, and how many times the data was shrunk to make axes."""
    rows = [row for row in SETS if row["set"] == result["set"]]
    shrink = 1.0 if result["kind"] == "axial" else 2.0
    angles = [math.radians(float(row["degrees"]) / shrink) for row in rows]
    return angles, [float(row["weight"]) for row in rows], shrink


def test_the_tables_are_whole() -> None:
    assert (len(SETS), len(RESULTS), len(WEBS)) == (208, 6, 8)


@pytest.mark.parametrize("result", AXES, ids=[row["set"] for row in AXES])
def test_mean_of_a_published_set(result: Row) -> None:
    """Directions are halved first, so that the doubling of axes gives them back."""
    angles, weights, shrink = _observations(result)
    length, axis = mean_axis(angles, weights)
    assert length == pytest.approx(float(result["length"]), abs=1e-6)
    assert shrink * math.degrees(axis) == pytest.approx(float(result["mean_degrees"]), abs=6e-5)
    spread = shrink * math.degrees(spread_of_alignment(length))
    assert spread == pytest.approx(float(result["spread_degrees"]), abs=6e-5)


@pytest.mark.parametrize("name", ["zar_26.4", "zar_26.5"])
def test_digits_printed_by_zar(name: str) -> None:
    """Zar 2010, Examples 26.2 to 26.5: mean, length and circular standard deviation."""
    result = next(row for row in RESULTS if row["set"] == name)
    angles, weights, shrink = _observations(result)
    length, axis = mean_axis(angles, weights)
    assert length == pytest.approx(float(result["published_length"]), abs=1.01e-5)
    assert round(shrink * math.degrees(axis)) == float(result["published_mean"])
    spread = shrink * math.degrees(spread_of_alignment(length))
    assert round(spread) == float(result["published_spread"])


def test_mean_of_means() -> None:
    """Zar 2010, Example 26.8: batches that each have a mean and a length."""
    rows = [row for row in SETS if row["set"] == "zar_26.8"]
    result = next(row for row in RESULTS if row["set"] == "zar_26.8")
    mean = stack_resultant(
        (1.0, float(row["r"]), math.radians(float(row["degrees"]) / 2.0)) for row in rows
    )
    assert abs(mean) == pytest.approx(float(result["length"]), abs=1e-6)
    assert abs(mean) == pytest.approx(float(result["published_length"]), abs=5.1e-6)
    degrees = math.degrees(cmath.phase(mean))
    assert degrees == pytest.approx(float(result["mean_degrees"]), abs=6e-5)
    assert round(degrees) == float(result["published_mean"])


def test_equal_weights_are_the_default() -> None:
    angles, _, _ = _observations(AXES[0])
    assert mean_axis(angles) == mean_axis(angles, [1.0] * len(angles))


def _layers(web: Row, turns: float = 1.0) -> list[Layer]:
    parts = [part.split(":") for part in web["layers"].split()]
    return [(float(w), 1.0, turns * math.radians(float(a))) for a, w in parts]


@pytest.mark.parametrize("web", WEBS, ids=[web["web"] for web in WEBS])
def test_layered_web(web: Row) -> None:
    """Advani & Tucker 1987: orientation tensor; Mardia & Jupp 2000: resultant and axis."""
    pull = stack_resultant(_layers(web))
    assert (1.0 + pull.real) / 2.0 == pytest.approx(float(web["a11"]), abs=1e-8)
    assert (1.0 - pull.real) / 2.0 == pytest.approx(float(web["a22"]), abs=1e-8)
    assert pull.imag / 2.0 == pytest.approx(float(web["a12"]), abs=1e-8)
    assert abs(pull) == pytest.approx(float(web["length"]), abs=1e-8)
    assert (1.0 + abs(pull)) / 2.0 == pytest.approx(float(web["larger"]), abs=1e-8)
    length, axis = mean_axis([a for *_, a in _layers(web)], [w for w, *_ in _layers(web)])
    assert length == pytest.approx(float(web["length"]), abs=1e-8)
    if web["axis_degrees"]:
        assert math.degrees(axis) == pytest.approx(float(web["axis_degrees"]), abs=1e-6)


@pytest.mark.parametrize("web", WEBS, ids=[web["web"] for web in WEBS])
def test_fourfold_resultant_of_a_layered_web(web: Row) -> None:
    """Advani & Tucker 1987: only the fourth harmonic tells crossed layers from no direction."""
    found = abs(stack_resultant(_layers(web, turns=2.0)))
    assert found == pytest.approx(float(web["fourfold"]), abs=1e-8)


# Mardia & Jupp 2000: I1(kappa) / I0(kappa) for an axial von Mises law (digits computed with scipy).
@pytest.mark.parametrize(
    ("kappa", "length"), [(0.5, 0.24249961), (1.0, 0.44638997), (2.0, 0.69777466)]
)
def test_axial_von_mises_law(kappa: float, length: float) -> None:
    angles = [math.pi * i / 360.0 for i in range(360)]
    weights = [math.exp(kappa * math.cos(2.0 * (a - 0.4))) for a in angles]
    found, axis = mean_axis(angles, weights)
    assert found == pytest.approx(length, abs=1e-8)
    assert axis == pytest.approx(0.4, abs=1e-9)


def test_alignment_of_the_wrapped_normal_law() -> None:
    """Mardia & Jupp 2000: mean of cos 2x over a normal law, integrated here."""
    sigma, step = math.radians(16.0), 0.001
    grid = [i * step for i in range(-4000, 4001)]
    density = [math.exp(-0.5 * (x / sigma) ** 2) / (sigma * math.sqrt(math.tau)) for x in grid]
    mean = sum(p * math.cos(2.0 * x) for p, x in zip(density, grid, strict=True)) * step
    assert alignment_of_spread(sigma) == pytest.approx(mean, rel=1e-9)


# Compass words: directions worked out by hand.
@pytest.mark.parametrize(
    ("bearing", "degrees"),
    [(0, 90), (90, 0), (45, 45), (135, 135), (30, 60), (170, 100), (180, 90), (-45, 135), (450, 0)],
)
def test_bearings_and_angles(bearing: float, degrees: float) -> None:
    assert angle_of_bearing(bearing) == pytest.approx(math.radians(degrees), abs=1e-12)
    assert bearing_of_angle(math.radians(degrees)) == pytest.approx(bearing % 180, abs=1e-9)


@pytest.mark.parametrize("value", [90.0 + 1.5e-14, 450.0, -90.0])
def test_east_stays_below_half_a_turn(value: float) -> None:
    assert 0.0 <= angle_of_bearing(value) < math.pi
    assert 0.0 <= bearing_of_angle(math.radians(value) + 1e-17) < 180.0


def test_an_axis_stays_below_half_a_turn() -> None:
    _, axis = mean_axis([-1e-18])
    assert 0.0 <= axis < math.pi


# --- computed by the project's own model, no outside source


def _pull(*layers: tuple[float, float, float, float]) -> complex:
    """Return the resultant of layers given as mass, feltability, alignment and degrees."""
    return stack_resultant((m * f, r, math.radians(a)) for m, f, r, a in layers)


BASE, CROSS = (0.4, 1.0, 0.0, 0.0), (0.4, 1.0, 0.85, 90.0)


@pytest.mark.parametrize(
    ("layers", "length"),
    [
        ([BASE, CROSS, (0.65, 1, 0.85, 0)], 0.146552),
        ([BASE, (0.65, 1, 0.85, 0)], 0.526190),
        ([(0.4, 1, 0.1, 30), (0.4, 0.85, 0.85, 93), (0.65, 1, 0.8, -4)], 0.184660),
    ],
    ids=["crossed", "without the cross layer", "mixed"],
)
def test_imbalance_to_six_digits(
    layers: list[tuple[float, float, float, float]], length: float
) -> None:
    assert abs(_pull(*layers)) == pytest.approx(length, abs=5.1e-7)


def test_resultant_of_the_mixed_build() -> None:
    found = _pull((0.4, 1, 0.1, 30), (0.4, 0.85, 0.85, 93), (0.65, 1, 0.8, -4))
    assert (found.real, found.imag) == pytest.approx((0.178074, -0.048876), abs=5.1e-7)
    degrees = math.degrees(cmath.phase(found)) / 2.0 % 180.0
    assert degrees == pytest.approx(172.326, abs=5.1e-4)


@pytest.mark.parametrize(
    ("layers", "length"),
    [
        ([BASE, CROSS, (0.60, 1, 0.85, 0)], 0.121),
        ([BASE, CROSS, (0.65, 1, 0.85, 0)], 0.147),
        ([BASE, CROSS, (0.70, 1, 0.85, 0)], 0.170),
        ([BASE, CROSS, (0.65, 1, 0.40, 0)], 0.055),
        ([(1, 1, 0.85, 0), (1, 1, 0.85, 90)], 0.000),
        ([(1, 1, 0.85, 0), (1, 1, 0.85, 90), (1, 1, 0.85, 0)], 0.283),
        ([(1, 1, 0.90, 0), (1, 1, 0.90, 90), (1, 1, 0.90, 0)], 0.300),
        ([BASE, (0.2, 1, 0.85, 90), (0.65, 1, 0.85, 0)], 0.306),
        ([BASE, (0.1, 1, 0.85, 90), (0.65, 1, 0.85, 0)], 0.407),
        ([BASE, BASE, (0.65, 1, 0.85, 0)], 0.381),
        ([BASE, (0.60, 1, 0.85, 0)], 0.510),
        ([BASE, (0.70, 1, 0.85, 0)], 0.541),
        ([BASE, (0.60, 1, 0.80, 0)], 0.480),
        ([BASE, (0.70, 1, 0.90, 0)], 0.573),
        ([BASE, (0.4, 0.05, 0.85, 90), (0.65, 1, 0.85, 0)], 0.500),
        ([BASE, (0.65, 1, 0.40, 0)], 0.248),
        ([BASE, (0.65, 1, 0.50, 0)], 0.310),
        ([(1, 1, 0.85, 0), (1, 1, 0.85, 60), (1, 1, 0.85, 120)], 0.000),
        ([(1, 1, 0.85, 0), (1, 1, 0.85, 45)], 0.601),
    ],
)
def test_imbalance_of_usual_builds(
    layers: list[tuple[float, float, float, float]], length: float
) -> None:
    """Builds of the trade: common practice, no source."""
    assert abs(_pull(*layers)) == pytest.approx(length, abs=5.1e-4)


def test_laying_scatter_on_top_of_alignment() -> None:
    found = 0.85 * alignment_of_spread(math.radians(10.0))
    assert found == pytest.approx(0.7998, abs=5.1e-5)


@pytest.mark.parametrize(
    ("alignment", "degrees"),
    [(0.85, 16), (0.90, 13), (0.80, 19), (0.40, 39), (0.50, 34), (0.30, 44)],
)
def test_spread_that_an_alignment_means(alignment: float, degrees: float) -> None:
    found = math.degrees(spread_of_alignment(alignment))
    assert found == pytest.approx(degrees, abs=0.5)


def test_alignment_by_preparation() -> None:
    """Values from memory of the craft, not measured."""
    assert ALIGNMENT == {
        "top": (0.80, 0.85, 0.90),
        "sliver": (0.45, 0.60, 0.75),
        "batt": (0.30, 0.40, 0.50),
        "prefelt": (0.0, 0.10, 0.20),
        "scatter": (0.0, 0.0, 0.0),
    }


Range = tuple[float, float, float, float, float, float]


def _spread(mass: float, group: str, degrees: float, error: float = 0.12) -> Range:
    return (mass * (1 - error), mass * (1 + error), *ALIGNMENT[group], math.radians(degrees))


def _lightest(items: list[Range], seed: int) -> float:
    """Return the least imbalance found by drawing ends and insides of the ranges."""
    draw = random.Random(seed)
    least = math.inf
    for _ in range(4000):
        layers = []
        for low, high, r_low, _, r_high, angle in items:
            weight = draw.choice((low, high, draw.uniform(low, high)))
            layers.append((weight, draw.choice((r_low, r_high)), angle))
        least = min(least, abs(stack_resultant(layers)))
    return least


BUILDS = [
    ([_spread(0.4, "scatter", 0), _spread(0.65, "top", 0)], True),
    ([_spread(0.4, "scatter", 0), _spread(0.4, "top", 90), _spread(0.65, "top", 0)], True),
    ([_spread(0.4, "prefelt", 0), _spread(0.1, "top", 90), _spread(0.65, "top", 0)], True),
    ([_spread(0.4, "top", 0), _spread(0.4, "top", 45)], False),
    ([_spread(0.3, "batt", 20), _spread(0.4, "top", 45), _spread(0.2, "top", 110)], False),
]


@pytest.mark.parametrize(("items", "crossed"), BUILDS)
def test_kindest_is_a_lower_bound(items: list[Range], crossed: bool) -> None:
    """No draw within the ranges gets below it; with layers at right angles it is reached."""
    bound, drawn = kindest(items), _lightest(items, seed=20260201)
    assert bound <= drawn + 1e-12
    if crossed:
        assert bound == pytest.approx(drawn, abs=1e-9)


def test_kindest_of_the_build_without_its_cross_layer() -> None:
    """By hand: the base heavy, the one-way layer light and least aligned."""
    found = kindest([_spread(0.4, "scatter", 0), _spread(0.65, "top", 0)])
    assert found == pytest.approx(0.65 * 0.88 * 0.80 / (0.65 * 0.88 + 0.4 * 1.12), rel=1e-12)


def test_kindest_heeds_no_angle_of_a_layer_without_direction() -> None:
    top = _spread(0.65, "top", 0)
    found = {kindest([_spread(0.4, "scatter", degrees), top]) for degrees in (0, 30, 60, 90, 150)}
    assert max(found) - min(found) < 1e-12


def test_kindest_weighs_again_once_the_pull_has_fallen() -> None:
    """By hand: 0.611 at first, 0.343 with the first layer light, 0.28 with the second light too."""
    items = [
        (1.0, 9.0, 0.9, 0.9, 0.9, 0.0),
        (1.0, 3.0, 0.5, 0.5, 0.5, 0.0),
        (1.0, 3.0, 0.0, 0.0, 0.0, 0.0),
    ]
    assert kindest(items) == pytest.approx((0.9 + 0.5) / 5.0, rel=1e-12)


def test_kindest_takes_its_axis_at_mean_weights() -> None:
    """By hand: at weights 1 and 1 the axis lies at 22.5 degrees, and both layers pull alike."""
    items = [(1.0, 1.0, 1.0, 1.0, 1.0, 0.0), (0.0, 2.0, 1.0, 1.0, 1.0, math.pi / 4.0)]
    assert kindest(items) == pytest.approx(math.sqrt(0.5), rel=1e-12)


def test_kindest_stops_at_balance() -> None:
    """Ends that would tip the stack over to the other side count as balance in between."""
    items = [_spread(0.4, "top", 90, error=0.5), _spread(0.45, "top", 0, error=0.5)]
    assert kindest(items) == 0.0


def test_kindest_of_fixed_numbers_is_the_imbalance() -> None:
    layers = [(0.4, 0.0, 0.0), (0.4, 0.85, 1.5), (0.65, 0.85, 0.2)]
    fixed = [(w, w, r, r, r, a) for w, r, a in layers]
    assert kindest(fixed) == pytest.approx(abs(stack_resultant(layers)), rel=1e-12)


def test_nothing_that_felts_has_no_pull() -> None:
    assert stack_resultant([]) == 0j
    assert stack_resultant([(0.0, 0.85, 1.0)]) == 0j
    assert kindest([]) == 0.0
    assert kindest([(0.0, 0.0, 0.8, 0.85, 0.9, 1.0)]) == 0.0


def test_spread_at_the_ends() -> None:
    assert spread_of_alignment(0.0) == math.inf
    assert spread_of_alignment(1.0) == 0.0
    assert alignment_of_spread(0.0) == 1.0


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf])
def test_angles_without_end_are_refused(wrong: float) -> None:
    for call in (
        lambda: angle_of_bearing(wrong),
        lambda: bearing_of_angle(wrong),
        lambda: layer_resultant(0.5, wrong),
        lambda: mean_axis([wrong]),
    ):
        with pytest.raises(ValueError, match="finite"):
            call()


@pytest.mark.parametrize("wrong", [-0.1, 1.1, math.nan])
def test_nonsense_alignments_are_refused(wrong: float) -> None:
    for call in (
        lambda: layer_resultant(wrong, 0.0),
        lambda: stack_resultant([(1.0, wrong, 0.0)]),
        lambda: spread_of_alignment(wrong),
        lambda: kindest([(1.0, 1.0, wrong, 0.5, 0.9, 0.0)]),
        lambda: kindest([(1.0, 1.0, 0.1, 0.5, wrong, 0.0)]),
    ):
        with pytest.raises(ValueError, match="between 0 and 1"):
            call()


@pytest.mark.parametrize("wrong", [-0.1, math.nan, math.inf])
def test_nonsense_weights_and_spreads_are_refused(wrong: float) -> None:
    for call in (
        lambda: stack_resultant([(wrong, 0.5, 0.0)]),
        lambda: mean_axis([0.0], [wrong]),
        lambda: kindest([(wrong, 1.0, 0.1, 0.5, 0.9, 0.0)]),
        lambda: kindest([(0.0, wrong, 0.1, 0.5, 0.9, 0.0)]),
        lambda: alignment_of_spread(wrong),
    ):
        with pytest.raises(ValueError, match="positive finite"):
            call()


@pytest.mark.parametrize(
    "item",
    [
        (2.0, 1.0, 0.1, 0.5, 0.9, 0.0),
        (1.0, 2.0, 0.6, 0.5, 0.9, 0.0),
        (1.0, 2.0, 0.1, 0.95, 0.9, 0.0),
        (1.0, 2.0, 0.1, math.nan, 0.9, 0.0),
    ],
)
def test_ranges_out_of_order_are_refused(item: Range) -> None:
    with pytest.raises(ValueError, match="in order"):
        kindest([item])


def test_a_mean_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one angle"):
        mean_axis([])
    with pytest.raises(ValueError, match="at least one angle"):
        mean_axis([0.1, 0.2], [0.0, 0.0])
    with pytest.raises(ValueError, match="shorter"):
        mean_axis([0.1, 0.2], [1.0])
