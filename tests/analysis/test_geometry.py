"""Plane geometry: areas by school formulas, cut faces by clipping and by hand arithmetic."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.borders import outer_length
from felt_engine.analysis.nests import by_nests
from felt_engine.analysis.patches import (
    Arrangement,
    Looks,
    Patch,
    TooIntricate,
    _edges,
    _slabs,
    decompose,
)

LAW = settings(max_examples=150, deadline=None, derandomize=True, database=None)
Point = tuple[float, float]

LENGTH = st.integers(1, 400).map(lambda k: k / 200)
PLACE = st.integers(-200, 400).map(lambda k: k / 200)


def convex(points: list[Point]) -> geo.Polygon:
    """Hull of points (monotone chain), anticlockwise."""

    def half(run: list[Point]) -> list[Point]:
        found: list[Point] = []
        for p in run:
            while len(found) > 1 and _turn(found[-2], found[-1], p) <= 1e-9:
                found.pop()
            found.append(p)
        return found[:-1]

    run = sorted(set(points))
    return tuple(half(run) + half(run[::-1]))


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def clipped(subject: geo.Polygon, window: geo.Polygon) -> list[Point]:
    """The part of a convex outline within another one (Sutherland & Hodgman 1974, from memory)."""
    found = list(subject)
    for k in range(len(window)):
        a, b = window[k - 1], window[k]
        kept: list[Point] = []
        for j in range(len(found)):
            p, q = found[j - 1], found[j]
            dp, dq = _turn(a, b, p), _turn(a, b, q)
            if (dp < 0) != (dq < 0):
                t = dp / (dp - dq)
                kept.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
            if dq >= 0:
                kept.append(q)
        found = kept
    return found


@st.composite
def rectangles(draw: st.DrawFn) -> geo.Polygon:
    x, y = draw(PLACE), draw(PLACE)
    return geo.rectangle(x, y, x + draw(LENGTH), y + draw(LENGTH))


@st.composite
def ovals(draw: st.DrawFn) -> geo.Polygon:
    return geo.oval(draw(PLACE), draw(PLACE), draw(LENGTH), draw(LENGTH))


@st.composite
def hulls(draw: st.DrawFn) -> geo.Polygon:
    points = draw(st.lists(st.tuples(PLACE, PLACE), min_size=3, max_size=8))
    hull = convex(points)
    assume(len(hull) > 2 and geo.area(hull) > 1e-3)
    return hull


SHAPES = st.one_of(rectangles(), ovals(), hulls())


def test_areas_by_school_formulas() -> None:
    assert geo.area(geo.rectangle(0, 0, 0.6, 0.4)) == pytest.approx(0.24, rel=1e-12)
    assert geo.area(geo.oval(1, 1, 0.3, 0.3)) == pytest.approx(math.pi * 0.15**2, rel=1e-12)
    assert geo.area(geo.oval(0, 0, 0.6, 0.2)) == pytest.approx(math.pi * 0.3 * 0.1, rel=1e-12)
    assert geo.area(((0, 0), (4, 0), (0, 3))) == pytest.approx(6)
    assert geo.area(((0, 0), (0, 3), (4, 0))) == pytest.approx(-6)
    assert geo.area(geo.anticlockwise(((0, 0), (0, 3), (4, 0)))) == pytest.approx(6)
    assert geo.perimeter(((0, 0), (4, 0), (0, 3))) == pytest.approx(12)
    assert geo.bounds(((0, 0), (4, 0), (0, 3))) == (0, 0, 4, 3)
    assert geo.rectangle(1, 0, 1, 1) == () and geo.oval(0, 0, 0, 1) == ()


def test_a_mirrored_outline_lies_the_other_way_round_and_runs_anticlockwise() -> None:
    corner = ((0.0, 0.0), (0.3, 0.0), (0.0, 0.2))
    assert set(geo.mirrored(corner, 0.5)) == {(0.5, 0.0), (0.2, 0.0), (0.5, 0.2)}
    assert geo.area(geo.mirrored(corner, 0.5)) == pytest.approx(geo.area(corner))
    assert set(geo.mirrored(geo.mirrored(corner, 0.5), 0.5)) == set(corner)


@LAW
@given(rectangles(), st.integers(1, 40).map(lambda k: k / 100))
def test_a_rectangle_grows_on_all_four_sides(one: geo.Polygon, by: float) -> None:
    west, south, east, north = geo.bounds(one)
    wide, deep = east - west, north - south
    assert geo.bounds(geo.grown(one, by)) == pytest.approx(
        (west - by, south - by, east + by, north + by)
    )
    left = max(0.0, wide - 2 * by) * max(0.0, deep - 2 * by)
    assert geo.area(geo.grown(one, -by)) == pytest.approx(left, abs=1e-9)


@LAW
@given(st.integers(10, 200), st.integers(1, 120))
def test_a_round_grows_by_its_radius(radius: int, percent: int) -> None:
    """A polygon of many sides stands for it: 1 % of the whole area either way."""
    whole = math.pi * radius**2
    one, by = geo.oval(0, 0, 2 * radius, 2 * radius), radius * percent / 100
    larger, smaller = geo.grown(one, by), geo.grown(one, -by)
    assert geo.area(larger) == pytest.approx(math.pi * (radius + by) ** 2, rel=0.005)
    left = math.pi * max(0.0, radius - by) ** 2
    assert geo.area(smaller) == pytest.approx(left, abs=0.01 * whole)


def test_a_long_oval_loses_its_ends_but_not_its_middle() -> None:
    """The points of an ellipse 80 x 20 at least d deep reach sqrt((a² - b²)(1 - d²/b²)) out."""
    one = geo.oval(0, 0, 0.8, 0.2)
    for depth in (0.01, 0.03, 0.06, 0.09):
        inner = geo.grown(one, -depth)
        reach = math.sqrt((0.16 - 0.01) * (1 - depth**2 / 0.01))
        west, south, east, north = geo.bounds(inner)
        assert north - south == pytest.approx(2 * (0.1 - depth), abs=1e-3)
        if depth > 0.1**2 / 0.4:  # beyond the radius of curvature of the ends
            assert east - west == pytest.approx(2 * reach, rel=0.05)
    assert geo.grown(one, -0.101) == ()


def test_a_clipped_corner_shorter_than_the_margin_is_no_trouble() -> None:
    """A square of 40 with a corner cut by 1: 5 in from all sides there is a square of 30."""
    one = ((0.0, 0.0), (0.4, 0.0), (0.4, 0.39), (0.39, 0.4), (0.0, 0.4))
    assert geo.area(geo.grown(one, -0.05)) == pytest.approx(0.09, rel=1e-9)
    assert geo.area(geo.grown(one, -0.002)) < geo.area(one)


def test_an_outline_with_an_inward_corner() -> None:
    """An L of area 5 and perimeter 12, five corners out and one in: A ± P d + (5 - 1) d²."""
    ell = ((0.0, 0.0), (3.0, 0.0), (3.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0))
    assert geo.area(geo.grown(ell, -0.2)) == pytest.approx(5 - 2.4 + 4 * 0.04)
    assert geo.area(geo.grown(ell, 0.2)) == pytest.approx(5 + 2.4 + 4 * 0.04)
    assert geo.grown(ell, -0.5) == () or geo.area(geo.grown(ell, -0.5)) < 1e-9


def test_a_needle_is_not_drawn_out_for_ever() -> None:
    needle = ((0.0, 0.0), (1.0, -0.02), (1.0, 0.02))
    west = geo.bounds(geo.grown(needle, 0.05))[0]
    assert -0.16 < west < -0.1


@LAW
@given(hulls(), st.integers(1, 30).map(lambda k: k / 100))
def test_moving_inwards_is_cutting_by_every_side_moved(one: geo.Polygon, by: float) -> None:
    inner: list[Point] = list(one)
    for k in range(len(one)):
        (ax, ay), (bx, by_) = one[k - 1], one[k]
        length = math.dist((ax, ay), (bx, by_))
        nx, ny = -(by_ - ay) / length * by, (bx - ax) / length * by
        ux, uy = (bx - ax) / length * 9, (by_ - ay) / length * 9
        a, b = (ax + nx - ux, ay + ny - uy), (bx + nx + ux, by_ + ny + uy)
        half = (a, b, (b[0] - 9 * uy, b[1] + 9 * ux), (a[0] - 9 * uy, a[1] + 9 * ux))
        inner = clipped(tuple(inner), half)
    expected = geo.area(inner) if len(inner) > 2 else 0.0
    assert geo.area(geo.grown(one, -by)) == pytest.approx(expected, abs=1e-7)


@LAW
@given(hulls(), st.integers(1, 30).map(lambda k: k / 100))
def test_out_and_in_again_is_where_it_was(one: geo.Polygon, by: float) -> None:
    sharp = any(
        math.dist(a, b) > 2.9 * by for a, b in zip(geo.grown(one, by), one, strict=False)
    )  # a corner that was cut does not come back
    assume(not sharp and len(geo.grown(one, by)) == len(one))
    back = geo.grown(geo.grown(one, by), -by)
    assert geo.area(back) == pytest.approx(geo.area(one), rel=1e-6)


@LAW
@given(st.lists(SHAPES, min_size=1, max_size=5))
def test_cutting_loses_nothing(polygons: list[geo.Polygon]) -> None:
    patches = decompose(polygons)
    for k, polygon in enumerate(polygons):
        size = math.fsum(p.area for p in patches if p.inside >> k & 1)
        assert size == pytest.approx(geo.area(polygon), rel=1e-9)
    assert all(p.area >= 0 and 0 < p.inside < 1 << len(polygons) for p in patches)


def by_inside(patches: list[Patch]) -> dict[int, float]:
    """Area inside of each set of polygons."""
    sizes: dict[int, float] = {}
    for patch in patches:
        sizes[patch.inside] = sizes.get(patch.inside, 0.0) + patch.area
    return {inside: size for inside, size in sizes.items() if size > 1e-9}


STEPS = st.integers(2, 12).map(lambda k: k / 1000)


@LAW
@given(
    st.lists(SHAPES, min_size=1, max_size=3),
    st.integers(0, 6),
    STEPS,
    st.booleans(),
    st.permutations(range(8)),
)
def test_nests_are_cut_as_all_at_once(
    others: list[geo.Polygon], count: int, step: float, round_: bool, order: list[int]
) -> None:
    make = geo.oval(9.5, 0.5, 0.4, 0.3) if round_ else geo.rectangle(9.3, 0.3, 9.7, 0.7)
    nest = [geo.grown(make, -step * k) for k in range(count)]
    found = [geo.rectangle(-9, -9, 12, 12), *others, *nest]
    polygons = [found[k] for k in order if k < len(found)]
    rings = [sorted(_edges(one), key=lambda edge: edge[1]) for one in polygons]
    try:
        nested = by_nests(polygons, rings, Looks(math.inf), _slabs)
    except TooIntricate:
        assume(False)
    assert by_inside(nested) == pytest.approx(by_inside(decompose(polygons)), abs=1e-9)
    assert outer_length(nested) == pytest.approx(outer_length(decompose(polygons)), abs=1e-6)


def test_rounds_within_rounds_are_cut_though_slabs_across_all_are_too_many() -> None:
    rounds = [geo.oval(0.5, 0.5, 0.9 - k / 60, 0.9 - k / 60) for k in range(50)]
    looks = Looks(20_000)
    rings = [sorted(_edges(one), key=lambda edge: edge[1]) for one in rounds]
    with pytest.raises(TooIntricate):
        _slabs(dict(enumerate(rings)), looks)
    sizes = by_inside(decompose(rounds, 20_000))
    for k, (one, two) in enumerate(pairwise((*rounds, ()))):
        ring = geo.area(one) - geo.area(two)
        assert sizes[(1 << k + 1) - 1] == pytest.approx(ring, rel=1e-9)


@pytest.mark.parametrize(("inner", "inside"), [
    (geo.rectangle(1, 1, 2, 2), True), (geo.rectangle(0, 0, 3, 3), True),
    (geo.rectangle(1, 1, 3.001, 2), False), (geo.rectangle(4, 4, 5, 5), False), ((), False),
    (geo.oval(1.5, 1.5, 2.9, 2.9), True),
])  # fmt: skip
def test_what_lies_in_an_outline(inner: geo.Polygon, inside: bool) -> None:
    assert geo.lies_in(inner, geo.rectangle(0, 0, 3, 3)) is inside
    notched = ((0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (1.5, 2.9), (0.0, 3.0))
    assert not geo.lies_in(inner, notched)


@LAW
@given(SHAPES, SHAPES)
def test_what_two_outlines_share_is_what_clipping_leaves(
    one: geo.Polygon, two: geo.Polygon
) -> None:
    both = math.fsum(p.area for p in decompose([one, two]) if p.inside == 3)
    left = clipped(one, two)
    assert both == pytest.approx(geo.area(left) if len(left) > 2 else 0.0, abs=1e-9)
    union = math.fsum(p.area for p in decompose([one, two]))
    assert union == pytest.approx(geo.area(one) + geo.area(two) - both, rel=1e-9)


@LAW
@given(rectangles(), rectangles())
def test_two_rectangles_by_hand(one: geo.Polygon, two: geo.Polygon) -> None:
    a, b = geo.bounds(one), geo.bounds(two)
    wide = max(0.0, min(a[2], b[2]) - max(a[0], b[0]))
    deep = max(0.0, min(a[3], b[3]) - max(a[1], b[1]))
    both = math.fsum(p.area for p in decompose([one, two]) if p.inside == 3)
    assert both == pytest.approx(wide * deep, abs=1e-12)


def test_patches_of_a_square_with_a_square_hole() -> None:
    outer, inner = geo.rectangle(0, 0, 3, 3), geo.rectangle(1, 1, 2, 2)
    sizes: dict[int, float] = {}
    for patch in decompose([outer, inner]):
        sizes[patch.inside] = sizes.get(patch.inside, 0.0) + patch.area
    assert sizes == pytest.approx({1: 8.0, 3: 1.0})
    assert decompose([]) == [] and decompose([()]) == []


def test_outlines_that_cross_themselves() -> None:
    assert geo.crosses_itself(((0, 0), (1, 1), (1, 0), (0, 1)))
    assert geo.crosses_itself(((0, 0), (1, 0), (2, 0)))
    assert geo.crosses_itself(((0, 0), (1, 0)))
    assert geo.crosses_itself(((0, 0), (1, 0), (1, 1), (0, 0)))
    assert not geo.crosses_itself(((0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)))


@LAW
@given(hulls())
def test_a_hull_never_crosses_itself(one: geo.Polygon) -> None:
    assert not geo.crosses_itself(one)


@LAW
@given(st.lists(SHAPES, min_size=1, max_size=4))
def test_what_lies_round_an_outline_s_patches_is_the_outline(polygons: list[geo.Polygon]) -> None:
    patches = decompose(polygons)
    for k, polygon in enumerate(polygons):
        own = [patch for patch in patches if patch.inside >> k & 1]
        assert outer_length(own) == pytest.approx(geo.perimeter(polygon), rel=1e-5)
        boxes = zip(*(patch.box for patch in own), strict=True)
        ends = [find(side) for find, side in zip((min, min, max, max), boxes, strict=True)]
        assert ends == pytest.approx(geo.bounds(polygon), abs=1e-8)


def test_a_patch_goes_on_as_far_as_its_edges() -> None:
    """Steps beside a square cut it nowhere, and a square within it only level with its ends."""
    square = geo.rectangle(0, 0, 9, 9)
    steps = [geo.rectangle(10 + k, k, 11 + k, k + 1.5) for k in range(6)]
    assert len(decompose([square, *steps])) < 1 + 3 * len(steps)
    assert len([p for p in decompose([square, *steps]) if p.inside & 1]) == 1
    assert len([p for p in decompose([square, geo.rectangle(3, 3, 6, 6)]) if p.inside == 1]) == 4


TEETH = [(k / 50, k % 2 * 0.9 + 0.1) for k in range(100)]
COMBS = [(*TEETH, (2.0, 0.0)), (*((y, x) for x, y in TEETH), (0.0, 2.0))]


def test_what_is_cut_too_often_is_refused_and_not_begun() -> None:
    with pytest.raises(TooIntricate):
        decompose(COMBS, 3000)
    assert len(decompose(COMBS, 10**6)) > 3000


GRID = st.tuples(st.integers(0, 6), st.integers(0, 6))


@settings(max_examples=600, deadline=None, derandomize=True, database=None)
@given(st.lists(GRID, min_size=3, max_size=8, unique=True))
def test_an_outline_crosses_itself_where_two_of_its_sides_meet(ring: list[tuple[int, int]]) -> None:
    """Against the textbook test of two line segments, in whole numbers, for every two sides."""

    def turn(p: tuple[int, int], q: tuple[int, int], r: tuple[int, int]) -> int:
        turned = (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
        return (turned > 0) - (turned < 0)

    def on(p: tuple[int, int], q: tuple[int, int], r: tuple[int, int]) -> bool:
        return turn(p, q, r) == 0 and all(
            min(p[k], q[k]) <= r[k] <= max(p[k], q[k]) for k in (0, 1)
        )

    sides = list(zip(ring, [*ring[1:], ring[0]], strict=True))
    assume(geo.area(ring) != 0)
    meet = any(
        (turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0)
        or on(a, b, c) or on(a, b, d) or on(c, d, a) or on(c, d, b)
        for i, (a, b) in enumerate(sides) for j, (c, d) in enumerate(sides)
        if i + 1 < j and (i, j) != (0, len(sides) - 1)
    )  # fmt: skip
    assert geo.crosses_itself(ring) == meet


@st.composite
def stars(draw: st.DrawFn) -> geo.Polygon:
    """An outline with notches, round a place, anticlockwise."""
    x, y, count = draw(PLACE), draw(PLACE), draw(st.integers(3, 12))
    far = draw(st.lists(LENGTH, min_size=count, max_size=count))
    return tuple(
        (x + r * math.cos(2 * math.pi * k / count), y + r * math.sin(2 * math.pi * k / count))
        for k, r in enumerate(far)
    )


def common(one: geo.Polygon, two: geo.Polygon) -> float:
    """Area that two outlines have in common, by cutting the plane at both."""
    return sum(patch.area for patch in decompose([one, two]) if patch.inside == 3)


@LAW
@given(st.one_of(SHAPES, stars()), SHAPES)
def test_what_an_outline_shares_with_a_convex_one_is_what_cutting_at_both_gives(
    one: geo.Polygon, two: geo.Polygon
) -> None:
    assert geo.area_of_both(one, two) == pytest.approx(common(one, two), abs=1e-7)


@LAW
@given(st.lists(SHAPES, min_size=1, max_size=3), st.one_of(SHAPES, stars()))
def test_an_arrangement_knows_how_much_of_each_patch_lies_in_an_outline(
    shapes: list[geo.Polygon], asked: geo.Polygon
) -> None:
    cut = Arrangement(tuple(shapes), tuple(decompose(shapes)))
    for outline in (asked, *shapes):
        shares = cut.shares(outline)
        assert cut.shares(outline) is shares
        for patch in cut.patches:
            assert shares.get(patch, 0.0) == pytest.approx(common(outline, patch.corners), abs=1e-7)


def test_what_is_shared_by_hand() -> None:
    square = geo.rectangle(0, 0, 2, 2)
    notched = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (1.0, 1.0), (0.0, 2.0))
    assert geo.area_of_both(notched, square) == pytest.approx(3.0)
    assert geo.area_of_both(notched, geo.rectangle(0, 1, 2, 3)) == pytest.approx(1.0)
    assert geo.area_of_both(square, geo.rectangle(3, 3, 4, 4)) == 0.0
    assert geo.area_of_both(geo.rectangle(-1, -1, 5, 5), square) == pytest.approx(4.0)
