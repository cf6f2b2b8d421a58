"""tools-fit: do mat, mesh, cover and roller take the wetted piece?"""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from felt_engine import Bench, Example, Figure, Limit, Rule, Said, Size, figures

BY_SIDE = {"north": "width", "south": "width", "east": "depth", "west": "depth"}
"""Rolled from this edge, the roller lies along this side of the piece."""


@attrs.frozen(eq=False, repr=False)
class Short:
    """A tool that is too small: its name, how much of the piece it takes, and both in words."""

    tool: str
    part: float
    has: str
    needs: str


def judge(bench: Bench) -> Iterator[Said]:
    """Only what the recipe states: first whether it is large enough, then how thick the roller is."""
    tools = bench.recipe.tools
    if tools is None or bench.recipe.piece.over == "ball":
        return
    found, tips = _sizes(bench)
    if found and not bench.meant("worked in parts"):
        yield _small(bench, found)
    elif not found:
        for tip in tips:
            yield bench.tip(tools, tip)
    yield from _thickness(bench)


def _sizes(bench: Bench) -> tuple[list[Short], list[str]]:
    tools = bench.recipe.tools
    assert tools is not None
    wet, laid = figures.wetted_extent(bench.recipe), figures.laid_extent(bench.recipe)
    seen = [("mat", tools.mat, wet), ("mesh", tools.mesh, laid), ("cover", tools.cover, laid)]
    if bench.recipe.piece.over == "table":
        seen = [(name, size, wet) for name, size, _ in seen]
    found, folded, tight = [], [], []
    for name, size, piece in seen:
        if size is None:
            continue
        part = figures.steady(piece.part_in(*size.sides))
        if part < bench.limit("takes") and not _folds(bench, size, piece):
            found.append(_short(bench, name, size, piece))
        elif part < bench.limit("takes"):
            folded.append(f"the {name}")
        elif _tight(bench, size, piece):
            tight.append(f"the {name}")
    found += _roller(bench, laid)
    return found, [*_fold_tip(folded), *_tight_tip(bench, tight)]


def _size(size: Size) -> str:
    return figures.size(*size.sides)


def _words(piece: figures.Extent) -> str:
    return figures.size(piece.width, piece.depth)


def _is_long(bench: Bench, piece: figures.Extent) -> bool:
    return figures.steady(piece.longer / piece.shorter) >= bench.limit("long")


def _folds(bench: Bench, size: Size, piece: figures.Extent) -> bool:
    """Whether a piece may be folded or rolled up where this tool is shorter than it is.

    A long piece may, if the tool takes its short side; any piece, if a step's note speaks of folding.
    """
    if any(step.note and "fold" in step.note.lower() for step in bench.recipe.work):
        return True
    part = figures.steady(_across(bench, size, piece) / piece.shorter)
    return _is_long(bench, piece) and part >= bench.limit("takes")


def _across(bench: Bench, size: Size, piece: figures.Extent) -> float:
    """The side of a sheet that takes the piece's short side: its long one only if it is laid athwart.

    A sheet as long as a long piece is not laid athwart.
    """
    sides = size.sides
    part = figures.steady(max(sides) / piece.longer)
    whole = _is_long(bench, piece) and part >= bench.limit("takes")
    return min(sides) if whole else max(sides)


def _along(bench: Bench, piece: figures.Extent) -> float:
    """The longest side that lies along the roller, as far as the steps say; else the shorter."""
    edges = figures.rolling(bench.recipe.work).edges
    return max((getattr(piece, BY_SIDE[edge]) for edge in edges), default=piece.shorter)


def _short(bench: Bench, name: str, size: Size, piece: figures.Extent) -> Short:
    """A sheet that is too small; of a long piece it need only take the short side."""
    if _is_long(bench, piece):
        part = figures.steady(_across(bench, size, piece) / piece.shorter)
        return Short(name, part, _size(size), f"{figures.length_at_least(piece.shorter)} one way")
    needs = figures.size_at_least(piece.width, piece.depth)
    return Short(name, figures.steady(piece.part_in(*size.sides)), _size(size), needs)


def _roller(bench: Bench, laid: figures.Extent) -> list[Short]:
    tools = bench.recipe.tools
    roller = tools.roller if tools is not None else None
    if roller is None or roller.length is None:
        return []
    side = laid.shorter if _is_long(bench, laid) else _along(bench, laid)
    is_round = bench.recipe.piece.shape in ("round", "oval")
    part = figures.steady(roller.length.si / side)
    folded = any(step.note and "fold" in step.note.lower() for step in bench.recipe.work)
    if folded or part >= bench.limit("takes-round" if is_round else "takes"):
        return []
    return [Short("roller", part, figures.length(roller.length.si), figures.length_at_least(side))]


def _small(bench: Bench, found: list[Short]) -> Said:
    worst = min(found, key=lambda one: one.part)
    names = _listed([f"the {one.tool} ({one.has})" for one in found])
    flat = any(one.tool != "roller" for one in found)
    harm = (
        "What hangs over stays unworked or is torn, and the fibre at the edge drifts off."
        if flat else "What lies beyond its ends is not rolled, and stays soft."
    )  # fmt: skip
    is_round = bench.recipe.piece.shape in ("round", "oval")
    limit = "takes-round" if worst.tool == "roller" and is_round else "takes"
    spare = figures.length(2 * bench.limit("spread"))
    return bench.finding(
        "caution",
        bench.recipe.tools,
        f"{names[0].upper()}{names[1:]} {'is' if len(found) == 1 else 'are'} smaller than the "
        f"piece. {harm}",
        "Take " + "; ".join(_better(one, spare) for one in found)
        + "; or work it in parts and say so under on purpose (what: worked in parts).",
        measured=Figure(f"part of the piece that the {worst.tool} takes", worst.part, ""),
        limit=limit,
        how="; ".join(f"{one.tool} {one.has} for {one.needs}" for one in found) + _past(bench),
    )  # fmt: skip


def _past(bench: Bench) -> str:
    wet, laid = figures.wetted_extent(bench.recipe), figures.laid_extent(bench.recipe)
    if wet == laid:
        return ""
    return f" (laid out {_words(laid)}, with what lies past the edge {_words(wet)})"


def _better(one: Short, spare: str) -> str:
    if one.tool == "roller":
        return f"a roller of at least {one.needs}"
    return f"a {one.tool} of at least {one.needs}, and {spare} more"


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def _fold_tip(names: list[str]) -> Iterator[str]:
    if names:
        yield (
            f"The piece is longer than {_listed(names)}: roll it up in its sheet as you go, or work it "
            f"in lengths, and shift the folds so that none is pressed in."
        )


def _tight(bench: Bench, size: Size, piece: figures.Extent) -> bool:
    more = 2 * bench.limit("spread") - 1e-9
    return not _is_long(bench, piece) and piece.grown(more).part_in(*size.sides) < 1


def _tight_tip(bench: Bench, names: list[str]) -> Iterator[str]:
    if names:
        yield (
            f"The piece just fits {_listed(names)}, and fibre spreads when it is wetted: have about "
            f"{figures.length(bench.limit('spread'))} to spare on each side."
        )


def _thickness(bench: Bench) -> Iterator[Said]:
    """A thick stack round a thin stick lies in creases."""
    tools = bench.recipe.tools
    across = tools.roller.across if tools is not None and tools.roller is not None else None
    if across is None:
        return
    areal, most = figures.rolled_areal(bench.build), bench.limit("stack-over-roller")
    ratio = figures.steady(areal / across.si)
    if ratio <= most or bench.meant("thin roller"):
        return
    two = bench.recipe.piece.over == "flat resist"
    yield bench.finding(
        "caution",
        tools,
        f"A roller {figures.length(across.si)} thick is thin for {figures.areal(areal)} of fibre: a "
        f"thick stack that is bent so sharply lies in creases on its inner side, and they felt in.",
        f"Take a roller at least {figures.length_at_least(areal / most)} thick, or wind a towel round this "
        f"one; before that, rub until it is flat.",
        measured=Figure("fibre over roller thickness", ratio, "g/m² per mm"),
        limit="stack-over-roller",
        how=f"{figures.areal(areal)}{', both faces' if two else ''} / {figures.length(across.si)}",
    )


_PANEL = """\
piece: {{title: Groyne, use: {use}, shape: rectangle, laid out: {size}, outline: {outline}, stage: firm}}
lots: {{white: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
  - {{name: along, of: white, amount: {each}, direction: east-west}}
  - {{name: across, of: white, amount: {each}, direction: north-south}}
tools: {{{tools}}}
"""


def _page(tools: str, size: str = "60 x 60 cm", use: str = "wall panel", each: int = 170) -> str:
    outline = "free" if use == "scarf" else "straight"
    return _PANEL.format(tools=tools, size=size, use=use, each=f"{each} g/m²", outline=outline)


RULE = Rule(
    id="tools-fit",
    title="Mat, mesh, cover and roller take the wetted piece",
    since="0.1.0",
    purpose="What hangs over the mat or lies beyond the roller is not worked, and fibre at the edge "
    "drifts off. A thick stack round a thin roller lies in creases that felt in.",
    judge=judge,
    limits=(
        Limit(
            "takes", 0.97, "", "part of a side of the piece that a tool has to take",
            "room for 30 cm where 12 in are meant, 0.984 (own calculation)",
        ),
        Limit(
            "takes-round", 0.9, "", "the same for a roller's length and a round or oval piece, of "
            "which little lies beyond its ends",
            "a strip as wide as 0.9 of its diameter covers 0.96 of a round (own calculation)",
        ),
        Limit(
            "spread", 0.01, "m", "how far fibre spreads on each side when it is wetted; tips only",
            "common practice, no source; value from memory",
        ),
        Limit(
            "long", 2.0, "", "length over width from which a piece is folded or worked in lengths",
            "common practice, no source; value from memory", "scarves, runners, belts",
        ),
        Limit(
            "stack-over-roller", 65.0, "g/m² per mm", "fibre for each mm of a roller's thickness",
            "right pieces of this kind have up to about 60 (common practice, no source; value from "
            "memory)", "stacks of 300 to 2500 g/m²",
        ),
    ),
    examples=(
        Example("a mat that is too small", _page("mat: 40 x 50 cm"), "caution"),
        Example("a mat that takes it", _page("mat: 70 x 80 cm, mesh: 65 x 65 cm")),
        Example(
            "a long scarf on a short mat", _page("mat: 60 x 90 cm", "210 x 45 cm", "scarf", 40)
        ),
        Example("a rug on a broomstick",
                _page("roller: {length: 70 cm, across: 2 cm}", use="rug", each=700), "caution"),
        Example("the same on a pipe",
                _page("roller: {length: 70 cm, across: 8 cm}", use="rug", each=700)),
        Example("nothing stated of the sort", _page("iron: warm")),
    ),
    purposes=("worked in parts", "thin roller"),
    model="The wetted piece is the layout with what lies past its edge, and on a resist the wraps "
    "(for the mat). Each sheet may lie either way round. The roller is to be as long as the longest "
    "side along it, going by the edges that the steps roll from; of a long piece, as the short side.",
    weak_spots="How far fibre spreads and what a roller takes are from memory. Accents that hang over "
    "are left out. A sheet laid cornerwise is thought of for a polygon alone. Over a ball nothing is "
    "judged.",
    laws=("units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
