"""A new plugin package: complete, green at once, and in the list of rules."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from kit import run

from felt_engine import CONTRACT, Engine, __version__


@pytest.fixture
def made(tmp_path: Path) -> Path:
    done = run("new-plugin", "harbour-rules", cwd=tmp_path)
    assert done.returncode == 0 and done.stderr == ""
    assert 'python -m pip install -e "harbour-rules[test]"\n' in done.stdout
    return tmp_path / "harbour-rules"


def test_the_package_is_whole(made: Path) -> None:
    files = sorted(
        str(p.relative_to(made)).replace(os.sep, "/") for p in made.rglob("*") if p.is_file()
    )
    assert files == [
        "README.md", "harbour_rules/__init__.py", "harbour_rules/carder_load.py", "pyproject.toml",
        "tests/test_plugin.py",
    ]  # fmt: skip
    for path in made.rglob("*.*"):
        if path.is_file():
            text = path.read_text(encoding="utf-8")
            assert "@NAME@" not in text and "@MODULE@" not in text and "@SHORT@" not in text
    project = tomllib.loads((made / "pyproject.toml").read_text(encoding="utf-8"))
    assert project["project"]["name"] == "harbour-rules"
    assert project["project"]["dependencies"] == [f"felt-engine>={__version__}"]
    assert project["project"]["entry-points"] == {"felt_engine": {"harbour_rules": "harbour_rules"}}
    init = (made / "harbour_rules" / "__init__.py").read_text(encoding="utf-8")
    assert f"felt_engine_contract = {CONTRACT}" in init


def test_its_tests_are_green(made: Path) -> None:
    path = os.pathsep.join((str(made), os.environ.get("PYTHONPATH", "")))
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"], cwd=made, text=True,
        capture_output=True, check=False, timeout=120, env={**os.environ, "PYTHONPATH": path},
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
    assert "12 passed" in done.stdout


def test_it_is_in_the_list_once_it_is_installed(made: Path) -> None:
    info = made / "harbour_rules-0.1.0.dist-info"
    info.mkdir()
    project = tomllib.loads((made / "pyproject.toml").read_text(encoding="utf-8"))
    entries = project["project"]["entry-points"]["felt_engine"]
    lines = ["[felt_engine]", *(f"{key} = {value}" for key, value in entries.items())]
    (info / "entry_points.txt").write_text("\n".join(lines), encoding="utf-8")
    path = os.pathsep.join((str(made), os.environ.get("PYTHONPATH", "")))
    done = run("rules", PYTHONPATH=path)
    assert done.returncode == 0 and done.stderr == ""
    assert "harbour-carder-load" in done.stdout and "(from harbour-rules 0.1.0)" in done.stdout


def test_it_can_be_tried_before_it_is_installed(made: Path) -> None:
    engine = Engine(rule_files=made / "harbour_rules")
    assert engine.broke == () and engine.rule_book.get("harbour-carder-load") is not None


def test_it_goes_where_it_is_told(tmp_path: Path) -> None:
    done = run("new-plugin", "tide", "--to", "our house/rules", cwd=tmp_path)
    assert done.returncode == 0 and '-e "our house/rules[test]"' in done.stdout
    assert (tmp_path / "our house" / "rules" / "tide" / "carder_load.py").is_file()
    (tmp_path / "empty").mkdir()
    assert run("new-plugin", "tide", "--to", "empty", cwd=tmp_path).returncode == 0


def test_it_never_writes_over_anything(made: Path) -> None:
    before = (made / "README.md").read_bytes()
    done = run("new-plugin", "harbour-rules", cwd=made.parent)
    assert done.returncode == 2 and "not empty" in done.stderr
    assert (made / "README.md").read_bytes() == before
    (made.parent / "file").write_text("x", encoding="utf-8")
    assert run("new-plugin", "tide", "--to", "file", cwd=made.parent).returncode == 2


@pytest.mark.parametrize(
    "name", ["Harbour", "harbour rules", "../harbour", "1st", "class", "-x", "a--b", "a_b", "é", ""]
)
def test_a_name_that_cannot_be_one_is_refused(tmp_path: Path, name: str) -> None:
    done = run("new-plugin", f"--to={tmp_path / 'new'}", "--", name)
    assert done.returncode == 2 and "can't be the name" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["json", "felt-engine", "felt-rules", "tests"])
def test_a_name_that_is_taken_is_refused(tmp_path: Path, name: str) -> None:
    done = run("new-plugin", name, cwd=tmp_path)
    assert done.returncode == 2 and "is taken" in done.stderr


@pytest.mark.parametrize(("folder", "typed"), [
    ("n\x1b[31mred", "FOLDER"), ("a\u202eb", "FOLDER"), ("a\nb", "FOLDER"), ("a b", '"a b"'),
    ("a$(x)b", "'a$(x)b'"), ("-x", "./-x"), ("plain", "plain"),
])  # fmt: skip
def test_what_is_to_be_typed_next_is_safe_to_type(tmp_path: Path, folder: str, typed: str) -> None:
    done = run("new-plugin", "harbour-rules", f"--to={folder}", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert not {"\x1b", "\u202e"}.intersection(done.stdout)
    assert f"  python -m pytest {typed}\n" in done.stdout and len(done.stdout.splitlines()) == 4
    assert (tmp_path / folder / "pyproject.toml").is_file()
