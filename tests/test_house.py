"""Laws over the whole repository: arrows between rooms, light imports, true documents."""

from __future__ import annotations

import ast
import importlib
import json
import pickle
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest
from kit import GROUND, ROOT

import felt_engine

HEAVY = {"pint", "numpy", "jsonschema", "cattrs", "hypothesis", "json", "importlib.metadata",
         "dataclasses", "logging", "decimal", "difflib", "tempfile", "jinja2"}  # fmt: skip

ARROWS = {
    "value": set(),
    "errors": {"value", "plain_text"},
    "data": set(),
    "plain_text": set(),
    "suggest": {"plain_text"},
    "model": {"value", "errors"},
    "analysis": {"model", "errors", "value"},
    "declare": {"model", "errors", "value", "analysis.build", "checking.bench", "checking.report"},
    "checking": {"data.cautions", "declare", "analysis", "model", "errors", "value", "suggest"},
    "reading": {
        "model",
        "errors",
        "value",
        "data",
        "plain_text",
        "suggest",
        "analysis.grades",
        "analysis.geometry",
    },
    "figures": {"analysis", "data", "model", "value"},
    "installed": set(),
    "marks": {"", "installed"},
    "kept": {"errors", "marks", "whole_file"},
    "whole_file": set(),
    "interrupts": set(),
    "crew": {"errors", "workers"},
    "workers": {"", "api", "checking", "errors", "many", "marks", "model", "plugins"},
    "many": {
        "",
        "api",
        "beside",
        "checking",
        "crew",
        "errors",
        "kept",
        "marks",
        "model",
        "reading",
        "workers",
    },
    "plugins": {"declare", "checking", "value", "data.former_rules", "installed", "interrupts", ""},
    "beside": {"errors"},
    "studio": {
        "beside",
        "checking",
        "errors",
        "installed",
        "model",
        "plugins",
        "reading",
        "suggest",
        "",
    },
    "api": {
        "studio",
        "analysis",
        "beside",
        "crew",
        "kept",
        "many",
        "checking",
        "declare",
        "errors",
        "forecasting",
        "model",
        "plugins",
        "reading",
        "sizing",
        "suggest",
        "value",
        "",
    },
    "testing": {"", "hook"},
    "forecasting": {"analysis", "errors", "model", "value"},
    "sizing": {"analysis", "errors", "forecasting", "model", "reading", "suggest", "value"},
    "cli": {
        "analysis",
        "api",
        "beside",
        "checking",
        "crew",
        "declare",
        "errors",
        "forecasting",
        "kept",
        "many",
        "marks",
        "model",
        "plain_text",
        "reading",
        "sizing",
        "suggest",
        "cli",
        "whole_file",
        "interrupts",
        "",
    },
    "completion": {"api", "beside", "cli", "plugins"},
    "__main__": {"cli"},
}
"""What each room may import of ours; ``""`` is the package's front. Typing-only arrows count too."""


def modules() -> list[str]:
    found = pkgutil.walk_packages([str(ROOT / "felt_engine")], "felt_engine.")
    return sorted(m.name for m in found if not m.name.endswith("__main__"))


def imports(path: Path) -> set[str]:
    """Names of our modules that a file imports, without the package's own name."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            whole = node.module
            names.add(whole)
            if whole == "felt_engine":
                names.update(f"felt_engine.{a.name}" for a in node.names if a.name.islower())
        elif isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
    ours = {
        n.removeprefix("felt_engine").lstrip(".") for n in names if n.split(".")[0] == "felt_engine"
    }
    return {n for n in ours if not n.startswith("__")}


@pytest.mark.parametrize("path", sorted((ROOT / "felt_engine").rglob("*.py")), ids=str)
def test_arrows_between_rooms(path: Path) -> None:
    parts = path.relative_to(ROOT / "felt_engine").with_suffix("").parts
    if parts == ("__init__",):
        return
    room = parts[0]
    allowed = ARROWS[room] | {room}
    for name in imports(path):
        fits = any(name == a or (a and name.startswith(a + ".")) for a in allowed)
        assert fits, f"{path.name} of {room} imports {name or 'the front'}"


@pytest.mark.parametrize("path", sorted((ROOT / "plugins").rglob("*.py")), ids=str)
def test_plugins_use_public_names_only(path: Path) -> None:
    public = {
        "",
        "figures",
        "plain_text",
        "testing",
        *(n for n in felt_engine.__all__ if n.islower()),
    }
    extra = {"checking.plain", "checking.report"} if path.name == "json_report.py" else set()
    assert imports(path) <= public | extra


@pytest.mark.parametrize("name", modules())
def test_each_module_imports_alone(name: str) -> None:
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", f"import {name}"], capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


def loaded(code: str) -> set[str]:
    code += "\nimport sys; print('\\n'.join(sys.modules), file=sys.__stdout__)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True
    )
    return set(done.stdout.split())


def test_importing_the_package_loads_nothing_of_weight() -> None:
    found = loaded("import felt_engine")
    assert not found & (HEAVY | {"attrs", "yaml", "pluggy", "typing"})
    assert {n for n in found if n.startswith("felt_engine.")} == set()


def test_checking_a_right_recipe_loads_nothing_heavy(tmp_path: Path) -> None:
    file = tmp_path / "ground.yaml"
    file.write_text(GROUND, encoding="utf-8")
    code = (
        "import io, sys; sys.stdout = io.StringIO()\n"
        f"from felt_engine.cli.main import main\nassert main(['check', {str(file)!r}]) == 0"
    )
    found = loaded(code)
    assert "felt_rules.thin_layer" in found
    assert not found & HEAVY
    assert not {name for name in found if "studio" in name or name.endswith((".house", ".numbers"))}


def test_pint_is_there_on_request() -> None:
    pint = pytest.importorskip("pint")
    recipe = felt_engine.load(GROUND)
    amount = recipe.layers[0].placements[0].amount.to_pint()
    # 0.4 oz = 0.01133980925 kg (NIST SP 811, appendix B)
    assert amount.to("ounce").magnitude == pytest.approx(0.4, rel=1e-12)
    assert amount.check("[mass]") and isinstance(amount, pint.Quantity)
    weights = felt_engine.check(recipe).weights
    assert weights is not None
    assert weights.piece.to_pint().to("oz").magnitude == pytest.approx(1.45, rel=1e-8)


def test_every_public_name_is_there_sorted_and_documented() -> None:
    kinds = [(not n.isupper(), n[0].islower() or n[0] == "_", n) for n in felt_engine.__all__]
    assert kinds == sorted(kinds)
    for name in felt_engine.__all__:
        value = getattr(felt_engine, name)
        if name not in ("CONTRACT", "Said", "__version__", "hook"):
            assert value.__doc__, name
    assert set(dir(felt_engine)) == set(felt_engine.__all__)
    with pytest.raises(AttributeError):
        felt_engine.felt  # noqa: B018


@pytest.mark.parametrize("name", modules())
def test_every_public_function_and_class_is_documented(name: str) -> None:
    module = importlib.import_module(name)
    assert module.__doc__
    for thing in vars(module).values():
        title = getattr(thing, "__name__", "_")
        if getattr(thing, "__module__", None) == name and not title.startswith("_"):
            assert thing.__doc__, f"{name}.{title}"


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
def test_recipes_builds_and_reports_pickle(protocol: int) -> None:
    recipe = felt_engine.load(GROUND)
    report = felt_engine.check(recipe)
    assert pickle.loads(pickle.dumps(recipe, protocol)) == recipe
    assert pickle.loads(pickle.dumps(report, protocol)) == report
    build = pickle.loads(pickle.dumps(felt_engine.measure(recipe), protocol))
    assert build.weights == felt_engine.measure(recipe).weights
    assert [p.areal for p in build.places] == [p.areal for p in felt_engine.measure(recipe).places]
    error = felt_engine.RecipeError("x", (felt_engine.Problem("a", "b", "c"),))
    again = pickle.loads(pickle.dumps(error, protocol))
    assert again.problems == error.problems and str(again) == str(error)


def test_committed_schemas_are_what_the_code_says() -> None:
    from felt_engine.checking.report_schema import report_schema
    from felt_engine.reading.schema import recipe_schema

    for name, schema in (("recipe", recipe_schema()), ("report", report_schema())):
        text = (ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8")
        assert json.loads(text) == schema, f"run python -m for {name}"


def test_modules_stay_small() -> None:
    for path in [*(ROOT / "felt_engine").rglob("*.py"), *(ROOT / "plugins").rglob("*.py")]:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 600, path


def blocks(document: str, language: str) -> list[str]:
    text = (ROOT / document).read_text(encoding="utf-8")
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.DOTALL | re.MULTILINE)


@pytest.mark.parametrize(
    "code", [*blocks("README.md", "python"), *blocks("DEVELOPERS.md", "python")]
)
def test_python_in_the_documents_runs(code: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("text", blocks("README.md", "yaml"))
def test_recipes_in_the_readme_are_right(text: str) -> None:
    report = felt_engine.look(text)
    assert report.verdict == "right", (report.problems, report.findings)
    assert not report.unsaid


def test_the_studio_file_in_the_readme_is_right_and_its_keys_are_told() -> None:
    from felt_engine.reading.studio_shape import FIBRE, USE, studio_record

    (text,) = blocks("README.md", "yaml studio")
    made = felt_engine.Engine(studio=text).studio
    assert made is not None and len(made.rules) == 4 and len(made.fibres) == 2
    section = (ROOT / "README.md").read_text(encoding="utf-8").split("## The studio file")[1]
    section = section.split("\n## ")[0]
    for record in (studio_record(()), FIBRE, USE):
        for key in set(record.fields) - {"note", "format"}:
            assert f"`{key}`" in section, key


def test_the_readme_and_the_developers_page_name_what_there_is() -> None:
    from felt_engine.api import default_engine
    from felt_engine.plugins import Hooks

    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    developers = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for one in default_engine().rule_book.rules:
        assert f"`{one.rule.id}`" in readme
        for word in one.rule.purposes:
            assert f"`{word}`" in readme, (one.rule.id, word)
    for name in default_engine().exporters:
        assert f"`{name}`" in readme
    for option in ("--as", "--to", "--stop-at", "--studio"):
        assert option in readme
    for hook in (name for name in vars(Hooks) if name.startswith("felt_engine_")):
        assert f"`{hook}()`" in developers
    assert f"contract number {felt_engine.CONTRACT}" in developers
    assert felt_engine.__version__ in readme


def test_what_the_readme_shows_is_what_the_command_says() -> None:
    text = blocks("README.md", "yaml")[0]
    right = felt_engine.export(felt_engine.check(text, name="harbour-scarf.yaml"), "text")
    both_one_way = text.replace("direction: north-south", "direction: east-west")
    wrong = felt_engine.export(felt_engine.check(both_one_way), "text")
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = readme.split("    $ felt-engine check harbour-scarf.yaml\n")[1].split("## Writing")[0]
    lines = [line.strip() for line in shown.splitlines() if line.startswith("    ")]
    said = {line.strip() for line in (right + wrong).splitlines()}
    assert len(lines) > 12
    assert [line for line in lines if line and line not in said] == []
