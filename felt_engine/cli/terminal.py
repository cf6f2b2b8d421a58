"""The one place that writes to the terminal, and says what went wrong."""

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

    def write(self, pieces: Iterable[str], *, machine: bool = False, needed: bool = True) -> None:
        """Write text to standard output as it comes. OutputError if that fails.

        Text for a ``machine`` is UTF-8 wherever it doesn't go to a terminal; text for eyes has what
        the output's encoding lacks as escapes. All pieces are made even where nobody reads them any
        more (a pipe whose reader went away), so that the exit status still says what was found; and
        where there is no output at all, unless it is ``needed``.
        """
        if self.out is None and needed:
            from felt_engine.errors import OutputError

            raise OutputError("cannot write: there is no standard output, it is closed")
        reconfigure = getattr(self.out, "reconfigure", None)
        if machine and not self.is_terminal and reconfigure is not None:
            reconfigure(encoding="utf-8", newline="\n")
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
            self._let_go()
        except OSError as error:
            from felt_engine.errors import OutputError

            self._let_go()
            why = error.strerror or "it takes nothing"
            raise OutputError(f"cannot write to standard output: {why}") from None

    def _let_go(self) -> None:
        """Nothing more goes out, not even what waits to be written."""
        import contextlib

        self.read = False
        with contextlib.suppress(OSError, AttributeError, ValueError):
            assert self.out is not None
            os.dup2(os.open(os.devnull, os.O_WRONLY), self.out.fileno())

    def complain(self, text: str) -> None:
        """One plain sentence to standard error."""
        from felt_engine.plain_text import one_line

        self.say_again([f"felt-engine: {one_line(text)}\n"])

    def trace(self, text: str) -> None:
        """A traceback to standard error, once, where FELT_ENGINE_TRACE asks for it."""
        if text and text not in self.told and os.environ.get("FELT_ENGINE_TRACE"):
            from felt_engine.plain_text import plain

            self.told.add(text)
            _say("".join(f"{plain(line)}\n" for line in text.rstrip("\n").split("\n")))

    def tell(self, text: str) -> None:
        """One plain line to standard error, beside what standard output gets."""
        from felt_engine.plain_text import one_line

        self.say_again([f"{one_line(text)}\n"])

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


def centimetres(metres: float) -> str:
    """A length in cm, and in inches."""
    inches = metres / 0.0254
    return f"{100 * metres:.1f} cm ({inches:.{1 if inches >= 0.95 else 2}f} in)"


def fill(text: str, indent: str = "  ") -> list[str]:
    """A text in lines of at most 80 columns, indented alike."""
    from felt_engine.plain_text import wrapped

    return wrapped(text, 80, indent, indent)


def short(line: str) -> str:
    """A message of at most 900 characters: of a longer one, which repeats what was given, both ends."""
    return line if len(line) <= 900 else f"{line[:600]} … {line[-290:]}"


def say_error(error: Exception, terminal: Terminal) -> int:
    """Say what went wrong in plain words; returns the exit status that it makes."""
    from felt_engine.errors import FeltError, FileError, PluginBroke, PluginMissing

    if isinstance(error, FeltError):
        if isinstance(error, PluginBroke) and error.__cause__ is not None:
            import traceback

            terminal.trace("".join(traceback.format_exception(error.__cause__)))
        for line in str(error).split("\n") if isinstance(error, FileError) else (str(error),):
            terminal.complain(short(line))
        return 3 if isinstance(error, (PluginBroke, PluginMissing)) else 2
    if isinstance(error, OSError):
        at = f": {error.filename}" if isinstance(error.filename, str) else ""
        terminal.complain(f"could not go on: {error.strerror or 'the system refused'}{at}")
        return 2
    return _say_failure(error, terminal)


def _say_failure(error: Exception, terminal: Terminal) -> int:
    """Something of ours went wrong: say so, with the traceback only where it was asked for."""
    if os.environ.get("FELT_ENGINE_TRACE"):
        import traceback

        terminal.trace("".join(traceback.format_exception(error)))
    terminal.complain(
        f"something went wrong that should not ({type(error).__name__}); set FELT_ENGINE_TRACE=1 "
        f"to see where, and please report it"
    )
    return 3
