"""direction-balance: do the layers that felt pull alike in all directions?"""

from __future__ import annotations

from collections.abc import Generator, Iterator

from felt_engine import (
    Bench,
    Example,
    FaceBuild,
    Figure,
    Laid,
    Limit,
    Rule,
    Said,
    figures,
)
from felt_rules import direction_places as where
from felt_rules import direction_words as words

FREE = ("free", "blocked")
MEANT = {"ruffled": "ruffle", "drawn in": "draw in"}
TRIAL = "swatch"
ALIKE = 0.5
"""Cosine of twice the angle, 30°, up to which two ways are one (from memory)."""


def judge(bench: Bench) -> Iterator[Said]:
    """Each face by itself: first as a whole, then, if that is in order, place by place."""
    outline = bench.recipe.piece.outline
    for face in bench.build.alike:
        meant = bench.meant("laid one way", face.name)
        laid = _counted(bench, face)
        if meant or _exempt(bench) or _on_cloth(bench, face):
            continue
        if outline in MEANT:
            yield from where.middle(bench, face, MEANT[outline])
            continue
        told = yield from _whole(bench, face, laid)
        if told:
            yield from where.uneven_places(bench, face, outline in FREE)
        if told and outline not in FREE:
            yield from where.squareness(bench, face)


def _exempt(bench: Bench) -> bool:
    use = bench.build.use
    free = use is not None and (use.open or use.name == TRIAL)
    return bench.recipe.piece.over == "ball" or free


def _wanted(bench: Bench, pull: complex) -> bool:
    """Whether the finished size asks for the shrink to be unequal, and that way round."""
    ratio = figures.wanted_ratio(bench.recipe.piece)
    if ratio is None or bench.recipe.piece.outline == "cut" or not pull:
        return False
    along = figures.steady(ratio * figures.along_axis(pull, 0.0) / abs(pull))
    return along >= bench.limit("wanted")


def _on_cloth(bench: Bench, face: FaceBuild) -> bool:
    """Whether open cloth carries nearly all of the face: wool may then lie as it likes."""
    cloth = sum(place.share for place in face.places if place.open_cloth)
    return figures.steady(cloth) >= bench.limit("cloth")


def _counted(bench: Bench, face: FaceBuild) -> list[tuple[Laid, float]]:
    """What is judged: all but what is meant to pull, or all of it where that is in better balance.

    A layer that is meant may balance the rest; saying so must not make a right piece a faulty one.
    Where it is what is meant that pulls most, the rest is judged only as far as it lies the same way.
    """
    every = list(face.laid)
    places = [p for p in face.places if not bench.meant("laid one way", p)]
    if len(places) == len(face.places) and not any(
        where.is_meant(bench, laid) for laid, _ in every
    ):
        return every
    areas: dict[int, tuple[Laid, float]] = {}
    for place in places:
        for laid in place.stack:
            if not where.is_meant(bench, laid):
                areas[id(laid)] = (laid, areas.get(id(laid), (laid, 0.0))[1] + place.area)
    rest = list(areas.values())
    pull = figures.resultant(every)
    puller = words.puller(every, pull)
    in_order = figures.steady(abs(pull)) < bench.limit("caution")
    if not in_order and all(where.is_meant(bench, o) for o, _ in every if o.layer is puller):
        kept = {id(one) for one, _ in rest}
        meant = [pair for pair in every if id(pair[0]) not in kept]
        way, other = figures.resultant(meant), figures.resultant(rest)
        if figures.alike(way, other) <= ALIKE:
            return []
        return rest
    return min(every, rest, key=lambda pairs: abs(figures.resultant(pairs)))


def _whole(
    bench: Bench, face: FaceBuild, laid: list[tuple[Laid, float]]
) -> Generator[Said, None, bool]:
    """Judge the whole face; returns whether its places are worth a look of their own."""
    pull = figures.resultant(laid)
    unsaid = figures.unsaid_pull(laid)
    caution = bench.limit("fault" if bench.recipe.piece.outline in FREE else "caution")
    use = bench.build.use
    if figures.steady(abs(pull) + unsaid) < caution or (
        not unsaid and where.lengthways(bench, face, pull)
    ):
        return True
    if unsaid and use is not None and use.one_way and where.lengthways(bench, face, pull):
        return True
    if figures.steady(abs(pull) - unsaid) < caution:
        for layer in dict.fromkeys(one.layer for one, _ in laid if one.lacks_direction):
            yield bench.unsaid(layer, "say in which direction this layer is laid (or random)")
    elif _wanted(bench, pull):
        way, across = words.way(pull), words.way(-pull)
        yield bench.tip(
            words.puller(laid, pull),
            f"The finished size asks for more shrink {way}, and what felts pulls that way, so it "
            f"is taken as meant. It will be weaker {across}.",
        )
    else:
        yield _finding(bench, face, laid, pull)
    return False


def _finding(bench: Bench, face: FaceBuild, laid: list[tuple[Laid, float]], pull: complex) -> Said:
    piece = bench.recipe.piece
    kindest = figures.steady(figures.kindest_pull(laid))
    is_fault = kindest >= bench.limit("fault") and piece.outline not in FREE
    along, across = words.way(pull), words.way(-pull)
    side = "" if face.name == "whole" else f" on the {face.name}"
    askew = f"come out {words.askew(piece, pull)}"
    harm = f"be weak {across}" if piece.outline in FREE else askew
    use = bench.build.use
    pulled = ", the way it is pulled" if use is not None and use.one_way else ""
    crossing = words.crossing(laid, pull)
    return bench.finding(
        "fault" if is_fault else "caution",
        words.puller(laid, pull),
        f"What felts{side} pulls {along}, and {crossing}. The piece will shrink more {along} than "
        f"{across}, {askew}, and be weak {across}{pulled}."
        if is_fault else
        f"What felts{side} pulls {along} more than {across}; {crossing}. It may {harm}"
        f"{words.hedge(laid, pull)}.",
        words.advice(laid, pull, bench.limit("caution"), figures.pieces(bench.build))
        + f"; if it is meant, say so under on purpose (what: laid one way, where: {face.name}).",
        measured=Figure("pull", abs(pull), ""),
        limit="fault" if is_fault else "caution",
        how=words.sum_of(laid, pull),
        where="" if face.name == "whole" else f"the {face.name}",
        also=(face.name, *words.pulling_names(laid, pull)),
    )  # fmt: skip


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
_STRAP = """\
piece: {{title: Strap, use: belt, shape: rectangle, laid out: 120 x 8 cm, stage: hard}}
lots:
  white: {{fibre: merino, preparation: combed top, fineness: 20 um}}
layers:
  - {{name: one, of: white, amount: 40 g, direction: {way}}}
  - {{name: two, of: white, amount: 40 g, direction: {way}}}
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
            "free-local", 0.6, "", "the pull of a part from which it counts where the outline is free or "
            "blocked", "combed top all one way has 0.85 (from memory)",
        ),
        Limit(
            "free-area", 0.25, "", "the same where the outline is free or blocked: it may come out as it "
            "will, but it is weak there", "from memory", "parts wider than a staple",
        ),
        Limit(
            "edge-reach", 0.3, "m", "how far in from the outline an edge that is to ruffle or to draw "
            "in excuses fibre that lies one way", "half the width of a wide scarf that is a frill all "
            "over (common practice, no source)",
        ),
        Limit(
            "middle", 0.15, "", "part of the face that lies further in than that and pulls one way",
            "from memory",
        ),
        Limit(
            "strap-width", 0.12, "m", "widest band that may be laid along its length alone, as a belt "
            "is, whatever its use", "common practice, no source", "laid-out width, on the table",
        ),
        Limit(
            "strap-ratio", 4.0, "", "how many times longer than wide such a band, or a strap, is",
            "common practice, no source",
        ),
        Limit(
            "wanted", 0.15, "", "how unequal the finished size has to want the two shrinkages, as a "
            "part of the pull, for the pull to be taken as meant",
            "the lower end of how strongly direction turns into unequal shrink, 0.15 to 0.45 of the "
            "pull (from memory)", "both finished sizes stated, not cut",
        ),
        Limit(
            "square", 0.45, "", "fourfold resultant of a round from which a tip is given",
            "a pure cross of combed top has 0.52, a sheet and a cross 0.38 (own calculation)",
            "the thinnest evidence on this page: no finding rests on it",
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
        Example("a strap laid along its length", _STRAP.format(way="east-west")),
        Example("a strap laid across its length", _STRAP.format(way="north-south"), "fault"),
        Example(
            "the same ground without it, where the finished size wants it shorter that way",
            _GROUND.format(cross="").replace(
                "laid out: 30 x 30 cm", "laid out: 30 x 30 cm, finished: 19 x 23 cm"
            ),
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
    "at here. A ball and a swatch are not judged, a strap only across its length, nor is what open "
    "cloth carries. Radial and around count as pulling no way; a radial layout is never judged place "
    "by place. |R| of 0 does not mean random: crossed layers have it too, and are right. Crossed "
    "layers have a fourfold resultant as well (Σ m F r⁴ e^(4iθ) / Σ m F), said to pull a round "
    "towards a square. Rounds are laid so by thousands, and the strain of an even sheet has no "
    "fourfold part: a cross can square a round only at its rim, where no one has measured it. So it "
    "is a tip, and only for outline: round, on the table, with nothing but crossed top and no step "
    "that cuts or shapes. How far an edge reaches in and how wide a band is are lengths: a larger "
    "piece of the same build may be judged otherwise. A lot whose preparation isn't said is taken for "
    "top, and for no fault, since it may be carded.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
