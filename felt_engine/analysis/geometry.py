"""Plane geometry for layouts: simple polygons, and the exact patches that they cut a face into.

Coordinates are metres east and north of the near left corner of the laid-out size. A curve is a
polygon of :data:`SIDES` sides with the area of the true curve, so areas of whole rounds are exact
and an edge is off by at most 0.2 % of the radius.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

Polygon = tuple[tuple[float, float], ...]
Box = tuple[float, float, float, float]
"""West, south, east and north end."""

SLIVER = 1e-8
"""Narrowest patch that is kept, m: what is narrower comes from the rounding of numbers."""

SIDES = 48


def rectangle(west: float, south: float, east: float, north: float) -> Polygon:
    """The corners of a rectangle, anticlockwise; empty if it has no inside."""
    if east <= west or north <= south:
        return ()
    return ((west, south), (east, south), (east, north), (west, north))


def oval(x: float, y: float, across: float, deep: float) -> Polygon:
    """An ellipse by its centre and its two diameters, with the ellipse's area."""
    if across <= 0 or deep <= 0:
        return ()
    step = 2 * math.pi / SIDES
    scale = math.sqrt(step / math.sin(step)) / 2
    return tuple(
        (x + across * scale * math.cos(k * step), y + deep * scale * math.sin(k * step))
        for k in range(SIDES)
    )


def area(polygon: Sequence[tuple[float, float]]) -> float:
    """Signed area, m²; positive if the corners run anticlockwise."""
    total = 0.0
    for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], *polygon[:1]), strict=False):
        total += x1 * y2 - x2 * y1
    return total / 2


def bounds(polygon: Sequence[tuple[float, float]]) -> Box:
    """West, south, east and north end."""
    xs = [x for x, _ in polygon]
    ys = [y for _, y in polygon]
    return min(xs), min(ys), max(xs), max(ys)


def perimeter(polygon: Sequence[tuple[float, float]]) -> float:
    """Length round the outline, m."""
    return sum(math.dist(a, b) for a, b in zip(polygon, (*polygon[1:], *polygon[:1]), strict=False))


def anticlockwise(polygon: Sequence[tuple[float, float]]) -> Polygon:
    """The same outline, running anticlockwise."""
    return tuple(polygon) if area(polygon) >= 0 else tuple(reversed(polygon))


def mirrored(polygon: Polygon, width: float) -> Polygon:
    """The outline as seen from the other face of a resist of this width.

    Rounded to a nanometre, so that twice mirrored is the same outline and leaves no slivers.
    """
    return tuple((round(width - x, 9), round(y, 9)) for x, y in reversed(polygon))


def grown(polygon: Polygon, by: float) -> Polygon:
    """The outline moved outwards by a distance (inwards if negative), corners kept sharp.

    Sides that shrink to nothing on the way are left out. Exact for convex outlines; a corner that
    would shoot out further than three times the distance is cut there. Empty where nothing is left.
    """
    if not by or not polygon:
        return polygon
    ring, left = list(polygon), abs(by)
    while left > 0 and len(ring) > 2:
        moves = [
            _mitre(ring[k - 1], at, ring[(k + 1) % len(ring)], by) for k, at in enumerate(ring)
        ]
        step = min(_first_gone(ring, moves), left)
        ring = [
            (x + step * dx, y + step * dy) for (x, y), (dx, dy) in zip(ring, moves, strict=True)
        ]
        left -= step
        if left > 0:
            ring = [at for k, at in enumerate(ring) if math.dist(ring[k - 1], at) > 1e-9]
    return tuple(ring) if len(ring) > 2 and area(ring) > 1e-12 else ()


def _mitre(
    before: tuple[float, float], at: tuple[float, float], after: tuple[float, float], by: float
) -> tuple[float, float]:
    """How far a corner moves for each metre that its two sides move, outwards or inwards."""
    ax, ay = _unit(before, at)
    bx, by_ = _unit(at, after)
    nx, ny = ay + by_, -ax - bx
    way = 1.0 if by > 0 else -1.0
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
    for k in range(len(ring)):
        ux, uy = _unit(ring[k - 1], ring[k])
        rate = (moves[k][0] - moves[k - 1][0]) * ux + (moves[k][1] - moves[k - 1][1]) * uy
        if rate < -1e-12:
            least = min(least, math.dist(ring[k - 1], ring[k]) / -rate)
    return least


def crosses_itself(corners: Sequence[tuple[float, float]]) -> bool:
    """True when two sides that are no neighbours meet, or when there is no area."""
    if len(corners) < 3 or abs(area(corners)) < 1e-10 or len(set(corners)) < len(corners):
        return True
    sides = list(zip(corners, (*corners[1:], *corners[:1]), strict=False))
    for i, (a, b) in enumerate(sides):
        for j in range(i + 2, len(sides)):
            if i == 0 and j == len(sides) - 1:
                continue
            if _meet(a, b, *sides[j]):
                return True
    return False


def _meet(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> bool:
    def side(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    apart = any(
        max(a[k], b[k]) < min(c[k], d[k]) or max(c[k], d[k]) < min(a[k], b[k]) for k in (0, 1)
    )
    across = side(a, b, c) * side(a, b, d) <= 0 and side(c, d, a) * side(c, d, b) <= 0
    return across and not apart


Edge = tuple[float, float, float, float, int]
"""An edge that runs upwards (x, y, x, y), and the number of its polygon."""


class Patch:
    """A piece of the plane between two lines from west to east, inside the same polygons.

    ``inside`` has bit k set where the patch lies in polygon k. ``west`` and ``east`` are its ends
    at half height, ``left`` and ``right`` the edges that it lies between.
    """

    __slots__ = ("_corners", "east", "inside", "left", "north", "right", "south", "west")

    def __init__(
        self, inside: int, west: float, east: float, south: float, north: float,
        left: Edge, right: Edge,
    ) -> None:  # fmt: skip
        self.inside = inside
        self.west, self.east = west, east
        self.south, self.north = south, north
        self.left, self.right = left, right
        self._corners: Polygon | None = None

    @property
    def corners(self) -> Polygon:
        """Its four corners, anticlockwise from the south-west."""
        if self._corners is None:
            self._corners = self._at_ends()
        return self._corners

    def _at_ends(self) -> Polygon:
        low, high = self.south, self.north
        return (
            (at_height(self.left, low), low), (at_height(self.right, low), low),
            (at_height(self.right, high), high), (at_height(self.left, high), high),
        )  # fmt: skip

    def ends(self, height: float) -> tuple[float, float]:
        """How far west and east it reaches at a height, m."""
        if height == self.south:
            return self.corners[0][0], self.corners[1][0]
        if height == self.north:
            return self.corners[3][0], self.corners[2][0]
        return at_height(self.left, height), at_height(self.right, height)

    @property
    def area(self) -> float:
        """Area, m²: width at half height times height, exact for a trapezoid."""
        return (self.east - self.west) * (self.north - self.south)


def at_height(edge: Edge, y: float) -> float:
    """How far east an edge is at a height, m."""
    x1, y1, x2, y2, _ = edge
    if x1 == x2:
        return x1
    return x1 + (x2 - x1) * (y - y1) / (y2 - y1)


def decompose(polygons: Sequence[Polygon]) -> list[Patch]:
    """Cut the plane at every polygon's edges; patches outside all of them are left out.

    Works by horizontal slabs between the heights of all corners and crossings, within which no
    two edges cross, so that each patch is a trapezoid.
    """
    rings = [list(_edges(polygon, k)) for k, polygon in enumerate(polygons)]
    edges = [edge for ring in rings for edge in ring]
    heights = sorted({y for edge in edges for y in (edge[1], edge[3])} | set(_crossings(rings)))
    if len(heights) < 2:
        return []
    least = (heights[-1] - heights[0]) * 1e-9
    edges.sort(key=lambda edge: edge[1])
    patches: list[Patch] = []
    active: list[Edge] = []
    upcoming = 0
    for south, north in pairwise(heights):
        if north - south <= least:
            continue
        middle = (south + north) / 2
        while upcoming < len(edges) and edges[upcoming][1] <= middle:
            active.append(edges[upcoming])
            upcoming += 1
        active = [edge for edge in active if edge[3] > middle]
        _slab(active, south, north, patches)
    return patches


def _edges(polygon: Polygon, number: int) -> Iterable[Edge]:
    """Upward edges (x, y, x, y, polygon) without the level ones."""
    for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], *polygon[:1]), strict=False):
        if y1 < y2:
            yield x1, y1, x2, y2, number
        elif y2 < y1:
            yield x2, y2, x1, y1, number


def _crossings(rings: Sequence[list[Edge]]) -> Iterable[float]:
    """Heights at which edges of different polygons cross; two upright ones never do."""
    boxes = [_box(ring) for ring in rings]
    slanted = [any(edge[0] != edge[2] for edge in ring) for ring in rings]
    for i, one in enumerate(rings):
        for j in range(i + 1, len(rings)):
            if not one or not rings[j] or not (slanted[i] or slanted[j]):
                continue
            near = _within(one, boxes[j])
            for two in _within(rings[j], boxes[i]) if near else ():
                low, high = two[1], two[3]
                for edge in near:
                    if edge[1] < high and edge[3] > low:
                        yield from _cross(edge, two)


def _box(ring: list[Edge]) -> tuple[float, float, float, float]:
    if not ring:
        return 0.0, 0.0, 0.0, 0.0
    xs = [x for edge in ring for x in (edge[0], edge[2])]
    return min(xs), min(edge[1] for edge in ring), max(xs), max(edge[3] for edge in ring)


def _within(ring: list[Edge], box: tuple[float, float, float, float]) -> list[Edge]:
    """The edges that may reach into a box."""
    west, south, east, north = box
    return [
        edge for edge in ring
        if edge[1] < north and edge[3] > south
        and not (edge[0] <= west and edge[2] <= west)
        and not (edge[0] >= east and edge[2] >= east)
    ]  # fmt: skip


def _cross(one: Edge, two: Edge) -> Iterable[float]:
    """The height at which two edges cross that have some heights in common."""
    slope1 = (one[2] - one[0]) / (one[3] - one[1])
    slope2 = (two[2] - two[0]) / (two[3] - two[1])
    if slope1 == slope2:
        return
    y = (two[0] - one[0] + slope1 * one[1] - slope2 * two[1]) / (slope1 - slope2)
    if max(one[1], two[1]) < y < min(one[3], two[3]):
        yield y


def _slab(active: list[Edge], south: float, north: float, patches: list[Patch]) -> None:
    middle = (south + north) / 2
    cuts = sorted([
        (x1 if x1 == x2 else x1 + (x2 - x1) * (middle - y1) / (y2 - y1), number, edge)
        for edge in active for x1, y1, x2, y2, number in (edge,)
    ])  # fmt: skip
    inside, west, left = 0, 0.0, cuts[0][2] if cuts else None
    for x, number, edge in cuts:
        if inside and x > west + SLIVER and left is not None:
            patches.append(Patch(inside, west, x, south, north, left, edge))
        inside ^= 1 << number
        west, left = x, edge


def joined(patches: Iterable[Patch]) -> tuple[Polygon, ...]:
    """The same area in fewer trapezoids: patches that go on between the same two edges are one."""
    found: list[Polygon] = []
    going: dict[tuple[Edge, Edge], tuple[Patch, Patch]] = {}
    for patch in sorted(patches, key=lambda p: p.south):
        key = patch.left, patch.right
        first, last = going.get(key, (patch, patch))
        if last is not patch and abs(last.north - patch.south) > SLIVER:
            found.append(_span(first, last))
            first = patch
        going[key] = first, patch
    return (*found, *(_span(first, last) for first, last in going.values()))


def _span(first: Patch, last: Patch) -> Polygon:
    return (*first.corners[:2], *last.corners[2:])
