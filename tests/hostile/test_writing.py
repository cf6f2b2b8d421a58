"""Files are replaced whole or not at all, whenever the writer is killed; and where a link leads."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
from pathlib import Path

import pytest
from kit_calls import Caller, held, recipe

from felt_engine.whole_file import ENDING, part_of, write_whole

OLD, LINE = "old\n", "a line of the new report, number {:06}\n"
LINES, KILLS = 4000, 200
NEW = "".join(LINE.format(number) for number in range(LINES))


def killed(at: Path, chance: random.Random) -> bool:
    """Write the file in a child that is killed at some moment of it; whether it was done before."""
    moment = chance.choice((chance.randrange(LINES), LINES - 1, LINES))
    child = os.fork()
    if not child:
        try:
            write_whole(str(at), pieces(moment, chance.random() < 0.5))
            if moment == LINES:
                os.kill(os.getpid(), signal.SIGKILL)
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) == -signal.SIGKILL
    return moment == LINES


def pieces(moment: int, small: bool) -> object:
    """The new text, in lines or in large pieces, killed before the line of this number."""
    for number in range(LINES):
        if number == moment:
            os.kill(os.getpid(), signal.SIGKILL)
        yield LINE.format(number)
        if not small and number % 500 == 499:
            yield ""


def test_killed_at_any_moment_of_writing(tmp_path: Path) -> None:
    """Old or new, never part of it; one leftover at most, which the next writer uses up."""
    chance = random.Random(20)
    target = tmp_path / "report.txt"
    done = 0
    for _ in range(KILLS):
        target.write_text(OLD)
        whole = killed(target, chance)
        done += whole
        assert target.read_text() == (NEW if whole else OLD)
        left = [name for name in os.listdir(tmp_path) if name != "report.txt"]
        assert left in ([], [os.path.basename(part_of(str(target)))])
    assert 30 < done < KILLS - 30
    write_whole(str(target), [NEW])
    assert os.listdir(tmp_path) == ["report.txt"]


@pytest.mark.parametrize("arguments", [
    ["check", "right.yaml", "--as", "page", "--to", "out.html"],
    ["check", ".", "--as", "page", "--to", "pages/"], ["check", ".", "--keep", "kept"],
    ["resize", "right.yaml", "--times", "2", "--to", "big.yaml"],
    ["check", ".", "--as", "json", "--to", "all.json", "--as", "text", "--to", "all.txt"],
], ids=lambda a: " ".join(a)[:40])  # fmt: skip
def test_a_command_killed_at_any_system_call(arguments: list[str], tmp_path: Path) -> None:
    """Killed at the first, second, third … opening, renaming or making of a file; then run again."""
    for name in ("right.yaml", "other.yaml"):
        recipe(tmp_path, name=name)
    from felt_engine.api import default_engine
    from felt_engine.cli.main import main

    default_engine().export(default_engine().look("{}\n"), "page")
    whole: dict[str, bytes] = {}
    for moment in (*range(1, 24), None):
        child = os.fork()
        if not child:
            try:
                os.chdir(tmp_path)
                os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
                os.dup2(1, 2)
                sys.addaudithook(Killer(moment, str(tmp_path)))
                main(arguments)
            finally:
                os._exit(0)
        os.waitpid(child, 0)
        for path in tmp_path.rglob("*"):
            named = not path.name.endswith(ENDING) and path.is_file()
            if named:
                whole.setdefault(str(path), path.read_bytes())
                assert path.read_bytes(), path
    left = [path for path in tmp_path.rglob("*") if path.name.endswith(ENDING)]
    assert left == [] or (all(path.suffix == ".part" for path in left) and len(left) <= 2)
    for name, body in whole.items():
        if not name.endswith((".json", ".TAG", ".gitignore")):
            assert Path(name).read_bytes() == body, (
                "what stood under the name was whole from the first"
            )


@pytest.mark.parametrize("there", [False, True])
def test_a_new_package_killed_at_any_system_call_is_whole_or_not_there(
    there: bool, tmp_path: Path
) -> None:
    """And the next run goes on from what the killed one left, until one is let live."""
    from felt_engine.cli.main import main

    if there:
        (tmp_path / "rules").mkdir()
    moments = 0
    while True:
        moments += 1
        child = os.fork()
        if not child:
            try:
                os.chdir(tmp_path)
                os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
                sys.addaudithook(Killer(moments, str(tmp_path)))
                status = main(["new-plugin", "harbour-rules", "--to", "rules"])
            finally:
                os._exit(status)
        _, ended = os.waitpid(child, 0)
        names = {name for name in os.listdir(tmp_path / "rules") if not name.endswith(ENDING)} if (
            tmp_path / "rules").exists() else set()  # fmt: skip
        if not os.WIFSIGNALED(ended):
            break
        if not there:
            assert names in (set(), PACKAGE)
        if names:  # killed behind its last file, or between two that were renamed
            assert moments > 12
            shutil.rmtree(tmp_path / "rules")
            (tmp_path / "rules").mkdir(exist_ok=True)
    assert os.waitstatus_to_exitcode(ended) == 0 and names == PACKAGE and moments > 12
    assert os.listdir(tmp_path) == ["rules"]
    assert not [path for path in tmp_path.rglob("*") if path.name.endswith(ENDING)]


PACKAGE = {"README.md", "harbour_rules", "pyproject.toml", "tests"}


class Killer:
    """An audit hook that kills the process at the so-manieth change of a file below a folder."""

    def __init__(self, moment: int | None, folder: str) -> None:
        self.left, self.folder = moment, folder

    def __call__(self, event: str, arguments: tuple[object, ...]) -> None:
        if self.left is None or event not in ("open", "os.rename", "os.mkdir", "os.chmod"):
            return
        if event == "open" and not (isinstance(arguments[2], int) and arguments[2] & os.O_CREAT):
            return
        self.left -= 1
        if not self.left:
            os.kill(os.getpid(), signal.SIGKILL)


def test_an_output_through_a_link_goes_where_it_leads(tmp_path: Path, call: Caller) -> None:
    """A link that somebody made and named is kept, and the file that it leads to is written whole."""
    recipe(tmp_path)
    (tmp_path / "far").mkdir()
    (tmp_path / "far/real.txt").write_text(OLD)
    (tmp_path / "link.txt").symlink_to("far/real.txt")
    (tmp_path / "second.txt").symlink_to("link.txt")
    (tmp_path / "new.txt").symlink_to("far/new.txt")
    for name, real in (("link", "real"), ("second", "real"), ("new", "new")):
        held(call(["check", "right.yaml", "--to", f"{name}.txt"], tmp_path), 0)
        assert (tmp_path / f"{name}.txt").is_symlink()
        assert "Nothing to mend" in (tmp_path / f"far/{real}.txt").read_text("utf-8")
        (tmp_path / f"far/{real}.txt").write_text(OLD)
    (tmp_path / "lost.txt").symlink_to("nowhere/x.txt")
    held(call(["check", "right.yaml", "--to", "lost.txt"], tmp_path), 2, "cannot write lost.txt")
    assert sorted(os.listdir(tmp_path / "far")) == ["new.txt", "real.txt"]


def test_a_link_in_a_folder_of_pages_is_never_followed(tmp_path: Path, call: Caller) -> None:
    """Only the folder was named: what lies in it may come from somebody else."""
    recipe(tmp_path)
    (tmp_path / "mine").write_text(OLD)
    (tmp_path / "pages").mkdir()
    for name in ("index.html", "right.html", ".index.html" + ENDING):
        (tmp_path / "pages" / name).symlink_to("../mine")
    held(call(["check", "right.yaml", "--as", "page", "--to", "pages/"], tmp_path), 0)
    assert (tmp_path / "mine").read_text() == OLD
    assert not (tmp_path / "pages/index.html").is_symlink()


def test_a_file_keeps_its_rights_and_a_new_one_has_the_usual(tmp_path: Path, call: Caller) -> None:
    recipe(tmp_path)
    (tmp_path / "mine.txt").write_text(OLD)
    (tmp_path / "mine.txt").chmod(0o600)
    mask = os.umask(0)
    os.umask(mask)
    for name, rights in (("mine.txt", 0o600), ("new.txt", 0o666 & ~mask)):
        held(call(["check", "right.yaml", "--to", name], tmp_path), 0)
        assert (tmp_path / name).stat().st_mode & 0o777 == rights


def test_what_lies_under_the_name_of_a_leftover_is_no_trap(tmp_path: Path) -> None:
    """A link, a second name of a file, a pipe, a folder: none is written to."""
    target = tmp_path / "out.txt"
    part, mine = Path(part_of(str(target))), tmp_path / "mine"
    mine.write_text(OLD)
    for make in (
        lambda: part.symlink_to("mine"), lambda: os.link(mine, part), lambda: os.mkfifo(part), part.mkdir,
    ):  # fmt: skip
        make()
        write_whole(str(target), [NEW])
        assert target.read_text() == NEW and mine.read_text() == OLD
        assert sorted(os.listdir(tmp_path)) == sorted((part.name, "mine", "out.txt"))
        part.rmdir() if part.is_dir() and not part.is_symlink() else part.unlink()
        target.unlink()


def test_two_at_once_leave_one_of_the_two(tmp_path: Path) -> None:
    target = str(tmp_path / "out.txt")

    def outer() -> object:
        yield "one "
        write_whole(target, ["two"])
        assert Path(target).read_text() == "two"
        yield "one"

    write_whole(target, outer())
    assert Path(target).read_text() == "one one" and os.listdir(tmp_path) == ["out.txt"]


def test_what_goes_wrong_in_the_middle_leaves_all_as_it_was(tmp_path: Path) -> None:
    target = tmp_path / "out.txt"
    target.write_text(OLD)

    def broken() -> object:
        yield NEW
        raise RuntimeError("no more")

    with pytest.raises(RuntimeError):
        write_whole(str(target), broken())
    assert target.read_text() == OLD and os.listdir(tmp_path) == ["out.txt"]
