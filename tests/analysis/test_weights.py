"""Weights: what can be added by hand on the back of an envelope."""

from __future__ import annotations

import pytest
from kit_rules import Plain, laid, sheet, text_of

import felt_engine
from felt_engine.checking.report import WeightTable

OUNCE = 28.349523125
"""Grams (NIST SP 811, appendix B)."""


def table(recipe: Plain) -> WeightTable:
    weights = felt_engine.check(text_of(recipe)).weights
    assert weights is not None
    return weights


def grams(lines: tuple[object, ...]) -> dict[str, float]:
    return {line.name: line.grams for line in lines}  # type: ignore[attr-defined]


def test_a_ground_in_grams() -> None:
    found = table(sheet(
        laid("sheet white", "12 g", name="base"),
        laid("oat", "12.5 g", name="cross"),
        laid("oat", "18 g", name="top"),
        laid("silk", "500 mg", name="sheen"),
    ))  # fmt: skip
    assert grams(found.by_layer) == {"base": 12, "cross": 12.5, "top": 18, "sheen": 0.5}
    assert grams(found.by_lot) == {"sheet white": 12, "oat": 30.5, "silk": 0.5}
    assert grams(found.by_fibre) == {"merino": 42.5, "silk": 0.5}
    assert found.piece.grams == found.all_pieces.grams == 43


def test_ounces_and_grams_of_a_line_are_one_amount() -> None:
    found = table(sheet(laid("oat", "0.4 oz"), laid("ice", "1/4 oz"), laid("ink", "10 g")))
    for line in (*found.by_layer, *found.by_lot, *found.by_fibre, found.piece):
        assert line.grams == pytest.approx(line.ounces * OUNCE, rel=1e-8)
    assert [line.ounces for line in found.by_layer[:2]] == pytest.approx([0.4, 0.25])
    assert found.piece.grams == pytest.approx(0.65 * OUNCE + 10)


def test_a_blend_by_percent_by_parts_and_by_weight() -> None:
    for shares in (
        {"oat": "75 %", "silk": "25 %"},
        {"oat": "3 parts", "silk": "1 part"},
        {"oat": "15 g", "silk": "5 g"},
    ):
        found = table(sheet(laid("pearl", "20 g"), blends={"pearl": shares}))
        assert grams(found.by_lot) == pytest.approx({"oat": 15, "silk": 5})
        assert found.piece.grams == pytest.approx(20)


def test_a_lot_that_is_never_laid_weighs_nothing() -> None:
    recipe = sheet(laid("oat", "20 g"))
    recipe["lots"]["spare"] = {"fibre": "merino"}
    assert grams(table(recipe).by_lot) == {"oat": 20, "spare": 0}


def test_the_sum_is_shown_beside_the_figure() -> None:
    zones = {"sun": {"shape": "round", "size": "5 cm", "at": "10 cm east, 10 cm north"}}
    parts = {
        "name": "picture",
        "placements": [
            {"of": "oat", "amount": "0.4 oz"},
            {"of": "ink", "amount": "2 g", "zone": "sun"},
        ],
    }
    found = table(sheet(parts, zones=zones))
    assert found.by_layer[0].how == "0.4 oz oat + 2 g ink on sun"
    assert found.by_fibre[0].how == "oat + ink"


@pytest.mark.parametrize(
    ("amounts", "how"),
    [
        ("30 g", "30 g w, divided by 3"),
        ("30 g/m²", "30 g/m² w"),
    ],
)
def test_only_weights_for_all_pieces_are_called_divided(amounts: str, how: str) -> None:
    build = felt_engine.measure(
        felt_engine.load(
            "piece: {title: T, shape: rectangle, laid out: 30 x 40 cm, how many: 3, amounts for: all}\n"
            "lots: {w: {fibre: merino}}\n"
            f"layers: [{{name: one, of: w, amount: {amounts}}}, {{name: two, placements: ["
            "{of: w, amount: 3 g}, {of: w, amount: 9 g/m²}]}]\n"
        )
    )
    one, two = build.weights.by_layer
    assert one.how == how
    assert one.kg == pytest.approx(0.01 if amounts == "30 g" else 0.0036)
    assert two.how == "3 g w + 9 g/m² w, weights divided by 3"
