"""What keeps layers apart inside a stack: sheets and thick webs that wool does not cross, resists.

A stack is read from bottom to top. Whether wool bridges a run of layers is :mod:`migration`'s
figure; how far a divided part lies from where layers join is plane geometry.
"""

from __future__ import annotations

import heapq
import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate

import attrs

from felt_engine.analysis.build import FaceBuild, Place
from felt_engine.analysis.geometry import Box, Polygon, bounds
from felt_engine.analysis.migration import DEPTH_FACTOR, bridge_share
from felt_engine.analysis.patches import Patch
from felt_engine.analysis.stack import Laid, areal
from felt_engine.model.recipe import Recipe
from felt_engine.value import kept_by_one

MOSTLY_LOOSE = 0.5
"""A run begins and ends with layers of which less than this part of the coverage felts."""

CLOSELY = 1.03
"""How closely a distance is worked out, as a factor."""

SHARP = 1.01
"""How closely it is compared with what is asked. Places just so wide are common; told more sharply, a
strip of which every point is as far as the next would be halved without end."""

RIDGE = 1.002
"""And how closely where it lies just on that: along the middle of a strip every point does (own choice:
a strip is then cut into thousands of parts and not millions)."""

STRIDE = 16
"""Of so many parts that lie one after another one is looked at first (own choice)."""

MOST_PARTS = 20_000
"""Parts after which the search ends with what it has found, whatever it was asked (own choice, so that
no recipe hangs)."""


def closed(laid: Laid) -> bool:
    """Whether part of it is a sheet without gaps: close cloth, or felt bought as felt."""
    return laid.is_closed


@kept_by_one
def _partings(face: FaceBuild, recipe: Recipe) -> list[set[int]]:
    """For each place of a face the numbers of the layers on which a resist lies there."""
    found: list[set[int]] = [set() for _ in face.places]
    names = {layer.name: number for number, layer in reversed([*enumerate(recipe.layers)])}
    for resist in recipe.resists:
        if resist.above in names and resist.lies_on(face.name):
            zone = recipe.zone(resist.zone)
            for number in range(len(found)) if zone is None else face.lying_in(zone):
                found[number].add(names[resist.above])
    return found


@kept_by_one
def leaves(place: Place, recipe: Recipe) -> list[list[Laid]]:
    """The stack of a place, bottom to top, parted where a resist lies in it; gaps left out."""
    parted = set(_partings(place.face, recipe)[place.face.number_of(place)])
    found: list[list[Laid]] = [[]]
    for laid in place.stack:
        while parted and laid.key[0] > min(parted):
            parted.discard(min(parted))
            if found[-1]:
                found.append([])
        if not laid.lets_through:
            found[-1].append(laid)
    return [leaf for leaf in found if leaf]


@attrs.frozen(eq=False, repr=False)
class Run:
    """Neighbouring layers of a leaf, between others: how much lies there, and what of it felts.

    ``below`` and ``above`` are what lies on either side. ``cover`` is its coverage, ``wool`` the
    felting part of that.
    """

    layers: tuple[Laid, ...]
    below: tuple[Laid, ...]
    above: tuple[Laid, ...]
    cover: float
    wool: float

    @property
    def is_closed(self) -> bool:
        """Whether a sheet without gaps is in it."""
        return any(laid.is_closed for laid in self.layers)

    @property
    def outer(self) -> float:
        """Felting fibre on the lighter of its two sides, kg/m²."""
        return min(areal(self.below, holding=True), areal(self.above, holding=True))

    def bridged(self, depth: float) -> float:
        """Share of felting fibre in its middle: what comes from both sides, and what is in it."""
        return _bridged(self.cover, self.wool, depth, self.is_closed)

    def kinder(self, depth: float) -> float:
        """The same where fibre wanders further than is likely, half a scale step lighter."""
        doubt = sum(laid.coverage * laid.doubt for laid in self.layers)
        return _bridged(self.cover - doubt, self.wool, depth * DEPTH_FACTOR, self.is_closed)


def _bridged(cover: float, wool: float, depth: float, is_closed: bool) -> float:
    if is_closed:
        return 0.0
    across = bridge_share(max(cover, 0.0), depth)
    return across + (1 - across) * wool


def runs(leaf: Sequence[Laid], depth: float, skin: float, enough: float = math.inf) -> list[Run]:
    """The runs between felting layers of a leaf that share no layer, worst bridged first.

    ``skin`` is the least coverage of felting fibre that counts as a layer on either side. Runs of
    which ``enough`` is bridged at this depth are left out.
    """
    found: list[tuple[int, int]] = []
    taken: list[tuple[int, int]] = []
    for _, _, first, last in sorted(_candidates(leaf, depth, skin, enough)):
        at = bisect_left(taken, (last + 1,))
        if not at or taken[at - 1][1] < first:
            taken.insert(at, (first, last))
            found.append((first, last))
    return [_run(leaf, first, last) for first, last in found]


def _run(leaf: Sequence[Laid], first: int, last: int) -> Run:
    layers = tuple(leaf[first : last + 1])
    cover = wool = 0.0
    for laid in layers:
        cover += laid.coverage
        wool += laid.coverage * laid.felting_share
    return Run(layers, tuple(leaf[:first]), tuple(leaf[last + 1 :]), cover, wool / cover)


def _candidates(
    leaf: Sequence[Laid], depth: float, skin: float, enough: float
) -> Iterator[tuple[float, int, int, int]]:
    """Each run that begins and ends loose: its share bridged, its length, its first and last layer.

    Of those with a sheet, which nothing bridges, only the sheet itself: it comes before all longer ones.
    Portions of one amount are never parted.
    """
    covers = [laid.coverage for laid in leaf]
    wools = [laid.coverage * laid.felting_share for laid in leaf]
    sheets = [laid.is_closed for laid in leaf]
    below = [0.0, *accumulate(wools)]
    above = [0.0, *accumulate(reversed(wools))][::-1]
    loose = [
        shut or laid.felting_share < MOSTLY_LOOSE for laid, shut in zip(leaf, sheets, strict=True)
    ]
    ends = [k for k, one in enumerate(loose) if one and above[k + 1] >= skin]
    goes_on = [
        k + 1 < len(leaf) and laid.portion_of == leaf[k + 1].portion_of
        for k, laid in enumerate(leaf)
    ]
    for first in ends:
        if below[first] < skin or (first and goes_on[first - 1]):
            continue
        if sheets[first]:
            last = goes_on.index(False, first)
            if above[last + 1] >= skin:
                cover, wool = sum(covers[first : last + 1]), sum(wools[first : last + 1])
                share = _bridged(cover, wool / cover, depth, True)
                if share < enough:
                    yield share, 0, first, last
            continue
        cover = wool = 0.0
        for last in range(first, ends[-1] + 1):
            if sheets[last]:
                break
            cover += covers[last]
            wool += wools[last]
            if loose[last] and not goes_on[last] and wool < enough * cover:
                share = _bridged(cover, wool / cover, depth, False)
                if share < enough:
                    yield share, last - first, first, last


def joins(leaf: Sequence[Laid], run: Run) -> bool:
    """Whether layers from below and from above a run of another place lie in this leaf."""
    here = {laid.key[0] for laid in leaf if laid.felting_share > 0}
    below = {laid.key[0] for laid in run.below if laid.felting_share > 0}
    above = {laid.key[0] for laid in run.above if laid.felting_share > 0}
    return bool(here & below) and bool(here & above)


def farthest(cut: Sequence[Place], joined: Sequence[Place], least: float, enough: float) -> float:
    """How far the farthest point of the divided places lies from where layers join, m.

    Infinite if they join nowhere. The outline joins nothing; on a flat resist it does, since layers
    meet round its edge. Only as closely as is asked: a figure up to ``least`` or from ``enough`` on
    may be too small, but lies on the right side of them, or within a hundredth of each: what is just so
    wide counts as narrow there, and as wide here.

    Raises ValueError unless ``least`` is longer than nothing, and ``enough`` no shorter and not endless.
    """
    if not 0 < least <= enough < math.inf:
        raise ValueError(f"expected 0 < least <= enough < infinity, found {least!r} and {enough!r}")
    if not cut:
        return math.inf
    sets = frozenset(cut), frozenset(joined)
    return _far_on(cut[0].face, *sets, least, enough)


def _far_on(
    face: FaceBuild, cut: frozenset[Place], joined: frozenset[Place], least: float, enough: float
) -> float:
    known, key = face.face.cut.distances, (*map(_patches, (cut, joined)), face.name, least, enough)
    if key not in known:
        known[key] = _worked_out(face, cut, joined, least, enough)
    return known[key]


def _patches(places: Iterable[Place]) -> frozenset[Patch]:
    return frozenset(patch for place in places for patch in place.region.patches)


def _worked_out(
    face: FaceBuild, cut: frozenset[Place], joined: frozenset[Place], least: float, enough: float
) -> float:
    parts = [shape for place in face.places if place in cut for shape in place.shapes]
    targets = [shape for place in face.places if place in joined for shape in place.shapes]
    if face.name != "whole":
        edge = face.face.edge
        sides = zip(edge, (*edge[1:], *edge[:1]), strict=True)
        targets += [((a, b), bounds((a, b))) for a, b in sides]
    if not parts or not targets:
        return math.inf
    near = _Near(targets, [box for _, box in parts], enough)
    return _farthest([shape for shape, _ in parts], near, least, enough)


Squares = dict[tuple[int, int], list[tuple[Polygon, Box]]]

ACROSS = 16
"""A shape that is longer than so many squares lies in a wider net."""


class _Near:
    """Shapes by the squares of a net, half a reach wide, that they touch: to find those near a point.

    A shape that would touch very many lies in a net of wider squares, each twice as wide as the last.
    """

    def __init__(
        self, shapes: Iterable[tuple[Polygon, Box]], about: Sequence[Box], reach: float
    ) -> None:
        """Only the shapes that come as near as ``reach`` to what this is ``about`` are kept."""
        self.reach = reach
        self.squares: Squares = {}
        self.wider: dict[float, Squares] = {}
        west, south = min(box[0] for box in about) - reach, min(box[1] for box in about) - reach
        east, north = max(box[2] for box in about) + reach, max(box[3] for box in about) + reach
        for shape, box in shapes:
            if box[0] > east or box[2] < west or box[1] > north or box[3] < south:
                continue
            low_x, high_x = max(west, box[0]), min(east, box[2])
            low_y, high_y = max(south, box[1]), min(north, box[3])
            size, squares = reach / 2, self.squares
            while max(high_x - low_x, high_y - low_y) > ACROSS * size:
                size *= 2
                squares = self.wider.setdefault(size, {})
            for i in range(math.floor(low_x / size), math.floor(high_x / size) + 1):
                for j in range(math.floor(low_y / size), math.floor(high_y / size) + 1):
                    squares.setdefault((i, j), []).append((shape, box))
        self.wider = {size: squares for size, squares in self.wider.items() if squares}

    def nearest(self, x: float, y: float) -> tuple[float, Polygon]:
        """The nearest shape and its distance from a point; the reach, and none, if all are farther."""
        size = self.reach / 2
        column, row = math.floor(x / size), math.floor(y / size)
        least, square = self.reach, self.reach**2
        found: Polygon = ()
        across, deep = _apart(x / size - column), _apart(y / size - row)
        side = square / 4
        for number, (i, j) in enumerate(SQUARES):
            if number == BESIDE and square <= side:
                break  # those farther off begin at least a square away
            if (across[i + 2] ** 2 + deep[j + 2] ** 2) * side >= square:
                continue
            for shape, (west, south, east, north) in self.squares.get((column + i, row + j), ()):
                dx = west - x if x < west else x - east if x > east else 0.0
                dy = south - y if y < south else y - north if y > north else 0.0
                if dx * dx + dy * dy < square:
                    far = _distance(x, y, shape)
                    if far < least:
                        least, square, found = far, far * far, shape
        for size, squares in self.wider.items():
            for i in range(math.floor((x - least) / size), math.floor((x + least) / size) + 1):
                for j in range(math.floor((y - least) / size), math.floor((y + least) / size) + 1):
                    for shape, (west, south, east, north) in squares.get((i, j), ()):
                        dx = west - x if x < west else x - east if x > east else 0.0
                        dy = south - y if y < south else y - north if y > north else 0.0
                        if dx * dx + dy * dy < square:
                            far = _distance(x, y, shape)
                            if far < least:
                                least, square, found = far, far * far, shape
        return least, found


def _apart(within: float) -> tuple[float, ...]:
    """How far the five squares from two before to two behind begin from a point in the middle one."""
    return within + 1, within, 0.0, 1 - within, 2 - within


SQUARES = sorted(
    ((i, j) for i in range(-2, 3) for j in range(-2, 3)), key=lambda at: math.hypot(*at)
)
"""The square, half as wide as the reach, that a point lies in, then those round it."""

BESIDE = 9
"""So many of them are the point's own, and touch that."""


def _farthest(parts: Iterable[Polygon], near: _Near, least: float, enough: float) -> float:
    """Branch and bound, by two bounds on how far any point of a part lies.

    A distance changes no faster than the point that it is taken from; and the distance from one
    convex shape is convex, so that no point of a part lies farther from it than one of its corners.
    """
    best, tick, narrow = 0.0, 0, SHARP * least * (1 + 1e-9)
    queue: list[tuple[float, int, Polygon]] = []
    every = list(parts)
    # some of each region first: where much lies far off, the first such part ends the search
    fresh = [part for k in range(STRIDE) for part in every[k::STRIDE]]

    def settled() -> float:
        """The bound up to which a part can't change what is asked."""
        if best <= narrow:
            return RIDGE * narrow
        if CLOSELY * best < enough / SHARP:
            return CLOSELY * best
        return RIDGE * enough / SHARP if SHARP * best < enough * (1 - 1e-9) else math.inf

    enough_said = settled()
    while True:
        for corners in fresh:
            (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
            x, y = (ax + bx + cx + dx) / 4, (ay + by + cy + dy) / 4
            far, shape = near.nearest(x, y)
            if far > best:
                best = far
                if best >= enough:  # the reach: nothing is looked for farther off
                    return best
                enough_said = settled()
            bound = far + max([math.dist((x, y), at) for at in corners])
            if shape and bound > enough_said:
                bound = min(bound, max([_distance(*at, shape) for at in corners]))
            if bound > enough_said:
                tick += 1
                heapq.heappush(queue, (-bound, tick, corners))
        if not queue or -queue[0][0] <= enough_said or tick > MOST_PARTS:
            break
        fresh = _halves(heapq.heappop(queue)[2])
    if best <= narrow:
        return min(best, least)
    return max(best, enough) if SHARP * best >= enough * (1 - 1e-9) else best


def _halves(corners: Polygon) -> list[Polygon]:
    """Cut across its longer direction."""
    a, b, c, d = corners
    if math.dist(_mid(d, a), _mid(b, c)) >= math.dist(_mid(a, b), _mid(c, d)):
        low, high = _mid(a, b), _mid(c, d)
        return [(a, low, high, d), (low, b, c, high)]
    left, right = _mid(d, a), _mid(b, c)
    return [(a, b, right, left), (left, right, c, d)]


def _mid(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _distance(x: float, y: float, corners: Polygon) -> float:
    """From a point to a convex shape that runs anticlockwise, or to a line of two ends."""
    least, shape = math.inf, len(corners) > 2
    ax, ay = corners[-1]
    for bx, by in corners:
        dx, dy, px, py = bx - ax, by - ay, x - ax, y - ay
        ax, ay = bx, by
        if shape and dx * py - dy * px >= 0:  # the nearest point lies on a side turned to it
            continue
        size, along = dx * dx + dy * dy, px * dx + py * dy
        if along > 0:
            part = along / size if along < size else 1.0
            px, py = px - part * dx, py - part * dy
        square = px * px + py * py
        if square < least:
            least = square
    return math.sqrt(least) if least < math.inf else 0.0
