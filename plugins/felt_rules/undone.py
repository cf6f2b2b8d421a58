"""What would not be found if a slip were undone: told once, under the slip."""

from __future__ import annotations

from collections.abc import Iterable

from felt_engine import Layer, Placement, Recipe, Seen

GRAVITY = {"fault": 3, "caution": 1, "note": 0}
"""How much a finding weighs against others (own choice)."""

Found = tuple[Seen, ...]


def names(about: object) -> tuple[str, ...]:
    """What a thing in a recipe goes by."""
    return tuple(str(getattr(about, name, "")) for name in ("name", "of", "zone", "face", "title"))


def key(seen: Seen, recipe: Recipe) -> tuple[str, ...]:
    """What a finding is of: the same for one whose figures alone are others.

    One amount of a layer is told from the same of another layer, and is the same in a list of one.
    """
    rule, finding = seen
    about: object = finding.about
    if isinstance(about, Layer) and len(about.placements) == 1:
        about = about.placements[0]
    layer = ""
    if isinstance(about, Placement):
        having = (one.name for one in recipe.layers if any(p is about for p in one.placements))
        layer = next(having, "")
    return rule, type(about).__name__, layer, *names(about)


def gone(before: Found, recipe: Recipe, after: Found, changed: Recipe) -> Found:
    """Faults and cautions of a recipe that are no longer found, in whatever figures, in the changed one.

    What a rule newly finds about something else may be the same, named otherwise: then all of it stays.
    """
    known = _keys(before, recipe)
    left = _keys((seen for seen in after if GRAVITY[seen[1].level]), changed)
    moved = {rule for rule, *_ in left - known}
    return tuple(
        s for s in before
        if GRAVITY[s[1].level] and key(s, recipe) not in left and s[0] not in moved
    )  # fmt: skip


def _keys(found: Iterable[Seen], recipe: Recipe) -> set[tuple[str, ...]]:
    return {key(seen, recipe) for seen in found}
