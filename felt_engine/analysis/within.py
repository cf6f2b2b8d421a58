"""How much of a part of a face lies in a zone, whether anything is placed on that zone or not."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.layout import Cut, Face, Region, cuts_of
from felt_engine.analysis.patches import Patch, decompose
from felt_engine.model.piece import Zone


def area_within(region: Region, face: Face, zone: Zone) -> float:
    """Area of a region that lies in a zone, m²."""
    cuts = cuts_of(zone, face.edge, face.box, 0.0)
    boxes = [geo.bounds(polygon) for polygon, want in cuts if want and polygon]
    return sum(_overlap(patch, cuts) for patch in region.patches if _near(patch, boxes))


def _near(patch: Patch, boxes: Iterable[geo.Box]) -> bool:
    """Whether a patch may reach into all of these boxes."""
    left, low, right, high = patch.box
    return all(
        left < east and right > west and low < north and high > south
        for west, south, east, north in boxes
    )


def area_beyond(region: Region, face: Face, reach: float, outside: Sequence[Zone] = ()) -> float:
    """Area (m²) further than a distance from the outline, and in none of the zones ``outside``."""
    inner = geo.grown(face.edge, -reach)
    if not inner:
        return 0.0
    cuts = [cuts_of(zone, face.edge, face.box, 0.0) for zone in outside]
    return sum(
        _overlap(patch, [(inner, True)]) if not cuts else _left(patch, inner, cuts)
        for patch in region.patches
    )


def _left(patch: Patch, inner: geo.Polygon, zones: Sequence[Sequence[Cut]]) -> float:
    polygons, masks = [patch.corners, inner], []
    for cuts in zones:
        need = forbid = 0
        for polygon, want in cuts:
            bit = 1 << len(polygons)
            polygons.append(polygon)
            need, forbid = (need | bit, forbid) if want else (need, forbid | bit)
        masks.append((need, forbid))
    return sum(
        found.area for found in decompose(polygons)
        if found.inside & 3 == 3
        and not any(found.inside & n == n and not found.inside & f for n, f in masks)
    )  # fmt: skip


def _overlap(patch: Patch, cuts: Iterable[tuple[geo.Polygon, bool]]) -> float:
    polygons, need, forbid = [patch.corners], 1, 0
    for polygon, want in cuts:
        bit = 1 << len(polygons)
        polygons.append(polygon)
        need, forbid = (need | bit, forbid) if want else (need, forbid | bit)
    return sum(
        found.area for found in decompose(polygons)
        if found.inside & need == need and not found.inside & forbid
    )  # fmt: skip
