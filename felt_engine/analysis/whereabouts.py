"""Where on a face something lies: how narrow it is, its box, and words for it."""

from __future__ import annotations

from collections.abc import Sequence

import attrs

from felt_engine.analysis.geometry import Patch
from felt_engine.analysis.layout import Face, Region
from felt_engine.analysis.say import length
from felt_engine.value import Value

NEAR = 0.03
"""Part of a side by which a box may miss an edge and still be said to reach it."""


SCATTERED = 0.45
"""Part of its box that something fills at least to be said to lie there, and not in parts of it."""


@attrs.frozen(eq=False, repr=False)
class Whereabouts(Value):
    """Words, and the box in metres: west, south, east, north."""

    words: str
    box: tuple[float, float, float, float]


def narrowest(regions: Sequence[Region], face: Face) -> float:
    """Twice the area over the perimeter, m: the width of a strip or a frame.

    Slanted edges count as steps, which makes a round or slanted part up to 1.4 times narrower.
    """
    patches = [patch for region in regions for patch in region.patches]
    if not patches:
        west, south, east, north = face.box
        return min(east - west, north - south)
    size = sum(patch.area for patch in patches)
    around = _perimeter(patches)
    return 2 * size / around if around else 0.0


def _perimeter(patches: list[Patch]) -> float:
    slabs: dict[tuple[float, float], list[tuple[float, float]]] = {}
    for patch in patches:
        slabs.setdefault((patch.south, patch.north), []).append((patch.west, patch.east))
    total = 0.0
    previous: list[tuple[float, float]] = []
    last: float | None = None
    for (south, north), spans in sorted(slabs.items()):
        merged = _merge(spans)
        total += 2 * len(merged) * (north - south)
        below: list[tuple[float, float]] = (
            previous if last is not None and abs(south - last) < 1e-9 else []
        )
        if last is not None and not below:
            total += _length(previous)
        total += _length(merged) + _length(below) - 2 * _common(merged, below)
        previous, last = merged, north
    return total + _length(previous)


def _merge(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    merged: list[tuple[float, float]] = []
    for west, east in sorted(spans):
        if merged and west <= merged[-1][1] + 1e-9:
            merged[-1] = (merged[-1][0], max(east, merged[-1][1]))
        else:
            merged.append((west, east))
    return merged


def _length(spans: list[tuple[float, float]]) -> float:
    return sum(east - west for west, east in spans)


def _common(one: list[tuple[float, float]], two: list[tuple[float, float]]) -> float:
    return sum(max(0.0, min(b, d) - max(a, c)) for a, b in one for c, d in two)


def locate(regions: Sequence[Region], face: Face) -> Whereabouts:
    """Where these regions of a face lie, together."""
    patches = [patch for region in regions for patch in region.patches]
    share = sum(region.area for region in regions) / face.area
    if not patches or share > 0.97:
        return Whereabouts(_on(face, "all over"), face.box)
    box = (
        min(patch.west for patch in patches), min(patch.south for patch in patches),
        max(patch.east for patch in patches), max(patch.north for patch in patches),
    )  # fmt: skip
    words = _words(box, face, share)
    if sum(patch.area for patch in patches) < SCATTERED * (box[2] - box[0]) * (box[3] - box[1]):
        words = _in_parts(words)
    return Whereabouts(_on(face, words), box)


def _in_parts(words: str) -> str:
    """The same words, for something that fills little of the box that they describe."""
    if words.startswith("in parts"):
        return words
    return (
        "in parts of " + words.removeprefix("in ")
        if words.startswith("in ")
        else ("in parts " + words)
    )


def _on(face: Face, words: str) -> str:
    return words if face.name == "whole" else f"{words} on the {face.name}"


def _words(box: tuple[float, float, float, float], face: Face, share: float) -> str:
    west, south, east, north = face.box
    wide, deep = east - west, north - south
    at_west, at_east = box[0] - west < NEAR * wide, east - box[2] < NEAR * wide
    at_south, at_north = box[1] - south < NEAR * deep, north - box[3] < NEAR * deep
    if at_west and at_east and at_south and at_north:
        return f"in parts of the layout, {100 * share:.0f} % of it"
    if at_west and at_east:
        return _strip(box[3] - box[1], at_south, at_north, "south", "north", box[1] - south)
    if at_south and at_north:
        return _strip(box[2] - box[0], at_west, at_east, "west", "east", box[0] - west)
    size = f"{length(box[2] - box[0])} wide, {length(box[3] - box[1])} deep"
    corner = ("south" if at_south else "north" if at_north else "") + (
        "west" if at_west else "east" if at_east else ""
    )
    if corner in ("southwest", "southeast", "northwest", "northeast"):
        return f"in the {corner} corner, {size}"
    if corner:
        return f"at the {corner} edge, {size}"
    x, y = (box[0] + box[2]) / 2 - west, (box[1] + box[3]) / 2 - south
    return f"round {length(x)} east, {length(y)} north; {size}"


def _strip(wide: float, at_low: bool, at_high: bool, low: str, high: str, start: float) -> str:
    if at_low or at_high:
        return f"in a strip {length(wide)} wide along the {low if at_low else high} edge"
    return f"in a strip {length(wide)} wide, {length(start)} from the {low} edge"
