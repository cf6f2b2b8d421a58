"""Bytes to text: regular files only, of bounded size, UTF-8, without hidden characters."""

from __future__ import annotations

import os
import re
import stat
from functools import lru_cache

from felt_engine.errors import Problem
from felt_engine.model.recipe import Source
from felt_engine.reading import bounds
from felt_engine.reading.tree import Unreadable, line_column

_HIDDEN = (
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff"
    "\ud800-\udfff\ufffe\uffff]"
)


@lru_cache(maxsize=2)
def _hidden(ascii_only: bool) -> re.Pattern[str]:
    return re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]" if ascii_only else _HIDDEN)


def find_hidden(text: str) -> re.Match[str] | None:
    """The first character that does not show on paper, or ``None``."""
    return _hidden(text.isascii()).search(text)


def shows(text: str) -> bool:
    """Whether there is more in a text than blanks and characters without a look of their own."""
    if text.isascii():
        return True
    import unicodedata

    from felt_engine.plain_text import visible

    return any(unicodedata.category(c) not in ("Cf", "Zs", "Mn") for c in visible(text))


_MARKS = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)


_SAMPLE = 4096
"""Bytes at a file's beginning that are looked at for an encoding without a mark."""


def _by_noughts(data: bytes) -> str:
    """The encoding of UTF-16 or UTF-32 without a mark, told by the noughts beside plain letters."""
    part = data[:_SAMPLE]
    if part.count(0) * 4 < len(part):
        return ""
    places = [[byte == 0 for byte in part[k::4]] for k in range(4)]
    shares = [sum(place) / max(1, len(place)) for place in places]
    mostly = tuple(share > 0.5 for share in shares)
    if mostly in ((False, True, True, True), (True, True, True, False)):
        return "UTF-32"
    return "UTF-16" if mostly in ((False, True) * 2, (True, False) * 2) else ""


def _refuse(found: str, expected: str, mend: str, line: int = 1, column: int = 1) -> Unreadable:
    return Unreadable(Problem(found, expected, mend, "", line, column, "text"))


def read_bytes(path: str | os.PathLike[str], what: str = "recipe") -> bytes:
    """The bytes of one regular file; raises Unreadable for anything else."""
    try:
        if not stat.S_ISREG(os.stat(path).st_mode):
            found = "a folder" if os.path.isdir(path) else "something that is no ordinary file"
            raise _refuse(found, f"a {what} file", "name a file")
        with open(path, "rb") as file:
            data = file.read(bounds.FILE_BYTES + 1)
    except FileNotFoundError:
        raise _refuse("no file of this name", f"a {what} file", "check the name") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "a name that no file can have"
        raise _refuse(str(why).lower(), "a file that can be read", "check the file") from None
    return data


def check_size(size: int, what: str = "recipe") -> None:
    """Unreadable for more bytes (or characters) than any recipe has."""
    if size > bounds.FILE_BYTES:
        raise _refuse(
            f"more than {bounds.FILE_BYTES // 1000} kB",
            f"a {what} file, which is a few kB",
            "check that this is the right file",
        )


def text_of(data: bytes, what: str = "recipe") -> str:
    """UTF-8 bytes as text; a byte order mark is dropped, every other encoding is named."""
    check_size(len(data), what)
    for mark, name in _MARKS:
        if data.startswith(mark):
            raise _refuse(f"{name} text", "UTF-8 text", "save the file as UTF-8")
    name = _by_noughts(data) if b"\0" in data else ""
    if name:
        raise _refuse(f"what looks like {name} text", "UTF-8 text", "save the file as UTF-8")
    try:
        return data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace")
        line, column = line_column(before, len(before))
        raise _refuse(
            f"the byte {data[error.start]:#04x}, which is no UTF-8",
            "UTF-8 text",
            "save the file as UTF-8",
            line,
            column,
        ) from None


def check_characters(text: str) -> str:
    """The same text, or Unreadable at its first hidden or forbidden character."""
    match = find_hidden(text)
    if not match:
        return text
    import unicodedata

    code = ord(match[0])
    name = unicodedata.name(match[0], "a control character").lower()
    line, column = line_column(text, match.start())
    raise _refuse(
        f"the hidden character U+{code:04X} ({name})",
        "text that shows on paper",
        "delete it and type the line again",
        line,
        column,
    )


Readable = str | os.PathLike[str] | Source
"""A path; a file's text; or a text with its name, read before."""


def is_text(source: str | os.PathLike[str]) -> bool:
    """Whether this is a file's text and not its path: it has a line break, or starts with {."""
    if not isinstance(source, str):
        return False
    broken = "\n" in source or "\r" in source
    return broken or source.removeprefix("\ufeff").lstrip().startswith("{")


def said_as_asked(name: object, drawing: object = False) -> None:
    """TypeError for what a call said in another kind than it takes."""
    if name is not None and not isinstance(name, str):
        raise TypeError(f"name: expected a text (str), and not {type(name).__name__}")
    if not isinstance(drawing, bool):
        raise TypeError(f"drawing: expected True or False, and not {type(drawing).__name__}")


def name_of(source: Readable, name: str | None = None) -> str:
    """What to call it: the name given, else its own, else the path as given.

    TypeError for what is neither a path nor a text.
    """
    if not isinstance(source, (str, os.PathLike, Source)):
        kind = type(source).__name__
        hint = "; decode it first" if isinstance(source, (bytes, bytearray)) else ""
        raise TypeError(f"expected a path, a text (str) or a Source, and not {kind}{hint}")
    said_as_asked(name)
    if isinstance(source, Source):
        for part, what in (
            (source.name, "a name"),
            (source.text, "a text"),
            (source.door, "a door"),
        ):
            if not isinstance(part, str):
                raise TypeError(
                    f"expected {what} (str) in the Source, and not {type(part).__name__}"
                )
        return name or source.name
    return str(name or ("text" if is_text(source) else os.fspath(source)))


def open_source(source: Readable, name: str | None = None, what: str = "recipe") -> Source:
    """The text of a file, or this text, with its name and its door. Raises Unreadable."""
    shown = name_of(source, name)
    if isinstance(source, Source):
        check_size(len(source.text), what)
        return Source(shown, source.text, source.door)
    if is_text(source):
        text = str(source).removeprefix("\ufeff")
        check_size(len(text), what)
        return Source(shown, text, "json" if _is_json(text) else "yaml")
    text = text_of(read_bytes(source, what), what)
    return Source(shown, text, "json" if shown_as_json(source) else "yaml")


def source_of(data: bytes, name: str, what: str = "recipe") -> Source:
    """Bytes that came from nowhere in particular, with a name for them. Raises Unreadable.

    It is JSON if the name ends so, or if it begins with a brace and is JSON.
    """
    text = text_of(data, what)
    return Source(name, text, "json" if shown_as_json(name) or _is_json(text) else "yaml")


def shown_as_json(path: str | os.PathLike[str]) -> bool:
    """Whether a path ends like a JSON file."""
    return str(os.fspath(path)).lower().endswith(".json")


def _is_json(text: str) -> bool:
    if not text.lstrip().startswith("{"):
        return False
    import json

    try:
        json.loads(text)
    except (ValueError, RecursionError):
        return False
    return True
