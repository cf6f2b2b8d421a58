"""Texts of a fixed form that only a studio file has: releases, ranges, density."""

from __future__ import annotations

import re
from typing import Any

from felt_engine.model.catalogue import Span
from felt_engine.reading.offers import any_of, if_meant
from felt_engine.reading.quantity import END, NUMBER, UNITS, Refused, either, number
from felt_engine.reading.shape import Form

RELEASE = Form(
    "release",
    lambda: rf"^[0-9]{{1,5}}(?:[.][0-9]{{1,5}}){{1,3}}{END}",
    lambda match: match.string,
    "0.1.0",
    "a release, such as 0.1.0",
    lambda text: any_of([text[1:]]) if re.fullmatch(r"v[0-9.]{3,20}", text) else "",
)


def _mend_span(text: str, unit: str = "") -> str:
    """A range with a hyphen, or without its unit."""
    said = re.sub(r"(?<=[0-9]) ?(?:-|–|—|[.][.]+) ?(?=[0-9.])", " to ", text)
    if unit and re.fullmatch(rf"{NUMBER}(?: to {NUMBER})?", said):
        said += f" {unit}"
    return any_of([said]) if said != text else ""


def _ends(match: re.Match[str], factor: float, low: float, high: float, words: str) -> Span:
    first = number(match[1]) * factor
    last = number(match[2]) * factor if match[2] else first
    usual = number(match[3]) * factor if match[3] else (first + last) / 2
    if not low * (1 - 1e-9) <= first <= last <= high * (1 + 1e-9):
        raise Refused(f"{words}, the lower end first", "check the figures", kind="limit")
    if not first <= usual <= last:
        raise Refused(f"what is usual between {match[1]} and {match[2]}", "check it", kind="limit")
    return Span(first, usual, last)


FELTS = Form(
    "feltability",
    lambda: rf"^({NUMBER})(?: to ({NUMBER})(?: usually ({NUMBER}))?)?{END}",
    lambda match: _ends(match, 1.0, 0.0, 1.0, "a figure from 0 to 1"),
    "0.5 to 0.9 usually 0.7",
    "how well it felts: 0 is not at all, 1 is merino; 0.8, or 0.5 to 0.9, or "
    "0.5 to 0.9 usually 0.7",
    _mend_span,
)

_UM = either(UNITS["fineness"])
DIAMETER = Form(
    "range of fineness",
    lambda: rf"^({NUMBER})(?: to ({NUMBER}))? ?{_UM}(?: usually ({NUMBER}) ?{_UM})?{END}",
    lambda match: _ends(match, 1e-6, 1e-6, 500e-6, "1 to 500 micrometres"),
    "17 to 23 um usually 20 um",
    "fibre diameters: 20 um, or 17 to 23 um, or 17 to 23 um usually 20 um",
    lambda text: _mend_span(text, "um"),
)

_DENSITY = {"kg/m³": 1.0, "kg/m3": 1.0, "g/cm³": 1e3, "g/cm3": 1e3, "g/ml": 1e3}


def _density(match: re.Match[str]) -> float:
    value = number(match[1]) * _DENSITY[match[2]]
    if not 10.0 <= value <= 30_000.0:
        raise Refused("10 to 30000 kg/m³", "check the figure and its unit", kind="limit")
    return value


DENSITY = Form(
    "density",
    lambda: rf"^({NUMBER}) ?({either(_DENSITY)}){END}",
    _density,
    "1310 kg/m³",
    "a density of the fibre itself, such as 1310 kg/m³ or 1.31 g/cm³",
)


def _band(match: re.Match[str]) -> tuple[float, float]:
    factor = UNITS["areal"][match[3]]
    low, high = number(match[1]) * factor, number(match[2]) * factor
    if not low <= high <= 50.0 * (1 + 1e-9) or not high:
        raise Refused("up to 50 kg/m², the lower end first", "check the figures", kind="limit")
    return low, high


BAND = Form(
    "weight band",
    lambda: rf"^({NUMBER}) to ({NUMBER}) ?({either(UNITS['areal'])}){END}",
    _band,
    "200 to 400 g/m²",
    "two weights per area, lowest and highest: 200 to 400 g/m²",
    lambda text: _mend_band(text),
)


def _mend_band(text: str) -> str:
    from felt_engine.reading.misread import unit_of

    match: Any = re.fullmatch(rf"({NUMBER}) ?(?:-|–|—|to|\.\.) ?({NUMBER}) ?(.*)", text[:80])
    if match is None:
        return ""
    unit = unit_of(("areal",), match[3]) if match[3] else "g/m²"
    return if_meant(f"{match[1]} to {match[2]} {unit}") if unit else ""
