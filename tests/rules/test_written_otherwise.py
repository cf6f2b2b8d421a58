"""One recipe in other words: shapes by corners, an amount in a list, faces that are left out or said."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import felt_engine
from felt_engine.model.amount import ROUNDED
from felt_engine.reading.quantity import UNITS

ROLLED = """
piece: {{title: T, use: wall panel, {shape}, stage: firm}}
lots: {{white: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
  - {{name: along, of: white, amount: 170 g/m², direction: {along}}}
  - {{name: across, of: white, amount: 170 g/m², direction: {across}}}
work:
  - {{do: wet, water: 40 °C, soap: neutral}}
  - {{do: rub, for: 15 min}}
  - {{do: check}}
  - {{do: roll, edge: north, times: 200}}
  - {{do: roll, edge: south, times: 200}}
  - {{do: rinse}}
  - {{do: dry}}
"""
CORNERS = (
    'shape: polygon, corners: ["0 cm east, 0 cm north", "60 cm east, 0 cm north", '
    '"60 cm east, 40 cm north", "0 cm east, 40 cm north"]'
)
TWINS = [
    ("shape: rectangle, laid out: 60 x 40 cm", CORNERS),
    ("shape: round, laid out: 60 cm across", "shape: oval, laid out: 60 x 60 cm"),
    ("shape: round, laid out: 60 cm across", "shape: oval, laid out: 600 mm x 60 cm"),
]


def said(text: str) -> list[tuple[str, str, str]]:
    report = felt_engine.check(text)
    found = [(one.rule, one.level, one.message) for one in report.findings]
    return found + [(one.rule, "unsaid", one.text) for one in report.unsaid]


@pytest.mark.parametrize("one, two", TWINS)
@pytest.mark.parametrize(
    "ways",
    [("east-west", "north-south"), ("east-west", "east-west"), ("bearing 40°", "bearing 40°")],
)
def test_a_shape_is_judged_by_what_it_is(one: str, two: str, ways: tuple[str, str]) -> None:
    first, second = (
        said(ROLLED.format(shape=s, along=ways[0], across=ways[1])) for s in (one, two)
    )
    assert first and first == second


@pytest.mark.parametrize(
    "corners, form",
    [
        ([(0, 0), (60, 0), (60, 40), (0, 40)], "rectangle"),
        ([(0, 40), (60, 40), (60, 0), (0, 0)], "rectangle"),
        ([(30, 0), (60, 30), (30, 60), (0, 30)], "rectangle"),
        ([(60, 40), (60, 0), (30, 0), (0, 0), (0, 20), (0, 40)], "rectangle"),
        ([(0, 0), (60, 0), (60, 40), (40, 40), (40, 20), (0, 20)], "polygon"),
        ([(0, 0), (60, 0), (62, 40), (0, 40)], "polygon"),
        ([(0, 0), (60, 0), (60, 40)], "polygon"),
        ([(0, 0), (60, 0), (60, 40), (30, 60), (0, 40)], "polygon"),
    ],
)
def test_the_form_of_corners(corners: list[tuple[int, int]], form: str) -> None:
    places = ", ".join(f'"{east} cm east, {north} cm north"' for east, north in corners)
    recipe = felt_engine.load(
        f"piece: {{title: T, shape: polygon, corners: [{places}]}}\nlots: {{m: {{fibre: merino}}}}\n"
        "layers: [{name: a, of: m, amount: 9 g}]\n"
    )
    assert recipe.piece.form == form


PILED = """
piece: {title: T, use: wall panel, shape: round, laid out: 90 cm across}
lots:
  white: {fibre: wool, preparation: prefelt, colour: white}
  blue: {fibre: merino, preparation: neps, colour: "#336699"}
layers:
  - {name: one, of: blue, amount: 60 g/m², direction: north-south}
  - {name: two, of: blue, amount: 38.2 g, direction: around}
  - {name: three, of: white, amount: 200 g/m², direction: radial}
"""


def test_a_slip_is_none_whose_findings_move_to_another_layer() -> None:
    """Undone, the neps would lie a little thinner, and too thick all the same."""
    listed = PILED.replace(
        "of: blue, amount: 60 g/m²", "placements: [{of: blue, amount: 60 g/m²}]"
    ).replace("of: blue, amount: 38.2 g,", "placements: [{of: blue, amount: 38.2 g}],")
    for text in (PILED, listed):
        assert [one.rule for one in felt_engine.check(text).findings] == ["luster-carrier"]


DOT = """
piece: {title: T, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, stage: firm}
lots:
  red: {fibre: merino, preparation: combed top, fineness: 19 um, colour: red}
  white: {fibre: merino, preparation: combed top, fineness: 19 um, colour: white}
zones:
  spot: {shape: round, size: 10 cm, at: "30 cm east, 20 cm north"}
layers:
  - {name: dot, of: red, amount: 60 g/m², zone: spot, direction: east-west, role: accent}
  - {name: one, of: white, amount: 150 g/m², direction: north-south}
  - {name: two, of: white, amount: 150 g/m², direction: east-west}
"""


@pytest.mark.parametrize(
    "shows, rules",
    [("", [("halo-clash", "unsaid")]), (", shows: [top]", [("halo-clash", "caution")]),
     (", shows: [bottom]", []), (", shows: [top, bottom]", [])],
)  # fmt: skip
def test_an_accent_under_all_is_asked_about_unless_a_face_is_said(
    shows: str, rules: list[tuple[str, str]]
) -> None:
    found = said(DOT.replace("stage: firm}", f"stage: firm{shows}}}"))
    assert [one[:2] for one in found] == rules


OVER = """
piece: {{title: T, use: hat, shape: round, laid out: 34 cm, over: flat resist}}
lots:
  wool: {{fibre: merino, preparation: combed top, fineness: 19 um, colour: white}}
  vis: {{fibre: viscose, preparation: combed top, colour: "#dddddd"}}
layers:
  - {{name: base, of: wool, amount: 120 g/m², direction: random, role: open, face: front}}
  - {{name: mist, of: vis, amount: 13.9 g, direction: random, role: veil, face: both, wraps: 2 cm}}
  - {{name: shine, of: vis, amount: 23.1 g, direction: random, face: {face}{more}}}
"""


@pytest.mark.parametrize("more", ["", ", wraps: 1 cm"])
def test_what_can_not_hold_is_told_on_the_face_where_it_lies(more: str) -> None:
    told = [one[2] for one in said(OVER.format(face="back", more=more)) if one[0] == "treated-wool"]
    assert len(told) == 1 and "all over on the back" in told[0]


@pytest.mark.parametrize(
    "note, asked",
    [("superwash", True), ("never superwash", False), ("this isn’t superwash", False),
     ("not a superwash", False), ("superwash-free", False), ('"superwash: no"', False),
     ("it has not been chlorinated", False), ("unchlorinated", False),
     ("not dyed; superwash", True), ("union superwash", True)],
)  # fmt: skip
def test_wool_is_asked_about_unless_its_note_denies_it(note: str, asked: bool) -> None:
    text = (
        "piece: {title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm, stage: firm}\n"
        f"lots: {{m: {{fibre: merino, preparation: carded batt, fineness: 21 um, note: {note}}}}}\n"
        "layers: [{name: one, of: m, amount: 30 g, direction: random}]\n"
    )
    assert any(one[0] == "treated-wool" for one in said(text)) is asked


HALVES = """
piece: {title: T, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, stage: hard}
lots:
  ink: {fibre: merino, preparation: combed top, fineness: 19 um, colour: "#101018"}
  one: {fibre: merino, preparation: combed top, fineness: 19 um, colour: "#f4f4ee"}
  two: {fibre: merino, preparation: combed top, fineness: 19 um, colour: "#f4f4ee"}
blends: {both: {one: 50 %, two: 50 %}}
layers:
  - {name: a, of: ink, amount: 150 g/m², direction: north-south}
  - {name: b, of: ink, amount: 150 g/m², direction: east-west}
  - {name: c, of: OF, amount: 40 g/m², direction: north-south}
  - {name: d, of: OF, amount: 40 g/m², direction: east-west}
"""


def test_halves_of_two_like_lots_cover_as_one_does() -> None:
    asked = [said(HALVES.replace("OF", of)) for of in ("one", "both")]
    assert any(rule == "halo-clash" for rule, *_ in asked[0]) and asked[0] == asked[1]


FLAME = """
piece: {title: A, use: cushion, shape: rectangle, laid out: 60 x 45 cm, stage: firm, shows: [top]}
lots:
  grey: {fibre: gotland, preparation: carded batt, fineness: 30 um, colour: "#777777"}
  red: {fibre: merino, preparation: combed top, fineness: 19 um, colour: "#b3202a"}
zones: {spot: {shape: middle, width: 15 cm}}
layers:
  - {name: one, of: grey, amount: 150 g/m², direction: north-south, lay: batt}
  - {name: two, of: grey, amount: 150 g/m², direction: east-west, lay: batt}
  - {name: flame, of: red, amount: 10 g, direction: north-south, lay: wisps, role: accent, SPOT}
  - {name: three, of: grey, amount: 150 g/m², direction: east-west, lay: batt}
  - {name: four, of: grey, amount: 150 g/m², direction: north-south, lay: batt}
"""


def test_an_accent_that_stops_short_of_the_whole_is_one_on_a_part() -> None:
    short, zone = (said(FLAME.replace("SPOT", spot)) for spot in ("short: 15 cm", "zone: spot"))
    assert [one[:2] for one in short] == [("halo-clash", "caution")] and short == zone
    assert said(FLAME.replace("SPOT", "short: 5 mm")) == []


SHRINKS = """
piece:
  {title: S, use: wall panel, shape: rectangle, laid out: 60 x 60 cm, finished: SIZE, shrinkage: SHARE,
   stage: firm}
lots: {a: {fibre: merino, preparation: combed top, fineness: 20 um}}
layers:
  - {name: one, of: a, amount: 200 g/m², direction: north-south}
  - {name: two, of: a, amount: 200 g/m², direction: east-west}
"""


@pytest.mark.parametrize("size", ["40 x 40 cm", "42 x 42 cm", "46.15 x 46.15 cm", "38 x 38 cm"])
@pytest.mark.parametrize("side", [0.27, 0.29, 0.3, 0.31, 0.33, 0.36, 0.38])
def test_a_stated_shrinkage_is_judged_alike_by_side_and_by_area(size: str, side: float) -> None:
    levels = [
        [one[:2] for one in said(SHRINKS.replace("SIZE", size).replace("SHARE", share))]
        for share in (f"{100 * side:g} %", f"{100 * (1 - (1 - side) ** 2):.6g} % by area")
    ]
    assert levels[0] == levels[1]


ALL_OF_IT = {
    "a closed bag": """
piece: {title: Bait bag, use: bag, shape: rectangle, over: flat resist, laid out: 36 x 40 cm, stage: firm}
lots: {drift: {fibre: corriedale, preparation: carded batt, fineness: 27 um}}
layers:
  - {name: down, of: drift, amount: 55 g, face: each, zone: whole, direction: north-south, wraps: 2 cm}
  - {name: across, of: drift, amount: 55 g, face: each, zone: whole, direction: east-west, wraps: 2 cm}
work: [{do: wet, soap: alkaline}, {do: rub}, {do: check}, {do: roll}, {do: remove resist}, {do: heal edges},
       {do: full}, {do: rinse}, {do: acid soak}, {do: rinse}, {do: dry}]
readers: [pattern for sale]
""",
    "a torn batt": """
piece: {title: Panel, use: wall panel, shape: rectangle, laid out: 36 x 40 cm, stage: firm, outline: straight}
lots: {oat: {fibre: corriedale, preparation: carded batt, fineness: 27 um}}
layers:
  - {name: along, of: oat, amount: 200 g/m², direction: east-west, lay: batt}
  - {name: across, of: oat, amount: 200 g/m², direction: north-south, lay: batt}
  - {name: top, of: oat, amount: 60 g/m², zone: whole, direction: random, lay: batt, batt edges: torn}
work: [{do: roll, times: 100}]
""",
    "a sheet in a bag": """
piece: {title: Bag, use: bag, shape: rectangle, over: flat resist, laid out: 36 x 40 cm, stage: firm}
lots: {drift: {fibre: corriedale, preparation: carded batt, fineness: 27 um}}
layers:
  - {name: down, of: drift, amount: 55 g, face: each, direction: north-south, wraps: 2 cm}
  - {name: across, of: drift, amount: 55 g, face: each, direction: east-west, wraps: 2 cm}
  - {name: over, of: drift, amount: 40 g, face: each, direction: north-south}
resists: [{name: inner, above: across, zone: whole, makes: pocket, face: front}]
""",
    "finished felt over all": """
piece: {title: Pad, use: seat pad, shape: rectangle, laid out: 36 x 40 cm, stage: firm}
lots:
  oat: {fibre: corriedale, preparation: carded batt, fineness: 27 um}
  sheet: {fibre: merino, preparation: felt, fineness: 21 um}
layers:
  - {name: along, of: oat, amount: 200 g/m², direction: east-west}
  - {name: across, of: oat, amount: 200 g/m², direction: north-south}
  - {name: top, of: sheet, amount: 300 g/m², zone: whole, direction: random}
""",
}


@pytest.mark.parametrize("name", ALL_OF_IT)
@pytest.mark.parametrize(
    "zone",
    [
        "{shape: rectangle, size: 36 x 40 cm, at: '0 cm east, 0 cm north'}",
        "{shape: band, along: west, to: 36 cm}",
    ],
)
def test_a_zone_as_large_as_the_piece_is_the_whole(name: str, zone: str) -> None:
    text = ALL_OF_IT[name]
    named = text.replace("zone: whole", "zone: all of it").replace(
        "\nlayers:", f"\nzones: {{all of it: {zone}}}\nlayers:"
    )
    first, second = ([one[:2] for one in said(one)] for one in (text, named))
    assert first == second


SHINY = """
piece: {title: Order, shape: rectangle, laid out: 60 x 60 cm}
lots: {wool: {fibre: corriedale}, vis a: {fibre: viscose}, vis b: {fibre: viscose}}
blends: {half: {wool: 1 part, vis a: 1 part}}
layers:
  - {name: one, of: vis b, amount: 20 g, role: structure}
  - {name: two, of: half, amount: 10.5 g, role: structure, short: 3 cm}
"""


def test_no_order_of_the_lots_changes_what_is_said() -> None:
    swapped = SHINY.replace(
        "vis a: {fibre: viscose}, vis b: {fibre: viscose}",
        "vis b: {fibre: viscose}, vis a: {fibre: viscose}",
    )
    assert swapped != SHINY and said(SHINY) == said(swapped)
    assert any(rule == "treated-wool" for rule, *_ in said(SHINY))


UPON_ITSELF = """
piece: {title: Shine, shape: rectangle, laid out: 30 x 30 cm, over: flat resist}
lots: {inner: {fibre: viscose}, wool: {fibre: merino}, outer: {fibre: viscose}}
layers:
  - {name: first, of: inner, amount: 9 g, face: each, role: structure}
  - {name: middle, of: wool, amount: 10 g, face: both}
  - {name: last, of: outer, amount: 35 g, face: both, role: structure}
"""


def test_fibre_is_not_said_to_fail_to_hold_itself() -> None:
    (text,) = (message for rule, _, message in said(UPON_ITSELF) if rule == "treated-wool")
    assert "hold the" not in text and "it will come away" in text


RIM = """
piece: {{title: T, use: cushion, shape: rectangle, laid out: 80 x 60 cm, stage: firm}}
lots: {{l0: {{fibre: merino, preparation: combed top}}}}
zones:
  bw: {{shape: band, along: west, to: 20 cm}}
  be: {{shape: band, along: west, from: {start}, to: 80 cm}}
layers:
  - {{name: a, of: l0, amount: 9.1 g, direction: random, short: 1 cm}}
  - {{name: b, of: l0, amount: 9.6 g, direction: random}}
  - name: c
    direction: random
    placements: [{{of: l0, amount: 2.4 g, zone: bw}}, {{of: l0, amount: {east}, zone: be}}]
  - {{name: d, of: l0, amount: 9.6 g, direction: random}}
"""


@pytest.mark.parametrize("east", ["0.25397 oz", "0.254 oz", "7.21 g", "7.19 g", "20 g/m²"])
@pytest.mark.parametrize("start", ["20 cm", "7.874016 in", "200 mm"])
def test_two_halves_that_are_nearly_alike_are_judged_as_one(start: str, east: str) -> None:
    """7.874016 in is 20.00000064 cm, and 0.25397 oz is 7.19998 g (NIST SP 811, appendix B)."""
    same = said(RIM.format(start="20 cm", east="7.2 g"))
    assert same[0][0] == "thin-layer" and "rim 1 cm" in same[0][2] and "all round" in same[0][2]
    other = said(RIM.format(start=start, east=east))
    assert [one[:2] for one in other] == [one[:2] for one in same]
    assert "rim 1 cm" in other[0][2]


def test_every_unit_in_which_whole_millimetres_are_rounded_is_known_as_such() -> None:
    metric = {"mm", "cm", "m"}
    assert {word: size for word, size in UNITS["length"].items() if word not in metric} == ROUNDED


def test_two_halves_with_a_gap_between_them_are_not_joined() -> None:
    gap = said(RIM.format(start="22 cm", east="7.2 g"))
    assert gap[0][0] == "thin-layer" and "all round" not in gap[0][2]


@pytest.mark.parametrize("shares", ["{l0: 60 %, l1: 40 %}", "{l1: 40 %, l0: 60 %}"])
def test_the_heaviest_lots_fineness_is_asked_for(shares: str) -> None:
    report = felt_engine.check(f"""
piece: {{title: T, use: rug, shape: rectangle, laid out: 60 x 40 cm, stage: firm}}
lots: {{l0: {{fibre: merino, preparation: combed top}}, l1: {{fibre: gotland, preparation: combed top}}}}
blends: {{b: {shares}}}
layers: [{{name: a, of: b, amount: 75 g/m², direction: random}}]
""")
    assert [one.spot.thing for one in report.unsaid if one.rule == "thin-layer"] == ["lot “l0”"]


def test_no_order_of_the_faces_that_show_changes_what_is_said() -> None:
    text = """
piece: {{title: T, use: bag, shape: rectangle, laid out: 40 x 40 cm, over: flat resist, stage: firm,
  shows: [{shows}]}}
lots: {{white: {{fibre: merino, fineness: 20 um}}, gleam: {{fibre: silk}}}}
layers:
  - {{name: under, of: white, amount: 60 g, face: each, direction: random}}
  - {{name: spark, of: gleam, amount: 1 g, face: each, zone: dot, direction: random, role: accent}}
  - {{name: over, of: white, amount: 60 g, face: each, direction: random}}
zones: {{dot: {{shape: round, size: 12 cm, at: "20 cm east, 20 cm north"}}}}
"""
    one, other = (
        said(text.format(shows=shows)) for shows in ("inside, outside", "outside, inside")
    )
    assert one == other and any("the inside and the outside" in message for _, _, message in one)


GAUZE = """
piece: {{title: T, use: scarf, shape: rectangle, laid out: 60 x 40 cm, stage: firm, shows: [top]}}
lots:
  white: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  gauze: {{fibre: silk, preparation: open cloth}}
zones: {{dot: {{shape: round, size: 12 cm, at: "20 cm east, 20 cm north"}}}}
layers:
  - {{name: along, of: white, amount: 90 g/m², direction: east-west}}
  - {{name: across, of: white, amount: 90 g/m², direction: north-south}}
"""
ON_TOP = "  - {name: spark, of: gauze, amount: 0.3 g, zone: dot, role: accent}\n"


def test_an_accent_of_open_cloth_is_judged_by_what_lies_over_it() -> None:
    shown = said(GAUZE.format() + ON_TOP)
    assert not any("hardly be seen" in message for *_, message in shown)
    cover = "  - {name: over, of: white, amount: 150 g/m², direction: random}\n"
    hidden = said(GAUZE.format() + ON_TOP + cover)
    assert any("hardly be seen" in message for *_, message in hidden)


HAZE = """\
piece: {{title: Haze, use: picture ground, shape: rectangle, laid out: 30 x 30 cm, stage: firm}}
lots:
  {lots}
  coal: {{fibre: merino, preparation: combed top, colour: "#101010"}}
blends: {{mix: {{{blend}}}}}
layers:
  - {{name: below, of: coal, amount: 200 g/m², direction: random}}
  - {{name: over, of: mix, amount: 60 g/m², direction: random, role: cover}}
"""


@pytest.mark.parametrize(("blend", "asked"), [
    (["a: 60 %", "b: 40 %"], "a"), (["a: 40 %", "b: 60 %"], "b"), (["a: 1 part", "b: 1 part"], "a"),
])  # fmt: skip
def test_the_heaviest_lots_colour_is_asked_for_in_any_order(blend: list[str], asked: str) -> None:
    lots = [f"{name}: {{fibre: merino, preparation: combed top}}" for name in "ab"]
    for one in (blend, blend[::-1]):
        for two in (lots, lots[::-1]):
            report = felt_engine.check(HAZE.format(lots="\n  ".join(two), blend=", ".join(one)))
            (found,) = [one for one in report.unsaid if one.rule == "halo-clash"]
            assert found.spot.thing == f"lot “{asked}”"


TURNED = """\
piece: {{title: T, use: wall panel, shape: rectangle, laid out: 40 x 40 cm, {more}stage: firm}}
lots: {{oat: {{fibre: merino, preparation: combed top, fineness: 20.5 um}}}}
layers:
  - {{name: one, of: oat, amount: 200 g/m², direction: {one}}}
  - {{name: two, of: oat, amount: 200 g/m², direction: {two}}}
"""


def test_the_side_that_is_to_shrink_more_comes_out_too_long_however_it_lies() -> None:
    messages = []
    for size in ("36 x 26 cm", "26 x 36 cm"):
        laid = {"one": "east-west", "two": "north-south"}
        report = felt_engine.check(TURNED.format(more=f"finished: {size}, ", **laid))
        (found,) = report.findings
        assert found.rule == "sizes-agree" and found.measured is not None
        assert found.measured.value == pytest.approx(0.607, abs=0.001)
        messages.append(found.message)
    assert messages[0].endswith("It may come out too deep and not wide enough.")
    assert messages[1].endswith("It may come out too wide and not deep enough.")


def test_what_becomes_of_the_outline_is_the_same_after_a_quarter_turn() -> None:
    for way in ("east-west", "north-south"):
        report = felt_engine.check(TURNED.format(more="", one=way, two="northeast-southwest"))
        assert ["lozenge" in one.message for one in report.findings] == [False]


BENT = [(0, 0), (60, 0), (60, 24), (36, 24), (36, 44), (0, 44)]
RIMMED = """\
piece: {{title: T, shape: polygon, corners: [{corners}], stage: firm, use: wall panel}}
lots: {{dark: {{fibre: merino, preparation: combed top, fineness: 19 um, colour: navy}},
  pale: {{fibre: merino, preparation: combed top, fineness: 19 um, colour: white}}}}
zones: {{edge: {{shape: rim, width: 4 cm}}, in: {{shape: polygon, corners: [{zone}]}}}}
layers:
  - {{name: one, of: dark, amount: 150 g/m², direction: random, short: 4 cm}}
  - {{name: two, of: dark, amount: 100 g/m², direction: random}}
  - {{name: three, of: pale, amount: 40 g/m², zone: edge, role: cover, direction: random}}
  - {{name: four, of: pale, amount: 20 g/m², zone: in, past: 2 cm, role: cover, direction: east-west}}
"""


@given(
    st.lists(st.tuples(st.integers(0, 5), st.sampled_from([4, 1, 8, 10, 12, 19.99])), max_size=4),
    st.lists(st.tuples(st.integers(0, 3), st.sampled_from([2, 4, 5, 9])), max_size=3),
)
@settings(max_examples=40, deadline=None, derandomize=True, database=None)
def test_a_corner_at_which_an_outline_goes_straight_changes_nothing(
    more: list[tuple[int, float]], inner: list[tuple[int, float]]
) -> None:
    def written(ends: list[tuple[float, float]], more: list[tuple[int, float]]) -> str:
        places = []
        for number, (x, y) in enumerate(ends):
            ahead = ends[(number + 1) % len(ends)]
            side = math.dist((x, y), ahead)
            far = sorted({far for n, far in more if n == number})
            along = [(x + (ahead[0] - x) * f / side, y + (ahead[1] - y) * f / side) for f in far]
            places += [(x, y), *along]
        return ", ".join(f'"{x:g} cm east, {y:g} cm north"' for x, y in places)

    square: list[tuple[float, float]] = [(10, 10), (22, 10), (22, 22), (10, 22)]
    plain = RIMMED.format(corners=written(BENT, []), zone=written(square, []))
    texts = RIMMED.format(corners=written(BENT, more), zone=written(square, inner))
    assert said(texts) == said(plain) != []


@pytest.mark.parametrize("lay", ["sheet", "batt"])
@pytest.mark.parametrize("keys", ["wraps: 2 cm", "wraps: 3 cm"])
@pytest.mark.parametrize("past", ["", ", past: 2 cm", ", past: 1 cm"])
def test_each_face_is_as_front_and_back(lay: str, keys: str, past: str) -> None:
    head = (
        "piece: {title: T, shape: rectangle, laid out: 60 x 60 cm, over: flat resist}\n"
        f"lots: {{a: {{fibre: merino}}}}\nlayers:\n  - {{name: one, lay: {lay}, {keys}, "
    )
    each = f"{head}of: a, amount: 300 g/m², face: each{past}}}\n"
    faces = ", ".join(
        f"{{of: a, amount: 300 g/m², face: {face}{past}}}" for face in ("front", "back")
    )
    assert said(each) == said(f"{head}placements: [{faces}]}}\n")
    assert all("  " not in text for _, _, text in said(each))


@pytest.mark.parametrize("notch", [51, 50, 48, 46, 44, 42, 40, 36, 30])
def test_a_rim_as_wide_as_a_limit_is_judged_whatever_the_outline(notch: int) -> None:
    """At just 3 cm, the limit of halo-clash, rounding told which way it fell."""
    text = (
        "piece: {title: T, use: wall panel, shape: polygon, stage: light, corners: ["
        '"0 cm east, 0 cm north", "34 cm east, 0 cm north", "34 cm east, 52 cm north", '
        f'"17 cm east, {notch} cm north", "0 cm east, 52 cm north"]}}\n'
        'lots: {pale: {fibre: merino, preparation: combed top, fineness: 19 um, colour: "#f5f0e6"},\n'
        '  dark: {fibre: merino, preparation: combed top, fineness: 19 um, colour: "#202030"}}\n'
        "zones: {z: {shape: rim, width: 3 cm}}\n"
        "layers:\n  - {name: a, of: pale, amount: 300 g/m², direction: random}\n"
        "  - {name: b, of: dark, amount: 30 g/m², direction: random, zone: z, role: cover}\n"
    )
    assert ("halo-clash", "fault") in [found[:2] for found in said(text)]


PAST = """\
piece: {{title: Flats, use: wall panel, shape: {shape}, laid out: 60 x 40 cm, outline: straight, stage: firm}}
lots: {{w: {{fibre: merino, preparation: carded batt, fineness: 21 um}}}}
zones:
  middle: {{shape: middle, width: 5 cm}}
  inner: {{shape: {shape}, size: 50 x 30 cm, at: "{at}"}}
layers:
  - {{name: a, of: w, amount: 260 g/m², direction: north-south, {lay}{where}}}
  - {{name: b, of: w, amount: 260 g/m², direction: east-west, {lay}{where}}}
"""


@pytest.mark.parametrize("lay", ["lay: batt, batt edges: torn", "lay: shingle, tuft: 10 x 20 cm"])
@pytest.mark.parametrize("shape", ["rectangle", "oval"])
@pytest.mark.parametrize("further", [0, 1, 2, 4])
def test_past_a_zone_that_ends_within_is_as_far_past_the_outline_as_is_left(
    lay: str, shape: str, further: int
) -> None:
    """Laid 5 cm past a zone that ends 5 cm from the outline, it ends at the outline."""
    at = "5 cm east, 5 cm north" if shape == "rectangle" else "30 cm east, 20 cm north"

    def found(where: str) -> list[str]:
        report = felt_engine.check(PAST.format(shape=shape, at=at, lay=lay, where=where))
        return [f"{f.rule} {f.level} {f.message}" for f in report.findings] + [
            one.text for one in report.tips
        ]

    whole = found(f", past: {further} cm" if further else "")
    assert found(f", zone: middle, past: {5 + further} cm") == whole
    assert found(f", zone: inner, past: {5 + further} cm") == whole
    assert bool(whole) == (further < (2 if "batt" in lay else 4))
