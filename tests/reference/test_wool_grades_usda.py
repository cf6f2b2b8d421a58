"""Wool count grades of the United States.

Source: USDA Official Standards of the United States for Grades of Wool (1965/1968); ASTM D3991.
The two coarsest rows come from memory, see the table.
"""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

import pytest

from felt_engine.analysis.grades import GRADES, grade_of_micrometres, micrometres_of_grade

TABLE = Path(__file__).parent / "data" / "us_wool_grades.csv"

Row = dict[str, str]


def _rows() -> list[Row]:
    lines = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("# ")]
    return list(csv.DictReader(lines))


ROWS = _rows()
IDS = [row["grade"] for row in ROWS]


def test_the_grades_are_those_of_the_standard_in_order() -> None:
    assert [name for name, _ in GRADES] == IDS
    assert len(IDS) == 16


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_printed_bounds_lie_in_their_grade(row: Row) -> None:
    for bound in (row["min_um"], row["max_um"]):
        if bound:
            assert grade_of_micrometres(float(bound)) == row["grade"]


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_bounds_of_a_grade_are_the_printed_ones(row: Row) -> None:
    """The upper bound is open and lies one hundredth above the printed one."""
    low, high = micrometres_of_grade(row["grade"])
    assert low == (float(row["min_um"]) if row["min_um"] else 0.0)
    if row["max_um"]:
        assert high == pytest.approx(float(row["max_um"]) + 0.01, abs=1e-9)
    else:
        assert high == math.inf


@pytest.mark.parametrize(("finer", "coarser"), list(pairwise(IDS)))
def test_grades_are_half_open_and_leave_no_gap(finer: str, coarser: str) -> None:
    """Between the printed 22.04 and 22.05 a diameter still belongs to the finer grade."""
    bound = micrometres_of_grade(finer)[1]
    assert micrometres_of_grade(coarser)[0] == bound
    assert grade_of_micrometres(bound) == coarser
    assert grade_of_micrometres(math.nextafter(bound, 0.0)) == finer
    assert grade_of_micrometres(bound - 0.005) == finer


def test_far_ends() -> None:
    assert grade_of_micrometres(0.001) == "Finer than 80s"
    assert grade_of_micrometres(90.0) == "Coarser than 36s"


@pytest.mark.parametrize("wrong", [0.0, -18.0, math.nan, math.inf])
def test_nonsense_diameters_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="positive finite"):
        grade_of_micrometres(wrong)


@pytest.mark.parametrize("name", ["", "65s", "64", "Super 80s"])
def test_unknown_grades_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="unknown wool grade"):
        micrometres_of_grade(name)
