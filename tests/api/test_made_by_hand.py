"""Recipes that are built, or changed, in Python and not read from a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import attrs
import pytest
from hypothesis import assume, given, settings
from kit import ROOT
from kit_plans import Plan, plans, written
from kit_rules import text_of

import felt_engine
from felt_engine import (
    Amount,
    Blend,
    CallError,
    Direction,
    Engine,
    Fineness,
    Layer,
    Lot,
    Piece,
    Placement,
    Purpose,
    Recipe,
    RecipeError,
    Share,
    Size,
    Source,
    Waiver,
    Zone,
)

SIDE = Amount("30 cm", 0.3, "cm", "length")
FLAT = Piece("Tile", "rectangle", Size("30 x 30 cm", SIDE, SIDE), use="swatch")
WOOL = Lot("wool", "merino")
NINE = Amount("9 g", 0.009, "g", "weight")
ONE = Layer("one", (Placement("wool", NINE),), Direction("random", "random"))
MADE = Recipe(FLAT, (WOOL,), (ONE,))


def change(thing: Any, **more: object) -> Any:
    return attrs.evolve(thing, **more)


def piece(**more: object) -> Recipe:
    return Recipe(change(FLAT, **more), (WOOL,), (ONE,))


def layer(**more: object) -> Recipe:
    return Recipe(FLAT, (WOOL,), (change(ONE, **more),))


def placed(**more: object) -> Recipe:
    return layer(placements=(change(ONE.placements[0], **more),))


WRONG_CLASS: list[tuple[Recipe, str]] = [
    (change(MADE, piece=FLAT.laid_out), "recipe.piece: expected Piece, and not Size"),
    (change(MADE, scale_step=5), "recipe.scale_step: expected Amount, and not int"),
    (change(MADE, lots=[WOOL]), "recipe.lots: expected tuple, and not list"),
    (change(MADE, lots=("wool",)), "recipe.lots[0]: expected Lot, and not str"),
    (change(MADE, waivers=(Waiver(1, 2, 3),)), "recipe.waivers[0].rule: expected str, and not int"),  # type: ignore[arg-type]
    (piece(count=True), "recipe.piece.count: expected int, and not bool"),
    (piece(title=7), "recipe.piece.title: expected str, and not int"),
    (piece(laid_out="30 x 30 cm"), "recipe.piece.laid_out: expected Size, and not str"),
    (
        piece(laid_out=change(FLAT.laid_out, width=change(FLAT.laid_out.width, text=None))),
        "recipe.piece.laid_out.width.text: expected str, and not NoneType",
    ),
    (layer(direction="random"), "recipe.layers[0].direction: expected Direction, and not str"),
    (layer(placements="wool"), "recipe.layers[0].placements: expected tuple, and not str"),
    (layer(placements=(None,)), "recipe.layers[0].placements[0]: expected Placement"),
    (placed(amount="9 g"), "recipe.layers[0].placements[0].amount: expected Amount, and not str"),
    (placed(amount=change(NINE, text=9)), "placements[0].amount.text: expected str, and not int"),
    (change(MADE, blends=(Blend("b", ("wool",)),)), "recipe.blends[0].parts[0]: expected tuple"),  # type: ignore[arg-type]
]

NOT_SAID: list[tuple[Recipe, str]] = [
    (piece(use="blob"), "piece > use: found the use \"blob\""),
    (piece(shape="blob"), "piece > shape"),
    (piece(title=None), "a piece without title"),
    (piece(laid_out=None), "a piece without laid out"),
    (piece(count=0), "piece > how many: found \"0\""),
    (change(MADE, piece=None), ": found a recipe without piece"),
    (change(MADE, layers=None), ": found a recipe without layers"),
    (piece(stage="soggy"), "piece > stage"),
    (change(MADE, lots=(change(WOOL, fibre="blob"),)), "lots > wool > fibre"),
    (change(MADE, lots=(WOOL, WOOL)), "lots > wool"),
    (change(MADE, layers=()), "layers: found an empty list; expected 1 to 100 layers"),
    (change(MADE, layers=(ONE,) * 101), "layers: found 101"),
    (placed(of="nope"), "layers > 1 > placements > 1 > of: found the lot or blend"),
    (placed(amount=None), "layers > 1 > placements > 1: found a placement without amount"),
    (placed(amount=SIDE), "amount: found \"30 cm\""),
    (placed(amount=change(NINE, si=0.9)), "layers > 1 > placements > 1 > amount > si: found 0.9"),
    (placed(amount=change(NINE, si=float("nan"))), "amount: found \"nan\""),
    (layer(direction=Direction("random", "axis", 30.0)), "direction > way"),
    (layer(lay="blob"), "layers > 1 > lay"),
    (change(MADE, zones=(Zone("rim", "rim"),)), "zones > rim"),
    (change(MADE, purposes=(Purpose("thin", "why", "nowhere"),)), "on purpose > 1 > where"),
    (change(MADE, blends=(Blend("mix", (("wool", Share("70 %", 70.0, "percent")),)),)), "100 %"),
]  # fmt: skip

METHODS: list[Callable[[Engine, Recipe], object]] = [
    Engine.check, Engine.measure, Engine.row_plan, Engine.forecast,
    lambda engine, recipe: engine.resize(recipe, times=2),
]  # fmt: skip


@pytest.fixture(scope="module")
def engine() -> Engine:
    return Engine()


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize(
    ("recipe", "told"), [one for one in WRONG_CLASS if "without" not in one[1]]
)
def test_a_part_of_a_wrong_class(
    engine: Engine, recipe: Recipe, told: str, method: Callable[[Engine, Recipe], object]
) -> None:
    with pytest.raises(TypeError) as caught:
        method(engine, recipe)
    assert told in str(caught.value)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize(("recipe", "told"), NOT_SAID)
def test_what_no_file_could_say(
    engine: Engine, recipe: Recipe, told: str, method: Callable[[Engine, Recipe], object]
) -> None:
    with pytest.raises(RecipeError) as caught:
        method(engine, recipe)
    assert told in str(caught.value) and str(caught.value).startswith("a recipe made by hand")


def test_a_recipe_made_in_python_is_judged_as_its_file(engine: Engine) -> None:
    text = (
        "piece: {title: Tile, shape: rectangle, laid out: 30 x 30 cm, use: swatch}\n"
        "lots: {wool: {fibre: merino}}\n"
        "layers: [{name: one, of: wool, amount: 9 g, direction: random}]\n"
    )
    made, read = engine.check(MADE), engine.check(text)
    assert [(f.rule, f.message) for f in made.findings] == [
        (f.rule, f.message) for f in read.findings
    ]
    assert made.weights == read.weights


def test_a_recipe_of_another_engines_fibres_is_told(engine: Engine, tmp_path: Path) -> None:
    studio = tmp_path / "studio.yaml"
    studio.write_text("name: S\nfibres: {marsh cross: {like: corriedale}}\n", encoding="utf-8")
    other = Engine(studio=studio)
    recipe = other.load(
        "piece: {title: Tile, shape: rectangle, laid out: 30 x 30 cm}\n"
        "lots: {wool: {fibre: marsh cross}}\nlayers: [{name: one, of: wool, amount: 9 g}]\n"
    )
    assert other.check(recipe)
    with pytest.raises(RecipeError, match="lots > wool > fibre"):
        engine.check(recipe)


@pytest.mark.parametrize("path", sorted((ROOT / "recipes").rglob("*.yaml")), ids=lambda p: p.name)
def test_what_was_read_and_changed_in_a_note_is_judged(path: Path) -> None:
    if path.name.startswith(("studio", "swatches")):
        return
    near = path.parent / "studio.yaml"
    engine = Engine(studio=near) if near.exists() else Engine()
    recipe = engine.load(path)
    noted = attrs.evolve(recipe, note="as read")
    assert [f.rule for f in engine.check(noted).findings] == [
        f.rule for f in engine.check(recipe).findings
    ]


@settings(max_examples=150, deadline=None, derandomize=True, database=None)
@given(plan=plans())
def test_whatever_is_read_can_be_handed_on(plan: Plan) -> None:
    recipe = felt_engine.load(text_of(written(plan)))
    try:
        weight = felt_engine.measure(recipe).weights.piece
    except RecipeError:
        assume(False)
    assert felt_engine.measure(attrs.evolve(recipe, source=None)).weights.piece == weight


@pytest.mark.parametrize(
    ("text", "si", "judged"),
    [("half of 18 g", 0.009, True), ("0.3174656 oz", 0.0089999984, True),
     ("nine g", 0.009, False), ("9 stones", 0.009, False), ("half of 18 g", float("nan"), False),
     ("half of 18 g", 900.0, False), ("half of 18 g", -1.0, False)],
)  # fmt: skip
def test_the_words_of_an_amount_may_be_the_callers_own(
    engine: Engine, text: str, si: float, judged: bool
) -> None:
    unit = text.split()[-1]
    recipe = placed(amount=Amount(text, si, unit, "weight"))
    if judged:
        assert engine.measure(recipe).weights.piece.kg == pytest.approx(si)
    else:
        with pytest.raises(RecipeError, match="layers > 1 > placements > 1 > amount"):
            engine.check(recipe)


def test_a_recipe_that_was_changed_since_it_was_read_is_not_resized(engine: Engine) -> None:
    recipe = engine.load(ROOT / "recipes" / "pilots-cap.yaml")
    for changed in (
        attrs.evolve(recipe, totals=()), attrs.evolve(recipe, note="changed"),
    ):  # fmt: skip
        with pytest.raises(CallError, match="changed since"):
            engine.resize(changed, times=2)
    assert engine.resize(recipe, times=2)


def test_a_source_is_a_source(engine: Engine) -> None:
    with pytest.raises(TypeError, match=r"recipe.source: expected Source, and not str"):
        engine.check(change(MADE, source="tile.yaml"))


@pytest.mark.parametrize("unit", ["stone", "", "oz"])
def test_the_unit_of_an_amount_is_that_of_its_text(engine: Engine, unit: str) -> None:
    with pytest.raises(RecipeError, match="amount > unit: found"):
        engine.check(placed(amount=change(NINE, unit=unit)))


@pytest.mark.parametrize("number", [10**400, -(10**5000), float("inf")], ids=["a", "b", "c"])
def test_a_number_past_all_figures_is_told(engine: Engine, number: float) -> None:
    stock = change(NINE, si=number)
    lots = (
        change(WOOL, stock=stock),
        change(WOOL, name="b", fineness=Fineness("19 um", number, number)),
    )
    for recipe in (
        placed(amount=stock), change(MADE, lots=lots), change(MADE, lots=(*lots[1:], WOOL)),
        piece(count=number), piece(laid_out=Size("30 x 30 cm", change(SIDE, si=number), SIDE)),
    ):  # fmt: skip
        with pytest.raises((RecipeError, TypeError)):
            engine.check(recipe)


def test_a_value_that_its_text_does_not_say_is_told_where_a_file_has_it() -> None:
    text = (
        "piece: {title: S, shape: rectangle, laid out: 30 x 30 cm}\n"
        "lots: {w: {fibre: merino, fineness: 20 um}}\n"
        "layers:\n  - {name: one, of: w, amount: 30 g}\n"
        "  - {name: two, placements: [{of: w, amount: 3 g}, {of: w, amount: 4 g}]}\n"
    )
    recipe = felt_engine.load(text)

    def with_last_amount(number: int) -> felt_engine.Recipe:
        layers = list(recipe.layers)
        *first, last = layers[number].placements
        last = attrs.evolve(last, amount=attrs.evolve(last.amount, si=1.0))
        layers[number] = attrs.evolve(layers[number], placements=(*first, last))
        return attrs.evolve(recipe, layers=tuple(layers))

    for number, path in (
        (0, "layers > 1 > amount > si"),
        (1, "layers > 2 > placements > 2 > amount > si"),
    ):
        with pytest.raises(RecipeError) as refused:
            felt_engine.check(with_last_amount(number))
        assert [one.path for one in refused.value.problems] == [path]
    (lot,) = recipe.lots
    odd = attrs.evolve(lot, fineness=attrs.evolve(lot.fineness, low=1e-3))
    with pytest.raises(RecipeError) as refused:
        felt_engine.check(attrs.evolve(recipe, lots=(odd,)))
    assert refused.value.problems[0].path.startswith("lots > w > fineness")


@pytest.mark.parametrize("text", ["", "{", "\t", "a\0", "!!x", "x: *y", "piece: 1"])
def test_a_source_that_is_no_recipe_s_text_has_no_places(engine: Engine, text: str) -> None:
    """As where only the text of a recipe's source was changed."""
    one_way = felt_engine.load(
        "piece: {title: S, use: scarf, shape: rectangle, laid out: 60 x 40 cm}\n"
        "lots: {w: {fibre: merino}}\n"
        "layers: [{name: one, of: w, amount: 30 g, direction: east-west}]\n"
    )
    report = engine.check(change(one_way, source=Source("tile.yaml", text, "yaml")))
    assert report.judged and all(f.spot.pointer for f in report.findings)


NOTED = """\
title: S
swatches:
  - {name: a, date: 2026-01-12, laid out: 30 x 30 cm, finished: 20 x 20.4 cm, stage: firm, fibre: merino,
     amount: 27 g, directions: [north-south, east-west]}
"""


@pytest.mark.parametrize("change_of", [
    {"laid_out": None}, {"finished": 5}, {"stage": "soggy"}, {"fibre": "blob"}, {"amount": "27 g"},
    {"name": 7}, {"directions": "north"}, {"fibre": None}, {"amount": None},
])  # fmt: skip
def test_a_notebook_made_by_hand_is_refused_in_words(
    engine: Engine, change_of: dict[str, object]
) -> None:
    notebook = felt_engine.read_notebook(NOTED)
    swatch = change(notebook.swatches[0], **change_of)
    for made in (change(notebook, swatches=(swatch,)), change(notebook, swatches=(None,))):
        with pytest.raises((felt_engine.FeltError, TypeError)):
            engine.learned(made)
        with pytest.raises((felt_engine.FeltError, TypeError)):
            engine.forecast(MADE, notebook=made)
