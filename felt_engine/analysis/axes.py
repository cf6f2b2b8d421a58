"""Fibre directions: balance of a stack of layers.

A fibre direction is an axis (0 and 180 degrees are the same), so every mean is taken on the
doubled angle.  Angles are radians, anticlockwise from east; bearings, for people, are degrees
clockwise from north.  An alignment runs from 0 (no direction) to 1 (all fibres parallel).
"""

from __future__ import annotations

import math

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

# Alignment as laid (low, nominal, high), by how the fibre was prepared for laying.
# From memory of the craft, not measured.
ALIGNMENT: dict[str, tuple[float, float, float]] = {
    "top": (0.80, 0.85, 0.90),
    "sliver": (0.45, 0.60, 0.75),
    "batt": (0.30, 0.40, 0.50),
    "prefelt": (0.0, 0.10, 0.20),
    "scatter": (0.0, 0.0, 0.0),
}

_MOST = 1e100


def _angle(value: float) -> float:
    if not -_MOST <= value <= _MOST:
        raise ValueError(f"an angle must be a finite number, not {value!r}")
    return value


def _weight(value: float) -> float:
    if not 0.0 <= value <= _MOST:
        raise ValueError(f"a weight must be zero or a positive finite number, not {value!r}")
    return value


def _alignment(value: float) -> float:
    if not 0.0 <= value <= 1.0:
        raise ValueError(f"an alignment must lie between 0 and 1, not {value!r}")
    return value


def _half_turn(degrees: float) -> float:
    turned = degrees % 180.0
    return turned if turned < 180.0 else 0.0  # a tiny negative angle rounds up to 180


def angle_of_bearing(bearing: float) -> float:
    """Return the axis of a bearing as an angle in [0, pi): radians anticlockwise from east.

    bearing in degrees clockwise from north; ValueError if it isn't finite.
    """
    return math.radians(_half_turn(90.0 - _angle(bearing)))


def bearing_of_angle(angle: float) -> float:
    """Return the axis of an angle as a bearing in [0, 180): degrees clockwise from north.

    angle in radians anticlockwise from east; ValueError if it isn't finite.
    """
    return _half_turn(90.0 - math.degrees(_angle(angle)))


def layer_resultant(alignment: float, angle: float) -> complex:
    """Return the resultant of one layer on the doubled angle: r exp(2 i angle).

    alignment 0 to 1, angle in radians; ValueError outside those.
    Source: Mardia & Jupp, Directional Statistics (2000), axial data (from memory).
    """
    length, doubled = _alignment(alignment), 2.0 * _angle(angle)
    return complex(length * math.cos(doubled), length * math.sin(doubled))


def stack_resultant(items: Iterable[tuple[float, float, float]]) -> complex:
    """Return the weighted mean resultant of layers given as (weight, alignment, angle).

    The weight is mass times feltability, in any one unit.  Its length is the imbalance (0 crossed
    in balance, 1 all one way), half its argument the dominant axis; the in-plane orientation
    tensor has the eigenvalues (1 +- length) / 2.  A total weight of 0 gives 0j: nothing there
    felts, so nothing pulls.  ValueError for a negative weight or an alignment outside 0 to 1.
    Source: Mardia & Jupp 2000; Advani & Tucker, J. Rheology 31 (1987) 751-784; from memory.
    """
    total, pull = 0.0, 0j
    for weight, alignment, angle in items:
        total += _weight(weight)
        pull += weight * layer_resultant(alignment, angle)
    return pull / total if total else 0j


def kindest(items: Iterable[tuple[float, float, float, float, float, float]]) -> float:
    """Return a length that no choice within the ranges gets below: the kindest imbalance.

    Items are (weight low, weight high, r low, r nominal, r high, angle).  The nominal resultant,
    taken at mean weights, gives the axis.  A layer that pulls along it takes its low r, one that
    pulls against it its high r.  A layer that pulls along the axis harder than the stack does
    takes its low weight, every other one its high weight: a layer without direction is kindest
    when heavy.  What remains along the axis, not below 0, is the answer.

    It is a bound by projection on one axis, not a global minimum: the true least imbalance may be
    larger, never smaller.  Nothing that felts gives 0.  ValueError for a negative weight, an
    alignment outside 0 to 1, or ends out of order.
    """
    layers = [_ordered(*item) for item in items]
    nominal = stack_resultant(
        ((low + high) / 2.0, r, angle) for low, high, _, r, _, angle in layers
    )
    if not nominal:
        return 0.0
    axis = nominal / abs(nominal)
    pulls = []
    for low, high, r_low, _, r_high, angle in layers:
        along = (layer_resultant(1.0, angle) * axis.conjugate()).real
        pulls.append((low, high, along * (r_low if along > 0.0 else r_high)))
    return max(0.0, _least_mean(pulls, abs(nominal)))


def _ordered(
    low: float, high: float, r_low: float, r: float, r_high: float, angle: float
) -> tuple[float, float, float, float, float, float]:
    if not (_weight(low) <= _weight(high) and _alignment(r_low) <= r <= _alignment(r_high)):
        raise ValueError("the ends of a range must be in order: low, nominal, high")
    return low, high, r_low, r, r_high, angle


def _least_mean(pulls: list[tuple[float, float, float]], start: float) -> float:
    """Return the least weighted mean of pulls (low, high, pull) whose weights may move."""
    best = start
    for _ in range(len(pulls) + 1):
        chosen = [(low if pull > best else high, pull) for low, high, pull in pulls]
        total = math.fsum(weight for weight, _ in chosen)
        mean = math.fsum(weight * pull for weight, pull in chosen) / total if total else 0.0
        if mean >= best:
            break
        best = mean
    return best


def alignment_of_spread(sigma: float) -> float:
    """Return the alignment of fibres whose direction scatters by sigma radians: exp(-2 sigma^2).

    Wrapped normal distribution; ValueError for a negative sigma.
    Source: Mardia & Jupp 2000 (from memory).
    """
    if not 0.0 <= sigma <= _MOST:
        raise ValueError(f"a spread must be zero or a positive finite number, not {sigma!r}")
    return math.exp(-2.0 * sigma * sigma)


def spread_of_alignment(alignment: float) -> float:
    """Return the scatter of direction in radians (standard deviation) that an alignment means.

    The inverse of `alignment_of_spread`; infinite at 0.  ValueError outside 0 to 1.
    Source: Mardia & Jupp 2000 (from memory).
    """
    length = _alignment(alignment)
    return math.sqrt(abs(math.log(length)) / 2.0) if length else math.inf


def mean_axis(
    angles: Iterable[float], weights: Iterable[float] | None = None
) -> tuple[float, float]:
    """Return (resultant length 0 to 1, mean axis in [0, pi)) of axes in radians.

    The axis means nothing when the length is 0.  ValueError for no angles, no weight, or lists of
    unequal length.  Source: Fisher, Statistical Analysis of Circular Data (1993); Zar,
    Biostatistical Analysis (2010); both from memory.
    """
    directions = tuple(angles)
    shares = (1.0,) * len(directions) if weights is None else tuple(weights)
    if not any(shares):
        raise ValueError("a mean axis needs at least one angle that has weight")
    mean = stack_resultant((w, 1.0, a) for a, w in zip(directions, shares, strict=True))
    half = math.atan2(mean.imag, mean.real) / 2.0
    axis = half % math.pi
    return min(1.0, abs(mean)), axis if axis < math.pi else 0.0
