"""YAML text to a tree, from libyaml's events: every scalar keeps its text, nothing is resolved.

Anchors, aliases, tags, merge keys and second documents are refused: they let a file say something
else than it shows.
"""

from __future__ import annotations

from typing import Any

import yaml

from felt_engine.errors import Problem
from felt_engine.reading import bounds
from felt_engine.reading.tree import Node, Unreadable

_Parser: Any = getattr(yaml.cyaml, "CParser", None) if yaml.__with_libyaml__ else yaml.Loader
NOTHING = frozenset(("", "~", "null", "Null", "NULL"))
"""Plain texts that YAML 1.2 takes for nothing."""


def read_yaml(text: str) -> Node:
    """The tree of one YAML document. Raises Unreadable with one located problem."""
    try:
        parser = _Parser(text)
        try:
            return _Builder(text, parser).document()
        finally:
            parser.dispose()
    except yaml.YAMLError as error:
        raise Unreadable(_syntax(text, error)) from None
    except RecursionError:
        raise Unreadable(_deep(1, 1)) from None


def _deep(line: int, column: int) -> Problem:
    return Problem(
        "more levels than any recipe has",
        f"at most {bounds.DEPTH} levels",
        "check the brackets and the indentation",
        "",
        line,
        column,
        "text",
    )


class _Builder:
    def __init__(self, text: str, parser: Any) -> None:
        self.text = text
        self.next = parser.get_event
        self.count = 0

    def document(self) -> Node:
        event = self.next()
        while type(event) is not yaml.DocumentStartEvent:
            if type(event) is yaml.StreamEndEvent:
                raise Unreadable(
                    Problem(
                        "nothing but blank lines and comments" if self.text else "an empty file",
                        "a recipe with piece, lots and layers",
                        "see the README for one to start from",
                        "",
                        1,
                        1,
                        "text",
                    )
                )
            event = self.next()
        root = self.node(self.next(), 0)
        self.next()
        end = self.next()
        if type(end) is not yaml.StreamEndEvent:
            raise self.refuse(
                end,
                "a second document in this file",
                "one recipe a file",
                "move what follows the line --- into a file of its own",
            )
        return root

    def refuse(self, event: Any, found: str, expected: str, mend: str) -> Unreadable:
        mark = event.start_mark
        return Unreadable(
            Problem(found, expected, mend, "", mark.line + 1, mark.column + 1, "text")
        )

    def node(self, event: Any, depth: int) -> Node:
        self.count += 1
        kind = type(event)
        start = event.start_mark
        if kind is yaml.AliasEvent:
            raise self.refuse(
                event, "an alias (*)", "the text itself", "write it out, or put it in quotes"
            )
        if event.anchor is not None:
            raise self.refuse(
                event, "an anchor (&)", "the text itself", "leave it out, or put it in quotes"
            )
        if event.tag is not None and event.tag != "!":
            raise self.refuse(
                event, "a tag (!)", "the text itself", "leave it out, or put it in quotes"
            )
        if self.count > bounds.NODES:
            raise self.refuse(
                event,
                f"more than {bounds.NODES} values",
                "a recipe, which has a few hundred",
                "check that this is the right file",
            )
        if kind is yaml.ScalarEvent:
            end = event.end_mark.index
            quoted = not event.implicit[0]
            return Node("text", event.value, start.index, end, start.line + 1, start.column + 1,
                        quoted)  # fmt: skip
        if depth >= bounds.DEPTH:
            raise Unreadable(_deep(start.line + 1, start.column + 1))
        if kind is yaml.SequenceStartEvent:
            return self.sequence(event, depth)
        return self.mapping(event, depth)

    def sequence(self, opening: Any, depth: int) -> Node:
        items: list[Node] = []
        event: Any = self.next()
        while type(event) is not yaml.SequenceEndEvent:
            items.append(self.node(event, depth + 1))
            event = self.next()
        closing: Any = event
        mark = opening.start_mark
        end = closing.end_mark.index
        return Node("list", items, mark.index, end, mark.line + 1, mark.column + 1)

    def mapping(self, opening: Any, depth: int) -> Node:
        pairs: list[tuple[Node, Node]] = []
        event: Any = self.next()
        while type(event) is not yaml.MappingEndEvent:
            if type(event) is not yaml.ScalarEvent:
                raise self.refuse(
                    event, "a key that is no plain word", "a word, then a colon", "name the thing"
                )
            key = self.node(event, depth + 1)
            pairs.append((key, self.node(self.next(), depth + 1)))
            event = self.next()
        closing: Any = event
        mark = opening.start_mark
        end = closing.end_mark.index
        return Node("map", pairs, mark.index, end, mark.line + 1, mark.column + 1)


def is_nothing(node: Node) -> bool:
    """True for a plain empty value, ``~`` or ``null``."""
    return node.kind == "text" and not node.quoted and node.value in NOTHING


def lost_comment(text: str, node: Node) -> str | None:
    """What stands behind ``#`` on the line of an empty value: YAML took it for a comment."""
    end = text.find("\n", node.start)
    rest = text[node.start : end if end >= 0 else len(text)].strip().lstrip(":").strip()
    return rest if rest.startswith("#") else None


def _syntax(text: str, error: yaml.YAMLError) -> Problem:
    mark = getattr(error, "problem_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    said = str(getattr(error, "problem", "") or getattr(error, "reason", "") or "broken YAML")
    row = _row(text, line)
    if "\t" in row[: len(row) - len(row.lstrip())] or "\\t" in said:
        found, mend = "a tab", "indent with spaces"
    elif "duplicate anchor" in said or "anchor" in said or "alias" in said:
        found, mend = "an anchor or alias", "put the text in quotes if it starts with & or *"
    elif "mapping values are not allowed" in said:
        found, mend = "a second colon in one line", "put the text after the first colon in quotes"
    elif "block end" in said or "could not find expected ':'" in said:
        found = "a line that fits neither the one above nor a list"
        mend = "check its indentation, its colon, and the line above"
    elif "unexpected end of stream" in said or "while scanning a quoted" in str(error):
        found, mend = "quotes that are not closed", "close the quotes"
    elif "cannot start any token" in said:
        found, mend = "a character that no plain text starts with", "put the text in quotes"
    else:
        found, mend = said, "check the line and the one above"
    return Problem(found, "YAML that can be read", mend, "", line, column, "text")


def _row(text: str, line: int) -> str:
    rows = text.split("\n")
    return rows[line - 1] if line <= len(rows) else ""
