"""How much of a part of a face lies in a zone, whether anything is placed on that zone or not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import attrs

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.layout import Face, Region, cuts_of
from felt_engine.analysis.patches import Patch, decompose
from felt_engine.model.piece import Zone

ALL = 1 - 1e-9
"""Part of a patch from which all of it lies in a zone, but for rounding."""


@attrs.frozen(eq=False, repr=False)
class Within:
    """A zone on a face: one outline, or (``inside`` is false) all but one.

    ``shares`` are the areas (m²) in that outline of the patches that reach into it. A patch of a face's
    regions lies within the face's outline, so no more is left of a zone.
    """

    outline: geo.Polygon
    inside: bool
    shares: Mapping[Patch, float]

    def of(self, patch: Patch) -> float:
        """Area of a patch in the zone, m²."""
        shared = self.shares.get(patch, 0.0)
        return shared if self.inside else patch.area - shared


def within(face: Face, zone: Zone) -> Within:
    """A zone as it lies on a face."""
    cuts = cuts_of(zone, face.edge, face.box, 0.0)
    outline, inside = next((cut for cut in cuts if cut[0] != face.edge), (face.edge, True))
    return Within(outline, inside, face.cut.shares(outline))


def area_beyond(region: Region, face: Face, reach: float, outside: Sequence[Within] = ()) -> float:
    """Area (m²) further than a distance from the outline, and in none of the zones ``outside``."""
    inner = geo.grown(face.edge, -reach) if reach else face.edge
    shares = face.cut.shares(inner) if inner else {}
    return sum(
        _left(patch, inner, shares[patch], outside) for patch in region.patches if patch in shares
    )


def _left(patch: Patch, inner: geo.Polygon, size: float, outside: Sequence[Within]) -> float:
    """Area of a patch in an outline, of which it has so much there, and in none of the zones, m²."""
    near = []
    for zone in outside:
        shared = zone.of(patch)
        if shared >= ALL * patch.area:
            return 0.0
        if shared > (1 - ALL) * patch.area:
            near.append(zone)
    if not near:
        return size
    polygons = [patch.corners, inner, *(zone.outline for zone in near)]
    inside = [(4 << number, zone.inside) for number, zone in enumerate(near)]
    return sum(
        found.area for found in decompose(polygons)
        if found.inside & 3 == 3 and not any(bool(found.inside & bit) is want for bit, want in inside)
    )  # fmt: skip


__all__ = ["Within", "area_beyond", "within"]
