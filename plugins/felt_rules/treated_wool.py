"""treated-wool: is wool that was treated not to felt asked to hold the piece?"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

import attrs

from felt_engine import (
    Bench,
    Blend,
    Example,
    Figure,
    Finding,
    Laid,
    Layer,
    Limit,
    Lot,
    Place,
    Placement,
    Recipe,
    Rule,
    Said,
    Share,
    figures,
)
from felt_rules.in_notes import said_of

FIBRES = ("combed top", "carded batt", "carded sliver", "prefelt", "locks", "loose fibre",
          "short fibre", None)  # fmt: skip
"""Preparations that are laid to become felt; cloth, yarn, neps, film and bought felt are not."""

LIGHTLY = ("accent", "veil", "open")
"""Roles of what is laid for its look and not to hold."""

KINDS = ("thin-layer", "direction-balance", "luster-carrier", "cut-off-layer")
LEVELS = ("fault", "caution", "note")
ORDER = ("holds", "crosses", "carries", "parts", "lies", "too")
"""What is asked of it, the gravest first; "too" only goes with another."""
HALVES = 3
"""Of so many findings it is tried whether half would do: each takes two judgings of the whole."""
MUCH = 600
"""So many amounts at so many places, counted at each, and resists are judged twice more; of more none
is tried."""

TREATED = re.compile(
    r"(?:super[ -]?wash|machine[ -]washable|shrink[ -]?(?:proof|resist)|felt[ -]?proof|easy[ -]care|"
    r"chlorin)\w*",
    re.IGNORECASE,
)
"""What wool that was treated not to felt is sold as (common practice, no source)."""

Spot = tuple[str, int]
Lots = tuple[Lot, ...]


@attrs.frozen(eq=False, repr=False)
class Asked:
    """What a lot is asked to do and can't: by which finding, where, in what, and is it all of it."""

    kind: str
    finding: Finding
    laid: tuple[Laid, ...]
    places: tuple[Place, ...]
    explained: bool


def judge(bench: Bench) -> Iterator[Said]:
    """Would what the others found go if these lots felted? Then they are asked to, and can't."""
    yield from _by_name(bench)
    if not any(rule in KINDS for rule, _ in bench.found):
        return
    suspects = _suspects(bench)
    if not suspects:
        return
    again = bench.again(_as_if(bench.recipe, suspects), KINDS)
    found: dict[str, list[Asked]] = {}
    for rule, finding in bench.found:
        if rule in KINDS:
            for name, asked in _asked(bench, rule, finding, again, suspects):
                found.setdefault(name, []).append(asked)
    found = {name: all_asked for name, all_asked in found.items()
             if any(one.kind != "too" for one in all_asked)}  # fmt: skip
    blamed = [lot for lot in bench.recipe.lots if lot.name in found]
    blamed.sort(key=lambda lot: (_first_laid(found[lot.name]), lot.name))
    together = _together([(lot, found[lot.name]) for lot in blamed])
    together.sort(key=lambda one: (_first_laid(one[1]), one[0][0].name))
    much = sum(len(place.stack) for place in bench.build.places) + len(bench.recipe.resists)
    tried = HALVES if much <= MUCH else 0
    for number, (lots, all_asked) in enumerate(together):
        yield _finding(bench, lots, all_asked, number < tried)


def _first_laid(asked: list[Asked]) -> tuple[int, ...]:
    """The key of what is laid first: no order of lots in the file changes it."""
    return min(laid.key for one in asked for laid in one.laid)


def _by_name(bench: Bench) -> Iterator[Said]:
    """Lots that are laid as wool that felts, and that their own name or note calls treated."""
    laid = {
        part.stuff.lot.name for face in bench.build.faces
        for one, _ in face.laid for part in one.parts if part.stuff.holds
    }  # fmt: skip
    for lot in bench.recipe.lots:
        if lot.name not in laid or _is_treated(lot):
            continue
        told = f"{lot.name} {lot.note or ''}"
        said = next(said_of(TREATED, told), None)
        if said is not None:
            yield bench.unsaid(
                lot,
                f"say whether “{lot.name}” felts: “{said[0]}” wool hardly does (treatment: "
                f"shrink-proofed); wool that isn’t treated is called otherwise",
            )


def _together(said: list[tuple[Lot, list[Asked]]]) -> list[tuple[Lots, list[Asked]]]:
    """Lots of one kind that lie behind the same finding are one slip."""
    groups: list[tuple[Lots, list[Asked]]] = []
    for lot, asked in said:
        behind = {id(one.finding) for one in asked}
        kin = [g for g in groups if _sort(g[0][0]) == _sort(lot)
               and behind & {id(one.finding) for one in g[1]}]  # fmt: skip
        if asked:
            lots = (*(one for g in kin for one in g[0]), lot)
            groups = [g for g in groups if g not in kin]
            groups.append((lots, [*(one for g in kin for one in g[1]), *asked]))
    return groups


def _sort(lot: Lot) -> str:
    return "treated" if _is_treated(lot) else lot.fibre


def _suspects(bench: Bench) -> set[str]:
    """Lots that do not felt and may have been taken for wool that does.

    Luster fibre is one only as structure, or where all that felts is missing and nothing else is to
    blame.
    """
    plain, shiny = set(), set()
    for face in bench.build.faces:
        some = any(_carries(place) for place in face.places)
        for laid, _ in face.laid:
            for part in laid.parts:
                lot, fibre = part.stuff.lot, part.stuff.fibre
                if part.stuff.felts.usual >= bench.limit("felts") or lot.preparation not in FIBRES:
                    continue
                if not fibre.luster or _is_treated(lot) or laid.layer.role == "structure":
                    plain.add(lot.name)
                elif not some:
                    shiny.add(lot.name)
    return plain or shiny


def _carries(place: Place) -> bool:
    """Whether something is there to lie on: wool that felts, bought felt, or cloth."""
    sheet = place.open_cloth or any(figures.closed(laid) for laid in place.stack)
    return sheet or place.felting_areal > 0


def _as_if(recipe: Recipe, names: set[str]) -> Recipe:
    """The same recipe with wool that felts in place of these lots."""
    lots = tuple(
        lot if lot.name not in names else attrs.evolve(lot, treatment="untreated")
        if _is_treated(lot) else attrs.evolve(lot, fibre="wool")
        for lot in recipe.lots
    )  # fmt: skip
    return attrs.evolve(recipe, lots=lots)


def _is_treated(lot: Lot) -> bool:
    return lot.treatment == "shrink-proofed"


def _asked(
    bench: Bench, rule: str, finding: Finding, again: tuple[tuple[str, Finding], ...],
    suspects: set[str],
) -> Iterator[tuple[str, Asked]]:  # fmt: skip
    """What a finding that would go, or be milder, says about each of the lots that lie there."""
    same = [
        f for r, f in again
        if r == rule and _alike(bench, rule, f, finding)
        and LEVELS.index(f.level) <= LEVELS.index(finding.level)
    ]  # fmt: skip
    left = {_spot(place) for f in same for place in f.at}
    places = finding.at or tuple(
        place for place in bench.build.places if finding.where in ("", f"the {place.face.name}")
    )
    gone = [
        place for place in places
        if (_spot(place) not in left if finding.at else not same)
        or (rule == "thin-layer" and place.stack and place.felting_areal <= 0)
    ]  # fmt: skip
    here = {id(laid): laid for place in gone for laid in place.stack}
    having: dict[str, list[Laid]] = {name: [] for name in sorted(suspects)}
    for laid in here.values():
        for lot in {part.stuff.lot.name for part in laid.parts} & suspects:
            having[lot].append(laid)
    for name, with_it in having.items():
        for kind in _kind(bench, rule, finding, with_it, name):
            chosen = tuple(laid for laid in with_it if _counts(bench, kind, laid, finding))
            if not chosen and kind in ("parts", "lies"):
                kind = "too"
                chosen = tuple(laid for laid in with_it if _is_about(finding, laid))
            if chosen:
                at = tuple(place for place in gone if any(one in place.stack for one in chosen))
                yield name, Asked(kind, finding, chosen, at, len(gone) == len(places))


def _alike(bench: Bench, rule: str, one: Finding, two: Finding) -> bool:
    """Whether two findings of a rule say the same: of a part of the piece, of a face, of one thing."""
    if rule == "thin-layer" or (rule == "direction-balance" and one.at and two.at):
        return True
    if rule == "direction-balance":
        return bool(one.at) == bool(two.at) and one.where == two.where
    return _one_thing(bench.recipe.layers, one.about, two.about)


def _one_thing(layers: Sequence[Layer], one: object, two: object) -> bool:
    """Whether two findings are about one thing, or about portions of one amount in a layer."""
    if one is two:
        return True
    if not isinstance(one, Placement) or not isinstance(two, Placement):
        return False
    alike = (one.of, one.zone) == (two.of, two.zone)
    return alike and any(
        any(p is one for p in layer.placements) and any(p is two for p in layer.placements)
        for layer in layers
    )


def _spot(place: Place) -> Spot:
    return place.face.name, place.face.number_of(place)


def _kind(
    bench: Bench, rule: str, finding: Finding, with_it: list[Laid], name: str
) -> Iterator[str]:
    """What the lot is asked to do where this finding lies."""
    if rule == "thin-layer":
        yield "holds"
    elif rule == "direction-balance":
        yield "crosses"
    elif rule == "luster-carrier" and not any(_only(laid, name, finding) for laid in with_it):
        yield "carries"
    elif rule == "cut-off-layer":
        yield "parts"
    else:
        yield "lies"


def _is_about(finding: Finding, laid: Laid) -> bool:
    """Whether the finding is about this, or about another portion of the same amount."""
    about = finding.about
    return about is laid.layer or _one_thing((laid.layer,), about, laid.placement)


def _only(laid: Laid, name: str, finding: Finding) -> bool:
    """Whether the finding is about this, and nothing else in it lacks a hold."""
    return _is_about(finding, laid) and all(
        p.stuff.holds or p.stuff.lot.name == name for p in laid.parts
    )


def _counts(bench: Bench, kind: str, laid: Laid, finding: Finding) -> bool:
    """Whether this is laid to do that, and not for its look."""
    role = laid.layer.role
    if kind == "carries":
        return True
    if kind == "crosses":
        return role not in LIGHTLY and laid.angle is not None
    if kind == "holds":
        return role not in LIGHTLY
    if role in LIGHTLY or not _is_about(finding, laid):
        return False
    if not laid.is_wool:
        bare = not any(_carries(place) for place in finding.at)
        return role == "structure" or laid.key[0] == 0 or bare
    shares = [
        sum(
            place.share
            for place in face.places
            if any(
                o.key[0] == laid.key[0] and o.placement.of == laid.placement.of for o in place.stack
            )
        )
        for face in bench.build.faces
    ]
    return role in ("structure", "cover") or figures.steady(max(shares)) >= bench.limit("part")


def _finding(bench: Bench, lots: Lots, asked: list[Asked], halves: bool) -> Said:
    numbers = {id(finding): number for number, (_, finding) in enumerate(bench.found)}
    asked = sorted(asked, key=lambda one: (ORDER.index(one.kind), numbers[id(one.finding)]))
    first = asked[0]
    alike = [one for one in asked if one.kind == first.kind and one.finding is first.finding]
    laid = [one for a in asked for one in a.laid]
    front = list({one.key: one for a in alike for one in a.laid}.values())
    of_kind = [one for one in asked if one.kind == first.kind]
    main = _main(of_kind, lots)
    places = tuple({id(p): p for one in asked for p in one.places}.values())
    level = "fault" if any(one.finding.level == "fault" for one in asked) else "caution"
    felts = min(bench.build.stuffs[lot.name].felts.usual for lot in lots)
    names = [lot.name for lot in lots]
    names += [n for one in laid for n in (one.layer.name, one.placement.of, one.placement.zone)]
    own = [p for p in places if any(one.portion_of == main.portion_of for one in p.stack)] or list(
        places
    )
    faces = dict.fromkeys(p.face for p in sorted(own, key=lambda p: p.face.name != "front"))
    where = " and ".join(figures.locate([p for p in own if p.face is f], f) for f in faces)
    return bench.finding(
        level,
        main.about,
        f"{_called(lots)}. {_harm(first, front, of_kind, lots, main, level, where)}",
        _mend(bench, lots, laid, halves),
        measured=Figure("feltability", felts, ""),
        limit="felts",
        how=f"feltability {felts:.2f} where merino has 1, and {bench.limit('felts'):g} is needed to "
        f"hold; with wool that felts in its place the findings told under this one would go",
        where=where,
        also=tuple(n for n in dict.fromkeys(names) if n != "whole"),
        at=places,
        explains=tuple({id(one.finding): one.finding for one in asked if one.explained}.values()),
    )


def _main(asked: list[Asked], lots: Lots) -> Laid:
    """The layer that has most of it at a place, in however many portions."""
    laid = [one for a in asked for one in a.laid]
    most = _most(asked, lots)
    main = max(sorted({one.key[0] for one in laid}), key=lambda n: figures.ranked(most.get(n, 0.0)))
    return min((one for one in laid if one.key[0] == main), key=lambda one: one.key)


def _most(asked: list[Asked], lots: Lots) -> dict[int, float]:
    """What each layer, by its number, has of it where it has most, kg/m²; what was turned over counts
    where it was laid."""
    chosen = {id(one) for a in asked for one in a.laid}
    most: dict[int, float] = {}
    for place in {id(place): place for a in asked for place in a.places}.values():
        here: dict[tuple[int, bool], float] = {}
        for one in place.stack:
            if id(one) in chosen:
                key = one.key[0], one.turned
                here[key] = here.get(key, 0.0) + _areal(one, lots)
        for (number, _), areal in here.items():
            most[number] = max(most.get(number, 0.0), areal)
    return most


def _areal(laid: Laid, lots: Lots) -> float:
    return sum(part.areal for part in laid.parts if any(part.stuff.lot is lot for lot in lots))


def _called(lots: Lots) -> str:
    lot, is_one = lots[0], len(lots) == 1
    named = " and ".join(f"“{one.name}”" for one in lots)
    if _is_treated(lot):
        return f"{named} {_is(lots)} wool that was treated not to felt"
    if is_one and lot.name == lot.fibre:
        return f"{lot.fibre.capitalize()} does not felt by itself"
    return f"{named} {_is(lots)} {lot.fibre}, which does not felt by itself"


def _harm(
    first: Asked,
    laid: list[Laid],
    alike: list[Asked],
    lots: Lots,
    main: Laid,
    level: str,
    where: str,
) -> str:
    layers = list(dict.fromkeys(f"“{one.layer.name}”" for one in laid))
    named = " and ".join(layers)
    will = "will" if level == "fault" else "may"
    if first.kind == "holds":
        least = min(first.places, key=lambda place: place.felting_areal).felting_areal
        at = " " if where == "all over" else f" {where} "
        left = f"only {figures.areal(least)} that felts lies" if least > 0 else "nothing else felts"
        return f"{named} {_is(layers)} to hold the piece{at}and {left} there: it {will} not hold."
    if first.kind == "crosses":
        do = "does" if len(layers) == 1 else "do"
        return f"{named} {do} not pull with it, so the piece {will} draw in one way only."
    carried = _carried(first, lots) if first.kind == "carries" else ""
    if carried:
        return f"It can't hold the {carried}: that {will} rub off."
    amount = figures.areal(_most(alike, lots).get(main.key[0], 0.0))
    text = f"“{main.layer.name}” is {amount} of it, laid as a layer of the piece: felting wool does"
    if first.kind == "parts":
        return f"{text} not cross so much, so the layers on either side {will} come apart."
    return f"{text} not come through so much, so it {will} come away."


def _is(things: Sequence[object]) -> str:
    return "is" if len(things) == 1 else "are"


def _carried(first: Asked, lots: Lots) -> str:
    """The fibre that the finding is about, and what it is laid in; empty if that is of these lots."""
    for place in first.places:
        for laid in place.stack:
            if _is_about(first.finding, laid):
                loose = [p.stuff for p in laid.parts if not p.stuff.holds]
                fibres = {stuff.fibre.name: 0 for stuff in loose if stuff.lot not in lots}
                return f"{' and '.join(fibres)} of “{laid.placement.of}”" if fibres else ""
    return "fibre that lies with it"


def _mend(bench: Bench, lots: Lots, laid: list[Laid], halves: bool) -> str:
    once = {one.key: one for one in laid}.values()
    kg = sum(_areal(one, lots) * figures.spread_area(bench.build, one) for one in once)
    kind = "untreated wool" if _is_treated(lots[0]) else "felting wool"
    times, per = figures.pieces(bench.build)
    kg, half = kg * times, ""
    if halves and _half_does(bench, lots):
        half = f", or blend it half and half with {kind} ({figures.weight(kg / 2)} of each)"
    return (
        f"Lay {kind} in its place, {figures.weight(kg)} in all{per}{half}. As an ornament on felting wool "
        f"it is right: lay it thin, and say role: accent."
    )


def _half_does(bench: Bench, lots: Lots) -> bool:
    """Whether no more would be found with half of it than with none."""
    names = {lot.name for lot in lots}
    least = bench.again(_as_if(bench.recipe, names), KINDS)
    return _graded(bench.again(_half_as_if(bench.recipe, names), KINDS)) <= _graded(least)


def _graded(found: tuple[tuple[str, Finding], ...]) -> Counter[tuple[str, str]]:
    return Counter((rule, finding.level) for rule, finding in found)


def _half_as_if(recipe: Recipe, names: set[str]) -> Recipe:
    """The same recipe with each of these lots mixed half and half with wool that felts."""
    of = {name: f"{name}, and as much that felts" for name in names}
    felting = [attrs.evolve(one, name=of[one.name])
               for one in _as_if(recipe, names).lots if one.name in names]  # fmt: skip

    def halves(lot: str, share: Share) -> tuple[tuple[str, Share], ...]:
        if lot not in names:
            return ((lot, share),)
        half = attrs.evolve(share, value=share.value / 2)
        return (lot, half), (of[lot], half)

    blends = [
        attrs.evolve(one, parts=tuple(p for part in one.parts for p in halves(*part)))
        for one in recipe.blends
    ]
    mixed = {name: f"{name}, half and half" for name in names}
    blends += [Blend(mixed[name], halves(name, Share("100 %", 100.0, "percent")))
               for name in sorted(names)]  # fmt: skip
    layers = tuple(
        attrs.evolve(
            layer,
            placements=tuple(
                attrs.evolve(one, of=mixed.get(one.of, one.of)) for one in layer.placements
            ),
        )
        for layer in recipe.layers
    )
    lots = (*recipe.lots, *felting)
    return attrs.evolve(recipe, lots=lots, blends=tuple(blends), layers=layers)


_SHEET = """\
piece: {{title: Slipway, use: wall panel, shape: rectangle, laid out: 40 x 40 cm, stage: firm}}
lots:
  dune: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  soft: {{fibre: merino, preparation: combed top, fineness: 20 um{treated}}}
  gleam: {{fibre: silk, preparation: combed top}}
blends:
  mixed: {{soft: 70 %, gleam: 30 %}}
layers:
  - {{name: along, of: {along}, amount: 150 g/m², direction: east-west}}
  - {{name: across, of: {across}, amount: 150 g/m², direction: north-south}}
  - {{name: face, of: {face}, amount: {amount}, direction: random, role: accent}}
"""


def _sheet(along: str = "dune", across: str = "dune", face: str = "soft", amount: str = "30 g/m²",
           treated: str = ", treatment: shrink-proofed") -> str:  # fmt: skip
    return _SHEET.format(along=along, across=across, face=face, amount=amount, treated=treated)


RULE = Rule(
    id="treated-wool",
    title="Wool that was treated not to felt isn't asked to hold the piece",
    since="0.1.0",
    purpose="Shrink-proofed (washable) wool looks like any wool, and does not felt. As an ornament, "
    "for a colour, or among enough felting wool it is right; as ground, as cross layer, or as the "
    "wool that is to hold luster fibre it does nothing. So does any fibre that does not felt and is "
    "laid as if it did.",
    judge=judge,
    limits=(
        Limit(
            "felts", 0.3, "", "feltability (merino 1) below which fibre holds nothing",
            "shrink-proofed wool has about 0.1, the slowest wools 0.3 (from memory)",
        ),
        Limit(
            "part", 0.33, "", "part of a face from which a layer without a role is taken for one "
            "that is to hold and not for an ornament", "from memory",
        ),
    ),
    examples=(
        Example("treated wool throughout", _sheet("soft", "soft"), "fault"),
        Example("treated wool as the cross layer", _sheet(across="soft"), "fault"),
        Example("treated wool to hold the silk", _sheet(face="mixed", amount="90 g/m²"), "fault"),
        Example("a little treated wool as an accent", _sheet()),
        Example("silk in a blend with wool that felts",
                _sheet(face="mixed", amount="90 g/m²", treated="")),
        Example("untreated wool throughout", _sheet("soft", "soft", treated="")),
    ),
    model="The recipe is judged once more as if the lots below the limit were wool that felts. What "
    "thin-layer, direction-balance, luster-carrier and cut-off-layer found and would then no longer "
    "find comes of them, and is told under this finding.",
    weak_spots="It sees only what those rules see: where they are switched off or a purpose silences "
    "them, it is silent. A lot whose treatment isn't said counts as untreated, unless its "
    "name or note, in English words, says otherwise. Several such lots are changed together, "
    "so each is named where any of them would have mended it.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
    reconsiders=True,
)  # fmt: skip
