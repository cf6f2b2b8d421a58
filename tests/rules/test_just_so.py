"""Widths, shares and steps that are just those of a limit: told alike however a recipe lies or is written."""

from __future__ import annotations

import re

import pytest

import felt_engine
from felt_engine import figures

RIM = """\
piece: {{title: T, shape: rectangle, laid out: {} cm}}
lots: {{wool: {{fibre: romney}}, shine: {{fibre: viscose}}}}
zones: {{rim: {{shape: rim, width: 0.6 cm}}}}
layers:
  - {{name: a, of: shine, amount: 300 g/m²}}
  - {{name: c, of: wool, amount: 120 g/m², zone: rim}}
"""
OVAL = """\
piece: {{title: T, use: rug, shape: oval, laid out: {} cm}}
lots: {{wool: {{fibre: bergschaf, fineness: 19 um}}}}
layers:
  - {{name: y, of: wool, amount: 0.04 oz, turned in: 1 cm}}
"""
STEP = """\
piece: {{title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm, stage: firm}}
lots: {{white: {{fibre: merino, preparation: carded batt, fineness: 21 um}}}}
layers:
  - {{name: one, of: white, amount: 30 g, direction: random}}
  - {{name: dots, of: white, amount: 0.9 g, direction: random, role: accent}}
scale step: {}
"""


def told(text: str) -> list[tuple[str, str, str]]:
    return [(one.rule, one.level, one.spot.pointer) for one in felt_engine.check(text).findings]


@pytest.mark.parametrize("sides", [(10, 3), (6, 3), (8, 4), (12, 3), (20, 4), (30, 3)])
def test_a_rim_as_wide_as_what_is_tied_in_from_its_sides(sides: tuple[int, int]) -> None:
    wide, deep = sides
    found = told(RIM.format(f"{wide} x {deep}"))
    assert found == told(RIM.format(f"{deep} x {wide}"))
    assert ("luster-carrier", "fault", "/layers/0") in found


@pytest.mark.parametrize("sides", [("20", "10"), ("20.1", "10"), ("21", "10"), ("10", "5")])
def test_a_rim_of_an_oval_as_wide_as_a_strip_is(sides: tuple[str, str]) -> None:
    wide, deep = sides
    assert told(OVAL.format(f"{wide} x {deep}")) == told(OVAL.format(f"{deep} x {wide}"))


@pytest.mark.parametrize("step", ["1 g", "0.001 kg", "1000 mg"])
def test_the_step_of_a_scale_in_any_unit(step: str) -> None:
    assert told(STEP.format(step)) == [("below-scale", "caution", "/layers/1")]


def test_a_step_that_no_scale_for_wool_has_is_a_slip() -> None:
    found = felt_engine.check(STEP.format("1 kg")).findings[0]
    assert found.rule == "unit-slip" and "1 kg for the scale step" in found.message


def test_figures_that_rounding_has_told_apart_are_one() -> None:
    assert figures.steady(0.1 + 0.2) == figures.steady(0.3) and 0.1 + 0.2 != 0.3
    assert figures.steady(0.3 + 1e-10) > figures.steady(0.3)


CLOTH = """\
piece: {{title: T, use: {}, shape: rectangle, laid out: {}, stage: firm}}
lots: {{white: {{fibre: merino, preparation: carded batt, fineness: 21 um}}}}
layers:
  - {{name: one, of: white, amount: {}, direction: random, past: 10 mm}}
"""


def test_no_size_is_named_as_meant_that_could_not_be_written() -> None:
    found = told(CLOTH.format("seat pad", "600 x 1000 cm", "9 g"))
    assert [rule for rule, _, _ in found] == ["thin-layer"]


def test_an_amount_that_is_named_as_meant_is_read() -> None:
    (one,) = felt_engine.check(CLOTH.format("cushion", "24 x 16 in", "40 g/m²")).findings
    meant = one.do.removeprefix("Write ").partition(",")[0]
    assert (one.rule, meant) == ("unit-slip", "40 g/ft²")
    assert not told(CLOTH.format("cushion", "24 x 16 in", meant))


def test_what_lies_on_little_of_the_piece_is_not_said_to_be_on_most() -> None:
    text = CLOTH.format("rug", "100 x 40 cm", "600 g/m²").replace(", past: 10 mm", ", zone: rim")
    zone = "zones: {rim: {shape: rim, width: 3 cm}}\nlayers:"
    found = felt_engine.check(text.replace("layers:", zone))
    said = next(one.message for one in found.findings if one.rule == "weight-for-use")
    assert "most of what is laid" in said


COVER = """\
piece: {title: Winter field, use: picture ground, shape: rectangle, laid out: 30 x 30 cm, stage: firm}
lots:
  under: {fibre: merino, preparation: combed top, fineness: 20 um, colour: "#1d2747"}
  over: {fibre: merino, preparation: combed top, fineness: 20 um, colour: "#efe9da"}
  twin: {fibre: merino, preparation: combed top, fineness: 20 um, colour: "#efe9da"}
layers:
  - {name: along, of: under, amount: 200 g/m², direction: north-south}
"""
NEPS = """\
piece: {title: Neps, use: cushion, shape: rectangle, laid out: 40 x 40 cm, stage: firm}
lots:
  ground: {fibre: merino, preparation: carded batt, fineness: 20 um}
  neps: {fibre: wool, preparation: neps}
layers:
  - {name: a, of: ground, amount: 200 g/m², direction: north-south}
  - {name: b, of: ground, amount: 200 g/m², direction: east-west}
"""


@pytest.mark.parametrize("grams", [(110,), (55, 55), (30, 50, 30)])
@pytest.mark.parametrize("of", ["over", "twin"])
def test_a_cover_is_one_in_however_many_layers(grams: tuple[int, ...], of: str) -> None:
    layers = "".join(
        f"  - {{name: c{n}, of: {of if n else 'over'}, amount: {one} g/m², direction: east-west, "
        "role: cover}\n" for n, one in enumerate(grams)
    )  # fmt: skip
    found = told(COVER + layers)
    assert ("halo-clash", "fault") in [(rule, level) for rule, level, _ in found]


@pytest.mark.parametrize("grams", [(120,), (60, 60), (40, 40, 40)])
def test_neps_lie_on_each_other_in_however_many_layers(grams: tuple[int, ...]) -> None:
    layers = "".join(
        f"  - {{name: n{n}, of: neps, amount: {one} g/m², lay: scatter}}\n"
        for n, one in enumerate(grams)
    )
    found = told(NEPS + layers)
    assert [(rule, level) for rule, level, _ in found] == [("luster-carrier", "caution")]


def test_no_layer_is_said_to_be_meant_thinner_than_any_veil() -> None:
    text = """\
piece: {title: Scarf, use: scarf, shape: rectangle, laid out: 200 x 40 cm}
lots: {hill: {fibre: merino, preparation: carded batt}}
layers:
  - {name: one, of: hill, amount: 0.14 kg/m², direction: random, lay: scatter}
  - {name: two, of: hill, amount: 0.4 kg/m², direction: random}
"""
    assert told(text) == [("weight-for-use", "caution", "/piece")]


ROLLED = """\
piece: {{title: Mat, use: wall panel, shape: rectangle, laid out: {size}, stage: firm}}
lots: {{w: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
  - {{name: a, of: w, amount: 200 g/m², direction: east-west}}
  - {{name: b, of: w, amount: 200 g/m², direction: north-south}}
tools: {{{tool}: {has}}}
"""


@pytest.mark.parametrize(
    "size", ["29 x 40 cm", "10 3/8 x 14 in", "31.4 x 41.3 cm", "1.01 x 2.03 m"]
)
@pytest.mark.parametrize("tool", ["roller", "mat"])
def test_a_tool_as_large_as_advised_is_large_enough(size: str, tool: str) -> None:
    def has(one: str) -> str:
        return f"{{length: {one}, across: 2 in}}" if tool == "roller" else f"{one}"

    small = "6 in" if tool == "roller" else "6 x 6 in"
    (finding,) = felt_engine.check(ROLLED.format(size=size, tool=tool, has=has(small))).findings
    advised = re.search(r"of at least (.+?) \((.+?)\)", finding.do)
    assert finding.rule == "tools-fit" and advised
    for one in advised.groups():
        assert not told(ROLLED.format(size=size, tool=tool, has=has(one)))
