"""order-of-work: does each step find the piece as it needs it?"""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import Bench, Example, Figure, Limit, Part, Place, Rule, Said, Step, figures
from felt_rules import order_of_resists
from felt_rules.steps import WORKS, first, is_for_others, last

BINDS = ("rub", "roll", "check", "other")
"""Steps after which the fibre may hold together; what an other step does isn't known."""

NEEDS_HOLD = {
    "throw": "thrown", "full": "fulled", "cut": "cut", "remove resist": "taken off its resist",
    "turn inside out": "turned inside out",
}  # fmt: skip
NEEDS_WET = {"rub": "rubbed", "roll": "rolled", "full": "fulled", "throw": "thrown"}
WETS = ("wet", "rinse", "acid soak", "other")
SOAPS = ("neutral", "alkaline", "unknown")
BOUND = ("prefelt", "felt", "open cloth", "close cloth")


def judge(bench: Bench) -> Iterator[Said]:
    """Each slip by itself, in the order of the work; where no steps are stated, nothing."""
    if not bench.recipe.work:
        return
    yield from _before_wetting(bench)
    yield from _before_it_holds(bench)
    yield from _check(bench)
    yield from order_of_resists.judge(bench)
    yield from _soap(bench)
    yield from _after_drying(bench)
    yield from _pressing(bench)
    yield from _past_prefelt(bench)
    yield from _unworked(bench)
    yield from _short_of_hard(bench)


def _is_wet(step: Step) -> bool:
    return step.water is not None or step.soap in SOAPS


def _holds_already(bench: Bench) -> bool:
    """Whether all that felts was bought or made as a sheet."""
    lots = {
        lot.name: lot for layer in bench.recipe.layers for placed in layer.placements
        for lot, _ in bench.recipe.fractions(placed.of)
    }  # fmt: skip
    return all(lot.preparation in BOUND for lot in lots.values())


def _before_wetting(bench: Bench) -> Iterator[Said]:
    steps = bench.recipe.work
    wet, work = first(steps, "wet"), first(steps, "rub", "roll", "full", "throw")
    if wet is None and work is not None:
        yield from _never_wetted(bench, work)
    if wet is None or work is None or work > wet or _is_wet(steps[work]):
        return
    if bench.recipe.piece.over == "ball":
        return  # a ball is wound or rolled dry first
    if first(steps, *WETS) != wet or bench.meant("worked dry"):
        return
    done = NEEDS_WET[steps[work].do]
    yield bench.finding(
        "caution", steps[work],
        f"It is {done} before it is wetted. Dry fibre slides and shifts, and the layers lose their "
        f"place.",
        "Wet it first, with soap, and press the air out.",
        how=f"step {work + 1} is {steps[work].do}, step {wet + 1} is wet",
    )  # fmt: skip


def _never_wetted(bench: Bench, work: int) -> Iterator[Said]:
    """No water at all while it is worked: in own notes that goes without saying, for others not."""
    steps = bench.recipe.work
    if not is_for_others(bench):
        return
    end, dry = last(steps, *NEEDS_WET), first(steps, "dry")
    if end is None or dry is None or end > dry or bench.meant("worked dry"):
        return
    if any(step.do in WETS or _is_wet(step) for step in steps[: end + 1]):
        return
    yield bench.finding(
        "caution", steps[work],
        f"It is {NEEDS_WET[steps[work].do]}, and no step before that wets it. Dry wool hardly felts: it "
        f"takes water, warmth and soap.",
        "Put a step before it that wets it (wet), with how warm the water is, and the soap.",
        how=f"no wet, and no water or soap in a step, up to step {end + 1}, {steps[end].do}",
    )  # fmt: skip


def _before_it_holds(bench: Bench) -> Iterator[Said]:
    """Rough work on fibre that nothing has bound yet."""
    steps = bench.recipe.work
    wet = first(steps, "wet")
    rough = first(steps, *NEEDS_HOLD, after=-1 if wet is None else wet)
    early = first(steps, "full", "throw")
    if early is not None and _is_wet(steps[early]):
        rough = early if rough is None else min(early, rough)
    freed = first(steps, "remove resist", "turn inside out")  # that can't be done dry
    if freed is not None:
        rough = freed if rough is None else min(freed, rough)
    binds = first(steps, *BINDS)
    if rough is None or (binds is not None and binds < rough) or _holds_already(bench):
        return
    do = steps[rough].do
    if do == "full" and (binds is None or bench.recipe.piece.over == "ball"):
        return  # a short list of steps, or a bead that is kneaded from the start
    if (do == "cut" and wet is None) or bench.meant("thrown early"):
        return
    sure = binds is not None and do != "full" and bench.recipe.piece.over != "ball"
    loose = "Loose wool" if wet is None or wet > rough else "Loose wet wool"
    after = f", and it is rubbed or rolled only in step {binds + 1}" if binds is not None else ""
    yield bench.finding(
        "fault" if sure else "caution", steps[rough],
        f"It is {NEEDS_HOLD[do]} before the fibre holds together{after}. "
        f"{loose} {'comes' if sure else 'may come'} apart: holes and shifted colours.",
        "Rub it first, gently and then harder, until a pinch lifts no single fibres; then go on.",
        how=f"no rubbing, rolling or pinch test before step {rough + 1}",
    )  # fmt: skip


def _check(bench: Bench) -> Iterator[Said]:
    """The pinch test: too late is a slip, left out is one on a sheet for other people."""
    steps = bench.recipe.work
    rough, check = first(steps, "full", "throw"), first(steps, "check")
    binds = first(steps, "rub", "roll", "other")
    if rough is None or binds is None or binds > rough or (check is not None and check < rough):
        return
    if _holds_already(bench) or bench.recipe.piece.stage == "prefelt":
        return
    done = NEEDS_HOLD[steps[rough].do]
    if check is None and not is_for_others(bench):
        yield bench.tip(
            steps[rough], f"Pinch it before it is {done}: no single fibres should lift."
        )
        return
    if bench.meant("no pinch test"):
        return
    late = check is not None
    yield bench.finding(
        "caution", steps[check] if check is not None else steps[rough],
        f"The pinch test comes only after it is {done}, when it can no longer help: what did not "
        f"hold has shifted by then." if late else
        f"No step says to pinch it before it is {done}. Somebody who has never done it goes on too "
        f"soon, and layers that do not hold yet shift.",
        f"Move the check before step {rough + 1}." if late else
        f"Put a check before step {rough + 1}: pinch the surface; no single fibres should lift.",
        how=f"first check: step {check + 1}; {steps[rough].do}: step {rough + 1}"
        if check is not None else f"no check among {len(steps)} steps",
    )  # fmt: skip


def _soap(bench: Bench) -> Iterator[Said]:
    """Soap in, soap out: rinse, and after an alkaline soap a weak acid bath; not so round a bar of soap."""
    use, steps = bench.build.use, bench.recipe.work
    if use is not None and use.name == "soap wrap":
        return
    soaped = max((n for n, step in enumerate(steps) if step.soap in SOAPS), default=None)
    if soaped is None:
        return
    alkaline = any(step.soap == "alkaline" for step in steps)
    soak, rinse = first(steps, "acid soak", after=soaped), first(steps, "rinse", after=soaped)
    if soak is not None and (rinse is None or soak < rinse):
        if alkaline and not _is_between(steps, soaped, soak) and not bench.meant("soap stays in"):
            yield _soakfirst(bench, soak, rinse)
        return
    if rinse is None:
        yield from _unrinsed(bench, soaped)
        return
    dry = first(steps, "dry", after=soaped)
    if dry is not None and dry < rinse:
        again = any(step.do in ("wet", *WORKS) for step in steps[dry:rinse])
        if not again and not _is_between(steps, soaped, dry) and not bench.meant("soap stays in"):
            yield _driedfirst(bench, dry, rinse)
    elif alkaline and soak is None and "acid soak" not in [step.do for step in steps]:
        yield from _no_soak(bench, rinse)


def _is_between(steps: tuple[Step, ...], begin: int, end: int) -> bool:
    """Whether something that isn't known is done between two steps."""
    return any(step.do == "other" for step in steps[begin + 1 : end])


def _soakfirst(bench: Bench, soak: int, rinse: int | None) -> Said:
    steps = bench.recipe.work
    then = f"Move it behind step {rinse + 1}" if rinse else "Put a rinse before it"
    return bench.finding(
        "caution", steps[soak],
        "The acid soak comes before any rinse. Acid turns soap that is still in the wool into a "
        "greasy film, which no longer rinses out.",
        f"{then}: rinse until the water stays clear, soak, and rinse once more.",
        how=f"step {soak + 1} is the first water after the soap",
    )  # fmt: skip


def _driedfirst(bench: Bench, dry: int, rinse: int) -> Said:
    return bench.finding(
        "caution", bench.recipe.work[dry],
        "It is dried with the soap still in it, and rinsed only then. Dried soap sits fast, makes "
        "the felt harsh, and draws dirt.",
        f"Move the rinse, step {rinse + 1}, before the drying.",
        how=f"step {dry + 1} is dry, step {rinse + 1} the first rinse after the soap",
    )  # fmt: skip


def _unrinsed(bench: Bench, soaped: int) -> Iterator[Said]:
    """No rinse: a slip if the steps go on to the end, or somebody else is to work from them."""
    steps, piece = bench.recipe.work, bench.recipe.piece
    end = first(steps, "dry", "press", after=soaped)
    if _is_between(steps, soaped, len(steps) if end is None else end):
        return
    if piece.stage == "prefelt" or (end is None and not is_for_others(bench)):
        yield bench.tip(steps[soaped], "Rinse the soap out before it dries, or felt it on soon.")
    elif not bench.meant("soap stays in"):
        yield bench.finding(
            "caution", steps[soaped if end is None else end],
            "Soap goes in and no step rinses it out. Felt that dries with soap in it is harsh, "
            "draws dirt, and may irritate skin.",
            "Put a rinse before it dries, until the water stays clear.",
            how=f"soap in step {soaped + 1}, no rinse or acid soak after it",
        )  # fmt: skip


def _no_soak(bench: Bench, rinse: int) -> Iterator[Said]:
    """After an alkaline soap; several rinses, or one of several times or a long one, do nearly as well."""
    steps, piece = bench.recipe.work, bench.recipe.piece
    if piece.stage == "prefelt":
        return
    rinses = [step for step in steps[rinse:] if step.do == "rinse"]
    often = sum(step.times or 1 for step in rinses)
    lasts = figures.steady(sum(step.lasts.si for step in rinses if step.lasts))
    if often >= bench.limit("rinses") or lasts >= bench.limit("long-rinse"):
        yield bench.tip(rinses[-1], "After an alkaline soap, a little vinegar in the last rinse.")
    elif not _is_between(steps, rinse, len(steps)) and not bench.meant("no acid soak"):
        yield bench.finding(
            "note", steps[rinse],
            "The soap is alkaline, and one rinse alone rarely takes all of it out. What stays makes "
            "wool harsh and brittle, and may shift its colours.",
            "Soak it after the rinse for ten minutes in cool water with a spoonful of vinegar to the "
            "litre (a tablespoon to the quart), and rinse once more; or use a neutral soap.",
            measured=Figure("rinses after the soap", often, "times"), limit="rinses",
            how="alkaline soap, no acid soak among the steps",
        )  # fmt: skip


def _after_drying(bench: Bench) -> Iterator[Said]:
    steps = bench.recipe.work
    blot = bench.limit("blot")
    dry = next(
        (n for n, s in enumerate(steps)
         if s.do == "dry" and (s.lasts is None or s.lasts.si >= blot)), None,
    )  # fmt: skip
    if dry is None:
        return
    for number in range(dry + 1, len(steps)):
        step = steps[number]
        if step.do in WETS or _is_wet(step):
            return
        counts = step.edge is not None or step.times is not None
        if step.do in ("full", "throw") or (step.do == "roll" and counts):
            if not bench.meant("worked dry"):
                yield bench.finding(
                    "caution", step,
                    f"It is {NEEDS_WET[step.do]} after it has dried, and nothing wets it again. Dry "
                    f"wool hardly felts: the work is for nothing.",
                    f"Move it before step {dry + 1}, or wet it again first.",
                    how=f"step {dry + 1} is dry, step {number + 1} is {step.do}",
                )  # fmt: skip
            return


def _past_prefelt(bench: Bench) -> Iterator[Said]:
    """What is fulled is no prefelt any more."""
    steps = bench.recipe.work
    fulled = first(steps, "full", "throw")
    if bench.recipe.piece.stage != "prefelt" or fulled is None or bench.meant("worked further"):
        return
    yield bench.finding(
        "caution", steps[fulled],
        f"The piece is to be a prefelt, and it is {NEEDS_HOLD[steps[fulled].do]} here: after that it "
        f"no longer joins other wool. All the rest is judged as if it stayed a prefelt.",
        "Say the stage that it is to reach (light, firm or hard), or leave the step out.",
        how=f"stage: prefelt; step {fulled + 1} is {steps[fulled].do}",
    )  # fmt: skip


def _unworked(bench: Bench) -> Iterator[Said]:
    """Wetted and dried, and nothing in between that felts it."""
    piece, steps = bench.recipe.piece, bench.recipe.work
    wet, dry = first(steps, "wet"), first(steps, "dry")
    if wet is None or dry is None or dry < wet or bench.meant("worked briefly"):
        return
    if _holds_already(bench) or any(step.do in WORKS for step in steps):
        return
    stage = f", and is to be {piece.stage} felt" if piece.stage not in (None, "prefelt") else ""
    yield bench.finding(
        "caution", steps[wet],
        f"It is wetted and dried{stage}, and no step rubs, rolls or fulls it: wool that isn’t worked "
        f"stays loose.",
        "Say how it is worked between the two: rub, roll, and for firm or hard felt full.",
        how=f"no rub, roll, full or throw among {len(steps)} steps",
    )  # fmt: skip


def _short_of_hard(bench: Bench) -> Iterator[Said]:
    """Little rolling and no fulling make no hard felt; where the steps go to the end, and say how much."""
    piece, steps = bench.recipe.piece, bench.recipe.work
    dry = first(steps, "dry")
    if (
        piece.stage != "hard"
        or dry is None
        or piece.over == "ball"
        or bench.meant("worked briefly")
    ):
        return
    work = [step for step in steps if step.do in ("rub", "roll", "heal edges")]
    if not any(step.do in WORKS for step in steps):
        return  # told already
    untold = any(not (step.lasts or (step.times and step.do == "roll")) for step in work)
    if untold or first(steps, "full", "throw", "other") is not None:
        return
    rolls = [step for step in work if step.do == "roll"]
    times = sum(step.times or 0 for step in rolls)
    lasts = figures.steady(sum(step.lasts.si for step in work if step.lasts))
    if times >= bench.limit("hard-rolls") or lasts >= bench.limit("hard-rubbing"):
        return
    yield bench.finding(
        "caution", rolls[-1] if rolls else steps[dry],
        "The piece is to be felted hard, and the steps go from little rolling to drying, with no "
        "fulling: it comes out soft, larger than it should, and wears thin.",
        "Say how it is fulled (full, throw), or how often it is rolled in all; or name the stage "
        "that it is to reach.",
        measured=Figure("rolls in all", times, "times"), limit="hard-rolls",
        how=f"stage: hard; rubbed or rolled by time for {lasts / 60:.3g} min in all; no full or throw",
    )  # fmt: skip


def _pressing(bench: Bench) -> Iterator[Said]:
    """An iron on fibre that melts."""
    recipe, tools = bench.recipe, bench.recipe.tools
    press = next((step for step in recipe.work if step.do == "press"), None)
    iron = tools.iron if tools is not None else None
    if press is None or iron == "cool" or (tools is not None and tools.barrier):
        return
    melts = [
        part.stuff for place in bench.build.places
        for part in _at_a_face(place, bench.limit("covered"))
        if part.stuff.fibre.heat_bondable or iron == "hot"
    ]  # fmt: skip
    if not melts or bench.meant("pressed bare"):
        return
    names = ", ".join(f"“{name}”" for name in dict.fromkeys(stuff.lot.name for stuff in melts))
    bonds = all(stuff.fibre.heat_bondable for stuff in melts)
    why = "heat-bondable" if bonds else "heat-bondable or synthetic"
    if iron is None:
        yield bench.unsaid(press, f"say how hot the iron is, and what lies between it and {names}")
        return
    yield bench.finding(
        "caution", press,
        f"A {iron} iron is pressed on {names}, which softens under it, and nothing is said to lie "
        f"between. It may stick to the iron, smear or go dull.",
        "Lay baking parchment or a cloth between, say so under tools (barrier), and try it on a "
        "scrap; what the label says about heat comes first.",
        how=f"{names}: {why} in the fibre table; iron {iron}, no barrier stated",
    )  # fmt: skip


def _at_a_face(place: Place, covered: float) -> Iterator[Part]:
    """Fibre that bonds under an iron, or does under a hot one, and is not deep in the wool."""
    below = 0.0
    for laid in place.stack:
        above = place.areal - below - laid.areal
        if min(above, below) < covered:
            for part in laid.parts:
                if part.stuff.fibre.heat_bondable or part.stuff.fibre.group == "synthetic":
                    yield part
        below += laid.areal


_BAG = """\
piece: {{title: Bait bag, use: bag, shape: rectangle, over: flat resist, laid out: 36 x 40 cm,
  stage: firm}}
lots: {{drift: {{fibre: corriedale, preparation: carded batt, fineness: 27 um}}}}
layers:
  - {{name: down, of: drift, amount: 55 g, face: each, direction: north-south, wraps: 2 cm}}
  - {{name: across, of: drift, amount: 55 g, face: each, direction: east-west, wraps: 2 cm}}
work:
{work}
"""
_RIGHT = (
    "wet, soap: alkaline", "rub", "check", "roll", "cut", "remove resist", "heal edges", "full",
    "rinse", "acid soak", "rinse", "dry",
)  # fmt: skip


def _page(*steps: str) -> str:
    return _BAG.format(work="\n".join(f"  - {{do: {step}}}" for step in steps))


RULE = Rule(
    id="order-of-work",
    title="Each step finds the piece as it needs it",
    since="0.1.0",
    purpose="Rough work on fibre that does not hold yet, a resist that stays in, soap that stays in, "
    "an iron on fibre that melts: slips of order that no later step mends.",
    judge=judge,
    limits=(
        Limit(
            "rinses", 2.0, "times", "rinses after an alkaline soap that do without an acid soak",
            "common practice, no source; value from memory",
        ),
        Limit(
            "long-rinse", 600.0, "s", "rinsing together that does so too", "from memory",
        ),
        Limit("blot", 3600.0, "s", "drying shorter than this only blots", "from memory"),
        Limit(
            "hard-rolls", 150.0, "times", "fewest rolls in all that may bring a piece to hard without "
            "fulling; most take several hundred", "common practice, no source; value from memory",
        ),
        Limit(
            "hard-rubbing", 1800.0, "s", "rubbing and timed rolling together that may do so too",
            "from memory",
        ),
        Limit(
            "covered", 0.1, "kg/m²", "fibre on both sides under which one that melts is out of an "
            "iron's reach", "common practice, no source; value from memory",
        ),
    ),
    examples=(
        Example("a bag from wetting to drying", _page(*_RIGHT)),
        Example("thrown before anything binds it", _page(
            _RIGHT[0], "throw", *_RIGHT[1:]), "fault"),
        Example("thrown once it holds", _page(*_RIGHT[:4], "throw", *_RIGHT[4:])),
        Example("the resist never comes out", _page(*_RIGHT[:4], *_RIGHT[7:]), "caution"),
        Example("a pattern by which nothing opens the bag", _page(
            *_RIGHT[:4], *_RIGHT[5:]) + "readers: [pattern for sale]\n", "caution"),
        Example("a neutral soap needs no acid", _page(
            "wet, soap: neutral", *_RIGHT[1:9], "dry")),
        Example("a prefelt that is fulled", _page(*_RIGHT).replace("stage: firm", "stage: prefelt"),
                "caution"),
        Example("only the first few steps are written down", _page(*_RIGHT[:4])),
    ),
    purposes=("fulled on the resist", "no acid soak", "no pinch test", "opening left", "pressed bare",
              "resist stays in", "soap stays in", "thrown early", "worked briefly", "worked dry",
              "worked further"),
    model="Steps in the order in which they stand. Rubbing, rolling or a pinch test are taken to bind "
    "the fibre; an other step may do anything, so nothing is found across it. What is not written "
    "down counts as left out only where the steps go on to drying, or somebody else works from them; "
    "wetting, and the cut that lets a resist out, only where somebody else does.",
    weak_spots="Teachers differ on throwing early and on vinegar. Notes are not read, so a barrier or "
    "a rinse that only a note mentions is not known. How long it is rubbed before it holds isn't "
    "judged. Hot water after cold is no fault and isn't looked at.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
