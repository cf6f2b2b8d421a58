"""Figures that are compared, without what only the rounding of numbers has told apart."""

from __future__ import annotations

DIGITS = 12
"""Significant digits that are kept. A float has almost 16; sums of some hundred areas lose two or three."""

RANKED = 5
"""Significant digits that tell which of several sums is the greatest."""


def steady(value: float) -> float:
    """A length, weight, weight per area or share as it is compared with a limit, or with another.

    A piece that is turned on the table, moved, or written in other units has the same figure then.
    """
    return float(f"{value:.{DIGITS}g}")


def ranked(value: float) -> float:
    """A sum as it is ranked among others: what differs in portions alone is a tie."""
    return float(f"{value:.{RANKED}g}")


def width_of(area: float, around: float) -> float:
    """How wide a place is as it is compared: twice its area over its perimeter, to a nanometre.

    Areas are sums over patches, and where one is cut again, narrow slivers are left out.
    """
    return round(2 * area / around, 9)


def part_of(area: float, whole: float) -> float:
    """A part of an area as it is compared, 0 to 1: to a hundred-millionth.

    Areas are sums over patches, and where one is cut again, narrow slivers are left out.
    """
    return round(area / whole, 8) if whole else 0.0
