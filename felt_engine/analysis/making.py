"""A whole piece as a making: what its shrinkage depends on, summed over all its faces."""

from __future__ import annotations

from felt_engine.analysis import stack
from felt_engine.analysis.build import Build
from felt_engine.analysis.shrinkage import Making
from felt_engine.analysis.strain import weight_and_felts
from felt_engine.model.recipe import Recipe

MOST_ROLLS = 1e9


def making_of(build: Build, stage: str) -> Making | None:
    """The piece as laid out; ``None`` where nothing lies on it."""
    mass = felting = area = 0.0
    pulls: list[tuple[float, complex]] = []
    for face in build.faces:
        weight = 0.0
        for place in face.places:
            areal, felts = weight_and_felts(place.stack)
            mass += areal * place.area
            weight += areal * felts * place.area
            area += place.area
        felting += weight
        pull = stack.resultant(list(face.laid))
        pulls.append((weight, pull.conjugate() if face.name == "back" else pull))
    if not mass or not area:
        return None
    pull = sum((w * p for w, p in pulls), 0j) / felting if felting else 0j
    return Making(
        stage, mass / area, min(1.0, felting / mass), _inside(pull), rolling_of(build.recipe) or 0.0
    )


def _inside(pull: complex) -> complex:
    return pull / abs(pull) if abs(pull) > 1.0 else pull


def rolling_of(recipe: Recipe) -> float | None:
    """How much more it is rolled east-west than north-south, -1 to 1; ``None`` where not said.

    Said is: every rolling step has its edge and how often.
    """
    counts = {"north": 0, "south": 0, "east": 0, "west": 0}
    rolls = [step for step in recipe.work if step.do == "roll"]
    if not rolls or any(step.edge is None or step.times is None for step in rolls):
        return None
    for step in rolls:
        counts[str(step.edge)] += step.times or 0
    across, deep = counts["east"] + counts["west"], counts["north"] + counts["south"]
    return (across - deep) / (across + deep) if across + deep else None


__all__ = ["making_of", "rolling_of"]
