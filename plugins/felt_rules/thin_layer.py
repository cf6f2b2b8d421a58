"""thin-layer: is there enough that felts at each place, for this use?"""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from felt_engine import Bench, Example, FaceBuild, Figure, Limit, Part, Place, Rule, Said, figures

Keys = frozenset[tuple[int, str, str]]
SHEETS = ("felt", "close cloth")
"""Preparations that leave nothing bare, whether they felt or not."""

STEP = 0.005
"""Least extra weight worth advising, kg/m²: less can't be laid by hand."""


ALIKE = 0.02
"""Part by which what lies at two places may differ and still be as much (own choice)."""


Beside = dict[int, list[Place]]
"""By a place's identity."""


@attrs.frozen(eq=False, repr=False)
class Thin:
    """A place that is thin, and how bad."""

    place: Place
    level: str
    bare: float


def judge(bench: Bench) -> Iterator[Said]:
    """Place by place; places with comparable stacks that are thin alike are one finding."""
    for face in bench.build.alike:
        thin: list[Thin] = []
        looked = [(place, _look(bench, face, place)) for place in face.places]
        looked = [one for one in looked if one[1] is not None]
        beside = _beside(face, [place for place, _ in looked])
        for found in _wide(bench, face, looked, beside):
            if isinstance(found, Thin):
                thin.append(found)
            elif found is not None:
                yield found
        for group in _groups(thin, beside):
            yield _finding(bench, face, group)


def _beside(face: FaceBuild, places: list[Place]) -> Beside:
    """Of each of these places the others that touch it, of the same layers and as much of them."""
    found: Beside = {}
    there = {id(place) for place in places}
    for border in face.borders if places[1:] else ():
        one, two = border.one, border.two
        if not {id(one), id(two)} <= there or abs(one.areal - two.areal) > ALIKE * one.areal:
            continue
        if {laid.key[0] for laid in one.stack} == {laid.key[0] for laid in two.stack}:
            found.setdefault(id(one), []).append(two)
            found.setdefault(id(two), []).append(one)
    return found


def _wide(
    bench: Bench, face: FaceBuild, looked: list[tuple[Place, Thin | Said | None]], beside: Beside
) -> list[Thin | Said | None]:
    """What was found at places that are wide, alone or with those beside them where as much lies."""
    narrow = bench.limit_on(face, "narrow", "narrow-part")
    slim = [place for place, _ in looked if place.width < narrow]
    too_slim, reached = set[int](), set[int]()
    for place in slim:
        together = [] if id(place) in reached else [place]
        for one in together:
            reached.add(id(one))
            together += [p for p in beside.get(id(one), ()) if id(p) not in reached]
            reached.update(map(id, together))
        if together and figures.narrowest(together) < narrow:
            too_slim.update(map(id, together))
    return [found for place, found in looked if id(place) not in too_slim]


def _limits(bench: Bench) -> tuple[tuple[float, float], ...]:
    """Caution and fault limits of the bare index.

    Two pairs where the use isn't said, by which nothing is more than a caution.
    """
    use = bench.build.use
    if use is not None:
        return ((use.bare_caution, use.bare_fault),)
    cautions = (bench.limit("bare-caution"), bench.limit("bare-caution-draping"))
    return tuple((caution, math.inf) for caution in cautions)


def _exempt(bench: Bench, face: FaceBuild, place: Place) -> bool:
    names: list[object] = [face.name]
    for laid in place.stack:
        names += [laid.layer, laid.placement.zone, laid.placement.of]
    if place.open_cloth or bench.meant("thin", place, *names):
        return True
    holding = [laid for laid in place.stack if laid.felting_share > 0]
    if holding and all(laid.layer.role == "open" for laid in holding):
        return True
    return place.share < 1e-6


def _is_closed(place: Place) -> bool:
    """Whether a sheet without holes lies there: bought felt or close cloth."""
    return any(part.stuff.lot.preparation in SHEETS for laid in place.stack for part in laid.parts)


def _look(bench: Bench, face: FaceBuild, place: Place) -> Thin | Said | None:
    use = bench.build.use
    if not place.stack and ((use is not None and use.open) or _is_ring(bench)):
        return None
    coarsest = place.bare("high")
    if _is_closed(place) or all(_level(coarsest, pair) is None for pair in _limits(bench)):
        return None
    verdicts = {
        (level, end)
        for end in ("low", "usual", "high")
        for level in (_level(place.bare(end), pair) for pair in _limits(bench))
    }
    levels = {level for level, _ in verdicts}
    if levels != {None} and _exempt(bench, face, place):
        return None
    if None in levels and len(levels) > 1:
        return _unsure(bench, place, verdicts)
    return Thin(place, _sure(bench, place), place.bare())


def _is_ring(bench: Bench) -> bool:
    """Whether all that is laid lies on rims: a wreath, a frame or a collar, whose middle is its hole."""
    zones = [
        bench.recipe.zone(one.zone) for layer in bench.recipe.layers for one in layer.placements
    ]
    return all(zone is not None and zone.shape == "rim" for zone in zones)


def _level(bare: float, limits: tuple[float, float]) -> str | None:
    return "fault" if bare > limits[1] else "caution" if bare > limits[0] else None


def _sure(bench: Bench, place: Place) -> str:
    kinder = figures.bare(place.stack, "low", kinder=True)
    return "fault" if _level(kinder, _limits(bench)[0]) == "fault" else "caution"


def _unsure(
    bench: Bench, place: Place, verdicts: set[tuple[str | None, str]]
) -> Said | Thin | None:
    together: dict[object, float] = {}
    for laid in place.stack:
        together[laid.portion_of] = together.get(laid.portion_of, 0.0) + laid.areal
    for laid in sorted(place.stack, key=lambda one: -_roughly(together[one.portion_of])):
        for part in sorted(laid.parts, key=_heaviest_first):
            if part.stuff.holds and not part.stuff.fineness_stated:
                return bench.unsaid(
                    part.stuff.lot, "say its fineness: whether the piece is thin depends on it"
                )
    if bench.build.use is None:
        return bench.unsaid(
            bench.recipe.piece, "say its use: whether the piece is thin depends on it"
        )
    level = _level(place.bare(), _limits(bench)[0])
    return Thin(place, "caution", place.bare()) if level else None


def _heaviest_first(part: Part) -> tuple[float, str]:
    return -_roughly(part.areal), part.stuff.lot.name


def _roughly(areal: float) -> float:
    """As closely as hands lay: what differs by less is as heavy."""
    return float(f"{areal:.2g}")


def _groups(thin: list[Thin], beside: Beside) -> list[list[Thin]]:
    """Places of which one stack holds all that the other does have one cause: join them.

    So have those beside each other where as much of the same layers lies.
    """
    groups: list[tuple[list[Keys], list[Thin]]] = []
    for one in sorted(thin, key=_rank):
        keys: Keys = frozenset(
            laid.portion_of for laid in one.place.stack if laid.felting_share > 0
        )
        near = {id(place) for place in beside.get(id(one.place), ())}
        fitting = [
            g for g in groups
            if any(_one_cause(keys, known) for known in g[0]) or any(id(t.place) in near for t in g[1])
        ]  # fmt: skip
        joined = ([keys], [one])
        for known, members in fitting:
            joined = (known + joined[0], members + joined[1])
        groups = [g for g in groups if g not in fitting] + [joined]
    return [members for _, members in groups]


def _one_cause(one: Keys, two: Keys) -> bool:
    return bool(one) == bool(two) and (one <= two or two <= one)


def _rank(thin: Thin) -> tuple[object, ...]:
    """The thinnest first; those alike by the names of what lies there, so that no order counts."""
    names = tuple(
        (one.layer.name, one.placement.of, one.placement.zone) for one in thin.place.stack
    )
    return thin.level != "fault", -round(thin.bare, 9), thin.place.areal, names


@attrs.frozen(eq=False, repr=False)
class Cause:
    """Places that are thin for one reason: the worst of them, all of them, and where that is."""

    worst: Thin
    level: str
    places: tuple[Place, ...]
    also: tuple[str, ...]
    where: str
    more: str


def _finding(bench: Bench, face: FaceBuild, group: list[Thin]) -> Said:
    level = "fault" if any(one.level == "fault" for one in group) else "caution"
    worst = min(group, key=_rank)
    areal = worst.place.areal
    places = tuple(one.place for one in group)
    alike = [place for place in places if abs(place.areal - areal) <= ALIKE * areal]
    more = " Parts beside it are thin too." if len(alike) < len(group) else ""
    where = figures.locate(alike, face)
    return _bare_finding(bench, Cause(worst, level, places, _also(face, places), where, more))


def _about(bench: Bench, place: Place) -> object:
    """What lies there that felts and weighs most, in however many portions; else the piece."""
    holding = [laid for laid in place.stack if laid.felting_share > 0] or place.stack
    most, _ = figures.weightiest(holding)
    return bench.recipe.piece if most is None else most.about


def _also(face: FaceBuild, places: tuple[Place, ...]) -> tuple[str, ...]:
    """Names of what lies at every one of these places; the whole only if they are all over."""
    all_over = sum(place.share for place in places) > 0.97
    found = figures.names_at_all(places)
    return (face.name, *found) if all_over or face.name != "whole" else found


def _bare_finding(bench: Bench, cause: Cause) -> Said:
    place, limits = cause.worst.place, _limits(bench)[0]
    lot = figures.heaviest_lot(place)
    return bench.finding(
        cause.level,
        _about(bench, place),
        _message(place, cause.where, cause.level) + cause.more,
        _mend(bench, place, limits[0]),
        measured=Figure("bare index", cause.worst.bare, ""),
        limit=Figure(
            f"bare index for a {cause.level}", limits[1 if cause.level == "fault" else 0], ""
        ),
        how=figures.bare_sum(place) + (f" ({lot})" if lot else ""),
        where=cause.where, also=cause.also, at=cause.places,
    )  # fmt: skip


def _message(place: Place, where: str, level: str) -> str:
    if not place.stack:
        return f"Nothing is laid {where}."
    if place.felting_areal <= 0:
        return f"Nothing that felts is laid {where}: what lies there has nothing to hold it."
    some = place.felting_areal < 0.7 * place.areal
    amount = figures.areal(place.felting_areal)
    of = f", of {figures.areal(place.areal)} in all" if some else ""
    end = "holes are likely" if level == "fault" else "thin patches may show"
    return f"Only {amount} that felts lies {where}{of}: {end}."


def _mend(bench: Bench, place: Place, caution: float) -> str:
    meant = "or say that it is meant (on purpose, what: thin)"
    if place.felting_areal <= 0:
        return f"Let a layer that felts reach there, {meant}."
    need = max(figures.areal_for_bare(place, caution), place.felting_areal + STEP)
    more, use = need - place.felting_areal, bench.build.use
    least = (
        f"about {figures.areal_at_least(need)} that felts, that is "
        f"{figures.areal_at_least(more)} more there, {meant}."
    )
    if use is None or place.areal + more >= use.low:
        return f"Lay it with {least}"
    return (
        f"Lay it with {figures.areal(use.low)} or more, as is usual for the use {use.name}: at the very "
        f"least with {least}"
    )


_SCARF = """\
piece: {{title: Mist scarf, use: {use}, shape: rectangle, laid out: 200 x 50 cm, stage: light}}
lots:
  fog: {{fibre: merino, preparation: combed top, fineness: 18.5 um}}
layers:
  - {{name: along, of: fog, amount: {each}, direction: east-west, lay: shingle}}
  - {{name: across, of: fog, amount: {each}, direction: north-south, lay: shingle}}
"""

RULE = Rule(
    id="thin-layer",
    title="Enough that felts at each place",
    since="0.1.0",
    purpose="A place with too little fibre that felts gets holes, or is too weak for its use. What "
    "counts is the whole stack at a place, not each layer, and not the average of the piece.",
    judge=judge,
    limits=(
        Limit(
            "bare-caution", 0.03, "", "bare index from which thin patches may show, where the table "
            "of uses gives none",
            "about 87 g/m² of 20.5 um wool, by hand (practitioner's samples, from memory)",
            "60 to 1200 g/m²",
        ),
        Limit(
            "bare-caution-draping", 0.08, "", "the same for a draping piece, where the use isn't "
            "said", "two crossed layers of 60 g/m² in all are a scarf (common practice, no source)",
        ),
        Limit(
            "narrow", 0.01, "m", "a part narrower than this is bridged by the fibre beside it",
            "common practice, no source", "staples of 50 to 90 mm",
        ),
        Limit(
            "narrow-part", 0.04, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
    ),
    examples=(
        Example("a scarf of 30 g/m² in all", _SCARF.format(use="scarf", each="15 g/m²"), "fault"),
        Example("the same as a cobweb", _SCARF.format(use="cobweb", each="20 g/m²")),
        Example("a scarf of two fine crossed layers", _SCARF.format(use="scarf", each="30 g/m²")),
    ),
    purposes=("thin",),
    model="Coverage c = 4 w / (π d ρ), summed over the fibre that felts (w kg/m², d diameter, ρ "
    "density). Bare index B = (1 + c v²)^(-1/v²), v the unevenness of the laying (combed top 0.30, "
    "carded 0.15, prefelt 0.10). Random deposit: Kallmes & Corte, Tappi 43 (1960) 737; gamma "
    "distributed coverage: Greenwood & Yule (1920). B orders places; it is no percentage of holes.",
    weak_spots="Crimp and loft are left out. B is about five times low as a share of holes in simulated "
    "ordinary laying. A rim that is thin only because shingling ends at the outline is not "
    "looked at. Where all lies on rims, the middle is taken for the hole of a ring. Open "
    "cloth, openwork and places narrower than a staple's bridge are exempt; bought felt and "
    "close cloth count as closed, whether wool holds on them or not.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
    explained_by=("rows-and-laps",),
)  # fmt: skip
