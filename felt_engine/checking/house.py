"""What a studio file changes: which rules run and by which limits, and how loud a report is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import attrs

from felt_engine.checking.numbers import HouseNumbers, SetLimit, Stated, SwitchedOff
from felt_engine.checking.report import Report
from felt_engine.checking.rulebook import RuleBook, Shelved
from felt_engine.model.amount import Amount, Price
from felt_engine.model.recipe import Recipe
from felt_engine.model.studio import Studio, release
from felt_engine.value import Value

OWN = "felt-engine"
"""The package whose rules are held against the engine's own releases."""


@attrs.frozen(eq=False, repr=False)
class Resting(Value):
    """A rule that doesn't run, why, and who switched it off."""

    shelved: Shelved
    why: str
    by: str


def arranged(book: RuleBook, studio: Studio) -> RuleBook:
    """The rule book as this studio wants it."""
    resting = {one.shelved.rule.id: one for one in _resting(book.rules, studio)}
    return attrs.evolve(
        book,
        rules=tuple(one for one in book.rules if one.rule.id not in resting),
        limits={one.rule: {s.name: s.value for s in one.limits} for one in studio.rules},
        resting=tuple(resting.values()),
        levels={one.rule: (one.quietest, one.loudest) for one in studio.rules},
    )


def _resting(rules: Iterable[Shelved], studio: Studio) -> Iterator[Resting]:
    releases = dict(studio.plugins_as_of)
    if studio.as_of is not None:
        releases[OWN] = studio.as_of
    for shelved in rules:
        said = studio.rule(shelved.rule.id)
        if said is not None and said.switched_off is not None:
            yield Resting(shelved, said.switched_off, studio.file)
            continue
        asked = releases.get(shelved.package)
        since = release(shelved.rule.since)
        if asked is not None and since is not None and since > (release(asked) or ()):
            why = f"it is there since release {shelved.rule.since}, and the studio is as of {asked}"
            yield Resting(shelved, why, studio.file)


def furnished(recipe: Recipe, studio: Studio) -> Recipe:
    """The recipe with the studio's scale step and readers where it says none of its own."""
    changes: dict[str, object] = {}
    if recipe.scale_step is None and studio.scale_step is not None:
        changes["scale_step"] = studio.scale_step
    if not recipe.readers and studio.readers:
        changes["readers"] = studio.readers
    return attrs.evolve(recipe, **changes) if changes else recipe  # type: ignore[arg-type]


def judged_by(
    report: Report, studio: Studio, book: RuleBook, recipe: Recipe | None = None
) -> Report:
    """The report with the studio file that was used, and the rules that it switches off.

    ``recipe`` is the one that was read, before the studio's own numbers were put in.
    """
    return attrs.evolve(
        report,
        studio=_numbers(studio, book, recipe),
        off=tuple(SwitchedOff(one.shelved.rule.id, one.why, one.by) for one in book.resting),
    )


def _numbers(studio: Studio, book: RuleBook, recipe: Recipe | None) -> HouseNumbers:
    names: set[str] = set()
    if recipe is not None:
        names = {name for lot in recipe.lots for name in (lot.name, lot.fibre)}
    own_step = recipe is not None and recipe.scale_step is None and studio.scale_step is not None
    return HouseNumbers(
        studio.name,
        studio.file,
        studio.as_of,
        tuple(_set_limits(studio, book)),
        studio.scale_step.text if own_step and studio.scale_step else None,
        studio.readers if recipe is not None and not recipe.readers else (),
        _stated(studio.prices, names),
        _stated(studio.stock, names),
        studio.notebook,
        studio.notes,
    )


def _stated(pairs: Iterable[tuple[str, Price | Amount]], names: set[str]) -> tuple[Stated, ...]:
    return tuple(Stated(name, one.text) for name, one in sorted(pairs, key=_first) if name in names)


def _first(pair: tuple[str, object]) -> str:
    return pair[0]


def _set_limits(studio: Studio, book: RuleBook) -> Iterator[SetLimit]:
    for setting in studio.rules:
        shelved = book.get(setting.rule)
        if shelved is None:
            continue
        defaults = {limit.name: limit.default for limit in shelved.rule.limits}
        for one in setting.limits:
            yield SetLimit(
                setting.rule, one.name, one.text, one.value, one.unit, defaults[one.name]
            )
