"""Where the rooms are joined: load, measure, check, export.

Start-up has one order: find and load plugins, then rule book and tables, then recipes.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import attrs

import felt_engine
from felt_engine.analysis import build as _build
from felt_engine.analysis.build import Build
from felt_engine.checking.report import NotJudged, Report
from felt_engine.checking.rulebook import RuleBook, judge_all
from felt_engine.checking.settle import settle
from felt_engine.declare import Exporter, Sheet
from felt_engine.errors import CallError, Problem, RecipeError
from felt_engine.model.catalogue import Catalogue
from felt_engine.model.recipe import Recipe, Source
from felt_engine.plugins import Plugins
from felt_engine.reading.read import place_of, read_recipe
from felt_engine.reading.source import check_size, read_bytes, text_of
from felt_engine.reading.tables import built_in
from felt_engine.reading.tree import Unreadable

if TYPE_CHECKING:
    from felt_engine.sizing import Resized

Readable = str | os.PathLike[str]


class Engine:
    """One set of plugins with its rules, tables and exporters; the functions below use a default.

    Every method takes what the function of its name takes.
    """

    def __init__(self, plugins: Plugins | None = None) -> None:
        self.plugins = plugins or Plugins.load()

    @cached_property
    def rule_book(self) -> RuleBook:
        """The rules, by id."""
        return self.plugins.rule_book()

    @cached_property
    def catalogue(self) -> Catalogue:
        """The built-in tables with what plugins add or correct."""
        tables = built_in()
        fibres, uses = self.plugins.fibres(), self.plugins.uses()
        if not fibres and not uses:
            return tables
        return Catalogue(
            tables.fibres.with_entries(fibres), tables.uses.with_entries(uses), tables.treated_felts
        )

    @cached_property
    def exporters(self) -> dict[str, Exporter]:
        """Exporters by name."""
        return self.plugins.exporters()

    @property
    def broke(self) -> tuple[NotJudged, ...]:
        """Plugins, and parts of them, that broke down: every hook has been asked by then."""
        _ = self.rule_book, self.catalogue, self.exporters
        return tuple(self.plugins.broke)

    def load(self, source: Readable, *, name: str | None = None) -> Recipe:
        """See :func:`load`."""
        return read_recipe(_source(source, name), self.catalogue.names)

    def measure(self, recipe: Recipe) -> Build:
        """See :func:`measure`."""
        try:
            return _build.measure(recipe, self.catalogue)
        except RecipeError as error:
            if recipe.source is None:
                raise
            placed = tuple(_placed(p, recipe.source) for p in error.problems)
            raise RecipeError(recipe.source.name, placed) from None

    def check(
        self, recipe: Recipe | Readable, *, name: str | None = None, drawing: bool = False
    ) -> Report:
        """See :func:`check`."""
        if not isinstance(recipe, Recipe):
            recipe = self.load(recipe, name=name)
        build = self.measure(recipe)
        judged = judge_all(self.rule_book, build, self.measure)
        return settle(build, judged, self.broke, _locator(recipe), felt_engine.__version__, drawing)

    def look(self, source: Readable, *, name: str | None = None, drawing: bool = False) -> Report:
        """See :func:`look`."""
        try:
            return self.check(source, name=name, drawing=drawing)
        except RecipeError as error:
            return Report(
                name=error.name, problems=error.problems, engine=felt_engine.__version__,
                not_judged=self.broke,
            )  # fmt: skip

    def resize(
        self, recipe: Recipe | Readable, *, times: float | None = None,
        laid_out: str | None = None, finished: str | None = None,
        have: tuple[str, str] | None = None, pieces: int | None = None,
    ) -> Resized:  # fmt: skip
        """See :func:`resize`."""
        from felt_engine import sizing
        from felt_engine.reading.asked import asked_size, asked_weight

        if not isinstance(recipe, Recipe):
            recipe = self.load(recipe)
        wanted = sizing.Wanted(
            times,
            None if laid_out is None else asked_size(laid_out, "the laid-out size"),
            None if finished is None else asked_size(finished, "the finished size"),
            None if have is None else (have[0], asked_weight(have[1], "what there is,").si),
            pieces,
        )
        source = recipe.source

        def read(text: str) -> Recipe:
            assert source is not None
            return read_recipe(Source(source.name, text, source.door), self.catalogue.names)

        return sizing.resize(recipe, wanted, read, self.measure)

    def render(
        self, reports: Iterable[Report], exporter: str, sheet: Sheet | None = None
    ) -> Iterator[str]:
        """Pieces of text of these reports. CallError for an exporter that isn't there."""
        return self.exporter(exporter).render(reports, sheet or Sheet())

    def exporter(self, exporter: str) -> Exporter:
        """The exporter of this name. CallError, with the nearest name, if there is none."""
        found = self.exporters.get(exporter)
        if found is None:
            from felt_engine.suggest import did_you_mean

            known = ", ".join(sorted(self.exporters)) or "none"
            hint = did_you_mean(exporter, self.exporters, f"there is: {known}")
            raise CallError(f"no exporter is called “{exporter}”: {hint}")
        return found

    def export(
        self, report: Report | Iterable[Report], name: str, sheet: Sheet | None = None
    ) -> str:
        """See :func:`export`."""
        reports = [report] if isinstance(report, Report) else report
        return "".join(self.render(reports, name, sheet))


@lru_cache(maxsize=1)
def default_engine() -> Engine:
    """The engine with all installed plugins, made once a process."""
    return Engine()


def load(source: Readable, *, name: str | None = None) -> Recipe:
    """Read a recipe from a file, or from text (a str with a line break, or that starts with {).

    ``name`` is what errors and reports call it. A file ending in ``.json``, and text that starts
    with a brace and is JSON, go through the JSON door. Raises RecipeError with all problems.
    """
    return default_engine().load(source, name=name)


def measure(recipe: Recipe) -> Build:
    """What lies where, as SI figures. RecipeError if an amount lies nowhere on the piece."""
    return default_engine().measure(recipe)


def check(recipe: Recipe | Readable, *, name: str | None = None, drawing: bool = False) -> Report:
    """Judge a recipe (or a file, or text) by all rules. RecipeError if it can't be read.

    ``drawing`` adds what a page needs to draw the layout.
    """
    return default_engine().check(recipe, name=name, drawing=drawing)


def look(source: Readable, *, name: str | None = None, drawing: bool = False) -> Report:
    """As :func:`check`, but a recipe that can't be read gives a report with its problems."""
    return default_engine().look(source, name=name, drawing=drawing)


def export(report: Report | Iterable[Report], name: str, sheet: Sheet | None = None) -> str:
    """A report, or several, as text by the exporter of this name. CallError if there is none."""
    return default_engine().export(report, name, sheet)


def resize(
    recipe: Recipe | Readable, *, times: float | None = None, laid_out: str | None = None,
    finished: str | None = None, have: tuple[str, str] | None = None, pieces: int | None = None,
) -> Resized:  # fmt: skip
    """The same design at another size, as a new recipe in the old one's words.

    Say one of ``times`` (a factor for each side), ``laid_out`` or ``finished`` (``"40 x 30 cm"``) or
    ``have`` (a lot and a weight, ``("grey", "90 g")``); ``pieces`` goes with any, or alone. Weights
    per area are kept. CallError if that can't be said or done.
    """
    return default_engine().resize(
        recipe, times=times, laid_out=laid_out, finished=finished, have=have, pieces=pieces
    )


def report_from_json(text: str) -> tuple[Report, ...]:
    """The reports in what the ``json`` exporter wrote. CallError for anything else."""
    from felt_engine.checking.plain import reports_from_json

    return reports_from_json(text)


def _source(source: Readable, name: str | None) -> Source:
    if isinstance(source, str) and ("\n" in source or source.lstrip().startswith("{")):
        return _from_text(source, name or "text")
    shown = name or os.fspath(source)
    try:
        text = text_of(read_bytes(source))
    except Unreadable as error:
        raise RecipeError(str(shown), error.problems) from None
    door = "json" if str(os.fspath(source)).lower().endswith(".json") else "yaml"
    return Source(str(shown), text, door)


def _from_text(text: str, name: str) -> Source:
    try:
        check_size(len(text))
    except Unreadable as error:
        raise RecipeError(name, error.problems) from None
    return Source(name, text.removeprefix("\ufeff"), "json" if _is_json(text) else "yaml")


def _is_json(text: str) -> bool:
    if not text.lstrip().startswith("{"):
        return False
    import json

    try:
        json.loads(text)
    except (ValueError, RecursionError):
        return False
    return True


def _placed(problem: Problem, source: Source) -> Problem:
    line, column = place_of(source, problem.pointer)
    return attrs.evolve(problem, line=line, column=column)


class _locator:  # noqa: N801
    """Finds a pointer's line and column; reads the text again only if something was found."""

    def __init__(self, recipe: Recipe) -> None:
        self.source = recipe.source

    def __call__(self, pointer: str) -> tuple[int, int] | tuple[None, None]:
        if self.source is None:
            return None, None
        return place_of(self.source, pointer)
