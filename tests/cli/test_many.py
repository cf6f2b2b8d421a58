"""A catalogue on the command line: standard input, several processes, and kept results."""

from __future__ import annotations

import json
import os
import pty
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from kit import GROUND, UNCROSSED, run

RULE = """
import felt_engine

def judge(bench):
    open("counted", "a").write("x")
    if bench.recipe.piece.title == "waits":
        import time
        time.sleep(30)
    return ()

@felt_engine.hook
def felt_engine_rules():
    return (felt_engine.Rule("counting-rule", "Counting", "1", "To try out.", judge),)
"""


def titled(title: str, text: str = GROUND) -> str:
    return text.replace("Twelve inch ground", title)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "recipes" / "old").mkdir(parents=True)
    for number in range(20):
        text = titled(f"Piece {number}", UNCROSSED if number % 7 == 3 else GROUND)
        (tmp_path / "recipes" / f"r{number:02}.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "recipes" / "old" / "bad.yaml").write_text("piece: [", encoding="utf-8")
    (tmp_path / "recipes" / "studio.yaml").write_text("name: Harbour Felt\n", encoding="utf-8")
    return tmp_path


def feed(data: bytes, *arguments: str, cwd: Path) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-P", "-m", "felt_engine", "check", *arguments],
        input=data, capture_output=True, cwd=cwd, timeout=60, check=False,
    )  # fmt: skip


def test_a_recipe_from_standard_input_is_judged_as_its_file_would_be(shop: Path) -> None:
    own = run("check", "recipes/r03.yaml", cwd=shop)
    data = (shop / "recipes" / "r03.yaml").read_bytes()
    fed = feed(data, "-", "--called", "recipes/r03.yaml", cwd=shop)
    assert fed.stdout.decode() == own.stdout and fed.returncode == own.returncode == 1
    assert "Harbour Felt" in own.stdout
    assert feed(data, "-", cwd=shop).stdout.decode().splitlines()[0].endswith("standard input")


def test_standard_input_may_be_json_empty_or_no_text_at_all(shop: Path) -> None:
    import yaml

    text = json.dumps(yaml.safe_load(GROUND)).encode()
    assert feed(text, "-", cwd=shop).returncode == 0
    assert feed(text, "-", "--called", "a.json", cwd=shop).returncode == 0
    for data in (b"", b"\xff\xfe", b"\x00", b"x" * 2_000_000):
        done = feed(data, "-", "--called", "a.yaml", cwd=shop)
        assert done.returncode == 2 and b"a.yaml" in done.stdout and b"To mend" in done.stdout
        assert b"Traceback" not in done.stderr


def test_standard_input_is_asked_for_once_and_its_name_belongs_to_it(shop: Path) -> None:
    for words, said in (
        (["-", "-"], b"only once"),
        (["recipes", "--called", "x.yaml"], b"give - as the path"),
        (["-", "--called", ""], b"the name is empty"),
        (["-", "--called", " "], b"the name is empty"),
    ):
        done = feed(GROUND.encode(), *words, cwd=shop)
        assert done.returncode == 2 and done.stdout == b"" and b"felt-engine: " in done.stderr
        assert said in done.stderr


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit", "markdown", "page"])
def test_any_number_of_processes_writes_the_same_bytes(shop: Path, form: str) -> None:
    one = run("check", "recipes", "--as", form, cwd=shop)
    two = run(
        "check", "recipes", "--as", form, "--processes", "2", cwd=shop,
        PYTHONHASHSEED="7", LC_ALL="C", TZ="Asia/Tokyo",
    )  # fmt: skip
    assert two.stdout == one.stdout and two.stderr == one.stderr and two.returncode == 2


def test_results_kept_within_a_checked_folder_are_no_recipes(tmp_path: Path) -> None:
    """They are marked (CACHEDIR.TAG), and aren't read as recipes the next time."""
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "r.yaml").write_text(GROUND, encoding="utf-8")
    for options in (("--keep", "shop/kept"), ("--keep", "shop/kept"), ()):
        done = run("check", "shop", *options, cwd=tmp_path)
        assert done.returncode == 0 and "r.yaml" in done.stdout and "kept" not in done.stdout
    assert (shop / "kept" / "CACHEDIR.TAG").exists()


def test_a_number_of_processes_is_checked(shop: Path) -> None:
    for text in ("0", "-1", "2.5", "many", "", "1000", "²"):
        done = run("check", "recipes", f"--processes={text}", cwd=shop)
        assert done.returncode == 2 and "1 to 256, or all" in done.stderr and not done.stdout
    assert run("check", "recipes/r00.yaml", "--processes", "all", cwd=shop).returncode == 0


def test_an_interrupt_ends_the_workers_too(shop: Path) -> None:
    (shop / "rule.py").write_text(RULE, encoding="utf-8")
    (shop / "recipes" / "r00.yaml").write_text(titled("waits"), encoding="utf-8")
    words = ["recipes", "--processes", "2", "--rule-file", "rule.py"]
    begun = subprocess.Popen(
        [sys.executable, "-P", "-m", "felt_engine", "check", *words], cwd=shop, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )  # fmt: skip
    for _ in range(600):
        if (shop / "counted").exists():
            break
        time.sleep(0.05)
    os.killpg(begun.pid, signal.SIGINT)
    _, err = begun.communicate(timeout=20)
    assert begun.returncode == 130 and "Traceback" not in err
    with pytest.raises(ProcessLookupError):  # nobody of that session is left
        for _ in range(100):
            os.killpg(begun.pid, 0)
            time.sleep(0.05)


def runs(shop: Path) -> int:
    file = shop / "counted"
    found = len(file.read_text()) if file.exists() else 0
    file.unlink(missing_ok=True)
    return found


def kept(shop: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return run("check", "recipes", "--rule-file", "rule.py", "--keep", "kept", *words, cwd=shop)


def test_only_what_changed_is_judged_again_and_the_answer_is_the_same(shop: Path) -> None:
    (shop / "rule.py").write_text(RULE, encoding="utf-8")
    (shop / "recipes" / "old" / "bad.yaml").unlink()
    first = kept(shop)
    assert runs(shop) == 20 and first.returncode == 1
    again = kept(shop)
    assert runs(shop) == 0 and (again.stdout, again.stderr, again.returncode) == (
        first.stdout, first.stderr, 1,
    )  # fmt: skip
    (shop / "recipes" / "r05.yaml").write_text(titled("Other"), encoding="utf-8")
    changed = kept(shop)
    assert runs(shop) == 1 and "Other" in changed.stdout
    whole = run("check", "recipes", "--rule-file", "rule.py", cwd=shop)
    assert runs(shop) == 20 and whole.stdout == changed.stdout
    assert kept(shop, "--processes", "2").stdout == whole.stdout and runs(shop) == 0
    assert kept(shop, "--stop-at", "note", "--as", "json").returncode == 1 and runs(shop) == 0
    (shop / "recipes" / "old" / "more.yaml").write_text(GROUND, encoding="utf-8")
    assert "recipes/old/more.yaml" in kept(shop).stdout and runs(shop) == 1
    (shop / "recipes" / "studio.yaml").write_text("name: Quay Felt\n", encoding="utf-8")
    assert "Quay Felt" in kept(shop).stdout and runs(shop) == 20
    (shop / "rule.py").write_text(RULE + "\n", encoding="utf-8")
    kept(shop)
    assert runs(shop) == 21
    kept(shop, "--studio", "none")
    assert runs(shop) == 20
    kept(shop, "--studio", "none")
    assert runs(shop) == 0


def test_a_notebook_or_rule_file_that_only_the_studio_names_counts_too(shop: Path) -> None:
    (shop / "rule.py").write_text(RULE, encoding="utf-8")
    (shop / "recipes" / "old" / "bad.yaml").unlink()
    (shop / "house").mkdir()
    (shop / "house" / "house.yaml").write_text(
        "name: House\nnotebook: notes.yaml\nrule files: [../rule.py]\n", encoding="utf-8"
    )
    notes = shop / "house" / "notes.yaml"
    notes.write_text("title: N\nswatches: []\n", encoding="utf-8")
    words = ("check", "recipes", "--studio", "house/house.yaml", "--keep", "kept")
    for expected in (20, 0):
        run(*words, cwd=shop)
        assert runs(shop) == expected
    notes.write_text("title: M\nswatches: []\n", encoding="utf-8")
    run(*words, cwd=shop)
    assert runs(shop) == 20
    (shop / "rule.py").write_text(RULE + "\n", encoding="utf-8")
    run(*words, cwd=shop)
    assert runs(shop) == 20


def test_known_findings_and_files_go_with_kept_answers(shop: Path) -> None:
    words = ("check", "recipes", "--keep", "kept", "--known", "known.jsonl")
    (shop / "recipes" / "old" / "bad.yaml").unlink()
    assert run("check", "recipes", "--write-known", "known.jsonl", cwd=shop).returncode == 1
    for _ in range(2):
        done = run(*words, "--as", "json", "--to", "out.json", "--as", "text", cwd=shop)
        assert done.returncode == 0 and "known" in done.stdout
        assert (shop / "out.json").exists()
        (shop / "out.json").unlink()
    (shop / "known.jsonl").write_text('{"format": 1}\n', encoding="utf-8")
    assert run(*words, cwd=shop).returncode == 1
    gone = '{"recipe": "recipes/x.yaml", "rule": "r", "thing": "t", "at": [], "level": "note", '
    (shop / "known.jsonl").write_text(
        '{"format": 1}\n' + gone + '"fingerprint": "0123456789abcdef"}\n', encoding="utf-8"
    )
    (shop / "recipes" / "x.yaml").write_text(GROUND, encoding="utf-8")
    words = ("check", "recipes/r00.yaml", *words[2:])
    said = [run(*words, cwd=shop).stderr for _ in range(2)]
    (shop / "recipes" / "x.yaml").unlink()
    said += [run(*words, cwd=shop).stderr for _ in range(2)]
    assert said[0] == said[1] == "" and said[2] == said[3] and "is not there" in said[2]


def test_a_folder_of_something_else_is_refused(shop: Path) -> None:
    done = run("check", "recipes", "--keep", "recipes", cwd=shop)
    assert done.returncode == 2 and "no folder of kept results" in done.stderr
    assert not (shop / "recipes" / "CACHEDIR.TAG").exists()


def test_the_whole_answer_loads_nothing_of_the_engine(shop: Path) -> None:
    code = (
        "import sys\nfrom felt_engine.cli.main import main\n"
        "status = main(['check', 'recipes', '--keep', 'kept'])\n"
        "print(status, *sys.modules, file=sys.stderr)"
    )
    seen = []
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-P", "-c", code], cwd=shop, capture_output=True, text=True, check=True
        )
        seen.append((done.stdout, done.stderr.split()[0], set(done.stderr.split())))
    assert seen[0][:2] == seen[1][:2] and "felt_engine.api" in seen[0][2]
    heavy = {
        "felt_engine.api",
        "felt_engine.plugins",
        "attr",
        "yaml",
        "pluggy",
        "pathlib",
        "typing",
    }
    assert not heavy & seen[1][2]


def on_terminal(shop: Path, *words: str) -> str:
    """What comes to standard error where that is a terminal, and standard output is not."""
    ours, theirs = pty.openpty()
    done = subprocess.Popen(
        [sys.executable, "-P", "-m", "felt_engine", "check", *words], cwd=shop, stderr=theirs,
        stdout=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(theirs)
    found = b""
    while True:
        try:
            piece = os.read(ours, 1000)
        except OSError:
            break
        if not piece:
            break
        found += piece
    done.wait(30)
    os.close(ours)
    return found.decode()


def test_progress_is_on_a_terminal_alone_and_gone_at_the_end(shop: Path) -> None:
    slow = RULE.replace('"waits"', '"Piece 2"').replace("30", "1.5")
    (shop / "rule.py").write_text(slow, encoding="utf-8")
    shown = on_terminal(shop, "recipes", "--rule-file", "rule.py")
    assert "of 21 recipes" in shown and shown.endswith("\r")
    assert on_terminal(shop, "recipes/r00.yaml") == ""


def test_several_reports_of_many_recipes_are_those_of_one_at_a_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import felt_engine
    from felt_engine.cli import spool

    monkeypatch.setattr(spool, "IN_MEMORY", 3)
    texts = [titled(f"Piece {n}", UNCROSSED if n % 2 else GROUND) for n in range(9)]
    own = [felt_engine.look(text, drawing=n == 5) for n, text in enumerate([*texts, "piece: ["])]
    spooled = spool.Spool(iter(own))
    begun = iter(spooled)
    assert [next(begun) for _ in range(5)] == own[:5]
    assert list(spooled) == own and list(spooled) == own
