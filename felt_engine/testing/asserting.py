"""What a rule says of a recipe, and assertions on it whose failures show the recipe."""

from __future__ import annotations

import types
from collections.abc import Iterable
from typing import Any

import attrs

from felt_engine import (
    Caution,
    Consequence,
    Engine,
    Exporter,
    FibreEntry,
    NotJudged,
    Plugins,
    Remark,
    Report,
    ReportedFinding,
    Rule,
    UseEntry,
    hook,
)

_KINDS: dict[type, str] = {
    Rule: "felt_engine_rules",
    Exporter: "felt_engine_exporters",
    FibreEntry: "felt_engine_fibres",
    UseEntry: "felt_engine_uses",
    Caution: "felt_engine_cautions",
}


@attrs.frozen
class Heard:
    """What one rule said of one recipe, and the whole report.

    ``findings`` has those that a waiver accepts too, and those that are told under their cause.
    """

    rule: Rule
    text: str
    findings: tuple[ReportedFinding | Consequence, ...]
    unsaid: tuple[Remark, ...]
    tips: tuple[Remark, ...]
    report: Report

    @property
    def standing(self) -> tuple[ReportedFinding | Consequence, ...]:
        """Findings that no waiver accepts."""
        return tuple(f for f in self.findings if getattr(f, "waived", None) is None)

    def __str__(self) -> str:
        """The recipe, with all that was said of it written in at its line."""
        notes: dict[int, list[str]] = {}
        for f in self.findings:
            notes.setdefault(f.spot.line or 0, []).append(f"{f.level}: {f.message}")
        for word, remarks in (("not enough said", self.unsaid), ("tip", self.tips)):
            for one in remarks:
                notes.setdefault(one.spot.line or 0, []).append(f"{word}: {one.text}")
        lines = [f"  >> {note}" for note in notes.pop(0, [])]
        for number, line in enumerate(self.text.splitlines(), 1):
            lines.append(f"  {line}")
            lines += [f"  >> {note}" for note in notes.get(number, [])]
        return "\n".join(lines)


def engine_of(*things: Any, studio: Any = None) -> Engine:
    """An engine with the built-in plugins and these, and no others that happen to be installed.

    Each is a module (or object) with hooks, or a Rule, Exporter, FibreEntry, UseEntry or Caution. A
    rule that a module hands over too counts once. AssertionError if one is refused. ``studio`` is a
    studio file, or its text.
    """
    plugins = Plugins.built_in()
    modules = [one for one in things if type(one) not in _KINDS]
    for number, module in enumerate(modules):
        name = str(getattr(module, "__name__", f"trial {number}"))
        try:
            plugins.register(module, f"trial:{number}:{name}", name, "")
        except ValueError as error:
            raise AssertionError(f"{name} is refused: {error}") from None
    plugins.pending()
    engine = Engine(plugins)
    single = [one for one in things if type(one) in _KINDS and not _there(one, engine)]
    if single:
        plugins.register(_holder(single), "trial:single", "trial", "")
        engine = Engine(plugins)
    _sound(engine.broke)
    return Engine(plugins, studio=studio) if studio is not None else engine


def _there(one: Any, engine: Engine) -> bool:
    known = engine.rule_book.get(one.id) if type(one) is Rule else None
    return known is not None and known.rule == one


def _holder(things: list[Any]) -> object:
    hooks: dict[str, Any] = {}
    for kind, name in _KINDS.items():
        some = tuple(dict.fromkeys(one for one in things if type(one) is kind))
        if some:
            hooks[name] = hook(lambda some=some: some)
    return types.SimpleNamespace(**hooks)


def _sound(broke: Iterable[NotJudged]) -> None:
    for one in broke:
        raise AssertionError(f"{one.what}, from {one.owner}, broke down: {one.reason}\n{one.trace}")


def heard(rule: Rule, recipe: str, *beside: Any, studio: Any = None) -> Heard:
    """What the rule says of a recipe (its text, or its path), among the built-in rules.

    ``beside`` is what else is to be there: the module with the fibres that the recipe names, say.
    AssertionError if the recipe can't be read, or if anything breaks down.
    """
    engine = engine_of(*beside, rule, studio=studio)
    report = engine.look(recipe)
    for problem in report.problems:
        raise AssertionError(
            f"line {problem.line}: found {problem.found}; expected {problem.expected}; {problem.mend}"
        )
    _sound(report.not_judged)
    found: list[ReportedFinding | Consequence] = []
    for f in report.findings:
        found += [f] if f.rule == rule.id else []
        found += [under for under in f.explains if under.rule == rule.id]
    source = engine.load(recipe).source
    return Heard(
        rule,
        source.text if source else "",
        tuple(found),
        tuple(one for one in report.unsaid if one.rule == rule.id),
        tuple(one for one in report.tips if one.rule == rule.id),
        report,
    )


def finds(
    rule: Rule, recipe: str, level: str, *beside: Any, about: str | None = None,
    says: str | None = None, studio: Any = None,
) -> tuple[ReportedFinding | Consequence, ...]:  # fmt: skip
    """Assert that the rule finds something of this level, and nothing of another; returns it.

    ``about`` is the name of the part that it has to be about (``"across"``), or its JSON Pointer;
    ``says`` is in the message.
    """
    got = heard(rule, recipe, *beside, studio=studio)
    found = got.standing
    _hold(bool(found), f"{rule.id} finds nothing; a {level} was expected", got)
    levels = sorted({f.level for f in found})
    _hold(levels == [level], f"{rule.id} finds {', '.join(levels)}; {level} was expected", got)
    fits = [f for f in found if _fits(f.spot.thing, f.spot.pointer, about)]
    _hold(bool(fits), f"{rule.id} finds nothing about “{about}”", got)
    fits = [f for f in fits if says is None or says in f.message]
    _hold(bool(fits), f"{rule.id} doesn't say “{says}”", got)
    return tuple(fits)


def stays_silent(rule: Rule, recipe: str, *beside: Any, studio: Any = None) -> None:
    """Assert that the rule finds nothing and asks nothing. A tip is no finding."""
    got = heard(rule, recipe, *beside, studio=studio)
    _hold(not got.standing, f"{rule.id} isn't silent", got)
    _hold(not got.unsaid, f"{rule.id} asks for more", got)


def asks(
    rule: Rule, recipe: str, *beside: Any, about: str | None = None, says: str | None = None,
    studio: Any = None,
) -> tuple[Remark, ...]:  # fmt: skip
    """Assert that the rule was not told enough, and finds nothing; returns what it asks for."""
    got = heard(rule, recipe, *beside, studio=studio)
    _hold(not got.standing, f"{rule.id} finds something; it was to ask", got)
    return _remark(rule, got.unsaid, "asks for nothing", about, says, got)


def advises(
    rule: Rule, recipe: str, *beside: Any, about: str | None = None, says: str | None = None,
    studio: Any = None,
) -> tuple[Remark, ...]:  # fmt: skip
    """Assert that the rule gives a tip, whatever else it says; returns it."""
    got = heard(rule, recipe, *beside, studio=studio)
    return _remark(rule, got.tips, "gives no tip", about, says, got)


def _remark(
    rule: Rule, remarks: tuple[Remark, ...], lacking: str, about: str | None, says: str | None,
    got: Heard,
) -> tuple[Remark, ...]:  # fmt: skip
    fits = tuple(
        one for one in remarks
        if _fits(one.spot.thing, one.spot.pointer, about) and (says is None or says in one.text)
    )  # fmt: skip
    wanted = "".join(
        f" {word} “{what}”" for word, what in (("about", about), ("with", says)) if what
    )
    _hold(bool(fits), f"{rule.id} {lacking}{wanted}", got)
    return fits


def _fits(thing: str, pointer: str, about: str | None) -> bool:
    return about is None or about in (thing, pointer) or f"“{about}”" in thing


def _hold(true: bool, otherwise: str, got: Heard) -> None:
    if not true:
        raise AssertionError(f"{otherwise}:\n{got}")


__all__ = ["Heard", "advises", "asks", "engine_of", "finds", "heard", "stays_silent"]
