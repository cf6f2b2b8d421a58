"""The rules command: the list, and every rule's page."""

from __future__ import annotations

import pytest
from kit import run

from felt_engine.api import default_engine

RULES = [one.rule for one in default_engine().rule_book.rules]


def test_the_list_names_every_rule_with_its_title() -> None:
    done = run("rules")
    assert done.returncode == 0
    for rule in RULES:
        assert f"{rule.id}" in done.stdout and rule.title in done.stdout


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_page_shows_purpose_sum_limits_sources_and_examples(rule: object) -> None:
    done = run("rules", rule.id)  # type: ignore[attr-defined]
    assert done.returncode == 0
    flat = " ".join(done.stdout.split())
    assert " ".join(rule.purpose.split()) in flat  # type: ignore[attr-defined]
    for limit in rule.limits:  # type: ignore[attr-defined]
        assert f"{limit.name}: {limit.default:g}" in done.stdout
        assert " ".join(limit.source.split()) in flat
    for example in rule.examples:  # type: ignore[attr-defined]
        assert example.title in done.stdout
        assert (
            "\n".join("    " + line for line in example.text.strip("\n").rstrip().splitlines())
            in done.stdout
        )


def test_an_unknown_rule_gives_the_nearest_name() -> None:
    done = run("rules", "thin-layers")
    assert done.returncode == 2 and 'write "thin-layer"' in done.stderr and done.stdout == ""


def test_version_is_answered_without_anything_else() -> None:
    done = run("--version")
    assert done.returncode == 0 and done.stdout.startswith("felt-engine ")
