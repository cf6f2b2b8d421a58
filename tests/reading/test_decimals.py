"""``12.500 g`` beside decimal commas is asked about; what is made at another size keeps its commas."""

from __future__ import annotations

import pytest
from kit_reading import PANEL

import felt_engine
from felt_engine import RecipeError
from felt_engine.reading.decimals import with_commas


def problems(text: str) -> tuple[felt_engine.Problem, ...]:
    with pytest.raises(RecipeError) as caught:
        felt_engine.load(text, name="panel.yaml")
    return caught.value.problems


def two(one: str, other: str) -> str:
    return PANEL.replace("20 g", one) + f"  - {{name: top, of: white, amount: '{other}'}}\n"


@pytest.mark.parametrize(("figure", "mend"), [
    ("12.500 g", 'write 12500 g or "12,5 g", whichever you mean'),
    ("1.500 g", 'write 1500 g or "1,5 g", whichever you mean'),
    ("2.000 g", "write 2000 g or 2 g, whichever you mean"),
    ("1.234 g", "write 1234 g or 1.2340 g, whichever you mean"),
    ("1.500 kg", 'write "1,5 kg"'),
])  # fmt: skip
def test_three_digits_behind_a_point_in_a_file_with_commas(figure: str, mend: str) -> None:
    (one,) = problems(two(figure, "15,5 g"))
    assert (one.pointer, one.line) == ("/layers/0/amount", 10) and one.mend == mend
    assert one.found == f'"{figure}", in a file with decimal commas'
    assert one.path == "layers > 1 > amount" and one.kind == "link"


@pytest.mark.parametrize(("one", "other"), [
    ("12.500 g", "15.5 g"), ("12.5 g", "15,5 g"), ("0.125 oz", "1,5 oz"), ("12,5 g", "1,25 g"),
])  # fmt: skip
def test_what_can_mean_but_one_thing_is_read(one: str, other: str) -> None:
    assert len(felt_engine.load(two(one, other), name="panel.yaml").layers) == 2


@pytest.mark.parametrize("parts", [
    'zones: {sky: {shape: round, size: 9 cm, at: "12.500 cm east, 8 cm north"}}',
    "zones: {sky: {shape: polygon, corners: [\"0 cm east, 0 cm north\", \"12.500 cm east, 0 cm north\", "
    '"0 cm east, 9 cm north"]}}',
    "blends: {mix: {white: 12.500 g}}", "tools: {mat: 60 x 12.500 cm}",
    "totals: [{amount: 12.500 g, per: piece}]", "work: [{do: rub, for: 12.500 min}]",
])  # fmt: skip
def test_figures_are_looked_at_wherever_a_recipe_has_them(parts: str) -> None:
    """By the format itself, not by a list of keys."""
    (one,) = problems(f"{two('5 g', '15,5 g')}{parts}\n")
    assert "12.500" in one.found and "with decimal commas" in one.found, one


def test_titles_and_notes_are_no_figures() -> None:
    text = two("12.500 g", "15.5 g").replace("Panel", "'Panel, 1,5 times'") + "note: 3,5 g more\n"
    assert len(felt_engine.load(text, name="panel.yaml").layers) == 2


def test_another_size_keeps_decimal_commas() -> None:
    text = two("21,5 g", "15,25 g").replace("60 x 40 cm", "2.1 m x 45 cm")
    made = felt_engine.resize(felt_engine.load(text, name="panel.yaml"), times=0.9843)
    assert "2.0670 m x 44,3 cm" in made.text and 'amount: "20,83 g"' in made.text
    plain = felt_engine.resize(felt_engine.load(with_points(text), name="panel.yaml"), times=0.9843)
    assert with_commas(plain.text).replace('"', "") == made.text.replace('"', "")
    assert all("." not in one.new or "2.0670" in one.new for one in made.changes)


def with_points(text: str) -> str:
    return text.replace("21,5", "21.5").replace("15,25", "15.25")


STUDIO = """\
name: X
scale step: "0,5 g"
"""
BOOK = """\
title: N
swatches:
  - {name: one, laid out: "150,5 x 100 cm", finished: "100,5 x 68 cm", stage: firm, fibre: merino,
     amount: AMOUNT, directions: [north-south, east-west]}
"""


@pytest.mark.parametrize(("part", "pointer", "mend"), [
    ("uses: {rug: {weight: 1.200 to 2.400 g/m²}}", "/uses/rug/weight",
     'write 1200 to 2400 g/m² or "1,2 to 2,4 g/m²", whichever you mean'),
    ("stock: {merino: 1.500 g}", "/stock/merino", 'write 1500 g or "1,5 g", whichever you mean'),
    ("prices: {merino: '14 EUR per 1.000 g'}", "/prices/merino",
     "write 14 EUR per 1000 g or 14 EUR per 1 g, whichever you mean"),
    ("rules: {weight-for-use: {limits: {strip: 1.250 cm}}}", "/rules/weight-for-use/limits/strip", "write"),
    ("fibres: {x: {like: merino, density: 1.310 kg/m³}}", "/fibres/x/density", "write 1310 kg/m³"),
])  # fmt: skip
def test_a_studio_file_is_asked_likewise(part: str, pointer: str, mend: str) -> None:
    felt_engine.Engine(studio=STUDIO + part.replace(".", "").replace("1250", "1"))
    with pytest.raises(felt_engine.StudioError) as caught:
        felt_engine.Engine(studio=STUDIO + part)
    (one,) = caught.value.problems
    assert one.pointer == pointer and one.mend.startswith(mend)
    assert "in a file with decimal commas" in one.found
    felt_engine.Engine(studio=STUDIO + "as of: 0.1.0\n" + "stock: {merino: 1.25 g}\n")


def test_a_notebook_is_asked_likewise() -> None:
    assert felt_engine.read_notebook(BOOK.replace("AMOUNT", "1500 g"))
    with pytest.raises(felt_engine.NotebookError) as caught:
        felt_engine.read_notebook(BOOK.replace("AMOUNT", "1.500 g"))
    (one,) = caught.value.problems
    assert one.pointer == "/swatches/0/amount" and one.mend.startswith("write 1500 g or")


@pytest.mark.parametrize(("figure", "mend"), [
    ("12,345 g", "write 12345 g or 12.3450 g, whichever you mean"),
    ("1,125 g", "write 1125 g or 1.1250 g, whichever you mean"),
])  # fmt: skip
def test_what_is_offered_beside_commas_is_read_there(figure: str, mend: str) -> None:
    (one,) = problems(two(f"'{figure}'", "15,5 g"))
    assert one.mend == mend
    for offered in mend.removeprefix("write ").split(",")[0].split(" or "):
        assert felt_engine.load(two(offered, "15,5 g"))
    (one,) = problems(two(f"'{figure}'", "15.5 g"))
    assert one.mend == mend.replace("0 g, which", " g, which")


def test_a_size_in_a_call_has_one_decimal_sign() -> None:
    recipe = PANEL.replace("40 cm", "40 cm\n  stage: firm")
    with pytest.raises(felt_engine.CallError, match=r"write 1200 x 80,5 cm or 1,2 x 80,5 cm"):
        felt_engine.forecast(recipe, finished="1.200 x 80,5 cm")
    with pytest.raises(felt_engine.CallError, match=r"is no size: .*units known"):
        felt_engine.forecast(recipe, finished="1.200 x 80,5 furlongs")


def test_a_long_share_with_a_comma_is_told_with_its_point() -> None:
    text = PANEL.replace("layers:", "blends: {x: {white: '33,333 %'}}\nlayers:")
    (one,) = problems(text)
    assert one.mend == "write 33.333 %, if that is meant"
