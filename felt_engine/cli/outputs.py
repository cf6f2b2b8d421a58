"""Which reports are wanted, and where: each ``--as`` with the ``--to`` next to it, in order."""

from __future__ import annotations

import argparse
import os

from felt_engine.cli.terminal import Terminal, write_file, write_folder

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from typing import Any

    from felt_engine.api import Engine
    from felt_engine.checking.report import Report
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


def wanted(outputs: Iterable[Output] | None) -> list[tuple[str, str | None]]:
    """The pairs with what was left out filled in. CallError where two would go to one place."""
    found = [(name or "text", file) for name, file in outputs or [(None, None)]]
    if sum(file is None for _, file in found) > 1:
        from felt_engine.errors import CallError

        raise CallError("only one report can go to the terminal: give each of the others a --to")
    seen: set[str] = set()
    for _, file in found:
        if file is not None and os.path.realpath(file) in seen:
            from felt_engine.errors import CallError

            raise CallError(f"two reports would go to {file}: give each a file of its own")
        seen |= {os.path.realpath(file)} if file is not None else set()
    return found


def write(
    outputs: list[tuple[str, str | None]], reports: Iterable[Report], engine: Engine,
    stop_at: str, terminal: Terminal, tap: Tap | None = None,
) -> None:  # fmt: skip
    """Write every report. One that can't be written keeps no other from it; its error comes last.

    ``tap`` sees the pieces of each output, by its number, on their way.
    """
    exporters = [(engine.exporter(name), file) for name, file in outputs]
    from functools import partial

    taps = [partial(tap or _untapped, number) for number in range(len(outputs))]
    if len(outputs) == 1:
        _write(*exporters[0], reports, engine, stop_at, terminal, taps[0])
        return
    every, failed = list(reports), None
    for (exporter, file), one in zip(exporters, taps, strict=True):
        try:
            _write(exporter, file, every, engine, stop_at, terminal, one)
        except Exception as error:
            failed = failed or error
    if failed is not None:
        raise failed


def _write(
    exporter: Exporter, file: str | None, reports: Iterable[Report], engine: Engine, stop_at: str,
    terminal: Terminal, tap: Callable[[Iterable[str]], Iterable[str]],
) -> None:  # fmt: skip
    from felt_engine.declare import Sheet

    sheet = engine.filled(Sheet(stop_at=stop_at))
    if file is None:
        sheet = engine.filled(Sheet(terminal.width, terminal.colour, stop_at=stop_at))
        terminal.write(tap(exporter.render(reports, sheet)))
    elif exporter.files is not None and _is_folder(file):
        write_folder(file, exporter.files(reports, sheet))
    else:
        write_file(file, tap(exporter.render(reports, sheet)))


def _untapped(number: int, pieces: Iterable[str]) -> Iterable[str]:
    return pieces


def draws(outputs: list[tuple[str, str | None]], find: Callable[[str], Exporter]) -> bool:
    """Whether one of them wants drawings. CallError for an exporter that isn't there."""
    return max([find(name).draws for name, _ in outputs])


def _is_folder(path: str) -> bool:
    """Whether a folder is meant: there is one, or the name ends like one or has no ending."""
    name = os.path.basename(path)
    return os.path.isdir(path) or not name or "." not in name
