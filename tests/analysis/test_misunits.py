"""What may have been meant can be written: each such text is read, and as that."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from felt_engine import RecipeError, load
from felt_engine.analysis import misunits
from felt_engine.reading.quantity import parse_any

RECIPE = """\
piece: {{title: Tile, use: cushion, shape: rectangle, laid out: {size}, finished: {size}}}
lots:
  wool: {{fibre: merino, preparation: combed top, fineness: 19 um}}
layers:
  - {{name: one, of: wool, amount: {amount}, direction: north-south, lay: shingle, tuft: 3 x 2 cm}}
  - {{name: two, of: wool, amount: {amount}, direction: east-west}}
scale step: 1 g
totals:
  - {{amount: {total}}}
tools: {{mat: 1 x 1 m, roller: {{length: 4 ft}}}}
"""
DIGITS = st.sampled_from(["0.001", "0.5", "1", "9", "40", "600", "1000", "1 1/2", "9999"])
SIDES = [
    "{a} x {b} mm", "{a} x {b} cm", "{a} x {b} in", "{a} x {b} m", "{a} x {b} ft",
]  # fmt: skip


@pytest.mark.parametrize("kind", ["g", "mg", "oz", "kg", "lb", "g/m²", "oz/yd²", "oz/ft²", "kg/m²"])
@settings(max_examples=40, deadline=None, derandomize=True)
@given(amount=DIGITS, a=DIGITS, b=DIGITS, side=st.sampled_from(SIDES))
def test_all_that_is_offered_reads(kind: str, amount: str, a: str, b: str, side: str) -> None:
    text = RECIPE.format(amount=f"{amount} {kind}", total="90 g", size=side.format(a=a, b=b))
    try:
        recipe = load(text)
    except RecipeError:
        return
    ways = [
        misunits.amounts, misunits.points, misunits.laid_out, misunits.finished,
        misunits.layer_lengths, misunits.scale_step, misunits.totals, misunits.tools,
    ]  # fmt: skip
    for way in ways:
        for slip in way(recipe):
            for one in slip.meant.text.split(" x ", 1)[-1:]:
                read = parse_any(("weight", "areal", "length"), one)
                assert read.kind == slip.meant.kind
                if " x " not in slip.meant.text:
                    assert math.isclose(read.si, slip.meant.si, rel_tol=1e-9)
