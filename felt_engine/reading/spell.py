"""Quantities as text again, in the unit and the manner in which they were written."""

from __future__ import annotations

import re

from felt_engine.model.amount import Amount, Point, Size
from felt_engine.reading.quantity import UNITS

PLACES = {
    "mg": 0, "g": 2, "kg": 4, "oz": 3, "lb": 4, "mm": 0, "cm": 1, "m": 3, "in": 2, "ft": 3, "yd": 3,
}  # fmt: skip
"""Decimals for each unit: fine enough for a kitchen scale and a tape."""


def _standard(kind: str, unit: str) -> str:
    """The plain name of a unit: that of the same factor in the table of places."""
    factor = UNITS[kind][unit]
    return next(name for name in PLACES if UNITS[kind].get(name) == factor)


def _number(value: float, places: int, like: str) -> str:
    """A number of at least three digits that count, with a comma where ``like`` has one."""
    while places < 6 and value and abs(value) < 100 * 10.0**-places:
        places += 1
    text = f"{value:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    comma = re.search(r"[0-9],[0-9]", like) and "." not in like
    return text.replace(".", ",") if comma and len(text.partition(".")[2]) <= 2 else text


def _same(amount: Amount, value: float) -> bool:
    return abs(value - amount.si) <= 1e-9 * abs(amount.si)


def amount_text(amount: Amount, value: float, like: str | None = None) -> str:
    """A weight or length of this SI value, in the unit in which ``amount`` was written."""
    kind, unit = amount.kind, amount.unit
    if like is None and _same(amount, value):
        return amount.text
    like = amount.text if like is None else like
    number = _number(value / UNITS[kind][unit], PLACES[_standard(kind, unit)], like)
    close = re.search(rf"[0-9]{re.escape(unit)}", like)
    return f"{number}{'' if close else ' '}{unit}"


def size_text(size: Size, width: float, depth: float | None = None) -> str:
    """A size with these sides (m), written as ``size`` was."""
    if _same(size.width, width) and (depth is None or not size.depth or _same(size.depth, depth)):
        return size.text
    first = amount_text(size.width, width, size.text)
    if size.depth is None or depth is None:
        return first + (" across" if size.text.endswith(" across") else "")
    second = amount_text(size.depth, depth, size.text)
    if size.width.unit == size.depth.unit:
        first = first.removesuffix(size.width.unit).rstrip()
    return f"{first} x {second}"


def point_text(point: Point, east: float, north: float) -> str:
    """A place at these distances (m), written as ``point`` was."""
    if _same(point.east, east) and _same(point.north, north):
        return point.text
    return (
        f"{amount_text(point.east, east, point.text)} east, "
        f"{amount_text(point.north, north, point.text)} north"
    )


__all__ = ["amount_text", "point_text", "size_text"]
