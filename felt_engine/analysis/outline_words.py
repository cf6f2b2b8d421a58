"""A shape tendency (:mod:`outline`) in words, and the sum behind them."""

from __future__ import annotations

from felt_engine.analysis.outline import Shape, Side
from felt_engine.analysis.say import figure

NONE = "no shape tendency expected"
"""What is said of a piece that stays within what the hand does by itself."""

LEAST = 0.05
"""Percent below which two edges are called equally long."""

ON_THE_TABLE = {"south": "south (near)", "north": "north (far)"}


def shape_words(shape: Shape) -> tuple[str, ...]:
    """What may be seen on the felted piece, a line each; :data:`NONE` alone where nothing is.

    Empty where nothing can be told. Each line says what may be: none of them is sure.
    """
    if shape.untold:
        return ()
    return (*_lengths(shape), *_pairs(shape), *_single(shape)) or (NONE,)


def shape_sum(shape: Shape) -> str:
    """The figures behind the words and what they are compared with; why there are none, if so."""
    if shape.untold:
        return shape.untold
    bow, taper = shape.limits
    edges = ", ".join(f"{s.name} {_signed(s.bow)} ± {figure(s.doubt, 1)}" for s in shape.sides)
    parts = [f"bow at the middle, % of the edge, inward +: {edges}; told from {figure(bow, 1)}"]
    if shape.opposite:
        unlike = [
            f"{long.name} {figure(more, 1)} % longer than {short.name}"
            for long, short, more in _by_length(shape)
            if more >= LEAST
        ]
        parts.append(", ".join(unlike) or "opposite edges come out equally long")
        parts.append(f"told from {figure(taper, 1)} %")
    return "; ".join(parts)


def _signed(value: float) -> str:
    text = figure(value, 1)
    return text.removeprefix("-") if not float(text) else text


def _by_length(shape: Shape) -> list[tuple[Side, Side, float]]:
    """Opposite sides, the longer first, and by how many percent it's longer."""
    found = []
    for one, two in shape.opposite:
        if shape.longer(one, two) < 0:
            one, two = two, one
        found.append((shape.sides[one], shape.sides[two], shape.longer(one, two)))
    return found


def _lengths(shape: Shape) -> list[str]:
    return [
        f"the {_named(long)} edge may come out longer than the {_named(short)} one"
        for long, short, more in _by_length(shape)
        if more >= shape.limits[1]
    ]


def _named(side: Side) -> str:
    return ON_THE_TABLE.get(side.name, side.name)


def _told(shape: Shape, number: int) -> int:
    """1 for a side that draws in, -1 for one that bows out, 0 for one that does neither."""
    bow = shape.sides[number].bow
    return 0 if abs(bow) < shape.limits[0] else 1 if bow > 0 else -1


def _pairs(shape: Shape) -> list[str]:
    """What both of two opposite sides do: a waist, a barrel, or a curve one way."""
    found = []
    for one, two in shape.opposite:
        way = _told(shape, one)
        inward, outward = shape.sides[one], shape.sides[two]
        if way and way == _told(shape, two):
            names = " and ".join(sorted((inward.name, outward.name), reverse=True))
            word = "waisted" if way > 0 else "barrelled"
            found.append(f"it may come out {word} between its {names} edges")
        elif way and way == -_told(shape, two):
            if way < 0:
                inward, outward = outward, inward
            found.append(
                f"it may curve, hollow along its {_named(inward)} edge "
                f"and round along its {_named(outward)} one"
            )
    return found


def _single(shape: Shape) -> list[str]:
    both = [pair for pair in shape.opposite if all(_told(shape, number) for number in pair)]
    paired = {number for pair in both for number in pair}
    found = []
    for number, side in enumerate(shape.sides):
        way = _told(shape, number)
        if way and number not in paired:
            several = sum(other.name == side.name for other in shape.sides) > 1
            does = "draw in" if way > 0 else "bow out"
            found.append(
                f"{'a' if several else 'the'} {_named(side)} edge may {does} at its middle"
            )
    return found
