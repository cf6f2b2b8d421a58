"""Gaps, seams, rims and rows as they lie on a face: plane geometry by hand, no outside source."""

from __future__ import annotations

import math

import pytest
from kit_rules import Plain, laid, sheet, text_of

import felt_engine
from felt_engine import FaceBuild, figures


def face(recipe: Plain) -> FaceBuild:
    return felt_engine.measure(felt_engine.load(text_of(recipe))).faces[0]


def zoned(
    zones: Plain, amounts: tuple[float, ...], size: str = "400 mm x 300 mm", **more: object
) -> Plain:
    layer: Plain = {
        "name": "bands", "direction": "random",
        "placements": [
            {"of": "oat", "amount": f"{amount} g/m²", "zone": zone}
            for zone, amount in zip(zones, amounts, strict=True)
        ],
    }  # fmt: skip
    return sheet(layer, size=size, zones=zones, **more)  # type: ignore[arg-type]


WEST = {"shape": "band", "along": "west", "to": "180 mm"}
EAST = {"shape": "band", "along": "east", "to": "190 mm"}


def test_a_gap_has_its_width_its_length_and_its_sides() -> None:
    (gap,) = figures.gaps(face(zoned({"w": WEST, "e": EAST}, (200, 200))), 0)
    assert (gap.wide, gap.long) == pytest.approx((0.030, 0.300))
    assert gap.zones == ("e", "w") and gap.filled == pytest.approx(1.0)
    assert len(gap.places) == 1 and not gap.places[0].stack and len(gap.beside) == 2


def test_two_gaps_over_one_ground_are_two() -> None:
    zones = {
        "a": {"shape": "band", "along": "west", "to": "100 mm"},
        "b": {"shape": "band", "along": "west", "from": "120 mm", "to": "260 mm"},
        "c": {"shape": "band", "along": "west", "from": "300 mm", "to": "400 mm"},
    }
    gaps = figures.gaps(face(zoned(zones, (200, 200, 200))), 0)
    assert sorted(gap.wide for gap in gaps) == pytest.approx([0.020, 0.040])
    assert {gap.zones for gap in gaps} == {("a", "b"), ("b", "c")}
    assert all(gap.filled == pytest.approx(1.0) for gap in gaps)


def test_what_is_open_on_one_side_is_no_gap() -> None:
    assert figures.gaps(face(zoned({"w": WEST}, (200,))), 0) == ()
    both = {"w": WEST, "more": {**WEST, "to": "150 mm"}}
    assert figures.gaps(face(zoned(both, (200, 100))), 0) == ()


def test_a_slanted_gap_is_measured_across() -> None:
    """Two halves along the diagonal of a square; 20 mm apart across, 28.3 mm along the edge."""
    step = 20 * math.sqrt(2)
    zones = {
        "low": {"shape": "polygon", "corners": [
            "0 mm east, 0 mm north", "400 mm east, 0 mm north", "400 mm east, 400 mm north"]},
        "high": {"shape": "polygon", "corners": [
            f"0 mm east, {step:.6f} mm north", f"{400 - step:.6f} mm east, 400 mm north",
            "0 mm east, 400 mm north"]},
    }  # fmt: skip
    (gap,) = figures.gaps(face(zoned(zones, (200, 200), "400 mm x 400 mm")), 0)
    assert gap.wide == pytest.approx(0.020, rel=0.06)


def test_a_seam_is_as_long_as_its_line_and_holds_what_both_sides_share() -> None:
    zones = {"w": WEST, "e": {**EAST, "to": "220 mm"}}
    recipe = zoned(zones, (150, 350))
    (seam,) = figures.seams(face(recipe))
    assert (seam.length, seam.held) == pytest.approx((0.300, 0.0))
    recipe["layers"].append({"name": "over", "of": "oat", "amount": "50 g/m²"})
    (seam,) = figures.seams(face(recipe))
    assert seam.held == pytest.approx(50 / 200)
    west, south, east, north = seam.line.whereabouts.box
    assert ((west + east) / 2, north - south) == pytest.approx((0.18, 0.31))
    lapped = zoned({"w": WEST, "e": {**EAST, "to": "230 mm"}}, (150, 350))
    assert all(seam.held == pytest.approx(1.0) for seam in figures.seams(face(lapped)))


def test_a_round_seam_is_as_long_as_its_circle() -> None:
    zones = {
        "edge": {"shape": "rim", "width": "5 cm"},
        "heart": {"shape": "middle", "width": "5 cm"},
    }
    recipe = zoned(zones, (200, 200), shape="round")
    recipe["piece"]["laid out"] = "40 cm across"
    (seam,) = figures.seams(face(recipe))
    assert seam.length == pytest.approx(math.pi * 0.30, rel=0.003)


def test_silk_holds_no_seam_and_cloth_does() -> None:
    zones = {"w": WEST, "e": {**EAST, "to": "220 mm"}}
    for of, held in (("silk", 0.0), ("gauze", 20 / 220), ("ready felt", 20 / 220)):
        recipe = zoned(zones, (200, 200))
        recipe["layers"].append({"name": "over", "of": of, "amount": "20 g/m²"})
        full = sheet(*recipe["layers"], size="400 mm x 300 mm", zones=zones)
        (seam,) = figures.seams(face(full))
        assert seam.held == pytest.approx(held), of


def rims(recipe: Plain) -> dict[str, figures.Rim]:
    loaded = felt_engine.load(text_of(recipe))
    whole = felt_engine.measure(loaded).faces[0]
    return {rim.side: rim for rim in figures.rims(loaded, whole, 0.025)}


def test_a_rim_by_what_stops_short_in_a_band() -> None:
    """A band along the north edge, 1 cm short of it and of both sides: 200 of 500 g/m² lack in 40 cm²
    and 2 times 1.5 cm² of the outer 25 mm, which are 100 cm².
    """
    zones = {"sky": {"shape": "band", "along": "north", "to": "10 cm"}}
    recipe = sheet(
        laid("oat", "300 g/m²", "random"),
        laid("oat", "200 g/m²", "random", zone="sky", short="1 cm"),
        size="40 x 40 cm", zones=zones,
    )  # fmt: skip
    found = rims(recipe)
    assert found["north"].share("short") == pytest.approx(1 - 0.4 * 0.43)
    assert found["south"].share("short") == 1.0
    assert found["north"].share("torn", "rows") == 1.0


def test_a_rim_of_torn_batt_and_what_was_turned_in() -> None:
    """A line from 0 to full over 40 mm is 0.3125 over its outer 25."""
    torn = laid("batt oat", "300 g/m²", "random") | {"batt edges": "torn"}
    rest = laid("oat", "200 g/m²", "random")
    assert rims(sheet(torn, rest, size="40 x 40 cm"))["east"].share("torn") == pytest.approx(
        1 - 0.6 * 0.6875
    )
    past = rims(sheet({**torn, "past": "20 mm"}, rest, size="40 x 40 cm"))["east"]
    # 20 mm past: outer 20 of the strip lack (20 - x) / 40
    assert past.share("torn") == pytest.approx(1 - 0.6 * (20 * 20 / 2 / 40 / 25))
    folded = rims(sheet({**torn, "turned in": "3 cm"}, rest, size="40 x 40 cm"))["east"]
    assert folded.share("torn") == 1.0 and folded.turned > 0


def test_a_rim_all_round_counts_half_of_the_rows() -> None:
    rowed = laid("oat", "300 g/m²", "east-west", lay="shingle", overlap="25 %", tuft="5 x 10 cm")
    square = rims(sheet(rowed, size="40 x 40 cm"))
    assert square["north"].share("rows") == 1.0 and square["east"].share("rows") < 0.6
    recipe = sheet(rowed, shape="round")
    recipe["piece"]["laid out"] = "40 cm across"
    (round_one,) = rims(recipe).values()
    half = (1 + square["east"].share("rows")) / 2
    assert round_one.share("rows") == pytest.approx(half, abs=0.01)


def test_rows_as_a_layer_says_them() -> None:
    rowed = laid("oat", "300 g/m²", "north-south", lay="shingle", tuft="5 x 10 cm")
    one = figures.shingled(face(sheet(rowed, size="60 x 40 cm")), 0)
    assert one is not None and (one.along, one.across) == pytest.approx((0.4, 0.6))
    assert one.rows is not None and one.rows.count == 5  # (4 - 0.25) / 0.75
    counted = figures.shingled(face(sheet({**rowed, "rows": 6}, size="60 x 40 cm")), 0)
    assert counted is not None and counted.rows is not None
    assert (counted.rows.count, counted.rows.overlap) == (6, pytest.approx(0.4))
    few = figures.shingled(face(sheet({**rowed, "rows": 3}, size="60 x 40 cm")), 0)
    assert few is not None and few.rows is not None and few.rows.count == 5
    for other in ({"lay": "batt"}, {"direction": "radial"}):
        assert figures.shingled(face(sheet({**rowed, **other}, size="60 x 40 cm")), 0) is None
