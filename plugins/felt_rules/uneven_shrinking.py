"""uneven-shrinking: do parts that lie side by side shrink alike?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from felt_engine import Bench, Example, FaceBuild, Figure, Laid, Limit, Place, Rule, Said, figures
from felt_rules import uneven_faces

UNLEVEL = ("ruffled", "drawn in")
SHAPED = ("free", "blocked")
SAMPLES = ("swatch",)
DECOR = ("accent", "veil")
LOOSE = ("wisps", "scatter")
BODIES = ("locks", "neps", "yarn")
ENOUGH = 0.98
"""Part of the limit that the advice aims at."""
USUAL_STAGE, LEAST_STAGE = "firm", "light"
"""Where the stage isn't said: what matters at the first is asked about, unless it shows at the second."""


@attrs.frozen(eq=False, repr=False)
class Pair:
    """Two places side by side: the one that shrinks less, the other, and by how much."""

    less: Place
    more: Place
    stage: str
    size: float
    kinder: float
    by_wool: bool
    culprit: Laid
    """The placement that makes the difference."""

    at: Place
    """The place that is out of the ordinary: the slow one, a too light one, or else the smaller."""


def judge(bench: Bench) -> Iterator[Said]:
    """Neighbours on each face, then one face against the other."""
    piece, use = bench.recipe.piece, bench.build.use
    if piece.outline in UNLEVEL or (
        use is not None and (use.open or use.relief or use.name in SAMPLES)
    ):
        return
    yield from _side_by_side(bench)
    stage = piece.stage
    yield from uneven_faces.judge(
        bench, stage or USUAL_STAGE, stage or LEAST_STAGE, _is_decor, ENOUGH
    )


def _side_by_side(bench: Bench) -> Iterator[Said]:
    """Those with one cause are one finding, or one question."""
    pairs = [pair for face in bench.build.alike for pair in _pairs(bench, face)]
    if not pairs:
        return
    asked = _asked(bench, pairs)
    if asked:
        yield bench.unsaid(bench.recipe.piece, asked)
        return
    groups: dict[tuple[object, ...], list[Pair]] = {}
    for pair in sorted(pairs, key=_rank):
        key = (pair.by_wool, pair.culprit.key[0], pair.culprit.placement.of)
        groups.setdefault(key, []).append(pair)
    for group in groups.values():
        yield _finding(bench, group)


def _rank(pair: Pair) -> tuple[object, ...]:
    names = [
        (one.layer.name, one.placement.of, one.placement.zone)
        for place in (pair.less, pair.more) for one in place.stack
    ]  # fmt: skip
    return -round(pair.size, 9), pair.less.face.name, names


def _asked(bench: Bench, pairs: list[Pair]) -> str:
    """What the recipe would have to say, if all that was found hangs on it."""
    limit = bench.limit("caution")
    if bench.recipe.piece.stage is None and all(
        _size(figures.apart(p.more.stack, p.less.stack, LEAST_STAGE, bench.build.hand), p.by_wool)
        < limit
        for p in pairs
    ):
        return "say the stage: whether parts that shrink unlike will pucker depends on it"
    if bench.build.use is None and not any(pair.by_wool for pair in pairs):
        return "say its use: whether unlike weights side by side matter depends on it"
    return ""


def _size(apart: figures.Apart, by_wool: bool) -> float:
    return abs(apart.by_wool) if by_wool else abs(apart.total)


def _pairs(bench: Bench, face: FaceBuild) -> Iterator[Pair]:
    stage = bench.recipe.piece.stage or USUAL_STAGE
    if not _differs(bench, face.places, stage):
        return
    wide = [place for place in face.places if _counts(bench, place)]
    if not _differs(bench, wide, stage):
        return
    for one, two in figures.neighbours(face, wide, _narrow(bench, face)):
        pair = _look(bench, one, two, stage)
        if pair is not None:
            yield pair


def _differs(bench: Bench, places: Sequence[Place], stage: str) -> bool:
    """Whether any two of these places could differ by as much as matters."""
    strains = [place.strain(stage) for place in places if place.stack]
    apart = max(strains, default=0.0) - min(strains, default=0.0)
    return figures.steady(apart) >= bench.limit("caution")


def _narrow(bench: Bench, face: FaceBuild) -> float:
    return bench.limit_on(face, "narrow", "narrow-part")


def _counts(bench: Bench, place: Place) -> bool:
    """Whether it is a part of its own, and of felt: no strip, no dot, no open work, no open cloth."""
    if not place.stack or place.open_cloth or place.share < bench.limit("small-part"):
        return False
    holding = [laid for laid in place.stack if laid.felting_share > 0]
    if holding and all(laid.layer.role == "open" for laid in holding):
        return False
    return place.width >= _narrow(bench, place.face)


def _look(bench: Bench, one: Place, two: Place, stage: str) -> Pair | None:
    apart = figures.apart(one.stack, two.stack, stage, bench.build.hand)
    more, less = (one, two) if apart.total > 0 else (two, one)
    limit = bench.limit("caution")
    if figures.steady(abs(apart.total)) < limit or _meant(bench, "relief", one, two):
        return None
    size, kinder = abs(apart.total), apart.kinder
    if _thick_is_right(bench, one, two, stage):
        size, kinder = min(size, abs(apart.by_wool)), min(kinder, apart.kinder_by_wool)
    if figures.steady(size) < limit:
        return None
    by_wool = abs(apart.by_wool) >= abs(apart.by_weight)
    culprit = _culprit(less, more, by_wool)
    if culprit is None:
        return None
    return Pair(less, more, stage, size, kinder, by_wool, culprit, _odd(bench, less, more, by_wool))


def _odd(bench: Bench, less: Place, more: Place, by_wool: bool) -> Place:
    use = bench.build.use
    if by_wool:
        return less
    too_light = use is not None and more.areal < use.low
    return more if too_light or figures.ranked(more.area) < figures.ranked(less.area) else less


def _thick_is_right(bench: Bench, one: Place, two: Place, stage: str) -> bool:
    """Whether it is right, or meant, or another rule's, that one of them is heavier."""
    piece = bench.recipe.piece
    if piece.over != "table" or piece.outline in SHAPED:
        return True
    thick, thin = (one, two) if _weight(one) > _weight(two) else (two, one)
    if thin.bare() > (bench.build.use.bare_caution if bench.build.use else bench.limit("bare")):
        return True
    if any(_meant(bench, what, thick, thin) for what in ("thick", "thin", "laid one way")):
        return True
    if thick.face.rim(thick) < 1e-6 and thick.share < 0.5:
        return True
    plain = [
        laid for laid in thick.stack if laid in thin.stack or not (laid.turned or _is_decor(laid))
    ]
    rest = figures.apart(plain, thin.stack, stage, thin.face.hand)
    return abs(rest.total) < bench.limit("caution")


def _weight(place: Place) -> float:
    return figures.weight_and_felts(place.stack)[0]


def _is_decor(laid: Laid) -> bool:
    """An accent, a veil or curls: heavier there, as it should be."""
    bodies = all(part.stuff.lot.preparation in BODIES for part in laid.parts)
    layer = laid.layer
    return layer.role in DECOR or layer.lay in LOOSE or bodies


def _apart(one: Place, two: Place) -> list[Laid]:
    """What lies at one place and not at the other."""
    return [laid for laid in one.stack if laid not in two.stack]


def _meant(bench: Bench, what: str, one: Place, two: Place) -> bool:
    names: list[object] = []
    for laid in (*_apart(one, two), *_apart(two, one)):
        names += [laid.layer, laid.placement.zone, laid.placement.of]
    return bench.meant(what, one, two, one.face.name, *names)


def _culprit(less: Place, more: Place, by_wool: bool) -> Laid | None:
    """What makes the difference most, in however many portions."""
    for side, way in ((_apart(less, more), 1), (_apart(more, less), -1)):

        def counts(laid: Laid, way: int = way) -> float:
            if not by_wool:
                return laid.areal
            return sum(p.areal * way * (more.felts - p.stuff.felts.usual) for p in laid.parts)

        most, weighs = figures.weightiest(side, counts)
        if weighs > 1e-9:
            return most
    return None


def _finding(bench: Bench, group: list[Pair]) -> Said:
    pair = group[0]
    level = "fault" if any(one.kinder >= bench.limit("fault") for one in group) else "caution"
    culprit = pair.culprit
    places = {id(one.at): one.at for one in group}
    alike = [one for one in places.values() if one.face is pair.at.face]
    where = figures.locate(alike, pair.at.face)
    more = " It is so at other borders of the piece too." if len(group) > 1 else ""
    end = "will" if level == "fault" else "may"
    reach = min(pair.less.face.rim(pair.less), pair.more.face.rim(pair.more))
    step = ", and the edge step there" if reach > 1e-6 else ""
    return bench.finding(
        level,
        culprit.about,
        f"{_called(pair.less)} shrinks less than {_called(pair.more)} beside it: "
        f"{_why(pair)}. The felt {end} pucker along their border{step}.{more}",
        f"{_mend(bench, pair)}; if it is wanted, say so (on purpose, what: relief).",
        measured=Figure("difference in strain", pair.size, ""),
        limit=level,
        how=_sum(pair),
        where=where,
        also=_names(culprit, pair.at.face),
        at=tuple(places.values()),
    )


def _called(place: Place) -> str:
    """What weighs most there, of what is nearest to being named for that place."""
    zoned = [laid for laid in place.stack if laid.placement.zone != "whole"] or list(place.stack)
    most = max(zoned, key=lambda laid: round(laid.areal, 9))
    zone = most.placement.zone
    on = f" on “{zone}”" if zone != "whole" else ""
    return f"“{most.placement.of}”{on} ({place.whereabouts.words})"


def _why(pair: Pair) -> str:
    if not pair.by_wool:
        return f"it is laid {_weight(pair.less) / _weight(pair.more):.1f} times as heavy"
    if pair.less.felts < 0.3:
        return "what lies there hardly felts"
    return "what lies there felts more slowly"


def _mend(bench: Bench, pair: Pair) -> str:
    hand, most = pair.less.face.hand, ENOUGH * bench.limit("caution")
    less, more = pair.less.stack, pair.more.stack
    if pair.by_wool and pair.culprit not in less:
        return "Take wool that felts alike for both, or let the two change over gradually"
    if pair.by_wool:
        part, weight = figures.exchanged(less, more, pair.culprit, pair.stage, most, hand)
        whole = weight != _weight(pair.less)
        much = "all" if whole else f"about {figures.areal_at_least(part)}"
        less_too = f", with about {figures.areal_at_most(weight)} there in all" if whole else ""
        return (
            f"Put wool like its neighbour's in place of {much} of what is slow there{less_too}, or let "
            "the two change over gradually, over a hand's width and more"
        )
    ways = []
    need = figures.evened(more, less, pair.stage, most, hand)
    if need is not None:
        ways.append(f"lay about {figures.areal_at_least(need - _weight(pair.more))} more beside it")
    odd = pair.culprit if pair.culprit in less else None
    down = figures.evened(less, more, pair.stage, most, hand, odd)
    if down is not None:
        ways.append(f"bring it down to about {figures.areal_at_most(down)}")
    if not ways:
        ways.append("take wool that felts alike for both, and lay as much of it")
    text = ", or ".join([*ways, "let its edge run out gradually"])
    return f"{text[0].upper()}{text[1:]}"


def _sum(pair: Pair) -> str:
    terms = []
    for place in (pair.less, pair.more):
        weight, felts = figures.weight_and_felts(place.stack)
        strain = place.strain(pair.stage)
        terms.append(
            f"{figures.areal(weight)} of feltability {felts:.2f} by itself: strain {strain:.2f} "
            f"({figures.percent(figures.shrinkage(strain))} shorter)"
        )
    hand = pair.less.face.hand
    end = "Without swatches this is a class, not a forecast"
    if hand is not None and hand.swatches:
        end = f"By {hand.swatches} of the studio's swatches"
    return (
        f"whole stacks at {pair.stage}: {'; beside it '.join(terms)}; counted of the difference: "
        f"{pair.size:.2f}. {end}"
    )


def _names(laid: Laid, face: FaceBuild) -> tuple[str, ...]:
    names = (laid.layer.name, laid.placement.of, laid.placement.zone, face.name)
    return tuple(name for name in dict.fromkeys(names) if name != "whole")


_CUSHION = """\
piece: {{title: Two shores, use: {use}, shape: rectangle, laid out: 50 x 50 cm, stage: {stage}{more}}}
lots:
  sand: {{fibre: merino, preparation: carded batt, fineness: 21 um}}
  other: {{fibre: {fibre}, preparation: carded batt, fineness: 26 um{treated}}}
zones:
  near: {{shape: band, along: south, to: 25 cm}}
  far: {{shape: band, along: north, to: 25 cm}}
layers:
  - {{name: base, of: sand, amount: {base}, direction: random, lay: batt}}
  - name: halves
    direction: random
    lay: batt
    placements:
      - {{of: sand, amount: {near}, zone: near}}
      - {{of: other, amount: {far}, zone: far}}
"""


def _cushion(**fields: str) -> str:
    usual = {
        "use": "cushion", "stage": "firm", "more": "", "fibre": "merino", "treated": "",
        "base": "120 g/m²", "near": "240 g/m²", "far": "240 g/m²",
    }  # fmt: skip
    return _CUSHION.format(**{**usual, **fields})


_BAG = """\
piece: {{title: Two walls, use: {use}, shape: rectangle, over: flat resist, laid out: 40 x 30 cm,
  stage: firm}}
lots: {{drift: {{fibre: corriedale, preparation: carded batt, fineness: 27 um}}}}
layers:
  - {{name: down, of: drift, amount: 24 g, face: each, direction: north-south, wraps: 2 cm}}
  - {{name: across, of: drift, amount: 24 g, face: each, direction: east-west, wraps: 2 cm}}
  - {{name: down again, of: drift, amount: {front}, face: front, direction: north-south, wraps: 2 cm}}
  - {{name: across again, of: drift, amount: {front}, face: front, direction: east-west, wraps: 2 cm}}
"""


def _bag(use: str = "bag", front: str = "60 g") -> str:
    return _BAG.format(use=use, front=front)


RULE = Rule(
    id="uneven-shrinking",
    title="Parts side by side shrink alike",
    since="0.1.0",
    purpose="A part that shrinks less than its neighbour has nowhere to go: the felt puckers along their "
    "border, and the edge comes out with a step. Wool that felts more slowly does it, and so does a "
    "part that is laid far heavier.",
    judge=judge,
    limits=(
        Limit(
            "caution", 0.08, "", "difference in log strain of two neighbours from which the felt may "
            "pucker", "a little over three times the scatter of ordinary laying (own calculation)",
            "60 to 1200 g/m², light to hard felting",
        ),
        Limit(
            "fault", 0.15, "", "difference from which it will, if it holds at the kinder end of the "
            "model", "half a layer of slow wool stays under it (own calculation, from memory)",
            "60 to 1200 g/m², light to hard felting",
        ),
        Limit(
            "narrow", 0.05, "m", "a part narrower than this is tied by the fibre beside it, as in a lap",
            "common practice, no source", "staples of 50 to 90 mm",
        ),
        Limit(
            "narrow-part", 0.12, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "faces", 0.10, "", "difference in log strain from which the front and the back of a flat "
            "resist come out unlike: about twice the weight, felted firm",
            "a little over that of neighbours, since a face may be laid on by eye (from memory)",
            "bags, hats and the like, whose faces are walls of one thing",
        ),
        Limit("small-part", 0.02, "", "a part of the face smaller than this, likewise", "from memory"),
        Limit(
            "bare", 0.03, "", "bare index from which a place is too thin to be held against its "
            "neighbour, where no use is said", "as for thin places (from memory)",
        ),
    ),
    examples=(
        Example(
            "a wool of half the speed, beside merino",
            _cushion(fibre="perendale", base="50 g/m²", near="310 g/m²", far="310 g/m²"), "caution",
        ),
        Example(
            "the same on a shared base",
            _cushion(fibre="perendale", base="240 g/m²", near="120 g/m²", far="120 g/m²"),
        ),
        Example("corriedale beside merino", _cushion(fibre="corriedale", base="60 g/m²")),
        Example(
            "one half of a cushion far heavier", _cushion(far="600 g/m²"), "caution",
        ),
        Example("one half heavier by half", _cushion(far="400 g/m²")),
        Example(
            "far heavier, and meant",
            _cushion(far="600 g/m²")
            + "on purpose:\n  - {what: relief, where: far, why: it is to swell like a dune}\n",
        ),
        Example("far heavier, as a sculpture", _cushion(use="sculpture", far="800 g/m²")),
        Example("a bag whose front is laid twice as heavy as its back", _bag(), "caution"),
        Example("a bag whose front is heavier by half", _bag(front="12 g")),
        Example("slippers with a sole laid twice as heavy", _bag(use="slippers")),
    ),
    purposes=("laid one way", "relief", "thick", "thin"),
    model="Strain of a stack by itself: eps = stage (1 - 0.4 ln(w / 400 g/m²) + 0.8 (F - 1)), stage 0.07 "
    "prefelt, 0.17 light, 0.36 firm, 0.55 hard; w all fibre there, F its feltability by weight. D is "
    "the difference between two places that touch, or that only a strip parts; of a flat resist also that "
    "between the means of its two faces, without accents and veils. A fault must hold with "
    "the stage a quarter less, 0.2 for 0.4 and 0.5 for 0.8.",
    weak_spots="All coefficients are from memory, none is measured. Weight counts only on flat pieces "
    "with an outline that is to be kept: over a resist or a block thick parts are right, so are motifs "
    "inside a face, accents, and edges turned in. Felt is worked flat and creeps, which evens out some "
    "of it. Prefelt has shrunk a little already, which is left out. The two faces of a flat resist are "
    "held against each other as wholes, and only where both are walls of one thing; what open cloth "
    "carries isn't.",
    laws=("units", "quarter turn", "splitting", "order of placements"),
    explained_by=(
        "treated-wool", "cut-off-layer", "rows-and-laps", "luster-carrier", "thin-layer",
        "direction-balance", "weight-for-use",
    ),
)  # fmt: skip
