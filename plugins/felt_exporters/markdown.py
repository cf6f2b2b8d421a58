"""markdown: a short summary for a merge request. Nothing in a recipe can mark up, link or call anybody."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from felt_engine import Exporter, Report, ReportedFinding, Sheet
from felt_engine.plain_text import plain

MOST_LINES = 30
MOST_LETTERS = 400
WORDS = {
    "unreadable": "that could not be read", "fault": "with a fault", "caution": "with a caution",
    "not judged": "not wholly judged", "known": "with nothing new to mend", "note": "with a note",
    "right": "with nothing to mend",
}  # fmt: skip
JOINER = "&#8288;"


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """A heading with the counts, then the gravest lines; what is left out is counted."""
    counts: dict[str, int] = {}
    lines: list[tuple[int, str]] = []
    known = accepted = 0
    for report in reports:
        counts[report.verdict] = counts.get(report.verdict, 0) + 1
        known += len(report.known)
        accepted += sum(f.waived is not None for f in report.findings)
        lines += _lines(report)
    total = sum(counts.values())
    yield f"## {_several(total, 'felt recipe')}\n\n"
    if not total:
        return
    yield ", ".join(f"{counts[key]} {word}" for key, word in WORDS.items() if key in counts) + ".\n"
    lines.sort(key=lambda pair: pair[0])
    if lines:
        yield "\n"
    for _, line in lines[:MOST_LINES]:
        yield f"- {line}\n"
    if len(lines) > MOST_LINES:
        yield f"- and {len(lines) - MOST_LINES} more\n"
    if known or accepted:
        parts = [f"{known} known before"] if known else []
        parts += [f"{accepted} accepted by a waiver"] if accepted else []
        yield f"\nNot counted: {', '.join(parts)}.\n"


def _lines(report: Report) -> Iterator[tuple[int, str]]:
    name = safe(report.name or report.title or "recipe")
    for one in report.problems:
        at = f", line {one.line}" if one.line else ""
        text = safe(f"found {one.found}; expected {one.expected}; {one.mend}")
        yield 0, f"**could not be read**, {name}{at}: {text}"
    for broke in report.not_judged:
        yield (
            1,
            f"**not judged**, {name}: {safe(f'{broke.what}, from {broke.owner}: {broke.reason}')}",
        )
    for rank, level in enumerate(("fault", "caution", "note"), 2):
        for finding in report.at_level(level):
            yield rank, _finding(name, finding)


def _finding(name: str, finding: ReportedFinding) -> str:
    at = f", line {finding.spot.line}" if finding.spot.line else ""
    told = f"**{finding.level}**, {name}{at}, {safe(finding.spot.thing)}: {safe(finding.message)}"
    told += f" {safe(finding.do)}" if finding.do else ""
    if finding.explains:
        told += f" ({_several(len(finding.explains), 'more finding')} come of it.)"
    return f"{told} ({safe(finding.rule)})"


def _several(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def safe(text: str) -> str:
    """A text that shows as it is written: no markup, no HTML, no link, nobody and nothing named.

    A forge turns ``@name``, ``#12`` and their like, and bare addresses, into links even where their
    marks are escaped; a word joiner after the mark keeps it from that.
    """
    text = plain(text)
    if len(text) > MOST_LETTERS:
        text = text[: MOST_LETTERS - 1] + "…"
    text = re.sub(r"[^\w\s]|_", _mark, text, flags=re.ASCII)
    return re.sub(r"(?i)\bwww(?=\\?\.)", lambda m: m[0] + JOINER, text)


def _mark(match: re.Match[str]) -> str:
    mark = match[0]
    if not mark.isascii():
        return mark
    if mark in "<>&\"'":
        return f"&#{ord(mark)};"
    after = match.string[match.end() : match.end() + 1]
    if mark in "@#!~%$^:/" and after and not after.isspace():
        return f"\\{mark}{JOINER}"
    return mark if mark in ",;()" and mark != "(" else f"\\{mark}" if mark in _MARKS else mark


_MARKS = "\\`*_{}[]()#+-.!|~@$%^:/="

EXPORTER = Exporter(
    "markdown", "A short summary for a merge request, every text escaped", render, ".md"
)
