"""Figures and words for rule authors: everything a rule may ask beyond the Build's own members.

Each is loaded when it is first asked for. A function that is given something of another kind raises
TypeError, and a value that it can't work with (an infinite weight, a stage that there isn't) ValueError.
"""

from __future__ import annotations

from felt_engine.value import fenced as _fenced

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_HOMES = {
    "data.cautions": "usual_caution",
    "model.amount": "RANGES",
    "analysis.balance": "Meeting alike along_axis by_layer felting fourfold meeting pull_if_turned "
    "toward wanted_ratio",
    "analysis.division": "Run closed farthest joins leaves runs",
    "analysis.expected": "Expected expected",
    "analysis.faceview": "EXTREMES Anchoring Halo anchoring cover_to_hide depths "
    "depths_to_come felting_cover_above halo held_at_least "
    "inward laid_colour lighter loudest most_held veil_of_coverage veil_to_hold "
    "veil_wool",
    "analysis.handy": "areal_for_bare axis_words bare_sum "
    "bearing_words heaviest_lot lies_all_over lies_past locate narrowest neighbours on_what pieces "
    "shape_sum shape_tendency shape_words spread_area weightiest names_at_all",
    "analysis.joins": "Gap Seam carried gaps seams",
    "analysis.steady": "part_of ranked steady",
    "analysis.migration": "cover_for_bridge",
    "analysis.making": "fibre_pull",
    "analysis.misunits": "Misunit",
    "analysis.portions": "ROUNDED BlendPart Portion blend_parts portions",
    "analysis.rims": "RAMP Loss Rim rim_share rims",
    "analysis.rows": "TAPER TUFT Profile RowPlan Rows overlap_to_fill plan_rows "
    "reach_of shingle_rows",
    "analysis.say": "areal areal_at_least areal_at_most axis figure grams length length_at_least "
    "length_at_most ounces percent percent_at_most size size_at_least weight weight_at_least weight_at_most",
    "analysis.shingle": "Shingled is_shingled shingled",
    "analysis.shrinkage": "STAGE_STRAIN finished_size laid_size shrinkage",
    "analysis.stack": "bare kindest_pull resultant unsaid_pull",
    "analysis.strain": "Apart apart evened exchanged fibre_strain levelled local_strain "
    "mean_fibre weight_and_felts",
    "analysis.totals": "Reckoned Slip reckoned slips",
    "analysis.weights": "times_laid",
    "analysis.working": "Extent Rolling laid_extent rolled_areal rolling "
    "uneven_shrinkage wetted_extent",
    "analysis.written": "FACTORS half_digit imperial is_sum unit with_unit",
}
_MODULES = ("faceview", "misunits")
_HOME = {name: module for module, names in _HOMES.items() for name in names.split()}


def __getattr__(name: str) -> Any:
    from importlib import import_module

    if name in _MODULES:
        return import_module(f"felt_engine.analysis.{name}")
    home = _HOME.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"felt_engine.{home}"), name)
    if callable(value) and not isinstance(value, type):
        value = _fenced(value, f"figures.{name}")
        value.__module__, value.__qualname__ = __name__, name
    globals()[name] = value
    return value


if TYPE_CHECKING:
    from felt_engine.analysis import faceview, misunits
    from felt_engine.analysis.balance import (
        Meeting,
        alike,
        along_axis,
        by_layer,
        felting,
        fourfold,
        meeting,
        pull_if_turned,
        toward,
        wanted_ratio,
    )
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
        veil_of_coverage,
        veil_to_hold,
        veil_wool,
    )
    from felt_engine.analysis.handy import (
        areal_for_bare,
        axis_words,
        bare_sum,
        bearing_words,
        heaviest_lot,
        lies_all_over,
        lies_past,
        locate,
        names_at_all,
        narrowest,
        neighbours,
        on_what,
        pieces,
        shape_sum,
        shape_tendency,
        shape_words,
        spread_area,
        weightiest,
    )
    from felt_engine.analysis.joins import Gap, Seam, carried, gaps, seams
    from felt_engine.analysis.making import fibre_pull
    from felt_engine.analysis.migration import cover_for_bridge
    from felt_engine.analysis.misunits import Misunit
    from felt_engine.analysis.portions import ROUNDED, BlendPart, Portion, blend_parts, portions
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
        areal_at_least,
        areal_at_most,
        axis,
        figure,
        grams,
        length,
        length_at_least,
        length_at_most,
        ounces,
        percent,
        percent_at_most,
        size,
        size_at_least,
        weight,
        weight_at_least,
        weight_at_most,
    )
    from felt_engine.analysis.shingle import Shingled, is_shingled, shingled
    from felt_engine.analysis.shrinkage import STAGE_STRAIN, finished_size, laid_size, shrinkage
    from felt_engine.analysis.stack import bare, kindest_pull, resultant, unsaid_pull
    from felt_engine.analysis.steady import part_of, ranked, steady
    from felt_engine.analysis.strain import (
        Apart,
        apart,
        evened,
        exchanged,
        fibre_strain,
        levelled,
        local_strain,
        mean_fibre,
        weight_and_felts,
    )
    from felt_engine.analysis.totals import Reckoned, Slip, reckoned, slips
    from felt_engine.analysis.weights import times_laid
    from felt_engine.analysis.working import (
        Extent,
        Rolling,
        laid_extent,
        rolled_areal,
        rolling,
        uneven_shrinkage,
        wetted_extent,
    )
    from felt_engine.analysis.written import FACTORS, half_digit, imperial, is_sum, unit, with_unit
    from felt_engine.data.cautions import usual_caution
    from felt_engine.model.amount import RANGES

__all__ = [
    "EXTREMES", "FACTORS", "RAMP", "RANGES", "ROUNDED", "STAGE_STRAIN", "TAPER", "TUFT", "Anchoring",
    "Apart",
    "BlendPart", "Expected", "Extent", "Gap", "Halo", "Loss", "Meeting", "Misunit", "Portion",
    "Profile", "Reckoned", "Rim", "Rolling", "RowPlan", "Rows", "Run", "Seam", "Shingled", "Slip",
    "alike", "along_axis", "anchoring", "apart", "areal", "areal_at_least", "areal_at_most", "areal_for_bare",
    "axis", "axis_words", "bare", "bare_sum", "bearing_words", "blend_parts", "by_layer", "carried",
    "closed", "cover_for_bridge", "cover_to_hide", "depths", "depths_to_come", "evened", "exchanged",
    "expected", "faceview", "farthest", "felting", "felting_cover_above", "fibre_pull", "fibre_strain",
    "figure", "finished_size", "fourfold", "gaps", "grams", "half_digit", "halo", "heaviest_lot",
    "held_at_least", "imperial", "inward", "is_shingled", "is_sum", "joins", "kindest_pull",
    "laid_colour", "laid_extent", "laid_size", "leaves", "length", "length_at_least", "length_at_most",
    "levelled", "lies_all_over", "lies_past", "lighter", "local_strain", "locate", "loudest",
    "mean_fibre", "meeting",
    "misunits", "most_held", "names_at_all", "narrowest", "neighbours", "on_what", "ounces",
    "overlap_to_fill", "part_of", "percent", "percent_at_most", "pieces", "plan_rows", "portions",
    "pull_if_turned", "ranked", "reach_of", "reckoned", "resultant", "rim_share", "rims",
    "rolled_areal", "rolling",
    "runs", "seams", "shape_sum", "shape_tendency", "shape_words", "shingle_rows", "shingled",
    "shrinkage", "size", "size_at_least", "slips", "spread_area", "steady", "times_laid", "toward",
    "uneven_shrinkage", "unit", "unsaid_pull", "usual_caution", "veil_of_coverage", "veil_to_hold",
    "veil_wool", "wanted_ratio", "weight", "weight_and_felts", "weight_at_least", "weight_at_most",
    "weightiest", "wetted_extent", "with_unit",
]  # fmt: skip
