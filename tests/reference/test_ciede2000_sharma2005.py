"""CIEDE2000 against the published test pairs.

Source: G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30 (2005) 21-30.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from felt_engine.analysis.colour import delta_e_2000

Lab = tuple[float, float, float]

TABLE = Path(__file__).parent / "data" / "ciede2000_sharma2005.csv"


def _pairs() -> list[tuple[str, Lab, Lab, list[float]]]:
    lines = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("# ")]
    pairs = []
    for row in csv.DictReader(lines):
        first = (float(row["L1"]), float(row["a1"]), float(row["b1"]))
        second = (float(row["L2"]), float(row["a2"]), float(row["b2"]))
        right = [float(row[key]) for key in ("expected", "also") if row[key]]
        pairs.append((row["pair"], first, second, right))
    return pairs


PAIRS = _pairs()
IDS = [f"pair-{number}" for number, *_ in PAIRS]


def test_the_table_holds_twenty_three_pairs() -> None:
    assert len(PAIRS) == 23


@pytest.mark.parametrize(("first", "second", "right"), [p[1:] for p in PAIRS], ids=IDS)
def test_published_pair(first: Lab, second: Lab, right: list[float]) -> None:
    """Figures printed to four decimals; pair 14 has two right answers."""
    found = delta_e_2000(first, second)
    assert any(abs(found - value) <= 5.1e-5 for value in right), found


@pytest.mark.parametrize(("first", "second", "right"), [p[1:] for p in PAIRS], ids=IDS)
def test_published_pair_the_other_way_round(first: Lab, second: Lab, right: list[float]) -> None:
    """The difference doesn't depend on the order of the two colours."""
    found = delta_e_2000(second, first)
    assert any(abs(found - value) <= 5.1e-5 for value in right), found


@pytest.mark.parametrize("number", ["13", "10"])
def test_the_branch_of_the_mean_hue_is_taken(number: str) -> None:
    """Pairs 9 to 15 of the paper sit beside a hue difference of 180 degrees.

    A tiny turn to the other side of it must change the answer, as the paper points out.
    """
    first, second = next((p[1], p[2]) for p in PAIRS if p[0] == number)
    turned = (second[0], second[1] + 0.0002, second[2] + 0.0002)
    assert abs(delta_e_2000(first, second) - delta_e_2000(first, turned)) > 0.03


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf, 1e9])
def test_nonsense_is_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        delta_e_2000((50.0, wrong, 0.0), (50.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="finite"):
        delta_e_2000((50.0, 0.0, 0.0), (wrong, 0.0, 0.0))
