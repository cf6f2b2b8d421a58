"""cautions-printed: does a sheet for other people warn of what its own steps bring?"""

from __future__ import annotations

import re
from collections.abc import Iterator

import attrs

from felt_engine import Bench, Example, Figure, Limit, Rule, Said, Step, figures
from felt_rules.steps import OTHERS, is_for_others

SERIOUS = ("hot water", "blades", "hot iron", "slippery soles")
"""Hazards that any sheet for others has to name; the rest are reminders, unless for children."""

WALKED_ON = ("slippers", "boots")
SOAPS = ("neutral", "alkaline", "unknown")
ZERO = 273.15
DEFER = "Product labels, local rules and qualified advice come first."


@attrs.frozen(eq=False, repr=False)
class Hazard:
    """A hazard, the first thing that brings it, and a sentence that says so."""

    about: str
    thing: object
    because: str


def judge(bench: Bench) -> Iterator[Said]:
    """Each hazard that the steps bring and no caution names; reminders together in one tip."""
    recipe = bench.recipe
    if not is_for_others(bench) or not recipe.work:
        return
    children = "children" in recipe.readers
    printed = {caution.about for caution in recipe.cautions}
    reminders = []
    for hazard in _hazards(bench, children):
        if hazard.about in printed:
            continue
        if not children and hazard.about not in SERIOUS:
            reminders.append(hazard.about)
        elif not bench.meant("said aloud"):
            yield _finding(bench, hazard, children)
    if "hot water" in printed and not bench.meant("said aloud"):
        yield from _scalding(bench, children)
    yield from _unsaid_iron(bench, printed)
    if children and "hot water" not in printed:
        yield from _warm(bench)
    if reminders:
        yield bench.tip(
            recipe.piece, f"A line on {_listed(reminders)} would be kind to whoever works from it. "
            f"{DEFER}",
        )  # fmt: skip


def _finding(bench: Bench, hazard: Hazard, children: bool) -> Said:
    reader = next(one for one in bench.recipe.readers if one in OTHERS)
    sheet = "for children" if children else f"a {reader}"
    return bench.finding(
        "caution",
        hazard.thing,
        f"{hazard.because[0].upper()}{hazard.because[1:]}. The sheet is {sheet}, and no caution on it "
        f"names {hazard.about}: whoever works from it may not think of that.",
        f"{_cooler(bench, hazard, children)}Add it under cautions (about: {hazard.about}) in your own "
        f"words, such as: “{figures.usual_caution(hazard.about, bench.build)}” {DEFER}",
        how="cautions printed: "
        + (", ".join(caution.about for caution in bench.recipe.cautions) or "none"),
    )


def _cooler(bench: Bench, hazard: Hazard, children: bool) -> str:
    if not children or hazard.about != "hot water":
        return ""
    most = bench.limit("hot-children")
    return (
        f"Give children cooler water, below {most:.0f} °C ({most * 9 / 5 + 32:.0f} °F), or leave the "
        "step to a grown-up. "
    )


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def _hazards(bench: Bench, children: bool) -> Iterator[Hazard]:
    steps = bench.recipe.work
    yield from _hot_water(bench, children)
    wet = _first(steps, "wet", "rinse", "throw")
    if wet is not None:
        yield Hazard("wet floor", wet, f"{_number(steps, wet)} brings water to the floor")
    blade = _first(steps, "cut", "trim")
    if blade is not None:
        yield Hazard("blades", blade, f"{_number(steps, blade)} needs scissors or a blade")
    yield from _iron(bench)
    yield from _strain(bench, children)
    if bench.recipe.piece.use in WALKED_ON:
        yield Hazard("slippery soles", bench.recipe.piece, "what it makes is walked on")
    soap = next((step for step in steps if step.soap in SOAPS), None)
    for_class = any(reader in ("class handout", "children") for reader in bench.recipe.readers)
    if soap is not None and for_class:
        because = f"{_number(steps, soap)} puts soap and wool on the skin"
        yield Hazard("soap and fibre allergies", soap, because)


def _first(steps: tuple[Step, ...], *names: str) -> Step | None:
    return next((step for step in steps if step.do in names), None)


def _number(steps: tuple[Step, ...], step: Step) -> str:
    number = next(n for n, one in enumerate(steps, 1) if one is step)
    return f"step {number} ({step.do})"


def _hot_water(bench: Bench, children: bool) -> Iterator[Hazard]:
    steps = bench.recipe.work
    hot = bench.limit("hot-children" if children else "hot")
    for step in steps:
        if step.water is None:
            continue
        kelvin = step.water.kelvin
        if step.water.text == "hot" or (kelvin is not None and kelvin - ZERO >= hot - 0.01):
            warm = "hot water" if kelvin is None else f"water of {kelvin - ZERO:.0f} °C"
            warm += "" if kelvin is None else f" ({(kelvin - ZERO) * 9 / 5 + 32:.0f} °F)"
            yield Hazard("hot water", step, f"{_number(steps, step)} takes {warm}")
            return


GROWN_UP = re.compile(r"(?i)\b(?:adult|grown|teacher|tutor|parent|leader|helper)")


KEPT_OFF = re.compile(r"(?i)\b(?:gloves?|pour(?:ed|ing)?|ladled?|watering can|kettle|tongs)\b")
"""Words of a note that keep hands out of the water."""


def _scalding(bench: Bench, children: bool) -> Iterator[Said]:
    """Water that burns in no time, whatever is printed; a note may say who takes it, or with what."""
    name = "scalds-children" if children else "scalds"
    most, apart = bench.limit(name), GROWN_UP if children else KEPT_OFF
    for number, step in enumerate(bench.recipe.work, 1):
        kelvin = step.water.kelvin if step.water is not None else None
        if kelvin is None or kelvin - ZERO < most - 0.01 or apart.search(step.note or ""):
            continue
        degrees, usual = kelvin - ZERO, bench.limit("hot-children" if children else "hot")
        with_whom = " with children" if children else ""
        how_soon = "within minutes or less" if children else "within seconds"
        other = (
            "leave the step to a grown-up"
            if children
            else "keep hands out of it (gloves, a watering can)"
        )
        yield bench.finding(
            "caution",
            step,
            f"Step {number} ({step.do}) takes water of {degrees:.0f} °C "
            f"({degrees * 9 / 5 + 32:.0f} °F){with_whom}. It "
            f"burns {how_soon}, and a line on the sheet doesn't cool it.",
            f"Take water below {usual:.0f} °C ({usual * 9 / 5 + 32:.0f} °F), or {other}, and say so in "
            f"its note. {DEFER}",
            measured=Figure("water", degrees, "°C"),
            limit=name,
            how=f"water of {degrees:.0f} °C{'; for children' if children else ''}; at most {most:.0f} °C",
        )
        return


def _warm(bench: Bench) -> Iterator[Said]:
    """For children, warm may be too warm: only a figure tells."""
    warm = next((s for s in bench.recipe.work if s.water and s.water.text == "warm"), None)
    if warm is not None and not any(_hot_water(bench, True)):
        yield bench.tip(
            warm, "Say how warm: from 40 °C (104 °F) a sheet for children needs a line."
        )


def _iron(bench: Bench) -> Iterator[Hazard]:
    steps, tools = bench.recipe.work, bench.recipe.tools
    press = _first(steps, "press")
    if press is not None and tools is not None and tools.iron in ("warm", "hot"):
        yield Hazard("hot iron", press, f"{_number(steps, press)} takes a {tools.iron} iron")


def _unsaid_iron(bench: Bench, printed: set[str]) -> Iterator[Said]:
    tools, press = bench.recipe.tools, _first(bench.recipe.work, "press")
    if press is not None and "hot iron" not in printed and (tools is None or tools.iron is None):
        yield bench.unsaid(press, "say how hot the iron is (tools, iron): it may need a caution")


def _strain(bench: Bench, children: bool) -> Iterator[Hazard]:
    steps = bench.recipe.work
    rolls = sum(step.times or 0 for step in steps if step.do in ("roll", "throw"))
    timed = [s for s in steps if s.lasts and s.do in ("rub", "roll", "full", "throw")]
    lasts = figures.steady(sum(step.lasts.si for step in timed if step.lasts))
    suffix = "-children" if children else ""
    many = rolls >= bench.limit("rolls" + suffix)
    if many or lasts >= bench.limit("rubbing" + suffix):
        work = (
            f"{rolls} rolls and throws" if many else f"{lasts / 60:.0f} min of rubbing and fulling"
        )
        counted = [s for s in steps if s.times and s.do in ("roll", "throw")] if many else timed
        yield Hazard("repeated strain", counted[0], f"it takes {work}")


_SLIPPERS = """\
piece: {{title: Deck slippers, use: slippers, shape: oval, over: flat resist, laid out: 17 x 36 cm,
  how many: 2, amounts for: one, outline: blocked, stage: hard}}
lots: {{drift: {{fibre: corriedale, preparation: carded batt, fineness: 27 um}}}}
layers:
  - {{name: down, of: drift, amount: 45 g, face: both, direction: north-south, wraps: 2 cm}}
  - {{name: across, of: drift, amount: 45 g, face: both, direction: east-west, wraps: 2 cm}}
work:
  - {{do: wet, water: 35 °C, soap: neutral}}
  - {{do: rub, for: 15 min}}
  - {{do: check}}
  - {{do: roll, times: 200}}
  - {{do: cut}}
  - {{do: remove resist}}
  - {{do: full, water: {water}}}
  - {{do: rinse}}
  - {{do: dry}}
readers: [{reader}]
cautions: [{cautions}]
"""


def _page(reader: str, *cautions: str, water: str = "hot") -> str:
    listed = ", ".join(f"{{about: {about}}}" for about in cautions)
    return _SLIPPERS.format(reader=reader, cautions=listed, water=water)


_ALL = ("hot water", "blades", "slippery soles")

RULE = Rule(
    id="cautions-printed",
    title="A sheet for other people warns of what its steps bring",
    since="0.1.0",
    purpose="Whoever works from a sheet does what it says and no more. Hot, sharp and slippery things "
    "that its own steps bring need their line; for children, all that can hurt.",
    judge=judge,
    limits=(
        Limit(
            "hot", 50.0, "°C", "water from which a sheet has to warn",
            "burns in minutes at 50 °C, in seconds at 60 °C: Moritz & Henriques, American Journal of "
            "Pathology 23 (1947) 695 (from memory)", "adults",
        ),
        Limit(
            "hot-children", 40.0, "°C", "the same, for children",
            "warmer than a bath is run for a child (common practice, no source)",
        ),
        Limit(
            "scalds-children", 50.0, "°C", "water that no child is to have its hands in, whatever is "
            "printed", "as for hot water; a child's skin burns sooner (from memory)",
        ),
        Limit(
            "scalds", 65.0, "°C", "the same, for anybody who works from the sheet", "as for hot water: "
            "about a second at that (from memory)",
        ),
        Limit(
            "rolls", 300.0, "times", "rolls and throws from which hands and shoulders tire",
            "common practice, no source; value from memory",
        ),
        Limit("rolls-children", 100.0, "times", "the same, for children", "from memory"),
        Limit("rubbing", 1800.0, "s", "rubbing and fulling, likewise", "from memory"),
        Limit("rubbing-children", 600.0, "s", "the same, for children", "from memory"),
    ),
    examples=(
        Example("a pattern that forgets the slippery sole",
                _page("pattern for sale", "hot water", "blades"), "caution"),
        Example("a pattern that names all three", _page("pattern for sale", *_ALL)),
        Example("own notes", _page("own notes")),
        Example("scalding water for children, with its line",
                _page("children", *_ALL, "wet floor", "repeated strain", "soap and fibre allergies",
                      water="60 °C"), "caution"),
        Example("the same fulled in cool water", _page(
            "pattern for sale", "blades", "slippery soles", water="cool")),
    ),
    purposes=("said aloud",),
    model="Hot water: a step with hot water or at least the limit. Wet floor: wet, rinse, throw. "
    "Blades: cut, trim. Hot iron: press, with a warm or hot iron. Repeated strain: rolls and throws "
    "or minutes together. Slippery soles: slippers and boots. Allergies: soap, in a class or with "
    "children. Wet floor, strain and allergies are tips, unless the sheet is for children. Water that "
    "scalds is told though its line is there, unless the step's note leaves it to a grown-up (for "
    "children), or keeps hands out of it (for others).",
    weak_spots="A sheet without steps is not judged, and notes are read only for a grown-up who takes "
    "over a step, gloves, and what hot water is poured from. Whether a printed line "
    "says enough is not judged. Dyeing is no step of a recipe, so dye dust is never asked for. This "
    "replaces no product label, local rule or qualified advice.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
