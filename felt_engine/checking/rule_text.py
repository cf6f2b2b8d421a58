"""A rule's page as text, for exporters: what a reader of its findings may want to know."""

from __future__ import annotations

import re
from collections.abc import Mapping

from felt_engine.checking.rulebook import RuleBook, Shelved
from felt_engine.declare import Limit, RuleText


def rule_texts(book: RuleBook) -> tuple[RuleText, ...]:
    """The pages of all rules that judge, in the order of their ids."""
    return tuple(_text(one, book.limits.get(one.rule.id, {})) for one in book.rules)


def _text(shelved: Shelved, limits: Mapping[str, float]) -> RuleText:
    rule = shelved.rule
    said = [("The sum", rule.model), ("Where it is unsure", rule.weak_spots)]
    parts = [(head, text) for head, text in said if text]
    bounds = [(f"Limit {one.name}", _limit(one, limits)) for one in rule.limits]
    if rule.purposes:
        words = ", ".join(f"“{word}”" for word in rule.purposes)
        parts.append(("On purpose", f"{words} tells this rule that it is meant."))
    return RuleText(
        rule.id, rule.title, rule.purpose,
        "\n\n".join((rule.purpose, *(f"{head}: {text}" for head, text in parts + bounds))),
        shelved.owner,
        "\n\n".join((
            escaped(rule.purpose), *(f"**{head}:** {escaped(text)}" for head, text in parts),
            "\n".join(f"- **{escaped(head)}:** {escaped(text)}" for head, text in bounds),
        )).rstrip(),
    )  # fmt: skip


def _limit(limit: Limit, limits: Mapping[str, float]) -> str:
    figure = f"{limits.get(limit.name, limit.default):g} {limit.unit}".rstrip()
    return f"{figure}, {limit.about}. Source: {limit.source}. Holds for: {limit.holds}."


def escaped(text: str) -> str:
    """A text as it is written, in Markdown."""
    return re.sub(r"[\\`*_\[\]<>#|~&!@]", lambda m: f"\\{m[0]}", text)


__all__ = ["escaped", "rule_texts"]
