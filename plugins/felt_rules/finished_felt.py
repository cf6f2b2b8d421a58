"""What cut-off-layer sees at the faces: shapes of finished felt, which wool hardly grows into."""

from __future__ import annotations

import re
from collections.abc import Iterator

from felt_engine import Bench, FaceBuild, Laid, Place, Said, figures
from felt_rules.in_notes import said_of

SEWN = re.compile(r"stitch|\bsew|needle|\bglue", re.IGNORECASE)
"""Words of a note that say how a shape is held otherwise."""


def judge(bench: Bench) -> Iterator[Said]:
    """Shapes cut from felt that lie on wool with nothing over them; one finding a lot and zone."""
    if _is_sewn(bench):
        return
    over_all = {
        id(layer) for layer in bench.recipe.layers if figures.lies_all_over(bench.build, layer)
    } if any(lot.preparation == "felt" for lot in bench.recipe.lots) else set()  # fmt: skip
    for face in bench.build.alike:
        found: dict[tuple[object, ...], list[tuple[Laid, Place]]] = {}
        for place in face.places:
            for laid in _bare(place, over_all):
                names = (laid.layer, laid.placement.zone, laid.placement.of, face.name)
                if not bench.meant("kept apart", place, *names):
                    found.setdefault(laid.portion_of, []).append((laid, place))
        for group in found.values():
            yield _finding(bench, face, group[0][0], tuple(place for _, place in group))


def _is_sewn(bench: Bench) -> bool:
    recipe = bench.recipe
    notes = [
        *(layer.note for layer in recipe.layers), *(lot.note for lot in recipe.lots),
        *(step.note for step in recipe.work),
    ]  # fmt: skip
    noted = any(note is not None and any(said_of(SEWN, note)) for note in notes)
    return noted or any(step.do == "other" for step in recipe.work)


def _bare(place: Place, over_all: set[int]) -> Iterator[Laid]:
    """The outermost layer on each side, if it is a shape of finished felt and wool lies under it."""
    stack = place.stack
    if len(stack) < 2 or not any(laid.felting_share > 0 and not _is_felt(laid) for laid in stack):
        return
    for laid in (stack[0], stack[-1]):
        if _is_felt(laid) and id(laid.layer) not in over_all:
            yield laid


def _is_felt(laid: Laid) -> bool:
    return all(part.stuff.lot.preparation == "felt" for part in laid.parts)


def _finding(bench: Bench, face: FaceBuild, laid: Laid, at: tuple[Place, ...]) -> Said:
    of, where = laid.placement.of, figures.locate(at, face)
    wool = any(part.stuff.holds for part in laid.parts)
    why = "felt that is finished lets hardly any wool in" if wool else "it does not felt itself"
    return bench.finding(
        "caution", laid.about,
        f"“{of}”, cut from finished felt, lies on the wool {where} with nothing over it, and {why}: it "
        f"may come off, or pucker while the wool below shrinks.",
        "Take prefelt, felted little, that grows into the wool; or stitch it on when all is felted, and "
        "say so in the layer’s note.",
        how="preparation: felt, on a zone, at the face; what it is made of matters less",
        where=where,
        also=tuple(name for name in (laid.layer.name, of, laid.placement.zone, face.name)
                   if name != "whole"),
        at=at,
    )  # fmt: skip
