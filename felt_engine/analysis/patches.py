"""The exact patches that polygons cut the plane into: trapezoids with level ends, as tall as may be."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate, pairwise

from felt_engine.analysis.geometry import Box, Polygon, area_of_both, bounds

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.analysis.whereabouts import Whereabouts

SLIVER = 1e-8
"""Narrowest patch that is kept, m: what is narrower comes from the rounding of numbers."""

Edge = tuple[float, float, float, float]
"""A side of a polygon that runs upwards: east and north of its foot, then of its head."""


Key = tuple[int, int, int]
"""What a patch lies inside of, and the numbers of the edges that it lies between."""


class TooIntricate(Exception):
    """The polygons' sides meet too often to be cut in the time that there is."""


class Patch:
    """A part of the plane between two edges from west to east, inside the same polygons.

    ``inside`` has bit k set where the patch lies in polygon k, ``area`` is m², ``corners`` run
    anticlockwise from the south-west, ``box`` is its west, south, east and north end, m. Patches side
    by side have the very same edge between them.
    """

    __slots__ = ("area", "box", "corners", "inside", "left", "north", "right", "south")

    def __init__(self, inside: int, south: float, north: float, left: Edge, right: Edge) -> None:
        self.inside = inside
        self.south, self.north = south, north
        self.left, self.right = left, right
        a, b = at_height(left, south), at_height(right, south)
        c, d = at_height(right, north), at_height(left, north)
        self.corners: Polygon = ((a, south), (b, south), (c, north), (d, north))
        self.area = (b - a + c - d) / 2 * (north - south)
        self.box: Box = (a if a < d else d, south, b if b > c else c, north)

    def __reduce__(self) -> tuple[type[Patch], tuple[object, ...]]:
        return Patch, (self.inside, self.south, self.north, self.left, self.right)


class Arrangement:
    """The patches that outlines were cut into, of which the first is that of the face.

    It keeps what was worked out of it: a recipe that is judged with other amounts asks it all again.
    """

    __slots__ = ("_alike", "_shares", "distances", "located", "outlines", "patches", "touches")

    def __init__(self, outlines: tuple[Polygon, ...] = (), patches: tuple[Patch, ...] = ()) -> None:
        self.outlines, self.patches = outlines, patches
        self._shares: dict[Polygon, dict[Patch, float]] = {}
        self._alike: dict[int, list[tuple[Patch, float]]] = {}
        self.distances: dict[object, float] = {}
        self.located: dict[object, Whereabouts] = {}
        self.touches: tuple[tuple[Patch, Patch, float], ...] | None = None

    def __reduce__(self) -> tuple[type[Arrangement], tuple[object, ...]]:
        return Arrangement, (self.outlines, self.patches)

    def shares(self, outline: Polygon) -> dict[Patch, float]:
        """Area (m²) in an outline of each patch that reaches into it; worked out once."""
        found = self._shares.get(outline)
        if found is None:
            found = self._shares[outline] = dict(self._shared(outline))
        return found

    def _shared(self, outline: Polygon) -> Iterator[tuple[Patch, float]]:
        if outline in self.outlines:
            bit = 1 << self.outlines.index(outline)
            if not self._alike:
                for patch in self.patches:
                    self._alike.setdefault(patch.inside, []).append((patch, patch.area))
            for inside, alike in self._alike.items():
                if inside & bit:
                    yield from alike
        elif outline:
            parts = sorted(
                ((p, _core(p)) for p in decompose([outline])), key=lambda one: one[0].south
            )
            begun = [part.south for part, _ in parts]
            ended = list(accumulate((part.north for part, _ in parts), max))
            west, south, east, north = bounds(outline)
            for patch in self.patches:
                left, low, right, high = patch.box
                if left < east and right > west and low < north and high > south:
                    size = 0.0
                    for k in range(bisect_right(ended, low), bisect_left(begun, high)):
                        part, core = parts[k]
                        size += _common(patch, part, core)
                    yield patch, size


def _core(patch: Patch) -> tuple[float, float]:
    """The west and east end of what a patch has at all its heights."""
    (a, _), (b, _), (c, _), (d, _) = patch.corners
    return max(a, d), min(b, c)


def _common(patch: Patch, part: Patch, core: tuple[float, float]) -> float:
    """Area that two patches have in common, m²; ``core`` is that of the second."""
    left, low, right, high = patch.box
    west, south, east, north = part.box
    if low >= north or high <= south or left >= east or right <= west:
        return 0.0
    inside = left >= core[0] and right <= core[1]
    if inside and low >= south and high <= north:
        return patch.area
    low, high = (low if low > south else south), (high if high < north else north)
    a, b = at_height(patch.left, low), at_height(patch.left, high)
    c, d = at_height(patch.right, low), at_height(patch.right, high)
    if not inside:
        e, f = at_height(part.left, low), at_height(part.left, high)
        g, h = at_height(part.right, low), at_height(part.right, high)
        if (a - e) * (b - f) < 0 or (c - g) * (d - h) < 0:  # sides cross
            return area_of_both(part.corners, patch.corners)
        a, b = (a if a > e else e), (b if b > f else f)
        c, d = (c if c < g else g), (d if d < h else h)
        if c < a or d < b:
            return 0.0 if c <= a and d <= b else area_of_both(part.corners, patch.corners)
    return (c - a + d - b) / 2 * (high - low)


def at_height(edge: Edge, y: float) -> float:
    """How far east an edge is at a height, or at its end nearest to that."""
    x1, y1, x2, y2 = edge
    if x1 == x2 or y <= y1:
        return x1
    return x2 if y >= y2 else x1 + (x2 - x1) * (y - y1) / (y2 - y1)


def decompose(polygons: Sequence[Polygon], most: float = float("inf")) -> list[Patch]:
    """Cut the plane at every polygon's edges; patches outside all of them are left out.

    Works by horizontal slabs between the heights of all corners and crossings, within which no
    two edges cross; a patch goes on upwards while it lies between the same two edges. Looks at no
    more than ``most`` edges in slabs and pairs of edges; where that is not enough, polygons that
    touch no other are cut out and cut up by themselves. Raises TooIntricate beyond.
    """
    rings = [sorted(_edges(polygon), key=_foot) for polygon in polygons]
    try:
        return _slabs(dict(enumerate(rings)), Looks(most))
    except TooIntricate:
        from felt_engine.analysis.nests import by_nests

        return by_nests(polygons, rings, Looks(most), _slabs)


class Looks:
    """How many edges in slabs, and pairs of edges, may still be looked at."""

    __slots__ = ("in_slabs", "pairs")

    def __init__(self, most: float) -> None:
        self.in_slabs = self.pairs = most


def _slabs(rings: dict[int, list[Edge]], looks: Looks) -> list[Patch]:
    """The patches of some polygons, each with its number, by their edges."""
    edges = sorted(((e, 1 << k) for k, ring in rings.items() for e in ring), key=_foot_of)
    ends = {y for edge, _ in edges for y in (edge[1], edge[3])}
    heights = _apart(ends, _Crossings(list(rings.values()), looks))
    lines = [(x1, y1, (x2 - x1) / (y2 - y1), bit) for (x1, y1, x2, y2), bit in edges]
    patches: list[Patch] = []
    going: dict[Key, float] = {}
    active: list[int] = []
    upcoming = 0
    for south, north in pairwise(heights):
        middle = (south + north) / 2
        active = [n for n in active if edges[n][0][3] > middle]
        while upcoming < len(edges) and edges[upcoming][0][1] <= middle:
            if edges[upcoming][0][3] > middle:
                active.append(upcoming)
            upcoming += 1
        looks.in_slabs -= len(active)
        if looks.in_slabs < 0:
            raise TooIntricate
        before, going = going, {}
        for key in _slab(lines, active, middle):
            going[key] = before.pop(key, south)
        if before:
            patches += [_patch(edges, key, begun, south) for key, begun in before.items()]
    return patches + [_patch(edges, key, begun, heights[-1]) for key, begun in going.items()]


def _patch(edges: list[tuple[Edge, int]], key: Key, south: float, north: float) -> Patch:
    inside, left, right = key
    return Patch(inside, south, north, edges[left][0], edges[right][0])


def _edges(polygon: Polygon) -> Iterator[Edge]:
    """The sides that aren't level."""
    for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], *polygon[:1]), strict=False):
        if y1 < y2:
            yield x1, y1, x2, y2
        elif y2 < y1:
            yield x2, y2, x1, y1


def _foot(edge: Edge) -> float:
    return edge[1]


def _apart(ends: set[float], crossings: Iterable[float]) -> list[float]:
    """All heights in order, without those that only rounding has told apart."""
    heights = sorted(ends.union(crossings))
    least = (heights[-1] - heights[0]) * 1e-9 if heights else 0.0
    kept = heights[:1]
    for height in heights:
        if height - kept[-1] > least:
            kept.append(height)
    return kept


def _slab(
    lines: list[tuple[float, float, float, int]], active: list[int], middle: float
) -> list[Key]:
    """What lies between the edges of a slab."""
    cuts = []
    for n in active:
        x, y, slope, bit = lines[n]
        cuts.append((x + slope * (middle - y), n, bit))
    cuts.sort()
    found: list[Key] = []
    inside, west, left = 0, float("-inf"), -1
    for x, n, bit in cuts:
        if x > west:
            if inside:
                found.append((inside, left, n))
            west, left = x + SLIVER, n
        inside ^= bit
    return found


class _Crossings:
    """Heights at which edges of different polygons cross; two upright ones never do."""

    def __init__(self, rings: Sequence[list[Edge]], looks: Looks) -> None:
        self.rings, self.looks = rings, looks

    def __iter__(self) -> Iterator[float]:
        rings = [(ring, _box(ring), any(e[0] != e[2] for e in ring)) for ring in self.rings if ring]
        for i, (one, here, slanted) in enumerate(rings):
            for two, there, slanting in rings[i + 1 :]:
                if (slanted or slanting) and _meet(here, there):
                    yield from self._between(_within(one, there), _within(two, here))

    def _between(self, some: list[Edge], others: list[Edge]) -> Iterator[float]:
        going: tuple[list[Edge], list[Edge]] = [], []
        for one, k in sorted([*((e, 0) for e in some), *((e, 1) for e in others)], key=_foot_of):
            foot = one[1]
            west, east = (one[0], one[2]) if one[0] < one[2] else (one[2], one[0])
            going[1 - k][:] = [two for two in going[1 - k] if two[3] > foot]
            self.looks.pairs -= 1 + len(going[1 - k])
            if self.looks.pairs < 0:
                raise TooIntricate
            for two in going[1 - k]:
                if not (two[0] < west and two[2] < west) and not (two[0] > east and two[2] > east):
                    yield from _cross(one, two)
            going[k].append(one)


def _foot_of(numbered: tuple[Edge, int]) -> float:
    return numbered[0][1]


def _box(ring: list[Edge]) -> Box:
    xs = [x for edge in ring for x in (edge[0], edge[2])]
    return min(xs), ring[0][1], max(xs), max(edge[3] for edge in ring)


def _meet(one: Box, two: Box) -> bool:
    return one[0] <= two[2] and two[0] <= one[2] and one[1] < two[3] and two[1] < one[3]


def _within(ring: list[Edge], box: Box) -> list[Edge]:
    """The edges that may reach into a box."""
    west, south, east, north = box
    return [
        edge for edge in ring
        if edge[1] < north and edge[3] > south
        and not (edge[0] <= west and edge[2] <= west)
        and not (edge[0] >= east and edge[2] >= east)
    ]  # fmt: skip


def _cross(one: Edge, two: Edge) -> Iterator[float]:
    """The height at which two edges cross that have some heights in common."""
    slope1 = (one[2] - one[0]) / (one[3] - one[1])
    slope2 = (two[2] - two[0]) / (two[3] - two[1])
    if slope1 == slope2:
        return
    y = (two[0] - one[0] + slope1 * one[1] - slope2 * two[1]) / (slope1 - slope2)
    if max(one[1], two[1]) < y < min(one[3], two[3]):
        yield y


__all__ = [
    "SLIVER",
    "Arrangement",
    "Edge",
    "Looks",
    "Patch",
    "TooIntricate",
    "at_height",
    "decompose",
]
