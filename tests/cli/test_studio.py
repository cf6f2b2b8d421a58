"""The studio file at work: found or named, judged by, and shown by every exporter."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from kit import GROUND, ROOT, UNCROSSED, run
from kit_rules import RULES

import felt_engine
from felt_engine import Engine, PluginMissing, RecipeError, StudioError, studio_beside
from felt_engine.checking.house import arranged, furnished
from felt_engine.checking.rulebook import RuleBook, Shelved
from felt_engine.model.studio import Studio

BASE = "name: Saltgrass Felt\n"
OFF = BASE + "rules: {halo-clash: {switched off: we look at every face ourselves}}\n"
QUIET = BASE + "rules: {direction-balance: {loudest: note}}\n"
HOUSE_RULE = """
import felt_engine

def judge(bench):
    yield bench.finding("note", bench.recipe.piece, "It has a name.", "Keep it.")

@felt_engine.hook
def felt_engine_rules():
    return (felt_engine.Rule("house-name", "Names", "1.0", "To try out.", judge),)
"""


def write(folder: Path, **texts: str) -> Path:
    folder.mkdir(exist_ok=True)
    for name, text in texts.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def report_of(folder: Path, *arguments: str) -> Any:
    done = run("check", *arguments, "--as", "json", cwd=folder)
    assert done.stderr == "", done.stderr
    return {one["name"]: one for one in json.loads(done.stdout)["reports"]}


# found and named ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["studio.yaml", "studio.yml", "studio.json"])
def test_a_studio_file_beside_the_recipe_is_found(tmp_path: Path, name: str) -> None:
    write(tmp_path, ground=UNCROSSED)
    text = json.dumps(
        {"name": "Saltgrass Felt", "rules": {"direction-balance": {"loudest": "note"}}}
    )
    (tmp_path / name).write_text(text if name.endswith("json") else QUIET, encoding="utf-8")
    for path in ("ground.yaml", "./ground.yaml", ".", str(tmp_path)):
        done = run("check", path, cwd=tmp_path)
        assert done.returncode == 0 and "Note in the layer “design”" in done.stdout, path
        assert f"Judged by the numbers of Saltgrass Felt ({name})." in " ".join(done.stdout.split())
        assert "Could not be read" not in done.stdout
    done = run("check", f"{tmp_path.name}/ground.yaml", cwd=tmp_path.parent)
    assert done.returncode == 0
    assert run("check", ".", "--studio", "none", cwd=tmp_path).returncode == 1


def test_the_named_file_holds_for_all_and_is_never_merged(tmp_path: Path) -> None:
    write(tmp_path, ground=UNCROSSED, studio=QUIET)
    write(tmp_path / "house", own=OFF, ground=UNCROSSED)
    found = report_of(tmp_path, "ground.yaml", "house/ground.yaml", "--studio", "house/own.yaml")
    for one in found.values():
        assert one["verdict"] == "fault"
        assert one["studio"]["file"] == "house/own.yaml"
        assert [o["rule"] for o in one["off"]] == ["halo-clash"]


def test_each_recipe_is_judged_by_the_file_in_its_own_folder(tmp_path: Path) -> None:
    write(tmp_path, a=UNCROSSED)
    write(tmp_path / "off", b=UNCROSSED, studio=OFF)
    write(tmp_path / "quiet", c=UNCROSSED, studio=QUIET.replace("Saltgrass", "Samphire"))
    found = report_of(tmp_path, ".")
    verdicts = {Path(name).name: one["verdict"] for name, one in found.items()}
    assert verdicts == {"a.yaml": "fault", "b.yaml": "fault", "c.yaml": "note"}
    names = [one["studio"] and one["studio"]["name"] for one in found.values()]
    assert names == [None, "Saltgrass Felt", "Samphire Felt"]
    one_by_one = report_of(tmp_path, "a.yaml", "off/b.yaml", "quiet/c.yaml")
    for name, one in one_by_one.items():
        assert {**found[f"./{name}"], "name": name} == one
    text = run("check", ".", cwd=tmp_path).stdout
    for line in (
        "1 recipe judged by no studio file.",
        "1 recipe judged by the numbers of Samphire",
    ):
        assert line in text


def test_a_folder_below_is_not_silently_left_without(tmp_path: Path) -> None:
    write(tmp_path, a=GROUND, studio=OFF)
    write(tmp_path / "below", b=GROUND)
    done = run("check", ".", cwd=tmp_path)
    assert done.returncode == 0
    assert "the studio file in . holds for that folder alone, and not for ./below" in done.stderr
    assert run("check", ".", "--studio", "studio.yaml", cwd=tmp_path).stderr == ""
    assert run("check", "a.yaml", "below/b.yaml", cwd=tmp_path).stderr == ""


def test_a_studio_file_is_no_recipe(tmp_path: Path) -> None:
    write(tmp_path, ground=GROUND, studio=OFF)
    assert len(report_of(tmp_path, ".")) == 1
    done = run("check", "studio.yaml", cwd=tmp_path)
    assert done.returncode == 2 and "a studio file" in done.stdout


def test_two_studio_files_in_one_folder_are_refused(tmp_path: Path) -> None:
    write(tmp_path, ground=GROUND, studio=OFF)
    (tmp_path / "studio.json").write_text("{}", encoding="utf-8")
    done = run("check", "ground.yaml", cwd=tmp_path)
    assert done.returncode == 2 and done.stdout == ""
    assert "studio.yaml and studio.json in one folder" in done.stderr


def test_a_studio_file_that_cannot_be_read_stops_before_anything_runs(tmp_path: Path) -> None:
    write(tmp_path, ground=GROUND)
    write(tmp_path / "b", ground=GROUND, studio=BASE + "rules: {thin-layr: {loudest: note}}\n")
    done = run("check", "ground.yaml", "b", cwd=tmp_path)
    assert done.returncode == 2 and done.stdout == ""
    assert "b/studio.yaml, line 2, column 9" in done.stderr
    assert 'write "thin-layer", if that is meant' in done.stderr
    for name in ("no-such-file.yaml", "b"):
        done = run("check", "ground.yaml", "--studio", name, cwd=tmp_path)
        assert done.returncode == 2 and done.stdout == "" and "a studio file" in done.stderr
    (tmp_path / "b" / "studio.yaml").unlink()
    (tmp_path / "b" / "studio.yaml").mkdir()
    done = run("check", "b", cwd=tmp_path)
    assert done.returncode == 2 and "found a folder" in done.stderr


def test_a_found_file_never_loads_code_and_a_named_one_may(tmp_path: Path) -> None:
    write(tmp_path, ground=GROUND, studio=BASE + "rule files: [house_rules.py]\n")
    trap = "open('ran', 'w').close()\n" + HOUSE_RULE
    (tmp_path / "house_rules.py").write_text(trap, encoding="utf-8")
    done = run("check", "ground.yaml", cwd=tmp_path)
    assert done.returncode == 2 and done.stdout == ""
    assert "line 2, column 13" in done.stderr and "--studio studio.yaml" in done.stderr
    assert not (tmp_path / "ran").exists()
    done = run("check", "ground.yaml", "--studio", "studio.yaml", cwd=tmp_path)
    assert done.returncode == 0 and "house-name" in done.stdout
    assert (tmp_path / "ran").exists()
    done = run("rules", "--studio", f"{tmp_path.name}/studio.yaml", cwd=tmp_path.parent)
    assert done.returncode == 0 and "house-name" in done.stdout


@pytest.mark.parametrize(
    ("source", "reason"),
    [("def (", "SyntaxError"), ("raise SystemExit", "end the program"), (None, "no file of this")],
)
def test_a_rule_file_that_breaks_down_is_named_and_stops_nobody(
    tmp_path: Path, source: str | None, reason: str
) -> None:
    write(tmp_path, ground=GROUND, own=BASE + "rule files: [mine.py]\n")
    if source is not None:
        (tmp_path / "mine.py").write_text(source, encoding="utf-8")
    done = run("check", "ground.yaml", "--studio", "own.yaml", cwd=tmp_path)
    assert done.returncode == 3 and f"{len(RULES)} rules looked at it" in done.stdout
    assert "mine.py" in done.stdout and reason in " ".join(done.stdout.split())
    (tmp_path / "own.yaml").write_text(
        BASE + "rule files: [mine.py]\nrules: {house-name: {loudest: note}}\n", encoding="utf-8"
    )
    done = run("check", "ground.yaml", "--studio", "own.yaml", cwd=tmp_path)
    assert done.returncode == 3 and done.stdout == "" and "mend the plugin first" in done.stderr
    assert reason in done.stderr


def test_a_missing_plugin_stops_everything_with_status_3(tmp_path: Path) -> None:
    needed = "needed plugins: [felt-engine, felt_rules, tide-rules, felt-ruls]\n"
    write(tmp_path, ground=GROUND, studio=BASE + needed)
    done = run("check", "ground.yaml", cwd=tmp_path)
    assert done.returncode == 3 and done.stdout == ""
    assert 'line 2, column 43: found the plugin "tide-rules", which is not installed' in done.stderr
    assert 'line 2, column 55: found the plugin "felt-ruls"' in done.stderr
    assert 'write "felt-rules", if that is meant' in done.stderr
    done = run("rules", "--studio", "studio.yaml", cwd=tmp_path)
    assert done.returncode == 3
    with pytest.raises(PluginMissing):
        Engine(studio=BASE + needed)
    assert Engine(studio=BASE + "needed plugins: [Felt.Engine]\n").studio is not None


# at work ------------------------------------------------------------------------------------------


def judged(studio: str, recipe: str = UNCROSSED) -> felt_engine.Report:
    return Engine(studio=studio).check(recipe, name="ground.yaml")


def limits(rule: str, **values: str) -> str:
    inner = ", ".join(f"{name.replace('_', '-')}: {value}" for name, value in values.items())
    return BASE + f"rules: {{{rule}: {{limits: {{{inner}}}}}}}\n"


def test_a_limit_decides_in_whatever_unit_it_is_written() -> None:
    """The uncrossed ground pulls |R| = 0.526."""
    assert judged(BASE).verdict == "fault"
    for text in ("0.6", "60 %", "3/5"):
        report = judged(limits("direction-balance", fault=text, caution=text, local=text))
        assert report.verdict == "right", text
    assert judged(limits("direction-balance", fault="0.5")).findings[0].level == "caution"


def test_lengths_in_other_units_judge_alike() -> None:
    """A bare strip of 3 cm: a seam if parts up to 4 cm are bridged by the fibre beside them."""
    text = GROUND.replace("layers:", "zones:\n  far: {shape: middle, width: 3 cm}\nlayers:")
    lines = [line if "- {name" not in line else line.replace("}", ", zone: far}")
             for line in text.splitlines()]  # fmt: skip
    bare = "\n".join(lines)
    assert "thin-layer" in [f.rule for f in felt_engine.check(bare).findings]
    seen = [
        judged(limits("thin-layer", narrow=narrow, narrow_part="1"), bare)
        for narrow in ("7.62 cm", "3 in", "76.2 mm", "1/4 ft")
    ]
    assert all(one.findings == seen[0].findings for one in seen)
    assert "thin-layer" not in [f.rule for f in seen[0].findings]
    values = {one.studio.limits[0].value for one in seen if one.studio}
    assert values == {0.0762}


@pytest.mark.parametrize(
    ("words", "level"),
    [("loudest: caution", "caution"), ("loudest: note", "note"), ("loudest: fault", "fault"),
     ("quietest: note", "fault"), ("loudest: caution, quietest: caution", "caution")],
)  # fmt: skip
def test_levels_are_capped_and_said(words: str, level: str) -> None:
    report = judged(BASE + f"rules: {{direction-balance: {{{words}}}}}\n")
    (finding,) = report.findings
    assert finding.level == level
    assert finding.rule_says == (None if level == "fault" else "fault")
    text = felt_engine.export(report, "text")
    assert ("The rule gives this as a fault" in text) == (level != "fault")


def test_levels_are_raised_and_then_stop() -> None:
    light = GROUND.replace("use: picture ground", "use: rug")
    assert felt_engine.check(light).exit_status() == 0
    report = judged(BASE + "rules: {weight-for-use: {quietest: fault}}\n", light)
    assert report.exit_status() == 1 and report.findings[0].rule_says == "caution"
    assert "The rule gives this as a caution" in felt_engine.export(report, "page")


def test_a_rule_that_is_off_is_listed_with_its_reason_and_who_says_so(tmp_path: Path) -> None:
    write(tmp_path, ground=GROUND, studio=OFF)
    done = run("check", "ground.yaml", cwd=tmp_path)
    assert done.returncode == 0
    assert f"{len(RULES) - 1} rules looked at it, 1 is switched off." in done.stdout
    assert "halo-clash, by studio.yaml: we look at every face ourselves" in done.stdout
    (one,) = report_of(tmp_path, "ground.yaml").values()
    assert one["off"] == [{"rule": "halo-clash", "why": "we look at every face ourselves",
                           "by": "studio.yaml"}]  # fmt: skip
    assert "halo-clash" not in one["judged"]
    run("check", ".", "--as", "page", "--to", "pages/", cwd=tmp_path)
    page = (tmp_path / "pages" / "ground.html").read_text(encoding="utf-8")
    assert "halo-clash, by studio.yaml: we look at every face ourselves" in page
    assert "Saltgrass Felt (studio.yaml)" in page
    text = run("check", "ground.yaml", "ground.yaml", cwd=tmp_path).stdout
    assert text.count("halo-clash, by studio.yaml") == 1


def test_a_recipe_may_still_name_what_is_off() -> None:
    recipe = GROUND + (
        "on purpose:\n  - {what: colours mix, why: marled}\n"
        "waivers:\n  - {rule: halo-clash, where: design, why: seen}\n"
    )
    words = next(r.rule.purposes for r in Engine().rule_book.rules if r.rule.id == "halo-clash")
    recipe = recipe.replace("colours mix", words[0])
    assert "waivers" in [f.rule for f in felt_engine.check(recipe).findings]
    assert judged(OFF, recipe).findings == ()


def test_all_rules_off_is_no_pass() -> None:
    rules = [one.rule.id for one in Engine().rule_book.rules]
    text = BASE + "rules:\n" + "".join(f"  {rule}: {{switched off: tired}}\n" for rule in rules)
    report = judged(text, GROUND)
    assert report.verdict == "not judged" and report.exit_status() == 2
    assert len(report.off) == len(rules)


def book(**since: str) -> RuleBook:
    def shelved(name: str, release: str, package: str) -> Shelved:
        rule = felt_engine.Rule(name.replace("_", "-"), "T", release, "P", lambda bench: ())
        return Shelved(rule, package, "9")

    return RuleBook(tuple(
        shelved(name, release.split()[0], [*release.split(), "felt-engine"][1])
        for name, release in sorted(since.items())
    ))  # fmt: skip


def test_as_of_leaves_newer_rules_out() -> None:
    rules = book(old="0.9.3", same="0.10", new="0.10.1", later="1.0.0", odd="someday",
                 tide_new="2.2 tide-rules", tide_old="2.0 tide-rules", other="9.0 other")  # fmt: skip
    made = arranged(rules, Studio("A", "s.yaml", as_of="0.10.0",
                                  plugins_as_of=(("tide-rules", "2.1"),)))  # fmt: skip
    assert [one.shelved.rule.id for one in made.resting] == ["later", "new", "tide-new"]
    assert made.resting[0].why == (
        "it is there since release 1.0.0, and the studio is as of 0.10.0"
    )
    assert [one.rule.id for one in made.rules] == ["odd", "old", "other", "same", "tide-old"]
    assert arranged(rules, Studio("A")).resting == ()


def test_as_of_an_older_release_rests_every_rule_and_says_so() -> None:
    report = judged(BASE + "as of: 0.0.9\n")
    rested = [one.rule for one in report.off if "since release" in one.why]
    assert set(rested) == {r.rule.id for r in Engine().rule_book.rules}


def test_own_fibres_and_uses_are_judged() -> None:
    studio = BASE + (
        "fibres: {dune: {like: merino, also: [dune wool]}}\n"
        "uses: {oar grip: {like: rug, weight: 300 to 600 g/m²}}\n"
    )
    recipe = GROUND.replace(
        "fibre: merino, preparation: combed", "fibre: dune wool, preparation: combed"
    )
    recipe = recipe.replace("use: picture ground", "use: oar grip")
    report = judged(studio, recipe)
    assert report.verdict == "right" and report.use == "oar grip"
    assert report.weights is not None
    assert [line.name for line in report.weights.by_fibre] == ["merino", "dune"]
    with pytest.raises(RecipeError):
        felt_engine.check(recipe)
    heavy = judged(studio.replace("300 to 600", "900 to 1200"), recipe)
    assert [f.rule for f in heavy.findings] == ["weight-for-use"]
    dead = judged(BASE + "fibres: {merino: {felts: 0}}\n", GROUND)
    assert dead.verdict == "fault"


def test_the_recipes_own_scale_step_and_readers_win() -> None:
    studio = Engine(studio=BASE + "scale step: 5 g\nreaders: [children]\n").studio
    assert studio is not None
    plain = felt_engine.load(GROUND)
    said = furnished(plain, studio)
    assert said.scale_step == studio.scale_step and said.readers == ("children",)
    assert (said.source, said.layers) == (plain.source, plain.layers)
    own = felt_engine.load(GROUND + "scale step: 1 g\nreaders: [own notes]\n")
    assert furnished(own, studio) == own
    assert judged(BASE + "scale step: 5 g\n").studio.scale_step == "5 g"  # type: ignore[union-attr]
    report = judged(BASE + "scale step: 5 g\n", GROUND + "scale step: 1 g\n")
    assert report.studio is not None and report.studio.scale_step is None
    assert Engine(studio=BASE + "scale step: 5 g\n").measure(plain).recipe.scale_step is not None


def test_a_scale_step_makes_a_fault_kinder() -> None:
    """|R| is 0.526 as weighed; a scale that shows 10 g may have weighed the layers alike."""
    assert judged(BASE).findings[0].level == "fault"
    coarse = judged(BASE + "scale step: 20 g\n")
    same = felt_engine.check(UNCROSSED + "scale step: 20 g\n")
    assert [f.level for f in coarse.findings] == [f.level for f in same.findings]
    assert [f.how for f in coarse.findings] == [f.how for f in same.findings]


def test_prices_and_stock_of_what_the_recipe_uses_are_reported() -> None:
    studio = BASE + (
        "prices: {merino: 4.80 EUR per 100 g, grey: 5 EUR per 100 g, silk: 9 EUR per 100 g}\n"
        "stock: {grey: 2 kg, mist: 1 kg}\n"
    )
    found = judged(studio).studio
    assert found is not None and found.notebook is None
    assert [(one.name, one.text) for one in found.prices] == [
        ("grey", "5 EUR per 100 g"), ("merino", "4.80 EUR per 100 g"),
    ]  # fmt: skip
    assert [(one.name, one.text) for one in found.stock] == [("grey", "2 kg")]


# pages --------------------------------------------------------------------------------------------


def test_a_rules_page_says_who_set_each_limit(tmp_path: Path) -> None:
    text = BASE + (
        "rules:\n  halo-clash:\n    switched off: we look ourselves\n"
        "    quietest: caution\n    limits: {seam: 1 in}\n"
    )
    write(tmp_path, studio=text)
    done = run("rules", "halo-clash", "--studio", "studio.yaml", cwd=tmp_path)
    assert done.returncode == 0
    flat = " ".join(done.stdout.split())
    assert "seam: 0.0254 m Set by studio.yaml, as 1 in; as it comes: 0.03 m." in flat
    assert "seam-part: 0.2 Set by felt-engine 0.1.0." in flat
    shelved = Engine().rule_book.get("halo-clash")
    assert shelved is not None
    assert done.stdout.count("Set by ") == len(shelved.rule.limits)
    assert "Switched off: we look ourselves." in flat
    assert "never less than a caution" in flat and "Saltgrass Felt (studio.yaml)" in flat
    done = run("rules", "--studio", "studio.yaml", cwd=tmp_path)
    assert "switched off by studio.yaml: we look ourselves" in done.stdout
    done = run("rules", "halo-clash", cwd=tmp_path)
    assert "Set by" not in done.stdout


def test_the_report_says_which_file_and_never_a_whole_path(tmp_path: Path) -> None:
    write(tmp_path, ground=GROUND, studio=OFF)
    (one,) = report_of(tmp_path, "ground.yaml", "--studio", str(tmp_path / "studio.yaml")).values()
    assert one["studio"]["file"] == "studio.yaml"
    (one,) = report_of(tmp_path, str(tmp_path / "ground.yaml")).values()
    assert one["studio"]["file"] == "studio.yaml"
    (one,) = report_of(tmp_path, "ground.yaml", "--studio", "./studio.yaml").values()
    assert one["studio"]["file"] == "./studio.yaml"


def test_an_unreadable_recipe_says_which_file_too(tmp_path: Path) -> None:
    report = Engine(studio=OFF).look("a: b\n")
    assert report.studio is not None and report.studio.name == "Saltgrass Felt"
    assert [one.rule for one in report.off] == ["halo-clash"]
    assert felt_engine.report_from_json(felt_engine.export(report, "json")) == (report,)


# in Python ----------------------------------------------------------------------------------------


def test_an_engine_with_a_studio_leaves_the_other_as_it_was(tmp_path: Path) -> None:
    plain = Engine()
    before = plain.check(UNCROSSED)
    (tmp_path / "mine.py").write_text(HOUSE_RULE, encoding="utf-8")
    (tmp_path / "s.yaml").write_text(QUIET + "rule files: [mine.py]\n", encoding="utf-8")
    made = plain.with_studio(tmp_path / "s.yaml")
    assert made.check(UNCROSSED).verdict == "note"
    assert "house-name" in made.check(UNCROSSED).judged
    assert plain.check(UNCROSSED) == before and plain.studio is None
    assert plain.broke == () and made.broke == ()


def test_one_studio_after_another_leaves_nothing_of_the_first() -> None:
    first = OFF + "fibres: {dune: {like: merino}}\nscale step: 5 g\n"
    both = Engine(studio=first).with_studio(QUIET)
    assert both.check(UNCROSSED, name="ground.yaml") == judged(QUIET)
    assert "dune" not in both.catalogue.fibres and both.rule_book.resting == ()


def test_python_looks_beside_a_recipe_only_when_asked(tmp_path: Path) -> None:
    write(tmp_path, ground=UNCROSSED, studio=QUIET)
    recipe = tmp_path / "ground.yaml"
    assert felt_engine.check(recipe).verdict == "fault"
    found = studio_beside(recipe)
    assert found == str(tmp_path / "studio.yaml") == studio_beside(tmp_path)
    assert Engine(studio=found).check(recipe).verdict == "note"
    assert studio_beside(tmp_path / "no" / "such.yaml") is None
    with pytest.raises(StudioError, match="only found"):
        Engine().with_studio(QUIET + "rule files: [a.py]\n", found=True)


def test_the_same_studio_gives_the_same_report_in_yaml_and_json() -> None:
    plain = {"name": "Saltgrass Felt", "rules": {"direction-balance": {"loudest": "note"}}}
    assert judged(json.dumps(plain)) == judged(QUIET)


def test_the_demo_studio_is_used_by_its_recipe() -> None:
    done = run("check", "recipes/saltgrass", cwd=ROOT)
    assert done.returncode == 0 and "Saltgrass Felt (studio.yaml)" in done.stdout
    assert "Nothing to mend" in done.stdout
    done = run("check", "recipes/saltgrass", "--studio", "none", cwd=ROOT)
    assert done.returncode == 2


@pytest.mark.parametrize("name", ["studio.yaml", "swatches.yml", "swatches.json"])
def test_what_has_the_name_of_another_file_is_told_so_from_standard_input_too(
    name: str, tmp_path: Path
) -> None:
    (tmp_path / name).write_text(GROUND, encoding="utf-8")
    file = run("check", name, cwd=tmp_path)
    told = subprocess.run(
        [sys.executable, "-P", "-m", "felt_engine", "check", "-", "--called", name],
        input=GROUND, capture_output=True, text=True, encoding="utf-8", cwd=tmp_path, timeout=60,
        check=False, env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    assert (file.returncode, told.returncode) == (2, 2)
    assert (file.stdout, file.stderr) == (told.stdout, told.stderr)
    says = "found a recipe; expected a studio file" if "studio" in name else "Found the name of a"
    assert says in file.stdout + file.stderr
