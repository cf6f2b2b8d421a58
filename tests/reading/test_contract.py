"""The schema and the reader accept the same documents; both doors give the same recipe.

What a schema can't say is left to the reader alone: problems of kind "link" (names, sums, sizes that
must fit each other) and of kind "limit" (figures out of any sensible range). Everything else that
the reader refuses in a plain document, the schema refuses too, and the other way round.
"""

from __future__ import annotations

import json
import random
import re
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from kit import RECIPES, ROOT
from kit_mutate import WRONG, mutate, spoil
from kit_reading import documents, judged, kinds, problems, read, recipes, values

from felt_engine.errors import RecipeError
from felt_engine.reading.groups import ListOf, MapOf, Record
from felt_engine.reading.recipe_shape import RECIPE
from felt_engine.reading.schema import main, recipe_schema
from felt_engine.reading.shape import Count, Entry, Form, Kind, Quantity, Text, Word

jsonschema = pytest.importorskip("jsonschema")
SCHEMA_FILE = ROOT / "schemas" / "recipe.schema.json"
SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def shape_problems(document: Any) -> list[Any]:
    found = problems(json.dumps(document), "json")
    return [p for p in found if p.kind not in ("link", "limit")]


@settings(max_examples=700, deadline=None, derandomize=True)
@given(document=st.one_of(documents(), recipes()), seed=st.integers(0, 10**6))
def test_schema_and_reader_accept_the_same(document: dict[str, Any], seed: int) -> None:
    changed = mutate(document, seed)
    refused = shape_problems(changed)
    errors = [e.message[:200] for e in VALIDATOR.iter_errors(changed)]
    assert bool(refused) == bool(errors), (refused, errors, changed)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(document=documents())
def test_what_is_made_right_is_accepted_by_both(document: dict[str, Any]) -> None:
    assert not list(VALIDATOR.iter_errors(document))
    assert not shape_problems(document)


def name_of(kind: Kind) -> str:
    return f"{type(kind).__name__} {kind.schema({}).get('$ref', '')[8:]}".strip()


def leaves() -> list[Kind]:
    """One kind of text or number for each different schema."""
    found = {}
    for kind in kinds():
        if isinstance(kind, (Text, Word, Count, Quantity, Form)):
            found[json.dumps(kind.schema({}))] = kind
    return list(found.values())


LEAVES = leaves()


@pytest.mark.parametrize("kind", LEAVES, ids=map(name_of, LEAVES))
def test_schema_and_reader_agree_on_every_text(kind: Kind) -> None:
    """Each kind of text or number by itself, over right values, wrong ones and slips of the keys."""
    defs: dict[str, Any] = {}
    own = jsonschema.Draft202012Validator({**kind.schema(defs), "$defs": defs})

    @settings(max_examples=150, deadline=None, derandomize=True, database=None)
    @given(value=values(kind), seed=st.integers(0, 10**6))
    def compare(value: Any, seed: int) -> None:
        chance = random.Random(seed)
        tried = [value, chance.choice(WRONG)]
        if isinstance(value, str):
            tried += [spoil(value, chance) for _ in range(12)]
            tried += [spoil(spoil(value, chance), chance) for _ in range(6)]
        for one in tried:
            refused = [p for p in judged(kind, one) if p.kind not in ("link", "limit")]
            assert bool(refused) != own.is_valid(one), (one, refused)

    for wrong in WRONG:
        refused = [p for p in judged(kind, wrong) if p.kind not in ("link", "limit")]
        assert bool(refused) != own.is_valid(wrong), (wrong, refused)
    compare()


def test_whole_numbers_are_taken_however_json_writes_them() -> None:
    """RFC 8259 knows one kind of number; JSON Schema calls 2.0 an integer."""
    count = next(k for k in kinds() if isinstance(k, Count) and k.low == 1 and k.high > 100)
    for text, whole in [("2", 2), ("2.0", 2), ("2e1", 20), ("20E-1", 2), ("-0", None), ("0", None),
                        ("2.5", None), ("1e400", None), ("-2", None), ("1e15", None)]:  # fmt: skip
        document = (
            '{"piece": {"title": "a", "shape": "round", "laid out": "1 m", "amounts for": "one",'
        )
        document += f' "how many": {text}}}, "lots": {{"a": {{"fibre": "merino"}}}}, "layers":'
        document += ' [{"name": "b", "of": "a", "amount": "1 g"}]}'
        found = problems(document, "json")
        assert (not found) == (whole is not None), (text, found)
        assert VALIDATOR.is_valid(json.loads(document)) == (whole is not None)
        if whole:
            assert count.low <= whole and read(document, "json").piece.count == whole


def outcome(text: str, door: str = "yaml") -> Any:
    """The recipe, or its problems without places."""
    try:
        return read(text, door)
    except RecipeError as error:
        return sorted((p.pointer, p.found, p.mend, p.kind) for p in error.problems)


class Quoter(yaml.SafeDumper):
    """Writes texts plain, quoted or in blocks by turns; never an alias."""

    turn = random.Random(3)

    def ignore_aliases(self, data: Any) -> bool:
        return True


Quoter.add_representer(
    str,
    lambda dumper, text: dumper.represent_scalar(
        "tag:yaml.org,2002:str", text, style=dumper.turn.choice([None, "'", '"', "|", ">"])
    ),
)


def written(document: Any, flow: bool | None, wide: int, letters: bool, indent: int) -> str:
    return yaml.dump(
        document, Dumper=Quoter, default_flow_style=flow, width=wide, allow_unicode=letters,
        sort_keys=False, indent=indent,
    )  # fmt: skip


@settings(max_examples=250, deadline=None, derandomize=True)
@given(
    document=st.one_of(documents(), recipes()), flow=st.sampled_from([None, True, False]),
    wide=st.integers(20, 200), letters=st.booleans(), indent=st.integers(2, 6),
)  # fmt: skip
def test_both_doors_give_the_same(
    document: dict[str, Any], flow: bool | None, wide: int, letters: bool, indent: int
) -> None:
    as_json = outcome(json.dumps(document), "json")
    assert outcome(json.dumps(document, indent=indent, ensure_ascii=False), "json") == as_json
    as_yaml = written(document, flow, wide, letters, indent)
    assert outcome(as_yaml) == as_json, as_yaml
    assert outcome(as_yaml.replace("\n", "\r\n")) == as_json
    assert outcome("# a comment\n---\n" + as_yaml + "...\n# the end\n") == as_json


@settings(max_examples=60, deadline=None, derandomize=True)
@given(document=recipes(), seed=st.integers(0, 10**6))
def test_recipes_are_read_whatever_the_order_of_their_keys(
    document: dict[str, Any], seed: int
) -> None:
    chance = random.Random(seed)

    def turned(value: Any, named: bool = False) -> Any:
        """Keys of records in another order; names (of lots, zones, parts) keep theirs."""
        if isinstance(value, list):
            return [turned(item) for item in value]
        if not isinstance(value, dict):
            return value
        keys = list(value)
        if not named:
            chance.shuffle(keys)
        return {k: turned(value[k], k in ("lots", "blends", "zones") or named) for k in keys}

    recipe = read(json.dumps(document), "json")
    assert read(json.dumps(turned(document)), "json") == recipe
    assert read(written(turned(document), False, 80, True, 2)) == recipe


def test_a_byte_order_mark_and_line_ends_make_no_difference() -> None:
    from kit_reading import PANEL

    from felt_engine.reading.source import text_of

    recipe = read(PANEL)
    for text in (PANEL, "\ufeff" + PANEL, PANEL.replace("\n", "\r\n"), PANEL.replace("\n", "\r")):
        assert read(text_of(text.encode())) == recipe
    plain = yaml.safe_load(PANEL)
    for text in (json.dumps(plain), "\ufeff" + json.dumps(plain, indent=1)):
        assert read(text_of(text.encode()), "json") == recipe
    commented = "\n".join(f"{line}   # {line}" for line in PANEL.splitlines())
    assert read(f"%YAML 1.2\n---\n{commented}\n\n\n# the end\n...\n") == recipe


@pytest.mark.parametrize("path", sorted(RECIPES.glob("*.*")), ids=lambda p: p.name)
def test_the_demo_catalogue_fits_the_schema(path: Any) -> None:
    """YAML texts are given to the schema as the reader takes them: text, but for whole numbers."""
    from felt_engine.reading.read import tree_of

    recipe = read(path.read_text("utf-8"), "json" if path.suffix == ".json" else "yaml")
    assert recipe.source is not None

    def plain(node: Any, kind: Any) -> Any:
        if isinstance(kind, Record):
            return {k.text: plain(v, kind.fields[k.text].kind) for k, v in node.pairs}
        if isinstance(kind, MapOf):
            return {k.text: plain(v, kind.item) for k, v in node.pairs}
        if isinstance(kind, ListOf):
            return [plain(item, kind.item) for item in node.items]
        return int(node.text) if isinstance(kind, Count) else node.text

    VALIDATOR.validate(plain(tree_of(recipe.source), RECIPE))


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
    examples = 0
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
                examples += 1
    assert examples > 60
    for name, part in SCHEMA["$defs"].items():
        assert part.get("description"), name


def test_references_lead_to_definitions_and_none_is_idle() -> None:
    named = {part["$ref"] for part in subschemas(SCHEMA) if isinstance(part.get("$ref"), str)}
    spelt = {ref.removeprefix("#/$defs/").replace("%20", " ") for ref in named}
    assert spelt == set(SCHEMA["$defs"])


def patterns(node: Any) -> Any:
    for part in subschemas(node):
        if isinstance(part.get("pattern"), str):
            yield part["pattern"]


def test_patterns_are_read_alike_by_python_and_ecmascript() -> None:
    """ECMA-262 with the u flag refuses idle escapes; it has no \\A, \\Z, possessive or named groups."""
    found = list(patterns(SCHEMA))
    assert len(found) > 20
    for pattern in found:
        re.compile(pattern)
        bare = re.sub(r"\\[\^$\\.*+?()\[\]{}|/nrtSsDdWwBb]", "", pattern)
        assert "\\" not in bare, pattern
        assert "\\d" not in pattern and "(?<" not in pattern and "(?P" not in pattern
        assert not re.search(r"[*+?}]\+|\(\?[^:=!]", pattern)
        for name, text in [("digits", "٣ g"), ("newline", "4 g\n")]:
            assert name and not (pattern.startswith("^(?:") and re.search(pattern, text)), pattern


def test_patterns_are_quick_on_long_texts() -> None:
    import time

    for pattern in patterns(SCHEMA):
        compiled = re.compile(pattern)
        for text in (
            "1" * 50_000,
            "a" * 50_000 + "\n",
            " " * 50_000 + "\n",
            "1 x " * 12_000,
            "." * 50_000,
        ):
            began = time.process_time()
            compiled.search(text)
            assert time.process_time() - began < 0.5, pattern


def test_the_committed_schema_is_what_the_code_says(
    tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert recipe_schema() == SCHEMA, "run python -m felt_engine.reading.schema"
    (tmp_path / "schemas").mkdir()
    monkeypatch.chdir(tmp_path)
    main()
    made = (tmp_path / "schemas" / "recipe.schema.json").read_text("utf-8")
    assert made == SCHEMA_FILE.read_text("utf-8")


def test_only_tables_that_were_handed_over_know_names() -> None:
    """The schema knows no fibre: plugins may add some. Without a table, any name is kept."""
    from felt_engine.model.recipe import Source
    from felt_engine.reading.read import read_recipe

    entry = next(k for k in kinds() if isinstance(k, Entry) and k.table == "fibre")
    assert "enum" not in entry.schema({})
    text = json.dumps({
        "piece": {"title": "a", "shape": "round", "laid out": "1 m"}, "lots": {"a": {"fibre": "moss"}},
        "layers": [{"name": "b", "of": "a", "amount": "1 g"}],
    })  # fmt: skip
    assert read_recipe(Source("t", text, "json"), {}).lots[0].fibre == "moss"
    assert [p.kind for p in problems(text, "json")] == ["link"]
