"""How much of a part of a face lies in a zone, whether anything is placed on that zone or not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.layout import Cut, Face, Region, cuts_of
from felt_engine.analysis.patches import Patch, decompose
from felt_engine.model.piece import Zone


def shares_within(face: Face, zone: Zone) -> tuple[Mapping[Patch, float], bool]:
    """Area (m²) in a zone of each patch of a face that reaches into it; or, if false, in all but it.

    A patch of a face's regions lies within its outline, so what is left of a zone is one outline, or
    all but one.
    """
    cuts = cuts_of(zone, face.edge, face.box, 0.0)
    polygon, want = next((cut for cut in cuts if cut[0] != face.edge), (face.edge, True))
    return face.cut.shares(polygon), want


def area_beyond(region: Region, face: Face, reach: float, outside: Sequence[Zone] = ()) -> float:
    """Area (m²) further than a distance from the outline, and in none of the zones ``outside``."""
    inner = geo.grown(face.edge, -reach)
    if not inner:
        return 0.0
    cuts = [cuts_of(zone, face.edge, face.box, 0.0) for zone in outside]
    return sum(
        geo.area_of_both(inner, patch.corners) if not cuts else _left(patch, inner, cuts)
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
