"""The tree that both doors give: texts, maps and lists, each with its place in the file."""

from __future__ import annotations

from felt_engine.errors import Problem


class Node:
    """One value of the file.

    ``kind`` is ``text``, ``map``, ``list``; from JSON also ``number`` (its text kept as written)
    and ``other`` (true, false, null). ``value`` is the text, the list of nodes, or the list of
    pairs of key node and value node. ``start`` and ``end`` are offsets into the text, ``line`` and
    ``column`` count from 1, in characters. ``quoted`` is true for a text in quotes.
    """

    __slots__ = ("column", "end", "kind", "line", "quoted", "start", "value")

    def __init__(
        self, kind: str, value: Value, start: int, end: int, line: int, column: int,
        quoted: bool = False,
    ) -> None:  # fmt: skip
        self.kind = kind
        self.value = value
        self.start = start
        self.end = end
        self.line = line
        self.column = column
        self.quoted = quoted

    @property
    def text(self) -> str:
        """The text of a text or number node."""
        assert isinstance(self.value, str)
        return self.value

    @property
    def pairs(self) -> list[tuple[Node, Node]]:
        """Key and value nodes of a map, in file order."""
        return self.value  # type: ignore[return-value]

    @property
    def items(self) -> list[Node]:
        """The nodes of a list."""
        return self.value  # type: ignore[return-value]

    def problem(
        self, found: str, expected: str, mend: str, pointer: str = "", kind: str = "text"
    ) -> Problem:
        """A problem at this node's place."""
        return Problem(found, expected, mend, pointer, self.line, self.column, kind)


Value = str | list[Node] | list[tuple[Node, Node]]


class Unreadable(Exception):
    """The text is no tree at all; carries the problems."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(*problems)
        self.problems = problems


def line_column(text: str, offset: int) -> tuple[int, int]:
    """Line and column, from 1, of an offset; CRLF, CR and LF each end one line."""
    before = text[:offset].replace("\r\n", "\n").replace("\r", "\n")
    if offset and text[offset - 1 : offset + 1] == "\r\n":
        before = before[:-1]
    line = before.count("\n")
    return line + 1, len(before) - (before.rfind("\n") + 1) + 1
