"""Figures as text, always in both systems, so that a report does not depend on the recipe's units.

Factors: NIST SP 811 (2008), appendix B.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor, log10

OUNCE = 0.028349523125
INCH = 0.0254
NEAR_HALF = 0.05
"""How near to a half a number of centimetres is for the half to be shown, cm."""

OUNCE_PER_SQUARE_YARD = OUNCE / 0.9144**2


def up_at_half(value: float) -> float:
    """The value moved away from 0 by far less than any digit that is shown.

    An ounce and its grams differ in the last bits; where a figure lies half-way between two
    roundings (0.72 oz is 20.41165665 g), both are to be rounded the same way.
    """
    return value * (1 + 2e-13)


def _round(value: float, digits: int) -> str:
    """Shortest text with this many digits that count, without an exponent."""
    if value == 0:
        return "0"
    value = up_at_half(value)
    places = max(0, digits - 1 - floor(log10(abs(value))))
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def grams(kg: float) -> str:
    """Weight in grams, three digits or to 0.01 g."""
    g = up_at_half(kg * 1000)
    return f"{g:.2f}" if g < 10 else f"{g:.1f}" if g < 1000 else f"{g:.0f}"


def ounces(kg: float) -> str:
    """Weight in ounces."""
    oz = up_at_half(kg / OUNCE)
    return f"{oz:.3f}" if oz < 1 else f"{oz:.2f}" if oz < 100 else f"{oz:.1f}"


LEAST = 5e-6
"""Weight below which grams with two decimals are nought, kg."""


def weight(kg: float) -> str:
    """Weight in g and oz; in mg alone where neither would show it."""
    if 0 < kg < LEAST:
        return f"{kg * 1e6:.3g} mg" if kg >= 1e-9 else "less than 0.001 mg"
    return f"{grams(kg)} g ({ounces(kg)} oz)"


def areal(value: float) -> str:
    """Weight per area, from kg/m², in g/m² and oz/yd²."""
    return f"{_round(value * 1000, 3)} g/m² ({_round(value / OUNCE_PER_SQUARE_YARD, 2)} oz/yd²)"


def areal_at_least(value: float) -> str:
    """The same, each figure rounded up: whoever lays so much has laid enough."""
    return _areal(value, ceil)


def areal_at_most(value: float) -> str:
    """The same, each figure rounded down: whoever lays no more hasn't laid too much."""
    return _areal(value, floor)


def _areal(value: float, way: Callable[[float], int]) -> str:
    pair = ((value * 1000, 3, "g/m²"), (value / OUNCE_PER_SQUARE_YARD, 3, "oz/yd²"))
    grams_, ounces_ = (
        f"{_round(_to(one, digits, way), digits)} {unit}" for one, digits, unit in pair
    )
    return f"{grams_} ({ounces_})"


def weight_at_least(kg: float) -> str:
    """Weight in g and oz, each rounded up to three digits that count (two of oz below one)."""
    return _weight(kg, ceil)


def weight_at_most(kg: float) -> str:
    """The same, each rounded down."""
    return _weight(kg, floor)


def _weight(kg: float, way: Callable[[float], int]) -> str:
    g, oz = (_round(_to(one, 3, way), 3) for one in (kg * 1000, kg / OUNCE))
    return f"{g} g ({oz} oz)"


def _to(value: float, digits: int, way: Callable[[float], int]) -> float:
    """The next figure that way with this many digits that count, or the value if it has no more."""
    if value <= 0:
        return value
    step = 10.0 ** (floor(log10(value)) - digits + 1)
    return way(round(value / step, 9)) * step


def length(metres: float) -> str:
    """Length in cm (mm below 1 cm, m from 10 m) and inches; below 1 m to the half centimetre."""
    inches = f"{_round(metres / INCH, 2)} in"
    if metres < 0.01:
        return f"{_round(metres * 1000, 2)} mm ({inches})"
    if metres >= 10:
        return f"{_round(metres, 3)} m ({inches})"
    cm = metres * 100
    half = -NEAR_HALF <= round(up_at_half(cm) % 1 - 0.5, 9) < NEAR_HALF
    return f"{_round(cm, 3 if metres >= 1 or half else 2)} cm ({inches})"


def length_at_least(metres: float) -> str:
    """The same, each figure rounded up: two digits in mm, cm or m, three from 1 m, two in inches."""
    return _length(metres, ceil)


def length_at_most(metres: float) -> str:
    """The same, each figure rounded down."""
    return _length(metres, floor)


def _length(metres: float, way: Callable[[float], int]) -> str:
    digits = 3 if metres >= 1 else 2
    scale, unit = (1000, "mm") if metres < 0.01 else (100, "cm") if metres < 10 else (1, "m")
    inches = f"{_round(_to(metres / INCH, digits, way), digits)} in"
    return f"{_round(_to(metres * scale, digits, way), digits)} {unit} ({inches})"


def figure(value: float, digits: int = 2) -> str:
    """A bare number with this many decimals."""
    return f"{up_at_half(value):.{digits}f}"


def size(width: float, depth: float) -> str:
    """Two sides in cm (m from 10 m) and inches."""
    inches = f"{_round(width / INCH, 2)} x {_round(depth / INCH, 2)} in"
    if max(width, depth) >= 10:
        return f"{_round(width, 3)} x {_round(depth, 3)} m ({inches})"
    sides = (_round(side * 100, 3 if side >= 1 else 2) for side in (width, depth))
    return f"{' x '.join(sides)} cm ({inches})"


def size_at_least(width: float, depth: float) -> str:
    """The same, each side rounded up."""
    inches = " x ".join(_round(_to(side / INCH, 2, ceil), 2) for side in (width, depth))
    scale, unit = (1, "m") if max(width, depth) >= 10 else (100, "cm")
    digits = [3 if side >= 1 else 2 for side in (width, depth)]
    sides = (
        _round(_to(side * scale, count, ceil), count)
        for side, count in zip((width, depth), digits, strict=True)
    )
    return f"{' x '.join(sides)} {unit} ({inches} in)"


def whole_percent(share: float) -> str:
    """A share in whole percent. What is just between two is told alike in every unit."""
    return f"{round(100 * share, 6):.0f} %"


def percent(share: float) -> str:
    """A share as a percentage."""
    return f"{_round(100 * share, 2)} %"


def percent_at_most(share: float, least: float = 0.0) -> str:
    """The same, rounded down: to whole per cent, or to a tenth where that is less than ``least``."""
    whole = floor(round(100 * share, 6))
    tenth = floor(round(1000 * share, 6)) / 10
    return f"{whole if whole >= 100 * least else tenth:g} %"


COMPASS = {
    0: "north-south", 45: "northeast-southwest", 90: "east-west", 135: "northwest-southeast",
}  # fmt: skip


def axis(bearing: float) -> str:
    """A bearing (degrees clockwise from north) as a compass word where it is near one."""
    turned = bearing % 180
    for mark, words in {**COMPASS, 180: "north-south"}.items():
        if abs(turned - mark) < 5:
            return words
    return f"bearing {turned:.0f}°"
