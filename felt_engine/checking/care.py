"""Lines of caution for a page: the recipe's own, and the usual one for what its steps call for."""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine.data.cautions import usual_caution
from felt_engine.model.recipe import Recipe

WARM = 273.15 + 45.0
"""Water from which a page reminds of scalds, kelvin: hot to the hand (common practice, no source)."""

MANY = 300
"""Rolls and throws from which it reminds of hands and back (common practice, no source)."""


def care_lines(recipe: Recipe) -> tuple[str, ...]:
    """Own cautions first; a hazard that they name is not told twice."""
    own = [f"{one.about}: {one.says}" if one.says else one.about for one in recipe.cautions]
    named = {one.about for one in recipe.cautions}
    usual = [usual_caution(hazard) for hazard in _called_for(recipe) if hazard not in named]
    return (*own, *usual)


def _called_for(recipe: Recipe) -> Iterator[str]:
    steps = {step.do for step in recipe.work}
    waters = [step.water for step in recipe.work if step.water is not None]
    if any(w.text == "hot" or (w.kelvin is not None and w.kelvin >= WARM) for w in waters):
        yield "hot water"
    if steps & {"wet", "rinse", "throw"}:
        yield "wet floor"
    if steps & {"cut", "trim"}:
        yield "blades"
    if "press" in steps and recipe.tools is not None and recipe.tools.iron in ("warm", "hot"):
        yield "hot iron"
    if sum(step.times or 0 for step in recipe.work if step.do in ("roll", "throw")) >= MANY:
        yield "repeated strain"
    if recipe.piece.use in ("slippers", "boots"):
        yield "slippery soles"


__all__ = ["care_lines"]
