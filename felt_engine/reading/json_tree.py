"""JSON text (RFC 8259) to the same tree as YAML's: numbers keep their text, places are kept."""

from __future__ import annotations

import re

from felt_engine.errors import Problem
from felt_engine.reading import bounds
from felt_engine.reading.tree import Node, Unreadable

_TOKEN = re.compile(
    r'[ \t\n\r]*(?:([{}\[\]:,])|("(?:[^"\\\x00-\x1f]|\\.)*")'
    r"|(-?(?:0|[1-9][0-9]*)(?:[.][0-9]+)?(?:[eE][+-]?[0-9]+)?)(?![0-9A-Za-z_.+-])"
    r"|(true|false|null)(?![0-9A-Za-z_]))"
)

_TO_CONTROL = re.compile(r'"(?:[^"\\\x00-\x1f]|\\.)*(?=[\x00-\x1f])')
"""Quotes up to a character that has no place between them."""


def read_json(text: str) -> Node:
    """The tree of one JSON document. Raises Unreadable with one located problem."""
    reader = _Reader(text)
    root = reader.value(0)
    reader.finish()
    return root


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.count = 0
        self.line_starts = [0, *(m.end() for m in re.finditer(r"\r\n|\r|\n", text))]

    def where(self, offset: int) -> tuple[int, int]:
        from bisect import bisect_right

        line = bisect_right(self.line_starts, offset)
        return line, offset - self.line_starts[line - 1] + 1

    def refuse(self, offset: int, found: str, expected: str, mend: str) -> Unreadable:
        line, column = self.where(min(offset, len(self.text)))
        return Unreadable(Problem(found, expected, mend, "", line, column, "text"))

    def token(self, expected: str) -> tuple[str, int, str]:
        match = _TOKEN.match(self.text, self.at)
        if match is None:
            raise self.unknown(expected)
        self.at = match.end()
        group = match.lastindex or 1
        return match[group], match.start(group), ("", "mark", "text", "number", "other")[group]

    def unknown(self, expected: str) -> Unreadable:
        blank = re.compile(r"[ \t\n\r]*").match(self.text, self.at)
        offset = blank.end() if blank else self.at
        rest = self.text[offset : offset + 20]
        if not rest:
            found, mend = "the end of the file", "check that nothing was cut off"
        elif re.match(r"-?(NaN|Infinity)", rest):
            found, mend = rest.split(",")[0].split("}")[0], "write a number"
        elif rest[0] in "/#":
            found, mend = "a comment, which JSON has not", 'put it into a "note"'
        elif rest[0] == '"':
            found, mend = "quotes that are not closed on their line", "close the quotes"
            stop = _TO_CONTROL.match(self.text, offset)
            if stop and self.text[stop.end()] not in "\r\n":
                offset = stop.end()
                what = "a tab" if self.text[offset] == "\t" else "a control character"
                found, mend = f"{what} inside quotes", "write a blank in its place"
        else:
            if rest.startswith("<<<<<<<"):
                from felt_engine.reading.broken import two_versions

                versions = two_versions(self.text)
                if versions is not None:
                    return Unreadable(versions)
            found, mend = repr(rest.split("\n")[0]), "check the quotes and commas around it"
        return self.refuse(offset, found, expected, mend)

    def finish(self) -> None:
        if self.text[self.at :].strip(" \t\n\r"):
            offset = self.at + len(self.text[self.at :]) - len(self.text[self.at :].lstrip())
            raise self.refuse(offset, "more after the end", "one recipe a file", "delete the rest")

    def value(self, depth: int) -> Node:
        text, start, kind = self.token("a JSON value")
        self.count += 1
        too_deep = kind == "mark" and depth >= bounds.DEPTH
        if self.count > bounds.NODES or too_deep:
            raise self.refuse(
                start,
                "more values or levels than any recipe has",
                f"at most {bounds.NODES} values and {bounds.DEPTH} levels",
                "check that this is the right file",
            )
        line, column = self.where(start)
        if kind == "mark":
            if text == "{":
                return self.object(start, line, column, depth)
            if text == "[":
                return self.array(start, line, column, depth)
            raise self.refuse(start, repr(text), "a JSON value", "check the comma before it")
        value = self.string(text, start) if kind == "text" else text
        return Node(kind, value, start, self.at, line, column, kind == "text")

    def string(self, token: str, start: int) -> str:
        import json

        from felt_engine.reading.source import find_hidden

        try:
            value = json.loads(token)
        except ValueError:
            raise self.refuse(
                start, "a wrong escape in a text", "JSON text", "check each backslash"
            ) from None
        assert isinstance(value, str)
        if find_hidden(value):
            raise self.refuse(
                start,
                "a hidden character, written as an escape",
                "text that shows on paper",
                "delete it",
            )
        return value

    def object(self, start: int, line: int, column: int, depth: int) -> Node:
        pairs: list[tuple[Node, Node]] = []
        text, at, kind = self.token('a name in quotes, or "}"')
        while text != "}" or kind != "mark":
            if kind != "text":
                raise self.refuse(
                    at, repr(text), "a name in quotes", "put the name in double quotes"
                )
            name_line, name_column = self.where(at)
            self.count += 1
            key = Node("text", self.string(text, at), at, self.at, name_line, name_column, True)
            self.mark(":")
            pairs.append((key, self.value(depth + 1)))
            if self.mark(",", "}") == "}":
                break
            text, at, kind = self.token("a name in quotes")
            if text == "}" and kind == "mark":
                raise self.refuse(at, repr(text), "a name in quotes", "check the comma before it")
        return Node("map", pairs, start, self.at, line, column)

    def array(self, start: int, line: int, column: int, depth: int) -> Node:
        items: list[Node] = []
        probe = re.compile(r"[ \t\n\r]*\]").match(self.text, self.at)
        if probe:
            self.at = probe.end()
            return Node("list", items, start, self.at, line, column)
        while True:
            items.append(self.value(depth + 1))
            if self.mark(",", "]") == "]":
                return Node("list", items, start, self.at, line, column)

    def mark(self, *wanted: str) -> str:
        expected = " or ".join(f'"{w}"' for w in wanted)
        text, start, kind = self.token(expected)
        if kind != "mark" or text not in wanted:
            raise self.refuse(start, repr(text[:20]), expected, "check the commas and colons")
        return text
