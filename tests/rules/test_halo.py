"""Halo: the table of its own, counts by pair and weight, and whether the advice would mend it."""

from __future__ import annotations

import re
from typing import Any

import pytest
from kit_rules import Case, Plain, cases, laid, report_of, said, sheet, shown, verdicts

from felt_engine.checking.report import ReportedFinding

TABLE = tuple(cases("halo.yaml"))
RULE = "halo-clash"


@pytest.mark.parametrize("case", TABLE, ids=lambda case: case.name)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)


def test_more_are_right_than_faulty() -> None:
    assert sum(not case.expect for case in TABLE) > len(TABLE) / 2


# --- counts: pairs of CSS colours that are ours, not a palette of any maker

WEIGHTS = ("0.65 oz", "0.50 oz", "0.40 oz", "0.25 oz", "0.15 oz")
WHITES = ("ivory", "linen")
OVER_WHITE = ("wheat", "khaki", "lightblue", "pink", "goldenrod", "cadetblue", "indianred",
              "yellowgreen")  # fmt: skip
OVER_GREY = ("ivory", "linen", "wheat", "khaki", "lightblue", "pink", "palegreen", "thistle")
PAIRS = {
    "like below": (
        ("linen", "ivory"), ("wheat", "burlywood"), ("khaki", "palegoldenrod"),
        ("lightblue", "powderblue"), ("cadetblue", "steelblue"), ("midnightblue", "darkslateblue"),
        ("saddlebrown", "sienna"), ("darkolivegreen", "darkgreen"), ("firebrick", "brown"),
        ("rosybrown", "indianred"),
    ),
    "white below": tuple((over, white) for white in WHITES for over in OVER_WHITE),
    "light under dark": (
        ("midnightblue", "lightblue"), ("darkgreen", "khaki"), ("maroon", "pink"),
        ("saddlebrown", "wheat"), ("indigo", "thistle"), ("darkslategray", "linen"),
    ),
    "mid grey under pale": tuple((over, "gray") for over in OVER_GREY),
    "dark under light": (
        ("linen", "midnightblue"), ("khaki", "darkslategray"), ("goldenrod", "midnightblue"),
        ("lightblue", "saddlebrown"), ("lightsteelblue", "maroon"), ("pink", "darkgreen"),
        ("palegreen", "indigo"), ("sandybrown", "darkslateblue"), ("burlywood", "midnightblue"),
        ("skyblue", "sienna"),
    ),
}  # fmt: skip

COUNTS = {
    "like below": ("10/0/0", "10/0/0", "10/0/0", "6/4/0", "4/4/2"),
    "white below": ("16/0/0", "16/0/0", "16/0/0", "4/12/0", "0/16/0"),
    "light under dark": ("6/0/0", "6/0/0", "6/0/0", "0/6/0", "0/5/1"),
    "mid grey under pale": ("8/0/0", "6/2/0", "0/8/0", "0/8/0", "0/0/8"),
    "dark under light": ("4/6/0", "0/10/0", "0/6/4", "0/0/10", "0/0/10"),
}
"""Hidden, may show, will show, at firm, from 0.65 oz down to 0.15 oz to the foot square. A fault has
to hold at the kinder depth of wandering too."""


def coloured(over: str, below: str, amount: str, **more: Any) -> Plain:
    """A cover of one colour over an ounce of another to the foot square."""
    wool = {"fibre": "merino", "preparation": "combed top", "fineness": "20.5 um"}
    lots = {"below": {**wool, "colour": below}, "over": {**wool, "colour": over}}
    layers = [laid("below", "1 oz", "random"), laid("over", amount, "random", role="cover")]
    return sheet(*layers, **{"use": "wall panel", "lots": lots, **more})


@pytest.mark.parametrize("family", PAIRS)
def test_how_many_pairs_are_hidden_at_each_weight(family: str) -> None:
    counts = []
    for amount in WEIGHTS:
        levels = [said(coloured(*pair, amount)).get(RULE) for pair in PAIRS[family]]
        counts.append("/".join(str(levels.count(level)) for level in (None, "caution", "fault")))
    assert tuple(counts) == COUNTS[family]


@pytest.mark.parametrize("pair", PAIRS["dark under light"], ids="-".join)
def test_dark_under_light_is_never_the_milder_way_round(pair: tuple[str, str]) -> None:
    order = (None, "caution", "fault")
    found = [
        [order.index(said(coloured(*two, amount)).get(RULE)) for amount in WEIGHTS]
        for two in (pair, pair[::-1])
    ]
    assert all(one >= two for one, two in zip(*found, strict=True)) and found[0] != found[1]


def test_from_where_on_off_white_hides_navy() -> None:
    """As the rule's page says: 0.7 oz to the foot square."""
    levels = []
    for amount in ("0.70 oz", "0.68 oz", "0.55 oz", "0.50 oz", "0.40 oz"):
        top = laid("chalk", amount, "random", role="cover")
        levels.append(said(sheet(laid("ink", "1 oz", "random"), top)).get(RULE))
    assert levels == [None, "caution", "caution", "caution", "fault"]


# --- what it says


def only(recipe: Plain) -> ReportedFinding:
    (finding,) = [f for f in report_of(recipe).findings if f.rule == RULE]
    return finding


def more_of(finding: ReportedFinding) -> tuple[float, float]:
    """The advice's g/m² and g."""
    found = re.search(r"about ([0-9.]+) g/m² \([0-9.]+ oz/yd²\) more of the cover there, "
                      r"that is ([0-9.]+) g \([0-9.]+ oz\) more", finding.do)  # fmt: skip
    assert found, finding.do
    return float(found[1]), float(found[2])


MENDED = [
    ("linen", "midnightblue", 120), ("linen", "midnightblue", 200), ("khaki", "darkgreen", 60),
    ("ivory", "gray", 110), ("midnightblue", "linen", 40), ("green", "red", 90),
]  # fmt: skip


@pytest.mark.parametrize(("over", "below", "grams"), MENDED)
def test_as_much_more_cover_as_it_says_hides_it_and_much_less_does_not(
    over: str, below: str, grams: int
) -> None:
    areal, weight = more_of(only(coloured(over, below, f"{grams} g/m²", size="40 x 40 cm")))
    assert weight == pytest.approx(areal * 0.16, rel=0.01)
    assert said(coloured(over, below, f"{grams + 1.02 * areal:.2f} g/m²")) == {}
    assert said(coloured(over, below, f"{grams + 0.95 * areal:.2f} g/m²")) == {RULE: "caution"}


def test_the_amount_is_for_the_part_where_it_shows() -> None:
    zones = {"wrack": {"shape": "band", "along": "south", "to": "10 cm"}}
    recipe = sheet(
        laid("milk", "300 g/m²", "random"),
        laid("coal", "90 g/m²", "random", zone="wrack"),
        laid("milk", "100 g/m²", "random", role="cover"),
        size="40 x 40 cm", zones=zones,
    )  # fmt: skip
    finding = only(recipe)
    areal, weight = more_of(finding)
    assert weight == pytest.approx(areal * 0.04, rel=0.01)
    assert "in a strip 10 cm (3.9 in) wide along the south edge" in finding.message


def test_both_faces_of_a_bag_are_named_and_weighed() -> None:
    recipe = sheet(
        laid("ink", "300 g/m²", "random", face="both"),
        laid("chalk", "110 g/m²", "random", face="both", role="cover"),
        use="bag", over="flat resist", size="40 x 40 cm",
    )  # fmt: skip
    finding = only(recipe)
    areal, weight = more_of(finding)
    assert weight == pytest.approx(areal * 0.32, rel=0.01)
    assert finding.where == "all over on the front and all over on the back"


def test_no_stage_takes_the_deepest_wandering_for_its_advice() -> None:
    recipe = coloured("linen", "midnightblue", "60 g/m²")
    del recipe["piece"]["stage"]
    areal, _ = more_of(only(recipe))
    recipe["layers"][1]["amount"] = f"{60 + 1.02 * areal:.2f} g/m²"
    for stage in ("light", "firm", "hard"):
        assert said({**recipe, "piece": {**recipe["piece"], "stage": stage}}) == {}
    assert said(recipe) == {}


@pytest.mark.parametrize(
    ("over", "below", "words"),
    [
        ("linen", "midnightblue", "as a darker haze"),
        ("midnightblue", "linen", "as a paler haze"),
        ("#4a7a3c", "#a8403a", "as a tint of its own hue"),
    ],
)
def test_it_says_whether_it_darkens_or_pales_or_tints(over: str, below: str, words: str) -> None:
    assert words in only(coloured(over, below, "50 g/m²")).message


def test_the_layer_that_is_named_is_the_one_that_shows() -> None:
    """Not the one next below, which is nearly of the cover's colour."""
    recipe = sheet(
        laid("coal", "300 g/m²", "random"), laid("chalk", "20 g/m²", "random"),
        laid("milk", "70 g/m²", "random", role="cover"),
    )  # fmt: skip
    assert only(recipe).message.startswith("“coal” will show through “milk”")


# --- what is not judged


@pytest.mark.parametrize("role", ["veil", "accent", "open", "structure"])
def test_only_what_is_to_hide_is_judged(role: str) -> None:
    recipe = coloured("linen", "black", "60 g/m²")
    assert said(recipe) == {RULE: "fault"}
    recipe["layers"][1]["role"] = role
    assert said(recipe) == {}


def test_wool_painting_and_blends_are_not_judged() -> None:
    recipe = coloured("linen", "black", "60 g/m²")
    del recipe["layers"][1]["role"]
    recipe["layers"][1]["lay"] = "wisps"
    assert said(recipe) == {}
    recipe = coloured("linen", "black", "100 g/m²")
    recipe["blends"] = {"marl": {"over": "50 %", "below": "50 %"}}
    recipe["layers"][1] = {"name": "m", "of": "marl", "amount": "100 g/m²", "direction": "random"}
    assert said(recipe) == {}


def test_colours_that_nobody_said() -> None:
    recipe = coloured("linen", "black", "60 g/m²")
    for missing, verdict in (("over",), {RULE: "unsaid"}), (("below",), {RULE: "unsaid"}), (
        ("over", "below"), {},
    ):  # fmt: skip
        lots = {
            name: {key: value for key, value in lot.items() if key != "colour" or name not in missing}
            for name, lot in recipe["lots"].items()
        }  # fmt: skip
        assert said({**recipe, "lots": lots}) == verdict, missing


def test_a_lot_without_a_colour_hides_itself() -> None:
    speck = laid("ink", "2 g/m²", lay="scatter", role="accent")
    body, skin = (
        laid("grey bag", "300 g/m²", "random"),
        laid("grey bag", "30 g/m²", "random", role="cover"),
    )
    assert said(sheet(body, skin, speck)) == {}
    assert said(sheet(laid("ink", "300 g/m²", "random"), skin, speck)) == {RULE: "unsaid"}
