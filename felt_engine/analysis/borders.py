"""Which parts of a face touch, and along how much: exact, from the patches that it was cut into."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import attrs

from felt_engine.analysis.layout import Region
from felt_engine.analysis.patches import Arrangement, Edge, Patch, at_height

NEAR = 1e-7
"""Ends closer than this are one, m: cutting drops slivers of a tenth of it."""

Pairs = dict[tuple[int, int], float]
Cell = tuple[int, Patch]
"""A patch, with the number of what it belongs to."""

Touch = tuple[int, int, float]
"""Two cells that touch, by their place in a list of cells, and along how much, m."""

Line = tuple[float, float, float, float]
"""A piece of border: east and north of both its ends."""


@attrs.frozen(eq=False, repr=False)
class Borders:
    """Lengths in metres: ``shared`` by the numbers of two regions (lesser first), ``outer`` by one.

    The outer length is what borders on no other region: the outline, where all of a face is laid.
    """

    shared: Pairs
    outer: tuple[float, ...]


@attrs.frozen(eq=False, repr=False)
class Blobs:
    """Parts that hang together: their region's number and m² by their own; what they share, m."""

    regions: tuple[int, ...]
    sizes: tuple[float, ...]
    shared: Pairs


class Joined:
    """Which of so many numbered things hang together."""

    def __init__(self, count: int) -> None:
        self._of = list(range(count))

    def root(self, k: int) -> int:
        """The number of one that stands for all that hang together with this one."""
        of = self._of
        while of[k] != k:
            of[k] = of[of[k]]
            k = of[k]
        return k

    def join(self, one: int, two: int) -> None:
        """Let two hang together."""
        self._of[self.root(one)] = self.root(two)


def cells_of(regions: Sequence[Region]) -> tuple[Cell, ...]:
    """The patches of all regions of one face, with their region's number."""
    return tuple((number, patch) for number, one in enumerate(regions) for patch in one.patches)


def touches_of(cells: Sequence[Cell], cut: Arrangement) -> tuple[Touch, ...]:
    """Which of these patches of one face, which was cut into them, touch, and along how much."""
    if cut.touches is None:
        every = [(0, patch) for patch in cut.patches if patch.inside & 1]
        cut.touches = tuple(
            (every[one][1], every[two][1], long(line)) for one, two, line in touching(every)
        )
    number = {patch: k for k, (_, patch) in enumerate(cells)}
    return tuple(
        (number[one], number[two], length) for one, two, length in cut.touches
        if one in number and two in number
    )  # fmt: skip


def borders_of(count: int, cells: Sequence[Cell], touches: Iterable[Touch]) -> Borders:
    """The borders between so many regions of one face; a ball's has none."""
    shared: Pairs = {}
    around = [0.0] * count
    for number, patch in cells:
        around[number] += _round(patch)
    for one, two, length in touches:
        _add(shared, cells[one][0], cells[two][0], length)
    for pair, length in shared.items():
        for number in pair:
            around[number] -= length
    kept = {pair: length for pair, length in sorted(shared.items()) if pair[0] != pair[1]}
    return Borders(kept, tuple(max(0.0, left) for left in around))


def blobs_of(cells: Sequence[Cell], touches: Iterable[Touch]) -> Blobs:
    """The parts of regions that hang together: each region's own, whatever they were cut into."""
    joined = Joined(len(cells))
    root = joined.root
    between = []
    for touch in touches:
        one, two, _ = touch
        if cells[one][0] == cells[two][0]:
            joined.join(one, two)
        else:
            between.append(touch)
    numbers: dict[int, int] = {}
    sizes: list[float] = []
    for cell, (_, patch) in enumerate(cells):
        number = numbers.setdefault(root(cell), len(numbers))
        if number == len(sizes):
            sizes.append(0.0)
        sizes[number] += patch.area
    shared: Pairs = {}
    for one, two, length in between:
        _add(shared, numbers[root(one)], numbers[root(two)], length)
    regions = tuple(cells[cell][0] for cell in numbers)
    return Blobs(regions, tuple(sizes), shared)


def outer_length(patches: Sequence[Patch]) -> float:
    """Length round all of some patches of one face, and round the holes in them, m."""
    within = sum(long(line) for _, _, line in touching([(0, patch) for patch in patches]))
    return max(0.0, sum(map(_round, patches)) - 2 * within)


def _round(patch: Patch) -> float:
    a, b, c, d = patch.corners
    return math.dist(a, b) + math.dist(b, c) + math.dist(c, d) + math.dist(d, a)


def long(line: Line) -> float:
    """Length of a piece of border, m."""
    return math.hypot(line[2] - line[0], line[3] - line[1])


def touching(cells: Sequence[Cell]) -> Iterator[tuple[int, int, Line]]:
    """Pairs of patches of one face that share a piece of border, and that piece."""
    west: dict[Edge, list[int]] = {}
    ends: dict[float, list[End]] = {}
    begins: dict[float, list[End]] = {}
    for number, (_, patch) in enumerate(cells):
        (a, south), (b, _), (c, north), (d, _) = patch.corners
        west.setdefault(patch.right, []).append(number)
        begins.setdefault(south, []).append((a, b, number))
        ends.setdefault(north, []).append((d, c, number))
    for one, (_, patch) in enumerate(cells):
        yield from _beside(cells, west.get(patch.left, ()), one, patch)
    for height, lower in ends.items():
        if height in begins:
            yield from _stacked(sorted(lower), sorted(begins[height]), height)


def _beside(
    cells: Sequence[Cell], west: Iterable[int], one: int, patch: Patch
) -> Iterator[tuple[int, int, Line]]:
    """Where patches lie west of one, along the edge that they share with it."""
    for other in west:
        beside = cells[other][1]
        south, north = max(patch.south, beside.south), min(patch.north, beside.north)
        if south < north:
            yield (
                other,
                one,
                (at_height(patch.left, south), south, at_height(patch.left, north), north),
            )


End = tuple[float, float, int]
"""West and east end of a patch at its foot or head, and its number."""


def _stacked(
    lower: Sequence[End], upper: Sequence[End], at: float
) -> Iterator[tuple[int, int, Line]]:
    """Patches that lie on each other, and where their level ends overlap."""
    i = k = 0
    while i < len(lower) and k < len(upper):
        (west, east, one), (west_above, east_above, two) = lower[i], upper[k]
        start, end = max(west, west_above), min(east, east_above)
        if end > start + NEAR:
            yield one, two, (start, at, end, at)
        if east < east_above:
            i += 1
        else:
            k += 1


def _add(shared: Pairs, one: int, two: int, length: float) -> None:
    """A border of a region with itself counts too, so that it can be taken off its outer length."""
    pair = (one, two) if one < two else (two, one)
    shared[pair] = shared.get(pair, 0.0) + length
