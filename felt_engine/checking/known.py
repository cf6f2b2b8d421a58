"""Findings that are known from before: a shop takes up the check with the recipes that it has.

A finding is known if its recipe and fingerprint are, at this level or a graver one, and so is all
that hangs under it: a new finding can't hide behind an old one, nor under it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import attrs

from felt_engine.checking.report import Consequence, Report, ReportedFinding
from felt_engine.declare import LEVELS
from felt_engine.value import Value

FORMAT = 1
WHAT = "Findings of felt-engine that were there before, and that are not to stop a run"
_KEYS = {"fingerprint", "rule", "level", "thing"}


@attrs.frozen(eq=False, repr=False)
class KnownOne(Value):
    """One known finding; ``rule`` and ``thing`` are there for people to read."""

    fingerprint: str
    rule: str
    level: str
    thing: str


Known = Mapping[str, tuple[KnownOne, ...]]
"""By recipe, as the file names it."""


def known_of(report: Report) -> tuple[KnownOne, ...]:
    """All findings of a report that no waiver accepts, with what hangs under them."""
    found: list[ReportedFinding | Consequence] = []
    for finding in report.findings:
        if finding.waived is None:
            found += [finding, *finding.explains]
    return _sorted(KnownOne(f.fingerprint, f.rule, f.level, f.spot.thing) for f in found)


def _sorted(found: Iterator[KnownOne]) -> tuple[KnownOne, ...]:
    first: dict[str, KnownOne] = {}
    for one in found:
        first.setdefault(one.fingerprint, one)
    return tuple(sorted(first.values(), key=lambda k: (k.rule, k.thing, k.fingerprint)))


def marked(report: Report, known: tuple[KnownOne, ...]) -> Report:
    """The report with its known findings marked."""
    levels = {one.fingerprint: one.level for one in known}
    findings = tuple(
        attrs.evolve(f, known=True)
        if f.waived is None and _has(levels, f) and all(_has(levels, one) for one in f.explains)
        else f
        for f in report.findings
    )
    return report if findings == report.findings else attrs.evolve(report, findings=findings)


def _has(levels: Mapping[str, str], one: ReportedFinding | Consequence) -> bool:
    level = levels.get(one.fingerprint)
    return level is not None and LEVELS.index(one.level) >= LEVELS.index(level)


def standing(report: Report, known: tuple[KnownOne, ...]) -> tuple[KnownOne, ...]:
    """The known ones that are still found, no graver than they are now.

    All of them for a report that is not whole: what wasn't judged can't be said to be mended.
    """
    if report.problems or report.not_judged or not report.judged:
        return known
    now = {one.fingerprint: one.level for one in known_of(report)}
    return tuple(
        attrs.evolve(one, level=max(one.level, now[one.fingerprint], key=LEVELS.index))
        for one in known if one.fingerprint in now
    )  # fmt: skip


def to_text(known: Known) -> str:
    """Plain sorted JSON; a recipe without a known finding is left out."""
    import json

    recipes = {
        name: [
            {"fingerprint": o.fingerprint, "rule": o.rule, "level": o.level, "thing": o.thing}
            for o in known[name]
        ]
        for name in sorted(known) if known[name]
    }  # fmt: skip
    document = {"format": FORMAT, "what": WHAT, "recipes": recipes}
    text = json.dumps(document, indent=2, ensure_ascii=False) + "\n"
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def from_text(text: str) -> dict[str, tuple[KnownOne, ...]]:
    """What :func:`to_text` wrote. ValueError that says in words what is wrong with anything else."""
    import json

    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        raise ValueError(f"line {error.lineno}, column {error.colno}: this is no JSON") from None
    except RecursionError:
        raise ValueError("this is nested too deeply") from None
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise ValueError(f"this is no file of known findings of format {FORMAT}")
    recipes = document.get("recipes")
    if not isinstance(recipes, dict):
        raise ValueError("“recipes” is to be a mapping of recipes to lists of known findings")
    return {name: tuple(_ones(name, entries)) for name, entries in recipes.items()}


def _ones(name: str, entries: Any) -> Iterator[KnownOne]:
    if not isinstance(entries, list):
        raise ValueError(f"“{name}” is to have a list of known findings")
    for number, one in enumerate(entries, 1):
        place = f"“{name}”, known finding {number}"
        if not isinstance(one, dict) or set(one) != _KEYS:
            raise ValueError(f"{place}: it is to have {', '.join(sorted(_KEYS))}")
        if any(type(value) is not str for value in one.values()):
            raise ValueError(f"{place}: each of its values is to be a text")
        if one["level"] not in LEVELS:
            level = " ".join(one["level"][:60].split())
            raise ValueError(f"{place}: there is no level “{level}”")
        yield KnownOne(**one)


__all__ = ["Known", "KnownOne", "from_text", "known_of", "marked", "standing", "to_text"]
