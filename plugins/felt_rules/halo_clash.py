"""halo-clash: does colour from below come through a face that is to show its own?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

import attrs

from felt_engine import Bench, Example, Figure, Laid, Limit, Place, Rule, Said, figures
from felt_rules import hidden_accent

UNMARKED = ("top", "batt", "prefelt")
LIES_OVER = ("accent", "veil", "open")
"""Roles of what may lie over a cover without taking its place as the face."""

TINT = 10.0
"""Difference in L* below which a colour that shows is called a tint and not darker or paler."""

Key = tuple[object, ...]


@attrs.frozen(eq=False, repr=False)
class Clash:
    """A cover through which something shows: how badly, what, and where."""

    level: str
    cover: list[Laid]
    below: Laid
    halo: figures.Halo
    place: Place
    surface: str
    declared: bool


def judge(bench: Bench) -> Iterator[Said]:
    """Each face that shows, place by place; the worst place of each cover is the finding."""
    piece = bench.recipe.piece
    shows = piece.shown or (piece.surfaces[1],)
    worst: dict[Key, Clash] = {}
    every: dict[Key, list[Clash]] = {}
    unsaid: dict[tuple[object, str], Said] = {}
    for place in (place for face in bench.build.alike for place in face.places):
        for surface in shows:
            found = _place(bench, place, surface)
            if isinstance(found, Clash):
                key: Key = (*found.cover[0].portion_of, surface)
                every.setdefault(key, []).append(found)
                known = worst.get(key)
                if known is None or _rank(found) > _rank(known):
                    worst[key] = found
            elif found is not None:
                unsaid.setdefault((id(found.about), str(found)), found)
    for key, clash in worst.items():
        if clash.declared:
            yield _finding(bench, clash, every[key])
        elif clash.level == "fault":
            yield bench.unsaid(
                clash.cover[0].about,
                f"“{clash.below.placement.of}” would show through. Say role: cover if this layer "
                f"is to hide it, or role: veil if the two are to mix",
            )
    yield from unsaid.values()
    yield from hidden_accent.judge(bench)


def _rank(clash: Clash) -> tuple[bool, bool, float]:
    return clash.declared, clash.level == "fault", clash.halo.mean


def _covers_too(laid: Laid, cover: Laid) -> bool:
    """Whether what lies under a cover is more of it: of its role, and of its lot or its very colour."""
    if laid.layer.role != cover.layer.role:
        return False
    if laid.placement.of == cover.placement.of:
        return True
    colour = figures.laid_colour(laid)
    return colour is not None and colour == figures.laid_colour(cover)


def _place(bench: Bench, place: Place, surface: str) -> Clash | Said | None:
    layers = figures.inward(place.stack, surface)
    index, declared = _cover(layers)
    if index is None:
        return None
    layers = layers[index:]
    covers = list(takewhile(lambda laid: _covers_too(laid, layers[0]), layers))
    seam = "seam" if declared else "seam-undeclared"
    if place.width < bench.limit_on(place.face, seam, "seam-part"):
        return None
    found = _judged(bench, layers, len(covers))
    if found is None or (not declared and found.halo.under > bench.limit("mixing")):
        return None
    cover = covers[0]
    names = (cover.layer, cover.placement.zone, cover.placement.of, place.face.name, surface)
    if bench.meant("show-through", place, *names):
        return None
    if found.lacking is not None or found.level is None:
        return _unsure(bench, cover, found) if declared else None
    below = figures.loudest(layers, len(covers), found.halo.depth)
    return Clash(found.level, covers, below, found.halo, place, surface, declared)


@attrs.frozen(eq=False, repr=False)
class Seen:
    """What a cover does at a place. ``level`` is ``None`` where the stage decides."""

    level: str | None
    halo: figures.Halo
    lacking: object = None


def _judged(bench: Bench, layers: list[Laid], covers: int) -> Seen | None:
    """Silence (``None``) only if it holds at every stage and every colour that may be meant."""
    depths = figures.depths(bench.recipe.piece.stage)
    lacking = [  # of a blend the heaviest first, in whatever order it is written
        part.stuff.lot
        for laid in layers
        for part in sorted(laid.parts, key=lambda part: (-part.share, part.stuff.lot.name))
        if part.stuff.linear is None
    ]
    if lacking and not any(p.stuff.linear for laid in layers for p in laid.parts):
        return None
    pairs = figures.EXTREMES if lacking else (None,)
    halos = [figures.halo(layers, covers, depth, pair) for pair in pairs for depth in depths]
    known = [halo for halo in halos if halo is not None]
    levels = {_level(bench, halo) for halo in known}
    if levels <= {None}:
        return None
    level = None if None in levels else "fault" if levels == {"fault"} else "caution"
    return Seen(level, known[0], lacking[0] if lacking else None)


def _unsure(bench: Bench, cover: Laid, seen: Seen) -> Said:
    if seen.lacking is not None:
        return bench.unsaid(seen.lacking, "say its colour: whether it shows through depends on it")
    what = f"say the felting stage: whether “{cover.layer.name}” hides what lies below depends "
    return bench.unsaid(bench.recipe.piece, what + "on it")


def _cover(layers: list[Laid]) -> tuple[int | None, bool]:
    """The declared cover that is the face; else an outermost plain layer without a role."""
    for index, laid in enumerate(layers):
        if laid.layer.role == "cover":
            return index, True
        if laid.layer.role not in LIES_OVER and laid.felting_share > 0:
            break
    if not layers or layers[0].layer.role is not None:
        return None, False
    parts = layers[0].parts
    one_colour = len(parts) == 1 or len({part.stuff.linear for part in parts}) == 1
    plain = one_colour and all(part.group in UNMARKED and part.stuff.holds for part in parts)
    return (0, False) if plain else (None, False)


def _level(bench: Bench, halo: figures.Halo) -> str | None:
    mean, thin = halo.mean, halo.thin
    if mean < bench.limit("caution-mean") and thin < bench.limit("caution-thin"):
        return None
    fault_mean, fault_thin = bench.limit("fault-mean"), bench.limit("fault-thin")
    likely = mean >= fault_mean or thin >= fault_thin
    sure = halo.kinder[0] >= fault_mean or halo.kinder[1] >= fault_thin
    return "fault" if likely and sure else "caution"


def _finding(bench: Bench, clash: Clash, clashes: list[Clash]) -> Said:
    fault = clash.level == "fault"
    by_mean = clash.halo.mean >= bench.limit("fault-mean" if fault else "caution-mean")
    name = f"{clash.level}-{'mean' if by_mean else 'thin'}"
    cover, below = clash.cover[0], clash.below
    places = [one.place for one in clashes if one.declared]
    where = _where(places)
    amount = sum(laid.areal for laid in clash.cover)
    coverage = sum(laid.coverage for laid in clash.cover)
    shows = "will show" if fault else "may show"
    patchy = "" if by_mean else " where the cover happens to be thin"
    there = "" if where == "all over" else f", {where}"
    faces = dict.fromkeys(place.face.name for place in places)
    also = (cover.layer.name, cover.placement.of, cover.placement.zone, *faces)
    return bench.finding(
        clash.level,
        cover.about,
        f"“{below.placement.of}” {shows} through “{cover.placement.of}” on the {clash.surface}"
        f"{patchy}, {_haze(cover, below)}{there}: {figures.areal(amount)} {'does' if fault else 'may'} "
        f"not hide it once fibre has wandered.",
        _advice(bench, clash, places),
        measured=Figure("colour change", clash.halo.mean if by_mean else clash.halo.thin, "dE00"),
        limit=name,
        how=f"cover c = {coverage:.2f}; share of the face from below for fibre that wanders "
        f"L = {clash.halo.depth:.1f}: {figures.percent(clash.halo.under)}; colours mixed as fibres "
        f"(Stearns-Noechel), difference by CIEDE2000: a class, not a forecast",
        where=where,
        also=tuple(name for name in also if name != "whole"),
        at=tuple(places),
    )


def _where(places: list[Place]) -> str:
    faces = list(dict.fromkeys(place.face for place in places))
    return " and ".join(figures.locate([p for p in places if p.face is f], f) for f in faces)


def _haze(cover: Laid, below: Laid) -> str:
    lighter = figures.lighter(cover, below)
    if abs(lighter) < TINT:
        return "as a tint of its own hue"
    return "as a darker haze" if lighter > 0 else "as a paler haze"


def _written(bench: Bench, clash: Clash, areal: float, places: list[Place]) -> str:
    """The weight of so much more there: for each face where its amount is, and for all pieces."""
    times, per = figures.pieces(bench.build)
    each = clash.cover[0].placement.face == "each" and len({p.face.name for p in places}) == 2
    kg = areal * sum(place.area for place in places) * times
    more = figures.weight_at_least(kg / 2 if each else kg)
    return f"{more} more{' on each face' if each else ''}{per}"


def _advice(bench: Bench, clash: Clash, places: list[Place]) -> str:
    """How much more of the cover would do; the deepest wandering counts where no stage is stated."""
    layers = figures.inward(clash.place.stack, clash.surface)
    layers = layers[layers.index(clash.cover[0]) :]
    more = figures.cover_to_hide(
        layers, len(clash.cover), max(figures.depths(bench.recipe.piece.stage)),
        bench.limit("caution-mean"), bench.limit("caution-thin"),
    )  # fmt: skip
    if more is None:
        start = "No usual weight of cover hides it: put a layer of a like colour between, "
    else:
        start = (
            f"Lay about {figures.areal_at_least(more)} more of the cover there, that is "
            f"{_written(bench, clash, more, places)}, or as much of a like colour between the two, "
        )
    return start + (
        "or choose a lower layer nearer in colour. If they are to mix, say so (role: veil, or on "
        "purpose, what: show-through)."
    )


_GROUND = """\
piece: {{title: Winter field, use: picture ground, shape: rectangle, laid out: 30 x 30 cm,
  stage: firm}}
lots:
  under: {{fibre: merino, preparation: combed top, fineness: 20 um, colour: {under}}}
  over: {{fibre: merino, preparation: combed top, fineness: 20 um, colour: {over}}}
layers:
  - {{name: along, of: under, amount: 200 g/m², direction: north-south}}
  - {{name: face, of: over, amount: {amount}, direction: east-west, role: {role}}}
"""


def _ground(under: str, over: str, amount: str, role: str = "cover") -> str:
    return _GROUND.format(under=f'"{under}"', over=f'"{over}"', amount=amount, role=role)


RULE = Rule(
    id="halo-clash",
    title="A face that is to show its own colour does",
    since="0.1.0",
    purpose="In felting, fibre from below wanders up. Under a thin cover it makes a halo in its own "
    "colour; dark under light is far worse than the reverse. Judged where a layer is declared "
    "cover, on each face that shows. An accent that lies under the ground is not seen at all.",
    judge=judge,
    limits=(
        Limit(
            "caution-mean", 2.0, "dE00", "change of colour at mean cover that may be seen",
            "about 1.8 is acceptable between smooth patches (Paravina et al. 2015, from memory)",
        ),
        Limit(
            "caution-thin", 3.0, "dE00", "the same where the cover is thin (its tenth part)",
            "for pictures about 2.5 is seen (Song & Luo 2001, from memory)",
        ),
        Limit(
            "fault-mean", 5.0, "dE00", "change at mean cover that will be seen, if it holds at the "
            "kinder end of L", "chosen between listed right and faulty pairs (from memory)",
        ),
        Limit(
            "fault-thin", 12.0, "dE00", "the same where the cover is thin",
            "chosen between listed right and faulty pairs (from memory)",
        ),
        Limit(
            "seam", 0.03, "m", "a part narrower than this is a seam, where colours may mix",
            "common practice, no source",
        ),
        Limit(
            "seam-undeclared", 0.05, "m", "the same, where no layer is declared cover: a wide lap",
            "common practice, no source",
        ),
        Limit(
            "seam-part", 0.2, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "mixing", 0.25, "", "share of the face from below above which a layer that no one "
            "declared is taken to mix, as a veil does", "common practice, no source",
        ),
        Limit(
            "buried", 6.0, "", "coverage over an accent, from each face that shows, under which it is "
            "hardly seen (120 g/m² of wool of 20 um)",
            "own calculation: at hard felting 1 % of its fibre comes up so far (from memory)",
        ),
    ),
    examples=(
        Example("off-white over navy", _ground("#1d2747", "#efe9da", "110 g/m²"), "fault"),
        Example("off-white over off-white", _ground("#f4f0e6", "#efe9da", "110 g/m²")),
        Example("navy over off-white", _ground("#efe9da", "#1d2747", "150 g/m²")),
        Example("off-white over navy as a veil", _ground("#1d2747", "#efe9da", "40 g/m²", "veil")),
        Example("off-white over mid grey", _ground("#808080", "#efe9da", "130 g/m²"), "caution"),
    ),
    purposes=("hidden", "show-through"),
    model="Share of the face from below a cover c, for fibre that wanders by a normal step of s.d. L "
    "(coverage units; prefelt 0.5, light 1.0, firm 1.7, hard 2.4), reflected at the face. Colours "
    "mixed as fibres: Stearns & Noechel, Am. Dyest. Rep. 33 (1944) 177, b = 0.15, per linear sRGB "
    "channel. Difference: CIEDE2000 (Sharma, Wu & Dalal 2005), at mean cover and at its tenth part.",
    weak_spots="The project's own model, never tested against measured felt; L is from memory. "
    "An accent that is as heavy as what lies over it is taken for relief, and one under a resist for "
    "what is cut free. "
    "At firm, off-white hides navy from 0.7 oz to the foot square (212 g/m²), other strong contrasts "
    "from about as much, mid grey from about 0.5 oz, natural white from 0.4 oz or less (fibre of "
    "20.5 um; own calculation). "
    "Luster, streaks in a lot and the screen's own colours are left out. Read it as a class: will "
    "show, may show, does not.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
