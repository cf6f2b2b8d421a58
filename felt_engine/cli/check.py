"""``felt-engine check``: judge recipes and write the report."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from felt_engine.beside import is_notebook_file, is_studio_file, studio_beside
from felt_engine.cli.known import KnownFindings, add_known
from felt_engine.cli.outputs import add_outputs, draws, keep_apart, wanted, write
from felt_engine.cli.terminal import Terminal
from felt_engine.errors import PluginMissing, StudioError

if TYPE_CHECKING:
    import argparse

    from felt_engine.api import Engine
    from felt_engine.checking.report import Report

NO_STUDIO = "none"
ENDINGS = (".yaml", ".yml", ".json")
AFTER = """\
In a folder, every file that ends in .yaml, .yml or .json is taken for a
recipe; hidden files and folders are passed over. A file called studio.yaml,
studio.yml or studio.json holds the house's own numbers: the recipes in its
folder, and no others, are judged by it, unless --studio names a file for all.

examples:
  felt-engine check scarf.yaml
  felt-engine check recipes/ new/slippers.yaml --stop-at caution
  felt-engine check recipes/ --studio house/studio.yaml
  felt-engine check recipes/ --rule-file house/rules.py
  felt-engine check recipes/ --as json --to report.json
  felt-engine check scarf.yaml --as page --to scarf.html
  felt-engine check recipes/ --as page --to pages/
  felt-engine check recipes/ --as sarif --to a.sarif --as junit --to b.xml
  felt-engine check recipes/ --write-known known.jsonl
  felt-engine check recipes/ --known known.jsonl
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    import argparse

    parser: argparse.ArgumentParser = commands.add_parser(
        "check", help="judge recipes", description="Judge recipes and say what is wrong, where, "
        "and what to do.", epilog=AFTER, formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("paths", metavar="PATH", nargs="+", help="a recipe, or a folder of them")
    add_outputs(parser)
    parser.add_argument(
        "--stop-at", metavar="LEVEL", choices=("fault", "caution", "note"), default="fault",
        help="lowest level that makes the exit status 1: fault (as if left out), caution or note",
    )  # fmt: skip
    parser.add_argument(
        "--studio", metavar="FILE", help="the house's own numbers: judge by this studio file; "
        "none: by no studio file, also where one lies beside a recipe",
    )  # fmt: skip
    add_known(parser)
    add_rule_file(parser)
    parser.set_defaults(run=run)


def add_rule_file(parser: argparse.ArgumentParser) -> None:
    """Add the option that names rules which are not packaged."""
    parser.add_argument(
        "--rule-file", metavar="PATH", dest="rule_files", action="append", default=[],
        help="also load the rules (or fibres, uses, cautions, exporters) in this Python file, or in "
        "the files of this folder; may be given several times",
    )  # fmt: skip


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Check all paths; returns the largest exit status that applies."""
    outputs = wanted(arguments.outputs)
    known = KnownFindings(arguments.known, arguments.write_known)
    files = [
        (path, file) for path in arguments.paths for file in _files(path) if not known.is_at(file)
    ]
    keep_apart(outputs, (arguments.known, arguments.write_known), (file for _, file in files))
    named = named_engine(arguments.studio, arguments.rule_files)
    engines = _Engines(named, arguments.studio is None)
    if not engines.ready(files, terminal):
        return engines.status
    engine = engines.usual
    status = [0]
    drawing = draws(outputs, engine.exporter)
    looked = _looked(engines, files, drawing, terminal)
    reports = _counted(known.over(looked), arguments.stop_at, status)
    written = write(outputs, reports, engine, arguments.stop_at, terminal)
    known.finish(terminal)
    if not engine.rule_book.rules:
        terminal.complain("no rule is installed, so nothing was judged")
    for slow in engine.slowest.values():
        owner = f"{slow.package} {slow.version}".strip()
        terminal.complain(
            f"slow: the rule {slow.rule}, from {owner}, took {slow.seconds:.1f} s for {slow.recipe}"
        )
    return max(status[0], written) if not engine.broke else 3


def named_engine(studio: str | None, rule_files: Sequence[str] = ()) -> Engine:
    """The engine with these rule files and the studio file that was named.

    Without a studio file for ``None`` and ``none``.
    """
    from felt_engine.api import Engine, default_engine

    engine = default_engine()
    if rule_files:
        engine = Engine(engine.plugins, rule_files=rule_files)
    return engine if studio in (None, NO_STUDIO) else engine.with_studio(studio)


class _Engines:
    """Which engine judges which recipe: the named one, or one with what lies beside the recipe."""

    def __init__(self, usual: Engine, look_beside: bool) -> None:
        self.usual, self.look_beside = usual, look_beside
        self.by_folder: dict[str, Engine] = {}
        self.status = 0

    def ready(self, files: list[tuple[str, str]], terminal: Terminal) -> bool:
        """Read all studio files before anything is judged; False after saying what is wrong."""
        if not self.look_beside:
            return True
        for folder in dict.fromkeys(os.path.dirname(file) for _, file in files if file):
            try:
                found = studio_beside(os.path.join(folder, ""))
                if found is not None:
                    self.by_folder[folder] = self.usual.with_studio(found, found=True)
            except StudioError as error:
                terminal.complain(str(error))
                self.status = max(self.status, 3 if isinstance(error, PluginMissing) else 2)
        for path, without in _without(files, self.by_folder):
            terminal.complain(
                f"the studio file in {path} holds for that folder alone, and not for {without}; "
                f"--studio names one for all"
            )
        return not self.status

    def of(self, file: str) -> Engine:
        """The engine that judges this recipe."""
        return self.by_folder.get(os.path.dirname(file), self.usual)


def _without(
    files: list[tuple[str, str]], known: Mapping[str, object]
) -> Iterator[tuple[str, str]]:
    """Folders that were named and have a studio file, with one below that has none."""
    told: set[str] = set()
    for path, file in files:
        top, folder = os.path.dirname(os.path.join(path, "")), os.path.dirname(file)
        if file != path and top in known and folder not in known and top not in told:
            told.add(top)
            yield top, folder


def _looked(
    engines: _Engines, files: Iterable[tuple[str, str]], drawing: bool, terminal: Terminal
) -> Iterator[Report]:
    for path, file in files:
        report = _report(engines, file, drawing) if file else _empty(path)
        for broke in report.not_judged:
            terminal.trace(broke.trace)
        yield report


def _counted(reports: Iterable[Report], stop_at: str, status: list[int]) -> Iterator[Report]:
    for report in reports:
        status[0] = max(status[0], report.exit_status(stop_at))
        yield report


def _report(engines: _Engines, file: str, drawing: bool) -> Report:
    if is_studio_file(file):
        return _unread(
            file, "a studio file", "a recipe", "name its folder, or a recipe; or rename the file"
        )
    if is_notebook_file(file):
        return _unread(
            file, "a notebook of swatches", "a recipe",
            "felt-engine swatches shows what is in it; or rename the file",
        )  # fmt: skip
    return engines.of(file).look(Path(file), name=file, drawing=drawing)


def _empty(path: str) -> Report:
    ends = "a file that ends in .yaml, .yml or .json"
    return _unread(path, "a folder without a recipe in it", ends, "name another folder")


def _unread(path: str, found: str, expected: str, mend: str) -> Report:
    from felt_engine.checking.report import Report
    from felt_engine.errors import Problem

    return Report(path, problems=(Problem(found, expected, mend, kind="text"),))


def _files(path: str) -> Iterator[str]:
    """The path itself, or the recipes in a folder, sorted; an empty text for an empty folder."""
    if not os.path.isdir(path):
        yield path
        return
    count = 0
    for folder, folders, files in os.walk(path):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if (
                name.lower().endswith(ENDINGS)
                and not name.startswith(".")
                and not is_studio_file(name)
                and not is_notebook_file(name)
            ):
                count += 1
                yield os.path.join(folder, name)
    if not count:
        yield ""
