"""Rows of a shingled layer: how many, how they lap, what a tuft weighs, how evenly they cover.

Plain sums on plain numbers. Lengths are in one unit (metres in the engine), overlaps and tapers are
shares of a tuft's length. Rows follow one another along the fibre; the tufts of a row lie side by
side across it. A tuft is as long as its row is deep, full in its middle, and thins out evenly over
its taper at either end; a taper of 0 is a blunt end.
"""

from __future__ import annotations

import math
from itertools import pairwise

import attrs

from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

OVERLAP = 0.25
"""How much of a tuft the next row covers, where nothing is said (common practice, no source)."""

NEXT_TUFT = 0.10
"""Overlap of tufts beside each other in a row (common practice, no source)."""

TAPER = 0.25
"""How much of a tuft's length a pulled end takes, where nothing is said (from memory)."""

TUFT = 0.10
"""Length of a tuft where nothing is said, m: a hand's width of combed top (from memory)."""

MEND = 0.85
"""Part of the inside's weight that a rim is to have, where rows are laid past it: about what ordinary
hands vary by (own calculation)."""


def _positive(name: str, value: float) -> float:
    if not 1e-100 <= value <= 1e100:
        raise ValueError(f"{name} must be a positive finite number, not {value!r}")
    return value


class Rows:
    """Rows of tufts over a length: how many, their fitted overlap and their pitch.

    overlap is a share of the tuft's length (0 for a single row), pitch the step from row to row
    in the unit that the lengths were given in.  Unpacks like a tuple and can't be changed.
    """

    __slots__ = ("count", "overlap", "pitch")

    count: int
    overlap: float
    pitch: float

    def __init__(self, count: int, overlap: float, pitch: float) -> None:
        object.__setattr__(self, "count", count)
        object.__setattr__(self, "overlap", overlap)
        object.__setattr__(self, "pitch", pitch)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"Rows can't be changed: {name}")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"Rows can't be changed: {name}")

    def __iter__(self) -> Iterator[float]:
        return iter((self.count, self.overlap, self.pitch))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Rows) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        return hash(tuple(self))

    def __repr__(self) -> str:
        return f"Rows(count={self.count}, overlap={self.overlap!r}, pitch={self.pitch!r})"

    def __reduce__(self) -> tuple[type[Rows], tuple[int, float, float]]:
        return Rows, (self.count, self.overlap, self.pitch)


def shingle_rows(extent: float, tuft: float, overlap: float) -> Rows:
    """Return the fewest rows of tufts that fill a length with at least the wanted overlap.

    extent and tuft are lengths in one unit, overlap a share of the tuft (0 <= overlap < 1).  The
    overlap is then fitted so that the rows end flush.  A tuft as long as the extent makes one row
    with overlap 0 and its own length as pitch.  ValueError for lengths that aren't positive or an
    overlap outside its range.  Source: geometry.
    """
    length, reach = _positive("tuft", tuft), _positive("extent", extent)
    if not 0.0 <= overlap < 1.0:
        raise ValueError(f"overlap must be at least 0 and below 1, not {overlap!r}")
    # The small step back keeps rounding from adding a row that nobody needs.
    count = math.ceil((reach / length - overlap) / (1.0 - overlap) - 1e-9)
    if count <= 1:
        return Rows(1, 0.0, length)
    pitch = (reach - length) / (count - 1)
    return Rows(count, max(0.0, 1.0 - pitch / length), pitch)


def reach_of(count: int, tuft: float, overlap: float) -> float:
    """How far ``count`` rows come, each lying over this share of the one before.

    ValueError for no rows, a length that isn't positive, or an overlap outside 0 <= overlap < 1.
    """
    if count < 1:
        raise ValueError(f"there must be a row at least, not {count!r}")
    if not 0.0 <= overlap < 1.0:
        raise ValueError(f"overlap must be at least 0 and below 1, not {overlap!r}")
    return _positive("tuft", tuft) * (1 + (count - 1) * (1 - overlap))


def overlap_to_fill(count: int, extent: float, tuft: float) -> float:
    """The overlap with which ``count`` rows just fill a length; below 0 if they can't.

    A single row laps nothing: 0 where it fills the length, else what it lacks as a share of itself.
    """
    if count < 1:
        raise ValueError(f"there must be a row at least, not {count!r}")
    over = count * _positive("tuft", tuft) - _positive("extent", extent)
    return over / ((count - 1) * tuft) if count > 1 else min(0.0, over / tuft)


@attrs.frozen(eq=False, repr=False)
class Profile(Value):
    """How much lies along the fibre, in full tufts: rows of tufts that thin out at their ends.

    ``head`` and ``tail`` are the tapers of the near and the far end, as shares of the tuft.
    ValueError for tapers below 0 or of more than a whole tuft together, for lengths that aren't
    positive, and for no rows.
    """

    tuft: float
    pitch: float
    count: int = 1
    head: float = TAPER
    tail: float = TAPER

    def __attrs_post_init__(self) -> None:
        _positive("tuft", self.tuft)
        _positive("pitch", self.pitch)
        if not (self.head >= 0.0 and self.tail >= 0.0 and self.head + self.tail <= 1.0 + 1e-12):
            raise ValueError(f"tapers must fit on a tuft, not {self.head!r} and {self.tail!r}")
        if self.count < 1:
            raise ValueError(f"there must be a row at least, not {self.count!r}")

    @property
    def extent(self) -> float:
        """Length from the first row's near end to the last row's far end."""
        return self.tuft + (self.count - 1) * self.pitch

    @property
    def steady(self) -> float:
        """Mean where rows follow rows on both sides."""
        return self.tuft * (1 - (self.head + self.tail) / 2) / self.pitch

    def mean(self, start: float, end: float) -> float:
        """Mean between two distances from the first row's near end; exact."""
        total = self._rows_below(end) - self._rows_below(start)
        return total / _positive("length", end - start)

    def _rows_below(self, x: float) -> float:
        """What of all rows lies nearer than x: whole tufts, and those that reach over it."""
        whole = min(self.count, max(0, math.floor((x - self.tuft) / self.pitch) + 1))
        last = min(self.count - 1, math.floor(x / self.pitch))
        reaching = sum(self._below(x - k * self.pitch) for k in range(whole, last + 1))
        return whole * self._below(self.tuft) + reaching

    def at(self, x: float) -> float:
        """What lies at a distance from the first row's near end."""
        return sum(self._height(x - k * self.pitch) for k in range(self.count))

    def _height(self, x: float) -> float:
        if not 0.0 <= x < self.tuft:
            return 0.0
        head, tail = self.head * self.tuft, self.tail * self.tuft
        return min(1.0, x / head if head else 1.0, (self.tuft - x) / tail if tail else 1.0)

    def _below(self, x: float) -> float:
        """What of one tuft lies nearer than x."""
        if x <= 0.0:
            return 0.0
        head, tail = self.head * self.tuft, self.tail * self.tuft
        if x < head:
            return x * x / (2 * head)
        over = min(x, self.tuft) - (self.tuft - tail)
        found = min(x, self.tuft) - head / 2
        return found - over * over / (2 * tail) if over > 0.0 and tail else found

    def rims(self, strip: float, past: float = 0.0) -> tuple[float, float]:
        """Mean of the outer strip at the near and at the far end over that between them.

        ``past`` is how far the rows were laid past the outline, at both ends. ValueError where
        nothing is left between the strips.
        """
        low, high = past, self.extent - past
        inside = self.mean(low + strip, high - strip)
        first = self.mean(low, low + strip) / inside
        return first, self.mean(high - strip, high) / inside

    def past_to_mend(self, strip: float, share: float = MEND) -> float:
        """How far past the outline to lay so that both outer strips have this share of the inside."""
        step = self.tuft / 200
        found = (k * step for k in range(201) if self.is_even(k * step, strip, share))
        return next(found, self.tuft)

    def is_even(self, past: float, strip: float, share: float = MEND) -> bool:
        """Whether both outer strips have this share of the inside, laid so far past the outline."""
        return min(self._ends(past, strip)) >= share * self.steady

    def _ends(self, past: float, strip: float) -> tuple[float, float]:
        """Means of the two outer strips of as many rows as it takes to fill them."""
        many = attrs.evolve(self, count=2 + math.ceil((self.tuft + strip + past) / self.pitch))
        far = many.extent - past
        return many.mean(past, past + strip), many.mean(far - strip, far)

    def _endless(self) -> tuple[Profile, float]:
        """Enough rows for a pitch in their middle to be as if there was no end, and its start."""
        before = 1 + math.ceil(self.tuft / self.pitch)
        return attrs.evolve(self, count=3 * before), before * self.pitch

    def _turns(self) -> list[float]:
        """Where the course turns within one pitch, from 0 to 1 pitch."""
        ends = (0.0, self.head * self.tuft, (1 - self.tail) * self.tuft, self.tuft)
        found = sorted({0.0, self.pitch, *(end % self.pitch for end in ends)})
        return [x for k, x in enumerate(found) if not k or x - found[k - 1] > 1e-12 * self.pitch]

    def variation(self) -> float:
        """Coefficient of variation over one pitch, where rows follow rows on both sides."""
        many, start = self._endless()
        squares = 0.0
        turns = self._turns()
        for low, high in pairwise(turns):
            for at in (0.5 - math.sqrt(1 / 12), 0.5 + math.sqrt(1 / 12)):
                squares += (high - low) / 2 * many.at(start + low + at * (high - low)) ** 2
        return math.sqrt(max(0.0, squares / self.pitch / self.steady**2 - 1))

    def thinnest(self, window: float) -> float:
        """Least mean over a window of this length, over the mean of all (1 where it is even)."""
        if window >= self.pitch:
            return 1.0
        many, start = self._endless()
        turns = self._turns()
        starts = [*turns, *(x - window for x in turns)]
        starts += [(a + b - window) / 2 for a in turns for b in turns]
        starts += [self.pitch * k / 64 for k in range(64)]
        return min(1.0, min(many.mean(start + x, start + x + window) for x in starts) / self.steady)


@attrs.frozen(eq=False, repr=False)
class RowPlan(Value):
    """What to lay: rows along the fibre, tufts in a row, weight of a tuft, how far past the outline.

    ``each`` is in the unit of the weight given, ``past`` in the unit of the lengths.
    """

    rows: Rows
    tufts: Rows
    each: float
    past: float


def plan_rows(
    along: float, across: float, tuft: float, wide: float, *, mass: float = 0.0,
    overlap: float = OVERLAP, taper: float = TAPER, strip: float = 0.025,
) -> RowPlan:  # fmt: skip
    """A plan of rows for a layer: ``along`` the fibre and ``across``, tufts so long and so wide.

    ``past`` is how far past the outline to lay so that the rim isn't thin; the rows counted are those
    that end at the outline, which is how most sheets are written.
    """
    rows = shingle_rows(along, tuft, overlap)
    tufts = shingle_rows(across, wide, NEXT_TUFT)
    end = min(taper, 0.5)
    past = Profile(tuft, rows.pitch, rows.count, end, end).past_to_mend(min(strip, along / 10))
    return RowPlan(rows, tufts, mass / (rows.count * tufts.count), past)
