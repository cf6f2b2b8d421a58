"""Where each placement lies: zones as polygons, and the stacks that they leave on each face.

The faces are cut exactly (:mod:`geometry`); what lies in a patch is one stack, and patches with the
same stack are one region. An amount is spread evenly over the area that it is laid on, the part
past the outline included. Fibre wrapped round a resist's edge, or turned in, lands as a strip
along the outline of the other face, or of the same one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from functools import cache, lru_cache

import attrs

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.patches import Arrangement, Patch, TooIntricate, decompose
from felt_engine.analysis.steady import steady
from felt_engine.errors import Problem, RecipeError
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.piece import Piece, Zone
from felt_engine.model.place import join
from felt_engine.model.recipe import Recipe, pointer_of

LOOKS = 90_000
"""Edges and pairs of edges that cutting all faces of a recipe may look at (see :mod:`patches`).

Chosen so that a check stays below 1 s of CPU (``tests/hostile/test_heavy.py``): some 10,000 patches.
"""

PATCHES = 10_000
"""Most patches that all faces are cut into, each as many; chosen likewise."""

PAIRS = 600_000
"""Most parts of a face, before those alike are joined, times amounts that may lie there."""

LYING = 3_000
"""Most amounts, each counted at every place where it lies."""

STACKS = 500
"""Most parts with a stack of their own that all faces may have, each as many; chosen likewise."""

Cut = tuple[geo.Polygon, bool]
"""A polygon, and whether one has to be inside or outside of it."""


def outline(piece: Piece) -> geo.Polygon:
    """The outline of the layout; for a ball its outline seen from above."""
    if piece.corners:
        return geo.anticlockwise([(c.east.laid, c.north.laid) for c in piece.corners])
    assert piece.laid_out is not None
    width, depth = piece.laid_out.sides
    if piece.shape == "rectangle":
        return geo.rectangle(0.0, 0.0, width, depth)
    return geo.oval(width / 2, depth / 2, width, depth)


def _band(
    zone: Zone, box: tuple[float, float, float, float], edge: geo.Polygon, by: float
) -> geo.Polygon:
    west, south, east, north = box
    side = north - south if zone.along in ("south", "north") else east - west
    start = zone.start.laid if zone.start else 0.0
    assert zone.end is not None
    # the polygon that stands for an oval pokes out of its box: there a band ends where that does
    far = max(by, 0.0) + max(abs(a - b) for a, b in zip(geo.bounds(edge), box, strict=True))
    start = start - by if start > 1e-9 else -far
    end = zone.end.laid + by if zone.end.laid < side - 1e-9 else side + far
    low = -far
    if zone.along == "south":
        return geo.rectangle(west + low, south + start, east + far, south + end)
    if zone.along == "north":
        return geo.rectangle(west + low, north - end, east + far, north - start)
    if zone.along == "west":
        return geo.rectangle(west + start, south + low, west + end, north + far)
    return geo.rectangle(east - end, south + low, east - start, north + far)


def _plain(zone: Zone, by: float, box: geo.Box, out: geo.Box) -> geo.Polygon:
    """A rectangle, round, oval or polygon, grown by a distance."""
    if zone.corners:
        shape = geo.anticlockwise([(c.east.laid, c.north.laid) for c in zone.corners])
        return _moved(_to_the_ends(shape, box, out), by)
    assert zone.size is not None and zone.at is not None
    x, y = zone.at.east.laid, zone.at.north.laid
    width, depth = zone.size.sides
    if zone.shape == "rectangle":
        ends = geo.bounds(_to_the_ends(((x, y), (x + width, y + depth)), box, out))
        return geo.rectangle(ends[0] - by, ends[1] - by, ends[2] + by, ends[3] + by)
    return geo.oval(x, y, width + 2 * by, depth + 2 * by)


def _to_the_ends(corners: geo.Polygon, box: geo.Box, out: geo.Box) -> geo.Polygon:
    """What reaches an end of the laid-out size reaches the outline there.

    Drawn by corners, a round outline (which ends at ``out``) bulges past its size by a hair.
    """

    def reaching(value: float, k: int) -> float:
        low, high = box[k], box[k + 2]
        if value <= low + NEAR:
            return value - max(0.0, low - out[k])
        return value + max(0.0, out[k + 2] - high) if value >= high - NEAR else value

    return tuple((reaching(x, 0), reaching(y, 1)) for x, y in corners)


NEAR = 1e-9
"""Distance of an end at which it is that end, m."""

HAIR = 1e-6
"""How near what touches the outline comes to it, m."""


class TooNarrow(Exception):
    """An outline of which a part is too narrow to be moved so far: it would run into itself."""


def _moved(outline_: geo.Polygon, by: float) -> geo.Polygon:
    """The outline moved outwards or inwards. TooNarrow where it would run into itself."""
    if geo.grows_apart(outline_, by):
        raise TooNarrow
    return geo.grown(outline_, by)


def cuts_of(
    zone: Zone | None, edge: geo.Polygon, box: tuple[float, float, float, float], by: float,
    turns: bool = False,
) -> list[Cut]:  # fmt: skip
    """What a zone, grown by a distance, asks of a place on a face with this outline.

    A zone ends at the outline: what stops short of its edge stops short of the outline, too. What goes
    past the outline is left out where that is turned over.
    """
    beyond = min(by, 0.0) if turns else by
    outer = _moved(edge, beyond)
    if zone is None:
        return [(outer, True)]
    if zone.shape in ("rim", "middle"):
        assert zone.width is not None
        if zone.shape == "middle":
            return [(_moved(edge, min(by - zone.width.laid, beyond)), True)]
        inner = _moved(edge, -zone.width.laid - by)
        return [(outer, True), (inner, False)] if inner else [(outer, True)]
    if zone.shape == "band":
        return [(_band(zone, box, edge, by), True), (outer, True)]
    shape = _plain(zone, by, box, geo.bounds(edge))
    return [(shape, True)] if by and geo.lies_in(shape, outer) else [(shape, True), (outer, True)]


def wanted(cuts: Sequence[Cut]) -> list[Patch]:
    """The patches of the plane that lie as these cuts want it."""
    need = forbid = 0
    for number, (_, want) in enumerate(cuts):
        need, forbid = (need | 1 << number, forbid) if want else (need, forbid | 1 << number)
    return [
        patch for patch in decompose([polygon for polygon, _ in cuts])
        if patch.inside & need == need and not patch.inside & forbid
    ]  # fmt: skip


Key = tuple[int, int]
Areas = dict[Key, float]
"""Area in m² for each placement, by the numbers of its layer and of itself."""

FaceAreas = dict[tuple[Key, str], float]
"""The same by the face, too, on which it was laid."""


@attrs.frozen(eq=False, repr=False)
class Spread:
    """One placement's fibre on one face: what it asks of a place there.

    ``key`` is the layer's and the placement's number, from 0. ``turned`` marks a strip that was
    wrapped or folded over, so that it lies mirrored. ``laid_on`` is the face on which it was laid.
    """

    placement: Placement
    layer: Layer
    key: Key
    cuts: tuple[Cut, ...]
    laid_on: str
    turned: bool = False


@attrs.frozen(eq=False, repr=False)
class Region:
    """A part of a face with one stack: ``spreads`` from bottom to top, area in m²."""

    face: str
    spreads: tuple[Spread, ...]
    area: float
    patches: tuple[Patch, ...]


@attrs.frozen(eq=False, repr=False)
class Face:
    """One face of the layout: area in m², its box in metres, its regions.

    ``is_polygon``: its sides may lie aslant; else its box is the narrowest there is. ``cut`` are the
    patches that it was cut into, with those past its outline; a ball's has none.
    """

    name: str
    area: float
    box: tuple[float, float, float, float]
    edge: geo.Polygon
    regions: tuple[Region, ...]
    is_polygon: bool = False
    cut: Arrangement = attrs.field(factory=Arrangement, repr=False)

    @property
    def sides(self) -> tuple[float, float, float]:
        """Shorter and longer side, m, and the way of the longer, radians anticlockwise from east."""
        if self.is_polygon:
            return geo.sides(self.edge)
        west, south, east, north = self.box
        wide, deep = east - west, north - south
        return min(wide, deep), max(wide, deep), 0.0 if wide >= deep else math.pi / 2


@attrs.frozen(eq=False, repr=False)
class Layout:
    """All faces, and for each placement the area that it is laid on (m², over all its faces)."""

    faces: tuple[Face, ...]
    spread_area: Areas
    past_area: Areas
    """The part of that area past the outline, m²."""
    face_area: FaceAreas
    """That area by the face on which it was laid, m²: unlike on the two, where an outline leans."""


def lay_out(recipe: Recipe) -> Layout:
    """Cut every face of a recipe.

    Raises RecipeError for a placement that lies nowhere on it, and for zones that lie over each other
    in more places than can be judged in good time.
    """
    spread_area: Areas = {}
    past_area: Areas = {}
    face_area: FaceAreas = {}
    turned: set[int] = set()
    piece = recipe.piece
    edge = outline(piece)
    make = _ball_face if piece.over == "ball" else _cut_face
    _all_drawn(recipe, edge)
    try:
        faces = tuple(
            make(recipe, name, edge, (spread_area, past_area, face_area, turned))
            for name in recipe.piece.faces
        )
    except _MovedOften:
        raise _refused(recipe, [_moved_often()]) from None
    except _TooMuch:
        raise _refused(recipe, [_too_much(recipe)]) from None
    except TooIntricate:
        raise _refused(recipe, [_intricate(recipe)]) from None
    _all_laid(recipe, face_area)
    _all_turned(recipe, turned)
    return Layout(faces, spread_area, past_area, face_area)


def _all_drawn(recipe: Recipe, edge: geo.Polygon) -> None:
    """Refuse a frame that is too wide for its outline, whether anything is laid on it or not."""
    box = recipe.piece.box
    for zone in recipe.zones:
        try:
            cuts_of(zone, edge, box, 0.0)
        except TooNarrow:
            width = zone.width.text if zone.width else ""
            problem = Problem(
                f"width: {width}, and an outline with an arm narrower than twice that", NARROWER, SMALLER,
                join("zones", zone.name, "width"), kind="limit",
            )  # fmt: skip
            raise _refused(recipe, [problem]) from None


def _all_laid(recipe: Recipe, face_area: FaceAreas) -> None:
    """Refuse an amount that lies nowhere; one for each face has to lie somewhere on each."""
    nowhere = []
    for number, layer in enumerate(recipe.layers):
        for index, placement in enumerate(layer.placements):
            areas = {n: face_area.get(((number, index), n), 0.0) for n in recipe.piece.faces}
            bare = [name for name, area in areas.items() if area <= 1e-9]
            if len(bare) == len(areas):
                nowhere.append(_nowhere(recipe, placement, ""))
            elif bare and placement.face == "each":
                nowhere.append(_nowhere(recipe, placement, f" on its {bare[0]}"))
    if nowhere:
        raise _refused(recipe, nowhere)


def _all_turned(recipe: Recipe, turned: set[int]) -> None:
    """Refuse a layer whose edge is to be turned, and of which nothing reaches the outline."""
    idle = [
        Problem(
            f"{key}: {turn.text}, and nothing of “{layer.name}” reaches the outline to be turned",
            "a layer that is laid as far as the outline, or past it",
            f"leave out {key}, or check the layer’s zone and how far it stops short",
            join("layers", number, key), kind="link",
        )
        for number, layer in enumerate(recipe.layers) if number not in turned
        for key, turn in (("wraps", layer.wraps), ("turned in", layer.turned_in)) if turn
    ]  # fmt: skip
    if idle:
        raise _refused(recipe, idle)


def _refused(recipe: Recipe, problems: Sequence[Problem]) -> RecipeError:
    return RecipeError(recipe.source.name if recipe.source else "recipe", tuple(problems))


def _intricate(recipe: Recipe) -> Problem:
    count = len(recipe.zones)
    what = f"{count} zones whose outlines" if count > 1 else "layers whose edges"
    return Problem(
        f"{what} lie over or beside each other in too many places to be judged",
        "fewer zones over or beside each other, or plainer outlines",
        "give corners only where an outline turns; write what lies over much else as a recipe of its own",
        "/zones" if count > 1 else "/layers", kind="limit",
    )  # fmt: skip


class _MovedOften(TooIntricate):
    """More corners than can be moved in good time: outlines with many, past or short in many ways."""


MOVED = 10_000
"""Corners of outlines in all, each counted for every distance that something goes past it or stops short."""


def _moved_often() -> Problem:
    return Problem(
        f"amounts past or short of outlines by so many distances that more than {MOVED} corners would move",
        "fewer distances (past, short), or plainer outlines",
        "give corners only where an outline turns; let what lies on one zone go past it, or stop short, by "
        "one distance",
        "/layers", kind="limit",
    )  # fmt: skip


class _TooMuch(TooIntricate):
    """More amounts lie over each other than can be judged in good time, however plain the outlines."""


def _too_much(recipe: Recipe) -> Problem:
    count = sum(len(layer.placements) for layer in recipe.layers)
    return Problem(
        f"{count} amounts, so many over each other that they lie at more than {LYING} places in all, each "
        "counted wherever something else lies with it",
        "fewer amounts over each other, or fewer zones",
        "put portions of one lot on one zone together; write what lies over much else as a recipe of its "
        "own",
        "/layers", kind="limit",
    )  # fmt: skip


def _nowhere(recipe: Recipe, placement: Placement, on: str) -> Problem:
    each = f"; or say on which face it is laid, instead of {placement.face}" if on else ""
    return Problem(
        f'an amount on "{placement.zone}", of which no part lies on the piece{on}',
        "a zone that is on the layout",
        f"check the zone's sizes and places, and how far it stops short{each}",
        pointer_of(recipe, placement) or "",
        kind="link",
    )


def _hanging(recipe: Recipe, layer: Layer, placement: Placement) -> Problem:
    """What is laid further past the outline than is turned over."""
    key, turn = ("wraps", layer.wraps) if layer.wraps else ("turned in", layer.turned_in)
    assert turn is not None and placement.past is not None
    return Problem(
        f"past: {placement.past.text}, of which {turn.text} past the outline are turned over ({key})",
        f"no further past the outline than {key} says",
        f"leave out past, since what is turned over is laid past the outline, or write the same at {key}",
        (pointer_of(recipe, placement) or "") + join("past"), kind="limit",
    )  # fmt: skip


NARROWER = "less than half of the narrowest arm or gap"
SMALLER = "write a smaller one, or what is left as a zone of its own (shape: polygon)"


def _narrow(recipe: Recipe, layer: Layer, placement: Placement) -> Problem:
    """What is laid so far past or short of an outline, or on so wide a rim, that it runs into itself."""
    zone = recipe.zone(placement.zone)
    told = [
        f"{word}: {length.text}"
        for word, length in (
            ("short", placement.short), ("past", placement.past), ("wraps", layer.wraps),
            ("turned in", layer.turned_in), ("width", zone.width if zone else None),
        )
        if length is not None
    ]  # fmt: skip
    return Problem(
        f"{' and '.join(told) or 'a zone'}, and an outline with an arm or a gap narrower than twice that",
        NARROWER, SMALLER,
        pointer_of(recipe, placement) or "", kind="limit",
    )  # fmt: skip


def _by(placement: Placement) -> float:
    """How far it goes past its zone's outline, m; below nothing where it stops short."""
    past = placement.past.laid if placement.past else 0.0
    return past - (placement.short.laid if placement.short else 0.0)


def _spreads(
    recipe: Recipe, face: str, edge: geo.Polygon, box: tuple[float, float, float, float]
) -> list[Spread]:
    found: list[Spread] = []

    @cache
    def cuts_for(name: str, by: float, turns: bool = False) -> tuple[Cut, ...]:
        return tuple(cuts_of(recipe.zone(name), edge, box, by, turns))

    @cache
    def hangs_over(name: str, by: float, turn: float) -> bool:
        return _reaches(recipe.zone(name), edge, box, by, turn)

    @cache
    def strip_of(name: str, by: float, wide: float, mirror: bool) -> tuple[Cut, ...] | None:
        return _strip(recipe.zone(name), edge, box, by, wide, mirror)

    ways = {(p.zone, _by(p)) for layer in recipe.layers for p in layer.placements}
    turns = {zone.name: len(zone.corners) + len(recipe.piece.corners) for zone in recipe.zones}
    if sum(turns.get(name, len(recipe.piece.corners)) for name, by in ways if by) > MOVED:
        raise _MovedOften
    for name, by in sorted(ways):  # how an outline shrinks is kept for a few outlines
        with suppress(TooNarrow):
            cuts_for(name, by)
    for number, layer in enumerate(recipe.layers):
        own: list[Spread] = []
        over: list[Spread] = []
        turn = layer.wraps or layer.turned_in
        for index, placement in enumerate(layer.placements):
            key = (number, index)
            by = _by(placement)
            on_face = placement.face in (None, "both", "each", face)
            from_here = (
                on_face
                if layer.turned_in
                else placement.face in ("both", "each")
                or (placement.face is not None and placement.face != face)
            )
            try:
                if on_face:
                    if turn and by > turn.laid and hangs_over(placement.zone, by, turn.laid):
                        raise _refused(recipe, [_hanging(recipe, layer, placement)])
                    cuts = cuts_for(placement.zone, by, turn is not None and by > 0)
                    own.append(Spread(placement, layer, key, cuts, face))
                strip = None
                if turn and from_here:
                    strip = strip_of(placement.zone, by, turn.laid, layer.wraps is not None)
                if strip is not None:
                    other = face if layer.turned_in else "back" if face == "front" else "front"
                    over.append(Spread(placement, layer, key, strip, other, turned=True))
            except TooNarrow:
                raise _refused(recipe, [_narrow(recipe, layer, placement)]) from None
        # the front is laid first: on the back, what came over from it lies below what is laid there
        below = layer.wraps is not None and face == "back"
        found += [*over, *own] if below else [*own, *over]
    return found


def _strip(
    zone: Zone | None, edge: geo.Polygon, box: tuple[float, float, float, float], by: float,
    wide: float, mirror: bool,
) -> tuple[Cut, ...] | None:  # fmt: skip
    """The strip along the outline that wrapped or turned-in fibre lands on; None if none reaches it.

    A zone, grown by a distance, was laid on the other face, so it is cut by that face's outline before
    it is turned over.
    """
    turn = box[0] + box[2]
    laid_on = geo.mirrored(edge, turn) if mirror else edge
    if not _reaches(zone, laid_on, box, by):
        return None
    cuts = cuts_of(zone, laid_on, box, by, turns=True)
    if mirror:
        cuts = [(geo.mirrored(polygon, turn), want) for polygon, want in cuts]
    inner = _moved(edge, -wide)
    if not inner and geo.is_dented(edge):
        raise TooNarrow
    found = [(edge, True), *cuts]
    return tuple([*found, (inner, False)] if inner else found)


def _reaches(
    zone: Zone | None, edge: geo.Polygon, box: geo.Box, by: float, past: float = 0.0
) -> bool:
    """Whether a zone, grown by a distance, comes as far as the outline, or further past it than so far."""
    by += -HAIR if past else HAIR
    if by < 0 or zone is None or zone.shape in ("rim", "band"):
        return by >= past
    if zone.shape == "middle":
        assert zone.width is not None
        return by - zone.width.laid >= past
    shape = _plain(zone, by, box, geo.bounds(edge))
    return any(patch.inside == 1 for patch in decompose([shape, _moved(edge, past)]))


def _cut_face(
    recipe: Recipe, name: str, edge: geo.Polygon, areas: tuple[Areas, Areas, FaceAreas, set[int]]
) -> Face:
    spread_area, past_area, face_area, turned = areas
    box = recipe.piece.box
    if name == "back":
        edge = geo.mirrored(edge, box[0] + box[2])
    spreads = _spreads(recipe, name, edge, box)
    numbers: dict[geo.Polygon, int] = {edge: 0}
    masks = []
    for spread in spreads:
        need = forbid = 0
        for polygon, want in spread.cuts:
            bit = 1 << numbers.setdefault(polygon, len(numbers))
            need, forbid = (need | bit, forbid) if want else (need, forbid | bit)
        masks.append((need, forbid))
    by_mask: dict[int, list[Patch]] = {}
    cut = _cut(tuple(numbers), LOOKS / len(recipe.piece.faces))
    if len(cut.patches) > PATCHES / len(recipe.piece.faces):
        raise TooIntricate
    for patch in cut.patches:
        by_mask.setdefault(patch.inside, []).append(patch)
    if len(by_mask) * len(masks) > PAIRS / len(recipe.piece.faces):
        raise TooIntricate
    stacks: dict[tuple[int, ...], list[Patch]] = {}
    for inside, patches in by_mask.items():
        size = sum(patch.area for patch in patches)
        here = tuple(
            k for k, (need, forbid) in enumerate(masks)
            if inside & need == need and not inside & forbid
        )  # fmt: skip
        for k in here:
            _add(spread_area, spreads[k].key, size)
            laid = spreads[k].key, spreads[k].laid_on
            face_area[laid] = face_area.get(laid, 0.0) + size
            if spreads[k].turned and size > 1e-9:
                turned.add(spreads[k].key[0])
        if inside & 1:
            stacks.setdefault(here, []).extend(patches)
        else:
            for k in here:
                _add(past_area, spreads[k].key, size)
    regions = []
    if len(stacks) > STACKS / len(recipe.piece.faces):
        raise TooIntricate
    if sum(map(len, stacks)) > LYING / len(recipe.piece.faces):
        raise _TooMuch
    for stack, patches in sorted(stacks.items()):
        size = sum(patch.area for patch in patches)
        if size > 1e-9 * abs(geo.area(edge)):
            lying_here = tuple(spreads[k] for k in stack)
            regions.append(Region(name, lying_here, steady(size), tuple(patches)))
    slant = recipe.piece.shape == "polygon"
    return Face(name, steady(abs(geo.area(edge))), box, edge, tuple(regions), slant, cut)


@lru_cache(maxsize=2)
def _cut(polygons: tuple[geo.Polygon, ...], most: float) -> Arrangement:
    """The cut is kept for both faces: a recipe that is judged with other amounts has it again."""
    return Arrangement(polygons, tuple(decompose(polygons, most)))


def _add(areas: Areas, key: Key, size: float) -> None:
    areas[key] = areas.get(key, 0.0) + size


def _ball_face(
    recipe: Recipe, name: str, edge: geo.Polygon, areas: tuple[Areas, Areas, FaceAreas, set[int]]
) -> Face:
    """A ball has one face and one stack; its area is π d²."""
    box = recipe.piece.box
    size = math.pi * (box[2] - box[0]) ** 2
    spreads = _spreads(recipe, name, edge, box)
    for spread in spreads:
        areas[0][spread.key] = areas[2][spread.key, name] = size
    region = Region(name, tuple(spreads), size, ())
    return Face(name, size, box, edge, (region,))
