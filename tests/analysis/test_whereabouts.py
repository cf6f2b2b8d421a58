"""Words for where something lies on a face, and how narrow it is."""

from __future__ import annotations

import pytest
from kit_rules import Plain, laid, report_of, sheet, text_of

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
    ({"shape": "rim", "width": "4 cm"}, "in a rim 4 cm (1.6 in) wide all round"),
    ({"shape": "rim", "width": "1 cm"}, "in a rim 1 cm (0.39 in) wide all round"),
    ({"shape": "rim", "width": "16 cm"}, "in all but the middle, 28 cm (11 in) wide, 8 cm"),
    ({"shape": "middle", "width": "4 cm"}, "in all but a rim of 4 cm (1.6 in)"),
    ({"shape": "middle", "width": "1 cm"}, "in all but a rim of 1 cm (0.39 in)"),
    ({"shape": "middle", "width": "15 cm"}, "in the middle, 30 cm (12 in) wide, 10 cm (3.9 in)"),
    (box(44, 24, 8, 8), "in all but a rim of 8 cm (3.1 in)"),
    (box(44, 24, 8, 4), "round 30 cm (12 in) east, 16 cm (6.3 in) north; 44 cm (17 in) wide"),
    (
        {"shape": "round", "size": "12 cm", "at": at(30, 20)},
        "in the middle, 12 cm (4.7 in) wide, 12 cm (4.7 in) deep",
    ),
    ({"shape": "band", "along": "west", "to": "30 cm"}, "in the west half"),
    ({"shape": "band", "along": "north", "to": "20 cm"}, "in the north half"),
    (
        {"shape": "band", "along": "west", "to": "50 cm"},
        "in all but a strip 10 cm (3.9 in) wide along the east edge",
    ),
    (
        {"shape": "polygon", "corners": [at(0, 0), at(50, 0), at(50, 10), at(60, 10), at(60, 40),
                                         at(0, 40)]},
        "in all but the southeast corner, 10 cm (3.9 in) wide, 10 cm (3.9 in) deep",
    ),
    (
        {"shape": "polygon", "corners": [at(0, 0), at(60, 0), at(60, 10), at(10, 10), at(10, 40),
                                         at(0, 40)]},
        "in all but the northeast corner, 50 cm (20 in) wide, 30 cm (12 in) deep",
    ),
]  # fmt: skip


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


OUTLINED = [
    ({"shape": "round", "laid out": "40 cm"}, "4 cm", "4 cm (1.6 in)"),
    ({"shape": "oval", "laid out": "60 x 40 cm"}, "5 cm", "5 cm (2 in)"),
    ({"shape": "oval", "laid out": "60 x 40 cm", "over": "flat resist"}, "25 mm", "2.5 cm"),
    ({"shape": "rectangle", "laid out": "12 x 12 in"}, "1 1/2 in", "3.8 cm (1.5 in)"),
]


@pytest.mark.parametrize(("piece", "wide", "words"), OUTLINED, ids=lambda v: str(v)[:30])
def test_a_rim_and_what_lies_inside_it_follow_the_outline(
    piece: Plain, wide: str, words: str
) -> None:
    found = {}
    for shape in ("rim", "middle"):
        recipe = sheet(
            laid("oat", "30 g"), laid("ink", "1 g", zone="z"),
            zones={"z": {"shape": shape, "width": wide}},
        )  # fmt: skip
        recipe["piece"] |= piece
        if "over" in piece:
            recipe["layers"] = [layer | {"face": "both"} for layer in recipe["layers"]]
        face = felt_engine.measure(felt_engine.load(text_of(recipe))).faces[0]
        (place,) = [p for p in face.places if len(p.stack) == 2]
        found[shape] = place.whereabouts.words
    assert found["rim"].startswith(f"in a rim {words}")
    assert found["middle"].startswith(f"in all but a rim of {words}")


LENGTHS = [
    (0.125, "12.5 cm (4.9 in)"), (0.12449, "12 cm (4.9 in)"), (0.1245, "12.5 cm (4.9 in)"),
    (0.12549, "12.5 cm (4.9 in)"), (0.1255, "13 cm (4.9 in)"), (0.13, "13 cm (5.1 in)"),
    (0.305, "30.5 cm (12 in)"), (0.995, "99.5 cm (39 in)"), (0.045, "4.5 cm (1.8 in)"),
    (0.0523, "5.2 cm (2.1 in)"), (1.255, "126 cm (49 in)"), (0.005, "5 mm (0.2 in)"),
]  # fmt: skip


@pytest.mark.parametrize(("metres", "text"), LENGTHS)
def test_a_length_below_a_metre_keeps_its_half_centimetre(metres: float, text: str) -> None:
    assert figures.length(metres) == text


NARROW = [
    ({"shape": "band", "along": "north", "to": "1 cm"}, 1 * 60 / 61),
    ({"shape": "band", "along": "north", "from": "20 cm", "to": "25 cm"}, 5 * 60 / 65),
    ({"shape": "rim", "width": "4 cm"}, 4),
    (box(10, 10, 5, 5), 5),
    ({"shape": "round", "size": "10 cm", "at": at(20, 20)}, 5),
]


@pytest.mark.parametrize(("zone", "width"), NARROW, ids=lambda v: str(v)[:50])
def test_how_narrow_a_place_is(zone: Plain, width: float) -> None:
    """Twice the area over the perimeter, as by a ruler and a thread."""
    place, _ = placed(zone)
    rel = 0.02 if zone["shape"] == "round" else 0
    assert place.width * 100 == pytest.approx(width, rel=rel, abs=6e-8)  # told to a nanometre


def test_a_disc_on_a_round_piece() -> None:
    zone = {"shape": "round", "size": "10 cm", "at": at(20, 20)}
    place, face = placed(zone, **{"shape": "round", "laid out": "40 cm"})
    assert place.share == pytest.approx(1 / 16, rel=1e-9)
    assert face.shorter_side == pytest.approx(0.40)


def test_both_ends_are_told_as_two_strips() -> None:
    layers = [laid("oat", "200 g/m²", "random", zone="body"), laid("silk", "60 g/m²", zone="w"),
              laid("silk", "60 g/m²", zone="e")]  # fmt: skip
    zones = {
        "body": {"shape": "band", "along": "west", "from": "12 cm", "to": "188 cm"},
        "w": {"shape": "band", "along": "west", "to": "12 cm"},
        "e": {"shape": "band", "along": "east", "to": "12 cm"},
    }
    report = report_of(sheet(*layers, size="200 x 40 cm", use="scarf", zones=zones))
    thin = next(f for f in report.findings if f.rule == "thin-layer")
    assert thin.where == "in strips 12 cm (4.7 in) wide along the west and the east edge"


def test_halves_round_what_is_in_the_middle_are_no_strips() -> None:
    zones = {"spot": {"shape": "round", "size": "30 cm", "at": at(25, 25)}}
    only = laid("oat", "300 g/m²", "random", zone="spot")
    report = report_of(sheet(only, size="50 x 50 cm", zones=zones))
    thin = next(f for f in report.findings if f.rule == "thin-layer")
    assert thin.where == "in all but the middle, 30 cm (12 in) wide, 30 cm (12 in) deep"
