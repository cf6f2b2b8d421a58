"""Words for where something lies on a face, and how narrow it is."""

from __future__ import annotations

import math

import pytest
from kit_rules import Plain, laid, sheet, text_of

import felt_engine
from felt_engine import FaceBuild, Place, figures


def placed(zone: Plain, **piece: object) -> tuple[Place, FaceBuild]:
    """The place that a zone takes on a 60 x 40 cm piece."""
    recipe = sheet(
        laid("oat", "30 g", name="base"), laid("ink", "1 g", name="top", zone="z"),
        size="60 x 40 cm", zones={"z": zone},
    )  # fmt: skip
    recipe["piece"] |= piece
    (face,) = felt_engine.measure(felt_engine.load(text_of(recipe))).faces
    (place,) = [p for p in face.places if len(p.stack) == 2]
    return place, face


def at(east: float, north: float) -> str:
    return f"{east} cm east, {north} cm north"


def box(wide: float, deep: float, east: float, north: float) -> Plain:
    return {"shape": "rectangle", "size": f"{wide} x {deep} cm", "at": at(east, north)}


WORDS = [
    (
        {"shape": "band", "along": "north", "to": "5 cm"},
        "in a strip 5 cm (2 in) wide along the north",
    ),
    (
        {"shape": "band", "along": "south", "to": "5 cm"},
        "in a strip 5 cm (2 in) wide along the south",
    ),
    (
        {"shape": "band", "along": "east", "to": "5 cm"},
        "in a strip 5 cm (2 in) wide along the east",
    ),
    (
        {"shape": "band", "along": "west", "to": "5 cm"},
        "in a strip 5 cm (2 in) wide along the west",
    ),
    (
        {"shape": "band", "along": "north", "from": "20 cm", "to": "25 cm"},
        "in a strip 5 cm (2 in) wide, 15 cm (5.9 in) from the south edge",
    ),
    (box(10, 5, 0, 0), "in the southwest corner, 10 cm (3.9 in) wide, 5 cm (2 in) deep"),
    (box(10, 5, 50, 0), "in the southeast corner"),
    (box(10, 5, 0, 35), "in the northwest corner"),
    (box(10, 5, 50, 35), "in the northeast corner"),
    (box(10, 5, 20, 35), "at the north edge"),
    (box(10, 5, 0, 10), "at the west edge"),
    (box(10, 6, 20, 10), "round 25 cm (9.8 in) east, 13 cm (5.1 in) north"),
    (box(60, 40, 0, 0), "all over"),
    ({"shape": "rim", "width": "4 cm"}, "in parts of the layout, 31 % of it"),
]


@pytest.mark.parametrize(("zone", "words"), WORDS, ids=lambda v: str(v)[:50])
def test_words_for_a_place(zone: Plain, words: str) -> None:
    place, face = placed(zone)
    assert place.whereabouts.words.startswith(words)
    assert figures.locate([place], face) == place.whereabouts.words


def test_two_far_apart_are_not_said_to_fill_what_lies_between() -> None:
    zones = {"left": box(5, 5, 2, 10), "right": box(5, 5, 50, 10)}
    recipe = sheet(
        laid("oat", "30 g"), laid("ink", "1 g", zone="left"), laid("ink", "1 g", zone="right"),
        size="60 x 40 cm", zones=zones,
    )  # fmt: skip
    (face,) = felt_engine.measure(felt_engine.load(text_of(recipe))).faces
    spots = [p for p in face.places if len(p.stack) == 2]
    assert len(spots) == 2
    assert figures.locate(spots, face).startswith("in parts")


def test_the_face_is_named_where_there_are_two() -> None:
    recipe = sheet(
        laid("oat", "30 g", face="both"), laid("ink", "1 g", zone="z", face="back"),
        over="flat resist", size="60 x 40 cm", zones={"z": box(10, 5, 0, 0)},
    )  # fmt: skip
    made = felt_engine.measure(felt_engine.load(text_of(recipe)))
    (place,) = [p for p in made.places if len(p.stack) == 2]
    assert place.whereabouts.words.endswith("deep on the back")


NARROW = [
    ({"shape": "band", "along": "north", "to": "1 cm"}, 1 * 60 / 61),
    ({"shape": "band", "along": "north", "from": "20 cm", "to": "25 cm"}, 5 * 60 / 65),
    ({"shape": "rim", "width": "4 cm"}, 4),
    (box(10, 10, 5, 5), 5),
    ({"shape": "round", "size": "10 cm", "at": at(20, 20)}, math.pi * 10 / 8),
]


@pytest.mark.parametrize(("zone", "width"), NARROW, ids=lambda v: str(v)[:50])
def test_how_narrow_a_place_is(zone: Plain, width: float) -> None:
    """Twice the area over the perimeter, the perimeter taken along the table's edges."""
    place, _ = placed(zone)
    rel = 0.02 if zone["shape"] == "round" else 1e-9
    assert place.width * 100 == pytest.approx(width, rel=rel)


def test_a_disc_on_a_round_piece() -> None:
    zone = {"shape": "round", "size": "10 cm", "at": at(20, 20)}
    place, face = placed(zone, **{"shape": "round", "laid out": "40 cm"})
    assert place.share == pytest.approx(1 / 16, rel=1e-9)
    assert face.shorter_side == pytest.approx(0.40)
