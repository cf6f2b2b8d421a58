"""The schema and the reader accept the same documents; both doors give the same recipe.

What a schema can't say is left to the reader alone: problems of kind "link" (names, sums, sizes that
must fit each other) and of kind "limit" (figures out of any sensible range).
"""

from __future__ import annotations

import copy
import json
import random
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from kit import RECIPES, ROOT

import felt_engine
from felt_engine import RecipeError
from felt_engine.reading.recipe_shape import RECIPE
from felt_engine.reading.shape import (
    Count,
    Entry,
    Form,
    ListOf,
    MapOf,
    Quantity,
    Record,
    Text,
    Word,
)

jsonschema = pytest.importorskip("jsonschema")
SCHEMA = json.loads((ROOT / "schemas" / "recipe.schema.json").read_text(encoding="utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)

QUANTITIES = {
    "weight": ["12 g", "0.4 oz", "1 1/2 oz", "2 lb 3 oz"], "areal": ["120 g/m²", "3.5 oz/yd2"],
    "length": ["4 cm", "1½ in", "3 ft 4 in"], "position": ["0 cm", "3 in"], "time": ["10 min"],
    "fineness": ["19 um"], "temperature": ["40 °C"],
}  # fmt: skip
FORMS = {
    "size": ["60 x 40 cm", "12 in x 12 in", "30 cm across"], "point": ["5 cm east, 0 cm north"],
    "direction": ["north-south", "bearing 30°", "radial"], "colour": ["#b3202a", "navy", "001122"],
    "share": ["70 %", "3 parts", "12 g"], "part of a tuft": ["1/3", "25 %"],
    "price": ["4.80 EUR per 100 g", "3 USD / oz"], "fineness": ["19 um", "64s"],
    "water": ["warm", "104 °F"],
}  # fmt: skip
NAMES = st.text("abcdefghij Ünï-'", min_size=1, max_size=12).filter(lambda t: t == t.strip() and t)


def values(kind: Any) -> st.SearchStrategy[Any]:
    """Documents that this kind should accept."""
    if isinstance(kind, Entry):
        return st.sampled_from(["merino", "silk"] if kind.table == "fibre" else ["scarf", "rug"])
    if isinstance(kind, Text):
        return NAMES
    if isinstance(kind, Word):
        return st.sampled_from(kind.words)
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
    chosen = {}
    for field in kind.fields.values():
        if field.needed or draw(st.integers(0, 5)) == 0:
            chosen[field.key] = draw(values(field.kind))
    for choice in kind.need_one:
        if not set(choice) & set(chosen):
            key = draw(st.sampled_from(choice))
            chosen[key] = draw(values(kind.fields[key].kind))
    for first, second in kind.never:
        if first in chosen and second in chosen:
            del chosen[draw(st.sampled_from((first, second)))]
    for choice in kind.need_one:
        if not set(choice) & set(chosen):
            chosen[choice[0]] = draw(values(kind.fields[choice[0]].kind))
    return chosen


WRONG: list[Any] = [
    "", " ", "no", "12", "12 ml", "1,500 g", "0 g", "-3 cm", "NaN", "x" * 5000, "two\nlines", "a\n",
    0, 1, -1, 2.5, 10**12, True, None, [], {}, [[]], {"a": "b"}, ["top"], "north-south ", "#12345",
    "12 g\n", "½", "64", "1 x 2 x 3 cm", "100 %", "0 %", "round", "\u00a0", "é",
]  # fmt: skip


def spots(document: Any) -> list[tuple[Any, Any]]:
    """Every container with a key in it."""
    found = []
    items = document.items() if isinstance(document, dict) else enumerate(document)
    for key, value in list(items):
        found.append((document, key))
        if isinstance(value, (dict, list)):
            found.extend(spots(value))
    return found


def mutate(document: dict[str, Any], seed: int) -> dict[str, Any]:
    """A copy with one or two things changed: a value, a key, or something lost or added."""
    changed = copy.deepcopy(document)
    chance = random.Random(seed)
    for _ in range(chance.choice((0, 1, 1, 1, 2))):
        places = spots(changed)
        if not places:
            break
        holder, key = chance.choice(places)
        act = chance.randrange(5)
        if act == 0:
            del holder[key]
        elif act == 1 and isinstance(holder, dict):
            holder[str(key) + "s"] = holder.pop(key)
        elif act == 2 and isinstance(holder, dict):
            other = chance.choice(
                ["amount", "of", "placements", "past", "short", "laid out", "corners"]
            )
            holder[other] = chance.choice(WRONG)
        else:
            holder[key] = copy.deepcopy(chance.choice(WRONG))
    return changed


def shape_problems(text: str) -> list[Any]:
    try:
        felt_engine.load(text)
    except RecipeError as error:
        return [p for p in error.problems if p.kind not in ("link", "limit")]
    return []


@settings(max_examples=1000, deadline=None, derandomize=True)
@given(document=record(RECIPE), seed=st.integers(0, 10**6))
def test_schema_and_reader_accept_the_same(document: dict[str, Any], seed: int) -> None:
    changed = mutate(document, seed)
    text = json.dumps(changed)
    refused = shape_problems(text)
    errors = [e.message[:200] for e in VALIDATOR.iter_errors(changed)]
    assert bool(refused) == bool(errors), (refused, errors, text)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(document=record(RECIPE))
def test_what_is_made_right_is_accepted_by_both(document: dict[str, Any]) -> None:
    assert not list(VALIDATOR.iter_errors(document))
    assert not shape_problems(json.dumps(document))


def outcome(text: str) -> Any:
    """The recipe, or its problems without places."""
    try:
        return felt_engine.load(text)
    except RecipeError as error:
        return sorted((p.pointer, p.found, p.mend) for p in error.problems)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    document=record(RECIPE), flow=st.sampled_from([None, True, False]), wide=st.integers(20, 200)
)
def test_both_doors_give_the_same(document: dict[str, Any], flow: bool | None, wide: int) -> None:
    as_json = outcome(json.dumps(document))
    as_yaml = yaml.safe_dump(
        document, default_flow_style=flow, width=wide, allow_unicode=True, sort_keys=False
    )
    assert outcome(as_yaml) == as_json
    quoted = yaml.safe_dump(
        document, default_style='"', default_flow_style=flow, allow_unicode=False, sort_keys=False
    )
    if not any(isinstance(v[k], int) for v, k in spots(document)):
        assert outcome(quoted) == as_json
    assert outcome(as_yaml.replace("\n", "\r\n")) == as_json
    assert outcome("\ufeff# a comment\n" + as_yaml + "# the end\n") == as_json


@pytest.mark.parametrize("path", sorted(RECIPES.glob("*.*")), ids=lambda p: p.name)
def test_the_demo_catalogue_fits_the_schema(path: Any) -> None:
    """YAML texts are given to the schema as the reader takes them: text, but for whole numbers."""
    from felt_engine.reading.read import tree_of

    source = felt_engine.load(path).source
    assert source is not None

    def plain(node: Any, kind: Any) -> Any:
        if isinstance(kind, Record):
            return {k.text: plain(v, kind.fields[k.text].kind) for k, v in node.pairs}
        if isinstance(kind, MapOf):
            return {k.text: plain(v, kind.item) for k, v in node.pairs}
        if isinstance(kind, ListOf):
            return [plain(item, kind.item) for item in node.items]
        return int(node.text) if isinstance(kind, Count) else node.text

    VALIDATOR.validate(plain(tree_of(source), RECIPE))


def subschemas(node: Any) -> Any:
    if isinstance(node, dict):
        yield node
        for value in node.values():
            yield from subschemas(value)
    elif isinstance(node, list):
        for value in node:
            yield from subschemas(value)


def test_the_schema_is_sound_described_and_without_alternatives() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    for part in subschemas(SCHEMA):
        assert "anyOf" not in part and "oneOf" not in part
        properties = part.get("properties")
        if isinstance(properties, dict) and part.get("type") == "object":
            for key, value in properties.items():
                assert value.get("description"), key
        if isinstance(part.get("examples"), list):
            own = {**{k: v for k, v in part.items() if k != "examples"}, "$defs": SCHEMA["$defs"]}
            for example in part["examples"]:
                jsonschema.Draft202012Validator(own).validate(example)
