"""Report to HTML text: what the template is given, and the index over several."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

import jinja2
from markupsafe import Markup

from felt_engine import Drawing, DrawnFace, Report, WeightLine
from felt_engine.plain_text import ROUNDED, plain
from felt_exporters.page import svg
from felt_exporters.page.parts import parts

WORDS = {
    "unreadable": "Could not be read", "fault": "Will go wrong as written",
    "caution": "May go wrong", "not judged": "Not wholly judged",
    "known": "Nothing new to mend",
    "note": "Nothing to mend, with a note", "right": "Nothing to mend",
}  # fmt: skip
"""A word for each verdict, in the order of an index."""

OUNCE = 28.349523125


@lru_cache(maxsize=1)
def _environment() -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("felt_exporters.page", "templates"),
        autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        finalize=lambda value: plain(value) if type(value) is str else value,
    )  # fmt: skip
    environment.filters.update(
        grams=_grams,
        ounces=_ounces,
        percent=_percent,
        about_grams=_about_grams,
        about_ounces=_about_ounces,
    )
    return environment


def _grams(value: float) -> str:
    return f"{value:.2f}"


def _ounces(value: float) -> str:
    return f"{value / OUNCE:.3f}"


def _about_grams(value: float) -> str:
    return f"{value:.0f}" if value >= 100 else f"{value:.1f}"


def _about_ounces(value: float) -> str:
    return f"{value / OUNCE:.1f}" if value >= 100 else f"{value / OUNCE:.2f}"


def _percent(value: float) -> str:
    return f"{100 * value:.0f} %"


def verdict(report: Report) -> str:
    """The verdict in a sentence that a teacher would say."""
    counts = [(level, len(report.at_level(level))) for level in ("fault", "caution", "note")]
    said = [f"{n} {level if n == 1 else level + 's'}" for level, n in counts if n]
    rules = len(report.judged)
    off = len(report.off)
    rest = f", {off} {'is' if off == 1 else 'are'} switched off" if off else ""
    looked = f"{rules} {'rule' if rules == 1 else 'rules'} looked at it{rest}."
    if report.problems:
        return "This recipe could not be read. Mend what is listed first."
    if not report.judged:
        return "No rule looked at it."
    if not said:
        return looked
    return f"{' and '.join(said)} to look at before you wet the wool. {looked}"


def page(report: Report, back: bool = False) -> str:
    """The whole page of one recipe; ``back`` adds a link to the index."""
    return _environment().get_template("recipe.html").render(_recipe(report), back=back)


def _recipe(report: Report) -> dict[str, Any]:
    drawing = report.drawing
    faces: list[dict[str, Any]] = []
    tiles: dict[str, Markup] = {}
    if drawing is not None:
        tiles = {name: Markup(tile) for name, tile in svg.all_keys(drawing.swatches).items()}
        faces = [_face(report, number) for number in range(len(drawing.faces))]
    return {
        "report": report, "title": report.title or report.name or "Recipe",
        "verdict": verdict(report), "word": WORDS[report.verdict],
        "findings": list(enumerate(report.findings, 1)),
        "faces": faces, "tiles": tiles, "letters": _letters(report),
        "swatches": drawing.swatches if drawing else (),
        "definitions": Markup(svg.definitions(drawing)) if drawing else "",
        "weights": _weights(report),
        "rounded": "" if report.weights is None or report.weights.adds_up else ROUNDED,
    }  # fmt: skip


def _weights(report: Report) -> list[tuple[str, list[tuple[WeightLine, str, str]]]]:
    """Tables of weights, each figure rounded by itself."""
    table = report.weights
    if table is None:
        return []
    groups = [("By layer, bottom to top", table.by_layer), ("By lot", table.by_lot)]
    if table.pieces > 1:
        groups.append((f"By lot, all {table.pieces} pieces", table.by_lot_in_all))
    groups.append(("By fibre", table.by_fibre))
    return [(title, [(line, *line.shown) for line in lines]) for title, lines in groups]


def _letters(report: Report) -> dict[str, str]:
    drawing = report.drawing
    return {s.name: svg.letter(s.pattern) for s in drawing.swatches} if drawing else {}


def _face(report: Report, number: int) -> dict[str, Any]:
    drawing = report.drawing
    assert drawing is not None
    face = drawing.faces[number]
    layers = [
        {"layer": layer, "svg": Markup(svg.layer(report, face, layer, f"f{number}l{layer.number}")),
         "findings": _findings_of(report, layer.pointer)}
        for layer in face.layers
    ]  # fmt: skip
    return {
        "face": face, "layers": layers,
        "parts": Markup(parts(face, f"f{number}p")) if face.zones else "",
        "stack": Markup(svg.stack(report, face, f"f{number}s")),
        "colours": [
            Markup(svg.colours(report, face, k, f"f{number}c{k}"))
            for k in range(len(drawing.surfaces))
        ],
        "rows": any(p.rows for layer in face.layers for p in layer.placements),
        "overhang": any(layer.overhang for layer in face.layers),
        "below": any(p.zone != "whole" for layer in face.layers[:-1] for p in layer.placements),
        "incoming": face.name != "whole"
        and any(p.turned for layer in face.layers for p in layer.placements),
        "absent": _absent(drawing, face), "range": _range(face),
        "uneven": any(place.pull >= svg.PULLS for place in face.places),
        "colourless": all(c is None for place in face.places for c in place.colours),
    }  # fmt: skip


def _absent(drawing: Drawing, face: DrawnFace) -> list[tuple[int, str]]:
    """Layers that lie on the other face only."""
    here = {layer.number for layer in face.layers}
    every = {layer.number: layer.name for other in drawing.faces for layer in other.layers}
    return [(number + 1, name) for number, name in sorted(every.items()) if number not in here]


def _range(face: DrawnFace) -> str:
    low = min((place.g_m2 for place in face.places), default=0.0)
    most = max((place.g_m2 for place in face.places), default=0.0)
    if most - low < 1:
        return f"{most:.0f} g/m² all over."
    return f"From {low:.0f} to {most:.0f} g/m²."


def _findings_of(report: Report, pointer: str) -> list[tuple[int, str]]:
    return [
        (number, finding.level) for number, finding in enumerate(report.findings, 1)
        if finding.spot.pointer == pointer or finding.spot.pointer.startswith(pointer + "/")
    ]  # fmt: skip


class Index:
    """Collects what the index needs of each recipe, and gives each page its file name."""

    def __init__(self) -> None:
        self.rows: list[dict[str, Any]] = []
        self.taken: set[str] = {"index.html"}

    def add(self, report: Report) -> str:
        """The name of this recipe's page: its file's own name, made safe and kept apart."""
        stem = re.sub(
            r"\.(ya?ml|json)$", "", re.split(r"[/\\]", report.name)[-1], flags=re.IGNORECASE
        )
        stem = re.sub(r"[^A-Za-z0-9]+", "-", stem).strip("-").lower()[:60] or "recipe"
        name, number = f"{stem}.html", 1
        while name in self.taken:
            number += 1
            name = f"{stem}-{number}.html"
        self.taken.add(name)
        self.rows.append({
            "href": name, "title": report.title or report.name or "Recipe", "name": report.name,
            "verdict": report.verdict, "word": WORDS[report.verdict], "use": report.use or "",
            "counts": [(level, len(report.at_level(level))) for level in ("fault", "caution")],
            "not_judged": ", ".join(one.what for one in report.not_judged),
            "svg": Markup(svg.small(report, f"i{len(self.rows)}")),
            "grams": report.weights.piece.grams if report.weights else None,
        })  # fmt: skip
        return name

    def page(self) -> str:
        """The index page."""
        groups = [
            (verdict, word, [row for row in self.rows if row["verdict"] == verdict])
            for verdict, word in WORDS.items()
        ]
        groups = [group for group in groups if group[2]]
        return _environment().get_template("index.html").render(rows=self.rows, groups=groups)
