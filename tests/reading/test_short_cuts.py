"""Texts that are read without their form's whole pattern: what a short cut reads, the pattern reads."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from felt_engine.reading import forms
from felt_engine.reading.shape import Form

QUICK = {name: form for name, form in vars(forms).items() if isinstance(form, Form) and form.quick}
PLAIN = {
    "SIZE": "60 x 40 cm", "POINT": "62 cm east, 22 cm north", "DIRECTION": "radial",
    "COLOUR": "#a9c1cf", "SHARE": "70 %", "PART": "1/3", "FINENESS": "21 um", "WARMTH": "warm",
}  # fmt: skip
PIECES = st.sampled_from([
    *"0123456789", "10", "100", "1000", "000", "½", "٣", ".", ",", "/", " ", "  ", " x ", "x", " %",
    "%", " parts", " part", " cm", "cm", " in", " um", " mm", " g", "s", " east", " east, ", " north",
    "north", "north-south", "random", "radial", "around", "#", "a9c1cf", "hot", "cold", "1/2", "2/3",
    "-", "\n", "\u00a0",
])  # fmt: skip


def by_pattern(form: Form, text: str) -> object:
    match = re.compile(form.regex).match(text)
    assert match, f"the pattern of {form.name} refuses {text!r}"
    return form.make(match)


def test_every_form_with_a_short_cut_is_looked_at() -> None:
    assert QUICK.keys() == PLAIN.keys()


@pytest.mark.parametrize("name", PLAIN)
def test_the_commonest_text_takes_the_short_cut(name: str) -> None:
    form = QUICK[name]
    assert form.quick
    assert form.quick(PLAIN[name]) == by_pattern(form, PLAIN[name])


@settings(max_examples=3_000, deadline=None, derandomize=True)
@given(
    name=st.sampled_from(sorted(PLAIN)),
    text=st.one_of(
        st.lists(PIECES, min_size=1, max_size=6).map("".join),
        st.builds("{} east, {} north".format, *[st.lists(PIECES, max_size=3).map("".join)] * 2),
        st.builds("{} %".format, st.lists(PIECES, max_size=2).map("".join)),
    ),
)
def test_what_a_short_cut_reads_the_pattern_reads_alike(name: str, text: str) -> None:
    form = QUICK[name]
    assert form.quick
    value = form.quick(text)
    if value is not None:
        assert value == by_pattern(form, text)
