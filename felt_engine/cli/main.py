"""Entry of the ``felt-engine`` command: words to a function, errors to an exit status."""

from __future__ import annotations

import sys

from felt_engine import __version__

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from typing import NoReturn

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
  0 nothing at the level that stops     2 something could not be read, or a wrong call
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
    import argparse
    from importlib import import_module

    from felt_engine.cli.terminal import short

    class Parser(argparse.ArgumentParser):
        def error(self, message: str) -> NoReturn:
            self.exit(2, f"felt-engine: {short(message)}\nSee {self.prog} --help.\n")

    parser = Parser(prog="felt-engine", description=ABOUT, epilog=AFTER, formatter_class=layout)
    parser.add_argument("--version", action="version", version=f"felt-engine {__version__}")
    commands = parser.add_subparsers(
        dest="command", metavar="COMMAND", parser_class=Parser, prog="felt-engine"
    )
    for word in (asked,) if asked in COMMANDS else COMMANDS:
        import_module(f"felt_engine.cli.{word.replace('-', '_')}").add(commands)
    return parser


def run(argv: Sequence[str] | None = None) -> NoReturn:
    """Run the command and leave the process with its exit status."""
    status = main(sys.argv[1:] if argv is None else argv)
    sys.stdout = sys.stderr  # for what a plugin's thread prints when all is said
    sys.exit(status)


def main(argv: Sequence[str]) -> int:
    """Run the command; returns its exit status."""
    if list(argv) == ["--version"]:
        print(f"felt-engine {__version__}")
        return 0
    from felt_engine.cli.terminal import Terminal

    try:
        parser = _parser(argv[0] if argv else "")
        arguments = parser.parse_args(list(argv))
        if arguments.command is None:
            parser.print_help()
            return 2
    except SystemExit as leaving:
        return int(leaving.code or 0)
    terminal = Terminal()
    try:
        return int(arguments.run(arguments, terminal))
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
