"""sarif: findings for a forge or an editor, as SARIF 2.1.0 (OASIS) describes them."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from typing import Any

from felt_engine import (
    Consequence,
    Exporter,
    NotJudged,
    Problem,
    Report,
    ReportedFinding,
    RuleText,
    Sheet,
    Spot,
    __version__,
)
from felt_engine.plain_text import plain, unheeded_json

Plain = dict[str, Any]

LEVELS = {"fault": "error", "caution": "warning", "note": "note"}
SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
FINGERPRINT = "feltFinding/v1"
NOTICES = {
    "unreadable": "A recipe could not be read, so that nothing in it was judged",
    "not-judged": "A rule, or a whole plugin, broke down, so that something was not judged",
    "switched-off": "The studio file switches a rule off",
    "studio": "The recipe was judged by a studio's own numbers",
}
OWN = {
    "on-purpose": "What a recipe says is on purpose excuses something",
    "waivers": "Every waiver of a recipe accepts something",
}
"""What the engine itself looks at; it has no page."""


def render(reports: Iterable[Report], sheet: Sheet) -> Iterator[str]:
    """One document with one run; written when all reports are there."""
    import json

    text = json.dumps(_Run(sheet).of(reports), indent=1, ensure_ascii=True, allow_nan=False)
    yield unheeded_json(text) + "\n"


class _Run:
    def __init__(self, sheet: Sheet) -> None:
        self.rules: list[Plain] = [
            {
                **_descriptor(one.id, _should_be(one.title), one.purpose, _page(one)),
                "properties": {"from": _sound(one.owner)},
            }
            for one in sheet.rules
        ]
        self.index = {one["id"]: number for number, one in enumerate(self.rules)}
        self.results: list[Plain] = []
        self.failed: list[Plain] = []
        self.broke: dict[NotJudged, list[str]] = {}
        self.house: dict[tuple[str, str], list[str]] = {}
        self.any_known = False

    def of(self, reports: Iterable[Report]) -> Plain:
        for report in reports:
            self.add(report)
        if not self.any_known:
            for result in self.results:
                del result["baselineState"]
        self.failed += [_broke(one, names) for one, names in self.broke.items()]
        house = [_notice(*said, _files(names), "note") for said, names in self.house.items()]
        driver = {
            "name": "felt-engine",
            "fullName": f"felt-engine {__version__}",
            "version": __version__,
            "rules": self.rules,
            "notifications": [_descriptor(key, text, text) for key, text in NOTICES.items()],
        }
        invocation = {
            "executionSuccessful": not self.failed,
            "toolExecutionNotifications": [*self.failed, *house],
        }
        run = {
            "tool": {"driver": driver},
            "automationDetails": {"id": "felt-engine/"},
            "invocations": [invocation],
            "columnKind": "unicodeCodePoints",
            "results": self.results,
        }
        return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}

    def add(self, report: Report) -> None:
        self.any_known = self.any_known or bool(report.known)
        self.failed += [_unreadable(report.name, one) for one in report.problems]
        for one in report.not_judged:
            self.broke.setdefault(one, []).append(report.name)
        if not report.judged and not report.problems and not report.not_judged:
            self.broke.setdefault(
                NotJudged("every rule", "", "", "no rule looked at it"), []
            ).append(report.name)
        for said in _house(report):
            self.house.setdefault(said, []).append(report.name)
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
            found["properties"] = {"sum": _sound(finding.how)}
        return found

    def number(self, rule: str) -> int:
        """The rule's place in the list; the engine's own notes have no page, and are added."""
        if rule not in self.index:
            self.index[rule] = len(self.rules)
            text = OWN.get(rule, rule)
            self.rules.append(_descriptor(rule, _should_be(text) if rule in OWN else text, text))
        return self.index[rule]


def _descriptor(key: str, short: str, full: str, page: Plain | None = None) -> Plain:
    """What a rule or a notice is; forges want each of these, and a name that isn't the id."""
    parts = re.findall(r"[^\W_]+", key)
    return {
        "id": _sound(key),
        "name": "".join(("Felt", *(part[:1].upper() + part[1:] for part in parts))),
        "shortDescription": _message(short),
        "fullDescription": _message(full),
        "help": page or _message(full),
    }


def _should_be(title: str) -> str:
    """A rule's title says what is right, but a forge shows it as the heading of what is wrong."""
    return f"Should be so: {title[:1].lower()}{title[1:]}"


def _page(rule: RuleText) -> Plain:
    page = _message(rule.help)
    if rule.markdown:
        page["markdown"] = _braced(_sound(rule.markdown))
    return page


def _house(report: Report) -> Iterator[tuple[str, str]]:
    for off in report.off:
        yield "switched-off", f"{off.rule} is switched off by {off.by}: {off.why}"
    if report.studio is not None:
        yield "studio", f"Judged by the numbers of {report.studio.name} ({report.studio.file})"


def _told(finding: ReportedFinding) -> str:
    told = " ".join(part for part in (finding.message, finding.do) if part)
    if finding.explains:
        told += " Comes of it: " + " ".join(f"{e.message} ({e.rule})" for e in finding.explains)
    return told


def _suppressions(finding: ReportedFinding) -> list[Plain]:
    found = []
    if finding.waived is not None:
        why = _sound(finding.waived)
        found.append({"kind": "inSource", "status": "accepted", "justification": why})
    if finding.known:
        why = "Known before, by the file of known findings"
        found.append({"kind": "external", "status": "accepted", "justification": why})
    return found


def _related(name: str, number: int, one: Consequence) -> Plain:
    return {"id": number, **_location(name, one.spot), "message": _message(one.message)}


def _location(name: str, spot: Spot) -> Plain:
    logical = {
        "name": _sound(spot.thing), "fullyQualifiedName": _sound(spot.pointer), "kind": "object"
    }  # fmt: skip
    return {**_physical(name, spot.line, spot.column), "logicalLocations": [logical]}


def _physical(name: str, line: int | None = None, column: int | None = None) -> Plain:
    """Where in a file; nothing for a recipe that is in no file, since a URI is never empty."""
    if not name:
        return {}
    found: Plain = {"artifactLocation": {"uri": uri(name)}}
    if line:
        found["region"] = {"startLine": line, **({"startColumn": column} if column else {})}
    return {"physicalLocation": found}


def _files(names: Iterable[str]) -> list[Plain]:
    return [_physical(name) for name in dict.fromkeys(names) if name]


def _unreadable(name: str, one: Problem) -> Plain:
    text = f"Could not be read: found {one.found}; expected {one.expected}; {one.mend}."
    place = _physical(name, one.line, one.column)
    return _notice("unreadable", text, [place] if place else [])


def _broke(one: NotJudged, names: list[str]) -> Plain:
    told = f"Not judged: {one.what}, from {one.owner}: {one.reason}".replace(", from :", ":")
    return _notice("not-judged", told, _files(names))


def _notice(kind: str, text: str, places: list[Plain], level: str = "error") -> Plain:
    at = {"id": kind, "index": list(NOTICES).index(kind)}
    return {"level": level, "descriptor": at, "message": _message(text), "locations": places}


def _message(text: str) -> Plain:
    """A message object, in which nothing is taken for a placeholder or a link."""
    text = _braced(_sound(text)).replace("](", "] (")
    return {"text": text if text.strip() else "-"}


def _braced(text: str) -> str:
    return text.replace("{", "{{").replace("}", "}}")


def _sound(text: str) -> str:
    """Nothing hidden in it; its lines stay lines."""
    return "\n".join(plain(line) for line in text.split("\n"))


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
