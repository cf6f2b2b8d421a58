"""Cause first: what comes of one slip hangs under it; nothing else is hidden."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import attrs
import pytest
from kit_rules import laid, sheet, text_of

import felt_engine
from felt_engine import Bench, Finding, Report, Rule, Said
from felt_engine.checking.rulebook import Judged, Shelved, judge_all
from felt_engine.checking.rulebook import RuleBook as Book
from felt_engine.checking.settle import settle

RECIPE = sheet(
    laid("oat", "0.4 oz", "east-west", name="along"),
    laid("ice", "0.4 oz", "north-south", name="across"),
    laid("chalk", "0.4 oz", "east-west", name="sun", zone="sun"),
    zones={"sun": {"shape": "round", "size": "3 in", "at": "6 in east, 6 in north"}},
    waivers=[{"rule": "slip", "where": "along", "why": "a trial"}],
)
BUILD = felt_engine.measure(felt_engine.load(text_of(RECIPE)))


def rule(
    name: str, judge: Callable[[Bench], Iterable[Said]], *by: str, again: bool = False
) -> Rule:
    return Rule(name, name, "0.1.0", "a test", judge, explained_by=by, reconsiders=again)


def says(level: str, layer: int, *places: int, text: str = "seen") -> Callable[[Bench], list[Said]]:
    def judge(bench: Bench) -> list[Said]:
        at = tuple(bench.build.places[n] for n in places)
        return [bench.finding(level, bench.recipe.layers[layer], text, "mend it", at=at)]

    return judge


def reported(*rules: Rule) -> Report:
    book = Book(tuple(Shelved(one, "test", "0") for one in rules))
    judged = judge_all(book, BUILD, felt_engine.measure)
    assert not [one.broke for one in judged if one.broke], judged
    return settle(BUILD, judged, (), lambda pointer: (None, None), "0")


def told(report: Report) -> list[tuple[str, str, tuple[str, ...]]]:
    return [
        (f.rule, f.level, tuple(e.rule for e in f.explains))
        for f in report.findings if f.rule != "waivers"
    ]  # fmt: skip


def test_the_effect_hangs_under_its_declared_cause_which_is_as_grave() -> None:
    report = reported(
        rule("slip", says("caution", 1, 0)), rule("thin", says("fault", 1, 0), "slip")
    )
    assert told(report) == [("slip", "fault", ("thin",))]
    (effect,) = report.findings[0].explains
    assert (effect.level, effect.message, effect.spot.pointer) == ("fault", "seen", "/layers/1")
    assert report.exit_status() == 1


@pytest.mark.parametrize(
    ("cause", "effect", "hangs"),
    [
        (says("fault", 1, 0), says("fault", 1, 1), False),
        (says("fault", 1, 0), says("fault", 1, 0, 1), False),
        (says("fault", 1, 0, 1), says("fault", 1, 1), True),
        (says("fault", 1, 0), says("fault", 2, 0), True),
        (says("fault", 1), says("fault", 1, 0), True),
        (says("fault", 1), says("fault", 2), False),
    ],
)
def test_only_at_the_same_place(
    cause: Callable[[Bench], list[Said]], effect: Callable[[Bench], list[Said]], hangs: bool
) -> None:
    found = told(reported(rule("slip", cause), rule("thin", effect, "slip")))
    assert (len(found) == 1) == hangs


def test_undeclared_nothing_hangs() -> None:
    report = reported(rule("slip", says("caution", 1, 0)), rule("thin", says("fault", 1, 0)))
    assert told(report) == [("thin", "fault", ()), ("slip", "caution", ())]


def test_a_chain_hangs_under_its_first_cause() -> None:
    report = reported(
        rule("a", says("caution", 1, 0)),
        rule("b", says("caution", 1, 0), "a"),
        rule("c", says("fault", 1, 0), "b"),
    )
    assert told(report) == [("a", "fault", ("c", "b"))]


def test_causes_in_a_circle_lose_nothing() -> None:
    report = reported(rule("a", says("caution", 1, 0), "b"), rule("b", says("caution", 1, 0), "a"))
    assert [(rule, len(under)) for rule, _, under in told(report)] == [("a", 1)]


def test_a_waived_cause_hides_nothing() -> None:
    report = reported(rule("slip", says("fault", 0)), rule("thin", says("fault", 0), "slip"))
    assert {f.rule: f.waived for f in report.findings} == {"slip": "a trial", "thin": None}


def test_any_order_of_rules_gives_one_report() -> None:
    rules = [
        rule("slip", says("caution", 1, 0)),
        rule("other", says("caution", 1, 0)),
        rule("thin", says("fault", 1, 0), "slip", "other"),
    ]
    first = reported(*rules)
    assert told(first) == [("slip", "fault", ("thin",)), ("other", "caution", ())]
    assert all(reported(*order) == first for order in (rules[::-1], [rules[2], *rules[:2]]))


def reconsidering(bench: Bench) -> list[Said]:
    halved = attrs.evolve(bench.recipe, layers=bench.recipe.layers[:1])
    gone = [f for r, f in bench.found if r == "counts"]
    left = [f for r, f in bench.again(halved) if r == "counts"]
    assert [f.message for f in gone] == ["3 layers"] and [f.message for f in left] == ["1 layers"]
    return [bench.finding("caution", bench.recipe.piece, "one slip", "mend", explains=tuple(gone))]


def counts(bench: Bench) -> list[Said]:
    text = f"{len(bench.recipe.layers)} layers"
    return [bench.finding("fault", bench.recipe.layers[0], text, "mend")]


def test_a_rule_that_reconsiders_sees_the_others_and_a_changed_recipe() -> None:
    report = reported(rule("a-slip", reconsidering, again=True), rule("counts", counts))
    assert told(report) == [("a-slip", "fault", ("counts",))]


def test_other_rules_may_not_ask_again() -> None:
    seen: list[int] = []

    def asks(bench: Bench) -> list[Said]:
        seen.append(len(bench.found))
        bench.again(bench.recipe)
        return []

    book = Book((Shelved(rule("counts", counts), "t", "0"), Shelved(rule("x", asks), "t", "0")))
    judged: list[Judged] = judge_all(book, BUILD, felt_engine.measure)
    assert seen == [0]
    broke = judged[1].broke
    assert broke is not None and "reconsider" in broke.reason


def test_what_it_explains_is_to_be_findings() -> None:
    def wrong(bench: Bench) -> list[Said]:
        one = bench.finding("fault", bench.recipe.piece, "m", "d")
        return [attrs.evolve(one, explains=("thin",))]

    book = Book((Shelved(rule("wrong", wrong), "t", "0"),))
    (judged,) = judge_all(book, BUILD, felt_engine.measure)
    assert judged.broke is not None and "explains" in judged.broke.reason
    assert not [s for s in judged.said if isinstance(s, Finding)]


def test_text_page_and_json_tell_what_comes_of_it() -> None:
    report = reported(
        rule("slip", says("caution", 1, 0)), rule("thin", says("fault", 1, 0, text="bare"), "slip")
    )
    for exporter in ("text", "page", "json"):
        text = felt_engine.export(report, exporter)
        assert "bare" in text and "thin" in text
    assert felt_engine.report_from_json(felt_engine.export(report, "json")) == (report,)
