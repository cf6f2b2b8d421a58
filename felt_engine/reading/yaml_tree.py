"""YAML text to a tree, from libyaml's events: every scalar keeps its text, nothing is resolved.

Anchors, aliases, tags, merge keys and second documents are refused: they let a file say something
else than it shows.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

from felt_engine.errors import Problem
from felt_engine.reading import bounds
from felt_engine.reading.source import find_hidden
from felt_engine.reading.tree import Node, Unreadable

_Parser: Any = getattr(yaml.cyaml, "CParser", None) if yaml.__with_libyaml__ else yaml.Loader
_COLON = re.compile(r"\s*:")
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
        from felt_engine.reading.broken import syntax

        raise Unreadable(syntax(text, error)) from None


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
                "move what follows the line --- into a file of its own, or take the line out",
            )
        return root

    def refuse(self, event: Any, found: str, expected: str, mend: str) -> Unreadable:
        mark = event.start_mark
        return Unreadable(
            Problem(found, expected, mend, "", mark.line + 1, mark.column + 1, "text")
        )

    def apart(self, begun: Any, ended: Any) -> None:
        """Refuse a ``#`` right behind what is closed here: YAML has a blank before a comment."""
        sign = self.text[ended.index - 1 : ended.index + 1]
        if sign not in ('"#', "'#", "]#", "}#"):
            return
        mend = "put a blank before the #, if a comment begins there"
        if begun.line != ended.line and sign[0] not in "]}":
            mend = f"close the quotes that open in line {begun.line + 1}"
        what = "bracket" if sign[0] in "]}" else "quote"
        raise Unreadable(
            Problem(f"a # right behind a closing {what}", "a blank before a comment", mend,
                    "", ended.line + 1, ended.column + 1, "text")
        )  # fmt: skip

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
        if event.tag is not None:
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
            quoted = bool(event.style)
            if quoted and "\\" in self.text[start.index : end] and find_hidden(event.value):
                raise self.refuse(
                    event, "a hidden character, written as an escape",
                    "text that shows on paper", "delete it",
                )  # fmt: skip
            if event.style in ("'", '"'):
                self.apart(event.start_mark, event.end_mark)
            return Node("text", event.value, start.index, end, start.line + 1, start.column + 1,
                        quoted)  # fmt: skip
        if depth >= bounds.DEPTH:
            from felt_engine.reading.broken import deep

            raise Unreadable(deep(start.line + 1, start.column + 1))
        if kind is yaml.SequenceStartEvent:
            return self.sequence(event, depth)
        return self.mapping(event, depth)

    def asked(self, key: Node) -> bool:
        """Whether a question mark stands before this key, and no colon behind it."""
        before = key.start - 1
        while before > 0 and self.text[before] in " \t":
            before -= 1
        asked = 0 <= before < key.start - 1 and self.text[before] == "?"
        return asked and _COLON.match(self.text, key.end) is None

    def sequence(self, opening: Any, depth: int) -> Node:
        items: list[Node] = []
        event: Any = self.next()
        while type(event) is not yaml.SequenceEndEvent:
            items.append(self.node(event, depth + 1))
            event = self.next()
        closing: Any = event
        mark = opening.start_mark
        if opening.flow_style:
            self.apart(mark, closing.end_mark)
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
            value = self.node(self.next(), depth + 1)
            if value.start == value.end and self.asked(key):
                raise self.refuse(
                    event, "a question mark before a key that has no colon", "a key, then a colon",
                    "write a colon behind it, and leave the question mark out",
                )  # fmt: skip
            pairs.append((key, value))
            event = self.next()
        closing: Any = event
        mark = opening.start_mark
        if opening.flow_style:
            self.apart(mark, closing.end_mark)
        end = closing.end_mark.index
        return Node("map", pairs, mark.index, end, mark.line + 1, mark.column + 1)


def is_nothing(node: Node) -> bool:
    """True for a plain empty value, ``~`` or ``null``."""
    return node.kind == "text" and not node.quoted and node.value in NOTHING
