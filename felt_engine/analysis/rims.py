"""The outer strip of a flat piece: what it has, and what it lacks for one reason or another.

A strip is held against what would lie there without that reason, not against the middle of the
piece, which may be heavier on purpose.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import cache

import attrs

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.build import FaceBuild, Place
from felt_engine.analysis.layout import Cut, cuts_of
from felt_engine.analysis.patches import decompose
from felt_engine.analysis.rows import TAPER, TUFT, Profile, shingle_rows
from felt_engine.analysis.shingle import Shingled, shingled
from felt_engine.analysis.stack import Laid
from felt_engine.analysis.steady import steady
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.recipe import Recipe
from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeVar

    Name = TypeVar("Name")

RAMP = 0.04
"""How far a torn edge of batt thins out, m (from memory)."""


@attrs.frozen(eq=False, repr=False)
class Loss(Value):
    """What a placement lacks in a strip, kg/m² of the strip: ``why`` is short, torn or rows.

    ``places`` are those where it is missing.
    """

    layer: Layer
    placement: Placement
    key: tuple[int, int]
    why: str
    areal: float
    places: tuple[Place, ...]


@attrs.frozen(eq=False, repr=False)
class Rim(Value):
    """One side's outer strip, or that all round: its mean weight as drawn, kg/m², and its losses.

    ``turned`` is the part of that weight that was folded in there, on top of the layer itself.
    """

    side: str
    areal: float
    turned: float
    losses: tuple[Loss, ...]

    def share(self, *why: str) -> float:
        """What is left there, as a part of what there would be without these losses."""
        return rim_share(self, [loss for loss in self.losses if loss.why in why])


def rim_share(rim: Rim, losses: Iterable[Loss]) -> float:
    """What a strip is left with, as a part of what it would have without these losses of its own.

    What stops short isn't among the strip's weight; what thins out there is, in full. What was folded
    in makes up for it, and isn't asked for.
    """
    full, left = rim.areal - rim.turned, rim.areal
    for loss in losses:
        if loss.why == "short":
            full += loss.areal
        else:
            left -= loss.areal
    return steady(min(1.0, max(0.0, left) / full)) if full > 0 else 1.0


def rims(recipe: Recipe, face: FaceBuild, wide: float) -> tuple[Rim, ...]:
    """The outer strips of a flat piece: one at each side of a rectangle or a polygon, else one all round.

    Of a polygon with many sides, too, it is one all round.
    """
    if recipe.piece.over != "table":
        return ()
    shingles = {
        number: shingled(face, number)
        for number, layer in enumerate(recipe.layers) if layer.lay == "shingle"
    }  # fmt: skip

    @cache
    def ends(key: tuple[int, int], past: float) -> float:
        return _at_ends(shingles.get(key[0]), past, wide)

    @cache
    def past(key: tuple[int, int], out: float | None) -> float:
        return _past(recipe, face, recipe.layers[key[0]].placements[key[1]], out)

    places = {frozenset((one.key, one.turned) for one in p.stack): p for p in face.places}
    return tuple(_rim(face, strip, wide, past, ends, places) for strip in _cut(recipe, face, wide))


Past = Callable[[tuple[int, int], float | None], float]
"""How far what has this key is laid past the outline on the side that faces this way, m."""

Ends = Callable[[tuple[int, int], float], float]
"""Part of what has this key that is missing at the ends of its rows, laid so far past the outline."""

Stack = frozenset[tuple[tuple[int, int], bool]]
"""Keys of what lies at a place, each with whether it is turned over."""


@attrs.frozen(eq=False, repr=False)
class _Strip:
    """One strip: the area of each stack in it, and of each stack that a placement stops short of.

    ``side`` is the way that it faces in words, ``out`` the same in radians anticlockwise from east;
    all round there is none.
    """

    side: str
    out: float | None
    areas: dict[Stack, float]
    lacking: dict[tuple[int, int], dict[Stack, float]]


SIDES = 12
"""Most sides of a polygon of which each has a strip of its own: more are a curve."""
_FACING = (
    "east", "northeast", "north", "northwest", "west", "southwest", "south", "southeast", "east",
)  # fmt: skip


def _strips(recipe: Recipe, face: FaceBuild, wide: float) -> list[tuple[_Strip, list[Cut]]]:
    """Each strip, still empty, and what it is cut by."""
    edge = face.face.edge
    shape = recipe.piece.shape
    if shape == "rectangle" or (shape == "polygon" and len(edge) <= SIDES):
        return [
            (
                _Strip(_FACING[round(out / (math.pi / 4))], out, {}, {}),
                [(edge, True), (strip, True)],
            )
            for out, strip in _along_sides(edge, wide)
        ]
    inner = geo.grown(edge, -wide)
    return [(_Strip("", None, {}, {}), [(edge, True), *([(inner, False)] if inner else [])])]


def _along_sides(edge: geo.Polygon, wide: float) -> Iterator[tuple[float, geo.Polygon]]:
    """For each side of an outline which way it faces (0 to 2 pi), and a strip as long as it is."""
    for (ax, ay), (bx, by) in zip(edge, (*edge[1:], *edge[:1]), strict=True):
        length = math.hypot(bx - ax, by - ay)
        if length:
            x, y = (ay - by) / length * wide, (bx - ax) / length * wide
            strip = ((ax, ay), (bx, by), (bx + x, by + y), (ax + x, ay + y))
            yield math.atan2(-y, -x) % math.tau, strip


def _cut(recipe: Recipe, face: FaceBuild, wide: float) -> list[_Strip]:
    """Cut the face once more, by the strips too, and sum up what lies in each."""
    spreads = {(s.key, s.turned): s for region in face.face.regions for s in region.spreads}
    placements = {laid.key: laid.placement for laid, _ in face.laid}
    asked = {
        key: cuts_of(recipe.zone(one.zone), face.face.edge, face.face.box, 0.0)
        for key, one in placements.items() if one.short is not None
    }  # fmt: skip
    numbers: dict[geo.Polygon, int] = {}

    def masks(cuts: Iterable[Cut]) -> tuple[int, int]:
        need = forbid = 0
        for polygon, want in cuts:
            bit = 1 << numbers.setdefault(polygon, len(numbers))
            need, forbid = (need | bit, forbid) if want else (need, forbid | bit)
        return need, forbid

    cut = _strips(recipe, face, wide)
    found = [strip for strip, _ in cut]
    strips = [(number, masks(cuts)) for number, (_, cuts) in enumerate(cut)]
    lying = [(name, masks(spread.cuts)) for name, spread in spreads.items()]
    wanted = [(key, masks(cuts)) for key, cuts in asked.items()]

    @cache
    def lies(inside: int) -> tuple[list[int], Stack, list[tuple[int, int]]]:
        """The strips that such a patch is in, what lies in it, and what stops short of it."""
        sides = _fitting(inside, strips)
        stack = frozenset(_fitting(inside, lying) if sides else ())
        keys = {key for key, _ in stack}
        return sides, stack, [key for key in _fitting(inside, wanted) if key not in keys]

    near = tuple(() if _is_far(polygon, recipe, face, wide) else polygon for polygon in numbers)
    for patch in decompose(near):
        sides, stack, short = lies(patch.inside)
        for side in sides:
            _add(found[side].areas, stack, patch.area)
            for key in short:
                _add(found[side].lacking.setdefault(key, {}), stack, patch.area)
    return found


def _is_far(polygon: geo.Polygon, recipe: Recipe, face: FaceBuild, wide: float) -> bool:
    """Whether it reaches into no strip of a rectangle."""
    if recipe.piece.shape != "rectangle" or not polygon:
        return not polygon
    west, south, east, north = face.face.box
    left, low, right, high = geo.bounds(polygon)
    return left > west + wide and low > south + wide and right < east - wide and high < north - wide


def _fitting(inside: int, masks: Iterable[tuple[Name, tuple[int, int]]]) -> list[Name]:
    """Names of what asks for nothing else than what a patch lies inside of, and outside of."""
    return [name for name, (need, forbid) in masks if inside & need == need and not inside & forbid]


def _add(areas: dict[Stack, float], stack: Stack, size: float) -> None:
    areas[stack] = areas.get(stack, 0.0) + size


def _rim(
    face: FaceBuild, strip: _Strip, wide: float, past: Past, ends: Ends, places: dict[Stack, Place]
) -> Rim:
    whole = sum(strip.areas.values())
    if whole <= 0:
        return Rim(strip.side, 0.0, 0.0, ())
    laid = {(one.key, one.turned): one for one, _ in face.laid}
    lying = [(laid[name], size) for stack, size in strip.areas.items() for name in stack]
    mass = sum(one.areal * size for one, size in lying)
    turned = sum(one.areal * size for one, size in lying if one.turned)
    losses = []
    for key, lacking in strip.lacking.items():
        one = laid[key, False]
        areal = one.areal * sum(lacking.values()) / whole
        losses.append(_loss(one, "short", areal, [places.get(stack) for stack in lacking]))
    for name, one in laid.items():
        size = sum(size for stack, size in strip.areas.items() if name in stack)
        if one.turned or not size or one.layer.turned_in is not None:
            continue
        here = [places.get(stack) for stack in strip.areas if name in stack]
        by = past(name[0], strip.out)
        rows = ends(name[0], by) * _facing(strip.out, one) if ends(name[0], by) else 0.0
        for why, part in (("torn", _torn(one, by, wide)), ("rows", rows)):
            if part > 0:
                losses.append(_loss(one, why, one.areal * part * size / whole, here))
    return Rim(strip.side, mass / whole, turned / whole, tuple(losses))


def _loss(laid: Laid, why: str, areal: float, places: list[Place | None]) -> Loss:
    found = tuple(dict.fromkeys(place for place in places if place is not None))
    return Loss(laid.layer, laid.placement, laid.key, why, areal, found)


def _past(recipe: Recipe, face: FaceBuild, placement: Placement, out: float | None) -> float:
    """How far an amount is laid past the outline on a side: less than past its zone, if that lies within."""
    past = placement.past.si if placement.past else 0.0
    zone = recipe.zone(placement.zone)
    if not past or zone is None or zone.shape == "rim":
        return past
    edge = face.face.edge
    if zone.shape == "middle":
        return max(0.0, past - (zone.width.si if zone.width else 0.0))
    shape = cuts_of(zone, edge, face.face.box, 0.0)[0][0]
    ways = _ALL_WAYS if out is None else (out,)
    return max(0.0, past - min(max(0.0, _far(edge, way) - _far(shape, way)) for way in ways))


_ALL_WAYS = tuple(k * math.pi / 2 for k in range(4))


def _far(polygon: geo.Polygon, way: float) -> float:
    """How far an outline reaches one way (radians anticlockwise from east), m."""
    return max(x * math.cos(way) + y * math.sin(way) for x, y in polygon)


def _torn(laid: Laid, past: float, wide: float) -> float:
    """Part of a torn batt that is missing in the outer strip."""
    left = RAMP - past
    if laid.layer.batt_edges != "torn" or left <= 0:
        return 0.0
    reach = min(wide, left)
    return reach * (left - reach / 2) / RAMP / wide


def _at_ends(found: Shingled | None, past: float, wide: float) -> float:
    """Part of a shingled layer that is missing in the outer strip at the ends of its rows."""
    if found is None:
        return 0.0
    course = _course(found, past)
    first, last = course.rims(min(wide, (course.extent - 2 * past) / 4), past)
    return max(0.0, 1 - (first + last) / 2)


def _facing(out: float | None, laid: Laid) -> float:
    """How much of a strip lies at the ends of a layer's rows: all, none, or half of one all round."""
    if out is None or laid.angle is None:
        return 0.5
    return 1.0 if abs(math.cos(laid.angle - out)) > 0.9 else 0.0


def _course(found: Shingled, past: float) -> Profile:
    tuft = found.tuft or min(TUFT, found.along / 2)
    overlap = found.rows.overlap if found.rows else (found.overlap or 1 / 3)
    taper = min(0.5, TAPER if found.taper is None else found.taper)
    rows = shingle_rows(max(found.along, 1.01 * tuft) + 2 * past, tuft, min(overlap, 0.9))
    return Profile(tuft, rows.pitch, rows.count, taper, taper)


__all__ = ["RAMP", "Loss", "Rim", "rim_share", "rims"]
