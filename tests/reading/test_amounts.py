"""Quantity texts: read right or refused with a hint, never misread; equal to pint's conversion."""

from __future__ import annotations

import re
import time
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from felt_engine.model.amount import RANGES
from felt_engine.reading.quantity import (
    UNITS,
    Refused,
    parse,
    parse_any,
    pattern,
    quick,
)

OZ, LB, INCH, FOOT = 0.028349523125, 0.45359237, 0.0254, 0.3048

READ = [
    ("weight", "12 g", 0.012), ("weight", "12g", 0.012), ("weight", "0.4 oz", 0.4 * OZ),
    ("weight", ".5 oz", 0.5 * OZ), ("weight", "1,5 g", 0.0015), ("weight", "1,25 kg", 1.25),
    ("weight", "0,125 kg", 0.125), ("weight", "1/2 oz", OZ / 2), ("weight", "1 1/2 oz", 1.5 * OZ),
    ("weight", "½ oz", OZ / 2), ("weight", "1½ oz", 1.5 * OZ), ("weight", "1 ½ oz", 1.5 * OZ),
    ("weight", "2 lb 3 oz", 2 * LB + 3 * OZ), ("weight", "2lb 3oz", 2 * LB + 3 * OZ),
    ("weight", "2lb3oz", 2 * LB + 3 * OZ), ("weight", "2 lb 2 oz", 2 * LB + 2 * OZ),
    ("weight", "2lb2oz", 2 * LB + 2 * OZ), ("weight", "0 lb 3 oz", 3 * OZ),
    ("weight", "2 lb .5 oz", 2 * LB + OZ / 2), ("weight", "2 lb 0.5 oz", 2 * LB + OZ / 2),
    ("weight", "2 lb 0 oz", 2 * LB), ("weight", "1 lb ½ oz", LB + OZ / 2),
    ("weight", "1 pound 8 ounces", LB + 8 * OZ), ("weight", "3 lbs", 3 * LB),
    ("weight", "500 mg", 0.0005), ("weight", "7 grams", 0.007), ("weight", "1 ounce", OZ),
    ("weight", "1.500 kg", 1.5), ("weight", "007 g", 0.007), ("weight", "99,99 g", 0.09999),
    ("length", "40 cm", 0.4), ("length", "4mm", 0.004), ("length", "1.2 m", 1.2),
    ("length", "1,5 cm", 0.015), ("length", "12 in", 12 * INCH), ("length", '12"', 12 * INCH),
    ("length", "12″", 12 * INCH), ("length", "12”", 12 * INCH), ("length", '1½"', 1.5 * INCH),
    ("length", "3 ft 4 in", 3 * FOOT + 4 * INCH), ("length", "3' 4\"", 3 * FOOT + 4 * INCH),
    ("length", "3'4\"", 3 * FOOT + 4 * INCH), ("length", "3'2\"", 3 * FOOT + 2 * INCH),
    ("length", "3ft2in", 3 * FOOT + 2 * INCH), ("length", "3ft .5in", 3 * FOOT + 0.5 * INCH),
    ("length", "3′ 4 1/2″", 3 * FOOT + 4.5 * INCH), ("length", "1 foot 6 inches", 1.5 * FOOT),
    ("length", "0 ft 4 in", 4 * INCH), ("length", "3 ft 0 in", 3 * FOOT),
    ("length", "2 yd", 1.8288), ("length", "1 1/4 inches", 1.25 * INCH),
    ("length", "¾ in", 0.75 * INCH), ("length", "8 1/2 in", 8.5 * INCH),
    ("length", "6 feet", 6 * FOOT), ("length", "5/16 in", 5 / 16 * INCH),
    ("position", "0 cm", 0.0), ("position", "0.0 in", 0.0), ("position", "5 cm", 0.05),
    ("position", "0 ft 0 in", 0.0), ("position", "1 ft 2 in", FOOT + 2 * INCH),
    ("areal", "120 g/m²", 0.12), ("areal", "120 g/m2", 0.12), ("areal", "120 gsm", 0.12),
    ("areal", "3.5 oz/yd²", 3.5 * OZ / 0.83612736), ("areal", "3.5 oz/yd2", 3.5 * OZ / 0.83612736),
    ("areal", "0.4 oz/ft²", 0.4 * OZ / 0.09290304), ("areal", "1,2 kg/m²", 1.2),
    ("areal", "1 oz/ft2", 0.30515172727), ("areal", "1/2 oz/yd2", OZ / 2 / 0.83612736),
    ("fineness", "19 um", 19e-6), ("fineness", "18.5 µm", 18.5e-6), ("fineness", "21 micron", 21e-6),
    ("fineness", "20 μm", 20e-6), ("time", "10 min", 600.0), ("time", "1 1/2 h", 5400.0),
    ("time", "30 s", 30.0), ("time", "2 days", 172800.0), ("time", "½ hour", 1800.0),
    ("temperature", "40 °C", 313.15), ("temperature", "104 °F", 313.15),
    ("temperature", "60 C", 333.15), ("temperature", "0 °C", 273.15),
    ("temperature", "32 F", 273.15), ("temperature", "37,5 °C", 310.65),
]  # fmt: skip

BLANKS = ("\u00a0", "\u2007", "\u2009", "\u202f")

ALONE = "one figure; a range can go into a note"
NOTHING = "above nothing"
DIGITS = "one decimal point and nothing between its digits"
REFUSED = [
    # a number that could be two, or is grouped
    ("weight", "1,500 g", "write 1500 g or 1.5 g, whichever you mean"),
    ("weight", "12,345 kg", "write 12.345 kg, if that is meant"),
    ("weight", "1,500", "write 1500 g or 1.5 g"), ("length", "1,500 mm", "1500 mm or 1.5 mm"),
    ("weight", "1 500 g", "write 1500 g"), ("weight", "1'500 g", "write 1500 g"),
    ("weight", "1’500 g", "write 1500 g"), ("weight", "1\u00a0500 g", "write 1500 g"),
    ("weight", "1\u202f500 g", "write 1500 g"), ("weight", "1,500,000 mg", "write 1500000 mg"),
    ("weight", "1,234.5 g", "write 1234.5 g"), ("weight", "1.234,5 g", "write 1234.5 g"),
    ("weight", "1.234.567 mg", "write 1234567 mg"),
    ("length", "11/2 in", "write 5 1/2 in or 1 1/2 in, whichever you mean"),
    ("length", "3/2 in", "write 1 1/2 in"), ("weight", "1 3/2 oz", "write 2 1/2 oz"),
    ("weight", "4/2 oz", "write 2 oz"),
    ("length", "3 ft 13/4 in", "3 ft 3 1/4 in or 3 ft 1 3/4 in"),
    # a number that is none
    ("weight", "1e3 g", "exponent"), ("weight", "1E3 g", "exponent"), ("weight", "1_0 g", DIGITS),
    ("length", "1.5.2 cm", DIGITS), ("weight", "1,5,2 g", DIGITS), ("weight", "1, 5 g", DIGITS),
    ("weight", "12 ,5 g", DIGITS), ("weight", ",5 g", "nought before the comma"),
    ("weight", "nan g", "number"), ("weight", "inf g", "number"), ("weight", "-inf g", "sign"),
    ("weight", "-4 g", "sign"), ("weight", "+4 g", "sign"), ("weight", "±4 g", "sign"),
    ("weight", "−4 g", "sign"), ("weight", "–4 g", "sign"), ("temperature", "-5 °C", "below 0 °C"),
    ("weight", "0 g", NOTHING), ("weight", "0.0 g", NOTHING), ("length", "0 cm", NOTHING),
    ("length", "0 ft 0 in", NOTHING), ("weight", "0", NOTHING), ("weight", "0/5 g", NOTHING),
    ("length", "1/0 in", "not over nought"), ("weight", "four g", "digits 0 to 9"),
    ("weight", "half an ounce", "digits 0 to 9"), ("weight", "∞ g", "digits 0 to 9"),
    ("weight", "g", "digits 0 to 9"), ("weight", "a pinch", "digits 0 to 9"),
    ("weight", "0x10 g", "one number and one unit"), ("weight", "½½ oz", "one number and one unit"),
    ("weight", "1/2/3 oz", "one number and one unit"), ("weight", "1.½ oz", "write 1 ½ oz"),
    ("weight", "12345678 g", "one number"), ("weight", "9**9**9", "one number and one unit"),
    ("weight", "10 m; 5", "one number"), ("length", "10 m; 5", "one number"),
    ("weight", "4 g*2", "one number"), ("weight", "lambda: 1", "digits 0 to 9"),
    ("weight", "__import__('os') g", "digits 0 to 9"), ("weight", "{{4}} g", "digits 0 to 9"),
    ("weight", "1 a", "units known here: mg, g"), ("weight", "4 g/m", "units known here"),
    # right but for how it is typed
    ("weight", "٣ g", "write 3 g"), ("weight", "４ g", "write 4 g"), ("weight", "4٣ g", "write 43 g"),
    ("weight", "4  g", "write 4 g"), ("weight", "4\u3000g", "write 4 g"),
    ("weight", "4 g\n", "write 4 g"), ("weight", " 4 g", "write 4 g"), ("weight", "4 g ", "write 4 g"),
    ("weight", "4\tg", "write 4 g"), ("weight", "1  1/2 oz", "write 1 1/2 oz"),
    ("weight", "1⁄2 oz", "write 1/2 oz"), ("weight", "⅙ oz", "write 1/6 oz"),
    ("weight", "1⅙ oz", "write 1 1/6 oz"), ("weight", "1-1/2 oz", "1 1/2 oz"),
    ("weight", "1-1/2 lb 3 oz", "1 1/2 lb 3 oz"),
    ("weight", "1-1/2 oz merino", "write 1 1/2 oz alone"), ("length", "1-1/2 ft 2 in", "1 1/2 ft 2 in"),
    ("length", "2–3/4 in", "2 3/4 in"), ("weight", "1O g", "write 10 g"),
    ("weight", "l2 g", "write 12 g"), ("weight", "5. oz", "write 5 oz"), ("weight", "4,g", "write 4 g"),
    ("length", "4 CM", "write 4 cm"), ("weight", "4 Oz", "write 4 oz"), ("weight", "4 G", "write 4 g"),
    ("weight", "4 0z", "write 4 oz"), ("weight", "4 oz.", "write 4 oz"),
    ("weight", "4 gr", "write 4 g"),
    ("weight", "2 kilos", "write 2 kg"), ("weight", "4 gramms", "write 4 grams"),
    ("weight", "3 onces", "write 3 ounces"), ("length", "4 centimetres", "write 4 cm"),
    ("length", "12''", "write 12 in"), ("areal", "120 g/m^2", "write 120 g/m²"),
    ("areal", "120 g / m2", "write 120 g/m2"), ("fineness", "19 mic", "write 19 um"),
    ("fineness", "19 µ", "write 19 um"), ("temperature", "40 degrees", "write 40 °C"),
    ("temperature", "40 °c", "write 40 °C"), ("time", "10 mins", "write 10 min"),
    ("weight", "1 lb. 3 oz.", "write 1 lb 3 oz"), ("length", "3 feet, 4 inches", "3 feet 4 inches"),
    ("weight", "1 lb and 3 oz", "write 1 lb 3 oz"), ("weight", "1 and 1/2 oz", "write 1 1/2 oz"),
    # the point of an abbreviation, and no decimal point
    ("weight", "2 lb.3 oz", "write 2 lb 3 oz"), ("weight", "2lb.3oz", "write 2lb 3oz"),
    ("length", "3ft.5in", "write 3ft 5in"),
    ("length", "3 ft.4 in", "write 3 ft 4 in"), ("position", "3'.4 in", "40 in"),
    ("weight", "1 kg.20 g", "in one unit: 1020 g"), ("time", "1 h.30 min", "in one unit: 90 min"),
    ("length", "1 m.20 cm", "in one unit: 120 cm"), ("length", "2 cm.5 mm", "in one unit: 25 mm"),
    ("weight", "1-½ oz", "fraction: 1 ½ oz"), ("weight", "1 / 2 oz", "write 1/2 oz"),
    ("weight", "１２ｇ", "write 12g"), ("weight", "12 ㎏", "write 12 kg"), ("length", "30 ㎝", "30 cm"),
    ("weight", "12 г", "write 12 g"), ("length", "12 см", "write 12 cm"),
    ("weight", "١٫٥ g", "write 1.5 g"), ("weight", "12·5 g", "write 12.5 g"),
    ("weight", "1，5 g", "write 1,5 g"), ("weight", "12 g\u200b", "a hidden U+200B"),
    ("weight", "1\u00ad2 g", "write 12 g alone; there is a hidden U+00AD"),
    ("length", "4´", "write 4′"), ("temperature", "40º C", "write 40°C"),
    ("temperature", "40 ℃", "write 40 °C"), ("temperature", "104 ℉", "write 104 °F"),
    ("fineness", "21 ㎛", "write 21 μm"), ("temperature", "40˚C", "write 40°C"),
    ("length", "1'6", "write 1 ft 6 in, if that is meant"), ("areal", "120 g per m²", "write 120 g/m²"),
    ("areal", "120 grams per square metre", "write 120 g/m²"),
    ("areal", "3.5 oz/sq.yd.", "write 3.5 oz/yd²"), ("areal", "2 oz per sq ft", "write 2 oz/ft²"),
    ("areal", "120g/㎡", "write 120g/m2"),
    # more figures than there are
    ("weight", "0.0000001 g", "at most 6 digits behind the point"),
    ("weight", "28.3495231 g", "write 28.349523 g"), ("areal", "0,1234567 kg/m²", "0.123457 kg/m²"),
    ("weight", "123456789 g", "one number of at most 7 digits"),
    ("weight", "1e-3 kg", "exponent"), ("weight", "2 x 15 g", "write 30 g"),
    ("weight", "3×½ oz", "write 1.5 oz"), ("weight", "2oz 57g", "one of the two alone: 2 oz"),
    ("weight", "0 x 10 g", "one number and one unit"),
    # two figures, or a remark
    ("weight", "≈ 4 g", "4 g alone; a range"), ("weight", "> 4 g", "4 g alone; a range"),
    ("weight", "max. 4 g", "4 g alone; a range"), ("weight", "up to 4 g", "4 g alone; a range"),
    ("weight", "2-3 g", ALONE), ("weight", "2 – 3 g", ALONE), ("weight", "2 to 3 g", ALONE),
    ("length", "2-3 cm", ALONE), ("weight", "4 g or 5 g", ALONE), ("weight", "4 g/5 g", ALONE),
    ("weight", "about 4 g", "4 g alone; a range"), ("weight", "~4 g", "4 g alone; a range"),
    ("weight", "ca. 4 g", "4 g alone; a range"), ("weight", "4 g g", "write 4 g alone"),
    ("weight", "4 g (dry)", "write 4 g alone"), ("weight", "4 g each", "face: each"),
    ("weight", "4 g per piece", "4 g alone; for each of several pieces write amounts for: one"),
    ("weight", "4 g (each)", "4 g alone; for each face"), ("weight", "20 g (0.7 oz)", "20 g alone; the rest"),
    ("weight", "20 g (= 0.7 oz)", "20 g alone"), ("time", "60 min (1 h)", "60 min alone"),
    # what would be another quantity without the rest
    *(("weight", text, "write one number and one unit") for text in (
        "4 g pair", "30 g dozen", "30 g (per m²)", "30 g (m²)", "30 g (gsm)", "2 lb (3 oz)", "15 g (x 2)",
        "3 lb and a quarter", "30 g for two", "20 g (5 oz)",
    )),
    *(("length", text, "one number and one unit") for text in (
        "3 ft (4 in)", "3 ft and a half", "3 ft six", "1 m and a half",
    )),
    *(("time", text, "one number and one unit") for text in ("1 h and a half", "1 h (30 min)", "1 h thirty")),
    ("temperature", "40 °C below boiling", "one number and one unit"),
    ("weight", "4 g 5 g", "one number and one unit"), ("length", "4 in 3 ft", "in one unit: 40 in"),
    ("weight", "3 oz 2 lb", "in one unit: 35 oz"), ("length", "1 cm 2 mm", "in one unit: 12 mm"),
    ("time", "1 h 30 min", "in one unit: 90 min"), ("length", "5 ft 3", "the unit of 3 too"),
    ("weight", "4 ounces 3", "the unit of 3 too"), ("time", "1:30", "one number and one unit"),
    # no unit, or one of something else
    ("weight", "12", "say the unit: 12 g"), ("fineness", "19", "say the unit: 19 um"),
    ("temperature", "40", "say the unit: 40 °C"), ("time", "10", "say the unit: 10 min"),
    ("length", "½", "say the unit: ½ cm"), ("areal", "120", "say the unit: 120 g/m²"),
    ("weight", "5 ml", "volume"), ("weight", "2 cups", "volume"), ("weight", "1 tbsp", "volume"),
    ("weight", "4 cm", "cm is the unit of a length"), ("length", "4 g", "the unit of a weight"),
    ("areal", "12 g", "the unit of a weight"), ("weight", "120 g/m²", "the unit of a weight per area"),
    ("fineness", "19 mm", "the unit of a length"), ("position", "4 g", "the unit of a weight"),
    ("temperature", "40 K", "units known here: °C"), ("weight", "4 stone", "one is 14 lb"),
    ("weight", "4 hg", "one is 100 g"), ("weight", "4 dag", "one is 10 g"),
    ("weight", "500mcg", "one is 0.001 mg"), ("weight", "5 µg", "one is 0.001 mg"),
    ("weight", "1 Pfund", "one is 500 g"), ("areal", "12 mg/cm²", "one is 10 g/m²"),
    ("areal", "0.012 g/cm2", "one is 10000 g/m²"), ("areal", "4 g/yd²", "one is 1.19599 g/m²"),
    ("length", "4 dm", "one is 10 cm"), ("length", "1 km", "one is 1000 m"),
    ("weight", "4 stones throw", "units known here"),
    ("weight", "", "leave the whole line out"), ("weight", "   ", "leave the whole line out"),
    ("weight", "4 g\x00", "units known here"), ("weight", "4" + "a" * 100_000, "units known here"),
]  # fmt: skip


@pytest.mark.parametrize("blank", BLANKS, ids=ascii)
def test_a_blank_from_the_web_is_a_blank(blank: str) -> None:
    """As pages have it between a figure and its unit; the schema takes what the reader takes."""
    for kind, text, _ in READ:
        other = text.replace(" ", blank)
        assert parse(kind, other).si == parse(kind, text).si
        assert parse_any((kind,), other).text == text
        assert re.search(pattern(kind), other)
    for kind, text, _ in REFUSED:
        if " " in text.strip():
            with pytest.raises(Refused):
                parse(kind, text.replace(" ", blank))


def test_the_tables_are_long_enough_and_hold_no_text_twice() -> None:
    assert len(READ) + len(REFUSED) >= 200
    for table in (READ, REFUSED):
        texts = [(kind, text) for kind, text, _ in table]
        assert len(set(texts)) == len(texts)


@pytest.mark.parametrize(("kind", "text", "si"), READ)
def test_read_right(kind: str, text: str, si: float) -> None:
    """SI values by NIST SP 811 (2008), appendix B factors, worked out above."""
    amount = parse(kind, text)
    assert amount.si == pytest.approx(
        si, rel=1e-15 * 8 if si != 0.30515172727 else 1e-10, abs=1e-15
    )
    assert amount.text == text
    assert amount.unit in UNITS[kind] and text.endswith(amount.unit)
    assert re.search(pattern(kind), text), "the schema takes it too"


@pytest.mark.parametrize(("kind", "text", "hint"), REFUSED, ids=lambda x: ascii(x)[:30])
def test_refused_with_a_hint(kind: str, text: str, hint: str) -> None:
    with pytest.raises(Refused) as caught:
        parse(kind, text)
    assert hint in caught.value.mend and caught.value.mend and caught.value.expected
    assert (re.search(pattern(kind), text) is None) == (caught.value.kind == "shape")
    check_offer(kind, caught.value.mend)


_OFFER = re.compile(
    r"(?:write it in one unit:|write|say the unit:) ([0-9½].*?)(?: or ([0-9½].*?))?"
    r"(?:, if that is meant|, whichever you mean|, with no other blanks| alone;.*|)"
)


def check_offer(kind: str, mend: str) -> None:
    """What a hint says to write is itself read (or is out of range, which no hint can mend)."""
    match = _OFFER.fullmatch(mend)
    for offered in match.groups() if match else ():
        if offered is not None:
            try:
                parse(kind, offered)
            except Refused as refused:
                assert refused.kind == "limit", (mend, refused.mend)


@pytest.mark.parametrize(
    "text",
    ["9" * 100_000, "g" * 100_000, "1 " * 50_000, "1/" * 50_000, "½" * 100_000, "." * 100_000,
     "." * 100_000 + "1", "0" * 100_000, "1." * 50_000, "1-" * 50_000, " " * 100_000 + "g",
     "1" + "a" * 100_000, "3 ft " * 20_000, "١" * 100_000, "1 g" + " " * 100_000 + "1"],
    ids=lambda text: ascii(text[:8]),
)  # fmt: skip
def test_long_texts_are_refused_at_once(text: str) -> None:
    for kind in UNITS:
        began = time.perf_counter()
        with pytest.raises(Refused):
            parse(kind, text)
        with pytest.raises(Refused):
            parse_any(("weight", "areal"), text)
        assert time.perf_counter() - began < 1


@pytest.mark.parametrize(
    ("kind", "text"), [("weight", "201 kg"), ("weight", "0.0005 mg"), ("length", "101 m"),
                       ("areal", "51 kg/m²"), ("fineness", "600 um"), ("temperature", "300 °C"),
                       ("time", "0.5 s"), ("time", "61 days"), ("position", "101 m")]
)  # fmt: skip
def test_out_of_any_range_is_a_limit_not_a_shape(kind: str, text: str) -> None:
    with pytest.raises(Refused) as caught:
        parse(kind, text)
    assert caught.value.kind == "limit" and "to" in caught.value.expected


NUMBERS = st.one_of(
    st.integers(1, 9_999_999).map(lambda n: (str(n), Fraction(n))),
    st.decimals("0.001", "9999", places=3, allow_nan=False).map(
        lambda d: (str(d), Fraction(str(d)))
    ),
    st.tuples(st.integers(0, 999), st.integers(1, 99)).map(
        lambda p: (f"{p[0]},{p[1]:02}", Fraction(f"{p[0]}.{p[1]:02}"))
    ),
    st.tuples(st.integers(1, 99), st.integers(2, 99)).map(
        lambda p: (f"{p[0]}/{p[1]}", Fraction(p[0], p[1]))
    ),
    st.tuples(st.integers(1, 99), st.integers(1, 9), st.integers(2, 99)).map(
        lambda p: (f"{p[0]} {p[1]}/{p[2]}", p[0] + Fraction(p[1], p[2]))
    ),
    st.tuples(st.integers(0, 99), st.sampled_from("½¼¾⅓⅔⅛⅜⅝⅞")).map(
        lambda p: (f"{p[0] or ''}{p[1]}", p[0] + VULGAR[p[1]])
    ),
)
VULGAR = {mark: Fraction(over, under) for mark, over, under in [
    ("½", 1, 2), ("¼", 1, 4), ("¾", 3, 4), ("⅓", 1, 3), ("⅔", 2, 3), ("⅛", 1, 8), ("⅜", 3, 8),
    ("⅝", 5, 8), ("⅞", 7, 8)]}  # fmt: skip
PINT = {
    "g": "gram", "kg": "kilogram", "mg": "milligram", "oz": "ounce", "lb": "pound", "mm": "millimeter",
    "cm": "centimeter", "m": "meter", "in": "inch", "ft": "foot", "yd": "yard", "gsm": "g/m^2",
    "oz/yd2": "oz/yd^2", "oz/ft²": "oz/ft^2", "g/ft²": "g/ft^2", "kg/m²": "kg/m^2",
    "um": "um", "min": "minute", "h": "hour", "s": "second", "days": "day", "°C": "degC", "F": "degF",
}  # fmt: skip
"""Our units and pint's own names for them; pint never sees a recipe's text."""
ULPS = 8e-15
"""Some 36 units in the last place: two or three roundings on each side, and the square of a yard."""


@pytest.fixture(scope="module")
def units() -> dict[str, tuple[Any, Any]]:
    """For each unit, what makes a pint quantity of it, and the SI unit to ask for."""
    pint = pytest.importorskip("pint")
    registry = pint.UnitRegistry()
    made = {}
    for unit, name in PINT.items():
        theirs = registry.Unit(name)
        base = registry.Quantity(1, theirs).to_base_units().units
        made[unit] = (lambda number, theirs=theirs: registry.Quantity(number, theirs), base)
    return made


@settings(max_examples=10_000, deadline=None, derandomize=True)
@given(number=NUMBERS, unit=st.sampled_from(sorted(PINT)), space=st.booleans())
def test_ten_thousand_quantities_equal_pint(
    units: dict[str, tuple[Any, Any]], number: tuple[str, Fraction], unit: str, space: bool
) -> None:
    kind = next(k for k in UNITS if unit in UNITS[k])
    text = f"{number[0]}{' ' if space else ''}{unit}"
    make, base = units[unit]
    wanted = make(float(number[1])).to(base).magnitude
    low, high, _ = RANGES[kind]
    try:
        amount = parse(kind, text)
    except Refused as refused:
        assert refused.kind == "limit", text
        assert "/" in number[0] or not low <= wanted <= high
        return
    assert amount.si == pytest.approx(wanted, rel=ULPS)


@settings(max_examples=1_000, deadline=None, derandomize=True)
@given(
    many=NUMBERS, few=NUMBERS, gap=st.sampled_from(["", " "]),
    pair=st.sampled_from([("length", "ft", FOOT, "in", INCH), ("weight", "lb", LB, "oz", OZ),
                          ("length", "'", FOOT, '"', INCH)]),
)  # fmt: skip
def test_feet_and_inches_add_up(many: Any, few: Any, gap: str, pair: Any) -> None:
    kind, big, more, small, less = pair
    text = f"{many[0]}{gap}{big}{gap}{few[0]}{gap}{small}"
    try:
        amount = parse(kind, text)
    except Refused as refused:
        assert refused.kind == "limit", text
        return
    assert amount.si == pytest.approx(float(many[1]) * more + float(few[1]) * less, rel=ULPS)
    assert amount.unit == small


@settings(max_examples=2_000, deadline=None, derandomize=True)
@given(number=NUMBERS, unit=st.sampled_from(sorted({u for units in UNITS.values() for u in units})))
def test_the_short_cut_and_the_pattern_agree(number: tuple[str, Fraction], unit: str) -> None:
    text = f"{number[0]} {unit}"
    for kind in UNITS:
        short = quick(kind, text)
        if short is not None:
            assert re.search(pattern(kind), text), (kind, text)
            assert short.si == pytest.approx(float(number[1]) * UNITS[kind][unit], rel=ULPS)


RIGHT = st.sampled_from([text for _, text, _ in READ])
SPOILT = st.builds(
    lambda text, at, gone, new: text[: at % (len(text) + 1)] + new
    + text[at % (len(text) + 1) + gone :],
    RIGHT, st.integers(0, 20), st.integers(0, 2),
    st.sampled_from([*"0123456789.,/ '\"½⅙-–+xgmzZoOlIeE²µ°\u00a0\n\t٣４", "", "", ". ", " g", "1/"]),
)  # fmt: skip
"""Right texts with one slip of the keys."""


@settings(max_examples=2_000, deadline=None, derandomize=True)
@given(text=SPOILT)
def test_slips_are_read_as_they_stand_or_refused_with_an_offer_that_reads(text: str) -> None:
    for kind in UNITS:
        matches = re.search(pattern(kind), text) is not None
        try:
            parse(kind, text)
            assert matches
        except Refused as refused:
            assert refused.expected and refused.mend
            assert matches == (refused.kind == "limit")
            check_offer(kind, refused.mend)


@settings(max_examples=2_000, deadline=None, derandomize=True)
@given(text=st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    for kind in UNITS:
        try:
            parse(kind, text)
        except Refused as refused:
            assert refused.expected and refused.mend


def test_a_weight_or_a_weight_per_area_is_told_by_its_unit() -> None:
    both = ("weight", "areal")
    assert parse_any(both, "12 g").kind == "weight"
    assert parse_any(both, "12 g/m²").kind == "areal"
    assert parse_any(both, "2 lb 1 oz").kind == "weight"
    assert parse_any(both, "½ oz/yd2").kind == "areal"
    with pytest.raises(Refused) as caught:
        parse_any(both, "12")
    assert "weight per area" in caught.value.expected and caught.value.mend.startswith(
        "say the unit"
    )


def test_a_distance_is_a_length_that_may_be_nothing() -> None:
    assert parse("position", "0 cm").kind == "length"
    assert parse("position", "1 ft 2 in").si == parse("length", "1 ft 2 in").si
