"""A whole piece as a making: what its shrinkage depends on, summed over all its faces."""

from __future__ import annotations

from felt_engine.analysis.build import Build
from felt_engine.analysis.shrinkage import Making
from felt_engine.analysis.strain import weight_and_felts
from felt_engine.analysis.working import rolling


def making_of(build: Build, stage: str) -> Making | None:
    """The piece as laid out; ``None`` where nothing lies on it."""
    mass, felting, pull = _summed(build)
    if not mass:
        return None
    area = sum(face.area for face in build.faces)
    rolled = rolling(build.recipe.work).imbalance
    return Making(stage, mass / area, min(1.0, felting / mass), pull, rolled)


def fibre_pull(build: Build) -> float:
    """Resultant of what felts along east-west (negative: north-south), over all faces."""
    return _summed(build)[2].real


def _summed(build: Build) -> tuple[float, float, complex]:
    """Fibre and felting fibre, kg, and the doubled-angle resultant; the back is seen from the front."""
    mass = felting = 0.0
    pull = 0j
    for face in build.faces:
        for place in face.places:
            areal, felts = weight_and_felts(place.stack)
            weight = areal * felts * place.area
            mass += areal * place.area
            felting += weight
            pull += weight * (place.pull.conjugate() if face.name == "back" else place.pull)
    pull = pull / felting if felting else 0j
    return mass, felting, pull / max(1.0, abs(pull))


__all__ = ["fibre_pull", "making_of"]
