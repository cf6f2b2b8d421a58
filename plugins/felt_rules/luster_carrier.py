"""luster-carrier: is fibre that does not felt held by wool that does?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate, takewhile

import attrs

from felt_engine import Bench, Example, FaceBuild, Figure, Laid, Limit, Place, Rule, Said, figures

Key = tuple[object, ...]
SHEETS = ("close cloth", "silk hankies")

VEIL = 0.010
"""Least veil that is advised, kg/m² (common practice, no source)."""

LEAST = 0.005
"""Least weight that is advised, kg/m²: less can't be laid by hand (common practice, no source)."""

ACROSS = 0.05
"""Share of fibre that has to get through what a veil lies on, for a veil to be advised."""


@attrs.frozen(eq=False, repr=False)
class Loose:
    """A placement that is badly held at a place and surface; no level where the stage decides.

    ``depth`` is that to which fibre wanders; of neps and yarn, the coverage of the veil over them.
    """

    laid: Laid
    level: str | None
    share: float
    depth: float
    place: Place
    surface: str
    body: bool = False
    layers: tuple[Laid, ...] = ()


def judge(bench: Bench) -> Iterator[Said]:
    """Both surfaces of every place; what is loose of one lot on one zone and surface is one finding."""
    for face in bench.build.alike:
        found: dict[Key, list[Loose]] = {}
        unsure: dict[Key, list[Loose]] = {}
        for place in face.places:
            asks = any(_is_loose(laid, place) or _is_neps(laid) for laid in place.stack)
            if not asks or _is_bare(bench, place):
                continue
            for surface in _surfaces(bench):
                for loose in _surface(bench, place, surface):
                    into = found if loose.level else unsure
                    into.setdefault(loose.laid.portion_of, []).append(loose)
        told = [key for key, group in found.items() if not _is_tied(bench, face, group)]
        for key in told:
            worst = min(found[key], key=_rank)
            yield (_body if worst.body else _finding)(bench, face, worst, found[key])
        for key, group in unsure.items():
            if key not in told and not _is_tied(bench, face, group):
                of = group[0].laid.placement.of
                yield bench.unsaid(
                    bench.recipe.piece,
                    f"say the felting stage: whether “{of}” is held depends on it",
                )


def _surfaces(bench: Bench) -> tuple[str, ...]:
    """Both, but for the inside of a ball, which nothing rubs unless it shows."""
    piece = bench.recipe.piece
    if piece.over == "ball" and "inside" not in piece.shows:
        return piece.surfaces[1:]
    return piece.surfaces


def _is_loose(laid: Laid, place: Place) -> bool:
    """Whether it has fibre to hold. Where nothing felts, treated wool is left to thin-layer."""
    return laid.has_loose and (place.felting_areal > 0 or not laid.is_wool)


def _is_neps(laid: Laid) -> bool:
    """Wool neps: where they lie on each other, those that touch no wool below have nothing to felt to."""
    return all(p.stuff.lot.preparation == "neps" and p.stuff.holds for p in laid.parts)


def _is_bare(bench: Bench, place: Place) -> bool:
    """Whether no wool and no sheet lies there at all: that is thin-layer's to say, and once."""
    use = bench.build.use
    if (use is not None and use.open) or place.open_cloth or place.felting_areal > 0:
        return False
    return not any(
        laid.layer.role == "open" or figures.closed(laid)
        or any(part.stuff.fibre.group in ("wool", "hair") for part in laid.parts)
        for laid in place.stack
    )  # fmt: skip


def _is_tied(bench: Bench, face: FaceBuild, group: list[Loose]) -> bool:
    """Whether it is tied in from its sides: too narrow to come off, or cloth lapped by wool."""
    places = list({id(loose.place): loose.place for loose in group}.values())
    if figures.narrowest(places) < bench.limit("narrow"):
        return True
    laid = group[0].laid
    if not all(p.stuff.lot.preparation == "close cloth" for p in laid.parts):
        return False
    lapped = all_of_it = 0.0
    for place in face.places:
        layers = figures.inward(place.stack, group[0].surface)
        if laid in layers:
            veil = figures.felting_cover_above(layers, layers.index(laid))
            all_of_it += place.area
            lapped += place.area if veil >= bench.limit("body-veil") else 0.0
    return figures.steady(lapped) >= figures.steady(bench.limit("lap") * all_of_it)


def _rank(one: Loose) -> tuple[object, ...]:
    return ("fault", "caution").index(str(one.level)), one.body, figures.steady(one.share)


def _surface(bench: Bench, place: Place, surface: str) -> Iterator[Loose]:
    layers = figures.inward(place.stack, surface)
    yield from _bodies(bench, layers, place, surface)
    loose = [laid for laid in layers if not laid.is_body]
    stage = bench.recipe.piece.stage
    depths = figures.depths_to_come(stage)
    enough = bench.limit("caution")
    if not loose or all(figures.held_at_least(loose, depth, enough) for depth in depths):
        return
    meant = [laid for laid in loose if laid.has_loose and _meant(bench, place, laid)]
    found = [(_level(bench, held), held) for held in
             (figures.anchoring(loose, depth, meant) for depth in depths)]  # fmt: skip
    levels = {level for level, _ in found}
    open_to = [laid for laid in loose if laid not in meant and _is_loose(laid, place)]
    main = _main(loose, open_to, found[0][1])
    if main is None or levels == {None}:
        return
    held = max((held for _, held in found), key=lambda h: h.share)
    level: str | None = "fault" if levels == {"fault"} else "caution"
    if None in levels:
        if stage is not None:
            return
        level = None
    elif _is_pressed(bench, main):
        if level == "caution":
            return
        level = "caution"
    yield Loose(main, level, held.share, held.depth, place, surface, layers=tuple(loose))


def _is_pressed(bench: Bench, laid: Laid) -> bool:
    """Whether it melts under an iron, and the work ends with one: then its lower part is bonded."""
    tools = bench.recipe.tools
    hot = tools is None or tools.iron != "cool"
    melts = all(p.stuff.fibre.heat_bondable for p in laid.parts if not p.stuff.holds)
    return melts and hot and any(step.do == "press" for step in bench.recipe.work)


def _level(bench: Bench, held: figures.Anchoring) -> str | None:
    if figures.steady(held.share) >= bench.limit("caution"):
        return None
    fault = bench.limit("fault")
    return "fault" if held.share < fault and held.kinder < fault else "caution"


def _main(layers: list[Laid], among: list[Laid], held: figures.Anchoring) -> Laid | None:
    """What among these, in however many portions, takes most of the face and does not felt."""
    loose: dict[Key, float] = {}
    first: dict[Key, Laid] = {}
    for laid, share in zip(layers, held.shares, strict=True):
        if laid in among:
            first.setdefault(laid.portion_of, laid)
            loose[laid.portion_of] = loose.get(laid.portion_of, 0.0) + share * (
                1 - laid.felting_share
            )
    most = max(loose, key=lambda key: figures.ranked(loose[key]), default=None)
    return first[most] if most is not None and loose[most] > 0 else None


def _meant(bench: Bench, place: Place, laid: Laid) -> bool:
    names = (laid.placement.zone, laid.placement.of, place.face.name)
    return bench.meant("loose fibre", laid.layer, place, *names)


def _bodies(bench: Bench, layers: list[Laid], place: Place, surface: str) -> Iterator[Loose]:
    """Neps and yarn: held by felting fibre mixed in, or by a veil over them."""
    covers = [0.0, *accumulate(laid.coverage * laid.felting_share for laid in layers)]
    for index, laid in enumerate(layers):
        if not laid.has_loose_bodies:
            if index == 0 and not _meant(bench, place, laid):
                yield from _heap(bench, layers, place, surface)
            continue
        held = figures.steady(sum(part.share for part in laid.parts if part.stuff.holds))
        veil, below = covers[index], covers[-1] - covers[index + 1]
        if held >= bench.limit("body-share") or _meant(bench, place, laid):
            continue
        if veil < bench.limit("body-veil") and (veil < below or below < 1e-9):
            yield Loose(laid, "caution", held, veil, place, surface, body=True)


def _heap(bench: Bench, layers: list[Laid], place: Place, surface: str) -> Iterator[Loose]:
    """Wool neps on the face that lie too thick, in however many layers."""
    neps = list(takewhile(_is_neps, layers))
    areal = figures.steady(sum(laid.areal for laid in neps))
    if neps and areal >= bench.limit("piled"):
        most, _ = figures.weightiest(neps)
        assert most is not None
        yield Loose(most, "caution", areal, 0.0, place, surface, body=True)


def _also(laid: Laid, face: str) -> tuple[str, ...]:
    zone = laid.placement.zone
    names = (laid.layer.name, laid.placement.of, "" if zone == "whole" else zone, face)
    return tuple(name for name in names if name and name != "whole")


def _fibres(laid: Laid) -> str:
    names = {
        ("treated " if p.stuff.lot.treatment == "shrink-proofed" else "") + p.stuff.fibre.name
        for p in laid.parts
        if not p.stuff.holds
    }
    return " and ".join(sorted(names))


def _finding(bench: Bench, face: FaceBuild, loose: Loose, group: list[Loose]) -> Said:
    laid = loose.laid
    surface = f"the {loose.surface}" + ("" if face.name == "whole" else f", {face.name}")
    laid_at = f"at {figures.areal(_lies(loose))} on {surface}"
    if loose.place.felting_areal <= 0:
        there = "" if face.name == "whole" else f" on the {face.name}"
        what = f"“{laid.placement.of}” lies{there} where nothing felts, so nothing holds it"
    elif any(p.stuff.holds for p in laid.parts):
        what = f"“{laid.placement.of}” lies {laid_at} with too little wool in it for its "
        what += _fibres(laid)
    else:
        what = f"{_named(laid)} lies {laid_at}{_with_others(loose)}: too thick for wool to come "
        what += "through and hold it"
    fault = loose.level == "fault"
    sheets = any(p.stuff.lot.preparation in SHEETS for p in laid.parts)
    ends = "lift off in sheets" if sheets else "rub off" if fault else "rub off or lift in sheets"
    at = tuple({id(one.place): one.place for one in group}.values())
    return bench.finding(
        loose.level or "caution",
        laid.about,
        f"{what}. It {'will' if fault else 'may'} {ends}.{_ironed(bench, laid)}",
        "" if bench.unread else _mend(bench, loose),
        measured=Figure("anchor share", loose.share, ""),
        limit="fault" if fault else "caution",
        how=_sum(loose),
        where=figures.locate(at, face),
        also=_also(laid, face.name),
        at=at,
    )


def _named(laid: Laid) -> str:
    fibres, of = _fibres(laid), laid.placement.of
    return f"“{of}”" if fibres == of else f"The {fibres} of “{of}”"


def _lies(loose: Loose) -> float:
    """The weight of it (kg/m²) that lies there, in however many portions."""
    return sum(one.areal for one in loose.layers if one.portion_of == loose.laid.portion_of)


def _with_others(loose: Loose) -> str:
    """The weight of all that lies there without a hold, where that is more than this alone."""
    run: list[Laid] = []
    for laid in loose.layers:
        if laid.felting_share < 0.5:
            run.append(laid)
        elif loose.laid in run:
            break
        else:
            run = []
    total = sum(laid.areal for laid in run)
    more = total > 1.001 * _lies(loose)
    return f" ({figures.areal(total)} with what lies on or under it)" if more else ""


def _ironed(bench: Bench, laid: Laid) -> str:
    pressed = _is_pressed(bench, laid)
    return " The iron bonds only what touches the wool." if pressed else ""


def _mend(bench: Bench, loose: Loose) -> str:
    """Thinner, mixed, or veiled: with the amounts for the zone on which it is laid."""
    laid, enough = loose.laid, bench.limit("caution")
    size = figures.spread_area(bench.build, laid)
    most = 0.98 * _most(bench, loose, enough)
    ways = []
    if most >= LEAST:
        thinner = "take thinner cloth" if figures.closed(laid) else "lay it thinner"
        kg = figures.on_what(bench.build, laid, most * size, figures.weight_at_most)
        ways.append(f"{thinner}, at most {figures.areal_at_most(most)}, that is {kg}")
    if not figures.closed(laid):
        ways.append("blend felting wool into it (a third or more)")
    wool = figures.veil_wool(bench.build)
    veil = figures.veil_to_hold(loose.layers, loose.depth, enough, ACROSS, wool)
    if veil:
        enough = max(1.05 * veil, VEIL)
        ways.append(f"lay {_veil(bench, laid, enough, f'{_over(loose)} it')}")
    if figures.closed(laid):
        ways.append("let wool lap over its edges")
    if all(p.stuff.fibre.heat_bondable for p in laid.parts if not p.stuff.holds):
        ways.append("lay it as a mist and press it when dry, so that it bonds")
    text = "; ".join(ways) or "lay felting wool where it lies"
    return f"{text[0].upper()}{text[1:]}."


def _most(bench: Bench, loose: Loose, enough: float) -> float:
    """Most of it, kg/m², that is held where it is loose, and on the other surface too; 0 if none."""
    found = [figures.most_held(loose.layers, loose.laid, loose.depth, enough)]
    for surface in _surfaces(bench):
        layers = [one for one in figures.inward(loose.place.stack, surface) if not one.is_body]
        if surface != loose.surface and loose.laid in layers:
            found.append(figures.most_held(layers, loose.laid, loose.depth, enough))
    return min(found)


def _over(loose: Loose) -> str:
    """Where a veil goes on the table, so that it lies between what is loose and the surface."""
    return "under" if loose.surface in ("bottom", "inside") else "over"


def _veil(bench: Bench, laid: Laid, areal: float, where: str) -> str:
    """A veil of so much (kg/m²), of the recipe's own finest wool if it has any."""
    wool = figures.veil_wool(bench.build)
    size = figures.spread_area(bench.build, laid)
    kg = figures.on_what(bench.build, laid, areal * size, figures.weight_at_least)
    of = f" of “{wool.lot.name}”" if wool is not None else ""
    return f"a fine veil of wool {where}, about {figures.areal_at_least(areal)}{of}, that is {kg}"


def _body_veil(bench: Bench) -> float:
    """What such a veil weighs at least, kg/m²."""
    wool = figures.veil_wool(bench.build)
    return max(VEIL, 1.02 * figures.veil_of_coverage(bench.limit("body-veil"), wool))


def _sum(loose: Loose) -> str:
    laid = loose.laid
    own = (one for one in loose.layers if one.portion_of == laid.portion_of)
    coverage = sum(one.coverage for one in own)
    return (
        f"coverage of what lies there c = {coverage:.2f}, felting part of it "
        f"{laid.felting_share:.2f}; share of felting fibre at the face for fibre that wanders "
        f"L = {loose.depth:.1f} (good to a factor of 1.5, so this is a class, not a forecast): "
        f"A = {loose.share:.2f}"
    )


def _piled(bench: Bench, face: FaceBuild, loose: Loose, at: tuple[Place, ...]) -> Said:
    laid = loose.laid
    veil = _veil(bench, laid, _body_veil(bench), f"{_over(loose)} them")
    return bench.finding(
        "caution",
        laid.about,
        f"The neps of “{laid.placement.of}” lie on each other, {figures.areal(loose.share)} of neps with "
        f"nothing over them: those that don't touch the wool below may drop off.",
        f"Scatter them thinner, under {figures.areal(bench.limit('piled'))}; card them into wool; or lay "
        f"{veil}.",
        measured=Figure("weight per area of the neps", loose.share * 1000, "g/m²"),
        limit=Figure("piled", bench.limit("piled") * 1000, "g/m²"),
        how="all neps that lie on each other there, over their area",
        where=figures.locate(at, face),
        also=_also(laid, face.name),
        at=at,
    )


def _body(bench: Bench, face: FaceBuild, loose: Loose, group: list[Loose]) -> Said:
    laid = loose.laid
    if not laid.has_loose_bodies:
        places = tuple({id(one.place): one.place for one in group}.values())
        return _piled(bench, face, loose, places)
    kinds = {p.stuff.lot.preparation for p in laid.parts if p.stuff.is_body and not p.stuff.holds}
    kind = " and ".join(sorted(str(k) for k in kinds))
    at = tuple({id(one.place): one.place for one in group}.values())
    them, lie, may = ("it", "lies", "It may come off") if kind == "yarn" else (
        "them", "lie", "Many may drop")  # fmt: skip
    little = "too little" if loose.share or loose.depth else "no"
    veil = _veil(bench, laid, _body_veil(bench), f"{_over(loose)} {them}")
    card = "Lay" if kind == "yarn" else "Card them into felting wool (half or more), or lay"
    return bench.finding(
        "caution",
        laid.about,
        f"The {_fibres(laid)} {kind} of “{laid.placement.of}” {lie} on the surface with {little} "
        f"felting wool among or {_over(loose)} {them}. {may}.",
        f"{card} {veil}.",
        measured=Figure("felting share of the placement", loose.share, ""),
        limit="body-share",
        how="felting weight over all weight of the placement; a few neps drop from any felt",
        where=figures.locate(at, face),
        also=_also(laid, face.name),
        at=at,
    )


_PANEL = """\
piece: {{title: Tide line, use: wall panel, shape: rectangle, laid out: 40 x 30 cm, stage: firm}}
lots:
  sand: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  gleam: {{fibre: {fibre}, preparation: combed top}}
blends:
  mixed: {{sand: 70 %, gleam: 30 %}}
  poor: {{sand: 5 %, gleam: 95 %}}
zones:
  line: {{shape: band, along: south, from: 8 cm, to: 14 cm}}
layers:
  - {{name: along, of: sand, amount: 150 g/m², direction: east-west}}
  - {{name: across, of: sand, amount: 150 g/m², direction: north-south}}
  - {{name: line, of: {of}, amount: {amount}, zone: line, direction: east-west}}
{veil}"""


def _panel(amount: str, of: str = "gleam", fibre: str = "viscose",
           veil: str = "") -> str:  # fmt: skip
    return _PANEL.format(amount=amount, of=of, fibre=fibre, veil=veil)


RULE = Rule(
    id="luster-carrier",
    title="Fibre that does not felt is held by wool that does",
    since="0.1.0",
    purpose="Silk, viscose, nylon, film and treated wool have no scales that catch and stay only where "
    "felting wool holds them: blended in, laid over as a veil, or coming up through a thin layer.",
    judge=judge,
    limits=(
        Limit(
            "caution", 0.20, "", "share of felting fibre at the face below which it may rub off",
            "pure viscose holds up to about 46 g/m², silk to 36 (from memory)",
            "light to hard felting",
        ),
        Limit(
            "fault", 0.08, "", "share below which it will, if it holds at the kinder end of L",
            "viscose of 92 g/m² lies loose (common practice, no source)", "light to hard felting",
        ),
        Limit(
            "body-share", 0.5, "", "felting part of a placement that holds neps or yarn in it",
            "common practice, no source",
        ),
        Limit(
            "body-veil", 0.5, "", "coverage of a veil that holds neps or yarn (about 10 g/m²)",
            "common practice, no source",
        ),
        Limit(
            "piled", 0.08, "kg/m²", "wool neps on the face that lie on each other, and not each on wool",
            "from memory: a face closely covered with one layer of neps of 3 mm",
        ),
        Limit(
            "narrow", 0.006, "m", "a part narrower than this is tied in from its sides",
            "from memory",
        ),
        Limit(
            "lap", 0.1, "", "part of a piece of cloth that wool laps over from which it is held",
            "from memory",
        ),
    ),
    examples=(
        Example("viscose laid thick on wool", _panel("120 g/m²"), "fault"),
        Example("viscose laid thin on wool", _panel("30 g/m²")),
        Example("the same thick line, blended into wool", _panel("90 g/m²", of="mixed")),
        Example(
            "thick, under a veil of wool",
            _panel(
                "45 g/m²", fibre="silk",
                veil="  - {name: veil, of: sand, amount: 12 g/m², zone: line, role: veil}\n",
            ),
        ),
        Example("a thick blend with a twentieth of wool", _panel("150 g/m²", of="poor"), "fault"),
    ),
    purposes=("loose fibre",),
    model="A = Σ (share of the face that a layer takes) x (felting part of its coverage). Shares: "
    "fibre wanders through the thickness by a normal step of s.d. L in units of coverage (prefelt "
    "0.5, light 1.0, firm 1.7, hard 2.4), reflected at the face, and shows with weight e^-t at "
    "depth t. Fibre with a feltability under 0.3 holds nothing. Wool neps on the face are judged by their "
    "weight to the area alone: what lies on other neps has no wool to felt to.",
    weak_spots="The project's own model, never tested against measured felt; L is from memory. It "
    "lets all fibre wander, though silk mostly stays put. Cloth and hankies are sheets, not random "
    "fibre; open cloth counts as held. Fibre that melts and is pressed is judged one class milder. "
    "The sides of a pocket, which a resist parted, are not looked at.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
