"""One stack of fibre: weight, coverage, direction. Pure sums over what lies there."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence

import attrs

from felt_engine.analysis.axes import angle_of_bearing, kindest, layer_resultant
from felt_engine.analysis.coverage import bare_index
from felt_engine.analysis.steady import steady
from felt_engine.analysis.stuff import Stuff
from felt_engine.model.layup import Layer, Placement
from felt_engine.value import fenced, lazy

CLOTH = ("felt", "close cloth", "open cloth")
"""Preparations that hold together by themselves, whether they felt or not."""


@attrs.frozen(eq=False, repr=False)
class Part:
    """One lot's share of what a placement lays: kg/m², share, and how it lies.

    ``cv`` is the coefficient of variation of its laying, ``alignment`` its low, usual and high
    alignment along the layer's direction.
    """

    stuff: Stuff
    areal: float
    share: float
    group: str | None
    cv: float
    alignment: tuple[float, float, float]

    @fenced
    def coverage(self, end: str = "usual") -> float:
        """Mean number of its fibres over a point; ``end`` picks low, usual or high diameter."""
        return self.stuff.coverage(self.areal, getattr(self.stuff.diameter, end))


@attrs.frozen(eq=False, repr=False, slots=False)
class Laid:
    """What one placement lays at a place. ``doubt`` is the weighing error as a part of it.

    ``turned`` marks what was folded over the edge, and ``fold`` what that does to its doubled angle.
    ``area`` is all that is laid of it from its face, m², with what is past the outline or wrapped.
    """

    layer: Layer
    placement: Placement
    key: tuple[int, int]
    areal: float
    parts: tuple[Part, ...]
    turned: bool = False
    doubt: float = 0.0
    fold: complex = 1 + 0j
    area: float = 0.0

    @lazy
    def coverage(self) -> float:
        """Mean number of fibres over a point."""
        return sum(part.coverage() for part in self.parts)

    @lazy
    def felting_share(self) -> float:
        """Part of the coverage that is fibre which holds."""
        held = sum(part.coverage() for part in self.parts if part.stuff.holds)
        return held / self.coverage if self.coverage else 0.0

    @lazy
    def bonded(self) -> tuple[float, ...]:
        """Weight of each part that holds together, kg/m²: fibre that felts, and cloth."""
        return tuple(
            part.areal for part in self.parts
            if part.stuff.holds or part.stuff.lot.preparation in CLOTH
        )  # fmt: skip

    @lazy
    def fibre(self) -> tuple[tuple[float, float], ...]:
        """Weight of each part (kg/m²) and the same times its feltability; open cloth left out."""
        return tuple(
            (part.areal, part.areal * part.stuff.felts.usual)
            for part in self.parts if not part.stuff.is_open_cloth
        )  # fmt: skip

    @lazy
    def has_loose(self) -> bool:
        """Whether any of it is fibre that does not felt (a felted sheet is cloth, not fibre)."""
        return any(
            not part.stuff.holds and part.stuff.lot.preparation != "felt" for part in self.parts
        )

    @lazy
    def is_wool(self) -> bool:
        """Whether all of it is wool or hair, treated or not."""
        return all(part.stuff.fibre.group in ("wool", "hair") for part in self.parts)

    @lazy
    def is_body(self) -> bool:
        """Whether all of it lies as bodies (neps, yarn) and not as loose fibre."""
        return all(part.stuff.is_body for part in self.parts)

    @lazy
    def has_loose_bodies(self) -> bool:
        """Whether part of it lies as bodies (neps, yarn) that don't felt."""
        return any(part.stuff.is_body and not part.stuff.holds for part in self.parts)

    @lazy
    def is_closed(self) -> bool:
        """Whether part of it is a sheet without gaps: close cloth, or felt bought as felt."""
        return any(part.stuff.lot.preparation in ("close cloth", "felt") for part in self.parts)

    @lazy
    def lets_through(self) -> bool:
        """Whether wool gets round or through all of it whatever its weight: open cloth, yarn."""
        return all(part.stuff.lot.preparation in ("open cloth", "yarn") for part in self.parts)

    @lazy
    def is_open_cloth(self) -> bool:
        """Whether it is open cloth, which wool grows through."""
        return all(part.stuff.is_open_cloth for part in self.parts)

    @lazy
    def held(self) -> dict[str, tuple[float, float]]:
        """Coverage of fibre that holds, and the same times its unevenness, by end of diameter."""
        parts = [part for part in self.parts if part.stuff.holds]
        found = {}
        for end in ("low", "usual", "high"):
            covers = [part.coverage(end) for part in parts]
            uneven = sum(c * part.cv for c, part in zip(covers, parts, strict=True))
            found[end] = (sum(covers), uneven)
        return found

    @lazy
    def pull(self) -> tuple[float, complex]:
        """Per m²: weight times feltability, and the same times its doubled-angle resultant."""
        weight, vector = 0.0, 0j
        for part in self.parts:
            felting = part.areal * part.stuff.felts.usual
            weight += felting
            if self.angle is not None:
                vector += felting * layer_resultant(part.alignment[1] * self.order, self.angle)
        return weight, vector

    @lazy
    def angle(self) -> float | None:
        """Radians anticlockwise from east; ``None`` where no one direction is said."""
        direction = self.layer.direction
        if direction is None or direction.bearing is None:
            return None
        angle = angle_of_bearing(direction.bearing)
        if not self.turned:
            return angle
        if not self.fold:
            return None
        # folded back it is mirrored; wrapped, it is looked at from the other side too
        angle = angle if self.layer.wraps is not None else -angle
        return steady((angle + cmath.phase(self.fold) / 2) % math.pi) % math.pi

    @property
    def portion_of(self) -> tuple[int, str, str]:
        """What it is a portion of: its layer's number, what is laid, and on which zone."""
        return self.key[0], self.placement.of, self.placement.zone

    @property
    def order(self) -> float:
        """How far it lies one way after folding, as a part of what it did before."""
        return min(1.0, abs(self.fold)) if self.turned else 1.0

    @property
    def about(self) -> Layer | Placement:
        """What a finding on it is about: the layer, or the placement where that has a place of its own."""
        return self.layer if self.placement.inline else self.placement

    @lazy
    def lacks_direction(self) -> bool:
        """Whether it may pull one way, and the recipe doesn't say which."""
        pulls = any(p.alignment[2] > 0.25 and p.stuff.felts.usual > 0 for p in self.parts)
        return pulls and self.layer.direction is None


def areal(stack: Iterable[Laid], holding: bool = False) -> float:
    """Weight per area, kg/m²; of the fibre that holds only, if asked."""
    if not holding:
        return sum(laid.areal for laid in stack)
    return sum(part.areal for laid in stack for part in laid.parts if part.stuff.holds)


def bare(stack: Iterable[Laid], end: str = "usual", kinder: bool = False) -> float:
    """Bare index of the fibre that holds: share of points with none over them, as an index.

    The laying variation is averaged over the layers by coverage, as if thin spots fell together.
    ``kinder`` takes each weight half a scale step up.
    """
    covered = spread = 0.0
    for laid in stack:
        factor = 1 + laid.doubt if kinder else 1.0
        cover, uneven = laid.held[end]
        covered += cover * factor
        spread += uneven * factor
    return bare_index(covered, spread / covered) if covered else 1.0


def _pulls(stack: Sequence[tuple[Laid, float]]) -> Iterable[tuple[float, Part, Laid, float]]:
    for laid, size in stack:
        for part in laid.parts:
            weight = part.areal * size * part.stuff.felts.usual
            if weight > 0:
                yield weight, part, laid, 0.0 if laid.angle is None else laid.angle


def kind(laid: Laid) -> tuple[object, ...]:
    """What it is, in which layer, whichever zone it is on, and however much of it."""
    return laid.key[0], laid.placement.of, laid.turned, laid.fold


AS_MUCH = 0.005
"""Part by which two amounts may differ and still be as much: less than a scale shows (own choice)."""


def as_much(one: Laid, two: Laid) -> bool:
    """Whether as much of one lies as of the other, but for what no scale shows."""
    return abs(one.areal - two.areal) <= AS_MUCH * max(one.areal, two.areal)


def resultant(stack: Sequence[tuple[Laid, float]]) -> complex:
    """Doubled-angle resultant of pairs of what is laid and the area it takes (m²)."""
    total, vector = 0.0, 0j
    for laid, size in stack:
        weight, pull = laid.pull
        total += weight * size
        vector += pull * size
    return vector / total if total else 0j


def kindest_pull(stack: Sequence[tuple[Laid, float]]) -> float:
    """Smallest length of the resultant, alignment over its range and weights over their doubt."""
    items = []
    for weight, part, laid, angle in _pulls(stack):
        order = 0.0 if laid.angle is None else laid.order
        low, usual, high = (one * order for one in part.alignment)
        items.append(
            (weight * (1 - laid.doubt), weight * (1 + laid.doubt), low, usual, high, angle)
        )
    return kindest(items)


def unsaid_pull(stack: Sequence[tuple[Laid, float]]) -> float:
    """How much the resultant could change by layers whose direction isn't said (0 to 1)."""
    if not any(laid.lacks_direction for laid, _ in stack):
        return 0.0
    total = unsaid = 0.0
    for weight, part, laid, _ in _pulls(stack):
        total += weight
        if laid.lacks_direction:
            unsaid += weight * part.alignment[2]
    return unsaid / total if total else 0.0
