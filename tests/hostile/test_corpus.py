"""Hostile and unlucky input at the command: an exit status, a word that helps, never a traceback.

All in one process for speed: a fork a call, which counts its own CPU time and memory.
"""

# ruff: noqa: E501
from __future__ import annotations

import contextlib
import io
import json
import os
import resource
import sys
import tempfile
from pathlib import Path
from typing import Any

import pytest
from kit import GROUND
from kit_reading import PANEL

from felt_engine.cli.main import main

STUDIO = "name: Saltgrass Felt\n"
BOOK = """\
title: Swatches
swatches:
  - {name: one, laid out: 30 x 30 cm, finished: 20 x 20 cm, stage: firm, fibre: merino, amount: 27 g,
     directions: [north-south, east-west]}
"""
SECONDS, KILOBYTES, LETTERS = 2.0, 256 * 1024, 2000

# what a recipe may say instead of its amount, and what it then gets
AMOUNTS = {
    "1,500 g": "whichever you mean", "-4 g": "sign", "NaN g": "number", "inf g": "number",
    "1e3 g": "exponent", "0 g": "above nothing", "12": "unit", "12 ml": "ml", "999999 kg": "200 kg",
    "0.0000001 g": "", "١٢ g": "12 g", "１２ g": "", "12 g/m³": "", "twelve g": "",
    "12 g 13 g": "", "12-14 g": "range", "about 12 g": "", "12 cm": "", "${AMOUNT}": "",
    "{{ amount }}": "", "=1+1": "", "12 g; rm -rf /": "", "../12 g": "", "0x10 g": "", "1_000 g": "",
    "12\u202eg": "hidden", "12\u00a0g": "", "12\u200bg": "", "½½ oz": "", "1/0 oz": "",
    "9" * 5000 + " g": "", "1" + "0" * 400 + " g": "", "0." + "0" * 400 + "1 g": "", "g": "",
    "²3 g": "", "12 G": "", "%s%n": "", "<b>12 g</b>": "", "12 g\\0": "", "true": "",
}  # fmt: skip
TITLES = (
    "<script>alert(1)</script>", "</title><img src=x onerror=alert(1)>", "]]>", "{{ 7*7 }}", "{% raw %}",
    "=HYPERLINK(1)", "+1+1", "-1+1", "@SUM(A1)", "%s%s%n", "../../etc/passwd", "C:\\\\nul", "\u05d0\u05d1",
    "🧶" * 300, "a\u0301" * 300, "&lt;b&gt;", "javascript:alert(1)", "${HOME}", "`id`", "$(id)", "; ls",
    "' onmouseover='x", '\\" onload=\\"x', "\u200b", "\u00ad", "a" * 4000, "<!--", "--><svg/onload=x>",
)  # fmt: skip
TEXTS: dict[str, tuple[bytes, int, str]] = {
    "nothing": (b"", 2, "an empty file"),
    "nulls": (b"\0" * 999, 2, "U+0000"),
    "a null within": (PANEL.replace("Panel", "Pa\0nel").encode(), 2, "U+0000"),
    "UTF-16": (PANEL.encode("utf-16"), 2, "UTF-16"),
    "UTF-32": (PANEL.encode("utf-32"), 2, "UTF-32"),
    "latin": (PANEL.replace("Panel", "Café").encode("latin-1"), 2, "0xe9"),
    "a mark": (b"\xef\xbb\xbf" + PANEL.encode(), 0, "Panel"),
    "two marks": (b"\xef\xbb\xbf" * 2 + PANEL.encode(), 2, "hidden"),
    "half a letter": (PANEL.encode() + b"\xf0\x9f", 2, "0xf0"),
    "a lone surrogate": (PANEL.encode() + b"# \xed\xa0\x80", 2, "0xed"),
    "escaped surrogate": (PANEL.replace("Panel", '"\\ud800"').encode(), 2, ""),
    "too long a way in": (PANEL.encode() + b"\xc0\xaf", 2, "0xc0"),
    "picture": (b"\x89PNG\r\n\x1a\n" * 99, 2, "0x89"),
    "archive": (b"PK\x03\x04" * 99, 2, "U+0003"),
    "page": (b"<!doctype html><html><body>hello</body></html>", 2, ""),
    "two megabytes": (b"a: b\n" * 400_000, 2, "1000 kB"),
    "tab": (PANEL.replace("  title", "\ttitle").encode(), 2, "a tab"),
    "aliases": (b"a: &a [x,x]\nb: &b [*a,*a]\nc: &c [*b,*b]\n" * 9, 2, "anchor"),
    "itself": (b"piece: &a [*a]\n", 2, "anchor"),
    "merge": (PANEL.replace("lots:", "lots:\n  <<: {a: b}").encode(), 2, "<<"),
    "tag": (PANEL.replace("Panel", "!!python/object/apply:os.system [id]").encode(), 2, "a tag"),
    "deep": (b"[" * 200_000, 2, "levels"),
    "deep maps": (b"a: {" * 50_000, 2, "levels"),
    "deep block": (b"".join(b" " * n + b"a:\n" for n in range(900)), 2, "levels"),
    "many values": (b"a: [" + b"1," * 200_000 + b"1]\n", 2, "values"),
    "colours": (PANEL.replace("{fibre: merino}", "{fibre: merino, colour: \"\x1b[31m\"}").encode(), 2, "hidden"),
    "escape": (PANEL.replace("Panel", '"\\e]0;x\\a"').encode(), 2, "hidden"),
    "back to front": (PANEL.replace("Panel", "\u202elenaP").encode(), 2, "hidden"),
    "same key": ((PANEL + "lots: {}\n").encode(), 2, "a second"),
    "same layer": ((PANEL + "  - {name: base, of: white, amount: 1 g}\n").encode(), 2, "base"),
    "keys that look alike": (PANEL.replace("shape:", "shаpe:").encode(), 2, "shape"),
    "two documents": ((PANEL + "---\n" + PANEL).encode(), 2, "second document"),
    "old Mac line ends": (PANEL.replace("\n", "\r").encode(), 0, "Panel"),
    "Windows line ends": (PANEL.replace("\n", "\r\n").encode(), 0, "Panel"),
    "no end": (PANEL.rstrip().encode(), 0, "Panel"),
    "a list": (b"- a\n- b\n", 2, "a list"),
    "a word": (b"hello", 2, "hello"),
    "unknown keys": (b"piece:\n" + b"".join(b"  k%d: x\n" % n for n in range(9000)), 2, "more than 200"),
    "dotted names": (PANEL.replace("white", "../../x").encode(), 0, "Panel"),
    "name of a function": (PANEL.replace("white", "__class__").encode(), 0, "Panel"),
    "nothing in it": (PANEL.replace("white: {fibre: merino}", "").encode(), 2, "lots"),
}  # fmt: skip
JSON: dict[str, tuple[str, int, str]] = {
    "NaN": ('{"piece": NaN}', 2, ""), "inf": ('{"piece": Infinity}', 2, ""), "huge": ('{"piece": 1e999}', 2, ""),
    "digits": ('{"piece": ' + "9" * 9000 + "}", 2, ""), "deep": ('{"a":' * 90_000, 2, "levels"),
    "half": ('{"piece": {"title": "\\ud800"}}', 2, "hidden"), "cut off": ('{"piece": {', 2, ""),
    "comment": ('{} // x', 2, ""), "same key": ('{"piece": 1, "piece": 2}', 2, "a second"),
    "list": ("[]", 2, "a list"), "comma": ('{"piece": {},}', 2, ""), "null": ("null", 2, "nothing"),
    "proto": ('{"__proto__": {}}', 2, "__proto__"), "quote": ("{'piece': 1}", 2, ""),
}  # fmt: skip
CALLS: dict[str, tuple[list[str], int, str]] = {
    "no such file": (["check", "gone.yaml"], 2, "no file of this name"),
    "a loop of links": (["check", "loop.yaml"], 2, ""),
    "a link to nowhere": (["check", "nowhere.yaml"], 2, "no file of this name"),
    "a folder called so": (["check", "folder.yaml"], 2, "without a recipe"),
    "a pipe": (["check", "pipe.yaml"], 2, "no ordinary file"),
    "a device": (["check", "/dev/zero"], 2, "no ordinary file"),
    "a long name": (["check", "x" * 5000], 2, "too long"),
    "no name": (["check", ""], 2, ""),
    "bytes for a name": (["check", os.fsdecode(b"\xff.yaml")], 2, ""),
    "an odd name as JSON": (["check", os.fsdecode(b"odd\xff.yaml"), "--as", "json", "--to", "o.json"], 0, ""),
    "an odd name as a page": (["check", os.fsdecode(b"odd\xff.yaml"), "--as", "page", "--to", "o.html"], 0, ""),
    "an odd name in a folder": (["check", ".", "--as", "page", "--to", "pages/"], 2, ""),
    "name of escapes": (["check", "\x1b[31mred\n.yaml"], 0, "\\x1b"),
    "name of script": (["check", "<script>.yaml", "--as", "page"], 0, "&lt;script&gt;"),
    "to a folder": (["check", "right.yaml", "--to", "folder.yaml"], 2, "there is a folder"),
    "to no folder": (["check", "right.yaml", "--to", "none/x.txt"], 2, "cannot write"),
    "to nothing": (["check", "right.yaml", "--to", ""], 2, "--to is to name a file"),
    "to a full disk": (["check", "right.yaml", "--to", "/dev/full"], 2, "No space"),
    "to a long name": (["check", "right.yaml", "--to", "y" * 250 + ".txt"], 0, ""),
    "to too long a name": (["check", "right.yaml", "--to", "y" * 300], 2, "cannot write"),
    "to a loop": (["check", "right.yaml", "--to", "loop.yaml/x"], 2, "cannot write"),
    "pages over a file": (["check", "right.yaml", "--as", "page", "--to", "right.yaml/"], 2, "cannot"),
    "no exporter": (["check", "right.yaml", "--as", "../x"], 2, "no exporter"),
    "no studio": (["check", "right.yaml", "--studio", "gone.yaml"], 2, "no file"),
    "a recipe for a studio": (["check", "right.yaml", "--studio", "right.yaml"], 2, "piece"),
    "a pipe for a studio": (["check", "right.yaml", "--studio", "pipe.yaml"], 2, "no ordinary file"),
    "a studio for a recipe": (["check", "own/studio.yaml"], 2, "a studio file"),
    "rule files that are gone": (["check", "right.yaml", "--rule-file", "gone.py"], 2, "no rule file"),
    "a rule's name": (["rules", "../../x"], 2, ""),
    "no command": (["chek"], 2, "chek"),
    "resize by nothing": (["resize", "right.yaml"], 2, ""),
    "resize to a folder": (["resize", "right.yaml", "--times", "2", "--to", "folder.yaml"], 2, "folder"),
    "resize over a full disk": (["resize", "right.yaml", "--times", "2", "--to", "/dev/full"], 2, "No space"),
    "resize gone": (["resize", "gone.yaml", "--times", "2"], 2, "no file"),
    "resize a book": (["resize", "book.yaml", "--times", "2"], 2, ""),
    "have nothing": (["resize", "right.yaml", "--have", ":"], 2, "--have"),
    "have another": (["resize", "right.yaml", "--have", "gold: 3 g"], 2, "gold"),
    "have a litre": (["resize", "right.yaml", "--have", "grey: 3 l"], 2, "weight"),
    "no pieces": (["resize", "right.yaml", "--pieces", "0"], 2, "--pieces"),
    "many pieces": (["resize", "right.yaml", "--pieces", "9" * 5000], 2, "--pieces"),
    "pieces in other digits": (["resize", "right.yaml", "--pieces", "²"], 2, "--pieces"),
    "no size": (["resize", "right.yaml", "--laid-out", "x"], 2, "size"),
    "forecast a book": (["forecast", "book.yaml"], 2, ""),
    "forecast by a recipe": (["forecast", "right.yaml", "--notebook", "right.yaml"], 2, ""),
    "forecast by a pipe": (["forecast", "right.yaml", "--notebook", "pipe.yaml"], 2, "no ordinary file"),
    "forecast a size of words": (["forecast", "right.yaml", "--finished", "large"], 2, "size"),
    "forecast without one": (["forecast", "right.yaml", "--notebook", "book.yaml", "--without", "zwei"], 2, "zwei"),
    "swatches of a recipe": (["swatches", "right.yaml"], 2, ""),
    "swatches of a folder": (["swatches", "folder.yaml"], 2, "folder"),
    "rows of a tuft of one side": (["rows", "right.yaml", "--tuft", "5 cm"], 2, "tuft"),
    "rows gone": (["rows", "gone.yaml"], 2, "no file"),
}  # fmt: skip
for factor in ("0", "-1", "nan", "inf", "1e400", "x", "", "1e-300", "99999"):
    CALLS[f"resize {factor or 'empty'} times"] = (
        ["resize", "right.yaml", f"--times={factor}"],
        2,
        "",
    )
BOOKS = {
    "no swatches": "swatches: []\n", "grown": BOOK.replace("20 x 20 cm", "50 x 50 cm"), "no size": BOOK.replace("20 x 20 cm", "0 cm"),
    "a date": BOOK.replace("{name: one,", "{name: one, date: 2026-13-45,"), "a fibre": BOOK.replace("merino", "<script>"),
    "an alias": BOOK.replace("merino", "*x"), "a bomb": "a: &a [x]\nb: [*a, *a]\n", "null": "\0", "words": "hello",
}  # fmt: skip
STUDIOS = {
    "no name": "as of: 0.1.0\n", "limit": STUDIO + "rules: {thin-layer: {limits: {none: 1}}}\n", "word": "hello",
    "rule": STUDIO + "rules: {no-rule: {switched off: why}}\n", "code": STUDIO + "rule files: [../../x.py]\n",
    "fibre": STUDIO + "fibres: {x: {like: x}}\n", "nan": STUDIO + "scale step: nan g\n", "alias": STUDIO + "a: *b\n",
    "version": STUDIO + "as of: 99..1\n", "plugin": STUDIO + "needed plugins: [no-such]\n", "null": "\0",
}  # fmt: skip


def folder(at: Path) -> None:
    """What the calls name."""
    for name in ("right.yaml", "\x1b[31mred\n.yaml", "<script>.yaml", os.fsdecode(b"odd\xff.yaml")):
        (at / name).write_text(GROUND, encoding="utf-8")
    (at / "yaml.py").write_text("raise SystemExit('run!')")
    (at / "book.yaml").write_text(BOOK)
    (at / "loop.yaml").symlink_to("loop.yaml")
    (at / "nowhere.yaml").symlink_to("gone.yaml")
    for name in ("folder.yaml", "own"):
        (at / name).mkdir()
    (at / "own/studio.yaml").write_text(STUDIO)
    os.mkfifo(at / "pipe.yaml")


def call(arguments: list[str], at: Path) -> tuple[int, str, float, int]:
    """Status, all that was said, CPU seconds and kB of one call, in a child of this process."""
    with tempfile.TemporaryFile() as said:
        child = os.fork()
        if not child:
            status = 99
            with contextlib.suppress(BaseException):
                os.chdir(at)
                os.dup2(said.fileno(), 1)
                os.dup2(said.fileno(), 2)
                sys.stdout = io.TextIOWrapper(os.fdopen(1, "wb", closefd=False), encoding="utf-8")
                sys.stderr = io.TextIOWrapper(os.fdopen(2, "wb", closefd=False), encoding="utf-8")
                before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
                status = main(arguments)
                for stream in (sys.stdout, sys.stderr):
                    stream.flush()
                grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
                if grown > KILOBYTES:
                    status = 98
            os._exit(status)
        _, status, used = os.wait4(child, 0)
        said.seek(0)
        text = said.read().decode("utf-8", "replace")
    return os.waitstatus_to_exitcode(status), text, used.ru_utime + used.ru_stime, used.ru_maxrss


def held(arguments: list[str], at: Path, status: int | None, word: str | None) -> str:
    code, said, seconds, _ = call(arguments, at)
    assert "Traceback" not in said and "should not" not in said, said[-2000:]
    assert code == status if status is not None else code in (0, 1, 2), (code, said[-1500:])
    assert seconds < SECONDS, seconds
    assert "\x1b" not in said and "run!" not in said
    if code == 2:
        assert said.strip() and (word or "") in said, said[:1500]
        assert max(map(len, said.splitlines()), default=0) <= LETTERS + len(" ".join(arguments)), (
            said[:1500]
        )
    return said


@pytest.fixture
def place(tmp_path: Path) -> Path:
    folder(tmp_path)
    return tmp_path


@pytest.mark.parametrize("name", CALLS)
def test_calls(name: str, place: Path) -> None:
    arguments, status, word = CALLS[name]
    said = held(arguments, place, status, word)
    assert status or word in said


@pytest.mark.parametrize("name", TEXTS)
def test_texts(name: str, tmp_path: Path) -> None:
    data, status, word = TEXTS[name]
    (tmp_path / "odd.yaml").write_bytes(data)
    said = held(["check", "odd.yaml"], tmp_path, status, word)
    assert status or word in said


@pytest.mark.parametrize("name", JSON)
def test_json(name: str, tmp_path: Path) -> None:
    text, status, word = JSON[name]
    (tmp_path / "odd.json").write_text(text)
    held(["check", "odd.json"], tmp_path, status, word)


@pytest.mark.parametrize("text", AMOUNTS, ids=lambda x: ascii(x)[:30])
def test_amounts(text: str, tmp_path: Path) -> None:
    (tmp_path / "odd.yaml").write_text(PANEL.replace("20 g", json.dumps(text, ensure_ascii=False)))
    word = AMOUNTS[text]
    held(["check", "odd.yaml"], tmp_path, 2 if word is not None else 0, word)


@pytest.mark.parametrize("exporter", ["text", "json", "page"])
@pytest.mark.parametrize("text", TITLES, ids=lambda x: ascii(x)[:30])
def test_titles(text: str, exporter: str, tmp_path: Path) -> None:
    (tmp_path / "odd.yaml").write_text(PANEL.replace("Panel", f'"{text}"'))
    said = held(["check", "odd.yaml", "--as", exporter], tmp_path, None, "")
    assert exporter != "page" or not any(
        x in said for x in ("<script", "<img src=x", "<svg/onload")
    )


@pytest.mark.parametrize("name", [*BOOKS, *(f"studio {n}" for n in STUDIOS)])
def test_books_and_studios(name: str, place: Path) -> None:
    text: Any = BOOKS.get(name) or STUDIOS[name.removeprefix("studio ")]
    (place / "odd.yaml").write_text(text)
    if name in BOOKS:
        held(["swatches", "odd.yaml"], place, None, "")
        held(["forecast", "right.yaml", "--notebook", "odd.yaml"], place, None, "")
    else:
        status = 3 if name in ("studio plugin", "studio code") else 2
        held(["check", "right.yaml", "--studio", "odd.yaml"], place, status, "odd.yaml")


def test_there_are_enough() -> None:
    count = len(TEXTS) + len(JSON) + len(CALLS) + len(AMOUNTS) + len(TITLES) + len(BOOKS)
    assert count + len(STUDIOS) >= 150
