"""How large a piece comes out, and how large to lay it: from the maker's own swatches, with a range."""

from __future__ import annotations

import math

import attrs

from felt_engine.analysis.build import Build
from felt_engine.analysis.making import making_of
from felt_engine.analysis.shrinkage import (
    LEAST,
    STAGE_STRAIN,
    Forecast,
    Making,
    forecast,
    shrinkage,
)
from felt_engine.analysis.taught import Learned, nearest
from felt_engine.analysis.working import rolling
from felt_engine.errors import CallError
from felt_engine.model.amount import Size
from felt_engine.value import Value

LEFT = ("blocked", "cut", "free", "ruffled", "drawn in")
"""Outlines that felting alone doesn't give, or that are to be uneven."""

SHARE = 0.8
"""Part of all cases that a range is to hold: about 4 in 5."""


@attrs.frozen(eq=False, repr=False)
class Range(Value):
    """A figure with its range: low and high hold about 4 in 5 of what may come."""

    low: float
    likely: float
    high: float


@attrs.frozen(eq=False, repr=False)
class SideForecast(Value):
    """One direction of a piece. Lengths in metres, ``lost`` as parts of the length.

    ``finished`` is what the layout comes out at, ``wanted`` the finished length asked for, ``lay``
    the layout length for that.
    """

    direction: str
    laid_out: float
    finished: Range
    lost: Range
    wanted: float | None = None
    lay: Range | None = None


@attrs.frozen(eq=False, repr=False)
class SizeForecast(Value):
    """What a recipe will shrink to. ``swatches`` counts those that taught it; 0 is from memory only.

    ``areal`` is kg/m² as laid out, ``felts`` 0 to 1, ``pull`` and ``rolling`` -1 to 1 with plus
    for east-west. ``out_of_square`` is how much longer a square would come out one way. ``shape`` says
    in words which edges may bow or come out longer, where a straight outline is wanted and that can be
    told. ``notes`` say where to trust it less.
    """

    title: str
    name: str
    stage: str
    areal: float
    felts: float
    pull: float
    rolling: float
    rolling_said: bool
    swatches: int
    notebook: str
    nearest: str
    alike: bool
    sides: tuple[SideForecast, ...]
    area_lost: Range
    out_of_square: float
    longer: str
    how: str
    notes: tuple[str, ...]
    shape: tuple[str, ...] = ()


def forecast_size(
    build: Build, learned: Learned, wanted: Size | None = None, notebook: str = ""
) -> SizeForecast:
    """The forecast for a build. CallError where the stage isn't said, or nothing is laid."""
    piece = build.recipe.piece
    if piece.stage is None:
        raise CallError(
            "the recipe doesn’t say how far it is felted: add stage: light, firm or hard to piece"
        )
    making = making_of(build, piece.stage)
    if making is None:
        raise CallError("nothing is laid, so nothing shrinks")
    said = forecast(learned.hand, making)
    across, deep = piece.sides
    if wanted is not None and wanted.depth is None and across != deep:
        raise CallError("the finished size of this piece has two sides: give both, as 60 x 40 cm")
    finished = wanted or piece.finished
    wide, long = (None, None) if finished is None else finished.sides
    sides = (
        _side("west to east", said, 0.0, across, wide),
        _side("near to far", said, math.pi / 2, deep, long),
    )
    close, alike = nearest(making, learned.swatches)
    low, high = said.share.span(SHARE)
    usual = STAGE_STRAIN[making.stage]
    askew = said.askew
    return SizeForecast(
        piece.title, build.recipe.source.name if build.recipe.source else "", making.stage,
        making.areal, making.felts, making.pull.real, making.rolling,
        rolling(build.recipe.work).said, learned.hand.swatches, notebook,
        close.name if close else "", alike, sides,
        Range(shrinkage(2 * usual * max(0.0, low)), said.area_lost, shrinkage(2 * usual * high)),
        said.out_of_square, "near to far" if askew.real > 0 else "west to east",
        _how(said, making), tuple(_notes(build, said, learned, close is not None and not alike)),
        _shape(build, making.stage),
    )  # fmt: skip


def _side(
    direction: str, said: Forecast, angle: float, laid: float, wanted: float | None
) -> SideForecast:
    low, mean, high = said.between(angle, SHARE)
    lay = None if not wanted else Range(*said.laid_for(wanted, angle, SHARE))
    return SideForecast(
        direction, laid, Range(*said.finished_from(laid, angle, SHARE)),
        Range(shrinkage(low), shrinkage(mean), shrinkage(high)), wanted, lay,
    )  # fmt: skip


def _shape(build: Build, stage: str) -> tuple[str, ...]:
    """Words for the outline that it tends to; nothing where another outline is wanted or made."""
    piece = build.recipe.piece
    if piece.over != "table" or piece.outline in LEFT:
        return ()
    from felt_engine.analysis.outline import shape_tendency
    from felt_engine.analysis.outline_words import shape_words

    return shape_words(shape_tendency(build.faces[0], stage))


def _how(said: Forecast, making: Making) -> str:
    t0, t1, t2 = said.hand.mean.mean
    t3, t4 = said.hand.ratio.mean
    usual = STAGE_STRAIN[making.stage]
    least = f" (the sum is less than {LEAST:g} of {usual:g}, which is taken)" if said.grown else ""
    return (
        f"mean strain {said.strain:.3f}{least} = {usual:g} x ({t0:.2f} {t1:+.2f} ln({making.areal:.3f} / "
        f"0.400) {t2:+.2f} ({making.felts:.2f} - 1)); by direction x (1 ± ({t3:.2f} x pull "
        f"{making.pull.real:+.2f} {t4:+.2f} x rolling {making.rolling:+.2f})); part lost = "
        "1 - e^(-strain); lay out = finished / (1 - part lost)"
    )


def _notes(build: Build, said: Forecast, learned: Learned, unlike: bool) -> list[str]:
    found = []
    if not learned.hand.swatches:
        found.append(
            "no swatch: this is only what such felt usually does, from memory of the craft"
        )
    elif unlike:
        found.append("no swatch of this kind (stage, weight, wool): the others are stretched to it")
    if said.grown:
        found.append(
            "by these swatches such felt would grow, or hardly shrink: the least that felt does is taken; "
            "look at what felt-engine swatches says of them"
        )
    if said.beyond:
        found.append("its weight lies outside 60 to 1200 g/m²: the sums are stretched beyond that")
    if build.recipe.piece.over == "ball":
        found.append("laid on a ball: across the outline as seen from above")
    if build.recipe.piece.outline in ("blocked", "cut"):
        found.append(f"the outline is {build.recipe.piece.outline} afterwards: this is before that")
    if any(place.open_cloth for place in build.places):
        found.append("open cloth is in it, which the sums leave out")
    return found


__all__ = ["Range", "SideForecast", "SizeForecast", "forecast_size"]
