"""What Saltgrass Felt adds to the engine: one hook a kind, each with its own tuple."""

from __future__ import annotations

from importlib import import_module

from felt_engine import Caution, Exporter, FibreEntry, Rule, UseEntry, hook

felt_engine_contract = 1

RULES = ("class_table",)
"""One file a rule."""


@hook
def felt_engine_rules() -> tuple[Rule, ...]:
    """The studio's rules."""
    return tuple(import_module(f"{__name__}.{name}").RULE for name in RULES)


@hook
def felt_engine_exporters() -> tuple[Exporter, ...]:
    """The list for the shelf."""
    from saltgrass_studio.shelf_list import EXPORTER

    return (EXPORTER,)


@hook
def felt_engine_fibres() -> tuple[FibreEntry, ...]:
    """The neighbour's flock."""
    from saltgrass_studio.tables import DUNE_CROSS

    return (DUNE_CROSS,)


@hook
def felt_engine_uses() -> tuple[UseEntry, ...]:
    """What the harbour buys."""
    from saltgrass_studio.tables import FLOAT_COVER

    return (FLOAT_COVER,)


@hook
def felt_engine_cautions() -> tuple[Caution, ...]:
    """Our floor is of boards."""
    from saltgrass_studio.tables import WET_FLOOR

    return (WET_FLOOR,)
