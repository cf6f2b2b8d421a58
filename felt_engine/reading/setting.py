"""The value of a limit in a studio file: a number in the limit's own kind of unit."""

from __future__ import annotations

import math
import re
from typing import Any

from felt_engine.model.amount import RANGES
from felt_engine.model.place import escape
from felt_engine.model.studio import KnownLimit, LimitSetting
from felt_engine.reading.offers import any_of, offer, sound
from felt_engine.reading.quantity import (
    END,
    NUMBER,
    UNITS,
    Refused,
    blanked,
    either,
    number,
    widened,
)
from felt_engine.reading.shape import BAD, Context, Json, Kind, Quantity, text_of
from felt_engine.reading.tree import Node

FAR = 1000
"""How many times smaller or larger than it comes a limit may be set: beyond, it is a slip."""
ROUNDED = 1e-5
"""And how much further by rounding, as a part: the ends are told in six figures."""
_ORDER = ("weight", "position", "areal", "fineness", "time")
_FRIENDLY = {
    "weight": ("g", "mg"), "position": ("cm", "mm"), "areal": ("g/m²",), "fineness": ("um",),
    "time": ("h", "min", "s"),
}  # fmt: skip
_KELVIN = {"K": (1.0, 0.0), "°C": (1.0, 273.15), "°F": (5 / 9, 459.67 * 5 / 9)}


class Figure(Kind):
    """A number from ``low`` to ``high`` with one fixed unit behind it, or none.

    Without a unit, a percentage may stand for it, and JSON and YAML may write a bare number.
    """

    def __init__(
        self, unit: str = "", low: float = 0.0, high: float = math.inf, example: str = "0.35"
    ) -> None:
        self.unit, self.low, self.high, self.example = unit, low, high, example
        behind = f" ?{either([unit])}" if unit else "(?: ?(%))?"
        self.pattern = f"^({NUMBER}){behind}{END}"

    @property
    def expected(self) -> str:
        """What is wanted, in words."""
        what = f"a number with the unit {self.unit}" if self.unit else "a number without a unit"
        return f"{what}, such as {self.example}"

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The number."""
        if node.kind == "number" and self.unit:
            mend = f'say the unit, in quotes: "{node.text} {self.unit}"'
            return ctx.bad(node, at, self.expected, mend)
        text = text_of(node, at, ctx, self.expected, numbers=True)
        if text is BAD:
            return BAD
        value = float(text) if node.kind == "number" else self.number(text, node, at, ctx)
        if value is BAD or (self.low <= value <= self.high and math.isfinite(value)):
            return value
        top = f" to {self.high:g}" if math.isfinite(self.high) else " or more"
        expected = f"a number from {self.low:g}{top}" if self.high < math.inf else f"0{top}"
        return ctx.bad(node, at, expected, "check the number", kind="limit")

    def number(self, text: str, node: Node, at: str, ctx: Context) -> Any:
        """The number in a text."""
        text = blanked(text)
        match = re.match(self.pattern, text)
        if match is None:
            return ctx.bad(node, at, self.expected, self.hint(text))
        try:
            value = number(match[1], self.unit)
        except Refused as refused:
            return ctx.bad(node, at, refused.expected, refused.mend, kind=refused.kind)
        return value / 100 if match.lastindex == 2 else value

    def hint(self, text: str) -> str:
        """What would mend this text."""
        from felt_engine.reading.tidy import fractions_apart

        text = fractions_apart(text[:80].strip())
        unit = f" {self.unit}" if self.unit else ""
        grouped = re.fullmatch(r"([1-9][0-9]{0,2})[,.' ]([0-9]{3})(?: ?([^0-9.,].*))?", text)
        if re.match(r"[0-9.,]+[eE][+-]?[0-9]", text):
            return "write the number out in full, without an exponent"
        if grouped and (grouped[3] or "") == self.unit:
            return self.sure(f"{grouped[1]}{grouped[2]}{unit}", f"{grouped[1]}.{grouped[2]}{unit}")
        bare = re.fullmatch(rf"({NUMBER})(?: ?([^0-9.,/].*)|)", text)
        said = (bare[2] or "").lower() if bare is not None else ""
        if bare is not None and self.unit and not said:
            whole = f"{bare[1]}{unit}"
            return sound(offer(f"say the unit: {whole}", whole), self.takes, self.like)
        if bare is not None and self.unit and said == self.unit.lower():
            return self.sure(f"{bare[1]}{unit}")
        if bare is not None and not self.unit and said in ("percent", "per cent", "pct"):
            return self.sure(f"{bare[1]} %")
        return self.like

    @property
    def like(self) -> str:
        """A hint that offers nothing."""
        return f"write it like this: {self.example}"

    def sure(self, *texts: str) -> str:
        """A hint that offers these texts, if they are read."""
        return sound(any_of(list(texts), ", if that is meant"), self.takes, self.like)

    def takes(self, text: str) -> bool:
        """Whether this text is such a number."""
        return re.match(self.pattern, text) is not None

    def schema(self, defs: Json) -> Json:
        """A text with a pattern; without a unit also a number."""
        name = f"figure in {self.unit}" if self.unit else "figure"
        if name not in defs:
            kinds: Any = "string" if self.unit else ["string", "number"]
            defs[name] = {
                "type": kinds,
                "description": self.expected,
                "pattern": widened(self.pattern),
            }
        from urllib.parse import quote

        return {"$ref": f"#/$defs/{quote(escape(name))}"}


class Setting(Kind):
    """A limit's value: read as a quantity of its kind, kept in its own unit."""

    def __init__(self, limit: KnownLimit) -> None:
        self.limit = limit
        self.quantity, self.factor, self.shift = kind_of(limit.unit)
        self.item: Kind = (
            Quantity(self.quantity) if self.quantity else Figure(limit.unit, example=self.example)
        )

    @property
    def example(self) -> str:
        """The limit's default, as a person would write it."""
        return written(self.limit.default, self.limit.unit)

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """A LimitSetting."""
        before = len(ctx.problems)
        value = self.item.read(node, at, ctx)
        if value is BAD:
            self.explain(before, ctx)
            return BAD
        own = (value.si - self.shift) / self.factor if self.quantity else value
        low, high = self.bounds
        if not low * (1 - ROUNDED) <= own <= high * (1 + ROUNDED):
            least, most = written(low, self.limit.unit), written(high, self.limit.unit)
            expected = f"{least} to {most}; as it comes, {self.limit.name} is {self.example}"
            mend = (
                "check the figure; a rule that is to say nothing is switched off, with the reason"
            )
            return ctx.bad(node, at, expected, mend, kind="limit")
        return LimitSetting(self.limit.name, node.text, float(f"{own:.12g}"), self.limit.unit)

    @property
    def bounds(self) -> tuple[float, float]:
        """The least and the greatest value, in the limit's own unit; without end if its default is 0."""
        usual = self.limit.default
        if usual <= 0:
            return -math.inf, math.inf
        low, high = usual / FAR, usual * FAR
        if self.quantity:
            least, most, _ = RANGES[self.quantity]
            low = max(low, (least - self.shift) / self.factor)
            high = min(high, (most - self.shift) / self.factor)
        return low, high

    def explain(self, before: int, ctx: Context) -> None:
        """Say of each new problem which limit is meant, and what it is as it comes."""
        import attrs

        for index in range(before, len(ctx.problems)):
            problem = ctx.problems[index]
            asked = problem.expected
            if self.limit.default > 0:
                asked = asked.removesuffix(" (0 cm is allowed)")
            own = f"{asked}; as it comes, {self.limit.name} is {self.example}"
            ctx.problems[index] = attrs.evolve(problem, expected=own)

    def schema(self, defs: Json) -> Json:
        """The schema of the quantity."""
        return self.item.schema(defs)


def kind_of(unit: str) -> tuple[str, float, float]:
    """The kind of quantity that a limit's unit is of, its factor to SI and shift; "" if of none."""
    if unit in _KELVIN:
        return ("temperature", *_KELVIN[unit])
    for kind in _ORDER:
        if unit in UNITS[kind]:
            return kind, UNITS[kind][unit], 0.0
    return "", 1.0, 0.0


def written(value: float, unit: str) -> str:
    """A value in a limit's unit, in the unit that a person would take."""
    kind, factor, shift = kind_of(unit)
    if kind == "temperature":
        return f"{value * factor + shift - 273.15:.6g} °C"
    if not kind:
        return f"{_plain(value)} {unit}".rstrip()
    si = value * factor
    units = _FRIENDLY[kind]
    best = next((u for u in units if si >= UNITS[kind][u]), units[-1])
    return f"{_plain(si / UNITS[kind][best])} {best}"


def _plain(value: float) -> str:
    """Six digits, without an exponent."""
    text = f"{value:.6g}"
    return f"{value:.9f}".rstrip("0").rstrip(".") if "e" in text else text
