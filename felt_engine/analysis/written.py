"""How a figure is written: its unit, its last digit, and the same digits with another unit.

Factors: NIST SP 811 (2008), appendix B. The reader has a table of its own; a test holds them equal.
"""

from __future__ import annotations

import re

import attrs

from felt_engine.analysis.say import INCH, OUNCE
from felt_engine.model.amount import Amount

_G, _OZ, _LB, _KG, _MG = "g", "oz", "lb", "kg", "mg"
FACTORS: dict[str, dict[str, float]] = {
    "weight": {_MG: 1e-6, _G: 1e-3, _KG: 1.0, _OZ: OUNCE, _LB: 16 * OUNCE},
    "length": {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": INCH, "ft": 12 * INCH, "yd": 36 * INCH},
    "areal": {
        "g/m²": 1e-3, "kg/m²": 1.0, "oz/yd²": OUNCE / (36 * INCH) ** 2,
        "oz/ft²": OUNCE / (12 * INCH) ** 2, "g/ft²": 1e-3 / (12 * INCH) ** 2,
    },
}  # fmt: skip
"""One unit in SI, by kind and unit word."""

IMPERIAL = ("oz", "lb", "in", "ft", "yd", "oz/yd²", "oz/ft²", "g/ft²")
VULGAR = {"½": 2, "¼": 4, "¾": 4, "⅓": 3, "⅔": 3, "⅛": 8, "⅜": 8, "⅝": 8, "⅞": 8}

_NUMBER = re.compile(r"([0-9]+)/([0-9]+)|([0-9]*)[.,]([0-9]+)|([0-9]+)|([½¼¾⅓⅔⅛⅜⅝⅞])")


def unit(amount: Amount) -> str:
    """The unit that it is written in (the last one of ``2 lb 3 oz``), by its usual word."""
    table = FACTORS[amount.kind]
    if amount.unit in table:
        return amount.unit
    first = amount.unit.lower()
    for word, names in _ALSO.items():
        if word in table and first in names:
            return word
    return amount.unit


_ALSO = {
    "g": ("gram", "grams"), "oz": ("ounce", "ounces"), "lb": ("lbs", "pound", "pounds"),
    "in": ("inch", "inches", '"', "″", "”"), "ft": ("foot", "feet", "'", "′", "’"),
    "yd": ("yard", "yards"), "g/m²": ("g/m2", "gsm"), "kg/m²": ("kg/m2",),
    "oz/yd²": ("oz/yd2",), "oz/ft²": ("oz/ft2",), "g/ft²": ("g/ft2",),
}  # fmt: skip


def factor(amount: Amount) -> float:
    """One of the unit that it is written in, SI."""
    return FACTORS[amount.kind][unit(amount)]


def imperial(amount: Amount) -> bool:
    """Whether it is written in ounces, inches and the like."""
    return unit(amount) in IMPERIAL


def half_digit(amount: Amount) -> float:
    """Half of one in the last digit that is written, SI: what rounding may have taken off it.

    ``0.4 oz`` may be 0.35 to 0.45, ``12 g`` 11.5 to 12.5; of ``1/4 oz`` the quarter is the digit.
    Up to three noughts that end a whole number of mg or mm say no more than grams or metres would.
    """
    digits = amount.text.removesuffix(amount.unit)
    *_, last = _NUMBER.finditer(digits)
    part = 1.0
    if last[2]:
        part = 1 / int(last[2])
    elif last[4]:
        part = 10.0 ** -len(last[4])
    elif last[6]:
        part = 1 / VULGAR[last[6]]
    elif last[5] and unit(amount) in (_MG, "mm"):
        part = 10.0 ** min(3, len(last[5]) - len(last[5].rstrip("0")))
    return factor(amount) * part / 2


def is_sum(amount: Amount) -> bool:
    """Whether it is written in two units, as in ``2 lb 3 oz``."""
    return any(letter.isalpha() for letter in amount.text.removesuffix(amount.unit))


def shifted(amount: Amount, places: int) -> Amount | None:
    """The same digits with the decimal point so many places on; ``None`` for sums and fractions."""
    digits = amount.text.removesuffix(amount.unit).strip().replace(",", ".")
    if re.fullmatch(r"[0-9]*\.?[0-9]+", digits) is None:
        return None
    number = f"{float(digits) * 10.0**places:.12g}"
    if "e" in number:
        return None
    gap = " " if amount.text.removesuffix(amount.unit).endswith(" ") else ""
    return attrs.evolve(
        amount, text=f"{number}{gap}{amount.unit}", si=amount.si * 10.0**places
    )  # fmt: skip


def with_unit(amount: Amount, word: str, kind: str | None = None) -> Amount:
    """The same digits with another unit, of another kind if that is said. Not for sums."""
    kind = kind or amount.kind
    digits = amount.text.removesuffix(amount.unit).strip()
    return attrs.evolve(
        amount, text=f"{digits} {word}", si=amount.si / factor(amount) * FACTORS[kind][word],
        unit=word, kind=kind,
    )  # fmt: skip


__all__ = ["FACTORS", "factor", "half_digit", "imperial", "is_sum", "shifted", "unit", "with_unit"]
