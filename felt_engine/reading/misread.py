"""Why a text is no quantity, in words that help. Imported only when something was refused."""

from __future__ import annotations

import re

from felt_engine.reading.quantity import EXAMPLES, NAMES, NUMBER, UNITS, Refused
from felt_engine.reading.suggest import nearest

VOLUMES = {"ml", "l", "litre", "litres", "liter", "cl", "cup", "cups", "tsp", "tbsp", "teaspoon",
           "tablespoon", "pint", "pints", "fl oz", "floz", "handful", "handfuls"}  # fmt: skip
_NUMBER_FIRST = re.compile(rf"({NUMBER}) ?(.*)", re.DOTALL)
_GROUPED = re.compile(r"([1-9][0-9]{0,2})[,.' ]([0-9]{3}) ?([^0-9].*)?")


def explain(kind: str, text: str, kinds: tuple[str, ...] = ()) -> Refused:
    """The most likely reason why this text was refused, as an error to raise."""
    wanted = kinds or (kind,)
    expected = " or ".join(f"{NAMES[k]} such as {EXAMPLES[k]}" for k in wanted)
    return Refused(expected, _mend(wanted, text.strip()))


def _mend(kinds: tuple[str, ...], text: str) -> str:
    for reason in (_empty, _sign, _grouped, _span, _odd_number, _unit):
        mend = reason(kinds, text)
        if mend:
            return mend
    return "write one number and one unit"


def _empty(kinds: tuple[str, ...], text: str) -> str:
    return "" if text else "write the amount, or leave the whole line out"


def _sign(kinds: tuple[str, ...], text: str) -> str:
    if text[0] in "-−+±":
        return "write it without a sign"
    if re.match(r"[^\d]*(nan|inf)", text, re.IGNORECASE):
        return "write a number"
    if re.fullmatch(r"[0., /]+ ?\D*", text) and re.search("0", text):
        return "write an amount above nothing, or leave the line out"
    if re.match(r"(about|ca\.?|approx\.?|circa|~)", text, re.IGNORECASE):
        return "write the figure alone; a range or a doubt can go into a note"
    return ""


def _grouped(kinds: tuple[str, ...], text: str) -> str:
    match = _GROUPED.fullmatch(text)
    if not match or text[match.end(1)] == ".":
        return ""
    unit = (match[3] or "").strip()
    if text[match.end(1)] in "' ":
        return f"write {match[1]}{match[2]} {unit}".rstrip()
    return f"write {match[1]}{match[2]} {unit} or {match[1]}.{match[2]} {unit}, whichever you mean"


def _span(kinds: tuple[str, ...], text: str) -> str:
    if re.match(r"[\d.,/]+ ?[^\d\s]* ?(-|–|—|to|\.\.) ?\d", text):
        return "write one figure; a range can go into a note"
    if re.match(r"\d+-\d+/\d+", text):
        return "write a space between the whole number and the fraction: 1 1/2 in"
    return ""


def _odd_number(kinds: tuple[str, ...], text: str) -> str:
    if re.match(r"[\d.,]+[eE][+-]?\d", text):
        return "write the number out in full, without an exponent"
    if re.match(r"\d+_\d|\d[\d.,]*[.,]\d*[.,]", text):
        return "write the number with one decimal point and nothing between its digits"
    if not re.match(r"[0-9.½¼¾⅓⅔⅛⅜⅝⅞]", text):
        return "start with a number in the digits 0 to 9"
    return ""


def _unit(kinds: tuple[str, ...], text: str) -> str:
    match = _NUMBER_FIRST.match(text)
    if not match:
        return ""
    value, unit = match[1], match[2].strip()
    first = EXAMPLES[kinds[0]].split(" or ")[0].split(" ", 1)[-1]
    if not unit:
        return f"say the unit: {value} {first}, if that is meant"
    if unit.lower().rstrip(".") in VOLUMES:
        return "that is a volume, and loose fibre has no fixed one: weigh it"
    for other, units in UNITS.items():
        if unit in units and other not in kinds:
            return f"{unit} is the unit of {NAMES[other]}"
    known = [u for k in kinds for u in UNITS[k]]
    close = next((u for u in known if u.lower() == unit.lower().rstrip(".")), None)
    close = close or nearest(unit, known)
    return (
        f"write {value} {close}, if that is meant" if close else "units known here: " + _list(kinds)
    )


def _list(kinds: tuple[str, ...]) -> str:
    plain = [u for k in kinds for u in UNITS[k] if len(u) > 1 or u.isalpha()]
    return ", ".join(plain[:14])
