"""Where what lies side by side on a face meets, and where it leaves a gap."""

from __future__ import annotations

from collections.abc import Sequence

import attrs

from felt_engine.analysis.borders import Joined, Line, cells_of, touching
from felt_engine.analysis.build import FaceBuild, Place
from felt_engine.analysis.layout import Region
from felt_engine.analysis.patches import Patch
from felt_engine.analysis.steady import part_of, steady
from felt_engine.value import Value, lazy

BESIDE = 0.005
"""Half the width of the strip that marks a seam, m."""


@attrs.frozen(eq=False, repr=False, slots=False)
class Seam:
    """A line along which two places meet: how long, m, and what lies on both sides of it.

    ``held`` is the weight that runs across it, as a part of what the lighter side has (of fibre that
    felts, and of cloth).
    """

    one: Place
    two: Place
    length: float
    held: float

    @lazy
    def line(self) -> Place:
        """A strip along it with nothing in it, to be marked on a page."""
        cells = cells_of((self.one.region, self.two.region))
        lines = [line for a, b, line in touching(cells) if cells[a][0] != cells[b][0]]
        return _marked(self.one.face, lines)


@attrs.frozen(eq=False, repr=False)
class Gap(Value):
    """A strip that a layer leaves free between two or more of its zones.

    ``wide`` and ``long`` in m, ``zones`` the zones beside it, ``places`` what lies in it, ``beside``
    the places of the layer along it. ``filled`` is the part of the face that the layer covers
    together with all its gaps.
    """

    layer: int
    zones: tuple[str, ...]
    wide: float
    long: float
    places: tuple[Place, ...]
    beside: tuple[Place, ...]
    filled: float


def carried(place: Place) -> float:
    """What holds together at a place, kg/m²: fibre that felts, and cloth."""
    return place.carried


def seams(face: FaceBuild) -> tuple[Seam, ...]:
    """Where two places meet that both hold together; the longest first."""
    found = []
    for border in face.borders:
        least = min(border.one.carried, border.two.carried)
        if least > 0:
            held = steady(min(1.0, _shared(border.one, border.two) / least))
            found.append(Seam(border.one, border.two, border.length, held))
    return tuple(sorted(found, key=lambda seam: -round(seam.length, 9)))


def _marked(face: FaceBuild, lines: Sequence[Line]) -> Place:
    """A strip along a line, as a place with nothing in it."""
    patches = []
    for x1, y1, x2, y2 in lines:
        west, east = min(x1, x2) - BESIDE, max(x1, x2) + BESIDE
        south, north = min(y1, y2) - BESIDE, max(y1, y2) + BESIDE
        left, right = (west, south, west, north), (east, south, east, north)
        patches.append(Patch(0, south, north, left, right))
    size = sum(patch.area for patch in patches)
    return Place(face, size, (), Region(face.name, (), size, tuple(patches)))


def _shared(one: Place, two: Place) -> float:
    """What runs on from one place into another, kg/m²; what was turned over doesn't into what wasn't."""
    keys = {(laid.key, laid.turned) for laid in two.stack}
    return sum(
        areal for laid in one.stack if (laid.key, laid.turned) in keys for areal in laid.bonded
    )


def gaps(face: FaceBuild, layer: int) -> tuple[Gap, ...]:
    """The gaps between zones of a layer (numbered from 0), in no order that means anything."""
    here = face.zones_by_layer.get(layer, {})
    zones = [here.get(number, set()) for number in range(len(face.places))]
    if len(set().union(*zones)) < 2:
        return ()
    found = []
    for part in _free_parts(face, zones):
        gap = _gap(face, layer, part)
        if gap is not None:
            found.append((gap, part.size))
    laid = sum(place.area for place, zone in zip(face.places, zones, strict=True) if zone)
    full = part_of(laid + sum(size for _, size in found), face.area)
    return tuple(attrs.evolve(gap, filled=full) for gap, _ in found)


@attrs.define(eq=False)
class _Part:
    """What lies without a layer and hangs together: its places, and what lies along them.

    ``along`` is the length of border with each zone of the layer, m; ``beside`` are the places there.
    """

    size: float = 0.0
    places: set[int] = attrs.field(factory=set)
    along: dict[str, float] = attrs.field(factory=dict)
    beside: set[int] = attrs.field(factory=set)


def _free_parts(face: FaceBuild, zones: Sequence[set[str]]) -> list[_Part]:
    """The parts of a face whose places have no zone, each part by itself."""
    blobs = face.blobs
    joined = Joined(len(blobs.regions))
    bare = [not zones[place] for place in blobs.regions]
    for one, two in blobs.shared:
        if bare[one] and bare[two]:
            joined.join(one, two)
    parts: dict[int, _Part] = {}
    for number, (place, size) in enumerate(zip(blobs.regions, blobs.sizes, strict=True)):
        if bare[number]:
            root = joined.root(number)
            part = parts.get(root) or parts.setdefault(root, _Part())
            part.size += size
            part.places.add(place)
    for (one, two), length in blobs.shared.items():
        if bare[one] is bare[two]:
            continue
        mine, beside = (one, blobs.regions[two]) if bare[one] else (two, blobs.regions[one])
        part = parts[joined.root(mine)]
        part.beside.add(beside)
        for zone in zones[beside]:
            part.along[zone] = part.along.get(zone, 0.0) + length / len(zones[beside])
    return list(parts.values())


def _gap(face: FaceBuild, layer: int, part: _Part) -> Gap | None:
    """The gap that such a part is, if the layer lies along it on two sides at least."""
    total = sum(part.along.values())
    if not total or total - max(part.along.values()) < 0.3 * total:
        return None
    wide, long = steady(2 * part.size / total), steady(total / 2)
    if wide > long / 2:
        return None
    places = tuple(face.places[n] for n in sorted(part.places))
    sides = tuple(face.places[n] for n in sorted(part.beside))
    return Gap(layer, tuple(sorted(part.along)), wide, long, places, sides, 0.0)


__all__ = ["Gap", "Seam", "carried", "gaps", "seams"]
