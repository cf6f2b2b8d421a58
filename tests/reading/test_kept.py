"""Nothing is guessed: what looks like a number, a date or a truth value elsewhere stays the text."""

from __future__ import annotations

import json

import pytest
from kit_reading import PANEL, only, problems, read

LOOKS_LIKE_MORE = [
    "70:30", "190:20:30", "no", "No", "NO", "yes", "on", "off", "true", "False", "y", "n", "001122",
    "0123", "1e3", "1E400", "0o17", "0x1F", "0b11", "2024-01-02", "2024-02-30", "12:30:45", ".inf",
    "-.INF", ".nan", "1_000", "+1", "1.", ".5", "=", "Null and void", "9" * 60, "٣", "½", "12.0",
    "don't", "é", "🧶", "漢字", "a, b", "a: b".replace(": ", ":"), "C#", "a#b", "5\u00a0g",
]  # fmt: skip
"""Texts that YAML readers turn into something else, after YAML 1.1 and 1.2 (core schema)."""
PLACES = ["title", "shade", "dye lot", "note", "lot", "zone", "layer", "blend"]


def with_text(place: str, text: str) -> str:
    """The panel with this text, as it stands, at a place that takes any text."""
    if place == "title":
        return PANEL.replace("title: Panel", f"title: {text}")
    if place in ("shade", "dye lot", "note"):
        return PANEL.replace("{fibre: merino}", f"\n    fibre: merino\n    {place}: {text}")
    if place == "lot":
        renamed = PANEL.replace("of: white", f"of: {text}")
        return renamed.replace("  white: {fibre", f"  {text}: {{fibre")
    if place == "zone":
        return f"{PANEL}    zone: {text}\nzones:\n  {text}: {{shape: rim, width: 2 cm}}\n"
    if place == "blend":
        changed = PANEL.replace("of: white", f"of: {text}")
        return f"{changed}blends:\n  {text}: {{white: 100 %}}\n"
    return (
        PANEL.replace("name: base", f"name: {text}")
        + f"totals:\n- amount: 20 g\n  covers:\n  - {text}\n"
    )


def text_at(place: str, text: str, door: str = "yaml") -> str | None:
    recipe = read(text, door)
    lot, layer = recipe.lots[0], recipe.layers[0]
    found = {
        "title": recipe.piece.title, "shade": lot.shade, "dye lot": lot.dye_lot, "note": lot.note,
        "lot": lot.name, "zone": layer.placements[0].zone, "layer": layer.name,
        "blend": recipe.blends[0].name if recipe.blends else None,
    }  # fmt: skip
    if place in ("lot", "blend"):
        assert layer.placements[0].of == found[place]
    return found[place]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("text", LOOKS_LIKE_MORE, ids=ascii)
def test_texts_are_kept_as_written(text: str, place: str) -> None:
    assert text_at(place, with_text(place, text)) == text
    assert text_at(place, with_text(place, f'"{text}"')) == text
    assert text_at(place, with_text(place, f"'{text.replace(chr(39), chr(39) * 2)}'")) == text


@pytest.mark.parametrize("place", ["lot", "zone", "blend"])
def test_a_name_with_a_tab_in_it_is_refused(place: str) -> None:
    assert "one line" in problems(with_text(place, "a\tb"))[0].expected


@pytest.mark.parametrize("place", PLACES)
def test_a_bare_dash_is_refused(place: str) -> None:
    problem = (
        only(with_text(place, "-")) if place not in ("lot", "zone", "blend", "layer") else None
    )
    assert problem is None or "dash" in problem.found
    assert text_at(place, with_text(place, "'-'")) == "-"


@pytest.mark.parametrize("place", ["title", "shade", "dye lot", "note", "layer"])
@pytest.mark.parametrize("text", ["~", "null", "Null", "NULL", ""])
def test_nothing_is_refused_as_nothing(text: str, place: str) -> None:
    found = problems(with_text(place, text))
    needed = place in ("title", "layer")
    mend = "write it, for example" if needed else "leave the whole line out"
    assert found[0].found == "nothing" and mend in found[0].mend
    assert text == "" or text_at(place, with_text(place, f"'{text}'")) == text


@pytest.mark.parametrize("text", ["~", "null"])
def test_a_lot_may_be_called_null(text: str) -> None:
    changed = PANEL.replace("  white:", f"  {text}:").replace("of: white", f"of: '{text}'")
    assert read(changed).lots[0].name == text


@pytest.mark.parametrize("number", ["5", "1e3", "1.0", "-0", "0.10", "123456789012345678901"])
def test_json_numbers_keep_their_text_where_a_text_is_wanted(number: str) -> None:
    document = (
        f'{{"piece": {{"title": {number}, "shape": "round", "laid out": "1 m"}}, "lots": '
        f'{{"a": {{"fibre": "merino", "dye lot": {number}}}}}, "layers": '
        f'[{{"name": {number}, "of": "a", "amount": "1 g"}}], '
        f'"resists": [{{"name": "r", "above": {number}}}]}}'
    )
    recipe = read(document, "json")
    assert recipe.piece.title == recipe.lots[0].dye_lot == recipe.layers[0].name == number
    assert recipe.resists[0].above == number


@pytest.mark.parametrize("word", ["true", "false", "null"])
def test_json_words_are_no_texts(word: str) -> None:
    problem = problems(json.dumps({"piece": {"title": json.loads(word)}}), "json")[-1]
    assert problem.pointer == "/piece/title"
    said = "nothing" if word == "null" else f'"{word}"'
    assert problem.found == said
    assert ("write it" if word == "null" else "quotes") in problem.mend


COLOURED = PANEL.replace("{fibre: merino}", "\n    fibre: merino\n    colour: {}")


@pytest.mark.parametrize(
    ("written", "shown"),
    [('"#b3202a"', "#b3202a"), ("'#ABC'", "#aabbcc"), ("001122", "#001122"), ("000000", "#000000"),
     ("112e33", "#112e33"), ("navy", "#000080"), ("1e3e5e", "#1e3e5e"), ("B3202A", "#b3202a")],
)  # fmt: skip
def test_colours_keep_their_digits(written: str, shown: str) -> None:
    colour = read(COLOURED.replace("{}", written)).lots[0].colour
    assert colour is not None and colour.hex == shown
    assert colour.text == written.strip("\"'")


@pytest.mark.parametrize(
    "written", ["1e3", "no", "12", "0o17", "2024-01-02", "1_000", "abc", "#abcd", "Navy", "light grey",
                "rgb(1 2 3)", "00112", "grellow"]
)  # fmt: skip
def test_what_is_no_colour_is_refused(written: str) -> None:
    problem = only(COLOURED.replace("{}", f'"{written}"'))
    assert problem.pointer == "/lots/white/colour" and written in problem.found
    assert problem.mend and "#b3202a" in problem.expected


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (COLOURED.replace("{}", "#b3202a"), (8, 13)),
        (PANEL.replace("{fibre: merino}", "{fibre: merino, colour: #b3202a}"), (6, 34)),
        (PANEL.replace("{fibre: merino}", "{fibre: merino, colour: #b3202a\n    }"), (6, 34)),
        (PANEL.replace("{fibre: merino}", "{colour: #b3202a, fibre: merino}"), (6, 19)),
        (COLOURED.replace("{}", "#b3202a").replace("\n", "\r\n"), (8, 13)),
        (COLOURED.replace("{}", "#b3202a").replace("\n", "\r"), (8, 13)),
    ],
)
def test_a_bare_colour_is_explained(text: str, place: tuple[int, int]) -> None:
    problem = only(text)
    assert "#b3202a" in problem.found and "taken for a comment" in problem.found
    assert problem.mend.startswith('put it in quotes: "#b3202a"')
    assert (problem.line, problem.column) == place


@pytest.mark.parametrize("comment", ["", " # to be weighed", "  # 4 g?", " #"])
def test_a_true_comment_is_no_lost_colour(comment: str) -> None:
    problem = only(PANEL.replace("amount: 20 g", f"amount:{comment}"))
    assert problem.found == "nothing" and (problem.line, problem.pointer) == (
        10,
        "/layers/0/amount",
    )


@pytest.mark.parametrize("place", ["title", "shade", "dye lot", "note"])
def test_a_text_is_not_cut_at_its_number_sign(place: str) -> None:
    problem = only(with_text(place, "Red #5, faded"))
    assert problem.found == '"Red", since #5, was taken for a comment'
    assert "quotes" in problem.mend and "comment" in problem.mend
    assert text_at(place, with_text(place, "'Red #5, faded'")) == "Red #5, faded"
    assert text_at(place, with_text(place, "Red # faded")) == "Red"


def test_comments_behind_figures_and_words_need_no_blank() -> None:
    changed = PANEL.replace("rectangle", "rectangle #oblong").replace("20 g", "20 g #dry")
    assert read(changed) == read(PANEL)


@pytest.mark.parametrize(
    ("written", "count"), [("2", 2), ("2.0", 2), ("10000", 10000), ("0", None), ("1_0", None),
                           ("02", None), ("0o2", None), ("0x2", None), ("1e1", None), ("two", None),
                           ("'2'", None), ("-2", None), ("2.5", None), ("٢", None), ("10001", None),
                           ("2 pieces", None), ("[2]", None), ("~", None), ("9" * 400, None)]
)  # fmt: skip
def test_whole_numbers_are_plain_digits(written: str, count: int | None) -> None:
    text = PANEL.replace("  shape", f"  amounts for: one\n  how many: {written}\n  shape")
    if count is None:
        problem = only(text)
        assert problem.pointer == "/piece/how many" and "from 1 to 10000" in problem.expected
        assert ("without quotes" in problem.mend) == ("'" in written)
    else:
        assert read(text).piece.count == count


@pytest.mark.parametrize(("text", "mend"), [
    ("1,5 g", "put the whole value in quotes"), ("2 lb, 3 oz", "write 2 lb 3 oz, if that is meant"),
    ("1,500 g", "write 1500 g or 1.5 g, whichever you mean"),
    ("1,5", "put it in quotes, and say the unit: 1,5 g, if that is meant"),
])  # fmt: skip
def test_a_value_cut_at_its_comma_is_named_whole(text: str, mend: str) -> None:
    flow = PANEL[: PANEL.index("  - name")] + f"  - {{name: base, of: white, amount: {text}}}\n"
    problem = only(flow)
    assert text in problem.found
    assert problem.mend == f"inside {{ }} and [ ] a comma ends a value: {mend}"
    assert problem.line == 8


def test_blanks_at_the_ends_are_dropped_and_names_still_meet() -> None:
    changed = PANEL.replace("of: white", 'of: " white "').replace(
        "title: Panel", "title: ' Panel '"
    )
    assert read(changed) == read(PANEL)
    also_wrong = changed.replace("20 g", "20 ml")
    assert [p.pointer for p in problems(also_wrong)] == ["/layers/0/amount"]


@pytest.mark.parametrize(("written", "mend"), [
    ("1.000", "write 1000 or 1, whichever you mean"), ("2.750", "write 2750, if that is meant"),
])  # fmt: skip
def test_a_count_with_a_point_is_offered_as_what_it_may_be(written: str, mend: str) -> None:
    text = PANEL.replace("  shape", f"  amounts for: one\n  how many: {written}\n  shape")
    assert only(text).mend == mend


@pytest.mark.parametrize(("written", "count"), [
    ("2", 2), ("2.0", 2), ("20e-1", 2), ("2.00000000000000000001", None), ("1.9999999999999999999", None),
    ("1e-999999999999999999999", None), ("0e-999999999999999999999", None), ("1e99", None),
])  # fmt: skip
def test_a_count_in_json_is_whole_to_its_last_digit(written: str, count: int | None) -> None:
    many = f'"how many": {written}'
    piece = f'{{"title": "T", "shape": "round", "laid out": "9 cm", "amounts for": "one", {many}}}'
    layers = '[{"name": "a", "of": "m", "amount": "9 g"}]'
    text = f'{{"piece": {piece}, "lots": {{"m": {{"fibre": "merino"}}}}, "layers": {layers}}}'
    if count is None:
        assert "/piece/how many" in [problem.pointer for problem in problems(text, "json")]
    else:
        assert read(text, "json").piece.count == count


@pytest.mark.parametrize(("line", "mend"), [
    ("note: #4 of 5", 'put it in quotes: "#4 of 5"'), ("note: #4 # bought", 'put it in quotes: "#4"'),
    ('note: #4 of "5"', "put the text in quotes"), ("note: #4, and", "put the text in quotes"),
    ('colour: #b3202a"', 'put the quote that is missing before it: "#b3202a"'),
    ("colour: #b3202a'", "put the quote that is missing before it: '#b3202a'"),
    ("colour: #b3202a,", 'put it in quotes: "#b3202a"'),
])  # fmt: skip
def test_a_text_that_was_taken_for_a_comment_is_offered_whole(line: str, mend: str) -> None:
    text = PANEL.replace("{fibre: merino}", f"\n    fibre: merino\n    {line}")
    problem = only(text)
    assert problem.mend == f"{mend} (a bare # starts a comment)"
    _, colon, written = mend.partition("quotes: " if "quotes: " in mend else "it: ")
    if colon:
        assert not problems(text.replace(line, f"{line.partition(' ')[0]} {written}"))


def test_a_colour_in_brackets_without_its_first_quote_is_told_so() -> None:
    text = PANEL.replace("{fibre: merino}", '{fibre: merino, colour: #b3202a"}')
    assert only(text).mend == 'put the quote that is missing before it: "#b3202a"'


def test_a_number_behind_a_bare_number_sign_in_brackets_is_no_colour() -> None:
    problem = only(PANEL + "work: [{do: roll, times: #200}]\n")
    assert problem.mend == "put it in quotes, or delete the #"
