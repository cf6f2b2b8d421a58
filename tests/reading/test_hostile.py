"""Broken, odd and hostile texts: each is one located problem in words that help, at once."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from kit_reading import PANEL, only, problems, read

import felt_engine
from felt_engine import RecipeError
from felt_engine.reading import bounds, yaml_tree
from felt_engine.reading.source import text_of
from felt_engine.reading.tree import Unreadable


def panel(old: str, new: str) -> str:
    assert old in PANEL
    return PANEL.replace(old, new)


QUOTES = "quotes"
YAML = [
    # text, line, column, found, mend
    ("", 1, 1, "an empty file", "README"),
    ("\n \n", 1, 1, "nothing but blank lines", "README"),
    ("# one\n  # two\n", 1, 1, "nothing but blank lines and comments", "README"),
    ("---\n", 2, 1, "nothing", "keys"),
    ("hello", 1, 1, '"hello"', "keys"),
    ("- a\n- b\n", 1, 1, "a list", "keys"),
    (panel("  title: Panel", "  title: Panel\n  title: Other"), 3, 3, 'a second "title"', "join"),
    (panel("lots:", "lots:\n  white: {fibre: silk}"), 7, 3, 'a second "white"', "rename"),
    (panel("Panel", "&one Panel"), 2, 10, "an anchor", QUOTES),
    (panel("Panel", "*one"), 2, 10, "an alias", QUOTES),
    (panel("Panel", "*"), 2, 11, "an alias", QUOTES),
    (panel("Panel", "&"), 2, 11, "an anchor", QUOTES),
    (panel("title: Panel", "&key title: Panel"), 2, 3, "an anchor", QUOTES),
    (panel("  - name: base", "  - &base\n    name: base"), 8, 5, "an anchor", QUOTES),
    (panel("Panel", "!!str Panel"), 2, 10, "a tag", QUOTES),
    (panel("Panel", "!local Panel"), 2, 10, "a tag", QUOTES),
    (panel("Panel", "! Panel"), 2, 10, "a tag", QUOTES),
    (panel("Panel", "!<tag:x> Panel"), 2, 10, "a tag", QUOTES),
    (panel("Panel", "!e!x Panel"), 2, 10, "a tag", QUOTES),
    (panel("Panel", "!!python/object/apply:os.system [ls]"), 2, 10, "a tag", QUOTES),
    (panel("  white: {", "  white: !!map {"), 6, 10, "a tag", QUOTES),
    (panel("lots:", "lots:\n  <<: {fibre: silk}"), 6, 3, '"<<"', "merge keys are not read"),
    (panel("  title", "  <<: {use: scarf}\n  title"), 2, 3, 'the key "<<"', "merge keys"),
    (panel("  title", "  <<: *base\n  title"), 2, 7, "an alias", QUOTES),
    (PANEL + "---\n" + PANEL, 11, 1, "a second document", "a file of its own"),
    (PANEL + "---\n", 11, 1, "a second document", "a file of its own"),
    (PANEL + "...\n---\na: b\n", 12, 1, "a second document", "a file of its own"),
    (panel("  title", "\ttitle"), 2, 1, "a tab", "spaces"),
    (panel("  shape", "\tshape"), 3, 1, "a tab", "spaces"),
    (panel("    amount", "  \tamount"), 10, 3, "a tab", "spaces"),
    (panel("Panel", "a: b"), 2, 11, "a second colon", QUOTES),
    (panel("Panel\n  shape", "Panel shape"), 2, 21, "a second colon", "begin a new line before shape"),
    (panel("  shape", "    shape"), 3, 10, "a key below a text that is not finished", "the line above"),
    (panel("  shape", " shape"), 3, 2, "fits neither", "indentation"),
    (panel("  shape:", "  shape"), 3, 3, "a line without a colon", "colon"),
    (panel("Panel", "'Panel"), 2, 10, "quotes that are not closed", "close"),
    (panel("Panel", '"Panel'), 2, 10, "quotes that are not closed", "close"),
    (panel("Panel", "'Dad's"), 2, 15, "text behind a closing quote", "one pair of quotes"),
    (panel("Panel", '"12" x 12"'), 2, 15, "text behind a closing quote", "one pair of quotes"),
    (panel("Panel", r'"a\qb"'), 2, 12, "a backslash", "single quotes"),
    (panel("Panel", "@home"), 2, 10, "a character that no plain text starts with", QUOTES),
    (panel("Panel", "`home`"), 2, 10, "a character that no plain text starts with", QUOTES),
    (panel("Panel", "%home"), 2, 10, "a character that no plain text starts with", QUOTES),
    (panel("Panel", "| home"), 2, 12, "a text that starts with | or >", QUOTES),
    (panel("Panel", "> home"), 2, 12, "a text that starts with | or >", QUOTES),
    (panel("Panel", "- home"), 2, 10, "a dash behind a colon", "a line of its own"),
    (panel("Panel", "? home"), 2, 10, "a question mark", QUOTES),
    (panel("Panel", ", home"), 2, 10, "with nothing before it", "commas"),
    (panel("Panel", "{home"), 2, 10, "brackets that are not closed", "bracket"),
    (panel("merino}", "merino"), 6, 10, "brackets that are not closed", "bracket"),
    (panel("merino}", "merino]"), 6, 10, "brackets that are not closed", "bracket"),
    (panel("merino}", "merino,, note: a}"), 6, 25, "with nothing before it", "commas"),
    (panel("merino}", "merino, shade: ?a}"), 6, 33, "a question mark where a text begins", QUOTES),
    (panel("merino}", "merino, shade: :a}"), 6, 33, "a colon with no name before it", QUOTES),
    (panel("merino}", "merino, shade: - a}"), 6, 33, "a dash inside brackets", QUOTES),
    (panel("merino}", "merino}}"), 6, 25, "behind a closing bracket", "brackets"),
    (panel("    of", "   of"), 9, 4, "a line that fits no list", "dash"),
    (panel("piece:", "? [a]\n: b\npiece:"), 1, 3, "a key that is no plain word", "name the thing"),
    (panel("piece:", "? {a: b}\n: b\npiece:"), 1, 3, "a key that is no plain word", "name the thing"),
    ("%YAML 2.0\n---\n" + PANEL, 1, 1, "another version of YAML", "leave the line"),
    ("%x", 1, 3, "a line that starts with %", QUOTES),
    ("{a: b}} ", 1, 7, "more text after the end", "brackets"),
    ('"a" "b"', 1, 5, "more text after the end", "brackets"),
    (panel("Panel", r'"\e[31m"'), 2, 10, "a hidden character", "delete it"),
    (panel("Panel", r'"\0"'), 2, 10, "a hidden character", "delete it"),
    (panel("Panel", r'"a\Lb"'), 2, 10, "a hidden character", "delete it"),
    (panel("Panel", r'"\u202eabc"'), 2, 10, "a hidden character", "delete it"),
    (panel("white:", r'"\x07":'), 6, 3, "a hidden character", "delete it"),
    (panel("Panel", "a\x00b"), 2, 11, "U+0000", "delete it"),
    (panel("Panel", "a\x1b[31mb"), 2, 11, "U+001B", "delete it"),
    (panel("Panel", "abc\u202edef"), 2, 13, "U+202E (right-to-left override)", "delete it"),
    (panel("Panel", "a\u2066b"), 2, 11, "U+2066 (left-to-right isolate)", "delete it"),
    (panel("Panel", "a\ufeffb"), 2, 11, "U+FEFF", "delete it"),
    (panel("Panel", "a\u2028b"), 2, 11, "U+2028 (line separator)", "delete it"),
    (panel("Panel", "a\x85b"), 2, 11, "U+0085", "delete it"),
    (panel("Panel", "a\ud800b"), 2, 11, "U+D800", "delete it"),
    (panel("20 g", "20 g\x7f"), 10, 17, "U+007F", "delete it"),
    ("[" * 100_000, 1, None, "more levels", "brackets"),
    ("{" * 100_000, 1, None, "more levels", "brackets"),
    ("{a: " * 100_000, 1, None, "more levels", "brackets"),
    ("- " * 100_000, 1, None, "more levels", "brackets"),
    ("[" * 33 + "]" * 33, 1, 33, "more levels", "brackets"),
    ("\n".join(" " * n + "a:" for n in range(2_000)), None, None, "more levels", "brackets"),
    ("- a\n" * 60_000, 50_000, 3, "more than 50000 values", "the right file"),
    ("a:\n" * 60_000, 25_000, 3, "more than 50000 values", "the right file"),
    ("[" + "a," * 200_000 + "]", 1, None, "more than 50000 values", "the right file"),
    ("a: " + "&a " * 100_000, 1, 4, "an anchor", QUOTES),
    ("a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a, *a]\n" for n in range(9)), 1, 4, "an anchor", QUOTES),
    ("a: [*a, *a, *a]\n", 1, 5, "an alias", QUOTES),
    ('"' + "a" * 900_000, 1, 1, "quotes that are not closed", "close"),
    ("a: '" + "\n" * 900_000, 1, 4, "quotes that are not closed", "close"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line", "column", "found", "mend"), YAML, ids=lambda x: ascii(x)[:40]
)
def test_odd_yaml(text: str, line: int | None, column: int | None, found: str, mend: str) -> None:
    began = time.process_time()
    problem = only(text)
    assert time.process_time() - began < 1
    assert found in problem.found and mend in problem.mend, problem
    assert line is None or problem.line == line, problem
    assert column is None or problem.column == column, problem
    assert problem.expected and problem.mend and problem.line and problem.column


JSON_TOP = '{"piece": 1}'
JSON = [
    ("", 1, 1, "the end of the file", "cut off"),
    ("   \n ", 2, 2, "the end of the file", "cut off"),
    ("{", 1, 2, "the end of the file", "cut off"),
    ('{"a"', 1, 5, "the end of the file", "cut off"),
    ('{"a": ', 1, 7, "the end of the file", "cut off"),
    ('{"a": [1, ', 1, 11, "the end of the file", "cut off"),
    ('{"a": 1,}', 1, 9, "'}'", "comma"),
    ('{"a": [1,]}', 1, 10, "']'", "comma"),
    ('{,"a": 1}', 1, 2, "','", "double quotes"),
    ('{"a" 1}', 1, 6, "'1'", "commas and colons"),
    ('{"a": 1 "b": 2}', 1, 9, "'\"b\"'", "commas and colons"),
    ('{"a": [1 2]}', 1, 10, "'2'", "commas and colons"),
    ('{"a": 1]', 1, 8, "']'", "commas and colons"),
    ("{'a': 1}", 1, 2, "'a': 1}", "quotes"),
    ("{a: 1}", 1, 2, "a: 1}", "quotes"),
    ("{1: 1}", 1, 2, "'1'", "double quotes"),
    ('{\n  "a": tru\n}', 2, 8, "tru", "quotes"),
    ('{"a": True}', 1, 7, "True", "quotes"),
    ('{"a": NaN}', 1, 7, "NaN", "number"),
    ('{"a": -Infinity}', 1, 7, "-Infinity", "number"),
    ('{"a": 01}', 1, 7, "01", "quotes"),
    ('{"a": 1.}', 1, 7, "1.", "quotes"),
    ('{"a": .5}', 1, 7, ".5", "quotes"),
    ('{"a": +1}', 1, 7, "+1", "quotes"),
    ('{"a": 0x10}', 1, 7, "0x10", "quotes"),
    ('{"a": 1} x', 1, 10, "more after the end", "delete the rest"),
    ('{"a": 1}\n\n{"b": 2}', 3, 1, "more after the end", "delete the rest"),
    ('{"a": 1 // no\n}', 1, 9, "a comment", "note"),
    ('# hi\n{"a": 1}', 1, 1, "a comment", "note"),
    ('{"a": "b\n"}', 1, 7, "quotes that are not closed", "close"),
    ('{"a": "b', 1, 7, "quotes that are not closed", "close"),
    (r'{"a": "\x41"}', 1, 7, "a wrong escape", "backslash"),
    (r'{"a": "\u12"}', 1, 7, "a wrong escape", "backslash"),
    (r'{"a": "\ud800"}', 1, 7, "a hidden character", "delete"),
    (r'{"a": "\u0000"}', 1, 7, "a hidden character", "delete"),
    (r'{"a": "\u202e"}', 1, 7, "a hidden character", "delete"),
    (r'{"\u001b[31m": 1}', 1, 2, "a hidden character", "delete"),
    ("[" * 100_000, 1, 33, "levels", "the right file"),
    ('{"a":' * 100_000, 1, None, "levels", "the right file"),
    ("[" + "1," * 100_000 + "1]", 1, None, "more values", "the right file"),
    ('"' + "a" * 900_000, 1, 1, "quotes that are not closed", "close"),
    ("hello", 1, 1, "hello", "quotes"),
    ('"hello"', 1, 1, '"hello"', "keys"),
    ("12", 1, 1, '"12"', "keys"),
    ("null", 1, 1, "nothing", "keys"),
    ("[]", 1, 1, "a list", "keys"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line", "column", "found", "mend"), JSON, ids=lambda x: ascii(x)[:40]
)
def test_odd_json(text: str, line: int, column: int | None, found: str, mend: str) -> None:
    began = time.process_time()
    problem = only(text, "json")
    assert time.process_time() - began < 1
    assert found in problem.found and mend in problem.mend, problem
    assert problem.line == line and (column is None or problem.column == column), problem


@pytest.mark.parametrize("text", ['{"piece": 1, "piece": 2}', "piece: 1\npiece: 2\n"])
def test_a_doubled_key_is_refused_by_both_doors(text: str) -> None:
    found = problems(text, "json" if text.startswith("{") else "yaml")
    second = next(p for p in found if p.found == 'a second "piece"')
    assert (second.line, second.column) == ((1, 14) if text.startswith("{") else (2, 1))
    assert second.pointer == "/piece" and second.kind == "text"


BYTES = [
    (PANEL.encode("utf-16"), 1, 1, "UTF-16", "save the file as UTF-8"),
    (PANEL.encode("utf-16-be", "strict"), None, None, "", ""),
    (b"\xfe\xff" + PANEL.encode("utf-16-be"), 1, 1, "UTF-16", "save the file as UTF-8"),
    (b"\xff\xfe\x00\x00" + PANEL.encode("utf-32-le"), 1, 1, "UTF-32", "save the file as UTF-8"),
    (PANEL.replace("Panel", "Café").encode("latin-1"), 2, 13, "the byte 0xe9", "UTF-8"),
    (PANEL.replace("Panel", "Ça").encode("cp1252"), 2, 10, "the byte 0xc7", "UTF-8"),
    (PANEL.encode() + b"# \xed\xa0\x80", 11, 3, "the byte 0xed", "UTF-8"),
    (PANEL.encode().replace(b"\n", b"\r\n") + b"\xff", 11, 1, "the byte 0xff", "UTF-8"),
    (b"\x00" * 100, 1, 1, "U+0000", "delete it"),
    (b"\x89PNG\r\n\x1a\n", 1, 1, "the byte 0x89", "UTF-8"),
    (b"a" * 2_000_000, 1, 1, "more than 1000 kB", "the right file"),
    (b"PK\x03\x04", 1, 3, "U+0003", "delete it"),
]  # fmt: skip


@pytest.mark.parametrize(("data", "line", "column", "found", "mend"), BYTES, ids=range(len(BYTES)))
def test_odd_bytes_in_a_file(
    tmp_path: Path, data: bytes, line: int | None, column: int | None, found: str, mend: str
) -> None:
    path = tmp_path / "odd.yaml"
    path.write_bytes(data)
    began = time.process_time()
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(path)
    assert time.process_time() - began < 1
    problem = caught.value.problems[0]
    assert found in problem.found and mend in problem.mend, problem
    assert line is None or (problem.line, problem.column) == (line, column), problem


def test_what_is_no_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    for path, found in [
        (tmp_path, "a folder"), (tmp_path / "none.yaml", "no file of this name"),
        (tmp_path / "pipe.yaml", "no ordinary file"), (Path("/dev/null"), "no ordinary file"),
        ("a\0b", "no file can have"), ("x" * 5000, "too long"),
    ]:  # fmt: skip
        with pytest.raises(RecipeError) as caught:
            felt_engine.load(path)
        assert found in caught.value.problems[0].found


def test_the_largest_file_that_is_read_at_all() -> None:
    text = PANEL + "#" * (bounds.FILE_BYTES - len(PANEL))
    assert read(text_of(text.encode())) == read(PANEL)
    with pytest.raises(Unreadable):
        text_of(text.encode() + b"#")


def many(template: str, count: int) -> str:
    return "".join(template.replace("N", str(n)) for n in range(count))


SWARMS = {
    "unknown keys": "piece:\n" + many("  keyN: x\n", 24_000),
    "empty keys": "piece:\n" + many("  keyN:\n", 24_000) + "#" * 500_000,
    "tails": "piece: {title: a, " + many("keyN, ", 24_000) + "}" + "#" * 500_000,
    "wrong amounts": PANEL + many("  - {name: N, of: white, amount: N ml}\n", 6_000),
    "wrong sizes": PANEL + "zones:\n" + many("  zN: {shape: oval, size: NX NN}\n", 200) * 40,
    "unknown lots": PANEL.replace(
        "lots:", "lots:\n" + many("  wool number N: {fibre: silk}\n", 199)
    )
    + "  - name: many\n    placements:\n"
    + many("    - {of: wool nomber N, amount: 1 g}\n", 199) * 40,
    "unknown fibres": PANEL.replace("lots:", "lots:\n" + many("  lotN: {fibre: marinoN}\n", 199)),
    "unknown words": PANEL + "work:\n" + many("  - {do: rolN}\n", 290),
    "doubled keys": "piece:\n" + "  title: a\n" * 24_000,
    "layers of one name": PANEL + "  - {name: base, of: white, amount: 1 g}\n" * 99,
    "lost colours": "lots:\n" + many("  lotN: {fibre: silk,\n   colour: #aabbcc\n   }\n", 200),
    "long amount": PANEL.replace("20 g", "1" * 900_000),
    "long title": PANEL.replace("Panel", "a b " * 220_000),
    "long word": PANEL.replace("rectangle", "rectangle" * 90_000),
    "long key": PANEL.replace("title", "title" * 50_000),
    "long name": PANEL.replace("of: white", "of: " + "w" * 900_000),
    "many names": PANEL + "on purpose:\n" + many("  - {what: a, why: b, where: spot N}\n", 199),
}


@pytest.mark.parametrize("text", SWARMS.values(), ids=SWARMS)
def test_swarms_of_problems_are_told_at_once_and_cut_off(text: str) -> None:
    assert len(text) <= bounds.FILE_BYTES
    began = time.process_time()
    found = problems(text)
    assert time.process_time() - began < 1.5
    assert 1 <= len(found) <= bounds.PROBLEMS + 1
    said = sum(len(p.found) + len(p.expected) + len(p.mend) + len(p.pointer) for p in found)
    assert said < bounds.PROBLEM_LETTERS + 1000
    if found[-1].kind == "limit" and found[-1].found.startswith("more than"):
        assert found[-1].found == f"more than {len(found) - 1} problems"


def test_the_largest_right_recipe_is_read() -> None:
    text = PANEL + "  - name: many\n    placements:\n" + "    - {of: white, amount: 1 g}\n" * 200
    text += many(
        "  - name: layer N\n    placements:\n" + "    - {of: white, amount: 1 g}\n" * 3, 98
    )
    layers = read(text).layers
    assert len(layers) == 100 and sum(len(layer.placements) for layer in layers) == 495
    more = text + "    - {of: white, amount: 1 g}\n" * 6
    assert "501 amounts" in problems(more)[0].found


ODD = st.text(st.sampled_from("ab:-[]{}&*!|>'\"%@`#,? \n\t\r\\é🧶\u202e\x00\x85<="), max_size=60)


@settings(max_examples=1500, deadline=None, derandomize=True)
@given(text=ODD, at=st.integers(0, len(PANEL)), door=st.sampled_from(["yaml", "json"]))
def test_any_text_gives_located_problems_or_a_recipe(text: str, at: int, door: str) -> None:
    for whole in (text, PANEL[:at] + text + PANEL[at:]):
        for problem in problems(whole, door):
            assert problem.found and problem.expected and problem.mend
            rows = whole.replace("\r\n", "\n").replace("\r", "\n").replace("\x85", "\n").split("\n")
            assert problem.line and problem.column
            assert problem.line <= len(rows) + 1
            if problem.line <= len(rows):
                assert problem.column <= len(rows[problem.line - 1]) + 1
            assert problem.kind in ("text", "shape", "limit", "link")


class Slow(yaml.Loader):
    """PyYAML's own parser, which is there where libyaml is not."""


@pytest.mark.parametrize(
    ("text", "line"), [(t, n) for t, n, *_ in YAML if len(t) < 1000], ids=lambda x: ascii(x)[:40]
)
def test_without_libyaml_odd_texts_are_refused_too(
    text: str, line: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(yaml_tree, "_Parser", Slow)
    found: Any = problems(text)
    assert found and found[0].mend and found[0].line
    assert read(PANEL).piece.title == "Panel"
