"""``felt-engine check``: judge recipes and write the report."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from felt_engine.cli.terminal import Terminal, write_file, write_folder

if TYPE_CHECKING:
    import argparse

    from felt_engine.api import Engine
    from felt_engine.checking.report import Report

ENDINGS = (".yaml", ".yml", ".json")
AFTER = """\
In a folder, every file that ends in .yaml, .yml or .json is taken for a recipe;
hidden files and folders are passed over.

examples:
  felt-engine check scarf.yaml
  felt-engine check recipes/ new/slippers.yaml --stop-at caution
  felt-engine check recipes/ --as json --to report.json
  felt-engine check scarf.yaml --as page --to scarf.html
  felt-engine check recipes/ --as page --to pages/
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    import argparse

    parser: argparse.ArgumentParser = commands.add_parser(
        "check", help="judge recipes", description="Judge recipes and say what is wrong, where, "
        "and what to do.", epilog=AFTER, formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("paths", metavar="PATH", nargs="+", help="a recipe, or a folder of them")
    parser.add_argument(
        "--as", dest="exporter", metavar="EXPORTER", default="text",
        help="how to write the report: text (as if left out), json, page, or a plugin's",
    )  # fmt: skip
    parser.add_argument(
        "--to", metavar="FILE", help="write to this file, not to the terminal; for page also a "
        "folder, which gets a page a recipe and an index",
    )  # fmt: skip
    parser.add_argument(
        "--stop-at", metavar="LEVEL", choices=("fault", "caution", "note"), default="fault",
        help="lowest level that makes the exit status 1: fault (as if left out), caution or note",
    )  # fmt: skip
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Check all paths; returns the largest exit status that applies."""
    from felt_engine.api import default_engine
    from felt_engine.declare import Sheet

    engine = default_engine()
    status = [0]
    colour = terminal.colour and arguments.to is None
    sheet = Sheet(width=terminal.width if arguments.to is None else 80, colour=colour)
    exporter = engine.exporter(arguments.exporter)
    reports = _reports(engine, arguments.paths, arguments.stop_at, status, exporter.draws)
    if arguments.to is None:
        terminal.write(exporter.render(reports, sheet))
    elif exporter.files is not None and _is_folder(arguments.to):
        write_folder(arguments.to, exporter.files(reports, sheet))
    else:
        write_file(arguments.to, exporter.render(reports, sheet))
    if not engine.rule_book.rules:
        terminal.complain("no rule is installed, so nothing was judged")
    return status[0] if not engine.broke else 3


def _reports(
    engine: Engine, paths: Iterable[str], stop_at: str, status: list[int], drawing: bool
) -> Iterator[Report]:
    for path in paths:
        for file in _files(path):
            report = engine.look(file, drawing=drawing) if file else _empty(path)
            status[0] = max(status[0], report.exit_status(stop_at))
            yield report


def _is_folder(path: str) -> bool:
    """Whether a folder is meant: there is one, or the name ends like one or has no ending."""
    name = os.path.basename(path)
    return os.path.isdir(path) or not name or "." not in name


def _empty(path: str) -> Report:
    from felt_engine.checking.report import Report
    from felt_engine.errors import Problem

    found = "a folder without a recipe in it"
    ends = "a file that ends in .yaml, .yml or .json"
    return Report(path, problems=(Problem(found, ends, "name another folder", kind="text"),))


def _files(path: str) -> Iterator[str]:
    """The path itself, or the recipes in a folder, sorted; an empty text for an empty folder."""
    if not os.path.isdir(path):
        yield path
        return
    count = 0
    for folder, folders, files in os.walk(path):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if name.lower().endswith(ENDINGS) and not name.startswith("."):
                count += 1
                yield os.path.join(folder, name)
    if not count:
        yield ""
