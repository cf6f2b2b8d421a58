"""Recipes gone wrong at random: values first, then words, then letters; and what must hold of each.

Right and faulty recipes of the tables and of the demo catalogue are changed in a few places. Most
changes leave a recipe that can be read, so that the rules get to see figures that nobody thought of.
"""

from __future__ import annotations

import copy
import json
import random
import re
from collections import Counter
from typing import Any

import attrs
import yaml
from kit import RECIPES
from kit_mutate import WRONG, mutate, spoil, spots
from kit_rules import CASES, cases

from felt_engine.api import Engine
from felt_engine.errors import FeltError

Plain = dict[str, Any]
FACTORS = (0, 0.001, 0.01, 0.1, 0.3, 0.5, 0.9, 0.99, 1.01, 1.1, 2, 3.3, 10, 28.35, 100, 1000, 99999)
TINY = ("1 mg", "0.1 mm", "100 m", "200 kg", "0.1 g/m²", "50 kg/m²", "0 cm", "1 um", "500 um")
UNITS = {
    "g": "oz", "oz": "g", "cm": "in", "in": "cm", "mm": "cm", "m": "cm", "kg": "g", "mg": "g",
    "g/m²": "oz/yd²", "um": "mm", "%": "parts", "°": "", "min": "h", "ft": "in",
}  # fmt: skip
WHERE = ("whole", "layers", "piece", "base", "design")


@attrs.frozen
class Shelf:
    """What changes are drawn from: whole recipes, and all that stood under each key in them."""

    recipes: tuple[Plain, ...]
    by_key: dict[str, list[Any]]


def shelf() -> Shelf:
    """All recipes of the tables and of the demo catalogue."""
    tables = sorted(p.name for p in CASES.glob("*.yaml") if p.name != "shelf.yaml")
    found = [case.recipe for table in tables for case in cases(table)]
    for path in sorted(RECIPES.glob("*.yaml")):
        read = yaml.safe_load(path.read_text(encoding="utf-8"))
        if isinstance(read, dict) and "layers" in read:
            found.append(read)
    by_key: dict[str, list[Any]] = {}
    seen: set[str] = set()
    for recipe in found:
        for holder, key in spots(recipe):
            name = key if isinstance(key, str) else "item"
            mark = f"{name}\0{holder[key]!r}"
            if mark not in seen:
                seen.add(mark)
                by_key.setdefault(name, []).append(holder[key])
    return Shelf(tuple(found), by_key)


def figure(text: str, chance: random.Random) -> str:
    """The same text with one of its numbers, or one of its units, changed."""
    numbers = list(re.finditer(r"\d+(?:\.\d+)?", text))
    if not numbers:
        return chance.choice(TINY)
    one = chance.choice(numbers)
    if chance.random() < 0.25:
        head, tail = text[: one.end()], text[one.end() :]
        return head + re.sub(r"[a-z/²%°]+", lambda m: UNITS.get(m[0], m[0]), tail, count=1)
    value = f"{float(one[0]) * chance.choice(FACTORS):.6f}".rstrip("0").rstrip(".")
    return text[: one.start()] + value + text[one.end() :]


def _value(recipe: Plain, chance: random.Random, stock: Shelf) -> None:
    """One change that most likely leaves a recipe: a figure, a word, a part more, fewer or moved."""
    places = spots(recipe)
    holder, key = chance.choice(places)
    value = holder[key]
    act = max(0, chance.randrange(-5, 10))
    if act < 4:
        texts = [(h, k) for h, k in places if isinstance(h[k], str) and re.search(r"\d", h[k])]
        holder, key = chance.choice(texts or places)
        holder[key] = figure(str(holder[key]), chance)
    elif act < 6:
        name = key if isinstance(key, str) else "item"
        holder[key] = copy.deepcopy(chance.choice(stock.by_key.get(name, [value])))
    elif act == 6 and isinstance(holder, list):
        holder.insert(chance.randrange(len(holder) + 1), copy.deepcopy(value))
    elif act == 6:
        del holder[key]
    elif act == 7 and isinstance(holder, list):
        chance.shuffle(holder)
    elif act == 8:
        other = chance.choice(stock.recipes)
        name = chance.choice(list(other))
        recipe[name] = copy.deepcopy(other[name])
    else:
        layers = recipe.get("layers")
        layer = chance.choice(layers) if isinstance(layers, list) and layers else {}
        if isinstance(layer, dict):
            extra = chance.choice(("lay", "role", "direction", "zone", "face", "past", "overlap",
                                   "tuft", "taper", "short", "rows", "wraps", "turned in"))  # fmt: skip
            layer[extra] = copy.deepcopy(chance.choice(stock.by_key.get(extra, WHERE)))


def text_of(recipe: Plain) -> str:
    """As YAML; by libyaml where it is there, for speed."""
    return str(yaml.dump(recipe, Dumper=_DUMPER, sort_keys=False, allow_unicode=True, width=10_000))


_DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def drawn(seed: int, stock: Shelf) -> tuple[str, str]:
    """A text and the door it goes through."""
    chance = random.Random(seed)
    recipe = copy.deepcopy(chance.choice(stock.recipes))
    for _ in range(chance.choice((1, 1, 1, 1, 2, 4))):
        _value(recipe, chance, stock)
    if chance.random() < 0.06:
        recipe = mutate(recipe, chance.randrange(10**9))
    if chance.random() < 0.05:
        holder, key = chance.choice(spots(recipe) or [({"": ""}, "")])
        holder[key] = copy.deepcopy(chance.choice(WRONG))
    door = chance.choice(("yaml", *["json"] * 5))
    if door == "json":
        text = json.dumps(recipe, ensure_ascii=chance.random() < 0.5, default=str)
    else:
        text = text_of(recipe)
    if chance.random() < 0.05:
        for _ in range(chance.choice((1, 2, 8))):
            text = spoil(text, chance)
    return text, door


@attrs.define
class Tally:
    """What came of a run."""

    inputs: int = 0
    judged: int = 0
    kinds: Counter[str] = attrs.Factory(Counter)
    exported: int = 0
    findings: Counter[str] = attrs.Factory(Counter)
    unsaid: Counter[str] = attrs.Factory(Counter)
    broken: list[str] = attrs.Factory(list)

    def line(self) -> str:
        """In one line."""
        return (
            f"{self.inputs} inputs, {self.judged} reached the rules, {self.exported} exports, "
            f"{sum(self.findings.values())} findings by {len(self.findings)} rules, "
            f"{len(self.broken)} broken; {dict(self.kinds)}"
        )


def look_at(
    engine: Engine, seed: int, stock: Shelf, tally: Tally, every: int = 4,
) -> None:  # fmt: skip
    """Read, measure, judge and (one in ``every``) export one drawn input; slips go to the tally."""
    text, door = drawn(seed, stock)
    name = f"drawn-{seed}.{door}"
    tally.inputs += 1
    tally.kinds["recipe"] += 1
    export = seed % every == 0
    try:
        report = engine.look(text if "\n" in text else text + "\n", name=name, drawing=export)
        if not report.problems:
            tally.judged += 1
        for one in report.not_judged:
            tally.broken.append(f"seed {seed}: {one.what}: {one.reason}")
        for finding in report.findings:
            tally.findings[finding.rule] += 1
            assert finding.message and finding.message == finding.message.strip()
            assert len(finding.message) + len(finding.do) <= 2000, finding.message[:200]
            assert finding.spot.line and finding.spot.column, finding
        for problem in report.problems:
            told = problem.found + problem.expected + problem.mend
            assert problem.found and problem.mend and len(told) <= 2000, told[:200]
        tally.unsaid.update(remark.rule for remark in report.unsaid)
        if export:
            for exporter in engine.exporters:
                said = engine.export(report, exporter)
                tally.exported += 1
                assert said and not re.search(r"[\x00-\x08\x0b-\x1f\ud800-\udfff]", said), exporter
                assert exporter == "json" or not re.search(r"\b(?:nan|inf)\b", said), exporter
                if exporter == "json":
                    json.loads(said, parse_constant=_no_number)
    except FeltError as error:
        tally.broken.append(f"seed {seed}: {type(error).__name__} let through: {error}")
    except Exception as error:
        tally.broken.append(f"seed {seed}: {type(error).__name__}: {error}")


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number")
