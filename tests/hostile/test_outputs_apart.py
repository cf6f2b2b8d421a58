"""No run writes over what it reads, nor two things to one place, nor waits for a reader."""

# ruff: noqa: E501
from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from kit import GROUND
from kit_calls import BOOK, STUDIO, Caller, held, recipe

from felt_engine.whole_file import part_of

OVER = "this run reads it, and it would be written over"
SHELL = f"{shlex.quote(sys.executable)} -P -m felt_engine"


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A recipe with a studio file beside it, its notebook, and other names of the recipe."""
    recipe(tmp_path)
    (tmp_path / "studio.yaml").write_text(STUDIO + "notebook: swatches.yaml\n")
    (tmp_path / "swatches.yaml").write_text(BOOK)
    (tmp_path / "other").mkdir()
    (tmp_path / "other/s.yaml").write_text(STUDIO + "notebook: b.yaml\nrule files: [rules]\n")
    (tmp_path / "other/b.yaml").write_text(BOOK)
    (tmp_path / "other/rules").mkdir()
    (tmp_path / "other/rules/house.py").write_text("")
    (tmp_path / "link.yaml").symlink_to("right.yaml")
    os.link(tmp_path / "right.yaml", tmp_path / "hard.yaml")
    os.link(tmp_path / "swatches.yaml", tmp_path / "hard-book.yaml")
    return tmp_path


def contents(at: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(at)): path.read_bytes() for path in at.rglob("*") if path.is_file()
    }


NAMED = ["--studio", "other/s.yaml"]
COMMANDS = {
    "check": (["check", "right.yaml"], True), "forecast": (["forecast", "right.yaml"], True),
    "resize": (["resize", "right.yaml", "--times", "2"], False),
}  # fmt: skip
READ = [
    "right.yaml",
    "./right.yaml",
    "link.yaml",
    "hard.yaml",
    "studio.yaml",
    "swatches.yaml",
    "hard-book.yaml",
]
READ_IF_NAMED = ["right.yaml", "other/s.yaml", "other/b.yaml", "other/rules/house.py"]


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_writes_over_what_it_reads(command: str, place: Path, call: Caller) -> None:
    arguments, takes_studio = COMMANDS[command]
    before = contents(place)
    for to in READ:
        held(call([*arguments, "--to", to], place), 2, OVER)
    for to in READ_IF_NAMED if takes_studio else ():
        held(call([*arguments, *NAMED, "--to", to], place), 2, OVER)
    for to in ("other/b.yaml",) if command != "check" else ():
        held(call([*arguments, "--notebook", to, "--to", to], place), 2, OVER)
    assert contents(place) == before


def test_known_findings_are_not_written_over_what_a_run_reads(place: Path, call: Caller) -> None:
    (place / "studio.yaml").write_text(STUDIO + "notebook: book.jsonl\n")
    (place / "book.jsonl").write_text('{"format": 1}\n')
    for to in ("right.yaml", "hard.yaml", "studio.yaml", "swatches.yaml"):
        assert call(["check", "right.yaml", "--write-known", to], place).status == 2
    assert (place / "studio.yaml").read_text().startswith(STUDIO)


def test_what_was_kept_is_not_written_over_what_it_was_made_of(place: Path, call: Caller) -> None:
    """The same call again, when its output has become another name of the notebook."""
    arguments = ["check", "right.yaml", "--keep", "kept", "--to", "out.txt"]
    held(call(arguments, place), 0)
    (place / "out.txt").unlink()
    for name in ("swatches.yaml", "studio.yaml"):
        before = (place / name).read_bytes()
        os.link(place / name, place / "out.txt")
        held(call(arguments, place), 2, OVER)
        assert (place / name).read_bytes() == before
        (place / "out.txt").unlink()


@pytest.mark.parametrize("known", ["both", "./both", "link", "hard"])
@pytest.mark.parametrize("there", [False, True])
def test_a_report_and_known_findings_have_a_place_each(
    known: str, there: bool, place: Path, call: Caller
) -> None:
    if there or known == "hard":
        (place / "both").write_text("")
    (place / "link").symlink_to("both")
    if known == "hard":
        os.link(place / "both", place / "hard")
    before = contents(place)
    done = call(
        ["check", "right.yaml", "--as", "junit", "--to", "both", "--write-known", known], place
    )
    held(done, 2, "give each a file of its own")
    assert contents(place) == before


@pytest.mark.parametrize("line", [
    "check right.yaml --as text --to out.txt --as json > out.txt", "check right.yaml --write-known out.txt > out.txt",
    "check right.yaml --as json --to /dev/stdout --as text | cat",
])  # fmt: skip
def test_standard_output_is_a_place_too(line: str, place: Path) -> None:
    done = shell(f"set -o pipefail; {SHELL} {line}", place)
    assert done.returncode == 2 and "give each a file of its own" in done.stderr


@pytest.mark.parametrize(
    "option",
    ["--studio", "--known", "--write-known", "--stop-at", "--processes", "--keep", "--called"],
)
def test_an_option_is_given_once(option: str, place: Path, call: Caller) -> None:
    value = {"--stop-at": "note", "--processes": "1"}.get(option, "x")
    held(
        call(["check", "right.yaml", option, value, f"{option}={value}"], place),
        2,
        f"{option}: it can be given only once",
    )
    assert not (place / "x").exists()


def test_what_may_be_repeated_is_not_refused(place: Path, call: Caller) -> None:
    rules = ["--rule-file", "other/rules/house.py"] * 2
    done = call(
        [
            "check",
            "right.yaml",
            "right.yaml",
            *rules,
            "--as",
            "text",
            "--as",
            "json",
            "--to",
            "o.json",
        ],
        place,
    )
    assert "only once" not in done.said and (place / "o.json").exists()


def test_pages_take_no_place_of_another_output(place: Path, call: Caller) -> None:
    """An index of pages, where another report goes to the file of that name."""
    arguments = ["--as", "page", "--to", "pages/", "--as", "json", "--to", "pages/index.html"]
    done = call(["check", "right.yaml", *arguments], place)
    held(done, 2, "index.html: this run reads it, or writes something else to it")


def test_nothing_is_written_into_what_is_kept(place: Path, call: Caller) -> None:
    for to in ("kept/x.txt", "./kept/reports/x", "kept"):
        held(
            call(["check", "right.yaml", "--keep", "kept", "--to", to], place),
            2,
            "folder of kept results",
        )
    assert not (place / "kept").exists()


def shell(line: str, at: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["bash", "-c", line], cwd=at, capture_output=True, text=True, timeout=60)


@pytest.mark.parametrize("arguments", [
    "check right.yaml --to ff", "check right.yaml --as json --to ff", "check right.yaml --write-known ff",
    "resize right.yaml --times 2 --to ff", "forecast right.yaml --to ff", "check right.yaml --to link",
])  # fmt: skip
def test_a_pipe_without_a_reader_is_not_waited_for(
    arguments: str, tmp_path: Path, call: Caller
) -> None:
    """A call that waits is ended after 20 s by a signal, and so fails here."""
    recipe(tmp_path)
    os.mkfifo(tmp_path / "ff")
    (tmp_path / "link").symlink_to("ff")
    held(call(arguments.split(), tmp_path), 2, "it is a pipe that nobody reads from")


@pytest.mark.parametrize("line", [
    "check right.yaml --to /dev/stdout", "check right.yaml --to /dev/stdout | cat", "check right.yaml --to >(cat) | cat",
    "check right.yaml --to /dev/stdout > out.txt; cat out.txt", "check right.yaml --to /dev/stderr 2>&1",
    "check right.yaml --to ff & cat ff",
])  # fmt: skip
def test_a_pipe_with_a_reader_and_a_device_are_written_into(line: str, tmp_path: Path) -> None:
    """The reader of the named pipe is there before the writer: it is begun first."""
    recipe(tmp_path)
    os.mkfifo(tmp_path / "ff")
    line = line.replace(
        "check right.yaml --to ff & cat ff", "cat ff & sleep 0.3; {} check right.yaml --to ff; wait"
    )
    done = shell(line.format(SHELL) if "{}" in line else f"{SHELL} {line}", tmp_path)
    assert done.returncode == 0, done.stderr
    assert "Nothing to mend" in done.stdout and not done.stderr


@pytest.mark.parametrize("line", [
    "resize {} --times 2 --to n.yaml", "check {} --to n.yaml", "check right.yaml --studio {} --to n.yaml",
    "check right.yaml --known {} --to n.yaml", "forecast right.yaml --notebook {} --to n.yaml",
])  # fmt: skip
def test_a_recipe_with_the_name_of_a_file_being_written_is_kept(
    line: str, tmp_path: Path, call: Caller
) -> None:
    recipe(tmp_path)
    name = part_of("n.yaml")
    recipe(tmp_path, name=name)
    before = (tmp_path / name).read_bytes()
    done = call(line.format(name).split(), tmp_path)
    held(done, 2)
    assert (tmp_path / name).read_bytes() == before and not (tmp_path / "n.yaml").exists()


def test_null_takes_all(tmp_path: Path) -> None:
    recipe(tmp_path)
    done = shell(f"{SHELL} check right.yaml --to /dev/null", tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert not Path("/dev/null").is_file()


@pytest.mark.parametrize("name", ["big.json", "big.JSON"])
def test_a_resized_recipe_keeps_its_format(name: str, tmp_path: Path, call: Caller) -> None:
    recipe(tmp_path)
    held(call(["resize", "right.yaml", "--times", "2", "--to", name], tmp_path), 2, "ends in .yaml")
    import json

    import yaml

    (tmp_path / "r.json").write_text(json.dumps(yaml.safe_load(GROUND), default=str))
    for to, status in (("big.yml", 2), ("big.json", 0)):
        held(
            call(["resize", "r.json", "--times", "2", "--to", to], tmp_path),
            status,
            "ends in .json" if status else "",
        )
    held(call(["check", "big.json"], tmp_path), 0)


@pytest.mark.parametrize("arguments", [
    ["check", "right.yaml", "--to", "-"], ["check", "right.yaml", "--write-known", "-"],
    ["resize", "right.yaml", "--times", "2", "--to", "-"], ["forecast", "right.yaml", "--to", "-"],
    ["new-plugin", "harbour-rules", "--to", "-"],
], ids=" ".join)  # fmt: skip
def test_a_hyphen_is_no_name_of_an_output(
    arguments: list[str], tmp_path: Path, call: Caller
) -> None:
    recipe(tmp_path)
    held(call(arguments, tmp_path), 2, "called - is ./-")
    assert os.listdir(tmp_path) == ["right.yaml"]


@pytest.mark.parametrize("room", [100, 1000, 1600])
def test_a_package_is_written_whole_or_not_at_all(room: int, tmp_path: Path, call: Caller) -> None:
    """A limit of the process stands for a full disk. What was there stays."""
    for to in ("new", "there", "far/new"):
        (tmp_path / "there").mkdir(exist_ok=True)
        held(
            call(["new-plugin", "harbour-rules", "--to", to], tmp_path, file_bytes=room),
            2,
            "File too large",
        )
        assert os.listdir(tmp_path) == ["there"] and not os.listdir(tmp_path / "there")
    held(call(["new-plugin", "harbour-rules", "--to", "there"], tmp_path), 0)


def test_what_standard_input_comes_from_is_not_written_over(place: Path) -> None:
    """By the file behind it, and by the name that it is called."""
    before = contents(place)
    for line in ("check - --to hard.yaml < right.yaml", "check - --called right.yaml --to right.yaml < right.yaml",
                 "check - --called right.yaml --as json --to ./right.yaml < hard.yaml"):  # fmt: skip
        done = subprocess.run(
            f"{SHELL} {line}", shell=True, cwd=place, capture_output=True, text=True
        )
        assert done.returncode == 2 and OVER in done.stderr, (line, done.stderr)
    piped = f"cat right.yaml | {SHELL} check - --called right.yaml --to right.yaml"
    done = subprocess.run(piped, shell=True, cwd=place, capture_output=True, text=True)
    assert done.returncode == 2 and OVER in done.stderr
    assert contents(place) == before
