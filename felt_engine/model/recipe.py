"""The whole recipe, and the text that it came from."""

from __future__ import annotations

import attrs

from felt_engine.model.amount import Amount
from felt_engine.model.intent import Purpose, Waiver
from felt_engine.model.layup import Layer
from felt_engine.model.lots import Blend, Lot
from felt_engine.model.piece import Piece, Resist, Zone
from felt_engine.model.place import join
from felt_engine.model.work import PrintedCaution, Step, Tools, Total
from felt_engine.value import Value, fenced, kept, lazy


@attrs.frozen(eq=False, repr=False)
class Source(Value):
    """Where a recipe was read from: a name to show, its text, and its door (yaml or json)."""

    name: str
    text: str = attrs.field(repr=False)
    door: str = "yaml"


@attrs.frozen(eq=False, repr=False, slots=False)
class Recipe(Value):
    """One felt build, from lots to finishing. Layers run from bottom to top."""

    piece: Piece
    lots: tuple[Lot, ...]
    layers: tuple[Layer, ...]
    blends: tuple[Blend, ...] = ()
    zones: tuple[Zone, ...] = ()
    resists: tuple[Resist, ...] = ()
    tools: Tools | None = None
    work: tuple[Step, ...] = ()
    totals: tuple[Total, ...] = ()
    scale_step: Amount | None = None
    readers: tuple[str, ...] = ()
    cautions: tuple[PrintedCaution, ...] = ()
    purposes: tuple[Purpose, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    note: str | None = None
    format: int = 1
    source: Source | None = attrs.field(default=None, eq=False, repr=False)

    @fenced
    def lot(self, name: str) -> Lot | None:
        """The lot of this name, or ``None``."""
        return next((lot for lot in self.lots if lot.name == name), None)

    @fenced
    def zone(self, name: str) -> Zone | None:
        """The zone of this name, or ``None`` (also for ``whole``, which every piece has)."""
        return self._zones.get(name)

    @lazy
    def _zones(self) -> dict[str, Zone]:
        return {zone.name: zone for zone in reversed(self.zones)}

    @fenced
    def fractions(self, name: str) -> tuple[tuple[Lot, float], ...]:
        """The lots behind a lot's or a blend's name, with their parts by weight."""
        return self._fractions(name)

    @kept
    def _fractions(self, name: str) -> tuple[tuple[Lot, float], ...]:
        lot = self.lot(name)
        if lot is not None:
            return ((lot, 1.0),)
        blend = next((b for b in self.blends if b.name == name), None)
        if blend is None:
            return ()
        found = ((self.lot(part), share) for part, share in blend.fractions())
        return tuple((lot, share) for lot, share in found if lot is not None)


_LISTS = (
    ("layers", "layers"),
    ("resists", "resists"),
    ("work", "work"),
    ("totals", "totals"),
    ("cautions", "cautions"),
    ("on purpose", "purposes"),
    ("waivers", "waivers"),
)


def pointer_of(recipe: Recipe, thing: object) -> str | None:
    """The JSON Pointer of a part of this recipe, found by identity; ``None`` if it is no part.

    Two layers that are equal are still two things, so nothing is compared by value.
    """
    if thing is recipe:
        return ""
    if thing is recipe.piece:
        return "/piece"
    if thing is recipe.tools and thing is not None:
        return "/tools"
    if thing is recipe.scale_step and thing is not None:
        return join("scale step")
    for key, named in (("lots", recipe.lots), ("blends", recipe.blends), ("zones", recipe.zones)):
        for item in named:
            if item is thing:
                return join(key, item.name)
    for key, field in _LISTS:
        for index, listed in enumerate(getattr(recipe, field)):
            if listed is thing:
                return join(key, index)
    return _placement_pointer(recipe, thing)


def _placement_pointer(recipe: Recipe, thing: object) -> str | None:
    for number, layer in enumerate(recipe.layers):
        for index, placement in enumerate(layer.placements):
            if placement is thing:
                at = join("layers", number)
                return at if placement.inline else at + join("placements", index)
    return None
