"""Text from a recipe made safe to show: it can steer no terminal and no CI service, and not hide."""

from __future__ import annotations

import re
import unicodedata

NO_OTHER = ", with no other blanks"
"""How a hint ends where only the blanks are wrong."""

_STEERING = "\x00-\x1f\x7f-\x9f\u2028\u2029\ufff9-\ufffb\ufffe\uffff\ufdd0-\ufdef\ud800-\udfff"
_INVISIBLE = (
    "\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u2800"
    "\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufff8\U0001bca0-\U0001bca3\U0001d173-\U0001d17a"
    "\U000e0000-\U000e0fff"
)
"""Unicode's Default_Ignorable_Code_Point (DerivedCoreProperties.txt, 15.0), and the empty Braille cell."""
_JOINERS = "\u200c\u200d"
_COMMAND = r"#(?=#\w*\[)|\A(\s*):(?=:)"


def plain(text: str) -> str:
    """The text on one line, as it may be shown anywhere, also at the start of a line.

    Control, bidirectional, invisible and lone surrogate characters are written as escapes; so is the
    first sign of what a CI service would take for a command to itself.
    """
    if not (text.isascii() and text.isprintable()):
        text = text.replace("\r\n", " ").replace("\n", " ").replace("\t", " ")
        text = re.sub(f"[{_STEERING}{_INVISIBLE}]", _shown, text)
    return unheeded(text) if "##" in text or "::" in text else text


def unheeded(line: str) -> str:
    """The same line, such that no CI service takes it for a command to itself.

    GitHub Actions heeds ``::name::`` behind any blanks at the start of a line and ``##[name]``
    anywhere; Azure Pipelines heeds ``##[name]`` and ``##vso[name]`` (their open documentation of
    workflow commands and logging commands; the runners' open sources for *where* in a line). Others
    have words of their own before the bracket, so any word is taken for one.
    """
    return re.sub(_COMMAND, lambda m: f"{m[1] or ''}\\x{ord(m[0][-1]):02x}", line)


def unheeded_json(text: str) -> str:
    """The same JSON document, of the same values, such that no CI service finds a command in it."""
    return text.replace("##", "#\\u0023")


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """A plain text in lines of this many characters, none of which a CI service would heed."""
    import textwrap

    def lines(width: int) -> list[str]:
        return textwrap.wrap(
            text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
        )

    found = lines(width)
    if ("::" not in text and "##" not in text) or found == list(map(unheeded, found)):
        return found
    return list(map(unheeded, lines(width - len("x3a"))))


def visible(text: str) -> str:
    """The text without what nobody sees; joiners that change a word or a picture stay."""
    if text.isascii():
        return text
    return re.sub(f"[{_INVISIBLE}]", lambda m: m[0] if _joining(m) else "", text)


def _shown(match: re.Match[str]) -> str:
    return match[0] if _belongs(match) else _escape(match)


def _belongs(match: re.Match[str]) -> bool:
    """Whether an invisible character is part of how a word or a picture is written.

    Joiners between letters or pictures, and what chooses the look of the picture before it.
    """
    if match[0] in _JOINERS:
        return _joining(match)
    char, before = match[0], _before(match)
    if "\u180b" <= char <= "\u180f":
        return unicodedata.name(before or " ", "").startswith("MONGOLIAN")
    chooses = "\ufe00" <= char <= "\ufe0f" or "\U000e0100" <= char <= "\U000e01ef"
    return chooses and unicodedata.category(before or " ") in _CHOSEN and visible(before) != ""


def _joining(match: re.Match[str]) -> bool:
    after = match.string[match.end() : match.end() + 1]
    return match[0] in _JOINERS and _joins(_before(match)) and _joins(after)


def _before(match: re.Match[str]) -> str:
    return match.string[max(0, match.start() - 1) : match.start()]


_CHOSEN = ("So", "Sm", "Sk", "Po", "Nd", "Lo")
"""Kinds of characters whose look can be chosen: pictures, keycaps, ideographs."""


def _joins(char: str) -> bool:
    """Whether a joiner may stand beside it: letters but Latin, Greek, Cyrillic; marks; pictures."""
    if not char or char.isascii():
        return False
    kind = unicodedata.category(char)
    if kind[0] == "L":
        return unicodedata.name(char, "").split(" ")[0] not in ("LATIN", "GREEK", "CYRILLIC")
    return (kind[0] == "M" and visible(char) != "") or kind in ("So", "Sk") or char == "\ufe0f"


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


ROUNDED = "Rounded: a column may miss its sum in the last digit."
"""For tables of weights of which a column doesn't add up as it is shown."""


_TWINS = str.maketrans(
    "аеорсухіјѕһԁԛԝѵАВЕКМНОРСТУХІЈЅԚԜοϲϳνΑΒΕΖΗΙΚΜΝΟΡΤΥΧ",
    "aeopcyxijshdqwvABEKMHOPCTYXIJSQWocjvABEZHIKMNOPTYX",
)
"""Cyrillic and Greek letters that are drawn as Latin ones are (common practice, no source)."""


def looks(name: str) -> str:
    """What is seen of a name: equal for names that nobody can tell apart by looking."""
    if name.isascii():
        return " ".join(name.split()) if "  " in name else name
    seen = " ".join(visible(unicodedata.normalize("NFC", name)).translate(_TWINS).split())
    return re.sub("[\uff01-\uff5e]", lambda m: chr(ord(m[0]) - 0xFEE0), seen)
