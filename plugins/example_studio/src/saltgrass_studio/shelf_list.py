"""shelf-list: which lots to take from the shelf, and how much of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from felt_engine import Exporter, Report, Sheet
from felt_engine.plain_text import columns, plain


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """Each recipe's title, then a line a lot for all its pieces. What isn't judged is said."""
    for report in reports:
        yield f"{plain(report.title or report.name) or 'recipe'}\n"
        if report.weights is None:
            yield "  could not be read\n"
        else:
            yield from _lots(report)
        for one in report.not_judged:
            yield f"  not judged: {plain(one.what)} ({plain(one.owner)})\n"


def _lots(report: Report) -> Iterator[str]:
    weights = report.weights
    assert weights is not None
    names = [plain(line.name) for line in weights.by_lot]
    wide = max(columns(name) for name in names)
    for name, line in zip(names, weights.by_lot, strict=True):
        blank = " " * (wide - columns(name))
        grams, ounces = line.grams * weights.pieces, line.ounces * weights.pieces
        yield f"  {name}{blank} {grams:8.1f} g {ounces:8.2f} oz\n"


EXPORTER = Exporter("shelf-list", "Lots to take from the shelf, in g and oz", render, ".txt")
