"""The one place that writes to the terminal or to a file."""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from typing import TextIO


def wants_colour(environment: Mapping[str, str], is_terminal: bool) -> bool:
    """Colour only on a terminal that can show it, and never against ``NO_COLOR``."""
    if environment.get("NO_COLOR"):
        return False
    return is_terminal and environment.get("TERM", "") not in ("", "dumb")


class Terminal:
    """Standard output for the exporter alone; whatever plugins print goes to standard error."""

    def __init__(self) -> None:
        self.out: TextIO = sys.stdout
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="backslashreplace")
        sys.stdout = sys.stderr
        self.is_terminal = bool(self.out and self.out.isatty())
        self.told: set[str] = set()
        self.said: list[str] = []

    @property
    def colour(self) -> bool:
        """Whether to paint."""
        return wants_colour(os.environ, self.is_terminal)

    @property
    def width(self) -> int:
        """Columns to write for: 80, or fewer on a narrower terminal."""
        if not self.is_terminal:
            return 80
        import shutil

        return max(40, min(80, shutil.get_terminal_size((80, 24)).columns))

    def write(self, pieces: Iterable[str]) -> None:
        """Write text to standard output as it comes."""
        for piece in pieces:
            self.out.write(piece)
        self.out.flush()

    def complain(self, text: str) -> None:
        """One plain sentence to standard error."""
        from felt_engine.plain_text import plain

        self.say_again([f"felt-engine: {plain(text)}\n"])

    def trace(self, text: str) -> None:
        """A traceback to standard error, once, where FELT_ENGINE_TRACE asks for it."""
        if text and text not in self.told and os.environ.get("FELT_ENGINE_TRACE"):
            self.told.add(text)
            sys.stderr.write(text)

    def tell(self, text: str) -> None:
        """One plain line to standard error, beside what standard output gets."""
        from felt_engine.plain_text import plain

        self.say_again([f"{plain(text)}\n"])

    def say_again(self, lines: Iterable[str]) -> None:
        """Lines for standard error, as they were said in an earlier run."""
        for line in lines:
            self.said.append(line)
            sys.stderr.write(line)

    def reader_gone(self) -> int:
        """The reader of a pipe went away: leave quietly."""
        import contextlib

        with contextlib.suppress(OSError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        return 0

    def close(self) -> None:
        """Give standard output back."""
        sys.stdout = self.out


def fill(text: str, indent: str = "  ") -> list[str]:
    """A text in lines of at most 80 columns, indented alike."""
    import textwrap

    return textwrap.wrap(
        text, 80, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
    )


def write_file(path: str, pieces: Iterable[str], through_links: bool = True) -> None:
    """Write a file whole or not at all.

    A link is followed to the file that it leads to, which is replaced; or, without ``through_links``,
    is itself replaced. Raises OutputError if that fails; a file that was there is then still there.
    """
    from felt_engine.errors import OutputError
    from felt_engine.whole_file import write_whole

    real = os.path.realpath(path) if through_links else os.path.abspath(path)
    if os.path.isdir(path):
        raise OutputError(f"cannot write {path}: there is a folder of this name")
    if path.endswith(("/", os.sep)):
        raise OutputError(f"cannot write {path}: there is no folder of this name")
    if through_links and os.path.islink(real):
        raise OutputError(f"cannot write {path}: it is a link that leads to itself")
    if os.path.exists(real) and not os.path.isfile(real):
        with open(real, "w", encoding="utf-8") as special:
            special.writelines(pieces)
        return
    try:
        write_whole(real, pieces)
    except OSError as error:
        raise OutputError(f"cannot write {path}: {error.strerror or error}") from None


def write_folder(folder: str, files: Iterable[tuple[str, Iterable[str]]]) -> None:
    """Write files into a folder, each whole or not at all; the folder is made if need be.

    A link in the folder is replaced and never followed, since only the folder was named. Raises
    OutputError if that fails, or for a name that would leave the folder.
    """
    from felt_engine.errors import OutputError

    try:
        os.makedirs(folder, exist_ok=True)
    except OSError as error:
        raise OutputError(f"cannot make the folder {folder}: {error.strerror}") from None
    for name, pieces in files:
        if os.path.basename(name) != name or name in ("", ".", ".."):
            raise OutputError(f"cannot write {name}: it would leave the folder {folder}")
        write_file(os.path.join(folder, name), pieces, through_links=False)


def say_failure(error: Exception, terminal: Terminal) -> int:
    """Something of ours went wrong: say so, with the traceback only where it was asked for."""
    if os.environ.get("FELT_ENGINE_TRACE"):
        import traceback

        traceback.print_exception(error, file=sys.stderr)
    terminal.complain(
        f"something went wrong that should not ({type(error).__name__}); set FELT_ENGINE_TRACE=1 "
        f"to see where, and please report it"
    )
    return 3
