"""What unit-slip sees of fineness: a decimal point that makes a wool as fine as no sheep grows."""

from __future__ import annotations

import re
from collections.abc import Iterator

import attrs

from felt_engine import Bench, Finding, Lot, Recipe, Said, Seen, figures
from felt_rules import undone

NEAR = 1.33
"""How far outside of what is usual for its fibre it may lie with its point moved (own choice)."""


def judge(bench: Bench) -> Iterator[Said]:
    """Lots of wool or hair, far from the usual diameters of their fibre."""
    for lot in bench.recipe.lots:
        stuff = bench.build.stuffs.get(lot.name)
        if lot.fineness is None or stuff is None or stuff.fibre.group not in ("wool", "hair"):
            continue
        usual, said = stuff.fibre.diameter, lot.fineness.usual
        far = bench.limit("fineness")
        if (
            figures.steady(usual.low / far)
            <= figures.steady(said)
            <= figures.steady(usual.high * far)
        ):
            continue
        meant = [
            (text, by) for text, by in _moved(lot.fineness.text)
            if usual.low / NEAR <= said * by <= usual.high * NEAR
        ]  # fmt: skip
        yield _finding(bench, lot, meant[0] if meant else None)


def _moved(text: str) -> Iterator[tuple[str, float]]:
    """The text with its point a place on, or back, if it is one number with a unit."""
    match = re.fullmatch(r"([0-9]+(?:[.,][0-9]+)?) ?([^0-9]+)", text)
    if match is not None:
        for by in (10.0, 0.1):
            yield f"{float(match[1].replace(',', '.')) * by:.6g} {match[2]}", by


def _finding(bench: Bench, lot: Lot, meant: tuple[str, float] | None) -> Finding:
    assert lot.fineness is not None
    usual = bench.build.stuffs[lot.name].fibre.diameter
    band = f"{usual.low * 1e6:.3g} to {usual.high * 1e6:.3g} um"
    said = lot.fineness.text
    gone: tuple[Seen, ...] = ()
    told = ""
    if meant is not None:
        changed = _changed(bench.recipe, lot, *meant)
        gone = undone.gone(bench.found, bench.recipe, bench.again(changed), changed)
        told = f" It may have been meant as {meant[0]}."
    return bench.finding(
        "caution",
        lot,
        f"The {lot.fibre} of “{lot.name}” is said to be {said}; usual is {band}.{told}",
        f"Write {meant[0]}, if that was meant; else check the fineness, or the fibre." if meant
        else "Check the fineness, and the fibre.",
        how=f"usual diameters of the fibre table, {band}; far is a factor of {bench.limit('fineness'):.2g}",
        explains=tuple(finding for _, finding in gone),
    )  # fmt: skip


def _changed(recipe: Recipe, lot: Lot, text: str, by: float) -> Recipe:
    assert lot.fineness is not None
    said = lot.fineness
    fineness = attrs.evolve(said, text=text, low=said.low * by, high=said.high * by)
    lots = tuple(attrs.evolve(one, fineness=fineness) if one is lot else one for one in recipe.lots)
    return attrs.evolve(recipe, lots=lots)
