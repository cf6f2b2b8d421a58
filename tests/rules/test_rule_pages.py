"""What a rule's page says is true: every example does what it says, every word on it can be used."""

from __future__ import annotations

import pytest
from kit_rules import ORDER, RULES, shown

import felt_engine
from felt_engine.declare import Example, Rule

BOOK = felt_engine.Engine().rule_book
OURS = [shelved.rule for shelved in BOOK.rules if shelved.package == "felt-engine"]
LAWS = ("scaling", "units", "quarter turn", "splitting", "order of placements")
EXAMPLES = [
    pytest.param(rule, example, id=f"{rule.id}: {example.title}")
    for rule in OURS
    for example in rule.examples
]


def test_the_rules_of_the_tables_are_there() -> None:
    assert set(RULES) <= {r.id for r in OURS}


@pytest.mark.parametrize(("rule", "example"), EXAMPLES)
def test_every_example_on_a_page_does_what_it_says(rule: Rule, example: Example) -> None:
    report = felt_engine.check(example.text, name=example.title)
    assert not report.not_judged and not report.problems
    levels = {f.level for f in report.findings if f.rule == rule.id}
    assert levels == ({example.finds} if example.finds else set()), shown(report)
    if example.finds is None:
        assert rule.id not in {remark.rule for remark in report.unsaid}, shown(report)


@pytest.mark.parametrize("rule", OURS, ids=lambda rule: rule.id)
def test_a_page_has_at_least_as_many_silent_examples_as_firing_ones(rule: Rule) -> None:
    firing = [example for example in rule.examples if example.finds]
    assert firing and len(rule.examples) >= 2 * len(firing)
    assert {example.finds for example in firing} <= set(ORDER)
    titles = [example.title for example in rule.examples]
    assert len(titles) == len(set(titles))


@pytest.mark.parametrize("rule", OURS, ids=lambda rule: rule.id)
def test_a_page_is_filled_in(rule: Rule) -> None:
    for text in (rule.title, rule.purpose, rule.model, rule.weak_spots, rule.since):
        assert text.strip() == text and text
    assert set(rule.laws) <= set(LAWS)
    names = [limit.name for limit in rule.limits]
    assert names and len(names) == len(set(names))
    for limit in rule.limits:
        assert limit.about and limit.source and limit.default > 0


@pytest.mark.parametrize("rule", OURS, ids=lambda rule: rule.id)
def test_a_limit_that_rests_on_memory_says_so(rule: Rule) -> None:
    marks = ("from memory", "common practice, no source", "own calculation")
    assert all(any(mark in limit.source for mark in marks) for limit in rule.limits)
