"""The tables of recipes in ``cases/``: what each rule says of every one, and of nothing else."""

from __future__ import annotations

import pytest
from kit_rules import Case, cases, report_of, shown, verdicts

TABLES = {name: tuple(cases(f"{name}.yaml")) for name in ("right", "faulty", "unsaid")}
EVERY = [
    pytest.param(case, id=f"{name}: {case.name}")
    for name, table in TABLES.items()
    for case in table
]


@pytest.mark.parametrize("case", EVERY)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)


def test_right_recipes_pass_whatever_stops_a_run() -> None:
    for case in TABLES["right"]:
        report = report_of(case.recipe, case.name)
        assert (report.verdict, report.exit_status("note")) == ("right", 0), case.name


def test_there_are_more_right_recipes_than_faulty_ones() -> None:
    assert len(TABLES["right"]) > len(TABLES["faulty"])
    assert not any(case.expect for case in TABLES["right"])


def test_case_names_are_unlike() -> None:
    names = [case.name for table in TABLES.values() for case in table]
    assert len(names) == len(set(names))
