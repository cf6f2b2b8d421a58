"""What a rule may hand over: looked at here, inside its guard, so that nothing breaks after it."""

from __future__ import annotations

import math

from felt_engine.analysis.build import Build, Place
from felt_engine.analysis.layout import Region
from felt_engine.declare import LEVELS, Figure, Finding, Said, Tip, Unsaid
from felt_engine.model.recipe import pointer_of


def accept(one: object, build: Build) -> Said:
    """The same finding, tip or thing not said. TypeError or ValueError for anything unsound."""
    if not isinstance(one, Finding | Unsaid | Tip) or type(one) not in (Finding, Unsaid, Tip):
        raise TypeError(f"it yielded {type(one).__name__}, not a finding, a tip or what is unsaid")
    if isinstance(one, Finding):
        _finding(one)
        _places(one, build)
    else:
        _text(one, "text" if isinstance(one, Tip) else "what")
    if pointer_of(build.recipe, one.about) is None:
        raise ValueError(f"{type(one.about).__name__} is no part of the recipe")
    return one


def _finding(one: Finding) -> None:
    if one.level not in LEVELS:
        raise ValueError(f"there is no level {one.level!r}")
    for name in ("message", "do", "how", "where"):
        _text(one, name)
    for name in ("measured", "limit"):
        _figure(name, getattr(one, name))
    if type(one.also) is not tuple or any(type(name) is not str for name in one.also):
        raise TypeError("also is to be a tuple of names")
    if type(one.at) is not tuple or not all(isinstance(place, Place) for place in one.at):
        raise TypeError("at is to be a tuple of places of the build")
    if type(one.explains) is not tuple or not all(isinstance(f, Finding) for f in one.explains):
        raise TypeError("explains is to be a tuple of findings")


def _places(one: Finding, build: Build) -> None:
    """A place is one of the build's, or a part of one: it lies on a face of this build."""
    for place in one.at:
        if not any(place.face is face for face in build.faces):
            raise ValueError("at names a place that is not of this build")
        if not isinstance(place.region, Region) or not place.area > 0:
            raise ValueError("at names a place without a region")


def _text(one: object, name: str) -> None:
    value = getattr(one, name)
    if type(value) is not str:
        raise TypeError(f"{name} is to be plain text, not {type(value).__name__}")
    value.encode()  # half of a surrogate pair can't be written to any file


def _figure(name: str, figure: object) -> None:
    if figure is None:
        return
    if type(figure) is not Figure:
        raise TypeError(f"{name} is to be a Figure, not {type(figure).__name__}")
    if type(figure.name) is not str or type(figure.unit) is not str:
        raise TypeError(f"the name and the unit of {name} are to be plain text")
    if not isinstance(figure.value, int | float) or not math.isfinite(figure.value):
        raise ValueError(f"the value of {name} is to be a finite number, not {figure.value!r}")
