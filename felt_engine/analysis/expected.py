"""What a finished size asks of the felting, beside what its stage usually does.

The model is that of :mod:`shrinkage`, in a hand that no swatch has taught, for the piece as a whole.
"""

from __future__ import annotations

import math

import attrs

from felt_engine.analysis.making import making_of
from felt_engine.analysis.regression import predict
from felt_engine.analysis.shrinkage import STAGE_STRAIN, forecast, untaught
from felt_engine.analysis.working import rolling
from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.analysis.build import Build


LEAST = {"hard": "light", "firm": "prefelt"}
"""What a stage does at least: as much as the one but one before it does on the average (common
practice, no source: hard felt that lost no more than light felt does isn't hard)."""


@attrs.frozen(eq=False, repr=False)
class Expected(Value):
    """Log strains wanted east-west and north-south, and what the stage does.

    ``mean`` and ``ratio`` are low, likely and high of the mean strain and of (east - north) / (east +
    north), in 19 of 20 cases; ``None`` where the stage isn't said or nothing felts. ``rolled`` is
    false where the work doesn't say how often it is rolled from which edge.
    """

    laid: tuple[float, float]
    finished: tuple[float, float]
    strains: tuple[float, float]
    mean: tuple[float, float, float] | None
    ratio: tuple[float, float, float] | None
    rolled: bool
    beyond: bool

    @property
    def wanted(self) -> float:
        """The mean strain that the finished size asks for."""
        return sum(self.strains) / 2

    @property
    def askew(self) -> float:
        """How unequal the two strains are that it asks for; 0 where there is hardly any strain."""
        return askew(*self.strains)


def askew(east: float, north: float) -> float:
    """(east - north) / (east + north); 0 where their sum is next to nothing."""
    total = east + north
    return (east - north) / total if total > 0.02 else 0.0


def expected(build: Build) -> Expected | None:
    """What the finished size asks for; ``None`` if the recipe states none."""
    piece = build.recipe.piece
    if piece.finished is None:
        return None
    laid, finished = piece.sides, piece.finished.sides
    strains = math.log(laid[0] / finished[0]), math.log(laid[1] / finished[1])
    rolls = rolling(build.recipe.work)
    making = making_of(build, piece.stage) if piece.stage else None
    if making is not None and not making.felts:
        making = None
    mean = ratio = None
    if making is not None:
        made = forecast(build.hand or untaught(), making)
        usual = STAGE_STRAIN[making.stage]
        low, high = made.share.span(0.95)
        below = STAGE_STRAIN.get(LEAST.get(making.stage, ""), 0.0) * made.share.mean
        mean = max(0.0, below, usual * low), made.strain, usual * high
        likely = predict(made.hand.ratio, making.ratio_terms(), 1.0)
        down, up = likely.span(0.95)
        ratio = down, likely.mean, up
    return Expected(
        laid, finished, strains, mean, ratio, rolls.counted and rolls.total > 0,
        making is not None and making.beyond
    )  # fmt: skip


__all__ = ["Expected", "askew", "expected"]
