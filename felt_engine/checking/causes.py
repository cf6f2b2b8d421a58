"""Cause first: findings that come of one slip hang under it, and are told once."""

from __future__ import annotations

from collections.abc import Sequence

import attrs

from felt_engine.checking.report import Consequence, ReportedFinding
from felt_engine.declare import LEVELS, Finding, Rule
from felt_engine.model.layup import Layer


@attrs.frozen
class Told:
    """A finding as its rule said it, and as it is reported."""

    rule: Rule
    said: Finding
    reported: ReportedFinding


def arranged(told: Sequence[Told]) -> list[ReportedFinding]:
    """The findings that stand by themselves, each with what it explains, in the order given.

    A finding hangs under one that names it, or under one of a rule that its own rule declares
    (``explained_by``, first come first) at the same place. What is accepted by a waiver neither
    explains nor is explained, so a waiver never hides more than it names.
    """
    able = [n for n, one in enumerate(told) if one.reported.waived is None]
    causes = [_cause(told, able, number) for number in range(len(told))]
    tops = [_top(causes, number) for number in range(len(told))]
    found = []
    for number, one in enumerate(told):
        if tops[number] != number:
            continue
        under = [told[n].reported for n, top in enumerate(tops) if top == number and n != number]
        found.append(_with(one.reported, under))
    return found


def _cause(told: Sequence[Told], able: Sequence[int], number: int) -> int | None:
    """The number of what explains a finding, of those that are able to."""
    effect = told[number]
    if effect.reported.waived is not None:
        return None
    for n in able:
        if n != number and any(said is effect.said for said in told[n].said.explains):
            return n
    for rule in effect.rule.explained_by:
        for n in able:
            cause = told[n]
            called = rule == cause.rule.id or rule in cause.rule.formerly
            if called and n != number and _same_place(cause.said, effect.said):
                return n
    return None


def _top(causes: list[int | None], number: int) -> int:
    """The first cause of a finding; where causes run in a circle, the first of that circle."""
    seen: list[int] = []
    while True:
        if number in seen:
            return min(seen[seen.index(number) :])
        seen.append(number)
        cause = causes[number]
        if cause is None:
            return number
        number = cause


def _same_place(cause: Finding, effect: Finding) -> bool:
    """Whether all that the effect is about lies where the cause is, on the piece or in the recipe."""
    if cause.at and effect.at:
        here = {id(place) for place in cause.at}
        return all(id(place) in here for place in effect.at)
    return _holds(cause.about, effect.about) or _holds(effect.about, cause.about)


def _holds(outer: object, inner: object) -> bool:
    if outer is inner:
        return True
    return isinstance(outer, Layer) and any(inner is placement for placement in outer.placements)


def _with(cause: ReportedFinding, under: list[ReportedFinding]) -> ReportedFinding:
    if not under:
        return cause
    level = min((cause.level, *(one.level for one in under)), key=LEVELS.index)
    hung = dict.fromkeys(
        Consequence(
            one.rule, one.level, one.spot, one.message, one.where, one.fingerprint, one.reach
        )
        for one in under
    )
    return attrs.evolve(cause, level=level, explains=tuple(hung))


__all__ = ["Told", "arranged"]
