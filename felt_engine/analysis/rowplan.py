"""The row plan of a recipe: for each amount that is laid in rows how many, how they lap, what a tuft weighs.

Rows follow one another along the fibre, tufts of a row lie side by side across it. Lengths in metres,
weights in kg for one face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from felt_engine.analysis.build import Build, FaceBuild
from felt_engine.analysis.layout import cuts_of, wanted
from felt_engine.analysis.rows import (
    OVERLAP,
    TAPER,
    TUFT,
    Profile,
    RowPlan,
    Rows,
    overlap_to_fill,
    plan_rows,
    shingle_rows,
)
from felt_engine.analysis.shingle import is_shingled
from felt_engine.analysis.stack import Laid
from felt_engine.model.layup import Layer
from felt_engine.value import Value

STRIP = 0.025
"""How wide the rim is that isn't to be thin, m."""

SLIGHT = 0.0025
"""Less than that isn't worth a word, m."""

STEPS = 200
"""Parts of a tuft's length in which what is laid past the outline is tried."""


@attrs.frozen(eq=False, repr=False)
class PlannedRows(Value):
    """One amount in rows: ``along`` the fibre and ``across`` it, and where the first row begins.

    ``start`` is the least distance along the fibre, counted from the near left corner; what is laid
    past the outline counts. ``said`` is false where the tuft's size isn't the recipe's own. ``past`` is
    how much further past the outline to lay it so that the rim isn't thin, and ``times`` how many times
    as much that takes at the same weight per area.
    """

    face: str
    laid: Laid
    along: float
    across: float
    start: float
    tuft: float
    wide: float
    said: bool
    rows: Rows
    tufts: Rows
    each: float
    past: float
    times: float


def row_plan(build: Build, tuft: tuple[float, float] | None = None) -> tuple[PlannedRows, ...]:
    """All that is laid in rows with a known tuft; ``tuft`` (wide, long) where the recipe says none."""
    return tuple(
        planned
        for face in build.faces
        for laid, _ in face.laid
        if not laid.turned and (planned := rows_of(build, face, laid, tuft)) is not None
    )


def rows_at(old: Build, new: Build) -> dict[str, str]:
    """How many rows each layer that says so takes at another size, as text by JSON Pointer.

    As many as lap no less than before; where they didn't reach, as many to the metre.
    """
    found: dict[str, str] = {}
    now = {(one.face, one.laid.key): one for one in _counted(new)}
    for before in _counted(old):
        after = now.get((before.face, before.laid.key))
        if after is None:
            continue
        said, size = before.laid.layer.rows, before.laid.layer.tuft
        assert said is not None
        laps = overlap_to_fill(said, before.along, before.tuft)
        if size is not None and 0 <= laps < 1 and said > 1:
            count = shingle_rows(after.along, before.tuft, laps).count
        else:
            count = max(1, round(said * after.along / before.along))
        found.setdefault(f"/layers/{before.laid.key[0]}/rows", str(count))
    return found


def _counted(build: Build) -> Iterator[PlannedRows]:
    """What is laid in a number of rows that the recipe says, layer by layer; a tuft may be guessed."""
    plans = row_plan(build, (TUFT, TUFT))
    yield from sorted(
        (one for one in plans if one.laid.layer.rows is not None),
        key=lambda one: (one.laid.key, one.face),
    )


def rows_of(
    build: Build, face: FaceBuild, laid: Laid, tuft: tuple[float, float] | None = None
) -> PlannedRows | None:
    """The rows of one amount on one face; ``None`` if it isn't laid in rows of a known tuft."""
    layer = laid.layer
    if laid.angle is None or not is_shingled(layer):
        return None
    size = layer.tuft
    said = size is not None and size.depth is not None
    if size is not None and size.depth is not None:
        wide, long = size.width.si, size.depth.si
    elif tuft is not None:
        wide, long = tuft
    else:
        return None
    by = _past(laid)
    area, corners = _spread(build, face, laid, by)
    if not corners:
        return None
    x, y = math.cos(laid.angle), math.sin(laid.angle)
    along = [a * x + b * y for a, b in corners]
    across = [b * x - a * y for a, b in corners]
    length, width = max(along) - min(along), max(across) - min(across)
    if min(length, width) <= 0:
        return None
    plan = _plan(laid, (length, width, long, wide))
    more = 0.0
    if laid.placement.zone == "whole" and by >= 0:
        more = _further(layer, length - 2 * by, long, by)
    times = _spread(build, face, laid, by + more)[0] / area if more else 1.0
    return PlannedRows(
        face.name, laid, length, width, min(along), long, wide, said, plan.rows, plan.tufts,
        plan.each, more, times,
    )  # fmt: skip


def _plan(laid: Laid, sizes: tuple[float, float, float, float]) -> RowPlan:
    layer, (along, across, long, wide) = laid.layer, sizes
    given = {
        "overlap": None if layer.overlap is None else layer.overlap.value / 100,
        "taper": TAPER if layer.taper is None else layer.taper.value / 100,
    }
    plan = plan_rows(
        along, across, long, wide, mass=laid.areal * laid.area,
        **{key: value for key, value in given.items() if value is not None},
    )  # fmt: skip
    return plan if layer.rows is None else _as_written(plan, layer, along, long)


def _as_written(plan: RowPlan, layer: Layer, along: float, long: float) -> RowPlan:
    """The plan with as many rows as the recipe says, whether they reach or not."""
    assert layer.rows is not None
    fitted = overlap_to_fill(layer.rows, along, long)
    if not 0 <= fitted < 1:
        fitted = OVERLAP if layer.overlap is None else layer.overlap.value / 100
    rows = Rows(layer.rows, fitted if layer.rows > 1 else 0.0, long * (1 - fitted))
    each = plan.each * plan.rows.count / rows.count
    return attrs.evolve(plan, rows=rows, each=each)


def _further(layer: Layer, along: float, long: float, by: float) -> float:
    """How much further past the outline to lay rows that are then fitted anew, m; 0 if it is enough."""
    end = min(TAPER if layer.taper is None else layer.taper.value / 100, 0.5)
    overlap = OVERLAP if layer.overlap is None else layer.overlap.value / 100
    strip = min(STRIP, along / 10)
    for k in range(STEPS + 1):
        past = by + k * long / STEPS
        rows = shingle_rows(along + 2 * past, long, overlap)
        if layer.rows is not None and rows.count <= layer.rows:
            fitted = overlap_to_fill(layer.rows, along + 2 * past, long)
            rows = Rows(layer.rows, fitted, long * (1 - fitted)) if 0 <= fitted < 1 else rows
        if Profile(long, rows.pitch, rows.count, end, end).is_even(past, strip):
            return k * long / STEPS if k * long / STEPS > SLIGHT else 0.0
    return 0.0


def _past(laid: Laid) -> float:
    """How far past the edge of its zone something is laid, m; below 0 where it stops short."""
    past, short = laid.placement.past, laid.placement.short
    return (past.si if past else 0.0) - (short.si if short else 0.0)


def _spread(
    build: Build, face: FaceBuild, laid: Laid, by: float
) -> tuple[float, list[tuple[float, float]]]:
    """The area (m²) and the corners of what it covers, laid so far past its edge; a ball's has none."""
    if not face.face.cut.patches:
        return 0.0, []
    zone = build.recipe.zone(laid.placement.zone)
    patches = wanted(cuts_of(zone, face.face.edge, face.face.box, by))
    return sum(p.area for p in patches), [corner for p in patches for corner in p.corners]


__all__ = ["PlannedRows", "row_plan", "rows_at", "rows_of"]
