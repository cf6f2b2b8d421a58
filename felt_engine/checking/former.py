"""Ids that rules had: what each is called now, or why there is no such rule any more."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs

from felt_engine.declare import Rule
from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class Former(Value):
    """An id that a rule had. ``now`` is its id today; ``None`` if the rule was retired."""

    id: str
    now: str | None = None
    since: str = ""
    why: str = ""

    @property
    def told(self) -> str:
        """What became of it, in words."""
        when = f" since release {self.since}" if self.since else ""
        if self.now is None:
            said = f"The rule “{self.id}” was retired" + (
                f" in release {self.since}" if when else ""
            )
        else:
            said = f"The rule “{self.id}” is called “{self.now}”{when}"
        return f"{said}: {self.why}".rstrip(".") + "." if self.why else f"{said}."


def former_ids(
    rules: Iterable[Rule], table: Mapping[str, Mapping[str, str]]
) -> dict[str, Former]:  # fmt: skip
    """Every former id, from the rules themselves and from the table of the built-in ones.

    An id that a rule has now is no former one. Where the table's new id was changed again, the last
    one counts.
    """
    living = {rule.id: rule for rule in rules}
    found = {name: Former(name, rule.id) for rule in living.values() for name in rule.formerly}
    for name, entry in table.items():
        now: str | None = entry.get("now")
        for _ in range(len(table) + len(found)):
            if now is None or now in living:
                break
            now = found[now].now if now in found else table.get(now, {}).get("now")
        found[name] = Former(name, now, entry.get("since", ""), entry.get("why", ""))
    return {name: one for name, one in found.items() if name not in living}


__all__ = ["Former", "former_ids"]
