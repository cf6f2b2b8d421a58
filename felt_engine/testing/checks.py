"""All that a plugin promises, as checks with names: its pages, its laws, its exporters, its tables."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from felt_engine import (
    Caution,
    Engine,
    Example,
    Exporter,
    FibreEntry,
    Report,
    Rule,
    Sheet,
    UseEntry,
)
from felt_engine.testing.asserting import engine_of, finds, stays_silent
from felt_engine.testing.laws import LAWS, keeps_law
from felt_engine.testing.layouts import drawn, laid, recipe

Check = tuple[str, Callable[[], None]]


def checks(*things: Any) -> list[Check]:
    """Every check of these plugins (modules with hooks, or declarations): a name, and a function.

    The function raises AssertionError if what the name says is not so.
    """
    found: list[Check] = [("it loads", partial(_loads, things))]
    try:
        engine = engine_of(*things)
    except AssertionError:
        return found  # the check above says why
    for one in _declared(engine, things):
        found += _CHECKS[type(one)](one, things)
    return found


def rule_tests(*things: Any) -> Any:
    """The same as one pytest function with a parameter: ``test_plugin = rule_tests(my_plugin)``."""
    import pytest

    every = checks(*things)

    @pytest.mark.parametrize("check", [pytest.param(run, id=name) for name, run in every])
    def test_plugin(check: Callable[[], None]) -> None:
        check()

    return test_plugin


def _loads(things: tuple[Any, ...]) -> None:
    assert things, "there is nothing to check: name a module with hooks, or a rule"
    engine_of(*things)


def _declared(engine: Engine, things: tuple[Any, ...]) -> Iterator[Any]:
    """What these plugins hand over, each once."""
    plain = engine_of()
    old = {one.rule.id for one in plain.rule_book.rules}
    yield from (one.rule for one in engine.rule_book.rules if one.rule.id not in old)
    yield from (e for name, e in engine.exporters.items() if name not in plain.exporters)
    for table in ("fibres", "uses"):
        before, now = getattr(plain.catalogue, table), getattr(engine.catalogue, table)
        yield from (now[name] for name in now if name not in before or now[name] != before[name])
    yield from engine.catalogue.cautions.values()


# rules --------------------------------------------------------------------------------------------


def _rule(rule: Rule, things: tuple[Any, ...]) -> Iterator[Check]:
    yield f"{rule.id}: its page is filled in", partial(_page, rule)
    for example in rule.examples:
        yield f"{rule.id}: {example.title}", partial(_example, rule, example, things)
    for law in rule.laws:
        yield f"{rule.id} keeps the law of {law}", partial(_law, rule, law, things)
    yield f"{rule.id} judges any recipe", partial(_any, rule, things)


def _page(rule: Rule) -> None:
    for name in ("title", "since", "purpose"):
        text = getattr(rule, name)
        assert text.strip() == text and text, f"{rule.id}: {name} is to be a text on its page"
    for limit in rule.limits:
        for name in ("about", "source"):
            assert getattr(limit, name), f"{rule.id}: the limit {limit.name} lacks its {name}"
    firing = [example for example in rule.examples if example.finds]
    assert firing, f"{rule.id}: an example that finds something is to be on its page"
    silent = len(rule.examples) - len(firing)
    assert silent >= len(firing), (
        f"{rule.id}: {len(firing)} examples find something and {silent} stay silent; at least as many "
        "are to stay silent, since a false alarm costs as much as a miss"
    )
    titles = [example.title for example in rule.examples]
    assert len(titles) == len(set(titles)), f"{rule.id}: two examples have one title"
    unknown = [law for law in rule.laws if law not in LAWS]
    assert not unknown, f"{rule.id}: there is no law “{unknown[0]}”; there are: {', '.join(LAWS)}"


def _example(rule: Rule, example: Example, things: tuple[Any, ...]) -> None:
    if example.finds is None:
        stays_silent(rule, example.text, *things)
    else:
        finds(rule, example.text, example.finds, *things)


def _law(rule: Rule, law: str, things: tuple[Any, ...]) -> None:
    recipes = [*(example.text for example in rule.examples), *drawn(30)]
    tried = keeps_law(rule, law, recipes, *things)
    assert tried, f"{rule.id}: the law of {law} could be tried on no recipe"


def _any(rule: Rule, things: tuple[Any, ...]) -> None:
    """It breaks down on no recipe, and what it says of one doesn't depend on how often it is asked."""
    engine = engine_of(*things, rule)
    for text in drawn(30, seed=2):
        report = engine.look(text)
        for one in report.not_judged:
            raise AssertionError(f"{one.what} broke down: {one.reason}\n{one.trace}\nin\n{text}")
        assert engine.look(text) == report, f"{rule.id} says two things of one recipe:\n{text}"


# exporters and tables -----------------------------------------------------------------------------


def _exporter(exporter: Exporter, things: tuple[Any, ...]) -> Iterator[Check]:
    yield f"{exporter.name} writes any report", partial(_writes, exporter, things)


def _writes(exporter: Exporter, things: tuple[Any, ...]) -> None:
    engine = engine_of(*things)
    texts = [*drawn(8), recipe(laid("white top", "30 g", "north-south")), "piece: [no recipe"]
    reports = [
        engine.look(text, name=f"trial {n}.yaml", drawing=exporter.draws)
        for n, text in enumerate(texts)
    ]
    for report in reports:
        _alike(exporter, [report])
    if exporter.files is not None:
        for name, pieces in exporter.files(reports, Sheet()):
            assert name and "/" not in name, (
                f"{exporter.name} writes to {name}, which is no plain name"
            )
            assert isinstance("".join(pieces), str)
    else:
        _alike(exporter, reports)
        _alike(exporter, [])


def _alike(exporter: Exporter, reports: list[Report]) -> None:
    one = "".join(exporter.render(reports, Sheet()))
    assert "".join(exporter.render(reports, Sheet())) == one, f"{exporter.name} varies"


def _fibre(fibre: FibreEntry, things: tuple[Any, ...]) -> Iterator[Check]:
    yield f"{fibre.name} can be laid", partial(_lays, fibre, things)


def _lays(fibre: FibreEntry, things: tuple[Any, ...]) -> None:
    engine = engine_of(*things)
    for name in (fibre.name, *fibre.also):
        text = recipe(laid("own", "40 g", "north-south"), lots={"own": {"fibre": name}})
        report = engine.look(text)
        assert not report.problems, f"{name}: {report.problems[0].found}"
    assert fibre.sources or fibre.note, f"{fibre.name}: say where its figures come from (sources)"


def _use(use: UseEntry, things: tuple[Any, ...]) -> Iterator[Check]:
    yield f"{use.name} can be made", partial(_makes, use, things)


def _makes(use: UseEntry, things: tuple[Any, ...]) -> None:
    engine = engine_of(*things)
    grams = f"{500 * (use.low + use.high) * 0.09:.3g} g"
    for name in (use.name, *use.also):
        report = engine.look(recipe(laid("white batt", grams, "random"), use=name))
        assert not report.problems, f"{name}: {report.problems[0].found}"
    assert use.sources or use.note, f"{use.name}: say where its figures come from (sources)"
    assert math.isfinite(use.high)


def _caution(caution: Caution, things: tuple[Any, ...]) -> Iterator[Check]:
    yield f"{caution.about} can be printed", partial(_prints, caution, things)


def _prints(caution: Caution, things: tuple[Any, ...]) -> None:
    text = recipe(laid("white top", "30 g", "random"), cautions=[{"about": caution.about}])
    report = engine_of(*things).look(text)
    assert not report.problems, f"{caution.about}: {report.problems[0].found}"
    assert caution.when and caution.source, (
        f"{caution.about}: say what calls for it, and its source"
    )


_CHECKS: dict[type, Callable[[Any, tuple[Any, ...]], Iterator[Check]]] = {
    Rule: _rule,
    Exporter: _exporter,
    FibreEntry: _fibre,
    UseEntry: _use,
    Caution: _caution,
}

__all__ = ["checks", "rule_tests"]
