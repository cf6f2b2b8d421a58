"""The rules of one run, and the guard that each of them runs in."""

from __future__ import annotations

import re
import time
import traceback
from collections.abc import Callable, Collection, Mapping
from typing import TYPE_CHECKING

import attrs

from felt_engine.analysis.build import Build
from felt_engine.checking.accept import accept
from felt_engine.checking.bench import Again, Bench
from felt_engine.checking.former import Former
from felt_engine.checking.report import NotJudged
from felt_engine.declare import Finding, Rule, Said, Seen
from felt_engine.model.intent import Purpose
from felt_engine.model.recipe import Recipe
from felt_engine.value import Value

if TYPE_CHECKING:
    from felt_engine.checking.house import Resting

SLOW = 2.0
"""Seconds from which a rule is called slow: no recipe of a studio's should keep one that long."""

_FOLDERS = re.compile(r"(?<![\w.])(?:[A-Za-z]:)?[\\/](?:[^\\/\s'\"():,]+[\\/])+")
_ADDRESS = re.compile(r" at 0x[0-9a-fA-F]+")

MOST_SAID = 2_000
"""Most things that one rule may say of one recipe; more is a breakdown of the rule."""


@attrs.frozen(eq=False, repr=False)
class Shelved(Value):
    """A rule in the rule book, and the package that it came from."""

    rule: Rule
    package: str
    version: str

    @property
    def owner(self) -> str:
        """The package and its version, or the name of a rule file."""
        return f"{self.package} {self.version}".strip()


@attrs.frozen(eq=False, repr=False)
class RuleBook(Value):
    """Rules in the order of their ids; ``limits`` holds values set by the caller, by rule id.

    ``resting`` are those that were switched off; ``levels`` are the lowest and the highest level
    that a rule's findings may have, by rule id. ``former`` are ids that rules had.
    """

    rules: tuple[Shelved, ...]
    limits: Mapping[str, Mapping[str, float]] = attrs.field(factory=dict)
    resting: tuple[Resting, ...] = ()
    levels: Mapping[str, tuple[str | None, str | None]] = attrs.field(factory=dict)
    former: Mapping[str, Former] = attrs.field(factory=dict)

    def get(self, rule_id: str) -> Shelved | None:
        """The rule with this id, also one that was switched off."""
        every = (*self.rules, *(one.shelved for one in self.resting))
        return next((s for s in every if s.rule.id == rule_id), None)


@attrs.frozen(eq=False, repr=False)
class Judged(Value):
    """What one rule said, the purposes that it used, and why it broke down, if it did.

    ``seconds`` is how long it took: measured on every run, and kept out of the report.
    """

    shelved: Shelved
    said: tuple[Said, ...] = ()
    used: tuple[Purpose, ...] = ()
    broke: NotJudged | None = None
    seconds: float = attrs.field(default=0.0, eq=False, repr=False)


def judge_all(book: RuleBook, build: Build, measure: Callable[[Recipe], Build]) -> list[Judged]:
    """Run every rule: first those that only look at the build, then those that reconsider."""

    def first_round(
        looked_at: Build, rules: Collection[str] | None = None, unread: bool = False
    ) -> list[Judged]:
        return [
            judge(s, looked_at, book.limits.get(s.rule.id, {}), unread=unread)
            for s in book.rules
            if not s.rule.reconsiders and (rules is None or s.rule.id in rules)
        ]  # fmt: skip

    def again(recipe: Recipe, rules: Collection[str] | None) -> tuple[Seen, ...]:
        return _seen(first_round(measure(recipe), rules, unread=True))

    judged = first_round(build)
    found = _seen(judged)
    for shelved in book.rules:
        if shelved.rule.reconsiders:
            limits = book.limits.get(shelved.rule.id, {})
            judged.append(judge(shelved, build, limits, found, again))
    return judged


def _seen(judged: list[Judged]) -> tuple[Seen, ...]:
    return tuple(
        (one.shelved.rule.id, said)
        for one in judged for said in one.said if isinstance(said, Finding)
    )  # fmt: skip


def judge(
    shelved: Shelved, build: Build, limits: Mapping[str, float], found: tuple[Seen, ...] = (),
    again: Again | None = None, unread: bool = False,
) -> Judged:  # fmt: skip
    """Run one rule in its guard: whatever it raises, the others still report.

    Only an interrupt from the keyboard passes. A rule that breaks down says nothing at all.
    """
    start = time.perf_counter()
    try:
        bench = Bench(shelved.rule, build, limits, found, again, unread)
        said = []
        for one in shelved.rule.judge(bench):
            said.append(accept(one, build))
            if len(said) > MOST_SAID:
                raise ValueError(f"it said more than {MOST_SAID} things")
        took = time.perf_counter() - start
        return Judged(shelved, tuple(said), tuple(bench.used), seconds=took)
    except KeyboardInterrupt:
        raise
    except BaseException as error:
        took = time.perf_counter() - start
        return Judged(shelved, broke=_breakdown(shelved, error), seconds=took)


def _breakdown(shelved: Shelved, error: BaseException) -> NotJudged:
    return NotJudged(
        shelved.rule.id, shelved.package, shelved.version, reason_of(error),
        "".join(traceback.format_exception(error)),
    )  # fmt: skip


class NotLoaded(OSError):
    """A rule file that can't be loaded for a reason that its text says in full."""


def reason_of(error: BaseException) -> str:
    """One line that says what went wrong, whatever the exception does when asked.

    Folders and addresses are left out: they differ from one machine, and one run, to the next.
    """
    try:
        text = _ADDRESS.sub("", _FOLDERS.sub("", " ".join(str(error).split())))[:300]
    except BaseException:
        text = "(it could not say what)"
    name = type(error).__name__
    if isinstance(error, SystemExit):
        return f"it tried to end the program ({name} {text})".strip()
    if isinstance(error, NotLoaded):
        return text
    return f"{name}: {text}" if text else name
