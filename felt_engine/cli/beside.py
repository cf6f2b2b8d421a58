"""The engine for one recipe: with the studio file that was named, or the one beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from felt_engine.beside import studio_beside
from felt_engine.cli.check import named_engine

if TYPE_CHECKING:
    from felt_engine.api import Engine


def engine_beside(recipe: str, studio: str | None) -> Engine:
    """As ``check`` would judge this recipe. StudioError for a studio file that can't be read."""
    if studio is not None:
        return named_engine(studio)
    found = studio_beside(recipe)
    engine = named_engine(None)
    return engine if found is None else engine.with_studio(found, found=True)
