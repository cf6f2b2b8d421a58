"""The guard that an exporter runs in: one that breaks down is named, with its package and reason."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

import attrs

from felt_engine.checking.report import Report
from felt_engine.checking.rulebook import reason_of
from felt_engine.declare import Exporter, Sheet
from felt_engine.errors import FeltError, PluginBroke


def guarded(exporter: Exporter, package: str, version: str) -> Exporter:
    """The same exporter, whose breakdowns are PluginBroke errors.

    What it says to people (a CallError: it can't do what was asked) passes.
    """
    guard = _Guard(exporter.name, package, version)
    files = exporter.files

    def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
        """Pieces of text."""
        yield from guard.run(exporter.render, reports, sheet, _piece)

    def write(
        reports: Iterable[Report], sheet: Sheet
    ) -> Iterator[tuple[str, Iterable[str]]]:  # fmt: skip
        """Pairs of a name and its pieces of text."""
        assert files is not None
        for name, pieces in guard.run(files, reports, sheet, _pair):
            yield name, guard.run(lambda _, __, all=pieces: all, (), sheet, _piece)

    return attrs.evolve(exporter, render=render, files=None if files is None else write)


class _Guard:
    def __init__(self, name: str, package: str, version: str) -> None:
        self.what, self.package, self.version = f"the exporter {name}", package, version
        self.fed_badly: BaseException | None = None

    def feed(self, reports: Iterable[Report]) -> Iterator[Report]:
        """The reports; what goes wrong in making them is not the exporter's fault."""
        try:
            for one in reports:
                if not isinstance(one, Report):
                    raise TypeError(f"expected a Report, and not {type(one).__name__}")
                yield one
        except BaseException as error:
            self.fed_badly = error
            raise

    def run(
        self, work: Callable[..., Iterable[Any]], reports: Iterable[Report], sheet: Sheet,
        sound: Callable[[Any], Any],
    ) -> Iterator[Any]:  # fmt: skip
        try:
            for piece in work(self.feed(reports), sheet):
                yield sound(piece)
        except (KeyboardInterrupt, GeneratorExit, FeltError):
            raise
        except BaseException as error:
            if error is self.fed_badly:
                raise
            raise PluginBroke(self.what, self.package, self.version, reason_of(error)) from error


def _piece(one: object) -> str:
    if type(one) is not str:
        raise TypeError(f"it yielded {type(one).__name__}, not text")
    one.encode()  # half of a surrogate pair can't be written to any file
    return one


def _pair(one: Any) -> tuple[str, Any]:
    name, pieces = one
    if "\0" in _piece(name):
        raise ValueError("it yielded a file name with a null character in it")
    return name, pieces


__all__ = ["guarded"]
