"""Coverage: how many fibres lie over a point, and how much of the piece stays bare.

Coverage is a mean count of fibres over a point and has no unit.  Areal densities are those of the
laid, unfelted piece in kg/m2; lengths in metres; densities in kg/m3.  The coverage of a mixed lot
is the sum of the coverages of its parts.  Fibres count as straight, flat-lying cylinders; crimp
and loft are left out.
"""

from __future__ import annotations

import math

# Coefficient of variation of the cover, by how the fibre was prepared for laying.
# From memory of the craft, not measured; "top" was set beside one published row of samples.
LAYING_CV: dict[str, float] = {
    "prefelt": 0.10, "batt": 0.15, "sliver": 0.30, "top": 0.30, "scatter": 0.45,
}  # fmt: skip

# Distance of the 10th percentile of a normal distribution below its mean, in standard deviations.
_TENTH = 1.2816

_LEAST, _MOST = 1e-100, 1e100


def _positive(name: str, value: float) -> float:
    if not _LEAST <= value <= _MOST:
        raise ValueError(f"{name} must be a positive finite number, not {value!r}")
    return value


def _not_negative(name: str, value: float) -> float:
    if not 0.0 <= value <= _MOST:
        raise ValueError(f"{name} must be zero or a positive finite number, not {value!r}")
    return value


def cylinder_coverage(areal: float, diameter: float, density: float) -> float:
    """Return the coverage of round fibres: 4 areal / (pi diameter density).

    areal in kg/m2, diameter in m, density in kg/m3; ValueError for a negative areal density or a
    diameter or density that isn't positive.
    Source: geometry; Kallmes & Corte, Tappi 43 (1960) 737-752 (from memory).
    """
    mass = _not_negative("areal density", areal)
    fibre = _positive("diameter", diameter) * _positive("density", density)
    return 4.0 * mass / (math.pi * fibre)


def film_coverage(areal: float, thickness: float, density: float) -> float:
    """Return the coverage of flat film fibres: areal / (thickness density).

    areal in kg/m2, thickness in m, density in kg/m3; ValueError as for round fibres.
    Source: geometry, for film that lies flat.
    """
    mass = _not_negative("areal density", areal)
    return mass / (_positive("thickness", thickness) * _positive("density", density))


def bare_random(coverage: float) -> float:
    """Return the bare fraction (0 to 1) of fibres strewn at random: exp(-coverage).

    Direction doesn't enter.  ValueError for a negative coverage.
    Source: Kallmes & Corte 1960; Sampson, Modelling Stochastic Fibrous Materials (2009); both
    from memory.
    """
    return math.exp(-_not_negative("coverage", coverage))


def bare_index(coverage: float, variation: float) -> float:
    """Return the bare index (0 to 1): the zero class when local coverage is gamma-distributed.

    (1 + c v^2)^(-1/v^2), with variation v the coefficient of variation of the local coverage;
    v = 0 gives exp(-c).  An index to rank layers by, not a share to measure.  ValueError for a
    negative argument.
    Source: Greenwood & Yule, J. R. Stat. Soc. 83 (1920) 255-279 (from memory).
    """
    cover = _not_negative("coverage", coverage)
    x = cover * _not_negative("variation", variation) ** 2
    return math.exp(-cover * (math.log1p(x) / x if x else 1.0))


def coverage_for_bare(bare: float, variation: float) -> float:
    """Return the coverage that leaves a given bare index: the inverse of `bare_index`.

    ValueError for a bare index outside 0 < bare <= 1, a negative variation, or a pair that no
    finite coverage reaches.
    """
    if not 0.0 < bare <= 1.0:
        raise ValueError(f"bare index must lie above 0 and not above 1, not {bare!r}")
    cover = abs(math.log(bare))
    x = cover * _not_negative("variation", variation) ** 2
    if x > 700.0:
        raise ValueError(f"no finite coverage leaves {bare!r} bare at variation {variation!r}")
    return cover * (math.expm1(x) / x if x else 1.0)


def thin_cover(coverage: float, variation: float) -> float:
    """Return the coverage of the thin places (10th percentile), not below 0: c (1 - 1.2816 v).

    ValueError for a negative argument.  Source: quantile of the normal distribution.
    """
    shrunk = 1.0 - _TENTH * _not_negative("variation", variation)
    return max(0.0, _not_negative("coverage", coverage) * shrunk)
