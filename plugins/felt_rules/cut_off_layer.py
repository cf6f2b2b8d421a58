"""cut-off-layer: does something lie between the layers that wool can't cross?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import reduce
from operator import or_

import attrs

from felt_engine import (
    Bench,
    Example,
    FaceBuild,
    Figure,
    Laid,
    Layer,
    Limit,
    Place,
    Resist,
    Rule,
    Said,
    figures,
)
from felt_rules import finished_felt

Key = tuple[object, ...]

SAME = 0.95
"""Part of its heaviest from which a web is of one weight, as far as one says (own choice)."""

SLIVER = 0.05
"""Share of a resist that may be lapped by what lies beside it, with nothing laid over it."""


@attrs.frozen(eq=False, repr=False)
class Cut:
    """A run that parts a place: how badly (``None`` where the stage decides), and at which depth."""

    run: figures.Run
    main: Laid
    level: str | None
    depth: float
    place: Place


def judge(bench: Bench) -> Iterator[Said]:
    """Place by place; what one lot on one zone in one layer parts is one finding."""
    masks = _masks(bench) if bench.recipe.resists else {}
    for resist in bench.recipe.resists:
        yield from _uncovered(bench, resist, masks) or _unheld(bench, resist, masks)
    yield from finished_felt.judge(bench)
    for face in bench.build.alike:
        groups: dict[Key, list[Cut]] = {}
        for place in face.places:
            for cut in _cuts(bench, place):
                groups.setdefault(cut.main.portion_of, []).append(cut)
        parted = {id(cut.place) for group in groups.values() for cut in group}
        for group in groups.values():
            yield from _said(bench, face, group, parted)


def _uncovered(bench: Bench, resist: Resist, masks: Masks) -> list[Said]:
    """That nothing lies over a resist, on any face on which it lies."""
    recipe, zone = bench.recipe, bench.recipe.zone(resist.zone)
    names = [layer.name for layer in recipe.layers]
    if (
        resist.makes in (None, "opening")
        or resist.above not in names
        or bench.meant("kept apart", resist.above, *([] if zone is None else [zone]))
    ):
        return []
    depth = names.index(resist.above)
    faces = [face for face in bench.build.faces if resist.lies_on(face.name)]
    places = [place for face in faces for place in face.places]
    lying = [
        area for face in faces
        for area in ((p.area for p in face.places) if zone is None else face.areas_in(zone))
    ]  # fmt: skip
    over = [
        area for area, place in zip(lying, places, strict=True)
        if area and masks[id(place)] >> depth + 1
    ]  # fmt: skip
    if not places or sum(over) > SLIVER * sum(lying):
        return []
    face = "" if resist.face is None else f" on the {resist.face}"
    return [bench.finding(
        "fault", resist,
        f"Nothing is laid over the resist “{resist.name}”{face}: it makes no {resist.makes}.",
        f"Lay the {resist.makes}’s own layers over it, past it on the sides that are to hold; or name the "
        f"layer that it lies on (above), and the face, if it is written in the wrong place.",
        how=f"no layer after “{resist.above}” lies where the resist does",
        also=(resist.name, *(() if zone is None else (zone.name,))),
        at=tuple(place for place, area in zip(places, lying, strict=True) if area > 0),
    )]  # fmt: skip


def _unheld(bench: Bench, resist: Resist, masks: Masks) -> Iterator[Said]:
    """Layers over a pocket's resist of which none reaches past it: nothing joins them to the piece."""
    recipe = bench.recipe
    zone = recipe.zone(resist.zone)
    names = [layer.name for layer in recipe.layers]
    if (
        resist.makes != "pocket"
        or resist.above not in names
        or bench.meant("kept apart", resist.above, *([] if zone is None else [zone]))
    ):
        return
    depth = names.index(resist.above)
    for face in bench.build.faces:
        all_of_it = zone is None or len(face.lying_in(zone)) == len(face.places)
        if not resist.lies_on(face.name) or (all_of_it and recipe.piece.over != "table"):
            continue
        lying = range(len(face.places)) if zone is None else face.lying_in(zone)
        within = [place for number, place in enumerate(face.places) if number in lying]
        mask = reduce(or_, (masks[id(place)] for place in within), 0)
        over = [n for n in range(depth + 1, len(names)) if mask >> n & 1]
        beyond = (p for n, p in enumerate(face.places) if n not in lying) if over else ()
        outside = reduce(or_, (masks[id(place)] for place in beyond), 0)
        if (
            over
            and not any(outside >> n & 1 for n in over)
            and not any(_goes_on(bench, recipe.layers[n]) for n in over)
        ):
            layers = [recipe.layers[number] for number in sorted(over)]
            named = " and ".join(f"“{layer.name}”" for layer in layers)
            places = tuple(p for p in within if any(laid.key[0] in over for laid in p.stack))
            yield bench.finding(
                "caution",
                layers[0],
                f"{named} {'lie' if layers[1:] else 'lies'} wholly on the resist “{resist.name}”, and "
                f"nothing of {'them' if layers[1:] else 'it'} reaches past it: no wool below holds "
                f"{_IT if zone is None else 'the patch, and it falls off when the resist comes out.'}",
                f"Lay {'it' if zone is None else 'the patch'} past the resist on the sides that are to hold, "
                "by 2 cm (3/4 in) or more; or make the resist smaller.",
                how="the resist is as large as the piece"
                if zone is None
                else f"all of it lies in the zone “{zone.name}” of that resist",
                where=figures.locate(places, face),
                also=(
                    resist.name,
                    *([] if zone is None else [zone.name]),
                    *(layer.name for layer in layers),
                ),
                at=places,
            )


_IT = "it, and it comes off whole when the resist comes out."


Masks = Mapping[int, int]
"""By a place's identity the numbers of the layers that lie there, as bits."""


def _masks(bench: Bench) -> Masks:
    return {
        id(place): reduce(or_, (1 << laid.key[0] for laid in place.stack), 0)
        for face in bench.build.faces for place in face.places
    }  # fmt: skip


def _goes_on(bench: Bench, layer: Layer) -> bool:
    """Whether a layer reaches past the piece's outline, or round a resist's edge."""
    return layer.wraps is not None or figures.lies_past(bench.build, layer)


def _cuts(bench: Bench, place: Place) -> Iterator[Cut]:
    if len(place.stack) < 3:
        return
    if not any(laid.felting_share < 1 or laid.is_closed for laid in place.stack):
        return
    stage = bench.recipe.piece.stage
    depths = figures.depths_to_come(stage)
    enough = max(bench.limit("caution"), bench.limit("fault"))
    for leaf in figures.leaves(place, bench.recipe):
        for run in figures.runs(leaf, min(depths), bench.limit("skin"), enough):
            levels = {_level(bench, run, depth) for depth in depths}
            main = _main(run)
            if levels == {None} or _meant(bench, place, run):
                continue
            if None in levels:
                if stage is None:
                    yield Cut(run, main, None, depths[0], place)
                continue
            level = "fault" if levels == {"fault"} else "caution"
            yield Cut(run, main, level, max(depths, key=run.bridged), place)


def _level(bench: Bench, run: figures.Run, depth: float) -> str | None:
    share, fault = run.bridged(depth), bench.limit("fault")
    for side in (run.below, tuple(reversed(run.above))):
        if _is_veil(bench, side):
            return "caution" if share < fault and _veil_counts(bench, run, side, depth) else None
    if share >= bench.limit("caution"):
        return None
    sure = share < fault and run.kinder(depth) < fault
    return "fault" if sure and not _soft(run) else "caution"


def _is_veil(bench: Bench, side: tuple[Laid, ...]) -> bool:
    """Whether no more than a veil lies on a side of the run: it is there to hold what it covers."""
    light, only_veils, most = 0.0, True, bench.limit("veil")
    for laid in side:
        if laid.felting_share <= 0:
            continue
        light += sum(part.areal for part in laid.parts if part.stuff.holds)
        only_veils = only_veils and laid.layer.role == "veil"
        if light >= most and not only_veils:
            return False
    return True


def _veil_counts(bench: Bench, run: figures.Run, side: tuple[Laid, ...], depth: float) -> bool:
    """Whether the veil covers well: one that is too thin even for that is luster-carrier's."""
    other = run.above if side is run.below else tuple(reversed(run.below))
    inner = run.layers if side is run.below else tuple(reversed(run.layers))
    return figures.held_at_least([*side, *inner, *other], depth, bench.limit("caution"))


def _soft(run: figures.Run) -> bool:
    """Whether it may let some wool take hold all the same: bought felt, neps."""
    loose = [p for laid in run.layers for p in laid.parts if not p.stuff.holds]
    return all(p.stuff.lot.preparation == "felt" or p.stuff.is_body for p in loose)


def _main(run: figures.Run) -> Laid:
    """What parts most: a close sheet, or the lot with most fibre that does not felt."""
    loose: dict[Key, float] = {}
    for laid in run.layers:
        own = laid.coverage * (1 - laid.felting_share)
        loose[laid.portion_of] = loose.get(laid.portion_of, 0.0) + own
    most = figures.steady
    return max(run.layers, key=lambda one: (figures.closed(one), most(loose[one.portion_of])))


def _meant(bench: Bench, place: Place, run: figures.Run) -> bool:
    names: list[object] = [place.face.name]
    for laid in run.layers:
        names += [laid.layer, laid.placement.zone, laid.placement.of]
    return bench.meant("kept apart", place, *names)


def _said(bench: Bench, face: FaceBuild, group: list[Cut], parted: set[int]) -> Iterator[Said]:
    worst = min(group, key=lambda cut: (cut.level != "fault", cut.run.bridged(cut.depth)))
    joined = [
        place for place in face.places
        if id(place) not in parted
        and any(figures.joins(leaf, worst.run) for leaf in figures.leaves(place, bench.recipe))
    ]  # fmt: skip
    narrow, wide = bench.limit("narrow"), bench.limit("wide")
    width = 2 * figures.farthest([cut.place for cut in group], joined, narrow / 2, wide / 2)
    if width <= narrow:
        return
    if worst.level is None:
        what = f"say the felting stage: whether wool grows through “{worst.main.placement.of}”"
        yield bench.unsaid(bench.recipe.piece, f"{what} depends on it")
        return
    level = worst.level if width >= wide else "caution"
    yield _finding(bench, face, group, attrs.evolve(worst, level=level), width)


def _finding(bench: Bench, face: FaceBuild, group: list[Cut], worst: Cut, width: float) -> Said:
    run, main = worst.run, worst.main
    places = tuple(cut.place for cut in group)
    where = figures.locate(places, face)
    share = run.bridged(worst.depth)
    limit = "fault" if worst.level == "fault" or _any_veil(bench, run) else "caution"
    return bench.finding(
        worst.level or "caution",
        main.about,
        f"{_what(run, main, group)} lies between “{run.below[-1].layer.name}” and "
        f"“{run.above[0].layer.name}” {where}. {_harm(bench, worst, width)}",
        _mend(bench, worst),
        measured=Figure("share of felting fibre in its middle", share, ""),
        limit=limit,
        how=_sum(bench, worst, width),
        where=where,
        also=_also(run, face.name),
        at=places,
    )  # fmt: skip


def _any_veil(bench: Bench, run: figures.Run) -> bool:
    return _is_veil(bench, run.below) or _is_veil(bench, run.above)


def _is_cloth(laid: Laid) -> bool:
    return any(part.stuff.lot.preparation == "close cloth" for part in laid.parts)


def _what(run: figures.Run, main: Laid, group: list[Cut]) -> str:
    of = main.placement.of
    if figures.closed(main):
        kind = "close cloth" if _is_cloth(main) else "felt that is hard already"
        return f"“{of}”, {kind},"
    heavy, light = _areal(run), min(_areal(cut.run) for cut in group)
    amount = ("up to " if light < SAME * heavy else "") + figures.areal(heavy)
    loose = [one.placement.of for one in run.layers if one.felting_share < 0.5]
    more = "".join(f" and “{other}”" for other in dict.fromkeys(loose) if other != of)
    return f"A web of “{of}”{more}, {amount} of it,"


def _areal(run: figures.Run) -> float:
    return sum(laid.areal for laid in run.layers)


def _harm(bench: Bench, worst: Cut, width: float) -> str:
    sure = worst.level == "fault"
    grows = "Wool can't cross it" if sure else "Hardly any wool may cross it"
    if _any_veil(bench, worst.run):
        return f"{grows}: the veil would hold to it alone, and both may rub off together."
    if width == float("inf"):
        return f"{grows}: the two {'will' if sure else 'may'} come apart like the leaves of a book."
    return f"{grows}: what lies over it {'will' if sure else 'may'} lift off it like a blister."


def _mend(bench: Bench, worst: Cut) -> str:
    main, run = worst.main, worst.run
    narrow = figures.length(bench.limit("narrow"))
    meant = "If they are to stay apart, say so (on purpose, what: kept apart)."
    if figures.closed(main):
        strips = f"that wool grows through, cut it into strips under {narrow} with wool between"
        if _is_cloth(main):
            return (
                f"Take open cloth (gauze, chiffon) {strips}, or leave it bare on the face. {meant}"
            )
        return f"Take prefelt, felted little, {strips}, or stitch it on when all is felted. {meant}"
    enough = bench.limit("fault" if _any_veil(bench, run) else "caution")
    factor = figures.cover_for_bridge(enough, worst.depth) / run.cover
    most = 0.98 * factor * _areal(run)
    weight = ""
    if len(run.layers) == 1:
        kg = most * figures.spread_area(bench.build, main)
        weight = f", that is {figures.on_what(bench.build, main, kg, figures.weight_at_most)}"
    return (
        f"Lay at most {figures.areal_at_most(most)} there{weight}; or blend felting wool into it (a third "
        f"or more), or lay it in strips under {narrow} with wool between. {meant}"
    )


def _sum(bench: Bench, worst: Cut, width: float) -> str:
    run, depth = worst.run, worst.depth
    across = (
        "they join nowhere beside it"
        if width == float("inf")
        else f"{figures.length(width)} or more across, from a side that lies open counted double"
    )
    if run.is_closed:
        return f"a close sheet counts as crossed by nothing, whatever it weighs; {across}"
    text = f"coverage c = {run.cover:.2f}, felting part of it {run.wool:.2f}; "
    text += "share of felting fibre in its middle G + (1 - G) q with G = 2 Φ(-c / (2 L)) = "
    return (
        f"{text}{run.bridged(depth):.3f} for fibre that wanders L = {depth:.1f} (good to a factor "
        f"of 1.5, so this is a class, not a forecast); {across}"
    )


def _also(run: figures.Run, face: str) -> tuple[str, ...]:
    names = [face]
    for laid in run.layers:
        names += [laid.layer.name, laid.placement.of, laid.placement.zone]
    return tuple(name for name in dict.fromkeys(names) if name != "whole")


_PANEL = """\
piece: {{title: Sail loft, use: wall panel, shape: rectangle, laid out: 40 x 40 cm, stage: firm}}
lots:
  dune: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  sail: {{fibre: silk, preparation: {sail}}}
zones:
  patch: {{shape: rectangle, size: {size}, at: "10 cm east, 10 cm north"}}
layers:
  - {{name: along, of: dune, amount: 150 g/m², direction: east-west}}
  - {{name: across, of: dune, amount: 150 g/m², direction: north-south}}
  - {{name: sail, of: sail, amount: {amount}, zone: {zone}}}
  - {{name: face, of: dune, amount: 120 g/m², direction: random}}
"""


def _panel(sail: str, amount: str, zone: str = "whole", size: str = "20 x 20 cm") -> str:
    return _PANEL.format(sail=sail, amount=amount, zone=zone, size=size)


RULE = Rule(
    id="cut-off-layer",
    title="Nothing lies between the layers that wool can't cross",
    since="0.1.0",
    purpose="Layers grow into one because wool wanders across. A thick web of fibre that does not "
    "felt, close cloth, or hard felt between them stops it, and the piece splits or blisters. Open "
    "cloth, thin webs and narrow strips let wool through or round; a resist divides on purpose, and "
    "only what lies over it. Shapes of finished felt on the face are hardly held at all.",
    judge=judge,
    limits=(
        Limit(
            "caution", 0.20, "", "share of felting fibre in the middle of what lies between, below "
            "which the layers may not join",
            "silk of 61 g/m² has 0.17 at firm felting, of 30 g/m² 0.50 (from memory)",
            "light to hard felting",
        ),
        Limit(
            "fault", 0.05, "", "share below which they won't, if it holds at the kinder end of L",
            "silk of 92 g/m² or more parts the layers (common practice, no source)",
            "light to hard felting",
        ),
        Limit(
            "narrow", 0.05, "m", "across its narrow direction; narrower is tied round its edges",
            "common practice, no source", "staples of 50 to 90 mm",
        ),
        Limit(
            "wide", 0.10, "m", "width from which it can be a fault and not only a caution",
            "from memory",
        ),
        Limit(
            "skin", 0.5, "", "coverage of felting fibre that counts as a layer on either side "
            "(about 10 g/m²)", "common practice, no source",
        ),
        Limit(
            "veil", 0.015, "kg/m²", "felting fibre on one side below which it is a veil, which only "
            "has to hold what it covers: the limit for a fault then makes a caution",
            "from memory",
        ),
    ),
    examples=(
        Example("a thick web of silk between the layers", _panel("combed top", "150 g/m²"), "fault"),
        Example("a thin even web of silk", _panel("combed top", "25 g/m²")),
        Example("close cloth in one part", _panel("close cloth", "40 g/m²", "patch"), "fault"),
        Example("open cloth in the same part", _panel("open cloth", "40 g/m²", "patch")),
        Example(
            "a strip of close cloth", _panel("close cloth", "40 g/m²", "patch", "20 x 4 cm")
        ),
        Example(
            "the same close cloth as the upper face",
            _panel("close cloth", "30 g/m²", "patch").rsplit("  - {name: face", 1)[0],
        ),
    ),
    purposes=("kept apart",),
    model="G = 2 Φ(-c / (2 L)): share of fibre in the middle of a run of coverage c that wandered "
    "there from both sides, by a normal step of s.d. L in units of coverage (light 1.0, firm 1.7, "
    "hard 2.4). Felting fibre in the run itself, a part q of its coverage, adds (1 - G) q. How wide "
    "it is: twice the distance of its farthest point from where the same layers join.",
    weak_spots="The project's own model, never tested against measured felt; L is from memory. "
    "Of what lies on a pocket's resist only that it is there, and reaches past it somewhere, is asked. "
    "Any word of stitching, needles or glue in a note excuses shapes of finished felt, unless a word "
    "just before it denies it. "
    "Whether cloth is open or close is the maker's word. Yarn counts as no hindrance however dense. "
    "Where layers meet round the edge of a flat resist, that edge counts as joined.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
