"""What may stand where in a line that calls ``felt-engine``, as read off its parser."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator

import attrs

from felt_engine.api import Engine
from felt_engine.beside import ENDINGS
from felt_engine.cli.engines import NO_STUDIO
from felt_engine.cli.main import _parser
from felt_engine.cli.outputs import Pair
from felt_engine.cli.parser import Version
from felt_engine.plugins import Plugins

ANY = ("",)
"""Endings of files, where any file will do."""


@attrs.frozen
class Value:
    """What may stand at one place: these words, files with these endings (and folders), folders."""

    name: str
    words: tuple[str, ...] = ()
    endings: tuple[str, ...] = ()
    folders: bool = False

    @property
    def wants_something(self) -> bool:
        """Whether anything is known of what may stand there."""
        return bool(self.words or self.endings or self.folders)


@attrs.frozen
class Option:
    """An option by its names; ``value`` is ``None`` where it takes none, ``again`` if it repeats."""

    names: tuple[str, ...]
    about: str
    value: Value | None
    again: bool
    ends: bool
    """Whether nothing else makes sense beside it, such as ``--help``."""


@attrs.frozen
class Command:
    """A command, its options, and what its other words are; the last ``again`` if it repeats."""

    name: str
    about: str
    options: tuple[Option, ...]
    places: tuple[Value, ...]
    again: bool = False

    def valued(self) -> list[str]:
        """Names of the options that take a value."""
        return [name for one in self.options if one.value is not None for name in one.names]

    def long_names(self) -> list[str]:
        """One name an option: the long one, if it has one."""
        return [max(one.names, key=len) for one in self.options]


def whole() -> Command:
    """The command itself, whose one place is the name of one of ``commands()``."""
    parser = _parser()
    names = tuple(one.name for one in commands())
    return Command("", "", _options(parser, {}), (Value("command", names),))


def commands() -> tuple[Command, ...]:
    """All commands, in the order of the help, with the names that the built-in plugins bring."""
    (action,) = (one for one in _parser()._actions if isinstance(one, argparse._SubParsersAction))
    about = {one.dest: one.help or "" for one in action._choices_actions}
    known = _known()
    return tuple(_command(name, about[name], one, known) for name, one in action.choices.items())


def _known() -> dict[str, Value]:
    """What is wanted, by an option's name or else by the word that the help shows for a value."""
    engine = Engine(Plugins.built_in())
    rules = tuple(sorted(one.rule.id for one in engine.rule_book.rules))
    return {
        "--studio": Value("studio file", (NO_STUDIO,), ENDINGS),
        "--notebook": Value("notebook", endings=ENDINGS),
        "--rule-file": Value("rules", endings=(".py",)),
        "EXPORTER": Value("exporter", tuple(sorted(engine.exporters))),
        "FILE": Value("file", endings=ANY),
        "FOLDER": Value("folder", folders=True),
        "NOTEBOOK": Value("notebook", endings=ENDINGS),
        "PATH": Value("recipe or folder", endings=ENDINGS),
        "RECIPE": Value("recipe", endings=ENDINGS),
        "RULE": Value("rule", rules),
    }


def _command(
    name: str, about: str, parser: argparse.ArgumentParser, known: dict[str, Value]
) -> Command:
    placed = [one for one in parser._actions if not one.option_strings]
    again = bool(placed) and placed[-1].nargs in ("+", "*", argparse.REMAINDER)
    places = tuple(_value(one, known) for one in placed)
    return Command(name, short(about), _options(parser, known), places, again)


def _options(parser: argparse.ArgumentParser, known: dict[str, Value]) -> tuple[Option, ...]:
    return tuple(
        Option(
            tuple(one.option_strings),
            short(parser._get_formatter()._expand_help(one)),
            None if one.nargs == 0 else _value(one, known),
            isinstance(one, (argparse._AppendAction, Pair)),
            isinstance(one, (argparse._HelpAction, Version)),
        )
        for one in parser._actions
        if one.option_strings
    )


def _value(action: argparse.Action, known: dict[str, Value]) -> Value:
    shown = action.metavar if isinstance(action.metavar, str) else action.dest
    plain = Value(shown.lower().replace(":", ""))
    if action.choices is not None:
        return attrs.evolve(plain, words=tuple(map(str, action.choices)))
    return next((known[one] for one in (*action.option_strings, shown) if one in known), plain)


def short(text: str) -> str:
    """The help up to its first break, if that says enough by itself."""
    head = re.split(r"[:;(]", " ".join(text.split()))[0].strip()
    return head if head.count(" ") > 1 else text.replace(":", ",")


def every() -> Iterator[Command]:
    """The command itself, and all its commands."""
    yield whole()
    yield from commands()
