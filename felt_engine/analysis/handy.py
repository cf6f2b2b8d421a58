"""Figures and words for rule authors that are put together from the rest of this room."""

from __future__ import annotations

import cmath
from collections.abc import Callable, Iterable, Sequence

from felt_engine.analysis import whereabouts
from felt_engine.analysis.axes import bearing_of_angle
from felt_engine.analysis.build import Build, FaceBuild, Place
from felt_engine.analysis.coverage import coverage_for_bare
from felt_engine.analysis.say import (
    axis,
)
from felt_engine.analysis.stack import Laid
from felt_engine.analysis.steady import part_of
from felt_engine.model.layup import Layer
from felt_engine.value import kept

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.analysis.layout import Region
    from felt_engine.analysis.outline import Shape


def axis_words(pull: complex) -> str:
    """The axis of a doubled-angle resultant, as a compass word or a bearing."""
    return axis(bearing_of_angle(cmath.phase(pull) / 2))


def bearing_words(laid: Laid) -> str:
    """The direction in which something is laid, in words."""
    return "" if laid.angle is None else axis(bearing_of_angle(laid.angle))


def locate(places: Sequence[Place], face: FaceBuild) -> str:
    """Words for where these places lie on their face, taken together."""
    return _located(face, *(place.region for place in places))


def narrowest(places: Sequence[Place]) -> float:
    """How wide these places of one face are together, across their narrow direction, m."""
    return _narrowest(places[0].face, *(place.region for place in places))


@kept
def _located(face: FaceBuild, *regions: Region) -> str:
    return whereabouts.locate(regions, face.face).words


@kept
def _narrowest(face: FaceBuild, *regions: Region) -> float:
    return whereabouts.narrowest(regions, face.face)


def spread_area(build: Build, laid: Laid) -> float:
    """The whole area that a placement's amount is laid on, m², over all its faces."""
    return build.masses[laid.key] / laid.areal if laid.areal else 0.0


def pieces(build: Build) -> tuple[float, str]:
    """For how many pieces the recipe's amounts are, and the words to say so after a weight.

    No words where there is one piece.
    """
    piece = build.recipe.piece
    if piece.count == 1:
        return 1.0, ""
    if piece.amounts_for == "all":
        return float(piece.count), f" for all {piece.count} pieces"
    return 1.0, " on one piece"


ALL = 0.999
"""Part of a face from which a layer lies all over it (own choice)."""


def lies_all_over(build: Build, layer: Layer) -> bool:
    """Whether a layer lies on the whole of a face, however its zones are written."""
    return any(
        part_of(
            sum(p.area for p in face.places if any(o.layer is layer and not o.turned for o in p.stack)),
            face.area,
        ) >= ALL
        for face in build.faces
    )  # fmt: skip


def lies_past(build: Build, layer: Layer) -> bool:
    """Whether some of a layer is laid past the outline of a face, to hang over there."""
    layers = build.recipe.layers
    left = {key: area for key, area in build.areas.items() if layers[key[0]] is layer}
    for face in build.faces:
        for laid, area in face.laid:
            if laid.key in left:
                left[laid.key] -= area
    return any(area > 1e-6 * build.areas[key] for key, area in left.items())


def on_what(
    build: Build, laid: Laid, kg: float, say: Callable[[float], str], more: str = ""
) -> str:
    """A weight on one piece as the amount of something laid is written: on its zone, on each face.

    ``say`` is one of the ways to say a weight; ``more`` is said after it.
    """
    times, per = pieces(build)
    on = [] if laid.placement.zone == "whole" else [f"“{laid.placement.zone}”"]
    on += ["each face"] if laid.placement.face == "each" else []
    kg *= times / 2 if laid.placement.face == "each" else times
    where = f" on {' of '.join(on)}" if on else "" if per else " on the piece"
    return f"{say(kg)}{more}{where}{per}"


def neighbours(
    face: FaceBuild, places: Sequence[Place], narrow: float
) -> list[tuple[Place, Place]]:
    """Pairs of these places that touch along more than ``narrow`` (m), or that one other place
    parts which is narrower than that, such as a lap; each pair once.
    """
    counted = {id(place): k for k, place in enumerate(places)}
    beside: dict[int, list[int]] = {}
    found: set[tuple[int, int]] = set()
    for border in face.borders:
        if border.length < narrow:
            continue
        one, two = counted.get(id(border.one)), counted.get(id(border.two))
        if one is not None and two is not None:
            found.add((min(one, two), max(one, two)))
        elif one is not None and border.two.width < narrow:
            beside.setdefault(id(border.two), []).append(one)
        elif two is not None and border.one.width < narrow:
            beside.setdefault(id(border.one), []).append(two)
    for around in beside.values():
        found.update((min(a, b), max(a, b)) for a in around for b in around if a != b)
    return [(places[one], places[two]) for one, two in sorted(found)]


def _held(place: Place) -> tuple[float, float]:
    covered = spread = 0.0
    for laid in place.stack:
        for part in laid.parts:
            if part.stuff.holds:
                cover = part.coverage()
                covered += cover
                spread += cover * part.cv
    return covered, spread / covered if covered else 0.0


def weightiest(
    stack: Sequence[Laid], weigh: Callable[[Laid], float] = lambda laid: laid.areal
) -> tuple[Laid | None, float]:
    """The first of what weighs most together, and that weight (kg/m²); ``None`` of an empty stack.

    One lot of one layer on one zone is weighed as one, in however many portions it is laid.
    """
    sums: dict[tuple[object, ...], float] = {}
    first: dict[tuple[object, ...], Laid] = {}
    for laid in stack:
        key = laid.portion_of
        sums[key] = sums.get(key, 0.0) + weigh(laid)
        first.setdefault(key, laid)
    if not sums:
        return None, 0.0
    most = max(sums, key=lambda key: round(sums[key], 9))
    return first[most], sums[most]


def names_at_all(places: Iterable[Place]) -> tuple[str, ...]:
    """Names of the layers, zones and lots that lie at every one of these places, in order."""
    shared = [
        {name for laid in place.stack
         for name in (laid.layer.name, laid.placement.zone, laid.placement.of)}
        for place in places
    ]  # fmt: skip
    return tuple(sorted(set.intersection(*shared) - {"whole"})) if shared else ()


def bare_sum(place: Place) -> str:
    """The sum behind a place's bare index."""
    covered, cv = _held(place)
    if not covered:
        return "B = 1: nothing there felts"
    return (
        f"c = Σ 4 w / (π d ρ) = {covered:.2f}; v = {cv:.2f}; "
        f"B = (1 + c v²)^(-1/v²) = {place.bare():.3f}"
    )


def areal_for_bare(place: Place, limit: float) -> float:
    """Felting weight per area (kg/m²) at which a place's bare index would be ``limit``.

    What is added is taken to be of the coarsest that felts there, and as unevenly laid as any of it.
    """
    covered, cv = _held(place)
    if not covered:
        return 0.0
    parts = [part for laid in place.stack for part in laid.parts if part.stuff.holds]
    need = coverage_for_bare(limit, cv)
    if need <= covered:
        return place.felting_areal * need / covered
    need = coverage_for_bare(limit, max(part.cv for part in parts))
    coarsest = max(1 / part.stuff.coverage(1.0) for part in parts)
    return place.felting_areal + (need - covered) * coarsest


def heaviest_lot(place: Place) -> str:
    """The felting lot that weighs most at a place, with its diameter."""
    parts = [part for laid in place.stack for part in laid.parts if part.stuff.holds]
    if not parts:
        return ""
    most = max(parts, key=lambda part: part.areal)
    size = most.stuff.diameter.usual * 1e6
    return f"“{most.stuff.lot.name}” taken as {size:.1f} um"


def shape_tendency(face: FaceBuild, stage: str) -> Shape:
    """Which edges of a face may draw in, bow out or come out longer: a tendency, not a drawing.

    Solved when asked for. ValueError (from ``figures``) for a stage that isn't prefelt, light, firm or hard.
    """
    from felt_engine.analysis import outline

    return outline.shape_tendency(face, stage)


def shape_words(shape: Shape) -> tuple[str, ...]:
    """A shape tendency in words, a line each; none where nothing can be told (``shape.untold``)."""
    from felt_engine.analysis import outline_words

    return outline_words.shape_words(shape)


def shape_sum(shape: Shape) -> str:
    """The figures behind these words, with their doubt and what they are compared with."""
    from felt_engine.analysis import outline_words

    return outline_words.shape_sum(shape)


__all__ = [
    "areal_for_bare", "axis_words", "bare_sum", "bearing_words",
    "heaviest_lot", "locate", "narrowest", "neighbours", "on_what", "pieces", "shape_sum", "shape_tendency",
    "shape_words", "spread_area",
]  # fmt: skip
