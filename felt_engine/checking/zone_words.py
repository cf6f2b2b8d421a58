"""Where a zone lies, measured, in words and in both systems: for the table beside a drawing."""

from __future__ import annotations

from felt_engine.model.amount import Amount, Point, Size
from felt_engine.model.piece import Zone

INCH = 0.0254


def measured(metres: float) -> str:
    """A length to lay by: to the millimetre, and to the tenth of an inch."""
    cm = f"{metres * 100:.1f}".rstrip("0").rstrip(".")
    inches = f"{metres / INCH:.1f}".removesuffix(".0")
    return f"{cm} cm ({inches} in)"


def _size(size: Size) -> str:
    if size.depth is None:
        return f"{measured(size.width.si)} across"
    return f"{measured(size.width.si)} wide, {measured(size.depth.si)} deep"


def _point(point: Point) -> str:
    return f"{measured(point.east.si)} east, {measured(point.north.si)} north"


def _from(start: Amount | None, end: Amount | None, side: str) -> str:
    assert end is not None
    if start is None or not start.si:
        return f"{measured(end.si)} deep along the {side} edge"
    return f"from {measured(start.si)} to {measured(end.si)} off the {side} edge"


def zone_words(zone: Zone) -> str:
    """Such as “band 18 cm (7.1 in) deep along the north edge”. Points count from the near left."""
    if zone.shape == "band":
        return f"band {_from(zone.start, zone.end, str(zone.along))}"
    if zone.shape in ("rim", "middle"):
        assert zone.width is not None
        frame = f"a frame {measured(zone.width.si)} wide all round"
        return frame if zone.shape == "rim" else f"all but {frame}"
    if zone.corners:
        return "corners at " + "; ".join(_point(corner) for corner in zone.corners)
    assert zone.size is not None and zone.at is not None
    anchor = "near left corner" if zone.shape == "rectangle" else "centre"
    return f"{zone.shape} {_size(zone.size)}, {anchor} {_point(zone.at)}"


__all__ = ["measured", "zone_words"]
