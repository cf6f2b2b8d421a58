"""Results kept in a folder by content, so that what hasn't changed isn't worked out again.

Two kinds, both plain JSON. A *report* is kept by the mark of its recipe's text and of all else that
decides it (:mod:`felt_engine.marks`); an *answer* is all that one whole run wrote, by the marks of
everything that went into it. Nothing is looked up by name or time, so nothing can be stale; a file
that was cut short or edited doesn't fit its own mark and is passed over. The folder may be deleted at
any time. It is marked as a cache by the CACHEDIR.TAG convention, so that backups leave it out.

Only a breakdown is never kept: it is judged again each time.
"""

from __future__ import annotations

import os
import stat

from felt_engine.marks import mark
from felt_engine.whole_file import part_of, write_whole

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

TAG = "Signature: 8a477f597d28d172789f06886806bc55"
"""First line of CACHEDIR.TAG, as the Cache Directory Tagging Specification 0.6 (B. Ford) gives it."""

ABOUT = "# Results that felt-engine keeps by content. Safe to delete.\n"
FIRST = "CACHEDIR.TAG"
MARKS = {FIRST: f"{TAG}\n{ABOUT}", ".gitignore": f"{ABOUT}*\n"}
"""What marks the folder, by the file's name; the first is written first."""

_PARTS = tuple(part_of(name) for name in MARKS)
MOST_ANSWERS = 16
"""Answers that are kept: as many ways to call the command as one shop's CI has, and more."""

SPARE_REPORTS = 10_000
"""Reports that are kept beside three for each recipe of a run: some 40 MB."""

LARGEST_ANSWER = 32_000_000
"""Characters that one run may write for its answer to be kept: some 20,000 recipes as text."""


LARGEST_FILE = 4 * LARGEST_ANSWER
"""Bytes of a file that is looked into: as many as an answer may have."""


class Kept:
    """A folder of kept results. CallError if there is something else at this path.

    What can't be read is as if it weren't there; what can't be written is left unkept, and ``failed``
    says why, once.
    """

    def __init__(self, folder: str | os.PathLike[str]) -> None:
        self.folder = os.fspath(folder)
        self.failed = ""
        self.used: set[str] = set()
        self._made = False
        if not self.folder or (os.path.lexists(self.folder) and not self._ours()):
            from felt_engine.errors import CallError

            raise CallError(
                f"“{self.folder}” is no folder of kept results: name a new or an empty folder"
            )

    def _ours(self) -> bool:
        """Whether it is marked as ours, or holds nothing but what a run may leave that was cut short."""
        try:
            names = os.listdir(self.folder)
        except OSError:
            return False
        if _read(os.path.join(self.folder, FIRST)).startswith(TAG):
            return True
        return all(name in _PARTS or (name == FIRST and self._cut_short()) for name in names)

    def _cut_short(self) -> bool:
        """Whether its first mark is there and empty, as a full disk may leave it."""
        path = os.path.join(self.folder, FIRST)
        return os.path.isfile(path) and not os.path.islink(path) and not os.path.getsize(path)

    def report(self, key: str) -> dict[str, Any] | None:
        """The plain values of the report with this key, if it is kept."""
        self.used.add(key)
        return _opened(self._report_at(key))

    def answer(self, key: str) -> dict[str, Any] | None:
        """The answer of the run with this key, if it is kept."""
        return _opened(self._answer_at(key))

    def keep_report(self, key: str, body: str) -> None:
        """Keep a report, as JSON text."""
        self._write(self._report_at(key), body)

    def keep_answer(self, key: str, answer: dict[str, Any]) -> None:
        """Keep the answer of a run; the oldest make room."""
        import json

        self._write(self._answer_at(key), json.dumps(answer))
        self._thin("answers", MOST_ANSWERS, {f"{key}.json"})

    def make_room(self) -> None:
        """Delete the oldest reports that this run had no use for, if there are far too many."""
        if not self._made:
            return
        used = {os.path.basename(self._report_at(key)) for key in self.used}
        most = (SPARE_REPORTS + 3 * len(used)) // 256 + 1
        for shelf in _names(os.path.join(self.folder, "reports")):
            self._thin(os.path.join("reports", shelf), most, used)

    def _report_at(self, key: str) -> str:
        return os.path.join(self.folder, "reports", key[:2], f"{key}.json")

    def _answer_at(self, key: str) -> str:
        return os.path.join(self.folder, "answers", f"{key}.json")

    def _thin(self, shelf: str, most: int, needed: set[str]) -> None:
        folder = os.path.join(self.folder, shelf)
        names = [] if self._link_to(folder) else _names(folder)
        if len(names) <= most:
            return
        old = [(_age(os.path.join(folder, n)), n) for n in names if n not in needed]
        for _, name in sorted(old)[: len(names) - most]:
            _delete(os.path.join(folder, name))

    def _write(self, path: str, body: str) -> None:
        """Whole or not at all."""
        if self.failed:
            return
        try:
            self._make(os.path.dirname(path))
            write_whole(path, [_sealed(body)])
        except (OSError, ValueError) as error:
            why = getattr(error, "strerror", None) or error
            self.failed = f"results can’t be kept in {self.folder}: {why}"

    def _link_to(self, shelf: str) -> str:
        """The first link on the way from the folder to a shelf in it; nothing written or deleted there."""
        inside = os.path.relpath(shelf, self.folder).split(os.sep)
        steps = (os.path.join(self.folder, *inside[: n + 1]) for n in range(len(inside)))
        return next((step for step in steps if os.path.islink(step)), "")

    def _make(self, shelf: str) -> None:
        link = self._link_to(shelf)
        if link:
            raise OSError(f"{link} is a link, which may lead anywhere")
        if not self._made:
            os.makedirs(self.folder, exist_ok=True)
            for name, text in MARKS.items():
                path = os.path.join(self.folder, name)
                if not os.path.lexists(path) or (name == FIRST and self._cut_short()):
                    write_whole(path, [text])
            self._made = True
        os.makedirs(shelf, exist_ok=True)


_BEFORE, _BETWEEN, _AFTER = '{"mark": "', '", "kept": ', "}\n"


def _sealed(body: str) -> str:
    return f"{_BEFORE}{mark((body,))}{_BETWEEN}{body}{_AFTER}"


def _opened(path: str) -> dict[str, Any] | None:
    text = _read(path)
    start = text.find(_BETWEEN) + len(_BETWEEN)
    body = text[start : -len(_AFTER)]
    if not text or text != _sealed(body):
        return None
    import json

    try:
        found = json.loads(body)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None


def _read(path: str) -> str:
    """The text of an ordinary file; of a link, a pipe, a device or what is far too large, nothing."""
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        with open(os.open(path, flags), encoding="utf-8", newline="") as file:
            about = os.fstat(file.fileno())
            if not stat.S_ISREG(about.st_mode) or about.st_size > LARGEST_FILE:
                return ""
            return file.read()
    except (OSError, ValueError):
        return ""


def _names(folder: str) -> list[str]:
    try:
        return os.listdir(folder)
    except OSError:
        return []


def _age(path: str) -> float:
    try:
        return os.stat(path).st_mtime
    except OSError:
        return 0.0


def _delete(path: str) -> None:
    try:
        os.unlink(path)
    except OSError:
        return
