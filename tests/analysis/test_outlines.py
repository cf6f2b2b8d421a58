"""Outlines that cross themselves, and odd ones that don't."""

from __future__ import annotations

import pytest

import felt_engine
from felt_engine.analysis.geometry import crosses_itself

MITTEN = [(4, 0), (16, 0), (16, 10), (22, 16), (20, 20), (16, 17), (16, 30), (10, 34), (4, 30)]
"""An invented mitten: two of its sides lie in one line, with the thumb between them."""


@pytest.mark.parametrize("turns", range(9))
def test_sides_in_one_line_do_not_cross(turns: int) -> None:
    corners = [(float(x), float(y)) for x, y in MITTEN[turns:] + MITTEN[:turns]]
    assert not crosses_itself(corners)
    assert not crosses_itself(list(reversed(corners)))


@pytest.mark.parametrize(
    "corners",
    [
        [(0, 0), (2, 2), (2, 0), (0, 2)],
        [(0, 0), (4, 0), (4, 2), (2, 0), (0, 2)],
        [(0, 0), (4, 0), (4, 2), (1, 0), (3, 0), (0, 2)],
        [(0, 0), (1, 1), (2, 2)],
        [(0, 0), (2, 0), (0, 0), (0, 2)],
    ],
)
def test_what_meets_itself_or_has_no_area_does(corners: list[tuple[float, float]]) -> None:
    assert crosses_itself(corners)


def test_a_wrap_lies_all_round_an_outline_that_differs_left_from_right() -> None:
    corners = ", ".join(f'"{x} cm east, {y} cm north"' for x, y in MITTEN)
    build = felt_engine.measure(
        felt_engine.load(
            "piece: {title: Mitten, shape: polygon, over: flat resist, "
            f"corners: [{corners}]}}\n"
            "lots: {grey: {fibre: merino}}\n"
            "layers: [{name: a, of: grey, amount: 9 g, face: each, wraps: 2 cm}]\n"
        )
    )
    for face in build.faces:
        middle = min(face.places, key=lambda place: place.areal)
        # 416 cm² in all (shoelace); what is left 2 cm inside every side, thumb included
        assert face.area == pytest.approx(0.0416)
        assert middle.area == pytest.approx(0.02342, rel=1e-3)
        west, south, east, north = middle.whereabouts.box
        assert north < 0.33
        assert (west, south) == pytest.approx((0.06, 0.02), abs=0.012) and east < 0.21
        (rim,) = [place for place in face.places if place is not middle]
        assert rim.areal == pytest.approx(2 * middle.areal)
        kg = sum(place.areal * place.area for place in face.places)
        assert kg == pytest.approx(0.009)
