"""Texts of a fixed form: sizes, places, directions, colours, shares, prices, fineness, water."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

from felt_engine.model.amount import (
    Amount,
    Colour,
    Direction,
    Fineness,
    Point,
    Price,
    Share,
    Size,
    Warmth,
)
from felt_engine.reading import words
from felt_engine.reading.offers import Offer, any_of, if_meant
from felt_engine.reading.quantity import (
    END,
    NOT_ZERO,
    NUMBER,
    UNITS,
    VULGAR,
    Refused,
    body,
    check_fraction,
    either,
    number,
    parse,
    quick,
)
from felt_engine.reading.shape import Form

_BY = r" ?(?:x|×|by) ?"


def _mend(form: str) -> Callable[[str], str]:
    """What mends a text of this form: read from its own module only when one was refused."""

    def mend(text: str) -> str:
        from felt_engine.reading import misread_forms

        found: str = getattr(misread_forms, f"mend_{form}")(text)
        return found

    return mend


def _mend_size(text: str) -> str:
    from felt_engine.reading.misread_size import mend_size

    return mend_size(text)


def _size_pattern() -> str:
    """Two lengths, or one; the first of two may leave its unit to a second that has just one."""
    length, one = body("length"), f"{NUMBER} ?{either(UNITS['length'])}"
    bare = f"{NOT_ZERO}({NUMBER}){_BY}({NOT_ZERO}{one})"
    return rf"^(?:({length})(?:{_BY}({length})| across)?|{bare}){END}"


def _quick_size(text: str) -> Size | None:
    if text.endswith("mm") and "." in text:
        return None
    first, by, second = text.partition(" x ")
    depth = quick("length", second) if by else None
    if by and depth is None:
        return None
    width = quick("length", first)
    if width is None and depth is not None:
        width = quick("length", f"{first} {depth.unit}")
    return None if width is None else Size(text, width, depth)


def _size(match: re.Match[str]) -> Size:
    try:
        return _made_size(match)
    except Refused as refused:
        from felt_engine.reading.misread_size import mend_over

        mend = mend_over(match.string)
        if not mend:
            raise
        raise Refused(SIZE.expected, mend, refused.kind) from None


def _made_size(match: re.Match[str]) -> Size:
    if "mm" in match.string and "." in match.string:
        from felt_engine.reading.misread_size import POINTED, mend_points

        if re.search(POINTED, match.string):
            one_way = "a size that can be read in one way"
            raise Refused(one_way, mend_points(match.string), kind="limit")
    if match[3]:
        depth = _side(match[4], f"{match[3]} x {{}}")
        return Size(match.string, _side(f"{match[3]} {depth.unit}", f"{{}} x {match[4]}"), depth)
    if not match[2]:
        return Size(match.string, parse("length", match[1]), None)
    width = _side(match[1], f"{{}} x {match[2]}")
    return Size(match.string, width, _side(match[2], f"{match[1]} x {{}}"))


def _side(text: str, whole: str) -> Amount:
    """One length of a size. Refused with the whole size in what it offers."""
    try:
        return parse("length", text)
    except Refused as refused:
        if not isinstance(refused.mend, Offer):
            raise
        mend = any_of([whole.format(one) for one in refused.mend.texts], ", if that is meant")
        raise Refused(refused.expected, mend, refused.kind) from None


SIZE = Form(
    "size", _size_pattern, _size, "60 x 40 cm",
    "a size: west to east, then near to far edge (60 x 40 cm), or one length across (30 cm)",
    _mend_size, _quick_size,
)  # fmt: skip


def _quick_point(text: str) -> Point | None:
    first, _, second = text.partition(" east, ")
    north = second.removesuffix(" north")
    if north == second:
        return None
    across, deep = quick("position", first), quick("position", north)
    return None if across is None or deep is None else Point(text, across, deep)


POINT = Form(
    "point",
    lambda: rf"^({body('position')}) east, ({body('position')}) north{END}",
    lambda m: Point(m.string, parse("position", m[1]), parse("position", m[2])),
    "12 cm east, 8 cm north",
    "a place counted from the near left corner of the laid-out size: 12 cm east, 8 cm north",
    _mend("point"),
    _quick_point,
)


def _direction(match: re.Match[str]) -> Direction:
    text = match.string
    if text in words.COMPASS:
        return Direction(text, "axis", words.COMPASS[text])
    if match[1]:
        bearing = number(match[1], "°")
        if bearing > 360:
            raise Refused("a bearing from 0° to 360°", "check the figure", kind="limit")
        return Direction(text, "axis", bearing % 180.0)
    return Direction(text, text)


def _quick_direction(text: str) -> Direction | None:
    if text in ("random", "radial", "around"):
        return Direction(text, text)
    bearing = words.COMPASS.get(text)
    return None if bearing is None else Direction(text, "axis", bearing)


DIRECTION = Form(
    "direction",
    lambda: (
        rf"^(?:{either(list(words.COMPASS))}|random|radial|around"
        rf"|bearing ({NUMBER}) ?(?:°|degrees|deg)){END}"
    ),
    _direction,
    "north-south",
    "a direction: north-south (north is the far edge of the table), east-west, "
    "northeast-southwest, northwest-southeast, bearing 30°, random, radial or around",
    _mend("direction"),
    _quick_direction,
)


def _colour(match: re.Match[str]) -> Colour:
    text = match.string
    digits = text.removeprefix("#").lower()
    if match[1]:
        if len(digits) == 3:
            digits = "".join(d * 2 for d in digits)
        return Colour(text, "#" + digits)
    from felt_engine.data.colours import CSS_COLOURS

    found = CSS_COLOURS.get(text)
    if found is None:
        raise Refused(COLOUR.expected, _mend("colour")(text), kind="link")
    return Colour(text, found)


def _quick_colour(text: str) -> Colour | None:
    plain = len(text) == 7 and text[0] == "#" and not set(text[1:]) - _HEX
    return Colour(text, text.lower()) if plain else None


_HEX = frozenset("0123456789abcdefABCDEF")
COLOUR = Form(
    "colour",
    lambda: rf"^(?:(#?[0-9A-Fa-f]{{6}}|#[0-9A-Fa-f]{{3}})|[a-z]{{3,24}}){END}",
    _colour,
    "#b3202a",
    'a colour: "#b3202a" in quotes, b3202a, or a CSS colour name such as navy',
    _mend("colour"),
    _quick_colour,
)


def _whole_percent(text: str) -> int | None:
    """The number of a plain whole percentage (``70 %``), else ``None``."""
    figure = text.removesuffix(" %")
    plain = figure != text and len(figure) <= 3 and figure.isascii() and figure.isdigit()
    return int(figure) if plain else None


def _share(match: re.Match[str]) -> Share:
    text = match.string
    if match[1]:
        value = number(match[1], "%")
        if value > 100:
            raise Refused("a share up to 100 %", "check the figure", kind="limit")
        return Share(text, value, "percent")
    if match[2]:
        return Share(text, number(match[2], "parts"), "parts")
    return Share(text, parse("weight", text).si, "weight")


def _quick_share(text: str) -> Share | None:
    value = _whole_percent(text)
    return Share(text, float(value), "percent") if value is not None and 0 < value <= 100 else None


SHARE = Form(
    "share",
    lambda: rf"^(?:{NOT_ZERO}({NUMBER}) ?%|{NOT_ZERO}({NUMBER}) parts?|{body('weight')}){END}",
    _share,
    "70 %",
    "a share: 70 %, 3 parts, or a weight",
    _mend("share"),
    _quick_share,
)


_IN = {"percent": "in %", "parts": "in parts", "weight": "as a weight"}
"""How shares are written, by their basis."""


def _like_others(basis: str) -> Callable[[str], str]:
    """What mends a share beside others of this basis: a hint offers no other."""

    def mend(text: str) -> str:
        told = SHARE.mend(text) if SHARE.mend is not None else ""
        if not isinstance(told, Offer):
            return told
        texts = [one for one in told.texts if SHARE.takes(one) and SHARE.value(one).basis == basis]
        if len(texts) == len(told.texts):
            return told
        return (
            any_of(texts, ", if that is meant")
            if texts
            else f"write it {_IN[basis]}, like the others"
        )

    return mend


SHARES_LIKE = {
    basis: Form(SHARE.name, lambda: SHARE.regex, _share, SHARE.example, SHARE.expected,
                _like_others(basis), _quick_share)
    for basis in _IN
}  # fmt: skip
"""A share of a blend whose others are all of one basis."""


_FRACTION = rf"([1-9][0-9]{{0,2}}/[1-9][0-9]{{0,2}}|[{''.join(VULGAR)}])"


def _percentage(percent: str | None, fraction: str | None) -> float:
    """So many per cent: a percentage, or a fraction of one."""
    if percent:
        return number(percent, "%")
    plain = unicodedata.normalize("NFKC", fraction or "")  # ⅓ is 1, a fraction slash, and 3
    over, _, under = plain.replace("\u2044", "/").partition("/")
    if int(over) < int(under):
        check_fraction(over, under, "")
    return 100 * int(over) / int(under)


def _part(match: re.Match[str]) -> Share:
    text = match.string
    value = _percentage(match[1], match[2])
    if match[1] and "/" in match[1] and value < 1:
        raise Refused(PART.expected, any_of([match[1], f"{100 * value:.3g} %"]), kind="limit")
    if value > 90:
        raise Refused("up to 90 %", "check the figure", kind="limit")
    return Share(text, value, "percent")


_PARTS = {"1/2": 100 * 1 / 2, "1/3": 100 * 1 / 3, "2/3": 100 * 2 / 3, "1/4": 100 * 1 / 4,
          "3/4": 100 * 3 / 4}  # fmt: skip


def _quick_part(text: str) -> Share | None:
    if text in _PARTS:
        return Share(text, _PARTS[text], "percent")
    value = _whole_percent(text)
    return Share(text, float(value), "percent") if value is not None and value <= 90 else None


PART = Form(
    "part of a tuft",
    lambda: rf"^(?:({NUMBER}) ?%|{_FRACTION}){END}",
    _part,
    "1/3",
    "a part of the tuft's length: 1/3 or 25 %",
    _mend("part"),
    _quick_part,
)


def _shrinkage(match: re.Match[str]) -> Share:
    value = _percentage(match[1], match[2])
    if match[1] and "/" in match[1] and value < 1:
        texts = [match[1], f"{100 * value:.3g} %"]
        mend = any_of([f"{text}{match[3] or ''}" for text in texts])
        raise Refused(SHRINKAGE.expected, mend, kind="limit")
    if not 0 < value <= 80:
        raise Refused("more than 0 %, and up to 80 %", "check the figure", kind="limit")
    return Share(match.string, value, "area" if match[3] else "side")


SHRINKAGE = Form(
    "shrinkage",
    lambda: (
        rf"^(?:({NUMBER}) ?%|{_FRACTION})"
        rf"(?:( by area| of the area)| of each side| each side)?{END}"
    ),
    _shrinkage,
    "30 %",
    "the part of each side that is lost: 30 % or 1/3; or 50 % by area",
    _mend("part"),
)

PRICE = Form(
    "price",
    lambda: (
        rf"^({NOT_ZERO}{NUMBER}) ([A-Z]{{3}}) ?(?:/|per) ?(?:({body('weight')})"
        rf"|({either(UNITS['weight'])})){END}"
    ),
    lambda m: Price(m.string, number(m[1], m[2]) / parse("weight", m[3] or f"1 {m[4]}").si, m[2]),
    "4.80 EUR per 100 g",
    "a price by weight, with the three letters of the currency: 4.80 EUR per 100 g",
    _mend("price"),
)


def _fineness(match: re.Match[str]) -> Fineness:
    if match[1]:
        from felt_engine.analysis.grades import micrometres_of_grade

        try:
            low, high = micrometres_of_grade(match.string)
        except ValueError:
            raise Refused(
                FINENESS.expected, "give it in micrometres; that count is not graded", kind="link"
            ) from None
        return Fineness(match.string, low * 1e-6, high * 1e-6)
    value = parse("fineness", match.string).si
    return Fineness(match.string, value, value)


def _quick_fineness(text: str) -> Fineness | None:
    value = quick("fineness", text)
    return None if value is None else Fineness(text, value.si, value.si)


FINENESS = Form(
    "fineness",
    lambda: rf"^(?:([1-9][0-9]{{1,2}}s)|{body('fineness')}){END}",
    _fineness,
    "19 um",
    "a fibre diameter (19 um) or a wool count grade (64s)",
    _mend("fineness"),
    _quick_fineness,
)


BOILING = 373.15 + 1e-9
"""No open water is warmer, K."""


def _warmth(match: re.Match[str]) -> Warmth:
    if match.string in words.WATER:
        return Warmth(match.string)
    heat = parse("temperature", match.string)
    if heat.si > BOILING:
        figure = match.string.rstrip("°CF ")
        mend = if_meant(f"{figure} °F") if heat.unit.endswith("C") else "check the figure"
        raise Refused("water up to 100 °C (212 °F)", mend, kind="limit")
    return Warmth(match.string, heat.si)


def _quick_warmth(text: str) -> Warmth | None:
    return Warmth(text) if text in words.WATER else None


WARMTH = Form(
    "water",
    lambda: rf"^(?:{either(list(words.WATER))}|{body('temperature')}){END}",
    _warmth,
    "40 °C",
    "water: cold, cool, lukewarm, warm, hot, or a temperature such as 40 °C or 104 °F",
    _mend("warmth"),
    _quick_warmth,
)
