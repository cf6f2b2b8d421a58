"""What several rules ask of the stated steps, and of who works from them."""

from __future__ import annotations

from felt_engine import Bench, Step

OTHERS = ("class handout", "pattern for sale", "children")
"""Readers who weren't there when it was made up."""

WORKS = ("full", "throw", "rub", "roll", "heal edges", "other")
"""Steps that may felt the wool; what an other step does isn't known."""


def is_for_others(bench: Bench) -> bool:
    """Whether somebody else is to work from the recipe."""
    return any(reader in OTHERS for reader in bench.recipe.readers)


def first(steps: tuple[Step, ...], *names: str, after: int = -1) -> int | None:
    """The number, from 0, of the first such step after another; ``None`` if there is none."""
    return next((n for n, step in enumerate(steps) if n > after and step.do in names), None)


def last(steps: tuple[Step, ...], *names: str) -> int | None:
    """The number, from 0, of the last such step; ``None`` if there is none."""
    return max((n for n, step in enumerate(steps) if step.do in names), default=None)
