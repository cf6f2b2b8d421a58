"""A stack as its two surfaces show and hold it: migration of fibre through the thickness.

Built on :mod:`migration`; the depth to which fibre wanders depends on the felting stage, and is
known to a factor of about 1.5 either way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import attrs

from felt_engine.analysis.colour import blend, difference, lab_of_linear
from felt_engine.analysis.coverage import cylinder_coverage, thin_cover
from felt_engine.analysis.migration import (
    DEPTH,
    DEPTH_FACTOR,
    anchor_share,
    bridge_share,
    layer_shares,
    under_share,
)
from felt_engine.analysis.stack import Laid
from felt_engine.analysis.stuff import Stuff
from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.analysis.build import Build

Linear = tuple[float, float, float]
LIKELY_STAGES = ("light", "firm", "hard")
EXTREMES: tuple[tuple[Linear, Linear], ...] = (
    ((1.0, 1.0, 1.0), (0.0, 0.0, 0.0)),
    ((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)),
)
"""White over black and black over white: the worst that colours can do which nobody has said."""

MOST_COVER = 0.6
"""Heaviest cover that is thought of as a remedy, kg/m²."""


def depths(stage: str | None) -> tuple[float, ...]:
    """Wandering depth of a stage; of each likely stage where the recipe doesn't say."""
    return (DEPTH[stage],) if stage else tuple(DEPTH[s] for s in LIKELY_STAGES)


def depths_to_come(stage: str | None) -> tuple[float, ...]:
    """The same for what has to hold in the end: a prefelt is felted on, no one says how far."""
    return depths(None if stage == "prefelt" else stage)


def inward(stack: Sequence[Laid], surface: str) -> list[Laid]:
    """The stack from a surface inwards, open cloth left out (wool grows through it)."""
    order = list(stack) if surface in ("bottom", "inside") else list(reversed(stack))
    return [laid for laid in order if not laid.is_open_cloth]


@attrs.frozen(eq=False, repr=False)
class Anchoring(Value):
    """How a surface is held: share of felting fibre at the face, at the kinder and likely depth.

    ``shares`` are the layers' shares of the face, from the face inwards.
    """

    share: float
    kinder: float
    depth: float
    shares: tuple[float, ...]


def anchoring(layers: Sequence[Laid], depth: float, meant: Sequence[Laid] = ()) -> Anchoring:
    """The anchor share of a face whose layers are given from the face inwards.

    Layers that are ``meant`` to lie loose count as held. The kinder end has half a scale step less
    of what does not felt.
    """
    items = [(laid.coverage, 1.0 if laid in meant else laid.felting_share) for laid in layers]
    light = [
        (cover * (1 - laid.doubt) if share < 0.5 else cover, share)
        for laid, (cover, share) in zip(layers, items, strict=True)
    ]
    share = anchor_share(items, depth)
    kinder = max(
        share, *(anchor_share(light, d) for d in (depth / DEPTH_FACTOR, depth * DEPTH_FACTOR))
    )
    return Anchoring(share, kinder, depth, layer_shares([c for c, _ in items], depth))


def most_held(layers: Sequence[Laid], laid: Laid, depth: float, enough: float) -> float:
    """Most weight per area (kg/m²) of one of these layers at which the face is held; 0 if none.

    In however many portions it is laid.
    """
    own = [one.portion_of == laid.portion_of for one in layers]

    def beyond(part: float) -> float:
        items = [
            (one.coverage * (part if is_own else 1.0), one.felting_share)
            for one, is_own in zip(layers, own, strict=True)
        ]
        return anchor_share(items, depth) - enough

    areal = sum(one.areal for one, is_own in zip(layers, own, strict=True) if is_own)
    return areal * _largest(beyond)


FINE = (20.5e-6, 1310.0)
"""Diameter (m) and density (kg/m³) of the wool that a veil is advised of: a usual merino."""


LOOSE_FIBRE = (None, "combed top", "carded batt", "carded sliver", "loose fibre")
"""Preparations of which a veil is laid."""


def veil_wool(build: Build) -> Stuff | None:
    """The finest wool of a recipe that a veil may be laid of, if it has any."""
    fit = [
        stuff for stuff in build.stuffs.values()
        if stuff.holds and stuff.fibre.group == "wool" and stuff.lot.preparation in LOOSE_FIBRE
    ]  # fmt: skip
    return min(fit, key=lambda one: (one.diameter.usual, one.lot.name), default=None)


def veil_of_coverage(coverage: float, wool: Stuff | None = None) -> float:
    """Weight per area, kg/m², at which a veil of a wool, or of a usual merino, covers so much."""
    one = wool.coverage(1.0) if wool is not None else cylinder_coverage(1.0, *FINE)
    return coverage / one


def veil_to_hold(
    layers: Sequence[Laid], depth: float, enough: float, across: float, wool: Stuff | None = None
) -> float:
    """Wool (kg/m²) that holds a face as a veil; 0 where what it lies on is too thick for it.

    ``across`` is the least share of fibre that has to bridge what does not felt under the veil;
    ``wool`` is what it is laid of, else a usual merino.
    """
    loose = 0.0
    for laid in layers:
        if laid.felting_share >= 0.5:
            break
        loose += laid.coverage
    if bridge_share(loose, depth) < across:
        return 0.0
    items = [(laid.coverage, laid.felting_share) for laid in layers]

    def lacks(part: float) -> float:
        return enough - anchor_share([(2.0 * part, 1.0), *items], depth)

    return veil_of_coverage(2.0 * _largest(lacks), wool)


def _largest(beyond: Callable[[float], float]) -> float:
    """The largest part, 0 to 1, up to which something falling is not below 0; 0 if it is so at 0.

    By false position, where the end that stays counts half (the Illinois method), and a halving every
    third time.
    """
    low, high = 0.0, 1.0
    above, below = beyond(low), beyond(high)
    if above < 0.0:
        return low
    if below >= 0.0:
        return high
    for turn in range(120):
        if high - low <= 1e-12:
            break
        part = (low * below - high * above) / (below - above) if turn % 3 else (low + high) / 2
        if not low < part < high:
            part = (low + high) / 2
        value = beyond(part)
        if value >= 0.0:
            low, above, below = part, value, below / 2
        else:
            high, below, above = part, value, above / 2
    return low


def held_at_least(layers: Sequence[Laid], depth: float, enough: float) -> bool:
    """Whether the anchor share reaches ``enough``; looks no deeper than it takes to know."""
    share = above = 0.0
    seen = 1.0
    for laid in layers[:-1]:
        above += laid.coverage
        below = under_share(above, depth)
        share += (seen - below) * laid.felting_share
        if share >= enough:
            return True
        seen = below
    return share + seen * layers[-1].felting_share >= enough


def felting_cover_above(layers: Sequence[Laid], index: int) -> float:
    """Coverage of felting fibre that lies between the face and a layer."""
    return sum(laid.coverage * laid.felting_share for laid in layers[:index])


def laid_colour(
    laid: Laid, otherwise: Linear | None = None, own: Linear | None = None, lots: Sequence[str] = ()
) -> Linear | None:
    """The colour of what a placement lays, as a blend by weight.

    ``otherwise`` stands in for the colour of a lot that has none, ``own`` for that of ``lots``;
    ``None`` if that is missing too.
    """
    shares = []
    for part in laid.parts:
        colour = part.stuff.linear or (own if part.stuff.lot.name in lots else otherwise)
        if colour is None:
            return None
        shares.append((part.share, colour))
    return shares[0][1] if len(shares) == 1 else blend(shares)


@attrs.frozen(eq=False, repr=False)
class Halo(Value):
    """How far what lies below changes a face: colour difference at mean and at thin cover.

    ``kinder`` are the same two if fibre wanders less than is likely. ``under`` is the share of the
    face that comes from below, at mean cover.
    """

    mean: float
    thin: float
    kinder: tuple[float, float]
    under: float
    depth: float


def halo(
    layers: Sequence[Laid],
    covers: int,
    depth: float,
    otherwise: tuple[Linear, Linear] | None = None,
) -> Halo | None:
    """Halo of a face: the first ``covers`` layers are to hide the rest. ``None``: colour unknown.

    ``otherwise`` stands in for colours that the recipe doesn't say, of the covers and of the rest.
    """
    own, rest = otherwise or (None, None)
    lots = {part.stuff.lot.name for laid in layers[:covers] for part in laid.parts}
    colours = [laid_colour(laid, rest, own, tuple(lots)) for laid in layers]
    known = [c for c in colours if c is not None]
    if len(known) < len(colours) or covers >= len(layers):
        return None
    mean, thin = _pair(layers, known, covers, depth)
    kinder = _pair(layers, known, covers, depth / DEPTH_FACTOR)
    shares = layer_shares([laid.coverage for laid in layers], depth)
    return Halo(mean, thin, kinder, sum(shares[covers:]), depth)


def cover_to_hide(
    layers: Sequence[Laid], covers: int, depth: float, mean: float, thin: float
) -> float | None:
    """How much more of the first ``covers`` layers, kg/m², brings a halo below both limits.

    ``None`` if :data:`MOST_COVER` of them does not, or a colour is missing.
    """
    colours = [c for c in map(laid_colour, layers) if c is not None]
    now = sum(laid.areal for laid in layers[:covers])
    if len(colours) < len(layers) or covers >= len(layers) or not now:
        return None

    def hides(areal: float) -> bool:
        at_mean, at_thin = _pair(layers, colours, covers, depth, areal / now)
        return at_mean < mean and at_thin < thin

    low, high = now, MOST_COVER
    if not hides(high):
        return None
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (low, middle) if hides(middle) else (middle, high)
    return max(0.0, high - now)


def loudest(layers: Sequence[Laid], covers: int, depth: float) -> Laid:
    """The layer below a cover that changes the face most: its share times its unlikeness."""
    shares = layer_shares([laid.coverage for laid in layers], depth)
    own = laid_colour(layers[0])
    loud = []
    for share, laid in zip(shares[covers:], layers[covers:], strict=True):
        colour = laid_colour(laid)
        unlike = 0.0 if own is None or colour is None else difference(own, colour)
        loud.append((share * unlike, laid))
    most = max(value for value, _ in loud)
    return next(laid for value, laid in loud if value >= most * (1 - 1e-9))


def lighter(one: Laid, two: Laid) -> float:
    """By how much one is lighter than another, in L*; 0 where a colour is missing."""
    first, second = laid_colour(one), laid_colour(two)
    if first is None or second is None:
        return 0.0
    return lab_of_linear(first)[0] - lab_of_linear(second)[0]


def _pair(
    layers: Sequence[Laid], colours: list[Linear], covers: int, depth: float, times: float = 1.0
) -> tuple[float, float]:
    full = [laid.coverage * (times if k < covers else 1.0) for k, laid in enumerate(layers)]
    thin = [_thin(laid) * times if k < covers else laid.coverage for k, laid in enumerate(layers)]
    return _change(full, colours, covers, depth), _change(thin, colours, covers, depth)


def _thin(laid: Laid) -> float:
    return sum(thin_cover(part.coverage(), part.cv) for part in laid.parts)


def _change(covers: list[float], colours: list[Linear], own: int, depth: float) -> float:
    shares = layer_shares(covers, depth)
    top = list(zip(shares[:own], colours[:own], strict=True))
    total = sum(share for share, _ in top)
    if total <= 0:
        return 100.0
    meant = blend([(share / total, colour) for share, colour in top])
    seen = blend(list(zip(shares, colours, strict=True)))
    return difference(meant, seen)
