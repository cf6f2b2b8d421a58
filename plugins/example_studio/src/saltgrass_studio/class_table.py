"""class-table: does what a class lays out fit on the tables of its room?"""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import Bench, Example, FaceBuild, Figure, Limit, Rule, Said, figures


def judge(bench: Bench) -> Iterator[Said]:
    """The layout of each face, either way round, against the table less a hand's breadth."""
    recipe = bench.recipe
    if "class handout" not in recipe.readers or bench.meant("laid in parts"):
        return
    for face in bench.build.faces:
        if not _fits(bench, face):
            yield _finding(bench, face)
            return


def _room(bench: Bench) -> tuple[float, float]:
    margin = 2 * bench.limit("margin")
    return bench.limit("table-long") - margin, bench.limit("table-short") - margin


def _fits(bench: Bench, face: FaceBuild) -> bool:
    long, short = _room(bench)
    return face.longer_side <= long and face.shorter_side <= short


def _finding(bench: Bench, face: FaceBuild) -> Said:
    long, short = _room(bench)
    lengthwise = face.longer_side / long >= face.shorter_side / short
    side = face.longer_side if lengthwise else face.shorter_side
    room = long if lengthwise else short
    return bench.finding(
        "caution",
        bench.recipe.piece,
        f"It is laid out {figures.length(face.longer_side)} by {figures.length(face.shorter_side)}, and a "
        f"class table takes {figures.length(long)} by {figures.length(short)} with room for the hands: "
        "it will hang over the edge, and slide when it is wet.",
        "Give a smaller size for the class, push two tables together, or say that it is laid in parts "
        "(on purpose, what: laid in parts).",
        measured=Figure("longer side" if lengthwise else "shorter side", side, "m"),
        limit=Figure("room on the table", room, "m"),
        how=f"the table less {figures.length(bench.limit('margin'))} on either side",
    )


_COVER = """\
piece: {{title: Float cover, use: {use}, shape: rectangle, laid out: {size}, stage: firm}}
lots: {{dune: {{fibre: {fibre}, preparation: carded batt}}}}
layers:
  - {{name: one, of: dune, amount: 200 g/m², direction: north-south, lay: batt}}
  - {{name: two, of: dune, amount: 200 g/m², direction: east-west, lay: batt}}
readers: [{readers}]
"""
_PLAIN = {"use": "float cover", "fibre": "dune cross", "readers": "class handout"}
_MEANT = "on purpose: [{what: laid in parts, why: two halves that are joined when prefelted}]\n"

RULE = Rule(
    id="class-table",
    title="What a class lays out fits on its tables",
    since="1.0.0",
    purpose="In a class each student has half a trestle table. A layout that reaches over its edge "
    "slides off when it is wet, and nobody can roll it.",
    judge=judge,
    limits=(
        Limit("table-long", 1.20, "m", "long side of a class table", "measured in our room",
              "our own tables"),
        Limit("table-short", 0.75, "m", "short side of a class table", "measured in our room",
              "our own tables"),
        Limit("margin", 0.10, "m", "room for the hands on each side",
              "common practice, no source"),
    ),
    examples=(
        Example("a cover of 120 x 60 cm", _COVER.format(size="120 x 60 cm", **_PLAIN), "caution"),
        Example("a cover that just fits", _COVER.format(size="100 x 55 cm", **_PLAIN)),
        Example("the same the other way round", _COVER.format(size="55 x 100 cm", **_PLAIN)),
        Example(
            "a large one, in own notes",
            _COVER.format(size="120 x 60 cm", **{**_PLAIN, "readers": "own notes"}),
        ),
        Example(
            "a large one, in two halves", _COVER.format(size="120 x 60 cm", **_PLAIN) + _MEANT
        ),
    ),
    purposes=("laid in parts",),
    model="Longer and shorter side of the layout against those of the table, less the margin twice.",
    weak_spots="A slanted layout is judged by its box. Only sheets for a class are looked at.",
    laws=("units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
