"""Recipes of hostile and unlucky text: what each gets, within a second of CPU time and 256 MB."""

# ruff: noqa: E501
from __future__ import annotations

import json
from pathlib import Path

import pytest
from kit_calls import Caller, held
from kit_reading import PANEL

# what a recipe may say instead of its amount, and what it then gets
AMOUNTS = {
    "1,500 g": "whichever you mean", "-4 g": "sign", "NaN g": "number", "inf g": "number",
    "1e3 g": "exponent", "0 g": "above nothing", "12": "unit", "12 ml": "ml", "999999 kg": "200 kg",
    "0.0000001 g": "at most 6 digits behind", "١٢ g": "12 g", "１２ g": "write 12 g", "12 g/m³": "write 12 g/m²", "twelve g": "in the digits 0 to 9",
    "12 g 13 g": "one number and one unit", "12-14 g": "range", "about 12 g": "write 12 g alone", "12 cm": "the unit of a length", "${AMOUNT}": "in the digits 0 to 9",
    "{{ amount }}": "in the digits 0 to 9", "=1+1": "in the digits 0 to 9", "12 g; rm -rf /": "units known here", "../12 g": "one figure", "0x10 g": "one number and one unit", "0o17 g": "one number and one unit", "20 g m-2": "write 20 g/m²", "20 g + 5 g": "25 g",
    "20 oz t": "one is 31.1034768 g", "20 ounces/yd²": "write 20 oz/yd²", "3 lb 8 ounces 2": "one number and one unit", "1_000 g": "nothing between its",
    "12\u202eg": "hidden", "12\u00a0g": None, "12\u200bg": "a hidden U+200B", "½½ oz": "one number and one unit", "1/0 oz": "not over nought",
    "9" * 5000 + " g": "at most 7 figures", "1" + "0" * 400 + " g": "at most 7 figures", "0." + "0" * 400 + "1 g": "at most 7 figures", "g": "in the digits 0 to 9",
    "²3 g": "in the digits 0 to 9", "12 G": "write 12 g", "%s%n": "in the digits 0 to 9", "<b>12 g</b>": "figure alone", "12 g\\0": "one number and one unit", "true": "in the digits 0 to 9",
    "12\u202fg": None, "1\u2009½ oz": None, "1\u202f500 g": "write 1500 g", "28.3495231 g": "write 28.349523 g",
    "500 mcg": "one is 0.001 mg", "2 x 15 g": "write 30 g", "2 oz 57 g": "one of the two alone: 2 oz",
    "2 oz (57 g)": "write 2 oz alone", "1-1/2 oz": "the fraction: 1 1/2 oz", "40 º": "units known here",
    "12 г": "write 12 g", "15 g per side": "write 15 g alone", "1e-3 kg": "exponent", "'12 g'": "in the digits",
    "11/2 oz": "whichever you mean", "one skein": "in the digits", "1 handful": "volume", "12,5,2 g": "decimal",
}  # fmt: skip
TITLES = (
    "<script>alert(1)</script>", "</title><img src=x onerror=alert(1)>", "]]>", "{{ 7*7 }}", "{% raw %}",
    "=HYPERLINK(1)", "+1+1", "-1+1", "@SUM(A1)", "%s%s%n", "../../etc/passwd", "C:\\\\nul", "\u05d0\u05d1",
    "🧶" * 300, "a\u0301" * 300, "&lt;b&gt;", "javascript:alert(1)", "${HOME}", "`id`", "$(id)", "; ls",
    "' onmouseover='x", '\\" onload=\\"x', "\u200b", "\u00ad", "a" * 4000, "<!--", "--><svg/onload=x>",
)  # fmt: skip
REFUSED_TITLES = {
    "🧶" * 300: "at most 200", "a\u0301" * 300: "at most 200", "a" * 4000: "at most 200",
    "\u200b": "that shows", "\u00ad": "that shows",
}  # fmt: skip
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
    "escaped surrogate": (PANEL.replace("Panel", '"\\ud800"').encode(), 2, "Line 2, column 11 Found an escape that is no character by itself"),
    "half an escape": (PANEL.replace("Panel", '"\\u12"').encode(), 2, "Line 2, column 11 Found an escape with too few figures"),
    "UTF-16 without a mark": (PANEL.encode("utf-16-le"), 2, "looks like UTF-16"),
    "UTF-16 the other way round": (PANEL.replace("Panel", "Ülü").encode("utf-16-be"), 2, "looks like UTF-16"),
    "UTF-32 without a mark": (PANEL.encode("utf-32-le"), 2, "looks like UTF-32"),
    "UTF-32 the other way round": (PANEL.encode("utf-32-be"), 2, "looks like UTF-32"),
    "an open bracket": (b"piece: [", 2, "Line 1, column 8 Found a bracket that is not closed"),
    "an open brace": (b"piece: {", 2, 'close it with "}"'),
    "a bracket in a bracket": (b"a: {b: [\n", 2, "Line 1, column 8 Found a bracket"),
    "a number for a key": (PANEL.replace("title: Panel", "title: Panel\n  7: c").encode(), 2, "column 3: piece > 7 "),
    "a blank at a name's end": (PANEL.replace("white: {", '"white ": {').encode(), 2, 'a blank behind "white"'),
    "blanks before a name": (PANEL.replace("white: {", '"    white": {').encode(), 2, 'a blank before "white"'),
    "lots that look alike": (PANEL.replace("white: {", '"white\\u200b": {fibre: silk}\n  white: {').encode(), 2, "U+200B"),
    "lots with and without a mark": (PANEL.replace("white: {", "cafe\u0301: {fibre: silk}\n  café: {fibre: silk}\n  white: {").encode(), 2, "looks the same"),
    "a lot in Cyrillic": (PANEL.replace("white: {", "а: {fibre: silk}\n  a: {fibre: silk}\n  white: {").encode(), 2, "U+0430 (cyrillic"),
    "layers that look alike": ((PANEL + '  - {name: "ba\\u00adse", of: white, amount: 1 g}\n').encode(), 2, "U+00AD"),
    "a blend that looks like a lot": ((PANEL + "blends: {whіte: {white: 100 %}}\n").encode(), 2, "for a lot and a blend"),
    "a title with a joiner": (PANEL.replace("Panel", "می\u200cخواهم 👩\u200d👧").encode(), 0, "می\u200cخواهم 👩\u200d👧"),
    "a title with a blank that doesn't show": (PANEL.replace("Panel", "a\u200bb").encode(), 0, "a\\u200bb"),
    "a title with a filler": (PANEL.replace("Panel", "a\u3164b").encode(), 0, "a\\u3164b"),
    "a command to a CI service": (PANEL.replace("Panel", '"::error file=a.yaml,line=1::pwned"').encode(), 0, "\\x3a:error"),
    "another command": (PANEL.replace("Panel", '"a ##vso[task.setvariable]x"').encode(), 0, "\\x23#vso["),
    "a command in a later line": (PANEL.replace("Panel", '"' + "a" * 80 + '::error::pwned"').encode(), 0, "::error::pwned"),
    "unknown uses": ((PANEL + "on purpose: [" + "{where: zz, what: a, why: b}, " * 190 + "]\n").encode(), 2, "not known"),
    "many unknown keys": (PANEL.replace("title:", "".join(f"key{n}: a\n  " for n in range(300)) + "title:").encode(), 2, "as listed for line 2"),
    "too long a way in": (PANEL.encode() + b"\xc0\xaf", 2, "0xc0"),
    "picture": (b"\x89PNG\r\n\x1a\n" * 99, 2, "0x89"),
    "archive": (b"PK\x03\x04" * 99, 2, "U+0003"),
    "page": (b"<!doctype html><html><body>hello</body></html>", 2, "give it its keys"),
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
    "unknown keys": (b"piece:\n" + b"".join(b"  k%d: x\n" % n for n in range(9000)), 2, "more than 7"),
    "dotted names": (PANEL.replace("white", "../../x").encode(), 0, "Panel"),
    "name of a function": (PANEL.replace("white", "__class__").encode(), 0, "Panel"),
    "nothing in it": (PANEL.replace("white: {fibre: merino}", "").encode(), 2, "lots"),
    "spaces from the web before a key": (PANEL.replace("  title", "\u00a0\u00a0title").encode(), 2, "indent with plain spaces"),
    "a lot with a blank from the web": (PANEL.replace("of: white", "of: sea\u00a0grey").replace("white:", "sea grey:").encode(), 2, "looks the same"),
    "a lot with another accent": (PANEL.replace("of: white", "of: cafe\u0301").replace("white:", "café:").encode(), 2, "looks the same"),
    "a key with a blank from the web": (PANEL.replace("laid out", "laid\u00a0out").encode(), 2, "U+00A0"),
    "quotes from the web": (PANEL.replace("Panel", "“Panel”").encode(), 0, "“Panel”"),
    "a dash from the web": (PANEL.replace("  - name", "  – name").encode(), 2, "a plain dash"),
    "a soft hyphen": (PANEL.replace("rectangle", "rect\u00adangle").encode(), 2, "looks the same"),
    "only a blank that doesn't show": (PANEL.replace("Panel", '"\u200b"').encode(), 2, "that shows"),
    "yes and no": (PANEL.replace("Panel", "no").encode(), 0, "no"),
    "a number for a title": (PANEL.replace("Panel", "1e5").encode(), 0, "1e5"),
    "a date for a title": (PANEL.replace("Panel", "2026-01-02").encode(), 0, "2026-01-02"),
    "octal": (PANEL.replace("20 g", "0o17").encode(), 2, "number"),
    "sexagesimal": (PANEL.replace("20 g", "20:30").encode(), 2, "number"),
    "a comment in place of a colour": (PANEL.replace("{fibre: merino}", "{fibre: merino, colour: #b3202a}").encode(), 2, "put it in quotes"),
    "a comma in a flow": (PANEL.replace("{fibre: merino}", "{fibre: merino, price: 1,5 EUR per 100 g}").encode(), 2, "whole value in quotes"),
    "many layers": ((PANEL + "".join(f"  - {{name: l{n}, of: white, amount: 1 g}}\n" for n in range(5000))).encode(), 2, "layers"),
    "many lots": (PANEL.replace("lots:", "lots:\n" + "".join(f"  l{n}: {{fibre: silk}}\n" for n in range(9000))).encode(), 2, "lots"),
    "many lots that are misspelt": (PANEL.replace("lots:", "lots:\n" + "".join(f"  wool number {n}: {{fibre: silk}}\n" for n in range(199))).encode() + b"  - name: many\n    placements:\n" + b"".join(b"    - {of: wool nomber %d, amount: 1 g}\n" % n for n in range(199)), 2, "not known"),
    "a long word": (PANEL.replace("rectangle", "rectangle" * 90_000).encode(), 2, "shape"),
    "a long key": (PANEL.replace("title", "title" * 50_000).encode(), 2, "Line 2, column 3 Found a key of 250000 letters"),
    "a long title in one line": (PANEL.replace("Panel", "wool " * 190_000).encode(), 2, "at most"),
    "a note of a megabyte": (PANEL.encode() + b"note: " + b"felt " * 199_000, 2, "at most"),
    "a comment of a megabyte": (PANEL.encode() + b"# " + b"felt " * 199_000, 0, "Panel"),
    "blank lines": (b"\n" * 900_000, 2, "nothing but blank lines"),
    "one long line of brackets": (b"{" + b"a: {}, " * 140_000 + b"}", 2, "values"),
    "quotes to the end": (b'a: "' + b"x\n" * 400_000, 2, "close the quotes"),
    "a question mark": (b"? a\n? b\n", 2, "leave the question mark out"),
    "a list as a key": (b"[a]: b\n", 2, "name the thing"),
    "a directive": (b"%YAML 2.0\n---\n" + PANEL.encode(), 2, "another version"),
    "vertical tab": (PANEL.replace("Panel", "a\x0bb").encode(), 2, "U+000B"),
    "next line": (PANEL.replace("Panel", "a\x85b").encode(), 2, "U+0085"),
    "line separator": (PANEL.replace("Panel", "a\u2028b").encode(), 2, "U+2028"),
    "delete": (PANEL.replace("Panel", "a\x7fb").encode(), 2, "U+007F"),
    "a window's title": (PANEL.replace("Panel", "\x1b]0;x\x07").encode(), 2, "U+001B"),
    "tag characters": (PANEL.replace("Panel", "a\U000e0041").encode(), 0, "\\U000e0041"),
    "right to left mark": (PANEL.replace("Panel", "a\u200fb").encode(), 0, "\\u200f"),
    "isolate": (PANEL.replace("Panel", "a\u2067b").encode(), 2, "U+2067"),
    "no character": (PANEL.replace("Panel", "a\ufffeb").encode(), 2, "U+FFFE"),
    "a name with a bar and a slash": (PANEL.replace("white", "a/b|c~d").encode(), 0, "a/b|c~d"),
    "a name of another kind of blank": (PANEL.replace("white", "a\u3000b").encode(), 0, "Panel"),
    "itself as a zone": ((PANEL + "zones: {whole: {shape: rim, width: 1 cm}}\n").encode(), 2, "whole is always there"),
    "a blend of itself": ((PANEL + "blends: {mix: {mix: 100 %}}\n").encode(), 2, "a blend is made"),
    "crossing corners": (PANEL.replace("shape: rectangle", "shape: polygon").replace("laid out: 60 x 40 cm", 'corners: ["0 cm east, 0 cm north", "9 cm east, 9 cm north", "9 cm east, 0 cm north", "0 cm east, 9 cm north"]').encode(), 2, "crosses itself"),
}  # fmt: skip
JSON: dict[str, tuple[str, int, str]] = {
    "NaN": ('{"piece": NaN}', 2, "write a number"), "inf": ('{"piece": Infinity}', 2, "write a number"), "huge": ('{"piece": 1e999}', 2, "give it its keys"),
    "digits": ('{"piece": ' + "9" * 9000 + "}", 2, "give it its keys"), "deep": ('{"a":' * 90_000, 2, "levels"),
    "half": ('{"piece": {"title": "\\ud800"}}', 2, "hidden"), "cut off": ('{"piece": {', 2, "cut off"),
    "comment": ('{} // x', 2, "delete the rest"), "same key": ('{"piece": 1, "piece": 2}', 2, "a second"),
    "list": ("[]", 2, "a list"), "comma": ('{"piece": {},}', 2, "the comma before it"), "null": ("null", 2, "nothing"),
    "proto": ('{"__proto__": {}}', 2, "__proto__"), "quote": ("{'piece': 1}", 2, "check the quotes"),
    "a long key": ('{"' + "a" * 990_000 + '":1}', 2, "aaa…"),
}  # fmt: skip


@pytest.mark.parametrize("name", TEXTS)
def test_texts(name: str, tmp_path: Path, call: Caller) -> None:
    data, status, word = TEXTS[name]
    (tmp_path / "odd.yaml").write_bytes(data)
    held(call(["check", "odd.yaml"], tmp_path), status, word)


@pytest.mark.parametrize("name", JSON)
def test_json(name: str, tmp_path: Path, call: Caller) -> None:
    text, status, word = JSON[name]
    (tmp_path / "odd.json").write_text(text)
    held(call(["check", "odd.json"], tmp_path), status, word)


@pytest.mark.parametrize("text", AMOUNTS, ids=lambda x: ascii(x)[:30])
def test_amounts(text: str, tmp_path: Path, call: Caller) -> None:
    (tmp_path / "odd.yaml").write_text(PANEL.replace("20 g", json.dumps(text, ensure_ascii=False)))
    word = AMOUNTS[text]
    held(call(["check", "odd.yaml"], tmp_path), 2 if word is not None else 0, word or "Panel")


@pytest.mark.parametrize("text", TITLES, ids=lambda x: ascii(x)[:30])
def test_titles(text: str, tmp_path: Path, call: Caller) -> None:
    """Shown as they are, and in a page and a table as text; or refused, by what is known of them."""
    (tmp_path / "odd.yaml").write_text(PANEL.replace("Panel", f'"{text}"'))
    if text in REFUSED_TITLES:
        held(call(["check", "odd.yaml"], tmp_path), 2, REFUSED_TITLES[text])
        return
    for exporter in ("text", "json", "page", "sarif", "junit", "markdown"):
        done = held(call(["check", "odd.yaml", "--as", exporter], tmp_path), 0, "")
        marks = ("<script", "<img", "<svg/onload", "<b>")
        assert exporter not in ("page", "junit", "markdown") or not any(
            m in done.out for m in marks
        )
