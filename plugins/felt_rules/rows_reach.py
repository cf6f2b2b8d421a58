"""What rows-and-laps sees in the rows of one layer: do they reach, and do they lap?"""

from __future__ import annotations

from felt_engine import Bench, FaceBuild, Figure, Finding, Layer, figures
from felt_rules import rows_words as words


def rows(bench: Bench, face: FaceBuild, number: int) -> Finding | None:
    """A layer's rows on a face, if they don't reach or don't lap and nobody means it."""
    layer = bench.recipe.layers[number]
    if (layer.overlap is None and layer.rows is None) or bench.recipe.piece.over == "ball":
        return None
    one = figures.shingled(face, number)
    if one is None:
        return None
    found = _reach(bench, face, one) or _lap(bench, face, one, number)
    if found is None or bench.meant("thin", layer) or bench.meant("gap", layer):
        return None
    return found


def _reach(bench: Bench, face: FaceBuild, one: figures.Shingled) -> Finding | None:
    """Rows as many as the recipe says: do they reach the far edge?"""
    if one.count is None or one.tuft is None:
        return None
    lap = one.overlap or 0.0
    reach = figures.reach_of(one.count, one.tuft, lap)
    lacks = round(one.along - reach, 9)
    if lacks <= max(words.narrow(bench, face), round(bench.limit("reach-slack") * one.tuft, 9)):
        return None
    longest = one.count * one.tuft * (1 + bench.limit("tuft-slack"))
    enough = max(0.25, figures.TAPER if one.taper is None else one.taper)
    wanted = lap if lap >= enough else min(enough, 0.9)
    most = figures.shingle_rows(one.along, one.tuft, wanted)
    cover = "" if wanted == lap else f", each covering {words.part(wanted)} of the last"
    lapping = f", each lapping the last by {words.part(lap)}," if lap else ""
    return bench.finding(
        "fault" if longest < one.along else "caution",
        one.layer,
        f"{_counted(one.count)} of {figures.length(one.tuft)} tufts{lapping} reach "
        f"{figures.length(reach)}; “{one.layer.name}” has {figures.length(one.along)} to fill, so "
        f"{figures.length(lacks)} of it stay without this layer.",
        f"Lay {most.count} rows, one every {figures.length(most.pitch)}{_tufts(face, one, most)}{cover}."
        + _fewer(one.count, one.along, one.tuft, enough),
        measured=Figure("reach of the rows", reach * 1000, "mm"),
        limit=Figure("length to fill", one.along * 1000, "mm"),
        how=f"tuft x (1 + (rows - 1) (1 - overlap)) = {figures.length(one.tuft)} x "
        f"(1 + {one.count - 1} x {figures.figure(1 - lap)})",
        also=_names(face, one.layer),
    )  # fmt: skip


def _counted(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _tufts(face: FaceBuild, one: figures.Shingled, rows: figures.Rows) -> str:
    """How many tufts a row, and what each weighs, where their width is said."""
    laid = [(laid, area) for laid, area in face.laid if laid.layer is one.layer]
    if one.tufts is None or len(laid) != 1:
        return ""
    each = laid[0][0].areal * laid[0][1] / (rows.count * one.tufts.count)
    return f", of {one.tufts.count} tufts of about {figures.weight(each)}"


def _fewer(count: int, along: float, tuft: float, enough: float) -> str:
    needed = figures.overlap_to_fill(count, along, tuft)
    if needed < enough or count < 2:
        return ""
    return (
        f" Or let the {count} rows lap by {figures.percent_at_most(needed)}, which just fills it."
    )


def _lap(bench: Bench, face: FaceBuild, one: figures.Shingled, number: int) -> Finding | None:
    """The overlap that the recipe says, or that its rows come to: is it enough for the thin ends?"""
    lap = one.overlap
    if lap is None and one.count is not None and one.count > 1 and one.tuft is not None:
        lap = round(figures.overlap_to_fill(one.count, one.along, one.tuft), 9)
    if lap is None or lap < 0 or one.along <= (one.tuft or 0.0):
        return None
    share = max(
        (words.weight_of(p, number) / p.areal for p in face.places if p.areal and not p.open_cloth),
        default=0.0,
    )
    if figures.steady(share) < bench.limit("lap-share"):
        return None
    left = 1 - share * (1 - _line(bench, face, one, lap, both=True))
    kinder = 1 - share * (1 - _line(bench, face, one, lap, both=False))
    only_meet = lap < bench.limit("least-lap")
    if figures.steady(left) >= bench.limit("stack-caution") and not only_meet:
        return None
    level = "fault" if figures.steady(kinder) < bench.limit("stack-fault") else "caution"
    return _lap_finding(bench, face, one, lap, (share, left), level)


def _lap_finding(
    bench: Bench, face: FaceBuild, one: figures.Shingled, lap: float,
    weights: tuple[float, float], level: str,
) -> Finding:  # fmt: skip
    taper = figures.TAPER if one.taper is None else one.taper
    share, left = weights
    name, end = one.layer.name, words.part(taper)
    only_meet = lap < bench.limit("least-lap")
    how = (
        "only meet: "
        if only_meet
        else f"lap by {words.part(lap)} of a tuft, and its thin end takes {end}: "
    )
    harm = (
        "a thin line will run across the piece at each row, and it may open there."
        if taper
        else "a row is held to the next by nothing but what lies across it."
    )
    best = f"{words.part(max(taper, 0.25))} to a third" if taper < 0.3 else words.part(taper)
    line = _line(bench, face, one, lap, both=True)
    return bench.finding(
        level,
        one.layer,
        f"The rows of “{name}” {how}{harm}",
        f"Let each row cover {best} of the last, so that thin end lies on thin end"
        f"{_needed(one, max(taper, 0.25))}.",
        measured=Figure("overlap", 100 * lap, "%")
        if only_meet
        else Figure("weight where two rows meet, of the mean", left, ""),
        limit=Figure("least overlap", 100 * bench.limit("least-lap"), "%")
        if only_meet
        else ("stack-fault" if level == "fault" else "stack-caution"),
        how=f"where two rows meet, the layer has {figures.percent(line)} of its mean weight (thin end "
        f"{end} of the tuft); it is {figures.percent(share)} of what lies there, which leaves "
        f"{figures.percent(left)} of the whole",
        also=_names(face, one.layer),
    )


def _needed(one: figures.Shingled, overlap: float) -> str:
    """How many rows that makes, where a tuft's length is said."""
    if one.tuft is None or overlap >= 1:
        return ""
    rows = figures.shingle_rows(one.along, one.tuft, overlap)
    return f": {_counted(rows.count)} of {figures.length(one.tuft)} tufts"


def _line(bench: Bench, face: FaceBuild, one: figures.Shingled, lap: float, *, both: bool) -> float:
    """The layer's weight where two rows meet over its mean; kinder where one end is blunt."""
    tuft = one.tuft or figures.TUFT
    taper = one.taper
    if taper is None:
        taper = figures.TAPER if both else 0.0
    if lap >= taper:
        return 1.0
    head = min(taper, 0.5) if both else 0.0
    course = figures.Profile(tuft, tuft * (1 - lap), 4, head, min(taper, 1 - head))
    return course.thinnest(min(words.cell(bench, face), tuft / 2))


def _names(face: FaceBuild, layer: Layer) -> tuple[str, ...]:
    """Names by which a waiver may mean a layer: its own, its lots', its only zone's."""
    laid = [one for one, _ in face.laid if one.layer is layer]
    zones = sorted({one.placement.zone for one in laid})
    return (
        layer.name,
        *sorted({one.placement.of for one in laid}),
        *(zones[:1] if len(zones) == 1 else ()),
    )
