"""The rules that come with the engine: one hook, one tuple, one rule a file."""

from __future__ import annotations

from felt_engine import Rule, hook

felt_engine_contract = 1


@hook
def felt_engine_rules() -> tuple[Rule, ...]:
    """The built-in rules."""
    from felt_rules import (
        below_scale,
        direction_balance,
        halo_clash,
        luster_carrier,
        sizes_agree,
        stated_totals,
        thin_layer,
        uneven_shrinking,
        unit_slip,
        weight_for_use,
    )

    return (
        below_scale.RULE,
        direction_balance.RULE,
        halo_clash.RULE,
        luster_carrier.RULE,
        sizes_agree.RULE,
        stated_totals.RULE,
        thin_layer.RULE,
        uneven_shrinking.RULE,
        unit_slip.RULE,
        weight_for_use.RULE,
    )
