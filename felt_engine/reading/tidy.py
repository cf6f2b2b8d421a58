"""How a quantity that can't be read may have been typed. Imported only when something was refused."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from felt_engine.reading.quantity import VULGAR

_LIKE = {
    "⁄": "/", "∕": "/", "º": "°", "˚": "°", "´": "′", "‚": ",", "٫": ".", "·": ".", "˙": ".",
    "٪": "%", "ₓ": "x", "х": "x", "Х": "x", "г": "g", "к": "k", "м": "m", "с": "c",
}  # fmt: skip
"""Signs that look like, or stand for, those that are read."""
_FRACTION = r"(?:\d+/\d+|[½¼¾⅓⅔⅛⅜⅝⅞])"
_SQUARES = (("m", "metres?|meters?|mtr"), ("yd", "yards?|yds"), ("ft", "foot|feet"))


def tidied(text: str) -> Iterator[str]:
    """The same text without one kind of slip after another."""
    plain = in_plain_signs(text)
    yield plain
    yield re.sub(r"° (?=[CF])", "°", plain)
    yield re.sub(r"^([0-9]+) ?['’′] ?([0-9]|1[01])$", r"\1 ft \2 in", plain)
    if not re.search(r"\b0[oOlI]", plain):
        noughts = re.sub(r"(?<=[0-9.,])[oO]|\b[oO](?=[0-9.,])", "0", plain)
        yield re.sub(r"(?<=[0-9])[lI](?=[0-9. ])|\b[lI](?=[0-9.,])", "1", noughts)
    yield re.sub(r"([0-9])[.,]+ ?(?=[^0-9., ])", r"\1 ", plain)
    yield re.sub(r"(?<=[a-z]) ?/ ?(?=[a-z])", "/", plain)
    yield re.sub(r"(?<=\d) ?/ ?(?=\d)", "/", plain)
    if not _is_improper(plain):
        yield re.sub(rf"(\d) ?(?:and|&|\+|-|–) ?({_FRACTION})", r"\1 \2", plain)
    yield re.sub(rf"([0-9{''.join(VULGAR)}])[-–](?=[^\W\d_])|(?<=[a-z])[-–](?=\d)", r"\1 ", plain)
    yield re.sub(r"([a-z])[.,]* ?(?:and |& ?|\+ ?)?(?=\d)", r"\1 ", plain).rstrip(".,")
    yield _per_area(plain)


def in_plain_signs(text: str) -> str:
    """The text in plain digits, signs and single blanks, without what doesn't show."""
    return " ".join("".join(map(_plain, text)).split())


def _plain(char: str) -> str:
    if char in VULGAR or char in "²µμ″′”’×" or char.isascii():
        return char
    if unicodedata.category(char) == "Cf":
        return ""
    normal = unicodedata.normalize("NFKC", char).replace("⁄", "/")
    how = unicodedata.decomposition(char).partition(" ")[0]
    if how == "<fraction>":
        return " " + normal
    if how in ("<super>", "<sub>", "<circle>") and char not in _LIKE:
        return char
    digit = unicodedata.decimal(char, None)
    if digit is not None:
        return str(digit)
    return _LIKE.get(char) or (normal if all(c.isascii() or c in "²°μ" for c in normal) else char)


def _per_area(text: str) -> str:
    """``g per square metre``, ``g m-2`` and the like, as ``g/m²``."""
    text = re.sub(r"([a-z]) ?[·*.]? ?(m|yd|ft)(?:\^?[-−]2|⁻²)$", r"\1/\2²", text)
    text = re.sub(r"\b(k?g|oz|grams?|ounces?) (m|yd|ft)(?:²|\^?2)$", r"\1/\2²", text)
    if not re.search(r"\bper\b|sq|ft|/", text):
        return text
    found = re.sub(r"(?:grams?|gr) ?(?=/|per\b)", "g ", text.lower())
    found = re.sub(r"(?:ounces?|ozs?) ?(?=/|per\b)", "oz ", found)
    for unit, words in _SQUARES:
        square = rf"(?:sq\.? ?|square ?)(?:{words}|{unit})\b\.?|\b(?:{words}|{unit})(?:2|²|\^2)"
        found = re.sub(rf" ?(?:/|\bper\b) ?(?:{square})", f"/{unit}²", found)
    return found


def _is_improper(text: str) -> bool:
    """Whether a fraction in it is one or more."""
    return any(int(over) >= int(under) for over, under in re.findall(r"(\d+)/(\d+)", text))


def fractions_apart(text: str) -> str:
    """The text with a blank, and no hyphen, between whole numbers and their fractions: 1-1/2."""
    if _is_improper(text):
        return text  # 2-5/2 is a range
    apart = re.sub(rf"(?<![0-9/.,])([0-9]{{1,4}})[-–](?={_FRACTION})", r"\1 ", text)
    return apart if apart == text else re.sub(r"(?<=\d)[-–](?=[^\W\d_])", " ", apart)


def hidden_in(text: str) -> str:
    """The first character that doesn't show, by its number, if there is one."""
    char = next((c for c in text if unicodedata.category(c) == "Cf"), "")
    return f"U+{ord(char):04X}" if char else ""
