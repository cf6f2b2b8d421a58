"""What the words of a note say, and what they only deny."""

from __future__ import annotations

import re
from collections.abc import Iterator

DENIED = re.compile(
    r"(?:non|un|\b(?:non|not|no|never|without|free of|[a-z]+n['’]t))[ -]*(?:(?:a|been|any|yet|to be|use) )?$",
    re.IGNORECASE,
)
"""What stands before a word that is denied."""

NEAR = 40
"""Letters before and behind a word that are looked at for what denies it."""


def said_of(words: re.Pattern[str], note: str) -> Iterator[re.Match[str]]:
    """Where a note has one of these words and doesn't deny it."""
    return (found for found in words.finditer(note) if not _denied(found))


def _denied(said: re.Match[str]) -> bool:
    """Whether the words about it say that it isn't so."""
    start, end = said.span()
    before, behind = said.string[max(0, start - NEAR) : start], said.string[end : end + NEAR]
    return bool(DENIED.search(before) or re.match(r"(?i)[ -]free\b|: *(?:no|none|not)\b", behind))
