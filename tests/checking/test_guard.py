"""A rule that breaks down is named as not judged, says nothing, and stops nobody else."""

from __future__ import annotations

import types
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import pytest
from kit_rules import RULES, laid, report_of, sheet, text_of

import felt_engine
from felt_engine import Bench, Engine, Figure, Finding, Plugins, Rule, Tip, Unsaid

FAULTY = sheet(laid("sheet white", "0.4 oz"), laid("ice", "0.65 oz", "east-west", name="ground"))


def rule(judge: Callable[[Bench], Iterable[Any]], name: str = "house-rule") -> Rule:
    """A rule of the house with nothing on its page."""
    return Rule(name, "A rule of the house", "1", "To try out.", judge)


def engine(*rules: Rule) -> Engine:
    """The installed plugins and one more, with these rules."""
    plugins = Plugins.load()

    @felt_engine.hook
    def felt_engine_rules() -> tuple[Rule, ...]:
        return rules

    module = types.SimpleNamespace(felt_engine_rules=felt_engine_rules)
    plugins.register(module, "shop:house", "shop", "7.1")
    plugins.pending()
    return Engine(plugins)


class Mute(Exception):
    def __str__(self) -> str:
        raise RuntimeError("not even this")


class Word(str):
    __slots__ = ()


def _raises(error: BaseException) -> Callable[[Bench], Iterator[Any]]:
    def judge(bench: Bench) -> Iterator[Any]:
        raise error
        yield

    return judge


def _midway(bench: Bench) -> Iterator[Any]:
    yield bench.finding("fault", bench.recipe.layers[0], "said before it broke", "nothing")
    raise ValueError("half-way")


def _exits(bench: Bench) -> Iterator[Any]:
    import sys

    yield bench.tip(bench.recipe.piece, "about to go")
    sys.exit(0)


def _deep(bench: Bench) -> Iterator[Any]:
    yield from _deep(bench)


def _says(*things: Callable[[Bench], Any]) -> Callable[[Bench], Iterator[Any]]:
    return lambda bench: iter([thing(bench) for thing in things])


def _finding(**fields: Any) -> Callable[[Bench], Any]:
    """A sound finding about the piece, but for these fields."""

    def made(bench: Bench) -> Finding:
        plain = {"level": "fault", "about": bench.recipe.piece, "message": "m", "do": "d", **fields}
        return Finding(**plain)

    return made


def _foreign(bench: Bench) -> Any:
    other = felt_engine.load(text_of(FAULTY))
    return bench.finding("fault", other.layers[0], "of another recipe", "nothing")


def _copy(bench: Bench) -> Any:
    import copy

    return bench.finding("fault", copy.copy(bench.recipe.layers[0]), "of a copy", "nothing")


BROKEN = {
    "raises at once": (_raises(ValueError("no luck")), "ValueError: no luck"),
    "raises midway": (_midway, "ValueError: half-way"),
    "ends the program": (_exits, "it tried to end the program"),
    "ends the program with a word": (_raises(SystemExit("bye")), "it tried to end the program"),
    "runs too deep": (_deep, "RecursionError"),
    "stops a generator": (_raises(GeneratorExit()), "GeneratorExit"),
    "runs out of memory": (_raises(MemoryError()), "MemoryError"),
    "can't be printed": (_raises(Mute()), "Mute: (it could not say what)"),
    "says many lines": (_raises(ValueError("a\nb\n" + "c" * 1000)), "ValueError: a b ccc"),
    "asserts": (_raises(AssertionError()), "AssertionError"),
    "is no generator": (lambda bench: None, "TypeError"),
    "yields text": (_says(lambda bench: "thin"), "it yielded str"),
    "yields nothing": (_says(lambda bench: None), "it yielded NoneType"),
    "yields a tuple": (_says(lambda bench: ("fault", 3)), "it yielded tuple"),
    "yields for ever": (lambda bench: iter(lambda: bench.tip(bench.recipe, "on"), 0), "more than"),
    "unknown level": (_says(_finding(level="error")), "there is no level 'error'"),
    "level of another kind": (_says(_finding(level=["fault"])), "level"),
    "about nothing": (_says(_finding(about=None)), "no part of the recipe"),
    "about a text": (_says(_finding(about="ground")), "no part of the recipe"),
    "about another recipe": (_says(_foreign), "no part of the recipe"),
    "about a copy": (_says(_copy), "no part of the recipe"),
    "tip about nothing": (_says(lambda bench: Tip(None, "x")), "no part of the recipe"),
    "unsaid about nothing": (_says(lambda bench: Unsaid(3, "x")), "no part of the recipe"),
    "message is no text": (_says(_finding(message=42)), "message"),
    "message is missing": (_says(_finding(message=None)), "message"),
    "message is text of its own kind": (_says(_finding(message=Word("m"))), "message"),
    "message can't be written": (_says(_finding(message="\ud800")), "UnicodeEncodeError"),
    "advice is no text": (_says(_finding(do=b"lay it thicker")), "do"),
    "sum is no text": (_says(_finding(how=3.5)), "how"),
    "whereabouts are no text": (_says(_finding(where=None)), "where"),
    "names are one text": (_says(_finding(also="ground")), "also"),
    "names are no texts": (_says(_finding(also=(1, 2))), "also"),
    "names are missing": (_says(_finding(also=None)), "also"),
    "figure is a bare number": (_says(_finding(measured=0.3)), "measured"),
    "figure is not a number": (_says(_finding(measured=Figure("a", float("nan")))), "measured"),
    "figure is endless": (_says(_finding(limit=Figure("a", float("inf")))), "limit"),
    "figure is a text": (_says(_finding(measured=Figure("a", "3"))), "measured"),
    "figure has no name": (_says(_finding(measured=Figure(None, 3.0))), "measured"),
    "tip is no text": (_says(lambda bench: Tip(bench.recipe.piece, 5)), "text"),
    "unsaid is no text": (_says(lambda bench: Unsaid(bench.recipe.piece, None)), "what"),
    "limit that it lacks": (
        _says(lambda bench: bench.limit("depth")),
        "ValueError: Bench.limit can't",
    ),
    "purpose that it lacks": (_says(lambda bench: bench.meant("thin")), "declares no purpose"),
    "places are no places": (_says(_finding(at=("here",))), "at"),
}


@pytest.mark.parametrize(("judge", "reason"), BROKEN.values(), ids=BROKEN)
def test_a_broken_rule_is_not_judged_and_the_others_report(
    judge: Callable[[Bench], Iterable[Any]], reason: str
) -> None:
    report = engine(rule(judge)).check(text_of(FAULTY), name="kitchen table")
    (broke,) = report.not_judged
    assert (broke.what, broke.package, broke.version) == ("house-rule", "shop", "7.1")
    assert reason in broke.reason and "\n" not in broke.reason and len(broke.reason) < 400
    assert report.exit_status() == report.exit_status("note") == 3
    assert report.judged == RULES
    plain = report_of(FAULTY)
    assert report.findings == plain.findings and report.tips == plain.tips
    assert report.unsaid == plain.unsaid and report.weights == plain.weights


@pytest.mark.parametrize(("judge", "reason"), BROKEN.values(), ids=BROKEN)
def test_a_broken_rule_shows_in_every_format(
    judge: Callable[[Bench], Iterable[Any]], reason: str
) -> None:
    made = engine(rule(judge))
    report = made.check(text_of(FAULTY))
    for name in made.exporters:
        assert "house-rule" in made.export(report, name).replace("\\", ""), name
    assert felt_engine.report_from_json(made.export(report, "json")) == (report,)


def test_an_interrupt_from_the_keyboard_passes() -> None:
    with pytest.raises(KeyboardInterrupt):
        engine(rule(_raises(KeyboardInterrupt()))).check(text_of(FAULTY))


def test_all_rules_broken_is_no_silence() -> None:
    plugins = Plugins.load(())
    module = types.SimpleNamespace()
    hooked = felt_engine.hook(lambda: (rule(_midway, "a-one"), rule(_exits, "a-two")))
    module.felt_engine_rules = hooked
    plugins.register(module, "shop:house", "shop", "1")
    report = Engine(plugins).check(text_of(FAULTY))
    assert report.judged == () and report.findings == () and report.tips == ()
    assert [b.what for b in report.not_judged] == ["a-one", "a-two"]
    assert report.exit_status() == 3 and report.verdict == "not judged"


def test_the_trace_is_kept_for_who_asks_and_left_out_of_equality_and_print() -> None:
    report = engine(rule(_midway)).check(text_of(FAULTY))
    assert "half-way" in report.not_judged[0].trace and "Traceback" in report.not_judged[0].trace
    assert "Traceback" not in repr(report)


def test_a_sound_rule_is_judged_and_gets_its_places() -> None:
    def judge(bench: Bench) -> Iterator[Any]:
        recipe = bench.recipe
        yield bench.finding("note", recipe, "about the recipe", "read")
        yield bench.finding("caution", recipe.lots[0], "about a lot", "look", where="bag")
        yield bench.tip(recipe.layers[1].placements[0], "about an amount")
        yield bench.unsaid(recipe.piece, "more about the piece")

    report = engine(rule(judge)).check(text_of(FAULTY))
    ours = [f for f in report.findings if f.rule == "house-rule"]
    assert [(f.level, f.spot.pointer) for f in ours] == [
        ("caution", "/lots/sheet white"), ("note", ""),
    ]  # fmt: skip
    assert [t.spot.pointer for t in report.tips if t.rule == "house-rule"] == ["/layers/1"]
    assert [u.spot.pointer for u in report.unsaid if u.rule == "house-rule"] == ["/piece"]
    assert not report.not_judged and "house-rule" in report.judged


def test_what_is_said_twice_is_listed_once() -> None:
    def judge(bench: Bench) -> Iterator[Any]:
        for _ in range(3):
            yield bench.finding("note", bench.recipe.piece, "again", "listen")
            yield bench.tip(bench.recipe.piece, "again")

    report = engine(rule(judge)).check(text_of(FAULTY))
    assert len([f for f in report.findings if f.rule == "house-rule"]) == 1
    assert len([t for t in report.tips if t.rule == "house-rule"]) == 1


def test_limits_that_the_caller_sets_are_those_that_the_rule_sees() -> None:
    from felt_engine.checking.rulebook import judge

    build = felt_engine.measure(felt_engine.load(text_of(FAULTY)))
    shelved = Engine().rule_book.get("direction-balance")
    assert shelved is not None
    assert [said.level for said in judge(shelved, build, {}).said] == ["fault"]
    (mild,) = judge(shelved, build, {"fault": 0.6}).said
    assert mild.level == "caution" and mild.limit == Figure("caution", 0.33)
    assert judge(shelved, build, {"caution": 0.6, "fault": 0.7, "local": 1.0}).said == ()
    (named,) = judge(shelved, build, {"caution": 0.2, "fault": 0.7}).said
    assert named.limit == Figure("caution", 0.2)
