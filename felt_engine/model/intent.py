"""What the designer means: things done on purpose, and findings accepted."""

from __future__ import annotations

import attrs

from felt_engine.value import Value


@attrs.frozen(eq=False, repr=False)
class Purpose(Value):
    """Something that looks odd and is meant: what it is, where, and why."""

    what: str
    why: str
    where: str = "whole"


@attrs.frozen(eq=False, repr=False)
class Waiver(Value):
    """One rule's finding, accepted at one place, with the reason."""

    rule: str
    where: str
    why: str
