"""The check command as a maker and a CI job meet it."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from kit import BROKEN, GROUND, RECIPES, UNCROSSED, run

from felt_engine.cli.terminal import wants_colour


def write(folder: Path, **texts: str) -> Path:
    for name, text in texts.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def test_right_recipe_ends_0_and_shows_its_weights(tmp_path: Path) -> None:
    done = run("check", "ground.yaml", cwd=write(tmp_path, ground=GROUND))
    assert done.returncode == 0 and done.stderr == ""
    assert re.search(r"Nothing to mend\. \d+ rules looked at it\.", done.stdout)
    # 0.4 oz = 11.339809 g (NIST SP 811, appendix B); 1.45 oz in all
    assert "cross layer        11.34     0.400" in done.stdout
    assert "41.11     1.450" in done.stdout


def test_without_its_cross_layer_it_ends_1_at_the_layer(tmp_path: Path) -> None:
    done = run("check", "ground.yaml", cwd=write(tmp_path, ground=UNCROSSED))
    assert done.returncode == 1
    assert "Fault in the layer “design”, line 13" in done.stdout
    assert "direction-balance" in done.stdout
    assert "pull 0.526; limit 0.45" in done.stdout


def test_unreadable_ends_2_with_the_place_and_does_not_stop_the_others(tmp_path: Path) -> None:
    done = run("check", ".", cwd=write(tmp_path, a=BROKEN, b=UNCROSSED, c=GROUND))
    assert done.returncode == 2
    assert "Line 13, column 43: layers > 2 > amount" in done.stdout
    assert "write 1500 g or 1.5 g" in done.stdout
    assert "direction-balance" in done.stdout
    last = "3 recipes: 1 with nothing to mend, 1 with a fault, 1 that could not be read."
    assert done.stdout.rstrip().endswith(last)


@pytest.mark.parametrize("path", ["no-such-file.yaml", "empty-folder"])
def test_nothing_to_read_ends_2(tmp_path: Path, path: str) -> None:
    (tmp_path / "empty-folder").mkdir()
    done = run("check", path, cwd=tmp_path)
    assert done.returncode == 2
    assert path in done.stdout and "Traceback" not in done.stderr


def test_names_are_taken_on_both_sides_of_an_option(tmp_path: Path) -> None:
    folder = write(tmp_path, a=GROUND, b=GROUND)
    for words in (("a.yaml", "--as", "json", "b.yaml"), ("a.yaml", "--as", "json", "--", "b.yaml")):
        done = run("check", *words, cwd=folder)
        assert done.returncode == 0, done.stderr
        assert [one["name"] for one in json.loads(done.stdout)["reports"]] == ["a.yaml", "b.yaml"]
    done = run("check", "a.yaml", "--as", "json", "--asd", "b.yaml", cwd=folder)
    assert done.returncode == 2 and "--asd" in done.stderr
    (folder / "-b.yaml").write_text(BROKEN, encoding="utf-8")
    done = run("check", "a.yaml", "--as", "json", "--", "-b.yaml", cwd=folder)
    assert done.returncode == 2 and '"name": "-b.yaml"' in done.stdout
    done = run("check", "a.yaml", "--as", "json", "-b.yaml", cwd=folder)
    assert done.returncode == 2 and "given as ./-b.yaml" in done.stderr


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
def test_a_named_pipe_is_refused_without_waiting(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    done = run("check", "pipe.yaml", cwd=tmp_path)
    assert done.returncode == 2
    assert "no ordinary file" in done.stdout


def test_stop_at_makes_lesser_levels_count(tmp_path: Path) -> None:
    text = GROUND.replace("use: picture ground", "use: rug")
    folder = write(tmp_path, ground=text)
    assert "Caution in the " in run("check", "ground.yaml", cwd=folder).stdout
    assert run("check", "ground.yaml", cwd=folder).returncode == 0
    assert run("check", "ground.yaml", "--stop-at", "caution", cwd=folder).returncode == 1


def test_json_to_a_file_leaves_the_terminal_alone(tmp_path: Path) -> None:
    folder = write(tmp_path, ground=UNCROSSED)
    done = run("check", "ground.yaml", "--as", "json", "--to", "report.json", cwd=folder)
    assert done.returncode == 1 and done.stdout == ""
    document = json.loads((folder / "report.json").read_text(encoding="utf-8"))
    assert document["reports"][0]["verdict"] == "fault"
    assert not [p.name for p in folder.iterdir() if p.name.endswith(".part")]


def test_a_folder_in_the_way_of_the_output_is_said(tmp_path: Path) -> None:
    folder = write(tmp_path, ground=GROUND)
    (folder / "out").mkdir()
    done = run("check", "ground.yaml", "--to", "out", cwd=folder)
    assert done.returncode == 2 and "there is a folder of this name" in done.stderr
    done = run("check", "ground.yaml", "--to", "nowhere/report.txt", cwd=folder)
    assert done.returncode == 2 and "cannot write nowhere/report.txt" in done.stderr


def test_unknown_exporter_and_option_are_named(tmp_path: Path) -> None:
    folder = write(tmp_path, ground=GROUND)
    done = run("check", "ground.yaml", "--as", "jsn", cwd=folder)
    assert done.returncode == 2 and 'write "json"' in done.stderr and done.stdout == ""
    done = run("check", "ground.yaml", "--colour", cwd=folder)
    assert done.returncode == 2 and "--colour" in done.stderr and "--help" in done.stderr
    assert run("check", cwd=folder).returncode == 2
    assert run("chek", cwd=folder).returncode == 2


def test_help_names_examples_and_every_option() -> None:
    done = run("--help")
    assert done.returncode == 0 and "exit status" in done.stdout and "examples:" in done.stdout
    done = run("check", "--help")
    for option in ("--as", "--to", "--stop-at", "--studio", "PATH"):
        assert option in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_text_stays_within_80_columns_and_without_escapes() -> None:
    done = run("check", str(RECIPES))
    assert "\x1b" not in done.stdout
    for name in sorted(RECIPES.glob("*.yaml")):
        single = run("check", str(name)).stdout
        assert max(map(len, single.splitlines())) <= 80, name


@pytest.mark.parametrize(
    ("environment", "terminal", "colour"),
    [
        ({"TERM": "xterm"}, True, True),
        ({"TERM": "xterm"}, False, False),
        ({"TERM": "xterm", "NO_COLOR": "1"}, True, False),
        ({"TERM": "xterm", "NO_COLOR": ""}, True, True),
        ({"TERM": "dumb"}, True, False),
        ({}, True, False),
    ],
)
def test_colour_only_where_it_is_wanted(
    environment: dict[str, str], terminal: bool, colour: bool
) -> None:
    assert wants_colour(environment, terminal) is colour


def test_titles_and_names_cannot_steer_the_terminal(tmp_path: Path) -> None:
    text = GROUND.replace("Twelve inch ground", '"\\e[31mred \\u202e back"')
    done = run("check", ".", cwd=write(tmp_path, evil=text))
    assert "\x1b" not in done.stdout and "\u202e" not in done.stdout
    assert done.returncode in (0, 2)
    (tmp_path / "new\nline.yaml").write_text(GROUND, encoding="utf-8")
    done = run("check", ".", cwd=tmp_path)
    assert "new line.yaml" in done.stdout or "new\\x0aline.yaml" in done.stdout


def test_ascii_locale_and_closed_reader(tmp_path: Path) -> None:
    folder = write(tmp_path, ground=UNCROSSED.replace("Twelve inch ground", "Hörnum 😀"))
    done = run("check", "ground.yaml", cwd=folder, PYTHONIOENCODING="ascii", LC_ALL="C")
    assert done.returncode == 1 and "Traceback" not in done.stderr
    command = f"{sys.executable} -m felt_engine check {folder} {folder} {folder} | head -c 1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr


def test_a_module_beside_the_recipe_is_never_run(tmp_path: Path) -> None:
    (tmp_path / "yaml.py").write_text("raise SystemExit('run!')", encoding="utf-8")
    (tmp_path / "attrs.py").write_text("raise SystemExit('run!')", encoding="utf-8")
    write(tmp_path, ground=GROUND)
    done = subprocess.run(
        [sys.executable, "-m", "felt_engine", "check", "ground.yaml"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


@pytest.mark.skipif(os.name == "nt", reason="signals differ there")
def test_interrupt_ends_130(tmp_path: Path) -> None:
    (tmp_path / "ground.yaml").write_text(GROUND, encoding="utf-8")
    code = (
        "import os, signal, sys\n"
        "from felt_engine.api import Engine\n"
        "def look(self, *a, **k): os.kill(os.getpid(), signal.SIGINT)\n"
        "Engine.look = look\n"
        "from felt_engine.cli.main import run\n"
        "run(['check', 'ground.yaml'])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=False,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )  # fmt: skip
    assert done.returncode == 130 and "Traceback" not in done.stderr
