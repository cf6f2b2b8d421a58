"""Findings in, report out: places, waivers, order. A pure function of what the rules said."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import attrs

from felt_engine.analysis.axes import bearing_of_angle
from felt_engine.analysis.build import Build, FaceBuild, Place
from felt_engine.analysis.say import OUNCE, up_at_half
from felt_engine.analysis.weights import Weight
from felt_engine.checking.causes import Told, arranged
from felt_engine.checking.drawn import Drawing, Mark
from felt_engine.checking.fingerprint import counted, of_finding
from felt_engine.checking.former import Former, former_ids
from felt_engine.checking.reach import reach_of
from felt_engine.checking.report import (
    FaceFigures,
    Intent,
    NotJudged,
    Remark,
    Report,
    ReportedFinding,
    Spot,
    WeightLine,
    WeightTable,
)
from felt_engine.checking.rulebook import Judged, RuleBook
from felt_engine.checking.unmatched import unmatched
from felt_engine.declare import LEVELS, Figure, Finding, Tip, Unsaid
from felt_engine.model.intent import Purpose, Waiver
from felt_engine.model.layup import Placement
from felt_engine.model.place import steps
from felt_engine.model.recipe import Recipe, pointer_of

Locate = Callable[[str], "tuple[int, int] | tuple[None, None]"]


def rounded(value: float) -> float:
    """Nine digits that count: enough for any figure, few enough to hide the last bits of units."""
    return float(f"{up_at_half(value):.9g}")


def settle(
    build: Build, judged: Iterable[Judged], broke: Iterable[NotJudged], locate: Locate, engine: str,
    drawing: bool = False, book: RuleBook | None = None,
) -> Report:  # fmt: skip
    """The report of one recipe. Any order of rules gives the same report.

    ``book`` says how loud rules may be, and which rest; a purpose or a waiver may still name those.
    """
    recipe = build.recipe
    levels = book.levels if book else {}
    resting = [one.shelved for one in book.resting] if book else []
    by_rule = sorted(judged, key=lambda j: j.shelved.rule.id)
    former = book.former if book else former_ids((j.shelved.rule for j in by_rule), {})
    spots = _Spots(recipe, locate)
    used_waivers: set[int] = set()
    told = [
        Told(
            one.shelved.rule, said,
            _levelled(_reported(one, said, recipe, spots, used_waivers, former), levels),
        )
        for one in by_rule for said in one.said if isinstance(said, Finding)
    ]  # fmt: skip
    told.sort(key=lambda one: _order(one.reported))
    stamped = counted([one.reported for one in told], _in_the_recipe)
    told = [attrs.evolve(one, reported=r) for one, r in zip(told, stamped, strict=True)]
    findings = arranged(told)
    purposes = _purposes(recipe, by_rule, spots)
    waivers = tuple(
        Intent(w.rule, w.where, w.why, spots.of(w), index in used_waivers)
        for index, w in enumerate(recipe.waivers)
    )
    idle = list(unmatched(purposes, waivers, by_rule, resting, former))
    findings.extend(counted(idle, _in_the_recipe))
    findings.sort(key=_order)
    piece = recipe.piece
    return Report(
        name=recipe.source.name if recipe.source else "",
        title=piece.title,
        findings=tuple(dict.fromkeys(findings)),
        unsaid=_remarks(by_rule, Unsaid, spots),
        tips=_remarks(by_rule, Tip, spots),
        not_judged=tuple(
            sorted(
                [*broke, *(j.broke for j in by_rule if j.broke)],
                key=lambda b: (b.what, b.package, b.reason),
            )
        ),
        purposes=purposes,
        waivers=waivers,
        judged=tuple(j.shelved.rule.id for j in by_rule if not j.broke),
        looked_for=tuple(j.shelved.rule.title for j in by_rule if not j.broke),
        weights=_weights(build),
        faces=tuple(_face(face) for face in build.faces),
        engine=engine,
        use=piece.use,
        drawing=_draw(build) if drawing else None,
    )


def _draw(build: Build) -> Drawing:
    from felt_engine.checking.drawing import draw

    return draw(build)


def _marks(said: Finding) -> tuple[Mark, ...]:
    if not said.at:
        return ()
    from felt_engine.checking.drawing import mark

    return tuple(dict.fromkeys(mark(place) for place in said.at))


class _Spots:
    def __init__(self, recipe: Recipe, locate: Locate) -> None:
        self.recipe, self.locate = recipe, locate
        self.made: dict[str, Spot] = {}

    def of(self, thing: object) -> Spot:
        pointer = pointer_of(self.recipe, thing) or ""
        spot = self.made.get(pointer)
        if spot is None:
            line, column = self.locate(pointer)
            spot = self.made[pointer] = Spot(
                _thing(thing, pointer, self.recipe), pointer, line, column
            )
        return spot


def _thing(thing: object, pointer: str, recipe: Recipe) -> str:
    kind = _KINDS.get(type(thing).__name__) or type(thing).__name__.lower()
    at = steps(pointer)
    if thing is recipe.scale_step and at:
        return at[-1]
    if isinstance(thing, Placement) and at:
        return f"layer “{recipe.layers[int(at[1])].name}”, “{thing.of}”"
    name = getattr(thing, "name", None) or getattr(thing, "of", None)
    if name:
        return f"{kind} “{name}”"
    if at and at[-1].isdigit():
        said = getattr(thing, "do", None)
        return f"{kind} {int(at[-1]) + 1}" + (f", {said}" if said else "")
    return kind


_KINDS = {"PrintedCaution": "printed caution"}


def _reported(
    one: Judged, said: Finding, recipe: Recipe, spots: _Spots, used: set[int],
    former: Mapping[str, Former],
) -> ReportedFinding:  # fmt: skip
    rule = one.shelved.rule.id
    given = {
        index: waiver for index, waiver in enumerate(recipe.waivers)
        if waiver.rule == rule
        or ((was := former.get(waiver.rule)) is not None and was.now == rule)
    }  # fmt: skip
    accepting = _accepting(said, given, recipe)
    used.update(accepting)
    waived = "; ".join(dict.fromkeys(given[n].why for n in accepting)) if accepting else None
    return ReportedFinding(
        rule, said.level, spots.of(said.about), said.message, said.do, _figure(said.measured),
        _figure(said.limit), said.how, said.where, waived, _marks(said),
        fingerprint=of_finding(one.shelved.rule, said, recipe), reach=reach_of(said),
    )  # fmt: skip


def _levelled(
    finding: ReportedFinding, levels: Mapping[str, tuple[str | None, str | None]]
) -> ReportedFinding:
    """The finding no quieter and no louder than the studio file wants this rule's findings."""
    quietest, loudest = levels.get(finding.rule, (None, None))
    if quietest is None and loudest is None:
        return finding
    rank = LEVELS.index(finding.level)
    if quietest is not None:
        rank = min(rank, LEVELS.index(quietest))
    if loudest is not None:
        rank = max(rank, LEVELS.index(loudest))
    if LEVELS[rank] == finding.level:
        return finding
    return attrs.evolve(finding, level=LEVELS[rank], rule_says=finding.level)


def _accepting(said: Finding, given: Mapping[int, Waiver], recipe: Recipe) -> list[int]:
    """The numbers of the waivers that accept a finding: one that names it, or some that hold all its places.

    What lies at places on both faces, or in zones beside each other, isn't accepted by a waiver for one.
    """
    keys = ("name", "of") if said.at else ("name", "of", "zone", "face")
    own = {str(getattr(said.about, key, "")) for key in keys} - {"whole"}
    faces = {place.face.name for place in said.at}
    names = own.union(set(said.also or ("whole",)) - (faces if len(faces) > 1 else set()))
    named = next((n for n, waiver in given.items() if waiver.where in names), None)
    if named is not None:
        return [named]
    found: dict[int, None] = {}
    for place in said.at if given else ():
        here = next((n for n, w in given.items() if _lies_at(place, w.where, recipe)), None)
        if here is None:
            return []
        found[here] = None
    return sorted(found)


def _lies_at(place: Place, where: str, recipe: Recipe) -> bool:
    zone = recipe.zone(where)
    return (zone is not None and place.lies_in(zone)) or where == place.face.name != "whole"


def _figure(figure: Figure | None) -> Figure | None:
    return None if figure is None else Figure(figure.name, rounded(figure.value), figure.unit)


def _order(finding: ReportedFinding) -> tuple[object, ...]:
    spot = finding.spot
    place = tuple(s.zfill(9) if s.isdigit() else s for s in steps(spot.pointer))
    line = (spot.line or 0, spot.column or 0)
    return LEVELS.index(finding.level), line, place, finding.rule, finding.message, finding.where


def _in_the_recipe(finding: ReportedFinding) -> tuple[object, ...]:
    """Where it stands; then how grave it is and where it lies, before any word of it."""
    level, line, place, rule, *words = _order(finding)
    return line, place, rule, level, finding.reach, *words


def _remarks(
    judged: list[Judged], kind: type[Unsaid] | type[Tip], spots: _Spots
) -> tuple[Remark, ...]:
    found = []
    for one in judged:
        for said in one.said:
            if isinstance(said, kind):
                text = said.what if isinstance(said, Unsaid) else said.text
                found.append(Remark(one.shelved.rule.id, spots.of(said.about), text))
    return tuple(sorted(dict.fromkeys(found), key=lambda r: (r.rule, r.spot.line or 0, r.text)))


def _purposes(recipe: Recipe, judged: list[Judged], spots: _Spots) -> tuple[Intent, ...]:
    used = {id(purpose) for one in judged for purpose in one.used}
    return tuple(_intent(p, spots, id(p) in used) for p in recipe.purposes)


def _intent(purpose: Purpose, spots: _Spots, matched: bool) -> Intent:
    return Intent(purpose.what, purpose.where, purpose.why, spots.of(purpose), matched)


def _line(weight: Weight, times: int = 1) -> WeightLine:
    kg = weight.kg * times
    return WeightLine(weight.name, rounded(kg * 1000), rounded(kg / OUNCE), weight.how)


def _weights(build: Build) -> WeightTable:
    weights = build.weights
    name = f"all {weights.count} pieces" if weights.count > 1 else "the piece"
    every = Weight(name, weights.piece.kg, f"one piece x {weights.count}")
    return WeightTable(
        tuple(_line(w) for w in weights.by_layer),
        tuple(_line(w) for w in weights.by_lot),
        tuple(_line(w) for w in weights.by_fibre),
        _line(weights.piece),
        _line(every, weights.count),
        weights.count,
    )


def _face(face: FaceBuild) -> FaceFigures:
    areas = [place.areal for place in face.places] or [0.0]
    mass = sum(place.areal * place.area for place in face.places)
    pull = abs(face.pull)
    axis = None
    if pull > 1e-9:
        import cmath

        axis = round(bearing_of_angle(cmath.phase(face.pull) / 2), 3)
    return FaceFigures(
        face.name, rounded(face.area), rounded(1000 * mass / face.area),
        rounded(1000 * min(areas)), rounded(1000 * max(areas)), round(pull, 6), axis,
        round(max((place.bare() for place in face.places), default=1.0), 6),
    )  # fmt: skip
