"""Balance of directions beyond the resultant: who pulls and who crosses, roundness, what is wanted.

A *pair* is what one placement lays and the area (m²) that it takes of a face.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence

import attrs

from felt_engine.analysis.axes import bearing_of_angle, layer_resultant
from felt_engine.analysis.stack import Laid
from felt_engine.analysis.steady import ranked
from felt_engine.model.layup import Layer
from felt_engine.model.piece import Piece
from felt_engine.value import Value

Pair = tuple[Laid, float]

FOURFOLD = 4
"""The fourfold mean of a spread that is normal has the alignment to this power: r is exp(-2 s²)
for the doubled angle and exp(-8 s²) for the fourfold one (Mardia & Jupp 2000, from memory)."""

LIGHT = 0.1
"""Part of all that felts from which a layer is named as one of those that cross."""


def felting(pair: Pair) -> float:
    """Weight times feltability, kg."""
    laid, size = pair
    return laid.pull[0] * size


def toward(pair: Pair, pull: complex) -> float:
    """How much it pulls along a resultant, kg; negative where it pulls across."""
    laid, size = pair
    if not pull or laid.angle is None:
        return 0.0
    own = laid.pull[1] * size
    return abs(own) * alike(own, pull)


def alike(one: complex, two: complex) -> float:
    """How far two resultants lie one way: 1 for one axis, 0 for two at 45 degrees, -1 for a cross.

    Rounded, so that it is the same wherever north is; 0 if there is no resultant.
    """
    sizes = abs(one) * abs(two)
    return round((one * two.conjugate()).real / sizes, 9) if sizes else 0.0


def pull_if_turned(pairs: Sequence[Pair], layer: Layer, way: complex) -> float:
    """The pull |R| of these if all of one layer lay along the axis of a doubled-angle vector."""
    total, vector = 0.0, 0j
    for laid, size in pairs:
        weight, pull = laid.pull
        total += weight * size
        turns = laid.layer is layer and laid.angle is not None
        vector += size * (abs(pull) * way / abs(way) if turns else pull)
    return abs(vector) / total if total else 0.0


def by_layer(pairs: Iterable[Pair], pull: complex) -> list[tuple[Layer, float, float]]:
    """Each layer, in the order of laying, with what of it felts (kg) and its pull along (kg)."""
    sums: dict[int, tuple[Layer, float, float]] = {}
    for pair in pairs:
        number, layer = pair[0].key[0], pair[0].layer
        _, weight, along = sums.get(number, (layer, 0.0, 0.0))
        sums[number] = layer, weight + felting(pair), along + toward(pair, pull)
    return [sums[number] for number in sorted(sums)]


@attrs.frozen(eq=False, repr=False)
class Meeting(Value):
    """Two layers that cross at less than a right angle (degrees), the heavier one first."""

    layer: Layer
    other: Layer
    degrees: float
    square: float
    """The bearing that the lighter one would have at a right angle."""


def meeting(pairs: Sequence[Pair]) -> Meeting | None:
    """The two heaviest layers, if they lie along two axes that are neither one nor square."""
    found: dict[int, tuple[float, float, Layer]] = {}
    for pair in pairs:
        laid = pair[0]
        if laid.angle is None or laid.turned:
            continue
        weight = found.get(laid.key[0], (0.0, 0.0, laid.layer))[0] + felting(pair)
        found[laid.key[0]] = (weight, laid.angle, laid.layer)
    total = sum(felting(pair) for pair in pairs)
    heavy = [one for one in found.values() if one[0] >= LIGHT * total]
    heavy.sort(key=lambda one: -ranked(one[0]))
    for _, angle, other in heavy[1:]:
        _, first, layer = heavy[0]
        apart = math.degrees(abs(first - angle)) % 180
        apart = round(min(apart, 180 - apart), 6)
        if 15 <= apart <= 75:
            return Meeting(layer, other, apart, bearing_of_angle(first + math.pi / 2))
    return None


def fourfold(stack: Iterable[Laid]) -> float:
    """Fourfold resultant of what felts in a stack: 0 for no squareness, 1 for a perfect cross."""
    total, vector = 0.0, 0j
    for laid in stack:
        for part in laid.parts:
            weight = part.areal * part.stuff.felts.usual
            total += weight
            if laid.angle is not None:
                lies = part.alignment[1] * laid.order
                vector += weight * layer_resultant(lies**FOURFOLD, 2 * laid.angle)
    return abs(vector) / total if total else 0.0


def wanted_ratio(piece: Piece) -> float | None:
    """How unequal the finished size wants the two shrinkages: (e - n) / (e + n) of the log strains.

    Positive where it is to shrink more east-west. ``None`` where the recipe doesn't say both sizes,
    or the piece isn't to shrink.
    """
    finished = piece.finished
    if finished is None or (finished.depth is None and piece.shape != "round"):
        return None
    size, (wide, deep) = piece.sides, finished.sides
    if not (wide > 0 and deep > 0):
        return None
    east, north = math.log(size[0] / wide), math.log(size[1] / deep)
    return (east - north) / (east + north) if east + north > 0 else None


def along_axis(pull: complex, length_axis: float) -> float:
    """How far a resultant lies along an axis (radians): 1 along it, -1 across it, 0 between."""
    return round(math.cos(cmath.phase(pull) - 2 * length_axis), 9)
