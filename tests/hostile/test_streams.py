"""What goes to standard output arrives as it should, or the call says that it didn't; and interrupts."""

# ruff: noqa: E501
from __future__ import annotations

import json
import shlex
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from kit_calls import ODD, Caller, held, recipe

SHELL = f"{shlex.quote(sys.executable)} -P -m felt_engine"
LETTERS = ["ascii", "latin-1"]


def shell(line: str, at: Path, **more: str) -> subprocess.CompletedProcess[bytes]:
    import os

    return subprocess.run(
        ["bash", "-c", f"{SHELL} {line}"], cwd=at, capture_output=True, timeout=60, env={**os.environ, **more}
    )  # fmt: skip


@pytest.mark.parametrize("line", [
    "--version", "--help", "", "check --help", "resize right.yaml --times 2", "forecast right.yaml",
    "forecast right.yaml --as json", "check right.yaml --as json", "check right.yaml --as page", "rows right.yaml",
    "rules", "rules thin-layer", "new-plugin harbour-rules", "check right.yaml --as json --keep kept",
])  # fmt: skip
@pytest.mark.parametrize("away", [">/dev/full", ">&-"])
def test_what_was_not_delivered_is_no_success(line: str, away: str, tmp_path: Path) -> None:
    recipe(tmp_path)
    for _ in range(2 if "--keep" in line else 1):
        done = shell(f"{line} {away}", tmp_path)
        assert done.returncode == 2
        why = b"No space left" if "full" in away else b"no standard output"
        assert (
            why in done.stderr
            and b"Traceback" not in done.stderr
            and b"Exception" not in done.stderr
        )


def test_an_answer_that_was_kept_is_delivered_or_no_success(tmp_path: Path) -> None:
    recipe(tmp_path)
    assert shell("check right.yaml --as json --keep kept", tmp_path).returncode == 0
    assert shell("check right.yaml --as json --keep kept >&-", tmp_path).returncode == 2


@pytest.mark.parametrize("letters", LETTERS)
@pytest.mark.parametrize(
    "line", ["check --help", "swatches --help", "rules thin-layer", "--version", "check right.yaml"]
)
def test_text_for_eyes_in_any_encoding(line: str, letters: str, tmp_path: Path) -> None:
    recipe(tmp_path)
    done = shell(line, tmp_path, PYTHONIOENCODING=letters)
    assert done.returncode == 0 and done.stdout and not done.stderr
    done.stdout.decode(letters.partition(":")[0])


@pytest.mark.parametrize("letters", LETTERS)
@pytest.mark.parametrize("line", [
    "resize right.yaml --times 2", "check right.yaml --as page", "check right.yaml --as json", "check right.yaml --as sarif",
    "check right.yaml --as junit", "check right.yaml --as markdown", "forecast right.yaml --as json",
    "check right.yaml --as page --keep kept",
])  # fmt: skip
def test_what_machines_read_is_utf_8_in_any_locale(line: str, letters: str, tmp_path: Path) -> None:
    """The same bytes as in UTF-8, whatever the output is said to be: also from what is kept."""
    recipe(tmp_path)
    usual = shell(line, tmp_path, PYTHONIOENCODING="utf-8", PYTHONUTF8="1").stdout
    done = shell(line, tmp_path, PYTHONIOENCODING=letters)
    assert done.returncode == 0 and done.stdout == usual
    assert done.stdout.decode("utf-8")


def test_a_resized_recipe_is_the_recipe_in_any_locale(tmp_path: Path, call: Caller) -> None:
    recipe(tmp_path)
    done = shell("resize right.yaml --times 2 > twice.yaml", tmp_path, PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    import yaml

    title = yaml.safe_load(ODD)["piece"]["title"]
    assert yaml.safe_load((tmp_path / "twice.yaml").read_text("utf-8"))["piece"]["title"] == title
    held(call(["check", "twice.yaml"], tmp_path), 0)


@pytest.mark.parametrize("arguments", [
    ["check", "right.yaml", "--processes", "\x1b[31mX"], ["check", "right.yaml", "--\x1b]0;x\x07"],
    ["check", "right.yaml", "--x\x1b[31m"], ["\x1b[31m"], ["check", "right.yaml", "--stop-at", "\u202e"],
    ["forecast", "right.yaml", "--as", "\u200f\x9b"], ["check", "--st\x1b=1", "right.yaml"],
    ["check", "-\x1b[31m"],
])  # fmt: skip
def test_a_call_that_is_refused_steers_no_terminal(
    arguments: list[str], tmp_path: Path, call: Caller
) -> None:
    recipe(tmp_path)
    done = held(call(arguments, tmp_path), 2, "See felt-engine")
    assert not set(done.said) & set("\u200e\u200f\x1b\x07\x9b")


@pytest.mark.parametrize(("arguments", "word"), [
    (["check", "-x.yaml"], "./-x.yaml"), (["check", "right.yaml", "--to", "-x.txt"], "./-x.txt"),
    (["check", "right.yaml", "-q"], "./-q"), (["resize", "-x.yaml", "--times", "2"], "./-x.yaml"),
    (["check", "--x.yaml"], "./--x.yaml"),
])  # fmt: skip
def test_a_name_like_an_option_is_told_how_to_be_given(
    arguments: list[str], word: str, tmp_path: Path, call: Caller
) -> None:
    recipe(tmp_path)
    recipe(tmp_path, name="--x.yaml")
    recipe(tmp_path, name="-x.yaml")
    held(call(arguments, tmp_path), 2, f"a name that begins with - is given as {word}")
    for path in ("./-x.yaml", "./--x.yaml"):
        held(call(["check", path], tmp_path), 0)
    held(call(["check", "--", "-x.yaml"], tmp_path), 0)


def test_a_line_break_in_a_name_is_seen(tmp_path: Path, call: Caller) -> None:
    name = "two\nlines.yaml"
    for arguments in (
        ["resize", name, "--times", "2"], ["check", "right.yaml", "--studio", name], ["forecast", name],
        ["check", "right.yaml", "--known", name], ["check", "right.yaml", "--to", f"{name}/x"], ["swatches", name],
        ["check", "right.yaml", "--rule-file", name], ["check", "right.yaml", name, "--to", "out.txt"],
    ):  # fmt: skip
        recipe(tmp_path)
        done = held(call(arguments, tmp_path), 2, "two\\nlines.yaml")
        assert len(done.err.splitlines()) == 1, done.err


@pytest.mark.parametrize(("factor", "word"), [
    ("1_0", "such as 1.5"), ("1,500", "write 1500 or 1.500"), ("١", "such as 1.5"), ("２", "such as 1.5"),
    (" 2", "such as 1.5"), ("+2", "such as 1.5"), ("1e1", "such as 1.5"), ("11/2", "write 5 1/2 or 1 1/2"), ("0/1", "such as 1.5"),
    ("0.0", "such as 1.5"), ("2\n", "such as 1.5"),
])  # fmt: skip
def test_a_factor_is_read_as_a_recipe_is(
    factor: str, word: str, tmp_path: Path, call: Caller
) -> None:
    recipe(tmp_path)
    held(call(["resize", "right.yaml", f"--times={factor}"], tmp_path), 2, word)


@pytest.mark.parametrize(("factor", "told"), [
    ("1,5", "1.5"), ("1.5", "1.5"), ("1 1/2", "1.5"), ("1\u00a01/2", "1.5"), ("1½", "1.5"), ("½", "0.5"), ("0,125", "0.125"), ("2", "2"),
])  # fmt: skip
def test_a_factor_in_each_way_to_write_it(
    factor: str, told: str, tmp_path: Path, call: Caller
) -> None:
    recipe(tmp_path)
    held(
        call(["resize", "right.yaml", "--times", factor], tmp_path),
        0,
        f"each side {told} times as long",
    )


@pytest.mark.parametrize("text", [
    "raise KeyboardInterrupt", "import felt_engine\n@felt_engine.hook\ndef felt_engine_rules(): raise KeyboardInterrupt",
])  # fmt: skip
def test_an_interrupt_that_nobody_made_is_a_breakdown(text: str, tmp_path: Path) -> None:
    recipe(tmp_path)
    (tmp_path / "house.py").write_text(text)
    done = shell("check right.yaml --rule-file house.py --as json", tmp_path)
    assert done.returncode == 3 and not done.stderr
    (broke,) = json.loads(done.stdout)["reports"][0]["not_judged"]
    assert "KeyboardInterrupt" in broke["reason"]


BEGIN = """
import os, signal, sys
class Finder:
    def find_spec(self, name, path=None, target=None):
        if name == {name!r}:
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, Finder())
from felt_engine.cli.main import run
run(["check", "right.yaml"])
"""


@pytest.mark.parametrize("name", [
    "felt_engine.cli.terminal", "felt_engine.cli.parser", "argparse", "felt_engine.cli.check", "felt_engine.api",
])  # fmt: skip
def test_an_interrupt_while_the_command_is_loaded(name: str, tmp_path: Path) -> None:
    """It ends without a traceback: with status 130, or by the signal itself."""
    recipe(tmp_path)
    done = subprocess.run(
        [sys.executable, "-P", "-c", BEGIN.format(name=name)], cwd=tmp_path, capture_output=True, timeout=60,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )  # fmt: skip
    assert done.returncode in (130, -signal.SIGINT)
    assert not done.stderr and not done.stdout


def test_an_interrupt_that_is_ignored_stays_ignored(tmp_path: Path) -> None:
    recipe(tmp_path)
    done = subprocess.run(
        [sys.executable, "-P", "-c", BEGIN.format(name="felt_engine.api")], cwd=tmp_path, capture_output=True, timeout=60,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN),
    )  # fmt: skip
    assert done.returncode == 0 and b"Nothing to mend" in done.stdout


def test_what_the_system_refuses_is_named(tmp_path: Path) -> None:
    """Too few files may be open for the pipes of several processes."""
    for number in range(20):
        recipe(tmp_path, name=f"r{number}.yaml")
    done = subprocess.run(
        ["bash", "-c", f"ulimit -n 12; {SHELL} check . --processes 4"], cwd=tmp_path, capture_output=True, timeout=60
    )  # fmt: skip
    assert done.returncode == 2 and b"no process could be begun: Too many open files" in done.stderr
