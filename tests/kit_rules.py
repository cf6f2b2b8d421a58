"""Recipes as plain values: a shelf of lots, pieces in one line, and what the rules say of them."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import attrs
import yaml

import felt_engine
from felt_engine.checking.report import Report

CASES = Path(__file__).parent / "rules" / "cases"
RULES = (
    "direction-balance", "halo-clash", "luster-carrier", "thin-layer", "uneven-shrinking",
    "weight-for-use",
)  # fmt: skip
ORDER = ("fault", "caution", "note")

Plain = dict[str, Any]


def _read(name: str) -> Any:
    return yaml.safe_load((CASES / name).read_text(encoding="utf-8"))


SHELF: Plain = _read("shelf.yaml")


@attrs.frozen
class Case:
    """One recipe of a table: its name, what the rules should say (rule: level or unsaid), why."""

    name: str
    recipe: Plain
    expect: dict[str, str]
    why: str = ""


def cases(name: str) -> Iterator[Case]:
    """The cases of one table; lots that a recipe names and doesn't describe come off the shelf."""
    for one in _read(name):
        yield Case(one["case"], stocked(one["recipe"]), one.get("expect") or {}, one.get("why", ""))


def stocked(recipe: Plain) -> Plain:
    """The same recipe with the lots that it uses, taken from the shelf where it has none."""
    full = copy.deepcopy(recipe)
    lots = full.setdefault("lots", {})
    named = [
        amount["of"] for layer in full["layers"] for amount in layer.get("placements", [layer])
    ]
    blends = full.get("blends", {})
    for name in named:
        for lot in blends.get(name, {name: ""}):
            if lot not in lots:
                lots[lot] = copy.deepcopy(SHELF[lot])
    order = ("piece", "lots", "blends", "zones", "layers")
    return {key: full[key] for key in (*order, *full) if key in full}


def text_of(recipe: Plain) -> str:
    """The recipe as a person would write it: one key a line, in the order given."""
    return yaml.safe_dump(recipe, sort_keys=False, allow_unicode=True, width=10_000)


def report_of(recipe: Plain, name: str = "kitchen table") -> Report:
    """The report of a recipe given as plain values."""
    return felt_engine.check(text_of(recipe), name=name)


def verdicts(report: Report) -> dict[str, str]:
    """For each rule that says anything its highest level, or ``unsaid``; waived findings left out."""
    assert not report.problems, report.problems
    assert not report.not_judged, report.not_judged
    assert set(RULES) <= set(report.judged)
    found = {remark.rule: "unsaid" for remark in report.unsaid}
    for finding in reversed(report.findings):
        if finding.waived is None:
            found[finding.rule] = finding.level
    return {rule: said for rule, said in sorted(found.items()) if rule in RULES}


def said(recipe: Plain) -> dict[str, str]:
    """What the rules say of a recipe."""
    return verdicts(report_of(recipe))


def shown(report: Report) -> str:
    """All that a report says, for the message of a test that fails."""
    lines = [f"{f.rule} {f.level}: {f.message} [{f.how}]" for f in report.findings]
    lines += [f"{u.rule} unsaid at {u.spot.pointer}: {u.text}" for u in report.unsaid]
    return "\n".join(lines) or "nothing at all"


def at_pointer(recipe: Any, pointer: str) -> Any:
    """What stands at a JSON Pointer (RFC 6901); KeyError or IndexError if nothing does."""
    here = recipe
    for step in pointer.split("/")[1:]:
        key = step.replace("~1", "/").replace("~0", "~")
        here = here[int(key)] if isinstance(here, list) else here[key]
    return here


def sheet(
    *layers: Plain,
    use: str | None = "picture ground",
    size: str = "12 x 12 in",
    stage: str | None = "firm",
    **more: Any,
) -> Plain:
    """A rectangle on the table with these layers; keywords beyond go to the piece or the recipe."""
    piece: Plain = {"title": "Kitchen sample", "shape": "rectangle", "laid out": size}
    if use is not None:
        piece["use"] = use
    if stage is not None:
        piece["stage"] = stage
    sections = ("lots", "blends", "zones", "resists", "on purpose", "waivers", "scale step")
    recipe: Plain = {"piece": piece, "layers": [dict(layer) for layer in layers]}
    for key, value in more.items():
        spelt = key.replace("_", " ")
        (recipe if spelt in sections else piece)[spelt] = value
    for number, layer in enumerate(recipe["layers"]):
        recipe["layers"][number] = {"name": layer.pop("name", f"layer {number + 1}"), **layer}
    return stocked(recipe)


def laid(of: str, amount: str, direction: str | None = None, **more: Any) -> Plain:
    """One layer."""
    layer: Plain = {"of": of, "amount": amount}
    if direction is not None:
        layer["direction"] = direction
    return {**layer, **{key.replace("_", " "): value for key, value in more.items()}}


def as_json(recipe: Plain) -> str:
    """The recipe as JSON text."""
    return json.dumps(recipe, ensure_ascii=False)
