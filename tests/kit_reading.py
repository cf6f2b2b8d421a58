"""What the reading tests share: reading texts, and documents made at random from the format."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import strategies as st

from felt_engine.errors import Problem, RecipeError
from felt_engine.model.recipe import Recipe, Source
from felt_engine.reading.groups import ListOf, MapOf, Record
from felt_engine.reading.read import read_recipe
from felt_engine.reading.recipe_shape import RECIPE
from felt_engine.reading.setting import Figure, Setting
from felt_engine.reading.shape import Context, Count, Entry, Form, Kind, Quantity, Text, Word
from felt_engine.reading.tables import built_in

PANEL = """\
piece:
  title: Panel
  shape: rectangle
  laid out: 60 x 40 cm
lots:
  white: {fibre: merino}
layers:
  - name: base
    of: white
    amount: 20 g
"""
"""A recipe with nothing but what is needed, on lines of their own."""

TABLES = built_in().names


def read(text: str, door: str = "yaml") -> Recipe:
    """The recipe in a text; RecipeError otherwise."""
    return read_recipe(Source("text", text, door), TABLES)


def problems(text: str, door: str = "yaml") -> tuple[Problem, ...]:
    """The problems of a text; none if it can be read. Any other exception is let through."""
    try:
        read(text, door)
    except RecipeError as error:
        assert error.problems
        return error.problems
    return ()


def only(text: str, door: str = "yaml") -> Problem:
    """The one problem of a text."""
    found = problems(text, door)
    assert len(found) == 1, found
    return found[0]


def kinds(kind: Kind = RECIPE) -> list[Kind]:
    """Every kind of value in the format, once each."""
    found: list[Kind] = []
    waiting = [kind]
    while waiting:
        one = waiting.pop()
        if any(one is other for other in found):
            continue
        found.append(one)
        if isinstance(one, Record):
            waiting.extend(field.kind for field in one.fields.values())
        elif isinstance(one, (ListOf, MapOf)):
            waiting.append(one.item)
    return found


def judged(kind: Kind, document: Any) -> list[Problem]:
    """The problems that one kind of value finds in a plain value, by the JSON door."""
    from felt_engine.reading.json_tree import read_json

    text = json.dumps(document)
    context = Context(text, "json", TABLES)
    kind.read(read_json(text), "", context)
    return context.problems


QUANTITIES = {
    "weight": ["12 g", "0.4 oz", "1 1/2 oz", "2 lb 3 oz", "1,5 g", "½ oz", ".5 kg"],
    "areal": ["120 g/m²", "3.5 oz/yd2", "120 gsm"],
    "length": ["4 cm", "1½ in", "3 ft 4 in", '12"', "3'4\"", "2 ¾ in"],
    "position": ["0 cm", "3 in", "3 ft 4 in"], "time": ["10 min", "1 1/2 h"],
    "fineness": ["19 um", "18.5 micron"], "temperature": ["40 °C", "104 F"],
}  # fmt: skip
FORMS = {
    "size": ["60 x 40 cm", "12 in x 12 in", "30 cm across", "30 cm", "½ × 1½ in", "3' by 4'"],
    "point": ["5 cm east, 0 cm north", "1½ in east, 2 ft 3 in north"],
    "direction": ["north-south", "NE-SW", "bearing 30°", "bearing 12.5 deg", "radial", "around"],
    "colour": ["#b3202a", "#abc", "navy", "001122", "b3202a"],
    "share": ["70 %", "3 parts", "1 part", "12 g", "33.3%"], "part of a tuft": ["1/3", "25 %"],
    "shrinkage": ["30 %", "1/3", "51 % by area", "1/2 of the area"],
    "price": ["4.80 EUR per 100 g", "3 USD / oz", "1,20 EUR/oz"],
    "fineness": ["19 um", "64s"], "water": ["warm", "104 °F"],
    "release": ["0.1.0", "2.1"], "density": ["1310 kg/m³", "1,31 g/cm3"],
    "feltability": ["0.8", "0 to 1/2", "0.5 to 0.9 usually 0.7"],
    "range of fineness": ["20 um", "17 to 23 micron usually 20 um"],
    "weight band": ["200 to 400 g/m²", "6 to 12 oz/yd2"],
}  # fmt: skip
LETTERS = "abcdefghij Üñï-'#:é漢🧶%&*!|>@[]{},?0159"
NAMES = st.text(LETTERS, min_size=1, max_size=10).map(str.strip).filter(bool)
PROSE = st.text(LETTERS + '"\\\n', min_size=1, max_size=30).filter(str.strip)


def values(kind: Kind) -> st.SearchStrategy[Any]:
    """Plain values that this kind accepts."""
    if isinstance(kind, Entry):
        return st.sampled_from(["merino", "silk"] if kind.table == "fibre" else ["scarf", "rug"])
    if isinstance(kind, Text):
        return PROSE if kind.lines else NAMES
    if isinstance(kind, Word):
        return st.sampled_from(kind.words)
    if isinstance(kind, Setting):
        return values(kind.item)
    if isinstance(kind, Figure):
        figures = st.sampled_from(["0.3", "1/4", "0"]).map(lambda n: f"{n} {kind.unit}".strip())
        return figures if kind.unit else figures | st.sampled_from([0.25, 1, "12 %"])
    if isinstance(kind, Count):
        return st.integers(kind.low, kind.high)
    if isinstance(kind, Quantity):
        return st.sampled_from([text for k in kind.kinds for text in QUANTITIES[k]])
    if isinstance(kind, Form):
        return st.sampled_from(FORMS[kind.name])
    if isinstance(kind, ListOf):
        return st.lists(
            values(kind.item), min_size=kind.least, max_size=min(kind.most, max(kind.least, 3))
        )
    if isinstance(kind, MapOf):
        return st.dictionaries(
            NAMES, values(kind.item), min_size=kind.least, max_size=max(kind.least, 2)
        )
    assert isinstance(kind, Record)
    return record(kind)


@st.composite
def record(draw: Any, kind: Record) -> dict[str, Any]:
    """A plain map with the keys that this record needs, and some that it may have."""
    chosen = {}
    for field in kind.fields.values():
        if field.needed or draw(st.integers(0, 3)) == 0:
            chosen[field.key] = draw(values(field.kind))
    for first, second in kind.never:
        if first in chosen and second in chosen:
            del chosen[draw(st.sampled_from((first, second)))]
    for first, second in kind.pairs:
        if first in chosen and second not in chosen:
            chosen[second] = draw(values(kind.fields[second].kind))
    for choice in kind.need_one:
        if not set(choice) & set(chosen):
            chosen[choice[0]] = draw(values(kind.fields[choice[0]].kind))
    return chosen


def documents() -> st.SearchStrategy[dict[str, Any]]:
    """Documents of the right shape; their names and sums need not fit each other."""
    return record(RECIPE)


_ZONES: list[dict[str, Any]] = [
    {"shape": "band", "along": "south", "from": "0 cm", "to": "12 cm"},
    {"shape": "band", "along": "east", "to": "3 in"},
    {"shape": "rectangle", "size": "20 x 10 cm", "at": "5 cm east, 8 cm north"},
    {"shape": "round", "size": "10 cm across", "at": "20 cm east, 20 cm north"},
    {"shape": "oval", "size": "10 x 6 cm", "at": "20 cm east, 20 cm north", "note": "an egg"},
    {"shape": "rim", "width": "3 cm"},
    {"shape": "middle", "width": "1 1/2 in"},
    {"shape": "polygon", "corners": ["0 cm east, 0 cm north", "9 cm east, 0 cm north",
                                     "0 cm east, 9 cm north"]},
]  # fmt: skip
_SHARES = [("70 %", "30 %"), ("2 parts", "1 part"), ("12 g", "½ oz"), ("33.3%", "66,7 %")]


@st.composite
def recipes(draw: Any) -> dict[str, Any]:
    """Documents that can be read: every name leads somewhere, every size fits."""
    lot = next(k for k in kinds() if isinstance(k, Record) and k.name == "lot")
    names = draw(st.lists(NAMES, min_size=5, max_size=5, unique=True))
    lots = {name: draw(record(lot)) for name in names[:2]}
    over = draw(st.sampled_from(["table", "flat resist", None]))
    piece = {"title": draw(NAMES), "shape": "rectangle", "laid out": "60 x 40 cm"}
    if over:
        piece["over"] = over
    made: dict[str, Any] = {"piece": piece, "lots": lots}
    if draw(st.booleans()):
        made["blends"] = {names[2]: dict(zip(lots, draw(st.sampled_from(_SHARES)), strict=True))}
    zones = draw(st.lists(st.sampled_from(_ZONES), max_size=2))
    made["zones"] = {f"zone {i} {names[3]}"[:80]: zone for i, zone in enumerate(zones)}
    stuff = [*lots, *made.get("blends", {})]
    made["layers"] = [
        draw(_layer(f"{names[4]} {i}", stuff, [*made["zones"], "whole"], over == "flat resist"))
        for i in range(draw(st.integers(1, 3)))
    ]
    if draw(st.booleans()):
        made["work"] = [{"do": "roll", "times": draw(st.integers(1, 500)), "water": "40 °C"}]
        made["note"] = draw(PROSE)
        made["waivers"] = [{"rule": "thin-layer", "where": names[0], "why": draw(PROSE)}]
    order = draw(st.permutations(sorted(made)))
    return {key: made[key] for key in order}


@st.composite
def _layer(draw: Any, name: str, stuff: list[str], zones: list[str], two: bool) -> dict[str, Any]:
    def placed() -> dict[str, Any]:
        amount = draw(st.sampled_from([*QUANTITIES["weight"], *QUANTITIES["areal"]]))
        made = {"of": draw(st.sampled_from(stuff)), "amount": amount}
        if draw(st.booleans()):
            made["zone"] = draw(st.sampled_from(zones))
        if two:
            made["face"] = draw(st.sampled_from(["front", "both", "each"]))
        return made

    layer: dict[str, Any] = {"name": name}
    if draw(st.booleans()):
        layer["placements"] = [placed() for _ in range(draw(st.integers(1, 3)))]
    else:
        layer.update(placed())
    if draw(st.booleans()):
        layer["direction"] = draw(st.sampled_from(FORMS["direction"]))
        layer["lay"] = "shingle"
    return layer
