"""The JSON Schema of the recipe, made from the same declaration that reads it."""

from __future__ import annotations

import re
from typing import Any

from felt_engine.reading.quantity import BLANKS
from felt_engine.reading.recipe_shape import RECIPE


def recipe_schema() -> dict[str, Any]:
    """The schema as plain values (JSON Schema draft 2020-12)."""
    defs: dict[str, Any] = {}
    RECIPE.schema(defs)
    top = defs.pop("recipe")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:felt-engine:recipe:1",
        "title": "A recipe for a wet-felted piece",
        **top,
        "$defs": dict(sorted(defs.items())),
    }


def as_file(schema: dict[str, Any]) -> str:
    """A schema as the text of a file, in which blanks of another kind show."""
    import json

    text = json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
    return re.sub(f"[{BLANKS}]", lambda found: f"\\u{ord(found[0]):04x}", text)


def main() -> None:
    """Write ``schemas/recipe.schema.json`` below the current folder."""
    from pathlib import Path

    Path("schemas/recipe.schema.json").write_text(as_file(recipe_schema()), encoding="utf-8")


if __name__ == "__main__":
    main()
