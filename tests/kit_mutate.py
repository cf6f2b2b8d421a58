"""Documents with a few things wrong in them, made at random from right ones."""

from __future__ import annotations

import copy
import random
from typing import Any

WRONG: list[Any] = [
    "", " ", "no", "12", "12 ml", "1,500 g", "0 g", "-3 cm", "NaN", "x" * 5000, "two\nlines", "a\n",
    0, 1, -1, 2.5, 2.0, 10**12, True, None, [], {}, [[]], {"a": "b"}, ["top"], "north-south ",
    "#12345", "12 g\n", "½", "64", "1 x 2 x 3 cm", "100 %", "0 %", "round", "\u00a0", "é", "60", "11/2 in",
    "60 across", "a\rb", "a\tb", 1e300, "3 ft 4 in x 2 ft", "2 x 3 ft 4 in", "0 lb 3 oz", "bearing 400°",
]  # fmt: skip
KEYS = ["amount", "of", "placements", "past", "short", "laid out", "corners", "<<", "", " a", "a\nb",
        "x" * 81, "x" * 80, "wraps", "turned in", "zone", "face"]  # fmt: skip


def spots(document: Any) -> list[tuple[Any, Any]]:
    """Every container with a key in it."""
    found = []
    items = document.items() if isinstance(document, dict) else enumerate(document)
    for key, value in list(items):
        found.append((document, key))
        if isinstance(value, (dict, list)):
            found.extend(spots(value))
    return found


def spoil(text: str, chance: random.Random) -> str:
    """The text with one character lost, doubled or changed."""
    at = chance.randrange(len(text) + 1)
    new = chance.choice([*"0123456789.,/ '\"½xg%°#-N\n\u00a0", "", "", " x ", " g"])
    return text[:at] + new + text[at + chance.randrange(2) :]


def mutate(document: dict[str, Any], seed: int) -> dict[str, Any]:
    """A copy with a few things changed: a value, a key, or something lost, added or moved."""
    changed = copy.deepcopy(document)
    chance = random.Random(seed)
    for _ in range(chance.choice((0, 1, 1, 1, 2))):
        places = spots(changed)
        if not places:
            break
        holder, key = chance.choice(places)
        act = chance.randrange(7)
        if act == 0:
            del holder[key]
        elif act == 1 and isinstance(holder, dict):
            holder[str(key) + "s"] = holder.pop(key)
        elif act == 2 and isinstance(holder, dict):
            holder[chance.choice(KEYS)] = chance.choice(WRONG)
        elif act == 3 and isinstance(holder[key], str):
            holder[key] = spoil(holder[key], chance)
        elif act == 4:
            other, place = chance.choice(places)
            holder[key] = copy.deepcopy(other[place])
        elif act == 5:
            holder[key] = {} if isinstance(holder[key], dict) else []
        else:
            holder[key] = copy.deepcopy(chance.choice(WRONG))
    return changed
