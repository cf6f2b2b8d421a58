"""Where fibre lies: areas and weights of zones, margins, wraps and faces, by hand arithmetic."""

from __future__ import annotations

import cmath
import math
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from kit_plans import Plan, plans, written
from kit_rules import Plain, laid, sheet, text_of

import felt_engine
from felt_engine import Build, RecipeError
from felt_engine.analysis import geometry
from felt_engine.analysis.axes import angle_of_bearing

LAW = settings(max_examples=120, deadline=None, derandomize=True, database=None)

OUNCE = 0.028349523125
"""kg (NIST SP 811, appendix B)."""


def build(recipe: Plain) -> Build:
    return felt_engine.measure(felt_engine.load(text_of(recipe)))


def areas(recipe: Plain, face: int = 0) -> dict[tuple[str, ...], float]:
    """Area of each stack of a face in cm², by the names of the layers in it."""
    found: dict[tuple[str, ...], float] = {}
    for place in build(recipe).faces[face].places:
        key = tuple(one.layer.name + ("'" if one.turned else "") for one in place.stack)
        found[key] = found.get(key, 0.0) + place.area * 1e4
    return found


def on_resist(*layers: Plain, size: str = "40 x 30 cm", **more: object) -> Plain:
    return sheet(*layers, over="flat resist", size=size, use="bag", **more)


def all_mass(made: Build) -> float:
    """Weight of everything that lies on the piece, kg."""
    return math.fsum(
        one.areal * place.area
        for face in made.faces
        for place in face.places
        for one in place.stack
    )


# zones --------------------------------------------------------------------------------------------

ZONES = [
    ({"shape": "band", "along": "south", "to": "10 cm"}, 400),
    ({"shape": "band", "along": "north", "from": "5 cm", "to": "10 cm"}, 200),
    ({"shape": "band", "along": "east", "to": "10 cm"}, 300),
    ({"shape": "band", "along": "west", "from": "35 cm", "to": "50 cm"}, 150),
    ({"shape": "rectangle", "size": "10 x 5 cm", "at": "0 cm east, 0 cm north"}, 50),
    ({"shape": "rectangle", "size": "10 x 5 cm", "at": "35 cm east, 27 cm north"}, 15),
    ({"shape": "round", "size": "10 cm", "at": "20 cm east, 15 cm north"}, math.pi * 25),
    ({"shape": "round", "size": "10 cm", "at": "0 cm east, 15 cm north"}, math.pi * 12.5),
    ({"shape": "round", "size": "10 cm", "at": "40 cm east, 30 cm north"}, math.pi * 6.25),
    ({"shape": "oval", "size": "20 x 10 cm", "at": "20 cm east, 15 cm north"}, math.pi * 50),
    (
        {
            "shape": "polygon",
            "corners": [
                "0 cm east, 0 cm north",
                "20 cm east, 0 cm north",
                "0 cm east, 20 cm north",
            ],
        },
        200,
    ),
    ({"shape": "rim", "width": "5 cm"}, 1200 - 30 * 20),
    ({"shape": "middle", "width": "5 cm"}, 600),
]


@pytest.mark.parametrize(("zone", "size"), ZONES, ids=lambda z: str(z)[:60])
def test_the_area_of_a_zone_on_a_rectangle(zone: Plain, size: float) -> None:
    recipe = sheet(
        laid("oat", "20 g", name="base"),
        laid("oat", "20 g", name="zone", zone="z"),
        size="40 x 30 cm", zones={"z": zone},
    )  # fmt: skip
    found = areas(recipe)
    assert found[("base", "zone")] == pytest.approx(size, rel=1e-9)
    assert found[("base",)] == pytest.approx(1200 - size, rel=1e-9)
    # an amount is spread over what lies on the piece: nothing of a zone hangs over
    made = build(recipe)
    (both,) = [p for p in made.places if len(p.stack) == 2]
    assert both.stack[1].areal == pytest.approx(0.02 / (size * 1e-4), rel=1e-9)
    assert made.weights.past_outline == pytest.approx(0, abs=1e-12)


def test_a_round_piece_and_its_parts() -> None:
    """Sector and segment by school formulas; a curve is a polygon, so edges are 0.5 % off."""
    zones = {
        "half": {"shape": "band", "along": "south", "to": "20 cm"},
        "quarter": {"shape": "band", "along": "west", "to": "10 cm"},
        "edge": {"shape": "rim", "width": "4 cm"},
    }
    whole = math.pi * 400
    segment = 400 * math.acos(0.5) - 10 * math.sqrt(400 - 100)
    for name, size in (("half", whole / 2), ("quarter", segment), ("edge", math.pi * (400 - 256))):
        recipe = sheet(
            laid("oat", "20 g", name="base"), laid("oat", "5 g", name="zone", zone=name),
            zones=zones,
        )  # fmt: skip
        recipe["piece"] |= {"shape": "round", "laid out": "40 cm"}
        found = areas(recipe)
        assert sum(found.values()) == pytest.approx(whole, rel=1e-9)
        assert found[("base", "zone")] == pytest.approx(size, rel=0.006)


def test_a_rim_on_a_long_oval_is_no_wider_than_it_says() -> None:
    """Ends of the oval are curved more tightly than the rim is wide (80 x 20 cm, 3 cm)."""
    recipe = sheet(
        laid("oat", "20 g", name="base"), laid("oat", "5 g", name="zone", zone="edge"),
        zones={"edge": {"shape": "rim", "width": "3 cm"}},
    )  # fmt: skip
    recipe["piece"] |= {"shape": "oval", "laid out": "80 x 20 cm"}
    found = areas(recipe)
    # Ramanujan's perimeter of the ellipse (from memory) times the width, less what the ends lose
    h = (40 - 10) ** 2 / (40 + 10) ** 2
    around = math.pi * 50 * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    assert 0.9 * (around * 3 - math.pi * 9) < found[("base", "zone")] < around * 3


def test_a_polygon_piece_starts_at_its_own_near_left_point() -> None:
    corners = ["5 cm east, 5 cm north", "25 cm east, 5 cm north", "25 cm east, 35 cm north"]
    recipe = sheet(
        laid("oat", "20 g", name="base"),
        laid("oat", "5 g", name="band", zone="near"),
        zones={"near": {"shape": "band", "along": "south", "to": "15 cm"}},
    )
    recipe["piece"] |= {"shape": "polygon", "corners": corners}
    del recipe["piece"]["laid out"]
    found = areas(recipe)
    assert sum(found.values()) == pytest.approx(300)
    assert found[("base", "band")] == pytest.approx(300 - 75)


# margins ------------------------------------------------------------------------------------------


def test_past_the_outline_and_short_of_it() -> None:
    made = build(sheet(laid("oat", "24 g", past="2 cm"), size="40 x 30 cm"))
    (place,) = made.places
    assert place.areal == pytest.approx(0.024 / (0.44 * 0.34))
    assert made.weights.past_outline == pytest.approx(0.024 * (1 - 1200 / (44 * 34)))
    assert made.weights.piece.kg == pytest.approx(0.024)
    short = sheet(
        laid("oat", "24 g", name="base"), laid("oat", "24 g", name="top", short="2 cm"),
        size="40 x 30 cm",
    )  # fmt: skip
    assert areas(short) == pytest.approx({("base",): 1200 - 36 * 26, ("base", "top"): 36 * 26})


def test_a_zone_laid_past_its_own_edge_and_short_of_it() -> None:
    zones = {
        "sun": {"shape": "rectangle", "size": "10 x 10 cm", "at": "10 cm east, 10 cm north"},
        "shore": {"shape": "band", "along": "south", "to": "10 cm"},
    }
    for zone, key, size in (
        ("sun", "past", 14 * 14), ("sun", "short", 6 * 6),
        ("shore", "past", 40 * 12), ("shore", "short", 36 * 6),
    ):  # fmt: skip
        recipe = sheet(
            laid("oat", "24 g", name="base"), laid("ink", "3 g", name="top", zone=zone, **{key: "2 cm"}),
            size="40 x 30 cm", zones=zones,
        )  # fmt: skip
        assert areas(recipe)[("base", "top")] == pytest.approx(size), (zone, key)


@pytest.mark.parametrize("written", [
    {"shape": "band", "along": "south", "to": "20 cm"},
    {"shape": "band", "along": "north", "from": "10 cm", "to": "30 cm"},
    {"shape": "rectangle", "size": "40 x 20 cm", "at": "0 cm east, 0 cm north"},
    {"shape": "polygon", "corners": ["0 cm east, 0 cm north", "40 cm east, 0 cm north",
                                     "40 cm east, 20 cm north", "0 cm east, 20 cm north"]},
])  # fmt: skip
def test_short_of_a_place_is_one_thing_however_the_place_is_written(
    written: dict[str, Any],
) -> None:
    """A band ends at the outline as a rectangle of the same place does: short of all its edges."""
    recipe = sheet(
        laid("oat", "24 g", name="base"), laid("ink", "3 g", name="top", zone="lower", short="3 cm"),
        size="40 x 30 cm", zones={"lower": written},
    )  # fmt: skip
    assert areas(recipe)[("base", "top")] == pytest.approx(34 * 14)


def test_turned_in_edges_lie_double() -> None:
    made = build(sheet(laid("oat", "24 g", **{"turned in": "2 cm"}), size="40 x 30 cm"))
    areal = 0.024 / ((1200 + 1200 - 36 * 26) * 1e-4)
    by_size = {len(p.stack): p for p in made.places}
    assert by_size[1].area == pytest.approx(0.0936) and by_size[1].areal == pytest.approx(areal)
    assert by_size[2].area == pytest.approx(0.0264) and by_size[2].areal == pytest.approx(2 * areal)
    assert [one.turned for one in by_size[2].stack] == [False, True]


# resists ------------------------------------------------------------------------------------------


def test_front_back_both_and_each() -> None:
    for face, front, back in (
        ("front", 24, 0), ("back", 0, 24), ("both", 12, 12), ("each", 24, 24),
    ):  # fmt: skip
        recipe = on_resist(laid("oat", "24 g", face=face), laid("moss", "1 g", face="both"))
        made = build(recipe)
        grams = [
            math.fsum(one.areal * p.area * 1000 for p in f.places for one in p.stack) - 0.5
            for f in made.faces
        ]
        assert grams == pytest.approx([front, back]), face
        assert made.weights.by_layer[0].kg == pytest.approx((front + back) / 1000)
    by_area = build(on_resist(laid("oat", "100 g/m²", face="both"), size="40 x 30 cm"))
    assert by_area.weights.piece.kg == pytest.approx(0.1 * 0.24)


def test_wool_wrapped_round_the_edge_lies_on_the_other_face() -> None:
    recipe = on_resist(
        laid("oat", "24 g", "northeast-southwest", name="one", face="front", wraps="2 cm"),
        laid("oat", "24 g", name="two", face="both"),
    )
    front, back = areas(recipe, 0), areas(recipe, 1)
    assert front == pytest.approx({("one", "two"): 1200})
    assert back == pytest.approx({("one'", "two"): 1200 - 36 * 26, ("two",): 36 * 26})
    made = build(recipe)
    areal = 0.024 / ((1200 + 264) * 1e-4)
    flap = next(one for p in made.faces[1].places for one in p.stack if one.turned)
    straight = made.faces[0].places[0].stack[0]
    assert flap.areal == straight.areal == pytest.approx(areal)
    # going northeast past the east edge and folded under, a fibre goes northwest there as seen
    # from the front; turning the resist over mirrors that once more
    assert straight.angle == pytest.approx(math.radians(45))
    assert flap.angle == pytest.approx(math.radians(45))


def test_fibre_that_is_folded_in_is_mirrored_by_its_edge() -> None:
    layer = laid("oat", "24 g", "northeast-southwest", name="one", turned_in="2 cm")
    places = build(sheet(layer, size="40 x 30 cm")).faces[0].places
    turned = [one for place in places for one in place.stack if one.turned]
    assert turned and all(one.angle == pytest.approx(math.radians(135)) for one in turned)


@pytest.mark.parametrize("degrees", [0, 10, 30, 45, 77, 90, 130])
@pytest.mark.parametrize("bearing", [0, 30, 60, 145])
def test_folding_a_turned_square_turns_with_it(degrees: int, bearing: int) -> None:
    turn = math.radians(degrees)
    corners = [(0, 0), (0.4, 0), (0.4, 0.3), (0, 0.3)]
    turned = tuple(
        (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
        for x, y in corners
    )
    factor = geometry.fold(turned)
    angle = angle_of_bearing(bearing)
    folded = cmath.phase(factor * cmath.exp(-2j * (angle + turn))) / 2
    assert abs(factor) == pytest.approx(1.0)
    assert math.sin(folded - (turn - angle)) == pytest.approx(0, abs=1e-9)


def test_folding_in_a_round_leaves_no_direction() -> None:
    assert geometry.fold(geometry.oval(0, 0, 0.3, 0.3)) == 0
    assert 0 < geometry.fold(geometry.oval(0, 0, 0.9, 0.1)).real < 1


@pytest.mark.parametrize("degrees", [0, 10, 30, 45, 77, 90, 130])
def test_the_sides_of_a_turned_piece_are_its_sides(degrees: int) -> None:
    turn = math.radians(degrees)
    corners = tuple(
        (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
        for x, y in [(0, 0), (0.4, 0), (0.4, 0.3), (0.2, 0.2), (0, 0.3)]
    )
    shorter, longer, axis = geometry.sides(corners)
    assert (shorter, longer) == (pytest.approx(0.3), pytest.approx(0.4))
    assert math.sin(axis - turn) == pytest.approx(0, abs=1e-9)


def test_wool_near_one_edge_wraps_to_the_mirrored_edge() -> None:
    recipe = on_resist(
        laid("oat", "24 g", name="all", face="both"),
        laid("oat", "4 g", name="strip", face="front", zone="west", wraps="2 cm"),
        zones={"west": {"shape": "band", "along": "west", "to": "10 cm"}},
    )
    back = build(recipe).faces[1]
    (flap,) = [p for p in back.places if len(p.stack) == 2]
    assert flap.area * 1e4 == pytest.approx(10 * 30 - 8 * 26)
    assert flap.whereabouts.box == pytest.approx((0.30, 0.0, 0.40, 0.30))


@pytest.mark.parametrize("at", [20, 12.6, 3.6, 3.5])
def test_a_zone_away_from_the_edge_does_not_wrap(at: float) -> None:
    """A round of 5 cm, or laid 1 cm past its edge, is 3.5 cm from its middle to its edge."""
    dot = {"of": "oat", "amount": "1 g", "zone": "dot", "face": "front", "past": "1 cm"}
    base = {"of": "oat", "amount": "24 g", "face": "both"}
    zones = {"dot": {"shape": "round", "size": "5 cm", "at": f"{at} cm east, 15 cm north"}}

    def lies_on_the_back(*amounts: object) -> bool:
        layer = {"name": "one", "wraps": "2 cm", "placements": list(amounts)}
        back = build(on_resist(laid("oat", "24 g", face="both"), layer, zones=zones)).faces[1]
        return any(one.placement.zone == "dot" for place in back.places for one in place.stack)

    assert lies_on_the_back(base, dot) is (at < 3.6)
    if at >= 3.6:
        with pytest.raises(RecipeError, match="wraps: 2 cm, and nothing of “one” reaches"):
            lies_on_the_back(dot)


@pytest.mark.parametrize("key", ["wraps", "turned in"])
@pytest.mark.parametrize(("keys", "area"), [
    ({}, 40 * 30 + 40 * 30 - 36 * 26), ({"past": "2 cm"}, 40 * 30 + 40 * 30 - 36 * 26),
    ({"past": "1 cm"}, 40 * 30 + 40 * 30 - 36 * 26),
    ({"zone": "middle", "past": "5 cm"}, 40 * 30 + 40 * 30 - 36 * 26),
    ({"zone": "middle", "past": "7 cm"}, 40 * 30 + 40 * 30 - 36 * 26),
])  # fmt: skip
def test_what_is_laid_past_the_outline_is_what_is_turned(
    key: str, keys: dict[str, str], area: float
) -> None:
    zones = {"middle": {"shape": "middle", "width": "5 cm"}}
    one = laid("oat", "24 g", **{key: "2 cm"}, **keys)
    if key == "wraps":
        made = build(
            on_resist({**one, "face": "front"}, laid("oat", "9 g", face="back"), zones=zones)
        )
    else:
        made = build(sheet(one, size="40 x 30 cm", zones=zones))
    assert made.areas[0, 0] * 1e4 == pytest.approx(area)


@pytest.mark.parametrize("keys", [{"past": "3 cm"}, {"zone": "middle", "past": "7.5 cm"},
                                  {"zone": "near", "past": "3.5 cm"}])  # fmt: skip
def test_what_is_laid_further_past_the_outline_than_is_turned_is_refused(
    keys: dict[str, str],
) -> None:
    zones = {"middle": {"shape": "middle", "width": "5 cm"},
             "near": {"shape": "rectangle", "size": "5 x 5 cm", "at": "1 cm east, 9 cm north"}}  # fmt: skip
    one = laid("oat", "24 g", **{"turned in": "2 cm"}, **keys)
    with pytest.raises(RecipeError, match="are turned over") as refused:
        build(sheet(one, zones=zones))
    assert refused.value.problems[0].pointer == "/layers/0/past"


@pytest.mark.parametrize(
    "keys", [{"short": "2 cm"}, {"zone": "middle"}, {"zone": "middle", "past": "4 cm"}]
)
def test_what_stops_short_of_the_outline_has_nothing_to_turn(keys: dict[str, str]) -> None:
    recipe = sheet(
        laid("oat", "24 g"), laid("oat", "9 g", name="fold", **{"turned in": "2 cm"}, **keys),
        zones={"middle": {"shape": "middle", "width": "5 cm"}},
    )  # fmt: skip
    with pytest.raises(RecipeError, match="nothing of “fold” reaches the outline") as refused:
        build(recipe)
    assert refused.value.problems[0].pointer == "/layers/1/turned in"


def test_a_polygon_resist_is_turned_over() -> None:
    corners = ["0 cm east, 0 cm north", "30 cm east, 0 cm north", "0 cm east, 20 cm north"]
    recipe = on_resist(laid("oat", "24 g", face="each"))
    recipe["piece"] |= {"shape": "polygon", "corners": corners}
    del recipe["piece"]["laid out"]
    front, back = build(recipe).faces
    assert front.area == back.area == pytest.approx(0.03)
    assert set(front.face.edge) == {(0.0, 0.0), (0.3, 0.0), (0.0, 0.2)}
    assert set(back.face.edge) == {(0.3, 0.0), (0.0, 0.0), (0.3, 0.2)}


def test_a_wrap_round_a_shape_with_short_sides_stays_a_strip() -> None:
    """A toe rounded off by sides shorter than the wrap (an invented last)."""
    corners = [f"{x} cm east, {y} cm north" for x, y in
               ((0, 0), (12, 0), (12, 30), (11.5, 31), (10, 32), (2, 32), (0.5, 31), (0, 30))]  # fmt: skip
    recipe = on_resist(laid("oat", "24 g", face="each", wraps="2 cm"))
    recipe["piece"] |= {"shape": "polygon", "corners": corners}
    del recipe["piece"]["laid out"]
    double = [p for p in build(recipe).faces[0].places if len(p.stack) == 2]
    assert math.fsum(p.area for p in double) * 1e4 == pytest.approx(383 - 8 * 28, rel=0.03)


def test_a_ball_has_the_surface_of_a_ball() -> None:
    recipe = sheet(laid("oat", "10 g", "around"), use="ornament")
    recipe["piece"] |= {"shape": "round", "over": "ball", "laid out": "10 cm"}
    (face,) = build(recipe).faces
    assert face.area == pytest.approx(math.pi * 0.01)
    (place,) = face.places
    assert place.areal == pytest.approx(0.010 / (math.pi * 0.01))


# several pieces, and what is refused --------------------------------------------------------------


def test_amounts_for_one_and_for_all() -> None:
    for word, each in (("one", 30), ("all", 10)):
        recipe = sheet(laid("oat", "30 g"), how_many=3, amounts_for=word, size="40 x 30 cm")
        made = build(recipe)
        assert made.weights.piece.kg * 1000 == pytest.approx(each)
        assert made.places[0].areal == pytest.approx(each / 1000 / 0.12)
        table = felt_engine.check(text_of(recipe)).weights
        assert table is not None and table.pieces == 3
        assert table.all_pieces.grams == pytest.approx(3 * each)
    by_area = build(sheet(laid("oat", "100 g/m²"), how_many=3, amounts_for="all", size="1 x 1 m"))
    assert by_area.weights.piece.kg == pytest.approx(0.1)


def test_an_amount_that_lies_nowhere_is_refused() -> None:
    far = {"shape": "round", "size": "4 cm", "at": "90 cm east, 5 cm north"}
    with pytest.raises(RecipeError, match="no part lies on the piece"):
        build(sheet(laid("oat", "20 g"), laid("ink", "1 g", zone="far"), zones={"far": far}))
    with pytest.raises(RecipeError, match="no part lies on the piece"):
        build(sheet(laid("oat", "20 g", short="20 cm"), size="30 x 30 cm"))


# laws ---------------------------------------------------------------------------------------------


@LAW
@given(
    plans(),
    st.sampled_from((None, "front", "back", "both", "each")),
    st.sampled_from((None, "past", "short", "wraps", "turned in")),
    st.integers(1, 12),
    st.sampled_from((None, 1, 3)),
)
def test_fibre_is_neither_lost_nor_made(
    plan: Plan, face: str | None, margin: str | None, quarters: int, count: int | None
) -> None:
    recipe = written(plan)
    if (margin == "wraps") > (face is not None) or (margin == "turned in" and face is not None):
        margin = None
    if face is not None:
        recipe["piece"]["over"] = "flat resist"
    if count is not None:
        recipe["piece"] |= {"how many": count, "amounts for": "all"}
    length = f"{quarters * 6.35:.2f} mm"
    for layer in recipe["layers"]:
        if margin in ("wraps", "turned in"):
            layer[margin] = length
        for amount in layer.get("placements", [layer]):
            if face is not None:
                amount["face"] = face
            if margin in ("past", "short"):
                amount[margin] = length
    try:
        made = build(recipe)
    except RecipeError as error:
        assume("no part lies on the piece" not in str(error))
        assume("reaches the outline" not in str(error))
        raise
    weights = made.weights
    entered = sum(bit.steps for one in plan.passes for bit in one.bits) * 0.08 * OUNCE
    entered *= (2 if face == "each" else 1) / (count or 1)
    assert weights.piece.kg == pytest.approx(entered, rel=1e-9)
    assert all_mass(made) + weights.past_outline == pytest.approx(entered, rel=1e-9)
    assert weights.past_outline == pytest.approx(0, abs=1e-12) or margin == "past"
    for one in made.faces:
        assert math.fsum(p.area for p in one.places) == pytest.approx(one.area, rel=1e-8)
        assert math.fsum(p.share for p in one.places) == pytest.approx(
            1, abs=1e-8 * (1 + len(one.places))
        )


@LAW
@given(plans())
def test_the_parts_add_up_to_the_whole(plan: Plan) -> None:
    try:
        weights = build(written(plan)).weights
    except RecipeError:
        assume(False)
    for table in (weights.by_layer, weights.by_lot, weights.by_fibre):
        assert math.fsum(line.kg for line in table) == pytest.approx(weights.piece.kg, rel=1e-12)
    assert [line.name for line in weights.by_layer] == [
        f"layer {k}" for k in range(len(plan.passes))
    ]  # fmt: skip


@LAW
@given(plans())
def test_what_lies_on_a_face_is_what_its_places_have(plan: Plan) -> None:
    try:
        (face,) = build(written(plan)).faces
    except RecipeError:
        assume(False)
    total = math.fsum(one.areal * area for one, area in face.laid)
    parts = math.fsum(one.areal * p.area for p in face.places for one in p.stack)
    assert total == pytest.approx(parts, rel=1e-12)
    assert abs(face.pull) <= 0.9 + 1e-9


ARMS = {
    "L": ["0 0", "20 0", "20 5", "5 5", "5 20", "0 20"],
    "U": ["0 0", "30 0", "30 20", "17 20", "17 8", "13 8", "13 20", "0 20"],
    "T": ["0 0", "40 0", "40 20", "22 20", "22 40", "18 40", "18 20", "0 20"],
}
ARM = """\
piece: {{title: T, shape: polygon, corners: [{corners}]}}
lots: {{m: {{fibre: merino}}}}
zones: {{frame: {{shape: rim, width: {width} cm}}}}
layers:
  - {{name: a, of: m, amount: 600 g/m²}}
  - {{name: b, of: m, amount: 100 g/m²{more}}}
"""


def arm(shape: str, more: str = "", width: float = 1) -> str:
    corners = (at.split(" ") for at in ARMS[shape])
    listed = ", ".join(f'"{east} cm east, {north} cm north"' for east, north in corners)
    return ARM.format(corners=listed, more=more, width=width)


@pytest.mark.parametrize(("shape", "by", "size"), [
    ("L", "short: 1 cm", 18 * 3 + 15 * 3), ("L", "short: 2.4 cm", 15.2 * 0.2 + 15 * 0.2),
    ("U", "short: 1 cm", 28 * 6 + 2 * 11 * 12), ("U", "past: 1 cm", 32 * 22 - 2 * 12),
    ("T", "short: 1 cm", 38 * 18 + 2 * 20), ("T", "past: 1 cm", 42 * 22 + 6 * 20),
    ("T", "past: 3 cm", 46 * 26 + 10 * 20),
])  # fmt: skip
def test_short_of_and_past_an_outline_with_arms(shape: str, by: str, size: float) -> None:
    """By hand, corners kept sharp."""
    made = felt_engine.measure(felt_engine.load(arm(shape, f", {by}")))
    assert made.areas[1, 0] * 1e4 == pytest.approx(size)


@pytest.mark.parametrize(("shape", "by"), [
    ("T", "short: 2.4 cm"), ("T", "short: 6 cm"), ("T", "short: 9 cm"), ("T", "short: 9.9 cm"),
    ("U", "past: 3 cm"), ("T", "turned in: 2.5 cm"), ("U", "turned in: 5 cm"), ("U", "turned in: 9 cm"),
])  # fmt: skip
def test_what_would_run_into_itself_is_refused_at_its_place(shape: str, by: str) -> None:
    with pytest.raises(felt_engine.RecipeError) as refused:
        felt_engine.check(arm(shape, f", {by}"))
    (problem,) = refused.value.problems
    assert (
        problem.found.startswith(f"{by}, and an outline with an arm or a gap") and problem.line == 6
    )


def test_a_frame_wider_than_half_an_arm_is_refused_though_nothing_lies_on_it() -> None:
    for more in ("", ", zone: frame"):
        with pytest.raises(felt_engine.RecipeError) as refused:
            felt_engine.check(arm("T", more, width=2.5))
        assert refused.value.problems[0].pointer == "/zones/frame/width"
    assert felt_engine.check(arm("T", ", zone: frame", width=1.9)).verdict


@pytest.mark.parametrize("shape", ["oval", "round"])
@pytest.mark.parametrize("end", ["north", "south", "east", "west"])
def test_a_rectangle_to_the_ends_of_a_round_outline_is_the_band(shape: str, end: str) -> None:
    """Drawn by corners, a round outline bulges past its size; nothing is left between the two."""
    size, deep = ("40 x 90 cm", 90.0) if shape == "oval" else ("40 cm across", 40.0)
    gap = 1.8
    across = deep if end in ("north", "south") else 40.0
    band = f"{{shape: band, along: {end}, to: {across - gap:.1f} cm}}"
    x, y, w, d = {
        "north": (0, gap, 40, deep - gap), "south": (0, 0, 40, deep - gap),
        "east": (gap, 0, 40 - gap, deep), "west": (0, 0, 40 - gap, deep),
    }[end]  # fmt: skip
    rectangle = f'{{shape: rectangle, size: {w} x {d} cm, at: "{x} cm east, {y} cm north"}}'
    text = """\
piece: {{title: T, use: wall panel, shape: {}, laid out: {}, stage: firm}}
lots: {{m: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
zones: {{b: {}}}
layers:
  - {{name: a, of: m, amount: 250 g/m², direction: north-south, zone: b}}
  - {{name: b, of: m, amount: 250 g/m², direction: east-west, zone: b}}
"""
    ends = ((x, y), (x + w, y), (x + w, y + d), (x, y + d))
    corners = ", ".join(f'"{a:.1f} cm east, {b:.1f} cm north"' for a, b in ends)
    polygon = f"{{shape: polygon, corners: [{corners}]}}"
    builds = [
        felt_engine.measure(felt_engine.load(text.format(shape, size, zone)))
        for zone in (band, rectangle, polygon)
    ]
    widths = [[(len(p.stack), p.area, p.width) for p in build.faces[0].places] for build in builds]
    for other in widths[1:]:
        assert [one for place in widths[0] for one in place] == pytest.approx(
            [one for place in other for one in place], rel=1e-6
        )
