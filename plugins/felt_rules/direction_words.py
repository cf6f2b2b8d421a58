"""What direction-balance says: its sentences, its advice with amounts, and the sum behind a pull."""

from __future__ import annotations

import cmath
import math

from felt_engine import FaceBuild, Laid, Layer, Piece, Place, figures

HARDLY = 0.5
"""Part of a layer up to which it is said to hardly felt: weight times feltability over weight."""

Pairs = list[tuple[Laid, float]]

WANTED = 0.15
"""Pull that the advice aims at: that of a right three-layer ground (common practice, no source)."""

ALONG = 0.85
"""Alignment of combed top, which the advice is for (from memory)."""

IN_ORDER = 0.30
"""Pull up to which turning a layer is advised: about that of three alternating layers (common
practice, no source)."""

LOOSE = 0.5
"""Alignment up to which fibre lies only loosely one way: that of carded wool (from memory)."""


def way(pull: complex) -> str:
    """The axis of a pull in words that fit behind a verb."""
    words = figures.axis_words(pull)
    return f"along {words}" if words.startswith("bearing") else words


def puller(laid: Pairs, pull: complex) -> Layer:
    """The layer that pulls most this way, all its amounts together."""
    sums = figures.by_layer(laid, pull)
    return max(sums, key=lambda one: figures.ranked(one[2]))[0]


def pulling_names(laid: Pairs, pull: complex) -> tuple[str, ...]:
    """The layers that pull this way, and what they are of."""
    pulling = [pair[0] for pair in laid if figures.toward(pair, pull) > 0]
    names = [name for one in pulling for name in (one.layer.name, one.placement.of)]
    return tuple(dict.fromkeys(names))


def askew(piece: Piece, pull: complex) -> str:
    """What becomes of the outline."""
    if piece.form == "round":
        return "oval"
    if piece.form != "rectangle":
        return "of shape"
    slanting = abs(pull.imag) > abs(pull.real) * (1 + 1e-9)
    return "of square, as a lozenge" if slanting else "of square"


def crossing(laid: Pairs, pull: complex) -> str:
    """What lies across a pull: too little, something that doesn't felt, or nothing."""
    across = way(-pull)
    meeting = figures.meeting(laid)
    if meeting is not None:
        return (
            f"“{meeting.layer.name}” and “{meeting.other.name}” cross at only "
            f"{meeting.degrees:.0f}°"
        )
    light = [one for one, size in laid if figures.toward((one, size), pull) < 0]
    if light:
        names = " and ".join(dict.fromkeys(f"“{one.layer.name}”" for one in light))
        hardly = all(one.pull[0] < HARDLY * one.areal for one in light)
        if all(one.turned for one in light):
            return f"only what is turned over from the other face lies {across}"
        many = len({one.layer.name for one in light}) > 1
        if hardly:
            return f"{names} across it hardly {'felt' if many else 'felts'}"
        return f"{names} {'are' if many else 'is'} too light across it"
    for one, _ in laid:
        if one.angle is None or any(part.stuff.holds for part in one.parts):
            continue
        if figures.along_axis(pull, one.angle) < -0.5:
            return f"the only layer across, “{one.layer.name}”, does not felt and so does not pull"
    return f"no layer that felts lies {across}"


def hedge(laid: Pairs, pull: complex) -> str:
    """Why it only may be so, where that lies in how the wool was prepared."""
    parts = [
        part for pair in laid if figures.toward(pair, pull) > 0
        for part in pair[0].parts if part.stuff.felts.usual > 0
    ]  # fmt: skip
    if any(p.group == "top" and p.alignment[0] < LOOSE for p in parts):
        return "; how much depends on how the wool is prepared, which the recipe doesn't say"
    if parts and all(part.alignment[1] <= LOOSE for part in parts):
        return "; carded wool lies only loosely one way, so it pulls less than combed top"
    return ""


def need(pull: float, weight: float, wanted: float = WANTED) -> float:
    """How much felting top laid across brings a pull down to the wanted one (in ``weight``'s unit)."""
    return max(0.0, (pull - wanted) * weight / (ALONG + wanted))


MEANT = "; if it is meant, say so under on purpose (what: laid one way)."


def advice(laid: Pairs, pull: complex, limit: float, pieces: tuple[float, str]) -> str:
    """What to turn, if that is enough, or to add; ``limit`` is the pull from which it is found at all.

    ``pieces`` are how many the amounts are for, and the words to say so.
    """
    total = sum(figures.felting(pair) for pair in laid)
    wanted = min(WANTED, limit / 2)
    times, per = pieces
    kg = times * need(abs(pull), total, wanted)
    more = f"ay about {figures.weight_at_least(kg)} of felting top {way(-pull)}{per}"
    meeting, most = figures.meeting(laid), min(IN_ORDER, limit)
    if meeting is not None:
        square = cmath.rect(1, 2 * math.radians(90 - meeting.square))
        if figures.pull_if_turned(laid, meeting.other, square) <= most:
            turn = (
                f"Turn “{meeting.other.name}” to {figures.axis(meeting.square)}, a right angle to "
            )
            return f"{turn}“{meeting.layer.name}”, or l{more}"
    left = [
        (figures.pull_if_turned(laid, layer, -pull), layer)
        for layer, _, along in reversed(figures.by_layer(laid, pull)) if along > 0
    ]  # fmt: skip
    best, layer = min(left, key=lambda one: round(one[0], 9))
    if best <= most:
        return f"Turn “{layer.name}” so that it lies {way(-pull)}, or l{more}"
    return f"L{more}{_part_of(laid, pull, total, wanted, times)}"


def _part_of(laid: Pairs, pull: complex, total: float, wanted: float, times: float) -> str:
    """How much of the layer that pulls most could lie across instead, the weight staying as it is."""
    main = puller(laid, pull)
    pairs = [pair for pair in laid if pair[0].layer is main]
    felts = sum(figures.felting(pair) for pair in pairs)
    along = sum(figures.toward(pair, pull) for pair in pairs)
    kg = sum(one.areal * max(one.area, size) for one, size in pairs if not one.turned)
    past = any(one.placement.past is not None for one, _ in pairs)
    share = (abs(pull) - wanted) * total / (2 * along) if along > 0 and felts > 0 else 1.0
    if not 0.02 < share < 0.9:
        return ""
    alike = ", as far past the edge" if past else ""
    return (
        f", or about {figures.weight(times * share * kg)} of “{main.name}” that way instead{alike}"
    )


def sum_of(laid: Pairs, pull: complex) -> str:
    """The sum behind a pull, term by term."""
    terms: dict[tuple[tuple[int, int], str], tuple[Laid, float]] = {}
    for one, area in laid:
        key = one.key, figures.bearing_words(one)
        terms[key] = (one, terms.get(key, (one, 0.0))[1] + area)
    shown = []
    for pair in terms.values():
        one, weight = pair[0], figures.felting(pair)
        if weight <= 0:
            shown.append(f"{_called(one)} does not felt: 0")
            continue
        r = max((part.alignment[1] for part in one.parts if part.stuff.holds), default=0.0)
        lies = figures.bearing_words(one) if one.angle is not None else "no one direction"
        r = r if one.angle is not None else 0.0
        shown.append(f"{_called(one)} {figures.grams(weight)} g, r {r:.2f}, {lies}")
    return (
        f"|R| = |Σ m F r e^(2iθ)| / Σ m F = {abs(pull):.2f}, over "
        + "; ".join(shown[:8])
        + " (weight x feltability; r is alignment)"
    )


def _called(laid: Laid) -> str:
    zone = laid.placement.zone
    return f"“{laid.layer.name}”" + (f" on {zone}" if zone != "whole" else "")


def reach_over(
    face: FaceBuild, places: list[Place], pieces: tuple[float, str], reach: float = 0.0
) -> str:
    """What to lay across parts that pull one way: more of what lies across elsewhere, or top."""
    worst = max(
        places, key=lambda place: (figures.ranked(abs(place.pull)), figures.ranked(place.areal))
    )
    weight = sum(laid.pull[0] for laid in worst.stack)
    areal = need(abs(worst.pull), weight)
    size = sum(place.beyond(reach) if reach else place.area for place in places)
    times, per = pieces
    kg = figures.weight_at_least(times * areal * size)
    amount = f"about {figures.areal_at_least(areal)}, that is {kg} in all{per}"
    here = {laid.key for place in places for laid in place.stack}
    for laid, _ in face.laid:
        if laid.key not in here and figures.toward((laid, 1.0), worst.pull) < 0:
            return f"Let “{laid.layer.name}” reach over this part too, {amount}"
    return f"Lay felting top {way(-worst.pull)} there, {amount}"


def place_names(places: list[Place]) -> tuple[str, ...]:
    """Names that a waiver may use for what was found at these places: those that all share."""
    shared: list[str] = []
    for place in places:
        here = [place.face.name, *(one.layer.name for one in place.stack)]
        here += [one.placement.zone for one in place.stack]
        shared = here if place is places[0] else [name for name in shared if name in here]
    return tuple(name for name in dict.fromkeys(shared) if name != "whole")
