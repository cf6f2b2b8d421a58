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
