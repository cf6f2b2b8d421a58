"""The swatch notebook: measured samples, as the maker wrote them down."""

from __future__ import annotations

import attrs

from felt_engine.model.amount import Amount, Direction, Size
from felt_engine.model.recipe import Source
from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class SwatchLayer(Value):
    """One layer of a swatch."""

    fibre: str
    amount: Amount
    direction: Direction | None = None
    preparation: str | None = None
    treatment: str = "untreated"


@attrs.frozen(eq=False, repr=False)
class Rolled(Value):
    """How often a swatch was rolled each way, both ways of a direction counted together."""

    north_south: int = 0
    east_west: int = 0


@attrs.frozen(eq=False, repr=False)
class NotedSwatch(Value):
    """A measured sample: laid out so, worked so, came out so. ``None`` means that it isn't said.

    It is either one ``fibre`` and ``amount``, with ``directions`` in equal layers, or ``layers``.
    """

    name: str
    laid_out: Size
    finished: Size
    stage: str
    date: str | None = None
    fibre: str | None = None
    amount: Amount | None = None
    preparation: str | None = None
    treatment: str = "untreated"
    directions: tuple[Direction, ...] = ()
    layers: tuple[SwatchLayer, ...] = ()
    rolled: Rolled | None = None
    note: str | None = None


@attrs.frozen(eq=False, repr=False)
class Notebook(Value):
    """A swatch notebook. ``file`` is what reports call it."""

    swatches: tuple[NotedSwatch, ...]
    title: str | None = None
    note: str | None = None
    format: int = 1
    file: str = ""
    source: Source | None = attrs.field(default=None, eq=False, repr=False)
