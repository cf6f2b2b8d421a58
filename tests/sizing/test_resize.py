"""The same design at another size: areal weights kept, text kept, there and back again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kit import RECIPES, run

import felt_engine
from felt_engine import CallError, Recipe, Resized
from felt_engine.reading.rewrite import Added, rewrite
from felt_engine.reading.spell import amount_text, point_text, size_text

LAW = settings(max_examples=60, deadline=None, derandomize=True, database=None)
PATHS = sorted(RECIPES.glob("*.*"))
PANEL = """\
# The shore in three bands; my own, last winter.
piece:
  title: Shore      # no figures here
  shape: rectangle
  laid out: 60 x 40 cm
  finished: '42 x 28 cm'
  use: wall panel
lots: {sand: {fibre: merino, preparation: combed top}, sea: {fibre: merino}}
zones:
  near: {shape: band, along: south, to: 15 cm}   # the beach
  sun: {shape: round, size: 8 cm, at: "40 cm east, 20 cm north"}
layers:
  - name: along
    of: sand
    amount: 1 1/2 oz   # a good handful
    direction: east-west
    past: 2 cm
  - {name: across, of: "sea", amount: 45g, direction: north-south, past: 2 cm}
  - name: beach
    of: sand
    zone: near
    amount: 120 g/m²
    note: lay 3 rows
  - name: sun
    of: sand
    zone: sun
    amount: 2 g   # weighed
totals: [{amount: 89.525 g, without: [beach, sun]}]
scale step: 1 g
"""


def areals(recipe: Recipe) -> list[float]:
    build = felt_engine.measure(recipe)
    return [mass / build.areas[key] for key, mass in build.masses.items()]


def made(text: str, **wanted: object) -> Resized:
    return felt_engine.resize(felt_engine.load(text, name="r.yaml"), **wanted)  # type: ignore[arg-type]


def test_half_again_by_hand() -> None:
    """60 x 40 to 90 x 60; margins of 2 cm stay: areas 94 x 64 over 64 x 44 cm."""
    new = made(PANEL, times=1.5)
    piece = new.recipe.piece
    assert (piece.laid_out.text, piece.finished.text) == ("90 x 60 cm", "63 x 42 cm")  # type: ignore[union-attr]
    near, sun = new.recipe.zones
    assert (near.end.text, sun.size.text, sun.at.text) == (  # type: ignore[union-attr]
        "22.5 cm", "12 cm", "60 cm east, 30 cm north",
    )  # fmt: skip
    ratio = 94 * 64 / (64 * 44)
    along, across, beach, disc = (layer.placements[0].amount for layer in new.recipe.layers)
    assert along.text == f"{1.5 * ratio:.3f}".rstrip("0") + " oz"
    assert across.text == f"{45 * ratio:.2f}".rstrip("0") + "g"
    assert beach.text == "120 g/m²" and disc.text == "4.5 g"
    summed = along.si + across.si  # which is what the old total was, rounded
    assert new.recipe.totals[0].amount.si == pytest.approx(summed, abs=6e-6)
    assert new.recipe.layers[0].placements[0].past.text == "2 cm"  # type: ignore[union-attr]


def test_comments_order_quotes_and_units_stay() -> None:
    new = made(PANEL, times=1.5).text
    old_lines, lines = PANEL.splitlines(), new.splitlines()
    assert len(lines) == len(old_lines)
    for old, line in zip(old_lines, lines, strict=True):
        assert line.partition("#")[2] == old.partition("#")[2]
        assert line.partition(":")[0] == old.partition(":")[0]
    assert "finished: '63 x 42 cm'" in new and 'of: "sea"' in new
    assert made(PANEL, times=1).text == PANEL


def test_small_portions_are_divided_from_a_batch() -> None:
    """2 g at half the sides is 0.5 g; on a scale of 1 g, 40 of them make 20 g."""
    new = made(PANEL, times=0.5)
    disc = new.recipe.layers[3].placements[0]
    assert (disc.amount.text, disc.divided_from.text) == ("0.5 g", "20 g")  # type: ignore[union-attr]
    assert "    amount: 0.5 g   # weighed\n    divided from: 20 g\n" in new.text
    assert made(PANEL, times=2).text.count("divided from") == 0


def test_notes_with_figures_are_named() -> None:
    (note,) = made(PANEL, times=2).notes
    assert "the note of “beach”" in note and "title" not in note


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.name)
@pytest.mark.parametrize("factor", [0.5, 1.37, 2.0])
def test_weights_per_area_stay_and_there_and_back_is_the_old_recipe(
    path: Path, factor: float
) -> None:
    recipe = felt_engine.load(path)
    there = felt_engine.resize(recipe, times=factor)
    old, new = areals(recipe), areals(there.recipe)
    assert new == pytest.approx(old, rel=0.02)
    back = felt_engine.resize(there.recipe, times=1 / factor)
    assert areals(back.recipe) == pytest.approx(old, rel=0.02)
    for one, two in ((recipe.piece.laid_out, back.recipe.piece.laid_out),
                     (recipe.piece.finished, back.recipe.piece.finished)):  # fmt: skip
        if one is not None and two is not None:
            assert two.width.si == pytest.approx(one.width.si, abs=0.002 / min(1, factor))
    amounts = [p.amount.si for layer in recipe.layers for p in layer.placements]
    again = [p.amount.si for layer in back.recipe.layers for p in layer.placements]
    assert again == pytest.approx(amounts, rel=0.03)
    assert len(there.text.splitlines()) - len(recipe.source.text.splitlines()) in range(9)  # type: ignore[union-attr]


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.name)
def test_the_wool_that_is_there_is_used_up(path: Path) -> None:
    recipe = felt_engine.load(path)
    build = felt_engine.measure(recipe)
    lot = max(build.weights.by_lot, key=lambda weight: weight.kg)
    kg = lot.kg * recipe.piece.count * 1.6
    new = felt_engine.resize(recipe, have=(lot.name, f"{1000 * kg:.2f} g"))
    used = next(w for w in felt_engine.measure(new.recipe).weights.by_lot if w.name == lot.name)
    assert used.kg * recipe.piece.count == pytest.approx(kg, rel=0.02)
    assert used.kg * recipe.piece.count <= (kg + 5e-6) * (1 + 1e-9), "never more than there is"
    assert new.across == new.deep > 1


def test_a_finished_size_keeps_the_recipe_s_own_shrinkage() -> None:
    new = made(PANEL, finished="63 x 56 cm")
    assert new.recipe.piece.laid_out.text == "90 x 80 cm"  # type: ignore[union-attr]
    assert new.recipe.piece.finished.text == "63 x 56 cm"  # type: ignore[union-attr]
    assert (new.across, new.deep) == pytest.approx((1.5, 2.0))


def test_other_counts() -> None:
    several = made(PANEL, pieces=3)
    assert several.recipe.piece.count == 3 and several.recipe.piece.amounts_for == "one"
    assert [c.pointer for c in several.changes] == ["/piece/amounts for", "/piece/how many"]
    pair = PANEL.replace("use: wall panel", "use: wall panel\n  how many: 2\n  amounts for: all")
    four = made(pair, pieces=4)
    assert four.recipe.piece.count == 4
    assert [p.amount.si for layer in four.recipe.layers for p in layer.placements][1] == (
        pytest.approx(0.090)
    )
    assert areals(four.recipe) == pytest.approx(areals(felt_engine.load(pair)), rel=1e-3)
    assert four.recipe.totals[0].amount.si == pytest.approx(0.089525)


def test_a_count_of_one_that_is_written_down_is_changed_where_it_stands() -> None:
    for said in ("how many: 1", "how many: 1\n  amounts for: one", "amounts for: one"):
        three = made(PANEL.replace("use: wall panel", f"use: wall panel\n  {said}"), pieces=3)
        assert (three.recipe.piece.count, three.recipe.piece.amounts_for) == (3, "one")
    back = made(made(three.text, pieces=1).text, pieces=2)
    assert back.recipe.piece.count == 2
    every = PANEL.replace("use: wall panel", "use: wall panel\n  how many: 1\n  amounts for: all")
    assert made(every, pieces=3).recipe.piece.amounts_for == "all"


@pytest.mark.parametrize("pieces", [None, 1, 2, 7])
@pytest.mark.parametrize("times", [0.4, 0.61, 0.77, 1.0, 1.5])
@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_batches_hold_what_is_divided_from_them(
    path: Path, times: float, pieces: int | None
) -> None:
    before = {one.rule for one in felt_engine.check(path).findings}
    if times == 1.0 and pieces in (None, felt_engine.load(path).piece.count):
        return
    new = felt_engine.resize(path, times=times, pieces=pieces)
    found = [one for one in felt_engine.check(new.recipe).findings if one.rule == "below-scale"]
    assert "below-scale" in before or not found, [one.message for one in found]


def test_json_stays_json() -> None:
    path = RECIPES / "slipway-coasters.json"
    new = felt_engine.resize(path, times=2)
    plain, old = json.loads(new.text), json.loads(path.read_text(encoding="utf-8"))
    assert list(plain) == list(old) and plain["piece"]["title"] == old["piece"]["title"]


def test_a_size_at_which_an_amount_is_too_large_is_told_by_the_amount() -> None:
    """Not as if the file had it."""
    rug = felt_engine.load(RECIPES / "boathouse-rug.yaml")
    with pytest.raises(
        CallError, match=r'layers > 1 > amount would be "429.*; expected a weight from'
    ):
        felt_engine.resize(rug, times=30.0)


WRONG = [
    ({}, "say one thing"),
    ({"times": 2.0, "laid_out": "90 x 60 cm"}, "say one thing"),
    ({"times": 500.0}, "500 times"),
    ({"laid_out": "90"}, "is no size"),
    ({"laid_out": "90 cm"}, "give both"),
    ({"finished": "x"}, "is no size"),
    ({"have": ("sanb", "90 g")}, "sand"),
    ({"have": ("sand", "90 cm")}, "is no weight"),
    ({"have": ("sand", "0.001 g")}, "no size from"),
]


@pytest.mark.parametrize(("wanted", "says"), WRONG)
def test_what_cannot_be_done_is_said(wanted: dict[str, object], says: str) -> None:
    with pytest.raises(CallError, match=says):
        made(PANEL, **wanted)


def test_a_round_piece_stays_round_and_an_unstated_finish_is_asked_for() -> None:
    ring = felt_engine.load(RECIPES / "mooring-seat-pad.yaml")
    with pytest.raises(CallError, match="round"):
        felt_engine.resize(ring, laid_out="60 x 40 cm")
    bare = PANEL.replace("  finished: '42 x 28 cm'\n", "")
    with pytest.raises(CallError, match="stage"):
        made(bare, finished="20 x 10 cm")
    staged = bare.replace("  use: wall panel\n", "  use: wall panel\n  stage: firm\n")
    with pytest.raises(CallError, match="no swatch"):
        made(staged, finished="20 x 10 cm")


def test_the_command_writes_whole_files_and_lists_changes(tmp_path: Path) -> None:
    (tmp_path / "panel.yaml").write_text(PANEL, encoding="utf-8")
    done = run("resize", "panel.yaml", "--times", "2", "--to", "large.yaml", cwd=tmp_path)
    assert done.returncode == 0 and done.stdout == ""
    assert "layer “beach”" not in done.stderr and "layer “across”, amount: 45g -> " in done.stderr
    large = (tmp_path / "large.yaml").read_text(encoding="utf-8")
    assert felt_engine.load(large).piece.laid_out.text == "120 x 80 cm"  # type: ignore[union-attr]
    shown = run("resize", "panel.yaml", "--times", "2", cwd=tmp_path)
    assert shown.stdout == large
    for arguments, says in (
        (["--times", "two"], "no factor"), (["--pieces", "1.5"], "no count"),
        (["--have", "sand 90 g"], "a colon"), ([], "say one thing"),
    ):  # fmt: skip
        wrong = run("resize", "panel.yaml", *arguments, cwd=tmp_path)
        assert wrong.returncode == 2 and says in wrong.stderr and wrong.stdout == ""
    assert sorted(p.name for p in tmp_path.iterdir()) == ["large.yaml", "panel.yaml"]


def test_rewriting_knows_flow_block_crlf_and_folded_text() -> None:
    text = "a: {b: 1 g, c: 'x'} # y\r\nd: |\r\n  two\r\n  lines\r\ne:\r\n  f: \"q\"\r\n"
    source = felt_engine.Source("s", text)
    new = rewrite(
        source, {"/a/b": "2, 5", "/d": "one", "/e/f": 'say "so"'},
        [Added("/a/c", "g", "3 g"), Added("/e/f", "h", "4 g")],
    )  # fmt: skip
    assert new == (
        'a: {b: "2, 5", c: \'x\', g: 3 g} # y\r\nd: "one"\r\ne:\r\n'
        '  f: "say \\"so\\""\r\n  h: 4 g\r\n'
    )
    with pytest.raises(KeyError):
        rewrite(source, {"/a/nothing": "1"})


@LAW
@given(
    st.floats(0.0005, 5), st.sampled_from(["12 g", "0.4 oz", "1,5 g", "2 lb 3 oz", "3g", "1 kg"])
)
def test_a_weight_spelt_anew_reads_back(value: float, like: str) -> None:
    from felt_engine.reading.quantity import parse

    amount = parse("weight", like)
    text = amount_text(amount, value)
    assert parse("weight", text).si == pytest.approx(value, rel=0.006)
    assert parse("weight", text).unit == amount.unit


@LAW
@given(
    st.floats(0.01, 20), st.floats(0.01, 20),
    st.sampled_from(["60 x 40 cm", "12 x 9 in", "3 ft 4 in x 2 ft", "1.5 m x 60 cm", "30 cm across"]),
)  # fmt: skip
def test_a_size_spelt_anew_reads_back(width: float, depth: float, like: str) -> None:
    from felt_engine.reading.asked import asked_size

    old = asked_size(like, "it")
    new = asked_size(size_text(old, width, depth), "it")
    assert new.width.si == pytest.approx(width, rel=0.006)
    assert (new.depth is None) == (old.depth is None)
    if new.depth is not None:
        assert new.depth.si == pytest.approx(depth, rel=0.006)


@LAW
@given(st.floats(0, 20), st.floats(0, 20))
def test_a_place_spelt_anew_reads_back(east: float, north: float) -> None:
    recipe = felt_engine.load(PANEL, name="r.yaml")
    point = recipe.zones[1].at
    assert point is not None
    old = 'at: "40 cm east, 20 cm north"'
    text = PANEL.replace(old, f'at: "{point_text(point, east, north)}"')
    again = felt_engine.load(text, name="r.yaml").zones[1].at
    assert again is not None
    assert again.east.si == pytest.approx(east, rel=0.006, abs=1e-6)
    assert again.north.si == pytest.approx(north, rel=0.006, abs=1e-6)


BY_SIZE = {"below-scale", "tools-fit", "weight-for-use", "on-purpose"}
"""What size itself brings: portions under the scale's step, tools, the bands of the use; and a note on
a purpose for a part that has become too narrow to be judged."""


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.name)
@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_half_and_double_raise_nothing_but_what_size_brings(path: Path, factor: float) -> None:
    before = {(f.rule, f.spot.thing) for f in felt_engine.check(path).findings}
    resized = felt_engine.resize(path, times=factor)
    report = felt_engine.check(resized.recipe)
    new = {
        f.rule for f in report.findings if f.waived is None and (f.rule, f.spot.thing) not in before
    }
    assert new <= BY_SIZE, [(f.rule, f.message) for f in report.findings]


def test_a_small_size_is_forecast_in_millimetres() -> None:
    bare = PANEL.replace("  finished: '42 x 28 cm'\n", "")
    bare = bare.replace("  use: wall panel\n", "  use: wall panel\n  stage: firm\n")
    with pytest.raises(
        CallError, match=r"could be [1-9][0-9.]* to [0-9.]+ mm x [1-9][0-9.]* to [0-9.]+ mm"
    ):
        made(bare, finished="1 mm x 1 mm")


@pytest.mark.parametrize("text", ["", " ", "x", "0 cm"])
def test_what_mends_a_size_in_a_call_speaks_of_no_line(text: str) -> None:
    with pytest.raises(CallError) as caught:
        made(PANEL, laid_out=text)
    assert "line" not in str(caught.value)


def test_sides_that_stay_are_told_as_they_were(tmp_path: Path) -> None:
    (tmp_path / "shore.yaml").write_text(PANEL, encoding="utf-8")
    for words, said in (
        (["--pieces", "3"], "each side as it was\n"),
        (["--times", "1.5"], "each side 1.5 times as long\n"),
        (["--laid-out", "60 x 80 cm"], "west to east 1 times, near to far 2 times as long\n"),
    ):
        done = run("resize", "shore.yaml", *words, cwd=tmp_path)
        assert done.returncode == 0 and done.stderr.startswith(said)


ROUNDED = """\
piece: {{title: Scarf, use: scarf, shape: rectangle, laid out: 80 x 18 in, stage: light}}
lots: {{w: {{fibre: merino, preparation: combed top}}}}
layers:
  - {{name: along, of: w, amount: 1 oz, direction: east-west}}
  - {{name: across, of: w, amount: 1 oz, direction: north-south}}
totals: [{{amount: {total}}}]
"""
BOOTIES = """\
piece: {title: Booties, use: booties, shape: oval, over: flat resist, laid out: 22 x 34 cm, stage: hard}
lots: {red: {fibre: corriedale, preparation: carded batt}}
layers:
  - {name: first, of: red, amount: 30 g, face: each, direction: north-south, wraps: 2 cm}
  - {name: second, of: red, amount: 30 g, face: each, direction: east-west, wraps: 2 cm}
  - {name: soles, of: red, amount: 20 g, face: back, direction: random}
totals:
  - {amount: 140 g}
  - {amount: 80 g, per: face}
"""


@pytest.mark.parametrize("total", ["57 g", "56.7 g", "2 oz", "0.06 kg"])
@pytest.mark.parametrize("times", [0.11, 0.37, 1.3, 1.4, 2, 3.3, 7])
def test_a_rounded_total_becomes_the_sum_of_the_new_amounts(total: str, times: float) -> None:
    """57 g is 2 oz rounded: twice as wide and deep it is 8 oz, 226.8 g, and not four times 57 g."""
    made = felt_engine.resize(ROUNDED.format(total=total), times=times).recipe
    (new,) = made.totals
    assert new.amount.si == pytest.approx(
        sum(one.placements[0].amount.si for one in made.layers), rel=0.005
    )
    assert not [one for one in felt_engine.check(made).findings if one.rule == "stated-totals"]


def test_a_total_of_a_face_is_what_lies_on_that_face_at_the_new_size() -> None:
    """Wraps stay as wide as they are, so the face doesn't shrink like the piece: 2 x 8.9 g and 5 g."""
    made = felt_engine.resize(BOOTIES, times=0.5).recipe
    laid = [one.placements[0].amount.si for one in made.layers]
    whole, face = (one.amount.si for one in made.totals)
    assert face == pytest.approx(sum(laid), abs=5e-6)
    assert whole == pytest.approx(2 * laid[0] + 2 * laid[1] + laid[2], abs=5e-6)


def test_a_total_that_was_no_sum_is_scaled_as_it_is() -> None:
    made = felt_engine.resize(ROUNDED.format(total="80 g"), times=2).recipe
    assert made.totals[0].amount.si == pytest.approx(4 * 0.080, rel=0.01)


ROWED = """\
piece: {{title: R, use: wall panel, shape: {shape}, laid out: {wide:.1f} x {deep:.1f} cm, stage: firm}}
lots:
  a: {{fibre: merino, preparation: combed top, fineness: 20 um}}
layers:
  - {{name: down, of: a, amount: 200 g/m², direction: north-south, lay: shingle, tuft: 6 x {tuft} cm,
     rows: {down}}}
  - {{name: across, of: a, amount: 200 g/m², direction: east-west, lay: shingle, tuft: 6 x {tuft} cm,
     rows: {over}}}
"""


def test_rows_follow_the_size_by_hand() -> None:
    """Rows of 12 cm, of which 5 on 40 cm start 7 cm apart: on 80 cm 11 of them, 6.8 cm apart."""
    text = ROWED.format(shape="rectangle", wide=60, deep=40, tuft=12, down=5, over=8)
    assert [one.rows for one in made(text, times=2).recipe.layers] == [11, 17]
    assert [one.rows for one in made(text, times=0.5).recipe.layers] == [3, 4]
    assert [one.rows for one in made(text, laid_out="60 x 60 cm").recipe.layers] == [8, 8]
    assert made(text, times=1).text == text
    unsaid = text.replace("tuft: 6 x 12 cm,\n     ", "")
    assert [one.rows for one in made(unsaid, times=2).recipe.layers] == [10, 16]


@LAW
@given(
    st.sampled_from(["rectangle", "oval"]), st.floats(30, 90), st.floats(30, 90), st.integers(6, 14),
    st.integers(0, 3), st.floats(0.4, 3.0),
)  # fmt: skip
def test_rows_that_were_right_stay_right(
    shape: str, wide: float, deep: float, tuft: int, more: int, times: float
) -> None:
    down, over = (
        felt_engine.figures.shingle_rows(side / 100, tuft / 100, 0.25).count + more
        for side in (round(deep, 1), round(wide, 1))
    )
    text = ROWED.format(shape=shape, wide=wide, deep=deep, tuft=tuft, down=down, over=over)
    before = [f.rule for f in felt_engine.check(text).findings if f.rule == "rows-and-laps"]
    after = felt_engine.check(made(text, times=times).text).findings
    assert before or not [f.message for f in after if f.rule == "rows-and-laps"]


PADS = """\
piece:
  use: coaster
  shape: rectangle
  laid out: 6 x 6 in
  title: {title}
lots: {{w: {{fibre: romney, preparation: carded batt}}}}
layers:
- name: a
  of: w
  direction: north-south
  amount: {amount}
-
  name: b
  of: w
  direction: east-west
  amount: 5 oz
scale step: 0.05 oz
"""
FOLDED = [">-\n    3/4 oz", ">-\n    3/4 oz\n\n", "|-\n    3/4 oz\n  # weighed",
          ">-\n    3/4\n    oz", "3/4\n    oz",
          '"3/4\n    oz"']  # fmt: skip


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("amount", FOLDED)
def test_a_key_is_added_to_its_own_layer_also_below_a_text_of_several_lines(
    amount: str, ends: str
) -> None:
    text = PADS.format(title="Pads", amount=amount).replace("\n", ends)
    new = made(text, times=0.25)
    first, second = (layer.placements[0] for layer in new.recipe.layers)
    assert first.divided_from is not None and first.divided_from.text == "1.4 oz"
    assert second.divided_from is None
    assert ("\r" in new.text) == ("\r" in ends)


@pytest.mark.parametrize("title", [">-\n    Pads", "|-\n    Pads\n", "Pads"])
def test_a_count_is_added_below_a_title_of_several_lines(title: str) -> None:
    new = made(PADS.format(title=title, amount="5 oz"), pieces=3)
    assert new.recipe.piece.count == 3 and new.recipe.piece.title.strip() == "Pads"
    assert new.text.index("how many: 3") < new.text.index("lots:")


def test_a_folded_text_at_the_very_end_gets_a_line_of_its_own() -> None:
    text = PADS.format(title="Pads", amount="5 oz").replace("scale step: 0.05 oz\n", "")
    text = text.replace("layers:", "scale step: 0.05 oz\nlayers:")
    new = made(text.rstrip().removesuffix("5 oz") + ">-\n    3/4 oz", times=0.25)
    assert new.recipe.layers[1].placements[0].divided_from is not None
    assert new.recipe.layers[0].placements[0].divided_from is None


def test_a_size_with_a_decimal_comma_is_written_as_the_file_writes_its_figures() -> None:
    text = PADS.format(title="Pads", amount="5 oz").replace("6 x 6 in", "12 x 12 in")
    new = made(text, laid_out="18,5 x 18,5 in")
    assert "laid out: 18.5 x 18.5 in" in new.text and "," not in new.text.split("lots")[0]
    assert new.text == made(text, laid_out="18.5 x 18.5 in").text
    commas = text.replace("scale step: 0.05 oz", "scale step: 0,05 oz")
    assert "18,5 x 18,5 in" in made(commas, laid_out="18.5 x 18.5 in").text


SMALL = """\
piece: {title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm, stage: firm}
lots: {w: {fibre: merino}, v: {fibre: merino}}
blends: {m: {w: 50 %, v: 50 %}}
layers:
  - {name: a, of: w, amount: 15 g, direction: north-south}
  - {name: b, of: m, amount: 15 g, direction: east-west}
scale step: 1 g
"""


@pytest.mark.parametrize(("step", "batch"), [
    ("1 g", "24 g"), ("0.5 g", "12 g"), ("0.1 g", None), (None, None)
])  # fmt: skip
def test_the_studios_scale_step_holds_where_the_recipe_says_none(
    step: str | None, batch: str | None, tmp_path: Path
) -> None:
    """At a fifth of the sides 15 g are 0.6 g: 40 heaps of 24 g on the house's scale, or 20 of 12 g."""
    (tmp_path / "r.yaml").write_text(SMALL.replace("scale step: 1 g\n", ""), encoding="utf-8")
    named = ["--studio", "none"]
    if step is not None:
        (tmp_path / "house.yaml").write_text(f"name: S\nscale step: {step}\n", encoding="utf-8")
        named = ["--studio", "house.yaml"]
    done = run("resize", "r.yaml", "--times", "0.2", *named, cwd=tmp_path)
    made = felt_engine.load(done.stdout).layers[0].placements[0].divided_from
    assert done.returncode == 0 and (made and made.text) == batch


@pytest.mark.parametrize(("first", "have", "divided"), [
    ("15 g", "w: 4.5 g", [False, False]),    # 24 g to divide, and 4.5 g there
    ("15 g", "v: 1.5 g", [True, False]),     # of w there may be any amount
    ("200 g", "w: 50 g", [False, True]),     # the first is no small portion; half of the batch is w
])  # fmt: skip
def test_no_batch_is_of_more_than_there_is(first: str, have: str, divided: list[bool]) -> None:
    text = SMALL.replace("of: w, amount: 15 g", f"of: w, amount: {first}")
    made = felt_engine.resize(felt_engine.load(text), have=have).recipe
    amounts = [layer.placements[0].divided_from for layer in made.layers]
    assert [batch is not None for batch in amounts] == divided
