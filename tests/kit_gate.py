"""Reports of every kind that a shop's CI may meet, and the outside readers that they are put to."""

# ruff: noqa: E501
from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import types
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import attrs
import pytest
from kit import BROKEN, GROUND, RECIPES, UNCROSSED
from kit_mutate import spoil
from kit_rules import CASES, cases, text_of

import felt_engine
from felt_engine import Consequence, Engine, NotJudged, Plugins, Problem, Report, Rule, Sheet
from felt_engine.checking.known import known_of, marked
from felt_engine.checking.numbers import HouseNumbers, SwitchedOff

READERS = Path(sys.prefix) / "readers"
WAIVED = UNCROSSED + "waivers: [{rule: direction-balance, where: design, why: a trial}]\n"
HOSTILE = (
    "<b>bold</b>&amp;<!-- c -->", "\x1b[31m\x00\x07\x85\u2028\u202e\u2066\ufeff\ufffe\uffff", "\ud800 half", "]]>",
    "{0} {{1}} {name}", "[x](http://a.b) [1](1) ![i](j) [r]: http://c.d", "`q` ``r`` ~~s~~ **t** __u__ $v$",
    "@all @harbour/crew a@b.co", "#1 GH-12 !3 %4 &5 ~six $7 user/repo#8 user/repo@0123abc deadbeef1",
    "http://a.b/c https://d.e ftp://f.g www.h.i example.com //j.k mailto:l@m.n", "| a | b |\n|---|---|\n# h\n> q",
    "- [ ] x\n1. y\n\n    code", ":smile: /close [^1] [[w]]", "x" * 5000, "`" * 50, "🧶" * 300, "a\u0301" * 300, "\\", "",
    " ", "\t", "'\"", "%s%n", "../../etc/passwd", "C:\\nul", "\u05d0\u05d1", "-", "&#64;all", "\\@all",
)  # fmt: skip


def reader(*parts: str) -> Path:
    """An outside reader that .ci/readers fetched; skips where there is none.

    Fails instead where FELT_READERS=needed says that it has to be there.
    """
    path = READERS.joinpath(*parts)
    if not path.exists():
        assert os.environ.get("FELT_READERS") != "needed", f"there is no {path}"
        pytest.skip("the outside readers are not here: .ci/readers fetches them")
    return path


def sources() -> Iterator[tuple[str, str]]:
    """Names and texts: the demo catalogue, all cases of all tables, and what can't be read."""
    for path in sorted(RECIPES.glob("*.*")):
        yield f"recipes/{path.name}", path.read_text(encoding="utf-8")
    for table in sorted(CASES.glob("*.yaml")):
        for case in cases(table.name) if table.name != "shelf.yaml" else ():
            yield f"{table.stem}/{case.name}.yaml", text_of(case.recipe)
    chance = random.Random(5)
    for number in range(150):
        yield f"spoilt/{number}.yaml", spoil(spoil(GROUND, chance), chance)
    for number, text in enumerate(
        ("", "\n\n", "piece: [", "a: b\n  c", "\ttab: 1", "hello", "[1, 2]\n", BROKEN)
    ):
        yield f"unreadable/{number}.yaml", text  # fmt: skip


@cache
def looked() -> tuple[Report, ...]:
    """The reports of all sources."""
    engine = Engine()
    return tuple(engine.look(text, name=name) for name, text in sources())


def known() -> Report:
    """A report whose finding is known from before."""
    report = felt_engine.look(UNCROSSED, name="known.yaml")
    return marked(report, known_of(report))


def broken_down() -> Report:
    """A report with a rule of a plugin that breaks down."""

    def judge(bench: Any) -> Iterator[Any]:
        raise ValueError("it rained in: <b> {0}")
        yield

    @felt_engine.hook
    def felt_engine_rules() -> tuple[Rule, ...]:
        return (Rule("tide", "The tide is out", "1", "To try out.", judge),)

    plugins = Plugins.load()
    plugins.register(
        types.SimpleNamespace(felt_engine_rules=felt_engine_rules), "shop:house", "shop", "7.1"
    )
    plugins.pending()
    report = Engine(plugins).look(UNCROSSED, name="tide.yaml")
    assert report.not_judged
    return report


def hostile(text: str, name: str = "a:ß %<&>@x.yaml") -> Report:
    """A report that says this text wherever a report says anything."""
    report = felt_engine.look(UNCROSSED, name=name)
    (one,) = report.findings
    spot = attrs.evolve(one.spot, thing=text)
    hung = Consequence("thin-layer", "fault", spot, text, text, "0" * 16)
    said = attrs.evolve(one, spot=spot, message=text, do=text, how=text, where=text)
    findings = (
        attrs.evolve(said, explains=(hung,), fingerprint="1" * 16),
        attrs.evolve(said, waived=text, level="note"),
    )
    return attrs.evolve(
        report, name=f"{text}.yaml" if len(text) < 99 else name, title=text, findings=findings,
        problems=(Problem(text, text, text, line=1, column=1), Problem(text, text, text)),
        not_judged=(NotJudged(text, text, text, text), NotJudged(text, "", "", text)),
        off=(SwitchedOff("halo-clash", text, text),),
        studio=HouseNumbers(text, text),
    )  # fmt: skip


@cache
def everything() -> tuple[Report, ...]:
    """All of them."""
    waived = felt_engine.look(WAIVED, name="waived.yaml")
    return (
        *looked(),
        waived,
        known(),
        broken_down(),
        *map(hostile, HOSTILE),
        Report("x.yaml", "X"),
    )


def exported(reports: Any, name: str, stop_at: str = "fault") -> str:
    """What an exporter makes of them, with the pages of the rules."""
    engine = felt_engine.api.default_engine()
    sheet = engine.filled(Sheet(stop_at=stop_at))
    return "".join(engine.exporter(name).render(reports, sheet))


def sarif_says(text: str, folder: Path) -> set[tuple[str, str]]:
    """Rules and messages of the validator's errors and warnings about a SARIF file."""
    program = reader("sarif", "Sarif.Multitool")
    (folder / "felt.sarif").write_text(text, encoding="utf-8")
    done = subprocess.run(
        [program, "validate", "felt.sarif", "--rule-kind", "Sarif;Ghas", "--level", "Error;Warning",
         "--output", "said.sarif", "--log", "ForceOverwrite"],
        cwd=folder, capture_output=True, text=True, timeout=300,
        env={**os.environ, "DOTNET_SYSTEM_GLOBALIZATION_INVARIANT": "1"},
    )  # fmt: skip
    assert "Analysis completed successfully" in done.stdout, done.stdout[-2000:] + done.stderr
    (run,) = json.loads((folder / "said.sarif").read_text(encoding="utf-8-sig"))["runs"]
    return {
        (one["ruleId"], f"{one['message']['id']} {one['message'].get('arguments')}")
        for one in run.get("results", [])
    }
