"""Round figures lie just on a limit: whichever way a recipe is written or lies, the answer is one."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest

import felt_engine
from felt_engine import Engine, RecipeError, load
from felt_engine.testing.turning import turned

ENGINE = Engine()
BY_DIGITS = ("unit-slip", "below-scale")
"""What looks at amounts as they were written."""


def told(text: str, *leave: str) -> list[tuple[str, str]]:
    found = felt_engine.check(text).findings
    return sorted((one.rule, one.level) for one in found if one.rule not in leave)


ROWS = """\
piece: {{title: T, use: swatch, shape: rectangle, laid out: {size}, stage: firm}}
lots: {{mer: {{fibre: merino, preparation: combed top, fineness: 19 um}}}}
layers:
  - {{name: one, of: mer, amount: 200 g/m², direction: {way}, lay: shingle, tuft: 4 x {tuft} cm,
     rows: {rows}}}
"""


@pytest.mark.parametrize("tuft", [5, 6, 8, 10, 12])
def test_rows_that_only_meet_are_told_both_ways(tuft: int) -> None:
    for rows in range(2, 13):
        for other in (30, 45, 60, 70):
            long = tuft * rows
            for size, way in (
                (f"{other} x {long} cm", "north-south"),
                (f"{long} x {other} cm", "east-west"),
                (f"{other / 100} x {long / 100} m", "north-south"),
                (f"{other * 10} x {long * 10} mm", "north-south"),
            ):
                text = ROWS.format(size=size, way=way, tuft=tuft, rows=rows)
                assert ("rows-and-laps", "caution") in told(text), (size, way, tuft, rows)


HALF = """\
piece: {{title: T, use: bag, shape: rectangle, laid out: {size}, stage: firm}}
lots: {{m: {{fibre: merino, preparation: carded batt, fineness: 19 um}}}}
zones: {{half: {{shape: band, along: {side}, to: {to}}}}}
layers:
  - {{name: x, of: m, amount: 200 g/m², direction: north-south}}
  - {{name: y, of: m, amount: 200 g/m², direction: east-west}}
  - {{name: z, of: m, amount: 800 g/m², direction: random, zone: half}}
"""


@pytest.mark.parametrize("wide", [30, 40, 45, 50, 60, 70, 90])
def test_either_half_is_a_half(wide: int) -> None:
    answers = {
        str(told(HALF.format(size=size, side=side, to=f"{wide / 2} cm")))
        for size, sides in (
            (f"{wide} x 65 cm", ("east", "west")),
            (f"65 x {wide} cm", ("north", "south")),
        )
        for side in sides
    }
    assert len(answers) == 1


SLIVER = """\
piece: {{title: T, use: bag, shape: rectangle, laid out: {size} cm, stage: firm}}
lots: {{fog: {{fibre: gotland, preparation: carded sliver, fineness: 30 um}}}}
layers:
  - {{name: one, of: fog, amount: {amount}, direction: {way}, lay: shingle}}
"""


def test_one_sliver_laid_one_way_is_one_fault_whatever_it_weighs() -> None:
    for size in ("40 x 40", "40 x 30", "50 x 20"):
        for amount in (*(f"{grams} g" for grams in range(30, 80)), "300 g/m²"):
            for way in ("north-south", "east-west", "bearing 2°", "bearing 92°", "bearing 37°"):
                text = SLIVER.format(size=size, amount=amount, way=way)
                assert ("direction-balance", "fault") in told(text), (size, amount, way)


GAP = """\
piece: {{title: Mud flats, use: wall panel, shape: rectangle, laid out: {size}, outline: free, stage: firm}}
lots:
  reed: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  wide: {{fibre: merino, preparation: carded batt, fineness: 21 um}}
zones:
  flats: {{shape: band, along: {near}, to: {low}}}
  sky: {{shape: band, along: {far}, to: {high}}}
layers:
  - {{name: base, of: wide, amount: 220 g/m², direction: north-south, lay: batt, batt edges: cut}}
  - name: picture
    direction: east-west
    role: cover
    placements:
      - {{of: reed, amount: 200 g/m², zone: flats}}
      - {{of: reed, amount: 200 g/m², zone: sky}}
"""


@pytest.mark.parametrize("low", [5, 7.5, 10, 12, 14, 18.2])
def test_a_gap_of_just_the_limit_is_one_however_it_is_measured(low: float) -> None:
    high = 40 - 1.5 - low
    asked = [
        ("60 x 40 cm", "south", "north", f"{low} cm", f"{high} cm"),
        ("60 x 40 cm", "north", "south", f"{low} cm", f"{high} cm"),
        ("600 x 400 mm", "south", "north", f"{10 * low} mm", f"{10 * high} mm"),
        ("0.6 x 0.4 m", "south", "north", f"{low / 100:.4g} m", f"{high / 100:.4g} m"),
    ]
    answers = {
        str(told(GAP.format(size=size, near=near, far=far, low=one, high=two)))
        for size, near, far, one, two in asked
    }
    assert len(answers) == 1, answers


CLOTH = """\
piece: {{title: T, use: nuno cloth, shape: rectangle, laid out: 60 x 40 cm, stage: firm}}
lots: {{m: {{fibre: merino, preparation: carded batt, fineness: 19 um}}}}
layers:
  - name: one
    direction: random
    placements: [{portions}]
"""


@pytest.mark.parametrize("parts", [1, 2, 3, 4, 6, 9])
def test_just_as_heavy_as_may_be_in_any_portions(parts: int) -> None:
    """The usual 180 g/m² with its slack of 1.3 is 234."""
    portions = ", ".join([f"{{of: m, amount: {234 / parts:g} g/m²}}"] * parts)
    assert ("weight-for-use", "caution") not in told(CLOTH.format(portions=portions))
    portions = ", ".join([f"{{of: m, amount: {234.9 / parts:g} g/m²}}"] * parts)
    assert ("weight-for-use", "caution") in told(CLOTH.format(portions=portions))


@pytest.mark.parametrize("mesh", ["58.2 x 38.8 cm", "582 x 388 mm", "0.582 x 0.388 m"])
def test_a_mesh_of_just_the_size_that_takes_it(mesh: str) -> None:
    text = HALF.format(size="60 x 40 cm", side="east", to="20 cm") + f"tools: {{mesh: {mesh}}}\n"
    assert not [one for one in told(text) if one[0] == "tools-fit"]


LOTS = {
    "top": {"fibre": "merino", "preparation": "combed top", "fineness": "20 um", "colour": "#eee"},
    "ink": {"fibre": "merino", "preparation": "combed top", "fineness": "20 um", "colour": "#222"},
    "batt": {"fibre": "corriedale", "preparation": "carded batt"},
    "sliver": {"fibre": "corriedale", "preparation": "carded sliver"},
    "shine": {"fibre": "tussah silk", "preparation": "combed top"},
    "specks": {"fibre": "wool", "preparation": "neps"},
    "sock": {"fibre": "merino", "preparation": "combed top", "treatment": "shrink-proofed"},
    "cloth": {"fibre": "silk", "preparation": "close cloth"},
    "yarn": {"fibre": "viscose", "preparation": "yarn"},
}


def _nice(draw: random.Random, whole: int) -> float:
    parts = draw.choice([2, 4, 5, 8, 10])
    return whole * draw.randint(1, parts - 1) / parts


def _zone(draw: random.Random, wide: int, deep: int) -> dict[str, str]:
    kind = draw.choice(["band", "band", "rectangle", "rim"])
    if kind == "rim":
        return {"shape": "rim", "width": f"{draw.choice([0.6, 1, 2, 2.5, 4])} cm"}
    if kind == "rectangle":
        east, north = _nice(draw, wide), _nice(draw, deep)
        size = f"{wide - east} x {deep - north} cm"
        return {"shape": kind, "size": size, "at": f"{east} cm east, {north} cm north"}
    side = draw.choice(["north", "south", "east", "west"])
    whole = deep if side in ("north", "south") else wide
    start, end = sorted([_nice(draw, whole), draw.choice([whole, _nice(draw, whole)])])
    band = {"shape": kind, "along": side, "to": f"{end} cm"}
    return band if start == end else band | {"from": f"{start} cm"}


def _drawn(draw: random.Random) -> dict[str, Any]:
    wide, deep = draw.choice([30, 40, 45, 60, 90, 100]), draw.choice([20, 30, 40, 60])
    piece = {
        "title": "T",
        "shape": draw.choice(["rectangle", "rectangle", "oval"]),
        "laid out": f"{wide} x {deep} cm",
        "stage": draw.choice(["light", "firm", "hard"]),
    }
    use = draw.choice(["scarf", "bag", "wall panel", "picture ground", "rug", None])
    piece |= {"use": use} if use else {}
    layers = []
    for number in range(draw.randint(1, 4)):
        ways = ["north-south", "east-west", "northeast-southwest", "bearing 30°", "random"]
        layer: dict[str, Any] = {"name": f"l{number}", "direction": draw.choice(ways)}
        role = draw.choice([None, None, "cover", "accent", "structure"])
        layer |= {"role": role} if role else {}
        if draw.random() < 0.4:
            tuft = draw.choice([5, 6, 8, 10, 15])
            layer |= {
                "lay": "shingle",
                "tuft": f"5 x {tuft} cm",
                "rows": draw.choice([2, 3, 4, 5, 6]),
            }
        laid = []
        for _ in range(draw.choice([1, 1, 2])):
            amount = draw.choice(["20 g", "60 g", "50 g/m²", "100 g/m²", "150 g/m²", "300 g/m²"])
            one = {"of": draw.choice([*LOTS, "top", "batt"]), "amount": amount}
            one |= {"zone": draw.choice("abc")} if draw.random() < 0.5 else {}
            one |= {draw.choice(["past", "short"]): "2 cm"} if draw.random() < 0.25 else {}
            laid.append(one)
        layers.append(layer | {"placements": laid})
    zones = {name: _zone(draw, wide, deep) for name in "abc"}
    return {"piece": piece, "lots": LOTS, "zones": zones, "layers": layers}


def _in_portions(recipe: dict[str, Any], count: int) -> dict[str, Any]:
    apart = json.loads(json.dumps(recipe))
    for layer in apart["layers"]:
        layer["placements"] = [
            portion
            for one in layer["placements"]
            for portion in [one | {"amount": _part_of(one["amount"], count)}] * count
        ]
    return apart


def _part_of(amount: str, count: int) -> str:
    figure, unit = amount.split(" ")
    return f"{float(figure) / count:g} {unit}"


def _said(recipe: felt_engine.Recipe, *leave: str) -> list[tuple[str, str, str]] | None:
    found = ENGINE.check(recipe).findings
    if leave and any(one.rule == "unit-slip" for one in found):
        return None
    return sorted({
        (one.rule, one.level, "/".join(one.spot.pointer.split("/")[:3]))
        for one in found if one.rule not in leave
    })  # fmt: skip


@pytest.mark.parametrize("seed", range(10))
def test_round_figures_turned_or_in_portions_are_told_alike(seed: int) -> None:
    draw, tried = random.Random(seed), 0
    while tried < 25:
        plan = _drawn(draw)
        try:
            recipe = load(json.dumps(plan))
            said = _said(recipe)
        except RecipeError:
            continue
        tried += 1
        assert said == _said(turned(recipe)), json.dumps(plan, ensure_ascii=False)
        for count in (2, 5):
            apart = load(json.dumps(_in_portions(plan, count)))
            one, two = _said(recipe, *BY_DIGITS), _said(apart, *BY_DIGITS)
            if one is not None and two is not None:
                assert one == two, json.dumps(plan, ensure_ascii=False)


def _in_bands(plan: dict[str, Any], count: int, along: str) -> dict[str, Any] | None:
    """Each plain amount to the area, laid on so many bands side by side; None where there is none."""
    apart = json.loads(json.dumps(plan))
    sides = apart["piece"]["laid out"].removesuffix(" cm").split(" x ")
    whole = float(sides[0 if along == "west" else 1])
    names = [f"h{k}" for k in range(count)]
    for k, name in enumerate(names):
        ends = {"from": f"{whole * k / count:g} cm", "to": f"{whole * (k + 1) / count:g} cm"}
        apart["zones"][name] = {"shape": "band", "along": along, **ends}
    done = False
    for layer in apart["layers"]:
        laid = []
        for one in layer["placements"]:
            plain = not {"zone", "past", "short"} & set(one) and "g/m²" in one["amount"]
            plain = plain and "rows" not in layer
            laid += [one | {"zone": name} for name in names] if plain else [one]
            done |= plain
        layer["placements"] = laid
    return apart if done else None


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("count", "along"), [(2, "west"), (2, "south"), (5, "west")])
def test_a_layer_in_bands_is_judged_as_one(seed: int, count: int, along: str) -> None:
    """How the bands join is for rows-and-laps alone."""
    draw, tried = random.Random(100 + seed), 0
    while tried < 12:
        plan = _drawn(draw)
        bands = _in_bands(plan, count, along)
        if bands is None or plan["piece"]["shape"] != "rectangle":
            continue
        try:
            one = _said(load(json.dumps(plan)), *BY_DIGITS, "rows-and-laps")
            two = _said(load(json.dumps(bands)), *BY_DIGITS, "rows-and-laps")
        except RecipeError:
            continue
        tried += 1
        if one is not None and two is not None:
            assert one == two, json.dumps(plan, ensure_ascii=False)


HORIZON = """\
piece: {title: C, use: garment cloth, shape: rectangle, laid out: 40 x 30 cm, stage: firm}
lots:
  white: {fibre: corriedale, preparation: carded batt, fineness: 27 um, colour: white}
  navy: {fibre: merino, preparation: combed top, fineness: 19 um, colour: navy}
zones:
  spot: {shape: round, size: 6.5 cm, at: "20 cm east, 15 cm north"}
  one: {shape: band, along: west, to: 20 cm}
  two: {shape: band, along: west, from: 20 cm, to: 40 cm}
layers:
  - name: ground
    direction: random
    placements: [{of: white, amount: 150 g/m², zone: one}, {of: white, amount: 150 g/m², zone: two}]
  - {name: spot, of: navy, amount: 40 g/m², zone: spot, direction: random, role: cover}
"""


def test_a_spot_over_the_line_between_two_halves_is_one_spot() -> None:
    assert told(HORIZON) == [("halo-clash", "fault")]


def test_where_a_purpose_is_for_one_half_the_halves_are_two() -> None:
    meant = "on purpose: [{what: show-through, where: one, why: dawn}]\n"
    face = felt_engine.measure(load(HORIZON)).faces[0]
    assert (len(face.places), len(face.alike.places)) == (4, 2)
    assert [len(place.as_written) for place in face.alike.places] == [2, 2]
    face = felt_engine.measure(load(HORIZON + meant)).faces[0]
    assert face.alike is face


def test_halves_of_unlike_weight_and_spots_apart_are_not_put_together() -> None:
    unlike = HORIZON.replace("150 g/m², zone: two", "151 g/m², zone: two")
    assert len(felt_engine.measure(load(unlike)).faces[0].alike.places) == 4
    apart = HORIZON.replace("to: 20 cm", "to: 10 cm").replace("from: 20", "from: 30")
    places = felt_engine.measure(load(apart)).faces[0].alike.places
    assert all(len(place.as_written) == 1 for place in places)


HALVES = """\
piece: {{title: T, use: cushion, shape: {shape}, laid out: {size}, stage: firm, outline: free}}
lots: {{m: {{fibre: merino, preparation: carded batt, fineness: 19 um}}}}
zones:
  one: {{shape: band, along: {one}, to: {to}}}
  two: {{shape: band, along: {two}, to: {to}}}
layers:
  - {{name: x, of: m, amount: 1000 g/m², direction: random, zone: one}}
  - {{name: y, of: m, amount: 600 g/m², direction: random, zone: two}}
"""


def test_a_half_is_a_half_whatever_it_is_measured_in() -> None:
    """Half of an oval is too heavy: of the size that ties, whichever way it lies."""
    sides = {"": ("west", "east"), "turned": ("south", "north")}
    for wide, deep in ((60, 79), (37, 37), (38, 38), (39, 39), (61, 43), (70, 33)):
        found = set()
        for unit, times in (("cm", 1.0), ("mm", 10.0), ("m", 0.01)):
            for turn, (one, two) in sides.items():
                size = (deep, wide) if turn else (wide, deep)
                text = HALVES.format(
                    shape="oval", size=" x ".join(f"{s * times:.6g}" for s in size) + f" {unit}",
                    one=one, two=two, to=f"{wide / 2 * times:.6g} {unit}",
                )  # fmt: skip
                found.add(str(told(text)))
        assert len(found) == 1 and "weight-for-use" in found.pop(), (wide, deep)


@pytest.mark.parametrize("shape", ["round", "oval"])
def test_one_of_two_faces_is_half_of_a_resist(shape: str) -> None:
    text = """\
piece: {{title: T, use: cushion, shape: {shape}, over: flat resist, laid out: {size}, stage: firm}}
lots: {{m: {{fibre: merino, preparation: carded batt, fineness: 19 um}}}}
layers:
  - {{name: x, of: m, amount: 1000 g/m², direction: random, face: {heavy}}}
  - {{name: y, of: m, amount: 400 g/m², direction: random, face: {light}}}
"""
    found = set()
    for wide in range(20, 60):
        for size in (f"{wide}", f"{wide}.37"):
            other = "" if shape == "round" else f" x {wide / 2 + 3}"
            for heavy, light in (("front", "back"), ("back", "front")):
                said = text.format(shape=shape, size=f"{size}{other} cm", heavy=heavy, light=light)
                found.add(str(told(said)))
    assert len(found) == 1 and "weight-for-use" in found.pop()


PORTIONED = """\
piece: {{title: T, use: wall panel, shape: rectangle, laid out: 40 x 30 cm, stage: firm}}
lots:
  m: {{fibre: merino, preparation: combed top, fineness: 19 um}}
  s: {{fibre: tussah silk, preparation: combed top}}
layers:
{layers}
scale step: 1 g
"""


def portioned(layers: list[tuple[str, str, float]], parts: int) -> str:
    """Layers (lot, direction, grams), each laid in so many portions of unlike weight."""
    found = []
    for number, (of, way, grams) in enumerate(layers):
        weights = [grams * (k + 1) / (parts * (parts + 1) / 2) for k in range(parts)]
        found.append(f"  - name: l{number}\n    direction: {way}\n    placements:\n")
        found += [f"      - {{of: {of}, amount: {weight:.6f} g}}\n" for weight in weights]
    return PORTIONED.format(layers="".join(found))


def test_a_scale_doubts_portions_as_it_doubts_the_whole() -> None:
    """Half a step on each of many portions would excuse what half a step on their sum does not."""
    draw = random.Random(11)
    for _ in range(150):
        layers = [
            (
                draw.choice("mmms"),
                draw.choice(["north-south", "east-west", "random"]),
                draw.uniform(3, 40),
            )
            for _ in range(draw.randint(2, 4))
        ]
        answers = {str(told(portioned(layers, n), *BY_DIGITS)) for n in (1, 2, 3, 5)}
        assert len(answers) == 1, (layers, answers)


def test_a_scale_doubts_what_is_for_each_face_as_it_doubts_two_portions() -> None:
    head = (
        "piece: {title: T, use: vessel, shape: rectangle, laid out: 40 x 40 cm, over: flat resist}\n"
        "lots: {d: {fibre: corriedale, preparation: carded batt, fineness: 27 um}}\nscale step: 5 g\n"
        "layers:\n  - name: a\n    direction: random\n    placements:\n"
    )
    for grams in (6.4, 9.6, 14.0):
        each = f"      - {{of: d, amount: {grams} g, face: each}}\n"
        one, two = (each.replace("each", face) for face in ("front", "back"))
        assert told(head + each, *BY_DIGITS) == told(head + one + two, *BY_DIGITS)


def test_of_two_layers_that_pull_alike_the_same_is_named_in_portions() -> None:
    for grams in (9.3, 17.7, 23.1, 31.9):
        named = set()
        for parts in (1, 2, 3, 7):
            text = portioned([("m", "north-south", grams), ("m", "north-south", grams)], parts)
            found = [f for f in felt_engine.check(text).findings if f.rule == "direction-balance"]
            named |= {f.spot.pointer.split("/placements")[0] for f in found}
        assert named == {"/layers/0"}, (grams, named)


PART = """\
piece: {{title: T, use: wall panel, shape: rectangle, laid out: 100 x 40 cm, stage: firm}}
lots: {{m: {{fibre: merino, preparation: combed top, fineness: 19 um}}}}
zones: {{z: {{shape: band, along: west, to: 40 cm}}, rest: {{shape: band, along: east, to: 60 cm}}}}
layers:
  - {{name: over all, of: m, amount: 110 g/m², direction: north-south}}
  - {{name: beside, of: m, amount: 260 g/m², direction: east-west, zone: rest}}
  - name: there
    direction: north-south
    placements:
{portions}
"""


def test_what_pulls_most_in_a_part_is_named_in_portions_too() -> None:
    named = set()
    for parts in (1, 2, 3, 5):
        portions = f"      - {{of: m, amount: {150 / parts:.6f} g/m², zone: z}}\n" * parts
        found = felt_engine.check(PART.format(portions=portions)).findings
        named |= {
            f.spot.pointer.split("/placements")[0] for f in found if f.rule == "direction-balance"
        }
    assert named == {"/layers/2"}, named


ASKED = """\
piece: {{title: R, use: rug, shape: rectangle, laid out: 60 x 40 cm, stage: firm}}
lots: {{q0: {{fibre: karakul, preparation: yarn}}, q2: {{fibre: corriedale, preparation: locks}}}}
zones: {{z: {{shape: rectangle, size: 30 x 20 cm, at: "13 cm east, 17 cm north"}}}}
layers:
  - {{name: l0, direction: bearing 30°, placements: [{first}]}}
  - {{name: l2, direction: east-west, placements: [{{of: q2, amount: 50 g/m², zone: z}}]}}
  - {{name: l3, direction: bearing 30°, placements: [{{of: q2, amount: 20 g/m²}}]}}
"""


def test_the_same_lot_is_asked_about_in_portions() -> None:
    asked = set()
    for parts in (1, 2, 4):
        first = ", ".join([f"{{of: q0, amount: {50 / parts} g/m², zone: z}}"] * parts)
        report = felt_engine.check(ASKED.format(first=first))
        asked.add(tuple((one.rule, one.spot.pointer, one.text) for one in report.unsaid))
    assert len(asked) == 1 and asked.pop()


@pytest.mark.parametrize(
    "shape", ["shape: round, laid out: 30 cm across", "shape: oval, laid out: 50 x 50 cm"]
)
def test_two_halves_of_a_round_are_told_alike_however_they_lie(shape: str) -> None:
    """Their areas are the same but for rounding, so neither is the lesser part."""
    text = """\
piece: {{title: T, use: scarf, {}, stage: hard}}
lots: {{c: {{fibre: merino, preparation: combed top}}}}
zones: {{one: {{shape: band, along: {}, to: {} cm}}, two: {{shape: band, along: {}, to: {} cm}}}}
layers:
  - name: l
    direction: random
    placements: [{{of: c, amount: 100 g/m², zone: one}}, {{of: c, amount: 200 g/m², zone: two}}]
"""
    half = 15 if "30" in shape else 25
    told = {
        tuple(
            sorted(
                one.rule for one in felt_engine.check(text.format(shape, a, half, b, half)).findings
            )
        )
        for a, b in (("north", "south"), ("south", "north"), ("east", "west"), ("west", "east"))
    }
    assert len(told) == 1
