"""Fibre as bought, and lots mixed before they are laid."""

from __future__ import annotations

import attrs

from felt_engine.model.amount import Amount, Colour, Fineness, Price, Share
from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class Lot(Value):
    """One fibre as bought. ``None`` means that the recipe does not say."""

    name: str
    fibre: str
    preparation: str | None = None
    fineness: Fineness | None = None
    colour: Colour | None = None
    shade: str | None = None
    dye_lot: str | None = None
    price: Price | None = None
    stock: Amount | None = None
    treatment: str = "untreated"
    note: str | None = None


@attrs.frozen(eq=False, repr=False)
class Blend(Value):
    """Lots mixed by share before they are laid: pairs of lot name and share."""

    name: str
    parts: tuple[tuple[str, Share], ...]

    def fractions(self) -> tuple[tuple[str, float], ...]:
        """Each lot's part of the whole by weight; the parts add up to 1."""
        total = sum(share.value for _, share in self.parts)
        return tuple((lot, share.value / total) for lot, share in self.parts)
