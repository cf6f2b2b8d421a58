"""What a hint says of an amount that isn't read: every word that makers write, each bound of each kind."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

import felt_engine
from felt_engine import RecipeError
from felt_engine.reading.misread import ALSO, ELSEWHERE, LONGEST, VOLUMES
from felt_engine.reading.quantity import UNITS, Refused, parse, quick
from felt_engine.suggest import did_you_mean

ALSO_WRITTEN = [
    ("weight", "g", "gr grm gm gms gramme grammes"),
    ("weight", "kg", "kilo kilos kilogram kilograms kilogramme kilogrammes kgs"),
    ("weight", "oz", "0z ozs"),
    ("length", "cm", "centimetre centimetres centimeter centimeters cms"),
    ("length", "m", "metre metres meter meters"),
    ("length", "mm", "millimetre millimetres millimeters mms"),
    ("length", "yd", "yds"),
    ("length", "in", "ins '' ’’ ′′"),
    ("fineness", "um", "mic mics µ μ"),
    ("time", "s", "sec secs"),
    ("time", "h", "hr hrs"),
    ("time", "min", "mins"),
    ("temperature", "°C", "deg degrees ° degc celsius"),
    ("temperature", "°F", "fahrenheit"),
]
"""How makers also write a unit (common practice, no source)."""
TWO_WORDS = [("deg c", "°C"), ("degrees c", "°C"), ("degrees f", "°F")]
ONE_IS = [
    ("weight", "dag", 10, "g", "decagram"), ("weight", "dkg", 10, "g", "decagram"),
    ("weight", "deka", 10, "g", "decagram"), ("weight", "hg", 100, "g", "hectogram"),
    ("weight", "t", 1000, "kg", "metric_ton"), ("weight", "tonne", 1000, "kg", "metric_ton"),
    ("weight", "st", 14, "lb", "stone"), ("weight", "stone", 14, "lb", "stone"),
    ("length", "dm", 10, "cm", "decimeter"), ("length", "hand", 4, "in", "hand"),
    ("length", "hands", 4, "in", "hand"), ("time", "week", 7, "days", "week"),
    ("time", "weeks", 7, "days", "week"), ("weight", "mcg", 0.001, "mg", "microgram"),
    ("weight", "ug", 0.001, "mg", "microgram"), ("weight", "µg", 0.001, "mg", "microgram"),
    ("weight", "pfund", 500, "g", "500 gram"), ("length", "km", 1000, "m", "kilometer"),
    ("areal", "mg/cm²", 10, "g/m²", "milligram/centimeter**2"),
    ("areal", "mg/cm2", 10, "g/m²", "milligram/centimeter**2"),
    ("areal", "g/cm²", 10_000, "g/m²", "gram/centimeter**2"),
    ("areal", "g/cm2", 10_000, "g/m²", "gram/centimeter**2"),
    ("areal", "g/dm²", 100, "g/m²", "gram/decimeter**2"),
    ("areal", "g/dm2", 100, "g/m²", "gram/decimeter**2"),
    ("areal", "g/yd²", 1.19599, "g/m²", "gram/yard**2"),
    ("areal", "g/yd2", 1.19599, "g/m²", "gram/yard**2"),
    ("areal", "mg/m²", 0.001, "g/m²", "milligram/meter**2"),
    ("areal", "mg/m2", 0.001, "g/m²", "milligram/meter**2"),
    ("weight", "grain", 64.79891, "mg", "grain"), ("weight", "grains", 64.79891, "mg", "grain"),
    ("weight", "dram", 1.7718451953125, "g", "dram"),
    ("weight", "drams", 1.7718451953125, "g", "dram"),
    ("weight", "ozt", 31.1034768, "g", "troy_ounce"),
    ("weight", "oz t", 31.1034768, "g", "troy_ounce"),
    ("weight", "t oz", 31.1034768, "g", "troy_ounce"),
    ("weight", "oz troy", 31.1034768, "g", "troy_ounce"),
    ("weight", "troy oz", 31.1034768, "g", "troy_ounce"),
    ("weight", "troy ounce", 31.1034768, "g", "troy_ounce"),
    ("weight", "troy ounces", 31.1034768, "g", "troy_ounce"),
]  # fmt: skip
"""Units that aren't read, what one of them is, and pint's name for it."""
OF_VOLUME = (
    "ml l litre litres liter cl cup cups tsp tbsp teaspoon tablespoon pint pints floz "
    "handful handfuls"
)


def mend(kind: str, text: str) -> str:
    with pytest.raises(Refused) as caught:
        parse(kind, text)
    assert caught.value.kind == "shape"
    return caught.value.mend


SPELLINGS = [(kind, unit, word) for kind, unit, words in ALSO_WRITTEN for word in words.split()]
SPELLINGS += [("temperature", unit, word) for word, unit in TWO_WORDS]


@pytest.mark.parametrize(("kind", "unit", "word"), SPELLINGS)
def test_what_makers_also_write_for_a_unit_is_answered_with_it(
    kind: str, unit: str, word: str
) -> None:
    for written in (word, word.upper() if word.isascii() else word):
        assert mend(kind, f"54 {written}") == f"write 54 {unit}, if that is meant"


def test_every_such_word_is_in_these_tables() -> None:
    assert set(ALSO) == {word for _, _, word in SPELLINGS}
    assert set(ELSEWHERE) - {"nm"} == {word for _, word, *_ in ONE_IS}
    assert {*OF_VOLUME.split(), "fl oz"} == VOLUMES


@pytest.mark.parametrize(("kind", "word", "many", "unit", "name"), ONE_IS)
def test_a_unit_that_is_not_read_is_answered_with_what_it_is(
    kind: str, word: str, many: float, unit: str, name: str
) -> None:
    pint = pytest.importorskip("pint")
    assert mend(kind, f"3 {word}") == f"{word} is not read; one is {many} {unit}"
    base = {"weight": "kg", "areal": "kg/m**2", "length": "m", "time": "s"}[kind]
    theirs = pint.UnitRegistry()(name).to(base).magnitude
    rounded = 1e-5 if "yd" in word or "ft" in word else 1e-12
    assert many * UNITS[kind][unit] == pytest.approx(theirs, rel=rounded)
    assert kind == "areal" or mend("areal", f"3 {word}").startswith("units known here: ")


@pytest.mark.parametrize("word", [*OF_VOLUME.split(), "fl oz", "ML", "tbsp."])
def test_a_volume_is_to_be_weighed(word: str) -> None:
    assert mend("weight", f"2 {word}").startswith("that is a volume")


@pytest.mark.parametrize(
    ("kind", "text", "said"),
    [
        ("length", "10/3 in", "write 3 1/3 in"),
        ("length", "13/4 in", "write 3 1/4 in or 1 3/4 in, whichever you mean"),
        ("length", "2 13/4 in", "write 5 1/4 in"),
        ("length", "5/2 in", "write 2 1/2 in"),
        ("length", "14/4 in", "write 3 2/4 in"),
        ("length", "103/4 in", "write 25 3/4 in or 10 3/4 in, whichever you mean"),
        ("length", "4/4 in", "write 1 in"),
        ("length", "121/2 in", "write 60 1/2 in or 12 1/2 in, whichever you mean"),
        ("weight", "1 4/4 oz", "write 2 oz"),
        ("temperature", "-5 °C", "write it without a sign; water is never below 0 °C"),
        ("length", "-5 cm", "write it without a sign"),
        ("weight", "1,500 bananas", "write the number with nothing between its digits"),
        ("weight", "1 500,25 g", "write 1500.25 g"),
        ("weight", "1 500", "write 1500 g, if that is meant"),
        ("length", "2-1/4", "say the unit: 2 1/4 cm, if that is meant"),
        ("length", "1-1/2-in", "write a blank between the whole number and the fraction: 1 1/2 in"),
        ("areal", "2-1/4 oz/sq yd", "write 2 1/4 oz/yd², if that is meant"),
        ("weight", "1 g 0.0 g", "write one number and one unit"),
        ("time", "1 h 1 s", "write it in one unit: 3601 s"),
        ("weight", "1/2 kg 1/3 kg", "write one number and one unit"),
        ("weight", "1 kg 3/2 g", "write one number and one unit"),
        ("weight", "3/2 kg 1 g", "write one number and one unit"),
        ("weight", "0.00001 kg 0.00001 kg", "write one number and one unit"),
        ("weight", "9999999 kg 9999999 mg", "write one number and one unit"),
        ("length", "101/2 in", "write 50 1/2 in or 10 1/2 in, whichever you mean"),
        ("time", "0 h 0 min", "write an amount above nothing, or leave the line out"),
        ("weight", "3 g cm", "write one number and one unit"),
        ("weight", "3 g each", "write 3 g alone; for each face of a resist write face: each; "
         "for each of several pieces, amounts for: one"),
        ("time", "15 min each", "write 15 min alone; the rest has a key of its own, "
         "or can go into a note, if it changes nothing"),
        ("weight", "1/0.5 oz", "write one number and one unit"),
        ("weight", "1/0 oz", "write a fraction that is not over nought"),
        ("time", "15m", "write 15 min, if that is meant"),
        ("time", "15′", "write 15 min, if that is meant"),
        ("time", "30″", "write 30 s, if that is meant"),
        ("areal", "1,500 to 2,500 g/m²", "write one figure; a range can go into a note; "
         "write the number with nothing between its digits"),
        ("weight", "4 g 5 6", "say the unit of 5 6 too, or write it as one amount"),
        ("temperature", "40 °C 5 °C", "write one number and one unit"),
        ("areal", "120 g m²", "write 120 g/m², if that is meant"),
        ("weight", "120 g m²", "write one number and one unit"),
        ("areal", "3 oz yd2", "write 3 oz/yd², if that is meant"),
        ("weight", "30 g ", "write 30 g, with no other blanks"),
        ("weight", "\t30  g", "write 30 g, with no other blanks"),
        ("weight", "1 lb 17 oz", "write 2 lb 1 oz, if that is meant"),
        ("weight", "1 lb 16 oz", "write 2 lb, if that is meant"),
        ("weight", "1 1/2 lbs 40 1/4 ounces", "write 3.5 lbs 8.25 ounces, if that is meant"),
        ("length", "3 ft 13 in", "write 4 ft 1 in, if that is meant"),
        ("length", "3'12\"", "write 4', if that is meant"),
        ("position", "0 ft 12 in", "write 1 ft, if that is meant"),
        ("time", "4 blah", "units known here: s, second, seconds, min, minute, minutes, h, hour, "
         "hours, day, days"),
    ],
)  # fmt: skip
def test_the_whole_hint(kind: str, text: str, said: str) -> None:
    with pytest.raises(Refused) as caught:
        parse(kind, text)
    assert caught.value.mend == said


BOUNDS = [
    ("weight", ["1 mg", "1,0 mg", "200 kg", "200,0 kg"], ["0.9 mg", "0,9 mg", "201 kg", "200,1 kg"]),
    ("length", ["0.1 mm", "0,1 mm", "100 m", "100,0 m"], ["0.09 mm", "0,09 mm", "101 m", "100,1 m"]),
    ("position", ["0 cm", "0,0 cm", "100 m", "100,0 m"], ["101 m", "100,1 m"]),
    ("areal", ["0.1 g/m²", "0,1 gsm", "50 kg/m²", "50,0 kg/m²"], ["0.09 gsm", "0,09 gsm", "51 kg/m²"]),
    ("fineness", ["1 um", "1,0 um", "500 um", "500,0 um"], ["0.9 um", "0,9 um", "501 um", "500,1 um"]),
    ("time", ["1 s", "1,0 s", "60 days", "60,0 days"], ["0.9 s", "0,9 s", "61 days", "60,1 days"]),
    ("temperature", ["0 °C", "200 °C", "32 °F", "392 F"], ["201 °C", "200,1 C", "31 F", "393 F"]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "within", "beyond"), BOUNDS)
def test_each_bound_belongs_to_what_is_read(
    kind: str, within: list[str], beyond: list[str]
) -> None:
    for text in within:
        assert parse(kind, text).text == text
    for text in beyond:
        with pytest.raises(Refused) as caught:
            parse(kind, text)
        assert caught.value.kind == "limit"
        assert quick(kind, text) is None


def test_the_short_cut_takes_the_commonest_texts_up_to_their_bounds() -> None:
    for kind, text in (("weight", "200 kg"), ("weight", "1 mg"), ("position", "0 cm"),
                       ("length", "12.5 cm"), ("areal", "120 g/m²")):  # fmt: skip
        amount = quick(kind, text)
        assert amount == parse(kind, text) and amount is not None
        assert amount.kind == ("length" if kind == "position" else kind)


def test_only_the_beginning_of_a_long_text_is_looked_at() -> None:
    assert mend("weight", "4 g" + " " * (LONGEST - 6) + "each, dry").startswith("write 4 g alone")
    assert "x" * LONGEST not in mend("weight", "4 g " + "x" * 1000)


def test_a_name_with_its_accent_written_apart_is_told_from_the_right_one() -> None:
    hint = did_you_mean("cafe\u0301 wool", ["wool", "caf\u00e9 wool", "wool, grey"], "leave it out")
    assert hint.startswith('write "caf\u00e9 wool", if that is meant: it looks the same')
    assert did_you_mean("caf\u00e9 wool", ["wool"], "x") == 'write "wool", if that is meant'


@pytest.mark.parametrize(("word", "known", "meant"), [
    ("rust darkr", ["rust", "rust darker", "grey"], "rust darker"),
    ("tussa silk", ["silk", "tussah silk", "mulberry silk"], "tussah silk"),
    ("warn white", ["white", "warm white"], "warm white"),
    ("llit fog", ["fog", "lit fog", "tussah"], "lit fog"),
    ("soft merino tops", ["merino", "silk"], "merino"),
    ("merino white tops", ["white", "merino white"], "merino white"),
])  # fmt: skip
def test_a_name_a_letter_away_comes_before_a_shorter_one_within(
    word: str, known: list[str], meant: str
) -> None:
    assert did_you_mean(word, known, "x") == f'write "{meant}", if that is meant'


def test_of_many_long_names_the_nearest_is_found_too() -> None:
    known = [f"fleece of the flock above the {k} th gate of the long dyke" for k in range(300)]
    word = known[217].replace("flock", "folck")
    assert did_you_mean(word, known, "x") == f'write "{known[217]}", if that is meant'


@pytest.mark.parametrize("place", ["piece", "all", "everywhere"])
def test_all_of_the_piece_has_one_name(place: str) -> None:
    text = f"""\
piece: {{title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 9 g}}]
on purpose: [{{what: thin, where: {place}, why: it is}}]
"""
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    assert [one.mend for one in caught.value.problems] == ["write whole, for all of the piece"]


@pytest.mark.parametrize(
    ("said", "meant"),
    [("24-1/2 x 18 in", "24 1/2 x 18 in"), ("1'200 x 1'800 mm", None),
     ("1'200 x 18 in", "1200 in x 18 in"), ("18 x 24-1/2 in", "18 x 24 1/2 in")],
)  # fmt: skip
def test_a_size_is_offered_in_its_own_unit(said: str, meant: str | None) -> None:
    text = f"""\
piece: {{title: T, use: swatch, shape: rectangle, laid out: "{said}"}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 9 g}}]
"""
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    (problem,) = caught.value.problems
    if meant is None:
        assert "cm" not in problem.mend
    else:
        apart = f"write a blank before each fraction: {meant}"
        assert problem.mend in (f"write {meant}, if that is meant", apart)


@pytest.mark.parametrize("many", ["1.000", '"1.000"', "2.000", '"1,000"'])
def test_a_count_in_thousands_is_asked_about(many: str) -> None:
    text = f"""\
piece: {{title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 9 g}}]
work: [{{do: roll, times: {many}}}]
"""
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    (problem,) = caught.value.problems
    first = many.strip('"')[0]
    assert problem.mend == f"write {first}000 or {first}, whichever you mean"


@pytest.mark.parametrize(
    ("step", "mend"),
    [('edge: "north, south"', "write one of them: north or south"), ("side: both", "take one of these"),
     ("edge: north/east", "write one of them: north or east")],
)  # fmt: skip
def test_where_one_word_is_wanted_two_are_not_made_into_a_third(step: str, mend: str) -> None:
    text = f"""\
piece: {{title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 9 g}}]
work: [{{do: roll, {step}}}]
"""
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    assert [one.mend for one in caught.value.problems] == [mend]


@pytest.mark.parametrize(
    ("size", "offered"),
    [("1.500 x 1.000 mm", "1500 x 1000 mm or 1.5 x 1 mm"),
     ("1.500 mm x 1.000 mm", "1500 mm x 1000 mm or 1.5 mm x 1 mm"),
     ("1.500 x 900 mm", "1500 x 900 mm or 1.5 x 900 mm"),
     ("1.250 mm across", "1250 mm across or 1.25 mm across")],
)  # fmt: skip
def test_millimetres_in_thousands_are_asked_about(size: str, offered: str) -> None:
    shape = "round" if "across" in size else "rectangle"
    text = f"""\
piece: {{title: T, use: rug, shape: {shape}, laid out: "{size}"}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 900 g}}]
"""
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    assert [one.mend for one in caught.value.problems] == [f"write {offered}, whichever you mean"]


@pytest.mark.parametrize("text", ["2.125 in", "12.500 cm", "1.500 m", "0.125 mm", "6.350 mm"])
def test_decimals_that_are_measured_are_read(text: str) -> None:
    assert parse("length", text)


WHOLE = """\
piece: {{title: T, use: swatch, shape: rectangle, laid out: 60 x 40 cm{piece}}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 9 g{layer}}}]
"""


@pytest.mark.parametrize(
    ("more", "pointer", "expected"),
    [({"piece": ", finished: 40 cm"}, "/piece/finished", "two lengths for a rectangle"),
     ({"layer": ", lay: shingle, tuft: 12 cm"}, "/layers/0/tuft",
      "two lengths: across the fibre x along it")],
)  # fmt: skip
def test_one_length_is_no_size_of_two_sides(
    more: dict[str, str], pointer: str, expected: str
) -> None:
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(WHOLE.format(**{"piece": "", "layer": "", **more}))
    assert [(one.pointer, one.expected) for one in caught.value.problems] == [(pointer, expected)]


@pytest.mark.parametrize(
    ("key", "value", "mend"),
    [("shrinkage", "30", "30 %"), ("finished", "40", "double quotes"), ("stage", "1", "take one of these"),
     ("use", "7", "")],
)  # fmt: skip
def test_a_bare_number_in_json_gets_a_hint_that_mends(key: str, value: str, mend: str) -> None:
    piece = f'{{"title": "T", "shape": "rectangle", "laid out": "60 x 40 cm", "{key}": {value}}}'
    text = (
        f'{{"piece": {piece}, "lots": {{"w": {{"fibre": "merino"}}}}, '
        '"layers": [{"name": "a", "of": "w", "amount": "9 g"}]}'
    )
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    (problem,) = caught.value.problems
    assert mend in problem.mend and problem.mend != "put it in double quotes"


@pytest.mark.parametrize(
    "text, mend",
    [
        ("45 cm deep x 210 cm wide", "write 210 x 45 cm: from west to east, then its depth"),
        ("45 cm depth x 3 m", "write 3 m x 45 cm: from west to east, then its depth"),
        ("210 cm wide x 45 cm deep", "write 210 x 45 cm, if 210 is from west to east"),
    ],
)
def test_a_size_whose_words_say_which_side_is_which(text: str, mend: str) -> None:
    from felt_engine.reading.misread_size import mend_size, reads_size

    told = mend_size(text)
    assert told == mend
    assert all(reads_size(one) for one in getattr(told, "texts", ()))


def test_what_has_only_more_blanks_is_not_shown_as_if_it_had_none() -> None:
    text = (
        "piece: {title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm}\n"
        'lots: {w: {fibre: merino}}\nlayers: [{name: a, of: w, amount: "30   g"}]\n'
    )
    with pytest.raises(RecipeError) as refused:
        felt_engine.load(text)
    assert refused.value.problems[0].found == '"30 g", with other blanks'


def test_a_tab_between_quotes_is_named_and_not_the_quotes(tmp_path: Path) -> None:
    file = tmp_path / "tab.json"
    file.write_text('{"piece": {"title": "a\tb"}}', "utf-8")
    with pytest.raises(RecipeError) as refused:
        felt_engine.load(file)
    (problem,) = refused.value.problems
    assert problem.found == "a tab inside quotes"
    assert (problem.line, problem.column) == (1, 23)


LISTED = """\
piece: {{title: T, use: swatch, shape: rectangle, laid out: 30 x 30 cm, stage: firm{shows}}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 9 g, direction: random}}]
{rest}
"""


@pytest.mark.parametrize(("key", "text", "mend"), [
    ("readers", "class handout", "write it as a list: [class handout]"),
    ("readers", "class handout, children", "write it as a list: [class handout, children]"),
    ("readers", "children and class handout", "write it as a list: [children, class handout]"),
    ("readers", "Class Handout", 'write "class handout", if that is meant; and put brackets round it'),
    ("readers", "whoever", "start each with a dash and a space"),
    ("shows", "top and bottom", "write it as a list: [top, bottom]"),
    ("shows", "Top", 'write "top", if that is meant; and put brackets round it'),
    ("shows", "bottom", "write it as a list: [bottom]"),
])  # fmt: skip
def test_a_text_where_a_list_is_wanted_is_offered_as_one_only_if_it_is_read(
    key: str, text: str, mend: str
) -> None:
    said = {"shows": "", "rest": ""}
    said["shows" if key == "shows" else "rest"] = f"{', ' * (key == 'shows')}{key}: {{}}"
    recipe = LISTED.format(**said)
    quoted = f"'{text}'" if "," in text else text
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(recipe.replace("{}", quoted))
    (problem,) = caught.value.problems
    assert problem.mend == mend
    offer = re.search(r"list: (.*)", mend)
    word = re.search(r'write "(.*?)", if that is meant; and put', mend)
    if offer or word:
        written = offer[1] if offer else f"[{word[1]}]"  # type: ignore[index]
        felt_engine.load(recipe.replace("{}", written))


@pytest.mark.parametrize(("shape", "mend", "right"), [
    ("rectangle", "say the unit: 10 cm x 10 cm, if it is as deep as wide", "10 cm x 10 cm"),
    ("oval", "say the unit: 10 cm x 10 cm, if it is as deep as wide", "10 cm x 10 cm"),
    ("round", "say the unit: 10 cm across, if that is meant", "10 cm across"),
])  # fmt: skip
@pytest.mark.parametrize("key", ["laid out", "finished"])
def test_one_length_is_mended_as_the_shape_has_it(
    shape: str, mend: str, right: str, key: str
) -> None:
    sizes = {"laid out": "12 cm x 12 cm" if shape != "round" else "12 cm across"}
    for written in ("10", '"10"'):
        said = {**sizes, key: written}
        piece = ", ".join(f"{name}: {size}" for name, size in said.items())
        text = (
            f"piece: {{title: T, use: swatch, shape: {shape}, stage: firm, {piece}}}\n"
            "lots: {w: {fibre: merino}}\nlayers: [{name: a, of: w, amount: 9 g, direction: random}]\n"
        )
        with pytest.raises(RecipeError) as caught:
            felt_engine.load(text)
        (problem,) = caught.value.problems
        assert problem.mend == mend
        felt_engine.load(text.replace(f"{key}: {written}", f"{key}: {right}"))


@pytest.mark.parametrize("blank", ["\u00a0", "\u2003", "\u3000"])
def test_keys_that_are_indented_with_other_blanks_are_told_so(blank: str) -> None:
    """As pasted from a web page."""
    text = f"piece:\n{blank}{blank}title: T\n{blank} use: scarf\nlots: {{w: {{fibre: merino}}}}\n"
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    told = [
        one.mend
        for one in caught.value.problems
        if one.found in ('the key "title"', 'the key "use"')
    ]
    assert len(told) == 2 and all(f"U+{ord(blank):04X}, another blank" in one for one in told), told


@pytest.mark.parametrize("name", ['say "hi"', "back\\slash", "it's", "both \" and '"])
def test_a_name_is_offered_in_quotes_that_yaml_reads(name: str) -> None:
    hint = did_you_mean(name + "x", [name], "leave it out")
    offered = hint.removeprefix("write ").split(", if that is meant")[0]
    assert yaml.safe_load(offered) == name


@pytest.mark.parametrize(("shape", "mend"), [
    ("oval", "write 30 cm x 30 cm, if it is as deep as wide"),
    ("rectangle", "write 30 cm x 30 cm, if it is as deep as wide"),
    ("round", "write 30 cm across, if that is meant"),
])  # fmt: skip
def test_a_diameter_is_mended_as_the_shape_has_it(shape: str, mend: str) -> None:
    text = f"""\
piece: {{title: T, use: swatch, shape: {shape}, laid out: Ø 30 cm}}
lots: {{wool: {{fibre: merino}}}}
layers: [{{name: one, of: wool, amount: 9 g}}]
"""
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text)
    (problem,) = caught.value.problems
    assert problem.mend == mend


@pytest.mark.parametrize(("kind", "text", "said"), [
    ("weight", "1 kg 950 g", "write it in one unit: 1950 g"),
    ("time", "1 h 58 min", "write it in one unit: 118 min"),
    ("time", "1 day 23 h", "write it in one unit: 47 h"),
    ("length", "1 m 95 cm", "write it in one unit: 195 cm"),
    ("weight", "1 oz 28 g", "write one of the two alone: 1 oz"),
    ("weight", "28 g 1 oz", "write one of the two alone: 28 g"),
    ("length", "1 in 2.5 cm", "write one of the two alone: 1 in"),
    ("weight", "17 oz 1 lb", "write one number and one unit"),
    ("time", "9 h 8.5 h", "write one number and one unit"),
    ("weight", "1 kg 1000 g", "write one of the two alone: 1 kg"),
    ("weight", "0.03 kg 30 g", "write one of the two alone: 0.03 kg"),
    ("length", "2 cm 20 mm", "write one of the two alone: 2 cm"),
    ("time", "1 h 60 min", "write one of the two alone: 1 h"),
    ("time", "1.5 h 90 min", "write one of the two alone: 1.5 h"),
    ("time", "5 min 10 min", "write one number and one unit"),
    ("weight", "30 g 35 g", "write one number and one unit"),
    ("length", "3' 4'", "write one number and one unit"),
    ("weight", "3g0 g", "write one number and one unit"),
    ("length", "6m0 mm", "write one number and one unit"),
    ("length", "1'5 cm", "write one number and one unit"),
    ("weight", "30 g + 35 g", "write it in one unit: 65 g"),
    ("length", "5 cm and 7 cm", "write one number and one unit"),
    ("weight", "1 g and 0.05 oz", "write one number and one unit"),
    ("time", "1 h and 30 min", "write it in one unit: 90 min"),
    ("fineness", "18 um and 21 um", "write one number and one unit"),
    ("fineness", "18 um + 21 um", "write one number and one unit"),
    ("time", "1 h. 30 min", "write it in one unit: 90 min"),
])  # fmt: skip
def test_a_smaller_unit_of_the_same_system_is_added_another_systems_is_the_same_again(
    kind: str, text: str, said: str
) -> None:
    assert mend(kind, text) == said
