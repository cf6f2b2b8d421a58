"""What a swatch notebook teaches: each sample as a making, the hand that follows, and doubts.

A swatch is held against what all the others would have said of it. One that lies outside the middle
98 % of that is doubtful: it still teaches, until the maker leaves it out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import attrs

from felt_engine.analysis.axes import angle_of_bearing, layer_resultant
from felt_engine.analysis.regression import predict
from felt_engine.analysis.say import whole_percent
from felt_engine.analysis.shrinkage import (
    HOLDS,
    STAGE_STRAIN,
    Hand,
    Making,
    MeasuredSwatch,
    forecast,
    learn,
    mean_row,
    ratio_row,
    shrinkage,
    unlearn,
    untaught,
)
from felt_engine.analysis.stuff import GROUPS, alignment, stuff_of
from felt_engine.errors import CallError, shortened
from felt_engine.model.amount import Amount, Direction
from felt_engine.model.catalogue import Catalogue
from felt_engine.model.lots import Lot
from felt_engine.model.notebook import Notebook, NotedSwatch, SwatchLayer
from felt_engine.value import Value

BELIEVED = 0.98
"""Share of the others' forecast within which a swatch is believed (from memory)."""

SMALL = 0.15
"""A side below this: small swatches may shrink more than a piece (common practice, no source), m."""


@attrs.frozen(eq=False, repr=False)
class TaughtSwatch(Value):
    """One swatch as it was used: what it lost of its two sides, and what is doubtful about it.

    ``lost`` is the part of each side that was lost, east-west and north-south; ``others`` the range
    (80 %) of the mean strain that all other swatches would have forecast.
    """

    name: str
    measured: MeasuredSwatch
    lost: tuple[float, float]
    others: tuple[float, float]
    doubts: tuple[str, ...]
    counted: bool = True


@attrs.frozen(eq=False, repr=False)
class Learned(Value):
    """A hand with the swatches that taught it."""

    hand: Hand
    swatches: tuple[TaughtSwatch, ...]


def hand_of(notebook: Notebook, catalogue: Catalogue) -> Hand:
    """The hand that all of a notebook's swatches teach, without a look at what is doubtful."""
    return learn(untaught(), [measured(one, catalogue) for one in notebook.swatches])


def learned(notebook: Notebook, catalogue: Catalogue, without: Iterable[str] = ()) -> Learned:
    """The hand that a notebook's swatches teach; those named in ``without`` are left out.

    CallError for a notebook that was made or changed in Python and doesn't hold what one says.
    """
    try:
        return _learned(notebook, catalogue, set(without))
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as error:
        raise _made_otherwise(error) from error


def names_of(notebook: Notebook) -> list[str]:
    """The names of a notebook's swatches. CallError as for :func:`learned`."""
    try:
        names = [one.name for one in notebook.swatches]
    except (AttributeError, TypeError) as error:
        raise _made_otherwise(error) from error
    if not all(isinstance(name, str) for name in names):
        raise _made_otherwise(TypeError("a swatch's name is no text"))
    return names


def _made_otherwise(error: Exception) -> CallError:
    said = shortened(f"{type(error).__name__}: {error}", 300)
    return CallError(
        "the notebook was made or changed in Python, and doesn't hold what a notebook says "
        f"({said}): read it from a file or a text"
    )


def _learned(notebook: Notebook, catalogue: Catalogue, left_out: set[str]) -> Learned:
    known = [(one, measured(one, catalogue)) for one in notebook.swatches]
    counted = [m for one, m in known if one.name not in left_out]
    hand = learn(untaught(), counted)
    found = []
    for one, own in known:
        others = hand if one.name in left_out else unlearn(hand, own)
        found.append(_taught(one, own, others, one.name not in left_out))
    return Learned(hand, tuple(found))


def measured(swatch: NotedSwatch, catalogue: Catalogue) -> MeasuredSwatch:
    """A noted swatch as figures."""
    width, depth = _sides(swatch.laid_out.width, swatch.laid_out.depth)
    layers = list(_layers(swatch))
    total = felting = 0.0
    pull, known = 0j, True
    for layer in layers:
        areal = (
            layer.amount.si if layer.amount.kind == "areal" else layer.amount.si / (width * depth)
        )
        stuff = stuff_of(
            Lot("swatch", layer.fibre, layer.preparation, treatment=layer.treatment), catalogue
        )
        felts = areal * stuff.felts.usual
        total += areal
        felting += felts
        along, said = _pull(layer)
        pull += felts * along
        known = known and (said or felts == 0.0)
    rolled = swatch.rolled
    rolling = 0.0
    if rolled is not None and rolled.north_south + rolled.east_west:
        both = rolled.north_south + rolled.east_west
        rolling = (rolled.east_west - rolled.north_south) / both
    making = Making(
        swatch.stage, total, min(1.0, felting / total), pull / felting if felting else 0j, rolling
    )
    return MeasuredSwatch(
        making, (width, depth), _sides(swatch.finished.width, swatch.finished.depth), known
    )


def _sides(width: Amount, depth: Amount | None) -> tuple[float, float]:
    return width.si, width.si if depth is None else depth.si


def _layers(swatch: NotedSwatch) -> Iterator[SwatchLayer]:
    if swatch.layers:
        yield from swatch.layers
        return
    if swatch.fibre is None or swatch.amount is None:
        raise ValueError("a swatch has neither layers nor a fibre with its amount")
    ways: Sequence[Direction | None] = swatch.directions or (None,)
    each = attrs.evolve(swatch.amount, si=swatch.amount.si / len(ways))
    for way in ways:
        yield SwatchLayer(swatch.fibre, each, way, swatch.preparation, swatch.treatment)


def _pull(layer: SwatchLayer) -> tuple[complex, bool]:
    """The doubled-angle resultant of one layer, and whether its direction is known."""
    group = GROUPS[layer.preparation] if layer.preparation is not None else "top"
    usual = alignment(group)[1]
    direction = layer.direction
    if direction is None:
        return 0j, usual <= 0.25
    if direction.bearing is None:
        return 0j, True
    return layer_resultant(usual, angle_of_bearing(direction.bearing)), True


def _taught(swatch: NotedSwatch, own: MeasuredSwatch, hand: Hand, counted: bool) -> TaughtSwatch:
    usual = STAGE_STRAIN[own.making.stage]
    low, high = forecast(hand, own.making).share.span(0.8)
    lost = (shrinkage(own.strains[0]), shrinkage(own.strains[1]))
    doubts = [*_doubts(swatch, own, hand)]
    return TaughtSwatch(
        swatch.name, own, lost, (usual * max(low, 0.0), usual * high), tuple(doubts), counted
    )


def _doubts(swatch: NotedSwatch, own: MeasuredSwatch, hand: Hand) -> Iterator[str]:
    east, north = own.strains
    if min(east, north) < 0:
        side = "west to east" if east < north else "near to far"
        yield f"it came out longer {side} than it was laid: check the sizes"
    yield from _unlike(own, hand)
    if min(own.laid) < SMALL:
        yield "it is small: small swatches may shrink more than a piece"
    if own.making.beyond:
        yield (
            f"{1000 * own.making.areal:.0f} g/m² lies outside {1000 * HOLDS[0]:.0f} to "
            f"{1000 * HOLDS[1]:.0f}, for which the sums are meant"
        )
    if not own.ways_known:
        yield "its directions aren’t said, so it says nothing of square or askew"


def _unlike(own: MeasuredSwatch, hand: Hand) -> Iterator[str]:
    """Where it lies outside what the others say of such a swatch."""
    row = mean_row(own)
    usual = STAGE_STRAIN[own.making.stage]
    low, high = predict(hand.mean, row.x, row.v).span(BELIEVED)
    if not low <= row.y <= high:
        yield (
            f"it lost {whole_percent(shrinkage(own.mean))} of its sides, where "
            f"{whole_percent(shrinkage(usual * max(low, 0.0)))} to "
            f"{whole_percent(shrinkage(usual * max(high, 0.0)))} would go with the others: "
            "check stage, weight and sizes"
        )
    askew = ratio_row(own)
    if askew is None:
        return
    low, high = predict(hand.ratio, askew.x, askew.v).span(BELIEVED)
    if low <= askew.y <= high:
        return
    side = "west to east" if askew.y > high else "near to far"
    swapped = " (with its finished sides swapped it would)" if low <= -askew.y <= high else ""
    yield f"it shrank more {side} than goes with its layers and rolling{swapped}: check the sides"


def nearest(own: Making, swatches: Iterable[TaughtSwatch]) -> tuple[TaughtSwatch | None, bool]:
    """The counted swatch that is made most like this, and whether it is of the same kind.

    Of the same kind: the same stage, a weight within a third, feltability within 0.15.
    """
    best: TaughtSwatch | None = None
    least = math.inf
    for one in swatches:
        if not one.counted:
            continue
        there = one.measured.making
        apart = (
            (there.stage != own.stage) * 1.0
            + abs(math.log(there.areal / own.areal))
            + 2.0 * abs(there.felts - own.felts)
        )
        if apart < least:
            best, least = one, apart
    if best is None:
        return None, False
    there = best.measured.making
    alike = (
        there.stage == own.stage
        and abs(math.log(there.areal / own.areal)) <= math.log(4 / 3)
        and abs(there.felts - own.felts) <= 0.15
    )
    return best, alike


__all__ = ["Learned", "TaughtSwatch", "hand_of", "learned", "measured", "nearest"]
