"""edge-finish: do the steps and the layers give the edge that the piece is to have?"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from felt_engine import Bench, Example, Figure, Layer, Limit, Rule, Said, Step, figures

CUTS = ("cut", "trim")
FELTS = ("rub", "roll", "full", "throw")
EVEN = ("straight", "round")
LOOSE = ("free", "ruffled", "drawn in")
ENDS = ("rinse", "dry", "press", "shape")
"""Steps with which a list of steps comes to its end."""

MATERIAL = ("sheet", "cloth")
"""Uses with such a name are cut up later, by whoever uses them."""

WORN = ("scarf", "wrap", "collar", "cuff")
"""Uses whose edge lies on the skin and is seen; other soft cloth is cut and sewn later."""

BLADES = re.compile(r"\b(cut|trim|snip|scissors|shears|knife|blade|cutter)", re.IGNORECASE)
"""Words in a note that tell of a cut which no step is for."""


def judge(bench: Bench) -> Iterator[Said]:
    """Only where steps are given, and only for edges that somebody asked for."""
    piece, work = bench.recipe.piece, bench.recipe.work
    cuts = [number for number, step in enumerate(work) if step.do in CUTS]
    found = list(_too_soon(bench))
    if work and piece.outline not in LOOSE:
        found += [*_uncut(bench, cuts), *_healed(bench, cuts), *_torn(bench, cuts)]
    if found and not bench.meant("rough edge", piece):
        yield from found


def _wet(step: Step) -> bool:
    return step.do == "wet" or step.soap not in (None, "none")


# before it holds ----------------------------------------------------------------------------------


def _too_soon(bench: Bench) -> Iterator[Said]:
    """Trimmed after wetting and before anything was felted; dry batt may be trimmed to size."""
    work = bench.recipe.work
    first = next((n for n, step in enumerate(work) if step.do in FELTS), None)
    if first is None:
        return
    early = [
        n for n, step in enumerate(work[:first])
        if step.do == "trim" and any(one.do == "wet" for one in work[:n])
    ]  # fmt: skip
    if early:
        step = work[early[0]]
        yield bench.finding(
            "caution",
            step,
            f"It is trimmed in step {early[0] + 1}, before any felting: wet wool that doesn't hold yet is "
            "dragged out of place by the blade, and the layers part along the cut.",
            f"Put it after step {first + 1}, {work[first].do}, when a pinch lifts no fibre.",
            measured=Figure("felting steps before the cut", 0, ""),
            limit="steps-before-cut",
            how="order of the steps as listed",
            also=("whole",),
        )


# an edge that is to be cut ------------------------------------------------------------------------


def _uncut(bench: Bench, cuts: Sequence[int]) -> Iterator[Said]:
    """The outline is to be cut, and no step cuts it."""
    piece, work = bench.recipe.piece, bench.recipe.work
    material = piece.stage == "prefelt" or (piece.use or "").endswith(MATERIAL)
    if piece.outline != "cut" or cuts or material or _told_otherwise(work):
        return
    done = [step.do for step in work]
    if not any(do in FELTS for do in done) or not any(do in ENDS for do in done):
        return
    yield bench.finding(
        "caution",
        piece,
        "The outline is to be cut, and no step cuts it: who works by these steps ends with the edge as "
        "it was laid.",
        "Add the step (do: cut, or do: trim) where it belongs: after the last felting step for a sharp "
        "edge, or before it and heal edges after it for a soft one. Or say another outline.",
        measured=Figure("steps that cut", 0, ""),
        limit="steps-that-cut",
        how="no step of the work is cut or trim, and no note speaks of a blade",
        also=("whole",),
    )


def _told_otherwise(work: Sequence[Step]) -> bool:
    """Whether some step may be the cut, though it isn't called so."""
    return any(step.do == "other" or (step.note and BLADES.search(step.note)) for step in work)


# edges that are healed ----------------------------------------------------------------------------


def _healed(bench: Bench, cuts: Sequence[int]) -> Iterator[Said]:
    work = bench.recipe.work
    heals = [number for number, step in enumerate(work) if step.do == "heal edges"]
    dry = next((n for n in heals if _is_dry(work, n)), None)
    if dry is not None:
        yield _dry_finding(bench, dry)
    elif heals and not cuts:
        yield from _nothing_cut(bench, heals[0])
    elif cuts:
        yield from _left_raw(bench, cuts, heals)


def _is_dry(work: Sequence[Step], number: int) -> bool:
    """Whether the piece was dried, and not wetted again, before this step."""
    dried = [n for n, step in enumerate(work[:number]) if step.do == "dry"]
    return bool(dried) and not any(_wet(step) for step in work[dried[-1] : number + 1])


def _dry_finding(bench: Bench, number: int) -> Said:
    step = bench.recipe.work[number]
    return bench.finding(
        "caution",
        step,
        f"The edges are healed in step {number + 1}, when the piece is dry: without warm water and soap "
        "a cut edge will not close.",
        "Heal the edges before the rinse, right after the cut, or wet and soap the piece again first.",
        measured=Figure("wet steps since it was dried", 0, ""),
        limit="wet-steps",
        how="order of the steps as listed",
        also=("whole",),
    )


def _nothing_cut(bench: Bench, number: int) -> Iterator[Said]:
    """Healing where nothing was cut, on a flat piece whose edges weren't folded either."""
    recipe = bench.recipe
    folded = any(layer.turned_in is not None for layer in recipe.layers)
    opened = any(step.do == "remove resist" for step in recipe.work) or bool(recipe.resists)
    unlike = recipe.piece.over != "table" or folded or opened or recipe.piece.outline == "cut"
    if unlike or _told_otherwise(recipe.work):
        return
    yield bench.finding(
        "note",
        recipe.work[number],
        f"Step {number + 1} heals edges, and nothing was cut before it. Either the cut is missing from "
        "the steps, or this step only works the laid edge.",
        "Add the cut before it, or say in a note what is done to the edge.",
        measured=Figure("steps that cut", 0, ""),
        limit="steps-that-cut",
        how="no step before it is cut or trim",
        also=("whole",),
    )


def _left_raw(bench: Bench, cuts: Sequence[int], heals: Sequence[int]) -> Iterator[Said]:
    """A cut after the last felting, not healed, on a soft piece that is to have an even edge."""
    piece, work = bench.recipe.piece, bench.recipe.work
    last = max((n for n, step in enumerate(work) if step.do in FELTS), default=-1)
    raw = [n for n in cuts if n > last and not any(heal > n for heal in heals)]
    if last < 0 or not raw:
        return
    number = raw[-1]
    step = work[number]
    early = [n for n in heals if n < number]
    if early and not any(n < early[-1] for n in cuts):
        yield _wrong_way_round(bench, number, early[-1])
    elif piece.outline in EVEN and piece.stage == "light" and piece.use in WORN:
        yield bench.finding(
            "caution",
            step,
            f"Step {number + 1}, {step.do}, comes after the last felting step, and the edge isn't healed "
            "after it. A cut edge of soft felt shows its layers and may pull apart in wear.",
            f"Cut it before step {last + 1}, {work[last].do}, and add heal edges after the cut: soap "
            "and a fingertip along it until it rounds. Or say outline: cut, if it is to be sharp.",
            measured=Figure("felting or healing steps after the cut", 0, ""),
            limit="steps-after-cut",
            how="order of the steps as listed",
            also=("whole",),
        )


def _wrong_way_round(bench: Bench, cut: int, heal: int) -> Said:
    work = bench.recipe.work
    return bench.finding(
        "caution",
        work[heal],
        f"The edges are healed in step {heal + 1} and cut only in step {cut + 1}, {work[cut].do}: the "
        "cut edge stays raw.",
        "Cut first, then heal the edges, then go on felting.",
        measured=Figure("healing steps after the cut", 0, ""),
        limit="steps-after-cut",
        how="order of the steps as listed",
        also=("whole",),
    )


# torn batt ----------------------------------------------------------------------------------------


def _torn(bench: Bench, cuts: Sequence[int]) -> Iterator[Said]:
    """The last batt is torn all round where the outline is to be even, and nothing evens it."""
    recipe = bench.recipe
    if recipe.piece.outline not in EVEN or recipe.piece.over != "table" or cuts:
        return
    if any(layer.turned_in is not None for layer in recipe.layers) or _told_otherwise(recipe.work):
        return
    bodies = [layer for layer in recipe.layers if _is_body(layer)]
    if not bodies or bodies[-1].batt_edges != "torn":
        return
    layer = bodies[-1]
    if figures.lies_past(bench.build, layer) or not figures.lies_all_over(bench.build, layer):
        return
    yield bench.finding(
        "note",
        layer,
        f"“{layer.name}” lies on top with torn edges, the outline is to be {recipe.piece.outline}, and "
        "nothing evens the edge: it isn't laid past the outline, turned in or trimmed.",
        f"Lay it {figures.length(figures.RAMP)} past the outline and turn that in, or trim the piece, or "
        "cut the batt's edges before laying.",
        measured=Figure("ways in which the edge is evened", 0, ""),
        limit="ways-to-even",
        how="no past, no turned in, no cut, no trim",
        also=(layer.name,),
    )


def _is_body(layer: Layer) -> bool:
    """Whether a layer may make the edge: no accent, and nothing strewn."""
    return layer.role not in ("accent", "veil", "open") and layer.lay not in ("wisps", "scatter")


_WRAP = """\
piece: {{title: Sandbar wrap, use: {use}, shape: rectangle, laid out: 180 x 60 cm, outline: {outline},
        stage: light}}
lots:
  sand: {{fibre: merino, preparation: combed top, fineness: 19 um}}
layers:
  - {{name: along, of: sand, amount: 55 g/m², direction: east-west}}
  - {{name: across, of: sand, amount: 55 g/m², direction: north-south}}
work: [{work}]
"""

_MADE = "{do: wet}, {do: rub}, {do: roll}"
_DONE = "{do: rinse}, {do: dry}"


def _wrap(steps: str, outline: str = "straight", use: str = "wrap") -> str:
    return _WRAP.format(use=use, outline=outline, work=steps)


RULE = Rule(
    id="edge-finish",
    title="Steps that give the edge which is wanted",
    since="0.1.0",
    purpose="An edge that is to be cut needs its cut, a soft cut edge needs healing while there is still "
    "soap and felting to come, and torn batt doesn't end in a straight line by itself.",
    judge=judge,
    limits=(
        Limit(
            "steps-before-cut", 1, "", "felting steps before a cut, at least",
            "common practice, no source", "cuts after wetting",
        ),
        Limit(
            "steps-that-cut", 1, "", "steps that cut, where the outline is to be cut or edges are "
            "healed", "common practice, no source",
        ),
        Limit(
            "steps-after-cut", 1, "", "felting or healing steps after a cut in soft felt",
            "common practice, no source", "soft pieces that are to have an even, closed edge",
        ),
        Limit(
            "wet-steps", 1, "", "wet steps between drying and healing", "common practice, no source"
        ),
        Limit(
            "ways-to-even", 1, "", "what evens a torn edge: past, turned in, cut or trim",
            "common practice, no source", "outlines that are to be straight or round",
        ),
    ),
    examples=(
        Example("a soft wrap trimmed at the very end", _wrap(f"{_MADE}, {_DONE}, {{do: trim}}"),
                "caution"),
        Example("the same with a sharp edge wanted",
                _wrap(f"{_MADE}, {_DONE}, {{do: trim}}", outline="cut")),
        Example("trimmed, healed, then felted on",
                _wrap(f"{_MADE}, {{do: trim}}, {{do: heal edges}}, {{do: full}}, {_DONE}")),
        Example("edges healed before they are cut",
                _wrap(f"{_MADE}, {{do: heal edges}}, {{do: cut}}, {_DONE}"), "caution"),
        Example("an edge to be cut that nobody cuts", _wrap(f"{_MADE}, {_DONE}", outline="cut"),
                "caution"),
        Example("no steps given at all", _wrap("", outline="cut")),
        Example("a free edge, trimmed of stray hairs",
                _wrap(f"{_MADE}, {_DONE}, {{do: trim}}", outline="free")),
        Example("a panel squared with a blade after drying",
                _wrap(f"{_MADE}, {_DONE}, {{do: trim}}", use="wall panel")
                .replace("55 g/m²", "200 g/m²").replace("light", "firm")),
    ),
    purposes=("rough edge",),
    model="The order of the steps as listed, against the outline that the piece is to have. Felting "
    "steps are rub, roll, full and throw. No figures are worked out.",
    weak_spots="A note that speaks of a blade, or a step called other, is taken for the cut. Cuts that "
    "open a resist and cuts of the outline are not told apart. Felt that is firm "
    "or hard, and cloth that is sewn later, may be cut late.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
    explained_by=("rows-and-laps", "order-of-work"),
)  # fmt: skip
