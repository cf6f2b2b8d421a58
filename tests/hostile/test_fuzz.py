"""Twenty thousand inputs gone wrong at random: no breakdown, and enough of them reach the rules."""

from __future__ import annotations

from fractions import Fraction

import pytest
from kit_fuzz import Tally, shelf
from kit_fuzz_files import SHARES, by_hand, look_at_any
from kit_rules import RULES

from felt_engine.api import Engine
from felt_engine.reading.quantity import UNITS

PARTS, EACH = 8, 2500


@pytest.mark.parametrize("part", range(PARTS))
def test_nothing_breaks_down_whatever_is_written(part: int) -> None:
    """Recipes, studio files, notebooks, known findings, amounts, and recipes at another size.

    All are read, measured and judged; one recipe in 21 is written by every exporter.
    """
    engine, stock, tally = Engine(), shelf(), Tally()
    for seed in range(1_000_000 + part * EACH, 1_000_000 + (part + 1) * EACH):
        look_at_any(engine, seed, stock, tally)
    assert not tally.broken, "\n".join(tally.broken[:10])
    assert tally.inputs == EACH and tally.judged >= EACH / 4, tally.line()
    assert set(tally.kinds) == {kind for kind, _ in SHARES} and min(tally.kinds.values()) >= 50
    found = {rule for rule in tally.findings if rule in RULES}
    assert len(found) >= len(RULES) - 3, sorted(set(RULES) - found)
    assert tally.exported >= 6 * 40, tally.line()


@pytest.mark.parametrize(("kind", "text", "wanted"), [
    ("weight", "1,5 g", Fraction(3, 2000)), ("weight", "2½ g", Fraction(1, 400)),
    ("length", "1 m", Fraction(1)),
    ("weight", "1 1/2 kg", Fraction(3, 2)), ("length", "1 m 1 m", Fraction(2)),
    ("areal", "1 kg/m2", Fraction(1)),
])  # fmt: skip
def test_what_amounts_are_held_against_is_right(kind: str, text: str, wanted: Fraction) -> None:
    """Sums of numbers times units, without any of the reader's grammar."""
    assert float(by_hand(text, UNITS[kind])) == pytest.approx(float(wanted), rel=1e-12)
