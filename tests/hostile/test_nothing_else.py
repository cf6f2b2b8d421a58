"""Nothing is read, listed or written but what was named, and what belongs to the program itself.

Heard by an audit hook (PEP 578) from before the first import of ours to the end of the process.
"""

# ruff: noqa: E501
from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest
from kit import GROUND, ROOT
from kit_calls import BOOK, STUDIO, Caller, held, recipe

import felt_engine

HEARD = """
import json, os, sys
NOTES = os.open(sys.argv[1], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
QUIET = ("open", "os.listdir", "os.scandir", "os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.link",
         "os.symlink", "os.chmod", "os.chown", "os.truncate", "os.utime", "glob.glob", "shutil.rmtree")
LOUD = ("subprocess", "os.system", "os.exec", "os.posix_spawn", "os.fork", "os.spawn", "socket", "urllib",
        "http", "ftplib", "smtplib", "tempfile", "webbrowser", "os.startfile", "pty", "os.kill", "os.putenv")
def hear(event, given):
    if event in QUIET or event.startswith(LOUD):
        shown = [os.fsdecode(g) if isinstance(g, (str, bytes)) else repr(g) for g in given[:3]]
        os.write(NOTES, (json.dumps([event, *shown]) + "\\n").encode())
sys.addaudithook(hear)
del sys.argv[1]
from felt_engine.cli.main import run
run(sys.argv[1:])
"""
COMMANDS: dict[str, tuple[list[str], set[str], set[str]]] = {
    # what it may read (of the folder), what it may write
    "check": (["check", "right.yaml"], {"right.yaml", "studio.yaml", "swatches.yaml"}, set()),
    "page": (["check", "right.yaml", "--as", "page", "--to", "out.html"],
             {"right.yaml", "studio.yaml", "swatches.yaml"}, {"out.html"}),
    "pages": (["check", "recipes", "--as", "page", "--to", "pages/"], {"recipes/"}, {"pages/"}),
    "no studio": (["check", "right.yaml", "--studio", "none"], {"right.yaml"}, set()),
    "another studio": (["check", "right.yaml", "--studio", "other/s.yaml"], {"right.yaml", "other/s.yaml"}, set()),
    "kept": (["check", "right.yaml", "--studio", "none", "--keep", "kept"], {"right.yaml", "kept/"}, {"kept/"}),
    "known": (["check", "right.yaml", "--studio", "none", "--write-known", "k.json"], {"right.yaml", "k.json"}, {"k.json"}),
    "rule file": (["check", "right.yaml", "--studio", "none", "--rule-file", "rule.py"], {"right.yaml", "rule.py"}, set()),
    "standard input": (["check", "-", "--studio", "none"], set(), set()),
    "many reports": (["check", "right.yaml", "--studio", "none", "--as", "sarif", "--to", "a", "--as", "junit", "--to", "b"],
                     {"right.yaml"}, {"a", "b"}),
    "resize": (["resize", "right.yaml", "--times", "2", "--to", "big.yaml"],
               {"right.yaml", "studio.yaml", "swatches.yaml"}, {"big.yaml"}),
    "rows": (["rows", "right.yaml"], {"right.yaml", "studio.yaml", "swatches.yaml"}, set()),
    "forecast": (["forecast", "right.yaml"], {"right.yaml", "studio.yaml", "swatches.yaml"}, set()),
    "swatches": (["swatches", "swatches.yaml"], {"studio.yaml", "swatches.yaml"}, set()),
    "rules": (["rules"], set(), set()),
    "one rule": (["rules", "thin-layer", "--studio", "other/s.yaml"], {"other/s.yaml"}, set()),
    "new plugin": (["new-plugin", "harbour-rules"], {"harbour-rules"}, {"harbour-rules"}),
    "refused": (["check", "gone.yaml"], {"gone.yaml", "studio.yaml", "swatches.yaml"}, set()),
    "version": (["--version"], set(), set()), "help": (["check", "--help"], set(), set()),
}  # fmt: skip
CHANGES = ("os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.link", "os.symlink", "os.chmod")


def own(path: str) -> bool:
    """Whether this belongs to the interpreter, to a package, to the project or to the system's tables."""
    places = {sys.prefix, sys.base_prefix, str(ROOT / "felt_engine"), str(ROOT / "plugins"), str(ROOT / "schemas"),
              *sysconfig.get_paths().values(), "/usr/share/locale", "/usr/share/zoneinfo", "/etc/localtime",
              "/proc/self", "/dev/null", "/etc/python"}  # fmt: skip
    real = os.path.realpath(path)
    places |= {os.path.realpath(place) for place in places}
    return any(path == p or path.startswith(p + "/") or real.startswith(p + "/") for p in places)


@pytest.mark.parametrize("name", COMMANDS)
def test_only_what_was_named_is_touched(name: str, tmp_path: Path) -> None:
    arguments, reads, writes = COMMANDS[name]
    place = tmp_path / "shop/here"
    for below in ("recipes/below", "other", "private"):
        (place / below).mkdir(parents=True)
    for path in (
        "right.yaml",
        "recipes/a.yaml",
        "recipes/below/b.yaml",
        "other/c.yaml",
        "private/d.yaml",
        "../up.yaml",
    ):
        (place / path).write_text(GROUND, encoding="utf-8")
    (place / "studio.yaml").write_text(STUDIO + "notebook: swatches.yaml\n")
    (place / "swatches.yaml").write_text(BOOK)
    (place / "other/s.yaml").write_text(STUDIO)
    (place / "../studio.yaml").write_text(STUDIO)
    (place / "rule.py").write_text("")
    notes = tmp_path / "notes"
    subprocess.run(
        [sys.executable, "-P", "-I", "-c", HEARD, str(notes), *arguments],
        cwd=place, input=GROUND, capture_output=True, text=True, check=False,
    )  # fmt: skip
    heard = [json.loads(line) for line in notes.read_text().splitlines()]
    assert len(heard) > 10 or name in ("version", "help")
    for event, *given in heard:
        changes = event in CHANGES or (event == "open" and "w" in given[1])
        assert event in ("open", "os.listdir", "os.scandir", "os.truncate", *CHANGES), (
            event,
            given,
        )
        for path in given[: 2 if event == "os.rename" else 1]:
            if path.isdigit() or (event == "os.listdir" and path == str(ROOT)):
                continue  # a file that is open; a folder that imports are looked for in
            if own(path) and (not changes or "__pycache__" in path):
                continue
            named = os.path.relpath(os.path.join(place, path), place)
            if event in ("os.listdir", "os.scandir") and named == ".":
                pytest.fail(f"the folder itself was listed: {event}")
            allowed = writes if changes else reads | writes
            part = re.sub(r"(^|/)[.]([^/]+)[.]felt-engine[^/]*[.]part(?=/|$)", r"\1\2", named)
            assert any(
                one == f"{named}/" or f"{which}/".startswith(one.rstrip("/") + "/")
                for one in allowed
                for which in (named, part)
            ), (event, given)


def test_nothing_beside_is_followed_out_of_its_folder(tmp_path: Path, call: Caller) -> None:
    """A studio file that nobody named, and links in a folder, say nothing of files elsewhere."""
    (tmp_path / "key.env").write_text("API_KEY=sk-harbour 1")
    (shop := tmp_path / "shop").mkdir()
    recipe(shop)
    (shop / "studio.yaml").write_text(f"{STUDIO}notebook: ../key.env\n")
    for arguments in (["check", "shop"], ["check", "shop/right.yaml"], ["forecast", "shop/right.yaml"],
                      ["swatches", "shop/swatches.yaml"], ["check", "shop", "--processes", "2"]):  # fmt: skip
        done = call(arguments, tmp_path, seconds=4)
        assert done.status == 2 and "harbour" not in done.said, done.said
    held(call(["check", "shop"], tmp_path), 2, "outside of the studio file's folder")
    (shop / "near.yaml").symlink_to("../key.env")
    (shop / "studio.yaml").write_text(f"{STUDIO}notebook: near.yaml\n")
    held(call(["check", "shop/right.yaml"], tmp_path), 2, "outside of the studio file's folder")
    (shop / "studio.yaml").unlink()
    done = held(call(["check", "shop"], tmp_path), 2, "a link that leads out of the folder")
    assert "harbour" not in done.said
    again = call(["check", "shop", "--keep", "kept"], tmp_path)
    assert (again.status, again.out) == (done.status, done.out)
    reports = [one.problems for one in felt_engine.check_many([shop])]
    assert [bool(one) for one in reports] == [True, False]
    assert "leads out" in reports[0][0].found
    held(call(["check", "shop/near.yaml"], tmp_path), 2, "harbour")  # what is named is read
    (shop / "near.yaml").unlink()
    (shop / "near.yaml").symlink_to("right.yaml")
    held(call(["check", "shop"], tmp_path), 0, "2 recipes")


def test_folders_as_deep_as_they_can_be(tmp_path: Path, call: Caller) -> None:
    """A thousand folders in each other, and a recipe in the last of them."""
    at = os.getcwd()
    try:
        os.chdir(tmp_path)
        for _ in range(1200):
            os.mkdir("a")
            os.chdir("a")
        recipe(Path("."))
    finally:
        os.chdir(at)
    try:
        held(call(["check", "."], tmp_path), 0, "right.yaml")
    finally:  # deeper than the library's own remover goes
        subprocess.run(["rm", "-rf", str(tmp_path / "a")], check=True)
