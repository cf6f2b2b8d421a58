"""Interrupts from the keyboard, told apart from a KeyboardInterrupt that some code raised itself."""

from __future__ import annotations

import signal

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import NoReturn


class Interrupted(KeyboardInterrupt):
    """An interrupt from the keyboard, while the command listens."""


def hush() -> bool:
    """Let an interrupt end the process without a word, as it does before anything is loaded.

    False, and nothing is changed, where interrupts are ignored or somebody else hears them.
    """
    if signal.getsignal(signal.SIGINT) not in (signal.default_int_handler, _interrupt):
        return False
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    return True


def listen() -> None:
    """Have an interrupt raise Interrupted."""
    signal.signal(signal.SIGINT, _interrupt)


def _interrupt(*_: object) -> NoReturn:
    raise Interrupted


def let_through(error: BaseException) -> None:
    """Raise an interrupt again; one that can't come from the keyboard is like any other error.

    Where Python's own handler is in place the two look alike, and both are raised.
    """
    if isinstance(error, KeyboardInterrupt) and (
        isinstance(error, Interrupted)
        or signal.getsignal(signal.SIGINT) is signal.default_int_handler
    ):
        raise error
