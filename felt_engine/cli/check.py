"""``felt-engine check``: judge recipes and write the report."""

from __future__ import annotations

from felt_engine.cli.engines import Engines, named_engine
from felt_engine.cli.files import keep_apart, keep_out, standard_input, taken_by
from felt_engine.cli.given import Given
from felt_engine.cli.known import KnownFindings, add_known
from felt_engine.cli.outputs import add_outputs, draws, wanted, write
from felt_engine.cli.progress import Progress

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Iterator
    from typing import Any

    from felt_engine.api import Engine
    from felt_engine.checking.report import Report
    from felt_engine.cli.terminal import Terminal
    from felt_engine.cli.whole import WholeRun
    from felt_engine.crew import OwnProcesses
    from felt_engine.many import Task

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
  felt-engine check recipes/ --processes all --keep .felt-kept
  felt-engine check - --called scarf.yaml < scarf.yaml
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    from felt_engine.cli.main import layout

    parser: argparse.ArgumentParser = commands.add_parser(
        "check", help="judge recipes", description="Judge recipes and say what is wrong, where, "
        "and what to do.", epilog=AFTER, formatter_class=layout,
    )  # fmt: skip
    parser.add_argument(
        "paths",
        metavar="PATH",
        nargs="+",
        help="a recipe, a folder of them, or - for standard input",
    )
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
    parser.add_argument(
        "--called", metavar="NAME", help="what the recipe on standard input is called: reports use "
        "this name, and a studio file beside it holds",
    )  # fmt: skip
    parser.add_argument(
        "--processes", metavar="N", type=_processes, default=1,
        help="how many processes judge side by side, or: all, one for each core; 1 if left out",
    )  # fmt: skip
    parser.add_argument(
        "--keep", metavar="FOLDER", help="keep results in this folder, by content, and take from "
        "it what hasn’t changed; it may be deleted at any time",
    )  # fmt: skip
    parser.set_defaults(run=run)


def _processes(text: str) -> int:
    import argparse
    import os

    if text == "all":
        return (
            len(os.sched_getaffinity(0))
            if hasattr(os, "sched_getaffinity")
            else os.cpu_count() or 1
        )
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:4]) <= 256 and len(text) < 4):
        raise argparse.ArgumentTypeError(f"“{text}” is no number of processes: 1 to 256, or all")
    return int(text)


def add_rule_file(parser: argparse.ArgumentParser) -> None:
    """Add the option that names rules which are not packaged."""
    parser.add_argument(
        "--rule-file", metavar="PATH", dest="rule_files", action="append", default=[],
        help="also load the rules (or fibres, uses, cautions, exporters) in this Python file, or in "
        "the files of this folder; may be given several times",
    )  # fmt: skip


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Check all paths; returns the largest exit status that applies."""
    outputs = wanted(arguments.outputs, arguments.write_known)
    known = KnownFindings(arguments.known, arguments.write_known)
    given = Given(arguments.paths, arguments.called)
    given.files = [pair for pair in given.files if not known.is_at(pair[1])]
    reports = [file for _, file in outputs if file]
    written = [*reports, arguments.write_known or ""]
    read = [*given.read, given.called or "", arguments.studio or "", *arguments.rule_files]
    keep_apart(written, read, opened=standard_input() if given.called else None)
    keep_apart(reports, [arguments.known or ""])
    whole = None
    if arguments.keep is not None:
        from felt_engine.cli.whole import WholeRun
        from felt_engine.kept import Kept

        keep_out(written, arguments.keep)
        whole = WholeRun(Kept(arguments.keep), arguments, outputs, given, known, terminal)
        told = whole.told()
        if told is not None:
            return told
    return _judged(arguments, terminal, outputs, known, given, whole)


def _judged(
    arguments: argparse.Namespace, terminal: Terminal, outputs: list[tuple[str, str | None]],
    known: KnownFindings, given: Given, whole: WholeRun | None,
) -> int:  # fmt: skip
    from felt_engine.many import Judging

    engines = Engines(
        named_engine(arguments.studio, arguments.rule_files), arguments.studio is None
    )
    if not engines.ready(given.files, terminal):
        return engines.status
    engine, status = engines.usual, [0]
    written = [*(file or "" for _, file in outputs), arguments.write_known or ""]
    keep_apart(written, engines.read())
    taken = taken_by(written, [*given.read, arguments.known or "", *engines.read()])
    drawing = draws(outputs, engine.exporter)
    crew = _crew(arguments.processes)
    try:
        judging = Judging(crew, whole.kept if whole else None, drawing)
        looked = _followed(judging.reports(_tasks(engines, given)), len(given.files), terminal)
        reports = _counted(known.over(looked), arguments.stop_at, status)
        tap = whole.tap if whole else None
        failed = write(outputs, reports, engine, arguments.stop_at, terminal, tap, taken)
    finally:
        if crew is not None:
            crew.close()
    known.finish(terminal)
    if not engine.rule_book.rules:
        why = "every rule is switched off" if engine.rule_book.resting else "no rule is installed"
        terminal.complain(f"{why}, so nothing was judged")
    if engine.broke:
        status[0] = 3
    if whole is not None and not failed:
        whole.keep(status[0], (engine, *engines.by_folder.values()))
        if whole.kept.failed:
            from felt_engine.cli.terminal import short

            terminal.complain(short(whole.kept.failed))
    _tell_of_slow(engine, terminal)
    return max(status[0], failed)


def _crew(processes: int) -> OwnProcesses | None:
    if processes < 2:
        return None
    from felt_engine.crew import OwnProcesses

    return OwnProcesses(processes)


def _tasks(engines: Engines, given: Given) -> Iterator[Task]:
    from felt_engine.many import Task

    for path, file in given.files:
        yield Task(engines.of(file), given.source(path, file), file)


def _followed(reports: Iterable[Report], total: int, terminal: Terminal) -> Iterator[Report]:
    """The reports as they come, with progress on a terminal and what breakdowns left behind."""
    progress = Progress(total, terminal)
    try:
        for report in reports:
            for broke in report.not_judged:
                terminal.trace(broke.trace)
            yield report
            progress.step()
    finally:
        progress.end()


def _counted(reports: Iterable[Report], stop_at: str, status: list[int]) -> Iterator[Report]:
    for report in reports:
        status[0] = max(status[0], report.exit_status(stop_at))
        yield report


def _tell_of_slow(engine: Engine, terminal: Terminal) -> None:
    """Which rules took long: of this run, and so never kept."""
    for slow in engine.slowest.values():
        owner = f"{slow.package} {slow.version}".strip()
        terminal.complain(
            f"slow: the rule {slow.rule}, from {owner}, took {slow.seconds:.1f} s for {slow.recipe}"
        )
