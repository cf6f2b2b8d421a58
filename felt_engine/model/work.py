"""Tools, working steps, stated totals and printed cautions, as the recipe has them."""

from __future__ import annotations

import attrs

from felt_engine.model.amount import Amount, Size, Warmth
from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class Roller(Value):
    """The roller: how long, and how thick across."""

    length: Amount | None = None
    across: Amount | None = None


@attrs.frozen(eq=False, repr=False)
class Tools(Value):
    """What the piece is worked on and with."""

    mat: Size | None = None
    mesh: Size | None = None
    cover: Size | None = None
    roller: Roller | None = None
    iron: str | None = None
    barrier: str | None = None


@attrs.frozen(eq=False, repr=False)
class Step(Value):
    """One step of the work after laying."""

    do: str
    edge: str | None = None
    side: str | None = None
    times: int | None = None
    lasts: Amount | None = None
    water: Warmth | None = None
    soap: str | None = None
    note: str | None = None


@attrs.frozen(eq=False, repr=False)
class Total(Value):
    """A total that the recipe states, with the names that it covers and leaves out."""

    amount: Amount
    per: str = "piece"
    covers: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    note: str | None = None


@attrs.frozen(eq=False, repr=False)
class PrintedCaution(Value):
    """A caution that the sheet prints: the hazard, and the words used for it."""

    about: str
    says: str | None = None
