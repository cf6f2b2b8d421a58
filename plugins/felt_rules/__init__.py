"""The rules that come with the engine: one hook, one tuple, one rule a file."""

from __future__ import annotations

from felt_engine import Rule, hook

felt_engine_contract = 1


@hook
def felt_engine_rules() -> tuple[Rule, ...]:
    """The built-in rules."""
    from felt_rules import (
        cautions_printed,
        direction_balance,
        halo_clash,
        luster_carrier,
        order_of_work,
        thin_layer,
        tools_fit,
        uneven_working,
    )

    return (
        cautions_printed.RULE,
        direction_balance.RULE,
        halo_clash.RULE,
        luster_carrier.RULE,
        order_of_work.RULE,
        thin_layer.RULE,
        tools_fit.RULE,
        uneven_working.RULE,
    )
