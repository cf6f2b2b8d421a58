"""The file of known findings: a finding a line, sorted, so that two people's changes merge well.

JSON a line: the first says what the file is, each of the others is one finding. Lines may stand in
any order and twice, as a merge may leave them; written anew they are sorted, and there once.
"""

from __future__ import annotations

import json
import re
from typing import Any

from felt_engine.checking.known import Known, KnownOne, in_order
from felt_engine.declare import LEVELS

FORMAT = 1
WHAT = "Findings of felt-engine that were there before, and that don't stop a run"
_TEXTS = ("recipe", "rule", "thing", "level", "fingerprint")
_MARKS = ("<<<<<<<", "=======", ">>>>>>>", "|||||||")


def to_text(known: Known) -> str:
    """All lines; a recipe without a known finding has none."""
    lines = [{"format": FORMAT, "what": WHAT}]
    for recipe in sorted(known):
        lines += [
            {"recipe": recipe, "rule": one.rule, "thing": one.thing, "at": list(one.at),
             "level": one.level, "fingerprint": one.fingerprint}
            for one in in_order(known[recipe])
        ]  # fmt: skip
    return "".join(f"{_line(one)}\n" for one in lines)


def _line(one: dict[str, Any]) -> str:
    text = json.dumps(one, ensure_ascii=False)
    return "".join(char if char.isprintable() else json.dumps(char)[1:-1] for char in text)


def from_text(text: str) -> dict[str, tuple[KnownOne, ...]]:
    """What :func:`to_text` wrote. ValueError with the line, and what is wrong there, for all else."""
    lines = [(number, line.strip()) for number, line in enumerate(text.split("\n"), 1)]
    lines = [(number, line) for number, line in lines if line]
    if not lines:
        raise ValueError("line 1: this is empty, and no file of known findings")
    number, first = lines[0]
    head = _value(number, first)
    if not isinstance(head, dict) or head.get("format") != FORMAT or set(head) - {"format", "what"}:
        raise ValueError(f"line {number}: this begins no file of known findings, format {FORMAT}")
    found: dict[str, list[KnownOne]] = {}
    for number, line in lines[1:]:
        value = _value(number, line)
        if value == head:
            continue
        recipe, one = _one(number, value)
        found.setdefault(recipe, []).append(one)
    return {recipe: in_order(every) for recipe, every in found.items()}


def _value(number: int, line: str) -> Any:
    if line.startswith(_MARKS):
        raise ValueError(
            f"line {number}: a merge left its mark here; take the lines with marks out, and keep "
            f"those of both sides"
        )
    try:
        return json.loads(line)
    except json.JSONDecodeError as error:
        raise ValueError(f"line {number}, column {error.colno}: this is no JSON") from None
    except (RecursionError, ValueError):
        raise ValueError(f"line {number}: this is no JSON that can be read") from None


def _one(number: int, value: Any) -> tuple[str, KnownOne]:
    keys = {*_TEXTS, "at"}
    if not isinstance(value, dict) or set(value) != keys:
        raise ValueError(f"line {number}: a known finding has {', '.join((*_TEXTS, 'at'))}")
    at = value["at"]
    if type(at) is not list or any(type(one) is not str for one in at):
        raise ValueError(f"line {number}: “at” is a list of texts")
    for key in _TEXTS:
        if type(value[key]) is not str or not value[key]:
            raise ValueError(f"line {number}: “{key}” is a text")
    if value["level"] not in LEVELS:
        level = " ".join(value["level"][:60].split())
        raise ValueError(f"line {number}: there is no level “{level}”, but {', '.join(LEVELS)}")
    if not re.fullmatch("[0-9a-f]{16}", value["fingerprint"]):
        said = " ".join(value["fingerprint"][:60].split())
        raise ValueError(f"line {number}: “{said}” is no fingerprint")
    one = KnownOne(value["fingerprint"], value["rule"], value["level"], value["thing"], tuple(at))
    return value["recipe"], one


__all__ = ["FORMAT", "from_text", "to_text"]
