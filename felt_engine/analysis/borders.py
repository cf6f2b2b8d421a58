"""Which parts of a face touch, and along how much: exact, from the patches that it was cut into."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import attrs

from felt_engine.analysis.geometry import Patch
from felt_engine.analysis.layout import Region

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


def cells_of(regions: Sequence[Region]) -> tuple[Cell, ...]:
    """The patches of all regions of one face, with their region's number."""
    return tuple((number, patch) for number, one in enumerate(regions) for patch in one.patches)


def touches_of(cells: Sequence[Cell]) -> tuple[Touch, ...]:
    """Which of these patches of one face touch, and along how much."""
    return tuple((one, two, long(line)) for one, two, line in touching(cells))


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


def _round(patch: Patch) -> float:
    a, b, c, d = patch.corners
    return math.dist(a, b) + math.dist(b, c) + math.dist(c, d) + math.dist(d, a)


def long(line: Line) -> float:
    """Length of a piece of border, m."""
    return math.hypot(line[2] - line[0], line[3] - line[1])


def touching(cells: Sequence[Cell]) -> Iterator[tuple[int, int, Line]]:
    """Pairs of patches of one face that share a piece of border, and that piece."""
    slabs: dict[tuple[float, float], list[int]] = {}
    for number, (_, patch) in enumerate(cells):
        slabs.setdefault((patch.south, patch.north), []).append(number)
    below: list[int] = []
    height = -math.inf
    for (south, north), slab in sorted(slabs.items()):
        slab.sort(key=lambda number: cells[number][1].west)
        for one, two in pairwise(slab):
            if abs(cells[two][1].west - cells[one][1].east) < NEAR:
                _, low, high, _ = cells[one][1].corners
                yield one, two, (*low, *high)
        if abs(south - height) < NEAR:
            yield from _stacked(_ends(cells, below, south), _ends(cells, slab, south), south)
        below, height = slab, north


End = tuple[float, float, int]
"""West and east end of a patch at some height, and its number."""


def _ends(cells: Sequence[Cell], slab: Sequence[int], at: float) -> list[End]:
    return [(*cells[number][1].ends(at), number) for number in slab]


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
