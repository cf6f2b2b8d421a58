"""What a hint offers instead: it is read by the same reader, and is what was meant, not part of it."""

from __future__ import annotations

import itertools
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import felt_engine
from felt_engine.reading import forms, studio_forms
from felt_engine.reading.misread import ALSO
from felt_engine.reading.offers import Offer
from felt_engine.reading.quantity import NUMBER, UNITS, Refused, parse, parse_any
from felt_engine.reading.setting import Figure
from felt_engine.reading.shape import Form

FORMS = [
    one for room in (forms, studio_forms) for one in vars(room).values() if isinstance(one, Form)
]
KINDS = [("weight",), ("weight", "areal"), ("length",), ("areal",), ("time",), ("fineness",),
         ("temperature",), ("position",)]  # fmt: skip
NUMBERS = ["60", "1,500", "0o17", "½", "1e3", "11/2", "1 1/2", "2⁵", "12.", ".5", "1,5", "40,5", "1_000",
           "60 40", "1.2.3", "0", "060", "٣", "1’500"]  # fmt: skip
UNITS_WRITTEN = ["", "g", "G", "gr", "oz t", "ounces/yd²", "g m-2", "g + 5 g", "lb 8 ounces 2", "cm", "CM",
                 "cms", "cm,", "cm²", "cm wide", "cm 40 cm", "x 40 CM", "x 40 centimetres", "/ 40 cm",
                 "cm x 40", "mm by 3 ft 4 in", "in square", "per side", "cm each", "%", "percent", "s",
                 "° C", "µ", "mic", "to 80", "- 80 g/m2", "u", "kg 3/2 g", "EUR/100g"]  # fmt: skip
ODD = [f"{number} {unit}".strip() for number, unit in itertools.product(NUMBERS, UNITS_WRITTEN)]
SIGNS = "0123456789 .,/x×-+½²cmgozlbftin'\"°%"


def offered(mend: str) -> tuple[str, ...]:
    """The texts of a hint; a hint that names a figure to write says that it offers it."""
    if isinstance(mend, Offer):
        return mend.texts
    assert not re.match(rf"write {NUMBER} ?[a-z%°]+($|,| alone| or )", mend) or "figures" in mend, (
        mend
    )
    return ()


def all_read(text: str) -> int:
    """Holds every hint on this text to be read by its own reader; how many texts were offered."""
    count = 0
    for kinds in KINDS:
        try:
            parse_any(kinds, text)
        except Refused as refused:
            for one in offered(refused.mend):
                assert parse_any(kinds, one), (kinds, text, one)
                count += 1
    for form in FORMS:
        if not form.takes(text):
            for one in offered(form.hint(text, re.compile(form.regex))):
                assert form.takes(one), (form.name, text, one)
                count += 1
    for figure in (Figure(), Figure("dE00")):
        if not figure.takes(text):
            for one in offered(figure.hint(text)):
                assert figure.takes(one), (figure.unit, text, one)
                count += 1
    return count


def test_what_is_offered_is_read() -> None:
    assert sum(map(all_read, ODD)) > 500


@settings(max_examples=300, deadline=None, derandomize=True)
@given(text=st.text(SIGNS, min_size=1, max_size=16))
def test_what_is_offered_for_any_text_is_read(text: str) -> None:
    all_read(text)


KNOWN_BY_OTHERS = {"gr", "t", "st", "hand", "hands", "mic", "mics", "c", "C", "F", "f", "µ", "μ", "deg",
                   "degree", "degrees", "°"}  # fmt: skip
"""Words that pint takes for something else than a maker does: grain, coulomb, farad, a prefix."""


@pytest.mark.parametrize(
    ("kind", "base"), [("weight", "kg"), ("length", "m"), ("time", "s"), ("areal", "kg/m**2")]
)
def test_no_unit_of_another_size_is_offered(kind: str, base: str) -> None:
    """Against all units that pint knows: where a hint offers one, it is as large as pint's."""
    pint = pytest.importorskip("pint")
    registry = pint.UnitRegistry()
    looked_at = 0
    for name in sorted(set(dir(registry)) - KNOWN_BY_OTHERS):
        try:
            unit = registry.parse_units(name)
            if not unit.is_compatible_with(base):
                continue
            theirs = float(registry.Quantity(54.0, unit).to(base).magnitude)
        except (pint.PintError, AttributeError, TypeError, ValueError):
            continue
        if name.lower() in ALSO or name in UNITS[kind]:
            continue
        try:
            parse(kind, f"54 {name}")
        except Refused as refused:
            looked_at += 1
            for one in offered(refused.mend):
                assert parse(kind, one).si == pytest.approx(theirs, rel=1e-3), (name, one)
    assert looked_at > 20 or kind == "areal"


WRITTEN = {"12": (12,), "1/2": (0.5,), "1-1/2": (1.5,), "1 1/2": (1.5,), "1½": (1.5,), "2,5": (2.5,),
           "1,200": (1200, 1.2), "1_000": (1000,), "1+1/2": (1.5,), "1 and 1/2": (1.5,)}  # fmt: skip
BETWEEN = ["-", "–", " - ", "_", ".", ": ", "  ", ",", "*", "~", "/"]
BEHIND = ["", ".", ",", ";", " wide", " (approx)", " in all"]


@pytest.mark.parametrize("kind", ["length", "weight", "time", "areal"])
def test_what_is_offered_has_the_figure_and_the_unit_that_were_written(kind: str) -> None:
    looked_at = 0
    slips = itertools.product(WRITTEN, BETWEEN, UNITS[kind], BEHIND)
    for number, between, unit, behind in slips:
        text = f"{number}{between}{unit}{behind}"
        try:
            parse(kind, text)
        except Refused as refused:
            meant = [pytest.approx(figure * UNITS[kind][unit]) for figure in WRITTEN[number]]
            for one in offered(refused.mend):
                looked_at += 1
                assert parse(kind, one).si in meant, (text, one)
    assert looked_at > 500


SIZES = {
    "60 x 40 CM": "60 x 40 cm", "60 x 40 cms": "60 x 40 cm", "60 x 40 centimetres": "60 x 40 cm",
    "60 x 40 cm,": "60 x 40 cm", "60 x 40 cm²": "60 x 40 cm", "60 x 40cm.": "60 x 40 cm",
    "60 x 40 cm wide": "60 x 40 cm", "60 / 40 cm": "60 x 40 cm", "60 cm 40 cm": "60 x 40 cm",
    "60cm40cm": "60 x 40 cm", "60 cm x 40": "60 x 40 cm", "3' x 4": "3 x 4'",
    "60 x 40 cm approx": "60 x 40 cm", "60 cm x 40 mms": "60 cm x 40 mm",
}  # fmt: skip
"""Odd sizes, and the whole size that each most likely is (common practice, no source)."""


@pytest.mark.parametrize("text", SIZES)
def test_a_size_is_offered_whole(text: str) -> None:
    assert offered(forms.SIZE.hint(text, re.compile(forms.SIZE.regex))) == (SIZES[text],)


def test_a_size_that_may_be_two_things_is_offered_as_both() -> None:
    hint = forms.SIZE.hint("2 m 40 cm", re.compile(forms.SIZE.regex))
    assert hint == "write 2 m x 40 cm or 240 cm, whichever you mean"
    hint = forms.SIZE.hint("40 / 60 cm", re.compile(forms.SIZE.regex))
    assert hint == "write 40 x 60 cm, if that is meant"
    hint = forms.SIZE.hint("3 / 4 in", re.compile(forms.SIZE.regex))
    assert hint == "write 3 x 4 in or 3/4 in, whichever you mean"


AMOUNTS = {
    "20 g m-2": ["20 g/m²"], "20 g·m⁻²": ["20 g/m²"], "20 ounces/yd²": ["20 oz/yd²"],
    "20 gram/m2": ["20 g/m²"], "20 g + 5 g": ["25 g"], "20 g + 20 g": ["40 g"],
    "1 kg + 200 g": ["1200 g"], "20 oz t": [], "20 oz fl": [], "0o17 g": [], "2⁵ g": [],
    "3 lb 8 ounces 2": [], "1 kg 3/2 g": [], "2 lb 3/2 oz": ["2 lb 1 1/2 oz"], "20 g m": [], "20 g/mm²": [],
    "20 g per metre": [], "20 troy ounces": [], "20 grains": [], "5 g minus 2": [],
    "15 g per side": ["15 g"], "2 oz (57 g)": ["2 oz"],
}  # fmt: skip
"""Odd amounts, and what may be offered without changing what was said."""


@pytest.mark.parametrize("text", AMOUNTS)
def test_an_amount_is_offered_only_where_it_is_sure(text: str) -> None:
    with pytest.raises(Refused) as caught:
        parse_any(("weight", "areal"), text)
    assert list(offered(caught.value.mend)) == AMOUNTS[text]


@pytest.mark.parametrize(
    ("unit", "text", "texts"),
    [
        ("", "1e400", ()), ("", "1,500", ("1500", "1.500")), ("", "2 cm", ()),
        ("", "35 percent", ("35 %",)), ("dE00", "2", ("2 dE00",)), ("dE00", "2 de00", ("2 dE00",)),
        ("dE00", "1,500 dE00", ("1500 dE00", "1.500 dE00")), ("dE00", "2 cm", ()),
    ],
)  # fmt: skip
def test_a_figure_is_never_cut_in_two(unit: str, text: str, texts: tuple[str, ...]) -> None:
    assert offered(Figure(unit).hint(text)) == texts


RIGHT = """\
piece: {title: Pan stand, shape: round, laid out: 30 cm}
lots: {white: {fibre: merino}}
blends: {soft: {white: 100 %}}
layers: [{name: base, of: soft, amount: 60 g}]
"""
FOLLOWED = [
    ("laid out: 30 cm", "laid out: 15 cm radius", "write 30 cm across, twice the radius"),
    ("laid out: 30 cm", "laid out: 5.5 in r", "write 11 in across, twice the radius"),
    ("fibre: merino", "fibre: superwash merino",
     "write fibre: merino, and treatment: shrink-proofed"),
    ("fibre: merino", "fibre: Superwash", "write fibre: wool, and treatment: shrink-proofed"),
    ("fibre: merino", "fibre: shrinkproof corriedale",
     "write fibre: corriedale, and treatment: shrink-proofed"),
    ("layers:", "  double: {soft: 100 %}\nlayers:",
     "write the lots that are in it, each with its share"),
    ("round, laid out: 30 cm", "rectangle, laid out: 2.1 m x 45",
     "write both lengths with their units"),
    ("round, laid out: 30 cm", 'polygon, corners: ["0 cm east, 0 cm north", "9 cm east, 0 cm north", '
     '"9 cm east, 9 cm north", "0 cm east, 0 cm north"]',
     "take it out here; the outline closes by itself"),
]  # fmt: skip


@pytest.mark.parametrize(("right", "written", "mend"), FOLLOWED, ids=lambda v: str(v)[:40])
def test_what_changes_the_felt_is_not_dropped(right: str, written: str, mend: str) -> None:
    text = RIGHT.replace("blends: {soft: {white: 100 %}}", "blends:\n  soft: {white: 100 %}")
    with pytest.raises(felt_engine.RecipeError) as caught:
        felt_engine.load(text.replace(right, written, 1), name="x")
    assert [one.mend for one in caught.value.problems] == [mend]


@pytest.mark.parametrize(("text", "texts"), [
    ("391/2 x 15 in", ("195 1/2 in x 15 in", "39 1/2 in x 15 in")),
    ("15 in x 391/2 in", ("15 in x 195 1/2 in", "15 in x 39 1/2 in")),
    ("60/40 cm", ("60 x 40 cm",)),
])  # fmt: skip
def test_a_size_with_a_lost_blank_is_offered_whole(text: str, texts: tuple[str, ...]) -> None:
    match = re.match(forms.SIZE.regex, text)
    assert match is not None
    with pytest.raises(Refused) as caught:
        forms.SIZE.make(match)
    assert isinstance(caught.value.mend, Offer) and caught.value.mend.texts == texts
    assert all(forms.SIZE.takes(one) for one in texts)


BY_SHAPE = ["4 5/4 in", "15/4 in", "11/2 in", "1 m 20 cm", "about 30 cm", "about 5 5/4 in", "~20", "5 x",
            "x 5 in", "5 in x", "60 x 80 cm to 70 x 90 cm", "60x80cm/60x80cm", "30 to 40 cm", "1'6",
            "approx 2 x 2.2 m", "max. 60 x 80 cm", "60 x 80 x 2 cm", "ca. 20 cm across"]  # fmt: skip
SIZED = """\
piece: {{title: T, shape: {shape}, laid out: {out}}}
lots: {{white: {{fibre: merino}}}}
zones: {{z: {{shape: {shape}, at: "8 cm east, 8 cm north", size: {size}}}}}
layers: [{{name: base, of: white, amount: 60 g, lay: shingle, direction: north-south, tuft: {tuft}}}]
"""


@pytest.mark.parametrize("place", ["out", "size", "tuft"])
@pytest.mark.parametrize("shape", ["rectangle", "round", "oval"])
def test_a_size_is_offered_with_as_many_sides_as_its_shape_has(shape: str, place: str) -> None:
    given = {"out": "90 cm" if shape == "round" else "90 x 80 cm", "tuft": "5 x 10 cm",
             "size": "9 cm" if shape == "round" else "9 x 8 cm"}  # fmt: skip
    felt_engine.load(SIZED.format(shape=shape, **given), name="right")
    offers = 0
    for text in BY_SHAPE:
        with pytest.raises(felt_engine.RecipeError) as caught:
            felt_engine.load(SIZED.format(shape=shape, **{**given, place: f'"{text}"'}), name="x")
        (slip,) = caught.value.problems
        tail = r"(?:, if .*|, whichever you mean| alone; .*|)"
        match = re.fullmatch(rf"(?:write|say the unit:) (.*?[0-9].*?){tail}", slip.mend)
        for one in match[1].split(" or ") if match else ():
            offers += 1
            try:
                felt_engine.load(
                    SIZED.format(shape=shape, **{**given, place: f'"{one}"'}), name="x"
                )
            except felt_engine.RecipeError as again:
                about = [p for p in again.problems if p.pointer == slip.pointer]
                assert not any("length" in p.expected for p in about), (text, slip.mend, about)
    assert offers > 8


def test_no_key_is_offered_that_is_there_already() -> None:
    text = SIZED.format(shape="oval", out="90 x 80 cm", size="9 x 8 cm", tuft="5 x 10 cm")
    with pytest.raises(felt_engine.RecipeError) as caught:
        felt_engine.load(text.replace("at: ", "sizes: 4 cm, at: "), name="x")
    (slip,) = caught.value.problems
    assert slip.mend == "leave it out, or put it into a note"
    with pytest.raises(felt_engine.RecipeError) as caught:
        felt_engine.load(text.replace("size: ", "sizes: "), name="x")
    (slip,) = caught.value.problems
    assert slip.mend == 'write "size", if that is meant'


def test_what_is_offered_with_a_comma_is_offered_in_quotes() -> None:
    """Inside braces a bare comma ends a value."""
    text = SIZED.format(shape="round", out="90 cm", size="9 cm", tuft="5 x 10 cm")
    with pytest.raises(felt_engine.RecipeError) as caught:
        felt_engine.load(text.replace('"8 cm east, 8 cm north"', "9 cm east 7 cm north"), name="x")
    (slip,) = caught.value.problems
    assert slip.mend == 'write "9 cm east, 7 cm north", if that is meant'
    with pytest.raises(felt_engine.RecipeError) as caught:
        felt_engine.load(
            text.replace('"8 cm east, 8 cm north"', '"9 cm east 7 cm north"'), name="x"
        )
    (slip,) = caught.value.problems
    assert slip.mend == 'write "9 cm east, 7 cm north", if that is meant'


@pytest.mark.parametrize("text", ["1.250 m x 400 mm", "1.125 m x 225 mm", "400 mm x 1.250 m",
                                  "3.125 ft x 400 mm", '9.250" x 400 mm'])  # fmt: skip
def test_a_point_before_another_unit_than_mm_is_a_decimal_point(text: str) -> None:
    assert forms.SIZE.takes(text)


@pytest.mark.parametrize("text", ["1.500 x 900 mm", "1.500 mm x 900 mm", "900 x 1.500 mm"])
def test_a_point_in_millimetres_is_doubtful(text: str) -> None:
    assert not forms.SIZE.takes(text)


def test_a_tuft_is_not_told_by_the_compass() -> None:
    text = SIZED.format(shape="rectangle", out="90 x 80 cm", size="9 x 8 cm", tuft="{tuft}")
    for tuft in ("10 cm long x 5 cm wide", "10 cm deep x 5 cm", "ten by five"):
        with pytest.raises(felt_engine.RecipeError) as caught:
            felt_engine.load(text.replace("{tuft}", tuft), name="x")
        (slip,) = caught.value.problems
        assert "west" not in slip.mend + slip.expected and "across the fibre" in slip.expected
