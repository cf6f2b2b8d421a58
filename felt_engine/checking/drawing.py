"""Build to drawing: outlines, zones, rows, stacks and colours, for a page to show.

A report carries a drawing only if it was asked for, since most readers of a report don't need one.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence

from felt_engine.analysis.axes import bearing_of_angle
from felt_engine.analysis.build import Build, FaceBuild, Place
from felt_engine.analysis.colour import blend, hex_of_linear
from felt_engine.analysis.faceview import depths, inward, laid_colour
from felt_engine.analysis.geometry import grown
from felt_engine.analysis.layout import Cut, Spread, cuts_of
from felt_engine.analysis.migration import layer_shares
from felt_engine.analysis.rowplan import rows_of
from felt_engine.analysis.say import percent
from felt_engine.analysis.stack import Laid, Part
from felt_engine.checking.care import care_lines
from felt_engine.checking.drawn import (
    Corners,
    Drawing,
    DrawnArea,
    DrawnFace,
    DrawnLayer,
    DrawnPlace,
    DrawnPlacement,
    DrawnZone,
    Mark,
    Rows,
    Swatch,
)
from felt_engine.checking.zone_words import measured, zone_words
from felt_engine.model.amount import Size
from felt_engine.model.layup import Layer
from felt_engine.model.work import Step


def _mm(metres: float) -> float:
    return round(metres * 1000, 2) + 0.0


def _corners(polygon: tuple[tuple[float, float], ...]) -> Corners:
    return tuple((_mm(x), _mm(y)) for x, y in polygon)


def draw(build: Build) -> Drawing:
    """The drawing of a build."""
    piece = build.recipe.piece
    shown = piece.shows or (piece.surfaces[1],)
    surfaces = (*shown, *(s for s in reversed(piece.surfaces) if s not in shown))
    swatches = _swatches(build)
    patterns = {swatch.name: swatch.pattern for swatch in swatches}
    return Drawing(
        tuple(_face(build, face, surfaces, patterns) for face in build.faces),
        swatches,
        surfaces,
        piece.stage is not None,
        _facts(build),
        tuple(_step(step) for step in build.recipe.work),
        care_lines(build.recipe),
        _notes(build),
    )


def _step(step: Step) -> str:
    words = [step.do]
    if step.edge:
        words.append(f"from the {step.edge}")
    if step.side:
        words.append(f"on the {step.side}")
    if step.times:
        words.append(f"{step.times} times")
    if step.lasts:
        words.append(f"for {step.lasts.text}")
    if step.water:
        words.append(f"water {step.water.text}")
    if step.soap and step.soap != "unknown":
        words.append("no soap" if step.soap == "none" else f"{step.soap} soap")
    return ", ".join(words) + (f": {step.note}" if step.note else "")


def _notes(build: Build) -> tuple[str, ...]:
    recipe = build.recipe
    found = [recipe.note, recipe.piece.note]
    named = [(thing.name, thing.note) for thing in recipe.layers]
    named += [(thing.name, thing.note) for thing in recipe.zones]
    named += [(thing.name, thing.note) for thing in recipe.resists]
    found += [f"{name}: {note}" for name, note in named if note]
    return tuple(note for note in found if note)


def _swatches(build: Build) -> tuple[Swatch, ...]:
    seen: dict[str, Swatch] = {}
    for face in build.faces:
        for laid, _ in face.laid:
            name = laid.placement.of
            if name not in seen:
                made = [_made_of(part) for part in laid.parts]
                if len(made) > 1 or laid.parts[0].stuff.lot.name != name:
                    made = [
                        f"{100 * part.share:.3g} % {part.stuff.lot.name} ({of})"
                        for part, of in zip(laid.parts, made, strict=True)
                    ]
                parts = ", ".join(made)
                seen[name] = Swatch(name, _hex(laid), len(seen), parts)
    return tuple(seen.values())


def _made_of(part: Part) -> str:
    """What a lot is, as on its bag."""
    lot = part.stuff.lot
    words = [lot.fibre, lot.preparation, lot.fineness.text if lot.fineness else None, lot.shade]
    words.append(f"dye lot {lot.dye_lot}" if lot.dye_lot else None)
    words.append(lot.treatment if lot.treatment != "untreated" else None)
    return ", ".join(word for word in words if word)


def _facts(build: Build) -> tuple[tuple[str, str], ...]:
    """What the recipe says of the piece, sizes in both systems."""
    piece = build.recipe.piece
    west, south, east, north = build.faces[0].face.box
    size = f"{measured(east - west)} wide, {measured(north - south)} deep"
    if piece.shape == "round":
        size = f"{measured(east - west)} across"
    finished = shrink = None
    if piece.finished is not None:
        sides = [piece.finished.width, piece.finished.depth]
        finished = " x ".join(measured(side.si) for side in sides if side is not None)
        shrink = _shrink(piece.finished, east - west, north - south)
    found = (
        ("laid out", f"{piece.shape}, {size}"),
        ("over", None if piece.over == "table" else piece.over),
        ("finished size wanted", finished),
        ("to get there it shrinks", shrink),
        ("shrinkage stated", piece.shrinkage.text if piece.shrinkage else None),
        ("outline wanted", piece.outline),
        ("felting stage", piece.stage),
        ("how many", str(piece.count) if piece.count > 1 else None),
    )
    return tuple((word, said) for word, said in found if said is not None)


def _shrink(finished: Size, wide: float, deep: float) -> str | None:
    """By how much a length of the layout is to shorten, west to east and near to far."""
    width, depth = finished.sides
    across, down = percent(1 - width / wide), percent(1 - depth / deep)
    if width >= wide or depth >= deep:
        return None
    return (
        f"by {across} of its length each way"
        if across == down
        else (f"by {across} west to east, {down} near to far")
    )


def _hex(laid: Laid) -> str | None:
    colour = laid_colour(laid)
    return None if colour is None else hex_of_linear(colour)


def _face(
    build: Build, face: FaceBuild, surfaces: tuple[str, ...], patterns: dict[str, int]
) -> DrawnFace:
    west, south, east, north = face.face.box
    return DrawnFace(
        face.name,
        _mm(east - west),
        _mm(north - south),
        _mm(west),
        _mm(south),
        _corners(face.face.edge),
        tuple(_layers(build, face)),
        tuple(_place(build, place, surfaces, patterns) for place in face.places),
        tuple(_zones(build, face)),
    )


def _zones(build: Build, face: FaceBuild) -> Iterator[DrawnZone]:
    """The zones that are laid on this face, in the recipe's order."""
    laid = {one.placement.zone for one, _ in face.laid if not one.turned}
    for zone in build.recipe.zones:
        if zone.name in laid:
            cuts = cuts_of(zone, face.face.edge, face.face.box, 0.0)
            yield DrawnZone(zone.name, zone_words(zone), _cut_area(cuts))


def _layers(build: Build, face: FaceBuild) -> list[DrawnLayer]:
    found = []
    for number, layer in enumerate(build.recipe.layers):
        here = [(laid, area) for laid, area in face.laid if laid.key[0] == number]
        if not here:
            continue
        drawn = tuple(_placement(build, face, laid) for laid, _ in here)
        way = layer.direction
        found.append(
            DrawnLayer(
                number, layer.name, way.way if way else None, way.bearing if way else None,
                way.text if way else None, layer.lay, layer.role,
                round(sum(p.grams for p in drawn), 6), drawn,
                f"/layers/{number}", _turned(layer), _overhang(layer, face, drawn),
                tuple(_resists(build, face, layer)),
            )
        )  # fmt: skip
    return found


def _placement(build: Build, face: FaceBuild, laid: Laid) -> DrawnPlacement:
    placement = laid.placement
    spread = _spread(face, laid)
    pointer = f"/layers/{laid.key[0]}"
    return DrawnPlacement(
        placement.of, placement.zone, placement.amount.text, _grams(laid),
        round(1000 * laid.areal, 6), _hex(laid), _area(spread, face), laid.turned,
        _mm(placement.past.si) if placement.past else 0.0,
        _mm(placement.short.si) if placement.short else 0.0,
        pointer if placement.inline else f"{pointer}/placements/{laid.key[1]}",
        _rows(build, face, laid),
        None if laid.angle is None else round(bearing_of_angle(laid.angle), 2),
    )  # fmt: skip


def _grams(laid: Laid) -> float:
    """What is laid on one face, g; what was turned over was counted where it was laid."""
    if laid.turned:
        return 0.0
    return round(1000 * laid.areal * laid.area, 6)


def _spread(face: FaceBuild, laid: Laid) -> Spread | None:
    for region in face.face.regions:
        for spread in region.spreads:
            if spread.key == laid.key and spread.turned == laid.turned:
                return spread
    return None


def _area(spread: Spread | None, face: FaceBuild) -> DrawnArea:
    if spread is None or not spread.cuts:
        return DrawnArea(_corners(face.face.edge))
    return _cut_area(spread.cuts, spread.turned)


def _cut_area(cuts: Sequence[Cut], turned: bool = False) -> DrawnArea:
    holes = tuple(_corners(polygon) for polygon, want in cuts if not want)
    inside = [_corners(polygon) for polygon, want in cuts if want]
    if turned:
        inside.reverse()
    clip = inside[1] if len(inside) > 1 and inside[1] != inside[0] else ()
    return DrawnArea(inside[0], holes, clip)


def _turned(layer: Layer) -> float:
    turn = layer.wraps or layer.turned_in
    return _mm(turn.si) if turn else 0.0


def _resists(build: Build, face: FaceBuild, layer: Layer) -> Iterator[str]:
    """The resists that lie on a layer, with what they make, where they lie, and their note."""
    for one in build.recipe.resists:
        if one.above == layer.name and one.lies_on(face.name):
            zone = build.recipe.zone(one.zone)
            where = "all over" if zone is None else f"on {zone.name} ({zone_words(zone)})"
            makes = f", which makes a {one.makes}," if one.makes else ""
            note = f" ({one.note})" if one.note else ""
            yield f"Then lay the resist “{one.name}”{makes} {where}{note}."


def _overhang(layer: Layer, face: FaceBuild, drawn: tuple[DrawnPlacement, ...]) -> Corners:
    """The outline of what is laid past the edge, to be turned, where all of the face is laid."""
    turn = layer.wraps or layer.turned_in
    laid = any(one.zone == "whole" and not one.turned for one in drawn)
    return _corners(grown(face.face.edge, turn.si)) if turn and laid else ()


def _rows(build: Build, face: FaceBuild, laid: Laid) -> Rows | None:
    """The rows of an amount whose tufts the recipe describes."""
    plan = None if laid.turned else rows_of(build, face, laid)
    if plan is None:
        return None
    return Rows(
        plan.rows.count, _mm(plan.rows.pitch), round(plan.rows.overlap, 4), plan.tufts.count,
        round(1000 * plan.each, 4), _mm(plan.start), _mm(plan.tuft),
    )  # fmt: skip


def _uppermost(place: Place, surface: str, patterns: dict[str, int]) -> int | None:
    layers = inward(place.stack, surface)
    return patterns[layers[0].placement.of] if layers else None


def _place(
    build: Build, place: Place, surfaces: tuple[str, ...], patterns: dict[str, int]
) -> DrawnPlace:
    pull = abs(place.pull)
    bearing = None
    if pull > 0.05:
        bearing = round(bearing_of_angle(cmath.phase(place.pull) / 2), 2)
    pieces = tuple(_corners(patch.corners) for patch in place.region.patches)
    return DrawnPlace(
        pieces or (_corners(place.face.face.edge),),
        round(1000 * place.areal, 6),
        round(pull, 6),
        bearing,
        tuple(sorted({laid.key[0] for laid in place.stack})),
        tuple(_seen(build, place, surface) for surface in surfaces),
        tuple(_uppermost(place, surface, patterns) for surface in surfaces),
    )


def _seen(build: Build, place: Place, surface: str) -> str | None:
    """The colour of a surface after felting, as a mixture; ``None`` where a colour is unknown."""
    layers = inward(place.stack, surface)
    colours = [laid_colour(laid) for laid in layers]
    known = [colour for colour in colours if colour is not None]
    if not layers or len(known) < len(colours):
        return None
    depth = depths(build.recipe.piece.stage)[-1 if build.recipe.piece.stage else 1]
    shares = layer_shares([laid.coverage for laid in layers], depth)
    return hex_of_linear(blend(list(zip(shares, known, strict=True))))


def mark(place: Place) -> Mark:
    """The box of a place, for a finding's mark."""
    box = place.box
    return Mark(place.face.name, tuple(_mm(metres) for metres in box))
