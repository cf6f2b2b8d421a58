"""Why a text is no quantity, in words that help. Imported only when something was refused."""

from __future__ import annotations

import re
import unicodedata

from felt_engine.reading.quantity import (
    EXAMPLES,
    NAMES,
    NOT_ZERO,
    NUMBER,
    UNITS,
    VULGAR,
    Refused,
    number,
    pattern,
)
from felt_engine.suggest import nearest

ALSO = {
    "gr": "g", "grm": "g", "gm": "g", "gms": "g", "gramme": "g", "grammes": "g", "kilo": "kg",
    "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "kgs": "kg", "0z": "oz", "ozs": "oz",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "cms": "cm",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "millimetre": "mm",
    "millimetres": "mm", "millimeters": "mm", "ins": "in", "''": "in", "’’": "in", "′′": "in",
    "mic": "um", "mics": "um", "µ": "um", "μ": "um", "sec": "s", "secs": "s", "hr": "h",
    "hrs": "h", "mins": "min", "deg": "°c", "degrees": "°c", "°": "°c", "deg c": "°c",
    "degc": "°c", "degrees c": "°c", "degrees f": "°f", "celsius": "°c", "fahrenheit": "°f",
}  # fmt: skip
"""What makers also write for a unit."""

ELSEWHERE = {
    "dag": (10, "g"), "dkg": (10, "g"), "deka": (10, "g"), "hg": (100, "g"), "t": (1000, "kg"),
    "tonne": (1000, "kg"), "st": (14, "lb"), "stone": (14, "lb"), "dm": (10, "cm"),
    "hand": (4, "in"), "hands": (4, "in"), "week": (7, "days"), "weeks": (7, "days"),
}  # fmt: skip
"""Units that are not read, and what one of them is."""

HINTS = {
    "each": "for each face of a resist write face: each; for each of several pieces, amounts for: one"
}
VOLUMES = {"ml", "l", "litre", "litres", "liter", "cl", "cup", "cups", "tsp", "tbsp", "teaspoon",
           "tablespoon", "pint", "pints", "fl oz", "floz", "handful", "handfuls"}  # fmt: skip
LONGEST = 80
"""Characters of a refused text that are looked at."""

_NOTHING = "write an amount above nothing, or leave the line out"
ONE = "write one number and one unit"
_BLANKS = " \u00a0\u2007\u2009\u202f"
_NUMBER_FIRST = re.compile(rf"({NUMBER}) ?(.*)", re.DOTALL)
_GROUPED = re.compile(
    rf"([1-9][0-9]{{0,2}})((?:([,.'’{_BLANKS}])[0-9]{{3}})(?:\3[0-9]{{3}})*)"
    rf"(?:([,.])([0-9]{{1,6}}))?[{_BLANKS}]?([^0-9,.].*)?"
)


def explain(kind: str, text: str, kinds: tuple[str, ...] = ()) -> Refused:
    """The most likely reason why this text was refused, as an error to raise."""
    wanted = kinds or (kind,)
    expected = " or ".join(f"{NAMES[k]} such as {EXAMPLES[k]}" for k in wanted)
    return Refused(expected, _mend(wanted, text.strip()[:LONGEST]))


def mixed(whole: int, over: str, under: str, unit: str) -> str:
    """What a fraction above one may have meant: ``11/2`` is 5 1/2, or 1 1/2 without its blank."""
    extra, rest = divmod(int(over), int(under))
    told = [f"{whole + extra} {rest}/{under}" if rest else str(whole + extra)]
    if not whole and len(over) > 1 and over[1] != "0" and int(over[1:]) < int(under):
        told.append(f"{over[0]} {over[1:]}/{under}")
    said = " or ".join(f"{one} {unit}".rstrip() for one in told)
    return f"write {said}, whichever you mean" if len(told) > 1 else f"write {said}"


def _mend(kinds: tuple[str, ...], text: str) -> str:
    for reason in (_empty, _sign, _grouped, _span, _untidy, _odd_number, _unit):
        mend = reason(kinds, text)
        if mend:
            return mend
    return ONE


def _empty(kinds: tuple[str, ...], text: str) -> str:
    return "" if text else "write the amount, or leave the whole line out"


def _sign(kinds: tuple[str, ...], text: str) -> str:
    if text[0] in "-−–+±":
        mend = "write it without a sign"
        return mend + "; water is never below 0 °C" if "temperature" in kinds else mend
    if re.match(r"[^\d]*(nan|inf)", text, re.IGNORECASE):
        return "write a number"
    if re.fullmatch(r"0+/\d.*|[0., /]+ ?\D*", text) and "0" in text and "°" not in text:
        return _NOTHING
    if re.match(r"(about|ca\.?|approx\.?|circa|~)", text, re.IGNORECASE):
        return "write the figure alone; a range or a doubt can go into a note"
    return ""


def _grouped(kinds: tuple[str, ...], text: str) -> str:
    match = _GROUPED.fullmatch(text)
    if not match or match[3] == match[4]:
        return ""
    first, rest, mark, point, decimals, unit = match.groups()
    read = _unit_of(kinds, unit.strip()) if unit else _usual(kinds)
    if read is None:
        return "write the number with nothing between its digits"
    whole = first + re.sub(r"[^0-9]", "", rest)
    if point:
        return f"write {whole}.{decimals} {read}"
    if mark == "," and len(rest) == 4:
        return f"write {whole} {read} or {first}.{rest[1:]} {read}, whichever you mean"
    return f"write {whole} {read}" if mark != "." or len(rest) > 4 else ""


def _span(kinds: tuple[str, ...], text: str) -> str:
    match = re.match(r"(\d+)[-–](\d+/\d+) ?(.*)", text)
    if match:
        unit = _unit_of(kinds, match[3]) or _usual(kinds)
        return (
            f"write a blank between the whole number and the fraction: {match[1]} {match[2]} {unit}"
        )
    if re.match(r"[\d.,/]+ ?[^\d\s]* ?(-|–|—|to|or|/|\.\.) ?\d", text) and _two(kinds, text):
        return "write one figure; a range can go into a note"
    return ""


def _two(kinds: tuple[str, ...], text: str) -> bool:
    """Whether what follows the first number isn't just the rest of a fraction or of an area."""
    return not re.match(rf"(?:{NUMBER}|\d+) ?/ ?\d|{NUMBER} ?[^\d\s]+/[^\d\s]+", text)


def _untidy(kinds: tuple[str, ...], text: str) -> str:
    """The same in plain digits, fractions and single blanks, if that can be read."""
    plain = " ".join("".join(map(_plain, text)).replace("⁄", "/").replace("∕", "/").split())
    letters = re.sub(r"(?<=[0-9.,])[oO]|\b[oO](?=[0-9.,])", "0", plain)
    letters = re.sub(r"(?<=[0-9])[lI](?=[0-9. ])|\b[lI](?=[0-9.,])", "1", letters)
    ended = re.sub(r"([0-9])[.,]+ ?(?=[^0-9., ])", r"\1 ", plain)
    for tried in (plain, letters, ended, re.sub(r"(?<=[a-z]) ?/ ?(?=[a-z])", "/", plain)):
        if tried != text and re.match(pattern(*kinds), tried):
            return f"write {tried}, if that is meant"
    return ""


def _plain(char: str) -> str:
    if char in VULGAR or char.isascii():
        return char
    if unicodedata.decomposition(char).startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", char)
    digit = unicodedata.decimal(char, None)
    return char if digit is None else str(digit)


def _odd_number(kinds: tuple[str, ...], text: str) -> str:
    if re.match(r"[\d.,]+[eE][+-]?\d", text):
        return "write the number out in full, without an exponent"
    if re.match(r"\d+_\d|\d[\d.,]*[.,]\d*[.,]|\d+ ?[.,] ?\d", text) and not _starts(text):
        return "write the number with one decimal point and nothing between its digits"
    if re.match(r",\d", text):
        return "write a nought before the comma"
    if re.match(r"\d+/0", text):
        return "write a fraction that is not over nought"
    if not re.match(r"[0-9.½¼¾⅓⅔⅛⅜⅝⅞]", text):
        return "start with a number in the digits 0 to 9"
    return ""


def _starts(text: str) -> bool:
    """Whether the text starts with a right number, and something else than digits follows."""
    match = _NUMBER_FIRST.match(text)
    return bool(match) and not re.match(r"[0-9.,_]", match[2]) if match else False


def _unit(kinds: tuple[str, ...], text: str) -> str:
    match = _NUMBER_FIRST.match(text)
    if not match:
        return ""
    value, unit = match[1], match[2].strip()
    if not unit:
        return f"say the unit: {value} {_usual(kinds)}, if that is meant"
    if unit.lower().rstrip(".") in VOLUMES:
        return "that is a volume, and loose fibre has no fixed one: weigh it"
    other = next((k for k in UNITS if unit in UNITS[k] and not _reads(kinds, unit)), None)
    if other:
        return f"{unit} is the unit of {NAMES[other]}"
    if not re.match(NOT_ZERO, value) and kinds[0] not in ("position", "temperature"):
        return ONE if re.search(r"[1-9]", unit) else _NOTHING
    foreign = _foreign(kinds, unit)
    close = None if foreign else _unit_of(kinds, unit)
    if close:
        return f"write {value} {close}, if that is meant"
    return foreign or _joined(kinds, value, unit) or _listed(kinds)


def _foreign(kinds: tuple[str, ...], unit: str) -> str:
    many, read = ELSEWHERE.get(unit.lower().rstrip("."), (0, ""))
    return f"{unit} is not read; one is {many} {read}" if _reads(kinds, read) else ""


def _joined(kinds: tuple[str, ...], value: str, rest: str) -> str:
    """Two amounts in one text: their sum in the second unit; or an amount and a remark."""
    match = re.fullmatch(rf"([^\d\s.,]+) ?({NUMBER}) ?([^\d\s.,]+)", rest)
    if match:
        return _sum(kinds, value, *match.groups())
    first, *words = rest.split()
    if not words or not _reads(kinds, first):
        return ONE if re.search(rf"[0-9{''.join(VULGAR)}]", rest) else ""
    if re.fullmatch(r"[0-9.,/ ]+", "".join(words)):
        return f"say the unit of {' '.join(words)} too, or write it as one amount"
    hint = HINTS.get(words[-1], "the rest has a key of its own, or can go into a note")
    return f"write {value} {first} alone; {hint}"


def _sum(kinds: tuple[str, ...], value: str, big: str, more: str, small: str) -> str:
    for kind in kinds:
        units = UNITS[kind]
        if big in units and small in units and kind != "temperature":
            unit = min((small, big), key=units.__getitem__)
            try:
                total = number(value, big) * units[big] + number(more, small) * units[small]
            except Refused as refused:
                return refused.mend
            said = f"{total / units[unit]:.4f}".rstrip("0").rstrip(".")
            if not total:
                return _NOTHING
            return f"write it in one unit: {said} {unit}" if said != "0" and len(said) < 12 else ONE
    return ONE


def _reads(kinds: tuple[str, ...], unit: str) -> bool:
    return any(unit in UNITS[k] for k in kinds)


def _usual(kinds: tuple[str, ...]) -> str:
    """The unit of the first example: what a number without one most likely is in."""
    return EXAMPLES[kinds[0]].split(" or ")[0].split(" ", 1)[-1]


def _unit_of(kinds: tuple[str, ...], unit: str) -> str | None:
    """The unit that this word most likely means, if any."""
    known = [u for k in kinds for u in UNITS[k]]
    plain = unit.lower().rstrip(".:;,)")
    plain = ALSO.get(plain, plain)
    close = next((u for u in known if u.lower() == plain), None)
    if close or re.search(r"[0-9]", re.sub(r"[^ 0-9]\^?2$", "", unit)) or len(unit.split()) > 2:
        return close
    return nearest(unit, known, 0.75)


def _listed(kinds: tuple[str, ...]) -> str:
    plain = [u for k in kinds for u in UNITS[k] if len(u) > 1 or u.isalpha()]
    return "units known here: " + ", ".join(plain[:14])
