"""``felt-engine new-plugin``: a package to write rules in, which installs and tests green at once."""

from __future__ import annotations

import os
import re
from shlex import quote
from typing import TYPE_CHECKING, Any

from felt_engine.cli.files import named
from felt_engine.cli.terminal import Terminal
from felt_engine.plain_text import one_line
from felt_engine.whole_file import ENDING, write_tree

if TYPE_CHECKING:
    import argparse

FILES = {
    "pyproject.toml": "pyproject.toml.txt",
    "README.md": "README.md.txt",
    "{module}/__init__.py": "package/init.py.txt",
    "{module}/carder_load.py": "package/carder_load.py.txt",
    "tests/test_plugin.py": "tests/test_plugin.py.txt",
}
"""What is written, and what it is made from."""

AFTER = """\
The package has one rule with its page, its examples and its tests, to put your
own in the place of.

example:
  felt-engine new-plugin harbour-rules
  python -m pip install -e 'harbour-rules[test]'
  python -m pytest harbour-rules
  felt-engine rules
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    import argparse

    parser: argparse.ArgumentParser = commands.add_parser(
        "new-plugin", help="a package for rules of your own", description="Write a new package with "
        "a rule of your own, ready to install and to test.", epilog=AFTER,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument(
        "name", metavar="NAME", help="what the package is called: small letters, digits, hyphens"
    )
    parser.add_argument(
        "--to", metavar="FOLDER", help="the folder to write it to, new or empty; if left out, one of "
        "its name, here",
    )  # fmt: skip
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the package and say what to do next."""
    from felt_engine.errors import OutputError

    name, module = arguments.name, _module(arguments.name)
    folder = name if arguments.to is None else named(arguments.to, "--to", "folder")
    if os.path.lexists(folder) and not (os.path.isdir(folder) and _is_empty(folder)):
        raise OutputError(f"cannot write to {folder}: it is there already, and not empty")
    words = _words(name, module)
    files = (
        (target.format(module=module), _filled(source, words)) for target, source in FILES.items()
    )
    made: list[str] = []
    try:
        _make(os.path.dirname(folder.rstrip("/" + os.sep)), made)
        write_tree(folder, files)
    except BaseException as error:
        _unmake(made)
        if isinstance(error, OSError):
            raise OutputError(f"cannot make {folder}: {error.strerror or error}") from None
        raise
    terminal.write([
        f"{name} is written to {one_line(folder)}. Next:\n"
        f"  python -m pip install -e {_typed(folder, '[test]')}\n"
        f"  python -m pytest {_typed(folder)}\n"
        f"  felt-engine rules {words['SHORT']}-carder-load\n"
    ])  # fmt: skip
    return 0


def _typed(folder: str, behind: str = "") -> str:
    """A folder as a shell takes it; ``FOLDER`` where it has signs that nobody can type."""
    folder = folder if one_line(folder) == folder else "FOLDER"
    folder = f"./{folder}" if folder.startswith("-") else folder
    if re.fullmatch(r"[\w./-]+", folder + behind):
        return folder
    return f'"{folder}{behind}"' if re.fullmatch(r"[\w./ -]+", folder) else quote(folder + behind)


def _is_empty(folder: str) -> bool:
    """Whether there is nothing in it, but for what a run that was killed may have left."""
    return not set(os.listdir(folder)) - {ENDING}


def _make(folder: str, made: list[str]) -> None:
    """Make a folder and those above it, and note each that was not there. OutputError if it can't be."""
    from felt_engine.errors import OutputError

    lacking = []
    while folder and not os.path.isdir(folder):
        lacking.append(folder)
        folder = os.path.dirname(folder)
    for one in reversed(lacking):
        try:
            os.mkdir(one)
        except OSError as error:
            raise OutputError(f"cannot make {one}: {error.strerror}") from None
        made.append(one)


def _unmake(made: list[str]) -> None:
    """Take away the folders that were made, the last first."""
    import contextlib

    for folder in reversed(made):
        with contextlib.suppress(OSError):
            os.rmdir(folder)


ITS_OWN = {
    "pytest": "what runs the package's tests", "setup": "what builds a package",
    "conftest": "what prepares a package's tests",
}  # fmt: skip
"""Modules that stand for something beside the package, installed here or not."""


def _module(name: str) -> str:
    """The module's name. CallError for a name that can't be one, or is taken."""
    import keyword
    from importlib.util import find_spec

    from felt_engine.errors import CallError

    module: str = name.replace("-", "_")
    if not re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", name) or keyword.iskeyword(module):
        raise CallError(
            f"“{name}” can't be the name of a package: small letters, digits and hyphens, such as "
            "harbour-rules"
        )
    if module in {target.split("/")[0] for target in FILES}:
        raise CallError(
            f"“{name}” is taken: the package’s own {module} go into the folder {module}; choose "
            "another name"
        )
    if module in ITS_OWN:
        raise CallError(f"“{name}” is taken: {ITS_OWN[module]} goes by it; choose another name")
    if find_spec(module) is not None:
        raise CallError(f"“{name}” is taken: there is a module {module} here; choose another name")
    return module


def _words(name: str, module: str) -> dict[str, str]:
    from felt_engine import CONTRACT, __version__

    short = re.sub(r"-(rules|rule|plugin|plugins|studio)$", "", name)
    return {
        "NAME": name, "MODULE": module, "SHORT": short, "ENGINE": __version__,
        "CONTRACT": str(CONTRACT),
    }  # fmt: skip


def _filled(source: str, words: dict[str, str]) -> str:
    from importlib.resources import files

    text = files("felt_engine").joinpath("starter", *source.split("/")).read_text("utf-8")
    return re.sub(r"@([A-Z]+)@", lambda found: words[found[1]], text)
