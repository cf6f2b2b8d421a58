"""Borders between places: lengths that can be measured with a ruler, and what they add up to."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from kit_plans import Plan, plans, written
from kit_rules import Plain, laid, sheet, text_of

import felt_engine
from felt_engine import FaceBuild, RecipeError
from felt_engine.analysis.geometry import perimeter

LAW = settings(max_examples=120, deadline=None, derandomize=True, database=None)


def face(recipe: Plain) -> FaceBuild:
    return felt_engine.measure(felt_engine.load(text_of(recipe), name="x")).faces[0]


def zoned(zone: Plain, size: str = "40 x 30 cm", **more: object) -> FaceBuild:
    base = laid("oat", "100 g/m²", "random")
    return face(
        sheet(base, laid("ink", "100 g/m²", zone="z"), size=size, zones={"z": zone}, **more)
    )


def test_one_stack_has_no_border_and_all_of_the_outline() -> None:
    whole = face(sheet(laid("oat", "100 g/m²"), size="40 x 30 cm"))
    assert whole.borders == ()
    assert whole.rim(whole.places[0]) == pytest.approx(1.4)


ZONES = [
    ("band", {"shape": "band", "along": "south", "to": "10 cm"}, 0.4, (0.6, 0.8)),
    ("island", {"shape": "rectangle", "size": "10 x 5 cm", "at": "5 cm east, 5 cm north"}, 0.3, (0, 1.4)),
    ("corner", {"shape": "rectangle", "size": "10 x 5 cm", "at": "0 cm east, 0 cm north"},
     0.15, (0.15, 1.25)),
    ("rim", {"shape": "rim", "width": "5 cm"}, 1.0, (1.4, 0)),
    ("two sides", {"shape": "band", "along": "west", "from": "10 cm", "to": "20 cm"}, 0.6, (0.2, 1.2)),
    ("slant", {"shape": "polygon", "corners": ["0 cm east, 0 cm north", "40 cm east, 0 cm north",
      "0 cm east, 30 cm north"]}, 0.5, (0.7, 0.7)),
]  # fmt: skip


@pytest.mark.parametrize(("name", "zone", "shared", "rims"), ZONES, ids=[one[0] for one in ZONES])
def test_lengths_by_the_ruler(
    name: str, zone: Plain, shared: float, rims: tuple[float, float]
) -> None:
    found = zoned(zone)
    (border,) = found.borders
    assert border.length == pytest.approx(shared, abs=1e-6)
    stacked = {len(place.stack): found.rim(place) for place in found.places}
    assert (stacked[2], stacked[1]) == pytest.approx(rims, abs=1e-6)


def test_a_round_island_on_a_round_piece() -> None:
    found = zoned({"shape": "round", "size": "20 cm", "at": "25 cm east, 25 cm north"},
                  size="50 cm", shape="round")  # fmt: skip
    (border,) = found.borders
    assert border.length == pytest.approx(0.2 * math.pi, rel=3e-3)
    assert sum(map(found.rim, found.places)) == pytest.approx(0.5 * math.pi, rel=3e-3)


def test_corners_that_only_touch_are_no_border() -> None:
    zones = {
        "sw": {"shape": "rectangle", "size": "20 x 20 cm", "at": "0 cm east, 0 cm north"},
        "ne": {"shape": "rectangle", "size": "20 x 20 cm", "at": "20 cm east, 20 cm north"},
    }
    checked = face(sheet(
        laid("oat", "100 g/m²"), laid("ink", "50 g/m²", zone="sw"), laid("sea", "50 g/m²", zone="ne"),
        size="40 x 40 cm", zones=zones,
    ))  # fmt: skip
    pairs = {frozenset((len(b.one.stack), len(b.two.stack))) for b in checked.borders}
    assert pairs == {frozenset((1, 2))}
    assert [b.length for b in checked.borders] == pytest.approx([0.4, 0.4])


def test_a_ball_has_no_borders() -> None:
    ball = face(sheet(laid("oat", "10 g"), size="8 cm", shape="round", over="ball", use="ornament"))
    assert ball.borders == () and ball.rim(ball.places[0]) == 0.0


@LAW
@given(plans())
def test_what_is_no_border_is_outline(plan: Plan) -> None:
    """The pieces' edges by themselves add up to the outline's own length."""
    try:
        found = face(written(plan))
    except RecipeError:
        return
    total = sum(found.rim(place) for place in found.places)
    assert total == pytest.approx(perimeter(found.face.edge), rel=1e-5)
    for border in found.borders:
        assert border.length > 0 and border.one is not border.two
