"""``felt-engine resize``: the same design at another size, as a new recipe."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from felt_engine.cli.terminal import Terminal

if TYPE_CHECKING:
    import argparse

    from felt_engine.model.recipe import Recipe
    from felt_engine.sizing import Resized

AFTER = """\
Say one of --times, --laid-out, --finished or --have; --pieces goes with any of them, or alone.
The new recipe keeps your comments, order and units. Weights per area, tufts and overlaps stay
what they were; zones, weights, batches and totals follow the new size. What was changed is
listed on standard error, the recipe goes to standard output or, with --to, into a file.

examples:
  felt-engine resize panel.yaml --finished "60 x 45 cm" --to panel-large.yaml
  felt-engine resize panel.yaml --times 1.5 > panel-large.yaml
  felt-engine resize scarf.yaml --have "sea grey: 90 g" --to scarf-90.yaml
  felt-engine resize coasters.yaml --pieces 6 --to coasters-6.yaml
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    import argparse

    from felt_engine.cli.engines import add_studio

    parser: argparse.ArgumentParser = commands.add_parser(
        "resize", help="the same design at another size", description="Make the same design at "
        "another size or count, or from the wool that is there.",
        epilog=AFTER, formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("recipe", metavar="RECIPE", help="the recipe to start from")
    parser.add_argument("--times", metavar="FACTOR", help="each side so many times as long")
    parser.add_argument("--laid-out", metavar="SIZE", help="size of the layout, before felting")
    parser.add_argument("--finished", metavar="SIZE", help="size wanted after felting")
    parser.add_argument(
        "--have", metavar="LOT: WEIGHT", help="as large as this much of a lot allows, all pieces"
    )
    parser.add_argument(
        "--notebook", metavar="FILE", help="swatches that tell the layout for a finished size, "
        "where the recipe has none of its own",
    )  # fmt: skip
    parser.add_argument("--pieces", metavar="COUNT", help="how many pieces are made")
    add_studio(parser)
    parser.add_argument("--to", metavar="FILE", help="write the new recipe to this file")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the resized recipe, and what was changed."""
    from felt_engine.cli.engines import at, engine_beside, notebook_at, read_for
    from felt_engine.cli.files import keep_apart, named, write_file

    to = None if arguments.to is None else named(arguments.to, "--to")
    times = _factor(arguments.times)
    engine = engine_beside(arguments.recipe, arguments.studio)
    recipe = engine.load(at(arguments.recipe), name=arguments.recipe)
    _keep_format(to, recipe)
    read = [arguments.recipe, arguments.notebook or "", *read_for(engine)]
    keep_apart([to or ""], read, "a recipe")
    made = engine.resize(
        recipe,
        times=times,
        laid_out=arguments.laid_out,
        finished=arguments.finished,
        have=_have(arguments.have),
        pieces=_whole(arguments.pieces, "--pieces"),
        notebook=notebook_at(engine, arguments.notebook),
    )
    if to is None:
        terminal.write([made.text], machine=True)
    else:
        write_file(to, [made.text])
    for line in _summary(made):
        terminal.tell(line)
    return 0


def _factor(text: str | None) -> float | None:
    from felt_engine.reading.asked import asked_factor

    return None if text is None else asked_factor(text, "--times")


def _keep_format(to: str | None, recipe: Recipe) -> None:
    """CallError for a file whose ending says another format than the recipe is written in."""
    from felt_engine.errors import CallError

    door = recipe.source.door if recipe.source is not None else ""
    endings = {"json": (".yaml", ".yml"), "yaml": (".json",)}.get(door, ())
    if to is not None and to.lower().endswith(endings):
        right = {"json": ".json", "yaml": ".yaml"}[door]
        raise CallError(
            f"cannot write {to}: the recipe stays in the format that it has; name a file that ends "
            f"in {right}"
        )


def _whole(text: str | None, option: str) -> int | None:
    from felt_engine.errors import CallError
    from felt_engine.reading.bounds import PIECES

    if text is None:
        return None
    if not text.isascii() or not text.isdigit() or len(text) > 9 or not 1 <= int(text) <= PIECES:
        raise CallError(f"{option} “{text}” is no count: write a whole number from 1 to {PIECES}")
    return int(text)


def _have(text: str | None) -> tuple[str, str] | None:
    from felt_engine.reading.asked import lot_and_weight

    return None if text is None else lot_and_weight(text, "--have")


def _place(recipe: Recipe, pointer: str) -> str:
    """A pointer in the recipe's own names."""
    steps = [s.replace("~1", "/").replace("~0", "~") for s in pointer.split("/")[1:]]
    if steps[0] == "layers":
        layer = recipe.layers[int(steps[1])]
        said = [f"layer “{layer.name}”"]
        if steps[2] == "placements":
            placement = layer.placements[int(steps[3])]
            where = f" on {placement.zone}" if placement.zone != "whole" else ""
            said.append(f"“{placement.of}”{where}")
        return ", ".join([*said, steps[-1]])
    if steps[0] == "zones":
        return f"zone “{steps[1]}”, " + " ".join([steps[2], *(str(int(s) + 1) for s in steps[3:])])
    return " ".join(str(int(s) + 1) if s.isdigit() else s for s in steps)


def _summary(made: Resized) -> Iterator[str]:
    if made.across == made.deep == 1.0:
        yield "each side as it was"
    elif abs(made.across - made.deep) < 1e-9:
        yield f"each side {made.across:.4g} times as long"
    else:
        yield f"west to east {made.across:.4g} times, near to far {made.deep:.4g} times as long"
    for change in made.changes:
        old = change.old or "not there"
        yield f"  {_place(made.recipe, change.pointer)}: {old} -> {change.new}"
    for note in made.notes:
        yield f"note: {note}"
