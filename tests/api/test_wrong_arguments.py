"""Arguments of the wrong kind are refused with what was expected."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from kit import GROUND

import felt_engine

REPORT = felt_engine.check(GROUND)


@pytest.mark.parametrize(("call", "error", "words"), [
    (lambda: REPORT.exit_status("zz"), ValueError, "no level is called 'zz': there are fault, caution, note"),
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
    (lambda: felt_engine.resize(b"x", times=2.0), TypeError, "and not bytes"),
    (lambda: felt_engine.forecast(None), TypeError, "expected a path, a text"),
    (lambda: felt_engine.row_plan(None), TypeError, "expected a path, a text"),
    (lambda: felt_engine.read_notebook(b"x"), TypeError, "and not bytes"),
    (lambda: felt_engine.Engine(studio=b"x"), TypeError, "and not bytes"),
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
