"""Hints for sizes, places, counts, fractions and shares of a blend: what is offered is read, and meant."""

from __future__ import annotations

import pytest

import felt_engine
from felt_engine import RecipeError
from felt_engine.reading.quantity import Refused, parse


@pytest.mark.parametrize(
    "text, mend",
    [
        (
            "11.0236220472 in x 17.3228346457 in",
            "write 11.023622 in x 17.322835 in, if that is meant",
        ),
        ("30㎝ x 30㎝", "write 30cm x 30cm, if that is meant"),
        ("1'6 x 10'", "write 1 ft 6 in x 10', if that is meant"),
        ("2'10 x 3'2", "write 2 ft 10 in x 3 ft 2 in, if that is meant"),
        ("-30 cm x -40 cm", "write it without a sign"),
        ("some cm x ten cm", "start with a number in the digits 0 to 9"),
    ],
)
def test_a_size_of_which_neither_length_is_read(text: str, mend: str) -> None:
    from felt_engine.reading.misread_size import mend_size, reads_size

    told = mend_size(text)
    assert told == mend
    assert all(reads_size(one) for one in getattr(told, "texts", ()))


@pytest.mark.parametrize(
    "text, mend",
    [
        ("11.0236220472 in east, 1'6 north", "write 11.023622 in east, 1 ft 6 in north, if that is meant"),
        ("12 cm E, 8 cm N", "write 12 cm east, 8 cm north, if that is meant"),
        ("⅓ ft east, 12 ㎝ north", "write ⅓ ft east, 12 cm north, if that is meant"),
        ("1,200 mm east, 8 cm north", "write 1200 mm east, 8 cm north or 1.2 mm east, 8 cm north, "
         "whichever you mean"),
        ("some way east, 8 cm north", ""),
    ],
)  # fmt: skip
def test_a_place_of_which_a_length_is_not_read(text: str, mend: str) -> None:
    from felt_engine.reading.misread_forms import mend_point

    assert mend_point(text) == mend


COUNTS = {
    "2 pairs": (4, False), "1 pair": (2, False), "a pair": (2, False), "two dozen": (24, False),
    "dozen": (12, False), "3k": (3000, False), "twice": (2, False), "2 fair ones": None, "2 fair": (2, False),
    "03": (3, True), "3.00": (3, True), "٣": (3, True), "three": (3, True), "100x": (100, True),
    "x 100": (100, True), "100 times": (100, True), "12 rows": (12, True), "half a dozen": None,
    ".5": None, "5.": (5, True), "a": None, "x": None, "threes": None, "-3": None, "3.5": None,
}  # fmt: skip


@pytest.mark.parametrize("text", COUNTS)
def test_what_a_count_may_be(text: str) -> None:
    from felt_engine.reading.misread import counted

    assert counted(text) == COUNTS[text]


@pytest.mark.parametrize(
    "count, mend",
    [("2 pairs", "write 4, if that is meant"), ("1 pair", "write 2, if that is meant"),
     ("three", "write 3"), ('"3"', "write 3, without quotes")],
)  # fmt: skip
def test_pairs_are_counted_by_the_piece(count: str, mend: str) -> None:
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(
            "piece: {title: T, shape: rectangle, laid out: 9 x 9 cm, amounts for: one, "
            f"how many: {count}}}\n"
            "lots: {m: {fibre: merino}}\nlayers: [{name: a, of: m, amount: 1 g}]\n"
        )
    (problem,) = caught.value.problems
    assert problem.mend == mend


NO_FRACTIONS = {
    ("temperature", "70/75 °C"): "write one figure; a range can go into a note",
    ("time", "10/15 min"): "write one figure; a range can go into a note",
    ("weight", "80/100 g"): "write one figure; a range can go into a note",
    ("weight", "12/16 oz"): "write one figure; a range can go into a note",
    ("areal", "100/120 g/m²"): "write one figure; a range can go into a note",
    ("length", "9/10 cm"): "write 0.9 cm, if it is a fraction; a range can go into a note",
    ("length", "5/8 cm"): "write 0.625 cm, if it is a fraction; a range can go into a note",
    ("weight", "2/5 oz"): "write 0.4 oz, if it is a fraction; a range can go into a note",
    ("length", "6/8 in"): "write 0.75 in, if it is a fraction; a range can go into a note",
    ("time", "15/10 min"): "write one figure; a range can go into a note",
    ("weight", "30/20 g"): "write one figure; a range can go into a note",
    ("length", "1 30/45 in"): "write one figure; a range can go into a note",
    ("weight", "08/09 g"): "write one number and one unit",
}
"""Two figures and a stroke that may be a range, and hardly a fraction."""


@pytest.mark.parametrize("kind, text", NO_FRACTIONS)
def test_two_figures_and_a_stroke_may_be_a_range(kind: str, text: str) -> None:
    with pytest.raises(Refused) as caught:
        parse(kind, text)
    mend = caught.value.mend
    assert mend == NO_FRACTIONS[kind, text]
    for told in getattr(mend, "texts", ()):
        parse(kind, told)


@pytest.mark.parametrize(
    "kind, text, part",
    [("length", "7/8 in", 7 / 8), ("weight", "15/16 oz", 15 / 16), ("weight", "2/3 kg", 2 / 3),
     ("length", "3/4 m", 3 / 4), ("weight", "1/10 g", 0.1), ("weight", "1 5/6 oz", 11 / 6),
     ("areal", "5/8 oz/yd²", 5 / 8), ("time", "3/4 h", 3 / 4)],
)  # fmt: skip
def test_two_figures_and_a_stroke_may_be_a_fraction(kind: str, text: str, part: float) -> None:
    amount = parse(kind, text)
    assert amount.si == pytest.approx(part * parse(kind, f"1 {amount.unit}").si)


@pytest.mark.parametrize(
    "changed",
    ["direction: bearing 30/45°", "overlap: 30/40 %", "overlap: 30/40", "past: 2/5 cm"],
)
def test_no_form_takes_a_range_for_a_fraction(changed: str) -> None:
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(
            "piece: {title: T, shape: rectangle, laid out: 90 x 90 cm}\nlots: {m: {fibre: merino}}\n"
            f"layers: [{{name: a, of: m, amount: 1 g, lay: shingle, {changed}}}]\n"
        )
    assert len(caught.value.problems) == 1


@pytest.mark.parametrize(
    "shares, mends",
    [
        ("a: 60 %, b: 2/5", ["write it in %, like the others"]),
        ("a: 60 g, b: 40", ["write it as a weight, like the others"]),
        ("a: 60 %, b: 40", ["write 40 %, if that is meant"]),
        ("a: 3 parts, b: 1", ["write 1 part, if that is meant"]),
        ("a: 60 %, b: 40 pct", ["write 40 %"]),
        (
            "a: 3, b: 1",
            [
                "write 3 % or 3 parts, whichever you mean",
                "write 1 % or 1 part, whichever you mean",
            ],
        ),
        ("a: 60 g, b: 40 %", ["write them alike"]),
        (
            "a: 0.6, b: .4",
            [
                "write 60 % or 0.6 parts, whichever you mean",
                "write 40 % or .4 parts, whichever you mean",
            ],
        ),
        ("a: 60 %, b: 0.4", ["write 40 %, if that is meant"]),
    ],
)
def test_a_share_is_asked_for_like_the_others(shares: str, mends: list[str]) -> None:
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(
            "piece: {title: T, shape: rectangle, laid out: 9 x 9 cm}\n"
            f"lots: {{a: {{fibre: merino}}, b: {{fibre: merino}}}}\nblends: {{x: {{{shares}}}}}\n"
            "layers: [{name: a, of: x, amount: 1 g}]\n"
        )
    assert [one.mend for one in caught.value.problems] == mends


@pytest.mark.parametrize("mark, plain", [("⅓", "1/3"), ("½", "1/2"), ("¾", "3/4")])
@pytest.mark.parametrize("behind", ["", " each side", " by area"])
def test_a_fraction_in_one_sign_is_that_fraction(mark: str, plain: str, behind: str) -> None:
    def read(part: str) -> felt_engine.Recipe:
        return felt_engine.load(
            "piece: {title: T, shape: rectangle, laid out: 90 x 90 cm, "
            f"shrinkage: {part}{behind}}}\nlots: {{m: {{fibre: merino}}}}\n"
            f"layers: [{{name: a, of: m, amount: 1 g, lay: shingle, overlap: {part}, taper: {part}}}]\n"
        )

    one, other = read(mark), read(plain)
    assert one.piece.shrinkage is not None and other.piece.shrinkage is not None
    assert one.piece.shrinkage.value == other.piece.shrinkage.value
    assert one.piece.shrinkage.basis == other.piece.shrinkage.basis
    for lap in ("overlap", "taper"):
        laps = [getattr(recipe.layers[0], lap) for recipe in (one, other)]
        assert laps[0].value == laps[1].value


SHAPED = {
    ("rectangle", "1 yd 6 in"): "write 1 yd x 6 in, if that is meant",
    ("round", "1 yd 6 in"): "write 42 in, if that is meant",
    ("oval", "1 m 20 cm"): "write 1 m x 20 cm, if that is meant",
    ("round", "1 m 20 cm"): "write 120 cm, if that is meant",
    ("rectangle", "1,250 mm"): "write two lengths: from west to east, and its depth",
    ("round", "1,250 mm"): "write 1250 mm or 1.25 mm, whichever you mean",
    ("rectangle", "1,200 x 1,400 mm"): "write 1200 x 1400 mm or 1.2 x 1.4 mm, whichever you mean",
    ("round", "60/40 cm"): "write one length, across",
}
"""What a size is asked for as, by the shape of the thing."""


@pytest.mark.parametrize("shape, size", SHAPED)
def test_a_size_is_offered_with_as_many_sides_as_the_shape_has(shape: str, size: str) -> None:
    text = (
        f'piece: {{title: T, shape: {shape}, laid out: "{size}"}}\n'
        "lots: {a: {fibre: merino}}\nlayers: [{name: a, of: a, amount: 1 g}]\n"
    )
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    assert [one.mend for one in caught.value.problems] == [SHAPED[shape, size]]
