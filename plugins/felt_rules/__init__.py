"""The rules that come with the engine: one hook, one tuple, one rule a file."""

from __future__ import annotations

from felt_engine import Rule, hook

felt_engine_contract = 1


@hook
def felt_engine_rules() -> tuple[Rule, ...]:
    """The built-in rules."""
    from felt_rules import (
        direction_balance,
        halo_clash,
        luster_carrier,
        thin_layer,
        uneven_shrinking,
        weight_for_use,
    )

    return (
        direction_balance.RULE,
        halo_clash.RULE,
        luster_carrier.RULE,
        thin_layer.RULE,
        uneven_shrinking.RULE,
        weight_for_use.RULE,
    )
