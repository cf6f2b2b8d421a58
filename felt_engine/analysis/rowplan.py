"""The row plan of a recipe: for each amount that is laid in rows how many, how they lap, what a tuft weighs.

Rows follow one another along the fibre, tufts of a row lie side by side across it. Lengths in metres,
weights in kg for one face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from felt_engine.analysis.build import Build, FaceBuild
from felt_engine.analysis.rows import (
    OVERLAP,
    TAPER,
    TUFT,
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


@attrs.frozen(eq=False, repr=False)
class PlannedRows(Value):
    """One amount in rows: ``along`` the fibre and ``across`` it, and where the first row begins.

    ``start`` is the least distance along the fibre, counted from the near left corner. ``said`` is
    false where the tuft's size isn't the recipe's own.
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
    corners = list(_corners(face, laid))
    if not corners:
        return None
    x, y = math.cos(laid.angle), math.sin(laid.angle)
    along = [a * x + b * y for a, b in corners]
    across = [b * x - a * y for a, b in corners]
    length, width = max(along) - min(along), max(across) - min(across)
    if min(length, width) <= 0:
        return None
    plan = _plan(laid, (length, width, long, wide))
    return PlannedRows(
        face.name, laid, length, width, min(along), long, wide, said, plan.rows, plan.tufts,
        plan.each, plan.past,
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


def _corners(face: FaceBuild, laid: Laid) -> Iterator[tuple[float, float]]:
    """Corners of what it covers, not beyond the laid-out size."""
    west, south, east, north = face.face.box
    for place in face.places:
        if any(one is laid for one in place.stack):
            for patch in place.region.patches:
                for a, b in patch.corners:
                    yield min(max(a, west), east), min(max(b, south), north)


__all__ = ["PlannedRows", "row_plan", "rows_at", "rows_of"]
