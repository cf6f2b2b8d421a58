"""Arguments of the wrong kind are refused with what was expected."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from kit import GROUND

import felt_engine
from felt_engine import CallError

REPORT = felt_engine.check(GROUND)
LOT = felt_engine.load(GROUND).lots[0].name
SIZE = "expected a size as text, such as 40 x 30 cm, and not int"
PAIR = 'expected a lot and a weight as texts, such as ("grey", "90 g"), and not '
FACTOR = "times: expected a number, such as 1.5, and not "
NAMES = "without: expected a list of names, such as "


def resized(**wanted: object) -> felt_engine.Resized:
    return felt_engine.resize(GROUND, **wanted)  # type: ignore[arg-type]


class Odd:
    """An executor that gives a number for a call."""

    def submit(self, *given: object) -> int:
        return 5


def many(executor: object = None, **more: object) -> list[felt_engine.Report]:
    return list(felt_engine.check_many([GROUND], executor, **more))  # type: ignore[arg-type]


@pytest.mark.parametrize(("call", "error", "words"), [
    (lambda: REPORT.at_level("zz"), CallError, "no level is called 'zz': there are fault, caution, note"),
    (lambda: REPORT.at_level(5), TypeError, "level: expected a level, such as fault, and not int"),
    (lambda: REPORT.exit_status("z" * 1_000_000), CallError, "z…z"),
    (lambda: REPORT.exit_status("zz"), CallError, "no level is called 'zz': there are fault, caution, note"),
    (lambda: REPORT.exit_status(None), TypeError, "expected a level, such as fault, and not"),
    (lambda: felt_engine.measure(None), TypeError, "expected a Recipe, as load gives it, and not NoneType"),
    (lambda: felt_engine.measure(GROUND), TypeError, "expected a Recipe, as load gives it, and not str"),
    (lambda: felt_engine.export(REPORT, None), TypeError, "expected the name of an exporter"),
    (lambda: felt_engine.export(None, "text"), TypeError, "expected a Report, as check gives it"),
    (lambda: felt_engine.export([GROUND], "text"), TypeError, "and not str"),
    (lambda: felt_engine.export(GROUND, "text"), TypeError, "and not str"),
    (lambda: felt_engine.load(GROUND.encode()), TypeError, "and not bytes; decode it first"),
    (lambda: felt_engine.load(None), TypeError, "expected a path, a text"),
    (lambda: felt_engine.load(3), TypeError, "and not int"),
    (lambda: felt_engine.look(GROUND.encode()), TypeError, "and not bytes"),
    (lambda: felt_engine.check(None), TypeError, "expected a path, a text"),
    (lambda: list(felt_engine.check_many([None])), TypeError, "expected a path, a text"),
    (lambda: list(felt_engine.check_many(GROUND.encode())), TypeError, "and not int"),
    (lambda: list(felt_engine.check_many(5)), TypeError, "expected a list of paths or texts, and not int"),
    (lambda: many(keep=b"x"), TypeError, "keep: expected a path, such as kept, and not bytes"),
    (lambda: felt_engine.Engine(rule_files=5), TypeError, "rule_files: expected a path, such as rules.py"),
    (lambda: felt_engine.Engine(rule_files=[5]), TypeError, "rule_files: expected a path, such as rules.py"),
    (lambda: felt_engine.Engine(rule_files=felt_engine.Source("a", "b")), TypeError, "and not Source"),
    (lambda: felt_engine.Engine(5), TypeError, "plugins: expected Plugins, and not int"),
    (lambda: felt_engine.look(felt_engine.Source("a", 5)), TypeError, "expected a text (str) in the Source"),
    (lambda: felt_engine.look(felt_engine.Source("a", b"x")), TypeError, "in the Source, and not bytes"),
    (lambda: felt_engine.look(felt_engine.Source(5, "x")), TypeError, "expected a name (str) in the Source"),
    (lambda: felt_engine.studio_beside(b"x"), TypeError, "studio_beside: expected a path"),
    (lambda: felt_engine.resize(b"x", times=2.0), TypeError, "and not bytes"),
    (lambda: felt_engine.forecast(None), TypeError, "expected a path, a text"),
    (lambda: felt_engine.row_plan(None), TypeError, "expected a path, a text"),
    (lambda: felt_engine.read_notebook(b"x"), TypeError, "and not bytes"),
    (lambda: felt_engine.Engine(studio=b"x"), TypeError, "and not bytes"),
    (lambda: resized(times="1.5"), TypeError, FACTOR + "str"),
    (lambda: resized(times=True), TypeError, FACTOR + "bool"),
    (lambda: resized(times=2j), TypeError, FACTOR + "complex"),
    (lambda: resized(times=10**400), CallError, "from 0.02 to 50 times is possible"),
    (lambda: resized(times=Decimal("-1e999")), CallError, "from 0.02 to 50 times is possible"),
    (lambda: resized(times=Decimal("sNaN")), CallError, "from 0.02 to 50 times is possible"),
    (lambda: resized(times=float("nan")), CallError, "from 0.02 to 50 times is possible"),
    (lambda: resized(have=(LOT, 90)), TypeError, PAIR + "int"),
    (lambda: resized(have=(90, "90 g")), TypeError, PAIR + "int"),
    (lambda: resized(have=(LOT,)), TypeError, PAIR + "1 of them"),
    (lambda: resized(have=()), TypeError, PAIR + "0 of them"),
    (lambda: resized(have=90), TypeError, PAIR + "int"),
    (lambda: resized(have="90 g"), CallError, "write a lot, a colon and a weight"),
    (lambda: resized(laid_out=5), TypeError, "the laid-out size: " + SIZE),
    (lambda: resized(finished=5), TypeError, "the finished size: " + SIZE),
    (lambda: resized(finished=("40 cm", "30 cm")), TypeError, "such as 40 x 30 cm, and not tuple"),
    (lambda: felt_engine.forecast(GROUND, finished=5), TypeError, "the finished size: " + SIZE),
    (lambda: felt_engine.row_plan(GROUND, tuft=5), TypeError, "the tuft’s size: " + SIZE),
    (lambda: resized(pieces="2"), TypeError, "pieces: expected a whole number and not str"),
    (lambda: resized(pieces=2.0), TypeError, "pieces: expected a whole number and not float"),
    (lambda: resized(pieces=True), TypeError, "pieces: expected a whole number and not bool"),
    (lambda: resized(pieces=0), CallError, "pieces 0 is no count: give a whole number from 1 to 10000"),
    (lambda: resized(pieces=10**5000), CallError, "pieces is no count"),
    (lambda: felt_engine.learned("swatches: []\n", "oat, crossed"), TypeError, NAMES),
    (lambda: felt_engine.forecast(GROUND, without="oat, crossed"), TypeError, NAMES),
    (lambda: felt_engine.forecast(GROUND, without=5), TypeError, NAMES),
    (lambda: felt_engine.forecast(GROUND, without=[5]), TypeError, NAMES),
    (lambda: many(Odd()), TypeError, "submit must give a future, with done and result, and not int"),
    (lambda: many(Odd(), patience=float("nan")), CallError, "patience nan is no time to wait"),
    (lambda: many(Odd(), patience=0), CallError, "patience 0 is no time to wait"),
    (lambda: many(Odd(), patience=-1.0), CallError, "patience -1 is no time to wait"),
    (lambda: many(Odd(), patience="5"), TypeError, "patience: expected a number, such as 600, and not str"),
    (lambda: many(at_once="5"), TypeError, "at_once: expected a number, such as 64, and not str"),
    (lambda: felt_engine.Sheet(width="a"), TypeError, "a whole number of characters, and not str"),
    (lambda: felt_engine.Sheet(width=80.0), TypeError, "a whole number of characters, and not float"),
    (lambda: felt_engine.Sheet(width=True), TypeError, "a whole number of characters, and not bool"),
    (lambda: felt_engine.Sheet(width=0), ValueError, "1 character or more, and not 0"),
    (lambda: felt_engine.Sheet(stop_at="zz"), ValueError, "no level is called 'zz'"),
    (lambda: felt_engine.export(REPORT, "text", 5), TypeError, "expected a Sheet, and not int"),
    (lambda: felt_engine.export(REPORT, "text", 0), TypeError, "expected a Sheet, and not int"),
    (lambda: felt_engine.export(iter([REPORT, 5]), "text"), TypeError, "expected a Report, and not int"),
    (lambda: felt_engine.Engine().note_slow(5), TypeError, "expected a Slow, and not int"),
    (lambda: felt_engine.Sheet(width=10**30), ValueError, "at most 100000 characters"),
    (lambda: felt_engine.Sheet(rules=5), TypeError, "a sheet’s rules are RuleText values in a tuple"),
    (lambda: felt_engine.Sheet(rules=(5,)), TypeError, "a sheet’s rules are RuleText values in a tuple"),
    (lambda: felt_engine.report_from_json(None), TypeError, "the text of a report in JSON, and not NoneType"),
    (lambda: felt_engine.report_from_json([]), TypeError, "the text of a report in JSON, and not list"),
    (lambda: felt_engine.hook(True), TypeError, "expected a function, as @felt_engine.hook above one"),
    (lambda: felt_engine.read_notebook(GROUND), felt_engine.NotebookError, "found a recipe"),
])  # fmt: skip
def test_the_wrong_kind(call: Callable[[], object], error: type[Exception], words: str) -> None:
    with pytest.raises(error) as raised:
        call()
    assert type(raised.value) is error and words in str(raised.value)


def test_the_right_kinds_are_taken(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(GROUND, encoding="utf-8")
    for source in (GROUND, tmp_path / "a.yaml", str(tmp_path / "a.yaml")):
        assert felt_engine.look(source).verdict == REPORT.verdict
    assert felt_engine.export(iter([REPORT]), "text") == felt_engine.export((REPORT,), "text")
    assert [REPORT.exit_status(level) for level in ("fault", "caution", "note")] == [0, 0, 0]


def test_a_text_is_a_text_whatever_ends_its_lines() -> None:
    for end in ("\r", "\r\n"):
        assert felt_engine.check(GROUND.replace("\n", end)).findings == REPORT.findings


def test_any_real_number_is_a_factor_and_stays_a_float() -> None:
    half_more = resized(times=1.5)
    for times in (Decimal("1.5"), Fraction(3, 2)):
        made = resized(times=times)
        assert made.text == half_more.text and type(made.across) is type(made.deep) is float
    assert (
        resized(times=2).text == resized(times=2.0).text and type(resized(times=2).across) is float
    )


def test_what_there_is_may_be_said_as_on_the_command_line() -> None:
    assert resized(have=f"{LOT}: 90 g").text == resized(have=(LOT, "90 g")).text


def test_names_to_leave_out_may_come_from_anything_that_yields_them() -> None:
    with pytest.raises(CallError, match="no swatch is called “oat, crossed”"):
        felt_engine.forecast(GROUND, without=iter(["oat, crossed"]))


@pytest.mark.parametrize("call", [
    lambda long: felt_engine.load(long), lambda long: felt_engine.export(REPORT, long),
    lambda long: felt_engine.forecast(GROUND, finished=long),
    lambda long: felt_engine.row_plan(GROUND, tuft=long),
    lambda long: resized(have=(LOT, long)),
])  # fmt: skip
def test_an_error_doesn_t_echo_all_of_a_long_argument(call: Callable[[str], object]) -> None:
    with pytest.raises(felt_engine.FeltError) as caught:
        call("y" * 100_000)
    assert len(str(caught.value)) < 2_200


def test_a_text_that_begins_with_a_byte_order_mark_is_a_text() -> None:
    one_line = (
        '{"piece": {"title": "T", "shape": "round", "laid out": "9 cm"}, "lots": {"a": {"fibre": '
    )
    one_line += '"merino"}}, "layers": [{"name": "x", "of": "a", "amount": "9 g"}]}'
    for text in (one_line, GROUND):
        plain, marked = (felt_engine.check(f"{mark}{text}", name="x") for mark in ("", "\ufeff"))
        assert plain.findings == marked.findings and plain.title == marked.title


@pytest.mark.parametrize("name", [5, b"x", [], {}, object()])
def test_a_name_is_a_text(name: object) -> None:
    for call in (felt_engine.load, felt_engine.check, felt_engine.look):
        with pytest.raises(TypeError, match="name: expected a text"):
            call(GROUND, name=name)  # type: ignore[operator]


@pytest.mark.parametrize("drawing", ["x", 1, None, []])
def test_whether_to_draw_is_true_or_false(drawing: object) -> None:
    for call in (felt_engine.check, felt_engine.look):
        with pytest.raises(TypeError, match="drawing: expected True or False"):
            call(GROUND, drawing=drawing)  # type: ignore[operator]
    with pytest.raises(TypeError, match="drawing: expected True or False"):
        felt_engine.check_many([GROUND], drawing=drawing)  # type: ignore[arg-type]


def test_what_is_not_needed_is_looked_at_all_the_same() -> None:
    with pytest.raises(TypeError, match="expected a path"):
        felt_engine.resize(GROUND, times=2, notebook=5)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="patience: expected a number"):
        felt_engine.check_many([GROUND], patience="x")  # type: ignore[arg-type]


def test_an_amount_asks_for_a_registry_of_pint_s() -> None:
    amount = felt_engine.load(GROUND).layers[0].placements[0].amount
    with pytest.raises(TypeError, match="expected a UnitRegistry of pint’s, and not int"):
        amount.to_pint(3)  # type: ignore[arg-type]
    assert amount.to_pint().magnitude == amount.si


def test_a_wrong_call_is_told_in_plain_signs() -> None:
    with pytest.raises(felt_engine.CallError) as caught:
        felt_engine.export([], "te\x1b[31mxt\nGone")
    assert "\x1b" not in str(caught.value) and "\n" not in str(caught.value)


def test_a_report_with_a_number_beyond_all_is_told_without_python_s_hints() -> None:
    with pytest.raises(felt_engine.CallError, match="a number is too long"):
        felt_engine.report_from_json("1" * 10_000)
