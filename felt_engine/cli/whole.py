"""A run in which nothing has changed at all: its answer is written again, and nothing is loaded.

The key is the mark of everything that goes into the run: every recipe's name and bytes, studio files,
rule files, known findings, the call itself, the terminal's width and colour, and all that is
installed. An answer is kept only if nothing broke down, and everything was the same at the run's end as
at its beginning.
"""

from __future__ import annotations

import os

from felt_engine import kept as _kept
from felt_engine import marks
from felt_engine.beside import studio_beside
from felt_engine.cli.engines import files_in, folders_of, made_from
from felt_engine.marks import bytes_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Iterator
    from typing import Any

    from felt_engine.api import Engine
    from felt_engine.cli.given import Given
    from felt_engine.cli.known import KnownFindings
    from felt_engine.cli.terminal import Terminal
    from felt_engine.kept import Kept

Output = tuple[str, "str | None"]

LONGEST = 16_000_000
"""The longest file of which an answer is kept, bytes; what is read has far less."""


class WholeRun:
    """One run with a folder of kept results."""

    def __init__(
        self, kept: Kept, call: argparse.Namespace, outputs: list[Output], given: Given,
        known: KnownFindings, terminal: Terminal,
    ) -> None:  # fmt: skip
        self.kept, self.call, self.outputs, self.given = kept, call, outputs, given
        self.known = known
        self.terminal = terminal
        self.letters = 0
        self.pieces: list[list[str]] = [[] for _ in outputs]
        self.key = self._key()

    def _key(self) -> str:
        """The mark of all that goes in; empty where something can't be read, or is written each time."""
        call = self.call
        to_folder = any(file is not None and os.path.isdir(file) for _, file in self.outputs)
        if call.write_known or to_folder or os.environ.get("FELT_ENGINE_TRACE"):
            return ""
        try:
            return marks.mark(self._parts())
        except (OSError, ValueError):
            return ""

    def _parts(self) -> Iterator[str | bytes]:
        call, terminal = self.call, self.terminal
        yield marks.of_installation()
        yield repr((self.outputs, call.stop_at, call.studio, call.rule_files, call.known))
        if any(file is None for _, file in self.outputs):
            yield repr((terminal.width, terminal.colour))
        for path in call.rule_files:
            yield marks.of_path(path)
        if call.known:
            yield repr((os.getcwd(), self.known.away()))
            yield bytes_of(call.known, LONGEST)
        if call.studio is not None and call.studio != "none":
            yield bytes_of(call.studio, LONGEST)
        else:
            for folder in folders_of(self.given.files) if call.studio is None else ():
                found = studio_beside(os.path.join(folder, ""))
                yield repr((folder, found))
                yield bytes_of(found, LONGEST) if found else b""
        for path, file in self.given.files:
            yield f"{path}\0{file}"
            if file in self.given.outside:
                continue
            given = file == self.given.called
            yield self.given.bytes if given else bytes_of(file, LONGEST) if file else b""

    def told(self) -> int | None:
        """Write the answer that is kept, and return its exit status; ``None`` if there is none."""
        answer = self.kept.answer(self.key) if self.key else None
        if answer is None or len(answer["texts"]) != len(self.outputs):
            return None
        for path, mark in answer["also"]:
            try:
                if marks.of_path(path) != mark:
                    return None
            except OSError:
                return None
        from felt_engine.cli.files import keep_apart, write_file
        from felt_engine.cli.outputs import to_output

        also = (file for path, _ in answer["also"] for file in files_in(path))
        keep_apart((file or "" for _, file in self.outputs), also)
        for (name, file), text in zip(self.outputs, answer["texts"], strict=True):
            if file is None:
                to_output(name, [text], self.terminal)
            else:
                write_file(file, [text])
        self.terminal.say_again(answer["said"])
        return int(answer["status"])

    def tap(self, number: int, pieces: Iterable[str]) -> Iterator[str]:
        """The pieces of an output as they are written, remembered."""
        for piece in pieces:
            self.letters += len(piece)
            if self.letters <= _kept.LARGEST_ANSWER:
                self.pieces[number].append(piece)
            yield piece

    def keep(self, status: int, engines: Iterable[Engine]) -> None:
        """Keep what this run wrote, if it may be kept."""
        if not self.key or status > 2:
            return
        if self.letters > _kept.LARGEST_ANSWER or self.key != self._key():
            return
        answer: dict[str, Any] = {
            "status": status,
            "said": list(self.terminal.said),
            "texts": ["".join(pieces) for pieces in self.pieces],
            "also": [
                [path, marks.of_path(path)] for engine in engines for path in made_from(engine)
            ],
        }
        self.kept.keep_answer(self.key, answer)
