"""Where on a face something lies: how narrow it is, its box, and words for it."""

from __future__ import annotations

from collections.abc import Sequence

import attrs

from felt_engine.analysis.borders import outer_length
from felt_engine.analysis.geometry import Polygon, area, bounds, grown
from felt_engine.analysis.layout import Face, Region
from felt_engine.analysis.patches import Patch
from felt_engine.analysis.say import length, whole_percent
from felt_engine.analysis.steady import width_of
from felt_engine.value import Value

NEAR = 0.03
"""Part of a side by which a box may miss an edge and still be said to reach it."""

SCATTERED = 0.45
"""Part of its box that something fills at least to be said to lie there, and not in parts of it."""

LARGE = 0.25
"""Part of the face from which what lies inside a rim is described by the rim and not by its box."""

MOST = 0.75
"""Part of the face from which something is described by what is left out, if that is one part."""

SAME = 0.05
"""How far a rim's width may differ from side to side, as a part of it, and still be one width."""

ALL = 0.97
"""Part of the face from which something is said to lie all over."""

TRIES = 60
"""How often a rim's width is narrowed down on at most (own choice; some eight times are enough)."""

CLOSE = 1e-12
"""Part of the size by which it may then miss: far finer than the micrometre that it is rounded to."""

Box = tuple[float, float, float, float]


@attrs.frozen(eq=False, repr=False)
class Whereabouts(Value):
    """Words, and the box in metres: west, south, east, north."""

    words: str
    box: Box


def narrowest(regions: Sequence[Region], face: Face) -> float:
    """Twice the area over the perimeter, m: the width of a strip or a frame, half that of a round."""
    patches = [patch for region in regions for patch in region.patches]
    if not patches:
        west, south, east, north = face.box
        return min(east - west, north - south)
    around = outer_length(patches)
    return width_of(_area(patches), around) if around else 0.0


def box_of(regions: Sequence[Region], face: Face) -> Box:
    """West, south, east and north end of these regions of a face, m."""
    patches = [patch for region in regions for patch in region.patches]
    share = sum(region.area for region in regions) / face.area
    return face.box if not patches or share > ALL else _box(patches)


def locate(regions: Sequence[Region], face: Face) -> Whereabouts:
    """Where these regions of a face lie, together."""
    patches = [patch for region in regions for patch in region.patches]
    known, key = face.cut.located, (face.name, frozenset(patches))
    if key not in known:
        known[key] = _worked_out(regions, patches, face)
    return known[key]


def _worked_out(regions: Sequence[Region], patches: Sequence[Patch], face: Face) -> Whereabouts:
    share = sum(region.area for region in regions) / face.area
    if not patches or share > ALL:
        return Whereabouts(_on(face, "all over"), face.box)
    words = _frame(patches, regions, face) or _own_words(patches, face)
    if words is None and share < MOST:
        words = _both_ends(patches, face)
    if share >= MOST or words is None:
        words = _all_but(_rest(regions, face), face) or words
    if words is None:
        words = f"in parts of the layout, {_part(share)} of it"
    return Whereabouts(_on(face, words), _box(patches))


def _box(patches: Sequence[Patch]) -> Box:
    boxes = [patch.box for patch in patches]
    return (
        min(box[0] for box in boxes), min(box[1] for box in boxes),
        max(box[2] for box in boxes), max(box[3] for box in boxes),
    )  # fmt: skip


def _part(share: float) -> str:
    """A share in whole percent, never as none or all of it."""
    if share < 0.01:
        return "less than 1 %"
    return whole_percent(share) if share <= 0.99 else "more than 99 %"


def _area(patches: Sequence[Patch]) -> float:
    return sum(patch.area for patch in patches)


def _rest(regions: Sequence[Region], face: Face) -> list[Patch]:
    """What lies on the face beside these regions."""
    return [p for region in face.regions if region not in regions for p in region.patches]


def _frame(patches: Sequence[Patch], regions: Sequence[Region], face: Face) -> str | None:
    """Words for a rim of one width all round, and for all but such a rim."""
    inset = _inset(patches, face)
    if inset is not None:
        return f"in all but a rim of {length(inset)}"
    rest = _rest(regions, face) if all(_touches(_box(patches), face)) else None
    inset = _inset(rest, face) if rest else None
    return None if inset is None else f"in a rim {length(inset)} wide all round"


def _inset(patches: Sequence[Patch], face: Face) -> float | None:
    """How far inside the outline these end, if that is equally far all round."""
    size = _area(patches)
    if size < LARGE * face.area:
        return None
    box = _box(patches)
    low = _depth(face.edge, size, min(face.box[2] - face.box[0], face.box[3] - face.box[1]) / 2)
    inner = grown(face.edge, -low)
    if not inner:
        return None
    apart = max(abs(a - b) for a, b in zip(box, bounds(inner), strict=True))
    return round(low, 6) if apart < SAME * low else None


def _depth(edge: Polygon, size: float, most: float) -> float:
    """How far inside an outline another of a size (m²) lies: by false position, each third time halved.

    An end that stays twice counts half (the Illinois way), so that both close in.
    """
    low, high, stayed = 0.0, most, 0
    over, under = area(edge) - size, -size
    if over <= 0:
        return 0.0
    for number in range(TRIES):
        part = 0.5 if number % 3 == 2 else over / (over - under)
        middle = low + (high - low) * part
        inner = grown(edge, -middle)
        off = (area(inner) if inner else 0.0) - size
        if abs(off) <= CLOSE * size:
            return middle
        if off > 0:
            low, over = middle, off
            under = under / 2 if stayed > 0 else under
            stayed = 1
        else:
            high, under = middle, off
            over = over / 2 if stayed < 0 else over
            stayed = -1
    return low


def _touches(box: Box, face: Face) -> tuple[bool, bool, bool, bool]:
    """Whether it reaches the west, south, east and north edge."""
    west, south, east, north = face.box
    wide, deep = NEAR * (east - west), NEAR * (north - south)
    return (
        box[0] - west < wide, box[1] - south < deep, east - box[2] < wide, north - box[3] < deep
    )  # fmt: skip


def _own_words(patches: Sequence[Patch], face: Face) -> str | None:
    """Words for the box that it lies in; ``None`` where that is the whole face's."""
    box = _box(patches)
    words = _words(box, face)
    fills = _area(patches) / ((box[2] - box[0]) * (box[3] - box[1]))
    return words if words is None or fills >= SCATTERED else _in_parts(words)


def _both_ends(patches: Sequence[Patch], face: Face) -> str | None:
    """Words for two strips of like width along opposite edges; ``None`` for anything else."""
    west, south, east, north = face.box
    middle_x, middle_y = (west + east) / 2, (south + north) / 2
    for low, high, side, edges in (
        ([p for p in patches if p.box[2] <= middle_x], [p for p in patches if p.box[0] >= middle_x],
         east - west, "the west and the east edge"),
        ([p for p in patches if p.north <= middle_y], [p for p in patches if p.south >= middle_y],
         north - south, "the south and the north edge"),
    ):  # fmt: skip
        if not low or not high or len(low) + len(high) < len(patches):
            continue
        wide = [_strip_width(part, face, edges) for part in (low, high)]
        if None in wide or sum(filter(None, wide)) > (1 - NEAR) * side:
            continue  # halves that meet in the middle are no strips
        if abs((wide[0] or 0) - (wide[1] or 0)) < 0.1 * (wide[0] or 0):
            return f"in strips {length(wide[0] or 0)} wide along {edges}"
    return None


def _strip_width(patches: Sequence[Patch], face: Face, edges: str) -> float | None:
    """The width of patches that fill a strip along an edge from end to end."""
    west, south, east, north = face.box
    box = _box(patches)
    across = "west" in edges
    whole = north - south if across else east - west
    width, reach = box[2] - box[0], box[3] - box[1]
    if not across:
        width, reach = reach, width
    fills = _area(patches) / (width * reach)
    return width if abs(reach - whole) < NEAR * whole and fills > SCATTERED else None


def _all_but(rest: Sequence[Patch], face: Face) -> str | None:
    """Words by what is left out, where that is one plain part."""
    words = _own_words(rest, face) if rest else None
    if words is None or words.startswith("in parts"):
        return None
    if words.startswith("in "):
        return "in all but " + words.removeprefix("in ")
    return "in all but a part " + words


def _in_parts(words: str) -> str:
    """The same words, for something that fills little of the box that they describe."""
    if words.startswith("in "):
        return "in parts of " + words.removeprefix("in ")
    return "in parts " + words


def _on(face: Face, words: str) -> str:
    return words if face.name == "whole" else f"{words} on the {face.name}"


def _words(box: Box, face: Face) -> str | None:
    west, south, east, north = face.box
    at_west, at_south, at_east, at_north = _touches(box, face)
    wide, deep = box[2] - box[0], box[3] - box[1]
    if at_west and at_east and at_south and at_north:
        return None
    if at_west and at_east:
        names = "south" if at_south else "north" if at_north else "", "south"
        return _strip(deep, north - south, names, box[1] - south)
    if at_south and at_north:
        names = "west" if at_west else "east" if at_east else "", "west"
        return _strip(wide, east - west, names, box[0] - west)
    size = f"{length(wide)} wide, {length(deep)} deep"
    corner = ("south" if at_south else "north" if at_north else "") + (
        "west" if at_west else "east" if at_east else ""
    )
    if corner in ("southwest", "southeast", "northwest", "northeast"):
        return f"in the {corner} corner, {size}"
    if corner:
        return f"at the {corner} edge, {size}"
    x, y = (box[0] + box[2]) / 2 - west, (box[1] + box[3]) / 2 - south
    if max(abs(2 * x - (east - west)) / wide, abs(2 * y - (north - south)) / deep) < 2 * NEAR:
        return f"in the middle, {size}"
    return f"round {length(west + x)} east, {length(south + y)} north; {size}"


def _strip(wide: float, side: float, edges: tuple[str, str], start: float) -> str:
    """Words for a strip that runs from edge to edge; ``edges``: the one it lies at, the low one."""
    at, low = edges
    if not at:
        return f"in a strip {length(wide)} wide, {length(start)} from the {low} edge"
    if abs(wide - side / 2) < NEAR * side:
        return f"in the {at} half"
    return f"in a strip {length(wide)} wide along the {at} edge"
