"""junit: a test suite a recipe and a test case a rule, as the common readers of JUnit XML take it.

A finding at or above the level that stops a run (``stop_at`` of the sheet) is a failure, so that the
file says what the exit status says; lesser, accepted and known ones are told in the suite's output.
A rule that broke down, and a recipe that can't be read, are errors; a rule that the studio switched
off is skipped. No times and no host: the same recipes give the same bytes.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from felt_engine import Exporter, Report, ReportedFinding, Sheet
from felt_engine.plain_text import plain

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

LEVELS = ("fault", "caution", "note")
READ = "can be read"


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """One document; written when all reports are there, because its head counts them."""
    from xml.etree import ElementTree

    root = ElementTree.Element("testsuites")
    suites = [_suite(report, sheet) for report in reports]
    root.set("name", "felt-engine")
    for key in ("tests", "failures", "errors"):
        root.set(key, str(sum(int(suite.get(key, "0")) for suite in suites)))
    root.set("time", "0")
    root.extend(suites)
    ElementTree.indent(root, " ")
    text = ElementTree.tostring(root, encoding="us-ascii").decode("ascii")
    body = text.split("?>", 1)[1].lstrip() if text.startswith("<?xml") else text
    yield f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'


def _suite(report: Report, sheet: Sheet) -> Element:
    from xml.etree.ElementTree import Element, SubElement

    suite = Element("testsuite", name=sound(report.name or report.title or "recipe"))
    SubElement(suite, "properties")
    cases = _Cases(suite, class_name(report.name or report.title or "recipe"))
    problems = [_place(p.line, p.column) + f"found {p.found}; expected {p.expected}; {p.mend}"
                for p in report.problems]  # fmt: skip
    cases.add(READ, "error", "unreadable", problems)
    stopping, rest = _sorted(report, sheet.stop_at)
    for rule in (*report.judged, *(r for r in stopping if r not in report.judged)):
        found = stopping.get(rule, [])
        level = min((f.level for f in found), key=LEVELS.index, default="")
        cases.add(rule, "failure", level, [_told(f) for f in found])
    for off in report.off:
        cases.add(off.rule, "skipped", "", [f"switched off by {off.by}: {off.why}"])
    for one in report.not_judged:
        cases.add(one.what, "error", "not judged", [f"from {one.owner}: {one.reason}"])
    if not (report.judged or report.problems or report.not_judged):
        cases.add("is judged", "error", "not judged", ["no rule looked at it"])
    suite.attrib.update({key: str(count) for key, count in cases.counts.items()}, time="0")
    SubElement(suite, "system-out").text = "\n".join(map(sound, rest))
    SubElement(suite, "system-err")
    return suite


class _Cases:
    """The test cases of one suite, and how many of them came out how."""

    def __init__(self, suite: Element, class_name: str) -> None:
        self.suite, self.class_name = suite, class_name
        self.counts = {"tests": 0, "failures": 0, "errors": 0, "skipped": 0}

    def add(self, name: str, outcome: str, kind: str, said: list[str]) -> None:
        """A case that went well, if nothing is said against it."""
        from xml.etree.ElementTree import SubElement

        self.counts["tests"] += 1
        case = SubElement(
            self.suite, "testcase", name=sound(name), classname=self.class_name, time="0"
        )
        if not said:
            return
        self.counts[outcome if outcome == "skipped" else outcome + "s"] += 1
        lines = [sound(one) for one in said]
        more = f" (and {len(lines) - 1} more)" if len(lines) > 1 else ""
        told = SubElement(case, outcome, message=lines[0] + more)
        if outcome != "skipped":
            told.set("type", kind)
            told.text = "\n".join(lines)


def _sorted(report: Report, stop_at: str) -> tuple[dict[str, list[ReportedFinding]], list[str]]:
    """Findings that stop, by rule; all else that is said, in lines."""
    stopping: dict[str, list[ReportedFinding]] = {}
    rest = []
    for one in report.findings:
        loud = LEVELS.index(one.level) <= LEVELS.index(stop_at)
        if loud and one.waived is None and not one.known:
            stopping.setdefault(one.rule, []).append(one)
            continue
        how = f"accepted ({one.waived}) " if one.waived is not None else "known " * one.known
        rest.append(f"{how}{one.level}: {one.rule}: {_told(one)}")
    rest += [f"not enough said: {r.rule}: {_place(r.spot.line)}{r.text}" for r in report.unsaid]
    return stopping, rest


def _told(finding: ReportedFinding) -> str:
    told = (
        f"{_place(finding.spot.line, finding.spot.column)}{finding.spot.thing}: {finding.message}"
    )
    told += f" {finding.do}" if finding.do else ""
    if finding.explains:
        told += " Comes of it: " + " ".join(f"{e.message} ({e.rule})" for e in finding.explains)
    return told


def _place(line: int | None, column: int | None = None) -> str:
    if not line:
        return ""
    return f"line {line}, column {column}: " if column else f"line {line}: "


def class_name(name: str) -> str:
    """A recipe's file as a dotted name: readers group by what stands before the last dot."""
    stem, ending = os.path.splitext(name.replace("\\", "/"))
    if ending.lower() not in (".yaml", ".yml"):
        stem += ending
    parts = [part.replace(".", "_") for part in stem.split("/") if part not in ("", ".", "..")]
    return sound(".".join(parts) or "recipe")


def sound(text: str) -> str:
    """On one line, and only characters that XML 1.0 allows."""
    return re.sub("[\ufffe\uffff]", lambda m: f"\\u{ord(m[0]):04x}", plain(text))


EXPORTER = Exporter(
    "junit", "JUnit XML, for a CI's list of tests: a suite a recipe, a case a rule", render, ".xml"
)
