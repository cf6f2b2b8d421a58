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
        self.out: TextIO | None = sys.stdout
        self.read = self.out is not None
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
        """Write text to standard output as it comes.

        All pieces are made even where nobody reads them (a pipe whose reader went away, or no
        output at all), so that the exit status still says what was found.
        """
        for piece in pieces:
            self._put(piece)
        self._put("")

    def _put(self, piece: str) -> None:
        if self.out is None or not self.read:
            return
        try:
            self.out.write(piece)
            if not piece:
                self.out.flush()
        except BrokenPipeError:
            import contextlib

            self.read = False
            with contextlib.suppress(OSError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), self.out.fileno())

    def complain(self, text: str) -> None:
        """One plain sentence to standard error."""
        from felt_engine.plain_text import plain

        self.say_again([f"felt-engine: {plain(text)}\n"])

    def trace(self, text: str) -> None:
        """A traceback to standard error, once, where FELT_ENGINE_TRACE asks for it."""
        if text and text not in self.told and os.environ.get("FELT_ENGINE_TRACE"):
            self.told.add(text)
            _say(text)

    def tell(self, text: str) -> None:
        """One plain line to standard error, beside what standard output gets."""
        from felt_engine.plain_text import plain

        self.say_again([f"{plain(text)}\n"])

    def say_again(self, lines: Iterable[str]) -> None:
        """Lines for standard error, as they were said in an earlier run."""
        for line in lines:
            self.said.append(line)
            _say(line)

    def close(self) -> None:
        """Give standard output back."""
        if self.out is not None:
            sys.stdout = self.out


def _say(text: str) -> None:
    """To standard error, if anybody listens there: what can't be said changes no exit status."""
    try:
        sys.stderr.write(text)
    except (OSError, AttributeError):
        return


def fill(text: str, indent: str = "  ") -> list[str]:
    """A text in lines of at most 80 columns, indented alike."""
    from felt_engine.plain_text import wrapped

    return wrapped(text, 80, indent, indent)


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
    try:
        if os.path.exists(real) and not os.path.isfile(real):
            with open(real, "w", encoding="utf-8") as special:
                special.writelines(pieces)
        else:
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


def short(line: str) -> str:
    """A message of at most 900 characters: of a longer one, which repeats what was given, both ends."""
    return line if len(line) <= 900 else f"{line[:600]} … {line[-290:]}"


def say_error(error: Exception, terminal: Terminal) -> int:
    """Say what went wrong in plain words; returns the exit status that it makes."""
    from felt_engine.errors import FeltError, PluginBroke, PluginMissing

    if isinstance(error, FeltError):
        if isinstance(error, PluginBroke) and error.__cause__ is not None:
            import traceback

            terminal.trace("".join(traceback.format_exception(error.__cause__)))
        for line in str(error).splitlines():
            terminal.complain(short(line))
        return 3 if isinstance(error, (PluginBroke, PluginMissing)) else 2
    if isinstance(error, OSError):
        terminal.complain(f"could not write: {error.strerror or 'the output failed'}")
        return 2
    return _say_failure(error, terminal)


def _say_failure(error: Exception, terminal: Terminal) -> int:
    """Something of ours went wrong: say so, with the traceback only where it was asked for."""
    if os.environ.get("FELT_ENGINE_TRACE"):
        import traceback

        traceback.print_exception(error, file=sys.stderr)
    terminal.complain(
        f"something went wrong that should not ({type(error).__name__}); set FELT_ENGINE_TRACE=1 "
        f"to see where, and please report it"
    )
    return 3
