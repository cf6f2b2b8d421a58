"""Text from a recipe made safe to show: nothing in it can steer a terminal or hide itself."""

from __future__ import annotations

import math
import re
import unicodedata

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

_UNSAFE = (
    "[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)


def plain(text: str) -> str:
    """The text on one line; control, bidirectional and lone surrogate characters as escapes."""
    if text.isascii() and text.isprintable():
        return text
    return re.sub(_UNSAFE, _escape, text.replace("\r\n", " ").replace("\n", " ").replace("\t", " "))


def one_line(text: str) -> str:
    """The same for a message, in which a line break can only come from a name: shown as an escape."""
    return plain(text.replace("\r", "\\r").replace("\n", "\\n").replace("\t", "\\t"))


def _escape(match: re.Match[str]) -> str:
    code = ord(match[0])
    return (
        f"\\x{code:02x}" if code < 256 else f"\\u{code:04x}" if code < 65536 else f"\\U{code:08x}"
    )


def columns(text: str) -> int:
    """Columns that a text takes on a terminal: two for wide characters, none for marks."""
    if text.isascii():
        return len(text)
    width = 0
    for char in text:
        if unicodedata.combining(char) or unicodedata.category(char) in ("Mn", "Me", "Cf"):
            continue
        width += 2 if unicodedata.east_asian_width(char) in "WF" else 1
    return width


def add_up(values: Sequence[float], decimals: int) -> list[str]:
    """Numbers as text, rounded so that the shown parts add up to the shown sum.

    Each is rounded down or up to this many decimals; those with the largest remainders go up.
    """
    scale = 10**decimals
    units = [math.floor(value * scale + 1e-6) for value in values]
    missing = round(sum(values) * scale) - sum(units)
    order = sorted(range(len(values)), key=lambda k: (units[k] - values[k] * scale, k))
    for k in order[: max(0, missing)]:
        units[k] += 1
    return [f"{unit / scale:.{decimals}f}" for unit in units]
