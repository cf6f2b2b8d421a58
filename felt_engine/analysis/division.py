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
from felt_engine.analysis.geometry import Patch
from felt_engine.analysis.migration import DEPTH_FACTOR, bridge_share
from felt_engine.analysis.stack import Laid, areal
from felt_engine.model.recipe import Recipe

MOSTLY_LOOSE = 0.5
"""A run begins and ends with layers of which less than this part of the coverage felts."""

FINEST = 0.0002
"""How closely a distance is worked out, m."""


def closed(laid: Laid) -> bool:
    """Whether part of it is a sheet without gaps: close cloth, or felt bought as felt."""
    return any(p.stuff.lot.preparation in ("close cloth", "felt") for p in laid.parts)


def _gaps(laid: Laid) -> bool:
    """Whether wool gets round or through all of it whatever its weight: open cloth, yarn."""
    return all(p.stuff.lot.preparation in ("open cloth", "yarn") for p in laid.parts)


def leaves(place: Place, recipe: Recipe) -> list[list[Laid]]:
    """The stack of a place, bottom to top, parted where a resist lies in it; gaps left out."""
    names = [layer.name for layer in recipe.layers]
    parted = set()
    for resist in recipe.resists:
        zone = recipe.zone(resist.zone)
        if resist.above in names and (zone is None or place.lies_in(zone)):
            parted.add(names.index(resist.above))
    found: list[list[Laid]] = [[]]
    for laid in place.stack:
        while parted and laid.key[0] > min(parted):
            parted.discard(min(parted))
            if found[-1]:
                found.append([])
        if not _gaps(laid):
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
        return any(closed(laid) for laid in self.layers)

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
    ends = [k for k, laid in enumerate(leaf) if laid.felting_share < MOSTLY_LOOSE or closed(laid)]
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


def farthest(cut: Sequence[Place], joined: Sequence[Place], enough: float) -> float:
    """How far the farthest point of the divided places lies from where layers join, m.

    Looks no further than ``enough``. Infinite if they join nowhere. The outline joins nothing; on a
    flat resist it does, since layers meet round its edge.
    """
    patches = [patch for place in cut for patch in place.region.patches]
    targets = [patch.corners for place in joined for patch in place.region.patches]
    if cut and cut[0].face.name != "whole":
        edge = cut[0].face.face.edge
        targets += [(a, b) for a, b in zip(edge, (*edge[1:], *edge[:1]), strict=True)]
    if not patches or not targets:
        return math.inf
    return _farthest(patches, targets, enough)


Corners = tuple[tuple[float, float], ...]


def _farthest(patches: Sequence[Patch], targets: Sequence[Corners], enough: float) -> float:
    """Branch and bound: a distance changes no faster than the point that it is taken from."""
    best, tick = 0.0, 0
    queue: list[tuple[float, int, Corners]] = []

    def look(corners: Corners) -> None:
        nonlocal best, tick
        x = sum(at[0] for at in corners) / len(corners)
        y = sum(at[1] for at in corners) / len(corners)
        far = min(_distance(x, y, target) for target in targets)
        best = max(best, far)
        bound = far + max(math.dist((x, y), at) for at in corners)
        if bound > best + FINEST:
            tick += 1
            heapq.heappush(queue, (-bound, tick, corners))

    for patch in patches:
        look(patch.corners)
    while queue and best < enough:
        bound, _, corners = heapq.heappop(queue)
        if -bound <= best + FINEST:
            break
        for quarter in _quarters(corners):
            look(quarter)
    return best


def _quarters(corners: Corners) -> Iterator[Corners]:
    a, b, c, d = corners
    ab, bc, cd, da = _mid(a, b), _mid(b, c), _mid(c, d), _mid(d, a)
    centre = _mid(ab, cd)
    yield a, ab, centre, da
    yield ab, b, bc, centre
    yield centre, bc, c, cd
    yield da, centre, cd, d


def _mid(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _distance(x: float, y: float, corners: Corners) -> float:
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
