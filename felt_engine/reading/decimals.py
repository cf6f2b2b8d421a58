"""``12.500 g`` in a file with decimal commas: twelve and a half, or twelve and a half thousand?"""

from __future__ import annotations

import re
from collections.abc import Iterator

from felt_engine.model.place import join
from felt_engine.reading.names import Slip
from felt_engine.reading.tree import Node

_KEYS = {
    "amount", "laid out", "finished", "size", "width", "from", "to", "past", "short", "price",
    "tuft", "scale step",
}  # fmt: skip
_COMMA = r"(?<![\d.,])\d+,\d+(?![\d.,])"
_POINT = r"(?<![\d.,])[1-9]\d{0,2}\.\d{3}(?![\d.,])"


def mixed(text: str) -> bool:
    """Whether a closer look is needed at all."""
    return bool(re.search(_POINT, text) and re.search(_COMMA, text))


def doubtful(tree: Node) -> Iterator[Slip]:
    """Figures with three digits behind a point, beside others with a decimal comma."""
    for node, pointer in _figures(tree, "", False) if in_commas(tree) else ():
        match = re.search(_POINT, node.text)
        if match:
            whole, part = match[0].split(".")
            figure = with_commas(match[0].rstrip("0").rstrip("."))
            yield (
                pointer, f'"{node.text[:60]}", in a file with decimal commas',
                "one decimal sign in all figures",
                f"write {whole}{part} or {figure}, whichever you mean",
            )  # fmt: skip


def in_commas(tree: Node) -> bool:
    """Whether any figure has a decimal comma."""
    return any(re.search(_COMMA, node.text) for node, _ in _figures(tree, "", False))


def _figures(node: Node, pointer: str, figure: bool) -> Iterator[tuple[Node, str]]:
    if node.kind == "map":
        for key, value in node.pairs:
            if key.kind == "text":
                yield from _figures(value, pointer + join(key.text), key.text in _KEYS)
    elif node.kind == "list":
        for number, item in enumerate(node.items):
            yield from _figures(item, pointer + join(number), figure)
    elif figure and node.kind == "text":
        yield node, pointer


def with_commas(text: str) -> str:
    """The same figures with decimal commas, where no more than two digits follow.

    Else they keep their point, with a nought more behind three digits, which could be thousands.
    """
    return re.sub(r"(?<=\d)\.(\d+)", _comma, text)


def _comma(match: re.Match[str]) -> str:
    digits = match[1]
    return f",{digits}" if len(digits) < 3 else f".{digits}{'0' if len(digits) == 3 else ''}"


__all__ = ["doubtful", "in_commas", "mixed", "with_commas"]
