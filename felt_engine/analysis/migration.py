"""Migration: what of the lower layers comes to the face while the piece felts.

A fibre wanders through the thickness by a normal step of standard deviation `depth`, reflected at
the face; a fibre that ends at depth t shows with the weight exp(-t).  Depths and covers are in
units of coverage (fibres over a point).  The process and its closed form are this project's own,
untested against measured felt: read the results as classes, not as figures.
"""

from __future__ import annotations

import math

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

# Standard deviation of the wandering, in units of coverage, by stage of felting.
# From memory of the craft, not measured; good to the factor below, either way.
DEPTH: dict[str, float] = {"prefelt": 0.5, "light": 1.0, "firm": 1.7, "hard": 2.4}
DEPTH_FACTOR = 1.5

# Above this depth the closed form loses digits by cancellation.
_DEEPEST = 4.0
_MOST = 1e100

# Of what lies below so small a share of the face, each layer's own is not worked out.
_NOTHING = 1e-18


def _not_negative(name: str, value: float) -> float:
    if not 0.0 <= value <= _MOST:
        raise ValueError(f"{name} must be zero or a positive finite number, not {value!r}")
    return value


def _normal(x: float) -> float:
    """Return the standard normal distribution function."""
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


def under_share(cover: float, depth: float) -> float:
    """Return the share of the face (0 to 1) taken by all that was laid under a cover.

    cover and depth in units of coverage; a depth above 4 counts as 4, depth 0 gives exp(-cover).
    ValueError for a negative argument.  Source: this project's model, no outside source.
    """
    c = _not_negative("cover", cover)
    return _under_share(c, min(_not_negative("depth", depth), _DEEPEST))


def _under_share(c: float, step: float) -> float:
    if c >= 38.0 * step:  # nothing comes from so far by reflection, and exp(c) could overflow
        return min(1.0, math.exp(step * step / 2.0 - c))
    half = step * step / 2.0
    straight = math.exp(half - c) * _normal(c / step - step)
    mirrored = math.exp(half + c) * _normal(-c / step - step)
    return min(1.0, 2.0 * _normal(-c / step) + straight - mirrored)


def layer_shares(covers: Iterable[float], depth: float) -> tuple[float, ...]:
    """Return the share of the face that each layer takes; the shares sum to 1.

    covers are the coverages of the layers from the face inwards; the last layer takes the rest,
    as if it went on for ever.  For the other face reverse the order.  ValueError for no layers or
    a negative argument.  Source: this project's model, no outside source.
    """
    layers = [_not_negative("cover", cover) for cover in covers]
    if not layers:
        raise ValueError("a face needs at least one layer")
    step = min(_not_negative("depth", depth), _DEEPEST)
    shares, above, seen = [], 0.0, 1.0
    for cover in layers[:-1]:
        if seen < _NOTHING:
            shares.append(0.0)
            continue
        above += cover
        below = min(seen, _under_share(above, step))
        shares.append(seen - below)
        seen = below
    return (*shares, seen)


def bridge_share(barrier_cover: float, depth: float) -> float:
    """Return the share of fibres that bridge a barrier inside the stack: 2 Phi(-c / (2 depth)).

    Both in units of coverage; depth 0 bridges nothing but a barrier of cover 0.  ValueError for a
    negative argument.  Source: this project's model, no outside source.
    """
    c, step = _not_negative("cover", barrier_cover), _not_negative("depth", depth)
    if c == 0.0:
        return 1.0
    return 2.0 * _normal(-c / (2.0 * step)) if step else 0.0


def cover_for_bridge(share: float, depth: float) -> float:
    """Return the barrier's cover at which a given share of fibres bridges it: its inverse.

    ValueError for a share that isn't above 0 and below 1, or a depth that isn't positive.
    Source: this project's model, no outside source.
    """
    if not 0.0 < share < 1.0 or not 0.0 < depth <= _MOST:
        raise ValueError(f"no cover is bridged by a share of {share!r} at depth {depth!r}")
    low, high = 0.0, 80.0
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if 2.0 * _normal(-middle) > share else (low, middle)
    return 2.0 * depth * low


def anchor_share(items: Iterable[tuple[float, float]], depth: float) -> float:
    """Return the felting share of the face (0 to 1) after felting.

    Items are (cover, felting share of that cover) from the face inwards; the last one takes the
    rest.  ValueError for no items, a negative cover or a share outside 0 to 1.
    Source: this project's model, no outside source.
    """
    layers = list(items)
    for _, felting in layers:
        if not 0.0 <= felting <= 1.0:
            raise ValueError(f"a felting share must lie between 0 and 1, not {felting!r}")
    shares = layer_shares((cover for cover, _ in layers), depth)
    return math.fsum(s * q for s, (_, q) in zip(shares, layers, strict=True))
