"""What a text that is of no form may have been meant as. Imported only when one was refused."""

from __future__ import annotations

import re

from felt_engine.reading import words
from felt_engine.reading.misread import DOUBT, RANGE, explain, reads
from felt_engine.reading.offers import Offer, any_of, if_meant, offer
from felt_engine.reading.quantity import NUMBER, VULGAR
from felt_engine.reading.tidy import in_plain_signs
from felt_engine.suggest import did_you_mean

_COINS = {
    "€": ("EUR",), "euro": ("EUR",), "euros": ("EUR",), "£": ("GBP",), "us$": ("USD",),
    "$": ("USD", "CAD", "AUD"), "c$": ("CAD",), "a$": ("AUD",), "nz$": ("NZD",),
    "¥": ("JPY", "CNY"), "kr": ("SEK", "NOK", "DKK"), "fr": ("CHF",), "zł": ("PLN",),
}  # fmt: skip
"""Signs and short words for money, and the codes of ISO 4217 that they may stand for."""


_WAYS = {
    word: way
    for way, told in {
        "north-south": "north south n s vertical up down top bottom near far front back",
        "east-west": "east west e w horizontal sideways across left right",
        "northeast-southwest": "northeast southwest ne sw",
        "northwest-southeast": "northwest southeast nw se",
        "around": "circular spiral concentric",
        "radial": "outwards",
    }.items()
    for word in told.split()
} | dict.fromkeys(("none", "any", "all over", "all ways", "in all directions"), "random") | {
    "up and down": "north-south",
}  # fmt: skip
"""What makers also say for a direction; two of a way, as in left to right, say it too."""


def mend_point(text: str) -> str:
    """A place that was given the other way round, or without its units."""
    if re.search(r"\b(?:west|south)\b|-[0-9]", text):
        return "count from the near left corner: so far east, so far north, never below 0"
    swapped = re.fullmatch(r"([^,]{1,30}) north, ?([^,]{1,30}) east", text)
    if swapped:
        return any_of([f"{swapped[2]} east, {swapped[1]} north"])
    bare = re.fullmatch(rf"({NUMBER}) (?:east|e), ?({NUMBER}) (?:north|n)", text)
    if bare is None:
        spaced = re.sub(r"\s*,\s*(?=[^\s,]+(?: [^\s,]+)* north$)", ", ", text)
        return any_of([spaced]) if spaced != text else _both_ways(text)
    place = f"{bare[1]} cm east, {bare[2]} cm north"
    return offer(f"say the units: {place}, if that is meant", place)


def _both_ways(text: str) -> str:
    """A place of which one length can't be read, or neither, though it is plain what they may be."""
    far = r"((?:[^,]|,(?=[0-9])){1,40}?) ?"
    found = re.fullmatch(rf"{far}(?:east|e),? ?{far}(?:north|n)", text, re.IGNORECASE)
    told: list[tuple[str, ...]] = []
    for length in found.groups() if found else ():
        mend = None if reads(("position",), length) else explain("position", length).mend
        if mend is not None and not isinstance(mend, Offer):
            return ""
        told.append((length,) if mend is None else mend.texts)
    if not told:
        return ""
    places = [f"{east} east, {north} north" for east in told[0] for north in told[1]]
    return if_meant(places[0]) if len(places) == 1 else any_of(places)


def mend_direction(text: str) -> str:
    """A direction in other words, or as degrees."""
    plain = in_plain_signs(text).lower().replace("–", "-").replace(" to ", "-").replace("/", "-")
    if plain in (
        "lengthwise",
        "lengthways",
        "crosswise",
        "crossways",
        "widthwise",
        "across",
        "along",
    ):
        return "write north-south (away from you) or east-west, whichever way that is on the table"
    if plain in ("diagonal", "diagonally"):
        return any_of(["northeast-southwest", "northwest-southeast"])
    way = _WAYS.get(plain) or _WAYS.get(plain.replace("-", ""))
    ends = {_WAYS.get(end) for end in plain.split("-")}
    way = way or (ends.pop() if len(ends) == 1 else None)
    if way:
        return if_meant(way)
    turned = re.fullmatch(
        r"(?:at )?(?:bearing )?([-−])?([0-9]{1,3}(?:[.][0-9]{1,2})?) ?(?:°|degrees|deg)?", plain
    )
    if turned and float(turned[2]) <= 360:
        text = f"bearing {360 - float(turned[2]):g}°" if turned[1] else f"bearing {turned[2]}°"
        return offer(f"write {text} (clockwise from the far edge of the table)", text)
    known = [*words.COMPASS, "random", "radial", "around"]
    other = "write it clockwise from the far edge, in degrees, as in bearing 30°"
    return did_you_mean(plain, known, other, cutoff=0.75)


def mend_colour(text: str) -> str:
    """A colour by a name that is nearly one of CSS."""
    from felt_engine.data.colours import CSS_COLOURS

    other = 'give it as "#rrggbb" in quotes; the dyer\'s own name can go under shade'
    word = text.lower().replace(" ", "").replace("-", "").replace("_", "")
    return did_you_mean(word, CSS_COLOURS, other, cutoff=0.75 if word == text.lower() else 0.85)


def mend_share(text: str) -> str:
    """A share without its sign, or of nothing."""
    match = re.fullmatch(rf"({NUMBER}) ?(percent|per cent|pct|pc|)", text)
    if not match:
        long = re.fullmatch(r"([0-9]{1,2}),([0-9]{3,6}) ?%", text)
        if long:
            return if_meant(f"{long[1]}.{long[2]} %")
        tidy = in_plain_signs(text)
        if tidy != text and re.fullmatch(rf"{NUMBER} ?(?:%|parts?)", tidy):
            return any_of([tidy])
        if re.fullmatch(r"0+(?:[.,]0+)? ?(?:%|parts?)", text):
            return "write a share above nothing, or leave the lot out"
        mend = "" if "%" in text else _explained("weight", text)
        return mend if isinstance(mend, Offer) or not mend.startswith("units known") else ""
    if not match[2] and ("/" in match[1] or match[1][-1] in VULGAR):
        return any_of([f"{match[1]} parts"])
    if match[2]:
        return any_of([f"{match[1]} %"])
    parts = f"{match[1]} part{'s' * (match[1] != '1')}"
    return any_of([_of_one(match[1]) or f"{match[1]} %", parts])


def mend_part(text: str) -> str:
    """A bare figure: of a hundred, or, below one, of one."""
    part = _of_one(text)
    if part:
        return if_meant(part)
    return if_meant(f"{text} %") if re.fullmatch(r"[2-9]|[1-9][0-9]", text) else ""


def _of_one(text: str) -> str:
    """A bare figure below one as a percentage; "" for any other."""
    part = re.fullmatch(r"0?[.,][0-9]{1,4}", text)
    return f"{100 * float(text.replace(',', '.')):.4g} %" if part and text.strip("0.,") else ""


def mend_price(text: str) -> str:
    """A price in other signs, without its currency or weight, or two prices in one."""
    from felt_engine.reading.forms import PRICE

    second = rf" ?(?:(?:-|–|—|to|or) ?({NUMBER})|/ ?({NUMBER})(?=.*(?:/|per)))(?![0-9])"
    two = re.match(rf"(\D{{0,4}}?)({NUMBER}){second}", text)
    if two:
        rest = text[two.end() :]
        each = [f"{two[1]}{figure}{rest}" for figure in (two[2], two[3] or two[4])]
        return any_of(each) if all(map(PRICE.takes, each)) else RANGE
    found = re.fullmatch(
        rf"(\D{{0,4}}?) ?({NUMBER}) ?([^\d/.,]{{0,9}}?)\.? ?(?:(?:/|\bper\b|\ba\b) ?([^/]{{1,20}}))?",
        text,
    )
    if found is None or re.match("[-−–]", text):
        return ""
    before, figure, behind, weight = found.groups()
    sign = (before or behind).strip().rstrip(".").lower()
    codes = _COINS.get(sign, (sign.upper(),) if re.fullmatch("[a-z]{3}", sign) else ())
    if not weight:
        return "say what weight it buys, as in 4.80 EUR per 100 g"
    if not codes:
        return "say the currency in its three letters, as in 4.80 EUR per 100 g"
    return any_of([f"{figure} {code} per {weight.strip()}" for code in codes], ", if that is meant")


def mend_fineness(text: str) -> str:
    """A diameter or a count without its unit, or two counts in one."""
    if re.fullmatch(r"[0-9]{1,2}([.][0-9]{1,3})?", text):
        coarse = offer(f"write {text}s, if a count grade is meant", f"{text}s")
        return any_of([f"{text} um"]) if float(text) < 40 else coarse
    two = re.fullmatch(r"([1-9][0-9]{1,2})['’]?s? ?(?:/|-|–|to) ?([1-9][0-9]{1,2})['’]?s", text)
    if two:
        return any_of([f"{two[1]}s", f"{two[2]}s"])
    count = re.fullmatch(r"([1-9][0-9]{1,2}) ?['’]? ?[sS]", text)
    return any_of([f"{count[1]}s"]) if count else _explained("fineness", text)


def mend_warmth(text: str) -> str:
    """Water in other words, or as degrees."""
    known = words.HINTS.get(text.lower().strip())
    if known in words.WATER:
        return if_meant(known)
    return _explained("temperature", text)


def _explained(kind: str, text: str) -> str:
    """Why a text that starts with a figure, or a doubt of one, is no quantity of this kind."""
    if not re.match(rf"(?:{DOUBT})?\s*[-–−]?[ .,]*[0-9]", text, re.IGNORECASE):
        return ""
    return explain(kind, text).mend
