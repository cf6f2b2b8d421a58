"""Findings that are known from before: a shop takes up the check with the recipes that it has.

A finding is known if its recipe and fingerprint are, at this level or a graver one, reaching as far or
further; and if so is all that hangs under it. A new finding can't hide behind an old one, nor under
it: each known one accepts one finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import attrs

from felt_engine.checking.fingerprint import digest
from felt_engine.checking.reach import within
from felt_engine.checking.report import Consequence, Report, ReportedFinding
from felt_engine.declare import LEVELS
from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class KnownOne(Value):
    """One known finding; ``rule`` and ``thing`` are there for people to read."""

    fingerprint: str
    rule: str
    level: str
    thing: str
    at: tuple[str, ...] = ()


Known = Mapping[str, tuple[KnownOne, ...]]
"""By recipe, as the file names it."""
Told = ReportedFinding | Consequence


def known_of(report: Report) -> tuple[KnownOne, ...]:
    """All findings of a report that no waiver accepts, with what hangs under them."""
    return in_order(_known(one) for one in _told(report))


def _told(report: Report) -> list[Told]:
    found: list[Told] = []
    for finding in report.findings:
        if finding.waived is None:
            found += [finding, *finding.explains]
    return found


def _known(one: Told) -> KnownOne:
    return KnownOne(one.fingerprint, one.rule, one.level, one.spot.thing, one.reach)


def in_order(found: Iterable[KnownOne]) -> tuple[KnownOne, ...]:
    """Sorted for people; of two with one fingerprint the one that accepts less."""
    least: dict[str, KnownOne] = {}
    for one in sorted(found, key=_least_first):
        least.setdefault(one.fingerprint, one)
    return tuple(sorted(least.values(), key=lambda k: (k.rule, k.thing, k.fingerprint)))


def _least_first(known: KnownOne) -> tuple[int, int, tuple[str, ...], str]:
    """What accepts less comes first, whichever way the lines of a file stand."""
    return -LEVELS.index(known.level), len(known.at), known.at, known.fingerprint


def marked(report: Report, known: tuple[KnownOne, ...]) -> Report:
    """The report with its known findings marked."""
    accepted = {id(one) for one in _matched(report, known)[0]}
    findings = tuple(
        attrs.evolve(f, known=True)
        if f.waived is None and all(id(one) in accepted for one in (f, *f.explains)) else f
        for f in report.findings
    )  # fmt: skip
    return report if findings == report.findings else attrs.evolve(report, findings=findings)


def standing(report: Report, known: tuple[KnownOne, ...]) -> tuple[KnownOne, ...]:
    """The known ones that are still found, no graver and no wider than they are now.

    All of them for a report that is not whole: what wasn't judged can't be said to be mended.
    """
    if report.problems or report.not_judged or not report.judged:
        return known
    accepted, worse = _matched(report, known)
    return in_order((*map(_known, accepted), *worse))


def _matched(
    report: Report, known: tuple[KnownOne, ...]
) -> tuple[list[Told], list[KnownOne]]:  # fmt: skip
    """The findings that a known one accepts; and known ones that are there still, but grew worse.

    Equal fingerprints but for their number are one family; the gravest and widest chooses first.
    """
    told = list({id(one): one for one in _told(report)}.values())
    family = _families({one.fingerprint for one in (*told, *known)})
    told.sort(key=lambda one: (LEVELS.index(one.level), -len(one.reach)))
    left = sorted(known, key=_least_first)
    accepted: list[Told] = []
    refused: dict[str, list[Told]] = {}
    for one in told:
        root = family[one.fingerprint]
        fits = [k for k in left if family[k.fingerprint] == root and _accepts(k, one)]
        if fits:
            left.remove(fits[0])
            accepted.append(one)
        else:
            refused.setdefault(root, []).append(one)
    worse = [
        attrs.evolve(k, fingerprint=refused[family[k.fingerprint]].pop(0).fingerprint)
        for k in left if refused.get(family[k.fingerprint])
    ]  # fmt: skip
    return accepted, worse


def _accepts(known: KnownOne, one: Told) -> bool:
    no_graver = LEVELS.index(one.level) >= LEVELS.index(known.level)
    return no_graver and within(one.reach, known.at)


def _families(fingerprints: set[str]) -> dict[str, str]:
    """For each fingerprint the one that it is numbered from, or itself."""
    family = {one: one for one in fingerprints}
    for one in fingerprints:
        for child in _numbered(one, len(fingerprints)):
            if child in family:
                family[child] = one
    return family


def _numbered(one: str, most: int) -> Iterator[str]:
    for number in range(2, most + 2):
        yield digest((one, str(number)))


__all__ = ["Known", "KnownOne", "in_order", "known_of", "marked", "standing"]
