"""Which parts of a face touch, and along how much: exact, from the patches that it was cut into."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import attrs

from felt_engine.analysis.geometry import Patch
from felt_engine.analysis.layout import Region

NEAR = 1e-7
"""Ends closer than this are one, m: cutting drops slivers of a tenth of it."""

Pairs = dict[tuple[int, int], float]
Slab = list[tuple[Patch, int]]
Span = tuple[float, float, int]


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
    slabs: dict[tuple[float, float], Slab] = {}
    for number, region in enumerate(regions):
        for patch in region.patches:
            slabs.setdefault((patch.south, patch.north), []).append((patch, number))
            around[number] += _round(patch)
    below: list[Span] = []
    height = -math.inf
    for (south, north), slab in sorted(slabs.items()):
        slab.sort(key=lambda pair: pair[0].west)
        for one, two in pairwise(slab):
            _beside(shared, one, two)
        if abs(south - height) < NEAR:
            _stacked(shared, below, _ends(slab, high=False))
        below, height = _ends(slab, high=True), north
    for pair, length in shared.items():
        for number in pair:
            around[number] -= length
    kept = {pair: length for pair, length in sorted(shared.items()) if pair[0] != pair[1]}
    return Borders(kept, tuple(max(0.0, left) for left in around))


def _round(patch: Patch) -> float:
    a, b, c, d = patch.corners
    return math.dist(a, b) + math.dist(b, c) + math.dist(c, d) + math.dist(d, a)


def _beside(shared: Pairs, one: tuple[Patch, int], two: tuple[Patch, int]) -> None:
    """Two patches of one slab that share their slanted edge."""
    if abs(two[0].west - one[0].east) < NEAR:
        _, low, high, _ = one[0].corners
        _add(shared, one[1], two[1], math.dist(low, high))


def _ends(slab: Slab, high: bool) -> list[Span]:
    """The level ends of a slab's patches, from west to east."""
    found = []
    for patch, number in slab:
        a, b, c, d = patch.corners
        found.append((d[0], c[0], number) if high else (a[0], b[0], number))
    return found


def _stacked(shared: Pairs, below: list[Span], above: list[Span]) -> None:
    """Patches that lie on each other, by how much their level ends overlap."""
    i = k = 0
    while i < len(below) and k < len(above):
        low, high = max(below[i][0], above[k][0]), min(below[i][1], above[k][1])
        if high > low + NEAR:
            _add(shared, below[i][2], above[k][2], high - low)
        if below[i][1] < above[k][1]:
            i += 1
        else:
            k += 1


def _add(shared: Pairs, one: int, two: int, length: float) -> None:
    """A border of a region with itself counts too, so that it can be taken off its outer length."""
    pair = (min(one, two), max(one, two))
    shared[pair] = shared.get(pair, 0.0) + length
