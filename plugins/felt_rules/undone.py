"""What would not be found if a slip were undone: told once, under the slip."""

from __future__ import annotations

from felt_engine import Seen

GRAVITY = {"fault": 3, "caution": 1, "note": 0}
"""How much a finding weighs against others (own choice)."""


def key(seen: Seen) -> tuple[str, ...]:
    """What a finding is of: the same for one whose figures alone are others."""
    rule, finding = seen
    about = finding.about
    names = (str(getattr(about, name, "")) for name in ("name", "of", "zone", "face", "title"))
    return rule, type(about).__name__, *names


def gone(before: tuple[Seen, ...], after: tuple[Seen, ...]) -> tuple[Seen, ...]:
    """Faults and cautions of the one that are no longer found, in whatever figures, in the other.

    What a rule newly finds about something else may be the same, named otherwise: then all of it stays.
    """
    known = {key(seen) for seen in before}
    left = {key(seen) for seen in after if GRAVITY[seen[1].level]}
    moved = {rule for rule, *_ in left - known}
    return tuple(
        s for s in before if GRAVITY[s[1].level] and key(s) not in left and s[0] not in moved
    )
