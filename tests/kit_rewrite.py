"""The same recipe written otherwise: nothing in these changes what is felted."""

from __future__ import annotations

import json
import random
import re
from typing import Any

import yaml
from kit_rules import Plain, as_json, text_of

KEPT = frozenset(("piece", "title", "name", "of", "amount", "do", "what", "rule", "per"))


def shuffled(value: Any, chance: random.Random) -> Any:
    """Keys of a record in another order. Maps by own names keep theirs, which is told in messages."""
    if isinstance(value, list):
        return [shuffled(one, chance) for one in value]
    if not isinstance(value, dict):
        return value
    keys = list(value)
    if not KEPT.isdisjoint(keys):
        chance.shuffle(keys)
    return {
        key: dict(value[key])
        if key in ("lots", "blends", "zones")
        else shuffled(value[key], chance)
        for key in keys
    }


def remarked(text: str) -> str:
    """A remark before and behind every line, and other line ends."""
    rows = []
    for row in text.splitlines():
        margin = row[: len(row) - len(row.lstrip())]
        rows += [f"{margin}# é 🧶: - [x", row + "   # - {a: b"]
    return "\r\n".join(rows) + "\r\n"


def quoted(recipe: Plain) -> str:
    """Every key and every text in quotes of one kind."""
    return str(yaml.safe_dump(recipe, sort_keys=False, allow_unicode=True, default_style="'")) \
        if all_texts(recipe) else text_of(recipe)  # fmt: skip


def all_texts(value: Any) -> bool:
    """Whether there are only texts in it."""
    if isinstance(value, dict):
        return all(all_texts(one) for one in value.values())
    return all(map(all_texts, value)) if isinstance(value, list) else isinstance(value, str)


def in_flow(recipe: Plain) -> str:
    """In braces and brackets."""
    return str(
        yaml.safe_dump(
            recipe, sort_keys=False, allow_unicode=True, default_flow_style=True, width=60
        )
    )


def to_milligrams(recipe: Plain) -> Plain:
    """Grams as milligrams and centimetres as millimetres, exactly."""
    text = json.dumps(recipe, ensure_ascii=False)
    for old, new, tens in (("g", "mg", 3), ("cm", "mm", 1)):
        pattern = rf'"(\d+(?:\.\d+)?) {old}"'
        text = re.sub(pattern, lambda m: f'"{_moved(m[1], tens)} {new}"', text)  # noqa: B023
    return dict(json.loads(text))


def _moved(number: str, tens: int) -> str:
    whole, _, part = number.partition(".")
    part = part.ljust(tens, "0")
    made = whole + part[:tens] + ("." + part[tens:] if part[tens:] else "")
    return made.lstrip("0") or "0"


def rewritten(recipe: Plain, chance: random.Random) -> str:
    """In one of these ways, or in several of them."""
    other = shuffled(recipe, chance) if chance.random() < 0.8 else recipe
    text = chance.choice((text_of, quoted, in_flow, as_json))(other)
    return remarked(text) if text.startswith(tuple("abcdefghijklmnopqrstuvwxyz")) else text
