"""Cells cut exactly, laws of the shape tendency, and what is said of it."""

from __future__ import annotations

import math

import attrs
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from kit_plans import Plan, Units, plans, turned, written
from kit_rules import Plain, laid, sheet, text_of

import felt_engine
from felt_engine import FaceBuild, RecipeError, figures
from felt_engine.analysis import plane_stress
from felt_engine.analysis.cells import Cells
from felt_engine.analysis.geometry import area, bounds, rectangle
from felt_engine.analysis.outline import Shape, Side, straight
from felt_engine.analysis.patches import decompose

LAW = settings(max_examples=25, deadline=None, derandomize=True, database=None)
NONE = ("no shape tendency expected",)
AROUND = {"south": "east", "east": "north", "north": "west", "west": "south"}


def face(recipe: Plain) -> FaceBuild:
    return felt_engine.measure(felt_engine.load(text_of(recipe), name="x")).faces[0]


def shape(recipe: Plain, stage: str = "firm") -> Shape:
    return figures.shape_tendency(face(recipe), stage)


def said(recipe: Plain, stage: str = "firm") -> tuple[str, ...]:
    return figures.shape_words(shape(recipe, stage))


def drawn(plan: Plan, units: Units | None = None) -> FaceBuild:
    try:
        return face(written(plan, units))
    except RecipeError:
        assume(False)
        raise


def by_name(found: Shape) -> dict[str, Side]:
    return {side.name: side for side in found.sides}


def two_weights(zone: Plain, more: float, size: str = "12 x 12 in", **piece: object) -> Plain:
    """300 g/m² all over and so many more on a zone."""
    return sheet(
        laid("oat", "300 g/m²", "random"), laid("oat", f"{more} g/m²", "random", zone="z"),
        size=size, zones={"z": zone}, **piece,
    )  # fmt: skip


def band(along: str, end: str, start: str = "0 cm") -> Plain:
    return {"shape": "band", "along": along, "from": start, "to": end}


# --- cells ------------------------------------------------------------------------------------------

CORNER = st.tuples(st.integers(0, 240), st.integers(0, 160))


@LAW
@given(
    st.lists(CORNER, min_size=3, max_size=3, unique=True),
    st.sampled_from(((5, 4), (16, 12), (1, 1))),
)
def test_a_triangle_is_cut_exactly(corners: list[tuple[int, int]], counts: tuple[int, int]) -> None:
    """Against the same cut made by the plane geometry that cuts faces."""
    triangle = tuple((x / 800, y / 800) for x, y in corners)
    assume(abs(area(triangle)) > 1e-3)
    cells = Cells((0.0, 0.0, 0.3, 0.2), counts)
    found = cells.areas(decompose([triangle]))
    for cell in range(counts[0] * counts[1]):
        row, column = divmod(cell, counts[0])
        west, south = column * cells.wide, row * cells.deep
        own = rectangle(west, south, west + cells.wide, south + cells.deep)
        expected = sum(p.area for p in decompose([triangle, own]) if p.inside == 3)
        assert found.get(cell, 0.0) == pytest.approx(expected, abs=1e-9)


@LAW
@given(plans())
def test_no_fibre_is_lost_between_cells(plan: Plan) -> None:
    whole = drawn(plan)
    cells = Cells(bounds(whole.face.edge))
    total: dict[int, float] = {}
    for place in whole.places:
        found = cells.areas(place.region.patches)
        assert sum(found.values()) == pytest.approx(place.area, rel=1e-6, abs=1e-9)
        for cell, size in found.items():
            total[cell] = total.get(cell, 0.0) + size
    assert max(total.values()) <= cells.wide * cells.deep * (1 + 1e-6)


# --- laws -------------------------------------------------------------------------------------------


@st.composite
def rectangles(draw: st.DrawFn) -> Plan:
    return attrs.evolve(draw(plans()), shape="rectangle")


@LAW
@given(rectangles())
def test_a_quarter_turn_turns_the_answer(plan: Plan) -> None:
    one = figures.shape_tendency(drawn(plan), "firm")
    two = figures.shape_tendency(drawn(turned(plan)), "firm")
    assert (one.untold, one.limits) == (two.untold, pytest.approx(two.limits))
    assert len(one.sides) == len(two.sides)
    after = by_name(two)
    for name, side in by_name(one).items():
        there = after[AROUND[name]]
        assert there.bow == pytest.approx(side.bow, abs=2e-3)
        assert there.length == pytest.approx(side.length, rel=1e-5)


def mirrored(plan: Plan) -> Plan:
    """East and west changed over."""

    def zone(old: Plain) -> Plain:
        new = dict(old)
        if old.get("along") in ("east", "west"):
            new["along"] = AROUND[AROUND[old["along"]]]
        if "size" in old:
            wide = old["size"][0] if old["shape"] == "rectangle" else 0
            new["at"] = (plan.wide - old["at"][0] - wide, old["at"][1])
        return new

    return attrs.evolve(
        plan, zones=tuple((name, zone(one)) for name, one in plan.zones),
        passes=tuple(
            attrs.evolve(one, way=-one.way % 180 if isinstance(one.way, int) else one.way)
            for one in plan.passes
        ),
    )  # fmt: skip


@LAW
@given(rectangles())
def test_a_mirror_mirrors_the_answer(plan: Plan) -> None:
    one = by_name(figures.shape_tendency(drawn(plan), "firm"))
    two = by_name(figures.shape_tendency(drawn(mirrored(plan)), "firm"))
    assert len(one) == len(two)
    for name, side in one.items():
        there = two[AROUND[AROUND[name]] if name in ("east", "west") else name]
        assert there.bow == pytest.approx(side.bow, abs=2e-3)
        assert there.length == pytest.approx(side.length, rel=1e-5)


@LAW
@given(rectangles(), st.sampled_from((2, 5)))
def test_scaling_all_sizes_leaves_percents_alone(plan: Plan, times: int) -> None:
    one = figures.shape_tendency(drawn(plan), "light")
    two = figures.shape_tendency(drawn(plan, Units(scale=times)), "light")
    assert [side.bow for side in one.sides] == pytest.approx([s.bow for s in two.sides], abs=2e-3)
    assert [s.length * times for s in one.sides] == pytest.approx(
        [side.length for side in two.sides], rel=1e-5
    )
    assert two.limits <= one.limits


# --- words ------------------------------------------------------------------------------------------

THIRD = "4 in"
SAYS = [
    ("even", sheet(laid("oat", "300 g/m²", "east-west"), use="swatch"), NONE),
    ("a thick third in the middle", two_weights(band("south", "8 in", "4 in"), 150),
     ("it may come out barrelled between its west and east edges",)),
    ("a thick third at the far edge", two_weights(band("north", "4 in"), 150),
     ("the north (far) edge may come out longer than the south (near) one",)),
    ("a thick third at the west edge", two_weights(band("west", "4 in"), 150),
     ("the west edge may come out longer than the east one",)),
    ("a little thicker there", two_weights(band("west", "4 in"), 40), NONE),
    ("thin margins at two edges", two_weights(band("west", "29.3 cm", "12 mm"), 100), NONE),
    ("a thin frame", two_weights({"shape": "middle", "width": "25 mm"}, 100), NONE),
    ("a belt thin along one edge", two_weights(band("north", "9 cm"), 300, "100 x 12 cm"),
     ("the north (far) edge may come out longer than the south (near) one",
            "it may curve, hollow along its south (near) edge and round along its north (far) one")),
]  # fmt: skip


@pytest.mark.parametrize(("name", "recipe", "words"), SAYS, ids=[one[0] for one in SAYS])
def test_what_is_said(name: str, recipe: Plain, words: tuple[str, ...]) -> None:
    found = shape(recipe)
    assert figures.shape_words(found) == words, figures.shape_sum(found)


def test_a_waist() -> None:
    recipe = sheet(
        laid("oat", "200 g/m²", "random"),
        laid("oat", "300 g/m²", "random", zone="far"), laid("oat", "300 g/m²", "random", zone="near"),
        size="12 x 12 in", zones={"far": band("north", "5 in"), "near": band("south", "5 in")},
    )  # fmt: skip
    assert said(recipe) == ("it may come out waisted between its west and east edges",)


@pytest.mark.parametrize("stage", ["prefelt", "light", "firm", "hard"])
def test_the_words_are_those_of_any_stage(stage: str) -> None:
    assert said(two_weights(band("north", "4 in"), 150), stage) == (
        "the north (far) edge may come out longer than the south (near) one",
    )
    assert said(two_weights(band("north", "4 in"), 40), stage) == NONE


def test_what_grows_small_is_left_to_the_hand() -> None:
    """The same percents on a third of the size: within the noise of laying so small a piece."""
    small = shape(two_weights(band("north", "36 mm"), 100, "10.9 x 10.9 cm"))
    large = shape(two_weights(band("north", "36 cm"), 100, "109 x 109 cm"))
    assert [s.bow for s in small.sides] == pytest.approx([s.bow for s in large.sides], abs=0.01)
    assert figures.shape_words(small) == NONE != figures.shape_words(large)
    assert large.limits == (1.5, 2.5)


UNTOLD = [
    ("ball", sheet(laid("oat", "30 g"), over="ball", shape="round", size="8 cm"), "over a ball"),
    ("resist", sheet(laid("oat", "300 g/m²", face="each"), over="flat resist"), "resist"),
    ("round", sheet(laid("oat", "300 g/m²"), shape="round", size="30 cm"), "curve"),
    ("bare edges", sheet(
        laid("oat", "300 g/m²", zone="z"), zones={"z": {"shape": "middle", "width": "5 cm"}}
     ), "along its edges"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "recipe", "why"), UNTOLD, ids=[one[0] for one in UNTOLD])
def test_where_nothing_is_told(name: str, recipe: Plain, why: str) -> None:
    found = shape(recipe)
    assert figures.shape_words(found) == () == found.sides
    assert why in found.untold and figures.shape_sum(found) == found.untold


def test_an_unknown_stage() -> None:
    with pytest.raises(ValueError):
        shape(sheet(laid("oat", "300 g/m²")), "felted")


def test_an_even_piece_is_not_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr(plane_stress, "Body")
    halves = sheet(
        laid("oat", "300 g/m²", "random", zone="one"), laid("ink", "300 g/m²", "random", zone="two"),
        zones={"one": band("west", "6 in"), "two": band("east", "6 in")},
    )  # fmt: skip
    assert len(face(halves).places) == 2
    assert said(halves) == NONE


def example(*bows: float, lengths: tuple[float, ...] = (0.2, 0.2, 0.2, 0.2)) -> Shape:
    names = ("south", "east", "north", "west")
    sides = tuple(
        Side(name, 0.3, length, bow, 1.3)
        for name, length, bow in zip(names, lengths, bows, strict=True)
    )
    return Shape("firm", sides, ((0, 2), (1, 3)))


BORDERS = [
    (example(0, 0, 0, 1.4999), NONE),
    (example(0, 0, 0, 1.5), ("the west edge may draw in at its middle",)),
    (example(-1.4999, 0, 0, 0), NONE),
    (example(-1.5, 0, 0, 0), ("the south (near) edge may bow out at its middle",)),
    (example(0, 1.5, 0, 1.5), ("it may come out waisted between its west and east edges",)),
    (example(-1.5, 0, -2, 0), ("it may come out barrelled between its south and north edges",)),
    (example(0, -1.5, 0, 1.5), ("it may curve, hollow along its west edge and round along its east one",)),
    (example(0, 0, 0, 0, lengths=(0.2, 0.2, 0.20499, 0.2)), NONE),
    (example(0, 0, 0, 0, lengths=(0.2, 0.2, 0.20501, 0.2)),
     ("the north (far) edge may come out longer than the south (near) one",)),
    (example(0, 0, 0, 0, lengths=(0.2, 0.20501, 0.2, 0.2)),
     ("the east edge may come out longer than the west one",)),
]  # fmt: skip


@pytest.mark.parametrize(("found", "words"), BORDERS)
def test_both_sides_of_the_limits(found: Shape, words: tuple[str, ...]) -> None:
    assert figures.shape_words(found) == words


def test_the_sum_behind_the_words() -> None:
    found = example(-1.13, 1.07, 0.5, -0.04, lengths=(0.23018, 0.2, 0.21453, 0.2))
    assert figures.shape_sum(found) == (
        "bow at the middle, % of the edge, inward +: south -1.1 ± 1.3, east 1.1 ± 1.3, "
        "north 0.5 ± 1.3, west 0.0 ± 1.3; told from 1.5; south 7.3 % longer than north; "
        "told from 2.5 %"
    )
    assert "opposite edges come out equally long" in figures.shape_sum(example(0, 0, 0, 0))


# --- outlines with corners --------------------------------------------------------------------------


def at(*corners: tuple[float, float]) -> list[str]:
    return [f"{x:.6f} cm east, {y:.6f} cm north" for x, y in corners]


def corner_sheet(corners: list[str], more: Plain | None = None) -> Plain:
    recipe = sheet(laid("oat", "300 g/m²", "random"), shape="polygon", corners=corners)
    del recipe["piece"]["laid out"]
    if more:
        recipe["zones"] = {"z": more}
        recipe["layers"].append({"name": "more", **laid("oat", "150 g/m²", "random", zone="z")})
    return recipe


def test_a_square_on_its_corner_tells_what_a_square_does() -> None:
    """Cells cut by slanted edges: within 0.15 % of a side of what the upright square gives."""
    half = 15.24 * math.sqrt(2)
    corners = [(half, 0.0), (2 * half, half), (half, 2 * half), (0.0, half)]
    third = [corners[0], corners[1]]
    third += [(x - 2 * half / 6, y + 2 * half / 6) for x, y in reversed(third)]
    slanted = by_name(
        shape(corner_sheet(at(*corners), {"shape": "polygon", "corners": at(*third)}))
    )
    upright = by_name(shape(two_weights(band("south", "4 in"), 150)))
    names = {"south": "southeast", "east": "northeast", "north": "northwest", "west": "southwest"}
    for name, turned_name in names.items():
        assert slanted[turned_name].bow == pytest.approx(upright[name].bow, abs=0.15)
        assert slanted[turned_name].length == pytest.approx(upright[name].length, rel=4e-3)


def test_a_corner_at_which_nothing_turns_is_none() -> None:
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (1.0, 1.0), (0.0, 1.0))
    assert straight(square) == (square[0], square[1], square[3], square[4])


def test_edges_of_one_name_and_short_ones() -> None:
    """An L has two edges to the north and two to the east; an edge of 2 cm is left out."""
    ell = at((0, 0), (40, 0), (40, 18), (20, 18), (20, 40), (2, 40), (0, 38))
    found = shape(corner_sheet(ell, band("south", "9 cm")))
    assert sorted(side.name for side in found.sides) == [
        "east", "east", "north", "north", "south", "west"
    ]  # fmt: skip
    assert found.opposite == ()
    wilder = attrs.evolve(found, limits=(1e-6, 2.5))
    assert any(words.startswith("a north (far) edge may") for words in figures.shape_words(wilder))
    assert any(words.startswith("the west edge may") for words in figures.shape_words(wilder))
