"""The JSON Schema of the report, made from the classes that it is written from."""

from __future__ import annotations

import types
import typing
from typing import Any

import attrs

from felt_engine.checking import drawn as _drawn
from felt_engine.checking import numbers as _numbers
from felt_engine.checking import report as _report
from felt_engine.checking.report import REPORT_FORMAT, Report
from felt_engine.declare import LEVELS, Figure
from felt_engine.errors import Problem

ABOUT = {
    "Report": "All that is said of one recipe.",
    "Figure": "A number with its name and unit; an empty unit is a bare ratio or index.",
    "Problem": "One thing in the file that could not be read. Lines and columns count from 1.",
}
VERDICTS = ("right", "note", "known", "caution", "fault", "not judged", "unreadable")


def report_schema() -> dict[str, Any]:
    """The schema as plain values (JSON Schema draft 2020-12)."""
    defs: dict[str, Any] = {}
    reports = _schema(tuple[Report, ...], defs)
    one = defs["Report"]
    one["properties"] = {"verdict": {"enum": list(VERDICTS)}, **one["properties"]}
    one["required"].append("verdict")
    defs["ReportedFinding"]["properties"]["level"] = {"enum": list(LEVELS)}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:felt-engine:report:{REPORT_FORMAT}",
        "title": "Reports of the felt engine",
        "type": "object",
        "properties": {
            "format": {"const": REPORT_FORMAT, "description": "Version of this format."},
            "engine": {"type": "string", "description": "Release of the engine."},
            "reports": {**reports, "description": "One report a recipe, in the order given."},
        },
        "required": ["format", "engine", "reports"],
        "additionalProperties": False,
        "$defs": dict(sorted(defs.items())),
    }


def _schema(kind: Any, defs: dict[str, Any]) -> dict[str, Any]:
    if attrs.has(kind):
        return _record(kind, defs)
    origin, arguments = typing.get_origin(kind), typing.get_args(kind)
    if origin is tuple:
        return {"type": "array", "items": _schema(arguments[0], defs)}
    if origin in (types.UnionType, typing.Union):
        inner = next(a for a in arguments if a is not type(None))
        found = _schema(inner, defs)
        if "$ref" in found:
            return {"anyOf": [found, {"type": "null"}]}
        return {"type": [found["type"], "null"]}
    return {"type": {str: "string", int: "integer", float: "number", bool: "boolean"}[kind]}


def _record(kind: type, defs: dict[str, Any]) -> dict[str, Any]:
    name = kind.__name__
    if name not in defs:
        found: dict[str, Any] = {"type": "object", "description": _about(kind)}
        defs[name] = found
        hints = typing.get_type_hints(
            kind,
            {
                **vars(_drawn),
                **vars(_numbers),
                **vars(_report),
                "Figure": Figure,
                "Problem": Problem,
            },
        )
        fields = [field.name for field in attrs.fields(kind) if field.name != "trace"]
        found["properties"] = {field: _schema(hints[field], defs) for field in fields}
        found["required"] = fields
        found["additionalProperties"] = False
    return {"$ref": f"#/$defs/{name}"}


def _about(kind: type) -> str:
    text = ABOUT.get(kind.__name__) or (kind.__doc__ or "").split("\n\n")[0]
    return " ".join(text.replace("``", "").split())


def main() -> None:
    """Write ``schemas/report.schema.json`` below the current folder."""
    import json
    from pathlib import Path

    text = json.dumps(report_schema(), indent=2, ensure_ascii=False) + "\n"
    Path("schemas/report.schema.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
