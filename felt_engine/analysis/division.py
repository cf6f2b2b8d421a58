"""What keeps layers apart inside a stack: sheets and thick webs that wool does not cross, resists.

A stack is read from bottom to top. Whether wool bridges a run of layers is :mod:`migration`'s
figure; how far a divided part lies from where layers join is plane geometry.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Sequence

import attrs

from felt_engine.analysis.build import Place
from felt_engine.analysis.geometry import Box, Polygon, bounds
from felt_engine.analysis.migration import DEPTH_FACTOR, bridge_share
from felt_engine.analysis.stack import Laid, areal
from felt_engine.model.recipe import Recipe

MOSTLY_LOOSE = 0.5
"""A run begins and ends with layers of which less than this part of the coverage felts."""

CLOSELY = 1.03
"""How closely a distance is worked out, as a factor."""


def closed(laid: Laid) -> bool:
    """Whether part of it is a sheet without gaps: close cloth, or felt bought as felt."""
    return laid.is_closed


def leaves(place: Place, recipe: Recipe) -> list[list[Laid]]:
    """The stack of a place, bottom to top, parted where a resist lies in it; gaps left out."""
    names = [layer.name for layer in recipe.layers]
    parted = set()
    for resist in recipe.resists:
        zone = recipe.zone(resist.zone)
        here = resist.lies_on(place.face.name)
        if here and resist.above in names and (zone is None or place.lies_in(zone)):
            parted.add(names.index(resist.above))
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


def runs(leaf: Sequence[Laid], depth: float, skin: float) -> list[Run]:
    """The runs between felting layers of a leaf that share no layer, worst bridged first.

    ``skin`` is the least coverage of felting fibre that counts as a layer on either side.
    """
    found: list[Run] = []
    for run in sorted(_runs(leaf, skin), key=lambda r: (r.bridged(depth), len(r.layers))):
        if not any(laid is other for laid in run.layers for one in found for other in one.layers):
            found.append(run)
    return found


def _runs(leaf: Sequence[Laid], skin: float) -> Iterator[Run]:
    ends = [k for k, laid in enumerate(leaf) if laid.felting_share < MOSTLY_LOOSE or laid.is_closed]
    for first in ends:
        below = tuple(leaf[:first])
        if _felting(below) < skin:
            continue
        cover = wool = 0.0
        for last in range(first, len(leaf)):
            cover += leaf[last].coverage
            wool += leaf[last].coverage * leaf[last].felting_share
            above = tuple(leaf[last + 1 :])
            if last in ends and _felting(above) >= skin:
                yield Run(tuple(leaf[first : last + 1]), below, above, cover, wool / cover)


def _felting(layers: Iterable[Laid]) -> float:
    return sum(laid.coverage * laid.felting_share for laid in layers)


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
    may be too small, but lies on the right side of them.
    """
    parts = [shape for place in cut for shape in place.shapes]
    targets = [shape for place in joined for shape in place.shapes]
    if cut and cut[0].face.name != "whole":
        edge = cut[0].face.face.edge
        sides = zip(edge, (*edge[1:], *edge[:1]), strict=True)
        targets += [((a, b), bounds((a, b))) for a, b in sides]
    if not parts or not targets:
        return math.inf
    near = _Near(targets, [box for _, box in parts], enough)
    return _farthest([shape for shape, _ in parts], near, least, enough)


class _Near:
    """Shapes by the squares of a net that they touch, to find those near a point."""

    def __init__(
        self, shapes: Iterable[tuple[Polygon, Box]], about: Sequence[Box], reach: float
    ) -> None:
        """Only the shapes that come as near as ``reach`` to what this is ``about`` are kept."""
        self.reach = reach
        self.squares: dict[tuple[int, int], list[tuple[Polygon, Box]]] = {}
        west, south = min(box[0] for box in about) - reach, min(box[1] for box in about) - reach
        east, north = max(box[2] for box in about) + reach, max(box[3] for box in about) + reach
        for shape, box in shapes:
            if box[0] > east or box[2] < west or box[1] > north or box[3] < south:
                continue
            for i in range(self._at(max(west, box[0])), self._at(min(east, box[2])) + 1):
                for j in range(self._at(max(south, box[1])), self._at(min(north, box[3])) + 1):
                    self.squares.setdefault((i, j), []).append((shape, box))

    def _at(self, length: float) -> int:
        return math.floor(length / self.reach)

    def distance(self, x: float, y: float) -> float:
        """From a point to the nearest shape; the reach if none is nearer than that."""
        column, row = self._at(x), self._at(y)
        near: dict[int, tuple[float, Polygon]] = {}
        for i, j in SQUARES:
            for shape, (west, south, east, north) in self.squares.get((column + i, row + j), ()):
                dx, dy = max(west - x, 0.0, x - east), max(south - y, 0.0, y - north)
                near[id(shape)] = dx * dx + dy * dy, shape
        least = self.reach
        for square, shape in sorted(near.values()):
            if square >= least * least:
                break
            least = min(least, _distance(x, y, shape))
        return least


SQUARES = [(i, j) for i in (-1, 0, 1) for j in (-1, 0, 1)]


def _farthest(parts: Iterable[Polygon], near: _Near, least: float, enough: float) -> float:
    """Branch and bound: a distance changes no faster than the point that it is taken from."""
    best, tick = 0.0, 0
    queue: list[tuple[float, int, Polygon]] = []
    fresh = list(parts)

    def settled() -> float:
        """The bound up to which a part can't change what is asked."""
        return least if best <= least else min(CLOSELY * best, enough)

    while best < enough:
        for corners in fresh:
            x = sum(at[0] for at in corners) / len(corners)
            y = sum(at[1] for at in corners) / len(corners)
            far = near.distance(x, y)
            best = max(best, far)
            bound = far + max(math.dist((x, y), at) for at in corners)
            if bound > settled():
                tick += 1
                heapq.heappush(queue, (-bound, tick, corners))
        if not queue or -queue[0][0] <= settled():
            break
        fresh = _halves(heapq.heappop(queue)[2])
    return best


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
    least, inside = math.inf, len(corners) > 2
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        dx, dy, px, py = bx - ax, by - ay, x - ax, y - ay
        if dx * py - dy * px < 0:
            inside = False
        size = dx * dx + dy * dy
        part = min(1.0, max(0.0, (px * dx + py * dy) / size)) if size else 0.0
        least = min(least, (px - part * dx) ** 2 + (py - part * dy) ** 2)
    return 0.0 if inside else math.sqrt(least)
