"""Local strain: how far a stack draws in by itself, and how far two stacks differ in that.

The model is that of :mod:`shrinkage` before any swatch: eps_m = stage (1 + t1 ln(w / w0) + t2 (F - 1)).
w is all fibre laid there, F its feltability by weight. Open cloth is left out, since wool grows
through it and puckers it as it likes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

import attrs

from felt_engine.analysis.shrinkage import (
    HAND,
    LEAST,
    REFERENCE,
    STAGE_STRAIN,
    WEIGHT,
    WOOL,
    Hand,
)
from felt_engine.analysis.stack import Laid
from felt_engine.analysis.steady import steady
from felt_engine.value import Value


def weight_and_felts(stack: Iterable[Laid]) -> tuple[float, float]:
    """Weight per area (kg/m²) of all fibre but open cloth, and its mean feltability (0 to 1)."""
    return mean_fibre([(1.0, stack)])


def mean_fibre(stacks: Iterable[tuple[float, Iterable[Laid]]]) -> tuple[float, float]:
    """The same over stacks that lie side by side, each with its area (m²) or its share of it."""
    area = fibre = felting = 0.0
    for share, stack in stacks:
        area += share
        for laid in stack:
            for weight, felts in laid.fibre:
                fibre += weight * share
                felting += felts * share
    return steady(fibre / area) if area else 0.0, steady(felting / fibre) if fibre else 0.0


@attrs.frozen
class Counts:
    """What hand, weight and feltability count: means, and standard deviations."""

    means: tuple[float, float, float] = (HAND[0], WEIGHT[0], WOOL[0])
    deviations: tuple[float, float, float] = (HAND[1], WEIGHT[1], WOOL[1])


UNTAUGHT = Counts()
"""Before any swatch."""


def counts_of(hand: Hand | None) -> Counts:
    """What they count in a hand that swatches taught; before any swatch for ``None``."""
    if hand is None or not hand.swatches:
        return UNTAUGHT
    t0, t1, t2 = hand.mean.mean
    d0, d1, d2 = hand.mean.deviations
    return Counts((t0, t1, t2), (d0, d1, d2))


def local_strain(stack: Iterable[Laid], stage: str, hand: Hand | None = None) -> float:
    """Mean strain of a stack by itself at a stage; 0 where nothing lies.

    KeyError for a stage that isn't prefelt, light, firm or hard.
    """
    return fibre_strain(weight_and_felts(stack), stage, hand)


def fibre_strain(fibre: tuple[float, float], stage: str, hand: Hand | None = None) -> float:
    """The same of a weight per area (kg/m²) and its feltability."""
    areal, felts = fibre
    return strain_at(areal, felts, stage, counts_of(hand)) if areal else 0.0


def strain_at(areal: float, felts: float, stage: str, counts: Counts = UNTAUGHT) -> float:
    """Mean strain of a weight per area (kg/m², above 0) and a feltability at a stage."""
    t0, t1, t2 = counts.means
    share = t0 + t1 * math.log(areal / REFERENCE) + t2 * (felts - 1.0)
    return STAGE_STRAIN[stage] * max(LEAST, share)


@attrs.frozen(eq=False, repr=False)
class Apart(Value):
    """How far two stacks would draw in by themselves, one less the other, as log strains.

    ``by_weight`` and ``by_wool`` are the parts of it that come of unlike weights and of unlike
    feltability. ``kinder`` is the size of the difference less one standard deviation of it, from
    those of the stage, t1 and t2 together; ``kinder_by_wool`` that of ``by_wool`` alone.
    """

    total: float
    by_weight: float
    by_wool: float
    kinder: float
    kinder_by_wool: float


def apart(one: Sequence[Laid], two: Sequence[Laid], stage: str, hand: Hand | None = None) -> Apart:
    """The difference of two stacks at a stage. Two stacks of which one is empty don't differ.

    ``hand`` is what swatches taught, if any did.
    """
    areal_1, felts_1 = weight_and_felts(one)
    areal_2, felts_2 = weight_and_felts(two)
    if not (areal_1 and areal_2):
        return Apart(0.0, 0.0, 0.0, 0.0, 0.0)
    heavier, felts = math.log(areal_1 / areal_2), felts_1 - felts_2
    usual, counts = STAGE_STRAIN[stage], counts_of(hand)
    total = local_strain(one, stage, hand) - local_strain(two, stage, hand)
    by_weight, by_wool = usual * counts.means[1] * heavier, usual * counts.means[2] * felts
    weighed = usual * counts.deviations[1] * heavier
    woolly = usual * counts.deviations[2] * felts
    own = counts.deviations[0] / counts.means[0]
    return Apart(
        total, by_weight, by_wool,
        _kinder(total, own, weighed, woolly), _kinder(by_wool, own, 0.0, woolly),
    )  # fmt: skip


def evened(
    one: Sequence[Laid], two: Sequence[Laid], stage: str, most: float, hand: Hand | None = None,
    less_of: Laid | None = None,
) -> float | None:  # fmt: skip
    """The weight of the first, kg/m², nearest to its own, at which the two differ by ``most`` or less.

    It changes as it is made, and no further than to the weight of the second; or there is less of
    one thing in it. ``None`` where that doesn't do. Both are to have some weight.
    """
    (own, felts), (other, _) = weight_and_felts(one), weight_and_felts(two)
    kept, own_felts = weight_and_felts([laid for laid in one if laid is not less_of])
    taken = (own * felts - kept * own_felts) / (own - kept) if own > kept else felts
    beside, counts = local_strain(two, stage, hand), counts_of(hand)

    def over(areal: float) -> float:
        changed = felts
        if less_of is not None:
            changed = (kept * own_felts + (areal - kept) * taken) / areal
        return strain_at(areal, changed, stage, counts) - beside

    return _between(own, other if less_of is None else max(kept, 1e-6), most, over)


def levelled(
    one: tuple[float, float], two: tuple[float, float], stage: str, most: float,
    hand: Hand | None = None,
) -> float | None:  # fmt: skip
    """As :func:`evened`, for two weights per area (kg/m²) with their feltability, as they are made."""
    (own, felts), (other, quick) = one, two
    counts = counts_of(hand)
    beside = strain_at(other, quick, stage, counts)
    return _between(own, other, most, lambda areal: strain_at(areal, felts, stage, counts) - beside)


def _between(own: float, near: float, most: float, over: Callable[[float], float]) -> float | None:
    """The weight nearest to its own, towards another, at which two differ by ``most`` or less."""
    if over(own) * over(near) < 0:  # on the way they are alike
        near = _nearest(own, near, lambda areal: over(areal) * over(own) <= 0)
    return (
        _nearest(own, near, lambda areal: abs(over(areal)) <= most)
        if abs(over(near)) <= most
        else None
    )


def exchanged(
    one: Sequence[Laid], two: Sequence[Laid], slow: Laid, stage: str, most: float,
    hand: Hand | None = None,
) -> tuple[float, float]:  # fmt: skip
    """How much of something slow in the first, kg/m², wool like the second's is to take the place of.

    With it, what the first weighs then, kg/m²: as it does, or, where all that is slow is not enough,
    nearer to the second. Then the two differ by ``most`` or less.
    """
    (own, felts), (other, quick) = weight_and_felts(one), weight_and_felts(two)
    kept, kept_felts = weight_and_felts([laid for laid in one if laid is not slow])
    has = own - kept
    lags = quick - (own * felts - kept * kept_felts) / has if has > 0 else 0.0
    beside, counts = local_strain(two, stage, hand), counts_of(hand)

    def fits(areal: float, taken: float) -> bool:
        changed = felts + taken * lags / own
        return abs(strain_at(areal, changed, stage, counts) - beside) <= most

    if not fits(own, has):
        return has, _nearest(own, other, lambda areal: fits(areal, has))
    return _nearest(0.0, has, lambda taken: fits(own, taken)), own


def _nearest(far: float, near: float, fits: Callable[[float], bool]) -> float:
    """The figure nearest to the first that fits, where the second does."""
    for _ in range(40):
        middle = (far + near) / 2
        far, near = (far, middle) if fits(middle) else (middle, near)
    return near


def _kinder(size: float, own: float, *deviations: float) -> float:
    """A difference less one standard deviation of it: that of its terms, and of the hand's own."""
    return max(0.0, abs(size) - math.hypot(own * size, *deviations))
