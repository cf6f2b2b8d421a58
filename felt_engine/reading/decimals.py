"""``12.500 g`` in a file with decimal commas: twelve and a half, or twelve and a half thousand?"""

from __future__ import annotations

import re
from collections.abc import Iterator

from felt_engine.model.place import join
from felt_engine.reading.groups import ListOf, MapOf, Record
from felt_engine.reading.misread import reads
from felt_engine.reading.names import Slip
from felt_engine.reading.shape import Form, Kind, Quantity
from felt_engine.reading.tree import Node

_COMMA = r"(?<![\d.,])\d+,\d+(?![\d.,])"
_POINT = r"(?<![\d.,])[1-9]\d{0,2}\.\d{3}(?![\d.,])"


def mixed(text: str) -> bool:
    """Whether a closer look is needed at all."""
    return bool(re.search(_POINT, text) and re.search(_COMMA, text))


def doubtful(tree: Node) -> Iterator[Slip]:
    """Figures with three digits behind a point, beside others with a decimal comma."""
    for kind, node, pointer in _figures(tree) if in_commas(tree) else ():
        match = re.search(_POINT, node.text)
        if match:
            figures = (match[0].replace(".", ""), with_commas(match[0].rstrip("0").rstrip(".")))
            whole = [node.text.replace(match[0], figure, 1) for figure in figures]
            read = [one for one in whole if _reads(kind, one)] or whole
            yield (
                pointer, f'"{node.text[:60]}", in a file with decimal commas',
                "one decimal sign in all figures",
                f"write {' or '.join(map(_quoted, read))}{', whichever you mean' if read[1:] else ''}",
            )  # fmt: skip


def _reads(kind: Kind, text: str) -> bool:
    if isinstance(kind, Form):
        return kind.takes(text)
    return isinstance(kind, Quantity) and reads(kind.kinds, text)


def _quoted(text: str) -> str:
    """As it can be written inside braces too, where a comma ends a value."""
    return f'"{text}"' if "," in text else text


def in_commas(tree: Node) -> bool:
    """Whether any figure has a decimal comma."""
    return any(re.search(_COMMA, node.text) for _, node, _ in _figures(tree))


def _figures(tree: Node) -> Iterator[tuple[Kind, Node, str]]:
    """What stands where a recipe has figures."""
    from felt_engine.reading.recipe_shape import RECIPE

    return _below(RECIPE, tree, "")


def _below(kind: Kind, node: Node, pointer: str) -> Iterator[tuple[Kind, Node, str]]:
    """The texts in a value of this kind that are quantities, or are made of them."""
    if isinstance(kind, (Quantity, Form)):
        if node.kind == "text":
            yield kind, node, pointer
    elif isinstance(kind, ListOf) and node.kind == "list":
        for number, item in enumerate(node.items):
            yield from _below(kind.item, item, pointer + join(number))
    elif isinstance(kind, (Record, MapOf)) and node.kind == "map":
        for key, value in node.pairs:
            if isinstance(kind, MapOf):
                yield from _below(kind.item, value, pointer + join(key.text))
            elif key.text in kind.fields:
                yield from _below(kind.fields[key.text].kind, value, pointer + join(key.text))


def with_commas(text: str) -> str:
    """The same figures with decimal commas, where no more than two digits follow.

    Else they keep their point, with a nought more behind three digits, which could be thousands.
    """
    return re.sub(r"(?<=\d)\.(\d+)", _comma, text)


def _comma(match: re.Match[str]) -> str:
    digits = match[1]
    return f",{digits}" if len(digits) < 3 else f".{digits}{'0' if len(digits) == 3 else ''}"


def with_points(text: str) -> str:
    """The same figures with decimal points: a size is asked for with a comma, of a file that has none."""
    return re.sub(r"(?<=[0-9]),(?=[0-9])", ".", text)


__all__ = ["doubtful", "in_commas", "mixed", "with_commas", "with_points"]
