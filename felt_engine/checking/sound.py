"""What a plugin may declare: looked at once, when it hands it over, so that nothing breaks later."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from typing import Any

from felt_engine.declare import (
    LEVELS,
    Caution,
    Example,
    Exporter,
    FibreEntry,
    Limit,
    Rule,
    Span,
    UseEntry,
)

_ID = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")


def unsound(one: object) -> str:
    """What is wrong with a declaration, in a line; empty if nothing is.

    Only the very classes count: one that is derived from them could answer differently later.
    """
    look = _LOOKS.get(type(one))
    if look is None:
        return f"{type(one).__name__} is nothing that a plugin declares"
    return next(iter(look(one)), "")


def _rule(one: Rule) -> Iterable[str]:
    yield from _id(one.id)
    yield from _texts(one, "title", "since", "purpose", "model", "weak_spots")
    if not callable(one.judge):
        yield "judge is no function"
    yield from _tuples(
        one, limits=Limit, examples=Example, purposes=str, laws=str, explained_by=str,
        formerly=str,
    )  # fmt: skip
    for former in one.formerly:
        yield from _id(former)
    if one.id in one.formerly:
        yield "formerly names the id that it has"
    if type(one.reconsiders) is not bool:
        yield "reconsiders is to be True or False"
    for limit in one.limits:
        yield from _texts(limit, "name", "unit", "about", "source", "holds")
        yield from _number(limit, "default", -math.inf, math.inf)
    if len({limit.name for limit in one.limits}) < len(one.limits):
        yield "two limits have one name"
    for example in one.examples:
        yield from _texts(example, "title", "text")
        if example.finds not in (None, *LEVELS):
            yield f"an example finds {example.finds!r}, which is no level"


def _exporter(one: Exporter) -> Iterable[str]:
    yield from _id(one.name)
    yield from _texts(one, "about", "suffix")
    if not callable(one.render) or not (one.files is None or callable(one.files)):
        yield "render or files is no function"


def _fibre(one: FibreEntry) -> Iterable[str]:
    yield from _named(one)
    yield from _texts(one, "group")
    yield from _span(one, "felts", 0.0, 1.0)
    yield from _span(one, "diameter", 1e-7, 1e-3)
    yield from _number(one, "density", 10.0, 30_000.0)


def _use(one: UseEntry) -> Iterable[str]:
    yield from _named(one)
    for name in ("low", "high"):
        yield from _number(one, name, 0.0, 100.0)
    for name in ("bare_caution", "bare_fault"):
        yield from _number(one, name, 0.0, 1.0)
    if one.low > one.high or one.bare_caution > one.bare_fault:
        yield "its ends are out of order"


def _caution(one: Caution) -> Iterable[str]:
    yield from _texts(one, "about", "says", "when", "source")
    for name in ("about", "says"):
        text = getattr(one, name)
        if not text.strip() or "\n" in text:
            yield f"{name} is to be one line of text"


def _id(value: object) -> Iterable[str]:
    if type(value) is not str or not _ID.fullmatch(value):
        yield f"{value!r} is no id: small letters, digits and hyphens"


def _named(one: FibreEntry | UseEntry) -> Iterable[str]:
    yield from _texts(one, "name", "note")
    if not one.name.strip():
        yield "it has no name"
    yield from _tuples(one, also=str)


def _texts(one: object, *names: str) -> Iterable[str]:
    for name in names:
        if type(getattr(one, name)) is not str:
            yield f"{name} is no plain text"


def _tuples(one: object, **kinds: type) -> Iterable[str]:
    for name, kind in kinds.items():
        value = getattr(one, name)
        if type(value) is not tuple or any(type(item) is not kind for item in value):
            yield f"{name} is no tuple of {kind.__name__}"


def _number(one: object, name: str, low: float, high: float) -> Iterable[str]:
    value = getattr(one, name)
    if type(value) not in (int, float) or not math.isfinite(value) or not low <= value <= high:
        yield f"{name} is {value!r}, no number between {low:g} and {high:g}"


def _span(one: object, name: str, low: float, high: float) -> Iterable[str]:
    value = getattr(one, name)
    if type(value) is not Span:
        yield f"{name} is no Span"
        return
    for end in ("low", "usual", "high"):
        yield from _number(value, end, low, high)
    if not value.low <= value.usual <= value.high:
        yield f"the ends of {name} are out of order"


_LOOKS: dict[type, Callable[[Any], Iterable[str]]] = {
    Rule: _rule,
    Exporter: _exporter,
    FibreEntry: _fibre,
    UseEntry: _use,
    Caution: _caution,
}
