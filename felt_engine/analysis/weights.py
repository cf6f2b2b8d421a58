"""Weights by placement, layer, lot, fibre and piece, in kg, with what each covers."""

from __future__ import annotations

import attrs

from felt_engine.analysis.layout import Layout
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.recipe import Recipe
from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class Weight(Value):
    """One line of a table of weights: a name, kg, and how it was got."""

    name: str
    kg: float
    how: str


@attrs.frozen(eq=False, repr=False)
class Weights(Value):
    """Weights of one piece, kg. ``count`` pieces are made."""

    by_layer: tuple[Weight, ...]
    by_lot: tuple[Weight, ...]
    by_fibre: tuple[Weight, ...]
    piece: Weight
    count: int
    past_outline: float
    """Fibre laid past the outline and not turned over: trimmed or drawn in, kg."""


def placed_mass(recipe: Recipe, placement: Placement, area: float) -> float:
    """Weight of a placement on one piece, kg; ``area`` is what it is laid on, m², on all faces."""
    amount = placement.amount
    return amount.si * (area if amount.kind == "areal" else times_laid(recipe, placement))


def times_laid(recipe: Recipe, placement: Placement) -> float:
    """How often an amount by weight lies on one piece: twice for each face, a part of it for all."""
    times = 2 if placement.face == "each" else 1
    return times / recipe.piece.count if recipe.piece.amounts_for == "all" else times


def weigh(recipe: Recipe, layout: Layout) -> Weights:
    """All weights of one piece."""
    layers: list[Weight] = []
    lots: dict[str, float] = {lot.name: 0.0 for lot in recipe.lots}
    past = 0.0
    for number, layer in enumerate(recipe.layers):
        kg = 0.0
        for index, placement in enumerate(layer.placements):
            area = layout.spread_area[number, index]
            mass = placed_mass(recipe, placement, area)
            kg += mass
            past += mass * layout.past_area.get((number, index), 0.0) / area
            for lot, share in recipe.fractions(placement.of):
                lots[lot.name] += mass * share
        layers.append(Weight(layer.name, kg, _how(recipe, layer)))
    fibres: dict[str, float] = {}
    names: dict[str, list[str]] = {}
    for lot in recipe.lots:
        fibres[lot.fibre] = fibres.get(lot.fibre, 0.0) + lots[lot.name]
        names.setdefault(lot.fibre, []).append(lot.name)
    total = sum(weight.kg for weight in layers)
    return Weights(
        tuple(layers),
        tuple(Weight(n, kg, "all its placements, by share in blends") for n, kg in lots.items()),
        tuple(Weight(n, kg, " + ".join(names[n])) for n, kg in fibres.items()),
        Weight("one piece", total, "all layers, bottom to top"),
        recipe.piece.count,
        past,
    )


def _how(recipe: Recipe, layer: Layer) -> str:
    terms = []
    for placement in layer.placements:
        text = f"{placement.amount.text} {placement.of}"
        if placement.face == "each":
            text += " on each face"
        if placement.zone != "whole":
            text += f" on {placement.zone}"
        terms.append(text)
    how = " + ".join(terms[:6]) + (f" + {len(terms) - 6} more" if len(terms) > 6 else "")
    kinds = {placement.amount.kind for placement in layer.placements}
    if recipe.piece.amounts_for == "all" and "weight" in kinds:
        what = "weights divided" if len(kinds) > 1 else "divided"
        how += f", {what} by {recipe.piece.count}"
    return how
