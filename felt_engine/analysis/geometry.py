"""Plane geometry for layouts: simple polygons, and what becomes of them.

Coordinates are metres east and north of the near left corner of the laid-out size. A curve is a
polygon of :data:`SIDES` sides with the area of the true curve, so areas of whole rounds are exact
and an edge is off by at most 0.2 % of the radius.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from felt_engine.analysis.steady import steady

Polygon = tuple[tuple[float, float], ...]
Box = tuple[float, float, float, float]
"""West, south, east and north end."""

SIDES = 48


def rectangle(west: float, south: float, east: float, north: float) -> Polygon:
    """The corners of a rectangle, anticlockwise; empty if it has no inside.

    Rounded to a nanometre, so that counted from either side it is the same.
    """
    west, south, east, north = (round(side, 9) for side in (west, south, east, north))
    if east <= west or north <= south:
        return ()
    return ((west, south), (east, south), (east, north), (west, north))


def oval(x: float, y: float, across: float, deep: float) -> Polygon:
    """An ellipse by its centre and its two diameters, with the ellipse's area; to a picometre."""
    if across <= 0 or deep <= 0:
        return ()
    step = 2 * math.pi / SIDES
    scale = math.sqrt(step / math.sin(step)) / 2
    wide, high = across * scale, deep * scale
    return tuple(
        (round(x + wide * math.cos(k * step), 12), round(y + high * math.sin(k * step), 12))
        for k in range(SIDES)
    )


def area(polygon: Sequence[tuple[float, float]]) -> float:
    """Signed area, m²; positive if the corners run anticlockwise."""
    total = 0.0
    for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], *polygon[:1]), strict=False):
        total += x1 * y2 - x2 * y1
    return total / 2


def area_of_both(polygon: Polygon, convex: Polygon) -> float:
    """Area that any outline has in common with a convex one that runs anticlockwise, m².

    The outline is cut along each side of the convex one in turn (Sutherland & Hodgman, 1974); where
    it falls apart, the parts hang together by borders without area. A side shorter than a hundredth
    of a micrometre cuts nothing: rounding decides which way it runs.
    """
    kept: list[tuple[float, float]] = list(polygon)
    for (ax, ay), (bx, by) in zip(convex, (*convex[1:], convex[0]), strict=True):
        ux, uy = bx - ax, by - ay
        if abs(ux) + abs(uy) < 1e-8:
            continue
        side = [ux * (y - ay) - uy * (x - ax) for x, y in kept]
        if min(side) >= 0:
            continue
        if max(side) <= 0:
            return 0.0
        found = []
        x0, y0, before = *kept[-1], side[-1]
        for (x, y), now in zip(kept, side, strict=True):
            if before < 0 < now or now < 0 < before:
                part = before / (before - now)
                found.append((x0 + part * (x - x0), y0 + part * (y - y0)))
            if now >= 0:
                found.append((x, y))
            x0, y0, before = x, y, now
        kept = found
    return abs(area(kept))


def bounds(polygon: Sequence[tuple[float, float]]) -> Box:
    """West, south, east and north end."""
    xs = [x for x, _ in polygon]
    ys = [y for _, y in polygon]
    return min(xs), min(ys), max(xs), max(ys)


@lru_cache(maxsize=64)
def sides(polygon: Polygon) -> tuple[float, float, float]:
    """Shorter and longer side of the narrowest box round it, m, and the way of the longer side.

    That is in radians anticlockwise from east, 0 up to pi. The box may lie aslant; one of its sides
    lies along a side of the convex hull. Of boxes equally narrow the longest counts, then the one
    that is turned least. Without corners all are 0.
    """
    hull = _hull(polygon)
    found = []
    for a, b in zip(hull, (*hull[1:], *hull[:1]), strict=True):
        ux, uy = _unit(a, b)
        along = [x * ux + y * uy for x, y in hull]
        across = [y * ux - x * uy for x, y in hull]
        narrow, long = max(across) - min(across), max(along) - min(along)
        angle = math.atan2(uy, ux) % math.pi
        angle = angle if angle < math.pi - 1e-9 else 0.0
        found.append((steady(narrow), -steady(long), round(angle, 9), angle))
    narrow, long, _, angle = min(found, default=(0.0, 0.0, 0.0, 0.0))
    return narrow, -long, angle


@lru_cache(maxsize=64)
def fold(polygon: Polygon) -> complex:
    """What folding over the edge, all round, does to the doubled angle of fibre: a factor.

    A side at the angle a mirrors fibre at b to 2a - b, so the factor is the mean of exp(4 i a) over
    the outline. 1 where all sides lie straight or square, 0 where none way outweighs the other.
    """
    total, vector = 0.0, 0j
    for (ax, ay), (bx, by) in zip(polygon, (*polygon[1:], *polygon[:1]), strict=True):
        length = math.hypot(bx - ax, by - ay)
        if length:
            total += length
            vector += complex(bx - ax, by - ay) ** 4 / length**3
    found = vector / total if total else 1 + 0j
    return 0j if abs(found) < 1e-6 else complex(steady(found.real), steady(found.imag))


def _hull(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The convex hull, anticlockwise (the monotone chain of Andrew, 1979)."""
    ordered = sorted(set(points))
    halves = []
    for run in (ordered, ordered[::-1]):
        half: list[tuple[float, float]] = []
        for x, y in run:
            while len(half) > 1:
                (ax, ay), (bx, by) = half[-2:]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                    break
                half.pop()
            half.append((x, y))
        halves.append(half[:-1])
    return halves[0] + halves[1]


def perimeter(polygon: Sequence[tuple[float, float]]) -> float:
    """Length round the outline, m."""
    return sum(math.dist(a, b) for a, b in zip(polygon, (*polygon[1:], *polygon[:1]), strict=False))


def anticlockwise(polygon: Sequence[tuple[float, float]]) -> Polygon:
    """The same outline, running anticlockwise, without corners at which it doesn't turn."""
    behind, ahead = (polygon[-1], *polygon[:-1]), (*polygon[1:], polygon[0])
    corners = tuple(
        corner for last, corner, further in zip(behind, polygon, ahead, strict=True)
        if not _goes_straight(last, corner, further)
    )  # fmt: skip
    corners = corners if len(corners) > 2 else tuple(polygon)
    return corners if area(corners) >= 0 else tuple(reversed(corners))


def _goes_straight(
    last: tuple[float, float], corner: tuple[float, float], further: tuple[float, float]
) -> bool:
    """Whether a corner lies on the way between its neighbours, to a nanometre."""
    dx, dy = further[0] - last[0], further[1] - last[1]
    px, py = corner[0] - last[0], corner[1] - last[1]
    size = dx * dx + dy * dy
    return 0 < px * dx + py * dy < size and abs(px * dy - py * dx) <= 1e-9 * math.sqrt(size)


def mirrored(polygon: Polygon, width: float) -> Polygon:
    """The outline as seen from the other face of a resist of this width.

    Rounded to a picometre, so that twice mirrored is the same outline and leaves no slivers.
    """
    return tuple((round(width - x, 12), round(y, 12)) for x, y in reversed(polygon))


@lru_cache(maxsize=400)
def grown(polygon: Polygon, by: float) -> Polygon:
    """The outline moved outwards by a distance (inwards if negative), corners kept sharp.

    Sides that shrink to nothing on the way are left out. Exact for convex outlines; a corner that
    would shoot out further than three times the distance is cut there. Empty where nothing is left.
    """
    if not by or not polygon:
        return polygon
    stages = _stages(polygon, by > 0)
    begun, ring, moves = stages[bisect_left(stages, abs(by), key=lambda stage: stage[0]) - 1]
    if len(ring) < 3:
        return ()
    moved = _moved(ring, moves, abs(by) - begun)
    return tuple((round(x, 9), round(y, 9)) for x, y in moved) if area(moved) > 1e-12 else ()


MANY = 60
"""Corners of an outline beyond which it isn't asked what lies in it."""


def lies_in(polygon: Polygon, outline: Polygon) -> bool:
    """Whether all of a polygon surely lies in an outline that runs anticlockwise and bulges everywhere."""
    if not polygon or not 2 < len(outline) <= MANY:
        return False
    sides = [
        (bx - ax, by - ay, ax, ay)
        for (ax, ay), (bx, by) in zip(outline, (*outline[1:], outline[0]), strict=True)
    ]
    turns = zip(sides, (*sides[1:], sides[0]), strict=True)
    if any(ux * vy - uy * vx < -1e-15 for (ux, uy, *_), (vx, vy, *_) in turns):
        return False
    return all(ux * (y - ay) - uy * (x - ax) >= 0 for ux, uy, ax, ay in sides for x, y in polygon)


Ring = list[tuple[float, float]]


@lru_cache(maxsize=4)
def _stages(polygon: Polygon, outwards: bool) -> list[tuple[float, Ring, Ring]]:
    """The outline as it is moved, each time that sides have shrunk to nothing.

    Of each: how far, the corners left, and how far those move for each metre more. The last has no
    inside, unless no side shrinks any more.
    """
    ring, done = list(polygon), 0.0
    moves = _moves(ring, outwards)
    found = [(done, ring, moves)]
    while len(ring) > 2:
        step = _first_gone(ring, moves)
        if step == math.inf:
            break
        moved = _moved(ring, moves, step)
        left = [at for k, at in enumerate(moved) if math.dist(moved[k - 1], at) > 1e-9]
        if len(left) == len(ring) and not step:
            break
        ring, done = left, done + step
        moves = _moves(ring, outwards)
        found.append((done, ring, moves))
    return found


def _moves(ring: Ring, outwards: bool) -> Ring:
    """How far each corner moves for each metre that the sides move."""
    way = 1.0 if outwards else -1.0
    ways = [_unit(ring[k - 1], at) for k, at in enumerate(ring)]
    return [_mitre(into, out, way) for into, out in pairwise((*ways, *ways[:1]))]


def _moved(ring: Ring, moves: Ring, by: float) -> Ring:
    return [(x + by * dx, y + by * dy) for (x, y), (dx, dy) in zip(ring, moves, strict=True)]


@lru_cache(maxsize=16)
def is_dented(polygon: Polygon) -> bool:
    """Whether an outline turns inwards somewhere."""
    return len(_hull(polygon)) != len(polygon)


@lru_cache(maxsize=400)
def grows_apart(polygon: Polygon, by: float) -> bool:
    """Whether an outline that turns inwards somewhere can't be moved so far as one outline.

    Its parts would run into each other: an arm narrower than twice the distance, or a gap.
    """
    if not by or len(polygon) < 4 or not is_dented(polygon):
        return False
    ring = grown(polygon, by)
    if not ring:
        return by < 0 and _depth(polygon) > -by
    if crosses_itself(ring):
        return True
    near = abs(by) * (1 - 1e-4) - 1e-7
    boxed = sorted(
        (min(a[0], b[0]) - near, max(a[0], b[0]) + near, min(a[1], b[1]) - near,
         max(a[1], b[1]) + near, a, b)
        for a, b in zip(polygon, (*polygon[1:], *polygon[:1]), strict=True)
    )  # fmt: skip
    west = [one[0] for one in boxed]
    for x, y in ring:
        for _, east, south, north, a, b in boxed[: bisect_left(west, x)]:
            if x < east and south < y < north and _apart(x, y, a, b) < near:
                return True
    return False


@lru_cache(maxsize=16)
def _depth(polygon: Polygon) -> float:
    """About how far from its outline its deepest point lies, m: that of a net of points, then climbing."""
    west, south, east, north = bounds(polygon)
    lines = tuple(zip(polygon, (*polygon[1:], *polygon[:1]), strict=True))
    deepest, at = 0.0, (west, south)
    for row in range(1, NET):
        y = south + (north - south) * row / NET
        cuts = sorted(
            a[0] + (y - a[1]) * (b[0] - a[0]) / (b[1] - a[1])
            for a, b in lines if (a[1] <= y) != (b[1] <= y)
        )  # fmt: skip
        for column in range(1, NET):
            x = west + (east - west) * column / NET
            if bisect_left(cuts, x) % 2 and all(_apart(x, y, a, b) > deepest for a, b in lines):
                deepest, at = min(_apart(x, y, a, b) for a, b in lines), (x, y)
    step = max(east - west, north - south) / NET
    for _ in range(60):
        (x, y), last = at, deepest
        for to in ((x + dx * step, y + dy * step) for dx, dy in _AROUND):
            if all(_apart(*to, a, b) > deepest for a, b in lines):
                deepest, at = min(_apart(*to, a, b) for a, b in lines), to
        if deepest == last:
            step /= 2
    return deepest


_AROUND = tuple((dx, dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1) if dx or dy)
NET = 16
"""Rows and columns of the net by which a depth is taken (own choice)."""


def _apart(x: float, y: float, a: tuple[float, float], b: tuple[float, float]) -> float:
    """From a point to a line of two ends, m."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = dx * dx + dy * dy
    along = ((x - a[0]) * dx + (y - a[1]) * dy) / size if size else 0.0
    part = min(1.0, max(0.0, along))
    return math.hypot(x - a[0] - part * dx, y - a[1] - part * dy)


def _mitre(into: Point, out: Point, way: float) -> Point:
    """How far a corner moves for each metre that its two sides move, outwards or inwards.

    The sides are given by the ways in which they run, each a metre long.
    """
    (ax, ay), (bx, by_) = into, out
    nx, ny = ay + by_, -ax - bx
    scale = nx * nx + ny * ny
    if scale < 1e-12:
        return way * ay, -way * ax
    shoots = (ax * by_ - ay * bx) * way > 0
    factor = way * (min(2 / scale, 3 / math.sqrt(scale)) if shoots else 2 / scale)
    return nx * factor, ny * factor


def _unit(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    length = math.dist(a, b) or 1.0
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _first_gone(ring: list[tuple[float, float]], moves: list[tuple[float, float]]) -> float:
    """The distance after which the first side has shrunk to nothing."""
    least = math.inf
    (x0, y0), (u0, v0) = ring[-1], moves[-1]
    for (x, y), (u, v) in zip(ring, moves, strict=True):
        dx, dy = x - x0, y - y0
        square, shrinks = dx * dx + dy * dy, -(u - u0) * dx - (v - v0) * dy
        if shrinks > 0 and shrinks * shrinks > 1e-24 * square:  # by more than 1e-12 for each metre
            least = min(least, square / shrinks)
        x0, y0, u0, v0 = x, y, u, v
    return least


Point = tuple[float, float]
Side = tuple[float, float, float, float, Point, Point, int]
"""West, east, south and north end, both corners, and its number."""


def crosses_itself(corners: Sequence[Point]) -> bool:
    """True when two sides that are no neighbours meet, or when there is no area."""
    if len(corners) < 3 or abs(area(corners)) < 1e-10 or len(set(corners)) < len(corners):
        return True
    last = len(corners) - 1
    sides = sorted(
        (min(a[0], b[0]), max(a[0], b[0]), min(a[1], b[1]), max(a[1], b[1]), a, b, k)
        for k, (a, b) in enumerate(zip(corners, (*corners[1:], corners[0]), strict=True))
    )
    open_: list[Side] = []
    for side in sides:
        west, _, south, north, a, b, k = side
        open_ = [other for other in open_ if other[1] >= west]
        for _, _, low, high, c, d, n in open_:
            if low <= north and high >= south and 1 < abs(n - k) < last and _meet(a, b, c, d):
                return True
        open_.append(side)
    return False


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two sides meet that have something in common from west to east and from south to north."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = a, b, c, d
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    one, two = ux * (cy - ay) - uy * (cx - ax), ux * (dy - ay) - uy * (dx - ax)
    if one * two > 0:
        return False
    return (vx * (ay - cy) - vy * (ax - cx)) * (vx * (by - cy) - vy * (bx - cx)) <= 0
