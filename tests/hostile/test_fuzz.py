"""Twenty thousand recipes gone wrong at random: no breakdown, and enough of them reach the rules."""

from __future__ import annotations

import pytest
from kit_fuzz import Tally, look_at, shelf
from kit_rules import RULES

from felt_engine.api import Engine, default_engine

PARTS, EACH = 8, 2500


@pytest.mark.parametrize("part", range(PARTS))
def test_nothing_breaks_down_whatever_is_written(part: int) -> None:
    """All are read, measured and judged; one in four is written by every exporter."""
    engine, stock, tally = Engine(), shelf(), Tally()
    for seed in range(1_000_000 + part * EACH, 1_000_000 + (part + 1) * EACH):
        look_at(engine, seed, stock, tally)
    assert not tally.broken, "\n".join(tally.broken[:10])
    assert tally.judged >= EACH / 4, tally.line()
    found = {rule for rule in tally.findings if rule in RULES}
    assert len(found) >= len(RULES) - 3, sorted(set(RULES) - found)
    assert tally.exported == len(default_engine().exporters) * EACH / 4
