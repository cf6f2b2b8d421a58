"""Laws of the shrinkage model and of its regressions, for anything drawn at random."""

from __future__ import annotations

import math
import pickle

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from felt_engine.analysis import regression, shrinkage
from felt_engine.analysis.regression import Belief, Row
from felt_engine.analysis.shrinkage import Making, MeasuredSwatch

LAW = settings(max_examples=150, deadline=None, derandomize=True, database=None)
NORTH = math.pi / 2
SHARES = st.floats(0, 1)
SIGNED = st.floats(-1, 1)


@st.composite
def makings(draw: st.DrawFn) -> Making:
    length, angle = draw(SHARES), draw(st.floats(0, math.pi))
    pull = complex(length * math.cos(2 * angle), length * math.sin(2 * angle))
    stage = draw(st.sampled_from(tuple(shrinkage.STAGE_STRAIN)))
    return Making(stage, draw(st.floats(0.03, 2.0)), draw(SHARES), pull, draw(SIGNED))


@st.composite
def swatches(draw: st.DrawFn) -> MeasuredSwatch:
    laid = (draw(st.floats(0.1, 1.0)), draw(st.floats(0.1, 1.0)))
    kept = [math.exp(-draw(st.floats(-0.02, 0.9))) for _ in laid]
    return MeasuredSwatch(draw(makings()), laid, (laid[0] * kept[0], laid[1] * kept[1]))


def turned(making: Making) -> Making:
    """The same, the table turned by a quarter."""
    return attrs.evolve(making, pull=-making.pull, rolling=-making.rolling)


def swapped(swatch: MeasuredSwatch) -> MeasuredSwatch:
    return MeasuredSwatch(turned(swatch.making), swatch.laid[::-1], swatch.finished[::-1])


def near(one: Belief, two: Belief) -> bool:
    lines = zip((*one.precision, one.mean), (*two.precision, two.mean), strict=True)
    close = all(a == pytest.approx(b, rel=1e-8, abs=1e-10) for a, b in lines)
    return close and one.shape == two.shape and math.isclose(one.scale, two.scale, rel_tol=1e-8)


TAUGHT = st.lists(swatches(), max_size=6)


@LAW
@given(TAUGHT, swatches())
def test_a_swatch_never_makes_the_coefficients_less_sure(
    before: list[MeasuredSwatch], more: MeasuredSwatch
) -> None:
    one = shrinkage.learn(shrinkage.untaught(), before)
    two = shrinkage.learn(one, [more])
    for old, new in ((one.mean, two.mean), (one.ratio, two.ratio)):
        for k in range(len(old.mean)):
            unit = tuple(float(i == k) for i in range(len(old.mean)))
            width = [regression.predict(attrs.evolve(b, scale=1.0, shape=1.0), unit).scale
                     for b in (old, new)]  # fmt: skip
            assert width[1] <= width[0] * (1 + 1e-9)
            assert new.precision[k][k] >= old.precision[k][k]
    assert two.swatches == one.swatches + 1


@LAW
@given(TAUGHT, st.randoms(use_true_random=False))
def test_in_one_go_or_one_by_one_in_any_order(taught: list[MeasuredSwatch], chance: object) -> None:
    at_once = shrinkage.learn(shrinkage.untaught(), taught)
    chance.shuffle(taught)  # type: ignore[attr-defined]
    hand = shrinkage.untaught()
    for one in taught:
        hand = shrinkage.learn(hand, [one])
    assert near(at_once.mean, hand.mean) and near(at_once.ratio, hand.ratio)


@LAW
@given(TAUGHT, makings())
def test_a_quarter_turn_of_all_swaps_the_two_directions(
    taught: list[MeasuredSwatch], making: Making
) -> None:
    plain = shrinkage.forecast(shrinkage.learn(shrinkage.untaught(), taught), making)
    other = shrinkage.forecast(
        shrinkage.learn(shrinkage.untaught(), map(swapped, taught)), turned(making)
    )
    for angle in (0.0, 0.4, NORTH):
        one, two = plain.toward(angle), other.toward(angle + NORTH)
        assert one.mean == pytest.approx(two.mean, rel=1e-7, abs=1e-9)
        assert one.scale == pytest.approx(two.scale, rel=1e-7)
    assert plain.out_of_square == pytest.approx(other.out_of_square, rel=1e-7, abs=1e-9)


@LAW
@given(TAUGHT, st.floats(0.01, 100), makings())
def test_sizes_in_any_unit_teach_the_same(
    taught: list[MeasuredSwatch], unit: float, making: Making
) -> None:
    larger = [
        attrs.evolve(
            one, laid=(one.laid[0] * unit, one.laid[1] * unit),
            finished=(one.finished[0] * unit, one.finished[1] * unit),
        ) for one in taught
    ]  # fmt: skip
    hands = [shrinkage.learn(shrinkage.untaught(), known) for known in (taught, larger)]
    one, two = (shrinkage.forecast(hand, making).toward() for hand in hands)
    assert one.mean == pytest.approx(two.mean, rel=1e-6, abs=1e-9)
    told = shrinkage.forecast(hands[0], making)
    assert told.laid_for(0.25 * unit)[1] == pytest.approx(unit * told.laid_for(0.25)[1])


@LAW
@given(makings(), st.floats(0.01, 3.0), st.floats(0, math.pi), TAUGHT)
def test_layout_and_finished_size_undo_each_other(
    making: Making, size: float, angle: float, taught: list[MeasuredSwatch]
) -> None:
    told = shrinkage.forecast(shrinkage.learn(shrinkage.untaught(), taught), making)
    low, likely, high = told.laid_for(size, angle)
    assert low <= likely <= high
    assert told.finished_from(likely, angle)[1] == pytest.approx(size)
    assert told.finished_from(low, angle)[2] == pytest.approx(size)
    assert told.finished_from(high, angle)[0] == pytest.approx(size)


@LAW
@given(makings())
def test_the_two_directions_have_the_mean_strain_between_them(making: Making) -> None:
    told = shrinkage.forecast(shrinkage.untaught(), making)
    assert told.toward().mean + told.toward(NORTH).mean == pytest.approx(2 * told.strain)
    greatest = max(told.toward(k * math.pi / 360).mean for k in range(360))
    assert greatest == pytest.approx(told.strain * (1 + abs(told.askew)), rel=1e-4)
    wider, usual = told.toward().span(0.9), told.toward().span()
    assert wider[0] <= usual[0] <= told.toward().mean <= usual[1] <= wider[1]


@LAW
@given(makings(), st.floats(1.05, 5.0))
def test_heavier_and_slower_wool_shrinks_less(making: Making, factor: float) -> None:
    usual = shrinkage.forecast(shrinkage.untaught(), making).strain
    heavy = attrs.evolve(making, areal=making.areal * factor)
    slow = attrs.evolve(making, felts=making.felts / factor)
    for other in (heavy, slow):
        assert 0 < shrinkage.forecast(shrinkage.untaught(), other).strain <= usual


@LAW
@given(TAUGHT, swatches())
def test_a_swatch_that_is_unlearnt_has_never_been_there(
    others: list[MeasuredSwatch], own: MeasuredSwatch
) -> None:
    hand = shrinkage.learn(shrinkage.untaught(), others)
    again = shrinkage.unlearn(shrinkage.learn(hand, [own]), own)
    assert near(again.mean, hand.mean) and near(again.ratio, hand.ratio)
    assert again.swatches == hand.swatches


@LAW
@given(st.floats(-0.5, 0.99), st.floats(0.001, 10))
def test_shrinkage_and_strain_undo_each_other(share: float, length: float) -> None:
    strain = shrinkage.strain_of(share)
    assert shrinkage.shrinkage(strain) == pytest.approx(share, abs=1e-12)
    assert shrinkage.finished_size(length, strain) == pytest.approx(length * (1 - share))
    assert shrinkage.laid_size(length, strain) == pytest.approx(length / (1 - share))


def test_fibre_taken_along_is_all_still_there() -> None:
    assert shrinkage.finished_areal(0.4, shrinkage.strain_of(0.3)) == pytest.approx(0.4 / 0.49)


@LAW
@given(st.floats(0.005, 2.0), st.floats(0.01, 1.0), SHARES)
def test_a_fixed_weight_agrees_with_the_forecast_for_its_layout(
    mass: float, area: float, felts: float
) -> None:
    hand = shrinkage.untaught()
    for stage in shrinkage.STAGE_STRAIN:
        strain = shrinkage.strain_of_mass(hand, stage, mass, area, felts)
        areal = mass / (area * math.exp(2 * strain))
        again = shrinkage.forecast(hand, Making(stage, areal, felts)).strain
        assert again == pytest.approx(strain, rel=1e-9) or strain == pytest.approx(
            0.05 * shrinkage.STAGE_STRAIN[stage]
        )


@pytest.mark.parametrize(
    ("areal", "beyond"), [(0.0599, True), (0.0601, False), (1.1999, False), (1.2001, True)]
)
def test_a_weight_out_of_range_is_marked_and_not_refused(areal: float, beyond: bool) -> None:
    told = shrinkage.forecast(shrinkage.untaught(), Making("firm", areal))
    assert told.beyond is beyond and told.strain > 0


def test_a_swatch_that_did_not_shrink_teaches_no_ratio_and_breaks_nothing() -> None:
    same = MeasuredSwatch(Making("firm", 0.4, 0.1, 0.5), (0.3, 0.3), (0.3, 0.3))
    grown = attrs.evolve(same, finished=(0.31, 0.3))
    assert shrinkage.ratio_row(same) is None and shrinkage.ratio_row(grown) is None
    assert shrinkage.mean_row(same).y == 0.0
    hand = shrinkage.learn(shrinkage.untaught(), [same, grown])
    assert hand.ratio == shrinkage.untaught().ratio
    assert hand.mean.mean[0] < 1.0 and hand.mean.mean[2] > 0.8
    assert shrinkage.forecast(hand, Making("firm", 1.0, 0.0)).strain > 0


def test_what_is_not_felted_wool_is_refused() -> None:
    fine = Making("firm", 0.4)
    for wrong in (
        {"stage": "rock"}, {"areal": 0.0}, {"areal": math.nan}, {"areal": math.inf},
        {"felts": 1.2}, {"felts": math.nan}, {"pull": 1.5 + 0j}, {"rolling": -2.0},
    ):  # fmt: skip
        with pytest.raises(ValueError):
            attrs.evolve(fine, **wrong)
    for lengths in ((0.3, 0.0), (math.nan, 0.2), (-1.0, 0.2)):
        with pytest.raises(ValueError):
            MeasuredSwatch(fine, (0.3, 0.3), lengths)
    for call in (
        lambda: shrinkage.strain_of(1.0),
        lambda: shrinkage.strain_of_mass(shrinkage.untaught(), "firm", 0.0, 1.0),
        lambda: regression.normal_quantile(1.0),
        lambda: regression.student_quantile(0.9, 2.0),
        lambda: regression.prior((1.0,), (0.0,), 0.1, 8.0),
        lambda: regression.update(shrinkage.untaught().mean, [Row((1.0,), 0.3)]),
        lambda: regression.update(shrinkage.untaught().ratio, [Row((1.0, math.nan), 0.3)]),
        lambda: regression.update(shrinkage.untaught().ratio, [Row((1.0, 0.0), 0.3, 0.0)]),
    ):
        with pytest.raises(ValueError):
            call()


def test_a_hand_in_which_weight_counts_too_much_gives_no_layout() -> None:
    hand = shrinkage.untaught()
    wild = attrs.evolve(hand, mean=attrs.evolve(hand.mean, mean=(1.0, -1.5, 0.8)))
    with pytest.raises(ValueError, match="no layout size follows"):
        shrinkage.strain_of_mass(wild, "firm", 0.04, 0.06)


def test_everything_pickles_and_is_a_value() -> None:
    swatch = MeasuredSwatch(Making("firm", 0.4, 0.9, 0.2j), (0.3, 0.3), (0.21, 0.22))
    hand = shrinkage.learn(shrinkage.untaught(), [swatch])
    told = shrinkage.forecast(hand, swatch.making)
    for one in (swatch, hand, told):
        assert pickle.loads(pickle.dumps(one)) == one
    assert shrinkage.learn(hand, []) == hand


@LAW
@given(makings(), st.floats(0, math.pi), TAUGHT)
def test_no_range_has_felt_grow_that_likely_shrinks(
    making: Making, angle: float, taught: list[MeasuredSwatch]
) -> None:
    told = shrinkage.forecast(shrinkage.learn(shrinkage.untaught(), taught), making)
    low, likely, high = told.between(angle)
    assert low <= likely <= high
    assert low >= min(0.0, likely)
    assert (likely, high) == (told.toward(angle).mean, told.toward(angle).span()[1])
