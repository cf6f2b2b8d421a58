"""Tools, evenness and order of the work, and cautions: their tables, their limits, what excuses them."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from kit_rules import Case, Plain, cases, report_of, said, shown, stocked, text_of, verdicts

import felt_engine
from felt_engine import RecipeError, figures
from felt_engine.data.cautions import CAUTIONS, SOURCES
from felt_engine.model.place import join
from felt_engine.reading.words import HAZARDS

TABLES = {name: tuple(cases(f"{name}.yaml")) for name in ("tools", "working", "order", "cautions")}
EVERY = [
    pytest.param(case, id=f"{name}: {case.name}")
    for name, table in TABLES.items()
    for case in table
]


@pytest.mark.parametrize("case", EVERY)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)


@pytest.mark.parametrize("case", EVERY)
def test_one_slip_is_told_once(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert len(report.findings) <= len(case.expect), shown(report)


@pytest.mark.parametrize("name", TABLES)
def test_there_are_as_many_right_ones_as_faulty_ones(name: str) -> None:
    right = [case for case in TABLES[name] if not case.expect]
    assert 2 * len(right) >= len(TABLES[name])
    assert len({case.name for case in TABLES[name]}) == len(TABLES[name])


def _panel(work: list[Plain] | None = None, tools: Plain | None = None, **more: Any) -> Plain:
    """A crossed panel of 60 x 40 cm with a straight outline."""
    piece = {
        "title": "Groyne", "use": "wall panel", "shape": "rectangle", "laid out": "60 x 40 cm",
        "outline": "straight", "stage": "firm",
    }  # fmt: skip
    layers = [
        {"name": "along", "of": "oat", "amount": "170 g/m²", "direction": "east-west"},
        {"name": "across", "of": "oat", "amount": "170 g/m²", "direction": "north-south"},
    ]
    recipe: Plain = {"piece": piece, "layers": layers}
    for key, value in more.items():
        spelt = key.replace("_", " ")
        (piece if spelt in ("laid out", "outline", "use", "finished") else recipe)[spelt] = value
    if work is not None:
        recipe["work"] = work
    if tools is not None:
        recipe["tools"] = tools
    return stocked(recipe)


START = [{"do": "wet", "soap": "neutral"}, {"do": "rub"}, {"do": "check"}]
END = [{"do": "rinse"}, {"do": "dry"}]


def _rolled(north: int, south: int, east: int, west: int, *after: Plain) -> list[Plain]:
    edges = {"north": north, "south": south, "east": east, "west": west}
    rolls = [{"do": "roll", "edge": edge, "times": n} for edge, n in edges.items() if n]
    return [*START, *rolls, *after, *END]


def _steps(*names: str) -> list[Plain]:
    return [{"do": name} for name in names]


TOOLS, EVEN = {"tools-fit": "caution"}, {"uneven-working": "caution"}
ORDER, SHEET = {"order-of-work": "caution"}, {"cautions-printed": "caution"}
ALKALINE = [{"do": "wet", "soap": "alkaline"}, *START[1:], {"do": "full"}]
FOR_SALE: Plain = {"readers": ["pattern for sale"]}
CHILDREN: Plain = {
    "readers": ["children"],
    "cautions": [{"about": "wet floor"}, {"about": "soap and fibre allergies"}],
}

# Each pair stands just on either side of one limit, worked out by hand.
HOT = [{"about": "hot water", "says": "It is hot."}]
BORDERS = {
    # 0.97 of 40 cm is 38.8 cm; of 60 cm, 58.2 cm
    "takes": (
        _panel(tools={"mat": "38.9 x 58.3 cm"}), {}, _panel(tools={"mat": "38.7 x 60 cm"}), TOOLS,
    ),
    "takes, the long way": (
        _panel(tools={"mat": "58.3 x 45 cm"}), {}, _panel(tools={"mat": "58.1 x 45 cm"}), TOOLS,
    ),
    # a wrap of 90 x 45 cm is twice as long as wide, one of 88 x 45 cm is not
    "long, for tools": (
        _panel(tools={"mesh": "50 x 50 cm"}, laid_out="90 x 45 cm"), {},
        _panel(tools={"mesh": "50 x 50 cm"}, laid_out="88 x 45 cm"), TOOLS,
    ),
    # 340 g/m² over 65 g/m² per mm: 5.23 mm
    "stack-over-roller": (
        _panel(tools={"roller": {"across": "5.3 mm"}}), {},
        _panel(tools={"roller": {"across": "5.2 mm"}}), TOOLS,
    ),
    # 69 to 31 is 0.38, 70 to 30 is 0.40
    "imbalance": (
        _panel(_rolled(69, 69, 31, 31)), {}, _panel(_rolled(70, 70, 30, 30)), EVEN,
    ),
    # 80 to 20 of one pair is 0.60, 79 to 21 is 0.58
    "opposite": (
        _panel(_rolled(158, 42, 100, 100)), {}, _panel(_rolled(160, 40, 100, 100)), EVEN,
    ),
    "least": (_panel(_rolled(49, 50, 0, 0)), {}, _panel(_rolled(50, 50, 0, 0)), EVEN),
    # as often thrown as rolled
    "thrown": (
        _panel(_rolled(50, 50, 50, 50, {"do": "throw", "times": 199})), {},
        _panel(_rolled(50, 50, 50, 50, {"do": "throw", "times": 200})), EVEN,
    ),
    # ln(60/40) = 0.405; g = 0.15 wants 40 x 29.64 cm, rolling that is all east-west makes 0.25
    "apart": (
        _panel(_rolled(0, 0, 200, 200), finished="40 x 29.7 cm"), {},
        _panel(_rolled(0, 0, 200, 200), finished="40 x 29.6 cm"), EVEN,
    ),
    "rinses": (
        _panel([*ALKALINE, *_steps("rinse", "rinse", "dry")]), {},
        _panel([*ALKALINE, *_steps("rinse", "dry")]), {"order-of-work": "note"},
    ),
    "long-rinse": (
        _panel([*ALKALINE, {"do": "rinse", "for": "10 min"}, {"do": "dry"}]), {},
        _panel([*ALKALINE, {"do": "rinse", "for": "9 min"}, {"do": "dry"}]),
        {"order-of-work": "note"},
    ),
    "blot": (
        _panel([*START, *END[:1], {"do": "dry", "for": "59 min"}, {"do": "full"}]), {},
        _panel([*START, *END[:1], {"do": "dry", "for": "1 h"}, {"do": "full"}]), ORDER,
    ),
    "hot": (
        _panel([{"do": "wet", "water": "49 °C"}], **FOR_SALE), {},
        _panel([{"do": "wet", "water": "50 °C"}], **FOR_SALE), SHEET,
    ),
    "hot-children": (
        _panel([{"do": "wet", "water": "39 °C"}], **CHILDREN), {},
        _panel([{"do": "wet", "water": "104 °F"}], **CHILDREN), SHEET,
    ),
    "scalds": (
        _panel([{"do": "wet", "water": "64 °C"}], **FOR_SALE, cautions=HOT), {},
        _panel([{"do": "wet", "water": "149 °F"}], **FOR_SALE, cautions=HOT), SHEET,
    ),
    "scalds, and hands kept out": (
        _panel([{"do": "wet", "water": "80 °C", "note": "Poured, with gloves."}], **FOR_SALE, cautions=HOT),
        {}, _panel([{"do": "wet", "water": "80 °C", "note": "Mind: it can burn."}], **FOR_SALE, cautions=HOT),
        SHEET,
    ),
    "rolls-children": (
        _panel([{"do": "roll", "times": 99}], **CHILDREN), {},
        _panel([{"do": "roll", "times": 100}], **CHILDREN), SHEET,
    ),
    "rubbing-children": (
        _panel([{"do": "rub", "for": "599 s"}], **CHILDREN), {},
        _panel([{"do": "rub", "for": "10 min"}], **CHILDREN), SHEET,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BORDERS)
def test_either_side_of_a_limit(name: str) -> None:
    silent, nothing, found, what = BORDERS[name]
    assert said(silent) == nothing, shown(report_of(silent))
    assert said(found) == what, shown(report_of(found))


@pytest.mark.parametrize(
    ("rolls", "minutes", "tip"), [(299, 29, False), (300, 1, True), (1, 30, True)]
)
def test_long_work_is_a_reminder_on_a_sheet_for_sale(rolls: int, minutes: int, tip: bool) -> None:
    work = [{"do": "rub", "for": f"{minutes} min"}, {"do": "roll", "times": rolls}]
    report = report_of(_panel(work, **FOR_SALE))
    assert not report.findings
    assert ("repeated strain" in " ".join(one.text for one in report.tips)) is tip


@pytest.mark.parametrize(
    ("mat", "tip"), [("40 x 60 cm", True), ("41.9 x 62 cm", True), ("42 x 62 cm", False)]
)
def test_a_mat_that_just_fits_is_a_tip(mat: str, tip: bool) -> None:
    report = report_of(_panel(tools={"mat": mat}))
    assert not report.findings and any("just fits" in one.text for one in report.tips) is tip


@pytest.mark.parametrize(("length", "finds"), [("44.9 cm", True), ("45.1 cm", False)])
def test_a_roller_may_be_a_tenth_shorter_than_a_round(length: str, finds: bool) -> None:
    recipe = _panel(tools={"roller": {"length": length}}, laid_out="50 cm", outline="round")
    recipe["piece"]["shape"] = "round"
    assert said(recipe) == (TOOLS if finds else {})


@pytest.mark.parametrize(("side", "finds"), [(99, True), (101, False)])
def test_fibre_is_out_of_an_irons_reach_under_100_g(side: int, finds: bool) -> None:
    recipe = _panel([*START, *END, {"do": "press"}], {"iron": "hot"})
    glint = {"name": "haze", "of": "glint", "amount": "8 g/m²", "direction": "random"}
    recipe["layers"][0].update(amount=f"{side} g/m²", direction="random")
    recipe["layers"][1].update(amount="240 g/m²", direction="random")
    recipe["layers"].insert(1, {**glint, "role": "accent"})
    assert said(stocked(recipe)) == (ORDER if finds else {})


FIRING = [
    case for table in TABLES.values() for case in table if set(case.expect.values()) - {"unsaid"}
]


@pytest.mark.parametrize("case", FIRING, ids=lambda case: case.name)
def test_a_finding_can_be_accepted(case: Case) -> None:
    recipe = copy.deepcopy(case.recipe)
    rule = next(iter(case.expect))
    where = report_of(recipe).findings[0].spot.thing.split("“")[-1].rstrip("”")
    named = {layer["name"] for layer in recipe["layers"]} | set(recipe.get("zones", {}))
    where = where if where in named else "whole"
    recipe["waivers"] = [{"rule": rule, "where": where, "why": "the shop's own way"}]
    report = report_of(recipe)
    assert verdicts(report) == {} and [f.waived for f in report.findings] == ["the shop's own way"]


PURPOSES = {
    "worked in parts": "mat smaller than the layout in both directions",
    "thin roller": "rug on a broomstick",
    "worked one way": "panel rolled from two opposite edges only",
    "worked on one face": "never turned over",
    "thrown": "straight panel thrown instead of rolled",
    "thrown early": "thrown before it is rubbed",
    "no pinch test": "handout that drops the pinch test",
    "soap stays in": "soap never rinsed out",
    "no acid soak": "alkaline soap, one rinse, no acid",
    "worked dry": "fulled when it is dry",
    "resist stays in": "bag whose resist never comes out",
    "opening left": "wrapped all round and never cut open",
    "fulled on the resist": "cut open when all fulling is done",
    "pressed bare": "film under a hot iron, nothing between",
    "worked further": "a prefelt that is fulled",
    "worked briefly": "to be hard after twenty rolls",
    "said aloud": "hot iron not named",
}


@pytest.mark.parametrize("what", PURPOSES)
def test_a_purpose_excuses_what_it_names(what: str) -> None:
    case = next(case for case in FIRING if case.name == PURPOSES[what])
    recipe = copy.deepcopy(case.recipe)
    recipe["on purpose"] = [{"what": what, "why": "the shop's own way"}]
    report = report_of(recipe)
    assert verdicts(report) == {} and not report.findings, shown(report)
    assert report.purposes[0].matched


def test_every_purpose_of_these_rules_is_tried() -> None:
    book = felt_engine.Engine().rule_book
    ours = ("tools-fit", "uneven-working", "order-of-work", "cautions-printed")
    words = {w for s in book.rules if s.rule.id in ours for w in s.rule.purposes}
    assert words == set(PURPOSES)


def test_a_step_is_named_by_its_number_and_line() -> None:
    case = next(case for case in FIRING if case.name == "thrown before it is rubbed")
    spot = report_of(case.recipe).findings[0].spot
    assert (spot.thing, spot.pointer) == ("step 2, throw", join("work", 1)) and spot.line


def test_a_quarter_turn_of_table_and_edges_changes_nothing() -> None:
    turn = {"north": "west", "west": "south", "south": "east", "east": "north"}
    way = {"east-west": "north-south", "north-south": "east-west"}
    for case in TABLES["working"]:
        recipe = copy.deepcopy(case.recipe)
        piece = recipe["piece"]
        for key in ("laid out", "finished"):
            if " x " in piece.get(key, ""):
                width, depth = piece[key].removesuffix(" cm").split(" x ")
                piece[key] = f"{depth} x {width} cm"
        for layer in recipe["layers"]:
            layer["direction"] = way.get(layer["direction"], layer["direction"])
        for step in recipe["work"]:
            if "edge" in step:
                step["edge"] = turn[step["edge"]]
        assert said(recipe) == case.expect, case.name


# What the engine works out for these rules, against sums by hand.


def _built(recipe: Plain) -> felt_engine.Build:
    return felt_engine.measure(felt_engine.load(text_of(recipe)))


def test_what_lies_past_the_edge_counts() -> None:
    recipe = _panel(zones={
        "far": {"shape": "band", "along": "north", "to": "10 cm"},
        "heart": {"shape": "rectangle", "size": "10 x 10 cm", "at": "20 cm east, 10 cm north"},
    })  # fmt: skip
    band = {"name": "b", "of": "oat", "amount": "2 g", "direction": "random", "past": "5 cm"}
    cases_ = [("far", 70.0, 50.0), ("heart", 60.0, 40.0)]
    for zone, width, depth in cases_:
        one = copy.deepcopy(recipe)
        one["layers"].append({**band, "zone": zone})
        wet = figures.wetted_extent(_built(one).recipe)
        assert wet.width == pytest.approx(width / 100)
        # a band along the far edge reaches past it, not past the near edge
        assert wet.depth == pytest.approx(depth / 100 if zone == "heart" else 0.45)


def test_rolling_is_counted_edge_by_edge() -> None:
    recipe = _built(_panel(_rolled(100, 50, 30, 20))).recipe
    rolled = figures.rolling(recipe.work)
    assert (rolled.across, rolled.along, rolled.total) == (150, 50, 200)
    assert rolled.imbalance == pytest.approx((50 - 150) / 200)
    loose = _built(_panel([{"do": "roll", "times": 60}, *_rolled(100, 50, 30, 20)])).recipe
    assert figures.rolling(loose.work).imbalance == pytest.approx(-(100 - 60) / 260)
    mixed = _built(_panel([{"do": "roll", "for": "5 min"}, *_rolled(100, 50, 30, 20)])).recipe
    assert not figures.rolling(mixed.work).counted


def test_both_faces_of_a_resist_lie_round_the_roller() -> None:
    case = next(case for case in TABLES["order"] if case.name == "bag from wetting to drying")
    # 50 g on each face, two layers: 200 g over 36 x 40 cm
    assert figures.rolled_areal(_built(case.recipe)) == pytest.approx(0.200 / (0.36 * 0.40))


def test_a_finished_size_with_one_length_says_nothing_of_a_rectangle() -> None:
    with pytest.raises(RecipeError, match="two lengths for a rectangle; write both: 40 cm x 40 cm"):
        _built(_panel(finished="40 cm"))
    assert figures.wanted_ratio(_built(_panel(finished="40 x 32 cm")).recipe.piece) is not None


def test_each_hazard_has_its_line_and_its_source() -> None:
    assert tuple(CAUTIONS) == HAZARDS
    for hazard, entry in CAUTIONS.items():
        assert set(entry) == {"says", "when", "source"} and entry["source"] in SOURCES
        assert figures.usual_caution(hazard) == entry["says"] and len(entry["says"]) < 100
    assert {standing for _, standing in SOURCES.values()} <= {
        "from memory",
        "common practice, no source",
    }


# the same in other words ----------------------------------------------------------------------------


@pytest.mark.parametrize("wide", [60, 62, 64, 70])
@pytest.mark.parametrize("over", ["table", "flat resist"])
def test_a_rectangle_by_its_corners_takes_the_same_tools(wide: int, over: str) -> None:
    """A strip that hangs over the short edges alone makes the piece longer, and no deeper."""
    found = []
    for corners in (False, True):
        recipe = _panel(laid_out=f"{wide} x 30 cm", use="scarf", tools={"mat": "56 x 40 cm"})
        recipe["zones"] = {
            "strip": {
                "shape": "rectangle",
                "size": f"{wide} x 10 cm",
                "at": "0 cm east, 10 cm north",
            }
        }
        recipe["layers"].append({"name": "strip", "of": "oat", "amount": "20 g/m²", "zone": "strip",
                                 "past": "2 cm"})  # fmt: skip
        recipe["piece"]["over"] = over
        if over != "table":
            recipe["layers"] = [{**layer, "face": "both"} for layer in recipe["layers"]]
        if corners:
            del recipe["piece"]["laid out"]
            recipe["piece"] |= {"shape": "polygon", "corners": [
                f"{east} cm east, {north} cm north"
                for east, north in ((0, 0), (wide, 0), (wide, 30), (0, 30))
            ]}  # fmt: skip
        report = report_of(recipe)
        found.append([(f.rule, f.level) for f in report.findings if f.rule == "tools-fit"])
    assert found[0] == found[1], (wide, over)


def test_of_two_tools_that_take_as_much_one_is_measured_in_any_unit() -> None:
    measured = set()
    for sizes in (
        ("60 x 60 cm", "89 x 57 cm", "57 cm"),
        ("0.6 x 0.6 m", "0.89 x 0.57 m", "0.57 m"),
    ):
        laid_out, mat, long = sizes
        tools = {"mat": mat, "roller": {"length": long, "across": "10 cm"}}
        recipe = _panel(laid_out=laid_out, use="bag", tools=tools)
        recipe["piece"]["over"] = "flat resist"
        recipe["layers"] = [{**layer, "face": "both"} for layer in recipe["layers"]]
        (found,) = [f for f in report_of(recipe).findings if f.rule == "tools-fit"]
        assert found.measured is not None
        measured.add((found.measured.name, found.fingerprint))
    assert len(measured) == 1, measured


NAMED = {
    "readers": ["children"],
    "cautions": [{"about": a} for a in ("hot water", "wet floor", "soap and fibre allergies")],
}


@pytest.mark.parametrize(("water", "note", "finds"), [
    ("49 °C", None, False), ("50 °C", None, True), ("122 °F", None, True), ("120 °F", None, False),
    ("60 °C", "Poured by a grown-up.", False), ("60 °C", "Quickly.", True), ("hot", None, False),
])  # fmt: skip
def test_a_line_does_not_cool_water_for_children(water: str, note: str | None, finds: bool) -> None:
    """Whatever is printed, from 50 °C (Moritz & Henriques 1947, from memory) it is told."""
    full = {"do": "full", "water": water, **({"note": note} if note else {})}
    recipe = _panel(
        [{"do": "wet", "soap": "neutral"}, {"do": "rub"}, {"do": "check"}, full, *END], **NAMED
    )
    report = report_of(recipe)
    assert verdicts(report) == (SHEET if finds else {}), shown(report)
    if finds:
        recipe["on purpose"] = [{"what": "said aloud", "why": "I stand beside them"}]
        assert said(recipe) == {}
