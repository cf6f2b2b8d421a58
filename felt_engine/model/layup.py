"""Layers, bottom to top, and what is placed in each."""

from __future__ import annotations

import attrs

from felt_engine.model.amount import Amount, Direction, Share, Size
from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class Placement(Value):
    """An amount of one lot or blend on one zone.

    ``face`` is front, back, both (the amount is for the two together) or each. ``inline`` is true
    where the layer itself names its one amount, so that both share one place in the file.
    """

    of: str
    amount: Amount
    zone: str = "whole"
    face: str | None = None
    past: Amount | None = None
    short: Amount | None = None
    divided_from: Amount | None = None
    note: str | None = None
    inline: bool = False


@attrs.frozen(eq=False, repr=False)
class Layer(Value):
    """One pass over the piece."""

    name: str
    placements: tuple[Placement, ...]
    direction: Direction | None = None
    lay: str | None = None
    overlap: Share | None = None
    tuft: Size | None = None
    taper: Share | None = None
    rows: int | None = None
    batt_edges: str | None = None
    role: str | None = None
    wraps: Amount | None = None
    turned_in: Amount | None = None
    note: str | None = None
