"""Whatever a figure's function is given, it answers or says so with TypeError or ValueError."""

from __future__ import annotations

import inspect
import math
import pickle
import random
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from kit import GROUND

import felt_engine
from felt_engine import figures

BUILD = felt_engine.measure(felt_engine.load(GROUND))
PLACES = [place for face in BUILD.faces for place in face.places]
NUMBERS = (
    0,
    -1,
    10**400,
    -0.5,
    1e308,
    -1e308,
    math.inf,
    math.nan,
    1j,
    complex("inf"),
    True,
    0.02,
    0.3,
)
THINGS = (
    None,
    "x",
    b"",
    "usual",
    "prefelt",
    "fine",
    (),
    [],
    {},
    (0.1, 0.2),
    (None,),
    ["x"],
    object(),
    str,
)
RECIPE = (BUILD.recipe, BUILD.recipe.piece, BUILD.recipe.layers, BUILD.recipe.layers[0])
STACK = (PLACES[0].stack, PLACES[0].stack[0], PLACES[0].region)
FIT = (BUILD, *RECIPE, *BUILD.faces, PLACES, PLACES[0], *STACK)
FUNCTIONS = [name for name in figures.__all__ if inspect.isfunction(getattr(figures, name))]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_figure_of_anything_is_a_figure_or_said(name: str) -> None:
    ask_oddly(getattr(figures, name), name)


METHODS = [
    *((PLACES[0], name) for name in ("area_in", "bare", "beyond", "lies_in", "strain")),
    *(
        (BUILD.faces[0], name)
        for name in ("areas_in", "around", "lying_in", "number_of", "rim", "within")
    ),
    *((BUILD.recipe, name) for name in ("fractions", "lot", "zone")),
    (PLACES[0].stack[0].parts[0], "coverage"),
    (PLACES[0].stack[0].parts[0].stuff, "coverage"),
]


@pytest.mark.parametrize(("thing", "name"), METHODS)
def test_a_build_that_is_asked_about_anything_answers_or_says_so(thing: object, name: str) -> None:
    ask_oddly(getattr(thing, name), name)


def ask_oddly(function: Callable[..., Any], seed: str) -> None:
    chance, takes = random.Random(seed), inspect.signature(function).parameters.values()
    for _ in range(150):
        given = {one.name: chance.choice((*NUMBERS, *THINGS, *FIT, *FIT)) for one in takes}
        by_place = [given.pop(one.name) for one in takes if one.kind is not one.KEYWORD_ONLY]
        with suppress(TypeError, ValueError):
            function(*by_place, **given)


@pytest.mark.parametrize(("call", "error", "words"), [
    (lambda: figures.length(math.inf), ValueError, "figures.length can't work with what it was given: "),
    (lambda: figures.finished_size(1.0, -1e9), ValueError, "figures.finished_size can't work with"),
    (lambda: figures.depths("boiled"), ValueError, "figures.depths can't work with what it was given"),
    (lambda: figures.narrowest([]), ValueError, "figures.narrowest can't work with what it was given"),
    (lambda: figures.spread_area(None, None), TypeError, "figures.spread_area was given something of "),
    (lambda: PLACES[0].strain("boiled"), ValueError, "Place.strain can't work with what it was given: "),
    (lambda: PLACES[0].area_in("x"), TypeError, "FaceBuild.within was given something of another"),
    (lambda: BUILD.faces[0].number_of(None), ValueError, "FaceBuild.number_of can't work with what"),
    (lambda: figures.farthest([], [], 0.0, 0.0), ValueError, "expected 0 < least <= enough < infinity, "),
    (lambda: figures.farthest(PLACES, PLACES, 0.1, math.inf), ValueError, "found 0.1 and inf"),
])  # fmt: skip
def test_what_is_said(call: Callable[[], Any], error: type[Exception], words: str) -> None:
    with pytest.raises(error) as caught:
        call()
    assert words in str(caught.value)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_figure_s_function_is_pickled_by_its_public_name(name: str) -> None:
    function = getattr(figures, name)
    assert pickle.loads(pickle.dumps(function)) is function
    assert (function.__module__, function.__name__) == ("felt_engine.figures", name)


@pytest.mark.parametrize(("call", "error"), [
    (lambda: felt_engine.Bench(None, None, {}), TypeError),  # type: ignore[arg-type]
    (lambda: felt_engine.Plugins.load("x"), TypeError),  # type: ignore[arg-type]
    (lambda: felt_engine.Plugins().add(None), TypeError),  # type: ignore[arg-type]
    (lambda: felt_engine.Plugins().register(None, "", "", ""), TypeError),
    (lambda: felt_engine.api.default_engine().catalogue.with_entries("x", ()), TypeError),  # type: ignore[arg-type]
    (lambda: felt_engine.RecipeError([], {"a": 1}), TypeError),  # type: ignore[arg-type]
    (lambda: felt_engine.FileError("a", (1,)), TypeError),  # type: ignore[arg-type]
    (lambda: felt_engine.Amount("1", 1.0, "g", "no kind").to_pint(), ValueError),
])  # fmt: skip
def test_what_is_made_by_hand_of_anything_is_refused(
    call: Callable[[], Any], error: type[Exception]
) -> None:
    with pytest.raises(error):
        call()
