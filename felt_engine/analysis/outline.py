"""The shape that a flat piece tends to by itself: which edges draw in or bow out, which come out longer.

Each cell of the face (:mod:`cells`) wants to shrink by E = eps_m [[1 + t3 Rx, t3 Ry], [t3 Ry, 1 - t3 Rx]]
with its own weight, feltability and pull (:mod:`shrinkage`, before any swatch). The mean of that by
weight, Ebar, is taken exactly as F = exp(-Ebar); what is left of it in each cell stands against its
neighbours in :mod:`plane_stress`, as stiff as it's heavy, and moves the points by u: x = F (X + u).

This tells a tendency, not a drawing. Nothing here has been tested against measured felt, the hand's
own unevenness moves an edge by half a percent (:data:`BOW`), and tugging takes out as much. Whether a
margin that is thin all round draws in isn't decided: in this model its corners come in, not its middles.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import attrs

from felt_engine.analysis import plane_stress
from felt_engine.analysis.build import FaceBuild
from felt_engine.analysis.cells import Cells
from felt_engine.analysis.geometry import Polygon, area, bounds
from felt_engine.analysis.shrinkage import DIRECTION, HOLDS, STAGE_STRAIN
from felt_engine.analysis.strain import strain_at, weight_and_felts
from felt_engine.value import Value

BOW = 1.5
"""Least bow of a side, percent of its chord, that is told at firm on a piece of :data:`SIZE` or more.

Two and a half standard deviations of what ordinary laying does by itself, 0.6 % (simulated with a
scatter that was invented; nothing measured). It goes with the stage's strain.
"""

TAPER = 2.5
"""Least difference of two opposite sides, percent, that is told there: ordinary laying does 1.1 %."""

SIZE = 0.305
"""Side of the square, m, that these are for. On smaller pieces the same scatter counts for more:
in the same simulation half the side gave 1.6 times the noise. The limits are taken to grow as the
shorter side falls, which is a little more silent than that, and not to fall on larger pieces."""

DOUBT = (1.3, 0.6)
"""Doubt of a bow: the larger of this percentage, which goes as :data:`BOW` does, and this part of it."""

CURVE = 12
"""An outline of more corners than this is a curve and has no sides."""

SHORT = 0.25
"""Sides shorter than this part of the shorter side of the outline's box aren't looked at."""

BARELY = 1e-3
"""Part of a cell that must be laid for it to hold anything."""

SAME = 1e-9
"""Differences of strain below this are none."""

Point = tuple[float, float]
Tensor = tuple[float, float, float]
"""A strain: east-west, north-south, and the shear (the tensor's)."""


@attrs.frozen(eq=False, repr=False)
class Side(Value):
    """A straight side of the outline: its compass name, length as laid out and felted, m, and bow.

    ``bow`` is how far the felted side's middle lies off the line between its ends, in percent of that
    line, positive inwards; ``doubt`` the percentage by which it may be off either way.
    """

    name: str
    laid: float
    length: float
    bow: float
    doubt: float


@attrs.frozen(eq=False, repr=False)
class Shape(Value):
    """The shape tendency of one face at a stage.

    ``sides`` run anticlockwise from the outline's first corner. ``opposite`` has the numbers of sides
    that were laid out alike and face each other. ``strain`` is the mean by which the face shrinks,
    ``limits`` the least bow and the least difference of lengths, percent, that are told. Where
    nothing can be told ``untold`` says why and there are no sides.
    """

    stage: str
    sides: tuple[Side, ...] = ()
    opposite: tuple[tuple[int, int], ...] = ()
    strain: Tensor = (0.0, 0.0, 0.0)
    limits: tuple[float, float] = (BOW, TAPER)
    untold: str = ""

    def longer(self, one: int, two: int) -> float:
        """By how many percent a side comes out longer than another; negative if shorter."""
        return 100.0 * (self.sides[one].length / self.sides[two].length - 1.0)


def shape_tendency(face: FaceBuild, stage: str) -> Shape:
    """What an uneven layout does to the outline of a face. KeyError for an unknown stage.

    Bow and limits go with the stage's strain alike, so where a recipe doesn't state a stage, the words
    for ``firm`` do. Nothing is told for a ball, which has no outline; for a flat resist, whose faces
    hold each other all along the edge, so that neither is free to bow as a sheet on the table is; and
    for a curved outline, since how far hand-laying puts that out of round isn't known. Whether the
    words matter on a piece that is blocked, cut or meant to be free is for the caller to say.
    """
    usual = STAGE_STRAIN[stage]
    corners = straight(face.face.edge)
    untold = _untold(face, corners)
    if untold:
        return Shape(stage, untold=untold)
    cells = Cells(bounds(face.face.edge))
    finish = Finish(cells, *contents(face, cells, stage))
    noise = usual / STAGE_STRAIN["firm"] * max(1.0, SIZE / face.shorter_side)
    sides = tuple(sides_of(corners, finish, noise * DOUBT[0], SHORT * face.shorter_side))
    return Shape(
        stage, sides, _opposite(sides) if len(corners) == 4 else (), finish.strain,
        (BOW * noise, TAPER * noise), "" if sides else "too little lies along its edges",
    )  # fmt: skip


def _untold(face: FaceBuild, corners: Polygon) -> str:
    if face.name != "whole":
        return "the faces hold each other at the edge of the resist"
    if not any(place.region.patches for place in face.places):
        return "it's worked over a ball"
    if len(corners) > CURVE:
        return "its outline is a curve"
    return ""


def straight(edge: Polygon) -> Polygon:
    """An outline without corners at which it doesn't turn."""
    ring = (edge[-1], *edge, edge[0])
    return tuple(
        at for before, at, after in zip(ring[:-2], edge, ring[2:], strict=True)
        if abs(area((before, at, after))) > 1e-6 * math.dist(before, at) * math.dist(at, after)
    )  # fmt: skip


def wants(areal: float, felts: float, pull: complex, stage: str) -> Tensor:
    """By how much fibre of this weight (kg/m²), feltability and pull would shrink by itself.

    A weight outside the range in which the model is meant to hold counts as the nearest within it.
    """
    mean = strain_at(min(max(areal, HOLDS[0]), HOLDS[1]), felts, stage)
    more = DIRECTION[0] * pull.real
    return mean * (1.0 + more), mean * (1.0 - more), mean * DIRECTION[0] * pull.imag


def contents(face: FaceBuild, cells: Cells, stage: str) -> tuple[list[float], list[Tensor]]:
    """Weight in each cell (kg) and what it wants; averaged over what is laid there."""
    count = cells.columns * cells.rows
    laid, mass, felting = ([0.0] * count for _ in range(3))
    pulling = [0j] * count
    for place in face.places:
        areal, felts = weight_and_felts(place.stack)
        if areal:
            held = areal * felts
            for cell, size in cells.areas(place.region.patches).items():
                laid[cell] += size
                mass[cell] += size * areal
                felting[cell] += size * held
                pulling[cell] += size * held * place.pull
    least = BARELY * cells.wide * cells.deep
    wanted: list[Tensor] = []
    for cell, size in enumerate(laid):
        if size < least:
            mass[cell] = 0.0
            wanted.append((0.0, 0.0, 0.0))
        else:
            pull = pulling[cell] / felting[cell] if felting[cell] else 0j
            wanted.append(wants(mass[cell] / size, felting[cell] / mass[cell], pull, stage))
    return mass, wanted


class Finish:
    """Where the points of a face come to lie, from each cell's weight (kg) and what it wants."""

    def __init__(self, cells: Cells, mass: Sequence[float], wanted: Sequence[Tensor]) -> None:
        self.cells, self.mass = cells, mass
        total = sum(mass)
        self.strain: Tensor = (0.0, 0.0, 0.0)
        if total:
            xx, yy, xy = (
                sum(m * e[k] for m, e in zip(mass, wanted, strict=True)) for k in range(3)
            )
            self.strain = (xx / total, yy / total, xy / total)
        self.shrunk = _exponential(self.strain)
        xx, yy, xy = self.strain
        rest = [
            (xx - e[0], yy - e[1], 2.0 * (xy - e[2])) if m else (0.0, 0.0, 0.0)
            for m, e in zip(mass, wanted, strict=True)
        ]
        self.moved: tuple[list[float], list[float]] | None = None
        if any(abs(one) > SAME for e in rest for one in e):
            body = plane_stress.Body(cells.columns, cells.rows, cells.wide, cells.deep, mass)
            self.moved = body.settle(rest)

    def point(self, at: Point, towards: Point) -> Point | None:
        """Where a point comes to lie; ``None`` where nothing is laid.

        A point between two cells is taken as part of the one on the side of ``towards``.
        """
        across = (at[0] - self.cells.box[0]) / self.cells.wide
        up = (at[1] - self.cells.box[1]) / self.cells.deep
        column = _cell(across, towards[0] - at[0], self.cells.columns)
        row = _cell(up, towards[1] - at[1], self.cells.rows)
        if not self.mass[row * self.cells.columns + column]:
            return None
        x, y = at
        if self.moved:
            weights = _weights(across - column, up - row)
            node = row * (self.cells.columns + 1) + column
            nodes = (node, node + 1, node + self.cells.columns + 1, node + self.cells.columns + 2)
            x += sum(w * self.moved[0][n] for w, n in zip(weights, nodes, strict=True))
            y += sum(w * self.moved[1][n] for w, n in zip(weights, nodes, strict=True))
        xx, yy, xy = self.shrunk
        return xx * x + xy * y, xy * x + yy * y


def _cell(at: float, towards: float, count: int) -> int:
    """The cell that holds a place in a row of cells; on a line, the one on the side asked for."""
    line = round(at)
    if abs(at - line) < 1e-6:
        return min(max(line if towards > 0 else line - 1, 0), count - 1)
    return min(max(math.floor(at), 0), count - 1)


def _weights(across: float, up: float) -> tuple[float, float, float, float]:
    return (1 - across) * (1 - up), across * (1 - up), (1 - across) * up, across * up


def _exponential(strain: Tensor) -> Tensor:
    """exp(-E) of a symmetric 2 x 2 tensor."""
    xx, yy, xy = strain
    half = (xx - yy) / 2.0
    away = math.hypot(half, xy)
    even = math.exp(-(xx + yy) / 2.0)
    turn = -even * (math.sinh(away) / away if away else 1.0)
    even *= math.cosh(away)
    return even + turn * half, even - turn * half, turn * xy


WINDS = ("east", "northeast", "north", "northwest", "west", "southwest", "south", "southeast")


def sides_of(corners: Polygon, finish: Finish, doubt: float, least: float) -> Iterator[Side]:
    """The sides of an outline that are at least so long (m) and have something laid along them."""
    for a, b in pairwise((*corners, corners[0])):
        along, up = b[0] - a[0], b[1] - a[1]
        laid = math.hypot(along, up)
        if laid < least:
            continue
        middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        inner = (middle[0] - up, middle[1] + along)
        first, half, last = (
            finish.point(a, inner),
            finish.point(middle, inner),
            finish.point(b, inner),
        )
        if first and half and last:
            x, y = last[0] - first[0], last[1] - first[1]
            length = math.hypot(x, y)
            bow = 100.0 * (x * (half[1] - first[1]) - y * (half[0] - first[0])) / length**2
            wind = WINDS[round(math.atan2(-along, up) / (math.pi / 4.0)) % 8]
            yield Side(wind, laid, length, bow, max(doubt, DOUBT[1] * abs(bow)))


def _opposite(sides: Sequence[Side]) -> tuple[tuple[int, int], ...]:
    """Both pairs of a rectangle's or a slanted one's sides."""
    if len(sides) < 4 or any(
        abs(sides[k].laid - sides[k + 2].laid) > 1e-6 * sides[k].laid for k in (0, 1)
    ):
        return ()
    return (0, 2), (1, 3)
