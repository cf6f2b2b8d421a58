"""The report: plain frozen values that pickle, compare and turn into JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from felt_engine.checking.drawn import Drawing, Mark
from felt_engine.declare import LEVELS, Figure
from felt_engine.errors import CallError, Problem, shortened
from felt_engine.model.amount import in_pint
from felt_engine.value import Value

if TYPE_CHECKING:
    import pint

    from felt_engine.checking.numbers import HouseNumbers, SwitchedOff

REPORT_FORMAT = 1


@attrs.frozen(eq=False, repr=False)
class Spot(Value):
    """A place in the recipe's file: a JSON Pointer, and line and column from 1 where there is text.

    ``thing`` says in words what stands there.
    """

    thing: str
    pointer: str
    line: int | None = None
    column: int | None = None


@attrs.frozen(eq=False, repr=False)
class Consequence(Value):
    """What another rule found that comes of the same slip: mend the slip, and it goes."""

    rule: str
    level: str
    spot: Spot
    message: str
    where: str = ""
    fingerprint: str = ""
    reach: tuple[str, ...] = ()


@attrs.frozen(eq=False, repr=False)
class ReportedFinding(Value):
    """A finding with its place. ``waived`` is the reason of the waiver that accepts it, if any.

    ``marks`` say where on the layout it is; none means all of it. ``explains`` is what other rules
    found that comes of it; it is as grave as the gravest of them. ``rule_says`` is the level that
    the rule itself gave, where the studio file changes it. ``fingerprint`` stays the same from run to
    run while the rule and what it is about do; ``reach`` says in which ninths of a face it lies, or by
    which names it goes. ``known`` says that a file of known findings has it: then it stops no run.
    """

    rule: str
    level: str
    spot: Spot
    message: str
    do: str
    measured: Figure | None = None
    limit: Figure | None = None
    how: str = ""
    where: str = ""
    waived: str | None = None
    marks: tuple[Mark, ...] = ()
    explains: tuple[Consequence, ...] = ()
    rule_says: str | None = None
    fingerprint: str = ""
    known: bool = False
    reach: tuple[str, ...] = ()

    @property
    def heading(self) -> str:
        """Its level and what it is in; whether a waiver accepts it, or it is known from before."""
        how = "accepted " if self.waived is not None else "known " if self.known else ""
        word = f"{how}{self.level}"
        thing = self.spot.thing
        numbered = "“" not in thing and any(map(str.isdigit, thing))
        return f"{word[0].upper()}{word[1:]} in {'' if numbered else 'the '}{thing}"

    @property
    def compared(self) -> str:
        """What was measured beside its limit, with units; empty where nothing was."""
        measured, limit = self.measured, self.limit
        if measured is None:
            return ""
        text = f"{measured.name} {_digits(measured.value)} {measured.unit}".rstrip()
        if limit is None:
            return text
        return f"{text}; limit {_digits(limit.value)} {limit.unit}".rstrip() + f" ({limit.name})"


@attrs.frozen(eq=False, repr=False)
class Remark(Value):
    """Something a rule says that is no finding: a tip, or what it was not told."""

    rule: str
    spot: Spot
    text: str


@attrs.frozen(eq=False, repr=False)
class NotJudged(Value):
    """A rule, or a whole plugin, that broke down: never to be taken for silence."""

    what: str
    package: str
    version: str
    reason: str
    trace: str = attrs.field(default="", eq=False, repr=False)

    @property
    def owner(self) -> str:
        """The package and its version, or the name of a rule file."""
        return f"{self.package} {self.version}".strip()

    @property
    def told(self) -> str:
        """What broke down, whose it is where that is another name, and why."""
        whose = "" if self.owner in ("", self.what) else f", from {self.owner}"
        return f"{self.what}{whose}: {self.reason}"


@attrs.frozen(eq=False, repr=False)
class Intent(Value):
    """A purpose or a waiver of the recipe, and whether anything matched it."""

    what: str
    where: str
    why: str
    spot: Spot
    matched: bool


@attrs.frozen(eq=False, repr=False)
class WeightLine(Value):
    """One weight: grams and ounces of the same amount, unrounded, and the sum behind it."""

    name: str
    grams: float
    ounces: float
    how: str

    def to_pint(self, registry: pint.UnitRegistry[Any] | None = None) -> Any:
        """This weight as a pint quantity in grams (pint is imported only here).

        TypeError for what is no registry of pint's.
        """
        return in_pint(self.grams, "gram", registry)

    @property
    def shown(self) -> tuple[str, str]:
        """Grams to a hundredth and ounces to a thousandth, as text."""
        return f"{self.grams:.2f}", f"{self.ounces:.3f}"


@attrs.frozen(eq=False, repr=False)
class FaceFigures(Value):
    """Figures of one face: area, mean weight, pull and its axis, thinnest place."""

    face: str
    area_m2: float
    mean_g_m2: float
    thinnest_g_m2: float
    thickest_g_m2: float
    pull: float
    axis_deg: float | None
    bare_index: float


@attrs.frozen(eq=False, repr=False)
class WeightTable(Value):
    """Weights of one piece; ``all_pieces`` covers all that are made."""

    by_layer: tuple[WeightLine, ...]
    by_lot: tuple[WeightLine, ...]
    by_fibre: tuple[WeightLine, ...]
    piece: WeightLine
    all_pieces: WeightLine
    pieces: int

    @property
    def by_lot_in_all(self) -> tuple[WeightLine, ...]:
        """By lot, for all pieces together."""
        return tuple(
            WeightLine(
                one.name, one.grams * self.pieces, one.ounces * self.pieces,
                f"{one.how}, x {self.pieces}",
            )
            for one in self.by_lot
        )  # fmt: skip

    @property
    def adds_up(self) -> bool:
        """Whether every column, each figure rounded by itself, adds up to its sum as it is shown."""
        tables = [(lines, self.piece) for lines in (self.by_layer, self.by_lot, self.by_fibre)]
        if self.pieces > 1:
            tables.append((self.by_lot_in_all, self.all_pieces))
        return all(
            abs(sum(map(float, column)) - float(whole)) < 1e-6
            for lines, total in tables
            for *column, whole in zip(*(one.shown for one in (*lines, total)), strict=True)
        )


@attrs.frozen(eq=False, repr=False)
class Report(Value):
    """All that is said of one recipe. ``problems`` says why it could not be read, if it couldn't.

    ``judged`` has the ids of the rules that looked at it, ``looked_for`` their titles.
    ``drawing`` is there only if it was asked for.
    """

    name: str
    title: str = ""
    problems: tuple[Problem, ...] = ()
    findings: tuple[ReportedFinding, ...] = ()
    unsaid: tuple[Remark, ...] = ()
    tips: tuple[Remark, ...] = ()
    not_judged: tuple[NotJudged, ...] = ()
    purposes: tuple[Intent, ...] = ()
    waivers: tuple[Intent, ...] = ()
    judged: tuple[str, ...] = ()
    looked_for: tuple[str, ...] = ()
    weights: WeightTable | None = None
    faces: tuple[FaceFigures, ...] = ()
    engine: str = ""
    use: str | None = None
    drawing: Drawing | None = None
    studio: HouseNumbers | None = None
    off: tuple[SwitchedOff, ...] = ()

    def at_level(self, level: str) -> tuple[ReportedFinding, ...]:
        """Findings of this level that no waiver accepts, and that aren't known from before.

        TypeError for what is no text, CallError for a level that there isn't.
        """
        _asked_level(level, "level")
        return tuple(
            f for f in self.findings if f.level == level and f.waived is None and not f.known
        )

    @property
    def known(self) -> tuple[ReportedFinding, ...]:
        """Findings that a file of known findings has, so that they don't stop a run."""
        return tuple(f for f in self.findings if f.known)

    @property
    def verdict(self) -> str:
        """``unreadable``, ``not judged``, ``fault``, ``caution``, ``known``, ``note`` or ``right``.

        ``known``: nothing graver than a note but what is known from before.
        """
        if self.problems:
            return "unreadable"
        for level in ("fault", "caution"):
            if self.at_level(level):
                return level
        if self.not_judged or not self.judged:
            return "not judged"
        if self.known:
            return "known"
        return "note" if self.at_level("note") else "right"

    def exit_status(self, stop_at: str = "fault") -> int:
        """0 nothing at the level that stops, 1 findings that stop, 2 unreadable, 3 a breakdown.

        TypeError for what is no text, CallError for a level that there isn't.
        """
        _asked_level(stop_at, "stop_at")
        if self.not_judged:
            return 3
        if self.problems or not self.judged:
            return 2
        stopping = LEVELS[: LEVELS.index(stop_at) + 1]
        return 1 if any(self.at_level(level) for level in stopping) else 0


def _asked_level(level: object, what: str) -> None:
    if not isinstance(level, str):
        raise TypeError(f"{what}: expected a level, such as fault, and not {type(level).__name__}")
    if level not in LEVELS:
        raise CallError(
            f"no level is called {shortened(level, 80)!r}: there are {', '.join(LEVELS)}"
        )


def _digits(value: float) -> str:
    """Three digits, or all that stand before the point."""
    return f"{value:.3g}" if abs(value) < 999.5 else f"{value:.0f}"


def unread(path: str, found: str, expected: str, mend: str) -> Report:
    """A report that a file wasn't read, and why."""
    return Report(path, problems=(Problem(found, expected, mend, kind="text"),))


def led_out(path: str) -> Report:
    """A report that a file in a folder is a link that leads out of it."""
    mend = "name the file itself, or copy it here"
    return unread(path, "a link that leads out of the folder", "a recipe in it", mend)
