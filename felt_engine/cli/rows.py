"""``felt-engine rows``: the row plan of a recipe."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from felt_engine.cli.terminal import Terminal, centimetres

if TYPE_CHECKING:
    import argparse

    from felt_engine.analysis.rowplan import PlannedRows

AFTER = """\
A layer is planned where it is shingled and its tuft's size is known: from the recipe
(tuft: across the fibre x along it), or from --tuft.

example:
  felt-engine rows panel.yaml --tuft "5 x 10 cm"
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    import argparse

    from felt_engine.cli.engines import add_studio

    parser: argparse.ArgumentParser = commands.add_parser(
        "rows", help="rows and tufts of each layer", description="For each layer that is laid in "
        "rows: how many, how they lap, what a tuft weighs, how far past the edge to lay.",
        epilog=AFTER, formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("recipe", metavar="RECIPE", help="the recipe")
    parser.add_argument("--tuft", metavar="SIZE", help="a tuft's size where the recipe says none")
    add_studio(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print the plan."""
    from felt_engine.cli.engines import at, engine_beside

    engine = engine_beside(arguments.recipe, arguments.studio)
    recipe = engine.load(at(arguments.recipe), name=arguments.recipe)
    plan = engine.row_plan(recipe, tuft=arguments.tuft)
    terminal.write(f"{line}\n" for line in _lines(recipe.piece.title, plan))
    return 0


def _lines(title: str, plan: tuple[PlannedRows, ...]) -> Iterator[str]:
    from felt_engine.cli.terminal import fill
    from felt_engine.plain_text import plain

    yield plain(title)
    if not plan:
        yield from fill(
            "No layer is laid in rows of a known tuft: write lay: shingle and tuft: 5 x 10 cm to a "
            "layer, or name one with --tuft."
        )
    for one in plan:
        laid = one.laid
        where = "" if laid.placement.zone == "whole" else f" on {laid.placement.zone}"
        face = "" if one.face == "whole" else f", {one.face}"
        yield ""
        yield from fill(plain(f"{laid.layer.name}{face}: {laid.placement.of}{where}"))
        yield from fill(_rows(one), "    ")
        yield from fill(_tufts(one), "    ")
        if one.past:
            yield from fill(plain(_rim(one)), "    ")
    if plan:
        yield ""
        yield from fill(_sum(plan))


def _rows(one: PlannedRows) -> str:
    count = one.rows.count
    if count == 1:
        return f"1 row: a tuft of {centimetres(one.tuft)} reaches over {centimetres(one.along)}."
    from felt_engine.analysis.say import percent_at_most

    wanted = one.laid.layer.overlap
    lap = percent_at_most(one.rows.overlap, 0.0 if wanted is None else wanted.value / 100)
    return (
        f"{count} rows along {centimetres(one.along)}, one every {centimetres(one.rows.pitch)}; each laps "
        f"{lap} of the one before.{_short(one)}"
    )


def _short(one: PlannedRows) -> str:
    """That the rows which the recipe says don't fill what they are laid over, and how many do."""
    from felt_engine.analysis.rows import reach_of, shingle_rows

    reach = reach_of(one.rows.count, one.tuft, one.rows.overlap)
    if reach >= one.along * (1 - 1e-3):  # nobody sees a thousandth
        return ""
    enough = shingle_rows(one.along, one.tuft, one.rows.overlap).count
    return f" So they reach over {centimetres(reach)} of it; {enough} rows fill it."


def _tufts(one: PlannedRows) -> str:
    from felt_engine.analysis.say import weight

    beside = one.tufts.count
    every = f", one every {centimetres(one.tufts.pitch)}" if beside > 1 else ""
    return (
        f"{_counted(beside)} a row over {centimetres(one.across)}{every}: "
        f"{_counted(one.rows.count * beside)}, {centimetres(one.wide)} x {centimetres(one.tuft)}, of "
        f"{weight(one.each)} each."
    )


def _counted(tufts: int) -> str:
    return f"{tufts} tuft{'' if tufts == 1 else 's'}"


def _rim(one: PlannedRows) -> str:
    from felt_engine.analysis.say import weight_at_least

    placement = one.laid.placement
    further = " further" if placement.past is not None else ""
    amount, more = placement.amount, ""
    if amount.kind == "weight":
        more = (
            f" So that it stays as heavy, it then takes {weight_at_least(amount.si * one.times)} "
            f"in place of {amount.text}."
        )
    return (
        f"Lay it {centimetres(one.past)}{further} past the outline, so that the rim isn’t thinner than "
        f"the middle.{more}"
    )


def _sum(plan: tuple[PlannedRows, ...]) -> str:
    own = (
        "" if all(one.said for one in plan) else " Tufts that the recipe doesn’t say are --tuft’s."
    )
    return (
        "Sum: rows = (length / tuft - overlap) / (1 - overlap), rounded up, then the overlap is fitted; "
        f"tufts the same way, with a tenth for the overlap.{own}"
    )
