"""``--known`` and ``--write-known``: today's findings accepted, so that only new ones stop a run."""

from __future__ import annotations

import os

from felt_engine.cli.terminal import Terminal, write_file

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Iterator

    from felt_engine.checking.known import KnownOne
    from felt_engine.checking.report import Report


def add_known(parser: argparse.ArgumentParser) -> None:
    """Add the two options."""
    parser.add_argument(
        "--known", metavar="FILE", help="a file of known findings: they are told as known, and "
        "don't count in the exit status; a new one does, and one that has become graver",
    )  # fmt: skip
    parser.add_argument(
        "--write-known", metavar="FILE", help="write the findings of this run to a file of known "
        "findings; with --known, only those known ones that are still there, and never a new one",
    )  # fmt: skip


class KnownFindings:
    """The known findings of one run: read, matched as reports come, told and written at its end."""

    def __init__(self, file: str | None, write: str | None) -> None:
        self.file, self.write = file, write
        self.before: dict[str, tuple[KnownOne, ...]] = {} if file is None else _read(file)
        self.now: dict[str, tuple[KnownOne, ...]] = {}
        self.gone = 0

    def is_at(self, path: str) -> bool:
        """Whether this is the file of known findings: no recipe, where it lies among them."""
        own = {os.path.realpath(one) for one in (self.file, self.write) if one}
        return bool(own and path) and os.path.realpath(path) in own

    def over(self, reports: Iterable[Report]) -> Iterator[Report]:
        """The reports, with their known findings marked."""
        if self.file is None and self.write is None:
            yield from reports
            return
        from felt_engine.checking.known import known_of, marked, standing

        for report in reports:
            before = self.before.get(_name(report.name, self.file), ()) if self.file else ()
            still = standing(report, before)
            name = _name(report.name, self.write or self.file)
            if name not in self.now:
                self.gone += len(before) - len(still)
            self.now[name] = still if self.file else known_of(report)
            yield marked(report, before) if before else report

    def finish(self, terminal: Terminal) -> None:
        """Say how many are mended, and write the file if that is wanted."""
        if self.gone:
            many = "1 known finding is" if self.gone == 1 else f"{self.gone} known findings are"
            hint = "" if self.write else f"; --write-known {self.file} takes them out"
            terminal.tell(f"{many} mended{hint}")
        if self.write is None:
            return
        from felt_engine.checking.known import to_text

        every = {**self._others(), **self.now}
        write_file(self.write, [to_text(every)])
        count = sum(map(len, every.values()))
        terminal.tell(f"{count} known finding{'' if count == 1 else 's'} written to {self.write}")

    def _others(self) -> dict[str, tuple[KnownOne, ...]]:
        """Known findings of recipes that this run didn't look at, but that are still there."""
        old, beside = self.before, self.file
        if beside is None:
            beside = self.write
            old = _read(self.write) if self.write and os.path.isfile(self.write) else {}
        base = os.path.dirname(os.path.abspath(beside or ""))
        paths = {os.path.join(base, *name.split("/")): one for name, one in old.items()}
        return {_name(path, self.write): one for path, one in paths.items() if os.path.exists(path)}


def _read(file: str) -> dict[str, tuple[KnownOne, ...]]:
    from felt_engine.checking.known import from_text
    from felt_engine.errors import CallError

    mend = "mend it, or write it anew with --write-known"
    try:
        with open(file, encoding="utf-8-sig") as opened:
            return from_text(opened.read())
    except FileNotFoundError:
        raise CallError(
            f"there is no file of known findings {file}: --write-known {file} makes it"
        ) from None
    except UnicodeDecodeError:
        raise CallError(f"{file}: this is no UTF-8 text; {mend}") from None
    except ValueError as error:
        raise CallError(f"{file}: {error}; {mend}") from None
    except OSError as error:
        raise CallError(f"cannot read {file}: {error.strerror}") from None


def _name(recipe: str, file: str | None) -> str:
    """A recipe's path as seen from the file's folder, so that it holds from wherever it is called."""
    base = os.path.dirname(os.path.abspath(file or ""))
    try:
        found = os.path.relpath(os.path.abspath(recipe), base)
    except ValueError:  # another drive
        found = os.path.abspath(recipe)
    return found.replace(os.sep, "/")
