"""sizes-agree: does the finished size follow from the layout and the stage?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from felt_engine import Bench, Example, Figure, Limit, Rule, Said, Share, figures

FREED = ("blocked", "ruffled", "drawn in")
"""Outlines that are pulled, pushed or gathered to a size: what felting does alone isn't seen there."""

SHEETS = ("prefelt", "felt")
INSIDE = 0.15
"""How far inside the range of strains the advised layouts end, as a part of that range."""
UNLIKE = 0.03
"""Difference of the two sides' shrinkage from which each is named."""


def judge(bench: Bench) -> Iterator[Said]:
    """First what can't be; then what the stage hardly does; then the proportion of the two sides."""
    sizes = figures.expected(bench.build)
    if sizes is None or bench.recipe.piece.over == "ball" or bench.meant("its own size"):
        return
    found = (
        _impossible(bench, sizes) or _stated(bench, sizes) or _by_stage(bench, sizes)
        or _proportion(bench, sizes)
    )  # fmt: skip
    if found is not None:
        yield found


def _steps(bench: Bench) -> set[str]:
    return {step.do for step in bench.recipe.work}


def _stretched(bench: Bench) -> bool:
    return bench.recipe.piece.outline == "blocked" or "stretch" in _steps(bench)


def _cut(bench: Bench) -> bool:
    """Whether it may be made smaller with the scissors."""
    on_table = bench.recipe.piece.over == "table"
    steps = _steps(bench)
    return bench.recipe.piece.outline == "cut" or (on_table and bool(steps & {"cut", "trim"}))


def _sides(sizes: figures.Expected) -> tuple[tuple[str, float, float, float], ...]:
    one = ("across",) if sizes.laid[0] == sizes.laid[1] else ("wide", "deep")
    words = one * 2 if len(one) == 1 else one
    return tuple(zip(words, sizes.laid, sizes.finished, sizes.strains, strict=True))


def _impossible(bench: Bench, sizes: figures.Expected) -> Said | None:
    """Larger than it was laid, or shrunk away to a third."""
    for word, laid, finished, strain in _sides(sizes):
        if strain < -bench.limit("grows") and not _stretched(bench):
            return bench.finding(
                "fault",
                bench.recipe.piece,
                f"It is to come out {figures.length(finished)} {word} and is laid out "
                f"{figures.length(laid)}: felting makes it smaller, never larger.{_swapped(sizes)}",
                f"Lay it out larger, finished / (1 - shrinkage): {_layout(bench, sizes)}.",
                measured=Figure("strain wanted", strain, ""),
                limit=Figure("least", -bench.limit("grows"), ""),
                how=_how(sizes),
            )  # fmt: skip
    if sizes.wanted < -bench.limit("grows") and bench.recipe.piece.outline != "blocked":
        sides = " by ".join(dict.fromkeys(figures.length(side) for side in sizes.finished))
        from_ = " by ".join(dict.fromkeys(figures.length(side) for side in sizes.laid))
        return bench.finding(
            "fault",
            bench.recipe.piece,
            f"It is to come out {sides} and is laid out {from_}: felting takes more off it than "
            f"stretching gives back, and one side can only be stretched at the cost of the other."
            f"{_swapped(sizes)}",
            f"Lay it out larger, finished / (1 - shrinkage): {_layout(bench, sizes)}.",
            measured=Figure("mean strain wanted", sizes.wanted, ""),
            limit=Figure("least", -bench.limit("grows"), ""),
            how=_how(sizes),
        )  # fmt: skip
    most = bench.limit("most") + (_round(bench) if not _cut(bench) else math.inf)
    for word, laid, finished, strain in _sides(sizes):
        if strain > most:
            return bench.finding(
                "fault",
                bench.recipe.piece,
                f"It is to come out {figures.length(finished)} {word} and is laid out "
                f"{figures.length(laid)}: that is {figures.percent(figures.shrinkage(strain))} less, and "
                f"no wool shrinks so far.",
                f"Check both sizes and their units; {_layout(bench, sizes)}.",
                measured=Figure("strain wanted", strain, ""),
                limit=Figure("most", most, ""),
                how=_how(sizes),
            )  # fmt: skip
    return None


def _stated(bench: Bench, sizes: figures.Expected) -> Said | None:
    """A shrinkage that the sheet states, against its own two sizes."""
    stated = bench.recipe.piece.shrinkage
    if stated is None or _cut(bench):
        return None
    part, slack = stated.value / 100, bench.limit("stated-slack")
    side = figures.shrinkage(sizes.wanted)
    area = figures.shrinkage(2 * sizes.wanted)
    said = area if stated.basis == "area" else side
    of_side = 1 - (1 - part) ** _power(stated)
    if figures.steady(abs(side - of_side)) <= slack:
        return None
    added = [abs(laid / finished - 1 - of_side) for _, laid, finished, _ in _sides(sizes)]
    level, why = "caution", "which of them is right?"
    if figures.steady(max(added)) <= slack / 2:
        level = "fault"
        why = "it was added on to the finished size, and not divided out: the piece comes out too small"
    elif abs((side if stated.basis == "area" else area) - part) <= slack:
        why = (
            "that is the share of the area, not of a side"
            if stated.basis == "side"
            else ("that is the share of a side, not of the area")
        )
    of = "of the area" if stated.basis == "area" else "of each side"
    return bench.finding(
        level,
        bench.recipe.piece,
        f"The sheet says {stated.text} of shrinkage, and its sizes give {figures.percent(said)} {of}: "
        f"{why}{'' if why.endswith('?') else '.'}",
        _stated_mend(bench, sizes, stated, said),
        measured=Figure("shrinkage of the sizes", said, ""),
        limit=Figure("shrinkage stated", part, ""),
        how=f"{_how(sizes)}; layout = finished / (1 - s), not finished x (1 + s)",
    )  # fmt: skip


def _stated_mend(bench: Bench, sizes: figures.Expected, stated: Share, said: float) -> str:
    """The layout of what is stated, or the statement of these sizes: whichever the stage may do."""
    of = "of the area" if stated.basis == "area" else "of each side"
    left = (1 - stated.value / 100) ** _power(stated)
    ways = []
    if _fits(bench, sizes, -math.log(left)):
        lay = " by ".join(dict.fromkeys(figures.length(f / left) for f in sizes.finished))
        ways.append(f"with {figures.percent(stated.value / 100)} {of}, the layout is {lay}")
    if said >= 0.005 and _by_stage(bench, sizes) is None and _proportion(bench, sizes) is None:
        ways.append(f"state {figures.percent(said)}{' by area' if stated.basis == 'area' else ''}")
    if ways:
        text = "; or ".join(ways)
        return f"{text[0].upper()}{text[1:]}."
    assert sizes.mean is not None
    low, _, high = (figures.shrinkage(strain) for strain in sizes.mean)
    return (
        f"Felted {bench.recipe.piece.stage}, this build does neither, but {figures.percent(low)} to "
        f"{figures.percent(high)} of each side: {_layout(bench, sizes)}. State what the two sizes give then."
    )


def _fits(bench: Bench, sizes: figures.Expected, strain: float) -> bool:
    """Whether both sides may well shrink so far, with some room: a larger layout is a thinner one."""
    ends = _ends(bench, sizes)
    if ends is None:
        return True
    room = INSIDE * (ends[1] - ends[0])
    return ends[0] + room <= strain <= ends[1] - room and _is_even(bench, sizes, 0.0)


def _power(stated: Share) -> float:
    """A share of the area is divided between two sides."""
    return 0.5 if stated.basis == "area" else 1.0


def _round(bench: Bench) -> float:
    """Over a resist a size may be that of the round thing: a tube lies π/2 times as wide when flat."""
    return math.log(math.pi / 2) if bench.recipe.piece.over == "flat resist" else 0.0


def _ends(bench: Bench, sizes: figures.Expected) -> tuple[float, float] | None:
    """Least and most mean strain that the stage may do; ``None`` where nothing is to be said of it."""
    use = bench.build.use
    if sizes.mean is None or bench.recipe.piece.outline in FREED:
        return None
    if use is not None and use.name == "swatch":
        return None
    low, _, high = sizes.mean
    slack = bench.limit("slack-beyond") if sizes.beyond else 1.0
    return low / slack - _spent(bench), high * slack + _round(bench)


def _by_stage(bench: Bench, sizes: figures.Expected) -> Said | None:
    ends = _ends(bench, sizes)
    if ends is None:
        return None
    (low, high), wanted = ends, sizes.wanted
    if wanted < low and not _stretched(bench):
        return _stage_finding(bench, sizes, low, "less")
    if wanted > high and not _cut(bench):
        return _stage_finding(bench, sizes, high, "more")
    return None


def _spent(bench: Bench) -> float:
    """Bought sheets have shrunk before: what they may lack is let off."""
    build = bench.build
    sheets = sum(
        mass for (layer, index), mass in build.masses.items()
        if all(
            lot.preparation in SHEETS
            for lot, _ in bench.recipe.fractions(bench.recipe.layers[layer].placements[index].of)
        )
    )  # fmt: skip
    return bench.limit("spent") * sheets / sum(build.masses.values())


def _stage_finding(bench: Bench, sizes: figures.Expected, limit: float, than: str) -> Said:
    piece = bench.recipe.piece
    assert sizes.mean is not None
    low, _, high = (figures.shrinkage(strain) for strain in sizes.mean)
    last = piece.stage == ("prefelt" if than == "less" else "hard")
    far = "less" if than == "less" else "further"
    work = "Change a size" if last else f"Work it {far} than {piece.stage}, or change a size"
    return bench.finding(
        "caution",
        piece,
        f"The sizes ask for {_asked(sizes)}; felted {piece.stage}, this build does {figures.percent(low)} to "
        f"{figures.percent(high)}. It may not come to its size.",
        f"{work}: {_layout(bench, sizes)}.",
        measured=Figure("mean strain wanted", sizes.wanted, ""),
        limit=Figure(f"{'least' if than == 'less' else 'most'} at this stage", limit, ""),
        how=_how(sizes),
    )  # fmt: skip


def _asked(sizes: figures.Expected) -> str:
    """The shrinkage of the sides, and of each where they are unlike."""
    mean = figures.percent(figures.shrinkage(sizes.wanted))
    east, north = (figures.shrinkage(strain) for strain in sizes.strains)
    if abs(east - north) <= UNLIKE:
        return f"{mean} of shrinkage along a side"
    return (
        f"{figures.percent(east)} of shrinkage east-west and {figures.percent(north)} north-south, "
        f"{mean} on the average"
    )


def _layout(bench: Bench, sizes: figures.Expected) -> str:
    """The layout that the finished size would ask for, as a range that lies well within the strains."""
    if sizes.mean is None:
        return "one swatch tells how much"
    low, _, high = sizes.mean
    high = min(high, bench.limit("most"))
    low, high = low + INSIDE * (high - low), high - INSIDE * (high - low)
    ends = [
        f"{figures.length_at_least(figures.laid_size(side, low))} to "
        f"{figures.length_at_most(figures.laid_size(side, high))}"
        for side in dict.fromkeys(sizes.finished)
    ]
    return (
        f"for this finished size it is laid out {' by '.join(ends)}, with as much to the area, and a "
        "swatch tells best"
    )


def _proportion(bench: Bench, sizes: figures.Expected) -> Said | None:
    """One side shrinks much more than the other, and neither layers nor rolling ask for it."""
    piece, use = bench.recipe.piece, bench.build.use
    free = piece.outline in (*FREED, "free") or _stretched(bench) or _cut(bench)
    if sizes.ratio is None or free or piece.over != "table":
        return None
    if use is not None and (use.open or use.name == "swatch"):
        return None
    if _is_even(bench, sizes, sizes.askew):
        return None
    wanted, (low, high) = sizes.askew, _uneven_ends(bench, sizes.ratio, sizes.rolled)
    more, less = ("wide", "deep") if wanted > 0 else ("deep", "wide")
    east, north = (figures.percent(figures.shrinkage(strain)) for strain in sizes.strains)
    return bench.finding(
        "caution",
        piece,
        f"The sizes ask for {east} of shrinkage east-west and {north} north-south; what lies there "
        f"pulls more evenly. It may come out too {more} and not {less} enough."
        f"{_swapped(sizes)}",
        "Check both sizes; else lay or roll more in the direction that is to shrink more.",
        measured=Figure("how unequal the strains wanted are", abs(wanted), ""),
        limit=Figure("most", high if wanted > 0 else -low, ""),
        how=_how(sizes),
    )  # fmt: skip


def _uneven_ends(
    bench: Bench, ratio: tuple[float, float, float], rolled: bool
) -> tuple[float, float]:
    slack = bench.limit("by-hand") + (0.0 if rolled else bench.limit("rolling-unsaid"))
    return ratio[0] - slack, ratio[2] + slack


def _is_even(bench: Bench, sizes: figures.Expected, askew: float) -> bool:
    """Whether strains as unequal as that may come of the layers and the rolling."""
    if sizes.ratio is None:
        return True
    low, high = _uneven_ends(bench, sizes.ratio, sizes.rolled)
    return low <= askew <= high


def _swapped(sizes: figures.Expected) -> str:
    """Whether the finished size would fit with its two figures the other way round."""
    east = math.log(sizes.laid[0] / sizes.finished[1])
    north = math.log(sizes.laid[1] / sizes.finished[0])
    if min(east, north) <= 0 or sizes.finished[0] == sizes.finished[1]:
        return ""
    turned = abs(east - north) / (east + north)
    return " Are width and depth swapped?" if turned < min(0.15, abs(sizes.askew) or 1.0) else ""


def _how(sizes: figures.Expected) -> str:
    sides = "; ".join(
        f"ln({figures.length(laid)} / {figures.length(finished)}) = {strain:.3f}"
        for _, laid, finished, strain in _sides(sizes)
    )
    usual = ""
    if sizes.mean is not None:
        low, likely, high = sizes.mean
        usual = f"; this stage: {likely:.2f}, in 19 of 20 cases {low:.2f} to {high:.2f}"
    return f"strain = {sides}; mean {sizes.wanted:.3f}{usual}; shrinkage = 1 - e^(-strain)"


_PANEL = """\
piece: {{title: Sand bar, use: wall panel, shape: rectangle, laid out: {laid}, finished: {to},
        stage: {stage}, outline: {outline}}}
lots:
  oat: {{fibre: merino, preparation: combed top, fineness: 20.5 um}}
layers:
  - {{name: along, of: oat, amount: 200 g/m², direction: east-west}}
  - {{name: across, of: oat, amount: 200 g/m², direction: north-south}}
"""


def _panel(laid: str, to: str, stage: str = "firm", outline: str = "straight") -> str:
    return _PANEL.format(laid=laid, to=to, stage=stage, outline=outline)


RULE = Rule(
    id="sizes-agree",
    title="The finished size follows from layout and stage",
    since="0.1.0",
    purpose="A finished size that no felting reaches is found when the piece is done. Shrinkage is divided "
    "out of the finished size, along each side: finished / (1 - s), not finished x (1 + s).",
    judge=judge,
    limits=(
        Limit(
            "grows", 0.02, "", "log strain by which a side may grow, as measured with a tape",
            "common practice, no source", "work without stretching or blocking",
        ),
        Limit(
            "most", 1.05, "", "log strain (65 %) that no wool reaches along a side",
            "from memory: about 50 % for fine wool laid thin and fulled hard", "30 to 2500 g/m²",
        ),
        Limit(
            "slack-beyond", 1.3, "", "factor on the range where the weight is outside that of the model",
            "from memory", "below 60 and above 1200 g/m²",
        ),
        Limit(
            "stated-slack", 0.03, "", "how far a stated shrinkage of each side may be from that of the sizes",
            "common practice, no source: it is stated in round figures",
        ),
        Limit("spent", 0.15, "", "log strain that a bought sheet may have spent before", "from memory"),
        Limit(
            "by-hand", 0.15, "", "how unequal tugging and spot fulling alone may make the strains",
            "from memory",
        ),
        Limit(
            "rolling-unsaid", 0.25, "", "the same for rolling one way only, where the work doesn't say",
            "from memory", "as the coefficient of rolling in the model",
        ),
    ),
    examples=(
        Example("thirty per cent at firm", _panel("60 x 40 cm", "42 x 28 cm")),
        Example("ten per cent of a hard felt", _panel("60 x 40 cm", "54 x 36 cm", "hard"), "caution"),
        Example("laid smaller than it is to be", _panel("42 x 28 cm", "60 x 40 cm"), "fault"),
        Example(
            "laid smaller than it is to be, and stretched", _panel("42 x 28 cm", "60 x 40 cm") +
            "work: [{do: wet}, {do: rub}, {do: roll}, {do: stretch}, {do: dry}]\n", "fault",
        ),
        Example("cut to a tile from a larger sheet", _panel("60 x 40 cm", "20 x 20 cm", "firm", "cut")),
        Example("width and depth swapped", _panel("60 x 48 cm", "34 x 42 cm"), "caution"),
        Example(
            "thirty per cent added on instead of divided out",
            _panel("52 x 39 cm", "40 x 30 cm").replace("stage:", "shrinkage: 30 %, stage:"), "fault",
        ),
        Example(
            "a shrinkage that the sizes give",
            _panel("57 x 43 cm", "40 x 30 cm").replace("stage:", "shrinkage: 30 %, stage:"),
        ),
        Example("light", _panel("60 x 40 cm", "50 x 34 cm", "light")),
        Example("hard", _panel("60 x 40 cm", "36 x 24 cm", "hard")),
        Example("no finished size that is far off", _panel("60 x 40 cm", "45 x 30 cm")),
    ),
    purposes=("its own size",),
    model="Strain ε = ln(laid out / finished). ε_mean / stage = 1 - 0.40 ln(w / 0.4 kg/m²) + 0.80 (F - 1), "
    "with the spread of a hand that no swatch has told about (stages 0.07, 0.17, 0.36, 0.55); (ε_x - ε_y) / "
    "(ε_x + ε_y) = 0.30 R + 0.25 q. Only what lies outside 19 of 20 cases is found.",
    weak_spots="The model is from memory and untested. Stage words mean different things to different "
    "hands. Over a resist the size may be that of the round thing, so more is let through; balls, swatches "
    "and what is blocked, ruffled or cut are let off in part or whole. A share that was added on instead of "
    "divided out, or meant by area, is seen where the recipe states it (piece: shrinkage); else it "
    "mostly stays inside the range.",
    explained_by=("weight-for-use",),
    laws=("units", "scaling", "order of placements"),
)  # fmt: skip
