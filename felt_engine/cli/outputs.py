"""Which reports are wanted, and where: each ``--as`` with the ``--to`` next to it, in order."""

from __future__ import annotations

import argparse
import os

from felt_engine.cli.files import named, place, standard_output, write_file, write_folder
from felt_engine.cli.terminal import Terminal, say_error

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from collections.abc import Set as AbstractSet
    from typing import Any

    from felt_engine.api import Engine
    from felt_engine.checking.report import Report
    from felt_engine.cli.files import Place
    from felt_engine.declare import Exporter

    Tap = Callable[[int, Iterable[str]], Iterable[str]]
    Output = tuple[str | None, str | None]
    """An exporter's name, and a file; ``None`` for what wasn't said: text, and the terminal."""


class Pair(argparse.Action):
    """Collects ``--as`` and ``--to`` in pairs, whichever of the two comes first."""

    def __call__(
        self, parser: argparse.ArgumentParser, namespace: argparse.Namespace, values: Any,
        option_string: str | None = None,
    ) -> None:  # fmt: skip
        """Complete the last pair, or begin another."""
        side = 0 if option_string == "--as" else 1
        pairs = list(namespace.outputs or ())
        if not pairs or pairs[-1][side] is not None:
            pairs.append((None, None))
        pairs[-1] = (values, pairs[-1][1]) if side == 0 else (pairs[-1][0], values)
        namespace.outputs = pairs


def add_outputs(parser: argparse.ArgumentParser) -> None:
    """Add the two options."""
    parser.add_argument(
        "--as", dest="outputs", metavar="EXPORTER", action=Pair, default=None,
        help="how to write the report: text (as if left out), json, junit, markdown, page, sarif, "
        "or a plugin's; several, each with its --to, write several reports in one run",
    )  # fmt: skip
    parser.add_argument(
        "--to", dest="outputs", metavar="FILE", action=Pair, help="write to this file, not to the "
        "terminal; for page also a folder, which gets a page a recipe and an index",
    )  # fmt: skip


def wanted(
    outputs: Iterable[Output] | None, known: str | None = None
) -> list[tuple[str, str | None]]:
    """The pairs with what was left out filled in; ``known`` is a file that is written besides.

    CallError where two would go to one place, or one to a file without a name.
    """
    found = [("text" if name is None else name, file) for name, file in outputs or [(None, None)]]
    if sum(file is None for _, file in found) > 1:
        from felt_engine.errors import CallError

        raise CallError("only one report can go to the terminal: give each of the others a --to")
    seen = {standard_output() if any(file is None for _, file in found) else None}
    for file in (file for _, file in found if file is not None):
        if place(named(file, "--to")) in seen:
            from felt_engine.errors import CallError

            raise CallError(f"two reports would go to {file}: give each a file of its own")
        seen.add(place(file))
    if known and place(named(known, "--write-known")) in seen:
        from felt_engine.errors import CallError

        raise CallError(
            f"a report and the known findings would both go to {known}: give each a file of its own"
        )
    return found


def to_output(name: str, pieces: Iterable[str], terminal: Terminal) -> None:
    """Write a report by this exporter to standard output.

    ``text`` is for eyes, and its verdict is the exit status too; all others are for machines.
    """
    terminal.write(pieces, machine=name != "text", needed=name != "text")


def write(
    outputs: list[tuple[str, str | None]], reports: Iterable[Report], engine: Engine,
    stop_at: str, terminal: Terminal, tap: Tap | None = None, taken: AbstractSet[Place] = frozenset(),
) -> int:  # fmt: skip
    """Write every report, and look at every recipe, whatever becomes of one report.

    Returns the exit status of what couldn't be written, after saying why; 0 where all could. ``tap``
    sees the pieces of each output, by its number, on their way. ``taken`` are places that no page of
    a folder may take.
    """
    from felt_engine.cli.spool import Spool

    exporters = [(engine.exporter(name), file) for name, file in outputs]
    if all(file is not None for _, file in exporters):
        reports = _named(reports, terminal)
    every = Spool(reports) if len(exporters) > 1 else iter(reports)
    status = 0
    for number, (exporter, file) in enumerate(exporters):
        try:
            _write(exporter, file, every, engine, stop_at, terminal, _Tapped(tap, number), taken)
        except Exception as error:
            status = max(status, say_error(error, terminal))
    for _ in every:
        pass
    return status


def _named(reports: Iterable[Report], terminal: Terminal) -> Iterator[Report]:
    """The reports; those that aren't whole are named, since no report goes to the terminal."""
    for report in reports:
        if report.problems:
            first = report.problems[0]
            at = f", line {first.line}" if first.line else ""
            terminal.complain(f"could not be read: {report.name}{at}: found {first.found}")
        elif report.not_judged:
            first_broke = report.not_judged[0]
            terminal.complain(f"not wholly judged: {report.name}: {first_broke.what}")
        yield report


class _Tapped:
    """The pieces of one output, seen by the tap if there is one."""

    def __init__(self, tap: Tap | None, number: int) -> None:
        self.tap, self.number = tap, number

    def __call__(self, pieces: Iterable[str]) -> Iterable[str]:
        return pieces if self.tap is None else self.tap(self.number, pieces)


def _write(
    exporter: Exporter, file: str | None, reports: Iterable[Report], engine: Engine, stop_at: str,
    terminal: Terminal, tapped: _Tapped, taken: AbstractSet[Place],
) -> None:  # fmt: skip
    from felt_engine.declare import Sheet

    sheet = engine.filled(Sheet(stop_at=stop_at))
    if file is None:
        sheet = engine.filled(Sheet(terminal.width, terminal.colour, stop_at=stop_at))
        to_output(exporter.name, tapped(exporter.render(reports, sheet)), terminal)
    elif exporter.files is not None and _is_folder(file):
        write_folder(file, exporter.files(reports, sheet), taken)
    else:
        write_file(file, tapped(exporter.render(reports, sheet)))


def draws(outputs: list[tuple[str, str | None]], find: Callable[[str], Exporter]) -> bool:
    """Whether one of them wants drawings. CallError for an exporter that isn't there."""
    exporters = [find(name) for name, _ in outputs]
    return any(exporter.draws for exporter in exporters)


def _is_folder(path: str) -> bool:
    """Whether a folder is meant: there is one, or the name ends like one or has no ending."""
    name = os.path.basename(path)
    return os.path.isdir(path) or not name or "." not in name
