"""A face as a grid of cells: what lies in each, averaged exactly from the patches that it was cut into."""

from __future__ import annotations

import math
from collections.abc import Iterable

from felt_engine.analysis.patches import Patch

Box = tuple[float, float, float, float]

MANY = 16
"""Cells along the side of a square: 19 mm on 305 mm, near the 25 mm over which laying varies."""

MOST, LEAST = 32, 8
"""Cells along the longer and the shorter side of what is long and narrow."""


def grid(wide: float, deep: float) -> tuple[int, int]:
    """How many cells from west to east and from south to north, about as wide as they are deep.

    Even numbers, so that the middle of a side lies between two cells.
    """
    long = min(MOST, 2 * round(MANY / 2 * math.sqrt(max(wide, deep) / min(wide, deep))))
    short = max(LEAST, 2 * round(MANY * MANY / 2 / long))
    return (long, short) if wide >= deep else (short, long)


class Cells:
    """A grid over a box (m), its cells numbered row by row from the south-west.

    ``counts`` are columns and rows; those of :func:`grid` if left out.
    """

    def __init__(self, box: Box, counts: tuple[int, int] | None = None) -> None:
        west, south, east, north = self.box = box
        self.columns, self.rows = columns, rows = counts or grid(east - west, north - south)
        self.wide, self.deep = (east - west) / columns, (north - south) / rows

    def areas(self, patches: Iterable[Patch]) -> dict[int, float]:
        """Area of some patches, all within the box, in each cell that they reach into, m²."""
        found: dict[int, float] = {}
        for patch in patches:
            self._add(patch, found)
        return found

    def _add(self, patch: Patch, found: dict[int, float]) -> None:
        low, high = patch.south - self.box[1], patch.north - self.box[1]
        first = max(0, math.floor(low / self.deep))
        last = min(self.rows - 1, math.floor(high / self.deep))
        a, b, c, d = (x - self.box[0] for x, _ in patch.corners)
        for row in range(first, last + 1):
            begin, end = max(low, row * self.deep), min(high, (row + 1) * self.deep)
            if end > begin:
                p, q = (begin - low) / (high - low), (end - low) / (high - low)
                left = a + (d - a) * p, a + (d - a) * q
                right = b + (c - b) * p, b + (c - b) * q
                self._row(row, end - begin, left, right, found)

    def _row(
        self, row: int, high: float, left: tuple[float, float], right: tuple[float, float],
        found: dict[int, float],
    ) -> None:  # fmt: skip
        """A trapezoid within one row of cells, by its ends at the row's foot and head."""
        first = max(0, math.floor(min(left) / self.wide))
        last = min(self.columns - 1, math.floor(max(right) / self.wide))
        before = 0.0
        for column in range(first, last + 1):
            line = (column + 1) * self.wide
            upto = high * (
                _west_of(line, *left) - _west_of(line, *right)
                if column < last
                else (sum(right) - sum(left)) / 2.0
            )
            if upto > before:
                cell = row * self.columns + column
                found[cell] = found.get(cell, 0.0) + upto - before
                before = upto


def _west_of(line: float, foot: float, head: float) -> float:
    """Mean distance by which an upright line lies east of a slanted one, where it does."""
    low, high = (foot, head) if foot < head else (head, foot)
    if line >= high:
        return line - (foot + head) / 2.0
    return (line - low) ** 2 / (2.0 * (high - low)) if line > low else 0.0
