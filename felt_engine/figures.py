"""Figures and words for rule authors: everything a rule may ask beyond the Build's own members."""

from __future__ import annotations

import cmath
from collections.abc import Sequence

from felt_engine.analysis import faceview, misunits, whereabouts
from felt_engine.analysis.axes import bearing_of_angle
from felt_engine.analysis.balance import (
    Meeting,
    along_axis,
    by_layer,
    felting,
    fourfold,
    meeting,
    toward,
    wanted_ratio,
)
from felt_engine.analysis.build import Build, FaceBuild, Place
from felt_engine.analysis.coverage import coverage_for_bare
from felt_engine.analysis.division import Run, closed, farthest, joins, leaves, runs
from felt_engine.analysis.expected import Expected, expected
from felt_engine.analysis.faceview import (
    EXTREMES,
    Anchoring,
    Halo,
    anchoring,
    cover_to_hide,
    depths,
    depths_to_come,
    felting_cover_above,
    halo,
    held_at_least,
    inward,
    laid_colour,
    lighter,
    loudest,
    most_held,
    veil_to_hold,
)
from felt_engine.analysis.joins import Gap, Seam, carried, gaps, seams
from felt_engine.analysis.migration import cover_for_bridge
from felt_engine.analysis.misunits import Misunit
from felt_engine.analysis.portions import BlendPart, Portion, blend_parts, portions
from felt_engine.analysis.rims import RAMP, Loss, Rim, rim_share, rims
from felt_engine.analysis.rows import (
    TAPER,
    TUFT,
    Profile,
    RowPlan,
    Rows,
    overlap_to_fill,
    plan_rows,
    reach_of,
    shingle_rows,
)
from felt_engine.analysis.say import (
    areal,
    axis,
    figure,
    grams,
    length,
    ounces,
    percent,
    size,
    weight,
)
from felt_engine.analysis.shingle import Shingled, is_shingled, shingled
from felt_engine.analysis.shrinkage import (
    STAGE_STRAIN,
    WEIGHT,
    WOOL,
    finished_size,
    laid_size,
    shrinkage,
)
from felt_engine.analysis.stack import Laid, bare, kindest_pull, resultant, unsaid_pull
from felt_engine.analysis.strain import Apart, apart, local_strain, weight_and_felts
from felt_engine.analysis.totals import Reckoned, Slip, reckoned, slips
from felt_engine.analysis.working import (
    Extent,
    Rolling,
    fibre_pull,
    laid_extent,
    rolled_areal,
    rolling,
    uneven_shrinkage,
    wetted_extent,
)
from felt_engine.analysis.written import FACTORS, half_digit, imperial, is_sum, unit, with_unit

WEIGHT_COUNTS, WOOL_COUNTS = abs(WEIGHT[0]), WOOL[0]
"""How much weight (by its logarithm) and feltability count in a strain, before any swatch."""


def axis_words(pull: complex) -> str:
    """The axis of a doubled-angle resultant, as a compass word or a bearing."""
    return axis(bearing_of_angle(cmath.phase(pull) / 2))


def bearing_words(laid: Laid) -> str:
    """The direction in which something is laid, in words."""
    return "" if laid.angle is None else axis(bearing_of_angle(laid.angle))


def locate(places: Sequence[Place], face: FaceBuild) -> str:
    """Words for where these places lie on their face, taken together."""
    return whereabouts.locate([place.region for place in places], face.face).words


def narrowest(places: Sequence[Place]) -> float:
    """How wide these places of one face are together, across their narrow direction, m."""
    return whereabouts.narrowest([place.region for place in places], places[0].face.face)


def spread_area(build: Build, laid: Laid) -> float:
    """The whole area that a placement's amount is laid on, m², over all its faces."""
    return build.masses[laid.key] / laid.areal if laid.areal else 0.0


def neighbours(
    face: FaceBuild, places: Sequence[Place], narrow: float
) -> list[tuple[Place, Place]]:
    """Pairs of these places that touch along more than ``narrow`` (m), or that one other place
    parts which is narrower than that, such as a lap; each pair once.
    """
    counted = {id(place): k for k, place in enumerate(places)}
    beside: dict[int, list[int]] = {}
    found: set[tuple[int, int]] = set()
    for border in face.borders:
        if border.length < narrow:
            continue
        one, two = counted.get(id(border.one)), counted.get(id(border.two))
        if one is not None and two is not None:
            found.add((min(one, two), max(one, two)))
        elif one is not None and border.two.width < narrow:
            beside.setdefault(id(border.two), []).append(one)
        elif two is not None and border.one.width < narrow:
            beside.setdefault(id(border.one), []).append(two)
    for around in beside.values():
        found.update((min(a, b), max(a, b)) for a in around for b in around if a != b)
    return [(places[one], places[two]) for one, two in sorted(found)]


def _held(place: Place) -> tuple[float, float]:
    covered = spread = 0.0
    for laid in place.stack:
        for part in laid.parts:
            if part.stuff.holds:
                cover = part.coverage()
                covered += cover
                spread += cover * part.cv
    return covered, spread / covered if covered else 0.0


def bare_sum(place: Place) -> str:
    """The sum behind a place's bare index."""
    covered, cv = _held(place)
    if not covered:
        return "B = 1: nothing there felts"
    return (
        f"c = Σ 4 w / (π d ρ) = {covered:.2f}; v = {cv:.2f}; "
        f"B = (1 + c v²)^(-1/v²) = {place.bare():.3f}"
    )


def areal_for_bare(place: Place, limit: float) -> float:
    """Felting weight per area (kg/m²) at which a place's bare index would be ``limit``."""
    covered, cv = _held(place)
    if not covered:
        return 0.0
    return place.felting_areal * coverage_for_bare(limit, cv) / covered


def heaviest_lot(place: Place) -> str:
    """The felting lot that weighs most at a place, with its diameter."""
    parts = [part for laid in place.stack for part in laid.parts if part.stuff.holds]
    if not parts:
        return ""
    most = max(parts, key=lambda part: part.areal)
    size = most.stuff.diameter.usual * 1e6
    return f"“{most.stuff.lot.name}” taken as {size:.1f} um"


def usual_caution(hazard: str) -> str:
    """The usual line of caution about a hazard. KeyError for one that isn't known."""
    from felt_engine.data.cautions import CAUTIONS

    return CAUTIONS[hazard]["says"]


__all__ = [
    "EXTREMES", "FACTORS", "RAMP", "STAGE_STRAIN", "TAPER", "TUFT", "WEIGHT_COUNTS",
    "WOOL_COUNTS", "Anchoring", "Apart", "BlendPart", "Expected", "Extent", "Gap", "Halo", "Loss",
    "Meeting", "Misunit", "Portion", "Profile", "Reckoned", "Rim", "Rolling", "RowPlan", "Rows",
    "Run", "Seam", "Shingled", "Slip", "along_axis", "anchoring", "apart", "areal",
    "areal_for_bare", "axis", "axis_words", "bare", "bare_sum", "bearing_words", "blend_parts",
    "by_layer", "carried", "closed", "cover_for_bridge", "cover_to_hide", "depths",
    "depths_to_come", "expected", "faceview", "farthest", "felting", "felting_cover_above",
    "fibre_pull", "figure", "finished_size", "fourfold", "gaps", "grams", "half_digit", "halo",
    "heaviest_lot", "held_at_least", "imperial", "inward", "is_shingled", "is_sum", "joins",
    "kindest_pull", "laid_colour", "laid_extent", "laid_size", "leaves", "length", "lighter",
    "local_strain", "locate", "loudest", "meeting", "misunits", "most_held", "narrowest",
    "neighbours", "ounces", "overlap_to_fill", "percent", "plan_rows", "portions", "reach_of",
    "reckoned", "resultant", "rim_share", "rims", "rolled_areal", "rolling", "runs", "seams",
    "shingle_rows", "shingled", "shrinkage", "size", "slips", "spread_area", "toward",
    "uneven_shrinkage", "unit", "unsaid_pull", "usual_caution", "veil_to_hold", "wanted_ratio",
    "weight", "weight_and_felts", "wetted_extent", "with_unit",
]  # fmt: skip
