"""Rules that are tried without being packaged: files and folders that the caller names, no others."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from kit import GROUND, run

from felt_engine import CallError, Engine

RULE = """
import felt_engine

def judge(bench):
    yield bench.tip(bench.recipe.piece, "from {name}")

@felt_engine.hook
def felt_engine_rules():
    return (felt_engine.Rule("{name}-rule", "Rule {name}", "1", "To try out.", judge),)
"""


def write(folder: Path, **texts: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in texts.items():
        (folder / f"{name}.py").write_text(text or RULE.format(name=name), encoding="utf-8")
    (folder / "ground.yaml").write_text(GROUND, encoding="utf-8")
    return folder


def tips(engine: Engine) -> list[str]:
    return [tip.text for tip in engine.check(GROUND).tips if tip.text.lower().startswith("from ")]


def test_a_file_beside_a_recipe_is_never_loaded(tmp_path: Path) -> None:
    trap = "open('sprung', 'w').close()\n" + RULE.format(name="trap")
    names = ("rules", "house", "conftest", "felt_plugin", "sitecustomize", "usercustomize", "yaml")
    write(tmp_path, **dict.fromkeys(names, trap))
    (tmp_path / "felt_rules").mkdir()
    (tmp_path / "felt_rules" / "__init__.py").write_text(trap, encoding="utf-8")
    for arguments in (("check", "ground.yaml"), ("check", "."), ("rules",)):
        done = run(*arguments, cwd=tmp_path)
        assert done.returncode == 0 and "trap" not in done.stdout
    assert not (tmp_path / "sprung").exists()


def test_several_may_be_named_for_check_and_for_rules(tmp_path: Path) -> None:
    write(tmp_path / "more", b="", c="")
    write(tmp_path, a="")
    named = ("--rule-file", "a.py", "--rule-file", "more")
    done = run("check", "ground.yaml", *named, cwd=tmp_path)
    assert done.returncode == 0 and done.stderr == ""
    assert all(f"from {name}" in done.stdout for name in "abc")
    listed = run("rules", *named, cwd=tmp_path)
    assert listed.returncode == 0
    for name in "abc":
        assert f"Rule {name} (from {name}.py)" in listed.stdout
    page = run("rules", "b-rule", *named, cwd=tmp_path)
    assert "From b.py, since release 1." in page.stdout


def test_the_call_takes_one_or_several(tmp_path: Path) -> None:
    write(tmp_path, a="", b="")
    assert tips(Engine(rule_files=tmp_path / "a.py")) == ["from a"]
    assert tips(Engine(rule_files=str(tmp_path / "a.py"))) == ["from a"]
    assert tips(Engine(rule_files=[tmp_path / "b.py", str(tmp_path / "a.py")])) == [
        "from a",
        "from b",
    ]
    twice = Engine(rule_files=[tmp_path / "a.py", tmp_path, tmp_path / "." / "a.py"])
    assert tips(twice) == ["from a", "from b"] and twice.broke == ()


def test_a_folder_stands_for_its_rule_files(tmp_path: Path) -> None:
    bad = "raise RuntimeError('loaded')"
    names = ("_helper", "test_a", "conftest")
    write(tmp_path, a="", b="", **dict.fromkeys(names, bad))
    (tmp_path / ".hidden.py").write_text(bad, encoding="utf-8")
    (tmp_path / "notes.txt").write_text(bad, encoding="utf-8")
    assert tips(engine := Engine(rule_files=tmp_path)) == ["from a", "from b"]
    assert engine.broke == ()


def test_each_file_of_a_folder_is_in_its_own_guard(tmp_path: Path) -> None:
    write(tmp_path, a="", b="1 / 0", c="")
    engine = Engine(rule_files=tmp_path)
    assert tips(engine) == ["from a", "from c"]
    assert [(b.what, b.owner) for b in engine.broke] == [("b.py", "b.py")]


def test_a_folder_that_is_a_package_is_loaded_whole(tmp_path: Path) -> None:
    package = write(tmp_path / "harbour_rules", one="")
    (package / "__init__.py").write_text(
        "from importlib import import_module\nfrom felt_engine import hook\n"
        "@hook\ndef felt_engine_rules():\n"
        "    return import_module(f'{__name__}.one').felt_engine_rules()\n",
        encoding="utf-8",
    )
    for named in (package, package / "__init__.py"):
        engine = Engine(rule_files=named)
        assert tips(engine) == ["from one"]
        owner = engine.rule_book.get("one-rule").owner  # type: ignore[union-attr]
        assert owner == "harbour_rules"


def test_a_rule_file_that_cannot_be_loaded_is_told_once(tmp_path: Path) -> None:
    (tmp_path / "long.py").write_text("#" * 1_000_001, encoding="utf-8")
    (broke,) = Engine(rule_files=tmp_path / "long.py").broke
    assert broke.told == "long.py: it has more than 1000 kB"


def test_a_rule_file_is_read_anew_and_leaves_nothing_behind(tmp_path: Path) -> None:
    file = write(tmp_path, a="") / "a.py"
    assert tips(Engine(rule_files=file)) == ["from a"]
    file.write_text(RULE.format(name="a").replace("from a", "FROM A"), encoding="utf-8")
    assert tips(Engine(rule_files=file)) == ["FROM A"]
    assert not (tmp_path / "__pycache__").exists()
    before = set(sys.modules)
    file.write_text("1 / 0", encoding="utf-8")
    Engine(rule_files=file)
    assert set(sys.modules) <= before


@pytest.mark.parametrize("name", ["hose.py", "no-folder"])
def test_one_that_is_not_there_is_a_wrong_call(tmp_path: Path, name: str) -> None:
    with pytest.raises(CallError, match="there is no rule file"):
        Engine(rule_files=tmp_path / name)
    write(tmp_path, a="")
    for command in (("check", "ground.yaml"), ("rules",)):
        done = run(*command, "--rule-file", name, cwd=tmp_path)
        assert done.returncode == 2 and done.stdout == "" and name in done.stderr


def test_a_folder_without_a_rule_file_breaks_down(tmp_path: Path) -> None:
    (tmp_path / "rules").mkdir()
    engine = Engine(rule_files=tmp_path / "rules")
    assert ["no rule file in this folder" in one.reason for one in engine.broke] == [True]
    assert engine.check(GROUND).exit_status() == 3


def test_rule_files_and_a_studio_file_go_together(tmp_path: Path) -> None:
    write(tmp_path, a="", b="")
    studio = tmp_path / "studio.yaml"
    studio.write_text(
        "name: Saltgrass Felt\nrule files: [b.py]\nrules: {a-rule: {switched off: enough said}}\n",
        encoding="utf-8",
    )
    assert tips(Engine(rule_files=tmp_path / "a.py", studio=studio)) == ["from b"]
    done = run(
        "check", "ground.yaml", "--rule-file", "a.py", "--studio", "studio.yaml", cwd=tmp_path
    )
    assert done.returncode == 0 and "from b" in done.stdout and "from a" not in done.stdout


def test_the_other_hooks_work_in_a_rule_file_too(tmp_path: Path) -> None:
    text = """
import felt_engine

@felt_engine.hook
def felt_engine_exporters():
    return [felt_engine.Exporter("slate", "A slate.", lambda reports, sheet: (r.title for r in reports))]

@felt_engine.hook
def felt_engine_cautions():
    return [felt_engine.Caution("lanolin", "Raw wool is greasy: wash hands.", "raw wool", "ours")]
"""
    write(tmp_path, tables=text)
    (tmp_path / "ground.yaml").write_text(
        GROUND + "cautions: [{about: lanolin}]\n", encoding="utf-8"
    )
    done = run("check", "ground.yaml", "--rule-file", "tables.py", "--as", "slate", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, "Twelve inch ground", "")
    assert run("check", "ground.yaml", cwd=tmp_path).returncode == 2
