"""text: the report for a terminal or a plain file, within 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from felt_engine import (
    Exporter,
    Remark,
    Report,
    ReportedFinding,
    Sheet,
    WeightLine,
)
from felt_engine.plain_text import ROUNDED, columns, plain, wrapped

if TYPE_CHECKING:
    from felt_engine import SwitchedOff

    House = tuple[str, tuple[SwitchedOff, ...]] | None  # what it sets, in words; what it rests

BRIEF_AFTER = 1
_BOLD, _RED, _YELLOW, _DIM, _END = "\x1b[1m", "\x1b[31m", "\x1b[33m", "\x1b[2m", "\x1b[0m"
_COLOURS = {"fault": _RED, "caution": _YELLOW, "note": _DIM}


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """Each report in turn, then a line that counts them. Weights are shown for a single recipe."""
    counts: dict[str, int] = {}
    held: Report | None = None
    houses: dict[House, int] = {}
    for number, report in enumerate(reports):
        house = None if report.studio is None else (_house(report), report.off)
        houses[house] = houses.get(house, 0) + 1
        counts[report.verdict] = counts.get(report.verdict, 0) + 1
        if number == 0:
            held = report
            continue
        if held is not None:
            yield from _lines(_Page(sheet).brief(held))
            held = None
        yield from _lines(_Page(sheet).brief(report))
    if held is not None:
        yield from _lines(_Page(sheet).full(held))
    yield from _lines(_Page(sheet).end(counts))
    if sum(counts.values()) > 1:
        yield from _lines(_Page(sheet).houses(houses))


def _lines(lines: Iterable[str]) -> Iterator[str]:
    for line in lines:
        yield line.rstrip() + "\n"


def _several(count: int, one: str, many: str = "") -> str:
    return f"{count} {one if count == 1 else many or one + 's'}"


class _Page:
    def __init__(self, sheet: Sheet) -> None:
        self.width = max(40, sheet.width)
        self.colour = sheet.colour

    def paint(self, text: str, code: str) -> str:
        return f"{code}{text}{_END}" if self.colour and text else text

    def fill(self, text: str, first: str, rest: str) -> list[str]:
        return wrapped(plain(text), self.width, first, rest) or [first]

    def head(self, report: Report) -> list[str]:
        title = plain(report.title) or plain(report.name) or "recipe"
        name = plain(report.name) if report.title else ""
        room = self.width - columns(title) - columns(name)
        if room >= 2:
            return [self.paint(title, _BOLD) + " " * room + name]
        lines = [self.paint(line, _BOLD) for line in self.fill(title, "", "")]
        return lines + (self.fill(name, "  ", "  ") if name else [])

    def verdict(self, report: Report) -> str:
        if report.problems:
            return f"Could not be read: {_several(len(report.problems), 'thing')} to mend first."
        counted = [
            _several(len(report.at_level(level)), level)
            for level in ("fault", "caution", "note")
            if report.at_level(level)
        ]
        rules = _several(len(report.judged), "rule")
        looked = f"{rules} looked at it" if report.judged else "No rule looked at it"
        if report.off:
            looked += f", {len(report.off)} {'is' if len(report.off) == 1 else 'are'} switched off"
        if report.known:
            counted.append(f"{len(report.known)} known before")
        if report.not_judged:
            counted.append("not all judged")
        if counted:
            return ", ".join(counted).capitalize() + f". {looked}."
        return f"Nothing to mend. {looked}." if report.judged else f"{looked}."

    def brief(self, report: Report) -> Iterator[str]:
        yield from self.head(report)
        yield from self.fill(self.verdict(report), "  ", "    ")
        yield from self.body(report)

    def full(self, report: Report) -> Iterator[str]:
        yield from self.head(report)
        yield from self.fill(self.verdict(report), "  ", "    ")
        if report.studio is not None:
            yield from self.fill(_house(report), "  ", "    ")
        yield from self.body(report)
        if report.off:
            yield ""
            yield self.paint("  Switched off", _BOLD)
            yield from self.off(report.off)
        yield from self.weights(report)
        yield from self.remarks("Tips", report.tips)
        if report.purposes:
            yield ""
            yield self.paint("  On purpose", _BOLD)
            for intent in report.purposes:
                yield from self.fill(
                    f"{intent.what}, {intent.where}: {intent.why}", "    ", "      "
                )

    def body(self, report: Report) -> Iterator[str]:
        for problem in report.problems:
            yield ""
            place = f"Line {problem.line}, column {problem.column}" if problem.line else "The file"
            at = problem.path
            yield from self.fill(f"{place}: {at}" if at else place, "  ", "    ")
            yield from self.fill(f"Found {problem.found}.", "    ", "      ")
            yield from self.fill(f"Expected {problem.expected}.", "    ", "      ")
            yield from self.fill(f"To mend: {problem.mend}.", "    ", "      ")
        for finding in report.findings:
            yield ""
            yield from self.finding(finding)
        yield from self.remarks("Not enough said", report.unsaid)
        if report.not_judged:
            yield ""
            yield self.paint("  Not judged", _BOLD)
            for one in report.not_judged:
                yield from self.fill(one.told, "    ", "      ")

    def off(self, rules: Iterable[SwitchedOff]) -> Iterator[str]:
        for one in rules:
            yield from self.fill(f"{one.rule}, by {one.by}: {one.why}", "    ", "      ")

    def houses(self, houses: dict[House, int]) -> Iterator[str]:
        for house, count in houses.items():
            if house is None:
                if len(houses) > 1:
                    yield f"{_several(count, 'recipe')} judged by no studio file."
                continue
            said, off = house
            text = f"{_several(count, 'recipe')} {said[:1].lower()}{said[1:]}"
            yield from self.fill(text + (" Switched off:" if off else ""), "", "  ")
            yield from self.off(off)

    def finding(self, finding: ReportedFinding) -> Iterator[str]:
        line = f", line {finding.spot.line}" if finding.spot.line else ""
        for part in self.fill(finding.heading + line, "  ", "    "):
            yield self.paint(part, _COLOURS.get(finding.level, ""))
        yield from self.fill(finding.message, "    ", "    ")
        yield from self.fill(f"What to do: {finding.do}", "    ", "      ")
        reckoned = ". ".join(part for part in (finding.compared, finding.how) if part)
        if reckoned:
            yield from self.fill(f"Reckoned: {reckoned}.", "    ", "      ")
        if finding.explains:
            yield "    Comes of it:"
        for one in finding.explains:
            line = f"line {one.spot.line}: " if one.spot.line else ""
            yield from self.fill(f"{line}{one.message} ({one.rule})", "      ", "        ")
        if finding.rule_says not in (None, finding.level):
            text = f"The rule gives this as a {finding.rule_says}; the studio file makes it a "
            yield from self.fill(f"{text}{finding.level}.", "    ", "      ")
        if finding.waived is not None:
            yield from self.fill(f"Accepted: {finding.waived}", "    ", "      ")
        yield from self.fill(f"Rule: {finding.rule}", "    ", "      ")

    def remarks(self, title: str, remarks: tuple[Remark, ...]) -> Iterator[str]:
        if not remarks:
            return
        yield ""
        yield self.paint(f"  {title}", _BOLD)
        for remark in remarks:
            line = f", line {remark.spot.line}" if remark.spot.line else ""
            text = f"{remark.spot.thing}{line}: {remark.text} ({remark.rule})"
            yield from self.fill(text, "    ", "      ")

    def weights(self, report: Report) -> Iterator[str]:
        table = report.weights
        if table is None:
            return
        of = "the piece" if table.pieces == 1 else "one piece"
        groups = [("by layer, bottom to top", table.by_layer), ("by lot", table.by_lot)]
        if len(table.by_fibre) > 1:
            groups.append(("by fibre", table.by_fibre))
        names = [line.name for _, lines in groups for line in lines]
        longest = max([*(columns(plain(name)) for name in names), len("all together")])
        wide = min(26, self.width - 24, longest)
        yield ""
        title = f"  Weights of {of}"
        yield self.paint(title, _BOLD) + " " * max(1, wide + 13 - len(title)) + "g        oz"
        for group, lines in groups:
            yield from self.group(group, lines, wide)
        yield from self.row("all together", *table.piece.shown, wide, "all layers")
        if table.pieces > 1:
            whole = table.all_pieces
            yield from self.group(f"by lot, all {table.pieces} pieces", table.by_lot_in_all, wide)
            yield from self.row(whole.name, *whole.shown, wide, whole.how)
        if not table.adds_up:
            yield from self.fill(ROUNDED, "    ", "    ")

    def group(self, title: str, lines: tuple[WeightLine, ...], wide: int) -> Iterator[str]:
        yield self.paint(f"    {title}", _DIM)
        for line in lines:
            how = "" if title.startswith("by lot") else line.how
            yield from self.row(line.name, *line.shown, wide, how)

    def row(self, name: str, grams: str, ounces: str, wide: int, how: str) -> Iterator[str]:
        label = plain(name)
        if columns(label) > wide:
            label = label[: wide - 1] + "…"
        start = "    " + label + " " * (wide - columns(label)) + f" {grams:>8} {ounces:>9}"
        if not how:
            yield start
            return
        if self.width - columns(start) < 14:
            yield start
            yield from self.fill(how, "      ", "      ")
            return
        yield from self.fill(how, start + "  ", " " * (columns(start) + 2))

    def end(self, counts: dict[str, int]) -> Iterator[str]:
        total = sum(counts.values())
        if total > 1:
            words = {
                "right": "with nothing to mend", "note": "with a note", "caution": "with a caution",
                "fault": "with a fault", "known": "with nothing new to mend",
                "unreadable": "that could not be read", "not judged": "not wholly judged",
            }  # fmt: skip
            parts = [f"{counts[key]} {words[key]}" for key in words if counts.get(key)]
            yield ""
            yield from self.fill(f"{total} recipes: {', '.join(parts)}.", "", "  ")


def _house(report: Report) -> str:
    """Which studio file was used, and what it puts in place of what is usual."""
    studio = report.studio
    assert studio is not None
    parts = [f"Judged by the numbers of {studio.name} ({studio.file})"]
    if studio.as_of:
        parts.append(f"as of release {studio.as_of}")
    limits = [f"{one.rule} {one.name} {one.text}" for one in studio.limits]
    said = f" Limits of its own: {'; '.join(limits)}." if limits else ""
    if studio.scale_step:
        said += f" Scale step: {studio.scale_step}."
    said += "".join(f" {note}" for note in studio.notes)
    return ", ".join(parts) + "." + said


EXPORTER = Exporter("text", "For a terminal or a plain file, within 80 columns", render, ".txt")
