"""Shrinkage: how far a layout draws in, and what swatches teach about it.

Contraction is a log strain, eps = -ln(finished / laid out), positive where it shrinks; the part lost
is 1 - exp(-eps). A piece has a mean strain eps_m and a ratio g by which it shrinks more one way:

    eps_m / stage = t0 + t1 ln(w / 0.400 kg/m²) + t2 (F - 1) + noise
    g             = t3 Re(R) + t4 q + noise
    eps east-west = eps_m (1 + g), eps north-south = eps_m (1 - g)

w is all fibre as laid out, F its feltability by weight (merino 1), R the doubled-angle resultant of
what felts, q how much more it is rolled one way. Mean and ratio are two regressions (:mod:`regression`)
whose priors are from memory of the craft; nothing here has been tested against measured felt. Without
a swatch show the range, never one figure. Lengths in m, weights in kg, angles in radians
anticlockwise from east.
"""

from __future__ import annotations

import cmath
import math

import attrs

from felt_engine.analysis.regression import Belief, Likely, Row, forget, predict, prior, update
from felt_engine.value import Value, fenced

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

# All of these are from memory of the craft, not measured.
STAGE_STRAIN: dict[str, float] = {"prefelt": 0.07, "light": 0.17, "firm": 0.36, "hard": 0.55}
"""Mean strain of merino at the reference weight, by stage (30 % shrinkage at firm)."""

REFERENCE = 0.400
"""Weight per area that the stages' strains are for, kg/m²."""

HAND = (1.00, 0.25)
WEIGHT = (-0.40, 0.20)
WOOL = (0.80, 0.30)
DIRECTION = (0.30, 0.15)
ROLLING = (0.25, 0.15)
"""Coefficients t0 to t4 before any swatch: mean and standard deviation."""

NOISE_MEAN, NOISE_RATIO = 0.10, 0.06
"""MeasuredSwatch to swatch repeatability of mean and ratio, as standard deviations."""

ROWS = 8.0
READING = 0.007 / math.sqrt(2.0)
"""Error of a mean strain that comes of reading two lengths: about 2 mm on 300 mm."""

LEAST = 0.05
"""Least part of a stage's strain that is forecast: what felts shrinks, however slowly."""

HOLDS = (0.060, 1.200)
"""Weights per area, kg/m², between which the model is meant to hold."""

_MOST = 1e100


@attrs.frozen(eq=False, repr=False)
class Making(Value):
    """How something is laid and worked, as far as shrinkage depends on it.

    ``areal`` in kg/m² as laid out, all fibre; ``felts`` 0 to 1; ``pull`` the doubled-angle resultant
    of what felts (real part along east-west); ``rolling`` (n_x - n_y)/(n_x + n_y), where n_x counts
    rolls that shrink it east-west.
    """

    stage: str
    areal: float
    felts: float = 1.0
    pull: complex = 0j
    rolling: float = 0.0

    def __attrs_post_init__(self) -> None:
        if self.stage not in STAGE_STRAIN:
            raise ValueError(f"a stage is one of {', '.join(STAGE_STRAIN)}, not {self.stage!r}")
        if not 0.0 < self.areal <= _MOST:
            raise ValueError(f"a weight per area must be positive, not {self.areal!r}")
        sizes = (self.felts, abs(self.pull) / (1 + 1e-9), abs(self.rolling))
        if not all(0.0 <= one <= 1.0 for one in sizes):
            raise ValueError("feltability must lie in 0 to 1, pull and rolling in -1 to 1")

    @property
    def beyond(self) -> bool:
        """Whether its weight lies outside the range that the model is meant for."""
        return not HOLDS[0] <= self.areal <= HOLDS[1]

    def mean_terms(self) -> tuple[float, float, float]:
        """What t0, t1 and t2 are multiplied by."""
        return 1.0, math.log(self.areal / REFERENCE), self.felts - 1.0

    def ratio_terms(self, angle: float = 0.0) -> tuple[float, float]:
        """What t3 and t4 are multiplied by, for the strain in a direction."""
        return (self.pull * cmath.exp(-2j * angle)).real, self.rolling * math.cos(2.0 * angle)


@attrs.frozen(eq=False, repr=False)
class MeasuredSwatch(Value):
    """A measured sample: how it was made, laid-out and finished size, east-west by north-south, m.

    Where its directions aren't known, ``ways_known`` is false: it then teaches the mean alone.
    """

    making: Making
    laid: tuple[float, float]
    finished: tuple[float, float]
    ways_known: bool = True

    def __attrs_post_init__(self) -> None:
        if not all(0.0 < one <= _MOST for one in (*self.laid, *self.finished)):
            raise ValueError("a swatch needs four positive lengths")

    @property
    def strains(self) -> tuple[float, float]:
        """Strain east-west and north-south."""
        east = math.log(self.laid[0] / self.finished[0])
        return east, math.log(self.laid[1] / self.finished[1])

    @property
    def mean(self) -> float:
        """Mean strain; zero or less where it didn't shrink."""
        return sum(self.strains) / 2.0


@attrs.frozen(eq=False, repr=False)
class Hand(Value):
    """What is known of a pair of hands and its wool: two beliefs, and how many swatches taught them.

    ``mean`` is about t0, t1, t2; ``ratio`` about t3, t4.
    """

    mean: Belief
    ratio: Belief
    swatches: int = 0


def untaught() -> Hand:
    """What is known before any swatch."""
    means, deviations = zip(HAND, WEIGHT, WOOL, strict=True)
    ratios, spread = zip(DIRECTION, ROLLING, strict=True)
    return Hand(
        prior(means, deviations, NOISE_MEAN, ROWS), prior(ratios, spread, NOISE_RATIO, ROWS)
    )


def mean_row(swatch: MeasuredSwatch) -> Row:
    """A swatch as a row about t0, t1, t2."""
    usual = STAGE_STRAIN[swatch.making.stage]
    return Row(
        swatch.making.mean_terms(), swatch.mean / usual, _reading(usual, NOISE_MEAN)
    )  # fmt: skip


def ratio_row(swatch: MeasuredSwatch) -> Row | None:
    """A swatch as a row about t3, t4; ``None`` where it shrank no more than a reading error.

    There the ratio of two strains says nothing; nor does it where the directions aren't known.
    """
    east, north = swatch.strains
    mean = swatch.mean
    if mean <= READING or not swatch.ways_known:
        return None
    return Row(
        swatch.making.ratio_terms(), (east - north) / (2.0 * mean), _reading(mean, NOISE_RATIO)
    )


def _reading(strain: float, noise: float) -> float:
    """Variance of a reading of a strain over that of the noise, both together."""
    return 1.0 + (READING / strain / noise) ** 2


def learn(hand: Hand, swatches: Iterable[MeasuredSwatch]) -> Hand:
    """What is known after some more swatches; their order doesn't matter."""
    known = tuple(swatches)
    ratios = [row for row in map(ratio_row, known) if row is not None]
    return Hand(
        update(hand.mean, map(mean_row, known)), update(hand.ratio, ratios),
        hand.swatches + len(known),
    )  # fmt: skip


def unlearn(hand: Hand, swatch: MeasuredSwatch) -> Hand:
    """What is known without one of the swatches that taught this hand."""
    ratio = ratio_row(swatch)
    return Hand(
        forget(hand.mean, mean_row(swatch)),
        hand.ratio if ratio is None else forget(hand.ratio, ratio),
        hand.swatches - 1,
    )


@attrs.frozen(eq=False, repr=False)
class Forecast(Value):
    """What a making will do in a hand that is known so far.

    ``strain`` is the mean strain, ``share`` it as a part of the stage's usual strain, ``beyond`` is
    true where the weight lies outside the range of the model: trust it less there. ``swatches`` is
    how many the hand was taught by. ``grown`` is true where it would have felt grow, or shrink by less
    than any does: then the least is taken.
    """

    hand: Hand
    making: Making
    share: Likely
    strain: float
    beyond: bool
    swatches: int
    grown: bool = False

    @fenced
    def toward(self, angle: float = 0.0) -> Likely:
        """Strain in a direction: 0 is east-west, π/2 north-south."""
        usual = STAGE_STRAIN[self.making.stage]
        v = _reading(self.strain, NOISE_RATIO)
        ratio = predict(self.hand.ratio, self.making.ratio_terms(angle), v)
        by_mean = (usual * self.share.scale * (1.0 + ratio.mean)) ** 2
        by_ratio = (self.strain * ratio.scale) ** 2 + (usual * self.share.scale * ratio.scale) ** 2
        total = by_mean + by_ratio
        dof = total**2 / (by_mean**2 / self.share.dof + by_ratio**2 / ratio.dof)
        return Likely(self.strain * (1.0 + ratio.mean), math.sqrt(total), dof)

    @fenced
    def between(self, angle: float = 0.0, share: float = 0.8) -> tuple[float, float, float]:
        """Strain in a direction: low, likely, high. Felt hardly grows: low is below 0 only if likely is."""
        strain = self.toward(angle)
        low, high = strain.span(share)
        return max(low, min(0.0, strain.mean)), strain.mean, high

    @fenced
    def laid_for(
        self, finished: float, angle: float = 0.0, share: float = 0.8
    ) -> tuple[float, float, float]:
        """Layout length in a direction for a finished one, m: low, likely, high of the range."""
        low, mean, high = self.between(angle, share)
        return laid_size(finished, low), laid_size(finished, mean), laid_size(finished, high)

    @fenced
    def finished_from(
        self, laid: float, angle: float = 0.0, share: float = 0.8
    ) -> tuple[float, float, float]:
        """Finished length in a direction from a laid-out one, m: low, likely, high."""
        low, mean, high = self.between(angle, share)
        return finished_size(laid, high), finished_size(laid, mean), finished_size(laid, low)

    @property
    def area_lost(self) -> float:
        """Part of the area that is lost: 1 - exp(-2 eps_m)."""
        return shrinkage(2.0 * self.strain)

    @property
    def askew(self) -> complex:
        """Ratio g as a doubled-angle vector: its length is the greatest g, half its angle where."""
        along, rolled = self.hand.ratio.mean
        return along * self.making.pull + rolled * self.making.rolling

    @property
    def out_of_square(self) -> float:
        """How much longer a square comes out across its greatest pull than along it, as a part."""
        return out_of_square(self.strain, abs(self.askew))


def forecast(hand: Hand, making: Making) -> Forecast:
    """What a making will do, in a hand known so far. A weight out of range is marked, not refused."""
    usual = STAGE_STRAIN[making.stage]
    share = predict(hand.mean, making.mean_terms(), _reading(usual, NOISE_MEAN))
    grown = share.mean < LEAST
    share = attrs.evolve(share, mean=LEAST) if grown else share
    return Forecast(
        hand, making, share, usual * share.mean, making.beyond, hand.swatches, grown=grown
    )


def shrinkage(strain: float) -> float:
    """Part of a length that is lost at a strain: 1 - exp(-eps)."""
    return -math.expm1(-strain)


def strain_of(shrunk: float) -> float:
    """The strain at which this part of a length is lost; ValueError unless below 1."""
    if not -_MOST <= shrunk < 1.0:
        raise ValueError(f"a part that is lost must be below 1, not {shrunk!r}")
    return -math.log1p(-shrunk)


def laid_size(finished: float, strain: float) -> float:
    """Layout length for a finished one, m: f exp(eps), the same as f / (1 - s)."""
    return finished * math.exp(strain)


def finished_size(laid: float, strain: float) -> float:
    """Finished length of a laid-out one, m."""
    return laid * math.exp(-strain)


def finished_areal(areal: float, strain: float) -> float:
    """Weight per area after felting, kg/m², from that of the layout and the mean strain."""
    return areal * math.exp(2.0 * strain)


def out_of_square(strain: float, ratio: float) -> float:
    """How much longer one side of a square comes out than the other, as a part of it."""
    return math.expm1(2.0 * strain * ratio)


def strain_of_mass(
    hand: Hand, stage: str, mass: float, finished_area: float, felts: float = 1.0
) -> float:
    """Mean strain where the weight is fixed (kg) and the layout follows from the finished area (m²).

    More shrinkage needs a larger layout, which is thinner and so shrinks more: solved in closed
    form. ValueError for a hand in which that runs away (1 + 2 stage t1 not above 0).
    """
    t0, t1, t2 = hand.mean.mean
    usual = STAGE_STRAIN[stage]
    if not (0.0 < mass <= _MOST and 0.0 < finished_area <= _MOST):
        raise ValueError("a weight and an area must be positive")
    damped = 1.0 + 2.0 * usual * t1
    if damped <= 0.0:
        raise ValueError("weight counts so much here that no layout size follows")
    share = t0 + t1 * math.log(mass / finished_area / REFERENCE) + t2 * (felts - 1.0)
    return usual * max(LEAST, share / damped)
