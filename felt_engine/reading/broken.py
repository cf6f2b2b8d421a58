"""What is wrong with YAML that can't be read, in words that help. Imported only when needed."""

from __future__ import annotations

import re
from collections.abc import Collection
from itertools import takewhile
from typing import Any

from felt_engine.errors import Problem
from felt_engine.reading import bounds
from felt_engine.reading.tree import Node, line_column

_READABLE = "YAML that can be read"
LONGEST_KEY = 1000
"""Letters of a key that YAML surely reads; past 1024 characters (YAML 1.2.2, 7.4) a line is no key."""
_SAID = (
    ("scanning an alias", "an alias (*)", "put the text in quotes if it starts with *"),
    ("scanning an anchor", "an anchor (&)", "put the text in quotes if it starts with &"),
    ("a tag", "a tag (!)", "put the text in quotes if it starts with !"),
    ("tag handle", "a tag (!)", "put the text in quotes if it starts with !"),
    ("escape character", "a backslash in double quotes", "use single quotes, or write it twice"),
    ("character escape code", "an escape that is no character by itself", "write the character itself"),
    ("hexdecimal number", "an escape with too few figures behind its backslash",
     "write the character itself, or the backslash twice"),
    ("block scalar", "a text that starts with | or >", "put the text in quotes"),
    ("cannot start any token", "a character that no plain text starts with",
     "put the text in quotes"),
    ("expected ',' or", "brackets that are not closed, or a comma that is missing",
     "check the commas, and the bracket that opens here"),
    ("node content", "a comma or bracket with nothing before it", "check the commas and brackets"),
    ("block sequence entries", "a dash behind a colon", "start the list on a line of its own"),
    ("mapping keys are not", "a question mark on its own", "put the text in quotes"),
    ("'-' indicator", "a line that fits no list", "start it with a dash, or indent it like a key"),
    ("unexpected ':'", "a colon with no blank behind it",
     "write a blank behind the colon, or the whole text in quotes"),
    ("expected ':'", "a line without a colon that ends a key", "write a colon and a blank behind the name"),
    ("directive", "a line that starts with %", "put the text in quotes, or leave the line out"),
    ("incompatible", "another version of YAML", "leave the line that starts with % out"),
    ("document start", "more text after the end", "check the brackets and quotes before it"),
)  # fmt: skip

_SIGNS = {
    "?": ("a question mark where a text begins", "put the text in quotes"),
    ":": ("a colon with no name before it", "write a name before it, or put the text in quotes"),
    "-": ("a dash inside brackets", "write a list as [one, two], or put the text in quotes"),
}
"""What stands inside brackets where something else should begin, by its sign."""


def deep(line: int, column: int) -> Problem:
    """Too many levels."""
    return Problem(
        "more levels than any recipe has", f"at most {bounds.DEPTH} levels",
        "check the brackets and the indentation", "", line, column, "text",
    )  # fmt: skip


def syntax(text: str, error: Any) -> Problem:
    """The problem behind libyaml's error, at the place where a person would mend it."""
    mark = getattr(error, "problem_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    said = f"{getattr(error, 'context', '') or ''}: {getattr(error, 'problem', '') or 'broken'}"
    if "nesting depth" in said:
        return deep(line, column)
    bare = two_versions(text) or _bare_colour(text, line) or _odd_start(text, line)
    if bare is not None:
        return bare
    row = _row(text, line)
    special = _long_key(row, line) or _unclosed(text, said, mark) or _glued_dash(text, line)
    if special is not None:
        return special
    if "\t" in row[: len(row) - len(row.lstrip())] or "a tab" in said:
        return Problem("a tab", _READABLE, "indent with spaces", "", line, column, "text")
    opening = getattr(error, "context_mark", None)
    begun = ("scanning a quoted", "expected ',' or", "could not find expected ':'")
    if opening is not None and any(part in said for part in begun):
        line, column = opening.line + 1, opening.column + 1
    if "escape" in said or "hexdecimal" in said:
        column = row.rfind("\\", 0, column) + 1 or column
    glued = _glued_colon(text, said, line)
    if glued is not None:
        return glued
    odd = _ODD_BEFORE.search(row[:LONGEST_KEY])
    if odd is not None:
        found, column = f"U+{ord(odd[1]):04X} before the {odd[2]}", odd.start(1) + 1
        return Problem(found, "a plain blank", "write one for it", "", line, column, "text")
    found, mend = _words(said, row, line, column)
    return Problem(found, _READABLE, mend, "", line, column, "text")


_ODD_BEFORE = re.compile(
    r"(?:^ *(?:- *)*|[:,{\[] *)([^\S \t]|[\u200b-\u200d\ufeff])[^\S\t]*([{\[])"
)
"""A blank of another kind, or what isn't seen, before a bracket that begins a value."""


def two_versions(text: str) -> Problem | None:
    """The first of the marks that version control leaves in a file of which there are two versions."""
    first = found = re.search(r"^<{7}(?: .*)?\r?$", text, re.MULTILINE)
    for mark in (r"^={7}\r?$", r"^>{7}(?: .*)?\r?$"):
        found = found and re.compile(mark, re.MULTILINE).search(text, found.end())
    if first is None or found is None:
        return None
    line, column = line_column(text, first.start())
    return Problem(
        "two versions of one place, as version control leaves them for you to choose",
        "one of them", "keep the lines that hold, and delete the others and all three marks",
        "", line, column, "text",
    )  # fmt: skip


def _long_key(row: str, line: int) -> Problem | None:
    """A line that is longer before its colon than any key may be."""
    key = re.match(r"[ \t{\[-]*[\"']?([^\s{\[\"'-][^:]*?)[\"']?:(?:\s|$)", row)
    if key is None or len(key[1]) <= LONGEST_KEY:
        return None
    return Problem(
        f"a key of {len(key[1])} letters", f"a key of at most {bounds.NAME_LENGTH} letters",
        "shorten it, or check the line's quotes", "", line, key.start(1) + 1, "text",
    )  # fmt: skip


_GLUED_DASH = re.compile(
    r"( *(?:- +)*)-([\t\u00a0\u2007\u2009\u202f\u3000{\[\"']|[^\W\d_][\w ]*(?::(?: |$)|$))"
)


def _glued_dash(text: str, line: int) -> Problem | None:
    """The dash of a list, in this row or the one above, with no plain blank behind it."""
    rows = _rows(text)
    for number in range(min(line, len(rows)), max(0, line - 2), -1):
        match = _GLUED_DASH.match(rows[number - 1])
        if match:
            odd = match[2] if match[2].isspace() else ""
            what = "a tab" if odd == "\t" else f"U+{ord(odd):04X}" if odd else "no blank"
            found = f"a dash with {what} behind it"
            return Problem(
                found, "a dash and a blank, which begin an entry of a list",
                "write a plain blank for it" if odd else "write a blank behind the dash",
                "", number, match.end(1) + 1, "text",
            )  # fmt: skip
    return None


_GLUED = re.compile(r"( *(?:- +)*)([^\W\d_][\w ]{0,40}):([^ \t:/\\][^\n]*)")


def _glued_colon(text: str, said: str, line: int) -> Problem | None:
    """A key with no blank behind its colon: in the line itself, or in the text above that it ends."""
    above = "mapping values are not allowed" in said
    if not above and "expected ':'" not in said:
        return None
    rows = _rows(text)
    own = _GLUED.fullmatch(_row(text, line))
    here = own is not None and (
        own[3][0] in "{[" or not own[3][0].isprintable() or own[3][0].isspace()
    )
    for number in range(line - (above and not here), max(0, line - 12), -1):
        row = rows[number - 1] if number <= len(rows) else ""
        match = _GLUED.fullmatch(row)
        if match:
            keys = _keys()
            value = match[3].partition(" #")[0].rstrip(" ")
            name, rest = resettled(match[2].strip(), value, keys)
            below = next((row for row in rows[number:] if row.strip()), "")
            deep = len(below) - len(below.lstrip())
            goes_on = deep > len(match[1]) or (deep == len(match[1]) and below.lstrip()[:2] == "- ")
            key = re.match(r" *(?:- +)?([^\W\d_][\w ]*):(?: |$)", below)
            group = keys.get(name) or (key is not None and key[1] in keys)
            if goes_on and group and name == match[2].strip():
                mend = f"delete what stands behind {name}: (its lines stand below)"
            else:
                mend = spaced(match[0].lstrip(" -"), name, rest, goes_on)
            found, column = f'"{match[2]}:{match[3].strip()}"'[:62], match.start(2) + 1
            return Problem(found, BLANK_BEHIND, mend, "", number, column, "text")
        if not above or re.search(r":(\s|$)", row) or not row.strip():
            break
    return None


def _keys() -> dict[str, bool]:
    """All keys that there are, and whether what follows each is always a group or a list."""
    from felt_engine.reading import notebook_shape, recipe_shape, studio_shape  # noqa: F401
    from felt_engine.reading.groups import KEYS

    return KEYS


def resettled(name: str, rest: str, keys: Collection[str]) -> tuple[str, str]:
    """A key and its value, where the colon may stand before the key's last letters: ``titl:e Scarf``."""
    if name not in keys:
        for end in (match.end() for match in re.finditer(r"\w+(?= |$)", rest[:41])):
            for key in (name + rest[:end], f"{name} {rest[:end]}"):
                if key in keys:
                    return key, rest[end:].strip()
    return name, rest


BLANK_BEHIND = "a blank behind the colon, which ends a key"


def spaced(text: str, name: str, rest: str, goes_on: bool = False) -> str:
    """How to mend a text with a key that is glued to its value, or has its colon too early.

    ``goes_on`` if more of the value stands on other lines.
    """
    from felt_engine.plain_text import visible
    from felt_engine.reading.scalar import in_yaml

    if not text.startswith((f"{name}:", f"{name} ")):
        return f"put the colon behind {name}" + (", and a blank behind it" if rest else "")
    key = name[:40]
    before = "".join(takewhile(lambda char: char.isspace() or not visible(char), rest))
    value = rest[len(before) :]
    if before:
        odd = sorted({f"U+{ord(char):04X}" for char in before if char != " "})
        behind = f"delete what stands behind {key}: and doesn't show"
        return f"{behind} ({' or '.join(odd)})" + (", and write a blank there" if value else "")
    whole = value[0] not in "[{\"'" and not goes_on and in_yaml(value) != value
    return f"write a blank behind {key}:" + (
        " (a text that begins with a sign stands in quotes)" if whole else ""
    )


def _unclosed(text: str, said: str, mark: Any) -> Problem | None:
    """The last bracket that is open where the text ends, if that is what is wrong."""
    if "node content" not in said or mark is None or text[mark.index :].strip():
        return None
    opened = _open_brackets(text)
    if not opened:
        return None
    line, column, bracket = opened[-1]
    return Problem(
        "a bracket that is not closed", _READABLE, f'close it with "{bracket}"',
        "", line, column, "text",
    )  # fmt: skip


def _open_brackets(text: str) -> list[tuple[int, int, str]]:
    """Line, column and closing sign of each bracket that is open where the text breaks off."""
    import yaml

    from felt_engine.reading.yaml_tree import _Parser

    opened: list[tuple[int, int, str]] = []
    try:
        for token in yaml.scan(text, Loader=_Parser):
            if isinstance(token, (yaml.FlowSequenceStartToken, yaml.FlowMappingStartToken)):
                sign = "]" if isinstance(token, yaml.FlowSequenceStartToken) else "}"
                opened.append((token.start_mark.line + 1, token.start_mark.column + 1, sign))
            elif opened and isinstance(
                token, (yaml.FlowSequenceEndToken, yaml.FlowMappingEndToken)
            ):
                opened.pop()
    except yaml.YAMLError:
        pass
    return opened


def _keys_in(row: str) -> bool:
    """Whether there is a known key behind the first colon of a row."""
    keys = _keys()
    behind = re.findall(r"[^\W\d_][\w ]*(?=: )", row[:500].partition(": ")[2])
    return any(key.strip() in keys for key in behind)


def _key_behind(row: str) -> str:
    """The known key, if any, that a row ends with, behind the value of another."""
    words = row[-60:].rpartition(": ")[2].split()
    keys = _keys()
    ends = (" ".join(words[start:]) for start in range(1, len(words)))
    return next((key for key in ends if key in keys), "")


def _behind(row: str, column: int) -> tuple[str, str] | None:
    """What stands behind the closing bracket or quote of a whole entry."""
    before, rest = row[: column - 1].rstrip(), row[column - 1 :].strip(" \t")
    closed = {"}": "bracket", "]": "bracket", '"': "quote", "'": "quote"}.get(before[-1:])
    if closed is None or not rest:
        return None
    odd = rest[0].isspace() or not rest[0].isprintable()
    what = "a comma" if rest[0] == "," else f"U+{ord(rest[0]):04X}" if odd else "text"
    alone = what != "text" and len(rest) == 1
    mend = "delete it" if alone else "check the brackets, quotes and commas"
    return f"{what} behind a closing {closed}", mend


def _words(said: str, row: str, line: int, column: int) -> tuple[str, str]:
    if "scanning a quoted" in said:
        return "quotes that are not closed", "close the quotes"
    behind = _behind(row, column) if "'-' indicator" in said else None
    if behind is not None:
        return behind
    opened = re.match(r" *(?:- +)*[^\W_][^:{\[\"']*?([{\[])", row)
    if opened and ("mapping values" in said or row[: column - 1].rstrip().endswith(("}", "]"))):
        sign = opened[1]
        return f"no colon before the {sign}", f"write a colon and a blank before the {sign}"
    if "mapping values are not allowed" in said:
        if _keys_in(row):
            return (
                "several keys in one line without { }",
                "put { } round them, or quotes round the text after the first colon",
            )
        if re.match(r"[ -]*+[^\s:#][^:#]*:\s", row[: column - 1]):
            quoted = "put the text after the first colon in quotes"
            key = _key_behind(row[: column - 1])
            quoted = f"begin a new line before {key}, or {quoted}" if key else quoted
            return "a second colon in one line", quoted
        return (
            "a key below a text that is not finished",
            "check the line above: its colon, and that this line is indented like it",
        )
    sign = row[column - 1 : column]
    if "node content" in said and row.strip() == "...":
        return "three dots, which end a text in YAML", "leave that line out"
    if "node content" in said and re.match(r"[^\W\d_]", row[column - 1 :]):
        return "a list that begins with nothing, and then a key", "leave the dash above out"
    if "node content" in said and sign in _SIGNS:
        return _SIGNS[sign]
    for part, found, mend in _SAID:
        if part in said:
            return found, mend
    before = row[: column - 1].rstrip()
    if before.endswith(("}", "]")):
        return "text behind a closing bracket", "check the brackets and commas"
    if before.endswith(('"', "'")):
        return "text behind a closing quote", "put the whole text in one pair of quotes"
    if sign == ":":
        return _SIGNS[sign]
    return (
        "a line that fits neither the one above nor a list",
        "check its indentation, its colon, and the line above",
    )


def _bare_colour(text: str, line: int) -> Problem | None:
    """A colour inside { } or [ ] whose bare # made the rest of its line a comment."""
    rows = _rows(text)
    for number in range(min(line, len(rows)), max(0, line - 12), -1):
        row = rows[number - 1]
        match = re.search(
            r"[{\[,][^\"'#]{0,500}?\b(\w+):[ \t]+(#[0-9A-Fa-f]{3,6}\b[\"']?)", row[:1000]
        )
        if match:
            colour = match[1] == "colour"
            return Problem(
                f"nothing, since {match[2]} and the rest of its line were taken for a comment",
                "a colour in quotes" if colour else "a value",
                in_quotes(match[2]) if colour else "put it in quotes, or delete the #",
                "", number, match.start(2) + 1, "text",
            )  # fmt: skip
    return None


_ODD_START = re.compile(r" *(?:([\u00a0\u2007\u2009\u202f\u3000])|([–—•·] ))")


def _odd_start(text: str, line: int) -> Problem | None:
    """A row, this one or the one above, that starts with a blank or a dash as web pages have them."""
    rows = _rows(text)
    for number in range(max(1, line - 1), min(line, len(rows)) + 1):
        match = _ODD_START.match(rows[number - 1])
        if match:
            found = (
                f"a blank of another kind, U+{ord(match[1]):04X}" if match[1] else match[2].strip()
            )
            mend = "indent with plain spaces" if match[1] else "start the line with a plain dash: -"
            return Problem(
                found, _READABLE, mend, "", number, match.start(1 if match[1] else 2) + 1, "text"
            )
    return None


def _rows(text: str) -> list[str]:
    return re.split(r"\r\n|\r|\n", text)


def _row(text: str, line: int) -> str:
    rows = _rows(text)
    return rows[line - 1] if line <= len(rows) else ""


def lost_comment(text: str, node: Node) -> tuple[str, Node] | None:
    """What stands behind ``#`` where a value should be, with its place, if YAML dropped it.

    A ``#`` with a blank behind it was meant as a comment.
    """
    behind = re.compile(r"[ \t]*+:?[ \t]*+(#[^\s#][^\r\n]*)").match(text, node.start)
    if behind is None:
        start = len(text[: node.start].rstrip())
        above = max(text.rfind("\n", 0, start), text.rfind("\r", 0, start)) + 1
        behind = re.compile(r"[^\r\n]{0,500}?:[ \t]+(#[^\s#\"'][^\r\n]*)").match(text, above, start)
    if behind is None:
        return None
    place = line_column(text, behind.start(1))
    lost = re.split(r"\s#", behind[1])[0].strip()
    colour = re.match(r"#[0-9A-Fa-f]{3,8}(?![^\s,\]}\"'])[\"']?", lost)
    return colour[0] if colour else lost, Node("text", "", behind.start(1), behind.end(1), *place)


def in_quotes(lost: str) -> str:
    """How to mend a value that a bare # turned into a comment."""
    if lost[-1] in "\"'" and lost.count(lost[-1]) == 1:
        return f"put the quote that is missing before it: {lost[-1]}{lost[:40]}"
    if len(lost) > 40 or re.search(r"[\"\\,\]}]", lost):
        return "put the text in quotes"
    return f'put it in quotes: "{lost}"'
