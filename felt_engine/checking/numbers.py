"""What a report says of the studio file. Imported only where there is one."""

from __future__ import annotations

import attrs

from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class SwitchedOff(Value):
    """A rule that did not look at the recipe: why, and the studio file that says so."""

    rule: str
    why: str
    by: str


@attrs.frozen(eq=False, repr=False)
class SetLimit(Value):
    """A limit that the studio file sets: as entered, and in the rule's own unit."""

    rule: str
    name: str
    text: str
    value: float
    unit: str
    default: float


@attrs.frozen(eq=False, repr=False)
class Stated(Value):
    """A price or a stock that the studio file states for a lot or a fibre of this recipe."""

    name: str
    text: str


@attrs.frozen(eq=False, repr=False)
class HouseNumbers(Value):
    """The studio file that a recipe was judged by. ``file`` is its name, never a whole path.

    ``notes`` say what became of rules that it calls by a name of old.
    """

    name: str
    file: str
    as_of: str | None = None
    limits: tuple[SetLimit, ...] = ()
    scale_step: str | None = None
    readers: tuple[str, ...] = ()
    prices: tuple[Stated, ...] = ()
    stock: tuple[Stated, ...] = ()
    notebook: str | None = None
    notes: tuple[str, ...] = ()
