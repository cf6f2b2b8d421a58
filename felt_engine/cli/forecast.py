"""``felt-engine forecast``: how large a piece comes out, and how large to lay it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from felt_engine.cli.terminal import Terminal, centimetres

if TYPE_CHECKING:
    import argparse

    from felt_engine.forecasting import Range, SizeForecast

AFTER = """\
The notebook is the one that --notebook names, or that the studio file names. Without a
swatch the answer is a wide range: make one of the same wool, weight and stage first.

examples:
  felt-engine forecast panel.yaml --notebook swatches.yaml
  felt-engine forecast panel.yaml --notebook swatches.yaml --finished "40 x 30 cm"
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    import argparse

    from felt_engine.cli.engines import add_studio

    parser: argparse.ArgumentParser = commands.add_parser(
        "forecast", help="how large it comes out", description="Forecast the finished size of a "
        "recipe, and the layout for a finished size, with a range.",
        epilog=AFTER, formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("recipe", metavar="RECIPE", help="the recipe")
    parser.add_argument("--notebook", metavar="FILE", help="your swatches")
    parser.add_argument(
        "--without", metavar="SWATCH", action="append", default=[],
        help="leave this swatch out (may be given several times)",
    )  # fmt: skip
    parser.add_argument("--finished", metavar="SIZE", help="finished size that is wanted")
    add_studio(parser)
    parser.add_argument(
        "--as", dest="form", choices=("text", "json"), default="text",
        help="text (as if left out) or json",
    )  # fmt: skip
    parser.add_argument("--to", metavar="FILE", help="write to this file")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print the forecast."""
    from felt_engine.cli.engines import at, engine_beside, notebook_at, read_for
    from felt_engine.cli.files import keep_apart, named, write_file

    to = None if arguments.to is None else named(arguments.to, "--to")
    engine = engine_beside(arguments.recipe, arguments.studio)
    keep_apart([to or ""], [arguments.recipe, arguments.notebook or "", *read_for(engine)])
    said = engine.forecast(
        engine.load(at(arguments.recipe), name=arguments.recipe),
        notebook=notebook_at(engine, arguments.notebook), without=arguments.without,
        finished=arguments.finished,
    )  # fmt: skip
    if arguments.form == "json":
        import json

        import attrs

        pieces = [json.dumps(attrs.asdict(said), indent=2) + "\n"]
    else:
        pieces = [f"{line}\n" for line in _lines(said)]
    if to is None:
        terminal.write(pieces, machine=arguments.form == "json")
    else:
        write_file(to, pieces)
    return 0


def _lines(said: SizeForecast) -> Iterator[str]:
    from felt_engine.analysis.say import areal
    from felt_engine.cli.terminal import fill
    from felt_engine.plain_text import plain

    sure = said.swatches > 0
    yield plain(f"{said.title}  ({said.name})" if said.name else said.title)
    wool = f"{areal(said.areal)}, feltability {said.felts:.2f}, felted {said.stage}"
    yield from fill(
        f"Laid out {centimetres(said.sides[0].laid_out)} x {centimetres(said.sides[1].laid_out)}; {wool}."
    )
    yield from fill(_taught(said))
    yield ""
    yield "  Comes out at, about 4 times in 5"
    for side in said.sides:
        yield f"    {side.direction:<13}{_lengths(side.finished, sure)}"
    yield "  It loses"
    for side in said.sides:
        yield f"    {side.direction:<13}{_parts(side.lost, sure)} of its length"
    yield f"    {'area':<13}{_parts(said.area_lost, sure)}"
    yield from fill(_square(said))
    if said.shape:
        shape = "; ".join(said.shape)
        yield from fill(f"Outline: {shape} (a tendency, which tugging undoes).")
    yield from _lay(said, sure)
    yield ""
    yield from fill(f"Sum: {said.how}.")
    for note in said.notes:
        yield from fill(plain(f"Note: {note}."))


def _taught(said: SizeForecast) -> str:
    from felt_engine.plain_text import plain

    if not said.swatches:
        return "No swatch: a range only, from what such felt usually does."
    count = f"{said.swatches} swatch" + ("es" if said.swatches > 1 else "")
    like = f"most like it: “{plain(said.nearest)}”" + (
        "" if said.alike else ", which is of another kind"
    )
    return f"From {count} in {plain(said.notebook)}; {like}."


def _square(said: SizeForecast) -> str:
    rolled = "" if said.rolling_said else " (rolling isn’t said: taken as even)"
    if said.out_of_square < 0.01:
        return f"A square would stay square, within 1 %{rolled}."
    return (
        f"A square would come out about {100 * said.out_of_square:.0f} % longer {said.longer} than "
        f"across{rolled}."
    )


def _lay(said: SizeForecast, sure: bool) -> Iterator[str]:
    if any(side.wanted is None for side in said.sides):
        return
    wanted = " x ".join(centimetres(side.wanted or 0.0) for side in said.sides)
    yield ""
    yield f"  For {wanted} finished, lay out"
    for side in said.sides:
        assert side.lay is not None
        yield f"    {side.direction:<13}{_lengths(side.lay, sure)}"
    from felt_engine.cli.terminal import fill

    where = (
        "no smaller than the middle of the range" if sure else "toward the larger end of the range"
    )
    yield from fill(
        f"Lay it {where}, and stop fulling when the size is "
        "reached: felt can be shrunk further, never back."
    )


def _lengths(found: Range, sure: bool) -> str:
    span = f"{100 * found.low:.1f} to {100 * found.high:.1f} cm"
    inches = f"{found.low / 0.0254:.1f} to {found.high / 0.0254:.1f} in"
    return f"{100 * found.likely:.1f} cm, {span} ({inches})" if sure else f"{span} ({inches})"


def _parts(found: Range, sure: bool) -> str:
    from felt_engine.analysis.say import whole_percent

    span = f"{whole_percent(found.low)[:-2]} to {whole_percent(found.high)}"
    return f"{whole_percent(found.likely)}, {span}" if sure else span
