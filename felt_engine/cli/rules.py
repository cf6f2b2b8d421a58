"""``felt-engine rules``: the list of rules, and one rule's page."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from felt_engine.cli.terminal import Terminal

if TYPE_CHECKING:
    import argparse

    from felt_engine.checking.rulebook import Shelved
    from felt_engine.declare import Limit


def add(commands: Any) -> None:
    """Add the command to the parser."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "rules", help="what is looked at", description="List the rules, or show one rule's page: "
        "purpose, limits with their sources, sum, weak spots, examples.",
    )  # fmt: skip
    parser.add_argument("rule", metavar="RULE", nargs="?", help="a rule's name")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print the list or the page."""
    from felt_engine.api import default_engine
    from felt_engine.errors import CallError

    engine = default_engine()
    book = engine.rule_book
    for one in engine.broke:
        terminal.complain(f"not loaded: {one.what} ({one.package} {one.version}): {one.reason}")
    if arguments.rule is None:
        terminal.write(f"{line}\n" for line in _list(book.rules))
    else:
        shelved = book.get(arguments.rule)
        if shelved is None:
            from felt_engine.suggest import did_you_mean

            names = [one.rule.id for one in book.rules]
            hint = did_you_mean(arguments.rule, names, "felt-engine rules lists them")
            raise CallError(f"no rule is called “{arguments.rule}”: {hint}")
        terminal.write(f"{line}\n" for line in _page(shelved))
    return 3 if engine.broke else 0


def _list(rules: tuple[Shelved, ...]) -> Iterator[str]:
    if not rules:
        yield "No rule is installed."
        return
    wide = max(len(one.rule.id) for one in rules)
    for one in rules:
        yield f"{one.rule.id:<{wide}}  {one.rule.title}"
    yield ""
    yield "felt-engine rules RULE shows one of them whole."


def _fill(text: str, indent: str = "  ") -> list[str]:
    return textwrap.wrap(
        text, 80, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
    )


def _page(shelved: Shelved) -> Iterator[str]:
    rule = shelved.rule
    yield rule.id
    yield from _fill(f"{rule.title}. From {shelved.package} {shelved.version}, "
                     f"since release {rule.since}.")  # fmt: skip
    for title, text in (
        ("Why", rule.purpose), ("The sum", rule.model), ("Where it is unsure", rule.weak_spots)
    ):  # fmt: skip
        if text:
            yield from ("", title, *_fill(text))
    if rule.limits:
        yield from ("", "Limits")
        for limit in rule.limits:
            yield from _limit(limit)
    if rule.purposes:
        words = ", ".join(f"“{word}”" for word in rule.purposes)
        yield from ("", "On purpose")
        yield from _fill(f"Under on purpose, what: {words} tells this rule that it is meant.")
    for example in rule.examples:
        said = f"gives a {example.finds}" if example.finds else "says nothing"
        yield from ("", f"Example: {example.title} ({said})")
        yield from ("    " + line for line in example.text.rstrip().splitlines())


def _limit(limit: Limit) -> Iterator[str]:
    yield f"  {limit.name}: {limit.default:g} {limit.unit}".rstrip()
    yield from _fill(f"{limit.about}. Source: {limit.source}. Holds for: {limit.holds}.", "    ")
