"""Purposes and waivers that match nothing: a note each, so that nobody trusts a misspelt one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from felt_engine.checking.fingerprint import digest
from felt_engine.checking.former import Former
from felt_engine.checking.report import Intent, ReportedFinding
from felt_engine.checking.rulebook import Judged, Shelved


def unmatched(
    purposes: Iterable[Intent], waivers: Iterable[Intent], judged: list[Judged],
    resting: Iterable[Shelved] = (), former: Mapping[str, Former] | None = None,
) -> Iterator[ReportedFinding]:  # fmt: skip
    """Notes on what matched nothing, and on waivers that call a rule by a name of old.

    A rule that broke down, or was switched off, may have matched: no note then. Nor is there one on
    a known purpose of the whole: it names no place that could be wrong.
    """
    off = [one.rule for one in resting]
    every = [*(one.shelved.rule for one in judged), *off]
    broke = any(one.broke for one in judged)
    words = {word for rule in every for word in rule.purposes}
    resting_words = {word for rule in off for word in rule.purposes}
    rules = {rule.id for rule in every}
    broken = {one.shelved.rule.id for one in judged if one.broke} | {rule.id for rule in off}
    for intent in purposes:
        if intent.what not in words:
            yield _unknown("on-purpose", intent, words, "purpose")
        elif intent.matched or broke or intent.what in resting_words or intent.where == "whole":
            continue  # said of the whole it tells a reader what is meant, needed or not
        else:
            yield _idle("on-purpose", intent)
    for intent in waivers:
        was = (former or {}).get(intent.what)
        if was is not None and intent.what not in rules:
            yield _by_old_name(intent, was)
        name = was.now if was is not None and was.now else intent.what
        if name not in rules:
            if was is None:
                yield _unknown("waivers", intent, rules, "rule")
        elif not intent.matched and name not in broken:
            yield _idle("waivers", intent)


def _unknown(kind: str, intent: Intent, known: set[str], what: str) -> ReportedFinding:
    from felt_engine.suggest import did_you_mean

    otherwise = "the words known here: " + ", ".join(sorted(known))
    return ReportedFinding(
        kind, "note", intent.spot, f"No {what} is called “{intent.what}”, so this excuses nothing.",
        did_you_mean(intent.what, known, otherwise).capitalize() + ".",
        fingerprint=_fingerprint(kind, "unknown", intent),
    )  # fmt: skip


def _by_old_name(intent: Intent, was: Former) -> ReportedFinding:
    excuses = "This waiver excuses nothing." if was.now is None else "The waiver holds."
    mend = "Take it out." if was.now is None else f"Write {was.now}."
    return ReportedFinding(
        "waivers", "note", intent.spot, f"{was.told} {excuses}", mend,
        fingerprint=_fingerprint("waivers", "old name", intent),
    )  # fmt: skip


def _idle(kind: str, intent: Intent) -> ReportedFinding:
    at = f"at “{intent.where}”"
    if kind == "waivers":
        at = "about the piece as a whole" if intent.where == "whole" else f"wholly {at}"
    return ReportedFinding(
        kind, "note", intent.spot, f"There is nothing {at} that “{intent.what}” would excuse.",
        "Check the place that it names, or take it out.",
        fingerprint=_fingerprint(kind, "idle", intent),
    )  # fmt: skip


def _fingerprint(kind: str, why: str, intent: Intent) -> str:
    return digest(("intent", kind, why, intent.what, intent.where))
