"""rows-and-laps: do rows and bands reach, lap and join, so that no place is thin by a slip?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from felt_engine import (
    Bench,
    Example,
    FaceBuild,
    Figure,
    Finding,
    Laid,
    Layer,
    Limit,
    Place,
    Rule,
    Said,
    Zone,
    figures,
)

LOOSE = ("wisps", "scatter")
MEANT = ("accent", "veil", "open")
WANTED = ("straight", "round")
"""Outlines whose edge is to be even."""

LAP = 0.025
"""How far neighbours are to lie over each other, m, in the advice (common practice, no source)."""


def judge(bench: Bench) -> Iterator[Said]:
    """Rows of each layer, gaps and seams of each face, then the rim of a flat piece."""
    use = bench.build.use
    if use is not None and use.open:
        return
    told: set[int] = set()
    for face in bench.build.faces:
        for number, layer in enumerate(bench.recipe.layers):
            if number not in told and _judged(bench, layer):
                found = _reach(bench, face, number) or _lap(bench, face, number)
                if found is not None:
                    told.add(number)
                    yield found
        yield from _gaps(bench, face)
        yield from _seams(bench, face)
        yield from _rims(bench, face)


def _judged(bench: Bench, layer: Layer) -> bool:
    """Whether holes in a layer are not simply what it is for."""
    if layer.role in MEANT or layer.lay in LOOSE:
        return False
    return not any(bench.meant(what, layer) for what in ("thin", "gap"))


def _narrow(bench: Bench, face: FaceBuild) -> float:
    return min(bench.limit("bridge"), bench.limit("bridge-part") * face.shorter_side)


def _cell(bench: Bench, face: FaceBuild) -> float:
    return min(bench.limit("cell"), bench.limit("cell-part") * face.shorter_side)


def _stands(bench: Bench, place: Place) -> bool:
    """Whether what lies at a place is enough for the use by itself."""
    use = bench.build.use
    if place.open_cloth:
        return True
    if use is None:
        return place.bare() <= bench.limit("stands-bare")
    enough = place.areal >= use.low / bench.limit("band-slack")
    return enough and place.bare() <= use.bare_caution


# rows of one layer --------------------------------------------------------------------------------


def _reach(bench: Bench, face: FaceBuild, number: int) -> Said | None:
    """Rows as many as the recipe says: do they reach the far edge?"""
    one = figures.shingled(face, number)
    if one is None or one.count is None or one.tuft is None:
        return None
    lap = one.overlap or 0.0
    reach = figures.reach_of(one.count, one.tuft, lap)
    lacks = one.along - reach
    if lacks <= max(_narrow(bench, face), bench.limit("reach-slack") * one.tuft):
        return None
    longest = one.count * one.tuft * (1 + bench.limit("tuft-slack"))
    most = figures.shingle_rows(one.along, one.tuft, lap if one.overlap is not None else 0.25)
    lapping = f", each lapping the last by {figures.percent(lap)}," if lap else ""
    return bench.finding(
        "fault" if longest < one.along else "caution",
        one.layer,
        f"{_rows(one.count)} of {figures.length(one.tuft)} tufts{lapping} reach "
        f"{figures.length(reach)}; “{one.layer.name}” has {figures.length(one.along)} to fill, so "
        f"{figures.length(lacks)} of it stay without this layer.",
        f"Lay {most.count} rows, one every {figures.length(most.pitch)}."
        + _fewer(bench, one.count, one.along, one.tuft),
        measured=Figure("reach of the rows", reach * 1000, "mm"),
        limit=Figure("length to fill", one.along * 1000, "mm"),
        how=f"tuft x (1 + (rows - 1) (1 - overlap)) = {figures.length(one.tuft)} x "
        f"(1 + {one.count - 1} x {figures.figure(1 - lap)})",
        also=_names(face, one.layer),
    )  # fmt: skip


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _fewer(bench: Bench, count: int, along: float, tuft: float) -> str:
    needed = figures.overlap_to_fill(count, along, tuft)
    if needed < figures.TAPER - 0.005 or count < 2:
        return ""
    return f" Or let the {count} rows lap by {figures.percent(needed)}, which just fills it."


def _lap(bench: Bench, face: FaceBuild, number: int) -> Said | None:
    """The overlap that the recipe says, or that its rows come to: is it enough for the thin ends?"""
    one = figures.shingled(face, number)
    if one is None:
        return None
    lap = one.overlap
    if lap is None and one.count is not None and one.count > 1 and one.tuft is not None:
        lap = figures.overlap_to_fill(one.count, one.along, one.tuft)
    if lap is None or lap < 0 or one.along <= (one.tuft or 0.0):
        return None
    share = max(
        (_weight(p, number) / p.areal for p in face.places if p.areal and not p.open_cloth),
        default=0.0,
    )
    if share < bench.limit("lap-share"):
        return None
    left = 1 - share * (1 - _line(bench, face, one, lap, both=True))
    kinder = 1 - share * (1 - _line(bench, face, one, lap, both=False))
    only_meet = lap < bench.limit("least-lap")
    if left >= bench.limit("stack-caution") and not only_meet:
        return None
    level = "fault" if kinder < bench.limit("stack-fault") else "caution"
    return _lap_finding(bench, face, one, lap, (share, left), level)


def _lap_finding(
    bench: Bench, face: FaceBuild, one: figures.Shingled, lap: float,
    weights: tuple[float, float], level: str,
) -> Said:  # fmt: skip
    taper = figures.TAPER if one.taper is None else one.taper
    share, left = weights
    name, end = one.layer.name, figures.percent(taper)
    only_meet = lap < bench.limit("least-lap")
    how = (
        "only meet"
        if only_meet
        else f"lap by {figures.percent(lap)} of a tuft, and its thin end takes {end}"
    )
    best = f"{figures.percent(taper)} to a third" if taper < 0.3 else figures.percent(taper)
    line = _line(bench, face, one, lap, both=True)
    return bench.finding(
        level,
        one.layer,
        f"The rows of “{name}” {how}: a thin line will run across the piece at each row, and it may "
        "open there.",
        f"Let each row cover {best} of the last, so that thin end lies on thin end.",
        measured=Figure("overlap", 100 * lap, "%")
        if only_meet
        else Figure("weight where two rows meet, of the mean", left, ""),
        limit=Figure("least overlap", 100 * bench.limit("least-lap"), "%")
        if only_meet
        else ("stack-fault" if level == "fault" else "stack-caution"),
        how=f"where two rows meet, the layer has {figures.percent(line)} of its mean weight (thin end "
        f"{end} of the tuft); it is {figures.percent(share)} of what lies there, which leaves "
        f"{figures.percent(left)} of the whole",
        also=_names(face, one.layer),
    )


def _line(bench: Bench, face: FaceBuild, one: figures.Shingled, lap: float, *, both: bool) -> float:
    """The layer's weight where two rows meet over its mean; kinder where one end is blunt."""
    tuft = one.tuft or figures.TUFT
    taper = one.taper
    if taper is None:
        taper = figures.TAPER if both else 0.0
    head = min(taper, 0.5) if both else 0.0
    course = figures.Profile(tuft, tuft * (1 - lap), 4, head, min(taper, 1 - head))
    return course.thinnest(min(_cell(bench, face), tuft / 2))


def _weight(place: Place, number: int) -> float:
    return sum(laid.areal for laid in place.stack if laid.key[0] == number)


def _names(face: FaceBuild, layer: Layer) -> tuple[str, ...]:
    """Names by which a waiver may mean a layer: its own, its lots', its only zone's."""
    laid = [one for one, _ in face.laid if one.layer is layer]
    zones = sorted({one.placement.zone for one in laid})
    return (
        layer.name,
        *sorted({one.placement.of for one in laid}),
        *(zones[:1] if len(zones) == 1 else ()),
    )


# gaps between zones -------------------------------------------------------------------------------


@attrs.frozen(eq=False)
class Open:
    """A gap that is a slip: of which layer, how bad, the weight in it over that beside it."""

    layer: Layer
    gap: figures.Gap
    level: str
    ratio: float
    left: float
    shows: bool


def _gaps(bench: Bench, face: FaceBuild) -> Iterator[Said]:
    """Strips that zones of a layer leave free between them; the same strip of two layers is one."""
    found: dict[tuple[object, ...], list[Open]] = {}
    for number, layer in enumerate(bench.recipe.layers):
        if len(layer.placements) < 2 or not _judged(bench, layer):
            continue
        gaps = figures.gaps(face, number)
        for gap in gaps:
            one = _gap(bench, face, layer, gap, gaps)
            if one is not None:
                key = (frozenset(id(place) for place in gap.places), gap.zones)
                found.setdefault(key, []).append(one)
    for same in found.values():
        butts = all(one.level == "butt" for one in same)
        yield _butt_finding(bench, same) if butts else _gap_finding(bench, face, same)


def _gap(
    bench: Bench, face: FaceBuild, layer: Layer, gap: figures.Gap, every: Sequence[figures.Gap]
) -> Open | None:
    widest = min(bench.limit("join-within"), bench.limit("join-part") * face.shorter_side)
    if gap.wide > widest or any(place.open_cloth for place in gap.places):
        return None
    if bench.meant("thin", *gap.places) or bench.meant("gap", *gap.places, *gap.zones):
        return None
    here = min(figures.carried(place) for place in gap.places)
    sides = [figures.carried(place) for place in gap.beside if _weight(place, gap.layer)]
    beside = min(sides, default=0.0)
    if not beside:
        return None
    ratio = min(1.0, here / beside)
    left = 1 - min(1.0, gap.wide / (2 * _cell(bench, face))) * (1 - ratio)
    if gap.wide < _narrow(bench, face):
        butts = ratio < bench.limit("held") and gap.long >= _least_seam(bench, face)
        return Open(layer, gap, "butt", ratio, left, False) if butts else None
    stands = all(_stands(bench, place) for place in gap.places)
    if stands and (gap.filled < bench.limit("filled") or _pattern(gap, every)):
        return None
    shows = _shows(layer, gap) and (stands or ratio >= bench.limit("through"))
    level = _gap_level(bench, layer, gap, (ratio, left), stands)
    return None if level is None else Open(layer, gap, level, ratio, left, shows)


def _gap_level(
    bench: Bench, layer: Layer, gap: figures.Gap, weights: tuple[float, float], stands: bool
) -> str | None:
    ratio, left = weights
    thin = left < bench.limit("stack-caution") - 1e-9
    if not stands:
        if left < bench.limit("stack-fault") - 1e-9:
            return "fault"
        if thin or ratio < bench.limit("through"):
            return "caution"
    if _shows(layer, gap):
        return "caution" if gap.wide > bench.limit("cover-gap") else None
    return "caution" if thin and (layer.role == "structure" or _hidden(gap)) else None


def _shows(layer: Layer, gap: figures.Gap) -> bool:
    """Whether the ground shows in a gap of a layer that was to hide it."""
    return layer.role == "cover" and not _hidden(gap)


def _hidden(gap: figures.Gap) -> bool:
    """Whether a later layer runs over the gap and over both its sides, so that nobody sees it."""
    over = [_over(place, gap.layer) for place in (*gap.places, *gap.beside)]
    return bool(over) and bool(frozenset.intersection(*over))


def _over(place: Place, layer: int) -> frozenset[int]:
    return frozenset(
        laid.key[0] for laid in place.stack
        if laid.key[0] > layer and laid.layer.role not in MEANT and laid.layer.lay not in LOOSE
    )  # fmt: skip


def _pattern(gap: figures.Gap, every: Sequence[figures.Gap]) -> bool:
    """Whether gaps as wide come more than once in a layer: then they are a pattern."""
    alike = [one for one in every if abs(one.wide - gap.wide) <= 0.2 * gap.wide]
    return len(alike) > 1 or len(gap.zones) > 3


def _listed(names: Sequence[str]) -> str:
    named = [f"“{name}”" for name in dict.fromkeys(names)]
    return " and ".join((", ".join(named[:-1]), named[-1])) if len(named) > 1 else "".join(named)


def _gap_finding(bench: Bench, face: FaceBuild, same: Sequence[Open]) -> Finding:
    one = min(same, key=lambda found: (found.level != "fault", found.shows))
    gap, layers = one.gap, [found.layer.name for found in same]
    where = f"between {_listed(gap.zones)}{'' if face.name == 'whole' else f' on the {face.name}'}"
    own = sum(max(_weight(place, found.gap.layer) for place in gap.beside) for found in same)
    what = (
        "the ground will show there as a stripe" if one.shows
        else "the two will hardly join there" if one.ratio < bench.limit("through")
        else "the piece will be thin there and may tear along it"
    )  # fmt: skip
    return bench.finding(
        one.level,
        one.layer,
        f"{_listed(layers)} leave{'s' if len(set(layers)) == 1 else ''} a gap of "
        f"{figures.length(gap.wide)} {where}: {what}.",
        f"Move their edges together and let one lie {figures.length(LAP)} over the other: about "
        f"{figures.weight(own * gap.long * (gap.wide + LAP))} more at {figures.areal(own)}.",
        measured=Figure("gap", gap.wide * 1000, "mm") if one.shows
        else Figure("weight in the gap, of that beside it", one.left, ""),
        limit=Figure("gap in a cover", bench.limit("cover-gap") * 1000, "mm") if one.shows
        else ("stack-fault" if one.level == "fault" else "stack-caution"),
        how=f"{figures.percent(one.ratio)} of the weight beside it lies in the gap; as fibre reaches "
        f"in from both sides, a place of {figures.length(_cell(bench, face))} has at least "
        f"{figures.percent(one.left)}",
        where=where, also=(*dict.fromkeys(layers), *gap.zones), at=gap.places,
    )  # fmt: skip


def _butt_finding(bench: Bench, same: Sequence[Open]) -> Finding:
    one = same[0]
    areal = max(_weight(place, one.gap.layer) for place in one.gap.beside)
    gap = one.gap
    return _seam_finding(bench, one.layer, gap.zones, gap.long, one.ratio, gap.places, areal, 0)


# seams through the whole stack --------------------------------------------------------------------


def _least_seam(bench: Bench, face: FaceBuild) -> float:
    return min(bench.limit("seam"), bench.limit("seam-part") * face.shorter_side)


def _seams(bench: Bench, face: FaceBuild) -> Iterator[Said]:
    """Lines where zones only butt, in all layers at one place: one finding for a face."""
    if len(face.places) < 2:
        return
    weak = [
        seam for seam in figures.seams(face)
        if seam.held < bench.limit("held") - 1e-9
        and seam.length >= _least_seam(bench, face)
        and _is_join(bench, seam)
    ]  # fmt: skip
    if not weak:
        return
    worst = weak[0]
    number = min(laid.key[0] for seam in weak for laid in _apart(seam))
    zones = sorted({laid.placement.zone for laid in _apart(worst)})
    places = tuple(seam.line for seam in weak)
    areal = min(worst.one.areal, worst.two.areal)
    yield _seam_finding(
        bench, bench.recipe.layers[number], zones, worst.length, worst.held, places, areal,
        len(weak) - 1,
    )  # fmt: skip


def _apart(seam: figures.Seam) -> list[Laid]:
    """What lies on one side of a seam only."""
    one = {laid.key for laid in seam.one.stack}
    two = {laid.key for laid in seam.two.stack}
    return [
        laid for place, other in ((seam.one, two), (seam.two, one)) for laid in place.stack
        if laid.key not in other and laid.felting_share > 0
    ]  # fmt: skip


def _is_join(bench: Bench, seam: figures.Seam) -> bool:
    apart = _apart(seam)
    if not apart or any(laid.layer.lay in LOOSE or laid.layer.role == "open" for laid in apart):
        return False
    return not bench.meant("butt join", seam.one) and not bench.meant("butt join", seam.two)


def _seam_finding(
    bench: Bench, layer: Layer, zones: Sequence[str], long: float, held: float,
    places: tuple[Place, ...], areal: float, more: int,
) -> Finding:  # fmt: skip
    named = [zone for zone in zones if zone != "whole"]
    where = (
        "between " + _listed(named)
        if len(named) > 1
        else f"at the edge of “{named[0]}”"
        if named
        else ""
    )
    others = "" if not more else f" So do {more} other seam{'s' if more > 1 else ''}."
    return bench.finding(
        "caution",
        layer,
        f"Along {figures.length(long)} {where} all that felts only butts, "
        + (f"but for {figures.percent(held)} of its weight" if held > 0.005 else
           "with nothing that runs across")
        + f": it will be a weak join, and may come apart there.{others}",
        f"Let one lie {figures.length(LAP)} over the other (about "
        f"{figures.weight(areal * long * LAP)} more), or let the layers meet at different places, or "
        "say that it is meant (on purpose, what: butt join).",
        measured=Figure("weight that runs across the seam", held, ""),
        limit="held",
        how="what lies on both sides of the line, over what the lighter side has; only fibre that "
        "felts, and cloth",
        where=where, also=tuple(named), at=places,
    )  # fmt: skip


# the rim ------------------------------------------------------------------------------------------


def _rims(bench: Bench, face: FaceBuild) -> Iterator[Said]:
    """What stops short of the outline or thins out there, on the worst side; else a tip."""
    piece = bench.recipe.piece
    wanted = piece.outline in WANTED
    if piece.over != "table" or not (wanted or piece.outline in (None, "blocked")):
        return
    trimmed = any(step.do in ("cut", "trim") for step in bench.recipe.work)
    may = [one for one, _ in face.laid if _may_lack(bench, one, wanted)]
    if trimmed or not may:
        return
    rims = figures.rims(bench.recipe, face, _cell(bench, face))
    kept = [(rim, _counted(bench, rim, wanted)) for rim in rims]
    worst, losses = min(kept, key=lambda pair: round(figures.rim_share(pair[0], pair[1]), 9))
    share = figures.rim_share(worst, losses)
    limit = bench.limit("rim-caution" if wanted else "rim-fault")
    if losses and share < limit - 1e-9:
        sides = [rim.side for rim, own in kept if own and figures.rim_share(rim, own) < limit]
        yield _rim_finding(bench, face, losses, share, sides)
    elif wanted:
        yield from _tip(bench, face, rims)


def _may_lack(bench: Bench, laid: Laid, wanted: bool) -> bool:
    layer = laid.layer
    lacks = laid.placement.short is not None
    lacks |= wanted and (layer.batt_edges == "torn" or layer.lay == "shingle")
    return lacks and _judged(bench, layer)


def _counted(bench: Bench, rim: figures.Rim, wanted: bool) -> list[figures.Loss]:
    """The losses that are slips: not a frame of ground round the picture, not openwork."""
    found = []
    edges = [zone for zone in bench.recipe.zones if _lies_along(zone, rim.side)]
    for loss in rim.losses:
        if loss.why == "rows" or (loss.why == "torn" and not wanted):
            continue
        if not _judged(bench, loss.layer) or bench.meant("thin", *loss.places, *edges):
            continue
        if loss.why == "short" and _is_frame(bench, loss, wanted):
            continue
        found.append(loss)
    return found


def _lies_along(zone: Zone, side: str) -> bool:
    """Whether a zone is the strip along this side, so that a purpose for it is one for its rim."""
    at_edge = zone.start is None or zone.start.si <= 0
    return zone.shape == "rim" or (zone.shape == "band" and zone.along == side and at_edge)


def _is_frame(bench: Bench, loss: figures.Loss, wanted: bool) -> bool:
    """Whether what lies outside the layer is enough by itself, and is seen as a frame."""
    if not all(_stands(bench, place) for place in loss.places):
        return False
    seen = not any(_over(place, loss.key[0]) for place in loss.places)
    return not wanted or (seen and loss.layer.role != "structure")


def _rim_finding(
    bench: Bench, face: FaceBuild, losses: Sequence[figures.Loss], share: float,
    sides: Sequence[str],
) -> Said:  # fmt: skip
    short = [loss for loss in losses if loss.why == "short"]
    main = (
        max(short, key=lambda loss: (round(loss.areal, 9), -loss.key[0], -loss.key[1]))
        if short else max(losses, key=lambda loss: loss.key)
    )  # fmt: skip
    fault = share < bench.limit("rim-fault") - 1e-9 and len(short) == len(losses)
    places = tuple(dict.fromkeys(place for loss in short or losses for place in loss.places))
    one_side = len(sides) == 1 and sides[0]
    where = f"along the {one_side} edge" if one_side else "all round"
    strip = figures.length(_cell(bench, face))
    names = _listed([loss.layer.name for loss in sorted(losses, key=lambda loss: loss.key)])
    s = "" if len({loss.key[0] for loss in losses}) > 1 else "s"
    if main.why == "short":
        by = main.placement.short
        stop = f" {figures.length(by.si)}" if by is not None else ""
        what = f"{names} stop{s}{stop} short of the outline {where}"
        mend = f"Lay “{main.layer.name}” up to the outline, or past it and fold it in"
    else:
        what = f"{names} end{s} in torn batt at the outline {where}"
        mend = (
            f"Lay “{main.layer.name}” {figures.length(figures.RAMP)} past the outline and fold it in "
            "or trim it, or cut its edges"
        )
    lost = sum(loss.areal for loss in losses)
    torn = main.why == "torn" and bench.recipe.piece.shape == "rectangle"
    corners = ", the corners less still" if torn else ""
    return bench.finding(
        "fault" if fault else "caution",
        main.layer if main.placement.inline else main.placement,
        f"{what}: the outer {strip} will have about {figures.percent(share)} of the weight that was "
        f"meant{corners}. The edge "
        + ("will be thin or bare." if fault else "may come out thin and uneven."),
        f"{mend}: about {figures.areal(lost)} is missing there.",
        measured=Figure("weight of the rim, of what was meant", share, ""),
        limit="rim-fault" if fault or not _even(bench) else "rim-caution",
        how=f"what lies in the outer {strip}, over the same with the "
        f"{figures.areal(lost)} that is missing",
        where=where, also=tuple(sorted({loss.layer.name for loss in losses})), at=places,
    )  # fmt: skip


def _even(bench: Bench) -> bool:
    return bench.recipe.piece.outline in WANTED


def _tip(bench: Bench, face: FaceBuild, rims: Sequence[figures.Rim]) -> Iterator[Said]:
    """Rows that end at the outline leave it thin by themselves: advice, once a recipe."""
    if any(laid.turned for laid, _ in face.laid):
        return
    share = min((rim.share("rows") for rim in rims), default=1.0)
    if share >= bench.limit("rim-tip"):
        return
    first = min(loss.key[0] for rim in rims for loss in rim.losses if loss.why == "rows")
    yield bench.tip(
        bench.recipe.layers[first],
        "Rows that end at the outline leave the rim thinner than the middle. For an even edge lay them "
        f"{figures.length(0.02)} to {figures.length(0.03)} past it and fold that in or trim it, or "
        "add half a row at both ends.",
    )


_PANEL = """\
piece: {{title: Mud flats, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, outline: {outline},
        stage: firm}}
lots:
  reed: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  wide: {{fibre: merino, preparation: carded batt, fineness: 21 um}}
zones:
  flats: {{shape: band, along: south, to: {to} cm}}
  sky: {{shape: band, along: north, to: 20 cm}}
layers:
  - {{name: base, of: wide, amount: {base} g/m², direction: north-south, lay: batt, {edge}}}
  - name: picture
    direction: east-west
    lay: shingle
    tuft: 6 x 12 cm
    {rows}
    role: cover
    placements:
      - {{of: reed, amount: 200 g/m², zone: flats}}
      - {{of: reed, amount: 200 g/m², zone: sky}}
"""


def _panel(**values: object) -> str:
    plain: dict[str, object] = {
        "outline": "free", "to": 22, "base": 220, "edge": "batt edges: cut", "rows": "overlap: 1/3",
    }  # fmt: skip
    return _PANEL.format(**{**plain, **values})


RULE = Rule(
    id="rows-and-laps",
    title="Rows and bands that reach, lap and join",
    since="0.1.0",
    purpose="Where rows stop before the edge, only meet, or leave a gap to the next band, the felt gets "
    "thin, and tears or bows there. What counts is the whole stack at the place; a part that is "
    "bare or thin on purpose is nobody's slip.",
    judge=judge,
    limits=(
        Limit(
            "bridge", 0.010, "m", "a gap narrower than this is bridged by the fibre beside it",
            "common practice, no source", "staples of 50 to 90 mm",
        ),
        Limit(
            "bridge-part", 0.04, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "cell", 0.025, "m", "size of a place that is felt as one, and width of the rim",
            "below the length of a staple (own calculation)", "staples of 50 to 90 mm",
        ),
        Limit(
            "cell-part", 0.1, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "stack-caution", 0.70, "", "weight of a place, of that beside it, below which it is thin",
            "a little over two standard deviations of ordinary laying (own calculation)",
        ),
        Limit(
            "stack-fault", 0.50, "", "the same, below which it will fail",
            "half the weight (own calculation)",
        ),
        Limit(
            "through", 0.25, "", "a gap with less than this runs through the whole stack",
            "from memory",
        ),
        Limit(
            "join-within", 0.06, "m", "zones further apart than this are not taken for neighbours",
            "common practice, no source",
        ),
        Limit(
            "join-part", 0.25, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "filled", 0.9, "", "part of the face that a layer and its gaps fill, if it is to fill it",
            "from memory",
        ),
        Limit(
            "cover-gap", 0.015, "m", "gap in a cover from which the ground shows",
            "stray fibre covers a finger's width (common practice, no source)",
        ),
        Limit(
            "held", 0.20, "", "weight that runs across a seam, of the lighter side, that holds it",
            "from memory",
        ),
        Limit("seam", 0.05, "m", "a seam shorter than this is held by its ends", "from memory"),
        Limit(
            "seam-part", 0.2, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "least-lap", 0.02, "", "overlap of rows below which they only meet",
            "common practice, no source",
        ),
        Limit(
            "lap-share", 0.2, "", "a layer that is less than this of the stack may lap as it likes",
            "from memory",
        ),
        Limit(
            "reach-slack", 0.1, "", "part of a tuft by which rows may seem to stop short",
            "no tuft is as long as the next (common practice, no source)",
        ),
        Limit(
            "tuft-slack", 0.15, "", "how much longer than said tufts may be drawn", "from memory"
        ),
        Limit(
            "rim-caution", 0.75, "", "weight of the rim, of what was meant, below which it is thin",
            "a rim 20 % thin is within what hands vary by, one 30 % thin is not (own calculation)",
        ),
        Limit(
            "rim-fault", 0.50, "", "the same, below which it will fail; and where no even edge is "
            "asked for, from which it is said at all", "half the weight (own calculation)",
        ),
        Limit(
            "rim-tip", 0.80, "", "weight of the rim where rows end, below which there is a tip",
            "ordinary hands vary by 17 % (own calculation)",
        ),
        Limit(
            "stands-bare", 0.03, "", "bare index up to which a place is closed, where no use is said",
            "practitioner's samples, from memory",
        ),
        Limit(
            "band-slack", 1.3, "", "how far below the use's usual weight a place may be",
            "common practice, no source",
        ),
    ),
    examples=(
        Example("a cover whose bands leave 3 cm between them", _panel(to=17), "caution"),
        Example("bands that lap by 2 cm", _panel()),
        Example("rows that only meet", _panel(rows="overlap: 0 %"), "caution"),
        Example("three rows of 12 cm for 60 cm", _panel(rows="rows: 3"), "fault"),
        Example("seven rows", _panel(rows="rows: 7")),
        Example("a heavy torn batt up to a straight edge",
                _panel(outline="straight", base=420, edge="batt edges: torn"), "caution"),
        Example("the same batt turned in",
                _panel(outline="straight", base=420, edge="batt edges: torn, turned in: 3 cm")),
        Example("the same batt to a free edge", _panel(base=420, edge="batt edges: torn")),
        Example("the same batt cut", _panel(outline="straight", base=420)),
        Example("a light torn batt under the picture",
                _panel(outline="straight", base=100, edge="batt edges: torn")),
    ),
    purposes=("thin", "gap", "butt join"),
    model="Rows: reach = tuft x (1 + (rows - 1) x (1 - overlap)). Where rows meet, a layer has overlap "
    "over taper of a full tuft, averaged over 25 mm. A gap of width d counts for d / 50 mm of a "
    "place 25 mm wide, since fibre reaches in from both sides. A seam is weak where little of the "
    "weight runs across it. The rim is the outer 25 mm (a tenth of a small piece), held against "
    "what it would have if nothing stopped short or thinned out; torn batt thins out over 40 mm.",
    weak_spots="How torn batt thins out and how a tuft tapers are from memory. A lap of a few "
    "millimetres counts as a lap. Rows are looked at along one direction; radial and around are "
    "not. The rims of resists and balls are not looked at: fold edges are no rims. A frame of "
    "ground that shows round a picture is taken for meant where the ground is enough by itself.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
