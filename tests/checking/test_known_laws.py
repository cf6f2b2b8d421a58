"""Known findings: what may change around a finding, and what must not be let through with one."""

from __future__ import annotations

import random
import types
from typing import Any

import attrs
import felt_rules
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kit_gate import HOSTILE
from kit_rewrite import rewritten, to_milligrams
from kit_rules import CASES, cases, text_of

import felt_engine
from felt_engine.api import Engine
from felt_engine.checking.fingerprint import counted, digest
from felt_engine.checking.known import KnownOne, in_order, known_of, marked, standing
from felt_engine.checking.known_file import from_text, to_text
from felt_engine.checking.reach import NINTHS, within
from felt_engine.checking.report import Consequence, Report, ReportedFinding, Spot
from felt_engine.declare import LEVELS

ENGINE = Engine()
TABLES = sorted(path.name for path in CASES.glob("*.yaml") if path.name != "shelf.yaml")
FOUND = [
    case for table in TABLES for case in cases(table)
    if set(case.expect.values()) & set(LEVELS)
]  # fmt: skip
ASKS_HOW_IT_IS_WRITTEN = ("unit-slip", "stated-totals")
LAID = """\
piece: {{title: Bench pad, use: seat pad, shape: rectangle, laid out: 60 x 60 cm, stage: firm}}
lots: {{grey: {{fibre: merino, preparation: combed top, fineness: 20.5 um}}}}
zones: {{most: {{shape: rectangle, size: 60 x {deep} cm, at: "0 cm east, {at} cm north"}}}}
layers:
  - {{name: along, of: grey, amount: 500 g/m², direction: east-west, zone: most}}
  - {{name: across, of: grey, amount: 500 g/m², direction: north-south, zone: most}}
  - {{name: veil, of: grey, amount: {veil} g/m², direction: random}}
"""


def signs(report: Report, but: tuple[str, ...] = ()) -> tuple[KnownOne, ...]:
    """All that is kept of a report's findings."""
    assert not report.problems, report.problems
    return tuple(one for one in known_of(report) if one.rule not in but)


@settings(max_examples=120, deadline=None)
@given(st.sampled_from(FOUND), st.integers(0, 2**32))
def test_writing_a_recipe_otherwise_keeps_its_fingerprints(case: Any, seed: int) -> None:
    text = rewritten(case.recipe, random.Random(seed))
    assert signs(ENGINE.check(text)) == signs(ENGINE.check(text_of(case.recipe)))


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(FOUND))
def test_other_units_keep_the_fingerprints(case: Any) -> None:
    one, two = (ENGINE.check(text_of(r)) for r in (case.recipe, to_milligrams(case.recipe)))
    if "unit-slip" not in case.expect:
        assert signs(one, ASKS_HOW_IT_IS_WRITTEN) == signs(two, ASKS_HOW_IT_IS_WRITTEN)


@pytest.mark.parametrize("table", TABLES)
def test_no_two_findings_of_a_recipe_share_a_fingerprint(table: str) -> None:
    for case in cases(table):
        report = ENGINE.check(text_of(case.recipe))
        every = [one for f in report.findings for one in (f, *f.explains)]
        assert len({one.fingerprint for one in every}) == len(every), case.name
        assert all(len(one.fingerprint) == 16 for one in every)


def thin(at: str = "0", deep: str = "45", veil: str = "40") -> Report:
    """A pad with a thin strip: where, how wide, how thin."""
    report = ENGINE.check(LAID.format(at=at, deep=deep, veil=veil))
    assert [one.rule for one in report.findings] == ["thin-layer"]
    return report


def passes(now: Report, before: Report) -> bool:
    """Whether all that is found now is known from before."""
    return all(one.known for one in marked(now, known_of(before)).findings)


def test_a_known_thin_strip_accepts_no_strip_elsewhere() -> None:
    north, south, both = thin("0"), thin("15"), thin("15", "30")
    assert passes(north, north) and passes(north, both) and passes(south, both)
    assert not passes(south, north) and not passes(both, north) and not passes(north, south)


def test_a_strip_that_is_mended_in_part_stays_known_and_one_that_spreads_does_not() -> None:
    north, half, wider = thin("0"), thin("0", "52"), thin("0", "30")
    assert passes(half, north) and passes(north, half) and not passes(wider, north)
    (one,) = standing(thin("0"), known_of(thin("15", "30")))
    assert one.at == ("whole: north", "whole: north-east", "whole: north-west")


def test_too_thin_is_not_too_thick() -> None:
    def found(amount: str) -> set[str]:
        text = LAID.format(at="0", deep="60", veil="40").replace("500 g/m²", amount)
        return {f.fingerprint for f in ENGINE.check(text).findings if f.rule == "weight-for-use"}

    assert found("60 g/m²") and found("6000 g/m²") and not found("60 g/m²") & found("6000 g/m²")


def test_a_reworded_rule_keeps_its_fingerprints() -> None:
    def reworded(bench: Any) -> Any:
        for said in rule.judge(bench):
            words = {"message": "Otherwise.", "do": "So.", "how": "Thus.", "where": "There."}
            yield attrs.evolve(said, **words) if isinstance(said, felt_engine.Finding) else said

    every = {one.id: one for one in felt_rules.felt_engine_rules()}
    rule = every["direction-balance"]
    every[rule.id] = attrs.evolve(rule, id="pull", judge=reworded, formerly=(rule.id,))

    @felt_engine.hook
    def felt_engine_rules() -> tuple[felt_engine.Rule, ...]:
        return tuple(every.values())

    plugins = felt_engine.Plugins()
    plugins.register(types.SimpleNamespace(felt_engine_rules=felt_engine_rules), "s:h", "s", "1")
    case = next(c for c in FOUND if "direction-balance" in c.expect)
    one, two = (
        engine.check(text_of(case.recipe)) for engine in (ENGINE, felt_engine.Engine(plugins))
    )
    kept = [f.fingerprint for f in one.findings if f.rule == rule.id]
    said = [f for f in two.findings if f.rule == "pull"]
    assert kept and [f.fingerprint for f in said] == kept
    assert {f.message for f in said} == {"Otherwise."}


REACH = st.lists(st.sampled_from(NINTHS[:3]), max_size=3, unique=True).map(
    lambda found: tuple(f"whole: {one}" for one in sorted(found))
)


@st.composite
def made(draw: st.DrawFn, most: int = 5) -> Report:
    """A report of findings of few rules about few things, some of which hang under another."""
    findings = []
    for line in range(1, draw(st.integers(0, most)) + 1):
        rule, thing = draw(st.sampled_from("ab")), draw(st.sampled_from("xy"))
        findings.append(
            ReportedFinding(
                rule,
                draw(st.sampled_from(LEVELS)),
                Spot(thing, f"/{line}", line, 1),
                f"m{line}",
                "",
                fingerprint=digest((rule, thing)),
                reach=draw(REACH),
            )
        )
    findings = counted(findings, lambda f: f.spot.line)
    if len(findings) > 2 and draw(st.booleans()):
        under = findings.pop()
        hung = Consequence(
            under.rule, under.level, under.spot, "", "", under.fingerprint, under.reach
        )
        findings[0] = attrs.evolve(findings[0], explains=(hung,))
    return Report("r.yaml", judged=("a", "b"), findings=tuple(findings))


@given(made())
def test_what_was_found_is_known_and_stays_so(report: Report) -> None:
    known = known_of(report)
    assert all(one.known for one in marked(report, known).findings)
    assert standing(report, known) == known


@given(made(), made(), st.randoms())
def test_known_findings_never_grow_and_writing_twice_changes_nothing(
    now: Report, before: Report, chance: random.Random
) -> None:
    known = list(known_of(before))
    chance.shuffle(known)
    still = standing(now, tuple(known))
    assert len(still) <= len(known)
    assert standing(now, still) == still
    accepted = [f.fingerprint for f in marked(now, tuple(known)).findings if f.known]
    assert accepted == [f.fingerprint for f in marked(now, still).findings if f.known]


def test_two_that_grew_graver_stay_written_alike_whichever_stood_first() -> None:
    places = [Spot("x", f"/{line}", line, 1) for line in (1, 2)]
    before, now = (
        Report("r", judged=("a",), findings=tuple(counted([
            ReportedFinding("a", level, spot, f"m{spot.line}", "", fingerprint=digest("x"), reach=at)
            for spot, at in zip(places, reaches, strict=True)
        ], lambda f: f.spot.line)))
        for level, reaches in (("note", [("w: south",), ("w: south-west",)]), ("fault", [(), ()]))
    )  # fmt: skip
    known = known_of(before)
    still = standing(now, known)
    assert {one.at for one in still} == {("w: south",), ("w: south-west",)}
    assert standing(now, still) == still == standing(now, known[::-1])


@given(made(), st.data())
def test_one_finding_more_is_never_known(report: Report, data: st.DataObject) -> None:
    (new,) = data.draw(made(1).filter(lambda one: one.findings)).findings
    new = attrs.evolve(
        new, message="new", spot=attrs.evolve(new.spot, line=data.draw(st.integers(0, 9)))
    )
    every = [*report.findings, new]
    shown = attrs.evolve(report, findings=tuple(_renumbered(every)))
    assert not all(one.known for one in marked(shown, known_of(report)).findings)


def _renumbered(findings: list[ReportedFinding]) -> list[ReportedFinding]:
    """As the engine numbers them; what hangs under another keeps the number that it has."""
    taken = {e.fingerprint for f in findings for e in f.explains}
    plain = [attrs.evolve(f, fingerprint=digest((f.rule, f.spot.thing))) for f in findings]
    found: list[ReportedFinding] = []
    for one in sorted(plain, key=lambda f: f.spot.line or 0):
        number, fingerprint = 1, one.fingerprint
        while fingerprint in taken:
            number += 1
            fingerprint = digest((one.fingerprint, str(number)))
        taken.add(fingerprint)
        found.append(attrs.evolve(one, fingerprint=fingerprint))
    return found


@given(made(), st.data())
def test_a_finding_that_became_graver_or_spread_is_never_known(
    report: Report, data: st.DataObject
) -> None:
    if not report.findings:
        return
    number = data.draw(st.integers(0, len(report.findings) - 1))
    one = report.findings[number]
    graver = LEVELS.index(one.level) > 0 and data.draw(st.booleans())
    wider = tuple(sorted({*one.reach, "whole: east"}))
    worse = attrs.evolve(one, level=LEVELS[0]) if graver else attrs.evolve(one, reach=wider)
    findings = (*report.findings[:number], worse, *report.findings[number + 1 :])
    shown = attrs.evolve(report, findings=findings)
    assert not all(f.known for f in marked(shown, known_of(report)).findings)


@given(made(), st.data())
def test_mending_any_finding_leaves_the_others_known(report: Report, data: st.DataObject) -> None:
    kept = (
        data.draw(st.lists(st.sampled_from(report.findings), unique=True))
        if report.findings
        else []
    )
    left = attrs.evolve(report, findings=tuple(_renumbered(kept)))
    known = known_of(report)
    assert all(f.known for f in marked(left, known).findings)
    assert len(standing(left, known)) == len(known_of(left))


def test_a_new_consequence_of_a_known_cause_is_new() -> None:
    cause = ReportedFinding("a", "fault", Spot("x", "/0", 1, 1), "m", "", fingerprint="1" * 16)
    hung = Consequence("b", "fault", cause.spot, "m", "", "2" * 16)
    before = Report("r", judged=("a",), findings=(cause,))
    now = attrs.evolve(before, findings=(attrs.evolve(cause, explains=(hung,)),))
    assert not marked(now, known_of(before)).known and marked(before, known_of(now)).known
    alone = attrs.evolve(cause, rule="b", fingerprint="2" * 16)
    assert marked(attrs.evolve(before, findings=(alone,)), known_of(now)).known


TEXTS = st.one_of(st.text(min_size=1), st.sampled_from([text for text in HOSTILE if text]))
ONES = st.builds(
    KnownOne, st.text("0123456789abcdef", min_size=16, max_size=16), TEXTS, st.sampled_from(LEVELS),
    TEXTS, st.lists(TEXTS, max_size=3).map(tuple),
)  # fmt: skip


@settings(deadline=None)
@given(
    st.dictionaries(TEXTS, st.lists(ONES, min_size=1, max_size=4).map(in_order), max_size=4),
    st.randoms(),
)
def test_what_is_written_is_read_again_in_any_order_of_lines(
    known: dict[str, tuple[KnownOne, ...]], chance: random.Random
) -> None:
    text = to_text(known)
    assert from_text(text) == known
    text.encode()
    head, *lines = text.splitlines()  # a line is a line, whichever way lines are counted
    assert len(lines) == sum(map(len, known.values()))
    lines += chance.sample(lines, len(lines) // 2)
    chance.shuffle(lines)
    merged = from_text("\r\n".join((head, *lines, "", "")))
    assert merged == known and to_text(merged) == text


def test_reaches_lie_in_one_another() -> None:
    everywhere = tuple(f"front: {one}" for one in NINTHS)
    assert within(everywhere, ("front: all over",)) and within(("front: all over",), everywhere)
    assert within(("front: north",), ("front: all over",)) and within((), ())
    assert not within(("back: north",), ("front: all over",)) and not within(("a",), ())
