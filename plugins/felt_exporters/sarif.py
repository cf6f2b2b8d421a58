"""sarif: findings for a forge or an editor, as SARIF 2.1.0 (OASIS) describes them."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from typing import Any

from felt_engine import (
    Consequence,
    Exporter,
    NotJudged,
    Problem,
    Report,
    ReportedFinding,
    Sheet,
    Spot,
    __version__,
)

Plain = dict[str, Any]

LEVELS = {"fault": "error", "caution": "warning", "note": "note"}
SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
FINGERPRINT = "feltFinding/v1"
NOTICES = {
    "unreadable": "A recipe could not be read, so that nothing in it was judged",
    "not-judged": "A rule, or a whole plugin, broke down, so that something was not judged",
}


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """One document with one run; written when all reports are there."""
    import json

    yield json.dumps(_Run(sheet).of(reports), indent=1, ensure_ascii=True, allow_nan=False) + "\n"


class _Run:
    def __init__(self, sheet: Sheet) -> None:
        self.rules: list[Plain] = [
            {
                "id": one.id,
                "shortDescription": _message(one.title),
                "fullDescription": _message(one.purpose),
                "help": _message(one.help),
                "properties": {"from": one.owner},
            }
            for one in sheet.rules
        ]
        self.index = {one["id"]: number for number, one in enumerate(self.rules)}
        self.results: list[Plain] = []
        self.notices: list[Plain] = []
        self.broke: dict[NotJudged, list[str]] = {}
        self.any_known = False

    def of(self, reports: Iterable[Report]) -> Plain:
        for report in reports:
            self.add(report)
        if not self.any_known:
            for result in self.results:
                del result["baselineState"]
        for one, names in self.broke.items():
            self.notices.append(_broke(one, names))
        driver = {
            "name": "felt-engine",
            "version": __version__,
            "rules": self.rules,
            "notifications": [
                {"id": key, "shortDescription": _message(text)} for key, text in NOTICES.items()
            ],
        }
        invocation = {
            "executionSuccessful": not self.notices,
            "toolExecutionNotifications": self.notices,
        }
        run = {
            "tool": {"driver": driver},
            "invocations": [invocation],
            "columnKind": "unicodeCodePoints",
            "results": self.results,
        }
        return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}

    def add(self, report: Report) -> None:
        self.any_known = self.any_known or bool(report.known)
        self.notices += [_unreadable(report.name, one) for one in report.problems]
        for one in report.not_judged:
            self.broke.setdefault(one, []).append(report.name)
        if not report.judged and not report.problems and not report.not_judged:
            self.broke.setdefault(
                NotJudged("every rule", "", "", "no rule looked at it"), []
            ).append(report.name)
        self.results += [self.result(report, one) for one in report.findings]

    def result(self, report: Report, finding: ReportedFinding) -> Plain:
        found: Plain = {
            "ruleId": finding.rule,
            "ruleIndex": self.number(finding.rule),
            "level": LEVELS[finding.level],
            "message": _message(_told(finding)),
            "locations": [_location(report.name, finding.spot)],
            "baselineState": "unchanged" if finding.known else "new",
            "suppressions": _suppressions(finding),
        }
        if finding.fingerprint:
            found["partialFingerprints"] = {FINGERPRINT: finding.fingerprint}
        if finding.explains:
            found["relatedLocations"] = [
                _related(report.name, number, one) for number, one in enumerate(finding.explains, 1)
            ]
        if finding.how:
            found["properties"] = {"sum": finding.how}
        return found

    def number(self, rule: str) -> int:
        """The rule's place in the list; the engine's own notes have no page, and are added."""
        if rule not in self.index:
            self.index[rule] = len(self.rules)
            self.rules.append({"id": rule})
        return self.index[rule]


def _told(finding: ReportedFinding) -> str:
    told = " ".join(part for part in (finding.message, finding.do) if part)
    if finding.explains:
        told += " Comes of it: " + " ".join(f"{e.message} ({e.rule})" for e in finding.explains)
    return told


def _suppressions(finding: ReportedFinding) -> list[Plain]:
    found = []
    if finding.waived is not None:
        found.append({"kind": "inSource", "status": "accepted", "justification": finding.waived})
    if finding.known:
        why = "Known before, by the file of known findings"
        found.append({"kind": "external", "status": "accepted", "justification": why})
    return found


def _related(name: str, number: int, one: Consequence) -> Plain:
    return {"id": number, **_location(name, one.spot), "message": _message(one.message)}


def _location(name: str, spot: Spot) -> Plain:
    logical = {"name": spot.thing, "fullyQualifiedName": spot.pointer, "kind": "object"}
    return {
        "physicalLocation": _physical(name, spot.line, spot.column),
        "logicalLocations": [logical],
    }


def _physical(name: str, line: int | None = None, column: int | None = None) -> Plain:
    found: Plain = {"artifactLocation": {"uri": uri(name)}}
    if line:
        found["region"] = {"startLine": line, **({"startColumn": column} if column else {})}
    return found


def _unreadable(name: str, one: Problem) -> Plain:
    text = f"Could not be read: found {one.found}; expected {one.expected}; {one.mend}."
    place = {"physicalLocation": _physical(name, one.line, one.column)}
    return _notice("unreadable", text, [place])


def _broke(one: NotJudged, names: list[str]) -> Plain:
    told = f"Not judged: {one.what}, from {one.owner}: {one.reason}".replace(", from :", ":")
    places = [{"physicalLocation": _physical(name)} for name in dict.fromkeys(names)]
    return _notice("not-judged", told, places)


def _notice(kind: str, text: str, places: list[Plain]) -> Plain:
    at = {"id": kind, "index": list(NOTICES).index(kind)}
    return {"level": "error", "descriptor": at, "message": _message(text), "locations": places}


def _message(text: str) -> Plain:
    """A message object: braces doubled and brackets escaped, which else would be placeholders and links."""
    text = text.replace("\\", "\\\\").replace("{", "{{").replace("}", "}}")
    return {"text": text.replace("[", "\\[").replace("]", "\\]") or "-"}


def uri(name: str) -> str:
    """A file's name as a relative URI reference, percent-encoded; absolute only outside this folder."""
    from urllib.parse import quote_from_bytes

    if os.path.isabs(name):
        inside = os.path.relpath(name)
        name = name if inside.startswith("..") else inside
    name = name.replace("\\", "/") if os.sep == "\\" else name
    absolute = os.path.isabs(name)
    while name.startswith("./"):
        name = name[2:].lstrip("/")
    try:
        raw = name.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:
        raw = name.encode("utf-8", "surrogatepass")
    quoted = quote_from_bytes(raw, safe="/~")
    return ("file:///" + quoted.lstrip("/")) if absolute else quoted or "."


EXPORTER = Exporter(
    "sarif",
    "SARIF 2.1.0, for forges and editors that show findings at their line",
    render,
    ".sarif",
)
