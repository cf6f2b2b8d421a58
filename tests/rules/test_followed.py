"""What is advised, written as advised, is enough: the same rule has nothing more to say."""

from __future__ import annotations

import re

import pytest

import felt_engine
from felt_engine import ReportedFinding

PINS = """\
piece: {{title: Pins, use: brooch sheet, shape: rectangle, laid out: 10 x 10 cm, how many: {count},
  amounts for: one, stage: hard}}
lots: {{w: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
  - {{name: a, of: w, amount: {ground}, direction: random}}
  - {{name: dots, of: w, amount: {dots}{batch}, role: accent, direction: random}}
scale step: {step}
"""
ROWS = """\
piece: {{title: Stole, use: picture ground, shape: rectangle, laid out: {long} x 87 cm, stage: light}}
lots: {{w: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
  - {{name: a, of: w, amount: 300 g/m², direction: east-west, lay: shingle, tuft: 4 x 10 cm, rows: {rows},
     overlap: {lap}}}
  - {{name: b, of: w, amount: 300 g/m², direction: north-south, lay: shingle, tuft: 4 x 10 cm}}
"""
SIZES = """\
piece: {{title: P, use: wall panel, shape: rectangle, laid out: {laid}, finished: {to}, shrinkage: {stated},
  stage: {stage}}}
lots: {{w: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
  - {{name: a, of: w, amount: 300 g/m², direction: north-south}}
  - {{name: b, of: w, amount: 300 g/m², direction: east-west}}
"""
SOCK = """\
piece: {{title: Scarf, use: scarf, shape: rectangle, laid out: 200 x 40 cm, stage: light}}
lots:
  sock: {{fibre: merino, preparation: combed top, fineness: 20 um, treatment: shrink-proofed}}
  wool: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  shine: {{fibre: tussah silk, preparation: combed top}}
blends: {{half: {{sock: 50 %, wool: 50 %}}, lit: {{sock: 80 %, shine: 20 %}},
  lit half: {{sock: 40 %, wool: 40 %, shine: 20 %}}}}
layers:
  - {{name: a, of: {one}, amount: {grams} g, direction: north-south}}
  - {{name: b, of: {two}, amount: {grams} g, direction: east-west}}
"""
BESIDE = """\
piece: {{title: T, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, stage: {stage}}}
lots: {{w: {{fibre: merino, preparation: combed top}}, v: {{fibre: {slow}, preparation: combed top}}}}
zones: {{e: {{shape: band, along: east, to: 30 cm}}, w: {{shape: band, along: west, to: 30 cm}}}}
layers:
  - {{name: a, of: w, amount: {quick} g/m², zone: w, direction: random}}
  - {{name: b, of: v, amount: {heavy} g/m², zone: e, direction: random}}
"""


def amount(text: str, pattern: str) -> float:
    """The figure that a pattern finds in what is advised."""
    at = re.search(pattern, text)
    assert at is not None, text
    return float(at[1])


def found(text: str, rule: str) -> list[ReportedFinding]:
    return [one for one in felt_engine.check(text).findings if one.rule == rule]


def test_a_batch_is_as_large_as_its_portions_show_on_the_scale() -> None:
    followed = 0
    for count, ground, dots, step in [
        (8, "5 g", "0.8 g", "1 g"),
        (8, "20 g", "5.24 g", "5 g"),
        (3, "5 g", "0.21 oz", "0.1 oz"),
        (7, "5 g", "1.3 g", "2 g"),
    ]:
        pins = {"count": count, "ground": ground, "dots": dots, "step": step}
        for one in found(PINS.format(batch="", **pins), "below-scale"):
            batch = re.search(r"\((divided from: [0-9.]+ g)\)", one.do)
            if batch and "dots" in one.message:
                followed += 1
                text = PINS.format(batch=f", {batch[1]}", **pins)
                left = found(text, "below-scale")
                assert not [f for f in left if "dots" in f.message], (batch[1], left)
    assert followed >= 2


def test_a_batch_that_is_too_small_by_more_than_the_scale_shows_is_told() -> None:
    text = PINS.format(
        count=8, ground="5 g", dots="0.8 g", step="0.1 g", batch=", divided from: 6 g"
    )
    assert any("come to 6.40 g" in one.message for one in found(text, "below-scale"))


@pytest.mark.parametrize("rows", [9, 14, 21, 22])
def test_rows_that_lap_as_advised_reach(rows: int) -> None:
    followed = 0
    for long in range(60, 200, 7):
        for lap in ("45 %", "1/3"):
            for one in found(ROWS.format(long=long, rows=rows, lap=lap), "rows-and-laps"):
                told = re.search(r"rows lap by ([0-9.]+ %)", one.do)
                if told:
                    followed += 1
                    text = ROWS.format(long=long, rows=rows, lap=told[1])
                    assert not found(text, "rows-and-laps"), (long, rows, told[1])
    assert followed


@pytest.mark.parametrize("stage", ["prefelt", "light", "firm", "hard"])
def test_of_layout_and_shrinkage_only_what_the_stage_may_do_is_advised(stage: str) -> None:
    followed = 0
    for laid, to in [
        ("60 x 60 cm", "60 x 60 cm"),
        ("173 x 81 cm", "74 x 37 cm"),
        ("60 x 40 cm", "42 x 28 cm"),
        ("60 x 40 cm", "57 x 38 cm"),
    ]:
        for stated in ("4 %", "15 %", "30 %", "47 %", "50 % by area"):
            sizes = {"to": to, "stage": stage}
            for one in found(SIZES.format(laid=laid, stated=stated, **sizes), "sizes-agree"):
                if not one.message.startswith("The sheet says"):
                    continue
                state = re.search(r"[Ss]tate ([0-9.]+ %(?: by area)?)", one.do)
                lay = re.search(
                    r"the layout is ([0-9.]+) cm[^;]*?(?: by ([0-9.]+) cm|[.;])", one.do
                )
                if state:
                    text = SIZES.format(laid=laid, stated=state[1], **sizes)
                    assert not found(text, "sizes-agree"), text
                if lay:
                    text = SIZES.format(
                        laid=f"{lay[1]} x {lay[2] or lay[1]} cm", stated=stated, **sizes
                    )
                    assert not found(text, "sizes-agree"), text
                followed += bool(state or lay)
    assert followed


def test_no_stage_beyond_the_last_is_advised() -> None:
    sizes = {"laid": "173 x 81 cm", "to": "74 x 37 cm", "stated": "56 %", "stage": "hard"}
    (one,) = found(SIZES.format(**sizes), "sizes-agree")
    assert one.do.startswith("Change a size: ")


@pytest.mark.parametrize("grams", [20, 30, 45, 60, 90, 120])
@pytest.mark.parametrize("mixed", [("sock", "half"), ("lit", "lit half")])
def test_half_and_half_is_advised_where_it_holds(grams: int, mixed: tuple[str, str]) -> None:
    for two in (mixed[0], "wool"):
        text = SOCK.format(one=mixed[0], two=two, grams=grams)
        for one in found(text, "treated-wool"):
            half = SOCK.format(one=mixed[1], two=two.replace(*mixed), grams=grams)
            if "half and half" in one.do:
                assert not found(half, "treated-wool"), half
            else:
                assert "Lay untreated wool in its place" in one.do
                assert found(half, "treated-wool")


def test_half_and_half_is_advised_at_all_and_not_always() -> None:
    thin, thick = (
        found(SOCK.format(one="sock", two="sock", grams=grams), "treated-wool")[0]
        for grams in (30, 90)
    )
    assert "half and half" not in thin.do
    assert "half and half" in thick.do


@pytest.mark.parametrize("slow", ["merino", "wensleydale", "herdwick"])
@pytest.mark.parametrize("stage", ["light", "firm", "hard"])
def test_parts_side_by_side_weighed_as_advised_shrink_alike(slow: str, stage: str) -> None:
    followed = 0
    for quick in (150, 296, 420):
        for heavy in (60, 500, 732, 1200):
            parts = {"stage": stage, "slow": slow, "quick": quick, "heavy": heavy}
            for one in found(BESIDE.format(**parts), "uneven-shrinking"):
                more = re.search(r"ay about ([0-9.]+) g/m² .* more beside it", one.do)
                down = re.search(r"ring it down to about ([0-9.]+) g/m²", one.do)
                less = "heavy" if one.message.startswith("“v”") else "quick"
                other = "quick" if less == "heavy" else "heavy"
                ways = [(other, parts[other] + float(more[1]))] if more else []
                ways += [(less, float(down[1]))] if down else []
                for key, weight in ways:
                    followed += 1
                    left = found(BESIDE.format(**{**parts, key: weight}), "uneven-shrinking")
                    assert not left, (parts, key, weight, left[0].message)
    assert followed


BAG = """\
piece: {{title: x, use: bag, shape: rectangle, laid out: 40 x 30 cm, over: flat resist, stage: firm{pieces}}}
lots:
  a: {{fibre: merino, preparation: combed top, fineness: 20 um, colour: midnightblue}}
  v: {{fibre: viscose, preparation: combed top, colour: white}}
  w: {{fibre: merino, preparation: combed top, fineness: 20 um, colour: ivory}}
layers:
  - {{name: l0, of: a, amount: {ground} g, direction: north-south, face: {face}}}
  - {{name: l1, of: a, amount: {ground} g, direction: east-west, face: {face}}}
  - {{name: l2, of: {of}, amount: {top} g, direction: random, face: {face}{role}}}
"""
FOUR = ", how many: 4, amounts for: all"


@pytest.mark.parametrize("pieces", ["", ", how many: 4, amounts for: one", FOUR])
@pytest.mark.parametrize("face", ["each", "both"])
def test_a_weight_is_told_as_its_amount_is_written(face: str, pieces: str) -> None:
    """For each face, for all pieces: whoever writes the figure in its place has mended it."""
    times = (1 if face == "each" else 2) * (4 if pieces == FOUR else 1)
    bag = {"pieces": pieces, "face": face, "ground": 30 * times}
    loose = BAG.format(of="v", top=15 * times, role="", **bag)
    (one, *_) = found(loose, "luster-carrier")
    told = re.search(
        r"that is ([0-9.]+) g \([0-9.]+ oz\)( on each face)?( for all 4 pieces)?", one.do
    )
    assert told and bool(told[2]) == (face == "each") and bool(told[3]) == (pieces == FOUR)
    assert not found(BAG.format(of="v", top=told[1], role="", **bag), "luster-carrier")
    top = 5 * times
    (one,) = found(BAG.format(of="w", top=top, role=", role: cover", **bag), "halo-clash")
    told = re.search(r"that is ([0-9.]+) g \([0-9.]+ oz\) more", one.do)
    assert told
    more = top + float(told[1])
    assert not found(BAG.format(of="w", top=more, role=", role: cover", **bag), "halo-clash")


def test_what_is_to_lie_across_is_told_for_all_pieces() -> None:
    scarf = (
        "piece: {title: x, use: scarf, shape: rectangle, laid out: 150 x 40 cm, stage: light, "
        "how many: 3, amounts for: all}\n"
        "lots: {a: {fibre: merino, preparation: combed top, fineness: 20 um}}\n"
        "layers:\n  - {name: l0, of: a, amount: 150 g, direction: east-west}\n"
    )
    (one,) = found(scarf, "direction-balance")
    told = re.search(
        r"about ([0-9.]+) g \([0-9.]+ oz\) of felting top north-south for all 3", one.do
    )
    assert told
    more = f"  - {{name: l1, of: a, amount: {told[1]} g, direction: north-south}}\n"
    assert not found(scarf + more, "direction-balance")
    whole = re.search(r"or about ([0-9.]+) g", one.do)
    assert whole
    moved = scarf.replace("150 g", f"{150 - float(whole[1])} g")
    across = f"  - {{name: l1, of: a, amount: {whole[1]} g, direction: north-south}}\n"
    assert not found(moved + across, "direction-balance")


STRIP = """\
piece: {{title: S, use: scarf, shape: rectangle, laid out: 200 x 40 cm, stage: {stage}}}
lots: {{w: {{fibre: merino, preparation: combed top, fineness: 19 um}}}}
layers:
"""


@pytest.mark.parametrize("past", ["", ", past: 2 cm", ", past: 6 cm", ", past: 10 cm"])
@pytest.mark.parametrize("stage", ["light", "firm", "hard"])
def test_as_much_of_a_layer_turned_as_advised_balances(past: str, stage: str) -> None:
    """Laid as far past the edge as the layer is."""

    def layer(name: str, grams: float, way: str) -> str:
        return f"  - {{name: {name}, of: w, amount: {grams} g, direction: {way}{past}}}\n"

    for across in (0, 10, 20):
        rest = layer("two", across, "north-south") if across else ""
        head = STRIP.format(stage=stage)
        (told,) = found(head + layer("one", 90, "east-west") + rest, "direction-balance")
        turn = amount(told.do, r"or about ([\d.]+) g \(.*?\) of “one” that way instead")
        assert (", as far past the edge" in told.do) is bool(past)
        text = (
            head
            + layer("one", 90 - turn, "east-west")
            + layer("turned", turn, "north-south")
            + rest
        )
        assert not found(text, "direction-balance"), text


VEILED = """\
piece: {{title: Y, use: cushion, shape: rectangle, laid out: 60 x 60 cm, stage: firm}}
lots:
  g: {{fibre: {fibre}, preparation: combed top, fineness: {um} um}}
  y: {{fibre: {loose}}}
layers:
{below}  - {{name: a, of: g, amount: 150 g/m², direction: east-west}}
  - {{name: b, of: g, amount: 150 g/m², direction: north-south}}
{above}"""
WOOLS = [("merino", 18), ("merino", 20.5), ("merino", 23), ("corriedale", 27), ("romney", 33)]


@pytest.mark.parametrize(("fibre", "um"), WOOLS)
@pytest.mark.parametrize("loose", [
    "silk, preparation: yarn", "viscose, preparation: neps", "silk, preparation: combed top",
    "viscose, preparation: combed top",
])  # fmt: skip
@pytest.mark.parametrize("face", ["top", "bottom"])
def test_a_veil_of_the_recipe_s_own_wool_as_advised_holds(
    fibre: str, um: float, loose: str, face: str
) -> None:
    for grams in (30, 55):
        stalks = f"  - {{name: stalks, of: y, amount: {grams} g/m², direction: random}}\n"
        both = {"above": stalks, "below": ""} if face == "top" else {"above": "", "below": stalks}
        told = found(VEILED.format(fibre=fibre, um=um, loose=loose, **both), "luster-carrier")
        if not told:
            continue
        at = re.search(
            r"veil of wool (over|under) (?:it|them), about ([\d.]+) g/m² \([^)]*\) of “g”",
            told[0].do,
        )
        if at is None:
            continue
        assert at[1] == ("over" if face == "top" else "under"), told[0].do
        veil = f"  - {{name: veil, of: g, amount: {at[2]} g/m², direction: random, role: veil}}\n"
        both = (
            {"above": stalks + veil, "below": ""}
            if face == "top"
            else {"above": "", "below": veil + stalks}
        )
        assert not found(
            VEILED.format(fibre=fibre, um=um, loose=loose, **both), "luster-carrier"
        ), at[0]


def test_a_veil_that_is_too_thin_is_not_said_to_be_missing() -> None:
    veil = (
        "  - {name: stalks, of: y, amount: 6 g, direction: random}\n"
        "  - {name: veil, of: g, amount: 6 g/m², direction: random, role: veil}\n"
    )
    text = VEILED.format(
        fibre="merino", um=21, loose="silk, preparation: yarn", below="", above=veil
    )
    (told,) = found(text, "luster-carrier")
    assert "with too little felting wool among or over it" in told.message


def test_what_is_added_where_it_is_thin_may_be_of_the_coarser_wool() -> None:
    text = (
        "piece: {title: T, use: scarf, shape: rectangle, laid out: 100 x 50 cm, stage: light}\n"
        "lots: {f: {fibre: merino, preparation: combed top, fineness: 17 um}, "
        "c: {fibre: corriedale, preparation: combed top, fineness: 28 um}}\n"
        "layers:\n  - {name: a, of: f, amount: 18 g/m², direction: east-west}\n"
        "  - {name: b, of: c, amount: 30 g/m², direction: north-south}\n"
    )
    (told,) = found(text, "thin-layer")
    more = amount(told.do, r"that is ([\d.]+) g/m²")
    assert not found(text.replace("30 g/m²", f"{30 + more} g/m²"), "thin-layer")


def test_silk_in_two_portions_with_wool_between_is_told_as_it_lies_in_all() -> None:
    silk = "{{of: y, amount: {0} g/m²}}"
    parts = (
        f"  - {{{{name: shine, placements: [{silk}, {{{{of: g, amount: 30 g/m²}}}}, {silk}]}}}}\n"
    )
    loose = {"fibre": "merino", "um": 20, "loose": "silk, preparation: combed top", "below": ""}
    (told,) = found(VEILED.format(above=parts.format(80), **loose), "luster-carrier")
    assert "lies at 160 g/m²" in told.message
    most = amount(told.do, r"at most ([\d.]+) g/m²")
    assert not found(VEILED.format(above=parts.format(most / 2), **loose), "luster-carrier")


@pytest.mark.parametrize(("size", "told"), [
    ("24 x 18 cm", "write laid out: 24 x 18 in"), ("240 x 180 mm", ""), ("20 x 40 cm", ""),
])  # fmt: skip
def test_sides_that_may_be_inches_are_offered_as_such(size: str, told: str) -> None:
    text = f"""\
piece: {{title: T, use: bag, shape: rectangle, laid out: {size}, stage: firm}}
lots: {{m: {{fibre: corriedale, preparation: carded batt}}}}
layers:
  - {{name: a, of: m, amount: 70 g, direction: north-south}}
  - {{name: b, of: m, amount: 70 g, direction: east-west}}
"""
    heavy = found(text, "weight-for-use")
    assert heavy and (told in heavy[0].do if told else "inches" not in heavy[0].do)
    if told:
        assert not felt_engine.check(text.replace(size, "24 x 18 in")).findings
