"""``--known`` and ``--write-known``: today's findings accepted, so that only new ones stop a run."""

from __future__ import annotations

import os

from felt_engine.cli.files import named, write_file

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Iterator

    from felt_engine.checking.known import KnownOne
    from felt_engine.checking.report import Report
    from felt_engine.cli.terminal import Terminal


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
    """The known findings of one run: read, matched as reports come, told and written at its end.

    ``kept`` are those of the file that is read, else of the one that is written anew. A recipe that
    is not there any more keeps its lines while there are new findings: it may have another name now.
    """

    def __init__(self, file: str | None, write: str | None) -> None:
        for option, name in (("--known", file), ("--write-known", write)):
            if name is not None:
                named(name, option)
        self.file, self.write = file, write
        self.kept: dict[str, tuple[KnownOne, ...]] = {} if file is None else _read(file)
        if write is not None and write != file and os.path.isfile(write):
            there = _to_renew(write) if file is None or os.path.getsize(write) else {}
            self.kept = self.kept if file is not None else there
        self.now: dict[str, tuple[KnownOne, ...]] = {}
        self.gone = 0
        self.any_new = False

    def is_at(self, path: str) -> bool:
        """Whether this is the file of known findings: no recipe, where it lies among them."""
        own = {os.path.realpath(one) for one in (self.file, self.write) if one}
        return bool(own and path) and os.path.realpath(path) in own

    def away(self) -> tuple[str, ...]:
        """Recipes of the file that are not there any more, sorted."""
        beside = self.file or self.write
        return tuple(one for one in sorted(self.kept) if not os.path.exists(_path(one, beside)))

    def over(self, reports: Iterable[Report]) -> Iterator[Report]:
        """The reports, with their known findings marked."""
        if self.file is None and self.write is None:
            yield from reports
            return
        from felt_engine.checking.known import known_of, marked, standing

        beside = self.file or self.write
        for report in reports:
            name = _name(report.name, beside)
            before = self.kept.get(name, ())
            still = standing(report, before)
            if name not in self.now:
                self.gone += len(before) - len(still) if self.file else 0
            whole = not (report.problems or report.not_judged)
            self.now[name] = still if self.file or not whole else known_of(report)
            report = marked(report, before) if before and self.file else report
            self.any_new = self.any_new or any(
                one.waived is None and not one.known for one in report.findings
            )
            yield report

    def finish(self, terminal: Terminal) -> None:
        """Say what is mended, and what isn't there any more; write the file if that is wanted."""
        hint = "" if self.write else f"; --write-known {self.file} takes them out"
        if self.gone:
            many = "1 known finding is" if self.gone == 1 else f"{self.gone} known findings are"
            terminal.tell(f"{many} mended{hint}")
        beside = self.file or self.write
        paths = {name: _path(name, beside) for name in {**self.kept, **self.now}}
        away = self.away()
        waits = self.file is not None and (self.any_new or self.write is None)
        for name in away:
            told = f"{name} is not there, and {beside} has {_many(len(self.kept[name]))} of it"
            renamed = "if it has another name now, write that in the file" if waits else "taken out"
            terminal.tell(f"{told}: {renamed}")
        if self.write is None:
            return
        from felt_engine.checking.known_file import to_text

        every = {**self.kept, **self.now}
        there = {
            _name(paths[name], self.write): one for name, one in every.items()
            if waits or name not in away
        }  # fmt: skip
        write_file(self.write, [to_text(there)])
        terminal.tell(f"{_many(sum(map(len, there.values())))} written to {self.write}")


def _many(count: int) -> str:
    return f"{count} known finding{'' if count == 1 else 's'}"


def _to_renew(file: str) -> dict[str, tuple[KnownOne, ...]]:
    """What a file of known findings has that is to be written anew; never anything else's place."""
    from felt_engine.errors import CallError

    try:
        return _read(file)
    except CallError as error:
        raise CallError(f"{error} (as it is, it would be written over)") from None


def _read(file: str) -> dict[str, tuple[KnownOne, ...]]:
    from felt_engine.checking.known_file import from_text
    from felt_engine.errors import CallError

    why = _odd(file)
    if why:
        raise CallError(f"cannot read {file}: it is {why}")
    mend = "if it is one, mend it, or write a new one of another name; else name another file"
    try:
        with open(file, encoding="utf-8-sig", newline="") as opened:
            return from_text(opened.read())
    except FileNotFoundError:
        raise CallError(
            f"there is no file of known findings {file}: --write-known {file} makes it"
        ) from None
    except UnicodeDecodeError:
        raise CallError(f"{file}: this is no UTF-8 text; {mend}") from None
    except ValueError as error:
        raise CallError(f"{file}, {error}; {mend}") from None
    except OSError as error:
        raise CallError(f"cannot read {file}: {error.strerror}") from None


def _odd(file: str) -> str:
    """What is wrong with a file that mustn't even be opened: a pipe, a device, or far too large."""
    import stat

    try:
        found = os.stat(file)
    except (OSError, ValueError):
        return ""
    if not stat.S_ISREG(found.st_mode):
        return "" if stat.S_ISDIR(found.st_mode) else "no ordinary file"
    return "far too large" if found.st_size > 64_000_000 else ""


def _path(name: str, beside: str | None) -> str:
    """Where a recipe lies that a file of known findings names."""
    return os.path.join(os.path.dirname(os.path.abspath(beside or "")), *name.split("/"))


def _name(recipe: str, file: str | None) -> str:
    """A recipe's path as seen from the file's folder, so that it holds from wherever it is called."""
    base = os.path.dirname(os.path.abspath(file or ""))
    try:
        found = os.path.relpath(os.path.abspath(recipe), base)
    except ValueError:  # another drive
        found = os.path.abspath(recipe)
    return found.replace(os.sep, "/")
