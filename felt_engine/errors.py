"""What can go wrong, in values that a person can read and a process can pickle.

Everything that is meant for people derives from :class:`FeltError` and is shown without a
traceback. Anything else that escapes is a bug of ours.
"""

from __future__ import annotations

import attrs

from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class Problem(Value):
    """One thing in a file that could not be read.

    ``kind`` says which door refused it: ``text`` (not YAML, not JSON, not UTF-8), ``shape`` (the
    schema would refuse it too), ``limit`` (a figure out of any sensible range), ``link`` (names,
    sums and sizes that don't fit each other) or ``plugin`` (a plugin that is not there, or broke
    down). ``line`` and ``column`` count from 1. ``path`` is the pointer in words: places in lists
    count from 1 there, and keys are as they were written.
    """

    found: str
    expected: str
    mend: str
    pointer: str = ""
    line: int | None = None
    column: int | None = None
    kind: str = "shape"
    path: str = ""


class FeltError(Exception):
    """Base of every error that is meant for people."""


class FileError(FeltError):
    """A file could not be read: its name, and all problems that were found, in file order."""

    def __init__(self, name: str, problems: tuple[Problem, ...]) -> None:
        if not isinstance(name, str) or not all(isinstance(one, Problem) for one in problems):
            raise TypeError("expected a name and the problems that were found")
        super().__init__(name, problems)
        self.name = name
        self.problems = problems

    def __str__(self) -> str:
        return _told(self.name, self.problems)


class RecipeError(FileError):
    """A recipe could not be read. ``problems`` lists all that was found, in file order."""


class StudioError(FileError):
    """A studio file could not be read. ``problems`` lists all that was found, in file order."""


class NotebookError(FileError):
    """A swatch notebook could not be read. ``problems`` lists all that was found, in file order."""


class PluginMissing(StudioError):
    """A plugin that the studio file needs is not there, or broke down: nothing is judged."""


class PluginBroke(FeltError):
    """An exporter broke down, so that its report could not be written, or not whole."""

    def __init__(self, what: str, package: str, version: str, reason: str) -> None:
        super().__init__(what, package, version, reason)
        self.what, self.package, self.version, self.reason = what, package, version, reason

    def __str__(self) -> str:
        return f"{self.what}, from {self.package} {self.version}".rstrip() + f": {self.reason}"


class WorkerDiffers(FeltError):
    """A worker has another engine, other plugins or other files than the caller: nothing is judged.

    Or its answer is for other recipes than those that were asked about.
    """


class WorkerLost(FeltError):
    """Workers went away, or didn't answer in time, so that recipes were left unjudged."""


def _on_one_line(text: str) -> str:
    from felt_engine.plain_text import plain

    return plain(str(text).replace("\r", "\\r").replace("\n", "\\n"))


def _told(name: str, problems: tuple[Problem, ...]) -> str:
    shown = _on_one_line(shortened(name, 300))
    return "\n".join(
        f"{shown}{_place(p)}: found {p.found}; expected {p.expected}; {p.mend}" for p in problems
    )


def _place(problem: Problem) -> str:
    if problem.line:
        return f", line {problem.line}, column {problem.column}"
    return f", {problem.path}" if problem.path else ""


def shortened(text: str, most: int = 2_000) -> str:
    """The text, or both ends of one that is longer than that many letters."""
    if len(text) <= most:
        return text
    return f"{text[: most - most // 3]}…{text[-most // 3 :]}"


class CallError(FeltError):
    """The call itself was wrong: an unknown exporter, rule or option, nothing to judge."""

    def __str__(self) -> str:
        return _on_one_line(shortened(super().__str__()))


class OutputError(FeltError):
    """A report could not be written where it was wanted."""

    def __str__(self) -> str:
        return _on_one_line(shortened(super().__str__()))
