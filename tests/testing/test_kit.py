"""The public test kit: it lets through what is right, and fails on each thing that isn't."""

from __future__ import annotations

import importlib
import sys
import types
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import attrs
import pytest
from kit import ROOT
from kit_rules import RULES

import felt_engine
from felt_engine import (
    Bench,
    Caution,
    Engine,
    Example,
    Exporter,
    FibreEntry,
    Figure,
    Limit,
    Plugins,
    Rule,
    Span,
    UseEntry,
    hook,
)  # fmt: skip
from felt_engine.testing import (
    LAWS,
    SHELF,
    advises,
    asks,
    checks,
    drawn,
    engine_of,
    finds,
    heard,
    keeps_law,
    laid,
    recipe,
    rule_tests,
    stays_silent,
)  # fmt: skip

EVERY = [one.rule for one in Engine(Plugins.built_in()).rule_book.rules]
THIN = next(rule for rule in EVERY if rule.id == "thin-layer")
BALANCE = next(rule for rule in EVERY if rule.id == "direction-balance")
CROSSED = (laid("white top", "60 g/m²", "north-south"), laid("white top", "60 g/m²", "east-west"))
ONE_WAY = (laid("white top", "60 g/m²", "north-south"), laid("blue top", "60 g/m²", "north-south"))


def rule(judge: Callable[[Bench], Iterable[Any]], **more: Any) -> Rule:
    return Rule("house-rule", "A rule", "1", "To try out.", judge, **more)


def saying(*makers: Callable[[Bench], Any], **more: Any) -> Rule:
    return rule(lambda bench: [maker(bench) for maker in makers], **more)


def finding(level: str = "caution", message: str = "Too blue.") -> Callable[[Bench], Any]:
    return lambda bench: bench.finding(level, bench.recipe.layers[0], message, "Lay white.")


# builders -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SHELF)
def test_every_lot_of_the_shelf_can_be_laid(name: str) -> None:
    report = felt_engine.look(recipe(laid(name, "40 g", "north-south")))
    assert not report.problems


def test_a_recipe_is_what_a_person_would_write() -> None:
    text = recipe(
        laid("mix", "20 g", role="cover", name="face", of_no_use=None) | {"note": "x"},
        laid("own", "1 oz", "around", turned_in="1 cm"),
        use=None, size="40 cm across", shape="round", scale_step="1 g", readers=["children"],
        lots={"own": {"fibre": "silk"}}, blends={"mix": {"silk": "40 %", "white top": "60 %"}},
        on_purpose=[{"what": "thin", "why": "so"}],
    )  # fmt: skip
    text = text.replace("  of no use: null\n", "")
    made = felt_engine.load(text)
    assert made.piece.use is None and made.piece.shape == "round"
    assert [layer.name for layer in made.layers] == ["face", "layer 2"]
    assert {lot.name for lot in made.lots} == {"own", "silk", "white top"}
    assert made.scale_step is not None and made.readers == ("children",)
    assert made.purposes[0].what == "thin" and "&id" not in text and "*id" not in text


def test_drawn_recipes_are_the_same_each_time_and_can_all_be_read() -> None:
    texts = list(drawn(60))
    assert texts == list(drawn(60)) and texts != list(drawn(60, seed=2))
    assert texts[:10] == list(drawn(10))
    said: set[tuple[str, str]] = set()
    for text in texts:
        report = felt_engine.look(text)
        assert not report.problems, (report.problems, text)
        said |= {(f.rule, f.level) for f in report.findings} | {
            (u.rule, "?") for u in report.unsaid
        }
    assert len({rule for rule, _ in said}) >= 7 and {"fault", "caution", "?"} <= {
        s for _, s in said
    }


# assertions ---------------------------------------------------------------------------------------


def test_what_is_so_passes() -> None:
    stays_silent(BALANCE, recipe(*CROSSED))
    (found,) = finds(BALANCE, recipe(*ONE_WAY), "fault", says="north-south")
    assert found.rule == BALANCE.id
    finds(BALANCE, recipe(*ONE_WAY), "fault", about=found.spot.pointer)
    lot = {"mist": {"fibre": "merino", "preparation": "combed top"}}
    unsure = recipe(laid("mist", "80 g/m²", "random"), lots=lot, use="picture ground")
    (asked,) = asks(THIN, unsure, about="mist", says="fineness")
    assert asked.rule == THIN.id
    tips = saying(lambda bench: bench.tip(bench.recipe.piece, "Sing."), finding())
    (tip,) = advises(tips, recipe(*CROSSED), about="/piece", says="Sing")
    assert tip.text == "Sing."
    stays_silent(saying(lambda bench: bench.tip(bench.recipe.piece, "Sing.")), recipe(*CROSSED))


WRONG: dict[str, tuple[Callable[[], object], str]] = {
    "silent where it was to find": (
        lambda: finds(BALANCE, recipe(*CROSSED), "fault"), "finds nothing; a fault was expected",
    ),
    "another level": (
        lambda: finds(BALANCE, recipe(*ONE_WAY), "caution"), "finds fault; caution was expected",
    ),
    "another thing": (
        lambda: finds(BALANCE, recipe(*ONE_WAY), "fault", about="layer 7"),
        "finds nothing about “layer 7”",
    ),
    "other words": (
        lambda: finds(BALANCE, recipe(*ONE_WAY), "fault", says="moon"), "doesn't say “moon”",
    ),
    "two levels": (
        lambda: finds(saying(finding("fault"), finding("note")), recipe(*CROSSED), "fault"),
        "finds fault, note; fault was expected",
    ),
    "not silent": (lambda: stays_silent(saying(finding()), recipe(*CROSSED)), "isn't silent"),
    "asks where it was to be silent": (
        lambda: stays_silent(saying(lambda b: b.unsaid(b.recipe.piece, "more")), recipe(*CROSSED)),
        "asks for more",
    ),
    "asks for nothing": (lambda: asks(BALANCE, recipe(*CROSSED)), "asks for nothing"),
    "asks for something else": (
        lambda: asks(saying(lambda b: b.unsaid(b.recipe.piece, "more")), recipe(*CROSSED), says="less"),
        "asks for nothing with “less”",
    ),
    "finds where it was to ask": (lambda: asks(saying(finding()), recipe(*CROSSED)), "was to ask"),
    "no tip": (lambda: advises(BALANCE, recipe(*CROSSED)), "gives no tip"),
    "breaks down": (lambda: stays_silent(rule(lambda b: 1 / 0), recipe(*CROSSED)), "ZeroDivision"),
    "a recipe that can't be read": (
        lambda: stays_silent(BALANCE, recipe(laid("moss", "2 g"))), "line",
    ),
    "an id that is taken": (
        lambda: stays_silent(attrs.evolve(THIN, title="Mine"), recipe(*CROSSED)), "already taken",
    ),
    "a module without hooks": (
        lambda: stays_silent(BALANCE, recipe(*CROSSED), types.ModuleType("bare")), "has no hook",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("act", "says"), WRONG.values(), ids=WRONG)
def test_what_is_not_so_fails(act: Callable[[], object], says: str) -> None:
    with pytest.raises(AssertionError) as caught:
        act()
    assert says in str(caught.value)


def test_a_failure_shows_the_finding_in_the_recipe_at_its_line() -> None:
    text = recipe(*CROSSED)
    with pytest.raises(AssertionError) as caught:
        stays_silent(saying(finding()), text)
    lines = str(caught.value).splitlines()
    at = lines.index("  >> caution: Too blue.")
    assert lines[at - 1] == "  - name: layer 1"
    assert [line[2:] for line in lines[1:] if not line.startswith("  >>")] == text.splitlines()


def test_what_a_waiver_accepts_is_silence_and_stays_to_be_seen() -> None:
    waiver = [{"rule": "house-rule", "where": "layer 1", "why": "we like it"}]
    text = recipe(*CROSSED, waivers=waiver)
    stays_silent(saying(finding()), text)
    assert len(heard(saying(finding()), text).findings) == 1


def test_what_is_told_under_its_cause_is_found_all_the_same() -> None:
    effect = saying(finding("note"), explained_by=("direction-balance",))
    cause = saying(
        lambda bench: bench.finding("fault", bench.recipe.layers[0], "m", "d"),
    )
    cause = attrs.evolve(cause, id="cause")
    effect = attrs.evolve(effect, explained_by=("cause",))
    report = heard(effect, recipe(*CROSSED), cause).report
    assert "house-rule" not in {f.rule for f in report.findings}
    finds(effect, recipe(*CROSSED), "note", cause, about="layer 1")


def test_a_studio_file_holds_in_the_kit() -> None:
    quiet = "name: Saltgrass Felt\nrules: {direction-balance: {loudest: note}}\n"
    finds(BALANCE, recipe(*ONE_WAY), "note", studio=quiet)


def test_only_what_is_named_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    stranger = felt_engine.Found("x", "a_module_that_is_not_there", "shop", "1")
    monkeypatch.setattr("felt_engine.plugins.find", lambda paths=None: (stranger,))
    assert Engine().broke
    engine = engine_of()
    assert engine.broke == () and {one.rule.id for one in engine.rule_book.rules} == set(RULES)


# laws ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("one", EVERY, ids=lambda one: one.id)
def test_built_in_rules_keep_the_laws_that_they_declare(one: Rule) -> None:
    texts = [*(example.text for example in one.examples), *drawn(40)]
    for law in one.laws:
        assert keeps_law(one, law, texts) >= 5, law


def as_typed(bench: Bench) -> Iterator[Any]:
    """Reads what was typed."""
    for layer in bench.recipe.layers:
        if "g" in layer.placements[0].amount.unit:
            yield bench.finding("note", layer, "In grams.", "Fine.")


def wide(bench: Bench) -> Iterator[Any]:
    """Knows where east is."""
    size = bench.recipe.piece.laid_out
    if size is not None and size.depth is not None and size.width.si > size.depth.si:
        yield bench.finding("note", bench.recipe.piece, "Wide.", "Turn it.")


def large(bench: Bench) -> Iterator[Any]:
    if bench.build.weights.piece.kg > 0.1:
        yield bench.finding("note", bench.recipe.piece, "Heavy.", "Fine.")


def single(bench: Bench) -> Iterator[Any]:
    for layer in bench.recipe.layers:
        if len(layer.placements) == 1:
            yield bench.finding("note", layer, "One amount.", "Fine.")


def first(bench: Bench) -> Iterator[Any]:
    for layer in bench.recipe.layers:
        yield bench.finding("note", layer.placements[0], "First of all.", "Fine.")


def says_units(bench: Bench) -> Iterator[Any]:
    amount = bench.recipe.layers[0].placements[0].amount
    yield bench.finding("note", bench.recipe.piece, f"There is {amount.text}.", "Fine.")


LAWLESS = {
    "units": as_typed, "quarter turn": wide, "scaling": large, "splitting": single,
    "order of placements": first,
}  # fmt: skip


@pytest.mark.parametrize("law", LAWS)
def test_a_rule_that_breaks_a_law_is_caught_by_that_law(law: str) -> None:
    bad = rule(LAWLESS[law])
    with pytest.raises(AssertionError, match=f"doesn't keep the law of {law}"):
        keeps_law(bad, law, drawn(30))
    for other in set(LAWS) - {law}:
        if (law, other) not in {("units", "splitting"), ("splitting", "units")}:
            assert keeps_law(rule(LAWLESS[law]), other, drawn(30)) or other == law


def test_words_as_typed_break_the_law_of_units() -> None:
    with pytest.raises(AssertionError, match="law of units"):
        keeps_law(rule(says_units), "units", drawn(10))


def test_a_law_that_there_is_not_is_an_error() -> None:
    with pytest.raises(AssertionError, match="there is no law “gravity”"):
        keeps_law(BALANCE, "gravity", drawn(1))


# checks -------------------------------------------------------------------------------------------

SILENT = Example("silent", recipe(*CROSSED))
FIRES = Example("fires", recipe(laid("blue top", "60 g/m²", "random")), "caution")


def blue(bench: Bench) -> Iterator[Any]:
    for layer in bench.recipe.layers:
        if layer.placements[0].of == "blue top":
            yield bench.finding("caution", layer, "Too blue.", "Lay white.")


GOOD = rule(blue, examples=(FIRES, SILENT), limits=(Limit("most", 1.0, "g", "most", "ours"),))
COUNTER = iter(range(10**9))

FAULTY: dict[str, tuple[Any, str]] = {
    "no example fires": (attrs.evolve(GOOD, examples=(SILENT,)), "an example that finds something"),
    "too few are silent": (attrs.evolve(GOOD, examples=(FIRES,)), "at least as many are to stay"),
    "two titles": (
        attrs.evolve(GOOD, examples=(FIRES, SILENT, SILENT)), "two examples have one title",
    ),
    "no title": (attrs.evolve(GOOD, title=""), "title is to be a text"),
    "a limit without a source": (
        attrs.evolve(GOOD, limits=(Limit("most", 1.0, "g", "most", ""),)), "lacks its source",
    ),
    "a law that isn't": (attrs.evolve(GOOD, laws=("gravity",)), "there is no law “gravity”"),
    "a law that it breaks": (attrs.evolve(GOOD, laws=("units",), judge=lambda bench: [
        *blue(bench), *as_typed(bench)]), "doesn't keep the law of units"),
    "an example that isn't so": (
        attrs.evolve(GOOD, examples=(SILENT, attrs.evolve(FIRES, finds="fault"))),
        "finds caution; fault was expected",
    ),
    "an example that isn't silent": (
        attrs.evolve(GOOD, examples=(FIRES, attrs.evolve(FIRES, title="b", finds=None))),
        "isn't silent",
    ),
    "breaks down on some recipe": (
        attrs.evolve(GOOD, judge=lambda bench: [*blue(bench), bench.build.faces[0].places[3]][:-1]),
        "broke down",
    ),
    "says another thing each time": (
        attrs.evolve(GOOD, judge=lambda bench: [
            *blue(bench), bench.tip(bench.recipe.piece, str(next(COUNTER)))]),
        "says two things of one recipe",
    ),
    "an exporter that fails on an unreadable recipe": (
        Exporter("slate", "x", lambda reports, sheet: (str(r.weights.piece) for r in reports)),
        "the exporter slate",
    ),
    "an exporter that varies": (
        Exporter("slate", "x", lambda reports, sheet: (str(next(COUNTER)) for _ in [*reports, 1])),
        "slate varies",
    ),
    "a fibre without a source": (
        FibreEntry("hare", "hair", Span(0.2, 0.5, 0.6), 1310.0, Span(14e-6, 17e-6, 20e-6)),
        "say where its figures come from",
    ),
    "a use without a source": (UseEntry("sail", 0.2, 0.5), "say where its figures come from"),
    "a caution without a source": (Caution("lanolin", "Wash.", "raw wool", ""), "its source"),
    "one that is refused": (attrs.evolve(GOOD, id="Big"), "is no id"),
    "nothing at all": (None, "there is nothing to check"),
}  # fmt: skip


def failures(*things: Any) -> list[str]:
    found = []
    for _, check in checks(*things):
        try:
            check()
        except AssertionError as error:
            found.append(str(error))
        except felt_engine.FeltError as error:
            found.append(str(error))
    return found


def test_a_good_rule_passes_every_check() -> None:
    assert failures(GOOD) == []
    assert [name for name, _ in checks(GOOD)] == [
        "it loads", "house-rule: its page is filled in", "house-rule: fires", "house-rule: silent",
        "house-rule judges any recipe",
    ]  # fmt: skip


@pytest.mark.parametrize(("thing", "says"), FAULTY.values(), ids=FAULTY)
def test_a_faulty_plugin_fails_the_check_that_is_for_it(thing: Any, says: str) -> None:
    found = failures(*([] if thing is None else [thing]))
    assert found and any(says in text for text in found), found


def test_rule_tests_is_one_test_with_a_name_for_each_check() -> None:
    made = rule_tests(GOOD)
    (mark,) = made.pytestmark
    assert [parameter.id for parameter in mark.args[1]] == [name for name, _ in checks(GOOD)]


test_good = rule_tests(GOOD)


def test_the_kit_imports_pytest_only_for_rule_tests() -> None:
    import subprocess

    code = (
        "import sys, felt_engine.testing as t\nlist(t.drawn(2)); t.checks()\n"
        "assert not {'pytest', 'hypothesis', 'numpy', 'pint'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


# the example package ------------------------------------------------------------------------------


@pytest.fixture
def saltgrass(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.syspath_prepend(str(ROOT / "plugins" / "example_studio" / "src"))
    yield importlib.import_module("saltgrass_studio")
    for name in [n for n in sys.modules if n.split(".")[0] == "saltgrass_studio"]:
        del sys.modules[name]


def test_the_example_studio_uses_every_hook_and_passes(saltgrass: Any) -> None:
    from felt_engine.plugins import HOOKS

    assert all(hasattr(saltgrass, name) for name in HOOKS)
    assert failures(saltgrass) == []
    names = " ".join(name for name, _ in checks(saltgrass))
    for part in ("class-table", "shelf-list", "dune cross", "float cover", "wet floor"):
        assert part in names


def test_the_example_studio_judges_sheets_for_a_class_and_no_others(saltgrass: Any) -> None:
    engine = engine_of(saltgrass)
    found = {}
    for path in sorted((ROOT / "recipes").glob("*.yaml")):
        report = engine.look(path)
        assert not report.not_judged
        faces = felt_engine.measure(recipe := engine.load(path)).faces
        large = any(face.longer_side > 1.0 or face.shorter_side > 0.55 for face in faces)
        found[path.name] = [f.rule for f in report.findings if f.rule == "class-table"]
        assert bool(found[path.name]) == (large and "class handout" in recipe.readers), path.name
    assert 0 < sum(map(len, found.values())) < len(found) / 2


def test_a_hook_may_be_handed_over_by_any_object() -> None:
    holder = types.SimpleNamespace(felt_engine_rules=hook(lambda: (GOOD,)))
    assert failures(holder) == [] and heard(GOOD, recipe(*CROSSED), holder).report.judged
    assert Figure("x", 1.0)
