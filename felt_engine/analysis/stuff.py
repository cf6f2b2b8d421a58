"""What a lot is made of, as numbers: how it felts, covers and lies."""

from __future__ import annotations

import attrs

from felt_engine.analysis.axes import ALIGNMENT
from felt_engine.analysis.colour import linear_of_hex
from felt_engine.analysis.coverage import LAYING_CV, cylinder_coverage, film_coverage
from felt_engine.model.catalogue import Catalogue, FibreEntry, Span
from felt_engine.model.layup import Layer
from felt_engine.model.lots import Lot
from felt_engine.value import fenced

FELTS_FROM = 0.3
"""Feltability from which a fibre counts as one that holds others (model F reads less as none)."""

GROUPS = {
    "combed top": "top", "yarn": "top", "carded batt": "batt", "carded sliver": "batt",
    "locks": "batt", "prefelt": "prefelt", "felt": "prefelt", "silk hankies": "prefelt",
    "open cloth": "prefelt", "close cloth": "prefelt", "loose fibre": "scatter",
    "short fibre": "scatter", "neps": "scatter", "noil": "scatter", "film": "scatter",
}  # fmt: skip
"""Preparation to laying group: how evenly and how much in one direction it lies."""

LAID_AS = {"shingle": "top", "batt": "batt", "sheet": "prefelt", "wisps": "scatter",
           "scatter": "scatter"}  # fmt: skip
BODIES = ("neps", "yarn")
"""Preparations that lie on the felt as bodies, not as loose fibre: coverage says little of them."""


@attrs.frozen(eq=False, repr=False)
class Stuff:
    """One lot's figures. ``diameter`` in metres (film: thickness), ``density`` in kg/m³."""

    lot: Lot
    fibre: FibreEntry
    felts: Span
    diameter: Span
    linear: tuple[float, float, float] | None

    @property
    def fineness_stated(self) -> bool:
        """Whether the recipe says how fine it is."""
        return self.lot.fineness is not None

    @property
    def holds(self) -> bool:
        """Whether it felts well enough to hold other fibre."""
        return self.felts.usual >= FELTS_FROM

    @property
    def is_open_cloth(self) -> bool:
        """Whether wool grows through it and it carries the piece itself."""
        return self.lot.preparation == "open cloth"

    @property
    def is_body(self) -> bool:
        """Whether it lies as bodies (neps, yarn) and not as loose fibre."""
        return self.lot.preparation in BODIES

    @fenced
    def coverage(self, areal: float, diameter: float | None = None) -> float:
        """Mean number of fibres over a point for ``areal`` kg/m²."""
        if not areal:
            return 0.0
        size = diameter or self.diameter.usual
        if self.fibre.film:
            return film_coverage(areal, size, self.fibre.density)
        return cylinder_coverage(areal, size, self.fibre.density)


def stuff_of(lot: Lot, catalogue: Catalogue) -> Stuff:
    """The figures of a lot from its entry in the fibre table and from what the recipe says."""
    fibre: FibreEntry = catalogue.fibres[lot.fibre]
    felts = fibre.felts
    if lot.treatment == "shrink-proofed":
        felts = catalogue.treated_felts
        if fibre.felts.high < felts.high:
            felts = fibre.felts
    elif lot.preparation == "felt":
        felts = Span(0.0, 0.1, 0.3)
    diameter = fibre.diameter
    if lot.fineness is not None:
        diameter = Span(lot.fineness.low, lot.fineness.usual, lot.fineness.high)
    linear = linear_of_hex(lot.colour.hex) if lot.colour else None
    return Stuff(lot, fibre, felts, diameter, linear)


def laying_group(stuff: Stuff, layer: Layer) -> str | None:
    """top, batt, prefelt or scatter; ``None`` where neither lot nor layer says."""
    if layer.lay in ("wisps", "scatter"):
        return "scatter"
    if stuff.lot.preparation == "carded sliver" and layer.lay == "shingle":
        return "sliver"  # drawn out tuft by tuft, which combs it in part
    if stuff.lot.preparation is not None:
        return GROUPS[stuff.lot.preparation]
    if layer.lay is not None:
        return LAID_AS[layer.lay]
    return "top" if layer.direction is not None and layer.direction.way == "axis" else None


def laying_cv(group: str | None) -> float:
    """Coefficient of variation of hand laying; that of combed top where unknown."""
    return LAYING_CV[group or "top"]


def alignment(group: str | None, stated: bool = True) -> tuple[float, float, float]:
    """Low, usual and high alignment of a laying group; the whole range where unknown.

    What is laid one way and not ``stated`` to be top is taken for top, and may be carded wool.
    """
    if group is None:
        return 0.0, ALIGNMENT["batt"][1], ALIGNMENT["top"][2]
    low, usual, high = ALIGNMENT[group]
    return low if stated else min(low, ALIGNMENT["batt"][0]), usual, high
