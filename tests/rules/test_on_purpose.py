"""Purposes and waivers: each changes the verdict of what it names, and of nothing else."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from kit_rules import Plain, cases, laid, report_of, said, sheet, shown, verdicts

import felt_engine

WHY = "the shop's own way"

UNCROSSED = [laid("sheet white", "0.4 oz"), laid("ice", "0.65 oz", "east-west", name="ground")]


def meant(recipe: Plain, what: str, where: str | None = None) -> Plain:
    """The same recipe with one more thing on purpose."""
    full = copy.deepcopy(recipe)
    purpose = {"what": what, "why": WHY, **({"where": where} if where else {})}
    full["on purpose"] = [*full.get("on purpose", []), purpose]
    return full


def waived(recipe: Plain, rule: str, where: str) -> Plain:
    """The same recipe with one more finding accepted."""
    full = copy.deepcopy(recipe)
    full["waivers"] = [*full.get("waivers", []), {"rule": rule, "where": where, "why": WHY}]
    return full


def two_wrongs() -> Plain:
    """Two clumps of viscose in two zones, and no cross layer."""
    zones = {
        "sun": {"shape": "round", "size": "3 in", "at": "3 in east, 9 in north"},
        "moon": {"shape": "round", "size": "3 in", "at": "9 in east, 3 in north"},
    }
    lights = {
        "name": "lights",
        "direction": "random",
        "placements": [
            {"of": "viscose", "amount": "120 g/m²", "zone": "sun"},
            {"of": "viscose", "amount": "120 g/m²", "zone": "moon"},
        ],
    }
    return sheet(*UNCROSSED, lights, zones=zones)


def levels(recipe: Plain) -> list[tuple[str, str, str, bool]]:
    report = report_of(recipe)
    return sorted((f.rule, f.level, f.spot.pointer, f.waived is not None) for f in report.findings)


WRONG = levels(two_wrongs())


def test_three_things_are_wrong_to_begin_with() -> None:
    assert WRONG == [
        ("direction-balance", "fault", "/layers/1", False),
        ("luster-carrier", "fault", "/layers/2/placements/0", False),
        ("luster-carrier", "fault", "/layers/2/placements/1", False),
    ]


PURPOSES = [
    ("laid one way", None, WRONG[1:]),
    ("laid one way", "ground", WRONG[1:]),
    ("laid one way", "ice", WRONG[1:]),
    ("loose fibre", None, WRONG[:1]),
    ("loose fibre", "lights", WRONG[:1]),
    ("loose fibre", "sun", [WRONG[0], WRONG[2]]),
    ("loose fibre", "moon", WRONG[:2]),
    ("loose fibre", "viscose", WRONG[:1]),
]


@pytest.mark.parametrize(("what", "where", "left"), PURPOSES)
def test_a_purpose_takes_away_what_it_names_and_no_more(
    what: str, where: str | None, left: list[Any]
) -> None:
    recipe = meant(two_wrongs(), what, where)
    assert levels(recipe) == left
    (purpose,) = report_of(recipe).purposes
    assert (purpose.what, purpose.where, purpose.why) == (what, where or "whole", WHY)
    assert purpose.matched and purpose.spot.pointer == "/on purpose/0"


IDLE = [
    ("thin", "sun"),
    ("show-through", None),
    ("laid one way", "lights"),
    ("loose fibre", "ground"),
]


@pytest.mark.parametrize(("what", "where"), IDLE)
def test_a_purpose_for_something_else_changes_no_finding(what: str, where: str | None) -> None:
    report = report_of(meant(two_wrongs(), what, where))
    rules = {f.rule for f in report.findings}
    found = sorted(
        (f.rule, f.level, f.spot.pointer, False) for f in report.findings if f.level != "note"
    )
    assert found == WRONG and rules >= {"direction-balance", "luster-carrier"}


WAIVERS = [
    ("direction-balance", "ground", [0]),
    ("luster-carrier", "lights", [1, 2]),
    ("luster-carrier", "sun", [1]),
    ("luster-carrier", "moon", [2]),
    ("luster-carrier", "viscose", [1, 2]),
    ("luster-carrier", "ground", []),
    ("thin-layer", "sun", []),
]


@pytest.mark.parametrize(("rule", "where", "which"), WAIVERS)
def test_a_waiver_marks_what_it_names_and_leaves_it_listed(
    rule: str, where: str, which: list[int]
) -> None:
    report = report_of(waived(two_wrongs(), rule, where))
    found = sorted(
        (f.rule, f.level, f.spot.pointer, f.waived) for f in report.findings if f.level != "note"
    )
    expect = [(*one[:3], WHY if k in which else None) for k, one in enumerate(WRONG)]
    assert found == expect
    assert [w.matched for w in report.waivers] == [bool(which)]
    assert report.exit_status() == 1


def test_waived_findings_leave_the_exit_status_and_the_verdict() -> None:
    recipe = two_wrongs()
    for rule, where in (("direction-balance", "ground"), ("luster-carrier", "lights")):
        recipe = waived(recipe, rule, where)
    report = report_of(recipe)
    assert len(report.findings) == 3 and all(f.waived == WHY for f in report.findings)
    assert report.verdict == "right"
    assert [report.exit_status(level) for level in ("fault", "caution", "note")] == [0, 0, 0]
    assert all(w.matched and w.why == WHY for w in report.waivers)


def test_a_waiver_for_the_whole_fits_a_finding_about_the_whole_and_no_other() -> None:
    found = levels(waived(two_wrongs(), "direction-balance", "whole"))
    assert [one[3] for one in found if one[1] != "note"] == [True, False, False]
    notes = [f.message for f in report_of(waived(two_wrongs(), "luster-carrier", "whole")).findings]
    assert (
        "There is nothing about the piece as a whole that “luster-carrier” would excuse." in notes
    )
    found = levels(waived(two_wrongs(), "luster-carrier", "whole"))
    assert [one[3] for one in found if one[1] != "note"] == [False, False, False]


def test_a_purpose_for_the_whole_piece_needs_no_place() -> None:
    thin = sheet(laid("mist", "15 g/m²", "random"), use="scarf", stage="light")
    assert said(thin) == {"thin-layer": "fault"}
    assert said(meant(thin, "thin")) == {}
    assert said(meant(thin, "thin", "whole")) == {}


def test_a_thin_rim_on_purpose_leaves_a_hole_elsewhere() -> None:
    zones = {
        "west": {"shape": "band", "along": "west", "to": "12 cm"},
        "middle": {"shape": "band", "along": "west", "from": "11 cm", "to": "33 cm"},
        "east": {"shape": "band", "along": "east", "to": "8 cm"},
    }
    parts = {
        "name": "sheet",
        "direction": "random",
        "placements": [
            {"of": "oat", "amount": "30 g/m²", "zone": "west"},
            {"of": "oat", "amount": "350 g/m²", "zone": "middle"},
            {"of": "moss", "amount": "30 g/m²", "zone": "east"},
        ],
    }
    recipe = sheet(parts, zones=zones, size="40 x 40 cm")
    wheres = [f.where for f in report_of(meant(recipe, "thin", "west")).findings]
    assert len(wheres) == 1 and "east" in wheres[0]
    wheres = [f.where for f in report_of(meant(recipe, "thin", "moss")).findings]
    assert len(wheres) == 1 and "west" in wheres[0]
    assert len(report_of(recipe).findings) == 2
    assert said(meant(meant(recipe, "thin", "west"), "thin", "east")) == {}


def frilled(**more: Any) -> Plain:
    """A collar whose body is crossed and whose frill, along the near edge, is not."""
    zones = {
        "body": {"shape": "band", "along": "north", "to": "30 cm"},
        "frill": {"shape": "band", "along": "south", "to": "10 cm"},
    }
    return sheet(
        laid("oat", "150 g/m²", "east-west", name="along"),
        laid("oat", "150 g/m²", "north-south", name="across", zone="body"),
        use="collar", size="100 x 40 cm", zones=zones, **more,
    )  # fmt: skip


def test_a_frill_that_is_meant_need_not_be_a_zone_of_any_amount() -> None:
    recipe = frilled()
    (found,) = report_of(recipe).findings
    assert (found.rule, found.level) == ("direction-balance", "caution")
    assert "south edge" in found.where
    report = report_of(meant(recipe, "laid one way", "frill"))
    assert report.findings == () and report.purposes[0].matched
    assert levels(waived(recipe, "direction-balance", "frill"))[0][3] is True
    assert levels(meant(recipe, "laid one way", "body"))[0][1] == "caution"
    assert levels(waived(recipe, "direction-balance", "body"))[0][3] is False


def test_a_frill_that_is_meant_leaves_a_fault_in_the_body() -> None:
    recipe = frilled()
    recipe["layers"][1] |= {"amount": "18 g/m²"}
    assert said(recipe)["direction-balance"] == "fault"
    assert said(meant(recipe, "laid one way", "frill"))["direction-balance"] == "fault"


def test_a_bare_rim_that_is_meant_leaves_a_hole_inside() -> None:
    zones = {
        "edge": {"shape": "rim", "width": "4 cm"},
        "west": {"shape": "band", "along": "west", "to": "18 cm"},
        "east": {"shape": "band", "along": "east", "to": "18 cm"},
    }
    sound = [laid("oat", "200 g/m²", d, short="4 cm") for d in ("east-west", "north-south")]
    recipe = sheet(*sound, size="40 x 40 cm", zones=zones)
    assert said(recipe) == {"rows-and-laps": "fault"}
    assert said(meant(recipe, "thin", "edge")) == {}
    both = waived(waived(recipe, "thin-layer", "edge"), "rows-and-laps", "edge")
    assert report_of(both).exit_status() == 0
    holed = sheet(
        *(laid("oat", "400 g/m²", "random", zone=side, short="4 cm") for side in ("west", "east")),
        size="40 x 40 cm", zones=zones,
    )  # fmt: skip
    assert said(meant(holed, "thin", "edge")) == {"thin-layer": "fault"}


def test_a_waiver_at_one_spot_does_not_cover_a_fault_all_over() -> None:
    zones = {"sun": {"shape": "round", "size": "15 cm", "at": "20 cm east, 20 cm north"}}
    recipe = sheet(
        laid("oat", "30 g/m²", "random", name="base"),
        laid("oat", "5 g/m²", "random", name="sun", zone="sun"),
        zones=zones, size="40 x 40 cm",
    )  # fmt: skip
    found = report_of(waived(recipe, "thin-layer", "sun")).findings
    assert [f.waived for f in found if f.level == "fault"] == [None]
    for where in ("base", "oat", "whole"):
        found = report_of(waived(recipe, "thin-layer", where)).findings
        assert [f.waived for f in found if f.level == "fault"] == [WHY]


def test_colours_that_are_to_mix_on_one_face_only() -> None:
    layers = [
        laid("ink", "300 g/m²", "random", face="both"),
        laid("chalk", "110 g/m²", "random", face="both", role="cover"),
    ]
    recipe = sheet(*layers, use="bag", over="flat resist", size="40 x 40 cm")
    assert said(recipe) == {"halo-clash": "fault"}
    front = report_of(meant(recipe, "show-through", "front"))
    assert verdicts(front) == {"halo-clash": "fault"}, shown(front)
    assert "back" in " ".join(f.message + f.where for f in front.findings)
    assert said(meant(meant(recipe, "show-through", "front"), "show-through", "back")) == {}


def test_one_face_laid_one_way_on_purpose() -> None:
    layers = [
        laid("broad", "200 g/m²", "east-west", face="both"),
        laid("broad", "200 g/m²", "east-west", face="both"),
    ]
    recipe = sheet(*layers, use="bag", over="flat resist", size="40 x 40 cm")
    assert len(report_of(recipe).findings) == 2
    left = report_of(meant(recipe, "laid one way", "back")).findings
    assert [f.where for f in left] == ["the front"]


RIGHT = list(cases("right.yaml"))


@pytest.mark.parametrize("case", RIGHT, ids=lambda case: case.name)
def test_saying_a_purpose_never_makes_a_right_recipe_a_faulty_one(case: Any) -> None:
    layers = [layer["name"] for layer in case.recipe["layers"]]
    for what in ("laid one way", "thin", "loose fibre", "show-through"):
        for where in (None, *layers):
            assert said(meant(case.recipe, what, where)) == {}, (what, where)


def test_one_loose_fibre_on_purpose_does_not_excuse_another_in_the_same_place() -> None:
    recipe = sheet(
        laid("oat", "400 g/m²", "random"),
        laid("nylon", "90 g/m²", "random", name="underlay"),
        laid("viscose", "45 g/m²", "random", name="sheen"),
        use="wall panel",
    )  # fmt: skip
    assert [f.spot.pointer for f in report_of(recipe).findings] == ["/layers/2"]
    by_sheen = report_of(meant(recipe, "loose fibre", "sheen")).findings
    assert {f.spot.pointer for f in by_sheen} <= {"/layers/1"}
    assert levels(meant(meant(recipe, "loose fibre", "sheen"), "loose fibre", "underlay")) == []


def test_a_known_purpose_of_the_whole_is_never_queried() -> None:
    """It tells a reader what is meant, whether a rule would have asked or not."""
    right = sheet(*(laid("oat", "200 g/m²", way) for way in ("east-west", "north-south")))
    assert said(right) == {}
    for what in ("thin", "worked one way", "resist stays in"):
        report = report_of(meant(right, what))
        assert not report.findings and not report.purposes[0].matched, shown(report)
    for asked in (meant(right, "laid one wey"), meant(right, "loose fibre", "layer 1")):
        assert [one.rule for one in report_of(asked).findings] == ["on-purpose"]


HALO = """\
piece: {title: T, use: swatch, shape: rectangle, over: flat resist, laid out: 30 x 24 cm, stage: firm,
  shows: [outside]}
lots:
  w: {fibre: corriedale, preparation: carded batt, colour: white}
  k: {fibre: corriedale, preparation: carded batt, colour: black}
layers:
  - {name: in, of: k, amount: 20 g, face: each, direction: random}
  - {name: out, of: w, amount: 4 g, face: each, direction: random, role: cover}
"""  # fmt: skip
THIN = """\
piece: {title: T, use: cushion, shape: rectangle, laid out: 60 x 40 cm, stage: firm}
lots: {k: {fibre: merino, preparation: carded batt}}
zones:
  front: {shape: band, along: west, to: 30 cm}
  back: {shape: band, along: east, to: 30 cm}
layers:
  - name: a
    direction: random
    placements: [{of: k, amount: 1 g, zone: front}, {of: k, amount: 1 g, zone: back}]
"""
TURNED = """\
piece: {{title: T, use: swatch, shape: rectangle, over: flat resist, laid out: 40 x 30 cm, stage: firm}}
lots:
  w: {{fibre: merino, preparation: carded batt}}
  s: {{fibre: silk, preparation: {made}}}
layers:
  - {{name: ground, of: w, amount: 40 g, face: each, direction: random}}
  - name: shine
    wraps: 2 cm
    placements: [{{of: s, amount: 15 g, face: front}}, {{of: s, amount: 15 g, face: back}}]
  - {{name: over, of: w, amount: {over}, face: each, direction: random}}
"""
SIDES = {
    "halo-clash": HALO,
    "thin-layer": THIN,
    "luster-carrier": TURNED.format(made="combed top", over="0.1 g"),
    "cut-off-layer": TURNED.format(made="close cloth", over="40 g"),
}


@pytest.mark.parametrize("rule", SIDES)
def test_a_waiver_for_one_side_accepts_nothing_that_lies_on_the_other(rule: str) -> None:
    def left(*wheres: str) -> list[str]:
        waivers = "".join(f"  - {{rule: {rule}, where: {one}, why: {one} so}}\n" for one in wheres)
        report = felt_engine.check(SIDES[rule] + (f"waivers:\n{waivers}" if waivers else ""))
        return [f.where for f in report.findings if f.rule == rule and f.waived is None]

    told = left()
    assert told and all("back" not in where for where in left("back") if len(told) > 1)
    assert left("front") and left("back") and not left("front", "back")
    assert all("front" not in where for where in left("front") if len(told) > 1)


def test_a_finding_that_two_waivers_hold_together_gives_both_their_reasons() -> None:
    both = "waivers: [{rule: thin-layer, where: front, why: a}, {rule: thin-layer, where: back, why: b}]\n"
    (found,) = felt_engine.check(THIN + both).findings
    assert found.waived == "a; b"
    one, note = felt_engine.check(THIN + both.partition(", {")[0] + "]\n").findings
    assert one.waived is None and "nothing wholly at “front”" in note.message
