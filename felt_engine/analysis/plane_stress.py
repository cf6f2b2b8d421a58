"""A free flat body whose parts want to shrink unlike each other: where its points end up.

Plane stress on a grid of equal rectangles, bilinear, integrated at 2 x 2 Gauss points; each cell has
one stiffness and one strain of its own (an eigenstrain: Mura, Micromechanics of Defects in Solids,
1982). Nothing holds the body, so it's solved up to how it lies. Elements: Hughes, The Finite Element
Method, 2000; conjugate gradients: Hestenes & Stiefel, 1952; all from memory.

A bilinear rectangle moves in six ways beside those of a rigid body: two stretches and a shear that
are even over the cell, and each of its two displacements bent over it. 2 x 2 Gauss points integrate
these exactly and apart, so that a cell's forces are a few sums. Plain lists of floats: 16 x 16 cells
are solved in less time than numpy takes to import.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from operator import add, mul

POISSON = 0.3
"""Poisson's ratio; felt's isn't known. From 0 to 0.45 the bows of the check numbers move by less than 5 %."""

CLOSE = 1e-4
"""Residual, as a part of the load, that is close enough: a bow is then off by 0.001 % of its side."""

Strain = tuple[float, float, float]
"""Lengthening east-west, north-south, and the shear (twice the tensor's)."""

Pulls = tuple[float, float, float, float, float, float]


class Body:
    """``columns`` x ``rows`` cells of one size (m), row by row from the south-west.

    A cell of stiffness 0 isn't there. Each row of cells is kept with an empty one at its end, so that
    cells and nodes count alike and all corners of the cells are slices of the nodes.
    """

    def __init__(
        self, columns: int, rows: int, wide: float, deep: float, stiffness: Sequence[float]
    ) -> None:
        self.columns, self.rows, self.line = columns, rows, columns + 1
        self.wide, self.deep = wide, deep
        self.nodes, self.cells = self.line * (rows + 1), self.line * rows - 1
        self.stiff = self._rows(stiffness)
        plain = 1.0 / (1.0 - POISSON * POISSON)
        slant = plain * (1.0 - POISSON) / 2.0
        slim = deep / wide
        self.along, self.up, self.both = (
            plain * slim / 4.0,
            plain / slim / 4.0,
            plain * POISSON / 4.0,
        )
        self.shears = slant / slim / 4.0, slant / 4.0, slant * slim / 4.0
        self.bent = (plain * slim + slant / slim) / 12.0, (plain / slim + slant * slim) / 12.0

    def node(self, column: int, row: int) -> int:
        """Number of a node."""
        return row * self.line + column

    def settle(self, strains: Sequence[Strain]) -> tuple[list[float], list[float]]:
        """How far each node moves east and north, m, if the cells want these strains."""
        rest = self._load(strains)
        loose = self._loose()
        moved = [0.0] * len(rest)
        eased = list(map(mul, loose, rest))
        way = eased
        size = sum(map(mul, rest, eased))
        enough = CLOSE * CLOSE * size
        for _ in range(40 * (self.columns + self.rows)):
            if size <= enough:
                break
            held = self._force(way)
            far = size / sum(map(mul, way, held))
            moved = [m + far * w for m, w in zip(moved, way, strict=True)]
            rest = [r - far * h for r, h in zip(rest, held, strict=True)]
            eased = list(map(mul, loose, rest))
            last, size = size, sum(map(mul, rest, eased))
            turn = size / last
            way = [e + turn * w for e, w in zip(eased, way, strict=True)]
        return moved[: self.nodes], moved[self.nodes :]

    def _rows(self, cells: Sequence[float]) -> list[float]:
        """The values of the cells with a 0 at the end of each row but the last."""
        found: list[float] = []
        for row in range(self.rows):
            found += [*cells[row * self.columns : (row + 1) * self.columns], 0.0]
        return found[:-1]

    def _loose(self) -> list[float]:
        """What a force on one node alone moves it by, roughly: the preconditioner."""
        total = self._gather(self.stiff, self.stiff, self.stiff, self.stiff)
        east = self.along + self.shears[0] + self.bent[0]
        north = self.up + self.shears[2] + self.bent[1]
        return [1.0 / (k * one) if one else 0.0 for k in (east, north) for one in total]

    def _gather(
        self, here: list[float], west: list[float], south: list[float], both: list[float]
    ) -> list[float]:
        """For each node, the sum of what the cells round it have for it.

        These are the cells that it's the south-west, the south-east, the north-west and the
        north-east corner of.
        """
        row, one = [0.0] * self.line, [0.0]
        near = map(add, here + one + row, one + west + row)
        return list(map(add, near, map(add, row + south + one, row + one + both)))

    def _spread(self, pulls: Iterable[Pulls]) -> list[float]:
        """Forces on the nodes, east then north, from what each cell does to its four corners."""
        east = [
            (b - p - s, p - s - b, s - p - b, p + s + b) for p, _, s, _, b, _ in pulls
        ]  # fmt: skip
        north = [
            (c - q - t, t - q - c, q - t - c, q + t + c) for _, q, _, t, _, c in pulls
        ]  # fmt: skip
        first = self._gather(*map(list, zip(*east, strict=True)))
        return first + self._gather(*map(list, zip(*north, strict=True)))

    def _force(self, moved: list[float]) -> list[float]:
        """Forces that would hold these displacements, east then north."""
        n, line = self.cells, self.line
        east, north = moved[: self.nodes], moved[self.nodes :]
        along, up, both = self.along, self.up, self.both
        s1, s2, s3 = self.shears
        b1, b2 = self.bent
        corners = (
            one[at : at + n] for one in (east, north) for at in (0, 1, line, line + 1)
        )  # fmt: skip
        found = []
        for w, a, b, c, d, e, f, g, h in zip(self.stiff, *corners, strict=True):
            rise, fall, lift, drop = d - a, b - c, h - e, f - g
            x, y = rise + fall, rise - fall
            z, v = lift + drop, lift - drop
            found.append(
                (
                    w * (along * x + both * v), w * (up * v + both * x),
                    w * (s1 * y + s2 * z), w * (s3 * z + s2 * y),
                    w * b1 * (a + d - b - c), w * b2 * (e + h - f - g),
                )
            )  # fmt: skip
        return self._spread(found)

    def _load(self, strains: Sequence[Strain]) -> list[float]:
        """Forces by which cells that want these strains pull at their corners."""
        wide, deep = 2.0 * self.wide, 2.0 * self.deep
        s1, s2, _ = self.shears
        columns = [self._rows(column) for column in zip(*strains, strict=True)]
        found = []
        for w, along, up, shear in zip(self.stiff, *columns, strict=True):
            x, v, y = wide * along, deep * up, deep * shear
            found.append(
                (
                    w * (self.along * x + self.both * v), w * (self.up * v + self.both * x),
                    w * s1 * y, w * s2 * y, 0.0, 0.0,
                )
            )  # fmt: skip
        return self._spread(found)
