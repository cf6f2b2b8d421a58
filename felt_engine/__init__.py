"""Proofread a wet-felting recipe: load, measure, check, export.

Everything here is loaded on first use, so that importing the package costs next to nothing::

    import felt_engine
    report = felt_engine.check("recipes/low-tide.yaml")
    print(felt_engine.export(report, "text"))

Promised: the names in ``__all__``, their arguments, and the fields of the values that they give.
Not promised: wording of messages, anything that is imported from a room below this one.
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

__version__ = "0.1.0"

_HOMES = {
    "api": "Engine Slow check check_many export forecast learned load look measure read_notebook "
    "report_from_json resize row_plan",
    "checking.bench": "Bench",
    "checking.drawn": "Drawing DrawnArea DrawnFace DrawnLayer DrawnPlace "
    "DrawnPlacement DrawnZone Mark Rows Swatch",
    "beside": "studio_beside",
    "checking.numbers": "HouseNumbers SetLimit Stated SwitchedOff",
    "checking.report": "Consequence Intent NotJudged Remark Report ReportedFinding "
    "Spot WeightLine WeightTable",
    "declare": "Caution Example Exporter FibreEntry Figure Finding Limit Rule RuleText Said "
    "Seen Sheet Span Tip Unsaid UseEntry",
    "errors": "CallError FeltError FileError NotebookError OutputError PluginBroke PluginMissing "
    "Problem RecipeError StudioError WorkerDiffers WorkerLost",
    "plugins": "CONTRACT Found Plugins hook",
    "analysis.build": "Border Build FaceBuild Place",
    "analysis.stack": "Laid Part",
    "analysis.stuff": "Stuff",
    "model.amount": "Amount Colour Direction Fineness Point Price Share Size Warmth",
    "model.catalogue": "Catalogue",
    "model.intent": "Purpose Waiver",
    "model.layup": "Layer Placement",
    "model.lots": "Blend Lot",
    "model.piece": "Piece Resist Zone",
    "model.recipe": "Recipe Source",
    "model.studio": "LimitSetting RuleSetting Studio",
    "model.work": "PrintedCaution Roller Step Tools Total",
    "sizing": "Change Resized",
    "analysis.shrinkage": "Forecast Hand Making MeasuredSwatch",
    "analysis.taught": "Learned TaughtSwatch",
    "analysis.rowplan": "PlannedRows",
    "forecasting": "Range SideForecast SizeForecast",
    "model.notebook": "Notebook NotedSwatch Rolled SwatchLayer",
}
_HOME = {name: module for module, names in _HOMES.items() for name in names.split()}

__all__ = [
    "CONTRACT", "Amount", "Bench", "Blend", "Border", "Build", "CallError", "Catalogue",
    "Caution", "Change", "Colour", "Consequence", "Direction", "Drawing", "DrawnArea",
    "DrawnFace", "DrawnLayer", "DrawnPlace", "DrawnPlacement", "DrawnZone", "Engine", "Example",
    "Exporter", "FaceBuild", "FeltError", "FibreEntry", "Figure", "FileError", "Finding",
    "Fineness", "Forecast", "Found", "Hand", "HouseNumbers", "Intent", "Laid", "Layer", "Learned",
    "Limit", "LimitSetting", "Lot", "Making", "Mark", "MeasuredSwatch", "NotJudged", "Notebook",
    "NotebookError", "NotedSwatch", "OutputError", "Part", "Piece", "Place", "Placement", "PlannedRows",
    "PluginBroke", "PluginMissing", "Plugins", "Point", "Price", "PrintedCaution", "Problem",
    "Purpose", "Range", "Recipe", "RecipeError", "Remark", "Report", "ReportedFinding", "Resist",
    "Resized", "Rolled", "Roller", "Rows", "Rule", "RuleSetting", "RuleText", "Said", "Seen", "SetLimit",
    "Share", "Sheet", "SideForecast", "Size", "SizeForecast", "Slow", "Source", "Span", "Spot",
    "Stated", "Step", "Studio", "StudioError", "Stuff", "Swatch", "SwatchLayer", "SwitchedOff",
    "TaughtSwatch", "Tip", "Tools", "Total", "Unsaid", "UseEntry", "Waiver", "Warmth",
    "WeightLine", "WeightTable", "WorkerDiffers", "WorkerLost", "Zone", "__version__", "check",
    "check_many", "export", "figures", "forecast",
    "hook", "learned", "load", "look", "measure", "read_notebook", "report_from_json", "resize",
    "row_plan", "studio_beside",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    home = _HOME.get(name)
    if home is None and name != "figures":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    if home is None:
        return import_module(f"{__name__}.figures")
    value = getattr(import_module(f"{__name__}.{home}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted(__all__)


if TYPE_CHECKING:
    from felt_engine import figures
    from felt_engine.analysis.build import Border, Build, FaceBuild, Place
    from felt_engine.analysis.rowplan import PlannedRows
    from felt_engine.analysis.shrinkage import Forecast, Hand, Making, MeasuredSwatch
    from felt_engine.analysis.stack import Laid, Part
    from felt_engine.analysis.stuff import Stuff
    from felt_engine.analysis.taught import Learned, TaughtSwatch
    from felt_engine.api import (
        Engine,
        Slow,
        check,
        check_many,
        export,
        forecast,
        learned,
        load,
        look,
        measure,
        read_notebook,
        report_from_json,
        resize,
        row_plan,
    )
    from felt_engine.beside import studio_beside
    from felt_engine.checking.bench import Bench
    from felt_engine.checking.drawn import (
        Drawing,
        DrawnArea,
        DrawnFace,
        DrawnLayer,
        DrawnPlace,
        DrawnPlacement,
        DrawnZone,
        Mark,
        Rows,
        Swatch,
    )
    from felt_engine.checking.numbers import HouseNumbers, SetLimit, Stated, SwitchedOff
    from felt_engine.checking.report import (
        Consequence,
        Intent,
        NotJudged,
        Remark,
        Report,
        ReportedFinding,
        Spot,
        WeightLine,
        WeightTable,
    )
    from felt_engine.declare import (
        Caution,
        Example,
        Exporter,
        FibreEntry,
        Figure,
        Finding,
        Limit,
        Rule,
        RuleText,
        Said,
        Seen,
        Sheet,
        Span,
        Tip,
        Unsaid,
        UseEntry,
    )
    from felt_engine.errors import (
        CallError,
        FeltError,
        FileError,
        NotebookError,
        OutputError,
        PluginBroke,
        PluginMissing,
        Problem,
        RecipeError,
        StudioError,
        WorkerDiffers,
        WorkerLost,
    )
    from felt_engine.forecasting import Range, SideForecast, SizeForecast
    from felt_engine.model.amount import (
        Amount,
        Colour,
        Direction,
        Fineness,
        Point,
        Price,
        Share,
        Size,
        Warmth,
    )
    from felt_engine.model.catalogue import Catalogue
    from felt_engine.model.intent import Purpose, Waiver
    from felt_engine.model.layup import Layer, Placement
    from felt_engine.model.lots import Blend, Lot
    from felt_engine.model.notebook import Notebook, NotedSwatch, Rolled, SwatchLayer
    from felt_engine.model.piece import Piece, Resist, Zone
    from felt_engine.model.recipe import Recipe, Source
    from felt_engine.model.studio import LimitSetting, RuleSetting, Studio
    from felt_engine.model.work import PrintedCaution, Roller, Step, Tools, Total
    from felt_engine.plugins import CONTRACT, Found, Plugins, hook
    from felt_engine.sizing import Change, Resized
