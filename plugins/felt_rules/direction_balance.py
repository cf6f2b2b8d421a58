"""direction-balance: do the layers that felt pull alike in all directions?"""

from __future__ import annotations

import cmath
import math
from collections.abc import Generator, Iterator

from felt_engine import (
    Bench,
    Example,
    FaceBuild,
    Figure,
    Laid,
    Layer,
    Limit,
    Place,
    Rule,
    Said,
    figures,
)

WANTED = 0.15
"""Pull that the advice aims at: that of a right three-layer ground (common practice, no source)."""

ALONG = 0.85
"""Alignment of combed top, which the advice is for (from memory)."""

FREE = ("free", "blocked")
MEANT = ("ruffled", "drawn in")


def judge(bench: Bench) -> Iterator[Said]:
    """Each face by itself: first as a whole, then, if that is in order, place by place."""
    for face in bench.build.faces:
        meant = bench.meant("laid one way", face.name)
        laid = _counted(bench, face)
        if meant or _exempt(bench) or _on_cloth(bench, face):
            continue
        told = yield from _whole(bench, face, laid)
        if told and bench.recipe.piece.outline not in FREE:
            yield from _places(bench, face)


def _exempt(bench: Bench) -> bool:
    piece, use = bench.recipe.piece, bench.build.use
    free = use is not None and (use.one_way or use.open)
    return piece.outline in MEANT or piece.over == "ball" or free


def _on_cloth(bench: Bench, face: FaceBuild) -> bool:
    """Whether open cloth carries nearly all of the face: wool may then lie as it likes."""
    return sum(place.share for place in face.places if place.open_cloth) >= bench.limit("cloth")


def _counted(bench: Bench, face: FaceBuild) -> list[tuple[Laid, float]]:
    """What is judged: all but what is meant to pull, or all of it where that is in better balance.

    A layer that is meant may balance the rest; saying so must not make a right piece a faulty one.
    """
    every = list(face.laid)
    places = [p for p in face.places if not bench.meant("laid one way", p)]
    if len(places) == len(face.places) and not any(_meant(bench, laid) for laid, _ in every):
        return every
    areas: dict[int, tuple[Laid, float]] = {}
    for place in places:
        for laid in place.stack:
            if not _meant(bench, laid):
                areas[id(laid)] = (laid, areas.get(id(laid), (laid, 0.0))[1] + place.area)
    rest = list(areas.values())
    return min(every, rest, key=lambda pairs: abs(figures.resultant(pairs)))


def _meant(bench: Bench, laid: Laid) -> bool:
    placement = laid.placement
    return bench.meant("laid one way", laid.layer, placement.zone, placement.of)


def _whole(
    bench: Bench, face: FaceBuild, laid: list[tuple[Laid, float]]
) -> Generator[Said, None, bool]:
    """Judge the whole face; returns whether its places are worth a look of their own."""
    pull = figures.resultant(laid)
    unsaid = figures.unsaid_pull(laid)
    caution, fault = bench.limit("caution"), bench.limit("fault")
    if bench.recipe.piece.outline in FREE:
        caution = fault
    if abs(pull) - unsaid >= caution:
        yield _finding(bench, face, laid, pull)
        return False
    if abs(pull) + unsaid >= caution:
        for layer in dict.fromkeys(one.layer for one, _ in laid if one.lacks_direction):
            yield bench.unsaid(layer, "say in which direction this layer is laid (or random)")
        return False
    return True


def _finding(bench: Bench, face: FaceBuild, laid: list[tuple[Laid, float]], pull: complex) -> Said:
    sure = figures.kindest_pull(laid) >= bench.limit("fault")
    is_fault = sure and bench.recipe.piece.outline not in FREE
    along = figures.axis_words(pull)
    across = figures.axis_words(-pull)
    main = _puller(laid, pull)
    side = "" if face.name == "whole" else f" on the {face.name}"
    return bench.finding(
        "fault" if is_fault else "caution",
        main,
        f"What felts{side} pulls {along}, and {_crossing(laid, pull, across)}. The piece will "
        f"shrink more {along} than {across}, come out {_askew(bench)}, and be weak {across}."
        if is_fault else
        f"What felts{side} pulls {along} more than {across}; {_crossing(laid, pull, across)}. "
        f"It may {_harm(bench, across)}.",
        _advice(laid, pull, across),
        measured=Figure("pull", abs(pull), ""),
        limit="fault" if is_fault else "caution",
        how=_sum(laid, pull),
        where="" if face.name == "whole" else f"the {face.name}",
        also=(face.name, *_names(laid, pull)),
    )  # fmt: skip


def _askew(bench: Bench) -> str:
    piece = bench.recipe.piece
    if piece.shape == "round":
        return "oval"
    return "of square" if piece.shape == "rectangle" else "of shape"


def _harm(bench: Bench, across: str) -> str:
    free = bench.recipe.piece.outline in FREE
    return f"be weak {across}" if free else f"come out {_askew(bench)}"


def _puller(laid: list[tuple[Laid, float]], pull: complex) -> Layer:
    """The layer that pulls most this way, all its amounts together."""
    sums: dict[int, float] = {}
    for pair in laid:
        number = pair[0].key[0]
        sums[number] = sums.get(number, 0.0) + _toward(pair, pull)
    most = max(sums, key=lambda number: round(sums[number], 12))
    return next(one.layer for one, _ in laid if one.key[0] == most)


def _names(laid: list[tuple[Laid, float]], pull: complex) -> tuple[str, ...]:
    """The layers that pull this way, and what they are of."""
    pulling = [pair[0] for pair in laid if _toward(pair, pull) > 0]
    names = [name for one in pulling for name in (one.layer.name, one.placement.of)]
    return tuple(dict.fromkeys(names))


def _weight(pair: tuple[Laid, float]) -> float:
    laid, area = pair
    return area * sum(part.areal * part.stuff.felts.usual for part in laid.parts)


def _toward(pair: tuple[Laid, float], pull: complex) -> float:
    """How much of a pull along the resultant this is (negative: across it)."""
    laid, area = pair
    if laid.angle is None:
        return 0.0
    turn = math.cos(2 * laid.angle - cmath.phase(pull))
    parts = sum(p.areal * p.stuff.felts.usual * p.alignment[1] for p in laid.parts)
    return area * parts * turn


def _crossing(laid: list[tuple[Laid, float]], pull: complex, across: str) -> str:
    crossing = [pair for pair in laid if _toward(pair, pull) < 0]
    if crossing:
        names = " and ".join(dict.fromkeys(f"“{one.layer.name}”" for one, _ in crossing))
        return f"{names} is too light across it"
    for one, _ in laid:
        if one.angle is None or any(part.stuff.holds for part in one.parts):
            continue
        if math.cos(2 * one.angle - cmath.phase(pull)) < -0.5:
            return f"the only layer across, “{one.layer.name}”, does not felt and so does not pull"
    return f"no layer that felts lies {across}"


def _advice(laid: list[tuple[Laid, float]], pull: complex, across: str) -> str:
    total = sum(_weight(pair) for pair in laid)
    need = (abs(pull) - WANTED) * total / (ALONG + WANTED)
    return (
        f"Lay about {figures.weight(need)} of felting top {across}, or turn a layer; if it is "
        f"meant, say so under on purpose (what: laid one way)."
    )


def _sum(laid: list[tuple[Laid, float]], pull: complex) -> str:
    terms: dict[tuple[int, int], tuple[Laid, float]] = {}
    for one, area in laid:
        before = terms.get(one.key, (one, 0.0))[1]
        terms[one.key] = (one, before + area)
    shown = []
    for one, area in terms.values():
        weight = _weight((one, area))
        if weight <= 0:
            shown.append(f"{_called(one)} does not felt: 0")
            continue
        r = max((part.alignment[1] for part in one.parts if part.stuff.holds), default=0.0)
        way = figures.bearing_words(one) if one.angle is not None else "no one direction"
        r = r if one.angle is not None else 0.0
        shown.append(f"{_called(one)} {figures.grams(weight)} g, r {r:.2f}, {way}")
    return (
        f"|R| = |Σ m F r e^(2iθ)| / Σ m F = {abs(pull):.2f}, over "
        + "; ".join(shown[:8])
        + " (weight x feltability; r is alignment)"
    )


def _called(laid: Laid) -> str:
    zone = laid.placement.zone
    return f"“{laid.layer.name}”" + (f" on {zone}" if zone != "whole" else "")


def _places(bench: Bench, face: FaceBuild) -> Iterator[Said]:
    """Parts of the face that pull one way although the whole is in balance."""
    limit, least = bench.limit("local"), bench.limit("local-area")
    uneven = [p for p in face.places if _local(bench, p) > limit]
    if sum(place.share for place in uneven) < least:
        return
    reach = bench.limit("staple-reach")
    counted = [
        (place, max(0.0, 1 - 2 * reach / place.width) * place.share) for place in uneven
        if place.width > 0
    ]  # fmt: skip
    share = sum(part for _, part in counted)
    if share < least:
        return
    worst = max(counted, key=lambda pair: pair[1])[0]
    main = max(worst.stack, key=lambda one: _toward((one, 1.0), worst.pull))
    along, across = figures.axis_words(worst.pull), figures.axis_words(-worst.pull)
    about = main.layer if main.placement.inline else main.placement
    yield bench.finding(
        "caution",
        about,
        f"The piece as a whole is in balance, but {worst.whereabouts.words} what felts pulls "
        f"{along}. That part may draw in {along} and pucker beside its neighbours.",
        f"Let the layer that lies {across} reach over this part too.",
        measured=Figure("share of the face that pulls one way", share, ""),
        limit="local-area",
        how=f"|R| there is {abs(worst.pull):.2f}, limit {limit:.2f}; parts narrower than "
        f"{figures.length(2 * reach)} are bridged by the staple and not counted",
        where=worst.whereabouts.words,
        also=_place_names(worst),
        at=(worst,),
    )


def _place_names(place: Place) -> tuple[str, ...]:
    names = [place.face.name, *(one.layer.name for one in place.stack)]
    names += [one.placement.zone for one in place.stack]
    return tuple(name for name in dict.fromkeys(names) if name != "whole")


def _local(bench: Bench, place: Place) -> float:
    if any(laid.lacks_direction for laid in place.stack):
        return 0.0
    if bench.meant("laid one way", place) or any(_meant(bench, laid) for laid in place.stack):
        return 0.0
    return abs(place.pull)


_GROUND = """\
piece: {{title: Hill study, use: picture ground, shape: rectangle, laid out: 30 x 30 cm,
  outline: straight, stage: firm}}
lots:
  white prefelt: {{fibre: merino, preparation: prefelt, fineness: 20 um}}
  green: {{fibre: merino, preparation: combed top, fineness: 20 um}}
layers:
  - {{name: base, of: white prefelt, amount: 120 g/m²}}
{cross}  - {{name: slope, of: green, amount: 190 g/m², direction: east-west, lay: shingle}}
"""
_CROSS = "  - {name: cross, of: green, amount: 120 g/m², direction: north-south, lay: shingle}\n"

RULE = Rule(
    id="direction-balance",
    title="Layers that felt pull alike in all directions",
    since="0.1.0",
    purpose="Wool shrinks more along its fibre than across it. Layers that cross each other cancel; "
    "if most of what felts lies one way, the piece comes out of square and tears across.",
    judge=judge,
    limits=(
        Limit(
            "caution", 0.33, "", "pull |R| from which the whole may come out of square",
            "chosen between listed right and faulty layouts; three alternating equal layers have "
            "0.28 and are right (common practice, no source)", "two to eight layers of wool",
        ),
        Limit(
            "fault", 0.45, "", "pull |R| from which it will, if it holds at the kinder end of "
            "alignment and scale step",
            "a three-layer ground without its cross layer has 0.51 to 0.54 (common practice, no "
            "source)", "two to eight layers of wool",
        ),
        Limit(
            "local", 0.45, "", "pull |R| of a part of the face",
            "as for the whole (common practice, no source)",
        ),
        Limit(
            "local-area", 0.05, "", "part of the face that may pull one way",
            "from memory", "parts wider than a staple",
        ),
        Limit(
            "cloth", 0.9, "", "part of a face with open cloth in it from which it isn't judged",
            "common practice, no source",
        ),
        Limit(
            "staple-reach", 0.018, "m", "how far the staple evens out into a part from its edges",
            "from a box average of 50 mm over missing strips of 30 and 60 mm (own calculation)",
            "staples of 50 to 90 mm",
        ),
    ),
    examples=(
        Example("a ground without its cross layer", _GROUND.format(cross=""), "fault"),
        Example("the same ground with it", _GROUND.format(cross=_CROSS)),
        Example(
            "the same without it, for a swatch",
            _GROUND.format(cross="").replace("use: picture ground", "use: swatch"),
        ),
        Example(
            "the same without it, where the edge is to ruffle",
            _GROUND.format(cross="").replace("outline: straight", "outline: ruffled"),
        ),
    ),
    purposes=("laid one way",),
    model="R = Σ m F r e^(2iθ) / Σ m F over all that felts: m weight, F feltability (merino 1), r "
    "alignment of the laying (combed top 0.85, carded 0.40, prefelt 0.10), θ direction. |R| is 0 "
    "for crossed layers and r for one direction. Axial statistics: Mardia & Jupp, Directional "
    "Statistics (2000); orientation tensor: Advani & Tucker, J. Rheology 31 (1987) 751.",
    weak_spots="Alignment values are from memory. Rolling more one way than the other is not looked "
    "at here. A ball, a belt and a swatch are not judged, nor is what open cloth carries. Radial "
    "and around count as pulling no way; a radial layout is never judged place by place. |R| of 0 "
    "does not mean random: crossed layers have it too, and are right.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
