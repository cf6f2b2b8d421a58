"""``felt-engine rules``: the list of rules, and one rule's page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from felt_engine.cli.terminal import Terminal, fill
from felt_engine.plain_text import plain

if TYPE_CHECKING:
    import argparse

    from felt_engine.api import Engine
    from felt_engine.checking.rulebook import RuleBook, Shelved
    from felt_engine.declare import Limit
    from felt_engine.model.studio import Studio


OWN = "felt-engine"


def add(commands: Any) -> None:
    """Add the command to the parser."""
    from felt_engine.cli.check import add_rule_file

    parser: argparse.ArgumentParser = commands.add_parser(
        "rules", help="what is looked at", description="List the rules, or show one rule's page: "
        "purpose, limits with their sources, sum, weak spots, examples.",
    )  # fmt: skip
    parser.add_argument("rule", metavar="RULE", nargs="?", help="a rule's name")
    parser.add_argument(
        "--studio", metavar="FILE",
        help="show the limits as this studio file sets them, and who set each",
    )  # fmt: skip
    add_rule_file(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print the list or the page."""
    from felt_engine.cli.engines import named_engine
    from felt_engine.errors import CallError

    engine = named_engine(arguments.studio, arguments.rule_files)
    book = engine.rule_book
    for one in engine.broke:
        terminal.trace(one.trace)
        terminal.complain(f"not loaded: {one.told}")
    if arguments.rule is None:
        terminal.write(f"{line}\n" for line in _list(book))
    else:
        was = book.former.get(arguments.rule)
        if was is not None:
            terminal.complain(was.told)
        shelved = book.get(arguments.rule if was is None or was.now is None else was.now)
        if shelved is None and was is not None:
            return 2
        if shelved is None:
            from felt_engine.suggest import did_you_mean

            names = [one.rule.id for one in _every(book)]
            hint = did_you_mean(arguments.rule, names, "felt-engine rules lists them")
            raise CallError(f"no rule is called “{arguments.rule}”: {hint}")
        terminal.write(f"{line}\n" for line in _page(shelved, engine))
    return 3 if engine.broke else 0


def _every(book: RuleBook) -> list[Shelved]:
    every = [*book.rules, *(one.shelved for one in book.resting)]
    return sorted(every, key=lambda one: one.rule.id)


def _list(book: RuleBook) -> Iterator[str]:
    every = _every(book)
    if not every:
        yield "No rule is installed."
        return
    off = {one.shelved.rule.id: one for one in book.resting}
    wide = max(len(one.rule.id) for one in every)
    for one in every:
        whose = "" if one.package == OWN else f" (from {one.owner})"
        yield f"{one.rule.id:<{wide}}  {one.rule.title}{plain(whose)}"
        if one.rule.id in off:
            resting = off[one.rule.id]
            yield from fill(plain(f"switched off by {resting.by}: {resting.why}"), " " * (wide + 2))
    yield ""
    yield "felt-engine rules RULE shows one of them whole."


def _page(shelved: Shelved, engine: Engine) -> Iterator[str]:
    rule, studio = shelved.rule, engine.studio
    yield rule.id
    if rule.formerly:
        yield from fill(f"Formerly {', '.join(rule.formerly)}.")
    yield from fill(f"{rule.title}. From {shelved.owner}, "
                     f"since release {rule.since}.")  # fmt: skip
    if studio is not None:
        yield from _house(shelved, engine.rule_book, studio)
    for title, text in (
        ("Why", rule.purpose), ("The sum", rule.model), ("Where it is unsure", rule.weak_spots)
    ):  # fmt: skip
        if text:
            yield from ("", title, *fill(text))
    if rule.limits:
        yield from ("", "Limits")
        for limit in rule.limits:
            yield from _limit(limit, shelved, studio)
    if rule.purposes:
        words = ", ".join(f"“{word}”" for word in rule.purposes)
        yield from ("", "On purpose")
        yield from fill(f"Under on purpose, what: {words} tells this rule that it is meant.")
    for example in rule.examples:
        said = f"gives a {example.finds}" if example.finds else "says nothing"
        yield from ("", f"Example: {example.title} ({said})")
        yield from ("    " + line for line in example.text.strip("\n").rstrip().splitlines())


def _house(shelved: Shelved, book: RuleBook, studio: Studio) -> Iterator[str]:
    """What the studio file says of the rule, apart from its limits."""
    yield from ("", "In the house")
    yield from fill(plain(f"By the studio file of {studio.name} ({studio.file})."))
    for resting in book.resting:
        if resting.shelved == shelved:
            yield from fill(plain(f"Switched off: {resting.why}."))
    quietest, loudest = book.levels.get(shelved.rule.id, (None, None))
    if quietest:
        yield from fill(f"Its findings are never less than a {quietest}.")
    if loudest:
        yield from fill(f"Its findings are never more than a {loudest}.")


def _limit(limit: Limit, shelved: Shelved, studio: Studio | None) -> Iterator[str]:
    said = None if studio is None else studio.rule(shelved.rule.id)
    own = next((one for one in said.limits if one.name == limit.name), None) if said else None
    value = limit.default if own is None else own.value
    yield f"  {limit.name}: {value:g} {limit.unit}".rstrip()
    if studio is not None and own is not None:
        entered = "" if own.text == f"{value:g}" else f", as {own.text}"
        as_comes = f"{limit.default:g} {limit.unit}".rstrip()
        yield from fill(plain(f"Set by {studio.file}{entered}; as it comes: {as_comes}."), "    ")
    elif studio is not None:
        yield from fill(f"Set by {shelved.owner}.", "    ")
    yield from fill(f"{limit.about}. Source: {limit.source}. Holds for: {limit.holds}.", "    ")
