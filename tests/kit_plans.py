"""Recipes drawn at random: plans in quarter inches and 0.08 oz, exact in both unit systems."""

from __future__ import annotations

import copy
from typing import Any

import attrs
from hypothesis import strategies as st
from kit_rules import Plain, stocked

Q = 6350
"""A quarter of an inch in micrometres, exactly (1 in = 25.4 mm: NIST SP 811, appendix B)."""

STEP = 226_796_185
"""0.08 oz in units of 10 ng, exactly (1 oz = 28.349523125 g: NIST SP 811, appendix B)."""

LOTS = ("oat", "ice", "ink", "chalk", "sheet white", "batt oat", "hill batt", "silk", "viscose",
        "glint", "washable", "curls", "specks", "plain bag", "plain bag", "grey bag", "gauze")  # fmt: skip
AMOUNTS = (10, 25, 40, 60, 80, 100, 120, 150, 200, 300, 500)
"""g/m² on the whole, to be drawn from; on a zone it is as if the zone took a part of the whole."""

USES = (
    "picture ground",
    "scarf",
    "cobweb",
    "bag",
    "lampshade",
    "nuno cloth",
    "swatch",
    None,
    None,
    None,
)
WORDS = ("random", "radial", "around", None)
ROLES = ("structure", "cover", "accent", "veil", "open", None)
STAGES = ("prefelt", "light", "firm", "hard", None)
OUTLINES = ("straight", "round", "free", "ruffled", "blocked", None)
TURNED = {"south": "east", "east": "north", "north": "west", "west": "south"}


@attrs.frozen
class Bit:
    """An amount in steps of 0.08 oz, of a lot on a zone."""

    of: str
    steps: int
    zone: str = "whole"


@attrs.frozen
class Pass:
    """A layer: ``way`` is a bearing in degrees, a word or nothing."""

    bits: tuple[Bit, ...]
    way: int | str | None = None
    role: str | None = None
    lay: str | None = None
    short: int = 0


@attrs.frozen
class Plan:
    """A piece on the table; lengths in quarter inches, west to east and near to far."""

    shape: str
    wide: int
    deep: int
    passes: tuple[Pass, ...]
    zones: tuple[tuple[str, Plain], ...] = ()
    use: str | None = None
    stage: str | None = None
    outline: str | None = None


@st.composite
def zones(draw: st.DrawFn, wide: int, deep: int) -> Plain:
    """One zone that touches the layout."""
    kind = draw(st.sampled_from(("band", "rectangle", "round", "oval", "rim")))
    least = min(wide, deep)
    if kind == "band":
        start = draw(st.integers(0, least // 2))
        end = draw(st.integers(start + 1, least))
        along = draw(st.sampled_from(tuple(TURNED)))
        return {"shape": kind, "along": along, "from": start, "to": end}
    if kind == "rim":
        return {"shape": kind, "width": draw(st.integers(1, max(1, least // 3)))}
    across = draw(st.integers(2, least))
    size = (across, across if kind == "round" else draw(st.integers(2, least)))
    if kind == "rectangle":
        at = (draw(st.integers(0, wide - size[0])), draw(st.integers(0, deep - size[1])))
    else:
        at = (draw(st.integers(0, wide)), draw(st.integers(0, deep)))
    return {"shape": kind, "size": size, "at": at}


def _passes(draw: st.DrawFn, names: tuple[str, ...], area: int, most: int) -> tuple[Pass, ...]:
    found = []
    for _ in range(draw(st.integers(1, most))):
        bits = []
        for _ in range(draw(st.sampled_from((1, 1, 2)))):
            zone = draw(st.sampled_from(names))
            share = 1.0 if zone == "whole" else draw(st.sampled_from((0.02, 0.1, 0.3, 0.6)))
            grams = draw(st.sampled_from(AMOUNTS)) * area * Q * Q * 1e-12 * share
            steps = max(1, round(grams / (STEP * 1e-8)))
            bits.append(Bit(draw(st.sampled_from(LOTS)), steps, zone))
        way = draw(st.one_of(st.sampled_from((0, 90, 45, 135, 30)), st.sampled_from(WORDS)))
        lay = draw(st.sampled_from((None, None, "wisps")))
        found.append(Pass(tuple(bits), way, draw(st.sampled_from(ROLES)), lay))
    return tuple(found)


@st.composite
def plans(draw: st.DrawFn, with_zones: bool = True, most: int = 4) -> Plan:
    """A plan, right or wrong."""
    shape = draw(st.sampled_from(("rectangle", "rectangle", "round", "oval")))
    wide = draw(st.integers(24, 240))
    deep = wide if shape == "round" else draw(st.integers(24, 240))
    named: list[tuple[str, Plain]] = []
    for number in range(draw(st.integers(0, 3)) if with_zones else 0):
        named.append((f"zone {number}", draw(zones(wide, deep))))
    names = ("whole", *(name for name, _ in named))
    passes = _passes(draw, names, wide * deep, most)
    return Plan(
        shape, wide, deep, passes, tuple(named), draw(st.sampled_from(USES)),
        draw(st.sampled_from(STAGES)), draw(st.sampled_from(OUTLINES)),
    )  # fmt: skip


def _decimal(value: int, places: int) -> str:
    whole, rest = divmod(value, 10**places)
    return f"{whole}.{rest:0{places}d}"


class Units:
    """How a plan is written: in millimetres and milligrams, or in inches and ounces."""

    def __init__(self, metric: bool = True, scale: int = 1) -> None:
        self.metric, self.scale = metric, scale

    def length(self, quarters: int) -> str:
        """A length."""
        if self.metric:
            return _decimal(quarters * Q * self.scale, 3) + " mm"
        return _decimal(quarters * 25 * self.scale, 2) + " in"

    def weight(self, steps: int) -> str:
        """A weight; scaled with the area."""
        if self.metric:
            return _decimal(steps * STEP * self.scale**2, 5) + " mg"
        return _decimal(steps * 8 * self.scale**2, 2) + " oz"

    def size(self, pair: tuple[int, int]) -> str:
        """Width and depth."""
        return f"{self.length(pair[0])} x {self.length(pair[1])}"

    def at(self, pair: tuple[int, int]) -> str:
        """A place on the table."""
        return f"{self.length(pair[0])} east, {self.length(pair[1])} north"


def _zone(zone: Plain, units: Units) -> Plain:
    found: Plain = {"shape": zone["shape"]}
    for key in ("along",):
        if key in zone:
            found[key] = zone[key]
    for key in ("from", "to", "width"):
        if key in zone:
            found[key] = units.length(zone[key])
    if "size" in zone:
        same = zone["shape"] == "round"
        found["size"] = units.length(zone["size"][0]) if same else units.size(zone["size"])
        found["at"] = units.at(zone["at"])
    return found


def _layer(number: int, one: Pass, units: Units) -> Plain:
    bits = [
        {"of": bit.of, "amount": units.weight(bit.steps)}
        | ({"zone": bit.zone} if bit.zone != "whole" else {})
        for bit in one.bits
    ]
    layer: Plain = {"name": f"layer {number}"}
    layer |= bits[0] if len(bits) == 1 else {"placements": bits}
    way = f"bearing {one.way}°" if isinstance(one.way, int) else one.way
    for key, value in (("direction", way), ("lay", one.lay), ("role", one.role)):
        if value is not None:
            layer[key] = value
    return layer


def written(plan: Plan, units: Units | None = None) -> Plain:
    """The plan as a recipe in plain values."""
    units = units or Units()
    piece: Plain = {"title": "Drawn by lot", "shape": plan.shape}
    size = (plan.wide, plan.deep)
    piece["laid out"] = units.length(plan.wide) if plan.shape == "round" else units.size(size)
    for key in ("use", "stage", "outline"):
        if getattr(plan, key) is not None:
            piece[key] = getattr(plan, key)
    recipe: Plain = {"piece": piece}
    if plan.zones:
        recipe["zones"] = {name: _zone(zone, units) for name, zone in plan.zones}
    recipe["layers"] = [_layer(number, one, units) for number, one in enumerate(plan.passes)]
    return stocked(recipe)


def turned(plan: Plan) -> Plan:
    """The plan after a quarter turn anticlockwise: east comes to lie north."""

    def zone(old: Plain) -> Plain:
        new = copy.deepcopy(old)
        if "along" in old:
            new["along"] = TURNED[old["along"]]
        if "size" in old:
            (x, y), (across, up) = old["at"], old["size"]
            new["size"] = (up, across)
            corner = plan.deep - y - (up if old["shape"] == "rectangle" else 0)
            new["at"] = (corner, x)
        return new

    def way(old: int | str | None) -> int | str | None:
        return (old + 90) % 180 if isinstance(old, int) else old

    return attrs.evolve(
        plan, wide=plan.deep, deep=plan.wide,
        zones=tuple((name, zone(one)) for name, one in plan.zones),
        passes=tuple(attrs.evolve(one, way=way(one.way)) for one in plan.passes),
    )  # fmt: skip


def is_on_piece(recipe: Any, error: Exception) -> bool:
    """Whether a recipe was refused for something else than an amount that lies nowhere."""
    return "no part lies on the piece" not in str(error)
