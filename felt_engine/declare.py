"""What plugins hand over, and what a rule says: plain frozen values, no base classes.

A rule is data plus one function of one argument, the :class:`Bench` of
:mod:`felt_engine.checking.bench`. It yields findings, tips, and what it was not told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

import attrs

from felt_engine.model.catalogue import Caution, FibreEntry, Span, UseEntry
from felt_engine.value import Value

if TYPE_CHECKING:
    from felt_engine.analysis.build import Place
    from felt_engine.checking.bench import Bench
    from felt_engine.checking.report import Report

WIDEST = 100_000
"""Most characters in a line of a sheet."""

LEVELS = ("fault", "caution", "note")
"""A fault will fail, a caution may, a note is worth knowing. In falling order."""


@attrs.frozen(eq=False, repr=False)
class Figure(Value):
    """A number with its name and unit (an empty unit is a bare ratio or index)."""

    name: str
    value: float
    unit: str = ""


@attrs.frozen(eq=False, repr=False)
class Limit(Value):
    """A number that a rule compares with: its default, unit, source, and where it holds."""

    name: str
    default: float
    unit: str
    about: str
    source: str
    holds: str = "no range is known"


@attrs.frozen(eq=False, repr=False)
class Example(Value):
    """A recipe on a rule's page: its text, and the level that the rule finds in it, if any."""

    title: str
    text: str
    finds: str | None = None


@attrs.frozen(eq=False, repr=False)
class Finding(Value):
    """One thing that a rule saw.

    ``about`` is the part of the recipe that it is about; the engine turns it into a place in the
    file. ``where`` says in words where on the piece. ``also`` are names that a waiver or a purpose
    may use for it besides that part's own name. ``at`` are the places of the build that it is
    about, which a page marks; none means the whole face or piece. ``explains`` are findings of
    other rules that come of this slip (see ``reconsiders`` of a rule): they hang under it.
    """

    level: str
    about: object
    message: str
    do: str
    measured: Figure | None = None
    limit: Figure | None = None
    how: str = ""
    where: str = ""
    also: tuple[str, ...] = ()
    at: tuple[Place, ...] = ()
    explains: tuple[Finding, ...] = ()


@attrs.frozen(eq=False, repr=False)
class Unsaid(Value):
    """What a rule would have to be told to judge: neither a finding nor silence."""

    about: object
    what: str


@attrs.frozen(eq=False, repr=False)
class Tip(Value):
    """Advice that follows from a right recipe."""

    about: object
    text: str


Said = Finding | Unsaid | Tip
Seen = tuple[str, Finding]
"""A rule's id, and a finding of it."""


@attrs.frozen(eq=False, repr=False)
class Rule(Value):
    """One rule: its page as data, and the function that judges.

    ``purposes`` are the words that a recipe's *on purpose* may use for what this rule looks at.
    ``weak_spots`` says where it is known to be unsure or wrong. ``explained_by`` are ids of rules
    whose finding at the same place is the cause of this rule's: it is then reported under that
    cause, and not by itself. A rule that ``reconsiders`` runs when the others are done, and may ask
    the bench what they found, and what they would find in a changed recipe. ``formerly`` are ids
    that it had: studio files and waivers that still name it so hold, with a note; the
    oldest comes first, for the fingerprints of its findings are made from it.
    """

    id: str
    title: str
    since: str
    purpose: str
    judge: Callable[[Bench], Iterable[Said]]
    limits: tuple[Limit, ...] = ()
    examples: tuple[Example, ...] = ()
    purposes: tuple[str, ...] = ()
    model: str = ""
    weak_spots: str = ""
    laws: tuple[str, ...] = ()
    explained_by: tuple[str, ...] = ()
    reconsiders: bool = False
    formerly: tuple[str, ...] = ()


@attrs.frozen(eq=False, repr=False)
class RuleText(Value):
    """A rule's page for exporters: ``help`` is the whole of it, in paragraphs of plain text.

    ``markdown`` is the same page as Markdown, every text escaped.
    """

    id: str
    title: str
    purpose: str
    help: str
    owner: str = ""
    markdown: str = ""


@attrs.frozen(eq=False, repr=False)
class Sheet(Value):
    """How a report is wanted: its width in characters, and whether colour may be used.

    ``rules`` are the pages of the rules that judged; none where nobody filled them in. ``stop_at``
    is the lowest level that stops a run. TypeError for a width that is no whole number, ValueError
    for one below 1 and for a level that there is not.
    """

    width: int = 80
    colour: bool = False
    rules: tuple[RuleText, ...] = ()
    stop_at: str = "fault"

    def __attrs_post_init__(self) -> None:
        if isinstance(self.width, bool) or not isinstance(self.width, int):
            kind = type(self.width).__name__
            raise TypeError(f"a sheet’s width is a whole number of characters, and not {kind}")
        if self.width < 1:
            raise ValueError(f"a sheet’s width is 1 character or more, and not {self.width}")
        if self.width > WIDEST:
            raise ValueError(f"a sheet’s width is at most {WIDEST} characters")
        if not isinstance(self.rules, tuple) or not all(
            isinstance(one, RuleText) for one in self.rules
        ):
            raise TypeError("a sheet’s rules are RuleText values in a tuple")
        if self.stop_at not in LEVELS:
            known = ", ".join(LEVELS)
            said = self.stop_at if isinstance(self.stop_at, str) else ""
            raise ValueError(f"no level is called {said[:80]!r}: there are {known}")


@attrs.frozen(eq=False, repr=False)
class Exporter(Value):
    """Turns reports into text: ``render`` gets them one by one and yields pieces of text.

    ``draws`` asks for reports with their drawing. An exporter that writes one file a recipe has
    ``files`` too: it yields pairs of a relative name and its pieces of text.
    """

    name: str
    about: str
    render: Callable[[Iterable[Report], Sheet], Iterator[str]]
    suffix: str = ".txt"
    draws: bool = False
    files: Callable[[Iterable[Report], Sheet], Iterator[tuple[str, Iterable[str]]]] | None = None


__all__ = [
    "LEVELS", "Caution", "Example", "Exporter", "FibreEntry", "Figure", "Finding", "Limit", "Rule",
    "RuleText", "Said", "Seen", "Sheet", "Span", "Tip", "Unsaid", "UseEntry",
]  # fmt: skip
