"""Tables of what shrinks unlike and of what is too light or too heavy: every verdict, and no other."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from kit_rules import Case, Plain, cases, laid, report_of, said, sheet, shown, text_of, verdicts

import felt_engine

TABLES = {name: tuple(cases(f"{name}.yaml")) for name in ("shrinking", "weight")}
EVERY = [
    pytest.param(case, id=f"{name}: {case.name}")
    for name, table in TABLES.items()
    for case in table
]


@pytest.mark.parametrize("case", EVERY)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)
    if not case.expect:
        assert (report.verdict, report.exit_status("note")) == ("right", 0)
        assert all(purpose.matched for purpose in report.purposes)


# either side of each limit ------------------------------------------------------------------------

FIRM, HARD = 0.36, 0.55
"""Strain of merino at 400 g/m² (from memory of the craft)."""

BANDS = {
    "near": {"shape": "band", "along": "south", "to": "20 cm"},
    "far": {"shape": "band", "along": "north", "to": "20 cm"},
}


def g(amount: float) -> str:
    return f"{amount:.5f} g/m²"


def mm(length: float) -> str:
    return f"{length:.4f} mm"


def strip_for(narrowest: float, side: float) -> float:
    """How wide a strip across the piece is whose narrowest width (2 area / perimeter) is this."""
    return narrowest * side / (side - narrowest)


def heavier(times: float, **more: Any) -> Plain:
    """Two bands of merino, one of them heavier."""
    fields = {"use": "wall panel", "size": "60 x 40 cm", "zones": BANDS, **more}
    return sheet(
        laid("oat", g(300), "random", zone="near"), laid("oat", g(300 * times), "random", zone="far"),
        **fields,
    )  # fmt: skip


TWINE = {"fibre": "silk", "preparation": "yarn", "fineness": "12.5 um", "colour": "#f7f5ef"}


def cored(share: float, stage: str = "hard") -> Plain:
    """Two bands, one with a core of yarn that doesn't felt; ``share`` is its part of that band's weight."""
    half = g(300 - 300 * share)
    return sheet(
        laid("oat", half, "random"),
        laid("oat", g(600 * share), "random", zone="near"),
        laid("twine", g(600 * share), "random", zone="far"),
        laid("oat", half, "random"),
        use="wall panel", size="60 x 40 cm", stage=stage, zones=BANDS, lots={"twine": TWINE},
    )  # fmt: skip


def ridge(width: float, side: float) -> Plain:
    """A strip of three times the weight across a piece."""
    zone = {"shape": "band", "along": "west", "from": mm(side / 3), "to": mm(side / 3 + width)}
    return sheet(
        laid("oat", g(300), "random"), laid("oat", g(600), "random", zone="ridge"),
        use="wall panel", size=f"{mm(side)} x {mm(side)}", zones={"ridge": zone},
    )  # fmt: skip


def corner(side: float) -> Plain:
    """A heavy corner on a large piece."""
    zone = {"shape": "rectangle", "size": f"{mm(side)} x {mm(side)}", "at": "0 cm east, 0 cm north"}
    return sheet(
        laid("oat", g(300), "random"), laid("oat", g(600), "random", zone="corner"),
        use="wall panel", size="100 x 100 cm", zones={"corner": zone},
    )  # fmt: skip


def thinner(amount: float) -> Plain:
    """A thin half beside a thick one, for nobody knows what, and shaped freely in nothing."""
    return sheet(
        laid("oat", g(amount), "random"), laid("oat", g(400), "random", zone="far"),
        use=None, size="60 x 40 cm", zones=BANDS,
    )  # fmt: skip


def framed(width: float, size: str = "60 x 60 cm") -> Plain:
    """A picture ground whose rim has 200 g/m² only."""
    heart = laid("oat", g(200), "random", short=mm(width))
    return sheet(laid("oat", g(200), "random"), heart, size=size)


def light_part(width: float) -> Plain:
    """A picture ground of a metre with a light band."""
    rest = {"shape": "band", "along": "east", "to": mm(1000 - width)}
    return sheet(
        laid("oat", g(220), "random"), laid("oat", g(130), "random", zone="rest"),
        size="1000 x 400 mm", zones={"rest": rest},
    )  # fmt: skip


def heavy_part(width: float) -> Plain:
    """A panel of a metre with a heavy band."""
    band = {"shape": "band", "along": "west", "to": mm(width)}
    return sheet(
        laid("oat", g(400), "random"), laid("oat", g(900), "random", zone="band"),
        size="1000 x 400 mm", zones={"band": band}, outline="free",
    )  # fmt: skip


def fronted(times: float, back: float = 200, **more: Any) -> Plain:
    """A bag over a resist, whose front is so many times as heavy as its back."""
    crossed = [
        laid("oat", g(back * (times if face == "front" else 1.0)), way, face=face)
        for face in ("front", "back") for way in ("north-south", "east-west")
    ]  # fmt: skip
    return sheet(*crossed, **{"use": "bag", "size": "40 x 30 cm", "over": "flat resist", **more})


def whole(amount: float) -> Plain:
    return sheet(laid("oat", g(amount), "random"))


# ln(times) x 0.4 x stage = 0.08; stage x share of what doesn't felt x (0.8 less
# one deviation of it, 0.30 for the wool and a quarter of it for the hand) = 0.15
TIMES = math.exp(0.08 / 0.4 / FIRM)
FAULT_SHARE = 0.15 / (HARD * (0.8 - math.hypot(0.30, 0.25 * 0.8)))
# (1 + c v²)^(-1/v²) = 0.03 for 20.5 um wool of 1310 kg/m³, v = 0.30
BARE = 1000 * ((0.03**-0.09 - 1) / 0.09) * math.pi * 20.5e-6 * 1310 / 4

TURNS = [
    ("uneven-shrinking", "caution", heavier, TIMES, None, "caution"),
    ("uneven-shrinking", "caution", lambda x: cored(x, "firm"), 0.08 / 0.8 / FIRM, None, "caution"),
    ("uneven-shrinking", "fault", cored, FAULT_SHARE, "caution", "fault"),
    ("uneven-shrinking", "narrow", lambda x: ridge(x, 900), strip_for(50, 900), None, "caution"),
    ("uneven-shrinking", "narrow-part", lambda x: ridge(x, 150), strip_for(18, 150), None, "caution"),
    ("uneven-shrinking", "small-part", corner, 1000 * math.sqrt(0.02), None, "caution"),
    ("uneven-shrinking", "bare", thinner, BARE, None, "unsaid"),
    ("uneven-shrinking", "faces", fronted, math.exp(0.10 / 0.4 / FIRM), None, "caution"),
    ("weight-for-use", "band-slack", whole, 300 / 1.3, "caution", None),
    ("weight-for-use", "band-slack", whole, 600 * 1.3, None, "caution"),
    ("weight-for-use", "strip", framed, 25.0, None, "caution"),
    ("weight-for-use", "strip-part", lambda x: framed(x, "20 x 20 cm"), 20.0, None, "caution"),
    ("weight-for-use", "large-part", light_part, 100.0, None, "caution"),
    ("weight-for-use", "most", heavy_part, 500.0, None, "caution"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "limit", "recipe", "at", "below", "above"), TURNS,
    ids=[f"{turn[0]} {turn[1]} {k}" for k, turn in enumerate(TURNS)],
)  # fmt: skip
def test_a_verdict_turns_at_its_limit_and_nowhere_else(
    rule: str, limit: str, recipe: Any, at: float, below: str | None, above: str | None
) -> None:
    for factor, verdict in ((0.99, below), (1.01, above)):
        report = report_of(recipe(at * factor))
        assert verdicts(report).get(rule) == verdict, (factor, shown(report))
        for finding in report.findings:
            assert finding.measured is not None and finding.limit is not None and finding.how


def test_every_limit_of_the_two_rules_has_a_pair_here() -> None:
    declared = {
        (one.rule.id, limit.name) for one in felt_engine.Engine().rule_book.rules
        for limit in one.rule.limits if one.rule.id in ("uneven-shrinking", "weight-for-use")
    }  # fmt: skip
    assert declared == {(rule, limit) for rule, limit, *_ in TURNS}


# what is meant, what is right, what is accepted ---------------------------------------------------


@pytest.mark.parametrize("what", ["relief", "thick"])
@pytest.mark.parametrize("where", ["far", None])
def test_a_purpose_at_the_heavy_part_is_taken(what: str, where: str | None) -> None:
    purpose = {"what": what, "why": "a dune", **({"where": where} if where else {})}
    assert said(heavier(2.2)) == {"uneven-shrinking": "caution"}
    report = report_of(heavier(2.2, on_purpose=[purpose]))
    assert verdicts(report) == {} and report.purposes[0].matched, shown(report)


def test_thick_on_purpose_doesn_t_excuse_slow_wool_and_thin_doesn_t_either() -> None:
    recipe = cored(0.7, "firm")
    for what in ("thick", "thin", "laid one way"):
        meant = {**recipe, "on purpose": [{"what": what, "where": "far", "why": "so"}]}
        assert said(meant) == {"uneven-shrinking": "caution"}, what
    meant = {**recipe, "on purpose": [{"what": "relief", "where": "far", "why": "so"}]}
    assert said(meant) == {}


@pytest.mark.parametrize(
    ("more", "level"),
    [
        ({"outline": "straight"}, "caution"), ({"outline": "cut"}, "caution"), ({}, "caution"),
        ({"outline": "free"}, None), ({"outline": "blocked"}, None), ({"outline": "ruffled"}, None),
        ({"outline": "drawn in"}, None), ({"use": "sculpture"}, None), ({"use": "swatch"}, None),
        ({"use": "openwork"}, None),
        ({"stage": "light"}, None), ({"stage": "prefelt"}, None), ({"stage": "hard"}, "caution"),
    ],
)  # fmt: skip
def test_where_a_heavy_half_matters(more: Plain, level: str | None) -> None:
    assert said(heavier(2.1, **more)).get("uneven-shrinking") == level


def test_over_a_resist_a_heavy_half_is_right() -> None:
    recipe = heavier(2.1, over="flat resist", use="bag")
    for layer in recipe["layers"]:
        layer["face"] = "both"
    assert said(recipe) == {}


def test_a_light_part_of_slow_wool_may_keep_pace() -> None:
    """Half the weight shrinks more, half the speed less: together about as its neighbour."""
    slow = {"slow": {"fibre": "perendale", "preparation": "carded batt", "fineness": "32 um"}}

    def panel(amount: float) -> Plain:
        return sheet(
            laid("oat", g(700), "random", zone="near"), laid("slow", g(amount), "random", zone="far"),
            use="wall panel", size="60 x 40 cm", zones=BANDS, lots=slow,
        )  # fmt: skip

    assert said(panel(700)) == {"uneven-shrinking": "caution"}
    assert said(panel(320)) == {}


def test_waivers_and_places_of_a_finding() -> None:
    recipe = heavier(2.2)
    (found,) = report_of(recipe).findings
    assert found.spot.pointer == "/layers/1" and "2.2 times as heavy" in found.message
    assert (
        "“far”" in found.message and "in the south half" in found.message and len(found.marks) == 1
    )
    for where in ("far", "layer 2", "oat"):
        waiver = {"rule": "uneven-shrinking", "where": where, "why": "tried it"}
        assert report_of({**recipe, "waivers": [waiver]}).findings[0].waived == "tried it"
    elsewhere = {"rule": "uneven-shrinking", "where": "near", "why": "no"}
    assert report_of({**recipe, "waivers": [elsewhere]}).findings[0].waived is None


def test_the_advice_of_a_heavy_half_is_enough() -> None:
    """What it says to lay beside it, or to bring it down to, ends the finding."""
    (found,) = report_of(heavier(2.5)).findings
    more, down = (float(one) for one in re.findall(r"about ([\d.]+) g/m²", found.do))
    assert said(heavier((down - 1) / 300)) == {}
    lifted = sheet(
        laid("oat", g(300 + more + 1), "random", zone="near"),
        laid("oat", g(750), "random", zone="far"),
        use="wall panel", size="60 x 40 cm", zones=BANDS,
    )  # fmt: skip
    assert said(lifted) == {}


def test_the_advice_of_a_slow_half_is_enough() -> None:
    recipe = cored(0.6, "firm")
    (found,) = report_of(recipe).findings
    (part,) = (float(one) for one in re.findall(r"about ([\d.]+) g/m²", found.do))
    assert said(cored(0.6 - (part + 1) / 600, "firm")) == {}


def test_many_stripes_of_one_wool_are_one_finding() -> None:
    zones = {
        f"s{k}": {"shape": "band", "along": "west", "from": f"{12 * k} cm", "to": f"{12 * k + 12} cm"}
        for k in range(5)
    }  # fmt: skip
    slow = {"slow": {"fibre": "perendale", "preparation": "carded batt", "fineness": "32 um"}}
    stripes = {
        "name": "stripes",
        "direction": "random",
        "placements": [
            {"of": "slow" if k % 2 else "batt oat", "amount": "400 g/m²", "zone": f"s{k}"}
            for k in range(5)
        ],
    }
    recipe = sheet(stripes, use="wall panel", size="60 x 40 cm", zones=zones, lots=slow)
    (found,) = report_of(recipe).findings
    assert "other borders" in found.message and len(found.marks) == 2


def test_what_is_bare_or_loose_comes_first_and_this_hangs_under_it() -> None:
    recipe = sheet(
        laid("oat", g(60), "random"),
        laid("oat", g(360), "random", zone="near"), laid("washable", g(360), "random", zone="far"),
        use="wall panel", size="60 x 40 cm", stage="hard", zones=BANDS,
    )  # fmt: skip
    report = report_of(recipe)
    hung = [(f.rule, e.rule) for f in report.findings for e in f.explains]
    assert [rule for _, rule in hung].count("uneven-shrinking") == 1, shown(report)
    assert "uneven-shrinking" not in verdicts(report)


# one face of a resist against the other -----------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "level"),
    [
        ({}, "caution"), ({"use": "hat", "outline": "blocked", "back": 150}, "caution"),
        ({"use": "mittens", "back": 130}, "caution"),
        ({"stage": "hard"}, "caution"), ({"stage": "light"}, None), ({"stage": None}, "unsaid"),
        ({"use": "slippers"}, None), ({"use": "boots"}, None), ({"use": "bowl"}, None),
        ({"use": "pet cave"}, None), ({"use": "sculpture"}, None), ({"use": None}, None),
        ({"outline": "ruffled"}, None),
    ],
)  # fmt: skip
def test_where_a_heavy_front_matters(more: Plain, level: str | None) -> None:
    assert said(fronted(2.3, **more)).get("uneven-shrinking") == level


@pytest.mark.parametrize(("more", "level"), [
    ({}, "caution"), ({"role": "accent"}, None), ({"role": "veil"}, None), ({"lay": "wisps"}, None),
])  # fmt: skip
def test_what_decorates_a_front_is_not_weighed(more: Plain, level: str | None) -> None:
    recipe = fronted(1.0)
    recipe["layers"].append({**laid("oat", g(550), "random", face="front", name="heap"), **more})
    assert said(recipe).get("uneven-shrinking") == level


def test_faces_swapped_or_written_as_each_get_the_same_answer() -> None:
    """An amount on each face is one on the front and one on the back."""
    recipe = fronted(2.2)
    for layer in recipe["layers"]:
        layer["face"] = {"front": "back", "back": "front"}[layer["face"]]
    (found,) = report_of(recipe).findings
    assert "The back is laid 2.2 times as heavy as the front" in found.message
    ways = ("north-south", "east-west")
    crossed = [laid("oat", g(200), way, face="each") for way in ways]
    more = [laid("oat", g(240), way, face="front", name=f"more {way}") for way in ways]
    (found,) = report_of(
        sheet(*crossed, *more, use="bag", size="40 x 30 cm", over="flat resist")
    ).findings
    assert found.spot.pointer == "/layers/2" and "2.2 times" in found.message


def test_slow_wool_on_one_face_is_named_for_what_it_is() -> None:
    slow = {"slow": {"fibre": "perendale", "preparation": "carded batt", "fineness": "32 um"}}
    layers = [
        laid(of, g(250), way, face=face)
        for face, of in (("front", "slow"), ("back", "oat")) for way in ("north-south", "east-west")
    ]  # fmt: skip
    bag = sheet(*layers, use="bag", size="40 x 30 cm", over="flat resist", lots=slow, stage="hard")
    (found,) = report_of(bag).findings
    assert found.spot.pointer == "/layers/0" and "of wool that felts more slowly" in found.message


@pytest.mark.parametrize("what", ["relief", "thick", "thin"])
@pytest.mark.parametrize("where", ["front", "back", "layer 1", None])
def test_a_heavy_front_may_be_meant(what: str, where: str | None) -> None:
    purpose = {"what": what, "why": "it carries", **({"where": where} if where else {})}
    report = report_of(fronted(2.2, on_purpose=[purpose]))
    assert verdicts(report) == {} and report.purposes[0].matched, shown(report)


def test_the_advice_of_a_heavy_front_is_enough() -> None:
    (found,) = report_of(fronted(2.6)).findings
    more, down = (float(one) for one in re.findall(r"about ([\d.]+) g/m²", found.do))
    assert said(fronted((down - 1) / 400)) == {}
    recipe = fronted(2.6)
    for layer in recipe["layers"][2:]:
        layer["amount"] = g(200 + (more + 1) / 2)
    assert said(recipe) == {}


def test_a_back_that_was_half_forgotten_is_told_once() -> None:
    """One layer is missing: what is left pulls one way, and that comes first."""
    recipe = fronted(1.4)
    del recipe["layers"][-1]
    report = report_of(recipe)
    assert "uneven-shrinking" not in verdicts(report), shown(report)
    hung = [(f.rule, e.rule) for f in report.findings for e in f.explains]
    assert [rule for _, rule in hung].count("uneven-shrinking") == 1, shown(report)


# slips in what the amounts are for ----------------------------------------------------------------


def pair(amount: str, amounts_for: str, face: str = "both") -> Plain:
    layers = [
        laid("dune", amount, way, face=face) for way in ("north-south", "east-west")
    ]  # fmt: skip
    return sheet(
        *layers, use="mittens", over="flat resist", size="18 x 28 cm", stage="hard", how_many=2,
        amounts_for=amounts_for,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("recipe", "words"),
    [
        (pair("50 g", "one"), "if they are for all 2 pieces, it is 496 g/m²"),
        (pair("17 g", "all"), "if they are for one piece, it is 337 g/m²"),
        (pair("17 g", "all", face="each"), None),
        (pair("8 g", "one"), "if they are for each face, it is 317 g/m²"),
        (pair("8 g", "one", face="each"), None),
        (pair("900 g/m²", "one"), ""),
        (pair("400 g", "one"), ""),
    ],
)
def test_a_slip_is_named_only_where_undoing_it_is_usual(recipe: Plain, words: str | None) -> None:
    found = [f for f in report_of(recipe).findings if f.rule == "weight-for-use"]
    if words is None:
        assert found == []
        return
    (finding,) = found
    assert (words in finding.message) and ("if they are" in finding.message) == bool(words)
    assert (", or write" in finding.do) == bool(words)


def test_too_light_on_most_of_it_is_told_once_and_of_the_piece() -> None:
    slippers = sheet(
        laid("gull", g(60), "north-south", face="both"), laid("gull", g(60), "east-west", face="both"),
        use="slippers", over="flat resist", size="20 x 40 cm",
    )  # fmt: skip
    (found,) = report_of(slippers).findings
    assert (found.rule, found.spot.pointer) == ("weight-for-use", "/piece")
    thin = {**slippers, "on purpose": [{"what": "thin", "why": "for a doll's house"}]}
    assert said(thin) == {}
    for where in ("whole", "gull"):
        waiver = {"rule": "weight-for-use", "where": where, "why": "so"}
        assert report_of({**slippers, "waivers": [waiver]}).findings[0].waived == "so"


def test_one_face_too_light() -> None:
    bag = sheet(
        laid("dune", g(220), "north-south", face="both"), laid("dune", g(220), "east-west", face="front"),
        use="bag", over="flat resist", size="40 x 40 cm", outline="free",
    )  # fmt: skip
    found = [f for f in report_of(bag).findings if f.rule == "weight-for-use"]
    assert [f.spot.pointer for f in found] == ["/piece"], "half of all that is laid"


def test_a_right_check_measures_no_borders() -> None:
    """Where all stacks shrink alike no border is looked for: what is alike costs nothing."""
    alike = felt_engine.measure(felt_engine.load(text_of(heavier(1.2)), name="x"))
    (rule,) = [
        one.rule for one in felt_engine.Engine().rule_book.rules if one.rule.id == "uneven-shrinking"
    ]  # fmt: skip
    assert list(rule.judge(felt_engine.Bench(rule, alike, {}))) == []
    assert "_borders" not in vars(alike.faces[0])
    unlike = felt_engine.measure(felt_engine.load(text_of(heavier(2.2)), name="x"))
    assert len(list(rule.judge(felt_engine.Bench(rule, unlike, {})))) == 1
    assert "_borders" in vars(unlike.faces[0])


def test_a_prefelt_of_anything_may_be_light() -> None:
    """It is on its way to something; a sheet of prefelt has a band of its own."""
    for use, stage, level in (
        ("craft sheet", "firm", "caution"), ("craft sheet", "prefelt", None),
        ("prefelt sheet", "prefelt", None), ("cushion", "prefelt", None), ("cushion", "firm", "caution"),
    ):  # fmt: skip
        recipe = sheet(laid("oat", g(140), "random"), use=use, stage=stage)
        assert said(recipe).get("weight-for-use") == level, (use, stage)
    assert said(sheet(laid("oat", g(950), "random"), use="cushion", stage="prefelt")) == {
        "weight-for-use": "caution"
    }
