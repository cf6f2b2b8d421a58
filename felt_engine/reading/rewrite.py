"""Change single values in a recipe's text and leave all else as it is: comments, order, quotes.

Offsets come from the tree; nothing is written out anew from values, so nothing can be lost.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence

import attrs

from felt_engine.model.place import steps
from felt_engine.model.recipe import Source
from felt_engine.reading.read import find, tree_of
from felt_engine.reading.scalar import in_yaml
from felt_engine.reading.tree import Node


@attrs.frozen
class Added:
    """A key to add to a map, right after the value at ``after`` (a JSON Pointer)."""

    after: str
    key: str
    text: str


def rewrite(source: Source, values: Mapping[str, str], added: Sequence[Added] = ()) -> str:
    """The source's text with these values, by JSON Pointer, and with these keys added.

    A value that is a whole number stays a number in JSON. KeyError for a pointer that names no
    text or number of the document.
    """
    tree = tree_of(source)
    patches = []
    for pointer, value in values.items():
        node = _exact(tree, pointer)
        patches.append((node.start, node.end, _spelt(source, node, value)))
    for one in added:
        patches.append(_insertion(source, tree, one))
    text = source.text
    for start, end, new in sorted(patches, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def astray(source: Source, values: Mapping[str, str], added: Sequence[Added] = ()) -> str:
    """The first pointer at which a rewritten text doesn't have what was to be there; else empty."""
    tree = tree_of(source)
    wanted = {**values, **{f"{one.after.rpartition('/')[0]}/{one.key}": one.text for one in added}}
    for pointer, value in wanted.items():
        try:
            if _exact(tree, pointer).text != value:
                return pointer
        except KeyError:
            return pointer
    return ""


def _exact(tree: Node, pointer: str) -> Node:
    node = find(tree, pointer)
    parent = find(tree, pointer.rpartition("/")[0])
    if node is parent or node.kind not in ("text", "number"):
        raise KeyError(pointer)
    return node


def _spelt(source: Source, node: Node, value: str) -> str:
    if source.door == "json":
        whole = node.kind == "number" and re.fullmatch(r"[0-9]+", value)
        return value if whole else json.dumps(value, ensure_ascii=False)
    opening = source.text[node.start]
    if node.quoted and opening in "|>":
        ends = re.search(r"\s*\Z", source.text[node.start : node.end])
        return json.dumps(value, ensure_ascii=False) + (ends[0] if ends else "")
    if node.quoted:
        if opening == "'":
            return "'" + value.replace("'", "''") + "'"
        return json.dumps(value, ensure_ascii=False)
    return in_yaml(value)


def _insertion(source: Source, tree: Node, one: Added) -> tuple[int, int, str]:
    parent = find(tree, one.after.rpartition("/")[0])
    name = steps(one.after)[-1]
    key, value = next((k, v) for k, v in parent.pairs if k.text == name)
    text = source.text
    if source.door == "json":
        whole = re.fullmatch(r"[0-9]+", one.text)
        spelt = one.text if whole else json.dumps(one.text, ensure_ascii=False)
        new = f", {json.dumps(one.key)}: {spelt}"
        return value.end, value.end, new
    spelt = in_yaml(one.text)
    if text[parent.start] == "{":
        return value.end, value.end, f", {one.key}: {spelt}"
    if value.quoted and text[value.start] in "|>":
        # its end is where the next line begins, or that of the text
        broken = re.search(r"\r\n|\r|\n", text[value.start :])
        newline = broken[0] if broken else "\n"
        closed = text[: value.end].endswith(("\n", "\r"))
        line = f"{' ' * (key.column - 1)}{one.key}: {spelt}"
        return value.end, value.end, f"{line}{newline}" if closed else f"{newline}{line}"
    line_end = re.compile(r"\r\n|\r|\n|\Z").search(text, value.end)
    assert line_end is not None
    at = line_end.start()
    ending = line_end[0] or "\n"
    return at, at, f"{ending}{' ' * (key.column - 1)}{one.key}: {spelt}"


__all__ = ["Added", "astray", "rewrite"]
