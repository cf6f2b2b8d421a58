"""What the parts of rows-and-laps share: what counts as small, as enough, as a body; and words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import attrs

from felt_engine import Bench, FaceBuild, Finding, Layer, Place, figures

LOOSE = ("wisps", "scatter")
MEANT = ("accent", "veil", "open")
WANTED = ("straight", "round")
"""Outlines whose edge is to be even."""

LAP = 0.025
"""How far neighbours are to lie over each other, m, in the advice (common practice, no source)."""


def is_body(layer: Layer) -> bool:
    """Whether a layer is to lie whole: holes are not simply what it is for."""
    return layer.role not in MEANT and layer.lay not in LOOSE


def narrow(bench: Bench, face: FaceBuild) -> float:
    """How wide a gap is that the fibre beside it bridges, m."""
    return bench.limit_on(face, "bridge", "bridge-part")


def cell(bench: Bench, face: FaceBuild) -> float:
    """Size of a place that is felt as one, m."""
    return bench.limit_on(face, "cell", "cell-part")


def stands(bench: Bench, place: Place) -> bool:
    """Whether what lies at a place is enough for the use by itself."""
    use = bench.build.use
    if place.open_cloth:
        return True
    if use is None:
        return place.bare() <= bench.limit("stands-bare")
    enough = place.areal >= figures.steady(use.low / bench.limit("band-slack"))
    return enough and place.bare() <= use.bare_caution


def weight_of(place: Place, layer: int) -> float:
    """What a layer (numbered from 0) has at a place, kg/m²."""
    return sum(laid.areal for laid in place.stack if laid.key[0] == layer)


def over(place: Place, layer: int) -> frozenset[int]:
    """Later layers that are to lie whole over a layer at a place, by number."""
    return frozenset(
        laid.key[0] for laid in place.stack
        if laid.key[0] > layer and is_body(laid.layer)
    )  # fmt: skip


def listed(names: Sequence[str]) -> str:
    """Names in quotes, one after another."""
    named = [f"“{name}”" for name in dict.fromkeys(names)]
    return " and ".join((", ".join(named[:-1]), named[-1])) if len(named) > 1 else "".join(named)


def part(share: float) -> str:
    """A part of a tuft as makers say it."""
    for value, word in ((1 / 4, "a quarter"), (1 / 3, "a third"), (1 / 2, "half")):
        if abs(share - value) < 0.005:
            return word
    return figures.percent(share)


def merged(found: Iterable[Finding]) -> Iterator[Finding]:
    """What is the same on the front and on the back is one finding."""
    same: dict[tuple[object, ...], list[Finding]] = {}
    for one in found:
        same.setdefault((one.level, id(one.about), one.message, one.do), []).append(one)
    for one, *more in same.values():
        where = f"{one.where} on both faces" if more else one.where
        at = tuple(place for each in (one, *more) for place in each.at)
        yield attrs.evolve(one, where=where, at=at)
