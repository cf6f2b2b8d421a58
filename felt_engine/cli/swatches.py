"""``felt-engine swatches``: what a notebook of swatches teaches, and which of them are doubtful."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from felt_engine.cli.terminal import Terminal

if TYPE_CHECKING:
    import argparse

    from felt_engine.analysis.taught import Learned, TaughtSwatch
    from felt_engine.model.notebook import Notebook

AFTER = """\
A swatch is doubtful where it doesn’t go with all the others. It still counts, until you
mend it or leave it out with --without.

example:
  felt-engine swatches swatches.yaml --without "sea grey, first"
"""


def add(commands: Any) -> None:
    """Add the command to the parser."""
    import argparse

    from felt_engine.cli.engines import add_studio

    parser: argparse.ArgumentParser = commands.add_parser(
        "swatches", help="what your swatches teach", description="Show what a notebook of swatches "
        "teaches about shrinkage, and which swatches are doubtful.",
        epilog=AFTER, formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("notebook", metavar="NOTEBOOK", help="a file of swatches")
    parser.add_argument(
        "--without", metavar="SWATCH", action="append", default=[],
        help="leave this swatch out (may be given several times)",
    )  # fmt: skip
    add_studio(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print what was learned."""
    from felt_engine.cli.engines import engine_beside, notebook_at

    engine = engine_beside(arguments.notebook, arguments.studio)
    notebook = notebook_at(engine, arguments.notebook)
    assert notebook is not None
    known = engine.learned(notebook, arguments.without)
    terminal.write(f"{line}\n" for line in _lines(notebook, known))
    return 0


def _lines(notebook: Notebook, known: Learned) -> Iterator[str]:
    from felt_engine.cli.terminal import fill
    from felt_engine.plain_text import plain

    yield plain(f"{notebook.title}  ({notebook.file})" if notebook.title else notebook.file)
    counted = [one for one in known.swatches if one.counted]
    doubtful = [one for one in known.swatches if one.doubts]
    said = f"{len(known.swatches)} swatch{'' if len(known.swatches) == 1 else 'es'}"
    if len(counted) < len(known.swatches):
        said += f", {len(known.swatches) - len(counted)} left out"
    yield from fill(f"{said}; {len(doubtful)} doubtful.")
    yield ""
    yield from _stages(known)
    yield ""
    yield from _coefficients(known)
    if known.swatches:
        yield ""
        yield "  The swatches, what they lost west to east and near to far"
    for one in known.swatches:
        yield from _swatch(one)


def _stages(known: Learned) -> Iterator[str]:
    from felt_engine.analysis.shrinkage import STAGE_STRAIN, Making, forecast, shrinkage, untaught

    yield "  A side of crossed merino at 400 g/m² loses, about 4 times in 5"
    yield f"    {'felted':<10}{'before any swatch':<20}with these"
    for stage in STAGE_STRAIN:
        cells = []
        for hand in (untaught(), known.hand):
            low, high = forecast(hand, Making(stage, 0.4)).toward().span(0.8)
            cells.append(f"{100 * shrinkage(max(0.0, low)):.0f} to {100 * shrinkage(high):.0f} %")
        yield f"    {stage:<10}{cells[0]:<20}{cells[1]}"


def _coefficients(known: Learned) -> Iterator[str]:
    from felt_engine.analysis.shrinkage import untaught

    rows = (
        ("t0  your hand (1 is usual)", 0, 0), ("t1  weight (below 0: thin shrinks more)", 0, 1),
        ("t2  wool that felts less", 0, 2), ("t3  along the fibre", 1, 0),
        ("t4  the way it is rolled", 1, 1),
    )  # fmt: skip
    yield f"  {'What counts (plus or minus a standard deviation)':<52}{'before':<14}now"
    for words, which, index in rows:
        cells = []
        for hand in (untaught(), known.hand):
            belief = (hand.mean, hand.ratio)[which]
            cells.append(f"{belief.mean[index]:.2f} ± {belief.deviations[index]:.2f}")
        yield f"    {words:<50}{cells[0]:<14}{cells[1]}"


def _swatch(one: TaughtSwatch) -> Iterator[str]:
    from felt_engine.analysis.say import whole_percent
    from felt_engine.cli.terminal import fill
    from felt_engine.plain_text import plain

    left = "" if one.counted else " (left out)"
    lost = " and ".join(whole_percent(part) for part in one.lost)
    making = one.measured.making
    yield from fill(
        plain(f"{one.name}{left}: {making.stage}, {1000 * making.areal:.0f} g/m², lost {lost}"),
        "    ",
    )
    for doubt in one.doubts:
        yield from fill(plain(f"doubtful: {doubt}"), "      ")
