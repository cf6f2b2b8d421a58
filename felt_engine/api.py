"""Where the rooms are joined: load, measure, check, export.

Start-up has one order: head of the studio file, if there is one; find and load plugins; rule book
and tables; rest of the studio file against them; recipes.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any
from weakref import WeakValueDictionary

import attrs

import felt_engine
from felt_engine.analysis import build as _build
from felt_engine.analysis.build import Build
from felt_engine.checking.report import NotJudged, Report
from felt_engine.checking.rulebook import SLOW, Judged, RuleBook, judge_all
from felt_engine.checking.settle import settle
from felt_engine.declare import Exporter, Sheet
from felt_engine.errors import CallError, Problem, RecipeError
from felt_engine.model.catalogue import Catalogue
from felt_engine.model.recipe import Recipe, Source
from felt_engine.plugins import Plugins
from felt_engine.reading.read import place_of, read_recipe
from felt_engine.reading.source import Readable, name_of, open_source, said_as_asked
from felt_engine.reading.tables import built_in
from felt_engine.reading.tree import Unreadable
from felt_engine.value import Value

if TYPE_CHECKING:
    from decimal import Decimal
    from fractions import Fraction

    from felt_engine.analysis.rowplan import PlannedRows
    from felt_engine.analysis.shrinkage import Hand
    from felt_engine.analysis.taught import Learned
    from felt_engine.crew import Submits
    from felt_engine.forecasting import SizeForecast
    from felt_engine.model.notebook import Notebook
    from felt_engine.model.studio import Studio
    from felt_engine.sizing import Resized


@attrs.frozen(eq=False, repr=False)
class Slow(Value):
    """The longest that a rule took for one recipe, if that is more than two seconds."""

    rule: str
    package: str
    version: str
    recipe: str
    seconds: float


class Engine:
    """One set of plugins with its rules, tables and exporters; the functions below use a default.

    Every method takes what the function of its name takes. ``rule_files`` are Python files with
    hooks, or folders of them, to be loaded beside the installed plugins; CallError for one that
    isn't there. ``studio`` is a studio file (its path, or its text): the house's own numbers.
    StudioError if it can't be read, PluginMissing if it needs a plugin that isn't there.

    ``slowest`` has, by rule, the longest that it took for one recipe, and that recipe's name.
    """

    studio: Studio | None = None
    rule_files: tuple[str, ...] = ()
    _bare: Engine | None = None

    def __reduce__(self) -> Any:
        raise TypeError(
            "an Engine holds plugins and doesn't pickle: make one where it is needed, with Engine()"
        )

    def __init__(
        self, plugins: Plugins | None = None, *, studio: Readable | None = None,
        rule_files: str | os.PathLike[str] | Iterable[str | os.PathLike[str]] = (),
    ) -> None:  # fmt: skip
        if plugins is not None and not isinstance(plugins, Plugins):
            raise TypeError(f"plugins: expected Plugins, and not {type(plugins).__name__}")
        self.plugins = plugins or Plugins.load()
        self.slowest: dict[str, Slow] = {}
        if rule_files not in ((), []):
            from felt_engine.reading.asked import asked_files

            self.rule_files = asked_files(rule_files)
            self.plugins = self.plugins.with_files(self.rule_files)
        if studio is not None:
            self.__dict__.update(Engine(self.plugins).with_studio(studio).__dict__)

    def with_studio(self, studio: Readable, *, found: bool = False) -> Engine:
        """Another engine with the same plugins and the numbers of this studio file.

        ``found`` says that nobody named the file: it then may not load code. Numbers of a studio
        file that this engine has already are left behind, never put together with these.
        """
        if self._bare is not None:
            return self._bare.with_studio(studio, found=found)
        from felt_engine import studio as _studio

        opened = _studio.open_head(studio, found)
        files = _studio.files_of(opened, studio)
        base = self
        if files:
            base = Engine(self.plugins.with_files(files))
            base.rule_files = (*self.rule_files, *files)
        _studio.need_plugins(opened, base.plugins)
        return self._housed(base, _studio.read_rest(
            opened, found, base.rule_book, base.catalogue, base.broke
        ))  # fmt: skip

    def with_house(self, source: Source, shown: str, notebook: Source | None) -> Engine:
        """Another engine with the numbers of a studio file, from texts alone.

        ``shown`` is what reports call the file. Its rule files are to be among the plugins already.
        """
        from felt_engine import studio as _studio

        opened = _studio.open_head(source, False)
        studio = _studio.read_rest(opened, False, self.rule_book, self.catalogue, self.broke)
        made = self._housed(self, attrs.evolve(studio, file=shown, source=source))
        if notebook is not None:
            made.__dict__["notebook"] = made.read_notebook(notebook)
        return made

    def _housed(self, base: Engine, studio: Studio) -> Engine:
        from felt_engine.checking.house import arranged

        made = Engine(base.plugins)
        made._bare = self
        made.rule_files = base.rule_files
        made.studio = studio
        made.exporters = base.exporters
        made.slowest = self.slowest
        made.catalogue = base.catalogue.with_entries(studio.fibres, studio.uses)
        made.rule_book = arranged(base.rule_book, studio)
        return made

    def studio_schema(self) -> dict[str, Any]:
        """The JSON Schema of a studio file for these rules, to show to an editor."""
        from felt_engine import studio as _studio

        return _studio.schema(self.rule_book)

    @cached_property
    def rule_book(self) -> RuleBook:
        """The rules, by id."""
        return self.plugins.rule_book()

    @cached_property
    def catalogue(self) -> Catalogue:
        """The built-in tables with what plugins add or correct."""
        tables = built_in()
        plugins = self.plugins
        fibres, uses, cautions = plugins.fibres(), plugins.uses(), plugins.cautions()
        if not fibres and not uses and not cautions:
            return tables
        return tables.with_entries(fibres.values(), uses.values(), cautions.values())

    @cached_property
    def exporters(self) -> dict[str, Exporter]:
        """Exporters by name."""
        return self.plugins.exporters()

    @property
    def broke(self) -> tuple[NotJudged, ...]:
        """Plugins, and parts of them, that broke down: every hook has been asked by then."""
        _ = self.rule_book, self.catalogue, self.exporters
        return tuple(dict.fromkeys(self.plugins.broke))

    def load(self, source: Readable, *, name: str | None = None) -> Recipe:
        """See :func:`load`."""
        try:
            opened = open_source(source, name)
        except Unreadable as error:
            raise RecipeError(name_of(source, name), error.problems) from None
        recipe = read_recipe(opened, self.catalogue.names)
        self._sound[id(recipe)] = recipe
        return recipe

    @cached_property
    def _sound(self) -> WeakValueDictionary[int, Recipe]:
        """Recipes that this engine has read, or seen to be such as it reads."""
        return WeakValueDictionary()

    def measure(self, recipe: Recipe) -> Build:
        """See :func:`measure`."""
        if not isinstance(recipe, Recipe):
            kind = type(recipe).__name__
            raise TypeError(f"expected a Recipe, as load gives it, and not {kind}")
        if self._sound.get(id(recipe)) is not recipe:
            from felt_engine.reading.by_hand import check_made

            check_made(recipe, self.catalogue.names)
            self._sound[id(recipe)] = recipe
        return self._measured(recipe)

    def _measured(self, recipe: Recipe) -> Build:
        try:
            return _build.measure(self._furnished(recipe), self.catalogue, self.hand)
        except RecipeError as error:
            if recipe.source is None:
                raise
            placed = tuple(_placed(p, recipe.source) for p in error.problems)
            raise RecipeError(recipe.source.name, placed) from None

    def check(
        self, recipe: Recipe | Readable, *, name: str | None = None, drawing: bool = False
    ) -> Report:
        """See :func:`check`."""
        said_as_asked(name, drawing)
        recipe = recipe if isinstance(recipe, Recipe) else self.load(recipe, name=name)
        build, book = self.measure(recipe), self.rule_book
        judged = judge_all(book, build, self._measured)
        for one in judged:
            if one.seconds > SLOW:
                self._slow(one, recipe)
        report = settle(
            build, judged, self.broke, _locator(recipe), felt_engine.__version__, drawing, book
        )
        return self._judged(report, recipe)

    def _slow(self, one: Judged, recipe: Recipe) -> None:
        name = recipe.source.name if recipe.source else recipe.piece.title
        shelved = one.shelved
        self.note_slow(Slow(shelved.rule.id, shelved.package, shelved.version, name, one.seconds))

    def note_slow(self, found: Slow) -> None:
        """Remember how long a rule took, if it never took longer. TypeError for what is no Slow."""
        if not isinstance(found, Slow):
            raise TypeError(f"expected a Slow, and not {type(found).__name__}")
        known = self.slowest.get(found.rule)
        if known is None or known.seconds < found.seconds:
            self.slowest[found.rule] = found

    def _furnished(self, recipe: Recipe) -> Recipe:
        if self.studio is None:
            return recipe
        from felt_engine.checking.house import furnished

        return furnished(recipe, self.studio)

    def _judged(self, report: Report, recipe: Recipe | None = None) -> Report:
        if self.studio is None:
            return report
        from felt_engine.checking.house import judged_by

        return judged_by(report, self.studio, self.rule_book, recipe)

    def look(self, source: Readable, *, name: str | None = None, drawing: bool = False) -> Report:
        """See :func:`look`."""
        try:
            return self.check(source, name=name, drawing=drawing)
        except RecipeError as error:
            return self.unreadable(error.name, error.problems)

    def unreadable(self, name: str, problems: tuple[Problem, ...]) -> Report:
        """The report of a recipe that can't be read, and why."""
        if not isinstance(name, str) or not all(isinstance(one, Problem) for one in problems):
            raise TypeError("expected a recipe's name and the Problems of it, as in a RecipeError")
        version = felt_engine.__version__
        return self._judged(Report(name, problems=problems, engine=version, not_judged=self.broke))

    def check_many(
        self, paths: Iterable[Readable], executor: Submits | None = None, *, drawing: bool = False,
        keep: str | os.PathLike[str] | None = None, at_once: int = 64, patience: float = 600.0,
    ) -> Iterator[Report]:  # fmt: skip
        """See :func:`check_many`."""
        from felt_engine.crew import Crew
        from felt_engine.kept import Kept
        from felt_engine.many import Judging, Task, each
        from felt_engine.reading.asked import asked_number, asked_path, asked_seconds

        said_as_asked(None, drawing)
        if isinstance(paths, (str, os.PathLike, Source)):
            raise CallError("check_many takes a list of recipes: put the one in brackets")
        if not isinstance(paths, Iterable):
            kind = type(paths).__name__
            raise TypeError(f"check_many: expected a list of paths or texts, and not {kind}")
        keep = None if keep is None else asked_path(keep, "keep", "kept")
        seconds = asked_seconds(patience, "patience")
        crew = None if executor is None else Crew(executor, seconds)
        most = asked_number(at_once, "at_once", "64")
        if not most >= 1:
            raise CallError(f"at_once is 1 or more, and not {at_once}")
        judging = Judging(crew, None if keep is None else Kept(keep), drawing, most)
        return judging.reports(Task(self, source, name) for source, name in each(paths))

    def row_plan(
        self, recipe: Recipe | Readable, *, tuft: str | None = None
    ) -> tuple[PlannedRows, ...]:
        """See :func:`row_plan`."""
        from felt_engine.analysis.rowplan import row_plan
        from felt_engine.reading.asked import asked_size
        from felt_engine.reading.links import tiny

        if not isinstance(recipe, Recipe):
            recipe = self.load(recipe)
        size = None if tuft is None else asked_size(tuft, "the tuft’s size", "rectangle")
        if size is not None and size.depth is None:
            raise CallError("a tuft has two sides: across the fibre x along it, such as 5 x 10 cm")
        if size is not None and tiny(size):
            raise CallError(f"a tuft is at least 1 mm each way, and not {size.text}")
        sides = None if size is None or size.depth is None else (size.width.si, size.depth.si)
        return row_plan(self.measure(recipe), sides)

    @cached_property
    def hand(self) -> Hand | None:
        """What the swatches of the studio file's notebook taught; ``None`` where it names none.

        NotebookError if they can't be read.
        """
        if self.notebook is None:
            return None
        from felt_engine.analysis.taught import hand_of

        return hand_of(self.notebook, self.catalogue)

    def read_notebook(self, source: Readable, *, name: str | None = None) -> Notebook:
        """See :func:`read_notebook`."""
        from felt_engine.reading.read_notebook import read_notebook

        return read_notebook(source, self.catalogue.names, name)

    def learned(self, notebook: Notebook | Readable | None, without: Iterable[str] = ()) -> Learned:
        """See :func:`learned`; without a notebook, the one that the studio file names, if any."""
        from felt_engine.analysis.taught import learned, names_of
        from felt_engine.model.notebook import Notebook
        from felt_engine.reading.asked import asked_names

        notebook = self._notebook_of(notebook) or Notebook(())
        names = names_of(notebook)
        without = asked_names(without, "without", '["oat, crossed"]')
        for one in without:
            if one not in names:
                from felt_engine.suggest import did_you_mean

                hint = did_you_mean(one, names, "the swatches are: " + (", ".join(names) or "none"))
                raise CallError(f"no swatch is called “{one}”: {hint}")
        return learned(notebook, self.catalogue, without)

    def _notebook_of(self, notebook: Notebook | Readable | None) -> Notebook | None:
        """The notebook that a call names; else the one that the studio file names, if any."""
        from felt_engine.model.notebook import Notebook

        if notebook is None:
            return self.notebook
        return notebook if isinstance(notebook, Notebook) else self.read_notebook(notebook)

    @cached_property
    def notebook(self) -> Notebook | None:
        """The notebook that the studio file names, if it names one. NotebookError if unreadable."""
        if self.studio is None or self.studio.notebook is None:
            return None
        from felt_engine.reading.read_notebook import read_named

        source, named = self.studio.source, self.studio.notebook
        folder = os.path.dirname(source.name) if source is not None else ""
        return read_named(os.path.join(folder, named), self.catalogue.names, named)

    def forecast(
        self, recipe: Recipe | Readable, *, notebook: Notebook | Readable | None = None,
        without: Iterable[str] = (), finished: str | None = None,
    ) -> SizeForecast:  # fmt: skip
        """See :func:`forecast`."""
        from felt_engine.forecasting import forecast_size
        from felt_engine.reading.asked import asked_size

        recipe = recipe if isinstance(recipe, Recipe) else self.load(recipe)
        notebook = self._notebook_of(notebook)
        known, piece = self.learned(notebook, without), recipe.piece
        wanted = None if finished is None else asked_size(finished, "the finished size", piece)
        return forecast_size(
            self.measure(recipe), known, wanted, notebook.file if notebook is not None else ""
        )

    def resize(
        self, recipe: Recipe | Readable, *, times: float | Decimal | Fraction | None = None,
        laid_out: str | None = None, finished: str | None = None,
        have: tuple[str, str] | str | None = None, pieces: int | None = None,
        notebook: Notebook | Readable | None = None,
    ) -> Resized:  # fmt: skip
        """See :func:`resize`."""
        from felt_engine import sizing
        from felt_engine.reading.asked import asked_count, asked_have, asked_number, asked_size

        notebook = None if notebook is None else self._notebook_of(notebook)
        recipe = recipe if isinstance(recipe, Recipe) else self.load(recipe)
        lot = None if have is None else asked_have(have, "have")
        wanted = sizing.Wanted(
            None if times is None else asked_number(times, "times", "1.5"),
            None if laid_out is None else asked_size(laid_out, "the laid-out size", recipe.piece),
            None if finished is None else asked_size(finished, "the finished size", recipe.piece),
            None if lot is None else (lot[0], lot[1].si),
            None if pieces is None else asked_count(pieces, "pieces"),
        )
        if wanted.finished is not None and recipe.piece.finished is None:
            said = self.forecast(recipe, notebook=notebook, finished=finished)
            wanted = sizing.from_forecast(wanted, recipe.piece, said)
        source = recipe.source

        def read(text: str) -> Recipe:
            assert source is not None
            return read_recipe(Source(source.name, text, source.door), self.catalogue.names)

        self.measure(recipe)
        if source is not None and read(source.text) != recipe:
            raise CallError("resize works on a recipe's text: this one was changed since")
        return sizing.resize(recipe, wanted, read, self._measured)

    def render(
        self, reports: Iterable[Report], exporter: str, sheet: Sheet | None = None
    ) -> Iterator[str]:
        """Pieces of text of these reports. CallError for an exporter that isn't there."""
        return self.exporter(exporter).render(
            reports, self.filled(Sheet() if sheet is None else sheet)
        )

    def filled(self, sheet: Sheet) -> Sheet:
        """The sheet with the pages of this engine's rules, if it has none."""
        if not isinstance(sheet, Sheet):
            raise TypeError(f"expected a Sheet, and not {type(sheet).__name__}")
        if sheet.rules:
            return sheet
        from felt_engine.checking.rule_text import rule_texts

        return attrs.evolve(sheet, rules=rule_texts(self.rule_book))

    def exporter(self, exporter: str) -> Exporter:
        """The exporter of this name. CallError, with the nearest name, if there is none."""
        if not isinstance(exporter, str):
            kind = type(exporter).__name__
            raise TypeError(f"expected the name of an exporter, such as 'text', and not {kind}")
        found = self.exporters.get(exporter)
        if found is None:
            from felt_engine.suggest import did_you_mean

            known = ", ".join(sorted(self.exporters)) or "none"
            broke = "".join(f"; not loaded: {one.told}" for one in self.broke)
            hint = did_you_mean(exporter, self.exporters, f"there is: {known}")
            raise CallError(f"no exporter is called “{exporter}”: {hint}{broke}")
        return found

    def export(
        self, report: Report | Iterable[Report], name: str, sheet: Sheet | None = None
    ) -> str:
        """See :func:`export`."""
        return "".join(self.render(_reports(report), name, sheet))


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
    """What lies where, as SI figures. RecipeError if an amount lies nowhere on the piece.

    A recipe that wasn't read but made is first held against the format: TypeError for a part of a
    wrong class, RecipeError for all that a file couldn't say.
    """
    return default_engine().measure(recipe)


def check(recipe: Recipe | Readable, *, name: str | None = None, drawing: bool = False) -> Report:
    """Judge a recipe (or a file, or text) by all rules. RecipeError if it can't be read.

    ``drawing`` adds what a page needs to draw the layout.
    """
    return default_engine().check(recipe, name=name, drawing=drawing)


def look(source: Readable, *, name: str | None = None, drawing: bool = False) -> Report:
    """As :func:`check`, but a recipe that can't be read gives a report with its problems."""
    return default_engine().look(source, name=name, drawing=drawing)


def check_many(
    paths: Iterable[Readable], executor: Submits | None = None, *, drawing: bool = False,
    keep: str | os.PathLike[str] | None = None, at_once: int = 64, patience: float = 600.0,
) -> Iterator[Report]:  # fmt: skip
    """Look at many recipes (files, folders, texts): a report each, in order, as they come.

    ``executor`` is any executor as :mod:`concurrent.futures` describes it, in threads, processes or on
    other machines; without one, each is judged when its report is asked for. Texts go out to it, and
    JSON comes back; at most ``at_once`` batches, of up to eight recipes, are under way. ``keep`` is a
    folder for results, by content: what hasn't changed isn't judged again.

    CallError for a plugin that no worker could load; WorkerDiffers if a worker has another engine,
    other plugins or rule files, or if the answer is for other recipes than were asked about; WorkerLost
    if none answers within ``patience`` seconds (infinite: there is no limit).
    """
    return default_engine().check_many(
        paths, executor, drawing=drawing, keep=keep, at_once=at_once, patience=patience
    )


def export(report: Report | Iterable[Report], name: str, sheet: Sheet | None = None) -> str:
    """A report, or several, as text by the exporter of this name. CallError if there is none."""
    return default_engine().export(report, name, sheet)


def resize(
    recipe: Recipe | Readable, *, times: float | Decimal | Fraction | None = None,
    laid_out: str | None = None, finished: str | None = None,
    have: tuple[str, str] | str | None = None, pieces: int | None = None,
    notebook: Notebook | Readable | None = None,
) -> Resized:  # fmt: skip
    """The same design at another size, as a new recipe in the old one's words.

    Say one of ``times`` (a factor for each side), ``laid_out`` or ``finished`` (``"40 x 30 cm"``) or
    ``have`` (a lot and a weight, ``("grey", "90 g")`` or ``"grey: 90 g"``); ``pieces`` goes with any,
    or alone. Weights per area are kept. Where the recipe states no finished size of its own, the
    layout for one comes from the swatches of ``notebook``. CallError if that can't be said or done.
    """
    return default_engine().resize(
        recipe, times=times, laid_out=laid_out, finished=finished, have=have, pieces=pieces,
        notebook=notebook,
    )  # fmt: skip


def row_plan(recipe: Recipe | Readable, *, tuft: str | None = None) -> tuple[PlannedRows, ...]:
    """Rows and tufts of all that is shingled; ``tuft`` (``"5 x 10 cm"``) where the recipe says none."""
    return default_engine().row_plan(recipe, tuft=tuft)


def read_notebook(source: Readable, *, name: str | None = None) -> Notebook:
    """Read a swatch notebook from a file or a text. NotebookError with all problems."""
    return default_engine().read_notebook(source, name=name)


def learned(notebook: Notebook | Readable, without: Iterable[str] = ()) -> Learned:
    """What a notebook's swatches teach, and which of them are doubtful.

    Those named in ``without`` are left out. CallError for a name that none of them has.
    """
    return default_engine().learned(notebook, without)


def forecast(
    recipe: Recipe | Readable, *, notebook: Notebook | Readable | None = None,
    without: Iterable[str] = (), finished: str | None = None,
) -> SizeForecast:  # fmt: skip
    """How large a recipe comes out, and how large to lay it for a ``finished`` size, with ranges.

    Without a notebook, from memory of the craft. CallError where the recipe doesn't say its stage.
    """
    return default_engine().forecast(recipe, notebook=notebook, without=without, finished=finished)


def report_from_json(text: str) -> tuple[Report, ...]:
    """The reports in what the ``json`` exporter wrote. CallError for anything else."""
    from felt_engine.checking.plain import reports_from_json

    return reports_from_json(text)


def _reports(given: Report | Iterable[Report]) -> Iterable[Report]:
    """One report, or several, as several. TypeError for what can be seen to be none."""
    if isinstance(given, Report):
        return [given]
    several = isinstance(given, Iterable) and not isinstance(given, (str, bytes))
    for one in given if isinstance(given, (list, tuple)) else () if several else (given,):
        if not isinstance(one, Report):
            kind = type(one).__name__
            raise TypeError(f"expected a Report, as check gives it, or several, and not {kind}")
    return given


def _placed(problem: Problem, source: Source) -> Problem:
    line, column = place_of(source, problem.pointer)
    return attrs.evolve(problem, line=line, column=column)


class _locator:  # noqa: N801
    """Finds a pointer's line and column in the text that the recipe was read from, if any."""

    def __init__(self, recipe: Recipe) -> None:
        self.source = recipe.source

    def __call__(self, pointer: str) -> tuple[int, int] | tuple[None, None]:
        if self.source is None:
            return None, None
        return place_of(self.source, pointer)
