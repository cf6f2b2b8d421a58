"""How far a finding reaches: in which ninths of a face it lies; else what it is said to be about.

Coarse enough to stay the same from run to run, fine enough to tell one corner from another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from felt_engine.analysis.build import Place
from felt_engine.declare import Finding
from felt_engine.value import kept

ALL = "all over"
ROWS, COLUMNS = ("south", "", "north"), ("west", "", "east")
NINTHS = tuple("-".join(filter(None, (row, col))) or "middle" for row in ROWS for col in COLUMNS)
SLACK = 0.0217
"""A part of a face's width or depth: what reaches less far than that into a ninth isn't in it."""


def reach_of(said: Finding) -> tuple[str, ...]:
    """Faces and ninths where there are places, else the names that it goes by; sorted."""
    if not said.at:
        return tuple(sorted({*said.also} - {"whole"}))
    cells: dict[str, set[str]] = {}
    for place in said.at:
        cells.setdefault(place.face.name, set()).update(_ninths(place))
    return tuple(sorted(
        f"{face}: {one}"
        for face, found in cells.items()
        for one in ([ALL] if len(found) == len(NINTHS) else found)
    ))  # fmt: skip


def within(inner: Iterable[str], outer: Iterable[str]) -> bool:
    """Whether one reach lies in another."""
    return _spelt(inner) <= _spelt(outer)


def _spelt(reach: Iterable[str]) -> set[str]:
    found: set[str] = set()
    for one in reach:
        face, _, where = one.rpartition(": ")
        found |= {f"{face}: {ninth}" for ninth in NINTHS} if face and where == ALL else {one}
    return found


@kept
def _ninths(place: Place) -> frozenset[str]:
    west, south, east, north = place.face.face.box
    found: set[str] = set()
    for _, (left, near, right, far) in place.shapes:
        columns = list(_thirds(left, right, west, east))
        for row in _thirds(near, far, south, north):
            found.update(NINTHS[3 * row + column] for column in columns)
        if len(found) == len(NINTHS):
            break
    return frozenset(found)


def _thirds(low: float, high: float, start: float, end: float) -> Iterator[int]:
    size = (end - start) / 3
    slack = min(SLACK * (end - start), 0.3 * (high - low))
    for number in range(3):
        edge = start + number * size
        if min(high, edge + size) - max(low, edge) > slack:
            yield number


__all__ = ["ALL", "NINTHS", "reach_of", "within"]
