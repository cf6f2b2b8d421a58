"""Why a text is no quantity, in words that help. Imported only when something was refused."""

from __future__ import annotations

import re
from contextlib import suppress

from felt_engine.plain_text import NO_OTHER
from felt_engine.reading.offers import Offer, any_of, if_meant, offer, sound
from felt_engine.reading.quantity import (
    BLANKS,
    EXAMPLES,
    NAMES,
    NOT_ZERO,
    NUMBER,
    UNITS,
    VULGAR,
    Refused,
    number,
    parse,
    pattern,
)
from felt_engine.suggest import nearest

ALSO = {
    "gr": "g", "grm": "g", "gm": "g", "gms": "g", "gramme": "g", "grammes": "g", "kilo": "kg",
    "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "kilogramme": "kg", "kilogrammes": "kg",
    "kgs": "kg", "0z": "oz", "ozs": "oz",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "cms": "cm",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "millimetre": "mm",
    "millimetres": "mm", "millimeters": "mm", "mms": "mm", "yds": "yd",
    "ins": "in", "''": "in", "’’": "in", "′′": "in",
    "mic": "um", "mics": "um", "µ": "um", "μ": "um", "sec": "s", "secs": "s", "hr": "h",
    "hrs": "h", "mins": "min", "deg": "°c", "degrees": "°c", "°": "°c", "deg c": "°c",
    "degc": "°c", "degrees c": "°c", "degrees f": "°f", "celsius": "°c", "fahrenheit": "°f",
}  # fmt: skip
"""What makers also write for a unit."""

ELSEWHERE = {
    "dag": (10, "g"), "dkg": (10, "g"), "deka": (10, "g"), "hg": (100, "g"), "t": (1000, "kg"),
    "tonne": (1000, "kg"), "st": (14, "lb"), "stone": (14, "lb"), "dm": (10, "cm"),
    "hand": (4, "in"), "hands": (4, "in"), "week": (7, "days"), "weeks": (7, "days"),
    "mcg": (0.001, "mg"), "ug": (0.001, "mg"), "µg": (0.001, "mg"), "pfund": (500, "g"),
    "km": (1000, "m"), "nm": (0.001, "um"), "mg/cm²": (10, "g/m²"), "mg/cm2": (10, "g/m²"),
    "g/cm²": (10_000, "g/m²"), "g/cm2": (10_000, "g/m²"), "g/dm²": (100, "g/m²"),
    "g/dm2": (100, "g/m²"),
    "g/yd²": (1.19599, "g/m²"), "g/yd2": (1.19599, "g/m²"), "mg/m²": (0.001, "g/m²"),
    "mg/m2": (0.001, "g/m²"), "grain": (64.79891, "mg"), "grains": (64.79891, "mg"),
    "dram": (1.7718451953125, "g"), "drams": (1.7718451953125, "g"), "ozt": (31.1034768, "g"),
    "oz t": (31.1034768, "g"), "t oz": (31.1034768, "g"), "oz troy": (31.1034768, "g"),
    "troy oz": (31.1034768, "g"), "troy ounce": (31.1034768, "g"),
    "troy ounces": (31.1034768, "g"),
}  # fmt: skip
"""Units that are not read, and what one of them is."""

HINTS = {
    "each": "for each face of a resist write face: each; for each of several pieces, amounts for: one",
    **dict.fromkeys(
        ("per piece", "a piece", "apiece", "per pc", "per pcs", "each piece"),
        "for each of several pieces write amounts for: one",
    ),
    **dict.fromkeys(
        ("per side", "a side", "each side", "per face", "a face", "each face"),
        "for each face of a resist write face: each",
    ),
}
VOLUMES = {"ml", "l", "litre", "litres", "liter", "cl", "cup", "cups", "tsp", "tbsp", "teaspoon",
           "tablespoon", "pint", "pints", "fl oz", "floz", "handful", "handfuls"}  # fmt: skip
LONGEST = 80
"""Characters of a refused text that are looked at."""

_NOTHING = "write an amount above nothing, or leave the line out"
ONE = "write one number and one unit"
RANGE = "write one figure; a range can go into a note"
_BLANKS = f" {BLANKS}"
_BETWEEN = r"(?:-|–|—|to|or|/|\.\.)"
DOUBT = (
    r"about\b|ca?\b\.?|approx(?:imately|\.)?|circa|roughly|nearly|[~≈<>≤≥]|(?:min|max)\b\.?|minimum|maximum|"
    r"up to|at (?:least|most)|over\b|under\b"
)
_NUMBER_FIRST = re.compile(rf"({NUMBER}) ?(.*)", re.DOTALL)
_GROUPED = re.compile(
    rf"([1-9][0-9]{{0,2}})((?:([,.'’{_BLANKS}])[0-9]{{3}})(?:\3[0-9]{{3}})*)"
    rf"(?:([,.])([0-9]{{1,6}}))?[{_BLANKS}]?([^0-9,.].*)?"
)


_COUNTS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
           "eleven", "twelve")  # fmt: skip


_EACH = {
    "pair": 2, "pairs": 2, "couple": 2, "couples": 2, "dozen": 12, "dozens": 12, "doz": 12, "score": 20,
    "gross": 144, "hundred": 100, "hundreds": 100, "thousand": 1000, "k": 1000, "once": 1, "twice": 2,
}  # fmt: skip
"""Words for so many at once."""

_ALONE = ("x", "×", "time", "times", "row", "rows", "turn", "turns", "roll", "rolls", "pass", "passes",
          "piece", "pieces", "pc", "pcs", "throw", "throws")  # fmt: skip
"""What is written behind a count, and changes nothing of it."""


def counted(text: str) -> tuple[int, bool] | None:
    """The whole number that a text may stand for, and whether it surely does.

    03, 3.00, ٣, three, 100x, x 100 and 100 times do; 2 pairs is four, and 3 fair ones are perhaps three.
    """
    from felt_engine.reading.tidy import in_plain_signs

    plain = in_plain_signs(text[:LONGEST]).lower().strip()
    bare = plain.strip(" '\"")
    sure = bare == plain or plain[0] == plain[-1]
    plain = bare.rstrip(". ")
    words = "|".join(_COUNTS)
    match = re.fullmatch(
        rf"(?:[x×] ?)?(?:0*([0-9]{{1,9}})(?:[.,]0*)?|(?:(a|an|{words})(?![^\W\d_]))) ?(×|[a-z]{{1,12}}|)",
        plain,
    )
    if match is None:
        each = _EACH.get(plain)
        return None if each is None else (each, False)
    told, unit = match[2] or "", match[3]
    if told in ("a", "an") and unit not in _EACH:
        return None
    count = int(match[1]) if match[1] else 1 if told in ("a", "an") else _COUNTS.index(told)
    return count * _EACH.get(unit, 1), sure and (not unit or unit in _ALONE)


def explain(kind: str, text: str, kinds: tuple[str, ...] = ()) -> Refused:
    """The most likely reason why this text was refused, as an error to raise."""
    wanted = kinds or (kind,)
    expected = " or ".join(f"{NAMES[k]} such as {EXAMPLES[k]}" for k in wanted)
    told = text.strip()
    if len(told) > LONGEST and not re.search(r"[^0-9.,]", told[:LONGEST]):
        return Refused(expected, "write it in at most 7 figures, and 6 behind the point")
    single = " ".join(told.split())
    if single != text and len(single) <= LONGEST and reads(wanted, single):
        return Refused(expected, offer(f"write {single}{NO_OTHER}", single))
    return Refused(expected, _mend(wanted, told[:LONGEST]))


def doubtful(whole: str, over: str, under: str, unit: str) -> str:
    """What two figures and a stroke may be, where they may be two figures."""
    if int(under) > 12:
        return RANGE
    decimals = f"{int(whole or 0) + int(over) / int(under):.6f}".rstrip("0")
    text = f"{decimals} {unit}".rstrip()
    return offer(f"write {text}, if it is a fraction; a range can go into a note", text)


def mixed(whole: int, over: str, under: str, unit: str) -> str:
    """What a fraction above one may have meant: ``11/2`` is 5 1/2, or 1 1/2 without its blank."""
    extra, rest = divmod(int(over), int(under))
    told = [f"{whole + extra} {rest}/{under}" if rest else str(whole + extra)]
    for split in range(1, 1 if whole else len(over)):
        if over[split] != "0" and int(over[split:]) < int(under):
            told.append(f"{over[:split]} {over[split:]}/{under}")
    return any_of(list(dict.fromkeys(f"{one} {unit}".rstrip() for one in told)))


def mixed_sum(parts: list[str], refused: Refused) -> Refused:
    """The same for a fraction above one in a sum (``3 ft 13/4 in``): the whole sum, mended."""
    texts = list(refused.mend.texts) if isinstance(refused.mend, Offer) else []
    last = all(text.endswith(f" {parts[3]}") for text in texts)
    big, small = f"{parts[0]} {parts[1]}", f"{parts[2]} {parts[3]}"
    sums = [f"{big} {text}" if last else f"{text} {small}" for text in texts]
    return Refused(refused.expected, any_of(sums) if sums else refused.mend, refused.kind)


def carried(kind: str, parts: list[str]) -> Refused:
    """Why ``1 lb 17 oz`` is refused: the second figure comes to one of the first, or more."""
    units, (first, big, second, small) = UNITS[kind], parts
    each = round(units[big] / units[small])
    more, rest = divmod(number(second, small), each)
    left = f"{rest:.6f}".rstrip("0").rstrip(".")
    told = [(f"{number(first, big) + more:g}", big), (left, small)]
    whole = " ".join(f"{n}{' ' * u[0].isalpha()}{u}" for n, u in told if n != "0")
    expected = f"less than {each} {small} beside the {big}"
    return Refused(expected, if_meant(whole), kind="limit")


def _mend(kinds: tuple[str, ...], text: str) -> str:
    for reason in (
        _empty,
        _sign,
        _grouped,
        _figure,
        _long,
        _times,
        _span,
        _untidy,
        _odd_number,
        _unit,
    ):
        mend = sound(reason(kinds, text), lambda one: reads(kinds, one), "")
        if mend:
            return mend
    return ONE


def reads(kinds: tuple[str, ...], text: str) -> bool:
    """Whether this is a quantity of one of these kinds, and within bounds."""
    return any(_reads_as(kind, text) for kind in kinds)


def _reads_as(kind: str, text: str) -> bool:
    if re.match(pattern(kind), text) is None:
        return False
    try:
        parse(kind, text)
    except Refused:
        return False
    return True


def _empty(kinds: tuple[str, ...], text: str) -> str:
    return "" if text else "write the amount, or leave the whole line out"


def _sign(kinds: tuple[str, ...], text: str) -> str:
    if text[0] in "-−–+±":
        mend = "write it without a sign"
        return mend + "; water is never below 0 °C" if "temperature" in kinds else mend
    if re.match(r"[^\d]*(nan|inf)", text, re.IGNORECASE):
        return "write a number"
    if re.fullmatch(r"0+/\d.*|[0., /]+ ?\D*", text) and "0" in text and "°" not in text:
        return offer("write 0 cm or 0 in", "0 cm", "0 in") if kinds[0] == "position" else _NOTHING
    doubt = re.match(rf"(?:{DOUBT})\s*", text, re.IGNORECASE)
    if doubt:
        alone, hint = text[doubt.end() :], "a range or a doubt can go into a note"
        if reads(kinds, alone):
            return offer(f"write {alone} alone; {hint}", alone)
        return f"write the figure alone; {hint}"
    return ""


def _grouped(kinds: tuple[str, ...], text: str) -> str:
    match = _GROUPED.fullmatch(text)
    if not match or match[3] == match[4]:
        return ""
    first, rest, mark, point, decimals, unit = match.groups()
    read = unit_of(kinds, unit.strip()) if unit else _usual(kinds)
    if read is None:
        between = "write the number with nothing between its digits"
        return f"{RANGE}; {between}" if re.match(rf"{_BETWEEN} ?[0-9]", unit) else between
    whole = first + re.sub(r"[^0-9]", "", rest)
    doubt = "" if unit and _known(kinds, unit.strip()) else ", if that is meant"
    if point:
        return any_of([f"{whole}.{decimals} {read}"], doubt)
    if mark == "," and len(rest) == 4:
        part = rest[1:].rstrip("0")
        small = f"{first}.{part}" if part else first
        both = [f"{whole} {read}", f"{small} {read}"]
        within = [one for one in both if reads(kinds, one)]
        return any_of(within or both, ", if that is meant")
    return any_of([f"{whole} {read}"], doubt) if mark != "." or len(rest) > 4 else ""


def _figure(kinds: tuple[str, ...], text: str) -> str:
    """What mends the figure itself, where all about it can be read."""
    for kind in kinds:
        if re.match(pattern(kind), text):
            try:
                parse(kind, text)
            except Refused as refused:
                return refused.mend
    return ""


def _span(kinds: tuple[str, ...], text: str) -> str:
    from felt_engine.reading.tidy import fractions_apart

    apart = fractions_apart(text)
    if apart != text:
        if not reads(kinds, apart):
            return _mend(kinds, apart)
        return offer(f"write a blank between the whole number and the fraction: {apart}", apart)
    if re.match(r"[\d.,]+[eE][+-]?\d", text):
        return "write the number out in full, without an exponent"
    if re.match(rf"[\d.,/]+ ?[^\d\s]* ?{_BETWEEN} ?\d", text) and _two(kinds, text):
        return RANGE
    return ""


def _two(kinds: tuple[str, ...], text: str) -> bool:
    """Whether what follows the first number isn't just the rest of a fraction or of an area."""
    return not re.match(rf"(?:{NUMBER}|\d+) ?/ ?\d|{NUMBER} ?[^\d\s]+/[^\d\s]+", text)


def _untidy(kinds: tuple[str, ...], text: str) -> str:
    """The same without a slip of the keys, if that can be read."""
    from felt_engine.reading.tidy import hidden_in, tidied

    for tried in tidied(text):
        if tried != text and re.match(pattern(*kinds), tried):
            hidden = hidden_in(text)
            if hidden:
                return offer(f"write {tried} alone; there is a hidden {hidden} in it", tried)
            return if_meant(tried)
    return ""


def _long(kinds: tuple[str, ...], text: str) -> str:
    """More digits than are read: the same figure with fewer, if that is one."""
    match = re.fullmatch(r"([0-9]*)[.,]([0-9]{7,}) ?([^0-9.,].*)?", text)
    if match:
        unit = unit_of(kinds, match[3].strip()) if match[3] else _usual(kinds)
        rounded = f"{float(f'{match[1]}.{match[2]}'):.6f}".rstrip("0").rstrip(".")
        few = "write at most 6 digits behind the point"
        if unit is None or rounded == "0" or len(match[1]) > 7:
            return f"{few}, or a smaller unit"
        return if_meant(f"{rounded} {unit}")
    return (
        "write one number of at most 7 digits" if re.match(r"[0-9]{8,} ?[^0-9.,/ ]", text) else ""
    )


def _times(kinds: tuple[str, ...], text: str) -> str:
    """``2 x 15 g``: what it comes to."""
    match = re.fullmatch(rf"([1-9][0-9]?) ?(?:[x×*]|times) ?({NUMBER}) ?([^0-9.,/]*)", text)
    unit = unit_of(kinds, match[3].strip()) if match else None
    if not match or unit is None or kinds[0] not in ("weight", "areal"):
        return ""
    try:
        total = f"{int(match[1]) * number(match[2]):.6f}".rstrip("0").rstrip(".")
    except Refused:
        return ""
    return if_meant(f"{total} {unit}") if total != "0" else _NOTHING


def _odd_number(kinds: tuple[str, ...], text: str) -> str:
    if re.match(r"\d+_\d|\d[\d.,]*[.,]\d*[.,]|\d+ ?[.,] ?\d", text) and not _starts(text):
        return "write the number with one decimal point and nothing between its digits"
    if re.match(r",\d", text):
        return "write a nought before the comma"
    if re.match(rf"\d+/0+(?![0-9.,{''.join(VULGAR)}])", text):
        return "write a fraction that is not over nought"
    if not re.match(r"[0-9.½¼¾⅓⅔⅛⅜⅝⅞]", text):
        return "start with a number in the digits 0 to 9"
    return ""


def _starts(text: str) -> bool:
    """Whether the text starts with a right number, and something else than digits follows."""
    match = _NUMBER_FIRST.match(text)
    return bool(match) and not re.match(r"[0-9.,_]", match[2]) if match else False


def _unit(kinds: tuple[str, ...], text: str) -> str:
    match = _NUMBER_FIRST.match(text)
    if not match or re.match(r"[0-9]|[.,/] ?[0-9]", text[match.end(1) :]):
        return ""
    value, unit = match[1], match[2].strip()
    if not unit:
        whole = f"{value} {_usual(kinds)}"
        return offer(f"say the unit: {whole}, if that is meant", whole)
    if unit.lower().rstrip(".") in VOLUMES:
        return "that is a volume, and loose fibre has no fixed one: weigh it"
    other = next((k for k in UNITS if unit in UNITS[k] and not _known(kinds, unit)), None)
    clock = {"m": "min", "'": "min", "′": "min", '"': "s", "″": "s"}.get(unit)
    if clock and "time" in kinds:
        return if_meant(f"{value} {clock}")
    if other:
        return f"{unit} is the unit of {NAMES[other]}"
    if not re.match(NOT_ZERO, value) and kinds[0] not in ("position", "temperature"):
        return ONE if re.search(r"[1-9]", unit) else _NOTHING
    foreign = _foreign(kinds, unit)
    if foreign:
        return foreign
    close = unit_of(kinds, unit)
    if close:
        return if_meant(f"{value} {close}")
    return _joined(kinds, value, unit) or _listed(kinds)


def _foreign(kinds: tuple[str, ...], unit: str) -> str:
    many, read = ELSEWHERE.get(unit.lower().rstrip("."), (0, ""))
    return f"{unit} is not read; one is {many} {read}" if _known(kinds, read) else ""


def _joined(kinds: tuple[str, ...], value: str, rest: str) -> str:
    """Two amounts in one text: their sum in the second unit; or an amount and a remark."""
    rest = re.sub(r"(?<=[^\W\d_]|['’′])\. ?(?=\d)", " ", rest)  # of an abbreviation
    match = re.fullmatch(rf"([^\d\s.,+&]+) ?(\+|&|and|plus)? ?({NUMBER}) ?([^\d\s.,+&]+)", rest)
    if match:
        return _sum(kinds, value, *match.groups())
    first, *words = rest.split()
    if not words or not _known(kinds, first):
        return ONE if re.search(rf"[0-9{''.join(VULGAR)}]", rest) else ""
    if re.fullmatch(r"[0-9.,/ ]+", "".join(words)):
        return f"say the unit of {' '.join(words)} too, or write it as one amount"
    whole, said = f"{value} {first}", " ".join(words)
    bare = said.strip("()")
    own = HINTS if kinds[0] in ("weight", "areal") else {}
    hint = own.get(words[-1]) or own.get(bare)
    if set(words) != {first} and not hint and not _is_remark(said, kinds, whole):
        return ONE
    hint = hint or "the rest has a key of its own, or can go into a note, if it changes nothing"
    return offer(f"write {whole} alone; {hint}", whole)


ALIKE = 0.04
"""Part by which one amount in two systems may differ, as they are rounded (own choice): 1 oz and 28 g."""

_TURNS = frozenset(re.findall(
    r"\w+",
    "square squared sq cubed cubic troy fl fluid per times x less minus plus below above over under more "
    "pair pairs dozen dozens half halves third thirds quarter quarters one two three four five six seven "
    "eight nine ten eleven twelve fifteen twenty thirty forty fifty hundred double doubled twice halved "
    "again",
))  # fmt: skip
"""Words that make another quantity of the figure and the unit before them."""


def _is_remark(words: str, kinds: tuple[str, ...], whole: str) -> bool:
    """Whether words behind a quantity leave it what it is: plain words, or what it is in other units."""
    if re.fullmatch(r"\([^()]*\)", words):
        inside = words[1:-1].strip()
        return _is_remark(inside, kinds, whole) or _is_same(inside, kinds, whole)
    units = {*ALSO, *ELSEWHERE, *VOLUMES, *(unit for kind in UNITS.values() for unit in kind)}
    told = [one.rstrip("²³") for one in re.findall(r"[^\W\d_]+", words.lower())]
    plain = re.fullmatch(r"[^\W\d_]+(?:[ ,;.-]+[^\W\d_]+)*[.,;]?", words)
    others = units.union(_TURNS).intersection(told) or any(char in VULGAR for char in words)
    return plain is not None and not others


def _is_same(text: str, kinds: tuple[str, ...], whole: str) -> bool:
    """Whether two quantities are about the same."""
    for kind in kinds:
        with suppress(Refused):
            one, two = parse(kind, whole).si, parse(kind, re.sub(r"^(?:= ?|~ ?)", "", text)).si
            return abs(one - two) < ALIKE * max(one, two)
    return False


def _sum(
    kinds: tuple[str, ...], value: str, big: str, plus: str | None, more: str, small: str
) -> str:
    for kind in kinds:
        units = UNITS[kind]
        if big in units and small in units and kind not in ("temperature", "fineness"):
            unit = min((small, big), key=units.__getitem__)
            try:
                total = number(value, big) * units[big] + number(more, small) * units[small]
            except Refused:
                return ONE
            said = f"{total / units[unit]:.4f}".rstrip("0").rstrip(".")
            if not total:
                return _NOTHING
            if said == "0" or len(said) >= 12:
                return ONE
            first, second = number(value) * units[big], number(more) * units[small]
            ratio = max(units[big], units[small]) / min(units[big], units[small])
            # of another system: ounces beside grams
            other = abs(ratio - round(ratio)) > 1e-6 * ratio
            # the larger unit's figure is whole, and the rest less than one of it
            whole, rest = (value, second) if units[big] > units[small] else (more, first)
            one = max(units[big], units[small])
            mixed = other or not whole.isdecimal() or rest >= one * (1 - 1e-9)
            if plus not in ("+", "plus") and (
                mixed or units[big] == units[small] or not first or not second
            ):
                if (
                    units[big] != units[small]
                    and abs(first - second) < (ALIKE if other else 1e-6) * total
                ):
                    return offer(f"write one of the two alone: {value} {big}", f"{value} {big}")
                return ONE
            return offer(f"write it in one unit: {said} {unit}", f"{said} {unit}")
    return ONE


def _known(kinds: tuple[str, ...], unit: str) -> bool:
    return any(unit in UNITS[k] for k in kinds)


def _usual(kinds: tuple[str, ...]) -> str:
    """The unit of the first example: what a number without one most likely is in."""
    return EXAMPLES[kinds[0]].split(" or ")[0].split(" ", 1)[-1]


def unit_of(kinds: tuple[str, ...], unit: str) -> str | None:
    """The unit that this word most likely means, if any."""
    known = [u for k in kinds for u in UNITS[k]]
    plain = unit.lower().rstrip(".:;,)")
    plain = ALSO.get(plain, plain)
    close = next((u for u in known if u.lower() == plain), None)
    if close or re.search(r"[0-9]", re.sub(r"[^ 0-9]\^?2$", "", unit)) or re.search("[ _-]", unit):
        return close
    letters = re.sub(r"[^a-z]", "", plain)
    if "/" in unit:
        known = [u for u in known if "/" in u and re.sub(r"[^a-z]", "", u) == letters]
    return nearest(unit, [u for u in known if len(u) > 2], 0.75)


def _listed(kinds: tuple[str, ...]) -> str:
    plain = [u for k in kinds for u in UNITS[k] if len(u) > 1 or u.isalpha()]
    return "units known here: " + ", ".join(plain[:14])
