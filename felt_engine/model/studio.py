"""The studio file: the house's own numbers, as values that are handed on."""

from __future__ import annotations

import attrs

from felt_engine.model.amount import Amount, Price
from felt_engine.model.catalogue import FibreEntry, UseEntry
from felt_engine.model.recipe import Source
from felt_engine.value import Value, fenced


@attrs.frozen(eq=False, repr=False)
class KnownLimit(Value):
    """A limit of a loaded rule, as the reader of a studio file needs to know it."""

    name: str
    unit: str
    default: float
    about: str = ""


@attrs.frozen(eq=False, repr=False)
class KnownRule(Value):
    """A loaded rule, as the reader of a studio file needs to know it."""

    id: str
    title: str = ""
    limits: tuple[KnownLimit, ...] = ()


@attrs.frozen(eq=False, repr=False)
class KnownFormer(Value):
    """An id that a rule had, what it is ``now`` (``None`` if it is no more), and that in words."""

    id: str
    now: str | None
    told: str


@attrs.frozen(eq=False, repr=False)
class LimitSetting(Value):
    """A limit that the studio sets: ``text`` as entered, ``value`` in the limit's own ``unit``."""

    name: str
    text: str
    value: float
    unit: str


@attrs.frozen(eq=False, repr=False)
class RuleSetting(Value):
    """What the studio says of one rule. ``switched_off`` is the reason why it doesn't run.

    ``loudest`` is the highest level that its findings may have, ``quietest`` the lowest.
    ``written`` is the rule's name in the file, where that is a former one.
    """

    rule: str
    switched_off: str | None = None
    loudest: str | None = None
    quietest: str | None = None
    limits: tuple[LimitSetting, ...] = ()
    written: str | None = None


@attrs.frozen(eq=False, repr=False)
class Studio(Value):
    """A studio file. ``file`` is what reports call it; what it leaves out is ``None`` or empty.

    ``prices`` and ``stock`` are by the name of a lot or a fibre. ``notes`` say what became of rules
    that it calls by a name of old.
    """

    name: str
    file: str = ""
    rules: tuple[RuleSetting, ...] = ()
    needed_plugins: tuple[str, ...] = ()
    rule_files: tuple[str, ...] = ()
    as_of: str | None = None
    plugins_as_of: tuple[tuple[str, str], ...] = ()
    scale_step: Amount | None = None
    readers: tuple[str, ...] = ()
    fibres: tuple[FibreEntry, ...] = ()
    uses: tuple[UseEntry, ...] = ()
    prices: tuple[tuple[str, Price], ...] = ()
    stock: tuple[tuple[str, Amount], ...] = ()
    notebook: str | None = None
    note: str | None = None
    format: int = 1
    notes: tuple[str, ...] = ()
    source: Source | None = attrs.field(default=None, eq=False, repr=False)

    @fenced
    def rule(self, rule_id: str) -> RuleSetting | None:
        """What is said of this rule, if anything is."""
        return next((one for one in self.rules if one.rule == rule_id), None)


def release(text: str) -> tuple[int, ...] | None:
    """A release such as ``0.2.1`` as numbers that compare; ``None`` for anything else.

    Noughts at the end don't count: 1.0 is 1.
    """
    parts = text.split(".")
    if not all(part.isascii() and part.isdigit() for part in parts):
        return None
    numbers = [int(part) for part in parts]
    while numbers and not numbers[-1]:
        numbers.pop()
    return tuple(numbers)
