"""The json exporter: valid by its own schema, strict, streamed, and read back whole."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from kit import BROKEN, GROUND, ROOT, UNCROSSED

import felt_engine
from felt_engine import Report

jsonschema = pytest.importorskip("jsonschema")
SCHEMA = json.loads((ROOT / "schemas" / "report.schema.json").read_text(encoding="utf-8"))
TEXTS = [
    GROUND,
    UNCROSSED,
    BROKEN,
    "",
    "a: b",
    GROUND.replace("Twelve inch ground", "😀 </script>"),
]


def refuse(text: str) -> None:
    raise ValueError(text)


def test_valid_strict_and_read_back() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    reports = [felt_engine.look(text, name=f"{k}.yaml") for k, text in enumerate(TEXTS)]
    text = felt_engine.export(reports, "json")
    assert text.isascii()
    document = json.loads(text, parse_constant=refuse)
    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    assert felt_engine.report_from_json(text) == tuple(reports)
    verdicts = [report["verdict"] for report in document["reports"]]
    assert verdicts == ["right", "fault", "unreadable", "unreadable", "unreadable", "right"]


def test_no_reports_is_an_empty_list() -> None:
    assert json.loads(felt_engine.export([], "json"))["reports"] == []


def test_reports_are_written_as_they_come() -> None:
    seen: list[int] = []

    def source() -> Iterator[Report]:
        for number in range(3):
            seen.append(number)
            yield felt_engine.look(GROUND, name=str(number))

    from felt_engine.api import default_engine

    pieces = default_engine().render(source(), "json")
    next(pieces)
    assert seen == []
    next(pieces)
    assert seen == [0]


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"format": 2, "reports": []}', '{"format": 1}'])
def test_what_is_no_report_is_refused(text: str) -> None:
    with pytest.raises(felt_engine.CallError):
        felt_engine.report_from_json(text)


def test_a_report_with_a_wrong_field_is_refused() -> None:
    document = json.loads(felt_engine.export(felt_engine.check(GROUND), "json"))
    document["reports"][0]["colour"] = "red"
    with pytest.raises(felt_engine.CallError):
        felt_engine.report_from_json(json.dumps(document))
