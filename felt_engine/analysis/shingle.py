"""A shingled layer as it lies on a face: lengths along and across the fibre, and its rows."""

from __future__ import annotations

import math

import attrs

from felt_engine.analysis.build import FaceBuild, Place
from felt_engine.analysis.rows import NEXT_TUFT, OVERLAP, Rows, overlap_to_fill, shingle_rows
from felt_engine.analysis.stack import Laid
from felt_engine.model.layup import Layer
from felt_engine.value import Value, kept


@attrs.frozen(eq=False, repr=False)
class Shingled(Value):
    """A layer laid in rows: what it has to fill on a face, m, and what the recipe says of its rows.

    Where it has several zones, that is the shortest of them.

    ``along`` and ``across`` the fibre; ``tuft`` is a tuft's length along it, ``wide`` its width.
    ``overlap`` and ``taper`` are shares of a tuft, ``count`` the number of rows. ``None`` is unsaid.
    """

    layer: Layer
    along: float
    across: float
    tuft: float | None
    wide: float | None
    overlap: float | None
    taper: float | None
    count: int | None

    @property
    def rows(self) -> Rows | None:
        """Its rows: as many as are said if they fill it, else as many as it takes."""
        if self.tuft is None:
            return None
        if self.count is not None:
            fitted = overlap_to_fill(self.count, self.along, self.tuft)
            if 0 <= fitted < 1:
                return Rows(self.count, fitted, self.tuft * (1 - fitted))
        overlap = OVERLAP if self.overlap is None else self.overlap
        return shingle_rows(self.along, self.tuft, overlap)

    @property
    def tufts(self) -> Rows | None:
        """The tufts of one row, side by side."""
        return None if self.wide is None else shingle_rows(self.across, self.wide, NEXT_TUFT)


@kept
def shingled(face: FaceBuild, number: int) -> Shingled | None:
    """Layer ``number`` (from 0) on a face, all its amounts together.

    ``None`` where it isn't laid there, isn't laid in rows, or has no one direction. A layer counts as
    shingled if it says so, or if it says an overlap, a taper or a number of rows.
    """
    found = next((laid for laid, _ in face.laid if laid.key[0] == number and not laid.turned), None)
    if found is None or found.angle is None or not is_shingled(found.layer):
        return None
    layer = found.layer
    along, across = _extents(face, number, found)
    size = layer.tuft
    long = size.depth if size is not None else None
    return Shingled(
        layer, along, across,
        None if long is None else long.si,
        None if size is None else size.width.si,
        None if layer.overlap is None else layer.overlap.value / 100,
        None if layer.taper is None else layer.taper.value / 100,
        layer.rows,
    )  # fmt: skip


def is_shingled(layer: Layer) -> bool:
    """Whether a layer says that it is laid in rows."""
    if layer.lay is not None:
        return layer.lay == "shingle"
    return any(one is not None for one in (layer.overlap, layer.taper, layer.rows))


def _extents(face: FaceBuild, number: int, laid: Laid) -> tuple[float, float]:
    """How far a layer reaches along and across its fibre, within the outline, in its shortest zone.

    Who writes of rows in a layer of several zones may mean the rows of each.
    """
    assert laid.angle is not None
    x, y = math.cos(laid.angle), math.sin(laid.angle)
    if all(one.zone == "whole" and one.short is None for one in laid.layer.placements):
        return _spread([_within(corner, face) for corner in face.face.edge], x, y)
    zones: dict[str, list[tuple[float, float]]] = {}
    for place in face.places:
        here = {
            one.placement.zone for one in place.stack if one.key[0] == number and not one.turned
        }
        for zone in here:
            zones.setdefault(zone, []).extend(_corners(place))
    return min(_spread(corners or list(face.face.edge), x, y) for corners in zones.values())


@kept
def _corners(place: Place) -> tuple[tuple[float, float], ...]:
    """The corners of all patches of a place, each once."""
    corners = (corner for patch in place.region.patches for corner in patch.corners)
    return tuple(_within(corner, place.face) for corner in dict.fromkeys(corners))


def _within(corner: tuple[float, float], face: FaceBuild) -> tuple[float, float]:
    """A corner, not beyond the laid-out size (a curve's polygon has the curve's area)."""
    x, y = corner
    west, south, east, north = face.face.box
    return (
        west if x < west else east if x > east else x,
        south if y < south else north if y > north else y,
    )


def _spread(corners: list[tuple[float, float]], x: float, y: float) -> tuple[float, float]:
    """Extent along a direction and across it, to a nanometre."""
    along = [a * x + b * y for a, b in corners]
    across = [b * x - a * y for a, b in corners]
    return round(max(along) - min(along), 9), round(max(across) - min(across), 9)


__all__ = ["Shingled", "is_shingled", "shingled"]
