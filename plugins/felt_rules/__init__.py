"""The rules that come with the engine: one hook, one tuple, one rule a file."""

from __future__ import annotations

from importlib import import_module

from felt_engine import Rule, hook

felt_engine_contract = 1

FILES = (
    "below_scale",
    "cautions_printed",
    "cut_off_layer",
    "direction_balance",
    "edge_finish",
    "halo_clash",
    "luster_carrier",
    "order_of_work",
    "rows_and_laps",
    "sizes_agree",
    "stated_totals",
    "thin_layer",
    "tools_fit",
    "treated_wool",
    "uneven_shrinking",
    "uneven_working",
    "unit_slip",
    "weight_for_use",
)
"""One file a rule, in the order of their names."""


@hook
def felt_engine_rules() -> tuple[Rule, ...]:
    """The built-in rules."""
    return tuple(import_module(f"felt_rules.{name}").RULE for name in FILES)
