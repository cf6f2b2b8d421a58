"""How far a long run has come: on a terminal's standard error alone, and gone at its end."""

from __future__ import annotations

import sys
import time

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.cli.terminal import Terminal

QUIET = 1.0
"""Seconds before anything is shown."""

EVERY = 0.2
"""Seconds between two counts."""


class Progress:
    """Counts recipes. Says nothing where reports go to the same terminal, or where there is none."""

    def __init__(self, total: int, terminal: Terminal) -> None:
        self.total, self.count, self.shown = total, 0, False
        isatty = getattr(sys.stderr, "isatty", None)
        self.on = total > 1 and bool(isatty and isatty()) and not terminal.is_terminal
        self.next = time.monotonic() + QUIET

    def step(self) -> None:
        """One more is done."""
        self.count += 1
        if not self.on or time.monotonic() < self.next:
            return
        self.next = time.monotonic() + EVERY
        self.shown = True
        sys.stderr.write(f"\r{self.count} of {self.total} recipes")
        sys.stderr.flush()

    def end(self) -> None:
        """Take the count away."""
        if self.shown:
            width = len(f"{self.total} of {self.total} recipes")
            sys.stderr.write("\r" + " " * width + "\r")
            sys.stderr.flush()
            self.shown = False
