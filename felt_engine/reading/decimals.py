"""``12.500 g`` in a file with decimal commas: twelve and a half, or twelve and a half thousand?"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

import attrs

from felt_engine.errors import Problem
from felt_engine.model.place import join
from felt_engine.reading.groups import ListOf, MapOf, Record
from felt_engine.reading.misread import reads
from felt_engine.reading.names import Slip
from felt_engine.reading.shape import Kind, Quantity
from felt_engine.reading.tree import Node

_COMMA = r"(?<![\d.,])\d+,\d+(?![\d.,])"
_SURE = r"(?<![\d.,])\d+,\d{1,2}(?![\d.,])"
_POINT = r"(?<![\d.,])[1-9]\d{0,2}\.\d{3}(?![\d.,])"


def mixed(text: str) -> bool:
    """Whether a closer look is needed at all."""
    return bool(re.search(_POINT, text) and re.search(_COMMA, text))


def doubtful(tree: Node, record: Kind | None = None) -> Iterator[Slip]:
    """Figures with three digits behind a point, beside others with a decimal comma.

    ``record`` is what the file is read as; a recipe, if that is left out.
    """
    for kind, node, pointer in _figures(tree, record) if in_commas(tree, record) else ():
        if re.search(_POINT, node.text):
            whole = both_ways(node.text)
            read = [one for one in whole if _reads(kind, one)] or whole
            yield (
                pointer, f'"{node.text[:60]}", in a file with decimal commas',
                "one decimal sign in all figures",
                f"write {' or '.join(map(_quoted, read))}{', whichever you mean' if read[1:] else ''}",
            )  # fmt: skip


def both_ways(text: str) -> list[str]:
    """A text with its doubtful points as those of thousands, and as decimal points, in commas."""
    return [
        re.sub(_POINT, lambda m: m[0].replace(".", ""), text),
        re.sub(_POINT, lambda m: with_commas(m[0].rstrip("0").rstrip(".")), text),
    ]


def beside_commas(
    problems: Iterable[Problem], tree: Node, record: Kind | None = None
) -> list[Problem]:
    """The problems of a file; where it has decimal commas, so that what they offer is not doubted there."""
    told = list(problems)
    if not any(re.search(_POINT, one.mend) for one in told):
        return told
    if not any(re.search(_SURE, node.text) for _, node, _ in _figures(tree, record)):
        return told
    return [attrs.evolve(one, mend=re.sub(_POINT, r"\g<0>0", one.mend)) for one in told]


def _reads(kind: Kind, text: str) -> bool:
    return reads(kind.kinds, text) if isinstance(kind, Quantity) else bool(_form(kind).takes(text))


def _form(kind: Kind) -> Any:
    """The kind itself, if its texts have a form, as a size's and a limit's do; nothing else."""
    return kind if hasattr(kind, "takes") else None


def _quoted(text: str) -> str:
    """As it can be written inside braces too, where a comma ends a value."""
    return f'"{text}"' if "," in text else text


def in_commas(tree: Node, record: Kind | None = None) -> bool:
    """Whether any figure has a decimal comma."""
    return any(re.search(_COMMA, node.text) for _, node, _ in _figures(tree, record))


def _figures(tree: Node, record: Kind | None) -> Iterator[tuple[Kind, Node, str]]:
    """What stands where such a file has figures."""
    if record is None:
        from felt_engine.reading.recipe_shape import RECIPE

        record = RECIPE
    return _below(record, tree, "")


def _below(kind: Kind, node: Node, pointer: str) -> Iterator[tuple[Kind, Node, str]]:
    """The texts in a value of this kind that are quantities, or are made of them."""
    if isinstance(kind, Quantity) or _form(kind):
        if node.kind == "text" and getattr(kind, "name", "") != "release":
            yield kind, node, pointer
    elif isinstance(kind, ListOf) and node.kind == "list":
        for number, item in enumerate(node.items):
            yield from _below(kind.item, item, pointer + join(number))
    elif isinstance(kind, (Record, MapOf)) and node.kind == "map":
        for key, value in node.pairs:
            if isinstance(kind, MapOf):
                yield from _below(kind.item, value, pointer + join(key.text))
            elif key.text in kind.fields:
                field: Any = kind.fields[key.text].kind
                field = field.item if hasattr(field, "limit") else field  # as a limit is read
                yield from _below(field, value, pointer + join(key.text))


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


__all__ = [
    "beside_commas",
    "both_ways",
    "doubtful",
    "in_commas",
    "mixed",
    "with_commas",
    "with_points",
]
