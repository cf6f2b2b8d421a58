"""Sums: portions and scale, units, totals, sizes."""

from __future__ import annotations

import pytest
from kit_rules import Case, Plain, cases, laid, report_of, sheet, shown, text_of, verdicts

import felt_engine
from felt_engine import Build, Finding, Recipe, ReportedFinding
from felt_engine.checking.rulebook import Shelved, judge, judge_all

TABLES = {name: tuple(cases(f"{name}.yaml")) for name in ("scale", "totals", "sizes", "slips")}
EVERY = [
    pytest.param(case, id=f"{name}: {case.name}")
    for name, table in TABLES.items()
    for case in table
]
NAMED = {case.name: case.recipe for table in TABLES.values() for case in table}


@pytest.mark.parametrize("case", EVERY)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)


def only(recipe: Plain) -> ReportedFinding:
    (found,) = [f for f in report_of(recipe).findings if f.rule not in ("purposes", "waivers")]
    return found


# what a scale can show ------------------------------------------------------------------------------


def small(amount: str, step: str = "1 g", **more: object) -> Plain:
    layers = [laid("slate", amount, way, **more) for way in ("east-west", "north-south")]
    return sheet(*layers, use="swatch", size="6 x 6 cm", scale_step=step)


@pytest.mark.parametrize(
    ("amount", "level"),
    [("2 g", None), ("1.99 g", "caution"), ("1 g", "caution"), ("0.99 g", "fault")],
)
def test_the_borders_of_what_a_scale_shows(amount: str, level: str | None) -> None:
    assert verdicts(report_of(small(amount))).get("below-scale") == level


def test_grams_and_ounces_of_a_portion_and_a_step_are_judged_alike() -> None:
    grams = report_of(small("1.417476 g", "1 g")).findings
    ounces = report_of(small("0.05 oz", "0.035274 oz")).findings
    assert [f.message for f in grams] == [f.message for f in ounces] != []


def test_portions_that_are_alike_are_told_once_and_weighed_together() -> None:
    found = only(small("0.8 g"))
    assert (
        "2 portions of 0.80 g (0.028 oz) of “slate”, for “layer 1” and 1 more layer, can't be"
        in found.message
    )
    assert "Weigh 6.00 g (0.212 oz) once, divide it by eye into 8" in found.do
    many = {**small("0.8 g")}
    many["piece"] = {**many["piece"], "how many": 8, "amounts for": "one"}
    assert "Weigh 13.0 g (0.459 oz) once, divide it by eye into 16" in only(many).do


def test_what_goes_by_eye_and_what_is_accepted() -> None:
    eye = {**small("0.8 g"), "on purpose": [{"what": "by eye", "where": "slate", "why": "so"}]}
    assert verdicts(report_of(eye)) == {}
    waived = {**small("0.8 g"), "waivers": [{"rule": "below-scale", "where": "slate", "why": "so"}]}
    assert only(waived).waived == "so"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a touch of silk of a step and a half", "Weigh 6.00 g (0.212 oz) once"),
        ("a blend with a little silk on a scale of whole grams", "Make 50 g (1.77 oz)"),
        ("wool of a nuno scarf, its cloth left out and not said", "without: [cloth]"),
        ("the base not counted and not said", "without: [base]"),
    ],
)
def test_advice_on_a_right_recipe_is_a_tip(name: str, text: str) -> None:
    tips = [tip.text for tip in report_of(NAMED[name]).tips]
    assert any(text in tip for tip in tips), tips


# totals ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "why", "pointer"),
    [
        ("the cross layer left out of the sum", "is the sum without “cross”", "/totals/0"),
        ("the base counted though it is said to be left out", "counts in “base”", "/totals/0"),
        ("one face taken for both", "is the sum for one face", "/totals/0"),
        ("one slipper given for the pair", "is the sum for one piece", "/totals/0"),
        ("a total out of the air", "the amounts come to 39.7 g (1.40 oz).", "/totals/0"),
    ],
)
def test_a_total_says_what_it_should_be_and_how_it_came_about(
    name: str, why: str, pointer: str
) -> None:
    found = only(NAMED[name])
    assert why in found.message and found.spot.pointer == pointer
    assert ("What it says" in found.message) == ("come to" not in why)


@pytest.mark.parametrize(
    ("total", "level"),
    [
        ("40.5 g", None),
        ("41 g", "fault"),
        ("39 g", None),
        ("38.6 g", "caution"),
        ("41.4 g", "caution"),
    ],
)
def test_rounding_of_a_total_and_of_its_parts(total: str, level: str | None) -> None:
    """Two parts of 20 g may each be half a gram off; the total half of its own last digit."""
    recipe = sheet(
        laid("oat", "20 g", "east-west"), laid("oat", "20 g", "north-south"), size="40 x 30 cm"
    )
    if total == "41 g":
        recipe = {**recipe, "layers": recipe["layers"][:1]}
    got = verdicts(report_of({**recipe, "totals": [{"amount": total}]}))
    assert got.get("stated-totals") == level


def test_a_layer_counted_twice() -> None:
    recipe = sheet(laid("oat", "20 g", "east-west", name="along"),
                   laid("oat", "23 g", "north-south", name="across"), size="40 x 30 cm")  # fmt: skip
    found = only({**recipe, "totals": [{"amount": "66 g"}]})
    assert found.level == "fault" and "counts twice “across”" in found.message


# units ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "said", "pointer", "under"),
    [
        ("one layer of three in grams", "1.7 g for “middle” may have been meant as 1.7 oz", "/layers/1",
         "direction-balance"),
        ("a square foot laid out in centimetres", "12 x 12 cm for the laid-out size may have been meant "
         "as 12 x 12 in", "/piece", "weight-for-use"),
        ("a scarf of sixty ounces", "30 oz and so on for all", "/lots/mist", "weight-for-use"),
        ("a ground in ounces that says grams all over", "0.4 g and so on for all amounts", "",
         "thin-layer"),
        ("a total in the wrong column", "40 oz for a stated total", "/totals/0", "stated-totals"),
        ("a finished size in centimetres", "meant as 8 x 8 in", "/piece", "sizes-agree"),
        ("a scale step in ounces beside grams", "meant as 1 g", "/scale step", "below-scale"),
        ("centimetres for millimetres", "meant as 400 x 300 mm", "/piece", "thin-layer"),
    ],
)  # fmt: skip
def test_a_slip_is_named_once_and_its_symptoms_under_it(
    name: str, said: str, pointer: str, under: str
) -> None:
    found = only(NAMED[name])
    assert found.rule == "unit-slip" and said in found.message
    assert found.spot.pointer == pointer
    assert under in {effect.rule for effect in found.explains}


def looked_at(recipe: Plain) -> tuple[int, list[str]]:
    """How many changed recipes were judged, and what was found."""
    engine = felt_engine.Engine()
    build = engine.measure(felt_engine.load(text_of(recipe)))
    tried: list[Recipe] = []

    def again(changed: Recipe) -> Build:
        tried.append(changed)
        return engine.measure(changed)

    judged = judge_all(engine.rule_book, build, again)
    assert not [one.broke for one in judged if one.broke]
    return len(tried), [one.shelved.rule.id for one in judged if one.said]


def test_a_right_recipe_costs_nothing() -> None:
    right = [case for table in TABLES.values() for case in table if not case.expect]
    assert len(right) >= 28
    assert {case.name: looked_at(case.recipe)[0] for case in right} == {c.name: 0 for c in right}


@pytest.mark.parametrize("case", EVERY)
def test_words_that_nobody_reads_are_left_out_and_nothing_else(case: Case) -> None:
    engine = felt_engine.Engine()
    build = engine.measure(engine.load(text_of(case.recipe)))

    def said(shelved: Shelved, unread: bool) -> list[tuple[object, ...]]:
        found = judge(shelved, build, {}, unread=unread).said
        return [(f.level, id(f.about), f.at, f.also) for f in found if isinstance(f, Finding)]

    for shelved in engine.rule_book.rules:
        if not shelved.rule.reconsiders:
            assert said(shelved, True) == said(shelved, False)


def test_a_faulty_recipe_costs_little() -> None:
    assert all(looked_at(c.recipe)[0] <= 40 for t in TABLES.values() for c in t if c.expect)


def test_a_fault_that_is_accepted_needs_no_slip() -> None:
    recipe = NAMED["a total in the wrong column"]
    waiver = {"rule": "stated-totals", "where": "whole", "why": "a joke of the house"}
    report = report_of({**recipe, "waivers": [waiver]})
    assert [(f.rule, f.waived) for f in report.findings] == [
        ("stated-totals", "a joke of the house")
    ]


# sizes ----------------------------------------------------------------------------------------------


def panel(finished: str, **more: object) -> Plain:
    layers = [laid("oat", "200 g/m²", way) for way in ("east-west", "north-south")]
    return sheet(*layers, use="wall panel", size="60 x 60 cm", finished=finished, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("stage", "finished", "level"),
    [
        ("firm", "50.5 x 50.5 cm", None), ("firm", "51 x 51 cm", "caution"),
        ("firm", "35 x 35 cm", None), ("firm", "34 x 34 cm", "caution"),
        ("light", "44 x 44 cm", "caution"), ("light", "55 x 55 cm", None),
        (None, "53 x 53 cm", None), (None, "61 x 61 cm", None), (None, "62 x 62 cm", "fault"),
        (None, "21.2 x 21.2 cm", None), (None, "20.8 x 20.8 cm", "fault"),
    ],
)  # fmt: skip
def test_the_borders_of_what_a_stage_does(
    stage: str | None, finished: str, level: str | None
) -> None:
    assert verdicts(report_of(panel(finished, stage=stage))).get("sizes-agree") == level


def test_sizes_ask_whether_they_are_swapped() -> None:
    assert "Are width and depth swapped?" in only(NAMED["width and depth swapped"]).message
    assert "swapped" in only(NAMED["width and depth of a scarf swapped"]).message
    assert "swapped" not in only(NAMED["larger than it was laid"]).message


def test_rolling_explains_unequal_sides_only_the_way_it_goes() -> None:
    rolled = NAMED["a scarf that shrinks 45 % by length only because it is rolled that way"]
    turned = {**rolled, "work": [{"do": "roll", "edge": "north", "times": 400}]}
    assert verdicts(report_of(turned)).get("sizes-agree") == "caution"
    unsaid = {key: value for key, value in rolled.items() if key != "work"}
    unsaid["piece"] = {**unsaid["piece"], "finished": "130 x 34 cm"}
    assert verdicts(report_of(unsaid)) == {}


def test_its_own_size_is_respected() -> None:
    own = {**panel("62 x 62 cm"), "on purpose": [{"what": "its own size", "why": "pinned out"}]}
    assert verdicts(report_of(own)) == {}


def test_what_is_thin_with_the_fineness_that_was_meant_too_stays_told() -> None:
    """Only what a slip alone brings hangs under it, whatever figures the rest is told with."""
    text = """\
piece: {{title: Gull, use: scarf, shape: rectangle, laid out: 200 x 40 cm, stage: light}}
lots: {{gull: {{fibre: merino, preparation: combed top, fineness: 185 um}}}}
layers:
  - {{name: along, of: gull, amount: {0} g, direction: north-south}}
  - {{name: across, of: gull, amount: {0} g, direction: east-west}}
"""
    told = {grams: felt_engine.check(text.format(grams)).findings for grams in (20, 30)}
    assert {"unit-slip", "thin-layer"} <= {one.rule for one in told[20]}
    assert [one.rule for one in told[30]] == ["unit-slip"]


def test_a_slip_in_the_scale_step_is_told_at_its_line() -> None:
    text = (
        "piece: {title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm, stage: firm}\n"
        "lots: {m: {fibre: merino, preparation: carded batt, fineness: 21 um}}\nscale step: 5 kg\n"
        "layers: [{name: one, of: m, amount: 30 g, direction: random}]\n"
    )
    (found,) = felt_engine.check(text).findings
    assert (found.rule, found.spot.thing, found.spot.line) == ("unit-slip", "scale step", 3)
    assert found.spot.pointer == "/scale step"


def test_a_web_that_is_thicker_in_a_part_is_told_up_to_its_heaviest() -> None:
    text = """
piece: {title: T, use: wall panel, shape: rectangle, laid out: 60 x 60 cm, stage: firm}
lots:
  m: {fibre: merino, preparation: combed top, fineness: 19 um}
  s: {fibre: tussah silk, preparation: combed top}
zones: {z: {shape: band, along: west, to: 30 cm}}
layers:
  - {name: down, of: m, amount: 150 g/m², direction: north-south}
  - {name: across, of: m, amount: 150 g/m², direction: east-west}
  - name: shine
    direction: random
    placements: [{of: s, amount: 135 g/m²}, {of: s, amount: 135 g/m², zone: z}]
  - {name: top, of: m, amount: 120 g/m², direction: random}
"""
    told = [f.message for f in felt_engine.check(text).findings if f.rule == "cut-off-layer"]
    assert len(told) == 1 and "up to 270 g/m²" in told[0] and "all over" in told[0]
    whole = text.replace(", {of: s, amount: 135 g/m², zone: z}", "")
    told = [f.message for f in felt_engine.check(whole).findings if f.rule == "cut-off-layer"]
    assert told and all("up to" not in one for one in told)


def test_a_total_of_what_is_not_laid_is_to_be_left_out() -> None:
    text = """
piece: {title: T, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, stage: firm}
lots:
  w: {fibre: merino, preparation: combed top, fineness: 21 um}
  spare: {fibre: merino, preparation: combed top, fineness: 21 um}
layers:
  - {name: a, of: w, amount: 50 g, direction: north-south}
  - {name: b, of: w, amount: 50 g, direction: east-west}
totals: [{amount: 5 g, covers: [spare]}]
"""
    (found,) = felt_engine.check(text).findings
    assert found.rule == "stated-totals" and found.do.startswith("Leave the total out")
    assert "0.00" not in found.do
