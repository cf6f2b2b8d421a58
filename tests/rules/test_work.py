"""Tools, evenness and order of the work, and cautions: their tables, their limits, what excuses them."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from kit_rules import Case, Plain, cases, report_of, said, shown, stocked, verdicts

import felt_engine
from felt_engine import figures
from felt_engine.data.cautions import CAUTIONS, SOURCES
from felt_engine.reading.words import HAZARDS

TABLES = {name: tuple(cases(f"{name}.yaml")) for name in ("tools", "working", "order", "cautions")}
EVERY = [
    pytest.param(case, id=f"{name}: {case.name}")
    for name, table in TABLES.items()
    for case in table
]


@pytest.mark.parametrize("case", EVERY)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)


@pytest.mark.parametrize("case", EVERY)
def test_one_slip_is_told_once(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert len(report.findings) <= len(case.expect), shown(report)


@pytest.mark.parametrize("name", TABLES)
def test_there_are_as_many_right_ones_as_faulty_ones(name: str) -> None:
    right = [case for case in TABLES[name] if not case.expect]
    assert 2 * len(right) >= len(TABLES[name])
    assert len({case.name for case in TABLES[name]}) == len(TABLES[name])
