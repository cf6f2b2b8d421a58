"""Recipes changed as a whole: scaled, turned by a quarter, or written in other units."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import attrs

from felt_engine import Amount, Direction, Piece, Point, Recipe, Size, Step, Zone

_INCH, _OUNCE = 0.0254, 0.028349523125
_OTHER: dict[str, tuple[str, float, float]] = {
    "weight": ("oz", _OUNCE, 0.001),
    "length": ("in", _INCH, 0.01),
    "areal": ("oz/yd²", _OUNCE / 0.9144**2, 0.001),
}
"""By kind: the unit of trade in inches and ounces, and the SI values of it and of the metric one."""
_METRIC = {"weight": "g", "length": "cm", "areal": "g/m²"}
_TURNED = {"south": "east", "east": "north", "north": "west", "west": "south"}


def each(value: Any, kind: type, change: Callable[[Any], Any]) -> Any:
    """The value with every part of this kind in it changed; what is equal stays the same object."""
    if type(value) is kind:
        return change(value)
    if type(value) is tuple:
        parts = tuple(each(one, kind, change) for one in value)
        return parts if any(a is not b for a, b in zip(parts, value, strict=True)) else value
    if not attrs.has(type(value)):
        return value
    found = {
        field.name: new
        for field in attrs.fields(type(value))
        if (new := each(old := getattr(value, field.name), kind, change)) is not old
    }
    return attrs.evolve(value, **found) if found else value


def other_units(recipe: Recipe) -> Recipe:
    """The same amounts, written in ounces and inches; those that were so in grams and cm."""

    def other(amount: Amount) -> Amount:
        if amount.kind not in _OTHER:
            return amount
        unit, trade, metric = _OTHER[amount.kind]
        is_metric = any(part in amount.unit for part in ("g", "m")) and "yd" not in amount.unit
        one = trade if is_metric else metric
        unit = unit if is_metric else _METRIC[amount.kind]
        return Amount(f"{amount.si / one:.12g} {unit}", amount.si, unit, amount.kind)

    return each(recipe, Amount, other)  # type: ignore[no-any-return]


def scaled(recipe: Recipe, by: float) -> Recipe | None:
    """A piece ``by`` times as wide and deep of the same build, or ``None``.

    Only for an even build: what depends on an absolute length (zones, rims, tufts, laps, a ruffled
    edge, a scale's step) is left out.
    """
    uneven = recipe.zones or recipe.resists or recipe.scale_step or recipe.totals
    if uneven or recipe.piece.outline == "ruffled":
        return None
    for layer in recipe.layers:
        if layer.tuft or layer.wraps or layer.turned_in:
            return None
        if any(one.past or one.short or one.divided_from for one in layer.placements):
            return None

    def larger(amount: Amount) -> Amount:
        factor = {"length": by, "weight": by * by}.get(amount.kind)
        if factor is None:
            return amount
        return attrs.evolve(amount, text=f"{factor:g} x {amount.text}", si=amount.si * factor)

    def sized(size: Size) -> Size:
        grown: Size = each(size, Amount, larger)
        return attrs.evolve(grown, text=f"{by:g} x {size.text}")

    def moved(point: Point) -> Point:
        grown: Point = each(point, Amount, larger)
        return attrs.evolve(grown, text=f"{by:g} x {point.text}")

    piece = each(each(recipe.piece, Size, sized), Point, moved)
    return attrs.evolve(recipe, piece=piece, layers=each(recipe.layers, Amount, larger))


def turned(recipe: Recipe) -> Recipe | None:
    """The recipe after a quarter turn anticlockwise, east to north; ``None`` off the table."""
    piece = recipe.piece
    if piece.over != "table" or recipe.resists:
        return None
    deep = piece.box[3]

    def spot(old: Point, reach: float = 0.0) -> Point:
        east = round(deep - old.north.si - reach, 9) + 0.0  # no less than nothing by rounding alone
        return Point(
            f"{east * 100:.6g} cm east, {old.east.text} north",
            Amount(f"{east * 100:.6g} cm", east, "cm", "length"),
            old.east,
        )

    def zone(old: Zone) -> Zone:
        size, at = old.size, old.at
        reach = 0.0
        if size is not None and old.shape == "rectangle":
            reach = size.sides[1]
        return attrs.evolve(
            old, along=_TURNED.get(old.along or "", old.along), size=None if size is None else
            _aside(size), at=None if at is None else spot(at, reach),
            corners=tuple(spot(one) for one in old.corners),
        )  # fmt: skip

    def laid(value: Any) -> Any:
        return each(value, Direction, _way)

    return attrs.evolve(
        recipe, piece=_piece(piece, tuple(spot(one) for one in piece.corners)),
        zones=tuple(zone(one) for one in recipe.zones), layers=laid(recipe.layers),
        work=tuple(_step(one) for one in recipe.work),
        tools=each(recipe.tools, Size, _aside) if recipe.tools else None,
    )  # fmt: skip


def _piece(piece: Piece, corners: tuple[Point, ...]) -> Piece:
    sizes: dict[str, Any] = {
        name: _aside(size)
        for name in ("laid_out", "finished")
        if (size := getattr(piece, name)) is not None
    }
    return attrs.evolve(piece, corners=corners, **sizes)


def _aside(size: Size) -> Size:
    if size.depth is None:
        return size
    return Size(f"{size.depth.text} x {size.width.text}", size.depth, size.width)


def _way(old: Direction) -> Direction:
    if old.bearing is None:
        return old
    bearing = (old.bearing + 90) % 180
    return Direction(f"bearing {bearing:g}°", old.way, bearing)


def _step(step: Step) -> Step:
    return attrs.evolve(step, edge=_TURNED.get(step.edge or "", step.edge))


__all__ = ["each", "other_units", "scaled", "turned"]
