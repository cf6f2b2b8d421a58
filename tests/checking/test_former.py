"""Names that rules had: studio files and waivers that still use them are answered with what became of it."""

from __future__ import annotations

import types
from pathlib import Path
from typing import Any

import attrs
import pytest
from kit import UNCROSSED, run

import felt_engine
from felt_engine import Engine, Plugins, Rule, StudioError
from felt_engine.checking.former import Former, former_ids
from felt_engine.data.former_rules import FORMER
from felt_engine.model.studio import release

TABLE = {
    "balance": {"now": "direction-balance", "since": "0.0.9", "why": "It judges places too"},
    "pull": {"now": "balance"},
    "moon-phase": {"since": "0.0.8", "why": "Nobody could show that it matters."},
}
WAIVED = UNCROSSED + "waivers: [{rule: OLD, where: design, why: it is to frill}]\n"
STUDIO = "name: Saltgrass Felt\nrules:\n  {}: {{{}}}\n"


@pytest.fixture
def renamed(monkeypatch: pytest.MonkeyPatch) -> Engine:
    """An engine whose table of former ids has entries."""
    monkeypatch.setattr("felt_engine.plugins.FORMER", TABLE)
    return Engine()


def with_rules(*rules: Rule) -> Engine:
    plugins = Plugins.load()
    hooked = felt_engine.hook(lambda: rules)
    plugins.register(types.SimpleNamespace(felt_engine_rules=hooked), "shop:house", "shop", "7.1")
    return Engine(plugins)


def house(name: str = "house-rule", **more: Any) -> Rule:
    def judge(bench: Any) -> Any:
        yield bench.finding("fault", bench.recipe.piece, "m", "d")

    return Rule(name, "A rule", "1", "To try out.", judge, **more)


# the table ----------------------------------------------------------------------------------------


def test_the_table_fits_the_rules_that_there_are() -> None:
    book = Engine(Plugins.built_in()).rule_book
    living = {one.rule.id: one.rule for one in book.rules}
    for name, entry in FORMER.items():
        assert set(entry) <= {"now", "since", "why"} and entry["why"], name
        assert release(entry["since"]) and name not in living
        now = book.former[name].now
        assert now is None or name in living[now].formerly
    for rule in living.values():
        assert set(rule.formerly) <= set(FORMER), rule.id


def test_former_ids_are_followed_to_the_last() -> None:
    rules = [house("direction-balance", formerly=("way",)), house("other")]
    found = former_ids(rules, TABLE)
    assert {name: one.now for name, one in found.items()} == {
        "way": "direction-balance", "balance": "direction-balance", "pull": "direction-balance",
        "moon-phase": None,
    }  # fmt: skip
    circle = {"a": {"now": "b"}, "b": {"now": "a"}}
    assert set(former_ids(rules, circle)) == {"a", "b", "way"}
    assert "moon-phase" not in former_ids([house("moon-phase")], TABLE)


def test_what_became_of_it_is_a_sentence() -> None:
    assert Former("a", "b").told == "The rule “a” is called “b”."
    assert Former("a", "b", "0.2.0", "It does more.").told == (
        "The rule “a” is called “b” since release 0.2.0: It does more."
    )
    assert Former("a", None, "0.2.0", "No use").told == (
        "The rule “a” was retired in release 0.2.0: No use."
    )
    assert Former("a").told == "The rule “a” was retired."


# waivers ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["balance", "pull"])
def test_a_waiver_under_a_former_name_holds_with_a_note(renamed: Engine, name: str) -> None:
    report = renamed.check(WAIVED.replace("OLD", name))
    assert report.verdict == "note" and report.exit_status() == 0
    (finding,) = (f for f in report.findings if f.rule == "direction-balance")
    assert finding.waived == "it is to frill"
    (note,) = (f for f in report.findings if f.rule == "waivers")
    assert f"“{name}” is called “direction-balance”" in note.message
    assert note.message.endswith("The waiver holds.") and note.do == "Write direction-balance."
    assert note.spot.pointer == "/waivers/0" and note.spot.line


def test_a_waiver_of_a_retired_rule_is_answered_with_the_reason(renamed: Engine) -> None:
    report = renamed.check(WAIVED.replace("OLD", "moon-phase"))
    (note,) = (f for f in report.findings if f.rule == "waivers")
    assert "retired in release 0.0.8: Nobody could show" in note.message
    assert note.do == "Take it out." and report.verdict == "fault"


def test_a_waiver_under_a_former_name_that_excuses_nothing_says_both(renamed: Engine) -> None:
    report = renamed.check(WAIVED.replace("OLD", "balance").replace("where: design", "where: base"))
    notes = [f.message for f in report.findings if f.rule == "waivers"]
    assert len(notes) == 2 and any("nothing wholly at “base”" in text for text in notes)


def test_a_rule_says_itself_what_it_was_called() -> None:
    engine = with_rules(house(formerly=("shop-rule",)))
    waiver = "waivers: [{rule: shop-rule, where: whole, why: so}]\n"
    report = engine.check(UNCROSSED + waiver)
    (finding,) = (f for f in report.findings if f.rule == "house-rule")
    assert finding.waived == "so"


def test_a_cause_may_be_named_as_it_was() -> None:
    effect = house("effect", explained_by=("was-cause",))
    engine = with_rules(house("cause", formerly=("was-cause",)), effect)
    report = engine.check(UNCROSSED)
    (cause,) = (f for f in report.findings if f.rule in ("cause", "effect"))
    assert cause.rule == "cause" and [one.rule for one in cause.explains] == ["effect"]


# studio files -------------------------------------------------------------------------------------


def test_a_studio_file_under_a_former_name_holds_with_a_note(renamed: Engine) -> None:
    text = STUDIO.format("balance", "loudest: note, limits: {caution: 0.3}")
    engine = renamed.with_studio(text)
    report = engine.check(UNCROSSED)
    (finding,) = (f for f in report.findings if f.rule == "direction-balance")
    assert finding.level == "note" and finding.rule_says == "fault"
    assert report.studio is not None and [s.rule for s in report.studio.limits] == [
        "direction-balance"
    ]
    (note,) = report.studio.notes
    assert note.endswith("It judges places too. What is set for it holds.")
    for exporter in ("text", "json", "page"):
        flat = " ".join(engine.export(report, exporter).split())
        assert "What is set for it holds." in flat, exporter
    assert felt_engine.report_from_json(engine.export(report, "json")) == (report,)


def test_a_studio_file_with_a_retired_rule_gets_the_reason(renamed: Engine) -> None:
    engine = renamed.with_studio(STUDIO.format("moon-phase", "limits: {days: 3}, anything: else"))
    report = engine.check(UNCROSSED)
    assert report.studio is not None and report.verdict == "fault"
    (note,) = report.studio.notes
    assert "Nobody could show" in note and note.endswith("What is set for it does nothing.")


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        (STUDIO.format("balance", "limits: {corner: 1}"), 3, "the limit"),
        (STUDIO.format("balance", "loudest: note, quietest: fault"), 3, "louder than note"),
        (STUDIO.format("balance", "loudest: note") + "  direction-balance: {loudest: fault}\n", 3,
         "by a name of old"),
        (STUDIO.format("balance", "loudest: note") + "  pull: {loudest: fault}\n", 4,
         "by a name of old"),
        (STUDIO.format("balanc", "loudest: note"), 3, "not known"),
    ],
)  # fmt: skip
def test_what_is_wrong_under_a_former_name_is_an_error(
    renamed: Engine, text: str, line: int, found: str
) -> None:
    with pytest.raises(StudioError) as caught:
        renamed.with_studio(text)
    (problem,) = caught.value.problems
    assert problem.line == line and found in problem.found
    assert "balance," not in problem.expected.replace("direction-balance,", "")


def test_the_schema_shows_names_of_today_alone(renamed: Engine) -> None:
    names = renamed.studio_schema()["$defs"]["rules"]["properties"]
    assert "direction-balance" in names and not {"balance", "pull", "moon-phase"} & set(names)


# clashes ------------------------------------------------------------------------------------------


def test_a_former_name_that_another_rule_has_is_refused() -> None:
    engine = with_rules(house(formerly=("thin-layer",)))
    report = engine.check(UNCROSSED)
    (broke,) = report.not_judged
    assert broke.what == "house-rule" and "thin-layer belongs to felt-engine" in broke.reason
    assert "thin-layer" in report.judged and "house-rule" not in report.judged


def test_two_rules_with_one_former_name_are_one_too_many() -> None:
    engine = with_rules(house("a-one", formerly=("old",)), house("b-two", formerly=("old",)))
    report = engine.check(UNCROSSED)
    (broke,) = report.not_judged
    assert broke.what == "b-two" and "its former name old belongs to shop" in broke.reason


@pytest.mark.parametrize("names", [("Old Name",), ("",), ("house-rule",), (3,), "old"])
def test_a_former_name_is_an_id(names: Any) -> None:
    report = with_rules(attrs.evolve(house(), formerly=names)).check(UNCROSSED)
    assert [b.what for b in report.not_judged] == ["house-rule"]


# the command --------------------------------------------------------------------------------------

FILE = """
import felt_engine

def judge(bench):
    return ()

@felt_engine.hook
def felt_engine_rules():
    return (felt_engine.Rule("knot-count", "Knots", "1", "To try out.", judge, formerly=("knots",)),)
"""


def test_the_page_is_found_under_a_former_name(tmp_path: Path) -> None:
    (tmp_path / "house.py").write_text(FILE, encoding="utf-8")
    done = run("rules", "knots", "--rule-file", "house.py", cwd=tmp_path)
    assert done.returncode == 0 and done.stdout.startswith("knot-count\n  Formerly knots.\n")
    assert "The rule “knots” is called “knot-count”." in done.stderr
