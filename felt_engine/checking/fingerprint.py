"""What makes two findings of two runs the same one: their rule, what they are about, what was measured.

Where on the piece it lies (see :mod:`reach`) is kept beside it, for a finding may shrink as it is
mended. Not the line, the place in a list, the wording or the figures: so a finding stays the same one when
the file above it changes, when its message is put better, and when the weight is mended halfway.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import attrs

from felt_engine.checking.report import ReportedFinding
from felt_engine.declare import Finding, Rule
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.recipe import Recipe

LENGTH = 16
"""Hexadecimal digits of a fingerprint: 64 bits, so that a catalogue never meets the same by chance."""

_SAYS = {
    "placement": ("of", "zone", "face"),
    "resist": ("name", "above", "zone"),
    "step": ("do", "edge", "side"),
    "total": ("per", "covers", "without"),
    "printedcaution": ("about",),
    "purpose": ("what", "where"),
    "waiver": ("rule", "where"),
    "piece": (),
    "recipe": (),
    "amount": (),
}
"""By kind of thing, the fields that say which one it is; for others, its name."""


def digest(parts: Iterable[str]) -> str:
    """A short name for these texts; another order or another split gives another one."""
    from hashlib import sha256

    text = "".join(f"{len(part)}:{part}" for part in parts)
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:LENGTH]


def of_finding(rule: Rule, said: Finding, recipe: Recipe) -> str:
    """The fingerprint of what a rule said, not yet told apart from equal ones.

    A rule that changed its id keeps the fingerprints that it had: the oldest id counts.
    """
    oldest = rule.formerly[0] if rule.formerly else rule.id
    return digest(("rule", oldest, *_thing(said.about, recipe), "measured", *_measured(said)))


def _measured(said: Finding) -> tuple[str, str]:
    """What was measured, and on which side of its limit it is: too thin isn't too thick."""
    measured, limit = said.measured, said.limit
    if measured is None:
        return "", ""
    if limit is None:
        return measured.name, ""
    return measured.name, "over" if measured.value > limit.value else "under"


def _thing(about: object, recipe: Recipe) -> list[str]:
    if isinstance(about, Placement):
        about = _layer_of_one(about, recipe) or about
    kind = type(about).__name__.lower()
    found = [kind]
    if isinstance(about, Placement):
        found += [layer.name for layer in recipe.layers if _has(layer, about)]
    for name in _SAYS.get(kind, ("name",)):
        value: Any = getattr(about, name, None)
        found += [name, *(value if isinstance(value, tuple) else (str(value or ""),))]
    return found


def _layer_of_one(placement: Placement, recipe: Recipe) -> Layer | None:
    """The layer of an amount that is all there is in it, in however many portions, or written within it."""
    own = (placement.of, placement.zone, placement.face)
    for layer in recipe.layers:
        if _has(layer, placement):
            alike = all((one.of, one.zone, one.face) == own for one in layer.placements)
            return layer if alike else None
    return None


def _has(layer: Layer, placement: Placement) -> bool:
    return any(one is placement for one in layer.placements)


def counted(
    findings: Sequence[ReportedFinding], order: Callable[[ReportedFinding], Any]
) -> list[ReportedFinding]:
    """The findings in the order given; of those about one thing, the second and on are numbered.

    ``order`` is that of the recipe. What is said twice in the same words is one finding.
    """
    same: dict[str, list[ReportedFinding]] = {}
    for one in sorted(findings, key=order):
        equal = same.setdefault(one.fingerprint, [])
        if one not in equal:
            equal.append(one)
    return [_numbered(one, same[one.fingerprint].index(one)) for one in findings]


def _numbered(one: ReportedFinding, number: int) -> ReportedFinding:
    if not number:
        return one
    return attrs.evolve(one, fingerprint=digest((one.fingerprint, str(number + 1))))


__all__ = ["LENGTH", "counted", "digest", "of_finding"]
