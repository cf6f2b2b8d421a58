"""What is laid on each face of a resist is the same as one amount on the front and one on the back."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

import pytest

from felt_engine import Engine, RecipeError, load, measure

LOTS = {
    "pale": {"fibre": "merino", "preparation": "combed top", "fineness": "19 um", "colour": "#eee"},
    "dark": {"fibre": "merino", "preparation": "combed top", "fineness": "21 um", "colour": "#222"},
    "batt": {"fibre": "corriedale", "preparation": "carded batt", "colour": "#b33030"},
    "gleam": {"fibre": "tussah silk", "preparation": "combed top", "colour": "#f0e0c0"},
    "washable": {"fibre": "merino", "preparation": "combed top", "treatment": "shrink-proofed"},
    "specks": {"fibre": "wool", "preparation": "neps"},
}
BOOT = [
    "0 cm east, 0 cm north",
    "40 cm east, 0 cm north",
    "40 cm east, 30 cm north",
    "20 cm east, 25 cm north",
]
TOE = {"shape": "rectangle", "size": "10 x 8 cm", "at": "6 cm east, 5 cm north"}
ZONES = {
    "end": {"shape": "band", "along": "east", "to": "8 cm"},
    "toe": TOE,
    "rim": {"shape": "rim", "width": "4 cm"},
}
ENGINE = Engine()


def _drawn(draw: random.Random) -> dict[str, Any]:
    piece = {
        "title": "Boot",
        "use": draw.choice(["bag", "slippers", "hat"]),
        "over": "flat resist",
        "stage": draw.choice(["light", "firm", "hard"]),
    }
    if draw.random() < 0.4:
        piece |= {"shape": "polygon", "corners": BOOT}
    else:
        piece |= {"shape": draw.choice(["rectangle", "oval"]), "laid out": "40 x 30 cm"}
    layers = []
    for number in range(draw.randint(2, 4)):
        laid = []
        for _ in range(draw.choice([1, 1, 2])):
            one = {
                "of": draw.choice([*LOTS, "pale", "batt", "shine"]),
                "amount": draw.choice(["8 g", "20 g", "60 g", "100 g/m²", "200 g/m²"]),
                "face": draw.choice(["each", "each", "front", "back", "both"]),
            }
            if draw.random() < 0.35:
                one["zone"] = draw.choice(list(ZONES))
            laid.append(one)
        ways = ["north-south", "east-west", "random", "bearing 30°"]
        layer = {"name": f"l{number}", "direction": draw.choice(ways), "placements": laid}
        if draw.random() < 0.3:
            layer["wraps"] = "2 cm"
        layers.append(layer)
    blends = {"shine": {"pale": "60 %", "gleam": "40 %"}}
    return {"piece": piece, "lots": LOTS, "blends": blends, "zones": ZONES, "layers": layers}


def _by_face(recipe: dict[str, Any]) -> dict[str, Any]:
    apart = copy.deepcopy(recipe)
    for layer in apart["layers"]:
        layer["placements"] = [
            one | {"face": face}
            for one in layer["placements"]
            for face in (("front", "back") if one["face"] == "each" else (one["face"],))
        ]
    return apart


def _said(recipe: dict[str, Any]) -> set[tuple[str, str, str]]:
    report = ENGINE.check(ENGINE.load(json.dumps(recipe)))
    return {
        (one.rule, one.level, "/".join(one.spot.pointer.split("/")[:3]))
        for one in report.findings
        if one.rule != "unit-slip"  # which looks at what was written, amount by amount
    }


@pytest.mark.parametrize("seed", range(8))
def test_each_is_front_and_back(seed: int) -> None:
    draw, tried = random.Random(seed), 0
    while tried < 12:
        recipe = _drawn(draw)
        try:
            said = _said(recipe)
        except RecipeError:
            continue
        tried += 1
        assert said == _said(_by_face(recipe)), json.dumps(recipe, ensure_ascii=False)


def _boot(*placements: dict[str, str], **layer: str) -> str:
    piece = {"title": "Boot", "shape": "polygon", "over": "flat resist", "corners": BOOT}
    laid = {"name": "toe", "direction": "random", "placements": placements, **layer}
    return json.dumps({"piece": piece, "lots": LOTS, "zones": ZONES, "layers": [laid]})


def test_each_face_has_its_amount_where_the_outline_leans() -> None:
    """12 g is for each: what the toe has on a face is 12 g over the area that it has there."""
    build = measure(load(_boot({"of": "dark", "amount": "12 g", "face": "each", "zone": "toe"})))
    for face in build.faces:
        (toe,) = (place for place in face.places if place.stack)
        assert toe.areal * toe.area == pytest.approx(0.012)
    front, back = ({p.areal for p in f.places if p.stack} for f in build.faces)
    assert front != back


def test_wrapped_from_the_front_lies_below_on_the_back() -> None:
    """The front is laid first, turned over and its edge folded in: then the back is laid."""
    text = _boot({"of": "dark", "amount": "60 g", "face": "each"}, wraps="3 cm")
    front, back = measure(load(text)).faces
    turned = [[laid.turned for laid in p.stack] for f in (front, back) for p in f.places]
    assert [False, True] in turned and [True, False] in turned
    assert all(p.stack[0].turned is False for p in front.places)


def test_an_amount_for_each_that_misses_a_face_is_refused() -> None:
    zone = {"shape": "rectangle", "size": "3 x 3 cm", "at": "1 cm east, 12 cm north"}
    recipe = json.loads(_boot({"of": "dark", "amount": "4 g", "face": "each", "zone": "heel"}))
    recipe["zones"] = {"heel": zone}
    with pytest.raises(RecipeError) as refused:
        ENGINE.check(ENGINE.load(json.dumps(recipe)))
    (problem,) = refused.value.problems
    assert "no part lies on the piece on its front" in problem.found
    recipe["layers"][0]["placements"][0]["face"] = "back"
    assert ENGINE.check(ENGINE.load(json.dumps(recipe))).verdict != "unreadable"
