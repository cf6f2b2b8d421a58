"""Workers: somebody's executor, or processes of our own that may be stopped and begun anew."""

from __future__ import annotations

import concurrent.futures
import threading
from collections.abc import Callable
from typing import Protocol

from felt_engine.errors import CallError, WorkerLost

PATIENCE = 600.0
"""Seconds to wait for the answer of one batch, unless something else is asked for."""


GRACE = 1.0
"""Seconds for what our own processes are at, when the rest isn't wanted any more: ten batches' worth."""


class Gone(Exception):
    """A worker ended before it answered, or didn't answer in time."""


class Pending(Protocol):
    """What an executor gives for a call: a future."""

    def done(self) -> bool:
        """Whether there is an answer."""

    def result(self, timeout: float | None = None) -> bytes:
        """The answer."""


class Submits(Protocol):
    """What is needed of an executor: ``submit``, as in :mod:`concurrent.futures`."""

    def submit(self, fn: Callable[[str], bytes], text: str, /) -> Pending:
        """Have a function called with a text, somewhere, some time."""


class Crew:
    """The workers of an executor that somebody else made, and will end."""

    def __init__(self, executor: Submits, patience: float = PATIENCE) -> None:
        if isinstance(executor, type) or not callable(getattr(executor, "submit", None)):
            kind = getattr(executor, "__name__", type(executor).__name__)
            raise CallError(f"{kind} is no executor, as those of concurrent.futures are")
        self.executor, self.patience, self.submitted = executor, patience, 0

    def submit(self, text: str) -> Pending:
        """Have a batch judged. WorkerLost if the executor doesn't take it, TypeError if it is none."""
        from felt_engine.workers import judge_batch

        self.submitted += 1
        try:
            pending = self.executor.submit(judge_batch, text)
        except concurrent.futures.BrokenExecutor:
            return _Broken()
        except RuntimeError as error:
            raise WorkerLost(f"the executor takes no more work: {error}") from None
        if not all(callable(getattr(pending, name, None)) for name in ("done", "result")):
            kind = type(pending).__name__
            raise TypeError(f"submit must give a future, with done and result, and not {kind}")
        return pending

    def wait(self, pending: Pending) -> bytes:
        """The answer. Gone if the worker ended, or was silent for too long."""
        try:
            answer = pending.result(
                self.patience if self.patience <= threading.TIMEOUT_MAX else None
            )
        except (concurrent.futures.TimeoutError, TimeoutError):
            raise Gone(f"no worker answered within {self.patience:g} s") from None
        except (KeyboardInterrupt, SystemExit):
            raise
        except BaseException as error:
            raise Gone(f"its worker ended before it answered ({type(error).__name__})") from None
        if not isinstance(answer, bytes):
            raise CallError(f"the executor gave {type(answer).__name__}, and not what was answered")
        return answer

    def renew(self, gone: Gone) -> None:
        """Go on after that. WorkerLost, since these workers are somebody else's."""
        raise WorkerLost(f"{gone}: what was not judged by then is left out") from None

    def close(self) -> None:
        """Nothing: who made the executor ends it."""


class _Broken:
    """Stands for a call that a broken executor didn't take."""

    def done(self) -> bool:
        return True

    def result(self, timeout: float | None = None) -> bytes:
        raise concurrent.futures.BrokenExecutor


class OwnProcesses(Crew):
    """So many processes of our own, on this machine."""

    def __init__(self, count: int, patience: float = PATIENCE) -> None:
        self.count, self.method = count, _method()
        self.pool = self._begun()
        super().__init__(self.pool, patience)

    def _begun(self) -> concurrent.futures.ProcessPoolExecutor:
        import multiprocessing

        try:
            return concurrent.futures.ProcessPoolExecutor(
                self.count, multiprocessing.get_context(self.method), _quiet
            )
        except OSError as error:
            raise _refused(error) from None

    def submit(self, text: str) -> Pending:
        """Have a batch judged. WorkerLost if no process can be begun for it."""
        try:
            return super().submit(text)
        except OSError as error:
            raise _refused(error) from None

    def renew(self, gone: Gone) -> None:
        """End all processes, and begin as many others."""
        self._end(0.0)
        self.method = "spawn"
        self.executor = self.pool = self._begun()

    def close(self) -> None:
        """End all processes: those that are at something, after a moment, whatever it is."""
        self._end(GRACE)

    def _end(self, grace: float) -> None:
        """Take back what isn't begun, wait for what is, and end the processes that go on.

        The pool's own thread is waited for: Python's exit would race with it.
        """
        processes = list((getattr(self.pool, "_processes", None) or {}).values())
        thread = getattr(self.pool, "_executor_manager_thread", None)
        self.pool.shutdown(wait=False, cancel_futures=True)
        if thread is not None and grace:
            thread.join(grace)
        for one in processes:
            one.kill()
        for one in processes:
            one.join(5)
        if thread is not None:
            thread.join(5)


def _refused(error: OSError) -> WorkerLost:
    why = error.strerror or "the system refused"
    return WorkerLost(f"no process could be begun: {why}; ask for fewer, or for --processes 1")


def _method() -> str:
    """How processes are begun: by a copy of this one, where that is safe, since it is quickest."""
    import multiprocessing

    copies = "fork" in multiprocessing.get_all_start_methods()
    return "fork" if copies and threading.active_count() == 1 else "spawn"


def _quiet() -> None:
    """An interrupt from the keyboard is for the caller; whatever a plugin prints, for nobody's report."""
    import signal
    import sys

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sys.stdout = sys.stderr


__all__ = ["Crew", "Gone", "OwnProcesses", "Pending"]
