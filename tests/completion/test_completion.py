"""The kept files are what the parser says, and say it whole, for whatever the parser comes to have."""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path

import pytest
from kit import ROOT

from felt_engine import completion
from felt_engine.cli.main import _parser
from felt_engine.completion import bash, fish, words, zsh

MAKERS = {"bash": bash, "zsh": zsh, "fish": fish}


@pytest.mark.parametrize("shell", completion.FILES)
def test_the_kept_file_is_what_is_made_today(shell: str) -> None:
    kept = Path(completion.path(shell)).read_text(encoding="utf-8")
    assert kept == MAKERS[shell].text(), "run python -m felt_engine.completion --write"


@pytest.mark.parametrize("shell", completion.FILES)
def test_every_command_and_option_is_in_the_file(shell: str) -> None:
    text = MAKERS[shell].text()
    (action,) = (one for one in _parser()._actions if isinstance(one, argparse._SubParsersAction))
    for name, parser in action.choices.items():
        assert name in text
        for option in (name for one in parser._actions for name in one.option_strings):
            assert (f"-l {option[2:]} " if shell == "fish" and option[1] == "-" else option) in text


def test_options_that_nobody_told_it_of_get_what_their_help_shows() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--processes", metavar="N", type=int, help="at once")
    parser.add_argument("--keep", metavar="FOLDER", help="in this folder: all of it")
    parser.add_argument("--called", metavar="NAME", action="append", help="100 %% as it is called")
    parser.add_argument("--log", metavar="FILE", help="to a file")
    parser.add_argument("--quick", action="store_true", help="no care")
    parser.add_argument("paths", metavar="PATH", nargs="*", help="recipes, or -")
    made = words._command("check", "judge", parser, words._known())
    (_, processes, keep, called, log, quick) = made.options
    assert processes.value == words.Value("n") and not processes.again
    assert keep.value == words.Value("folder", folders=True)
    assert keep.about == "in this folder"
    assert called.value == words.Value("name") and called.again
    assert called.about == "100 % as it is called"
    assert log.value == words.Value("file", endings=words.ANY)
    assert quick.value is None
    (place,) = made.places
    assert made.again and set(place.endings) == {".yaml", ".yml", ".json"}


def test_names_are_those_of_the_built_in_plugins() -> None:
    known = words._known()
    assert {"thin-layer", "unit-slip"} <= set(known["RULE"].words)
    # as the README lists them
    assert known["EXPORTER"].words == ("json", "junit", "markdown", "page", "sarif", "text")


def test_the_paths_are_told_and_a_wrong_word_is_not_taken() -> None:
    def said(*arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "felt_engine.completion", *arguments], cwd=ROOT,
            capture_output=True, text=True, check=False,
        )  # fmt: skip

    assert said().stdout.splitlines() == [completion.path(shell) for shell in completion.FILES]
    assert said("zsh").stdout == completion.path("zsh") + "\n"
    wrong = said("bush")
    assert wrong.returncode == 1 and "bash | zsh | fish" in wrong.stderr
