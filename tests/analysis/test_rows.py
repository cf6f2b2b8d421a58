"""Row arithmetic: the project's own model, worked out by hand; no outside source.

A foot square is 304.8 mm (NIST SP 811, appendix B), a tuft 4 x 2 in; overlaps and tapers are from
memory of the craft.
"""

from __future__ import annotations

import math
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from felt_engine.analysis.rows import (
    NEXT_TUFT,
    Profile,
    overlap_to_fill,
    plan_rows,
    reach_of,
    shingle_rows,
)

FOOT, TUFT, WIDE, INCH = 304.8, 101.6, 50.8, 25.4


def test_rows_and_tufts_on_a_foot_square() -> None:
    rows, tufts = shingle_rows(FOOT, TUFT, 0.25), shingle_rows(FOOT, WIDE, NEXT_TUFT)
    assert (rows.count, round(rows.overlap, 4)) == (4, 0.3333)
    assert (tufts.count, round(tufts.overlap, 4)) == (7, 0.1667)
    plan = plan_rows(FOOT, FOOT, TUFT, WIDE, mass=0.4 * 28.349523125)
    assert (plan.rows, plan.tufts) == (rows, tufts)
    assert plan.each == pytest.approx(0.40499, abs=5.1e-6)
    assert rows.pitch == pytest.approx(TUFT * (1 - rows.overlap))


# overlap, head, tail, coefficient of variation over one pitch
COURSES = [
    (0.25, 0, 0, 0.3536), (0.25, 0, 0.25, 0.2474), (0.25, 0.25, 0.25, 0.0),
    (1 / 3, 0, 0, 0.3333), (1 / 3, 0.10, 0.35, 0.1849),
    (0.5, 0, 0, 0.0), (0.5, 0, 0.25, 0.1844), (0.5, 0.25, 0.25, 0.1925),
]  # fmt: skip


@pytest.mark.parametrize(("overlap", "head", "tail", "cv"), COURSES)
def test_how_evenly_rows_cover(overlap: float, head: float, tail: float, cv: float) -> None:
    course = Profile(TUFT, TUFT * (1 - overlap), 4, head, tail)
    assert course.variation() == pytest.approx(cv, abs=6e-5)


@pytest.mark.parametrize(
    ("head", "tail", "first", "last"),
    [(0, 0, 0.714, 0.714), (0, 0.25, 0.800, 0.400), (0.25, 0.25, 0.455, 0.455)],
)
def test_rows_that_end_at_the_outline_leave_thin_rims(
    head: float, tail: float, first: float, last: float
) -> None:
    """An inch at the ends over all between, four rows lapping by a third."""
    rows = shingle_rows(FOOT, TUFT, 0.25)
    course = Profile(TUFT, rows.pitch, rows.count, head, tail)
    assert course.extent == pytest.approx(FOOT)
    assert course.rims(INCH) == pytest.approx((first, last), abs=5e-4)


def test_an_inch_past_the_outline_mends_the_rim() -> None:
    course = Profile(TUFT, TUFT * 2 / 3, 4)
    past = course.past_to_mend(INCH)
    assert 15 < past < 30
    longer = Profile(TUFT, TUFT * 2 / 3, 7)
    assert min(longer.rims(INCH, past)) >= 0.85 > min(longer.rims(INCH, past - 5))
    assert plan_rows(FOOT, FOOT, TUFT, WIDE, strip=INCH).past == pytest.approx(past)


def test_a_blunt_tuft_needs_a_lap_past_the_outline() -> None:
    """Single cover until 75; 0.85 of 4/3 is a strip of which 3.3 lie beyond."""
    blunt = Profile(100.0, 75.0, 5, 0, 0)
    assert blunt.past_to_mend(25.0) == pytest.approx(53.3, abs=0.5)


@pytest.mark.parametrize(
    ("overlap", "head", "tail", "window", "least"),
    [
        (0.0, 0.25, 0.25, 1e-3, 0.0),
        (0.1, 0.25, 0.25, 1e-3, 0.4 / (0.75 / 0.9)),
        (0.25, 0.25, 0.25, 25.0, 1.0),
        (0.0, 0, 0, 25.0, 1.0),
        (0.0, 0, 0.25, 25.0, 0.5 / 0.875),
        (0.0, 0.25, 0.25, 25.0, 0.25 / 0.75),
        (0.5, 0.25, 0.25, 1000.0, 1.0),
    ],
)
def test_the_thin_line_where_rows_meet(
    overlap: float, head: float, tail: float, window: float, least: float
) -> None:
    """Where tapers lap too little the weight there is overlap over taper of a full tuft."""
    course = Profile(100.0, 100.0 * (1 - overlap), 3, head, tail)
    assert course.thinnest(window) == pytest.approx(least, abs=1e-3)


def test_how_far_rows_reach_and_what_it_takes_to_fill() -> None:
    assert reach_of(5, 12.0, 1 / 3) == pytest.approx(44.0)
    assert overlap_to_fill(7, 60.0, 12.0) == pytest.approx(1 / 3)
    assert overlap_to_fill(4, 60.0, 12.0) == pytest.approx(-1 / 3)
    assert (overlap_to_fill(1, 12.0, 12.0), overlap_to_fill(1, 15.0, 12.0)) == (0.0, -0.25)


@given(st.integers(2, 40), st.floats(0.01, 1.0), st.floats(0.0, 0.9))
def test_filling_a_length_undoes_reaching_it(count: int, tuft: float, overlap: float) -> None:
    length = reach_of(count, tuft, overlap)
    assert overlap_to_fill(count, length, tuft) == pytest.approx(overlap, abs=1e-9)


@given(st.floats(0.02, 0.5), st.floats(0.0, 0.6), st.floats(0.0, 0.5), st.floats(0.0, 0.5))
def test_nothing_is_lost_between_the_rows(
    tuft: float, overlap: float, head: float, tail: float
) -> None:
    course = Profile(tuft, tuft * (1 - overlap), 5, head, tail)
    whole = 5 * tuft * (1 - (head + tail) / 2)
    assert course.mean(-1.0, 4.0) * 5.0 == pytest.approx(whole)
    near, far = course.mean(-1.0, 0.3), course.mean(0.3, 4.0)
    assert near * 1.3 + far * 3.7 == pytest.approx(whole)
    assert -1e-9 <= course.thinnest(0.02) <= 1.0 and course.variation() >= 0.0


@pytest.mark.parametrize("wrong", [(0.6, 0.5), (-0.1, 0.1), (math.nan, 0.1)])
def test_tapers_that_do_not_fit_are_refused(wrong: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="tapers"):
        Profile(0.1, 0.07, 3, *wrong)


def test_nonsense_rows_are_refused() -> None:
    for call in (
        lambda: Profile(0.1, 0.07, 0), lambda: reach_of(0, 0.1, 0.2),
        lambda: overlap_to_fill(0, 1.0, 0.1),
    ):  # fmt: skip
        with pytest.raises(ValueError, match="row"):
            call()
    with pytest.raises(ValueError, match="overlap"):
        reach_of(3, 0.1, 1.0)


def test_values_pickle_and_compare() -> None:
    plan = plan_rows(0.6, 0.9, 0.12, 0.06, mass=0.048, overlap=1 / 3)
    assert pickle.loads(pickle.dumps(plan)) == plan
    assert Profile(0.1, 0.07, 3) == Profile(0.1, 0.07, 3) != Profile(0.1, 0.07, 4)
