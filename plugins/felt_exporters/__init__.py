"""The exporters that come with the engine: one hook, one tuple, one exporter a file."""

from __future__ import annotations

from felt_engine import Exporter, hook

felt_engine_contract = 1


@hook
def felt_engine_exporters() -> tuple[Exporter, ...]:
    """The built-in exporters."""
    from felt_exporters import json_report, junit, markdown, page, sarif, text

    return (
        json_report.EXPORTER, junit.EXPORTER, markdown.EXPORTER, page.EXPORTER, sarif.EXPORTER,
        text.EXPORTER,
    )  # fmt: skip
