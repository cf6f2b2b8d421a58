"""Bad plugins at the command: each is named in every format, the others report, and never exit 0."""

from __future__ import annotations

import json
import pickle
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest
from kit import GROUND, UNCROSSED, run
from kit_rules import RULES

import felt_engine
from felt_engine import Engine, PluginBroke

HEAD = """
import sys
import felt_engine

def judge(bench):
{judge}

@felt_engine.hook
def felt_engine_rules():
    return (felt_engine.Rule("house-rule", "A rule", "1", "To try out.", judge),)
"""


def rule(judge: str) -> str:
    return HEAD.format(judge=textwrap.indent(textwrap.dedent(judge).strip("\n"), "    "))


SAYS = 'yield bench.tip(bench.recipe.piece, "said before")\n'
UNPICKLED = """
class Odd(Exception):
    def __init__(self, one, two):
        super().__init__("half of it")
        self.lock = lambda: one
    def __reduce__(self):
        raise TypeError("never")
yield bench.tip(bench.recipe.piece, "x")
raise Odd(1, 2)
"""
DERIVED = """
import felt_engine

class Sly(felt_engine.Rule):
    def __getattribute__(self, name):
        if name == "title":
            raise RuntimeError("asked once too often")
        return super().__getattribute__(name)

@felt_engine.hook
def felt_engine_rules():
    return (Sly("house-rule", "x", "1", "To try out.", lambda bench: ()),)
"""
SLY_FINDING = """
import felt_engine
class Sly(felt_engine.Finding):
    def __getattribute__(self, name):
        if name == "where":
            raise RuntimeError("asked in the end")
        return super().__getattribute__(name)
yield Sly("note", bench.recipe.piece, "m", "d")
"""
UNMARKED = rule(SAYS).replace("@felt_engine.hook", "")
OTHER_PLACE = """
other = felt_engine.measure(felt_engine.load(bench.recipe.source.text))
yield bench.finding("note", bench.recipe.piece, "m", "d", at=other.places[:1])
"""

NOWHERE = """
import attrs
place = attrs.evolve(bench.build.places[0], region=None)
yield bench.finding("note", bench.recipe.piece, "m", "d", at=(place,))
"""

BAD: dict[str, tuple[str, str]] = {
    "raises at once": (rule("raise ValueError('no luck')"), "ValueError: no luck"),
    "raises in the middle": (rule(SAYS + "1 / 0"), "ZeroDivisionError"),
    "ends the program": (rule(SAYS + "sys.exit(0)"), "it tried to end the program"),
    "ends the program at import": ("import sys\nsys.exit(0)", "it tried to end the program"),
    "can't be imported": ("import a_module_that_is_not_there", "ModuleNotFoundError"),
    "can't find a part": (
        "from json import a_name_that_is_not_there", "ImportError: cannot import name",
    ),
    "says where it is": (rule("raise OSError(2, 'gone', __file__)"), "gone: 'house.py'"),
    "says its address": (rule("raise ValueError(judge)"), "<function judge>"),
    "has a syntax error": ("def felt_engine_rules(:\n", "SyntaxError"),
    "is no UTF-8": ("# \udcff\n", "Error"),
    "returns nonsense": (rule("return 3"), "TypeError"),
    "yields nonsense": (rule("yield 'thin'"), "it yielded str"),
    "misspells its hook": (rule(SAYS).replace("engine_rules", "engine_rulse"), "engine_rulse"),
    "forgets the mark": (UNMARKED, "felt_engine_rules lacks its mark"),
    "has no hook": ("RULE = 1\n", "it has no hook"),
    "claims a taken id": (rule(SAYS).replace("house-rule", "thin-layer"), "already taken"),
    "wants another contract": ("felt_engine_contract = 7\n" + rule(SAYS), "wants contract 7"),
    "never comes back up": (rule("yield from judge(bench)"), "RecursionError"),
    "raises what can't be pickled": (rule(UNPICKLED), "Odd: half of it"),
    "derives from Rule": (DERIVED, "handed over Sly, no Rule"),
    "derives from Finding": (rule(SLY_FINDING), "it yielded Sly"),
    "names a part of another recipe": (
        rule("yield bench.tip(felt_engine.load(bench.recipe.source.text).piece, 'x')"),
        "no part of the recipe",
    ),
    "names a place that isn't there": (rule(OTHER_PLACE), "a place that is not of this build"),
    "names a place that is nowhere": (rule(NOWHERE), "a place without a region"),
    "changes a title": (rule("bench.recipe.piece.title = 'Mine'; yield"), "FrozenInstanceError"),
    "changes a weight": (rule("bench.build.masses[0, 0] = 9.0; yield"), "it can't be changed"),
    "empties a table": (rule("bench.build.stuffs.clear(); yield"), "it can't be changed"),
    "drops a layer": (rule("del bench.recipe.layers[0]; yield"), "TypeError"),
    "moves a place": (rule("bench.build.places[0].area = 0.0; yield"), "FrozenInstanceError"),
    "says what can't be written": (
        rule("yield bench.tip(bench.recipe.piece, '\\ud800')"), "UnicodeEncodeError",
    ),
    "is a coroutine": (rule(SAYS).replace("def judge", "async def judge"), "TypeError"),
}  # fmt: skip


@pytest.fixture
def shop(tmp_path: Path) -> Callable[..., Path]:
    """A folder with a faulty recipe and a rule file of this text."""

    def made(text: str, recipe: str = UNCROSSED) -> Path:
        (tmp_path / "ground.yaml").write_text(recipe, encoding="utf-8")
        raw = text.encode("utf-8", "surrogateescape")
        (tmp_path / "house.py").write_bytes(raw)
        return tmp_path

    return made


@pytest.mark.parametrize(("text", "reason"), BAD.values(), ids=BAD)
def test_a_bad_rule_file_is_named_in_every_format(
    shop: Callable[..., Path], text: str, reason: str
) -> None:
    folder = shop(text)
    engine = Engine(rule_files=folder / "house.py")
    report = engine.look(folder / "ground.yaml", name="ground.yaml", drawing=True)
    (broke,) = report.not_judged
    assert broke.package == broke.owner == "house.py" and reason in broke.reason
    assert "Traceback" in broke.trace or "Error" in broke.trace
    plain = felt_engine.look(folder / "ground.yaml", name="ground.yaml")
    assert report.judged == plain.judged == RULES and report.findings == plain.findings
    assert [t for t in report.tips if t.rule == "house-rule"] == []
    assert [report.exit_status(level) for level in ("fault", "caution", "note")] == [3, 3, 3]
    assert pickle.loads(pickle.dumps(report)) == report
    for exporter in ("text", "json", "page"):
        written = engine.export(report, exporter)
        assert "house.py" in written and broke.what in written, exporter
        assert str(folder) not in written and "/json/__init__" not in written, exporter


PACKAGE = "[felt_engine]\ntide = tide_rules\n"


def test_an_installed_one_is_named_with_its_version_in_every_format(tmp_path: Path) -> None:
    info = tmp_path / "packages" / "tide_rules-2.1.dist-info"
    info.mkdir(parents=True)
    (info / "entry_points.txt").write_text(PACKAGE, encoding="utf-8")
    (info.parent / "tide_rules.py").write_text(BAD["raises in the middle"][0], encoding="utf-8")
    (tmp_path / "ground.yaml").write_text(GROUND, encoding="utf-8")
    (tmp_path / "second.yaml").write_text(GROUND, encoding="utf-8")
    import os

    path = os.pathsep.join((str(info.parent), os.environ.get("PYTHONPATH", "")))
    for arguments in (("ground.yaml",), ("ground.yaml", "second.yaml"), ("ground.yaml", "--as", "json"),
                      ("ground.yaml", "--as", "page")):  # fmt: skip
        done = run("check", *arguments, cwd=tmp_path, PYTHONPATH=path)
        assert done.returncode == 3 and done.stderr == "", done.stderr
        assert "house-rule" in done.stdout and "tide-rules" in done.stdout and "2.1" in done.stdout
        assert "ZeroDivisionError" in done.stdout and "Nothing to mend." not in done.stdout
    done = run("check", ".", "--as", "page", "--to", "pages", cwd=tmp_path, PYTHONPATH=path)
    index = (tmp_path / "pages" / "index.html").read_text(encoding="utf-8")
    assert done.returncode == 3 and "not judged: house-rule" in index


def test_a_traceback_is_shown_on_request_and_once(shop: Callable[..., Path]) -> None:
    folder = shop(BAD["raises in the middle"][0])
    call = ("check", "ground.yaml", "ground.yaml", "--rule-file", "house.py")
    assert "Traceback" not in (quiet := run(*call, cwd=folder)).stderr + quiet.stdout
    traced = run(*call, cwd=folder, FELT_ENGINE_TRACE="1")
    assert traced.stderr.count("Traceback") == 1 and "house.py" in traced.stderr
    assert traced.stdout == quiet.stdout and traced.returncode == 3
    listed = run("rules", "--rule-file", "house.py", cwd=shop("1 / 0"), FELT_ENGINE_TRACE="1")
    assert listed.returncode == 3 and "Traceback" in listed.stderr


def test_what_a_plugin_prints_goes_to_standard_error(shop: Callable[..., Path]) -> None:
    loud = "print('at import')\n" + rule("print('in the rule')\n" + SAYS)
    folder = shop(loud, GROUND)
    done = run("check", "ground.yaml", "--rule-file", "house.py", "--as", "json", cwd=folder)
    assert done.returncode == 0
    assert json.loads(done.stdout)["reports"][0]["tips"][0]["text"] == "said before"
    assert done.stderr.splitlines() == ["at import", "in the rule"]


def test_a_slow_rule_is_named_on_standard_error_and_not_in_the_report(
    shop: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = shop(rule("import time\ntime.sleep(2.1)\n" + SAYS), GROUND)
    done = run("check", "ground.yaml", "--rule-file", "house.py", cwd=folder)
    assert done.returncode == 0 and "slow" not in done.stdout
    assert "slow: the rule house-rule, from house.py, took 2." in done.stderr
    assert "for ground.yaml" in done.stderr and len(done.stderr.splitlines()) == 1
    assert run("check", "ground.yaml", cwd=folder).stderr == ""


def test_the_slowest_recipe_of_a_rule_is_kept(
    shop: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """By a clock that only the rule moves on: no load on the machine changes who was slowest."""
    folder = shop(rule("import time\ntime.sleep(0.02 * len(bench.recipe.layers))\n" + SAYS), GROUND)
    passed = [0.0]
    monkeypatch.setattr("time.perf_counter", lambda: passed[0])
    monkeypatch.setattr("time.sleep", lambda wait: passed.append(passed.pop() + wait))
    monkeypatch.setattr("felt_engine.api.SLOW", 0.02)
    engine = Engine(rule_files=[folder / "house.py"], studio="name: Saltgrass Felt\n")
    for name, text in (("two", UNCROSSED), ("three", GROUND), ("again", UNCROSSED)):
        engine.check(text, name=name)
    slow = engine.slowest["house-rule"]
    assert (slow.recipe, slow.package, slow.version) == ("three", "house.py", "")
    assert slow.seconds == pytest.approx(0.06)


def test_an_interrupt_raised_by_a_rule_is_taken_for_one(shop: Callable[..., Path]) -> None:
    folder = shop(rule("raise KeyboardInterrupt"), GROUND)
    done = run("check", "ground.yaml", "--rule-file", "house.py", cwd=folder)
    assert done.returncode == 130 and done.stdout == ""


def test_a_thread_that_fails_or_prints_late_disturbs_nothing(shop: Callable[..., Path]) -> None:
    late = """
import threading, time
def later():
    time.sleep(0.5)
    print("late")
    raise ValueError("in a thread")
threading.Thread(target=later).start()
"""
    folder = shop(rule(late + SAYS), GROUND)
    done = run("check", "ground.yaml", "--rule-file", "house.py", "--as", "json", cwd=folder)
    assert done.returncode == 0 and len(json.loads(done.stdout)["reports"]) == 1
    assert "late" in done.stderr and "in a thread" in done.stderr


# exporters ----------------------------------------------------------------------------------------

EXPORTER = """
import sys
import felt_engine

def render(reports, sheet):
{body}

@felt_engine.hook
def felt_engine_exporters():
    return (felt_engine.Exporter("slate", "A slate.", render),)
"""
BAD_EXPORTERS = {
    "raises": ("yield 'first\\n'\n1 / 0", "ZeroDivisionError"),
    "raises before": ("raise OSError('no paper')\nyield", "OSError: no paper"),
    "ends the program": ("yield 'first\\n'\nsys.exit(0)", "it tried to end the program"),
    "ends it at once": ("sys.exit(0)", "it tried to end the program"),
    "yields a number": ("yield 3", "it yielded int, not text"),
    "yields nothing": ("yield None", "not text"),
    "returns nothing": ("pass", "TypeError"),
    "yields what can't be written": ("yield '\\ud800'", "UnicodeEncodeError"),
    "runs too deep": ("yield from render(reports, sheet)", "RecursionError"),
    "raises what looks like the engine's": ("raise BrokenPipeError\nyield", "BrokenPipeError"),
}


@pytest.mark.parametrize(("body", "reason"), BAD_EXPORTERS.values(), ids=BAD_EXPORTERS)
def test_a_bad_exporter_is_named_and_leaves_no_half_a_file(
    shop: Callable[..., Path], body: str, reason: str
) -> None:
    folder = shop(EXPORTER.format(body=textwrap.indent(body, "    ")), GROUND)
    engine = Engine(rule_files=folder / "house.py")
    report = engine.check(GROUND)
    with pytest.raises(PluginBroke) as caught:
        engine.export(report, "slate")
    assert str(caught.value).startswith("the exporter slate, from house.py: ")
    assert reason in caught.value.reason
    if reason != "RecursionError":  # CPython 3.11 now and then pickles nothing more after one
        again = pickle.loads(pickle.dumps(caught.value))
        assert str(again) == str(caught.value)
    assert engine.export(report, "text")


def test_a_bad_name_of_a_page_is_the_exporter_s(shop: Callable[..., Path]) -> None:
    pages = 'render, files=lambda reports, sheet: [("x\\0", [])])'
    folder = shop(EXPORTER.format(body="    yield ''").replace("render)", pages), GROUND)
    call = ("check", "ground.yaml", "--rule-file", "house.py", "--as", "slate", "--to", "out/")
    done = run(*call, cwd=folder)
    assert done.returncode == 3 and "the exporter slate, from house.py: " in done.stderr
    assert "a file name with a null character" in done.stderr and not list(
        (folder / "out").iterdir()
    )


@pytest.mark.parametrize("kind", ["raises", "ends the program", "yields a number"])
def test_a_bad_exporter_at_the_command(shop: Callable[..., Path], kind: str) -> None:
    body, reason = BAD_EXPORTERS[kind]
    folder = shop(EXPORTER.format(body=textwrap.indent(body, "    ")), GROUND)
    (folder / "out.txt").write_text("what was there", encoding="utf-8")
    call = ("check", "ground.yaml", "--rule-file", "house.py", "--as", "slate")
    done = run(*call, cwd=folder)
    assert done.returncode == 3 and reason in done.stderr
    assert "felt-engine: the exporter slate, from house.py: " in done.stderr
    assert "report it" not in done.stderr and "Traceback" not in done.stderr
    assert "Traceback" in run(*call, cwd=folder, FELT_ENGINE_TRACE="1").stderr
    assert run(*call, "--to", "out.txt", cwd=folder).returncode == 3
    assert (folder / "out.txt").read_text(encoding="utf-8") == "what was there"


def test_an_exporter_whose_plugin_broke_down_is_answered_with_that(
    shop: Callable[..., Path],
) -> None:
    folder = shop("1 / 0", GROUND)
    done = run("check", "ground.yaml", "--rule-file", "house.py", "--as", "slate", cwd=folder)
    assert done.returncode == 2
    assert "not loaded: house.py: ZeroDivisionError" in done.stderr


def test_what_goes_wrong_in_the_reports_is_not_the_exporters_fault() -> None:
    engine = Engine()

    def reports() -> object:
        yield engine.check(GROUND)
        raise RuntimeError("not the exporter")

    with pytest.raises(RuntimeError, match="not the exporter"):
        engine.export(reports(), "text")  # type: ignore[arg-type]


def test_files_of_an_exporter_run_in_the_guard_too(shop: Callable[..., Path]) -> None:
    text = (
        EXPORTER.format(body="    yield 'x'")
        + """
def files(reports, sheet):
    for number, report in enumerate(reports):
        yield f"{number}.txt", (1 / 0 for _ in range(number))

def felt_engine_exporters_as_well():
    pass
"""
    )
    text = text.replace("render),)", "render, files=lambda r, s: files(r, s)),)")
    engine = Engine(rule_files=shop(text) / "house.py")
    report = engine.check(GROUND)
    write = engine.exporter("slate").files
    assert write is not None
    made = [(name, "".join(pieces)) for name, pieces in write([report], felt_engine.Sheet())]
    assert made == [("0.txt", "")]
    with pytest.raises(PluginBroke, match="ZeroDivisionError"):
        [(name, "".join(pieces)) for name, pieces in write([report, report], felt_engine.Sheet())]


def test_a_traceback_that_was_asked_for_steers_no_ci(shop: Callable[..., Path]) -> None:
    text = rule("raise RuntimeError('##vso[task.setvariable]\\n::error::\\x1b[31m')")
    done = run(
        "check",
        "ground.yaml",
        "--rule-file",
        "house.py",
        cwd=shop(text, GROUND),
        FELT_ENGINE_TRACE="1",
    )
    assert "Traceback" in done.stderr and "\x1b" not in done.stderr
    assert "##vso[" not in done.stderr
    assert not any(line.lstrip().startswith("::") for line in done.stderr.split("\n"))
