"""json: reports for machines, as ``schemas/report.schema.json`` describes them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from felt_engine import Exporter, Report, Sheet, __version__
from felt_engine.checking.plain import report_to_plain
from felt_engine.checking.report import REPORT_FORMAT
from felt_engine.plain_text import unheeded_json


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """One JSON document; reports are written one by one, in the order given."""
    import json

    head = {"format": REPORT_FORMAT, "engine": __version__}
    yield json.dumps(head)[:-1] + ', "reports": ['
    comma = "\n"
    for report in reports:
        yield comma + unheeded_json(
            json.dumps(report_to_plain(report), ensure_ascii=True, allow_nan=False)
        )
        comma = ",\n"
    yield "\n]}\n"


EXPORTER = Exporter(
    "json", "One JSON document (schemas/report.schema.json), for machines", render, ".json"
)
