"""Tables of what shrinks unlike and of what is too light or too heavy: every verdict, and no other."""

from __future__ import annotations

import pytest
from kit_rules import Case, cases, report_of, shown, verdicts

TABLES = {name: tuple(cases(f"{name}.yaml")) for name in ("shrinking", "weight")}
EVERY = [
    pytest.param(case, id=f"{name}: {case.name}")
    for name, table in TABLES.items()
    for case in table
]


@pytest.mark.parametrize("case", EVERY)
def test_a_recipe_gets_the_verdict_of_its_table(case: Case) -> None:
    report = report_of(case.recipe, case.name)
    assert verdicts(report) == case.expect, shown(report)
    if not case.expect:
        assert (report.verdict, report.exit_status("note")) == ("right", 0)
        assert all(purpose.matched for purpose in report.purposes)
