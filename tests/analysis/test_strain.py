"""Strain of a place by itself, and how far two differ: the project's own table, no outside source."""

from __future__ import annotations

import math

import pytest
from kit_rules import laid, sheet, text_of

import felt_engine
from felt_engine import Place, figures
from felt_engine.figures import Apart

OUNCE = 122.0604 / 0.4
"""g/m² of one ounce on 12 x 12 in."""

SPEEDS = {
    "corriedale": (0.85, 0.043, 0.019), "wensleydale": (0.7, 0.086, 0.039),
    "crossbred": (0.5, 0.144, 0.065), "treated": (0.1, 0.259, 0.116), "viscose": (0.0, 0.288, 0.129),
}  # fmt: skip
LOTS = {
    "corriedale": {"fibre": "corriedale"},
    "wensleydale": {"fibre": "wensleydale"},
    "crossbred": {"fibre": "perendale"},
    "treated": {"fibre": "merino", "treatment": "shrink-proofed"},
    "viscose": {"fibre": "viscose"},
}


def place(*amounts: tuple[str, float]) -> Place:
    layers = [laid(of, f"{oz * OUNCE:.6f} g/m²", "random") for of, oz in amounts]
    recipe = sheet(*layers, lots={name: dict(lot) for name, lot in LOTS.items()})
    build = felt_engine.measure(felt_engine.load(text_of(recipe), name="x"))
    return build.places[0]


def told(one: Place, two: Place, stage: str = "firm") -> Apart:
    return figures.apart(one.stack, two.stack, stage)


@pytest.mark.parametrize("wool", SPEEDS)
def test_unlike_wools_side_by_side(wool: str) -> None:
    felts, whole, top = SPEEDS[wool]
    assert place((wool, 1.45)).felts == pytest.approx(felts)
    assert told(place(("oat", 1.45)), place((wool, 1.45))).total == pytest.approx(whole, abs=6e-4)
    shared = place(("oat", 0.8), (wool, 0.65))
    assert told(place(("oat", 1.45)), shared).total == pytest.approx(top, abs=6e-4)
    at_light = told(place(("oat", 1.45)), shared, "light").total
    assert at_light == pytest.approx(top * 0.17 / 0.36, abs=6e-4)


@pytest.mark.parametrize(("times", "apart"), [(1.25, 0.032), (1.5, 0.058), (2, 0.100), (3, 0.158)])
def test_unlike_weights_side_by_side(times: float, apart: float) -> None:
    found = told(place(("oat", 1.0)), place(("oat", times)))
    assert found.total == pytest.approx(apart, abs=6e-4)
    assert (found.by_weight, found.by_wool) == (pytest.approx(found.total), 0.0)
    # half of it for t1 (0.20 of 0.40), a quarter for the hand (0.25), together
    assert found.kinder == pytest.approx((1 - math.hypot(0.5, 0.25)) * found.total)


def test_the_kinder_end_of_unlike_wool() -> None:
    """One standard deviation less: of t2 (0.30) and of the hand (0.25), together."""
    found = told(place(("oat", 1.0)), place(("viscose", 1.0)))
    assert found.total == pytest.approx(0.36 * 0.8)
    assert found.kinder == pytest.approx(0.36 * (0.8 - math.hypot(0.30, 0.25 * 0.8)))
    assert found.kinder_by_wool == pytest.approx(found.kinder)


def test_a_kinder_end_takes_all_deviations_together() -> None:
    """Twice the weight of treated wool: both ways work alike; half of it: against each other."""
    plain = place(("oat", 1.0))
    for times, sign in ((2.0, 1), (0.5, -1)):
        found = told(plain, place(("treated", times)))
        size = 0.36 * (sign * 0.4 * math.log(2) + 0.8 * 0.9)
        assert found.total == pytest.approx(size)
        spread = math.hypot(0.36 * 0.2 * math.log(2), 0.36 * 0.3 * 0.9, 0.25 * size)
        assert found.kinder == pytest.approx(size - spread)
    even = told(plain, place(("crossbred", 0.4)))
    assert even.kinder == 0.0 and even.total != 0.0


def test_open_cloth_and_nothing_at_all_do_not_count() -> None:
    wool = place(("oat", 0.3))
    assert told(wool, place(("gauze", 0.1), ("oat", 0.3))).total == pytest.approx(0, abs=1e-9)
    assert told(wool, place(("gauze", 0.1))) == Apart(0.0, 0.0, 0.0, 0.0, 0.0)
    assert place(("gauze", 0.1)).strain("firm") == 0.0
    assert wool.strain("firm") == pytest.approx(0.36 * (1 - 0.4 * math.log(0.3 * OUNCE / 400)))
    with pytest.raises(ValueError):
        wool.strain("soft")
