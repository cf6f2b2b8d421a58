"""What the designer means: things done on purpose, and findings accepted."""

from __future__ import annotations

import attrs


@attrs.frozen
class Purpose:
    """Something that looks odd and is meant: what it is, where, and why."""

    what: str
    why: str
    where: str = "whole"


@attrs.frozen
class Waiver:
    """One rule's finding, accepted at one place, with the reason."""

    rule: str
    where: str
    why: str
