"""Small linear regressions that learn: a conjugate normal-inverse-gamma belief, on plain floats.

A belief about y = x · t + noise is a mean and a precision of t, and a shape and a scale of the
noise's variance; rows of measurements turn it into a sharper belief of the same kind.

Source: Bayesian linear regression as in Gelman et al., Bayesian Data Analysis (2013), chapter 14,
and DeGroot, Optimal Statistical Decisions (1970); both from memory.
"""

from __future__ import annotations

import math

import attrs

from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Vector = tuple[float, ...]
Matrix = tuple[Vector, ...]

_MOST = 1e100


@attrs.frozen(eq=False, repr=False)
class Row(Value):
    """One measurement: y = x · t, with noise of ``v`` times the usual variance (1 or more)."""

    x: Vector
    y: float
    v: float = 1.0


@attrs.frozen(eq=False, repr=False)
class Belief(Value):
    """What is known of the coefficients t and of the noise.

    t is normal about ``mean`` with ``precision`` over the noise's variance; that variance is
    inverse-gamma with ``shape`` a and ``scale`` b.
    """

    mean: Vector
    precision: Matrix
    shape: float
    scale: float

    @property
    def deviations(self) -> Vector:
        """Standard deviation of each coefficient: the root of b/(a - 1) times P⁻¹'s diagonal."""
        size = len(self.mean)
        units = [tuple(1.0 if i == k else 0.0 for i in range(size)) for k in range(size)]
        factor = self.scale / (self.shape - 1.0)
        return tuple(math.sqrt(factor * _quadratic(self.precision, unit)) for unit in units)


@attrs.frozen(eq=False, repr=False)
class Likely(Value):
    """A figure that is known as a Student t: its middle, scale, and degrees of freedom."""

    mean: float
    scale: float
    dof: float

    def span(self, share: float = 0.8) -> tuple[float, float]:
        """The middle range that holds this share of what may come; ValueError outside 0 to 1."""
        half = self.scale * student_quantile((1.0 + share) / 2.0, self.dof) if share else 0.0
        return self.mean - half, self.mean + half


def prior(means: Sequence[float], deviations: Sequence[float], noise: float, rows: float) -> Belief:
    """A belief before any row: independent coefficients, and noise known as from 2 ``rows`` of it.

    ``noise`` is the standard deviation that the noise is thought to have. ValueError unless all
    deviations are positive and ``rows`` is above 1.
    """
    if not rows > 1.0 or not all(0.0 < one <= _MOST for one in (noise, *deviations)):
        raise ValueError(
            "a prior needs positive deviations, and more than one row's worth of noise"
        )
    diagonal = [(noise / one) ** 2 for one in deviations]
    precision = tuple(
        tuple(one if i == k else 0.0 for k in range(len(diagonal)))
        for i, one in enumerate(diagonal)
    )
    return Belief(tuple(means), precision, rows, (rows - 1.0) * noise * noise)


def update(belief: Belief, rows: Iterable[Row]) -> Belief:
    """The belief after some rows; in one go or row by row gives the same.

    ValueError for a row of the wrong length, with a figure that isn't finite, or with v not
    positive.
    """
    size = len(belief.mean)
    known = [_checked(row, size) for row in rows]
    if not known:
        return belief
    precision = [list(line) for line in belief.precision]
    pull = [math.fsum(p * m for p, m in zip(line, belief.mean, strict=True)) for line in precision]
    for row in known:
        for i in range(size):
            pull[i] += row.x[i] * row.y / row.v
            for k in range(size):
                precision[i][k] += row.x[i] * row.x[k] / row.v
    after = tuple(tuple(line) for line in precision)
    mean = _solve(after, pull)
    return Belief(
        mean,
        after,
        belief.shape + len(known) / 2.0,
        belief.scale + _misfit(belief, known, mean) / 2.0,
    )


def forget(belief: Belief, row: Row) -> Belief:
    """The belief without one of the rows that it was taught by: what all the others say.

    By what a row's own residual e becomes without it, e / (1 - h), where h is its leverage: the
    identity behind leave-one-out residuals, as in Cook and Weisberg, Residuals and Influence in
    Regression (1982), chapter 2 (from memory). ValueError as for :func:`update`.
    """
    _checked(row, len(belief.mean))
    left = row.v - _quadratic(belief.precision, row.x)
    residual = row.y - _dot(row.x, belief.mean)
    moves = _solve(belief.precision, row.x)
    return Belief(
        tuple(m - move * residual / left for m, move in zip(belief.mean, moves, strict=True)),
        tuple(
            tuple(p - one * two / row.v for p, two in zip(line, row.x, strict=True))
            for line, one in zip(belief.precision, row.x, strict=True)
        ),
        belief.shape - 0.5,
        belief.scale - residual * residual / (2.0 * left),
    )


def _misfit(belief: Belief, rows: Sequence[Row], mean: Vector) -> float:
    """What the new mean leaves unexplained, in rows and in the old belief.

    The same as y'y/v + m0'P0 m0 - m'P m, without taking large numbers from each other.
    """
    moved = [new - old for new, old in zip(mean, belief.mean, strict=True)]
    terms = [
        one * belief.precision[i][k] * two for i, one in enumerate(moved)
        for k, two in enumerate(moved)
    ]  # fmt: skip
    terms += [(row.y - _dot(row.x, mean)) ** 2 / row.v for row in rows]
    return math.fsum(terms)


def predict(belief: Belief, x: Sequence[float], v: float = 1.0) -> Likely:
    """What a further row at x would measure, with noise of ``v`` times the usual variance."""
    row = _checked(Row(tuple(x), 0.0, v), len(belief.mean))
    spread = belief.scale / belief.shape * (row.v + _quadratic(belief.precision, row.x))
    return Likely(_dot(row.x, belief.mean), math.sqrt(spread), 2.0 * belief.shape)


def normal_quantile(share: float) -> float:
    """The standard normal quantile of a share strictly between 0 and 1; else ValueError.

    A rational start (Abramowitz & Stegun 1964, 26.2.23, from memory), then Halley's steps.
    """
    if not 0.0 < share < 1.0:
        raise ValueError(f"a share must lie between 0 and 1, not {share!r}")
    small = min(share, 1.0 - share)
    t = math.sqrt(-2.0 * math.log(small))
    z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (
        1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308))
    )
    for _ in range(3):
        over = 0.5 * math.erfc(z / math.sqrt(2.0)) - small
        step = over * math.sqrt(2.0 * math.pi) * math.exp(z * z / 2.0)
        z += step / (1.0 + z * step / 2.0)
    return z if share >= 0.5 else -z


def student_quantile(share: float, dof: float) -> float:
    """The Student t quantile, by Cornish and Fisher's expansion about the normal one.

    Within 1e-4 for a share of 0.05 to 0.95 and 8 or more degrees of freedom, the only ones used
    here; fewer than 4 are refused. Source: Abramowitz & Stegun 1964, 26.7.5 (from memory).
    """
    if not dof >= 4.0:
        raise ValueError(f"at least 4 degrees of freedom are needed, not {dof!r}")
    z = normal_quantile(share)
    q = z * z
    first = z * (q + 1) / 4
    second = z * ((5 * q + 16) * q + 3) / 96
    third = z * (((3 * q + 19) * q + 17) * q - 15) / 384
    fourth = z * ((((79 * q + 776) * q + 1482) * q - 1920) * q - 945) / 92160
    return z + (first + (second + (third + fourth / dof) / dof) / dof) / dof


def _checked(row: Row, size: int) -> Row:
    if len(row.x) != size:
        raise ValueError(f"a row needs {size} figures, not {len(row.x)}")
    if not all(-_MOST <= one <= _MOST for one in (*row.x, row.y)) or not 0.0 < row.v <= _MOST:
        raise ValueError("a row must be of finite figures, with a positive variance")
    return row


def _dot(one: Sequence[float], two: Sequence[float]) -> float:
    return math.fsum(a * b for a, b in zip(one, two, strict=True))


def _lower(matrix: Matrix) -> list[list[float]]:
    """Cholesky's lower triangle of a positive definite matrix."""
    size = len(matrix)
    lower = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for k in range(i + 1):
            left = matrix[i][k] - _dot(lower[i][:k], lower[k][:k])
            lower[i][k] = math.sqrt(left) if i == k else left / lower[k][k]
    return lower


def _forward(lower: list[list[float]], right: Sequence[float]) -> list[float]:
    found: list[float] = []
    for i, line in enumerate(lower):
        found.append((right[i] - _dot(line[:i], found)) / line[i])
    return found


def _solve(matrix: Matrix, right: Sequence[float]) -> Vector:
    lower = _lower(matrix)
    half = _forward(lower, right)
    size = len(half)
    found = [0.0] * size
    for i in reversed(range(size)):
        rest = math.fsum(lower[k][i] * found[k] for k in range(i + 1, size))
        found[i] = (half[i] - rest) / lower[i][i]
    return tuple(found)


def _quadratic(matrix: Matrix, x: Sequence[float]) -> float:
    """x' M⁻¹ x."""
    return math.fsum(one * one for one in _forward(_lower(matrix), x))
