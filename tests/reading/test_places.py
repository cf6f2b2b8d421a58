"""Places: every node says where it stands, and what stands there reads back to its value."""

from __future__ import annotations

import json
import random
import re
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from kit_reading import NAMES, PANEL, PROSE, documents, problems, read, recipes

import felt_engine
from felt_engine.model.place import join, steps
from felt_engine.model.recipe import Source, pointer_of
from felt_engine.reading import yaml_tree
from felt_engine.reading.read import find, place_of, tree_of
from felt_engine.reading.tree import Node, line_column

ENDS = st.sampled_from(["\n", "\r\n", "\r"])
TREES = st.recursive(
    NAMES | PROSE,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=3),
    max_leaves=12,
)
DOCUMENTS = st.dictionaries(NAMES, TREES, min_size=1, max_size=4) | documents() | recipes()


def emit(value: Any, chance: random.Random, margin: str = "", flow: bool = False) -> str:
    """The value as YAML: each map and list in block or flow, texts plain or quoted, comments between."""
    if isinstance(value, str):
        return quoted(value, chance, flow)
    if not isinstance(value, (dict, list)):
        return str(value)
    if flow or not value or chance.random() < 0.3:
        return in_brackets(value, chance)
    rows: list[str] = []
    pairs = value.items() if isinstance(value, dict) else ((None, item) for item in value)
    for key, item in pairs:
        if chance.random() < 0.2:
            rows.append(f"{margin}# {chance.choice(['a remark', 'é 🧶: - x', '---'])}")
        head = margin + ("-" if key is None else quoted(key, chance, True, key=True) + ":")
        deeper = margin + " " * chance.randint(1, 4)
        if isinstance(item, str) and chance.random() < 0.3 and fits_block(item):
            rows.append(head + scalar(item, deeper, chance))
            continue
        body = emit(item, chance, deeper)
        block = isinstance(item, (dict, list)) and body[:1] not in ("{", "[")
        if block:
            gap = chance.choice(["\n", "  # a remark\n", "\n\n"])
        else:
            gap = " " * chance.randint(1, 3)
            body += chance.choice(["", "", "   # a remark 漢", "\t# tabbed"])
        rows.append(head + gap + body)
    return "\n".join(rows)


def fits_block(text: str) -> bool:
    """Whether a literal or folded scalar can hold this text line by line."""
    return all(row and row == row.strip() and row[0] not in "#" for row in text.split("\n"))


def scalar(text: str, margin: str, chance: random.Random) -> str:
    """A literal or folded block scalar, with a remark behind its mark and perhaps blank lines below."""
    remark = chance.choice(["", "  # a remark: é 🧶"])
    if chance.random() < 0.5:
        rows = "\n".join(margin + row for row in text.split("\n"))
        return f" |-{remark}\n{rows}{chance.choice(['', chr(10), chr(10) * 2])}"
    rows = "\n\n".join(margin + row.replace(" ", f"\n{margin}") if chance.random() < 0.5
                       and "  " not in row and " #" not in row else margin + row
                       for row in text.split("\n"))  # fmt: skip
    return f" >-{remark}\n{rows}"


def in_brackets(value: Any, chance: random.Random) -> str:
    gap = chance.choice(["", " ", "\n      "])
    if isinstance(value, list):
        return f"[{gap}" + f",{gap} ".join(emit(v, chance, flow=True) for v in value) + f"{gap}]"
    pairs = (
        f"{quoted(k, chance, True, key=True)}: {emit(v, chance, flow=True)}"
        for k, v in value.items()
    )
    return f"{{{gap}" + f",{gap} ".join(pairs) + f"{gap}}}"


def quoted(text: str, chance: random.Random, flow: bool, key: bool = False) -> str:
    way = chance.randrange(4)
    if way < 2 and is_plain(text, flow or key):
        return text
    if way == 2 and "\n" not in text:
        return "'" + text.replace("'", "''") + "'"
    return json.dumps(text, ensure_ascii=False) if way < 3 else escaped(text)


def escaped(text: str) -> str:
    return (
        '"' + "".join(c if c.isalnum() and ord(c) < 128 else f"\\U{ord(c):08x}" for c in text) + '"'
    )


def is_plain(text: str, flow: bool) -> bool:
    """Whether a text can stand without quotes; fewer may in brackets and as keys."""
    other = r"[^\n:#,?\[\]{}\\]" if flow else r"(?:[^\n:#]|:(?=\w)|(?<=\w)#)"
    return bool(re.fullmatch(rf"[^\W_]{other}*(?<!\s)", text))


def nodes(node: Node, pointer: str = "") -> list[tuple[str, Node]]:
    """Every value with its pointer; keys with an empty pointer's mark."""
    found = [(pointer, node)]
    if node.kind == "map":
        for key, value in node.pairs:
            found.append(("key", key))
            found.extend(nodes(value, pointer + join(key.text)))
    elif node.kind == "list":
        for index, item in enumerate(node.items):
            found.extend(nodes(item, pointer + join(index)))
    return found


def plain(node: Node) -> Any:
    if node.kind == "map":
        return {key.text: plain(value) for key, value in node.pairs}
    if node.kind == "list":
        return [plain(item) for item in node.items]
    return node.text


def as_text(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: as_text(v) for k, v in value.items()}
    return [as_text(v) for v in value] if isinstance(value, list) else str(value)


def check_tree(text: str, door: str, value: Any) -> None:
    source = Source("t", text, door)
    tree = tree_of(source)
    assert plain(tree) == as_text(value), text
    for pointer, node in nodes(tree):
        assert (node.line, node.column) == line_column(text, node.start), text
        if pointer != "key":
            assert find(tree, pointer) is node
            assert place_of(source, pointer) == (node.line, node.column)
        if node.kind in ("text", "number", "other"):
            cut = text[node.start : node.end]
            if door == "json":
                assert cut == node.text or json.loads(cut) == node.text
            elif not node.quoted:
                assert cut == node.text
            elif cut[0] in "|>":
                lines = text[: node.start].replace("\r\n", "\n").replace("\r", "\n").split("\n")
                before = re.match(" *", lines[-1])
                assert before is not None
                assert yaml.load(f"{before[0]}a: {cut}", Loader=yaml.CSafeLoader) == {
                    "a": node.text
                }
            else:
                assert cut[0] in "'\"" and cut[-1] == cut[0]
                assert yaml.load(cut, Loader=yaml.CSafeLoader) == node.text
        elif door == "json" or text[node.start] in "{[":
            assert text[node.start] + text[node.end - 1] in ("{}", "[]")
        else:
            assert text[node.start : node.end].strip()


@settings(max_examples=200, deadline=None, derandomize=True)
@given(document=DOCUMENTS, seed=st.integers(0, 10**6), end=ENDS)
def test_every_node_of_a_yaml_text_is_where_it_says(document: Any, seed: int, end: str) -> None:
    chance = random.Random(seed)
    head = chance.choice(["", "# a remark\n", "---\n", "%YAML 1.2\n--- # a remark\n", "\n\n"])
    text = head + emit(document, chance) + chance.choice(["", "\n", "\n...\n", "\n# the end"])
    check_tree(text.replace("\n", end), "yaml", document)


def test_block_texts_are_where_they_say() -> None:
    """By hand: the mark that opens a literal or folded text is its place; it ends before the next key."""
    text = "a: |-\n  one\n  two\nb: >-  # remark\n  one\n  two\n\n  three\nc: 'x'\t# tab\n? \"d\"\n: e\n"
    tree = tree_of(Source("t", text))
    assert plain(tree) == {"a": "one\ntwo", "b": "one two\nthree", "c": "x", "d": "e"}
    places = [(n.line, n.column) for _, n in nodes(tree)[1:]]
    assert places == [(1, 1), (1, 4), (4, 1), (4, 4), (9, 1), (9, 4), (10, 3), (11, 3)]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_byte_order_mark_moves_no_place(end: str, tmp_path: Any) -> None:
    """The first column is the first character that shows, with and without the mark."""
    told = []
    for mark in (b"", b"\xef\xbb\xbf"):
        path = tmp_path / "r.yaml"
        path.write_bytes(mark + PANEL.replace("piece:", "peace:").replace("\n", end).encode())
        with pytest.raises(felt_engine.RecipeError) as caught:
            felt_engine.load(path)
        told.append([(p.line, p.column, p.pointer) for p in caught.value.problems])
    assert told[0] == told[1] and (1, 1, "/peace") in told[0]


def test_the_demo_catalogue_reads_the_same_without_libyaml() -> None:
    """PyYAML's own parser is there where libyaml is not."""
    from kit import RECIPES

    class Slow(yaml.Loader):
        """The pure parser."""

    kept = yaml_tree._Parser
    for path in sorted(RECIPES.glob("*.yaml")):
        fast = felt_engine.load(path)
        yaml_tree._Parser = Slow
        try:
            assert felt_engine.load(path) == fast
        finally:
            yaml_tree._Parser = kept


@settings(max_examples=120, deadline=None, derandomize=True)
@given(
    document=DOCUMENTS, end=ENDS, letters=st.booleans(), indent=st.sampled_from([None, 0, 1, "\t"]),
    gap=st.sampled_from(["", " ", "\n", "\t\n "]),
)  # fmt: skip
def test_every_node_of_a_json_text_is_where_it_says(
    document: Any, end: str, letters: bool, indent: Any, gap: str
) -> None:
    text = gap + json.dumps(document, ensure_ascii=letters, indent=indent) + gap
    check_tree(text.replace("\n", end), "json", document)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(document=recipes(), seed=st.integers(0, 10**6), end=ENDS)
def test_every_part_of_a_recipe_has_its_place(document: Any, seed: int, end: str) -> None:
    text = (emit(document, random.Random(seed)) + "\n").replace("\n", end)
    recipe = read(text)
    assert recipe.source is not None
    tree = tree_of(recipe.source)
    parts: list[Any] = [recipe, recipe.piece, *recipe.lots, *recipe.blends, *recipe.zones]
    for layer in recipe.layers:
        parts += [layer, *layer.placements]
    for part in [*parts, *recipe.work, *recipe.waivers]:
        pointer = pointer_of(recipe, part)
        assert pointer is not None
        node = tree
        for step in steps(pointer):
            below = find(node, join(step))
            assert below is not node
            node = below
        assert place_of(recipe.source, pointer) == line_column(text, node.start)


@pytest.mark.parametrize(
    ("text", "offset", "place"),
    [
        ("", 0, (1, 1)), ("a", 1, (1, 2)), ("a\nb", 1, (1, 2)), ("a\nb", 2, (2, 1)), ("a\rb", 2, (2, 1)),
        ("a\r\nb", 1, (1, 2)), ("a\r\nb", 2, (1, 2)), ("a\r\nb", 3, (2, 1)), ("a\n\r\nb", 4, (3, 1)),
        ("\r\r\n\n", 4, (4, 1)), ("🧶é\n漢", 2, (1, 3)), ("🧶é\n漢", 4, (2, 2)),
    ],
)  # fmt: skip
def test_lines_and_columns_count_characters_from_one(
    text: str, offset: int, place: tuple[int, int]
) -> None:
    assert line_column(text, offset) == place


def test_a_pointer_that_leads_nowhere_gives_the_deepest_place_on_its_way() -> None:
    source = Source("t", PANEL)
    assert place_of(source, "/layers/0/amount") == (10, 13)
    assert place_of(source, "/layers/0/zone") == place_of(source, "/layers/0") == (8, 5)
    for step in ("7", "-1", "²", "٣", "x", ""):
        assert place_of(source, f"/layers/{step}/of") == (8, 3)
    assert place_of(source, "") == (1, 1)
    assert place_of(source, "/nothing/at/all") == (1, 1)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(names=st.lists(st.text(max_size=5), max_size=4))
def test_pointers_and_steps_are_each_others_way_back(names: list[str]) -> None:
    """Escapes after RFC 6901, section 3."""
    assert steps(join(*names)) == tuple(names)


@pytest.mark.parametrize("door", ["yaml", "json"])
def test_problems_are_placed_behind_emoji_and_odd_line_ends(door: str) -> None:
    document = yaml.safe_load(PANEL)
    document["piece"]["title"] = "🧶🧶 Ünter"
    document["layers"][0]["amount"] = "20 ml"
    if door == "json":
        text = json.dumps(document, ensure_ascii=False, indent=1)
    else:
        text = yaml.safe_dump(document, allow_unicode=True, sort_keys=False)
    for end in ("\n", "\r\n", "\r"):
        changed = text.replace("\n", end)
        (problem,) = problems(changed, door)
        rows = changed.split(end)
        assert problem.line and problem.column
        assert rows[problem.line - 1][problem.column - 1 :].strip("\"',") == "20 ml"
