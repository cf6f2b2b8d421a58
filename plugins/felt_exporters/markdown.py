"""markdown: a short summary for a merge request. Nothing in a recipe can mark up, link or call anybody."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from felt_engine import Exporter, Report, ReportedFinding, Sheet
from felt_engine.plain_text import plain

MOST_LINES = 30
MOST_REMEDIES = 10
"""With more lines than that, what to do about them is left to the whole report."""
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
    lines: list[tuple[int, str, str]] = []
    besides = {"known before": 0, "accepted by a waiver": 0}
    unsaid = 0
    house: dict[str, None] = {}
    for report in reports:
        counts[report.verdict] = counts.get(report.verdict, 0) + 1
        besides["known before"] += len(report.known)
        besides["accepted by a waiver"] += sum(f.waived is not None for f in report.findings)
        unsaid += len(report.unsaid)
        house |= dict.fromkeys(_house(report))
        lines += _lines(report)
    total = sum(counts.values())
    yield f"## {_several(total, 'felt recipe')}\n"
    if total:
        told = [f"{counts[key]} {word}" for key, word in WORDS.items() if key in counts]
        yield f"\n{', '.join(told)}.\n"
    yield from _list(sorted(lines, key=lambda line: line[0]))
    parts = [f"{count} {how}" for how, count in besides.items() if count]
    if parts:
        yield f"\nNot counted: {', '.join(parts)}.\n"
    if unsaid:
        yield f"\nNot enough said to judge: {_several(unsaid, 'time')}; the whole report says what.\n"
    for one in house:
        yield f"\n{one}\n"


def _list(lines: list[tuple[int, str, str]]) -> Iterator[str]:
    if lines:
        yield "\n"
    for _, line, remedy in lines[:MOST_LINES]:
        yield f"- {line}{remedy if len(lines) <= MOST_REMEDIES else ''}\n"
    if len(lines) > MOST_LINES:
        yield f"- and {len(lines) - MOST_LINES} more\n"


def _lines(report: Report) -> Iterator[tuple[int, str, str]]:
    """How grave it is, what is wrong, and what to do about it."""
    name = code(report.name or report.title or "recipe")
    for one in report.problems:
        at = f", line {safe(str(one.line))}" if one.line else ""
        text = safe(f"found {one.found}; expected {one.expected}")
        yield 0, f"**could not be read**: {name}{at}: {text}", safe(f"; {one.mend}")
    for broke in report.not_judged:
        yield 1, f"**not judged**: {name}: {safe(broke.told)}", ""
    for rank, level in enumerate(("fault", "caution", "note"), 2):
        for finding in report.at_level(level):
            yield rank, _finding(name, finding), f" {safe(finding.do)}" if finding.do else ""


def _finding(name: str, finding: ReportedFinding) -> str:
    at = f", line {safe(str(finding.spot.line))}" if finding.spot.line else ""
    told = f"**{safe(finding.level)}** ({safe(finding.rule)}): {name}{at}, {safe(finding.spot.thing)}: "
    told += safe(finding.message)
    if finding.explains:
        come = "comes" if len(finding.explains) == 1 else "come"
        told += f" ({_several(len(finding.explains), 'more finding')} {come} of it.)"
    return told


def _house(report: Report) -> Iterator[str]:
    if report.studio is not None:
        name, file = report.studio.name, report.studio.file
        yield f"Judged by the numbers of {safe(name)} ({code(file)})."
    for off in report.off:
        yield f"Switched off by {safe(off.by)}: {safe(off.rule)} ({safe(off.why)})."


def _several(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def code(name: str) -> str:
    """A name to copy, in a code span: nothing in one is marked up, linked or called."""
    name = plain(name)
    if len(name) > MOST_LETTERS:
        name = "…" + name[1 - MOST_LETTERS :]
    fence = "`" * (1 + max(map(len, re.findall("`+", name)), default=0))
    pad = " " if name[:1] in ("`", " ") or name[-1:] in ("`", " ") else ""
    return f"{fence}{pad}{name}{pad}{fence}"


def safe(text: str) -> str:
    """A text that shows as it is written: no markup, no HTML, no link, nobody and nothing named.

    A forge turns ``@name``, ``#12``, ``GH-12``, the first letters of a commit and their like, and
    bare addresses, into links even where their marks are escaped; a word joiner in them, which
    isn't seen, keeps it from that.
    """
    text = plain(text)
    if len(text) > MOST_LETTERS:
        text = text[: MOST_LETTERS - 1] + "…"
    return re.sub(r"[!-/:-@\[-`{-~]|\b[0-9a-fA-F]{7,40}\b", _mark, text)


def _mark(match: re.Match[str]) -> str:
    mark, text = match[0], match.string
    if len(mark) > 1:
        return JOINER.join(re.findall(".{1,6}", mark))
    shown = f"&#{ord(mark)};" if mark in "<>&" else f"\\{mark}" if mark in _MARKS else mark
    before, after = text[: match.start()][-1:], text[match.end() : match.end() + 8]
    if _NAMES.match(mark + after) and not (mark in ".-" and not before.isalnum()):
        shown += JOINER
    return shown


_MARKS = "\\`*_[]#|~@$"
"""What marks up within a line; no text here ever begins one."""
_NAMES = re.compile(r"[@#!~%$^:&]\S|//|-\d|\.(?!ya?ml\b|json\b)[^\W\d]", re.I)
"""What begins a name of something on a forge, or an address: people, issues, emoji, schemes, hosts."""

EXPORTER = Exporter(
    "markdown", "A short summary for a merge request, every text escaped", render, ".md"
)
