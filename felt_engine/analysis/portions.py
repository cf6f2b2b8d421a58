"""What is put on the scale at once: portions of placements, and parts of blends."""

from __future__ import annotations

import attrs

from felt_engine.model.layup import Layer, Placement
from felt_engine.model.lots import Blend
from felt_engine.model.recipe import Recipe
from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.analysis.build import Build

CUT = ("open cloth", "close cloth", "felt", "prefelt")
"""Preparations that are cut to a size and not weighed out."""

ROUNDED = 0.005
"""Part by which portions may come to more than their batch: half a step in the third digit, to which
amounts are rounded as they are written."""


@attrs.frozen(eq=False, repr=False)
class Portion(Value):
    """One amount as it is weighed out, kg, and the batch that it is divided from, if it is.

    ``times`` is how many of it are weighed out: faces and pieces that each get one.
    """

    layer: Layer
    placement: Placement
    key: tuple[int, int]
    kg: float
    batch: float | None
    times: int

    @property
    def weighed(self) -> float:
        """What lies on the scale, kg."""
        return self.kg if self.batch is None else self.batch


@attrs.frozen(eq=False, repr=False)
class BlendPart(Value):
    """One lot's part of a blend, kg, where the blend is made once for all that is laid of it."""

    blend: Blend
    lot: str
    kg: float
    share: float
    as_weight: bool


def portions(build: Build) -> tuple[Portion, ...]:
    """All portions, in the order of laying; sheets that are cut to size are left out.

    An amount per area is weighed as what it comes to on its zone. Amounts for all pieces together
    are weighed together.
    """
    recipe = build.recipe
    found = []
    for number, layer in enumerate(recipe.layers):
        for index, placement in enumerate(layer.placements):
            lots = recipe.fractions(placement.of)
            if all(lot.preparation in CUT for lot, _ in lots):
                continue
            key = number, index
            found.append(_portion(recipe, layer, placement, key, build.masses[key]))
    return tuple(found)


def _portion(
    recipe: Recipe, layer: Layer, placement: Placement, key: tuple[int, int], mass: float
) -> Portion:
    faces = 2 if placement.face == "each" else 1
    pieces = recipe.piece.count
    amount = placement.amount
    kg = mass / faces
    if amount.kind == "weight":
        kg = amount.si
        if recipe.piece.amounts_for == "all":
            pieces = 1
    batch = placement.divided_from
    return Portion(layer, placement, key, kg, batch.si if batch else None, faces * pieces)


def blend_parts(build: Build) -> tuple[BlendPart, ...]:
    """The parts of every blend that is laid: as written where they are weights, else of the batch.

    The batch is all that is laid of the blend on all pieces, or a larger one that it is divided from.
    """
    recipe = build.recipe
    laid: dict[str, float] = {}
    batches: dict[str, float] = {}
    for number, layer in enumerate(recipe.layers):
        for index, placement in enumerate(layer.placements):
            name = placement.of
            mass = build.masses[number, index] * recipe.piece.count
            laid[name] = laid.get(name, 0.0) + mass
            if placement.divided_from:
                batches[name] = max(batches.get(name, 0.0), placement.divided_from.si)
    found = []
    for blend in recipe.blends:
        batch = max(laid.get(blend.name, 0.0), batches.get(blend.name, 0.0))
        if not batch:
            continue
        shares = dict(blend.fractions())
        for lot, share in blend.parts:
            as_weight = share.basis == "weight"
            kg = share.value if as_weight else batch * shares[lot]
            found.append(BlendPart(blend, lot, kg, shares[lot], as_weight))
    return tuple(found)


__all__ = ["BlendPart", "Portion", "blend_parts", "portions"]
