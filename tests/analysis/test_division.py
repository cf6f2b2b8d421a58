"""Runs that part a stack, and how far a divided part reaches: against plain and slow ways to tell."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import felt_engine
from felt_engine.analysis import division
from felt_engine.analysis.division import _candidates, _farthest, _Near, runs
from felt_engine.analysis.geometry import Polygon, bounds

LAW = settings(max_examples=150, deadline=None, derandomize=True, database=None)


class Lies:
    """As much of a laid amount as a run asks about."""

    def __init__(self, coverage: float, felting_share: float, is_closed: bool) -> None:
        self.coverage, self.felting_share, self.is_closed = coverage, felting_share, is_closed
        self.portion_of = id(self)


STACKS = st.lists(
    st.builds(
        Lies, st.sampled_from([0.2, 1.0, 3.0]), st.sampled_from([0.0, 0.3, 0.8, 1.0]), st.booleans()
    ),
    min_size=1, max_size=9,
)  # fmt: skip


def slowly(leaf: list[Lies], depth: float, skin: float, enough: float) -> list[tuple[int, int]]:
    """All runs by themselves, the worst bridged first, each that meets none before it."""
    every = []
    for first in range(len(leaf)):
        for last in range(first, len(leaf)):
            run = leaf[first : last + 1]
            sides = (leaf[:first], leaf[last + 1 :])
            if any(sum(one.coverage * one.felting_share for one in side) < skin for side in sides):
                continue
            if not all(one.is_closed or one.felting_share < 0.5 for one in (run[0], run[-1])):
                continue
            cover = wool = 0.0
            for one in run:
                cover += one.coverage
                wool += one.coverage * one.felting_share
            shut = any(one.is_closed for one in run)
            share = division._bridged(cover, wool / cover, depth, shut)
            if share < enough and (shut or wool < enough * cover):
                every.append((share, last - first, first, last))
    found: list[tuple[int, int]] = []
    for _, _, first, last in sorted(every):
        if all(last < start or first > end for start, end in found):
            found.append((first, last))
    return found


@LAW
@given(STACKS, st.sampled_from([0.5, 1.7, 2.4]), st.sampled_from([0.08, 0.2, math.inf]))
def test_runs_are_those_of_the_slow_way(leaf: list[Lies], depth: float, enough: float) -> None:
    found = runs(leaf, depth, 0.15, enough)  # type: ignore[arg-type]
    ends = [(len(run.below), len(run.below) + len(run.layers) - 1) for run in found]
    assert ends == slowly(leaf, depth, 0.15, enough)


def test_no_longer_run_of_a_sheet_is_looked_at() -> None:
    leaf = [
        Lies(3.0, 1.0, False),
        *(Lies(1.0, 0.0, True) for _ in range(200)),
        Lies(3.0, 1.0, False),
    ]
    assert len(list(_candidates(leaf, 1.7, 0.15, 0.2))) == 200  # type: ignore[arg-type]


def test_a_sheet_in_portions_is_one_sheet() -> None:
    halves = [Lies(1.0, 0.5, True) for _ in range(2)]
    assert len(runs([Lies(3.0, 1.0, False), *halves], 1.7, 0.15)) == 1  # type: ignore[list-item]
    for one in halves:
        one.portion_of = 7
    assert not runs([Lies(3.0, 1.0, False), *halves], 1.7, 0.15)  # type: ignore[list-item]
    leaf = [Lies(3.0, 1.0, False), *halves, Lies(3.0, 1.0, False)]
    (run,) = runs(leaf, 1.7, 0.15)  # type: ignore[arg-type]
    assert run.layers == tuple(halves)


def reach(wide: float, long: float, least: float, enough: float, turned: bool) -> float:
    """How far the middle of a strip between two lines lies from them."""

    def at(x: float, y: float) -> tuple[float, float]:
        return (y, x) if turned else (x, y)

    strip: Polygon = tuple(at(*corner) for corner in ((0, 0), (long, 0), (long, wide), (0, wide)))
    lines = [(at(0, 0), at(long, 0)), (at(0, wide), at(long, wide))]
    near = _Near([(line, bounds(line)) for line in lines], [bounds(strip)], enough)
    return _farthest([strip], near, least, enough)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("wide", [0.004, 0.01, 0.0117, 0.02, 0.0399, 0.04, 0.0401, 0.06])
@pytest.mark.parametrize("long", [0.3, 3.0])
def test_a_strip_is_told_from_what_is_asked_however_long_it_is(
    wide: float, long: float, turned: bool
) -> None:
    least, enough = 0.005, 0.02
    far = reach(wide, long, least, enough, turned)
    if wide <= 0.01:
        assert far <= least
    elif wide >= 0.04:
        assert far >= enough
    else:
        assert least < far and wide / 2 / 1.03 <= far <= 1.03 * wide / 2


WEB = """\
piece: {{title: Pad, use: wall panel, shape: rectangle, stage: light, laid out: 60 x 60 cm}}
lots:
  a: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  v: {{fibre: viscose, preparation: combed top}}
zones: {{o: {{shape: {shape}, size: {size} cm, at: "{east} cm east, {north} cm north"}}}}
layers:
  - {{name: under, of: a, amount: 200 g/m², direction: random}}
  - {{name: web, of: v, amount: 300 g/m², zone: o, direction: random}}
  - {{name: over, of: a, amount: 200 g/m², direction: random}}
"""


@pytest.mark.parametrize("shape", ["rectangle", "oval"])
@pytest.mark.parametrize("wide", [4.95, 5, 5.05, 5.1, 9.8, 9.85, 9.9, 9.95, 9.99, 10, 10.05])
def test_how_wide_a_web_is_ends_and_is_one_whichever_way_it_lies(shape: str, wide: float) -> None:
    """Along the middle of a strip every point is as far from its edge as the next: at 5.05 cm just so
    far as is asked, and the search for a farther one has to end.
    """
    told = set()
    for size in (f"14 x {wide}", f"{wide} x 14"):
        for east, north in ((20, 25), (33.37, 17.91), (13.33, 27.77)):
            text = WEB.format(shape=shape, size=size, east=east, north=north)
            levels = [
                f.level for f in felt_engine.check(text).findings if f.rule == "cut-off-layer"
            ]
            told.add(tuple(levels))
    assert len(told) == 1
    assert told == {("fault",)} if wide > 9.99 else told <= {(), ("caution",), ("fault",)}
