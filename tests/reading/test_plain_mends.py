"""Slips with one plain mend: an empty list, a word for nothing, too many blanks, a key in the wrong place."""

from __future__ import annotations

import pytest
from kit_reading import PANEL, problems


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("totals: [{amount: 9 g, covers: []}]\n", "put one in it, or leave the key out"),
        ("zones: {a: {shape: polygon, corners: []}}\n", "write 3 at least"),
    ],
)
def test_a_list_of_nothing_is_called_empty(text: str, mend: str) -> None:
    (slip,) = problems(PANEL + text)
    assert (slip.found, slip.mend) == ("an empty list", mend)


@pytest.mark.parametrize("word", ["none", "No", "n/a", "no barrier", "—", "nothing."])
def test_a_word_for_nothing_is_no_barrier(word: str) -> None:
    (slip,) = problems(PANEL + f"tools: {{iron: hot, barrier: {word}}}\n")
    assert slip.pointer == "/tools/barrier" and slip.mend.startswith("leave the key out")
    assert not problems(PANEL + "tools: {iron: hot, barrier: no-stick parchment}\n")


@pytest.mark.parametrize(
    ("word", "found"),
    [
        ("stage: light", "stage: light "), ("use: wall panel", "use: wall  panel"),
        ("fibre: tussah silk", "fibre: tussah  silk"),
        ("preparation: combed top", "preparation: combed  top"),
        ("laid out: 60 x 40 cm", "laid  out: 60 x 40 cm"), ("of: pale grey", "of: pale  grey"),
    ],
)  # fmt: skip
def test_blanks_too_many_in_a_word_are_told(word: str, found: str) -> None:
    text = (
        "piece: {title: T, shape: rectangle, laid out: 60 x 40 cm, use: wall panel, stage: light}\n"
        "lots: {pale grey: {fibre: tussah silk, preparation: combed top}}\n"
        "layers: [{name: one, of: pale grey, amount: 9 g}]\n"
    )
    assert not problems(text)
    key, value = found.split(": ", 1)
    told = value.strip() if key.count(" ") < 2 else key
    quoted = found if value == value.strip() else f"{key}: '{value}'"
    (slip,) = problems(text.replace(word, quoted))
    plain = " ".join(told.split())
    assert f'"{plain}", with other blanks' in slip.found
    assert slip.mend == f'write "{plain}", with no other blanks'


@pytest.mark.parametrize("key", ["wraps: 2 cm", "direction: east-west", "role: cover"])
def test_a_key_of_the_layer_is_sent_there_from_a_placement(key: str) -> None:
    laid = f"  - {{name: top, placements: [{{of: white, amount: 3 g, {key}}}]}}\n"
    (slip,) = problems(PANEL + laid)
    assert slip.mend.startswith("write it with the layer")


@pytest.mark.parametrize("key", ["use: scarf", "stage: firm", "shrinkage: 30 %"])
def test_a_key_of_the_piece_is_sent_there(key: str) -> None:
    (slip,) = problems(f"{key}\n{PANEL}")
    assert slip.mend == "write it under piece"
    assert not problems(PANEL.replace("  shape", f"  {key}\n  shape"))


def test_a_comma_in_quotes_is_offered_in_quotes() -> None:
    (slip,) = problems(PANEL.replace("20 g", "'1,5 g '"))
    assert slip.mend == 'write "1,5 g", with no other blanks'


@pytest.mark.parametrize("colour", ["'#ff0000 '", "' #ff0000'", "'#f00 '"])
def test_a_colour_is_offered_in_the_quotes_that_it_needs(colour: str) -> None:
    text = PANEL.replace("fibre: merino", f"colour: {colour}, fibre: merino", 1)
    (slip,) = problems(text)
    plain = colour.replace(" ", "").replace("'", '"')
    assert slip.mend == f"write {plain}, with no other blanks"
    assert not problems(text.replace(colour, plain))


def test_words_in_brackets_say_which_side_is_which() -> None:
    (slip,) = problems(PANEL.replace("60 x 40 cm", "40 cm (depth) x 60 cm (width)"))
    assert slip.mend == "write 60 x 40 cm: from west to east, then its depth"


HANDS = """\
piece: {title: Panel, use: swatch, shape: rectangle, laid out: 30 x 30 cm, stage: firm}
lots:
  white: {fibre: merino, preparation: combed top}
layers:
  - {name: a, of: white, amount: 15 g, direction: north-south}
  - {name: b, of: white, amount: 15 g, direction: east-west}
readers:
  - "own notes"
"""


@pytest.mark.parametrize("blank", ["\u00a0", "\u2009", "\u202f", "\u3000"])
@pytest.mark.parametrize(
    ("at", "line"),
    [("piece: {", 1), ("white: {", 3), ("- {name: b", 6), ("- {name: a", 5), ('- "own', 8)],
)
def test_a_blank_of_another_kind_before_a_bracket_is_named(at: str, line: int, blank: str) -> None:
    """It was told as several keys in one line without { }, where the { stood."""
    assert not problems(HANDS)
    for behind in (blank, " " + blank, blank + " ") if "{" in at else (blank,):
        slip = problems(HANDS.replace(at, at.replace(" ", behind, 1)))[0]
        assert slip.line == line and "without { }" not in slip.found, slip
        assert f"U+{ord(blank):04X}" in slip.found + slip.mend, slip
    inner = HANDS + f"tools: {{roller:{blank}{{length: 40 cm, across: 3 cm}}}}\n"
    (slip,) = problems(inner)
    assert (slip.found, slip.column) == (f"U+{ord(blank):04X} before the {{", 16)


@pytest.mark.parametrize("at", ["north-south}", "east-west}", '"own notes"'])
@pytest.mark.parametrize(
    ("sign", "what", "mend"),
    [
        (",", "a comma", "delete it"),
        ("\u00a0", "U+00A0", "delete it"),
        (";", "text", "check the brackets, quotes and commas"),
        ("}", "text", "check the brackets, quotes and commas"),
        (" and so on", "text", "check the brackets, quotes and commas"),
    ],
)
def test_what_stands_behind_a_whole_entry_of_a_list_is_told(
    at: str, sign: str, what: str, mend: str
) -> None:
    """It was told as a line that fits no list, with the hint to begin it with the dash that it has."""
    (slip,) = problems(HANDS.replace(at, at + sign))
    closed = "quote" if at.startswith('"') else "bracket"
    assert (slip.found, slip.mend) == (f"{what} behind a closing {closed}", mend)
