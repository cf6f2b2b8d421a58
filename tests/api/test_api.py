"""The Python front: load, measure, check, look, export, and what they raise."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from kit import BROKEN, GROUND, UNCROSSED

import felt_engine
from felt_engine import CallError, Engine, RecipeError


def test_a_path_and_its_text_give_the_same_recipe(tmp_path: Path) -> None:
    file = tmp_path / "ground.yaml"
    file.write_text(GROUND, encoding="utf-8")
    by_path = felt_engine.load(file)
    assert by_path == felt_engine.load(GROUND) == felt_engine.load(str(file))
    assert by_path.source is not None and by_path.source.name == str(file)
    named = felt_engine.load(GROUND, name="shop/ground.yaml")
    assert named.source is not None and named.source.name == "shop/ground.yaml"


def test_flow_yaml_on_one_line_and_json_text_are_told_apart() -> None:
    flow = "{piece: {title: T, shape: round, laid out: 30 cm}, lots: {a: {fibre: merino}}, "
    flow += "layers: [{name: l, of: a, amount: 40 g}]}"
    recipe = felt_engine.load(flow)
    assert recipe.source is not None and recipe.source.door == "yaml"
    document = {
        "piece": {"title": "T", "shape": "round", "laid out": "30 cm"},
        "lots": {"a": {"fibre": "merino"}},
        "layers": [{"name": "l", "of": "a", "amount": "40 g"}],
    }
    again = felt_engine.load(json.dumps(document))
    assert again == recipe and again.source is not None and again.source.door == "json"


def test_check_raises_what_look_reports() -> None:
    with pytest.raises(RecipeError) as caught:
        felt_engine.check(BROKEN, name="broken.yaml")
    report = felt_engine.look(BROKEN, name="broken.yaml")
    assert report.problems == caught.value.problems
    assert report.verdict == "unreadable" and report.exit_status() == 2
    assert "broken.yaml, line 13, column 43" in str(caught.value)


def test_a_recipe_made_in_python_is_judged_without_lines() -> None:
    import attrs

    recipe = attrs.evolve(felt_engine.load(UNCROSSED), source=None)
    report = felt_engine.check(recipe)
    assert report.verdict == "fault"
    spot = report.findings[0].spot
    assert spot.pointer == "/layers/1" and spot.line is None
    assert "Fault in the layer “design”" in felt_engine.export(report, "text")


def test_a_placement_that_lies_nowhere_is_located() -> None:
    text = GROUND.replace(
        "layers:",
        'zones:\n  far: {shape: round, size: 2 cm, at: "90 cm east, 5 cm north"}\nlayers:',
    ).replace("amount: 0.65 oz", "amount: 0.65 oz, zone: far")
    with pytest.raises(RecipeError) as caught:
        felt_engine.check(text)
    (problem,) = caught.value.problems
    assert problem.pointer == "/layers/2" and problem.line == 16
    assert "no part lies on the piece" in problem.found


def test_measure_gives_si_figures() -> None:
    build = felt_engine.measure(felt_engine.load(GROUND))
    (face,) = build.faces
    # 12 in x 12 in = 0.09290304 m² and 1 oz = 28.349523125 g (NIST SP 811, appendix B)
    assert face.area == pytest.approx(0.09290304, rel=1e-12)
    assert build.weights.piece.kg == pytest.approx(1.45 * 0.028349523125, rel=1e-12)
    assert face.places[0].areal == pytest.approx(1.45 * 0.028349523125 / 0.09290304, rel=1e-12)


def test_an_unknown_exporter_gives_the_nearest_name() -> None:
    with pytest.raises(CallError, match='write "text"'):
        felt_engine.export(felt_engine.check(GROUND), "txet")


def test_an_engine_without_plugins_judges_nothing_and_says_so() -> None:
    from felt_engine import Plugins

    report = Engine(Plugins.load(())).look(GROUND)
    assert report.judged == () and report.exit_status() == 2 and report.verdict == "not judged"
