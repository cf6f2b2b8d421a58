"""Fibres, uses and cautions as the tables give them, and the tables themselves, as values."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

import attrs

from felt_engine.value import Value, fenced


@attrs.frozen(eq=False, repr=False)
class Span(Value):
    """A figure that is known as a range: low, usual, high."""

    low: float
    usual: float
    high: float


@attrs.frozen(eq=False, repr=False)
class FibreEntry(Value):
    """One fibre. ``felts`` is on the merino scale (merino of 18 to 23 um is 1, no felting is 0).

    ``density`` in kg/m³; ``diameter`` in metres, for film its thickness. ``sources`` pairs each
    figure's name with where it is from and how sure that is.
    """

    name: str
    group: str
    felts: Span
    density: float
    diameter: Span
    film: bool = False
    heat_bondable: bool = False
    luster: bool = False
    legal: tuple[tuple[str, str], ...] = ()
    also: tuple[str, ...] = ()
    note: str = ""
    sources: tuple[tuple[str, str, str], ...] = ()


@attrs.frozen(eq=False, repr=False)
class UseEntry(Value):
    """One use. ``low`` and ``high`` bound the laid-out weight, kg/m²; ``open`` means holes are meant,
    ``one_way`` that fibre along it alone is right, ``relief`` that thick beside thin is part of it,
    ``walls`` that the two faces of a flat resist are to come out alike.

    ``bare_caution`` and ``bare_fault`` are the bare index from which a place is thin.
    """

    name: str
    low: float
    high: float
    open: bool = False
    one_way: bool = False
    bare_caution: float = 0.03
    bare_fault: float = 0.08
    also: tuple[str, ...] = ()
    note: str = ""
    sources: tuple[tuple[str, str, str], ...] = ()
    relief: bool = False
    walls: bool = False


@attrs.frozen(eq=False, repr=False)
class Caution(Value):
    """The usual line of caution about a hazard: what it warns of, the line, and what calls for it."""

    about: str
    says: str
    when: str
    source: str


class Table(Mapping[str, Any]):
    """Entries by name, built when first asked for. ``names`` maps every spelling to an entry."""

    def __init__(self, raw: Mapping[str, Any], make: Callable[[str, Any], Any]) -> None:
        self._raw, self._make = dict(raw), make
        self._made: dict[str, Any] = {}
        self.names: dict[str, str] = {}
        for name in self._raw:
            self.names[name] = name
        for name, entry in self._raw.items():
            for other in entry["also"] if isinstance(entry, dict) else entry.also:
                self.names.setdefault(other, name)

    def __getitem__(self, name: str) -> Any:
        found = self._made.get(name)
        if found is None:
            raw = self._raw[name]
            found = self._made[name] = self._make(name, raw) if isinstance(raw, dict) else raw
        return found

    def __iter__(self) -> Iterator[str]:
        return iter(self._raw)

    def __len__(self) -> int:
        return len(self._raw)

    def with_entries(self, entries: Mapping[str, Any]) -> Table:
        """A new table in which these entries are added or replace those of the same name."""
        return Table({**self._raw, **entries}, self._make)


@attrs.frozen(eq=False, repr=False)
class Catalogue(Value):
    """The fibre table and the use table that a run works with, and what it adds to the cautions."""

    fibres: Table
    uses: Table
    treated_felts: Span
    cautions: Mapping[str, Caution] = attrs.field(factory=dict)

    @property
    def names(self) -> dict[str, dict[str, str]]:
        """For reading: every name that may be written for a fibre, a use or an added hazard."""
        hazards = {name: name for name in self.cautions}
        return {"fibre": self.fibres.names, "use": self.uses.names, "hazard": hazards}

    @fenced
    def with_entries(
        self, fibres: Iterable[FibreEntry], uses: Iterable[UseEntry],
        cautions: Iterable[Caution] = (),
    ) -> Catalogue:  # fmt: skip
        """A new catalogue in which these are added or replace those of the same name."""
        return Catalogue(
            self.fibres.with_entries({one.name: one for one in fibres}),
            self.uses.with_entries({one.name: one for one in uses}),
            self.treated_felts,
            {**self.cautions, **{one.about: one for one in cautions}},
        )
