"""How much of a part of a face lies in a zone, whether anything is placed on that zone or not."""

from __future__ import annotations

from collections.abc import Iterable

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.layout import Face, Region, cuts_of
from felt_engine.model.piece import Zone


def area_within(region: Region, face: Face, zone: Zone) -> float:
    """Area of a region that lies in a zone, m²."""
    cuts = cuts_of(zone, face.edge, face.box, 0.0)
    return sum(_overlap(patch, cuts) for patch in region.patches)


def _overlap(patch: geo.Patch, cuts: Iterable[tuple[geo.Polygon, bool]]) -> float:
    """As for a rectangle at the patch's half height, which has the same area."""
    own = geo.rectangle(patch.west, patch.south, patch.east, patch.north)
    polygons, need, forbid = [own], 1, 0
    for polygon, want in cuts:
        bit = 1 << len(polygons)
        polygons.append(polygon)
        need, forbid = (need | bit, forbid) if want else (need, forbid | bit)
    return sum(
        found.area for found in geo.decompose(polygons)
        if found.inside & need == need and not found.inside & forbid
    )  # fmt: skip
