"""Reports that several exporters read one after the other, however many there are."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from typing import IO

    from felt_engine.checking.report import Report

IN_MEMORY = 500
"""Reports that are held as they are; those after them wait in a file, as our own JSON."""


class Spool:
    """May be gone through again and again, once at a time; takes from its source only what is new."""

    def __init__(self, reports: Iterable[Report]) -> None:
        self.source = iter(reports)
        self.first: list[Report] = []
        self.rest: IO[str] | None = None

    def __iter__(self) -> Iterator[Report]:
        yield from self.first
        yield from self._written()
        for report in self.source:
            if len(self.first) < IN_MEMORY:
                self.first.append(report)
            else:
                self._write(report)
            yield report

    def _write(self, report: Report) -> None:
        import json

        from felt_engine.checking.plain import report_to_plain

        if self.rest is None:
            import tempfile

            self.rest = tempfile.TemporaryFile("w+", encoding="ascii")  # noqa: SIM115
        self.rest.seek(0, 2)
        self.rest.write(json.dumps(report_to_plain(report)) + "\n")

    def _written(self) -> Iterator[Report]:
        if self.rest is None:
            return
        import json

        from felt_engine.checking.plain import report_from_plain

        self.rest.flush()
        self.rest.seek(0)
        while line := self.rest.readline():
            at = self.rest.tell()
            yield report_from_plain(json.loads(line))
            self.rest.seek(at)
