"""Many recipes, one after the other or by several workers: reports in the order of the recipes.

Texts are read here, so that workers need none of the caller's files; at most so many batches are
under way, so that memory is bounded however many recipes there are; and whichever way a recipe is
judged, its report is the same.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import attrs

import felt_engine
from felt_engine.checking.report import NotJudged, Report
from felt_engine.checking.rulebook import reason_of
from felt_engine.errors import CallError
from felt_engine.model.recipe import Source
from felt_engine.reading.source import Readable, is_text, name_of, open_source
from felt_engine.reading.tree import Unreadable

if TYPE_CHECKING:
    from felt_engine.api import Engine
    from felt_engine.crew import Crew, Pending
    from felt_engine.kept import Kept

BATCH = 8
"""Recipes that go to a worker at once: some 0.1 s of work, so that workers end nearly together."""

BATCH_LETTERS = 250_000
"""Characters of recipes from which a batch goes, however few they are: bounds memory."""

WAITING = 20_000
"""Reports that may wait for an earlier one, beside the batches under way."""


@attrs.frozen(eq=False)
class Task:
    """One recipe to judge, and by which engine; or a report that there is already."""

    engine: Engine
    source: Readable | Report
    name: str | None = None


def each(paths: Iterable[Readable]) -> Iterator[tuple[Readable | Report, str | None]]:
    """Recipes, with those in a folder in its place; a folder without one stays, to be refused."""
    from felt_engine.beside import leads_out, recipes_and_links
    from felt_engine.checking.report import led_out

    for path in paths:
        name_of(path)
        if isinstance(path, Source) or is_text(path) or not os.path.isdir(path):
            yield path, None
            continue
        found = recipes_and_links(path)
        for one, link in found:
            if link and leads_out(one, path):
                yield led_out(one), None
            else:
                yield _as_path(one) if is_text(one) else one, None
        if not found:
            yield path, None


def _as_path(name: str) -> Readable:
    """A file's name that looks like a recipe's text: it has a line break, or begins with a brace."""
    from pathlib import Path

    return Path(name)


class Judging:
    """Judges tasks in order. ``kept`` has earlier results; ``crew`` are workers, if there are any."""

    def __init__(
        self,
        crew: Crew | None,
        kept: Kept | None = None,
        drawing: bool = False,
        at_once: float = 64,
    ) -> None:
        self.crew, self.kept, self.drawing, self.at_once = crew, kept, drawing, at_once
        self.line: deque[_Slot] = deque()
        self.filling: _Batch | None = None
        self.sent: deque[_Batch] = deque()
        self.setups: dict[int, tuple[Engine, str, str]] = {}

    def reports(self, tasks: Iterable[Task]) -> Iterator[Report]:
        """The reports, in the order of the tasks, each as soon as those before it are there."""
        for task in tasks:
            self.line.append(self._begun(task))
            if self.filling is not None and self.filling.full(self.crew):
                self._send()
            yield from self._ready(len(self.sent) >= self.at_once or len(self.line) > WAITING)
        self._send()
        while self.line:
            yield from self._ready(True)
        if self.kept is not None:
            self.kept.make_room()

    def _begun(self, task: Task) -> _Slot:
        if isinstance(task.source, Report):
            return _Slot(task.source)
        name = name_of(task.source, task.name)
        try:
            source = open_source(task.source, task.name)
        except Unreadable as error:
            return _Slot(task.engine.unreadable(name, error.problems))
        key = self._key(task.engine, source)
        report = self._recalled(key, name)
        if report is None and self.crew is None:
            report = looked(task.engine, source, self.drawing)
            self._keep(key, report)
        if report is not None:
            return _Slot(report)
        if self.filling is not None and self.filling.engine is not task.engine:
            self._send()
        if self.filling is None:
            self.filling = _Batch(task.engine)
        return _Slot(None, self.filling, self.filling.add(source, key))

    def _setup(self, engine: Engine) -> tuple[str, str]:
        """The engine's setup as text, and its mark: worked out once an engine."""
        found = self.setups.get(id(engine))
        if found is None:
            from felt_engine import marks
            from felt_engine.workers import setup_of

            setup = setup_of(engine)
            mark = marks.mark((marks.of_installation(), setup)) if self.kept is not None else ""
            found = self.setups[id(engine)] = engine, setup, mark
        return found[1:]

    def _key(self, engine: Engine, source: Source) -> str:
        if self.kept is None:
            return ""
        from felt_engine.marks import mark

        parts = (self._setup(engine)[1], str(self.drawing), source.door, source.text)
        return mark(parts)

    def _recalled(self, key: str, name: str) -> Report | None:
        plain = self.kept.report(key) if self.kept is not None else None
        if plain is None:
            return None
        from felt_engine.checking.plain import report_from_plain

        try:
            return report_from_plain({**plain, "name": name})
        except CallError:
            return None

    def _keep(self, key: str, report: Report) -> None:
        if self.kept is not None and not report.not_judged:
            import json

            from felt_engine.checking.plain import report_to_plain

            self.kept.keep_report(key, json.dumps({**report_to_plain(report), "name": ""}))

    def _send(self) -> None:
        batch, self.filling = self.filling, None
        if batch is not None and self.crew is not None:
            batch.pending = self._asked(batch, batch.sources)
            self.sent.append(batch)

    def _asked(self, batch: _Batch, sources: list[Source]) -> Pending:
        """Have these recipes of a batch judged."""
        import json

        from felt_engine.marks import mark

        recipes = [[one.name, one.text, one.door] for one in sources]
        setup = self._setup(batch.engine)[0]
        text = json.dumps({"setup": setup, "recipes": recipes, "drawing": self.drawing})
        batch.mark = mark((text,))
        assert self.crew is not None
        return self.crew.submit(text)

    def _ready(self, wait: bool) -> Iterator[Report]:
        """Reports that are there at the head of the line; if need be, wait for the first."""
        while self.line:
            slot = self.line[0]
            if slot.report is None and slot.batch is not None:
                if slot.batch is self.filling:
                    if not wait:
                        return
                    self._send()
                if slot.batch.reports is None:
                    if not wait and not slot.batch.done():
                        return
                    self._settle(slot.batch)
                    wait = False
                assert slot.batch.reports is not None
                slot.report = slot.batch.reports[slot.index]
            assert slot.report is not None
            self.line.popleft()
            yield slot.report

    def _settle(self, batch: _Batch) -> None:
        """Wait for the oldest batch that is under way, and take its reports."""
        from felt_engine.crew import Gone
        from felt_engine.workers import answered

        assert self.crew is not None and batch is self.sent[0] and batch.pending is not None
        try:
            reports, slow = answered(self.crew.wait(batch.pending), batch.mark)
        except Gone as gone:
            self.crew.renew(gone)
            reports, slow = self._one_by_one(batch), []
            for other in list(self.sent)[1:]:
                other.pending = self._asked(other, other.sources)
        if len(reports) != len(batch.sources):
            asked = len(batch.sources)
            raise CallError(f"a worker gave {len(reports)} reports where {asked} were asked for")
        self.sent.popleft()
        for one in slow:
            batch.engine.note_slow(one)
        for key, report in zip(batch.keys, reports, strict=True):
            self._keep(key, report)
        batch.reports = reports

    def _one_by_one(self, batch: _Batch) -> list[Report]:
        """The batch again after its worker went away, to find out which recipe it is."""
        from felt_engine.crew import Gone
        from felt_engine.workers import answered

        assert self.crew is not None
        found = []
        for source in batch.sources:
            try:
                pending = self._asked(batch, [source])
                found += answered(self.crew.wait(pending), batch.mark)[0]
            except Gone as gone:
                self.crew.renew(gone)
                found.append(unjudged(source.name, str(gone)))
        return found


@attrs.define(eq=False)
class _Slot:
    """A place in the line: its report, or where that will come from."""

    report: Report | None
    batch: _Batch | None = None
    index: int = 0


class _Batch:
    """Recipes that go to a worker together."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.sources: list[Source] = []
        self.keys: list[str] = []
        self.letters = 0
        self.mark = ""
        self.pending: Pending | None = None
        self.reports: list[Report] | None = None

    def add(self, source: Source, key: str) -> int:
        self.sources.append(source)
        self.keys.append(key)
        self.letters += len(source.text)
        return len(self.sources) - 1

    def full(self, crew: Crew | None) -> bool:
        """Small batches first, so that all workers begin at once."""
        begun = crew.submitted if crew is not None else 0
        return len(self.sources) >= min(BATCH, 1 + begun // 4) or self.letters > BATCH_LETTERS

    def done(self) -> bool:
        return self.pending is not None and self.pending.done()


def looked(engine: Engine, source: Source, drawing: bool) -> Report:
    """The report of one recipe; where the engine itself fails, a report that says so."""
    try:
        return engine.look(source, drawing=drawing)
    except KeyboardInterrupt:
        raise
    except BaseException as error:
        import traceback

        trace = "".join(traceback.format_exception(error))
        return unjudged(source.name, reason_of(error), trace)


def unjudged(name: str, reason: str, trace: str = "") -> Report:
    """The report of a recipe that nothing could be said of."""
    version = felt_engine.__version__
    broke = NotJudged("the whole recipe", "felt-engine", version, reason, trace)
    return Report(name, not_judged=(broke,), engine=version)


__all__ = ["Judging", "Task", "looked", "unjudged"]
