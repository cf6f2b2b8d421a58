"""Reports as plain values and back: what the json exporter writes, and what reads it again."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import attrs

from felt_engine.checking.report import REPORT_FORMAT, Report
from felt_engine.declare import LEVELS
from felt_engine.errors import CallError
from felt_engine.value import Value

if TYPE_CHECKING:
    from cattrs import Converter


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if not isinstance(value, Value):
        return value
    fields = value.__attrs_attrs__  # type: ignore[attr-defined]
    return {f.name: _plain(getattr(value, f.name)) for f in fields if f.name != "trace"}


def report_to_plain(report: Report) -> dict[str, Any]:
    """One report as dicts, lists, text, numbers and None; the verdict is added."""
    plain = _plain(report)
    return {"name": plain.pop("name"), "verdict": report.verdict, **plain}


def report_from_plain(plain: dict[str, Any]) -> Report:
    """The report that gave these plain values. Raises CallError for anything else."""
    from cattrs.errors import ForbiddenExtraKeysError

    values = {key: value for key, value in plain.items() if key != "verdict"}
    try:
        made = _converter().structure(values, Report)
        levels = {level for one in made.findings for level in (one.level, one.rule_says or "fault")}
        if not levels <= set(LEVELS) or not all(map(_COLOUR.fullmatch, _colours(plain))):
            raise ValueError("no such level, or no such colour")
        return made
    except (
        AttributeError, ForbiddenExtraKeysError, KeyError, OverflowError, TypeError, ValueError
    ) as error:  # fmt: skip
        raise CallError(f"this is no report of format {REPORT_FORMAT}") from error


_COLOUR = re.compile("#[0-9a-f]{6}")


def _colours(plain: dict[str, Any]) -> Iterator[str]:
    """The colours of a drawing, which are put into a page as they are."""
    drawing = plain.get("drawing") or {}
    owners = [drawing.get("swatches", ())]
    for face in drawing.get("faces", ()):
        owners += [layer["placements"] for layer in face["layers"]]
        yield from (one for place in face["places"] for one in place["colours"] if one)
    yield from (one["colour"] for owned in owners for one in owned if one["colour"])


@lru_cache(maxsize=1)
def _converter() -> Converter:
    from cattrs import Converter

    from felt_engine.checking import numbers, report

    attrs.resolve_types(Report, {**vars(numbers), **vars(report)})
    converter = Converter(forbid_extra_keys=True, detailed_validation=False)
    for kind, also in ((str, ()), (bool, ()), (int, ()), (float, (int,))):
        converter.register_structure_hook(kind, _only(kind, *also))
    return converter


def _only(*kinds: type) -> Callable[[Any, Any], Any]:
    """A hook that takes a value of just these kinds, and turns it into the first."""

    def take(value: Any, _: Any) -> Any:
        if type(value) not in kinds:
            raise TypeError(f"{type(value).__name__} where {kinds[0].__name__} is wanted")
        return kinds[0](value)

    return take


def reports_from_json(text: str) -> tuple[Report, ...]:
    """All reports in a document of the json exporter."""
    import json

    if not isinstance(text, (str, bytes, bytearray)):
        kind = type(text).__name__
        raise TypeError(f"expected the text of a report in JSON, and not {kind}")
    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        raise CallError(f"this is no JSON: {error}") from None
    except (ValueError, RecursionError):
        raise CallError("this is no report: a number is too long, or it goes too deep") from None
    if not isinstance(document, dict) or document.get("format") != REPORT_FORMAT:
        raise CallError(f"this is no report of format {REPORT_FORMAT}")
    reports = document.get("reports")
    if not isinstance(reports, list) or not all(isinstance(one, dict) for one in reports):
        raise CallError("this has no list of reports")
    return tuple(report_from_plain(one) for one in reports)


__all__ = ["report_from_plain", "report_to_plain", "reports_from_json"]
