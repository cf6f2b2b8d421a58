"""Bad luck around a call: no rights, no room, no reader, another locale, an interrupt, odd modules."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from kit import GROUND
from kit_calls import ODD, Caller, held, recipe

import felt_engine
from felt_engine.kept import TAG, Kept
from felt_engine.whole_file import ENDING, part_of

COMMAND = [sys.executable, "-P", "-m", "felt_engine"]
AS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


@pytest.mark.parametrize("size", [100, 4096])
@pytest.mark.parametrize("exporter", ["text", "json", "page"])
def test_no_room_on_the_disk(size: int, exporter: str, tmp_path: Path, call: Caller) -> None:
    """A limit of the process stands for a full disk; /dev/full is in the table of calls."""
    recipe(tmp_path)
    (tmp_path / "out.x").write_text("before")
    arguments = ["check", "right.yaml", "--as", exporter, "--to", "out.x"]
    done = call(arguments, tmp_path, file_bytes=size)
    if done.status == 0:
        assert (tmp_path / "out.x").stat().st_size <= size
    else:
        held(done, 2, "cannot write out.x: File too large")
        assert (tmp_path / "out.x").read_text() == "before"
    assert sorted(os.listdir(tmp_path)) == ["out.x", "right.yaml"]


def test_no_room_for_what_is_kept(tmp_path: Path, call: Caller) -> None:
    """The report is told all the same, and that it can't be kept."""
    recipe(tmp_path)
    done = call(["check", "right.yaml", "--keep", "kept"], tmp_path, file_bytes=900)
    assert done.status == 0 and "can’t be kept" in done.err and "Nothing to mend" in done.out
    assert not [name for name in tmp_path.rglob("*.json") if name.stat().st_size == 900]


@pytest.mark.skipif(not AS_ROOT, reason="only root may become somebody else")
def test_no_right_to_read_or_to_write(tmp_path: Path, call: Caller) -> None:
    for folder in (tmp_path, *tmp_path.parents):
        if folder.stat().st_uid == os.geteuid() and folder.stat().st_mode & 0o005 != 0o005:
            folder.chmod(folder.stat().st_mode | 0o005)
    recipe(tmp_path)
    recipe(tmp_path, name="secret.yaml").chmod(0o600)
    (tmp_path / "known.json").write_text("{}")
    (tmp_path / "known.json").chmod(0o600)
    closed = tmp_path / "closed"
    closed.mkdir(0o700)
    for arguments, word in {
        ("check", "secret.yaml"): "permission denied",
        ("check", "right.yaml", "--studio", "secret.yaml"): "permission denied",
        ("check", "right.yaml", "--known", "known.json"): "Permission denied",
        ("check", "right.yaml", "--to", "out.txt"): "cannot write out.txt: Permission denied",
        ("check", "right.yaml", "--to", "closed/out.txt"): "Permission denied",
        ("check", "right.yaml", "--as", "page", "--to", "pages/"): "cannot make the folder",
        ("check", "right.yaml", "--write-known", "k.json"): "cannot write k.json",
        ("resize", "secret.yaml", "--times", "2"): "permission denied",
        ("resize", "right.yaml", "--times", "2", "--to", "out.yaml"): "Permission denied",
        ("rows", "secret.yaml"): "permission denied",
        ("forecast", "right.yaml", "--notebook", "secret.yaml"): "permission denied",
        ("swatches", "secret.yaml"): "permission denied",
        ("new-plugin", "harbour-rules"): "cannot make",
        ("check", "closed/r.yaml"): "permission denied",
    }.items():  # fmt: skip
        held(call(arguments, tmp_path, user=True), 2, word)
    held(call(["check", "right.yaml", "--keep", "kept"], tmp_path, user=True), 0, "can’t be kept")
    held(call(["check", "closed"], tmp_path, user=True), 2, "looked into: permission denied")
    (tmp_path / "shop/closed").mkdir(parents=True)
    recipe(tmp_path / "shop")
    (tmp_path / "shop/closed").chmod(0o700)
    done = call(["check", "shop"], tmp_path, user=True)
    held(done, 2, "shop/closed")
    assert "1 with nothing to mend, 1 that could not be read" in " ".join(done.out.split())


def test_a_folder_too_deep_to_be_named_is_told(tmp_path: Path) -> None:
    """One run in a folder of more letters than a system names: what lies there isn't left out unsaid."""
    place = tmp_path / "shop"
    place.mkdir()
    recipe(place)
    here = os.getcwd()
    try:
        os.chdir(place)
        for _ in range(45):
            os.mkdir("d" * 99)
            os.chdir("d" * 99)
    finally:
        os.chdir(here)
    done = subprocess.run([*COMMAND, "check", "shop"], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 2 and "file name too long" in done.stdout
    assert "1 with nothing to mend, 1 that could not be read" in " ".join(done.stdout.split())


@pytest.mark.parametrize("exporter", ["text", "json", "page", "sarif", "junit", "markdown"])
def test_an_ascii_locale(exporter: str, tmp_path: Path, call: Caller) -> None:
    """On a terminal what it can't show is escaped; a file is UTF-8 whatever the locale."""
    recipe(tmp_path)
    held(call(["check", "right.yaml", "--as", exporter], tmp_path, locale="C"), 0)
    held(call(["check", "right.yaml", "--as", exporter, "--to", "o.x"], tmp_path, locale="C"), 0)
    said = (tmp_path / "o.x").read_text("utf-8")
    assert "Zwölf" in said or "Zw\\u00f6lf" in said or exporter in ("sarif", "junit", "markdown")


@pytest.mark.parametrize("arguments", [["check", "right.yaml"], ["rules"], ["rules", "thin-layer"],
                                       ["resize", "right.yaml", "--times", "2"], ["rows", "right.yaml"],
                                       ["check", "right.yaml", "--as", "page"]], ids=" ".join)  # fmt: skip
def test_a_reader_that_goes_away(arguments: list[str], tmp_path: Path, call: Caller) -> None:
    recipe(tmp_path)
    done = call(arguments, tmp_path, closed=True)
    assert "Traceback" not in done.err and "should not" not in done.err
    assert done.status in (0, 1, 2, 141) and len(done.err) < 2000


def test_standard_input_in_every_odd_way(tmp_path: Path, call: Caller) -> None:
    for data, status, word in [
        (ODD.encode(), 0, "漢"), (b"\xef\xbb\xbf" + ODD.encode(), 0, "漢"), (b"", 2, "an empty file"),
        (b"\xff\xfe" + ODD.encode("utf-16-le"), 2, "UTF-16"), (b"\0" * 99, 2, "U+0000"),
        (b"a: b\n" * 400_000, 2, "1000 kB"), (b"[" * 90_000, 2, "levels"), (b'{"a"', 2, "brackets"),
    ]:  # fmt: skip
        held(call(["check", "-"], tmp_path, stdin=data), status, word)
    held(call(["check", "-", "--called", "x.json"], tmp_path, stdin=b'{"a"'), 2, "cut off")
    held(call(["check", "-", "--called", "\x1b[31m"], tmp_path, stdin=ODD.encode()), 0, "\\x1b[31m")
    held(call(["check", "-", "--called", "../x/y.yaml"], tmp_path, stdin=ODD.encode()), 0, "y.yaml")


def test_several_processes_have_the_same_luck(tmp_path: Path, call: Caller) -> None:
    """The same words and status; what several processes take together is more than one call's."""
    for number, text in enumerate(
        (ODD, "\0", "[" * 90_000, "a: b\n" * 300_000, "- a", "", "a: *b")
    ):
        recipe(tmp_path, text, f"r{number}.yaml")
    (tmp_path / "loop.yaml").symlink_to("loop.yaml")
    one = call(["check", "."], tmp_path)
    two = call(["check", ".", "--processes", "2"], tmp_path, seconds=8)
    held(two, 2, "levels", seconds=8)
    assert (two.out, two.status) == (one.out, one.status)


@pytest.mark.parametrize("extra", [[], ["--processes", "2"], ["--keep", "kept"], ["--to", "out.txt"]],
                         ids=" ".join)  # fmt: skip
def test_an_interrupt_in_the_middle(extra: list[str], tmp_path: Path) -> None:
    """Status 130, no traceback, nothing left half written. Sent when the first recipe is done."""
    for number in range(1500):
        recipe(tmp_path, name=f"r{number}.yaml")
    with (tmp_path / "said").open("w") as said:
        process = subprocess.Popen(
            [*COMMAND, "check", ".", *extra], cwd=tmp_path, stdout=said, stderr=subprocess.PIPE,
            text=True, start_new_session=True,
        )  # fmt: skip
        signs = [tmp_path / "said", tmp_path / part_of("out.txt"), tmp_path / "kept/CACHEDIR.TAG"]
        for _ in range(3000):
            if any(sign.exists() and sign.stat().st_size for sign in signs):
                break
            time.sleep(0.01)
        os.killpg(process.pid, signal.SIGINT)
        _, err = process.communicate(timeout=60)
    assert "Traceback" not in err, err[-2000:]
    assert process.returncode == 130
    assert not [name for name in os.listdir(tmp_path) if name.endswith(ENDING)]
    assert not (tmp_path / "out.txt").exists()


def test_modules_beside_the_recipe_are_never_run(tmp_path: Path) -> None:
    """The installed command, started in a folder from somebody else, and with one on its path."""
    recipe(tmp_path)
    names = ("yaml", "json", "felt_engine", "attr", "attrs", "pluggy", "felt_rules", "os", "re", "argparse",
             "felt_exporters", "jinja2", "conftest", "sitecustomize", "usercustomize",
             "encodings")  # fmt: skip
    for name in names:
        (tmp_path / f"{name}.py").write_text("raise SystemExit('run!')")
    command = Path(sys.executable).with_name("felt-engine")
    for arguments in (["check", "right.yaml"], ["check", "."], ["rules"], ["--version"],
                      ["check", "right.yaml", "--as", "page"], ["rows", "right.yaml"]):  # fmt: skip
        done = subprocess.run([command, *arguments], cwd=tmp_path, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        assert "run!" not in done.stdout + done.stderr


@pytest.mark.skipif(os.name != "posix", reason="links and pipes")
@pytest.mark.parametrize("what", ["device", "pipe", "link"])
def test_a_kept_folder_of_somebody_elses_making(tmp_path: Path, what: str) -> None:
    kept = tmp_path / "kept"
    engine = felt_engine.Engine()
    list(engine.check_many([GROUND], keep=kept))
    for path in [*kept.rglob("*.json"), kept / "CACHEDIR.TAG"]:
        path.unlink()
        if what == "pipe":
            os.mkfifo(path)
        else:
            path.symlink_to("/dev/zero" if what == "device" else tmp_path / "elsewhere")
    if what == "link":
        (tmp_path / "elsewhere").write_text("mine", encoding="utf-8")
    with pytest.raises(felt_engine.CallError, match="no folder of kept results"):
        list(engine.check_many([GROUND], keep=kept))
    (kept / "CACHEDIR.TAG").unlink()
    (kept / "CACHEDIR.TAG").write_text(TAG + "\n", encoding="utf-8")
    (report,) = engine.check_many([GROUND], keep=kept)
    assert report.weights
    if what == "link":
        assert (tmp_path / "elsewhere").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("left", ["CACHEDIR.TAG", part_of("CACHEDIR.TAG"), part_of(".gitignore")])
def test_a_kept_folder_that_was_cut_short_at_its_first_mark_is_used(
    left: str, tmp_path: Path
) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / left).touch()
    kept = Kept(tmp_path / "kept")
    kept.keep_answer("a", {"b": 1})
    assert not kept.failed and kept.answer("a") == {"b": 1}
    assert (tmp_path / "kept" / "CACHEDIR.TAG").read_text("utf-8").startswith(TAG)
    (tmp_path / "mine").mkdir()
    for name in ("CACHEDIR.TAG", "notes.txt"):
        (tmp_path / "mine" / name).touch()
        if name == "notes.txt":
            with pytest.raises(felt_engine.CallError, match="no folder of kept results"):
                Kept(tmp_path / "mine")


@pytest.mark.skipif(os.name != "posix", reason="limits of a process")
def test_a_disk_that_is_full_at_the_first_mark_leaves_none(tmp_path: Path) -> None:
    right = recipe(tmp_path)
    call = [*COMMAND, "check", right.name, "--keep", "kept"]
    limited = ["bash", "-c", 'ulimit -f 0; exec "$@" 2>&1 | cat', "bash", *call]
    full = subprocess.run(limited, cwd=tmp_path, stdout=subprocess.PIPE, text=True)
    assert "Nothing to mend" in full.stdout and "can’t be kept in kept" in full.stdout
    assert not [name for name in os.listdir(tmp_path / "kept") if not name.startswith(".")]
    again = subprocess.run(call, cwd=tmp_path, capture_output=True, text=True)
    assert (again.returncode, again.stderr) == (0, "")


@pytest.mark.skipif(os.name != "posix", reason="links")
def test_nothing_is_kept_or_thinned_out_through_a_link(tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    for number in range(40):
        (mine / f"{number}.json").write_text("mine", encoding="utf-8")
    kept = Kept(tmp_path / "kept")
    kept.keep_answer("a", {"b": 1})
    shelf = tmp_path / "kept" / "answers"
    (shelf / "a.json").unlink()
    shelf.rmdir()
    shelf.symlink_to(mine)
    again = Kept(tmp_path / "kept")
    again.keep_answer("c", {"d": 2})
    assert "is a link" in again.failed
    assert sorted(path.read_text(encoding="utf-8") for path in mine.iterdir()) == ["mine"] * 40


def test_a_found_studio_file_is_no_link_out_of_its_folder(tmp_path: Path, call: Caller) -> None:
    """What lies elsewhere is read only where somebody named it."""
    (tmp_path / "secret.yaml").write_text("name: X\nsecret: 1\n", "utf-8")
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "studio.yaml").symlink_to("../secret.yaml")
    recipe(shop)
    done = call(["check", "shop"], tmp_path)
    held(done, 2, "a link that leads out of its folder")
    assert "key" not in done.err
    held(call(["check", "shop", "--studio", "shop/studio.yaml"], tmp_path), 2, 'the key "secret"')
    (shop / "studio.yaml").unlink()
    (shop / "mine.yml").write_text("name: X\n", "utf-8")
    (shop / "studio.yaml").symlink_to("mine.yml")
    assert call(["check", "shop/right.yaml"], tmp_path).status == 0


@pytest.mark.parametrize("option", ["--a", "--ass", "--process", "--studi"])
def test_an_option_is_written_whole(option: str, tmp_path: Path, call: Caller) -> None:
    recipe(tmp_path)
    done = call(["check", "right.yaml", option, "json"], tmp_path)
    held(done, 2, f"unrecognized arguments: {option} json")
    assert "See felt-engine check --help." in done.err
