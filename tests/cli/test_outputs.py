"""Where reports go: what can't be written keeps nothing else from being written, told or counted."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from kit import BROKEN, GROUND, UNCROSSED, run

COMMAND = [sys.executable, "-P", "-m", "felt_engine"]
STATUS = {"right.yaml": 0, "fault.yaml": 1, "unreadable.yaml": 2}
RULES_THAT_BREAK = """\
import felt_engine

@felt_engine.hook
def felt_engine_rules():
    raise ValueError("it rained in")
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in zip(STATUS, (GROUND, UNCROSSED, BROKEN), strict=True):
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "house.py").write_text(RULES_THAT_BREAK, encoding="utf-8")
    return tmp_path


def unread(*arguments: str, cwd: Path, lines: int = 0) -> tuple[int, str]:
    """The exit status and standard error where the reader of a pipe goes away after some lines."""
    read, write = os.pipe()
    with subprocess.Popen(
        [*COMMAND, *arguments], stdout=write, stderr=subprocess.PIPE, cwd=cwd
    ) as process:
        os.close(write)
        with open(read, "rb", buffering=0) as pipe:
            for _ in range(lines):
                pipe.readline()
        assert process.stderr is not None
        said = process.stderr.read().decode()
        return process.wait(60), said


@pytest.mark.parametrize("lines", [0, 1])
@pytest.mark.parametrize("name", STATUS)
def test_the_status_outlives_the_reader_of_a_pipe(folder: Path, name: str, lines: int) -> None:
    assert unread("check", name, cwd=folder, lines=lines) == (STATUS[name], "")


def test_the_status_of_a_breakdown_outlives_it_too(folder: Path) -> None:
    status, said = unread("check", "fault.yaml", "--rule-file", "house.py", cwd=folder)
    assert status == 3 and "Traceback" not in said


def test_recipes_are_judged_to_the_last_where_nobody_reads(folder: Path) -> None:
    for number in range(40):
        (folder / f"a{number:02}.yaml").write_text(GROUND, encoding="utf-8")
    assert unread("check", ".", cwd=folder, lines=1) == (2, "")
    found = [f"a{number:02}.yaml" for number in range(40)]
    assert unread("check", *found, "fault.yaml", cwd=folder, lines=1) == (1, "")


@pytest.mark.parametrize("away", [">&-", "2>&-", ">&- 2>&-", "2>/dev/full"])
@pytest.mark.parametrize("name", STATUS)
def test_the_status_needs_no_terminal(folder: Path, name: str, away: str) -> None:
    line = f'"$0" -P -m felt_engine check {name} {away}'
    done = subprocess.run(
        ["bash", "-c", line, sys.executable], cwd=folder, capture_output=True, timeout=60
    )
    assert done.returncode == STATUS[name] and b"Traceback" not in done.stderr


def test_a_full_disk_is_told(folder: Path) -> None:
    line = '"$0" -P -m felt_engine check right.yaml >/dev/full'
    done = subprocess.run(
        ["bash", "-c", line, sys.executable], cwd=folder, capture_output=True, timeout=60
    )
    assert done.returncode == 2 and b"No space left" in done.stderr


@pytest.mark.parametrize("gone", ["none/a.sarif", "house.py/a.sarif", "/dev/full"])
def test_one_report_that_cannot_be_written_keeps_no_other_from_it(folder: Path, gone: str) -> None:
    done = run(
        "check", "fault.yaml", "--as", "sarif", "--to", gone, "--as", "junit", "--to", "b.xml",
        "--write-known", "known.jsonl", "--as", "text", cwd=folder,
    )  # fmt: skip
    assert done.returncode == 2 and f"cannot write {gone}" in done.stderr
    assert "<testsuites" in (folder / "b.xml").read_text(encoding="utf-8")
    assert "Fault in the " in done.stdout and "1 known finding" in done.stderr


def test_the_largest_status_counts_where_a_report_cannot_be_written(folder: Path) -> None:
    done = run("check", ".", "--to", "none/x.txt", "--rule-file", "house.py", cwd=folder)
    assert done.returncode == 3 and "cannot write none/x.txt" in done.stderr
    done = run("check", "fault.yaml", "--to", "none/x.txt", cwd=folder)
    assert done.returncode == 2


@pytest.mark.parametrize("name", ["", " "])
@pytest.mark.parametrize("exporter", ["text", "page"])
def test_a_report_wants_a_file_with_a_name(folder: Path, name: str, exporter: str) -> None:
    before = sorted(folder.iterdir())
    done = run("check", "right.yaml", "--as", exporter, "--to", name, cwd=folder)
    assert done.returncode == 2 and "--to is to name a file" in done.stderr
    assert not done.stdout and sorted(folder.iterdir()) == before


@pytest.mark.parametrize("over", ["fault.yaml", "./fault.yaml", "known.jsonl"])
def test_no_report_is_written_over_a_recipe_or_known_findings(folder: Path, over: str) -> None:
    run("check", ".", "--write-known", "known.jsonl", cwd=folder)
    before = (folder / over).read_bytes()
    done = run("check", ".", "--known", "known.jsonl", "--to", over, cwd=folder)
    assert done.returncode == 2 and f"cannot write a report over {over}" in done.stderr
    assert (folder / over).read_bytes() == before


def test_every_exporter_is_asked_for_before_anything_is_written(folder: Path) -> None:
    done = run(
        "check", "right.yaml", "--as", "page", "--to", "p.html", "--as", "pgae", cwd=folder
    )  # fmt: skip
    assert done.returncode == 2 and "pgae" in done.stderr and not (folder / "p.html").exists()


@pytest.mark.parametrize("exporter", ["page", "json", "sarif"])
def test_what_is_not_whole_is_named_where_all_reports_go_to_files(
    folder: Path, exporter: str
) -> None:
    to = "pages/" if exporter == "page" else "report"
    done = run("check", ".", "--as", exporter, "--to", to, cwd=folder)
    assert done.returncode == 2 and not done.stdout
    (line,) = done.stderr.splitlines()
    assert "could not be read: ./unreadable.yaml, line 13: found" in line
    done = run("check", "right.yaml", "--rule-file", "house.py", "--to", "report", cwd=folder)
    assert done.returncode == 3 and "not wholly judged: right.yaml: " in done.stderr


def test_a_link_to_a_report_stays_a_link(folder: Path) -> None:
    (folder / "real.txt").write_text("old", encoding="utf-8")
    (folder / "link.txt").symlink_to("real.txt")
    assert run("check", "right.yaml", "--to", "link.txt", cwd=folder).returncode == 0
    assert (folder / "link.txt").is_symlink()
    assert "Nothing to mend" in (folder / "real.txt").read_text(encoding="utf-8")
