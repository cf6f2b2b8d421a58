"""The rules that come with the engine: one hook, one tuple, one rule a file."""

from __future__ import annotations

from felt_engine import Rule, hook

felt_engine_contract = 1


@hook
def felt_engine_rules() -> tuple[Rule, ...]:
    """The built-in rules."""
    from felt_rules import (
        cut_off_layer,
        direction_balance,
        halo_clash,
        luster_carrier,
        thin_layer,
        treated_wool,
        uneven_shrinking,
        weight_for_use,
    )

    return (
        cut_off_layer.RULE,
        direction_balance.RULE,
        halo_clash.RULE,
        luster_carrier.RULE,
        thin_layer.RULE,
        treated_wool.RULE,
        uneven_shrinking.RULE,
        weight_for_use.RULE,
    )
