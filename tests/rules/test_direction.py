"""Direction: the table of its own, the tips, what purposes and edges excuse, and what the advice mends."""

from __future__ import annotations

import copy
import re
from typing import Any

import pytest
from felt_rules import direction_words
from kit_rules import Case, Plain, cases, laid, report_of, said, sheet, shown, text_of, verdicts

from felt_engine.checking.report import Report, ReportedFinding

TABLE = tuple(cases("direction.yaml"))
RULE = "direction-balance"


@pytest.mark.parametrize("case", TABLE, ids=lambda case: case.name)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)


def test_more_are_right_than_faulty() -> None:
    assert sum(not case.expect for case in TABLE) > len(TABLE) / 2


def found(report: Report) -> list[ReportedFinding]:
    return [finding for finding in report.findings if finding.rule == RULE]


def only(recipe: Plain) -> ReportedFinding:
    (finding,) = found(report_of(recipe))
    return finding


# --- rounds


def round_piece(*layers: Plain, **more: Any) -> Plain:
    recipe = sheet(*layers, use="trivet", size="28 cm", shape="round", stage="hard", **more)
    recipe["piece"].setdefault("outline", "round")
    return recipe


def cross(of: str = "broad", amount: str = "300 g/m²") -> list[Plain]:
    return [laid(of, amount, "east-west"), laid(of, amount, "north-south")]


def squares(recipe: Plain) -> bool:
    """Whether it is said that the round may come out square; nothing else may be said."""
    report = report_of(recipe)
    assert verdicts(report) == {}, shown(report)
    return any("square" in tip.text for tip in report.tips)


def test_a_pure_cross_on_a_round_that_is_to_be_round_gets_a_tip_and_no_finding() -> None:
    recipe = round_piece(*cross())
    assert squares(recipe)
    assert report_of(recipe).exit_status("note") == 0


SILENT = [
    round_piece(*cross(), outline="free"),
    round_piece(*cross(), outline="cut"),
    round_piece(*cross(), outline="blocked"),
    round_piece(*cross(of="dune")),
    round_piece(laid("sheet white", "150 g/m²"), *cross()),
    round_piece(laid("batt oat", "150 g/m²", "random"), *cross()),
    round_piece(*cross(), laid("broad", "150 g/m²", "radial")),
    round_piece(*cross(), laid("broad", "400 g/m²", "around", zone="edge"),
                zones={"edge": {"shape": "rim", "width": "3 cm"}}),
    round_piece(*(laid("broad", "200 g/m²", f"bearing {b}°") for b in (0, 60, 120))),
    round_piece(*(laid("broad", "200 g/m²", f"bearing {b}°") for b in (0, 45, 90, 135))),
]  # fmt: skip


@pytest.mark.parametrize("recipe", SILENT, ids=range(len(SILENT)))
def test_any_other_round_gets_none(recipe: Plain) -> None:
    assert not squares(recipe)


def test_a_round_without_an_outline_or_that_is_cut_or_shaped_gets_none() -> None:
    recipe = round_piece(*cross())
    for step in ("cut", "trim", "shape"):
        assert not squares({**recipe, "work": [{"do": step}]}), step
    assert squares({**recipe, "work": [{"do": "rub"}, {"do": "rinse"}]})
    del recipe["piece"]["outline"]
    assert not squares(recipe)


@pytest.mark.parametrize(("grams", "tip"), [(93, True), (98, False)])
def test_the_tip_turns_at_its_limit(grams: float, tip: bool) -> None:
    """0.85⁴ x 600 / (600 + x) = 0.45 at x = 96."""
    recipe = round_piece(laid("batt oat", f"{grams} g/m²", "random"), *cross())
    assert squares(recipe) is tip


# --- what is meant


def shawl(side: int, outline: str, middle: str = "") -> Plain:
    layers = [laid("gull", "100 g/m²", "north-south", name="frill")]
    zones: Plain = {"heart": {"shape": "middle", "width": "25 cm"}}
    if middle:
        layers.append(laid("gull", middle, "east-west", name="heart", zone="heart"))
    return sheet(*layers, use="wrap", size=f"{side} x {side} cm", outline=outline, stage="light",
                 zones=zones)  # fmt: skip


@pytest.mark.parametrize("outline", ["ruffled", "drawn in"])
def test_an_edge_that_is_meant_excuses_the_edge_and_not_a_middle_far_from_it(outline: str) -> None:
    assert said(shawl(90, outline)) == {}
    assert said(shawl(130, outline)) == {RULE: "caution"}
    assert said(shawl(130, outline, "100 g/m²")) == {}
    assert only(shawl(130, "straight")).level == "fault"
    assert "the middle, 30 cm (12 in) and more" in only(shawl(130, outline)).message


def test_on_a_resist_the_face_is_named_whose_middle_pulls() -> None:
    both = laid("gull", "400 g", "north-south", face="each", wraps="2 cm")
    bag = sheet(both, use="bag", over="flat resist", size="150 x 150 cm", outline="drawn in")
    found = [f for f in report_of(bag).findings if f.rule == RULE]
    assert {f.where.partition(",")[0] for f in found} == {"the front", "the back"}
    assert all(f"the middle of {f.where.partition(',')[0]}, 30 cm" in f.message for f in found)


def test_a_purpose_for_the_middle_excuses_it() -> None:
    recipe = shawl(130, "ruffled")
    for where in ("heart", "frill"):
        meant = [{"what": "laid one way", "where": where, "why": "so"}]
        assert said({**recipe, "on purpose": meant}) == {}
    meant = [{"what": "laid one way", "where": "gull", "why": "so"}]
    assert said({**recipe, "on purpose": meant}) == {}


def thirds(*, second: str) -> Plain:
    """Three strips side by side; only the middle one is crossed."""
    zones = {
        "west": {"shape": "band", "along": "west", "to": "20 cm"},
        "heart": {"shape": "band", "along": "west", "from": "20 cm", "to": "40 cm"},
        "east": {"shape": "band", "along": "east", "to": "20 cm"},
    }
    return sheet(
        laid("sheet white", "120 g/m²"), laid("oat", "180 g/m²", "east-west"),
        laid("oat", second, "north-south", zone="heart"), use="wall panel", size="60 x 40 cm",
        zones=zones,
    )  # fmt: skip


def test_a_purpose_for_one_of_two_zones_of_one_stack_counts_for_its_part() -> None:
    recipe = thirds(second="350 g/m²")
    whole = only(recipe)
    meant = [
        {"what": "laid one way", "where": "west", "why": "so"},
        {"what": "relief", "why": "the middle is heavier, and stands up"},
    ]
    report = report_of({**recipe, "on purpose": meant})
    (half,) = found(report)
    assert half.measured and whole.measured
    assert half.measured.value == pytest.approx(whole.measured.value / 2)
    assert report.purposes[0].matched
    meant.append({"what": "laid one way", "where": "east", "why": "so"})
    assert said({**recipe, "on purpose": meant}) == {}


@pytest.mark.parametrize(
    ("finished", "level"),
    [
        ("38 x 46 cm", None), ("46 x 38 cm", "fault"), ("42 x 42 cm", "fault"),
        ("41 x 42 cm", "fault"), ("42 cm", "fault"), ("61 x 62 cm", "fault"),
    ],
)  # fmt: skip
def test_a_finished_size_may_ask_for_the_pull(finished: str, level: str | None) -> None:
    layers = [laid("oat", "180 g/m²", "east-west") for _ in range(2)]
    recipe = sheet(*layers, use="wall panel", size="60 x 60 cm")
    recipe["piece"]["finished"] = finished
    if finished == "42 cm":
        recipe["piece"] |= {"shape": "round", "laid out": "60 cm"}
    report = report_of(recipe)
    assert verdicts(report).get(RULE) == level, shown(report)
    assert bool(report.tips) is (level is None)
    cut = copy.deepcopy(recipe)
    cut["piece"]["outline"] = "cut"
    assert verdicts(report_of(cut)).get(RULE) == "fault"


def test_a_diagonal_is_no_business_of_the_finished_size() -> None:
    layers = [laid("oat", "180 g/m²", "northeast-southwest") for _ in range(2)]
    recipe = sheet(*layers, use="wall panel", size="60 x 60 cm", finished="36 x 46 cm")
    assert verdicts(report_of(recipe))[RULE] == "fault"
    assert "as a lozenge" in only(recipe).message


# --- straps and bands


@pytest.mark.parametrize("use", ["belt", "strap", "ornament", None])
@pytest.mark.parametrize(
    ("size", "way"), [("100 x 8 cm", "east-west"), ("8 x 100 cm", "north-south")]
)
def test_a_band_may_lie_along_its_length_and_not_across(
    use: str | None, size: str, way: str
) -> None:
    other = {"east-west": "north-south", "north-south": "east-west"}[way]
    for direction, level in ((way, None), (other, "fault")):
        layers = [laid("broad", "300 g/m²", direction) for _ in range(2)]
        assert said(sheet(*layers, use=use, size=size, stage="hard")).get(RULE) == level


def test_a_band_over_a_resist_is_a_tube_and_no_band() -> None:
    layers = [laid("broad", "300 g/m²", "east-west", face="both") for _ in range(2)]
    recipe = sheet(*layers, use="case", size="60 x 10 cm", over="flat resist", stage="hard")
    assert {f.level for f in found(report_of(recipe))} == {"fault"}


def test_a_band_that_doesn_t_say_its_direction_is_asked_and_a_belt_is_not() -> None:
    layer = laid("broad", "600 g/m²")
    assert said(sheet(layer, use="belt", size="100 x 8 cm", stage="hard")) == {}
    assert said(sheet(layer, use="bag", size="100 x 8 cm", stage="hard")) == {RULE: "unsaid"}


# --- what it says

UNCROSSED = [
    laid("sheet white", "0.4 oz", name="base"),
    laid("ice", "0.65 oz", "east-west", name="top"),
]


def test_what_it_advises_mends_it() -> None:
    """The amount of top that it names, laid across, leaves the pull of a right ground (0.15)."""
    recipe = sheet(*UNCROSSED)
    finding = only(recipe)
    grams = re.search(r"about ([0-9.]+) g \(", finding.do)
    instead = re.search(
        r"or about ([0-9.]+) g \([0-9.]+ oz\) of “top” that way instead", finding.do
    )
    assert grams and instead
    more = sheet(*UNCROSSED, laid("ice", f"{grams[1]} g", "north-south"))
    assert report_of(more).faces[0].pull == pytest.approx(0.15, abs=0.002)
    left = 0.65 * 28.349523 - float(instead[1])
    split = sheet(
        UNCROSSED[0], laid("ice", f"{left:.3f} g", "east-west"),
        laid("ice", f"{instead[1]} g", "north-south"),
    )  # fmt: skip
    assert report_of(split).faces[0].pull == pytest.approx(0.15, abs=0.002)


def test_it_names_the_layer_to_turn_where_turning_one_is_enough() -> None:
    layers = [laid("oat", "130 g/m²", "east-west", name=name) for name in ("one", "two", "three")]
    finding = only(sheet(*layers, use="wall panel"))
    assert finding.do.startswith("Turn “three” so that it lies north-south")
    assert (
        said(sheet(*layers[:2], {**layers[2], "direction": "north-south"}, use="wall panel")) == {}
    )


def test_two_layers_that_cross_askew_are_named_with_their_angle() -> None:
    layers = [
        laid("oat", "190 g/m²", "east-west", name="one"),
        laid("oat", "180 g/m²", "northeast-southwest", name="two"),
    ]
    finding = only(sheet(*layers, use="wall panel"))
    assert "“one” and “two” cross at only 45°" in finding.message
    assert finding.do.startswith("Turn “two” to north-south, a right angle to “one”")


@pytest.mark.parametrize(
    ("lot", "says"),
    [
        ({"preparation": "carded batt"}, "carded wool lies only loosely one way"),
        ({}, "how the wool is prepared"),
    ],
)
def test_a_caution_says_why_it_is_no_more(lot: Plain, says: str) -> None:
    lots = {"grey": {"fibre": "merino", "fineness": "21 um", **lot}}
    layers = [laid("grey", "180 g/m²", "east-west") for _ in range(2)]
    finding = only(sheet(*layers, use="wall panel", lots=lots))
    assert finding.level == "caution" and says in finding.message
    shingled = [{**layer, "lay": "shingle"} for layer in layers]
    level = "caution" if lot else "fault"
    assert only(sheet(*shingled, use="wall panel", lots=lots)).level == level


def test_a_cross_that_hardly_felts_is_said_to() -> None:
    blends = {"mix": {"oat": "10 %", "nylon": "90 %"}}
    layers = [
        laid("oat", "400 g/m²", "east-west"),
        laid("mix", "20 g/m²", "north-south", name="mix"),
    ]
    assert "“mix” across it hardly felts" in only(sheet(*layers, blends=blends)).message


PLACES = [
    ({"shape": "band", "along": "east", "to": "20 cm"}, "in the west half"),
    ({"shape": "band", "along": "south", "to": "28 cm"}, "in a strip 12 cm (4.7 in) wide along the north"),
    ({"shape": "rim", "width": "6 cm"}, "in all but a rim of 6 cm (2.4 in)"),
    ({"shape": "middle", "width": "6 cm"}, "in a rim 6 cm (2.4 in) wide all round"),
]  # fmt: skip


@pytest.mark.parametrize(("crossed", "words"), PLACES, ids=lambda v: str(v)[:40])
def test_it_names_the_place_and_how_much_to_lay_there(crossed: Plain, words: str) -> None:
    layers = [
        laid("sheet white", "120 g/m²"),
        laid("oat", "170 g/m²", "east-west"),
        laid("oat", "170 g/m²", "north-south", name="cross", zone="crossed"),
    ]
    finding = only(sheet(*layers, size="40 x 40 cm", zones={"crossed": crossed}))
    assert words in finding.message and finding.where.startswith(words)
    assert "Let “cross” reach over this part too, about" in finding.do
    assert " g/m² (" in finding.do and " oz) in all" in finding.do


def test_what_is_to_be_laid_there_brings_it_into_order() -> None:
    layers = [
        laid("sheet white", "120 g/m²"), laid("oat", "170 g/m²", "east-west"),
        laid("oat", "170 g/m²", "north-south", name="cross", zone="crossed"),
    ]  # fmt: skip
    zones = {"crossed": PLACES[0][0], "bare": {"shape": "band", "along": "west", "to": "20 cm"}}
    finding = only(sheet(*layers, size="40 x 40 cm", zones=zones))
    told = re.search(r"about ([0-9.]+) g/m² \([0-9.]+ oz/yd²\), that is ([0-9.]+) g \(", finding.do)
    assert told and float(told[2]) == pytest.approx(float(told[1]) * 0.4 * 0.2, rel=0.02)
    more = laid("ice", f"{told[1]} g/m²", "north-south", zone="bare")
    mended = report_of(sheet(*layers, more, size="40 x 40 cm", zones=zones))
    assert found(mended) == []
    (west,) = [place for place in built(layers, more, zones) if place.whereabouts.box[0] == 0]
    assert abs(west.pull) == pytest.approx(0.15, abs=0.01)


def built(layers: list[Plain], more: Plain, zones: Plain) -> Any:
    import felt_engine

    text = text_of(sheet(*layers, more, size="40 x 40 cm", zones=zones))
    return felt_engine.measure(felt_engine.load(text, name="x")).faces[0].places


@pytest.mark.parametrize("wanted", [0.15, 0.05, 0.1])
@pytest.mark.parametrize("pull", [0.2, 0.5, 0.85])
def test_what_is_laid_across_leaves_the_pull_that_is_wanted(pull: float, wanted: float) -> None:
    """By the resultant itself: (R W - r w) / (W + w), with r of felting top."""
    more = direction_words.need(pull, 0.3, wanted)
    assert (pull * 0.3 - direction_words.ALONG * more) / (0.3 + more) == pytest.approx(wanted)
    assert direction_words.need(wanted, 0.3, wanted) == direction_words.need(0.01, 0.3, wanted) == 0


def test_a_swatch_and_a_ball_may_be_laid_one_way_and_a_panel_not() -> None:
    one_way = [laid("oat", "400 g/m²", "east-west")]
    assert RULE in said(sheet(*one_way, use="wall panel", size="30 x 30 cm"))
    assert RULE not in said(sheet(*one_way, use="swatch", size="30 x 30 cm"))
    ball = sheet(
        laid("oat", "20 g", "east-west"), size="8 cm", shape="round", over="ball", use="ornament"
    )
    assert RULE not in said(ball)


def test_two_parts_that_pull_across_each_other_are_not_said_to_pull_alike() -> None:
    zones = {
        "west": {"shape": "band", "along": "west", "to": "25 cm"},
        "east": {"shape": "band", "along": "east", "to": "15 cm"},
    }
    layers = [
        laid("oat", "400 g/m²", "east-west", zone="west"),
        laid("oat", "400 g/m²", "north-south", zone="east"),
    ]
    finding = only(sheet(*layers, size="40 x 40 cm", zones=zones))
    assert "in a strip 25 cm (9.8 in) wide along the west edge what felts pulls east-west" in (
        finding.message
    )


def test_the_advice_aims_below_a_stricter_limit_of_the_studio() -> None:
    import felt_engine

    engine = felt_engine.Engine(
        studio="name: Strict\nrules: {direction-balance: {limits: {caution: 0.05}}}\n"
    )
    text = """
piece: {title: Ground, use: picture ground, shape: rectangle, laid out: 40 x 40 cm, stage: firm}
lots: {white: {fibre: merino, preparation: combed top, fineness: 20 um}}
layers:
  - {name: one, of: white, amount: 30 g, direction: north-south}
  - {name: two, of: white, amount: 26 g, direction: east-west}
"""
    (finding,) = engine.check(text).findings
    (more,) = re.findall(r"ay about ([\d.]+) g", finding.do)
    assert 1 < float(more) < 4
    mended = text + f"  - {{name: more, of: white, amount: {more} g, direction: east-west}}\n"
    assert not [one for one in engine.check(mended).findings if one.rule == RULE]
