"""What order-of-work sees of resists: left in, taken out of what is closed, opened too late."""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import Bench, Said, figures
from felt_rules.steps import WORKS, first, is_for_others, last

OPENS = ("cut", "trim", "other")
"""Steps that may open what was laid all round a resist."""

HOLLOW = ("bowl", "pet cave")
"""Uses that have an inside when they are laid over a ball, beside those with walls."""


def judge(bench: Bench) -> Iterator[Said]:
    """Where a resist is laid, by the steps that are stated."""
    piece = bench.recipe.piece
    if piece.over == "ball":
        yield from _on_a_ball(bench)
    elif piece.over == "flat resist" or bench.recipe.resists:
        removed = last(bench.recipe.work, "remove resist")
        if removed is None:
            yield from _left_in(bench)
        else:
            slip = _closed(bench, removed) or _turned(bench) or _late(bench, removed)
            if slip is not None:
                yield slip


def _left_in(bench: Bench) -> Iterator[Said]:
    recipe, steps = bench.recipe, bench.recipe.work
    dry = first(steps, "dry")
    if dry is None or first(steps[:dry], "turn inside out", "other") is not None:
        return
    if bench.meant("resist stays in"):
        return
    yield bench.finding(
        "caution", recipe.resists[0] if recipe.resists else steps[dry],
        "It is dried, and no step takes the resist out: the wool shrinks on to it, and the "
        "inside is never worked.",
        "Say where the resist comes out: after it holds, and before it is fulled; or that it "
        "stays in (on purpose, what: resist stays in).",
        how=f"flat resist or resists, no remove resist before step {dry + 1}, dry",
    )  # fmt: skip


def _on_a_ball(bench: Bench) -> Iterator[Said]:
    """A hollow thing is opened; a bead or a bauble keeps what it is wound on."""
    use, steps = bench.build.use, bench.recipe.work
    dry = first(steps, "dry")
    if use is None or not (use.walls or use.name in HOLLOW) or dry is None:
        return
    opened = first(steps, *OPENS, "remove resist", "turn inside out")
    if opened is not None or bench.meant("resist stays in"):
        return
    yield bench.finding(
        "caution", steps[dry],
        f"It is laid over a ball and dried, and no step cuts it open or takes the ball out: the use "
        f"{use.name} has an inside.",
        "Say where it is cut open and the ball comes out: after it holds, and before it is fulled; or "
        "that the ball stays in (on purpose, what: resist stays in).",
        how=f"over a ball, no cut and no remove resist before step {dry + 1}, dry",
    )  # fmt: skip


def _closed(bench: Bench, removed: int) -> Said | None:
    """Wrapped all round, and the resist comes out before anything opens it, on a sheet for others.

    In own notes an end that lies open, or is cut, goes without saying.
    """
    steps = bench.recipe.work
    if not _wrapped_all_round(bench) or first(steps[:removed], *OPENS) is not None:
        return None
    cut, dry = first(steps, "cut", "trim"), first(steps, "dry")
    if not is_for_others(bench) or (cut is None and dry is None) or bench.meant("opening left"):
        return None
    when = f"it is cut open only in step {cut + 1}" if cut is not None else "no step cuts it open"
    return bench.finding(
        "caution", steps[removed],
        f"The wool is wrapped over the resist’s edge all round, the resist is to come out here, and "
        f"{when}.",
        "Say where it is cut open (cut), before the resist comes out; or that an opening is left (on "
        "purpose, what: opening left).",
        how=f"a layer all over wraps the edge; no cut before step {removed + 1}, remove resist",
    )  # fmt: skip


def _wrapped_all_round(bench: Bench) -> bool:
    return bench.recipe.piece.over == "flat resist" and any(
        layer.wraps is not None and figures.lies_all_over(bench.build, layer)
        for layer in bench.recipe.layers
    )  # fmt: skip


def _turned(bench: Bench) -> Said | None:
    """Turned inside out with the resist still in it."""
    steps = bench.recipe.work
    turned, out = first(steps, "turn inside out"), first(steps, "remove resist")
    if bench.recipe.piece.over != "flat resist" or turned is None or out is None or turned > out:
        return None
    if first(steps[:turned], "other") is not None or bench.meant("resist stays in"):
        return None
    return bench.finding(
        "caution", steps[turned],
        f"It is turned inside out with the resist still in it, which comes out only in step {out + 1}.",
        "Cut it open and take the resist out first, then turn it.",
        how=f"step {turned + 1} is turn inside out, step {out + 1} the first remove resist",
    )  # fmt: skip


def _late(bench: Bench, removed: int) -> Said | None:
    """Opened when all the fulling is done."""
    steps = bench.recipe.work
    worked, cut = last(steps, *WORKS), last(steps, "cut")
    fulled = last(steps, "full", "throw")
    if cut is None or worked is None or fulled is None or worked > min(cut, removed):
        return None
    if bench.recipe.piece.over != "flat resist" or bench.meant("fulled on the resist"):
        return None
    return bench.finding(
        "caution", steps[removed],
        "It is cut open and the resist comes out only when all fulling is done: the cut edge "
        "stays raw, and the inside and the fold along the resist were never worked.",
        f"Cut it and take the resist out before step {fulled + 1}, rub the cut edge with soapy "
        f"fingers, then full.",
        how=f"step {cut + 1} cuts, step {removed + 1} takes the resist out, and nothing after "
        f"them works the wool",
    )  # fmt: skip
