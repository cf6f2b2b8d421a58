"""Check numbers of the shrinkage model: the project's own, worked out apart, no outside source.

Its priors are from memory of the craft. The update is tested against a textbook one in exact
fractions; the quantiles against printed tables (Student 1908 and after, from memory).
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from felt_engine.analysis import regression, shrinkage
from felt_engine.analysis.regression import Row
from felt_engine.analysis.shrinkage import Making, MeasuredSwatch

NORTH = math.pi / 2
GROUND = Making("firm", 0.44247, 1.0, 0.1466)
SWATCHES = (
    MeasuredSwatch(Making("firm", 0.30), (0.3, 0.3), (0.200, 0.204)),
    MeasuredSwatch(Making("firm", 0.45, 1.0, 0.15), (0.3, 0.3), (0.212, 0.221)),
    MeasuredSwatch(Making("light", 0.45, 0.85, -0.28, 0.2), (0.3, 0.3), (0.266, 0.258)),
)


def test_forecast_without_a_swatch() -> None:
    told = shrinkage.forecast(shrinkage.untaught(), GROUND)
    east, north = told.toward(), told.toward(NORTH)
    assert east.mean == pytest.approx(0.36066, abs=5e-6)
    assert east.span() == pytest.approx((0.23082, 0.49051), abs=6e-6)
    assert east.scale == pytest.approx(0.09754, abs=5e-6)
    assert east.dof == pytest.approx(17.692, abs=5e-4)
    assert north.mean == pytest.approx(0.33028, abs=5e-6)
    low, likely, high = (1000 * one for one in told.laid_for(0.250))
    assert (low, likely, high) == pytest.approx((314.91, 358.57, 408.29), abs=0.006)
    low, likely, high = (1000 * one for one in told.laid_for(0.250, NORTH))
    assert (low, likely, high) == pytest.approx((308.69, 347.84, 391.95), abs=0.006)
    assert told.area_lost == pytest.approx(0.4989, abs=5e-5)
    assert told.swatches == 0 and not told.beyond


def test_three_swatches_teach_this() -> None:
    hand = shrinkage.learn(shrinkage.untaught(), SWATCHES)
    assert hand.mean.mean == pytest.approx((0.968878, -0.417809, 0.802399), abs=6e-7)
    assert hand.mean.deviations == pytest.approx((0.053533, 0.152866, 0.257576), abs=6e-7)
    assert (hand.mean.shape, hand.mean.scale) == pytest.approx((9.5, 0.07024813), abs=6e-9)
    assert hand.ratio.mean == pytest.approx((0.370679, 0.204604), abs=6e-7)
    assert hand.ratio.deviations == pytest.approx((0.117637, 0.132042), abs=6e-7)
    assert (hand.ratio.shape, hand.ratio.scale) == pytest.approx((9.5, 0.02699913), abs=6e-9)
    told = shrinkage.forecast(hand, GROUND)
    east, north = told.toward(), told.toward(NORTH)
    assert east.mean == pytest.approx(0.35175, abs=6e-6)
    assert east.span() == pytest.approx((0.29496, 0.40853), abs=6e-6)
    assert north.mean == pytest.approx(0.31549, abs=6e-6)
    assert north.span() == pytest.approx((0.26343, 0.36755), abs=6e-6)
    sizes = [1000 * told.laid_for(0.250, angle)[1] for angle in (0.0, NORTH)]
    assert sizes == pytest.approx([355.39, 342.73], abs=0.006)
    assert told.swatches == 3


def test_weight_fixed_and_layout_free() -> None:
    strain = shrinkage.strain_of_mass(shrinkage.untaught(), "firm", 0.0411, 0.0625)
    side = shrinkage.laid_size(0.250, strain)
    assert strain == pytest.approx(0.405074, abs=6e-7)
    assert 1000 * side == pytest.approx(374.85, abs=0.006)
    assert 0.0411 / side**2 == pytest.approx(0.29250, abs=6e-6)
    again = shrinkage.forecast(shrinkage.untaught(), Making("firm", 0.0411 / side**2))
    assert again.strain == pytest.approx(strain, rel=1e-12)


@pytest.mark.parametrize(
    ("stage", "percent"),
    [("light", (1.4453, 2.8118, 5.2856)), ("firm", (3.0854, 6.0481, 11.5242))],
)
def test_out_of_square(stage: str, percent: tuple[float, ...]) -> None:
    for pull, expected in zip((0.1466, 0.2833, 0.5262), percent, strict=True):
        told = shrinkage.forecast(shrinkage.untaught(), Making(stage, 0.44247, 1.0, pull))
        assert 100 * told.out_of_square == pytest.approx(expected, abs=6e-5)


@pytest.mark.parametrize(
    ("stage", "shrinks"), [("prefelt", 6.8), ("light", 15.6), ("firm", 30.2), ("hard", 42.3)]
)
def test_what_a_stage_word_means(stage: str, shrinks: float) -> None:
    told = shrinkage.forecast(shrinkage.untaught(), Making(stage, 0.400))
    assert 100 * shrinkage.shrinkage(told.strain) == pytest.approx(shrinks, abs=0.06)


T_TABLE = [
    (0.90, 8, 1.397), (0.90, 10, 1.372), (0.90, 16, 1.337), (0.90, 30, 1.310),
    (0.95, 8, 1.860), (0.95, 20, 1.725), (0.75, 8, 0.706), (0.75, 12, 0.695),
]  # fmt: skip


@pytest.mark.parametrize(("share", "dof", "t"), T_TABLE)
def test_quantiles_of_a_printed_table(share: float, dof: float, t: float) -> None:
    assert regression.student_quantile(share, dof) == pytest.approx(t, abs=6e-4)
    assert regression.student_quantile(1 - share, dof) == pytest.approx(-t, abs=6e-4)


def _beta(x: float, dof: float) -> float:
    """Share of a Student t below x, by Simpson's rule over its density."""
    steps = 4000
    norm = math.exp(math.lgamma((dof + 1) / 2) - math.lgamma(dof / 2)) / math.sqrt(dof * math.pi)
    width = x / steps
    total = 0.0
    for k in range(steps + 1):
        weight = 1 if k in (0, steps) else 4 if k % 2 else 2
        total += weight * norm * (1 + (k * width) ** 2 / dof) ** (-(dof + 1) / 2)
    return 0.5 + total * width / 3


@pytest.mark.parametrize("dof", [8.0, 11.5, 17.692, 40.0])
@pytest.mark.parametrize("share", [0.6, 0.75, 0.9, 0.95])
def test_a_quantile_has_its_share_below_it(share: float, dof: float) -> None:
    assert _beta(regression.student_quantile(share, dof), dof) == pytest.approx(share, abs=2e-5)


@pytest.mark.parametrize(("share", "z"), [(0.9, 1.2815516), (0.975, 1.9599640), (0.999, 3.0902323)])
def test_normal_quantiles_of_a_printed_table(share: float, z: float) -> None:
    assert regression.normal_quantile(share) == pytest.approx(z, abs=6e-8)
    assert regression.normal_quantile(1 - share) == pytest.approx(-z, abs=6e-8)


def _solved(matrix: list[list[Fraction]], right: list[Fraction]) -> list[Fraction]:
    """Gauss's elimination, as in any textbook."""
    rows = [[*line, value] for line, value in zip(matrix, right, strict=True)]
    size = len(rows)
    for k in range(size):
        rows[k] = [one / rows[k][k] for one in rows[k]]
        for i in range(size):
            if i != k:
                factor = rows[i][k]
                rows[i] = [a - factor * b for a, b in zip(rows[i], rows[k], strict=True)]
    return [line[-1] for line in rows]


def test_the_update_against_exact_fractions() -> None:
    """P = P0 + Σ x x'/v, m = P⁻¹(P0 m0 + Σ x y/v), b = b0 + (m0'P0 m0 + Σ y²/v - m'P m)/2."""
    belief = regression.prior((1.0, -0.4, 0.8), (0.25, 0.2, 0.3), 0.1, 8.0)
    rows = [
        Row((1.0, -0.28, 0.0), 1.06, 1.02),
        Row((1.0, 0.11, -0.15), 0.87, 1.02),
        Row((1.0, 0.9, -0.5), 0.31, 1.09),
        Row((1.0, 0.9, -0.5), 0.28, 1.09),
    ]
    after = regression.update(belief, rows)
    exact = [[Fraction(one) for one in line] for line in belief.precision]
    old = [Fraction(one) for one in belief.mean]
    right = [sum(p * m for p, m in zip(line, old, strict=True)) for line in exact]
    square = sum(old[i] * exact[i][k] * old[k] for i in range(3) for k in range(3))
    for row in rows:
        x, y, v = [Fraction(one) for one in row.x], Fraction(row.y), Fraction(row.v)
        square += y * y / v
        for i in range(3):
            right[i] += x[i] * y / v
            for k in range(3):
                exact[i][k] += x[i] * x[k] / v
    mean = _solved(exact, right)
    square -= sum(mean[i] * exact[i][k] * mean[k] for i in range(3) for k in range(3))
    assert after.mean == pytest.approx([float(one) for one in mean], rel=1e-12)
    assert after.shape == 10.0
    assert after.scale == pytest.approx(belief.scale + float(square) / 2, rel=1e-12)
    for k in range(3):
        unit = [Fraction(int(i == k)) for i in range(3)]
        variance = after.scale / 9.0 * float(_solved(exact, unit)[k])
        assert after.deviations[k] == pytest.approx(math.sqrt(variance), rel=1e-12)
    x = (1.0, 0.2, -0.1)
    inner = sum(
        Fraction(a) * b for a, b in zip(x, _solved(exact, [Fraction(a) for a in x]), strict=True)
    )
    likely = regression.predict(after, x, 1.3)
    assert likely.scale**2 == pytest.approx(after.scale / after.shape * (1.3 + float(inner)))
    assert likely.dof == 20.0
