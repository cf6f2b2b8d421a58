"""The nearest known name. Imported only when something was not known."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from itertools import pairwise

from felt_engine.plain_text import NO_OTHER

NEARLY = 0.85
"""Likeness of two words that differ by a slip of a finger: nearer than any name within the word."""

MANY = 4000
"""So many letters of known names are compared letter by letter; of more, only the likeliest names."""

LIKELIEST = 20

COMPARED = 400
"""Letters of a word, hidden ones too, that are looked at."""


SHORT = 0.75
"""How like a name a word of one or two letters must be (own choice)."""


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The known name that this word most likely means, or ``None``."""
    from felt_engine.plain_text import looks

    known, word = list(known), word[:COMPARED]
    look = looks(word)
    same = [name for name in known if looks(name) == look]
    if same:
        return same[0]
    plain = {_plain(name): name for name in known}
    asked = _plain(word)
    if asked in plain:
        return plain[asked]
    asked = asked[:80]
    if re.match(r"(?:not|no|non|never|without) ", asked):
        return None
    cutoff = max(cutoff, SHORT) if len(asked) < 3 else cutoff
    close = _closest(asked, plain, cutoff)
    if close and _closest(asked, [close], max(cutoff, NEARLY)):
        return plain[close]
    within = [name for name in plain if len(name) > 2 and f" {name} " in f" {asked} "]
    if within:
        return plain[max(within, key=len)]
    return plain[close] if close else None


def _closest(word: str, known: Collection[str], cutoff: float) -> str | None:
    import difflib

    if sum(map(len, known)) > MANY:
        own = _pairs(word)
        known = sorted(known, key=lambda name: -(own & _pairs(name)).total())[:LIKELIEST]
    found = difflib.get_close_matches(word, known, n=1, cutoff=cutoff)
    return found[0] if found else None


@lru_cache(maxsize=2048)
def _pairs(name: str) -> Counter[str]:
    """How often each two letters follow each other."""
    return Counter(a + b for a, b in pairwise(name))


def _plain(name: str) -> str:
    return " ".join(name.lower().replace("_", " ").replace("-", " ").split())


def did_you_mean(word: str, known: Iterable[str], otherwise: str, cutoff: float = 0.6) -> str:
    """A sentence that names the nearest known name, or what to do instead."""
    names = sorted(known)
    close = nearest(word, names, cutoff)
    if close and close != word and close == re.sub(" +", " ", word).strip():
        return f"write {quoted(close)}{NO_OTHER}"
    if close:
        return f"write {quoted(close)}, if that is meant{unlike(word, close)}"
    return otherwise


def quoted(name: str) -> str:
    """A name in the quotes in which YAML reads it as it is."""
    return f'"{name}"' if not set('"\\') & set(name) else "'" + name.replace("'", "''") + "'"


def treated(word: str, known: Mapping[str, str]) -> str:
    """A hint for a fibre's name that says, too, that it was treated not to felt; else empty."""
    left = re.sub(r"(?i)\b(?:super-?wash|machine[- ]washable|shrink-?proof(?:ed)?) ?", "", word)
    fibre = known.get(left.strip() or "wool") if left != word else None
    return f"write fibre: {fibre}, and treatment: shrink-proofed" if fibre else ""


def unlike(word: str, close: str) -> str:
    """What makes a word another one that looks the same, if it does: a blank, an accent, a letter."""
    import unicodedata

    from felt_engine.plain_text import looks, visible

    if looks(word) != looks(close):
        return ""
    for one, other, which in ((word, close, "this one"), (close, word, "the other one")):
        for char in one:
            name = unicodedata.name(char, "")
            if not char.isascii() and char not in other and (
                unicodedata.category(char) in ("Zs", "Cf", "Mn")
                or not visible(char)
                or _foreign(name, other)
            ):  # fmt: skip
                return f": it looks the same, but {which} has U+{ord(char):04X} ({name.lower()})"
    return ""


def _foreign(name: str, other: str) -> bool:
    return other.isascii() and name.split(" ")[0] in ("CYRILLIC", "GREEK", "FULLWIDTH")
