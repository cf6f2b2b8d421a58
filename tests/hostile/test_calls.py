"""Calls that go wrong: every command, with files, names, outputs and options of every odd kind."""

# ruff: noqa: E501
from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from kit import GROUND
from kit_calls import BOOK, STUDIO, Caller, held

CALLS: dict[str, tuple[list[str], int, str]] = {
    "no such file": (["check", "gone.yaml"], 2, "no file of this name"),
    "a loop of links": (["check", "loop.yaml"], 2, "too many levels of symbolic links"),
    "a link to nowhere": (["check", "nowhere.yaml"], 2, "no file of this name"),
    "a folder called so": (["check", "folder.yaml"], 2, "without a recipe"),
    "a pipe": (["check", "pipe.yaml"], 2, "no ordinary file"),
    "a device": (["check", "/dev/zero"], 2, "no ordinary file"),
    "a long name": (["check", "x" * 5000], 2, "letters is no file's"),
    "no name": (["check", ""], 2, "a name that is empty"),
    "bytes for a name": (["check", os.fsdecode(b"\xff.yaml")], 2, "no file of this name"),
    "an odd name as JSON": (["check", os.fsdecode(b"odd\xff.yaml"), "--as", "json", "--to", "o.json"], 0, ""),
    "an odd name as a page": (["check", os.fsdecode(b"odd\xff.yaml"), "--as", "page", "--to", "o.html"], 0, ""),
    "an odd name in a folder": (["check", ".", "--as", "page", "--to", "pages/"], 3, ""),
    "name of escapes": (["check", "\x1b[31mred\n.yaml"], 0, "\\x1b"),
    "name of script": (["check", "<script>.yaml", "--as", "page"], 0, "&lt;script&gt;"),
    "to a folder": (["check", "right.yaml", "--to", "folder.yaml"], 2, "there is a folder"),
    "to no folder": (["check", "right.yaml", "--to", "none/x.txt"], 2, "cannot write"),
    "to a full disk": (["check", "right.yaml", "--to", "/dev/full"], 2, "No space"),
    "to a long name": (["check", "right.yaml", "--to", "y" * 250 + ".txt"], 0, ""),
    "to too long a name": (["check", "right.yaml", "--to", "y" * 300], 2, "cannot write"),
    "to a loop": (["check", "right.yaml", "--to", "loop.yaml/x"], 2, "cannot write"),
    "pages over a file": (["check", "right.yaml", "--as", "page", "--to", "right.yaml/"], 2, "written over"),
    "no exporter": (["check", "right.yaml", "--as", "../x"], 2, "no exporter"),
    "no studio": (["check", "right.yaml", "--studio", "gone.yaml"], 2, "no file"),
    "a recipe for a studio": (["check", "right.yaml", "--studio", "right.yaml"], 2, "found a recipe; expected a studio file"),
    "a pipe for a studio": (["check", "right.yaml", "--studio", "pipe.yaml"], 2, "no ordinary file"),
    "a studio for a recipe": (["check", "own/studio.yaml"], 2, "a studio file"),
    "rule files that are gone": (["check", "right.yaml", "--rule-file", "gone.py"], 2, "no rule file"),
    "a rule's name": (["rules", "../../x"], 2, "felt-engine rules lists them"),
    "no command": (["chek"], 2, "chek"),
    "resize by nothing": (["resize", "right.yaml"], 2, "say one thing"),
    "resize to a folder": (["resize", "right.yaml", "--times", "2", "--to", "folder.yaml"], 2, "folder"),
    "resize over a full disk": (["resize", "right.yaml", "--times", "2", "--to", "/dev/full"], 2, "No space"),
    "resize gone": (["resize", "gone.yaml", "--times", "2"], 2, "no file"),
    "resize a book": (["resize", "book.yaml", "--times", "2"], 2, "a notebook"),
    "have nothing": (["resize", "right.yaml", "--have", ":"], 2, "--have"),
    "have another": (["resize", "right.yaml", "--have", "gold: 3 g"], 2, "gold"),
    "have a litre": (["resize", "right.yaml", "--have", "grey: 3 l"], 2, "weight"),
    "no pieces": (["resize", "right.yaml", "--pieces", "0"], 2, "--pieces"),
    "many pieces": (["resize", "right.yaml", "--pieces", "9" * 5000], 2, "--pieces"),
    "pieces in other digits": (["resize", "right.yaml", "--pieces", "²"], 2, "--pieces"),
    "no size": (["resize", "right.yaml", "--laid-out", "x"], 2, "size"),
    "forecast a book": (["forecast", "book.yaml"], 2, "a notebook"),
    "forecast by a recipe": (["forecast", "right.yaml", "--notebook", "right.yaml"], 2, "a recipe"),
    "forecast by a pipe": (["forecast", "right.yaml", "--notebook", "pipe.yaml"], 2, "no ordinary file"),
    "forecast a size of words": (["forecast", "right.yaml", "--finished", "large"], 2, "size"),
    "forecast without one": (["forecast", "right.yaml", "--notebook", "book.yaml", "--without", "zwei"], 2, "zwei"),
    "swatches of a recipe": (["swatches", "right.yaml"], 2, "a recipe"),
    "swatches of a folder": (["swatches", "folder.yaml"], 2, "folder"),
    "rows of a tuft of one side": (["rows", "right.yaml", "--tuft", "5 cm"], 2, "tuft"),
    "rows gone": (["rows", "gone.yaml"], 2, "no file"),
    "standard input of nothing": (["check", "-"], 2, "an empty file"),
    "standard input twice": (["check", "-", "-"], 2, "read only once"),
    "called without being given": (["check", "right.yaml", "--called", "x.yaml"], 2, "give - as the path"),
    "called nothing": (["check", "-", "--called", ""], 2, "the name is empty"),
    "a recipe and the same again": (["check", "right.yaml", "right.yaml"], 0, "Twelve inch ground"),
    "no processes": (["check", "right.yaml", "--processes", "0"], 2, "1 to 256"),
    "processes below nothing": (["check", "right.yaml", "--processes=-1"], 2, "1 to 256"),
    "many processes": (["check", "right.yaml", "--processes", "9" * 5000], 2, "1 to 256"),
    "processes in other digits": (["check", "right.yaml", "--processes", "²"], 2, "1 to 256"),
    "keep in a file": (["check", "right.yaml", "--keep", "right.yaml"], 2, "no folder of kept results"),
    "keep in a full folder": (["check", "right.yaml", "--keep", "full"], 2, "no folder of kept results"),
    "keep in a loop": (["check", "right.yaml", "--keep", "loop.yaml"], 2, "no folder of kept results"),
    "keep nowhere": (["check", "right.yaml", "--keep", ""], 2, "no folder of kept results"),
    "keep below a file": (["check", "right.yaml", "--keep", "right.yaml/kept"], 0, "can’t be kept"),
    "keep in a pipe": (["check", "right.yaml", "--keep", "pipe.yaml"], 2, "no folder of kept results"),
    "keep with rubbish in it": (["check", "right.yaml", "--keep", "kept"], 0, "Twelve inch ground"),
    "known that is gone": (["check", "right.yaml", "--known", "gone.json"], 2, "--write-known gone.json makes it"),
    "known that is a recipe": (["check", "right.yaml", "--known", "right.yaml"], 2, "no JSON"),
    "known that is a folder": (["check", "right.yaml", "--known", "full"], 2, "cannot read"),
    "known of another format": (["check", "right.yaml", "--known", "known/format.json"], 2, "format 1"),
    "known of lists": (["check", "right.yaml", "--known", "known/lists.json"], 2, "format 1"),
    "known of numbers": (["check", "right.yaml", "--known", "known/numbers.json"], 2, "is a text"),
    "known of no level": (["check", "right.yaml", "--known", "known/level.json"], 2, "no level"),
    "known, merged": (["check", "right.yaml", "--known", "known/merged.json"], 2, "a merge left its mark"),
    "known, deep": (["check", "right.yaml", "--known", "known/deep.json"], 2, "no JSON"),
    "known, not UTF-8": (["check", "right.yaml", "--known", "known/latin.json"], 2, "no UTF-8"),
    "known of names outside": (["check", "right.yaml", "--known", "known/outside.json"], 0, "Twelve inch ground"),
    "known of digits": (["check", "right.yaml", "--known", "known/digits.json"], 2, ""),
    "known that is a pipe": (["check", "right.yaml", "--known", "pipe.yaml"], 2, "no ordinary file"),
    "known that never ends": (["check", "right.yaml", "--known", "/dev/zero"], 2, "no ordinary file"),
    "write known over the recipe": (["check", "right.yaml", "--write-known", "right.yaml"], 2, ""),
    "write known over the recipe, by another": (["check", "right.yaml", "--known", "known/empty.json", "--write-known", "right.yaml"], 2, "would be written over"),
    "write known over a recipe of the folder": (["check", "own", "twice/r.yaml", "--studio", "none", "--known", "known/empty.json", "--write-known", "led/r.yaml"], 2, "would be written over"),
    "write known over the recipe by a link": (["check", "right.yaml", "--known", "known/empty.json", "--write-known", "link.yaml"], 2, "would be written over"),
    "write known on a full disk": (["check", "right.yaml", "--write-known", "/dev/full"], 2, "No space"),
    "to the recipe itself": (["check", "right.yaml", "--to", "right.yaml"], 2, "written over"),
    "to the recipe by a link": (["check", "right.yaml", "--to", "link.yaml"], 2, "written over"),
    "to the studio file": (["check", "right.yaml", "--studio", "own/studio.yaml", "--to", "own/studio.yaml"], 2, "written over"),
    "to a name that ends like a folder": (["check", "right.yaml", "--to", "new.txt/"], 2, "no folder"),
    "to a link to itself": (["check", "right.yaml", "--to", "loop.yaml"], 2, "leads to itself"),
    "two reports to one place": (["check", "right.yaml", "--to", "a.txt", "--as", "json", "--to", "./a.txt"], 2, "two reports"),
    "a folder of nothing": (["check", "full/none"], 2, "no file of this name"),
    "a path through a file": (["check", "right.yaml/x.yaml"], 2, "not a directory"),
    "an option twice": (["check", "right.yaml", "--studio", "none", "--studio", "gone.yaml"], 2, "only once"),
    "an option without its value": (["check", "right.yaml", "--as"], 2, "expected"),
    "a level that isn't": (["check", "right.yaml", "--stop-at", "never"], 2, "never"),
    "no path": (["check"], 2, "PATH"),
    "nothing at all": ([], 2, "COMMAND"),
    "an option from elsewhere": (["check", "right.yaml", "--fix"], 2, "--fix"),
    "a studio in two spellings": (["check", "twice/r.yaml"], 2, "one studio file"),
    "a studio that is a folder": (["check", "led/r.yaml"], 2, "a folder"),
    "a studio that is a loop": (["check", "looped/r.yaml"], 2, "symbolic links"),
    "rules of a folder that is gone": (["rules", "--rule-file", "gone/"], 2, "no rule file"),
    "a rule file that is a recipe": (["check", "right.yaml", "--rule-file", "right.yaml"], 3, ""),
    "a rule file that is a pipe": (["check", "right.yaml", "--rule-file", "pipe.yaml"], 3, "pipe.yaml: it is no ordinary file"),
    "a rule file that is a pipe, and kept results": (
        ["check", "right.yaml", "--rule-file", "pipe.yaml", "--keep", "k"], 3, "no ordinary file"),
    "a rule file that never ends, and kept results": (
        ["check", "right.yaml", "--rule-file", "/dev/zero", "--keep", "k"], 3, "no ordinary file"),
    "a rule file that is far too long": (
        ["check", "right.yaml", "--rule-file", "sparse.py"], 3, "more than 1000 kB"),
    "a rule file that is far too long, and kept results": (
        ["check", "right.yaml", "--rule-file", "sparse.py", "--keep", "k"], 3, "more than 1000 kB"),
    "rules of no studio": (["rules", "thin-layer", "--studio", "gone.yaml"], 2, "no file of this name"),
    "two rules": (["rules", "thin-layer", "halo-clash"], 2, "halo-clash"),
    "a plugin outside": (["new-plugin", "../evil"], 2, "small letters"),
    "a plugin with a slash": (["new-plugin", "a/b"], 2, "small letters"),
    "a plugin of a word of Python": (["new-plugin", "class"], 2, "small letters"),
    "a plugin that is taken": (["new-plugin", "json"], 2, "taken"),
    "a plugin of another script": (["new-plugin", "wоol"], 2, "small letters"),
    "a plugin of nothing": (["new-plugin", ""], 2, "small letters"),
    "a plugin of a long name": (["new-plugin", "a" * 5000], 2, ""),
    "a plugin over a file": (["new-plugin", "harbour-rules", "--to", "right.yaml"], 2, "there already"),
    "a plugin over a loop": (["new-plugin", "harbour-rules", "--to", "loop.yaml"], 2, "there already"),
    "a plugin over a full folder": (["new-plugin", "harbour-rules", "--to", "full"], 2, "not empty"),
    "a plugin below a file": (["new-plugin", "harbour-rules", "--to", "right.yaml/x"], 2, "cannot make"),
    "a plugin of many rules files": (["new-plugin", "harbour-rules", "--to", ""], 2, ""),
    "rows with no tuft": (["rows", "right.yaml", "--tuft", ""], 2, "tuft"),
    "rows of half a tuft": (["rows", "right.yaml", "--tuft", "5"], 2, "say the unit: 5 cm x 5 cm, if"),
    "rows of a tuft of nothing": (["rows", "right.yaml", "--tuft", "0 x 0 cm"], 2, "above nothing"),
    "rows of specks": (["rows", "right.yaml", "--tuft", "0.1 x 0.1 mm"], 2, "at least 1 mm"),
    "rows of tiny tufts": (["rows", "right.yaml", "--tuft", "1 x 1 mm"], 0, "rows"),
    "rows of huge tufts": (["rows", "right.yaml", "--tuft", "100 x 100 m"], 0, "1 row"),
    "rows of a folder": (["rows", "full"], 2, "a folder"),
    "resize to a size and by a factor": (["resize", "right.yaml", "--times", "2", "--laid-out", "1 x 1 m"], 2, "one thing"),
    "resize to a size from the web": (["resize", "right.yaml", "--laid-out", "2\u00a0ft\u00a0x\u00a02\u00a0ft"], 0, "2 ft x 2 ft"),
    "resize to nothing": (["resize", "right.yaml", "--laid-out", "0 x 0 cm"], 2, "above nothing"),
    "resize with less than nothing": (["resize", "right.yaml", "--have", "grey: -3 g"], 2, "without a sign"),
    "resize by a notebook that is gone": (["resize", "right.yaml", "--finished", "20 x 20 cm", "--notebook", "gone.yaml"], 2, "no file"),
    "forecast as a picture": (["forecast", "right.yaml", "--as", "png"], 2, "png"),
    "forecast on a full disk": (["forecast", "right.yaml", "--to", "/dev/full"], 2, "No space"),
    "forecast a large size": (["forecast", "right.yaml", "--finished", "100 x 100 m"], 0, "For"),
    "swatches gone": (["swatches", "gone.yaml"], 2, "no file of this name"),
    "swatches that are a loop": (["swatches", "loop.yaml"], 2, "symbolic links"),
    "swatches without one": (["swatches", "book.yaml", "--without", "\x1b[31m"], 2, "\\x1b[31m"),
}  # fmt: skip
FACTORS = {
    "0": "such as 1.5", "-1": "such as 1.5", "nan": "such as 1.5", "inf": "such as 1.5", "1e400": "such as 1.5",
    "x": "such as 1.5", "": "such as 1.5", "1e-300": "such as 1.5", "0.001": "from 0.02 to 50", "99999": "from 0.02 to 50",
}  # fmt: skip
for factor, word in FACTORS.items():
    CALLS[f"resize {factor or 'empty'} times"] = (
        ["resize", "right.yaml", f"--times={factor}"],
        2,
        word,
    )
BOOKS: dict[str, tuple[str, int, str]] = {
    "no swatches": ("swatches: []\n", 0, "0 swatches"),
    "grown": (BOOK.replace("20 x 20 cm", "50 x 50 cm"), 2, "the order of sides"),
    "no size": (BOOK.replace("20 x 20 cm", "0 cm"), 2, "above nothing"),
    "a date": (BOOK.replace("{name: one,", "{name: one, date: 2026-13-45,"), 2, "2026-03-14"),
    "a fibre": (BOOK.replace("merino", "<script>"), 2, "not known"),
    "an alias": (BOOK.replace("merino", "*x"), 2, "an alias"),
    "a bomb": ("a: &a [x]\nb: [*a, *a]\n", 2, "an anchor"),
    "a null": ("\0", 2, "U+0000"), "words": ("hello", 2, "with keys such as"),
    "an escape": (BOOK.replace("name: one", 'name: "\\e[31m"'), 2, "hidden character"),
    "the same twice": (BOOK + BOOK.splitlines()[2] + "\n" + BOOK.splitlines()[3] + "\n", 2, "one"),
    "many": (BOOK.splitlines()[0] + "\nswatches:\n" + "".join(
        f"  - {{name: s{n}, laid out: 30 x 30 cm, finished: 20 x 20 cm, stage: firm, fibre: merino, amount: 27 g, directions: [random]}}\n"
        for n in range(3000)), 2, ""),
    "deep": ("[" * 90_000, 2, "levels"), "two megabytes": ("a: b\n" * 400_000, 2, "1000 kB"),
    "felted to a thread": (BOOK.replace("20 x 20 cm", "0.1 x 0.1 mm"), 0, "1 doubtful"),
    "as heavy as a house": (BOOK.replace("27 g", "200 kg"), 0, ""),
}  # fmt: skip
STUDIOS: dict[str, tuple[str, int, str]] = {
    "no name": ("as of: 0.1.0\n", 2, "add name"), "a word": ("hello", 2, "with keys such as"),
    "a limit": (STUDIO + "rules: {thin-layer: {limits: {none: 1}}}\n", 2, "a limit of thin-layer"),
    "a rule": (STUDIO + "rules: {no-rule: {switched off: why}}\n", 2, "not known"),
    "code": (STUDIO + "rule files: [../../x.py]\n", 3, "x.py"),
    "code that is a recipe": (STUDIO + "rule files: [right.yaml]\n", 3, "right.yaml"),
    "a fibre of itself": (STUDIO + "fibres: {x: {like: x}}\n", 2, "the entry itself"),
    "fibres of each other": (STUDIO + "fibres: {x: {like: y}, y: {like: x}}\n", 2, ""),
    "no number": (STUDIO + "scale step: nan g\n", 2, "write a number"),
    "a limit of no number": (STUDIO + "rules: {thin-layer: {limits: {bare-caution: nan}}}\n", 2, ""),
    "an alias": (STUDIO + "a: *b\n", 2, "an alias"), "a release": (STUDIO + "as of: 99..1\n", 2, "0.1.0"),
    "a plugin": (STUDIO + "needed plugins: [no-such]\n", 3, "not installed"), "a null": ("\0", 2, "U+0000"),
    "a notebook that is gone": (STUDIO + "notebook: gone.yaml\n", 2, "gone.yaml"),
    "a notebook far away": (STUDIO + "notebook: ../../../etc/passwd\n", 2, "passwd"),
    "a notebook that is a pipe": (STUDIO + "notebook: pipe.yaml\n", 2, "no ordinary file"),
    "a price of nothing": (STUDIO + "prices: {merino: 0 EUR per 100 g}\n", 2, ""),
    "the same rule twice": (STUDIO + "rules: {thin-layer: {loudest: note}, thin-layer: {loudest: note}}\n", 2, "a second"),
    "everything switched off": (STUDIO + "rules: {" + ", ".join(
        f"{r}: {{switched off: why}}" for r in ("thin-layer", "halo-clash", "direction-balance")) + "}\n", 0, "Saltgrass Felt"),
    "many fibres": (STUDIO + "fibres:\n" + "".join(f"  f{n}: {{like: merino}}\n" for n in range(9000)), 2, "fibres"),
}  # fmt: skip


def folder(at: Path) -> None:
    """What the calls name."""
    for name in ("right.yaml", "\x1b[31mred\n.yaml", "<script>.yaml", os.fsdecode(b"odd\xff.yaml")):
        (at / name).write_text(GROUND, encoding="utf-8")
    for name in ("yaml", "json", "felt_engine", "attr", "pluggy", "felt_rules", "sitecustomize"):
        (at / f"{name}.py").write_text("raise SystemExit('run!')")
    (at / "book.yaml").write_text(BOOK)
    (at / "loop.yaml").symlink_to("loop.yaml")
    (at / "nowhere.yaml").symlink_to("gone.yaml")
    (at / "link.yaml").symlink_to("right.yaml")
    for name in (
        "folder.yaml",
        "own",
        "full",
        "known",
        "twice",
        "led",
        "looped",
        "kept/reports/ab",
    ):
        (at / name).mkdir(parents=True)
    (at / "full/x.txt").write_text("mine")
    (at / "own/studio.yaml").write_text(STUDIO)
    for name in ("twice", "led", "looped"):
        (at / name / "r.yaml").write_text(GROUND, encoding="utf-8")
    (at / "twice/studio.yaml").write_text(STUDIO)
    (at / "twice/studio.json").write_text("{}")
    (at / "led/studio.yaml").mkdir()
    (at / "looped/studio.yaml").symlink_to("studio.yaml")
    (at / "kept/CACHEDIR.TAG").write_text("Signature: 8a477f597d28d172789f06886806bc55\n")
    (at / "kept/reports/ab/x.json").write_bytes(b"\xff\x00{")
    head = '{"format": 1}\n'
    one = {"recipe": "../../etc/passwd", "rule": "x", "thing": "x", "at": [], "level": "fault",
           "fingerprint": "0123456789abcdef"}  # fmt: skip
    numbers, graver = {**one, "rule": 1}, {**one, "level": "x" * 5000}
    for name, text in {
        "format": '{"format": 9}', "lists": '{"format": 1, "recipes": []}', "deep": "[" * 90_000,
        "numbers": head + json.dumps(numbers), "outside": head + json.dumps(one),
        "level": head + json.dumps(graver), "merged": head + "<<<<<<< ours\n",
        "empty": head, "digits": '{"format": ' + "9" * 9000 + "}",
    }.items():  # fmt: skip
        (at / f"known/{name}.json").write_text(text)
    (at / "known/latin.json").write_bytes(b'{"a": "\xe9"}')
    os.mkfifo(at / "pipe.yaml")
    with (at / "sparse.py").open("wb") as file:
        file.truncate(8_000_000_000)


@pytest.fixture
def place(tmp_path: Path) -> Path:
    folder(tmp_path)
    return tmp_path


def names(at: Path) -> list[str]:
    return sorted(str(p.relative_to(at)) for p in at.rglob("*"))


@pytest.mark.parametrize("name", CALLS)
def test_calls(name: str, place: Path, call: Caller) -> None:
    arguments, status, word = CALLS[name]
    before = names(place)
    done = call(arguments, place)
    if "pages/" not in arguments:
        held(done, status, word)
    assert "run!" not in done.said
    if status == 2 and "pages/" not in arguments:
        assert names(place) == before, "nothing is left behind by a call that came to nothing"


@pytest.mark.parametrize("name", BOOKS)
def test_books(name: str, place: Path, call: Caller) -> None:
    text, status, word = BOOKS[name]
    (place / "odd.yaml").write_text(text)
    held(call(["swatches", "odd.yaml"], place), status, word)
    held(
        call(["forecast", "right.yaml", "--notebook", "odd.yaml"], place),
        status,
        word if status else "",
    )


@pytest.mark.parametrize("name", STUDIOS)
def test_studios(name: str, place: Path, call: Caller) -> None:
    text, status, word = STUDIOS[name]
    (place / "odd.yaml").write_text(text)
    held(call(["check", "right.yaml", "--studio", "odd.yaml"], place), status, word)
