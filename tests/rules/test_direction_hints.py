"""What direction-balance advises, followed to the letter, mends what it found."""

from __future__ import annotations

import itertools
import re

import pytest

import felt_engine
from felt_engine import Finding

RECIPE = """\
piece: {{title: T, use: wall panel, shape: rectangle, laid out: {size}, stage: firm, outline: straight}}
lots: {{w: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
{layers}{purpose}"""
Lines = list[tuple[str, int, str]]

WAYS = [
    (one, two, three, size)
    for one, two, three in itertools.product(
        ["north-south", "bearing 30°"],
        ["bearing 45°", "bearing 135°", "east-west", "north-south", "bearing 100°"],
        ["north-south", "bearing 60°"],
    )
    for size in ("40 x 40 cm", "60 x 30 cm")
]


def written(lines: Lines, size: str, meant: str = "") -> str:
    layers = "".join(
        f"  - {{name: {name}, of: w, amount: {grams} g, direction: {way}}}\n"
        for name, grams, way in lines
    )
    why = f"on purpose:\n  - {{what: laid one way, where: {meant}, why: it is meant}}\n"
    return RECIPE.format(size=size, layers=layers, purpose=why if meant else "")


def found(text: str) -> list[Finding]:
    return [one for one in felt_engine.check(text).findings if one.rule == "direction-balance"]


@pytest.mark.parametrize("grams", list(itertools.product([30, 60, 120], [20, 90], [0, 10, 50])))
def test_what_is_advised_is_enough(grams: tuple[int, int, int]) -> None:
    told = 0
    for *ways, size in WAYS:
        lines = [
            line for line in zip("abc", grams, ways, strict=True) if line[1]
        ]  # fmt: skip
        for one in found(written(lines, size)):
            told += 1
            turn = re.match(r"Turn “(.)” (?:to|so that it lies) (?:along )?([^,]*),", one.do)
            if turn:
                turned = [(n, g, turn[2] if n == turn[1] else way) for n, g, way in lines]
                assert not found(written(turned, size)), (one.do, lines)
            assert one.do.endswith("(what: laid one way, where: whole).")
            assert not found(written(lines, size, "whole"))
            about = one.spot.pointer
            meant = found(written(lines, size, lines[int(about.split("/")[2])][0]))
            assert about not in [left.spot.pointer for left in meant]
    assert told


def test_a_layer_that_is_meant_and_balances_the_rest() -> None:
    even: Lines = [("a", 60, "north-south"), ("b", 30, "east-west"), ("c", 30, "east-west")]
    assert not found(written(even, "40 x 40 cm", "a"))


def test_what_lies_the_same_way_as_a_layer_that_is_meant_is_still_told() -> None:
    slip: Lines = [("a", 60, "east-west"), ("b", 50, "east-west"), ("c", 50, "east-west")]
    assert [one.spot.pointer for one in found(written(slip, "40 x 40 cm", "a"))] == ["/layers/1"]


HALF = """\
piece: {{title: T, use: bag, shape: rectangle, laid out: 93 x 37 cm, stage: {stage}}}
lots:
  sand: {{fibre: {one}, preparation: combed top, fineness: 24 um}}
  other: {{fibre: {other}, preparation: combed top, fineness: 24 um}}
zones: {{z: {{shape: band, along: west, to: 46 cm}}}}
layers:
  - {{name: a, of: sand, amount: {sand} g/m², direction: north-south}}
  - {{name: b, of: sand, amount: {sand} g/m², direction: east-west}}
  - {{name: c, of: other, amount: {more} g/m², direction: random, zone: z}}
"""


@pytest.mark.parametrize("stage", ["firm", "hard"])
@pytest.mark.parametrize("sand", [170, 300])
@pytest.mark.parametrize(
    ("one", "other"), [("merino", "merino"), ("merino", "shetland"), ("romney", "shetland")]
)
def test_a_part_that_is_brought_down_as_advised_is_even(
    stage: str, sand: int, one: str, other: str
) -> None:
    given = {"stage": stage, "sand": sand, "one": one, "other": other}
    tried = 0
    for more in (150, 500, 900):
        for finding in felt_engine.check(HALF.format(**given, more=more)).findings:
            down = re.search(r"bring it down to about ([\d.]+) g/m²", finding.do)
            if finding.rule == "uneven-shrinking" and down:
                tried += 1
                left = float(down[1]) - 2 * sand
                again = felt_engine.check(HALF.format(**given, more=f"{left:.4f}")).findings
                assert "uneven-shrinking" not in [one.rule for one in again]
    assert tried
