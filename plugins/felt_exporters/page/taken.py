"""Where on a drawing something stands already, so that nothing else is written over it."""

from __future__ import annotations


class Taken:
    """Places that are taken, in squares as wide as the distance that they are to keep."""

    def __init__(self, wide: float) -> None:
        self.wide, self.count = wide, 0
        self.squares: dict[tuple[int, int], list[tuple[float, float]]] = {}

    def add(self, x: float, y: float) -> None:
        """Take a place."""
        self.count += 1
        self.squares.setdefault((int(x // self.wide), int(y // self.wide)), []).append((x, y))

    def is_near(self, x: float, y: float) -> bool:
        """Whether a place is nearer to one that is taken than that distance."""
        column, row = int(x // self.wide), int(y // self.wide)
        return any(
            abs(x - a) < self.wide and abs(y - b) < self.wide
            for i in (-1, 0, 1) for j in (-1, 0, 1)
            for a, b in self.squares.get((column + i, row + j), ())
        )  # fmt: skip
