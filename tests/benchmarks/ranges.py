"""How often the 80 % ranges of a forecast hold, by simulation. Prints shares; asserts nothing.

Invented hands are drawn from the priors, each makes some swatches and then a piece; noise itself
spreads by 30 % from hand to hand. Run: python tests/benchmarks/ranges.py [TRIALS]
"""

from __future__ import annotations

import math
import random
import sys

from felt_engine.analysis import shrinkage as s


def _making(rng: random.Random) -> s.Making:
    turn = rng.uniform(0, math.pi)
    pull = rng.uniform(0, 0.5) * complex(math.cos(2 * turn), math.sin(2 * turn))
    stage = rng.choice(["light", "firm", "hard"])
    felts = rng.choice([1.0, 1.0, 1.0, 0.85, 0.7, 0.5])
    return s.Making(stage, rng.uniform(0.08, 0.9), felts, pull, rng.uniform(-0.4, 0.4))


class _Hand:
    """One invented pair of hands."""

    def __init__(self, rng: random.Random, wider: float) -> None:
        self.rng = rng
        self.t = [rng.gauss(m, wider * d) for m, d in
                  (s.HAND, s.WEIGHT, s.WOOL, s.DIRECTION, s.ROLLING)]  # fmt: skip
        spread = math.exp(rng.gauss(0, 0.3))
        self.noise = s.NOISE_MEAN * spread, s.NOISE_RATIO * spread

    def strains(self, making: s.Making) -> tuple[float, float]:
        t, rng = self.t, self.rng
        share = sum(c * x for c, x in zip(t[:3], making.mean_terms(), strict=True))
        mean = s.STAGE_STRAIN[making.stage] * max(s.LEAST, share + rng.gauss(0, self.noise[0]))
        ratio = sum(c * x for c, x in zip(t[3:], making.ratio_terms(), strict=True))
        ratio += rng.gauss(0, self.noise[1])
        return mean * (1 + ratio), mean * (1 - ratio)

    def swatch(self, making: s.Making) -> s.MeasuredSwatch:
        read = [0.3 * math.exp(-e) + self.rng.gauss(0, 0.0015) for e in self.strains(making)]
        return s.MeasuredSwatch(making, (0.3, 0.3), (read[0], read[1]))


def run(trials: int, swatches: int, wider: float = 1.0, seed: int = 20) -> tuple[float, float]:
    """Share of pieces within their 80 % range, and the mean half width of the range (log size)."""
    rng = random.Random(seed)
    held = 0
    width = 0.0
    for _ in range(trials):
        hand = _Hand(rng, wider)
        known = s.learn(s.untaught(), [hand.swatch(_making(rng)) for _ in range(swatches)])
        piece = _making(rng)
        low, high = s.forecast(known, piece).toward(0.0).span(0.8)
        held += low <= hand.strains(piece)[0] <= high
        width += (high - low) / 2
    return held / trials, width / trials


def main() -> None:
    """Print the table."""
    trials = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    print(f"{trials} invented pieces for each line; the ranges are meant to hold 0.80")
    for swatches in (0, 1, 3, 6, 12):
        held, width = run(trials, swatches)
        print(f"  {swatches:>2} swatches: {held:.3f} held; half width {width:.3f} (log size)")
    for swatches in (0, 3):
        held, width = run(trials, swatches, wider=1.5)
        print(f"  {swatches:>2} swatches, hands half as unlike again: {held:.3f}; {width:.3f}")


if __name__ == "__main__":
    main()
