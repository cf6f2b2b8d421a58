"""The piece that is made, and the zones that its layers name."""

from __future__ import annotations

from itertools import pairwise

import attrs

from felt_engine.model.amount import Amount, Point, Share, Size
from felt_engine.value import Value

_ALIKE = 1e-4
"""Part of a length, or of a right angle, by which none is told from another."""


@attrs.frozen(eq=False, repr=False)
class Piece(Value):
    """What is being made. ``None`` means that the recipe does not say."""

    title: str
    shape: str
    laid_out: Size | None = None
    corners: tuple[Point, ...] = ()
    use: str | None = None
    over: str = "table"
    count: int = 1
    amounts_for: str | None = None
    outline: str | None = None
    finished: Size | None = None
    shrinkage: Share | None = None
    stage: str | None = None
    shows: tuple[str, ...] = ()
    note: str | None = None

    @property
    def box(self) -> tuple[float, float, float, float]:
        """West, south, east and north end of the laid-out size, m; of a polygon those of its corners."""
        if self.laid_out is not None:
            return 0.0, 0.0, *self.laid_out.sides
        east = [corner.east.laid for corner in self.corners]
        north = [corner.north.laid for corner in self.corners]
        return min(east), min(north), max(east), max(north)

    @property
    def sides(self) -> tuple[float, float]:
        """Laid-out width and depth, m; of a polygon those of its box."""
        west, south, east, north = self.box
        return east - west, north - south

    @property
    def form(self) -> str:
        """Its shape, however that was written: four square corners are a rectangle, an oval as deep as wide
        is a round."""
        if self.shape == "oval":
            width, depth = self.sides
            return "round" if abs(width - depth) <= _ALIKE * width else "oval"
        if self.shape == "polygon":
            ends = [complex(corner.east.laid, corner.north.laid) for corner in self.corners]
            turns = [turn for turn in _turns(ends) if abs(turn.imag) > _ALIKE * abs(turn)]
            square = all(abs(turn.real) <= _ALIKE * abs(turn) for turn in turns)
            if square and len(turns) == 4 and len({turn.imag > 0 for turn in turns}) == 1:
                return "rectangle"
        return self.shape

    @property
    def faces(self) -> tuple[str, ...]:
        """The faces that are laid apart: two on a flat resist, else one."""
        return ("front", "back") if self.over == "flat resist" else ("whole",)

    @property
    def surfaces(self) -> tuple[str, str]:
        """The names of the first-laid and the last-laid surface."""
        return ("bottom", "top") if self.over == "table" else ("inside", "outside")

    @property
    def shown(self) -> tuple[str, ...]:
        """The surfaces that are said to show, in the order of laying, in whatever order they are said."""
        return tuple(surface for surface in self.surfaces if surface in self.shows)


def _turns(ends: list[complex]) -> list[complex]:
    """How the outline turns at each corner: sides on either side of it, one against the other."""
    ways = [end - before for before, end in pairwise((ends[-1], *ends))]
    return [way * before.conjugate() for before, way in pairwise((ways[-1], *ways))]


@attrs.frozen(eq=False, repr=False)
class Zone(Value):
    """A named part of the piece. Which fields count depends on ``shape``."""

    name: str
    shape: str
    along: str | None = None
    start: Amount | None = None
    end: Amount | None = None
    width: Amount | None = None
    size: Size | None = None
    at: Point | None = None
    corners: tuple[Point, ...] = ()
    note: str | None = None


@attrs.frozen(eq=False, repr=False)
class Resist(Value):
    """Something laid between two layers that keeps them apart: a pocket, a flap, a crater.

    ``face`` is the one face of a flat resist that it lies on; ``None`` is both, or the only one.
    """

    name: str
    above: str
    zone: str = "whole"
    makes: str | None = None
    note: str | None = None
    face: str | None = None

    def lies_on(self, face: str) -> bool:
        """Whether it lies on the face of this name (``whole`` is the only one that a piece has)."""
        return self.face is None or face in ("whole", self.face)
