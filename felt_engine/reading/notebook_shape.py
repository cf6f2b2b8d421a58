"""The swatch notebook's format, key by key."""

from __future__ import annotations

import re
from datetime import date as _date
from typing import Any

from felt_engine.model.notebook import NotedSwatch, Rolled, SwatchLayer
from felt_engine.reading import bounds, words
from felt_engine.reading.forms import DIRECTION, SIZE
from felt_engine.reading.groups import Field, ListOf, Record
from felt_engine.reading.quantity import END, Refused
from felt_engine.reading.recipe_shape import AMOUNT, LINE, NAME, NOTE
from felt_engine.reading.shape import Count, Entry, Form, Word


def _day(match: re.Match[str]) -> str:
    try:
        _date.fromisoformat(match.string)
    except ValueError:
        raise Refused("a day of the calendar", "check the day and the month", "limit") from None
    return match.string


DATE = Form(
    "date",
    lambda: rf"^[0-9]{{4}}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01]){END}",
    _day,
    "2026-03-14",
    "a date: year, month, day, such as 2026-03-14",
)

FIBRE = Field(
    "fibre", Entry("fibre", "take the nearest; what is not known is not taken for wool"),
    "Fibre type, as in the fibre table.", "merino",
)  # fmt: skip
PREPARATION = Field(
    "preparation", Word("a preparation", *words.PREPARATIONS), "How it was prepared.", "combed top"
)
TREATMENT = Field(
    "treatment", Word("a treatment", *words.TREATMENTS), "Whether it was treated not to felt.",
    "untreated",
)  # fmt: skip

LAYER = Record(
    "swatch layer",
    "One layer of a swatch.",
    SwatchLayer,
    (
        Field("fibre", FIBRE.kind, FIBRE.about, FIBRE.example, needed=True),
        Field(
            "amount", AMOUNT, "How much: a weight, or a weight per area.", "18 g", needed=True
        ),
        Field("direction", DIRECTION, "Which way the fibre lies.", "north-south"),
        PREPARATION,
        TREATMENT,
    ),
)  # fmt: skip

ROLLED = Record(
    "count of rolls",
    "How often it was rolled each way; from both sides counted together.",
    Rolled,
    (
        Field(
            "north-south", Count(0, bounds.TIMES), "Rolled away from you and back.", 200,
            attr="north_south",
        ),
        Field(
            "east-west", Count(0, bounds.TIMES), "Rolled from side to side.", 200, attr="east_west"
        ),
    ),
)  # fmt: skip

SWATCH = Record(
    "swatch",
    "A measured sample: laid out so, worked so, came out so.",
    NotedSwatch,
    (
        Field("name", NAME, "What it is called.", "oat, crossed, March", needed=True),
        Field(
            "laid out", SIZE, "Size before felting, west to east, then near to far.", "30 x 30 cm",
            needed=True,
        ),
        Field(
            "finished", SIZE, "Size after felting, rinsed and dry, the same sides in this order.",
            "20.1 x 20.6 cm", needed=True,
        ),
        Field(
            "stage", Word("a felting stage", *words.STAGES), "How far it was felted.", "firm",
            needed=True,
        ),
        Field("date", DATE, "When it was made.", "2026-03-14"),
        FIBRE,
        Field("amount", AMOUNT, "All its wool: a weight, or a weight per area.", "36 g"),
        PREPARATION,
        TREATMENT,
        Field(
            "directions", ListOf(DIRECTION, bounds.LAYERS, 1, "directions"),
            "The way of each of its layers, where all weigh the same.",
            ["north-south", "east-west"],
        ),
        Field(
            "layers", ListOf(LAYER, bounds.LAYERS, 1, "layers"),
            "Its layers, where they differ, instead of fibre, amount and directions.",
        ),
        Field("rolled", ROLLED, "How often it was rolled each way; evenly if left out."),
        NOTE,
    ),
    need_one=(("fibre", "layers"), ("amount", "layers")),
    never=(
        ("fibre", "layers"), ("amount", "layers"), ("directions", "layers"),
        ("preparation", "layers"), ("treatment", "layers"),
    ),
)  # fmt: skip

MOST_SWATCHES = 1000


def _notebook(**values: Any) -> dict[str, Any]:
    return values


NOTEBOOK = Record(
    "notebook",
    "A swatch notebook: measured samples, from which shrinkage is forecast.",
    _notebook,
    (
        Field("format", Count(1, 1), "Version of this format.", 1),
        Field("title", LINE, "What the notebook is called.", "Swatches of this winter"),
        Field(
            "swatches", ListOf(SWATCH, MOST_SWATCHES, 0, "swatches"), "The samples, oldest first.",
            needed=True,
        ),
        NOTE,
    ),
)  # fmt: skip


def notebook_schema() -> dict[str, Any]:
    """The schema as plain values (JSON Schema draft 2020-12)."""
    defs: dict[str, Any] = {}
    NOTEBOOK.schema(defs)
    top = defs.pop("notebook")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:felt-engine:swatches:1",
        "title": "A notebook of felt swatches",
        **top,
        "$defs": dict(sorted(defs.items())),
    }


def main() -> None:
    """Write ``schemas/swatches.schema.json`` below the current folder."""
    from pathlib import Path

    from felt_engine.reading.schema import as_file

    text = as_file(notebook_schema())
    Path("schemas/swatches.schema.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
