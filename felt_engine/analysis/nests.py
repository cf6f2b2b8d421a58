"""Cutting up polygons that lie within each other, or apart, and touch no other: each by itself.

Slabs across everything cost the corners of all polygons times the edges at each of their heights. A
polygon that touches no other is one more outline to what surrounds it, whatever lies in it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from itertools import pairwise

from felt_engine.analysis.geometry import Box, Polygon, area, bounds
from felt_engine.analysis.patches import Edge, Looks, Patch, TooIntricate, at_height

CLEAR = 1e-6
"""Least distance of two outlines that don't touch, m."""

GAP = CLEAR / 2
"""How far a box is drawn round what is in it, m: so that the two have no side in common."""

MOST = 600
"""Polygons of which it is looked into which touch which."""

ASKED = 6_000
"""Pairs of polygons with boxes that overlap, of which that is looked into (own choice: half a second)."""

Slabs = Callable[[dict[int, list[Edge]], Looks], list[Patch]]


def by_nests(
    polygons: Sequence[Polygon], rings: Sequence[list[Edge]], looks: Looks, slabs: Slabs
) -> list[Patch]:
    """The patches of all polygons. TooIntricate where none lies free, or there are too many.

    What surrounds a polygon that lies free is cut by the box round it, if nothing else comes near that:
    four sides in place of many. What is in the box is cut by itself, polygon and all.
    """
    if len(polygons) > MOST:
        raise TooIntricate
    shapes = [_Shape(polygon, ring) for polygon, ring in zip(polygons, rings, strict=True)]
    within, free, alone = _relations(shapes)
    if not free:
        raise TooIntricate
    around = [
        min((k for k in within[n] if k in free), key=lambda k: abs(shapes[k].size), default=None)
        for n in range(len(shapes))
    ]  # fmt: skip
    boxes = {n: len(shapes) + n for n in free & alone if len(rings[n]) > 2}
    patches: list[Patch] = []
    for nest in (None, *sorted(free)):
        own = [n for n, one in enumerate(around) if one == nest]
        top = nest if nest is None else boxes.get(nest, nest)
        cut = {boxes.get(n, n): shapes[n].around if n in boxes else rings[n] for n in own}
        if nest is not None:
            cut |= {nest: rings[nest]} | ({} if top == nest else {boxes[nest]: shapes[nest].around})
        elsewhere = sum(1 << boxes.get(n, n) for n in own if n in free)
        base = 0 if nest is None else sum(1 << n for n in within[nest])
        for patch in slabs(cut, looks):
            if not patch.inside & elsewhere and (top is None or patch.inside >> top & 1):
                if top is not None and top != nest:
                    patch.inside ^= 1 << top
                patch.inside |= base
                if patch.inside:
                    patches.append(patch)
    return patches


def _relations(shapes: Sequence[_Shape]) -> tuple[list[set[int]], set[int], set[int]]:
    """Of each polygon, in which others it lies; those that touch no other; and whose box touches none."""
    within: list[set[int]] = [set() for _ in shapes]
    free, alone = set(range(len(shapes))), set(range(len(shapes)))
    asked = [
        (n, k) for n, one in enumerate(shapes) for k in range(n) if not one.clear_of(shapes[k])
    ]
    if len(asked) > ASKED:
        raise TooIntricate
    for n, k in asked:
        one, other = shapes[n], shapes[k]
        if one.lies_in(other):
            inner, outer = n, k
        elif other.lies_in(one):
            inner, outer = k, n
        else:
            free -= {n, k}
            alone -= {n, k}
            continue
        within[inner].add(outer)
        if not shapes[inner].lies_well_in(shapes[outer]):
            alone.discard(inner)
    return within, free, alone


class _Shape:
    """A polygon with what tells quickly whether another lies in it."""

    def __init__(self, polygon: Polygon, ring: list[Edge]) -> None:
        self.polygon, self.ring = polygon, ring
        self.size = area(polygon)
        self.box: Box = bounds(polygon) if polygon else (0.0, 0.0, 0.0, 0.0)
        self.sides = _two_sides(polygon) if ring else None
        west, south, east, north = self.box
        west, south, east, north = west - GAP, south - GAP, east + GAP, north + GAP
        self.around: list[Edge] = [(west, south, west, north), (east, south, east, north)]

    def clear_of(self, other: _Shape) -> bool:
        (west, south, east, north), (a, b, c, d) = self.box, other.box
        apart = a - east > CLEAR or b - north > CLEAR or west - c > CLEAR or south - d > CLEAR
        return apart or not self.ring or not other.ring

    def lies_in(self, other: _Shape) -> bool:
        """Whether it surely lies in another, and touches it nowhere."""
        if abs(self.size) >= abs(other.size):
            return False
        return self.lies_well_in(other) if other.sides is None else self._lies_between(*other.sides)

    def _lies_between(self, left: Side, right: Side) -> bool:
        """Each of its corners between the west and the east side of one that bulges everywhere."""
        south, north = left[0][0] + CLEAR, left[1][-1][3] - CLEAR
        return all(
            south < y < north and _at(left, y) + CLEAR < x < _at(right, y) - CLEAR
            for x, y in self.polygon
        )

    def lies_well_in(self, other: _Shape) -> bool:
        """No side of the other comes near the box round it, and it isn't outside."""
        west, south, east, north = self.box
        west, south, east, north = west - CLEAR, south - CLEAR, east + CLEAR, north + CLEAR
        (x, y), crossed = self.polygon[0], 0
        for (x1, y1), (x2, y2) in zip(
            other.polygon, (*other.polygon[1:], *other.polygon[:1]), strict=True
        ):
            beside = max(x1, x2) < west or min(x1, x2) > east
            if not (beside or max(y1, y2) < south or min(y1, y2) > north):
                return False
            if (y1 <= y) != (y2 <= y):
                crossed += x1 + (y - y1) * (x2 - x1) / (y2 - y1) < x
        return crossed % 2 == 1


Side = tuple[list[float], list[Edge]]
"""A side's edges from south to north, and where each begins."""


def _two_sides(polygon: Polygon) -> tuple[Side, Side] | None:
    """The west and the east side of a polygon that bulges everywhere; else ``None``."""
    ring = polygon if area(polygon) > 0 else polygon[::-1]
    ways = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise((*ring, *ring[:1]))]
    if any(a * d - b * c < 0 for (a, b), (c, d) in pairwise((*ways, *ways[:1]))):
        return None
    west = sorted(((*b, *a) for a, b in pairwise((*ring, *ring[:1])) if a[1] > b[1]), key=_foot)
    east = sorted(((*a, *b) for a, b in pairwise((*ring, *ring[:1])) if a[1] < b[1]), key=_foot)
    if not west or not east:
        return None
    return ([edge[1] for edge in west], west), ([edge[1] for edge in east], east)


def _foot(edge: Edge) -> float:
    return edge[1]


def _at(side: Side, y: float) -> float:
    begun, chain = side
    return at_height(chain[max(0, bisect_right(begun, y) - 1)], y)
