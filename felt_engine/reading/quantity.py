"""The grammar of quantities: small, strict, and the same in the schema and in the reader.

A number is ``12``, ``1.5``, ``1,5`` (one or two digits after the comma), ``1/2``, ``1 1/2`` or
``1½``; then one unit from the table. ``3 ft 4 in`` and ``2 lb 3 oz`` are read as sums. A text that
could mean two things (``1,500 g``, ``70/75 °C``) is refused with both meanings. A no-break blank, as
web pages have it, counts as a blank. Factors: NIST SP 811 (2008), appendix B; the tests compare each
with pint's.
"""

from __future__ import annotations

import re
from functools import lru_cache

from felt_engine.model.amount import RANGES, Amount

OUNCE = 0.028349523125
POUND = 0.45359237
INCH = 0.0254
FOOT = 0.3048
YARD = 0.9144

UNITS: dict[str, dict[str, float]] = {
    "weight": {
        "mg": 1e-6, "g": 1e-3, "gram": 1e-3, "grams": 1e-3, "kg": 1.0,
        "oz": OUNCE, "ounce": OUNCE, "ounces": OUNCE,
        "lb": POUND, "lbs": POUND, "pound": POUND, "pounds": POUND,
    },
    "length": {
        "mm": 1e-3, "cm": 1e-2, "m": 1.0,
        "in": INCH, "inch": INCH, "inches": INCH, '"': INCH, "″": INCH, "”": INCH,
        "ft": FOOT, "foot": FOOT, "feet": FOOT, "'": FOOT, "′": FOOT, "’": FOOT,
        "yd": YARD, "yard": YARD, "yards": YARD,
    },
    "areal": {
        "g/m²": 1e-3, "g/m2": 1e-3, "gsm": 1e-3, "kg/m²": 1.0, "kg/m2": 1.0,
        "oz/yd²": OUNCE / YARD**2, "oz/yd2": OUNCE / YARD**2,
        "oz/ft²": OUNCE / FOOT**2, "oz/ft2": OUNCE / FOOT**2,
        "g/ft²": 1e-3 / FOOT**2, "g/ft2": 1e-3 / FOOT**2,
    },
    "fineness": {
        "um": 1e-6, "µm": 1e-6, "μm": 1e-6,
        "micron": 1e-6, "microns": 1e-6, "micrometre": 1e-6, "micrometres": 1e-6,
    },
    "time": {
        "s": 1.0, "second": 1.0, "seconds": 1.0, "min": 60.0, "minute": 60.0, "minutes": 60.0,
        "h": 3600.0, "hour": 3600.0, "hours": 3600.0, "day": 86400.0, "days": 86400.0,
    },
    "temperature": {"°C": 1.0, "C": 1.0, "°F": 5 / 9, "F": 5 / 9},
}  # fmt: skip
UNITS["position"] = UNITS["length"]

_IMPERIAL = frozenset(
    unit for kind in ("weight", "length", "areal") for unit in UNITS[kind] if unit[0] not in "gkmc"
)
"""Units that are divided into eighths and sixteenths."""

EXAMPLES = {
    "weight": "12 g or 0.4 oz",
    "length": "4 cm or 1 1/2 in",
    "position": "4 cm or 1 1/2 in (0 cm is allowed)",
    "areal": "120 g/m² or 3.5 oz/yd²",
    "fineness": "19 um",
    "time": "10 min",
    "temperature": "40 °C or 104 °F",
}
NAMES = {
    "weight": "a weight", "length": "a length", "position": "a distance",
    "areal": "a weight per area", "fineness": "a fibre diameter", "time": "a time",
    "temperature": "a temperature",
}  # fmt: skip

VULGAR = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8,
          "⅝": 5 / 8, "⅞": 7 / 8}  # fmt: skip
_MARKS = "".join(VULGAR)

NUMBER = (
    r"(?:[0-9]{1,5} [1-9][0-9]{0,2}/[1-9][0-9]{0,2}|[1-9][0-9]{0,2}/[1-9][0-9]{0,2}"
    rf"|(?:[0-9]{{1,5}} ?)?[{_MARKS}]|0,[0-9]{{1,6}}|[0-9]{{1,7}},[0-9]{{1,2}}"
    r"|[0-9]{0,7}[.][0-9]{1,6}|[0-9]{1,7})"
)
"""Text of a number, as a regular expression that Python and ECMAScript read alike."""

BLANKS = "\u00a0\u2007\u2009\u202f"
"""What stands for a blank in text from the web: no-break, figure, thin and narrow no-break space."""
_TO_BLANKS = str.maketrans(dict.fromkeys(BLANKS, " "))

_FIGURES = r"[0-9., /]*"
NOT_ZERO = rf"(?={_FIGURES}[1-9{_MARKS}])"
END = r"$(?![\n])"


def blanked(text: str) -> str:
    """The text with plain blanks for those that the web has."""
    return text if text.isascii() else text.translate(_TO_BLANKS)


def widened(regex: str) -> str:
    """The same pattern with all of :data:`BLANKS` wherever it has a blank, for a schema."""
    pieces, inside = [], False
    for piece in re.findall(r"\\.|[^\\]", regex, re.DOTALL):
        inside = (inside or piece == "[") and piece != "]"
        blank = f" {BLANKS}" if inside else f"[ {BLANKS}]"
        pieces.append(blank if piece == " " else piece)
    return "".join(pieces)


def either(words: dict[str, float] | list[str]) -> str:
    """A group that matches any of these units, longest first; ECMAScript wants few escapes."""
    ordered = sorted(words, key=lambda w: (-len(w), w))
    return "(?:" + "|".join(re.sub(r"([.^$*+?()\[\]{}|\\])", r"\\\1", w) for w in ordered) + ")"


_SUMS = {"length": ("ft", "in"), "position": ("ft", "in"), "weight": ("lb", "oz")}
"""Pairs of units that are read together, as in ``3 ft 4 in``."""


def _same(kind: str, wanted: str) -> str:
    return either([u for u, f in UNITS[kind].items() if f == UNITS[kind][wanted]])


def body(kind: str, groups: bool = False) -> str:
    """The pattern of one quantity of this kind, without anchors; may be used inside others.

    With ``groups`` each number and each unit is a group.
    """
    wrap = "({})".format if groups else str
    a_number = wrap(NUMBER)
    simple = f"{a_number} ?{wrap(either(UNITS[kind]))}"
    if kind not in _SUMS:
        return simple if kind == "temperature" else NOT_ZERO + simple
    big, small = (_same(kind, unit) for unit in _SUMS[kind])
    # no blank, and no point that may be the unit's own: 2 lb.3 oz
    both = f"{a_number} ?{wrap(big)}(?: |(?![.])){a_number} ?{wrap(small)}"
    if kind == "position":
        return f"(?:{both}|{simple})"
    not_nothing = rf"(?=(?:{_FIGURES}{big} ?)?{_FIGURES}[1-9{_MARKS}])"
    return f"(?:{not_nothing}{both}|{NOT_ZERO}{simple})"


def pattern(*kinds: str) -> str:
    """The whole-text pattern for a quantity of any of these kinds."""
    return widened("^(?:" + "|".join(body(kind) for kind in kinds) + ")" + END)


@lru_cache(maxsize=64)
def _whole(kind: str) -> re.Pattern[str]:
    return re.compile(body(kind, groups=True))


class Refused(Exception):
    """A text that is no such quantity: why, and what would mend it."""

    def __init__(self, expected: str, mend: str, kind: str = "shape") -> None:
        super().__init__(expected, mend, kind)
        self.expected, self.mend, self.kind = expected, mend, kind


def number(text: str, unit: str = "") -> float:
    """The value of a text that matches :data:`NUMBER`.

    Refused for what may be no fraction (see :func:`check_fraction`).
    """
    if text[-1] in VULGAR:
        return (float(text[:-1]) if text[:-1].strip() else 0.0) + VULGAR[text[-1]]
    if "/" in text:
        whole, _, fraction = text.rpartition(" ")
        over, under = fraction.split("/")
        check_fraction(over, under, unit, whole)
        return (float(whole) if whole else 0.0) + int(over) / int(under)
    return float(text.replace(",", "."))


_BINARY = (16, 32, 64)
"""What an inch is divided into, beyond eighths."""


def check_fraction(over: str, under: str, unit: str, whole: str = "") -> None:
    """Refuse two figures and a stroke that may be no fraction, or not of this value.

    ``11/2`` is five and a half or, a blank forgotten, one and a half; ``70/75 °C`` says from 70 to 75.
    Halves, thirds, quarters and one part of any number are sure to be fractions; eighths, sixteenths and
    the like in units that are so divided.
    """
    top, parts = int(over), int(under)
    if whole or unit in ("", "parts"):
        usual = parts <= 12 or parts in (*_BINARY, 100)
    else:
        usual = parts <= 4 or (unit in _IMPERIAL and parts in (8, *_BINARY))
    if top >= parts:
        from felt_engine.reading.misread import RANGE, mixed

        mend = mixed(int(whole or 0), over, under, unit) if usual else RANGE
        raise Refused("a fraction below one, such as 1/2 or 1 1/2", mend, kind="limit")
    lowest = bool(whole) or parts <= 4 or unit not in _IMPERIAL or top % 2 == 1
    if not ((usual and lowest) or top == 1):
        from felt_engine.reading.misread import doubtful

        expected = "one figure, or a fraction such as 1/2"
        raise Refused(expected, doubtful(whole, over, under, unit), kind="limit")


_PLAIN = re.compile(r"([0-9]{1,7}(?:[.][0-9]{1,6})?) ?([^0-9.,/ ].*)")


def quick(kind: str, text: str) -> Amount | None:
    """A plain quantity (``12.5 g``) without compiling its kind's whole pattern, else ``None``.

    A short cut only: what it reads, the pattern reads alike.
    """
    match = _PLAIN.fullmatch(text)
    if match is None or kind == "temperature":
        return None
    factor = UNITS[kind].get(match[2])
    if factor is None:
        return None
    si = float(match[1]) * factor
    low, high, _ = RANGES[kind]
    if not low <= si <= high:
        return None
    return Amount(text=text, si=si, unit=match[2], kind="length" if kind == "position" else kind)


@lru_cache(maxsize=8192)
def parse(kind: str, text: str) -> Amount:
    """Read one quantity. Raises :class:`Refused` with the likely meaning if it is none."""
    text = blanked(text)
    plain = quick(kind, text)
    if plain is not None:
        return plain
    match = _whole(kind).fullmatch(text)
    if match is None:
        from felt_engine.reading.misread import explain

        raise explain(kind, text)
    units = UNITS[kind]
    parts = [part for part in match.groups() if part is not None]
    try:
        each = [number(v, u) * units[u] for v, u in zip(parts[::2], parts[1::2], strict=True)]
    except Refused as refused:
        if len(parts) == 2:
            raise
        from felt_engine.reading.misread import mixed_sum

        raise mixed_sum(parts, refused) from None
    unit = parts[-1]
    if len(parts) > 2 and each[1] >= units[parts[1]] * (1 - 1e-9):
        from felt_engine.reading.misread import carried

        raise carried(kind, parts)
    si = sum(each)
    if kind == "temperature":
        si += 273.15 if unit.endswith("C") else 459.67 * 5 / 9
    low, high, words = RANGES[kind]
    if not low * (1 - 1e-9) <= si <= high * (1 + 1e-9):
        raise Refused(f"{NAMES[kind]} from {words}", "check the number and its unit", kind="limit")
    return Amount(text=text, si=si, unit=unit, kind="length" if kind == "position" else kind)


def parse_any(kinds: tuple[str, ...], text: str) -> Amount:
    """Read a quantity of the first kind that fits."""
    text = blanked(text)
    for kind in kinds:
        plain = quick(kind, text)
        if plain is not None:
            return plain
    for kind in kinds:
        if _whole(kind).fullmatch(text):
            return parse(kind, text)
    from felt_engine.reading.misread import explain

    raise explain(kinds[0], text, kinds)
