"""Recipes and their errors travel between processes: they pickle, copy and compare as values."""

from __future__ import annotations

import copy
import json
import pickle
from typing import Any

import pytest
from hypothesis import given, settings
from kit import RECIPES
from kit_reading import PANEL, problems, read, recipes

from felt_engine import Build, load, measure
from felt_engine.errors import Problem, RecipeError
from felt_engine.reading.quantity import Refused
from felt_engine.reading.tree import Unreadable

PROTOCOLS = range(pickle.HIGHEST_PROTOCOL + 1)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(document=recipes())
def test_recipes_come_back_equal(document: dict[str, Any]) -> None:
    recipe = read(json.dumps(document), "json")
    for protocol in PROTOCOLS:
        back = pickle.loads(pickle.dumps(recipe, protocol))
        assert back == recipe and hash(back) == hash(recipe) and repr(back) == repr(recipe)
        assert back.source == recipe.source and back.source.text == recipe.source.text
    assert copy.deepcopy(recipe) == recipe == copy.copy(recipe)
    assert read(json.dumps(document), "json") == recipe
    changed = json.loads(json.dumps(document))
    changed["piece"]["title"] += "!"
    assert read(json.dumps(changed), "json") != recipe


@pytest.mark.parametrize("protocol", PROTOCOLS)
def test_errors_come_back_whole(protocol: int) -> None:
    with pytest.raises(RecipeError) as caught:
        read(PANEL.replace("20 g", "20 ml").replace("title", "titel"))
    error = caught.value
    back = pickle.loads(pickle.dumps(error, protocol))
    assert type(back) is RecipeError and str(back) == str(error)
    assert (back.name, back.problems) == (error.name, error.problems)
    assert len(back.problems) == 2 and all(isinstance(p, Problem) for p in back.problems)
    for problem in error.problems:
        assert pickle.loads(pickle.dumps(problem, protocol)) == problem
    refused = Refused("a weight", "weigh it", "limit")
    same = pickle.loads(pickle.dumps(refused, protocol))
    assert (same.expected, same.mend, same.kind) == ("a weight", "weigh it", "limit")
    unreadable = pickle.loads(pickle.dumps(Unreadable(*error.problems), protocol))
    assert unreadable.problems == error.problems


def test_an_error_reads_as_one_line_a_problem() -> None:
    with pytest.raises(RecipeError) as caught:
        read(PANEL.replace("20 g", "20 ml").replace("rectangle", "square"))
    lines = str(caught.value).split("\n")
    assert len(lines) == 2
    assert lines[0].startswith('text, line 3, column 10: found "square"; expected a shape: ')
    assert lines[1].endswith("weigh it")


def test_the_same_text_gives_the_same_problems() -> None:
    sick = PANEL.replace("20 g", "20 ml").replace("of: white", "of: wite").replace("title", "titel")
    assert problems(sick) == problems(sick)
    assert len({problems(sick) for _ in range(3)}) == 1


def around(build: Build) -> list[list[float]]:
    """Of each place how much of it lies in each zone, and how long its rim and its edge are."""
    return [
        [place.area_in(zone) for zone in build.recipe.zones]
        + [place.lies_in(zone) for zone in build.recipe.zones]
        + [face.rim(place), face.around(place), place.width]
        for face in build.faces
        for place in face.places
    ]


@pytest.mark.parametrize("name", ["sun-over-flats-panel.yaml", "ferry-ticket-bag.yaml"])
def test_a_build_is_copied_without_what_was_worked_out_of_it(name: str) -> None:
    """That goes by the identity of places, which is another in the copy."""
    build = measure(load(RECIPES / name))
    known = around(build)
    assert len(known) > 1
    for back in (pickle.loads(pickle.dumps(build)), copy.deepcopy(build)):
        assert around(back) == known
