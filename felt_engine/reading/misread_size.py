"""What a size that can't be read may have been meant as. Imported only when one was refused."""

from __future__ import annotations

import re

from felt_engine.reading.misread import DOUBT, explain, reads, unit_of
from felt_engine.reading.offers import Offer, any_of, if_meant, offer
from felt_engine.reading.quantity import NOT_ZERO, NUMBER, UNITS, VULGAR, Refused, either, number
from felt_engine.reading.tidy import in_plain_signs

POINTED = r"(?<![\d.,])([1-9])\.(\d{3})(?![\d.,])(?! ?(?:c|m(?!m)|in|f|y|['′’\"″”]))"
"""Thousands, in much of Europe. A size of so many mm and thousandths of one nobody measures; with
another unit of its own it is a decimal point.
"""
_KIND = ("length",)
_OR = r"(?<=[^\d\s]) ?(?:/|\bor\b|\bto\b|-|–|\+|\band\b|[,;]) ?(?=\d)| (?:or|to|and) "
_MARKS = "".join(VULGAR)
_BY = rf" ?(?:[x×*⨯✕XхХ](?= ?[0-9.,{_MARKS}-])|\bby\b|(?<=[0-9])by(?=[0-9])) ?"
_SAID = r"wide|width|in width|deep|depth|in depth|long|length|high|height|tall|across"
_SIDE = re.compile(rf"({NUMBER}) ?((?:[^\d\s.,;]|(?<=[mn])\^?2)*)[.,;]*(?: ({_SAID})[.,;]*)?")
_LONG = rf"{NUMBER} ?{either(UNITS['length'])}"
FEET = r"[^\W\d_]|['’′] ?(?:[0-9]|1[01])$"
"""A unit, or feet and inches (5'6): what has a unit of its own."""

NOTHING = "write two lengths above nothing"
NEITHER = "write both lengths with their units"


def mend_size(text: str) -> str:
    """How to write it: the whole size, never a part of it."""
    text = " ".join(text.strip()[:80].split()).removesuffix(" across")
    text = re.sub(rf"\(({_SAID})\)", r"\1", text)
    if reads_size(text):
        return offer(f"write {text} alone", text)
    doubt = re.match(rf"(?:{DOUBT})\s*", text, re.IGNORECASE)
    if doubt:
        alone = text[doubt.end() :]
        told = f"write {alone} alone; a range or a doubt can go into a note"
        return offer(told, alone) if reads_size(alone) else mend_size(alone)
    plain = in_plain_signs(text)
    if plain != text and reads_size(plain):
        return if_meant(plain)
    dotted = re.sub(r"(?<![\d.,])([1-9]),(\d{3})(?![\d.,])", r"\1.\2", text)
    if dotted != text and "mm" in text and re.search(POINTED, dotted):
        mend = mend_points(dotted)
        if all(map(reads_size, mend.texts)):
            return mend
    parts = re.split(_BY, text)
    if len(parts) > 2 and re.search(_OR, text):
        sizes = list(dict.fromkeys(re.split(_OR, text)))
        one = "write one size; a range can go into a note"
        return any_of(sizes, ", if that is meant") if all(map(reads_size, sizes)) else one
    if len(parts) > 2:
        return "write two lengths; weight or thickness have keys of their own"
    if len(parts) == 2 and not all(parts):
        return NEITHER
    if len(parts) == 2:
        return _two(parts[0], parts[1]) or _whole(parts[0], parts[1])
    if re.match(r"[1-9][0-9]{0,2}[ .,'’][0-9]{3}(?![0-9])", text):
        return _one(text)
    return mend_over(text) or _side_by_side(text) or _one_or_both(text)


def _one_or_both(text: str) -> str:
    """One length: of a round, or of the sides of something as deep as wide."""
    mend = _one(text)
    if isinstance(mend, Offer) and all(reads(_KIND, one) for one in mend.texts):
        sizes = [size for one in mend.texts for size in (f"{one} x {one}", f"{one} across")]
        if mend.startswith("say the unit"):
            return offer(f"say the unit: {' or '.join(sizes)}, whichever you mean", *sizes)
        return any_of(sizes)
    return mend


def of_shape(mend: str, shape: str) -> str:
    """Of one length that may be two sides or lie across, what a shape has; the hint itself, if unsure."""
    either_way = r"(say the unit: |write )(.+) x \2 or \2 across, whichever you mean"
    match = re.fullmatch(either_way, mend)
    across = re.fullmatch(r"(write )(.+) across(?:, if that is meant)?", mend)
    if across is not None and " or " not in across[2] and shape in ("rectangle", "oval"):
        match = across
    if shape not in ("round", "rectangle", "oval"):
        return mend
    if match is None:
        return _fitting(mend, shape == "round")
    if shape == "round":
        return f"{match[1]}{match[2]} across, if that is meant"
    return if_as_deep(match[2], match[1])


def if_as_deep(length: str, begin: str = "write ") -> str:
    """A hint to write one length for both sides."""
    return f"{begin}{length} x {length}, if it is as deep as wide"


OF_A_TUFT = "a tuft’s size: across the fibre x along it (5 x 10 cm)"


def of_tuft(mend: str) -> str:
    """The same for a tuft, whose sides don't go by the compass."""
    return "write across the fibre x along it" if "west to east" in mend else mend


def _fitting(mend: str, is_round: bool) -> str:
    """Of several sizes that are offered, those with as many sides as a shape has."""
    told = re.fullmatch(
        r"write (.+?)(?:, whichever you mean|, if that is meant| alone(?:; .*)?|)", mend
    )
    sizes = told[1].split(" or ") if told else []
    if not sizes or not all(map(reads_size, sizes)):
        return mend
    fit = [size for size in sizes if (len(re.split(_BY, size)) == 1) == is_round]
    if len(fit) == len(sizes):
        return mend
    if len(sizes) == 1 and not is_round:
        return if_as_deep(sizes[0].removesuffix(" across"))
    if fit:
        return any_of(fit, ", if that is meant")
    return (
        "write one length, across"
        if is_round
        else "write two lengths: from west to east, and its depth"
    )


def mend_points(text: str) -> Offer:
    """``1.500 x 1.000 mm``: all of it in thousands, or with decimals."""
    thousands = re.sub(POINTED, r"\1\2", text)
    decimals = re.sub(POINTED, lambda m: _in_decimals(m[1], m[2]), text)
    both = [thousands, decimals]
    return any_of([size for size in both if reads_size(size)] or both)


def _in_decimals(first: str, rest: str) -> str:
    """A figure with decimals that nobody takes for thousands: never just three."""
    rest = rest.rstrip("0")
    return f"{first}.{rest}{'0' if len(rest) == 3 else ''}" if rest else first


def reads_size(text: str) -> bool:
    """Whether this is a size."""
    from felt_engine.reading.forms import SIZE

    return SIZE.takes(text)


def _two(first: str, second: str) -> str:
    """Two lengths, each a figure and perhaps a unit and a word, as one size."""
    one, other = _SIDE.fullmatch(first), _SIDE.fullmatch(second)
    if one is None or other is None:
        return ""
    if any(re.fullmatch("[0.,]+", match[1]) for match in (one, other)):
        return NOTHING
    if one[2] and not other[2] and UNITS["length"].get(str(unit_of(_KIND, _flat(one[2]))), 0) > 0.9:
        return NEITHER  # 2 m x 45: these are hardly metres
    told = one[2] or other[2]
    units = (
        [unit_of(_KIND, _flat(match[2] or told)) for match in (one, other)]
        if told
        else ["cm", "cm"]
    )
    if None in units:
        return ""
    spaced = [unit if unit and not unit[0].isalpha() else f" {unit}" for unit in units]
    alike = units[0] == units[1]
    if _is(one[3], "dep", "dee") and not _is(other[3], "dep", "dee") and told:
        # west to east comes first
        size = f"{other[1]}{'' if alike else spaced[1]} x {one[1]}{spaced[0]}"
        return offer(f"write {size}: from west to east, then its depth", size)
    size = f"{one[1]}{'' if alike else spaced[0]} x {other[1]}{spaced[1]}"
    if not told:
        return offer(f"say the unit: {size}, if that is meant", size)
    if one[3] or other[3]:
        return offer(f"write {size}, if {one[1]} is from west to east", size)
    return if_meant(size)


def _is(word: str | None, *starts: str) -> bool:
    """Whether the word that was said of a length begins so."""
    return word is not None and word.removeprefix("in ").startswith(starts)


def _flat(unit: str) -> str:
    """``cm²`` is often written for the unit of a size."""
    return re.sub(r"(?:\^?2|²)$", "", unit)


def _whole(first: str, second: str) -> str:
    """A size of which one length can't be read: what it may be, with the other beside it."""
    if reads(_KIND, second):
        if re.fullmatch(rf"{NOT_ZERO}{NUMBER}", first):
            return NEITHER
        mend = explain("length", _in_unit_of(first, second)).mend
        size = "{} x " + second
    elif reads(_KIND, first) or re.fullmatch(NUMBER, first):
        mend, size = explain("length", second).mend, first + " x {}"
    else:
        return _both(first, second)
    if not isinstance(mend, Offer):
        return mend
    return any_of([size.format(text) for text in mend.texts], ", if that is meant")


def _in_unit_of(first: str, second: str) -> str:
    """The first length in the unit of the second, if it has none of its own."""
    unit = re.search(rf"{either(UNITS['length'])}$", second)
    bare = re.search(FEET, first) is None and re.search(rf"[\d{_MARKS}]$", first)
    return f"{first} {unit[0]}" if unit and bare else first


def _both(first: str, second: str) -> str:
    """A size of which neither length can be read, though it is plain what each may be."""
    one = explain("length", _in_unit_of(first, second)).mend
    other = explain("length", second).mend
    if not isinstance(one, Offer) or not isinstance(other, Offer):
        return one if one == other else NEITHER
    if len(one.texts) != len(other.texts):
        return NEITHER
    sizes = [f"{first} x {second}" for first, second in zip(one.texts, other.texts, strict=True)]
    within = [size for size in sizes if reads_size(size)]
    return any_of(within or sizes, ", if that is meant")


def mend_over(text: str) -> str:
    """``60 / 40 cm``: a size; or a fraction, where it is below one."""
    parts = re.fullmatch(r"([0-9]+) ?/ ?([0-9]+) ?(\D*)", text)
    size = _two(parts[1], f"{parts[2]} {parts[3]}") if parts else ""
    if parts is None or not isinstance(size, Offer):
        return ""
    fraction = f"{parts[1]}/{parts[2]} {parts[3]}"
    if reads(_KIND, fraction):
        return any_of([*size.texts, fraction])
    return size if len(parts[1]) > 1 and len(parts[2]) > 1 else ""


def _side_by_side(text: str) -> str:
    """``60 cm 40 cm``: two lengths; or one in two units, where the second is the smaller."""
    match = re.fullmatch(rf"({NUMBER} ?[^\d\s.,]+)[,;]? ?(?:and |& ?)?({NUMBER} ?[^\d\s.,]+)", text)
    size = _two(match[1], match[2]) if match else ""
    if match is None or not isinstance(size, Offer):
        return ""
    big, small = (
        UNITS["length"].get(str(unit_of(_KIND, _flat(re.sub(rf"^{NUMBER} ?", "", part)))), 0.0)
        for part in match.groups()
    )
    if not big or not small:
        return ""
    if big > small:
        total = explain("length", text).mend
        return any_of([*size.texts, *total.texts]) if isinstance(total, Offer) else ""
    return size


def _one(text: str) -> str:
    half = re.fullmatch(rf"({NUMBER}) ?({either(UNITS['length'])}) ?(?:in )?(?:radius|r)", text)
    if half:
        size = f"{2 * number(half[1]):g} {half[2]} across"
        return offer(f"write {size}, twice the radius", size)
    around = re.sub(r" ?(?:diameter|diam\.?|dia\.?|round|wide|ø|Ø|⌀) ?", "", text)
    if around != text and reads_size(around):
        return if_meant(f"{around} across")
    if re.search(r"\bsquare\b|\bsq\b", text):
        side = re.match(_LONG, text)
        if not side or re.search(r"\b(?:feet|foot|ft|inch|yard|metre)", text[side.end() :]):
            return "write both sides, such as 12 x 12 in"
        size = f"{side[0]} x {side[0]}"
        return offer(f"write both sides: {size}", size)
    try:
        return explain("length", text).mend
    except Refused as refused:
        return refused.mend
