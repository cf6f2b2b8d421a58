"""page: one self-contained HTML file a recipe, and an index. No script, nothing fetched."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from felt_engine import CallError, Exporter, Report, Sheet


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """The page of one recipe. CallError for more: those want a folder."""
    from felt_exporters.page.compose import page

    found = iter(reports)
    first = next(found, None)
    if first is None:
        return
    if next(found, None) is not None:
        raise CallError("a page shows one recipe: name a folder to write to, such as --to pages/")
    yield page(first)


def files(reports: Iterable[Report], sheet: Sheet) -> Iterator[tuple[str, Iterable[str]]]:
    """One page a recipe, then ``index.html``."""
    from felt_exporters.page.compose import Index, page

    index = Index()
    for report in reports:
        yield index.add(report), [page(report, back=True)]
    yield "index.html", [index.page()]


EXPORTER = Exporter(
    "page", "A page to look at: the verdict, every layer drawn, weights; for one recipe or a folder",
    render, ".html", draws=True, files=files,
)  # fmt: skip
