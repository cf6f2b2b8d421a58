"""What there is to judge: the paths that were given, what lies in folders, and standard input."""

from __future__ import annotations

import os
import sys

from felt_engine.beside import (
    is_notebook_file,
    is_studio_file,
    leads_out,
    recipes_and_links,
    why_closed,
)
from felt_engine.cli.engines import at

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from felt_engine.checking.report import Report
    from felt_engine.model.recipe import Source

STANDARD_INPUT = "-"
UNNAMED = "standard input"
LONGEST = 4_096
"""The longest name of a file: that of most systems."""


class Given:
    """Paths as they were given, each with the recipes that it stands for; ``""`` where there is none.

    CallError if standard input is asked for twice, or named without being asked for, or if a name
    can't be a file's.
    """

    def __init__(self, paths: Sequence[str], called: str | None) -> None:
        for name in (*paths, called or UNNAMED):
            if not name or len(name) > LONGEST:
                from felt_engine.errors import CallError

                what = f"of {len(name)} letters" if name else "that is empty"
                raise CallError(f"a name {what} is no file's: write one, or . for the folder here")
        from_input = list(paths).count(STANDARD_INPUT)
        if from_input > 1 or (called is not None and not (from_input and called.strip())):
            from felt_engine.errors import CallError

            if from_input > 1:
                raise CallError("standard input (-) can be read only once")
            if from_input:
                raise CallError("--called: the name is empty: write a name, or leave --called out")
            raise CallError("--called names what comes from standard input: give - as the path")
        self.called = (called or UNNAMED) if from_input else None
        self.bytes = _standard_input() if from_input else b""
        self.outside: set[str] = set()
        self.files = [(path, file) for path in paths for file in self._of(path)]

    @property
    def read(self) -> list[str]:
        """The files that are read."""
        return [
            file for _, file in self.files
            if file and file != self.called and file not in self.outside
        ]  # fmt: skip

    def _of(self, path: str) -> Iterator[str]:
        if path == STANDARD_INPUT and self.called is not None:
            yield self.called
        elif os.path.isdir(path):
            found = recipes_and_links(path)
            self.outside.update(file for file, link in found if link and leads_out(file, path))
            yield from [file for file, _ in found] or [""]
        else:
            yield path

    def source(self, path: str, file: str) -> Source | Report | str | os.PathLike[str]:
        """What to judge: a path, the text from standard input, or a report that there is nothing."""
        from felt_engine.checking.report import led_out, unread

        if not file:
            why = why_closed(path)
            if why:
                return unread(path, f"a folder that can't be looked into: {why}", "recipes in it",
                              "check its rights")  # fmt: skip
            ends = "a file that ends in .yaml, .yml or .json"
            return unread(path, "a folder without a recipe in it", ends, "name another folder")
        if file in self.outside and file != path:
            return led_out(file)
        if is_studio_file(file):
            mend = "name its folder, or a recipe; or rename the file"
            return unread(file, "the name of a studio file", "a recipe’s", mend)
        if is_notebook_file(file):
            mend = "felt-engine swatches shows what is in it; or rename the file"
            return unread(file, "the name of a notebook of swatches", "a recipe’s", mend)
        return self._text() if path == STANDARD_INPUT and self.called is not None else at(file)

    def _text(self) -> Source | Report:
        from felt_engine.checking.report import Report
        from felt_engine.reading.source import source_of
        from felt_engine.reading.tree import Unreadable

        assert self.called is not None
        try:
            return source_of(self.bytes, self.called)
        except Unreadable as error:
            return Report(self.called, problems=error.problems)


def _standard_input() -> bytes:
    from felt_engine.reading.bounds import FILE_BYTES

    if sys.stdin is None or not hasattr(sys.stdin, "buffer"):
        return b""
    return sys.stdin.buffer.read(FILE_BYTES + 1)
