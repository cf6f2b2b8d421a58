"""The documents say what there is: every block of code, command, option, hook, field and limit."""

from __future__ import annotations

import argparse
import inspect
import os
import re
import shlex
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import attrs
import pytest
from kit import GROUND, ROOT, run

import felt_engine
from felt_engine import Bench, Engine, Plugins, testing
from felt_engine.cli import check, main, new_plugin
from felt_engine.plugins import HOOKS, Hooks

DOCUMENTS = {
    name: (ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md")
}
README, DEVELOPERS = DOCUMENTS.values()
FENCE = re.compile(r"^```([^\n]*)\n(.*?)^```", re.DOTALL | re.MULTILINE)
BLOCKS = [
    (name, kind, text) for name, whole in DOCUMENTS.items() for kind, text in FENCE.findall(whole)
]
TESTED = {
    "README.md": {"python", "yaml", "yaml studio", "yaml swatches"},
    "DEVELOPERS.md": {"python", "python test", "python bench", "toml"},
}
"""Kinds of blocks that a test runs; python and yaml in test_house.py, swatches with the notebook."""


def block(kind: str) -> str:
    (text,) = (text for name, one, text in BLOCKS if (name, one) == ("DEVELOPERS.md", kind))
    return text


def rows(title: str) -> list[list[str]]:
    """The rows of the table in DEVELOPERS.md with this head, cell by cell."""
    start = DEVELOPERS.index(f"| {title} |")
    table = DEVELOPERS[start:].split("\n\n")[0].splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in table]


def ticked(text: str) -> list[str]:
    return [one for part in re.findall(r"`([^`]+)`", text) for one in part.split(", ")]


def test_every_block_of_code_is_of_a_kind_that_is_tested() -> None:
    for name, kind, _ in BLOCKS:
        assert kind in TESTED[name], (name, kind)
    for name, kinds in TESTED.items():
        assert kinds == {kind for one, kind, _ in BLOCKS if one == name}


# commands -----------------------------------------------------------------------------------------


def commands() -> Iterator[tuple[str, str]]:
    """Lines that call the command or Python, in the documents, the help and the new package."""
    start = re.compile(
        r"^\s*(?:\$ )?(?:\.venv/bin/)?((?:felt-engine|python -m|python tests|bash) .*)$",
        re.MULTILINE,
    )
    starter = (ROOT / "felt_engine" / "starter" / "README.md.txt").read_text(encoding="utf-8")
    example = (ROOT / "plugins" / "example_studio" / "README.md").read_text(encoding="utf-8")
    texts = {
        **DOCUMENTS, "help": main.AFTER, "help of check": check.AFTER, "starter": starter,
        "help of new-plugin": new_plugin.AFTER, "example": example,
    }  # fmt: skip
    for name, text in texts.items():
        for line in start.findall(text):
            yield name, re.split(r"\s{2,}|\s+[#<]", line)[0]
    for name, text in DOCUMENTS.items():
        for line in re.findall(r"`((?:felt-engine|python -m|python tests|bash) [^`]+)`", text):
            yield name, " ".join(line.split())


COMMANDS = sorted(set(commands()))


@pytest.mark.parametrize(("name", "line"), COMMANDS)
def test_every_command_that_is_shown_can_be_given(name: str, line: str) -> None:
    words = shlex.split(line)
    if words[0] == "felt-engine":
        main._parser().parse_args(words[1:])
    elif words[0] == "bash" or words[1].startswith("tests"):
        assert (ROOT / words[1]).is_file(), line
    elif words[2] not in ("pip", "pytest"):
        __import__(words[2])


def test_enough_commands_were_found_to_mean_something() -> None:
    assert len(COMMANDS) > 25 and {name for name, _ in COMMANDS} >= {*DOCUMENTS, "help", "starter"}


def parsers() -> dict[str, argparse.ArgumentParser]:
    (action,) = (
        one for one in main._parser()._actions if isinstance(one, argparse._SubParsersAction)
    )
    return dict(action.choices)


@pytest.mark.parametrize("name", parsers())
def test_every_command_and_option_is_in_the_readme_and_has_help(name: str) -> None:
    assert f"felt-engine {name}" in README
    for action in parsers()[name]._actions:
        assert action.help, action
        for option in action.option_strings:
            if option not in ("-h", "--help"):
                assert re.search(rf"{option}(?![\w-])", README), option


# rules and hooks ----------------------------------------------------------------------------------


def test_every_hook_is_told_and_takes_what_is_told() -> None:
    told = {ticked(row[0])[0]: row[1] for row in rows("hook | hands over")}
    assert set(told) == {f"{name}()" for name in HOOKS}
    for name in HOOKS:
        assert list(inspect.signature(getattr(Hooks, name)).parameters) == ["self"]
        assert re.search(r"`\w+`s", told[f"{name}()"])
        kind = ticked(told[f"{name}()"])[0]
        assert kind in felt_engine.__all__


def test_every_field_of_what_is_handed_over_is_told() -> None:
    told = {ticked(row[0])[0]: ticked(row[1]) for row in rows("value | its fields")}
    second = DEVELOPERS.rindex("| value | its fields |")
    for line in DEVELOPERS[second:].split("\n\n")[0].splitlines()[2:]:
        name, fields = line.strip("|").split(" | ", 1)
        told[ticked(name)[0]] = ticked(fields)
    assert set(told) == {
        "Limit",
        "Example",
        "Figure",
        "Exporter",
        "FibreEntry",
        "UseEntry",
        "Caution",
    }
    for name, fields in told.items():
        real = {field.name for field in attrs.fields(getattr(felt_engine, name))}
        assert real <= set(fields), (name, real - set(fields))
    page = [ticked(row[0])[0] for row in rows("field | what it says")]
    assert page == [*dict.fromkeys(page)]
    assert set(page) == {field.name for field in attrs.fields(felt_engine.Rule)}


def test_the_bench_is_told_whole() -> None:
    bench = Bench(
        Engine().rule_book.rules[0].rule, felt_engine.measure(felt_engine.load(GROUND)), {}
    )
    told = {re.match(r"\w+", one)[0] for row in rows("member | what it is")  # type: ignore[index]
            for one in re.findall(r"`([^`]+)`", row[0])}  # fmt: skip
    real = {name for name in dir(bench) if not name.startswith("_")}
    assert told == real, told ^ real
    by_name = DEVELOPERS.split("`finding` also takes, by name:")[1].split("\n\n")[0]
    extra = [
        name for name, one in inspect.signature(bench.finding).parameters.items()
        if one.kind is one.KEYWORD_ONLY
    ]  # fmt: skip
    assert [name for name in ticked(by_name) if name in extra] == extra


def test_the_build_is_as_told() -> None:
    build = felt_engine.measure(felt_engine.load(GROUND))
    face = build.faces[0]
    place = face.places[0]
    laid = place.stack[0]
    found: dict[str, Any] = {
        "build": build, "face": face, "place": place, "laid": laid, "part": laid.parts[0],
    }  # fmt: skip
    items: dict[str, Any] = {
        "build.weights": build.weights, "build.faces": face, "face.places": place,
        "place.stack": laid, "laid.parts": laid.parts[0], "part.stuff": laid.parts[0].stuff,
    }  # fmt: skip
    start = DEVELOPERS.index("The build, from the whole to the fibre:")
    table = DEVELOPERS[start:].split("\n\n")[1].splitlines()[2:]
    seen = 0
    for line in table:
        head, text = line.strip("|").split(" | ", 1)
        owner, _, name = ticked(head)[0].partition(".")
        assert hasattr(found[owner], name), head
        known = items.get(ticked(head)[0])
        for one in re.findall(r"`(\w+)", text) if known is not None else ():
            inner = {"name", "kg", "how"} if name == "weights" else {"group", "luster", "film"}
            thing = build.weights.piece if name == "weights" else laid.parts[0].stuff.fibre
            assert hasattr(thing if one in inner and not hasattr(known, one) else known, one), one
            seen += 1
    assert seen > 25
    for name in ticked(DEVELOPERS.split("Words and figures are in")[1].split("\n\n")[0]):
        name = name.split("(")[0]
        if "." not in name and name not in ("unsaid", "build)"):
            assert hasattr(felt_engine.figures, name), name


def test_the_kit_is_told_whole() -> None:
    section = DEVELOPERS.split("### The test kit")[1].split("\n## ")[0]
    for name in testing.__all__:
        assert re.search(rf"`{name}\b", section), name
    assert [
        ticked(row[0])[0] for row in rows("law | what doesn't matter to a rule that keeps it")
    ] == [*testing.LAWS]
    for call in re.findall(r"`(\w+)\(([^)]*)\)", section):
        real = [*inspect.signature(getattr(testing, call[0])).parameters]
        told = [one.strip("* ") for one in call[1].split(",") if one.strip() != "…"]
        assert told == real[: len(told)], call


def test_the_contract_is_one_page_and_one_number() -> None:
    contract = DEVELOPERS.split("## The contract")[1]
    assert f"contract number {felt_engine.CONTRACT}" in contract
    assert f"felt_engine_contract = {felt_engine.CONTRACT}" in contract
    assert "FELT_ENGINE_TRACE" in contract and "FELT_ENGINE_TRACE" in README
    assert "os._exit" in contract and "never returns" in contract
    from felt_engine import plugins

    assert plugins.__doc__ and all(
        word in plugins.__doc__
        for word in ("Promised", "Not promised", "os._exit", "never returns")
    )


def test_every_limit_is_told_in_the_schema_that_editors_show() -> None:
    engine = Engine(Plugins.built_in())
    defs = engine.studio_schema()["$defs"]
    for shelved in engine.rule_book.rules:
        for limit in shelved.rule.limits:
            told = defs[f"limits of {shelved.rule.id}"]["properties"][limit.name]["description"]
            assert limit.about[1:] in told and "As it comes:" in told


# the ten minutes ----------------------------------------------------------------------------------


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """What an author has who follows the page: a rule file and its tests."""
    (tmp_path / "house.py").write_text(block("python"), encoding="utf-8")
    (tmp_path / "test_house.py").write_text(block("python test"), encoding="utf-8")
    return tmp_path


def test_the_rule_of_the_page_can_be_tried_as_a_file(house: Path) -> None:
    namespace: dict[str, Any] = {}
    exec(block("python"), namespace)
    (house / "mat.yaml").write_text(namespace["MAT"], encoding="utf-8")
    done = run("check", "mat.yaml", "--rule-file", "house.py", "--stop-at", "caution", cwd=house)
    assert done.returncode == 1 and done.stderr == "" and "150.0 g (5.29 oz)" in done.stdout
    page = run("rules", "carder-load", "--rule-file", "house.py", cwd=house)
    assert page.returncode == 0 and "From house.py, since" in page.stdout


def test_the_tests_of_the_page_are_green_and_notice_a_slip(house: Path) -> None:
    call = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
    done = subprocess.run(call, cwd=house, capture_output=True, text=True, check=False)
    assert done.returncode == 0 and "12 passed" in done.stdout, done.stdout
    text = (house / "house.py").read_text(encoding="utf-8")
    (house / "house.py").write_text(text.replace("weight.kg > most", "weight.kg >= most"), "utf-8")
    done = subprocess.run(call, cwd=house, capture_output=True, text=True, check=False)
    assert done.returncode == 1 and ">> caution: “below” weighs 60.0 g" in done.stdout


def test_a_tried_rule_goes_into_a_new_package_as_the_page_says(house: Path) -> None:
    assert run("new-plugin", "harbour-rules", cwd=house).returncode == 0
    package = house / "harbour-rules" / "harbour_rules"
    (package / "house.py").write_text(
        block("python").split("@felt_engine.hook")[0].replace("import felt_engine\n", "", 1),
        "utf-8",
    )
    init = (package / "__init__.py").read_text(encoding="utf-8")
    assert 'FILES = ("carder_load",)' in init
    (package / "__init__.py").write_text(init.replace('"carder_load"', '"house"'), "utf-8")
    (package / "carder_load.py").unlink()
    tests = block("python test").replace(
        "import house\n", "import harbour_rules\nfrom harbour_rules import house\n"
    )
    tests = tests.replace("rule_tests(house)", "rule_tests(harbour_rules)")
    (package.parent / "tests" / "test_plugin.py").write_text(tests, encoding="utf-8")
    path = os.pathsep.join((str(package.parent), os.environ.get("PYTHONPATH", "")))
    call = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
    done = subprocess.run(
        call, cwd=package.parent, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": path},
    )  # fmt: skip
    assert done.returncode == 0 and "12 passed" in done.stdout, done.stdout


def test_the_piece_of_a_rule_on_the_page_works() -> None:
    text = GROUND.replace("of: grey, amount: 0.65 oz", "of: tussah, amount: 0.65 oz").replace(
        "layers:", "  tussah: {fibre: tussah silk, preparation: combed top}\nlayers:"
    )
    build = felt_engine.measure(felt_engine.load(text))
    names: dict[str, Any] = {"bench": Bench(Engine().rule_book.rules[0].rule, build, {})}
    exec(block("python bench"), names)
    assert names["shining"] == {"tussah"}


def test_the_entry_point_on_the_page_is_the_one_that_is_written(tmp_path: Path) -> None:
    assert run("new-plugin", "harbour-rules", cwd=tmp_path).returncode == 0
    written = tomllib.loads((tmp_path / "harbour-rules" / "pyproject.toml").read_text("utf-8"))
    shown = tomllib.loads(block("toml"))["project"]["entry-points"]
    assert written["project"]["entry-points"] == shown
