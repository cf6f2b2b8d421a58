"""Which parts of a face touch, and along how much: exact, from the patches that it was cut into."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import attrs

from felt_engine.analysis.geometry import Edge, Patch
from felt_engine.analysis.layout import Region

NEAR = 1e-7
"""Ends closer than this are one, m: cutting drops slivers of a tenth of it."""

Pairs = dict[tuple[int, int], float]
Cell = tuple[int, Patch]
"""A patch, with the number of what it belongs to."""

Line = tuple[float, float, float, float]
"""A piece of border: east and north of both its ends."""


@attrs.frozen(eq=False, repr=False)
class Borders:
    """Lengths in metres: ``shared`` by the numbers of two regions (lesser first), ``outer`` by one.

    The outer length is what borders on no other region: the outline, where all of a face is laid.
    """

    shared: Pairs
    outer: tuple[float, ...]


def borders_of(regions: Sequence[Region]) -> Borders:
    """The borders between the regions of one face; a ball's has none."""
    shared: Pairs = {}
    around = [0.0] * len(regions)
    cells: list[Cell] = []
    for number, region in enumerate(regions):
        for patch in region.patches:
            cells.append((number, patch))
            around[number] += _round(patch)
    for one, two, line in touching(cells):
        _add(shared, one[0], two[0], long(line))
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


def touching(cells: Sequence[Cell]) -> Iterator[tuple[Cell, Cell, Line]]:
    """Pairs of patches of one face that share a piece of border, and that piece."""
    slabs: dict[tuple[float, float], list[Cell]] = {}
    for cell in cells:
        slabs.setdefault((cell[1].south, cell[1].north), []).append(cell)
    below: list[Cell] = []
    height = -math.inf
    for (south, north), slab in sorted(slabs.items()):
        slab.sort(key=lambda cell: cell[1].west)
        for one, two in pairwise(slab):
            if abs(two[1].west - one[1].east) < NEAR:
                edge = one[1].right
                yield one, two, (_at(edge, south), south, _at(edge, north), north)
        if abs(south - height) < NEAR:
            yield from _stacked(below, slab, south)
        below, height = slab, north


def _stacked(
    below: Sequence[Cell], above: Sequence[Cell], at: float
) -> Iterator[tuple[Cell, Cell, Line]]:
    """Patches that lie on each other, and where their level ends overlap."""
    lower = [(_at(cell[1].left, at), _at(cell[1].right, at), cell) for cell in below]
    upper = [(_at(cell[1].left, at), _at(cell[1].right, at), cell) for cell in above]
    i = k = 0
    while i < len(lower) and k < len(upper):
        west, east = max(lower[i][0], upper[k][0]), min(lower[i][1], upper[k][1])
        if east > west + NEAR:
            yield lower[i][2], upper[k][2], (west, at, east, at)
        if lower[i][1] < upper[k][1]:
            i += 1
        else:
            k += 1


def _at(edge: Edge, y: float) -> float:
    x1, y1, x2, y2, _ = edge
    return x1 + (x2 - x1) * (y - y1) / (y2 - y1)


def _add(shared: Pairs, one: int, two: int, length: float) -> None:
    """A border of a region with itself counts too, so that it can be taken off its outer length."""
    pair = (min(one, two), max(one, two))
    shared[pair] = shared.get(pair, 0.0) + length
