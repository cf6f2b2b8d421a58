"""Reports are plain values: they pickle, compare, turn into JSON and back, and never depend on luck."""

from __future__ import annotations

import json
import pickle
import re
import subprocess
import sys
from pathlib import Path

import attrs
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from kit_plans import Plan, plans, written
from kit_rules import Case, Plain, as_json, cases, laid, report_of, sheet, text_of

import felt_engine
from felt_engine import CallError, RecipeError
from felt_engine.checking.report import NotJudged, Report

LAW = settings(max_examples=80, deadline=None, derandomize=True, database=None)
ROOT = Path(__file__).parents[2]

BUSY: Plain = sheet(
    laid("ink", "0.6 oz", "east-west", name="ground"),
    laid("viscose", "120 g/m²", name="sheen", zone="sun", direction="random"),
    laid("chalk", "0.3 oz", "east-west", name="face", role="cover"),
    zones={"sun": {"shape": "round", "size": "3 in", "at": "6 in east, 6 in north"}},
    waivers=[{"rule": "direction-balance", "where": "ground", "why": "a trial"}],
    stage=None,
    on_purpose=[{"what": "thin", "why": "never needed"}],
)
CASES = [case for name in ("right", "faulty", "unsaid") for case in cases(f"{name}.yaml")]
SOME = CASES[::6]


def reports() -> list[Report]:
    found = [report_of(BUSY), *(report_of(case.recipe, case.name) for case in SOME)]
    found.append(felt_engine.look("{piece: {title: T}", name="broken"))
    broke = NotJudged("tide-rule", "shop", "1", "ValueError: no", "a trace")
    found.append(attrs.evolve(found[0], not_judged=(broke,)))
    return found


REPORTS = reports()


def test_the_sample_is_busy() -> None:
    report = REPORTS[0]
    assert {f.level for f in report.findings} == {"fault", "caution", "note"} or len(
        report.findings
    ) > 2
    assert any(f.waived for f in report.findings) and any(not f.waived for f in report.findings)


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
def test_a_report_and_each_of_its_parts_pickle(protocol: int) -> None:
    for report in REPORTS:
        assert pickle.loads(pickle.dumps(report, protocol)) == report
        for field in attrs.fields(Report):
            part = getattr(report, field.name)
            again = pickle.loads(pickle.dumps(part, protocol))
            assert again == part and repr(again) == repr(part)


@pytest.mark.parametrize("number", range(len(REPORTS)))
def test_a_report_comes_back_from_json(number: int) -> None:
    report = REPORTS[number]
    text = felt_engine.export(report, "json")
    assert felt_engine.report_from_json(text) == (report,)
    assert felt_engine.export(felt_engine.report_from_json(text), "json") == text
    json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))


def test_a_figure_too_large_for_any_report_is_refused() -> None:
    text = felt_engine.export(REPORTS[0], "json")
    huge = re.sub(r'("grams": )[0-9.]+', r"\g<1>" + "9" * 400, text, count=1)
    assert huge != text
    with pytest.raises(CallError):
        felt_engine.report_from_json(huge)


def test_several_reports_come_back_in_order() -> None:
    assert felt_engine.report_from_json(felt_engine.export(REPORTS, "json")) == tuple(REPORTS)


@LAW
@given(plans())
def test_any_report_comes_back_from_json_and_from_pickle(plan: Plan) -> None:
    try:
        report = report_of(written(plan))
    except RecipeError:
        assume(False)
    assert felt_engine.report_from_json(felt_engine.export(report, "json")) == (report,)
    assert pickle.loads(pickle.dumps(report)) == report
    assert hash(report) == hash(pickle.loads(pickle.dumps(report)))


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[]", "null", '{"format": 1}', '{"format": 99, "reports": []}', "not json at all",
     '{"format": 1, "reports": [{"name": 3}]}', '{"format": 1, "reports": [{"nmae": "x"}]}',
     "[" * 100_000, '{"format": 1, "reports": 7}', '{"format": 1, "reports": [7]}'],
)  # fmt: skip
def test_anything_else_is_no_report(text: str) -> None:
    with pytest.raises(CallError):
        felt_engine.report_from_json(text)


def test_a_recipe_and_its_build_pickle_too() -> None:
    for case in SOME[:6]:
        recipe = felt_engine.load(text_of(case.recipe))
        assert pickle.loads(pickle.dumps(recipe)) == recipe


def test_the_exit_status_follows_the_levels() -> None:
    right = report_of(
        sheet(laid("oat", "0.5 oz", "east-west"), laid("oat", "0.5 oz", "north-south"))
    )
    fault = report_of(sheet(laid("oat", "0.1 oz", "random")))
    caution = report_of(sheet(laid("oat", "200 g/m²", "random"), use="slippers"))
    stops = ("fault", "caution", "note")
    assert [right.exit_status(level) for level in stops] == [0, 0, 0]
    assert [caution.exit_status(level) for level in stops] == [0, 1, 1]
    assert [fault.exit_status(level) for level in stops] == [1, 1, 1]
    broke = NotJudged("tide-rule", "shop", "1", "ValueError: no")
    for report in (right, caution, fault):
        assert attrs.evolve(report, not_judged=(broke,)).exit_status() == 3
    assert [r.verdict for r in (right, caution, fault)] == ["right", "caution", "fault"]
    assert attrs.evolve(right, not_judged=(broke,)).verdict == "not judged"
    assert attrs.evolve(right, judged=()).exit_status() == 2
    assert felt_engine.look("{", name="broken").exit_status() == 2


PRINT = """
import sys, felt_engine
for text in sys.stdin.read().split("\\0"):
    report = felt_engine.check(text, name="kitchen table")
    for name in ("text", "json"):
        print(felt_engine.export(report, name))
"""


def test_the_same_recipes_give_the_same_bytes_whatever_the_hash_seed() -> None:
    texts = [text_of(BUSY), as_json(BUSY), *(text_of(case.recipe) for case in SOME)]
    found = set()
    for seed in ("0", "1", "4242"):
        done = subprocess.run(
            [sys.executable, "-c", PRINT], input="\0".join(texts).encode(), capture_output=True,
            env={"PYTHONHASHSEED": seed, "PYTHONIOENCODING": "utf-8", "PATH": "", "LANG": "C.UTF-8"},
            check=True, cwd=ROOT,
        )  # fmt: skip
        found.add(done.stdout)
    assert len(found) == 1 and len(found.pop()) > 10_000


@pytest.mark.parametrize("case", SOME, ids=lambda case: case.name)
def test_asking_twice_gives_one_answer(case: Case) -> None:
    text = text_of(case.recipe)
    one = felt_engine.check(text)
    assert felt_engine.check(text) == one
    assert felt_engine.check(felt_engine.load(text)) == one
    assert felt_engine.Engine().check(text) == one


@pytest.mark.parametrize("case", SOME, ids=lambda case: case.name)
def test_findings_stand_worst_first_and_then_by_line(case: Case) -> None:
    report = report_of(case.recipe)
    order = [
        (("fault", "caution", "note").index(f.level), f.spot.line or 0) for f in report.findings
    ]
    assert order == sorted(order)


@LAW
@given(st.floats(allow_nan=False, allow_infinity=False, min_value=1e-12, max_value=1e12))
def test_nine_digits_hide_the_last_bits(value: float) -> None:
    from felt_engine.checking.settle import rounded

    near = value * (1 + 2**-52)
    assert rounded(value) == pytest.approx(value, rel=1e-8)
    assert abs(rounded(near) - rounded(value)) <= 1.1e-8 * value
    assert rounded(rounded(value)) == rounded(value)
