"""What a schema can't see: sizes that must fit a shape, sums of shares, keys that need another."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator

from felt_engine.model.amount import Size
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.piece import Piece, Zone
from felt_engine.model.place import join
from felt_engine.model.recipe import Recipe
from felt_engine.plain_text import looks
from felt_engine.reading import bounds
from felt_engine.reading.names import Slip


def check_links(recipe: Recipe) -> Iterator[Slip]:
    """All that doesn't fit together, in file order of the parts."""
    yield from _piece(recipe)
    yield from _blends(recipe)
    yield from _zones(recipe)
    yield from _layers(recipe)


def _piece(recipe: Recipe) -> Iterable[Slip]:
    piece = recipe.piece
    yield from _laid_out(recipe)
    low, high = piece.surfaces
    for index, face in enumerate(piece.shows):
        if face not in (low, high):
            yield (
                join("piece", "shows", index),
                f'"{face}"',
                f"{low} or {high}, since it is laid over the {piece.over}"
                if piece.over == "table" else f"{low} or {high}, since it is laid over a resist",
                f"write {low} or {high}",
            )  # fmt: skip
    if piece.count > 1 and piece.amounts_for is None:
        yield (
            "/piece/how many",
            f"{piece.count} pieces, and nothing that says what the amounts are for",
            "amounts for: one, or amounts for: all",
            "add amounts for",
        )


def _laid_out(recipe: Recipe) -> Iterable[Slip]:
    piece = recipe.piece
    if piece.over == "ball" and piece.shape != "round":
        yield "/piece/shape", f'"{piece.shape}"', "round, over a ball", "write shape: round"
    size = piece.laid_out
    if (piece.shape == "polygon") != bool(piece.corners):
        yield (
            "/piece/shape",
            f'"{piece.shape}" with {"corners" if piece.corners else "a laid-out size"}',
            "corners for a polygon, a laid-out size for every other shape",
            "give corners and shape: polygon, or a laid-out size",
        )
    elif size is not None and piece.shape in ("rectangle", "oval") and size.depth is None:
        yield (
            "/piece/laid out", f'one length, "{size.text}"', f"two lengths for {_a(piece.shape)}",
            _both(size.width.text),
        )  # fmt: skip
    elif size is not None and piece.shape == "round" and size.depth is not None:
        yield from _not_round("/piece/laid out", size.width.si, size.depth.si, size.text)
    wanted = piece.finished
    if wanted is not None and piece.shape != "round" and wanted.depth is None:
        yield (
            "/piece/finished", f'one length, "{wanted.text}"', f"two lengths for {_a(piece.shape)}",
            _both(wanted.width.text),
        )  # fmt: skip
    if piece.corners:
        yield from _crossing("/piece/corners", [(c.east.si, c.north.si) for c in piece.corners])


def _both(length: str) -> str:
    """Two lengths for one: the same twice, or the two that a stroke parts (``30/40 cm``)."""
    parted = re.fullmatch(r"([0-9]+)/([0-9]+ .+)", length)
    if parted:
        return f"write {parted[1]} x {parted[2]}, if that is meant"
    return f"write both: {length} x {length}, if it is as deep as wide"


def _a(shape: str) -> str:
    return f"an {shape}" if shape == "oval" else f"a {shape}"


def _not_round(pointer: str, width: float, depth: float, text: str) -> Iterable[Slip]:
    if abs(width - depth) > 1e-6 * width:
        yield (
            pointer,
            f'"{text}"',
            "one length across, for a round shape",
            "write how far across, or shape: oval",
        )


def _crossing(pointer: str, corners: list[tuple[float, float]]) -> Iterable[Slip]:
    from felt_engine.analysis.geometry import crosses_itself

    again = next((k for k, at in enumerate(corners) if at == corners[k - 1]), None)
    if again is not None:
        yield (
            f"{pointer}/{again or len(corners) - 1}", "the same corner twice, one after the other",
            "each corner once", "take it out here; the outline closes by itself",
        )  # fmt: skip
    elif crosses_itself(corners):
        yield (
            pointer, "an outline that crosses itself or has no area",
            "corners in order, round the shape", "check their order",
        )  # fmt: skip


def _blends(recipe: Recipe) -> Iterable[Slip]:
    lots = {looks(lot.name) for lot in recipe.lots}
    for blend in recipe.blends:
        at = join("blends", blend.name)
        if looks(blend.name) in lots:
            yield (
                at,
                f'the name "{blend.name}" for a lot and a blend',
                "each name once",
                "rename one",
            )
        yield from _shares(at, [share.basis for _, share in blend.parts],
                           sum(share.value for _, share in blend.parts))  # fmt: skip


def _shares(at: str, bases: list[str], total: float) -> Iterable[Slip]:
    if len(set(bases)) > 1:
        yield (
            at, "shares of different kinds", "all in %, all in parts, or all as weights",
            "write them alike",
        )  # fmt: skip
    elif bases and bases[0] == "percent" and abs(total - 100) > 0.51:
        yield at, f"shares that add up to {total:g} %", "100 %", "check the shares"


_ZONE_KEYS = {
    "band": (("along", "end"), ("start",)),
    "rectangle": (("size", "at"), ()),
    "round": (("size", "at"), ()),
    "oval": (("size", "at"), ()),
    "polygon": (("corners",), ()),
    "rim": (("width",), ()),
    "middle": (("width",), ()),
}
_SPELT = {"end": "to", "start": "from"}


def _too_many(pointer: str, found: str, most: int, mend: str) -> Slip:
    return pointer, found, f"{most} at most, in the whole recipe", mend


def _zones(recipe: Recipe) -> Iterable[Slip]:
    corners = sum(len(zone.corners) for zone in recipe.zones)
    if corners > bounds.CORNERS_IN_ALL:
        mend = "give a corner only where an outline turns"
        yield _too_many("/zones", f"{corners} corners of zones", bounds.CORNERS_IN_ALL, mend)
        return
    for zone in recipe.zones:
        at = join("zones", zone.name)
        if zone.name == "whole":
            yield (
                at,
                'a zone called "whole"',
                "a name of its own",
                "rename it; whole is always there",
            )
        needed, may = _ZONE_KEYS[zone.shape]
        for key in ("along", "start", "end", "width", "size", "at", "corners"):
            given = bool(getattr(zone, key))
            spelt = _SPELT.get(key, key)
            if key in needed and not given:
                yield at, f"{_a(zone.shape)} without {spelt}", spelt, f"add {spelt}"
            elif given and key not in needed and key not in may:
                yield (
                    f"{at}{join(spelt)}", f"{spelt} in {_a(zone.shape)}",
                    f"only {', '.join(_SPELT.get(k, k) for k in (*needed, *may))}",
                    f"leave {spelt} out",
                )  # fmt: skip
        yield from _zone_sizes(zone, at)
        if recipe.piece.over == "ball":
            yield at, "a zone on a ball", "the whole ball", "leave the zone out"


def _zone_sizes(zone: Zone, at: str) -> Iterable[Slip]:
    if zone.shape == "band" and zone.end and zone.start and zone.start.si >= zone.end.si:
        mend = "swap them" if zone.start.si > zone.end.si else "give it a width, or leave it out"
        yield at, f"from {zone.start.text} to {zone.end.text}", "an end past its start", mend
    if zone.size and zone.shape in ("rectangle", "oval") and zone.size.depth is None:
        yield f"{at}/size", f'"{zone.size.text}"', "two lengths", "write width x depth"
    if zone.size and zone.shape == "round" and zone.size.depth is not None:
        yield from _not_round(f"{at}/size", zone.size.width.si, zone.size.depth.si, zone.size.text)
    if zone.corners:
        corners = [(c.east.si, c.north.si) for c in zone.corners]
        yield from _crossing(f"{at}/corners", corners)


def _layers(recipe: Recipe) -> Iterable[Slip]:
    amounts = sum(len(layer.placements) for layer in recipe.layers)
    if amounts > bounds.PLACEMENTS_IN_ALL:
        mend = "write what lies alike as one amount, of a blend"
        yield _too_many("/layers", f"{amounts} amounts", bounds.PLACEMENTS_IN_ALL, mend)
        return
    parts = {blend.name: len(blend.parts) for blend in recipe.blends}
    lots = sum(parts.get(one.of, 1) for layer in recipe.layers for one in layer.placements)
    if lots > bounds.LOTS_IN_ALL:
        what = f"{lots} lots in the amounts, each of a blend counted"
        mend = (
            "blend what is hardly told apart into one lot, or write what lies alike as one amount"
        )
        yield _too_many("/layers", what, bounds.LOTS_IN_ALL, mend)
        return
    seen: dict[str, int] = {}
    for index, layer in enumerate(recipe.layers):
        at = join("layers", index)
        first = seen.setdefault(looks(layer.name), index)
        if first != index:
            yield (
                f"{at}/name", _second(layer.name, recipe.layers[first].name), "a name of its own",
                f"it is also layer {first + 1} from the bottom",
            )  # fmt: skip
        yield from _turns(recipe, layer, at)
        if layer.tuft is not None and layer.tuft.depth is None:
            yield (
                f"{at}/tuft", f'one length, "{layer.tuft.text}"', "two lengths: across the fibre x along it",
                "write both, such as 5 x 10 cm",
            )  # fmt: skip
        elif layer.tuft is not None and tiny(layer.tuft):
            yield (
                f"{at}/tuft", f'"{layer.tuft.text}"', "at least 1 mm each way",
                "check the figure and its unit",
            )  # fmt: skip
        for number, placement in enumerate(layer.placements):
            place = at if placement.inline else at + join("placements", number)
            yield from _face(recipe, placement, place)


def tiny(tuft: Size) -> bool:
    """Whether a tuft is smaller than anybody lays one."""
    sides = (tuft.width, tuft.depth)
    return any(side is not None and side.si < bounds.SMALLEST_TUFT for side in sides)


def _second(name: str, first: str) -> str:
    if name == first:
        return f'a second layer called "{name}"'
    from felt_engine.suggest import unlike

    return f'"{name}", the name of another layer{unlike(name, first)}'


def _turns(recipe: Recipe, layer: Layer, at: str) -> Iterable[Slip]:
    over = recipe.piece.over
    if layer.wraps and over != "flat resist":
        mend = "write turned in, if that is meant" if over == "table" else "leave it out"
        yield f"{at}/wraps", "wraps", "a flat resist to wrap round", mend
    if layer.turned_in and over != "table":
        mend = "write wraps, if that is meant" if over == "flat resist" else "leave it out"
        yield f"{at}/turned in", "turned in", "a piece on the table", mend
    for key, turn in (("wraps", layer.wraps), ("turned in", layer.turned_in)):
        if turn and turn.si > _sides(recipe.piece)[0] / 2 * (1 + 1e-6):
            yield (
                f"{at}/{key}", f'"{turn.text}"', "at most half of the piece's shorter side",
                "check the figure and its unit",
            )  # fmt: skip


FAR_PAST = 0.5
"""So far past its zone anything may be laid, however small the piece is, m (own choice)."""


def _sides(piece: Piece) -> tuple[float, float]:
    """The shorter and the longer side of the layout, m; infinity where none is known."""
    if piece.corners:
        from felt_engine.analysis.geometry import sides

        shorter, longer, _ = sides(tuple((c.east.si, c.north.si) for c in piece.corners))
        return (shorter, longer) if shorter else (math.inf, math.inf)
    return (min(piece.sides), max(piece.sides)) if piece.laid_out else (math.inf, math.inf)


def _face(recipe: Recipe, placement: Placement, at: str) -> Iterable[Slip]:
    two = len(recipe.piece.faces) == 2
    if two and placement.face is None:
        yield (
            f"{at}/amount",
            f"{placement.amount.text}, and nothing that says on which face of the resist",
            "face: front, back, both (the amount is for the two together) or each",
            "add face",
        )
    if not two and placement.face is not None:
        yield (
            f"{at}/face",
            f"face: {placement.face}",
            "a face only on a flat resist",
            "leave it out",
        )
    most = max(FAR_PAST, _sides(recipe.piece)[1])
    if placement.past is not None and placement.past.si > most * (1 + 1e-6):
        yield (
            f"{at}/past",
            f'"{placement.past.text}"',
            "at most 50 cm, or the piece's longer side",
            "check the figure and its unit",
        )
    for key, length in (("past", placement.past), ("short", placement.short)):
        if length is not None and recipe.piece.over == "ball":
            yield (
                f"{at}/{key}",
                f"{key}: {length.text}",
                "all round on a ball: it has no edge",
                f"leave out {key}",
            )
