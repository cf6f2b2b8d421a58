"""The row plan: rows reach, tufts add up to what is laid, and the command says so."""

from __future__ import annotations

from pathlib import Path

import pytest
from kit import RECIPES, run

import felt_engine
from felt_engine import CallError

PANEL = """\
piece: {title: Twelve inches, shape: rectangle, laid out: 304.8 x 304.8 mm, use: picture ground}
lots: {oat: {fibre: merino, preparation: combed top}}
zones: {south: {shape: band, along: south, to: 15.24 cm}}
layers:
  - {name: up, of: oat, amount: 0.4 oz, direction: north-south, lay: shingle, tuft: 50.8 x 101.6 mm}
  - {name: band, of: oat, amount: 8 g, zone: south, direction: east-west, lay: shingle,
     tuft: 50.8 x 101.6 mm, overlap: 1/3}
  - {name: over, of: oat, amount: 12 g, direction: east-west, lay: shingle}
"""


def test_the_check_numbers_of_a_twelve_inch_layer() -> None:
    """H 304.8, Lt 101.6, o 0.25: n 4, o_fit 0.3333; W 304.8, Wt 50.8, o_x 0.10: 7; 0.40499 g a tuft."""
    up, band = felt_engine.row_plan(PANEL)
    assert (up.rows.count, up.tufts.count) == (4, 7)
    assert up.rows.overlap == pytest.approx(0.3333, abs=1e-4)
    assert up.tufts.overlap == pytest.approx(0.1667, abs=1e-4)
    assert 1000 * up.each == pytest.approx(0.40499, abs=1e-5)
    assert (band.along, band.across) == pytest.approx((0.3048, 0.1524))
    assert (band.rows.count, band.tufts.count) == (4, 4)


@pytest.mark.parametrize("path", sorted(RECIPES.glob("*.*")), ids=lambda path: path.name)
def test_rows_reach_and_tufts_add_up(path: Path) -> None:
    recipe = felt_engine.load(path)
    build = felt_engine.measure(recipe)
    for one in felt_engine.row_plan(recipe, tuft="5 x 10 cm"):
        reach = one.tuft + (one.rows.count - 1) * one.rows.pitch
        assert reach >= one.along - 1e-9
        faces = 2 if one.laid.placement.face in ("both", "each") else 1
        laid = one.each * one.rows.count * one.tufts.count * faces
        assert laid == pytest.approx(build.masses[one.laid.key])


def test_a_tuft_may_be_named_and_has_two_sides() -> None:
    assert len(felt_engine.row_plan(PANEL, tuft="5 x 10 cm")) == 3
    with pytest.raises(CallError, match="two sides"):
        felt_engine.row_plan(PANEL, tuft="10 cm")
    for tuft in ("0.9 mm x 10 cm", "5 cm x 0.9 mm"):
        with pytest.raises(CallError, match="a tuft is at least 1 mm each way, and not"):
            felt_engine.row_plan(PANEL, tuft=tuft)
        slip = felt_engine.look(PANEL.replace("50.8 x 101.6 mm", tuft)).problems[0]
        assert (slip.found, slip.expected) == (f'"{tuft}"', "at least 1 mm each way")
    assert felt_engine.row_plan(PANEL, tuft="1 x 1 mm")


def test_the_command(tmp_path: Path) -> None:
    (tmp_path / "r.yaml").write_text(PANEL, encoding="utf-8")
    done = run("rows", "r.yaml", cwd=tmp_path)
    assert done.returncode == 0 and "4 rows along 30.5 cm (12.0 in)" in done.stdout
    assert "28 tufts" in done.stdout and all(len(x) <= 80 for x in done.stdout.splitlines())
    bare = PANEL.replace("tuft: 50.8 x 101.6 mm", "role: structure")
    (tmp_path / "r.yaml").write_text(bare, encoding="utf-8")
    assert "--tuft" in run("rows", "r.yaml", cwd=tmp_path).stdout


SCARF = """\
piece: {{title: S, use: {use}, shape: {shape}, laid out: {size} cm, stage: light}}
lots: {{mist: {{fibre: merino, preparation: combed top, fineness: 18.5 um}}}}
layers:
  - {{name: along, of: mist, amount: {one} g, direction: east-west, lay: shingle, tuft: {tuft} cm{past}}}
  - {{name: across, of: mist, amount: {two} g, direction: north-south, lay: shingle, tuft: {tuft} cm{past2}}}
"""


@pytest.mark.parametrize("use", ["scarf", "garment cloth", "wall panel"])
@pytest.mark.parametrize("size", ["180 x 30", "60 x 40", "30 x 30", "150 x 22"])
@pytest.mark.parametrize("shape", ["rectangle", "oval"])
def test_what_is_laid_past_as_advised_stays_as_heavy_and_is_planned_so(
    use: str, size: str, shape: str
) -> None:
    wide, deep = map(int, size.split(" x "))
    for areal in (55, 60, 80, 200, 400):
        for tuft in ("6 x 15", "8 x 20", "5 x 10"):
            grams = round(wide * deep / 1e4 * areal / 2, 1)
            first = SCARF.format(
                use=use, shape=shape, size=size, one=grams, two=grams, tuft=tuft, past="", past2=""
            )
            plan = felt_engine.row_plan(first)
            cm = [round(100 * one.past, 1) for one in plan]
            new = [round(grams * one.times, 2) for one in plan]
            text = SCARF.format(
                use=use, shape=shape, size=size, one=new[0], two=new[1], tuft=tuft,
                past=f", past: {cm[0]} cm" if cm[0] else "", past2=f", past: {cm[1]} cm" if cm[1] else "",
            )  # fmt: skip
            (old,), (now,) = (
                felt_engine.measure(felt_engine.load(t)).places for t in (first, text)
            )
            assert now.areal == pytest.approx(old.areal, rel=0.02), (areal, tuft, cm)
            if felt_engine.check(first).verdict == "right":
                assert felt_engine.check(text).verdict == "right"
            for one, by in zip(felt_engine.row_plan(text), cm, strict=True):
                assert one.past == 0 or not by
                along = wide if one.laid.layer.name == "along" else deep
                slack = 2e-3 if shape == "rectangle" else 1e-2  # an oval by corners has its area
                assert one.along == pytest.approx((along + 2 * by) / 100, abs=slack)
                assert one.start == pytest.approx(-by / 100, abs=slack)
                assert one.each * one.rows.count * one.tufts.count == pytest.approx(
                    now.stack[one.laid.key[0]].areal * one.laid.area
                )


def test_the_command_says_what_it_takes_to_lay_past(tmp_path: Path) -> None:
    text = SCARF.format(use="scarf", shape="rectangle", size="180 x 30", one=14.9, two="55 g/m² #",
                        tuft="6 x 15", past="", past2="").replace("55 g/m² # g", "55 g/m²")  # fmt: skip
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    said = " ".join(run("rows", "r.yaml", cwd=tmp_path).stdout.split())
    assert "past the outline, so that the rim isn’t thinner than the middle." in said
    assert said.count("it then takes") == 1 and "oz) in place of 14.9 g." in said


@pytest.mark.parametrize(("rows", "says"), [
    (12, "So they reach over 92.5 cm (36.4 in) of it; 27 rows fill it."), (27, None), (40, None),
])  # fmt: skip
def test_the_command_says_so_where_the_stated_rows_fall_short(
    rows: int, says: str | None, tmp_path: Path
) -> None:
    text = SCARF.format(use="scarf", shape="rectangle", size="200 x 40", one=30, two=30, tuft="5 x 10",
                        past=f", rows: {rows}", past2="")  # fmt: skip
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    said = " ".join(run("rows", "r.yaml", cwd=tmp_path).stdout.split())
    assert (says in said) if says else ("So they reach" not in said)
