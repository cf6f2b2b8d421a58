"""A rule's page as text, for exporters: what a reader of its findings may want to know."""

from __future__ import annotations

from collections.abc import Mapping

from felt_engine.checking.rulebook import RuleBook, Shelved
from felt_engine.declare import Limit, RuleText


def rule_texts(book: RuleBook) -> tuple[RuleText, ...]:
    """The pages of all rules that judge, in the order of their ids."""
    return tuple(_text(one, book.limits.get(one.rule.id, {})) for one in book.rules)


def _text(shelved: Shelved, limits: Mapping[str, float]) -> RuleText:
    rule = shelved.rule
    parts = [rule.purpose]
    if rule.model:
        parts.append(f"The sum: {rule.model}")
    if rule.weak_spots:
        parts.append(f"Where it is unsure: {rule.weak_spots}")
    parts += [_limit(one, limits.get(one.name, one.default)) for one in rule.limits]
    if rule.purposes:
        words = ", ".join(f"“{word}”" for word in rule.purposes)
        parts.append(f"On purpose: {words} tells this rule that it is meant.")
    return RuleText(rule.id, rule.title, rule.purpose, "\n\n".join(parts), shelved.owner)


def _limit(limit: Limit, value: float) -> str:
    figure = f"{value:g} {limit.unit}".rstrip()
    return (
        f"Limit {limit.name}: {figure}. {limit.about}. Source: {limit.source}. "
        f"Holds for: {limit.holds}."
    )


__all__ = ["rule_texts"]
