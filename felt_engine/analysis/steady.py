"""Figures that are compared, without what only the rounding of numbers has told apart."""

from __future__ import annotations

DIGITS = 12
"""Significant digits that are kept. A float has almost 16; sums of some hundred areas lose two or three."""


def steady(value: float) -> float:
    """A length, weight, weight per area or share as it is compared with a limit, or with another.

    A piece that is turned on the table, moved, or written in other units has the same figure then.
    """
    return float(f"{value:.{DIGITS}g}")
