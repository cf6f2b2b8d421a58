"""Entry of the ``felt-engine`` command: words to a function, errors to an exit status."""

from __future__ import annotations

import sys

from felt_engine import __version__

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Sequence
    from typing import NoReturn

    from felt_engine.cli.terminal import Terminal

VERSION = f"felt-engine {__version__}"

ABOUT = "Proofread wet-felting recipes: a recipe file goes in, a located verdict comes out."
AFTER = """\
examples:
  felt-engine check scarf.yaml                  one recipe, with its weights
  felt-engine check recipes/                    every recipe in a folder
  felt-engine check recipes/ --as json --to report.json
  felt-engine rules                             what is looked at
  felt-engine rules thin-layer                  one rule: purpose, limits, examples
  felt-engine rules thin-layer --studio s.yaml  the same, with the house's own limits
  felt-engine check scarf.yaml --rule-file house.py   with a rule of your own
  felt-engine new-plugin harbour-rules          a package to write your own rules in

exit status, the largest that applies:
  0 nothing at the level that stops     2 not read, no rule left, or a wrong call
  1 findings that stop                  3 a plugin broke down, or a needed one is missing
  130 interrupted
"""


COMMANDS = ("check", "resize", "forecast", "rows", "swatches", "rules", "new-plugin")
"""In the order in which the help shows them; each is added by the module of its name."""


def layout(prog: str) -> argparse.HelpFormatter:
    """Help in lines of at most 78 columns, with its examples as they are written."""
    import argparse

    return argparse.RawDescriptionHelpFormatter(prog, width=78)


def _parser(asked: str = "") -> argparse.ArgumentParser:
    """A parser of all commands, or of the one that is asked for."""
    from importlib import import_module

    from felt_engine.cli.parser import Parser, Version

    parser = Parser(prog="felt-engine", description=ABOUT, epilog=AFTER, formatter_class=layout)
    parser.add_argument(
        "--version", action=Version, nargs=0, const=VERSION, help="show the release, and end"
    )
    commands = parser.add_subparsers(
        dest="command", metavar="COMMAND", parser_class=Parser, prog="felt-engine"
    )
    for word in (asked,) if asked in COMMANDS else COMMANDS:
        import_module(f"felt_engine.cli.{word.replace('-', '_')}").add(commands)
    return parser


def run(argv: Sequence[str] | None = None) -> NoReturn:
    """Run the command and leave the process with its exit status.

    An interrupt before or after the command itself ends the process at once, without a word.
    """
    try:
        from felt_engine.interrupts import hush, listen

        hushed = hush()
        status = main(sys.argv[1:] if argv is None else argv, listen if hushed else None)
        if hushed:
            hush()
    except KeyboardInterrupt:
        status = 130
    sys.stdout = sys.stderr  # for what a plugin's thread prints when all is said
    sys.exit(status)


def main(argv: Sequence[str], begin: Callable[[], None] | None = None) -> int:
    """Run the command; returns its exit status. ``begin`` is called when interrupts are caught."""
    from felt_engine.cli.terminal import Terminal

    terminal = Terminal()
    try:
        if begin is not None:
            begin()
        return _called(list(argv), terminal)
    except KeyboardInterrupt:
        return 130
    except SystemExit:
        terminal.complain("something tried to end the program before it was done")
        return 3
    except Exception as error:
        from felt_engine.cli.terminal import say_error

        return say_error(error, terminal)
    finally:
        terminal.close()


def _called(argv: list[str], terminal: Terminal) -> int:
    """Do what the words ask for."""
    if argv == ["--version"]:
        terminal.write([f"{VERSION}\n"])
        return 0
    from felt_engine.cli.parser import Asked

    parser = _parser(argv[0] if argv else "")
    try:
        arguments = parser.parse_args(argv)
    except Asked as asked:
        terminal.write([asked.text])
        return 0
    except SystemExit as leaving:
        return int(leaving.code or 0)
    if arguments.command is None:
        terminal.write([parser.format_help()])
        return 2
    return int(arguments.run(arguments, terminal))
