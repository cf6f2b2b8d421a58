"""Text that is safe to show: nothing invisible, and nothing that a CI service takes for a command."""

from __future__ import annotations

import copy
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kit import GROUND

import felt_engine
from felt_engine import Sheet
from felt_engine.plain_text import ROUNDED, plain, unheeded_json, visible, wrapped

HEEDED = re.compile(r"^\s*::|##\w*\[")
"""What runners heed in a line: GitHub Actions ``::`` behind any blanks and ``##[`` anywhere, Azure
Pipelines ``##[`` and ``##vso[`` anywhere (open sources of actions/runner and azure-pipelines-agent)."""


def test_what_is_invisible_is_what_unicode_says() -> None:
    """Unicode's Default_Ignorable_Code_Point, as Perl has it, and the empty Braille cell."""
    perl = shutil.which("perl")
    if perl is None:
        pytest.skip("needs perl")
    code = 'for (0..0x10ffff) { print "$_\\n" if chr($_) =~ /\\p{Default_Ignorable_Code_Point}/ }'
    done = subprocess.run([perl, "-e", code], capture_output=True, text=True, check=True)
    theirs = set(map(int, done.stdout.split()))
    ours = {n for n in range(sys.maxunicode + 1) if not visible(chr(n))}
    assert len(theirs) > 4000 and ours == theirs | {0x2800}


def test_invisible_characters_are_escaped() -> None:
    for (
        char
    ) in "\u200b\u200d\u115f\u3164\u034f\u00ad\u2060\u180e\ufeff\u2800\U000e0041\ufffe\uffff\ufdd0":
        assert char not in plain(f"a{char}b"), ascii(char)


@pytest.mark.parametrize(
    "text",
    ["می\u200cخواهم", "क्\u200dष", "👨\u200d👩\u200d👧", "❤\ufe0f", "#\ufe0f\u20e3", "葛\U000e0100",
     "ᠠ\u180b", "🧶", "café", "std::felt", "a :: b", "# 1 [x]", "C## [x"],
    ids=ascii,
)  # fmt: skip
def test_what_is_written_so_stays(text: str) -> None:
    assert plain(text) == text


PARTS = [
    "::error::x",
    "a" * 37,
    "##vso[a]",
    "##teamcity[a]",
    "##[b]",
    ":",
    "#",
    "::",
    "\u3000",
    "[",
    "\n",
]


@settings(max_examples=300, deadline=None, derandomize=True)
@given(
    words=st.lists(st.sampled_from(PARTS)),
    width=st.integers(20, 60), gap=st.sampled_from(["", " "]),
)  # fmt: skip
def test_no_line_is_heeded(words: list[str], width: int, gap: str) -> None:
    text = plain(gap.join(words))
    for line in [text, *wrapped(text, width, "  ", "    ")]:
        assert not HEEDED.search(line), line
    assert max(map(len, wrapped(text, width, "  ", "    ")), default=0) <= width


def test_json_keeps_its_values() -> None:
    import json

    for text in ("##vso[a]", "###[", "\\##[", "a#"):
        quiet = unheeded_json(json.dumps([text]))
        assert json.loads(quiet) == [text] and not HEEDED.search(quiet)


@pytest.mark.parametrize("exporter", ["text", "json", "sarif", "junit", "markdown", "page"])
@pytest.mark.parametrize(
    "title",
    ["::error file=a::x", "##vso[task.setvariable]x", "##[error]x", "a" * 80 + "::error::x"],
)
def test_no_report_has_a_line_that_is_heeded(exporter: str, title: str) -> None:
    changed = GROUND.replace("Twelve inch ground", f'"{title}"')
    assert changed != GROUND
    text = felt_engine.export(felt_engine.look(changed, name="a.yaml"), exporter, Sheet(width=80))
    assert "error" in text or "vso" in text or exporter not in ("text", "json", "page")
    assert not [line for line in text.splitlines() if HEEDED.search(line)]


def test_each_weight_is_rounded_by_itself() -> None:
    """1 1/2 oz is 42.5243 g and 20 g is 0.7055 oz (28.349523125 g an ounce: NIST SP 811, appendix B)."""
    text = """
piece: {title: P, use: swatch, shape: rectangle, laid out: 60 x 40 cm}
lots: {a: {fibre: merino, preparation: combed top}}
layers:
  - {name: one, of: a, amount: 20 g, direction: north-south, lay: shingle}
  - {name: two, of: a, amount: 20 g, direction: east-west, lay: shingle}
  - {name: three, of: a, amount: 1 1/2 oz, direction: north-south, lay: shingle}
"""
    said = felt_engine.export(felt_engine.look(text, name="a.yaml"), "text")
    rows = {row.split()[0]: row.split()[1:3] for row in said.splitlines() if row.startswith("    ")}
    assert rows["one"] == rows["two"] == ["20.00", "0.705"]
    assert rows["three"] == ["42.52", "1.500"]
    assert " ".join(ROUNDED.split()) in " ".join(said.split())


def test_columns_that_add_up_as_they_are_shown_need_no_word() -> None:
    table = felt_engine.look(GROUND, name="a.yaml").weights
    assert table is not None
    one = attrs.evolve(table.by_lot[0], grams=20.0, ounces=0.70548)
    two = attrs.evolve(one, grams=40.0, ounces=1.41096)
    same = (one, one)
    table = attrs.evolve(table, by_layer=same, by_lot=same, by_fibre=same, piece=two, pieces=1)
    assert [line.shown for line in (one, two)] == [("20.00", "0.705"), ("40.00", "1.411")]
    assert not table.adds_up
    ounce = attrs.evolve(one, grams=28.35, ounces=1.0)
    right = attrs.evolve(table, by_layer=(ounce,), by_lot=(ounce,), by_fibre=(ounce,), piece=ounce)
    assert right.adds_up
    three = attrs.evolve(ounce, grams=85.049, ounces=3.0)
    several = attrs.evolve(right, pieces=3, all_pieces=three)
    assert several.by_lot_in_all[0].shown == ("85.05", "3.000") and several.adds_up
    assert not attrs.evolve(several, all_pieces=attrs.evolve(three, grams=85.04)).adds_up


def texts(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to each text in plain values."""
    if isinstance(value, dict):
        for key, part in value.items():
            yield from texts(part, (*path, key))
    elif isinstance(value, list):
        for number, part in enumerate(value):
            yield from texts(part, (*path, number))
    elif isinstance(value, str):
        yield path


ODD_RUG = """\
piece: {title: T, use: rug, shape: rectangle, laid out: 60 x 40 cm, stage: firm}
lots: {wool: {fibre: merino}, s: {fibre: silk}}
layers: [{name: one, of: wool, amount: 9 g, direction: north-south}, {name: two, of: s, amount: 200 g/m²}]
totals: [{amount: 90 g}]
waivers: [{rule: thin-layer, where: one, why: it is}]
on purpose: [{what: thin, where: one, why: x}]
"""


@pytest.mark.parametrize("exporter", ["text", "json", "junit", "markdown", "page", "sarif"])
def test_a_report_from_elsewhere_steers_nothing(exporter: str) -> None:
    reports = [felt_engine.check(ODD_RUG, drawing=True)]
    if exporter != "page":
        reports.append(felt_engine.look("piece: {}"))
    document = json.loads(felt_engine.export(reports, "json"))
    tried = 0
    for path in texts(document):
        changed = copy.deepcopy(document)
        owner = changed
        for step in path[:-1]:
            owner = owner[step]
        owner[path[-1]] += "\x1b[31m\u202e"
        try:
            odd = felt_engine.report_from_json(json.dumps(changed))
            shown = felt_engine.export(odd, exporter)
        except felt_engine.FeltError:
            continue
        tried += 1
        assert "\x1b" not in shown and "\u202e" not in shown, path
    assert tried > 50
