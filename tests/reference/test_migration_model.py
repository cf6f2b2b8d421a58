"""Migration of fibre to the face.

Computed by the project's own model, no outside source: the figures below are the model's.  The
closed form is held against the stated process in two independent ways, by a seeded simulation and
by numeric integration.
"""

from __future__ import annotations

import math
import random

import pytest

from felt_engine.analysis.coverage import cylinder_coverage, film_coverage
from felt_engine.analysis.migration import (
    DEPTH,
    DEPTH_FACTOR,
    anchor_share,
    bridge_share,
    layer_shares,
    under_share,
)

DEPTHS = [0.5, 1.0, 1.7, 2.4]
COVERS = [0.3, 1.0, 3.0, 5.787]
STAGES = ["light", "firm", "hard"]
BENEATH = (12.0, 1.0)

# NIST SP 811 (2008), Appendix B: 1 oz = 28.349523125 g, 1 square foot = 0.09290304 m2.
OUNCE_PER_FOOT2 = 28.349523125e-3 / 0.09290304
# Density in kg/m3 (Morton & Hearle, from memory), diameter or thickness in m (from memory).
WOOL, SILK, VISCOSE = (20.5e-6, 1310.0), (12.5e-6, 1340.0), (14e-6, 1510.0)
BAMBOO, NYLON, FILM = (13e-6, 1510.0), (19e-6, 1140.0), (12e-6, 1380.0)


def _ounces(ounces: float, fibre: tuple[float, float]) -> float:
    return cylinder_coverage(ounces * OUNCE_PER_FOOT2, *fibre)


def _simulated(cover: float, depth: float, seed: int) -> tuple[float, float]:
    """Simulate the process; return the share of the face and its standard error.

    Fibres lie evenly from the face down to a floor far below all that can show.  Each takes one
    normal step and is reflected at the face; it shows with exp(-depth reached).
    """
    draw = random.Random(seed)
    floor = cover + 6.0 * depth + 12.0
    count, shown, under, squares = 120_000, 0.0, 0.0, 0.0
    weights = []
    for _ in range(count):
        start = draw.uniform(0.0, floor)
        weight = math.exp(-abs(start + depth * draw.gauss(0.0, 1.0)))
        shown += weight
        under += weight if start > cover else 0.0
        weights.append((weight, start > cover))
    share = under / shown
    squares = sum((w * (below - share)) ** 2 for w, below in weights)
    return share, math.sqrt(squares) / shown


def _integrated(cover: float, depth: float) -> float:
    """Integrate the process: start depth by Simpson's rule, step by the trapezium rule."""

    def shows(start: float) -> float:
        return sum(p * math.exp(-abs(start + depth * z)) for z, p in steps)

    h = 0.02
    steps = [
        (i * h, h * math.exp(-0.5 * (i * h) ** 2) / math.sqrt(math.tau)) for i in range(-400, 401)
    ]
    reach, parts = 6.0 * depth + 12.0, 400
    width = reach / parts
    total = shows(cover) + shows(cover + reach)
    total += sum((4 if i % 2 else 2) * shows(cover + i * width) for i in range(1, parts))
    return total * width / 3.0


@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize("cover", COVERS)
def test_closed_form_against_a_simulation_of_the_process(cover: float, depth: float) -> None:
    """Within four standard errors, which are themselves small."""
    found, error = _simulated(cover, depth, seed=int(1000 * cover + 10 * depth))
    assert error < 0.006
    assert abs(under_share(cover, depth) - found) <= 4.0 * error


@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize("cover", [0.0, *COVERS])
def test_closed_form_against_numeric_integration(cover: float, depth: float) -> None:
    assert under_share(cover, depth) == pytest.approx(_integrated(cover, depth), abs=2e-5)


@pytest.mark.parametrize(
    ("cover", "shares"),
    [
        (1.0, (0.415386, 0.518617, 0.636556, 0.714523)),
        (3.0, (0.056416, 0.081869, 0.166043, 0.275312)),
        (5.787, (0.003476, 0.005057, 0.012870, 0.039107)),
        (9.404, (0.000093, 0.000136, 0.000349, 0.001434)),
    ],
)
def test_figures_of_the_model(cover: float, shares: tuple[float, ...]) -> None:
    found = [under_share(cover, depth) for depth in DEPTHS]
    assert found == pytest.approx(shares, abs=5.1e-7)


def test_ends_of_the_share() -> None:
    """Nothing above: all that shows.  No wandering: only what the gaps let through."""
    for depth in (0.0, 1e-9, 0.5, 2.4, 9.0):
        assert under_share(0.0, depth) == pytest.approx(1.0, abs=1e-12)
    for cover in (0.1, 2.0, 30.0):
        assert under_share(cover, 0.0) == math.exp(-cover)
        assert under_share(cover, 1e-6) == pytest.approx(math.exp(-cover), rel=1e-6)
    assert under_share(2000.0, 2.4) == under_share(1e90, 2.4) == 0.0


def test_depth_counts_up_to_four() -> None:
    assert under_share(3.0, 4.0) == under_share(3.0, 5.0) == under_share(3.0, 1e90)
    assert under_share(3.0, 3.9) < under_share(3.0, 4.0)
    assert under_share(3.0, 4.0) == pytest.approx(_integrated(3.0, 4.0), abs=2e-5)


@pytest.mark.parametrize("depth", [0.5, 2.4, 4.0])
def test_far_down_the_two_branches_meet(depth: float) -> None:
    edge = 38.0 * depth
    above, below = under_share(edge * (1 - 1e-12), depth), under_share(edge, depth)
    assert above == pytest.approx(below, rel=1e-8)
    assert below > 0.0


def test_shares_of_three_layers() -> None:
    found = layer_shares((2.0, 3.0, 4.0), 2.4)
    assert found == pytest.approx((0.534602, 0.392790, 0.072608), abs=5.1e-7)


def test_a_single_layer_takes_the_face() -> None:
    assert layer_shares([0.0], 1.7) == (1.0,)


def test_depth_by_stage() -> None:
    """Values from memory of the craft, not measured."""
    assert DEPTH == {"prefelt": 0.5, "light": 1.0, "firm": 1.7, "hard": 2.4}
    assert DEPTH_FACTOR == 1.5


@pytest.mark.parametrize(
    ("cover", "share"), [(1.0, 0.768668), (2.32, 0.495016), (4.639, 0.172438), (9.28, 0.006345)]
)
def test_bridges_through_a_barrier(cover: float, share: float) -> None:
    assert bridge_share(cover, DEPTH["firm"]) == pytest.approx(share, abs=5.1e-7)


@pytest.mark.parametrize("cover", [1.0, 4.639])
def test_bridges_against_a_simulation(cover: float) -> None:
    """A fibre at the middle of the barrier that steps beyond either side has bridged it."""
    draw, count = random.Random(20260202), 100_000
    found = sum(abs(1.7 * draw.gauss(0.0, 1.0)) > cover / 2.0 for _ in range(count)) / count
    assert abs(bridge_share(cover, 1.7) - found) <= 4.0 * math.sqrt(found * (1 - found) / count)


def test_ends_of_the_bridge() -> None:
    assert bridge_share(0.0, 0.0) == bridge_share(0.0, 1.7) == 1.0
    assert bridge_share(0.001, 0.0) == 0.0


@pytest.mark.parametrize(
    ("ounces", "share"), [(0.1, 0.495), (0.2, 0.172), (0.3, 0.041), (0.4, 0.006)]
)
def test_silk_inside_a_stack(ounces: float, share: float) -> None:
    found = bridge_share(_ounces(ounces, SILK), DEPTH["firm"])
    assert found == pytest.approx(share, abs=5.1e-4)


def _mix(ounces: float, wool: float) -> tuple[float, float]:
    """Return (cover, felting share) of merino and silk blended by mass."""
    felting, other = _ounces(ounces * wool, WOOL), _ounces(ounces * (1.0 - wool), SILK)
    return felting + other, felting / (felting + other)


VEIL = (cylinder_coverage(0.010, *WOOL), 1.0)


@pytest.mark.parametrize(
    ("face", "cover", "share"),
    [
        ([(_ounces(0.1, VISCOSE), 0.0)], 1.837896, 0.388377),
        ([(_ounces(0.2, SILK), 0.0)], 4.639179, 0.039054),
        ([VEIL, (_ounces(0.2, SILK), 0.0)], 0.474116, 0.202479),
        ([(film_coverage(0.120, *FILM), 0.0)], 7.246377, 0.003021),
    ],
    ids=["viscose", "silk", "silk under a veil", "film"],
)
def test_anchors_to_six_digits(face: list[tuple[float, float]], cover: float, share: float) -> None:
    assert face[0][0] == pytest.approx(cover, abs=5.1e-7)
    assert anchor_share([*face, BENEATH], DEPTH["firm"]) == pytest.approx(share, abs=5.1e-7)


@pytest.mark.parametrize(
    ("face", "shares"),
    [
        ([(_ounces(0.1, VISCOSE), 0.0)], (0.25, 0.388, 0.50)),
        ([(_ounces(0.2, VISCOSE), 0.0)], (0.04, 0.094, 0.18)),
        ([(_ounces(0.3, VISCOSE), 0.0)], (0.01, 0.017, 0.05)),
        ([(_ounces(0.1, SILK), 0.0)], (0.16, 0.279, 0.40)),
        ([(_ounces(0.15, SILK), 0.0)], (0.05, 0.111, 0.21)),
        ([(_ounces(0.2, SILK), 0.0)], (0.02, 0.039, 0.10)),
        ([VEIL, (_ounces(0.2, SILK), 0.0)], (0.25, 0.202, 0.20)),
        ([_mix(0.2, 0.5)], (0.41, 0.438, 0.49)),
        ([_mix(0.3, 0.2)], (0.14, 0.141, 0.16)),
        ([(film_coverage(0.005, *FILM), 0.0)], (0.84, 0.886, 0.91)),
    ],
)
def test_anchors_of_usual_faces(
    face: list[tuple[float, float]], shares: tuple[float, float, float]
) -> None:
    """Faces of the trade: common practice, no source.  Firm to three decimals, others to two."""
    found = [anchor_share([*face, BENEATH], DEPTH[stage]) for stage in STAGES]
    assert found == pytest.approx(shares, abs=0.0055)
    assert found[1] == pytest.approx(shares[1], abs=5.1e-4)


def test_anchors_of_a_rich_blend_hardly_depend_on_the_stage() -> None:
    for stage in STAGES:
        assert anchor_share([_mix(0.3, 0.7), BENEATH], DEPTH[stage]) == pytest.approx(0.6, abs=0.02)


@pytest.mark.parametrize(("cover", "share"), [(2.765, 0.20), (3.86, 0.08)])
def test_covers_at_the_limits(cover: float, share: float) -> None:
    found = anchor_share([(cover, 0.0), BENEATH], DEPTH["firm"])
    assert found == pytest.approx(share, abs=1e-4)


@pytest.mark.parametrize(
    ("fibre", "low", "high"),
    [(SILK, 36, 51), (VISCOSE, 46, 64), (BAMBOO, 43, 60), (NYLON, 47, 66)],
)
def test_weights_at_the_limits(fibre: tuple[float, float], low: float, high: float) -> None:
    once = 1e3 / cylinder_coverage(1.0, *fibre)
    assert 2.765 * once == pytest.approx(low, abs=0.5)
    assert 3.86 * once == pytest.approx(high, abs=0.5)


def test_nothing_below_felts() -> None:
    assert anchor_share([(_ounces(0.1, VISCOSE), 0.0), (12.0, 0.0)], 1.7) == 0.0


@pytest.mark.parametrize("wrong", [-0.1, math.nan, math.inf])
def test_negative_and_endless_numbers_are_refused(wrong: float) -> None:
    for call in (
        lambda: under_share(wrong, 1.7),
        lambda: under_share(1.0, wrong),
        lambda: layer_shares([wrong], 1.7),
        lambda: layer_shares([1.0, wrong], 1.7),
        lambda: layer_shares([1.0], wrong),
        lambda: bridge_share(wrong, 1.7),
        lambda: bridge_share(1.0, wrong),
        lambda: anchor_share([(wrong, 1.0)], 1.7),
    ):
        with pytest.raises(ValueError, match="must be zero or a positive finite number"):
            call()


@pytest.mark.parametrize("wrong", [-0.1, 1.1, math.nan])
def test_nonsense_felting_shares_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="felting share"):
        anchor_share([(1.0, wrong)], 1.7)


def test_a_face_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one layer"):
        layer_shares([], 1.7)
    with pytest.raises(ValueError, match="at least one layer"):
        anchor_share([], 1.7)
