"""Rows, laps, gaps, rims and edges: the two tables, and what a table can't show."""

from __future__ import annotations

import copy

import pytest
from kit_rules import Case, Plain, cases, laid, report_of, said, sheet, shown, verdicts

from felt_engine.model.place import join

TABLES = {name: tuple(cases(f"{name}.yaml")) for name in ("rows", "edges")}
EVERY = [
    pytest.param(case, id=f"{name}: {case.name}")
    for name, table in TABLES.items()
    for case in table
]


@pytest.mark.parametrize("case", EVERY)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)


def test_there_are_at_least_as_many_right_recipes_as_others() -> None:
    for table in TABLES.values():
        right = [case for case in table if not case.expect]
        assert 2 * len(right) >= len(table) and len({case.name for case in table}) == len(table)


# either side of each limit ------------------------------------------------------------------------


def rule(recipe: Plain, name: str = "rows-and-laps") -> str | None:
    return said(recipe).get(name)


def banded(
    gap: float, role: str | None = "cover", ground: float = 400, side: float = 400, of: str = "oat"
) -> Plain:
    """A ground under two bands with a gap between them, mm."""
    half = (side - gap) / 2
    zones = {
        "near": {"shape": "band", "along": "south", "to": f"{half} mm"},
        "far": {"shape": "band", "along": "north", "to": f"{half} mm"},
    }
    each = "200 g/m²" if ground else "400 g/m²"
    placements = [{"of": of, "amount": each, "zone": zone} for zone in zones]
    top: Plain = {"name": "bands", "direction": "random", "placements": placements}
    if role:
        top["role"] = role
    below = [laid("oat", f"{ground} g/m²", "random", name="ground")] if ground else []
    return sheet(*below, top, size=f"{side} mm x {side} mm", zones=zones)


GAPS = [
    (14, 400, "cover", None), (16, 400, "cover", "caution"),
    (16, 400, None, None), (59, 400, None, None),
    (59, 400, "cover", "caution"), (61, 400, "cover", None),
    # nothing below: up to 1 cm they butt, from there on nothing lies there (thin-layer hangs under it)
    (9, 0, None, "caution"), (11, 0, None, "fault"), (26, 0, None, "fault"), (61, 0, None, None),
    # 1 - (gap / 50) x 200/500: 0.70 at 37.5 mm
    (37, 300, "structure", None), (38, 300, "structure", "caution"),
    (59, 500, "structure", None),
]  # fmt: skip


@pytest.mark.parametrize(("gap", "ground", "role", "level"), GAPS)
def test_a_gap_by_its_width(gap: float, ground: float, role: str | None, level: str | None) -> None:
    assert rule(banded(gap, role, ground)) == level


def test_a_gap_on_a_small_piece_counts_by_its_size() -> None:
    """4 % of 10 cm are 4 mm: there a gap of 6 mm is a gap, on 40 cm it is a butt join."""
    assert "butts" in report_of(banded(6, None, 0)).findings[0].message
    assert "gap" in report_of(banded(6, None, 0, side=100)).findings[0].message


@pytest.mark.parametrize(("shared", "level"), [(76, "caution"), (84, None)])
def test_a_seam_by_what_runs_across(shared: float, level: str | None) -> None:
    """A fifth of the lighter side: 80 of 400 g/m²."""
    recipe = banded(0, None, 0, of="sheet white")
    recipe["layers"][0]["placements"][0]["amount"] = f"{400 - shared} g/m²"
    recipe["layers"].append({"name": "over", "of": "sheet white", "amount": f"{shared} g/m²"})
    assert rule(recipe) == level


@pytest.mark.parametrize(("across", "level"), [(45, None), (55, "caution")])
def test_a_short_seam_is_held_by_its_ends(across: float, level: str | None) -> None:
    """A tab of its own beside a body, joined along so many mm."""
    zones = {
        "body": {"shape": "band", "along": "west", "to": "300 mm"},
        "tab": {"shape": "rectangle", "size": f"100 mm x {across} mm", "at": "300 mm east, 100 mm north"},
    }  # fmt: skip
    layers = [laid("sheet white", "400 g/m²", zone=zone) for zone in zones]
    recipe = sheet(*layers, size="400 mm x 400 mm", zones=zones)
    assert rule(recipe) == level


def rowed(**more: object) -> Plain:
    """Two crossed layers, 60 x 40 cm; the first in rows of 12 cm tufts, seven of them at a third."""
    along = laid("oat", "170 g/m²", "east-west", name="along", lay="shingle", tuft="6 x 12 cm")
    along |= more
    across = laid("oat", "170 g/m²", "north-south", name="across")
    return sheet(along, across, size="60 x 40 cm")


@pytest.mark.parametrize(
    ("rows", "overlap", "level"),
    [
        (7, "1/3", None), (6, "20 %", None), (6, "21 %", None), (6, "23 %", "caution"),
        (5, "1/3", "caution"), (5, None, "caution"), (4, None, "fault"), (4, "5 %", "fault"),
        (9, "1/3", None), (7, None, None), (6, None, None),
    ],
)  # fmt: skip
def test_rows_by_their_number(rows: int, overlap: str | None, level: str | None) -> None:
    """Six at 20 % reach 60 cm, at 21 % 59.4, at 23 % 58.2; a tenth of a tuft, 1.2 cm, is let pass.

    Five only meet at 60 cm; four would have to be of 15 cm, and 15 % longer than 12 is 13.8.
    """
    assert rule(rowed(rows=rows, **({"overlap": overlap} if overlap else {}))) == level


@pytest.mark.parametrize(
    ("overlap", "level"), [("0 %", "caution"), ("1 %", "caution"), ("3 %", None)]
)
def test_rows_that_only_meet(overlap: str, level: str | None) -> None:
    """Blunt ends, so that nothing is thin there; with thin ends 3 % is still too little."""
    assert rule(rowed(overlap=overlap, taper="0 %")) == level
    assert rule(rowed(overlap=overlap, taper="25 %")) == "caution"


@pytest.mark.parametrize("overlap", ["25 %", "1/2", "3/4"])
def test_rows_that_lap_more_than_their_taper_are_never_thin(overlap: str) -> None:
    """Half over half is two tufts and one in turn: a ridge, and no thin line."""
    one = laid("hill batt", "700 g/m²", "east-west", lay="shingle", overlap=overlap, taper="25 %")
    recipe = sheet({**one, "tuft": "10 x 25 cm"}, use="seat pad", size="60 x 60 cm")
    assert rule(recipe) is None


def test_rows_that_only_meet_where_nothing_else_lies_are_a_fault() -> None:
    one = laid("hill batt", "700 g/m²", "east-west", lay="shingle", overlap="0 %", tuft="6 x 12 cm")
    recipe = sheet({**one, "taper": "60 %"}, use="seat pad", size="50 x 50 cm")
    assert rule(recipe) == "fault"
    assert rule(sheet({**one, "taper": "0 %"}, use="seat pad", size="50 x 50 cm")) == "caution"
    light = laid("oat", "80 g/m²", "east-west", lay="shingle", overlap="0 %")
    ground = laid("oat", "340 g/m²", "random")
    assert rule(sheet(ground, light)) is None
    assert rule(sheet(ground, {**light, "amount": "90 g/m²"})) == "caution"


@pytest.mark.parametrize(
    ("outline", "short", "base", "level"),
    [
        ("straight", 11, 300, None), ("straight", 12.5, 300, "caution"),
        ("straight", 26, 300, "caution"), ("free", 26, 300, None), ("cut", 26, 300, None),
        ("ruffled", 26, 300, None), (None, 26, 300, None), ("straight", 26, 100, None),
    ],
)  # fmt: skip
def test_a_rim_by_what_stops_short(
    outline: str | None, short: float, base: float, level: str | None
) -> None:
    """1 - short / 25 x 300 / 600 is 0.75 at 12.5 mm; the ends of the strip are shorter by as much."""
    recipe = sheet(
        laid("oat", f"{base} g/m²", "random", name="base", role="structure", short=f"{short} mm"),
        laid("oat", "150 g/m²", "east-west"), laid("oat", "150 g/m²", "north-south"),
        size="40 x 40 cm", **({"outline": outline} if outline else {}),
    )  # fmt: skip
    assert rule(recipe) == level


def torn(share: float, **more: object) -> Plain:
    """A torn batt, so much of the weight, under cut ones."""
    first = laid("batt oat", f"{500 * share} g/m²", "random", name="torn", lay="batt")
    rest = laid("batt oat", f"{500 * (1 - share)} g/m²", "random", name="cut", lay="batt")
    return sheet(
        {**first, "batt edges": "torn", **more}, rest, size="40 x 40 cm", outline="straight"
    )


@pytest.mark.parametrize(("share", "level"), [(0.36, None), (0.37, "caution")])
def test_a_rim_by_its_torn_batt(share: float, level: str | None) -> None:
    """Over the outer 25 of 40 mm a torn edge has 0.3125 of its weight: 1 - 0.6875 x 0.364 = 0.75."""
    assert rule(torn(share)) == level


@pytest.mark.parametrize("how", [{"past": "4 cm"}, {"turned in": "2 cm"}])
def test_what_is_laid_past_or_turned_in_is_no_torn_rim(how: Plain) -> None:
    assert rule(torn(0.6)) == "caution"
    assert rule(torn(0.6, **how)) is None


# advice, purposes, waivers, places ----------------------------------------------------------------


def shingled(**more: object) -> Plain:
    layers = [laid("oat", "170 g/m²", way, lay="shingle") for way in ("east-west", "north-south")]
    return sheet(*layers, size="40 x 40 cm", **more)


def test_rows_up_to_an_even_edge_get_one_tip_and_no_finding() -> None:
    report = report_of(shingled(outline="straight"))
    assert [tip.rule for tip in report.tips] == ["rows-and-laps"] and not report.findings
    assert report.exit_status("note") == 0
    for outline in ("free", "cut", "ruffled"):
        assert not report_of(shingled(outline=outline)).tips
    assert not report_of(shingled()).tips
    past = shingled(outline="straight")
    for layer in past["layers"]:
        layer["past"] = "3 cm"
    assert not report_of(past).tips
    round_one = shingled(outline="round", shape="round")
    round_one["piece"]["laid out"] = "40 cm across"
    tips = [tip for tip in report_of(round_one).tips if tip.rule == "rows-and-laps"]
    assert len(tips) == 1


def test_a_gap_is_silenced_by_its_purpose_and_by_nothing_else() -> None:
    recipe = banded(40)
    assert rule(recipe) == "caution"
    for where in ("bands", "near", "whole"):
        meant = {**recipe, "on purpose": [{"what": "gap", "where": where, "why": "a slit"}]}
        assert said(meant) == {}, where
    other = {**recipe, "on purpose": [{"what": "gap", "where": "ground", "why": "a slit"}]}
    assert rule(other) == "caution"
    waived = {**recipe, "waivers": [{"rule": "rows-and-laps", "where": "bands", "why": "so"}]}
    assert report_of(waived).exit_status("caution") == 0


def test_a_seam_that_is_meant() -> None:
    recipe = banded(0, None, 0, of="sheet white")
    assert rule(recipe) == "caution"
    meant = {**recipe, "on purpose": [{"what": "butt join", "why": "it is cut apart there"}]}
    assert said(meant) == {}


def test_loose_bands_that_share_a_line_get_a_tip() -> None:
    """Hands lay fibre over the line; sheets and cut batts end at it; so do two layers of any kind."""
    recipe = banded(0, None, 0)
    report = report_of(recipe)
    assert not report.findings and [tip.rule for tip in report.tips] == ["rows-and-laps"]
    layer = recipe["layers"][0]
    for more in ({"lay": "batt", "batt edges": "cut"}, {"lay": "sheet"}):
        assert rule({**recipe, "layers": [{**layer, **more}]}) == "caution", more
    assert rule({**recipe, "layers": [{**layer, "lay": "wisps"}]}) is None
    again = copy.deepcopy({**layer, "name": "again", "direction": "north-south"})
    twice = [layer, again]
    assert rule({**recipe, "layers": twice}) == "caution"
    assert not report_of({**recipe, "layers": twice}).tips


def test_a_thin_place_that_comes_of_a_gap_is_told_under_it() -> None:
    (found,) = report_of(banded(30, None, 0)).findings
    assert (found.rule, [one.rule for one in found.explains]) == ("rows-and-laps", ["thin-layer"])
    assert found.marks and "between “far” and “near”" in found.message


def test_a_seam_does_not_hide_a_thin_side() -> None:
    recipe = banded(0, None, 0, of="sheet white")
    recipe["layers"][0]["placements"][0]["amount"] = "30 g/m²"
    assert said(recipe) == {"rows-and-laps": "caution", "thin-layer": "fault"}


def test_what_is_said_is_the_same_from_each_side_of_the_table() -> None:
    recipe = banded(30, "cover")
    first = report_of(recipe).findings[0]
    for near, far in (("west", "east"), ("north", "south"), ("east", "west")):
        recipe["zones"]["near"]["along"], recipe["zones"]["far"]["along"] = near, far
        other = report_of(recipe).findings[0]
        assert (other.message, other.do, other.level) == (first.message, first.do, first.level)


def test_round_zones_and_slanted_edges_join_too() -> None:
    """A ring of ground 3 cm wide between the rim and the middle of a cover."""
    zones = {
        "edge": {"shape": "rim", "width": "5 cm"},
        "heart": {"shape": "middle", "width": "8 cm"},
    }
    top: Plain = {
        "name": "face", "direction": "random", "role": "cover",
        "placements": [{"of": "oat", "amount": "200 g/m²", "zone": zone} for zone in zones],
    }  # fmt: skip
    recipe = sheet(
        laid("oat", "400 g/m²", "random"), top, shape="round", zones=zones, outline="round"
    )
    recipe["piece"]["laid out"] = "45 cm across"
    (found,) = report_of(recipe).findings
    assert found.measured is not None
    assert found.rule == "rows-and-laps" and abs(found.measured.value - 30) < 0.3


# edges --------------------------------------------------------------------------------------------

FAULTY_EDGES = [case for case in TABLES["edges"] if "edge-finish" in case.expect]


@pytest.mark.parametrize("case", FAULTY_EDGES, ids=lambda case: case.name)
def test_without_steps_an_edge_is_not_judged(case: Case) -> None:
    recipe = {key: value for key, value in case.recipe.items() if key != "work"}
    assert rule(recipe, "edge-finish") is None


@pytest.mark.parametrize("case", FAULTY_EDGES, ids=lambda case: case.name)
def test_an_edge_is_silenced_by_its_purpose_or_its_waiver(case: Case) -> None:
    meant = {**case.recipe, "on purpose": [{"what": "rough edge", "why": "so it is to be"}]}
    assert rule(meant, "edge-finish") is None
    waived = {
        **case.recipe, "waivers": [{"rule": "edge-finish", "where": "whole", "why": "as always"}],
    }  # fmt: skip
    first = next(f for f in report_of(waived).findings if f.rule == "edge-finish")
    assert (first.waived is None) == (first.spot.pointer.startswith("/layers"))


@pytest.mark.parametrize("outline", ["free", "ruffled", "drawn in"])
@pytest.mark.parametrize("case", FAULTY_EDGES, ids=lambda case: case.name)
def test_a_free_edge_is_not_judged_but_for_a_cut_too_soon(case: Case, outline: str) -> None:
    recipe = {**case.recipe, "piece": {**case.recipe["piece"], "outline": outline}}
    expected = "caution" if case.name == "trimmed when only wet" else None
    assert rule(recipe, "edge-finish") == expected


def test_each_step_is_named_by_its_place_in_the_file() -> None:
    (case,) = [case for case in FAULTY_EDGES if case.name == "healed when dry"]
    (found,) = [f for f in report_of(case.recipe).findings if f.rule == "edge-finish"]
    assert found.spot.pointer == join("work", 6) and "step 7" in found.message


# words --------------------------------------------------------------------------------------------


def test_the_advice_on_rows_adds_up_by_hand() -> None:
    """60 x 40 cm at 170 g/m² are 40.8 g; 7 rows of 12 cm, and 8 tufts of 6 cm lapping by a tenth."""
    (found,) = report_of(rowed(rows=4, overlap="1/3")).findings
    assert "reach 36 cm" in found.message and "each lapping the last by a third" in found.message
    assert "Lay 7 rows, one every 8 cm" in found.do
    assert "8 tufts of about 0.73 g" in found.do  # 40.8 / 56
    (found,) = report_of(rowed(rows=5, overlap="1/3")).findings
    assert "fills it" not in found.do
    (found,) = report_of(rowed(rows=6, overlap="1/2", tuft="6 x 14 cm")).findings
    assert "Or let the 6 rows lap by 34 %" in found.do  # (6 x 14 - 60) / (5 x 14)


def test_rows_of_several_zones_may_be_the_rows_of_each() -> None:
    """Two bands of 30 cm, four rows of 12 cm at a third: 36 cm fill a band, not the piece."""
    zones = {
        "near": {"shape": "band", "along": "south", "to": "30 cm"},
        "far": {"shape": "band", "along": "north", "to": "30 cm"},
    }
    layer: Plain = {
        "name": "sky", "direction": "north-south", "lay": "shingle", "overlap": "1/3",
        "tuft": "6 x 12 cm", "rows": 4,
        "placements": [{"of": "oat", "amount": "170 g/m²", "zone": zone} for zone in zones],
    }  # fmt: skip
    recipe = sheet(laid("oat", "200 g/m²", "east-west"), layer, size="40 x 60 cm", zones=zones)
    assert rule(recipe) is None
    layer = {**layer, "rows": 2}
    recipe = sheet(laid("oat", "200 g/m²", "east-west"), layer, size="40 x 60 cm", zones=zones)
    assert rule(recipe) == "fault"


def test_both_faces_of_a_resist_are_told_once() -> None:
    (case,) = [case for case in TABLES["rows"] if case.name == "the brim of a hat laid by itself"]
    (found,) = report_of(case.recipe).findings
    assert found.where.endswith("on both faces")
    assert {mark.face for mark in found.marks} == {"front", "back"}
