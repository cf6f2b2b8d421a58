"""Ready laws: what a rule has to say of a recipe that was changed in a way that mustn't matter.

A rule's page names those that hold for it (``laws``). Each law changes the recipe itself, so a rule
that looks at figures in SI units keeps the law of units by itself; one that reads what was typed
doesn't.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import attrs

from felt_engine import Engine, Recipe, RecipeError, Report, Rule
from felt_engine.testing.asserting import engine_of
from felt_engine.testing.turning import other_units, scaled, turned

Said = list[tuple[Any, ...]]


@attrs.frozen
class Law:
    """A law: in words, how it changes a recipe (``None`` where it can't), and what it compares."""

    about: str
    change: Callable[[Recipe, Engine], Recipe | None]
    said: Callable[[Report, Recipe, str], Said]


def keeps_law(rule: Rule, law: str, recipes: str | Iterable[str], *beside: Any) -> int:
    """Assert that the rule keeps a law (a name in LAWS) on these recipes, given as text.

    Returns on how many of them the law could be tried. ``beside`` is as for ``finds``.
    """
    if law not in LAWS:
        raise AssertionError(f"there is no law “{law}”: {', '.join(LAWS)}")
    engine = _alone(engine_of(*beside, rule), rule)
    tried = 0
    for text in [recipes] if isinstance(recipes, str) else recipes:
        try:
            before = attrs.evolve(engine.load(text), source=None)
            said = _said(engine, before, law, rule)
            changed = LAWS[law].change(before, engine)
        except RecipeError:
            continue
        if changed is None:
            continue
        tried += 1
        again = _said(engine, changed, law, rule)
        if said != again:
            raise AssertionError(
                f"{rule.id} doesn't keep the law of {law} ({LAWS[law].about}): first {said}, then "
                f"{again}, in\n{text}"
            )
    return tried


def _alone(engine: Engine, rule: Rule) -> Engine:
    """The engine with just this rule, unless it needs to hear the others."""
    if not rule.reconsiders:
        own = engine.rule_book.get(rule.id)
        engine.rule_book = attrs.evolve(engine.rule_book, rules=() if own is None else (own,))
    return engine


def _said(engine: Engine, recipe: Recipe, law: str, rule: Rule) -> Said:
    report = engine.check(recipe)
    for one in report.not_judged:
        raise AssertionError(f"{one.what} broke down: {one.reason}\n{one.trace}")
    return LAWS[law].said(report, recipe, rule.id)


# what is compared ---------------------------------------------------------------------------------


def _all(report: Report, rule: str) -> Iterable[tuple[Any, str, Any, str]]:
    """Each thing that the rule said: itself, its level, its measured figure, its words."""
    for f in report.findings:
        if f.rule == rule:
            yield f, f.level, f.measured, f"{f.message} {f.do}"
        for under in f.explains:
            if under.rule == rule:
                yield under, under.level, None, under.message
    for word, remarks in (("unsaid", report.unsaid), ("tip", report.tips)):
        for one in remarks:
            if one.rule == rule:
                yield one, word, None, one.text


def _placed(report: Report, recipe: Recipe, rule: str) -> Said:
    """Level and place."""
    return sorted((level, one.spot.pointer) for one, level, _, _ in _all(report, rule))


def _worded(report: Report, recipe: Recipe, rule: str) -> Said:
    """Level, place, figure and words."""
    return sorted(
        (level, one.spot.pointer, "" if figure is None else f"{figure.value:.6g} {figure.unit}", words)
        for one, level, figure, words in _all(report, rule)
    )  # fmt: skip


def _by_layer(report: Report, recipe: Recipe, rule: str) -> Said:
    """Level and layer, whichever of its placements."""
    placed = _placed(report, recipe, rule)
    return sorted({(level, "/".join(pointer.split("/")[:3])) for level, pointer in placed})


def _by_name(report: Report, recipe: Recipe, rule: str) -> Said:
    """Level and the names of what lies there."""
    found = []
    for level, pointer in _placed(report, recipe, rule):
        steps = pointer.split("/")[1:]
        if steps[:1] == ["layers"] and len(steps) == 4:
            layer = recipe.layers[int(steps[1])]
            placement = layer.placements[int(steps[3])]
            found.append((level, layer.name, placement.of, placement.zone))
        else:
            found.append((level, pointer, "", ""))
    return sorted(found)


# what is changed ----------------------------------------------------------------------------------


def _split(recipe: Recipe, engine: Engine) -> Recipe | None:
    """Each amount in two equal portions."""
    if recipe.scale_step is not None:
        return None

    def halves(layer: Any) -> Any:
        portions = []
        for one in layer.placements:
            amount = attrs.evolve(
                one.amount, text=f"half of {one.amount.text}", si=one.amount.si / 2
            )
            portions += [attrs.evolve(one, amount=amount, inline=False) for _ in range(2)]
        return attrs.evolve(layer, placements=tuple(portions))

    return attrs.evolve(recipe, layers=tuple(halves(layer) for layer in recipe.layers))


def _other_order(recipe: Recipe, engine: Engine) -> Recipe | None:
    """The placements of each layer the other way round, where they lie side by side."""
    over: set[int] = set()
    for place in engine.measure(recipe).places:
        numbers = [laid.key[0] for laid in place.stack]
        over.update(number for number in numbers if numbers.count(number) > 1)
    layers = tuple(
        layer if number in over else attrs.evolve(layer, placements=layer.placements[::-1])
        for number, layer in enumerate(recipe.layers)
    )
    changed = any(len(layer.placements) > 1 for n, layer in enumerate(layers) if n not in over)
    return attrs.evolve(recipe, layers=layers) if changed else None


LAWS: dict[str, Law] = {
    "scaling": Law(
        "a piece three times as wide and deep, laid as thickly, gets the same verdict",
        lambda recipe, engine: scaled(recipe, 3.0), _placed,
    ),
    "units": Law(
        "what is written in inches and ounces gets the words of what is written in cm and g",
        lambda recipe, engine: other_units(recipe), _worded,
    ),
    "quarter turn": Law(
        "the table turned by a quarter gets the same verdict",
        lambda recipe, engine: turned(recipe), _placed,
    ),
    "splitting": Law(
        "an amount in two equal portions is the same amount", _split, _by_layer,
    ),
    "order of placements": Law(
        "amounts side by side in one layer may be listed in any order", _other_order, _by_name,
    ),
}  # fmt: skip
"""The ready laws by name: what a rule may name under ``laws``."""

__all__ = ["LAWS", "Law", "keeps_law"]
