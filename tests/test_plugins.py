"""Plugins: found without being loaded, loaded each in its guard, and never able to stop the others."""

from __future__ import annotations

import itertools
import sys
import textwrap
import types
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import attrs
import pytest
from kit import GROUND, UNCROSSED

import felt_engine
from felt_engine import (
    CONTRACT,
    Caution,
    Engine,
    Exporter,
    FibreEntry,
    Found,
    Plugins,
    Rule,
    Span,
    UseEntry,
    figures,
)  # fmt: skip
from felt_engine.checking.report import Report
from felt_engine.plugins import find

OURS = tuple(one.rule.id for one in Engine().rule_book.rules if one.package == "felt-engine")
NUMBERS = itertools.count()


# find ---------------------------------------------------------------------------------------------


def dist(folder: Path, name: str, entries: str | bytes | None, kind: str = "dist-info") -> None:
    """A made-up installed package."""
    info = folder / f"{name}.{kind}"
    info.mkdir(parents=True)
    if isinstance(entries, bytes):
        (info / "entry_points.txt").write_bytes(entries)
    elif entries is not None:
        (info / "entry_points.txt").write_text(textwrap.dedent(entries), encoding="utf-8")


def test_find_reads_a_folder_of_installed_packages(tmp_path: Path) -> None:
    dist(tmp_path, "tide_rules-2.1", "[felt_engine]\ntide = tide_rules\n")
    dist(
        tmp_path,
        "Shop.Rules-1.0",
        "[console_scripts]\nx = y:z\n\n[felt_engine]\nshop = shop.rules\n",
    )
    dist(tmp_path, "other-3.0", "[console_scripts]\nfelt_engine = y:z\n")
    dist(tmp_path, "bare-1.0", None)
    dist(tmp_path, "old-0.9", "[felt_engine]\nold = old_rules:HOOKS\n", kind="egg-info")
    dist(tmp_path, "broken-1.0", b"\xff\xfe[felt_engine]\nx = y\n")
    (tmp_path / "felt_plugin.py").write_text("raise SystemExit", encoding="utf-8")
    assert find([str(tmp_path)]) == (
        Found("old", "old_rules:HOOKS", "old", "0.9"),
        Found("shop", "shop.rules", "shop-rules", "1.0"),
        Found("tide", "tide_rules", "tide-rules", "2.1"),
    )


def test_entries_are_read_as_packaging_tools_write_them(tmp_path: Path) -> None:
    dist(
        tmp_path, "shop-1.0",
        """
        # felt_engine comment
        [felt_engine]
        ; another
        a=mod_a
          b  =  mod_b:hooks.inner  [extra]
        # c = mod_c

        [felt_engine.other]
        d = mod_d
        """,
    )  # fmt: skip
    found = find([str(tmp_path)])
    assert [(f.name, f.module) for f in found] == [("a", "mod_a"), ("b", "mod_b:hooks.inner")]


def test_a_package_seen_twice_counts_where_python_finds_it_first(tmp_path: Path) -> None:
    near, far = tmp_path / "near", tmp_path / "far"
    dist(near, "tide_rules-2.0", "[felt_engine]\ntide = tide_new\n")
    dist(far, "tide_rules-1.0", "[felt_engine]\ntide = tide_old\ngone = tide_gone\n")
    assert [(f.module, f.version) for f in find([str(near), str(far)])] == [("tide_new", "2.0")]
    assert len(find([str(far), str(near)])) == 2
    assert find([str(near), str(near)]) == find([str(near)])


def test_find_passes_over_what_is_no_folder(tmp_path: Path) -> None:
    file = tmp_path / "packed.zip"
    file.write_bytes(b"PK")
    assert find([str(file), str(tmp_path / "missing"), ""]) == find([""])


def test_find_loads_nothing(tmp_path: Path) -> None:
    dist(tmp_path, "tide_rules-2.1", "[felt_engine]\ntide = a_module_that_is_not_there\n")
    before = set(sys.modules)
    assert len(find([str(tmp_path)])) == 1
    assert not {n for n in set(sys.modules) - before if "not_there" in n}


def test_the_built_in_plugins_are_found_among_the_installed_ones() -> None:
    assert {f.name for f in find() if f.package == "felt-engine"} == {
        "felt_rules",
        "felt_exporters",
    }


# load ---------------------------------------------------------------------------------------------

BODY = """
import felt_engine

def judge(bench):
    yield bench.tip(bench.recipe.piece, "from {name}")

RULE = felt_engine.Rule({id!r}, "A rule", "1", "To try out.", judge)

@felt_engine.hook
def felt_engine_rules():
    return (RULE,)
"""


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., Found]]:
    """Writes modules that can be imported, each under a name of its own."""
    monkeypatch.syspath_prepend(str(tmp_path))
    made: list[str] = []

    def write(source: str, package: str = "shop") -> Found:
        name = f"plugin_on_trial_{next(NUMBERS)}"
        (tmp_path / f"{name}.py").write_text(source, encoding="utf-8")
        made.append(name)
        return Found(name, name, package, "7.1")

    yield write
    for name in made:
        sys.modules.pop(name, None)


def good(name: str = "house") -> str:
    return BODY.format(id=f"{name}-rule", name=name)


def run(*found: Found) -> Report:
    """A faulty recipe judged by the installed plugins, these, and a sound one after them."""
    return Engine(Plugins.load((*find(), *found))).check(UNCROSSED, name="ground")


HOOK = "import felt_engine\n@felt_engine.hook\ndef felt_engine_rules({}):\n    {}\n"

BAD = {
    "import error": ("import a_module_that_is_not_there", "ModuleNotFoundError"),
    "syntax error": ("def felt_engine_rules(:\n", "SyntaxError"),
    "exits at import": ("import sys\nsys.exit(0)", "it tried to end the program"),
    "raises at import": ("1 / 0", "ZeroDivisionError"),
    "null bytes": ("x = 1\0", "SyntaxError"),
    "wrong contract": (f"felt_engine_contract = {CONTRACT + 1}\n" + good(), "wants contract 2"),
    "contract of another kind": ("felt_engine_contract = 'one'\n" + good(), "wants contract 'one'"),
    "misspelt hook": (good().replace("felt_engine_rules", "felt_engine_rule"), "felt_engine_rule"),
    "hook with an argument": (HOOK.format("recipe", "return ()"), "recipe"),
    "hook raises": (HOOK.format("", "raise ValueError('no rules today')"), "no rules today"),
    "hook exits": (HOOK.format("", "raise SystemExit"), "it tried to end the program"),
    "hook runs too deep": (HOOK.format("", "return felt_engine_rules()"), "RecursionError"),
    "hook returns nothing": (HOOK.format("", "return None"), "TypeError"),
    "hook returns a number": (HOOK.format("", "return 3"), "TypeError"),
    "hook returns text": (HOOK.format("", "return 'rules'"), "handed over str, no Rule"),
    "hook hands over a class": (HOOK.format("", "return (felt_engine.Rule,)"), "no Rule"),
    "hook hands over a judge": (HOOK.format("", "return (print,)"), "no Rule"),
    "hook breaks off": (HOOK.format("", "yield 1 / 0"), "ZeroDivisionError"),
    "id with capitals": (BODY.format(id="House-Rule", name="x"), "is no id"),
    "id with a blank": (BODY.format(id="house rule", name="x"), "is no id"),
    "id is empty": (BODY.format(id="", name="x"), "is no id"),
    "id is a number": (BODY.format(id=7, name="x"), "is no id"),
    "id is a list": (BODY.format(id=["a"], name="x"), "is no id"),
    "taken id": (BODY.format(id="thin-layer", name="x"), "already taken by felt-engine"),
}


@pytest.mark.parametrize(("source", "reason"), BAD.values(), ids=BAD)
def test_a_bad_plugin_is_named_and_stops_nobody(
    shelf: Callable[..., Found], source: str, reason: str
) -> None:
    bad, sound = shelf(source, "shop"), shelf(good("sound"), "other-shop")
    report = run(bad, sound)
    (broke,) = report.not_judged
    assert (broke.package, broke.version) == ("shop", "7.1")
    assert reason in broke.reason and "\n" not in broke.reason
    assert report.exit_status() == 3
    assert set(report.judged) == {*OURS, "sound-rule"}
    assert "from sound" in [t.text for t in report.tips]
    assert [f.rule for f in report.findings] == ["direction-balance"]


def test_the_order_of_plugins_does_not_matter(shelf: Callable[..., Found]) -> None:
    kinds = ("import error", "misspelt hook", "hook raises", "taken id")
    found = [*find(), *(shelf(BAD[kind][0], f"shop-{kind[0]}") for kind in kinds), shelf(good())]
    one = Engine(Plugins.load(found)).check(GROUND)
    two = Engine(Plugins.load(list(reversed(found)))).check(GROUND)
    assert len(one.not_judged) == len(kinds)
    assert {n.package for n in one.not_judged if n.package != "felt-engine"} == {
        n.package for n in two.not_judged if n.package != "felt-engine"
    }
    assert one.judged == two.judged and one.findings == two.findings


def test_an_interrupt_at_import_passes(shelf: Callable[..., Found]) -> None:
    with pytest.raises(KeyboardInterrupt):
        run(shelf("raise KeyboardInterrupt"))


def test_two_owners_of_one_id_are_both_named(shelf: Callable[..., Found]) -> None:
    first, second = shelf(good(), "a-shop"), shelf(good(), "b-shop")
    report = run(first, second)
    (broke,) = report.not_judged
    assert (broke.what, broke.package) == ("house-rule", "b-shop")
    assert "a-shop" in broke.reason
    assert report.judged.count("house-rule") == 1


def test_a_module_listed_under_two_names_is_loaded_once(shelf: Callable[..., Found]) -> None:
    one = shelf(good())
    report = run(one, attrs.evolve(one, name="again"))
    assert report.not_judged == () and report.judged.count("house-rule") == 1


def test_an_attribute_of_a_module_may_be_named(shelf: Callable[..., Found]) -> None:
    source = good() + "\nclass HOOKS:\n    felt_engine_rules = staticmethod(felt_engine_rules)\n"
    found = shelf(source)
    report = run(attrs.evolve(found, module=f"{found.module}:HOOKS"))
    assert "house-rule" in report.judged and not report.not_judged
    missing = run(attrs.evolve(found, module=f"{found.module}:NOTHING"))
    assert "NOTHING" in missing.not_judged[0].reason


def test_several_hooks_in_one_plugin_fail_one_by_one(shelf: Callable[..., Found]) -> None:
    source = (
        good()
        + "\n@felt_engine.hook\ndef felt_engine_exporters():\n    raise OSError('no paper')\n"
    )
    made = Engine(Plugins.load((*find(), shelf(source))))
    assert set(made.exporters) >= {"text", "json"}
    report = made.check(GROUND)
    assert "house-rule" in report.judged
    assert ["no paper" in n.reason for n in report.not_judged] == [True]


def test_a_report_is_the_same_before_and_after_an_export(shelf: Callable[..., Found]) -> None:
    source = (
        "import felt_engine\n@felt_engine.hook\ndef felt_engine_exporters():\n    raise OSError\n"
    )
    made = Engine(Plugins.load((*find(), shelf(source))))
    before = made.check(GROUND)
    made.export(before, "text")
    assert made.check(GROUND) == before


# tables and exporters -----------------------------------------------------------------------------


def with_hooks(**hooks: Any) -> Plugins:
    """The installed plugins and one made on the spot."""
    plugins = Plugins.load()
    marked = {name: felt_engine.hook(function) for name, function in hooks.items()}
    plugins.register(types.SimpleNamespace(**marked), "shop:made", "shop", "7.1")
    plugins.pending()
    return plugins


FIBRE = FibreEntry("hare", "hair", Span(0.2, 0.5, 0.6), 1310.0, Span(14e-6, 17e-6, 20e-6))
USE = UseEntry("sail", 0.2, 0.5)


def test_a_plugin_adds_a_fibre_and_a_use() -> None:
    made = Engine(with_hooks(felt_engine_fibres=lambda: (FIBRE,), felt_engine_uses=lambda: (USE,)))
    text = GROUND.replace("use: picture ground", "use: sail").replace("merino", "hare")
    report = made.check(text)
    assert report.not_judged == () and report.judged == OURS
    with pytest.raises(felt_engine.RecipeError):
        felt_engine.check(text)


def test_a_plugin_corrects_a_fibre() -> None:
    """If merino did not felt at all, nothing in the ground would."""
    dead = FibreEntry("merino", "wool", Span(0.0, 0.0, 0.1), 1310.0, Span(15e-6, 20e-6, 24e-6))
    report = Engine(with_hooks(felt_engine_fibres=lambda: (dead,))).check(GROUND)
    (found,) = report.findings
    assert report.verdict == "fault" and found.rule == "treated-wool"
    assert "thin-layer" in {one.rule for one in found.explains}


UNSOUND = {
    "no name": attrs.evolve(FIBRE, name=None),
    "a list for a name": attrs.evolve(FIBRE, name=["hare"]),
    "other names are one text": attrs.evolve(FIBRE, also="lepus"),
    "other names are missing": attrs.evolve(FIBRE, also=None),
    "no span": attrs.evolve(FIBRE, felts=0.5),
    "no density": attrs.evolve(FIBRE, density=None),
    "a density of 0": attrs.evolve(FIBRE, density=0.0),
    "ends out of order": attrs.evolve(FIBRE, diameter=Span(20e-6, 17e-6, 14e-6)),
    "no number": attrs.evolve(FIBRE, felts=Span(0.0, float("nan"), 1.0)),
    "feltability beyond 1": attrs.evolve(FIBRE, felts=Span(0.0, 0.5, 80.0)),
    "a use": USE,
}


@pytest.mark.parametrize("entry", UNSOUND.values(), ids=UNSOUND)
def test_an_unsound_fibre_is_refused_and_stops_nobody(entry: Any) -> None:
    report = Engine(with_hooks(felt_engine_fibres=lambda: (entry,))).check(GROUND)
    (broke,) = report.not_judged
    assert broke.package == "shop" and report.judged == OURS


@pytest.mark.parametrize(
    "entry",
    [attrs.evolve(USE, name=3), attrs.evolve(USE, low="200"), attrs.evolve(USE, low=0.6),
     attrs.evolve(USE, also=None), attrs.evolve(USE, bare_caution=0.5), FIBRE],
    ids=["name", "low is text", "low above high", "also", "bare out of order", "a fibre"],
)  # fmt: skip
def test_an_unsound_use_is_refused_and_stops_nobody(entry: Any) -> None:
    report = Engine(with_hooks(felt_engine_uses=lambda: (entry,))).check(GROUND)
    (broke,) = report.not_judged
    assert broke.package == "shop" and report.judged == OURS


def test_a_plugin_adds_a_hazard_and_corrects_the_line_of_another() -> None:
    floor = Caution("wet floor", "Boards are slippery: mats down first.", "water", "ours")
    own = Caution("lanolin", "Raw wool is greasy: wash hands.", "raw wool", "ours")
    made = Engine(with_hooks(felt_engine_cautions=lambda: (floor, own)))
    text = GROUND + "readers: [children]\nwork: [{do: wet}]\ncautions: [{about: lanolin}]\n"
    report = made.check(text)
    said = " ".join(finding.do for finding in report.findings)
    assert report.not_judged == () and "mats down first" in said
    with pytest.raises(felt_engine.RecipeError, match="lanolin"):
        felt_engine.check(text)
    build = made.measure(made.load(text))
    assert figures.usual_caution("lanolin", build) == own.says
    assert figures.usual_caution("wet floor") != figures.usual_caution("wet floor", build)
    assert figures.usual_caution("blades", build) == figures.usual_caution("blades")
    with pytest.raises(ValueError, match="no hazard is called 'lanolin': there are "):
        figures.usual_caution("lanolin")


@pytest.mark.parametrize(
    "fields",
    [{"about": ""}, {"about": 3}, {"says": None}, {"says": " "}, {"says": "two\nlines"},
     {"when": None}, {"source": 3}],
    ids=str,
)  # fmt: skip
def test_an_unsound_caution_is_refused_and_stops_nobody(fields: dict[str, Any]) -> None:
    entry = attrs.evolve(Caution("lanolin", "Wash hands.", "raw wool", "ours"), **fields)
    report = Engine(with_hooks(felt_engine_cautions=lambda: (entry,))).check(GROUND)
    (broke,) = report.not_judged
    assert broke.package == "shop" and report.judged == OURS


def test_a_studio_file_keeps_what_plugins_add() -> None:
    own = Caution("lanolin", "Raw wool is greasy: wash hands.", "raw wool", "ours")
    plugins = with_hooks(felt_engine_cautions=lambda: (own,), felt_engine_uses=lambda: (USE,))
    made = Engine(plugins, studio="name: Saltgrass Felt\n")
    text = GROUND.replace("use: picture ground", "use: sail") + "cautions: [{about: lanolin}]\n"
    assert made.look(text).problems == ()


def test_a_plugin_adds_an_exporter() -> None:
    def render(reports: Any, sheet: Any) -> Iterator[str]:
        for report in reports:
            yield f"{report.title}: {report.verdict}"

    one = Exporter("slate", "One line a recipe.", render)
    made = Engine(with_hooks(felt_engine_exporters=lambda: (one,)))
    assert made.export(made.check(GROUND), "slate") == "Twelve inch ground: right"


def test_a_taken_exporter_name_is_refused() -> None:
    one = Exporter("text", "Not ours.", lambda reports, sheet: iter(("x",)))
    made = Engine(with_hooks(felt_engine_exporters=lambda: (one,)))
    assert made.export(made.check(GROUND), "text") != "x"
    assert any("already taken" in n.reason for n in made.plugins.broke)


@pytest.mark.parametrize("name", [None, 3, ["text"], ""])
def test_an_exporter_without_a_proper_name_is_refused(name: Any) -> None:
    one = Exporter(name, "Nameless.", lambda reports, sheet: iter(("x",)))
    made = Engine(with_hooks(felt_engine_exporters=lambda: (one,)))
    assert {"text", "json"} <= set(made.exporters) and name not in list(made.exporters)
    assert [n.package for n in made.plugins.broke] == ["shop"]


UNSOUND_RULES = {
    "limits are no limits": {"limits": (0.3,)},
    "limits are missing": {"limits": None},
    "purposes are one text": {"purposes": "thin"},
    "judge is nothing": {"judge": None},
    "title is nothing": {"title": None},
    "examples are texts": {"examples": ("piece: x",)},
}


@pytest.mark.parametrize("fields", UNSOUND_RULES.values(), ids=UNSOUND_RULES)
def test_an_unsound_rule_stops_nobody(fields: dict[str, Any]) -> None:
    plain = {"id": "house-rule", "title": "A rule", "since": "1", "purpose": "To try out.",
             "judge": lambda bench: ()}  # fmt: skip
    made = Engine(with_hooks(felt_engine_rules=lambda: (Rule(**{**plain, **fields}),)))
    report = made.check(GROUND)
    (broke,) = report.not_judged
    assert broke.package == "shop" and set(OURS) <= set(report.judged)
    assert "house-rule" not in report.judged
