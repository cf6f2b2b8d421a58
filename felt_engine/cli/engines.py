"""Which engine judges which recipe: the one that was named, or one with what lies beside it."""

from __future__ import annotations

import os

from felt_engine.beside import studio_beside

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Mapping, Sequence

    from felt_engine.api import Engine
    from felt_engine.cli.terminal import Terminal
    from felt_engine.model.notebook import Notebook

NO_STUDIO = "none"


def named_engine(studio: str | None, rule_files: Sequence[str] = ()) -> Engine:
    """The engine with these rule files and the studio file that was named.

    Without a studio file for ``None`` and ``none``.
    """
    from felt_engine.api import Engine, default_engine

    engine = default_engine()
    if rule_files:
        engine = Engine(engine.plugins, rule_files=rule_files)
    if studio is None or studio == NO_STUDIO:
        return engine
    return engine.with_studio(at(studio))


def add_studio(parser: argparse.ArgumentParser) -> None:
    """The option that names the studio file, for a command that works on one file."""
    parser.add_argument("--studio", metavar="FILE", help="the studio file; none: none at all")


def engine_beside(recipe: str, studio: str | None) -> Engine:
    """As ``check`` would judge this recipe. StudioError for a studio file that can't be read."""
    if studio is not None:
        return named_engine(studio)
    found = studio_beside(recipe)
    engine = named_engine(None)
    return engine if found is None else engine.with_studio(at(found), found=True)


def at(path: str) -> str | os.PathLike[str]:
    """A path that was named on the command line, never to be taken for a text. CallError if blank."""
    if not path.strip():
        from felt_engine.errors import CallError

        raise CallError("a name that is empty is no file's: write one")
    if "\n" not in path and "{" not in path:
        return path
    from pathlib import Path

    return Path(path)


def made_from(engine: Engine) -> Iterator[str]:
    """What an engine was made from: studio file, its notebook, rule files and folders of them."""
    studio = engine.studio
    if studio is not None and studio.source is not None:
        yield studio.source.name
        if studio.notebook is not None:
            yield os.path.join(os.path.dirname(studio.source.name), studio.notebook)
    yield from engine.rule_files


def read_for(engine: Engine) -> Iterator[str]:
    """The files that an engine was made from."""
    for path in made_from(engine):
        yield from files_in(path)


def files_in(path: str) -> Iterator[str]:
    """This file, or those in this folder and below it."""
    if not os.path.isdir(path):
        yield path
    for folder, _, names in os.walk(path):
        yield from (os.path.join(folder, name) for name in names)


def notebook_at(engine: Engine, path: str | None) -> Notebook | None:
    """The notebook that was named on the command line, if one was."""
    return None if path is None else engine.read_notebook(at(path), name=path)


class Engines:
    """Which engine judges which recipe: the named one, or one with what lies beside the recipe."""

    def __init__(self, usual: Engine, look_beside: bool) -> None:
        self.usual, self.look_beside = usual, look_beside
        self.by_folder: dict[str, Engine] = {}
        self.status = 0

    def ready(self, files: list[tuple[str, str]], terminal: Terminal) -> bool:
        """Read all studio files and their notebooks before anything is judged.

        False after saying what is wrong.
        """
        from felt_engine.errors import NotebookError, PluginMissing, StudioError

        if not self.look_beside:
            return _with_notebook(self.usual) is self.usual

        for folder in folders_of(files):
            try:
                found = studio_beside(os.path.join(folder, ""))
                if found is not None:
                    engine = self.usual.with_studio(at(found), found=True)
                    self.by_folder[folder] = _with_notebook(engine)
            except (StudioError, NotebookError) as error:
                for line in str(error).splitlines():
                    terminal.complain(line)
                self.status = max(self.status, 3 if isinstance(error, PluginMissing) else 2)
        for path, without in _without(files, self.by_folder):
            terminal.complain(
                f"the studio file in {path} holds for that folder alone, and not for {without}; "
                f"--studio names one for all"
            )
        return not self.status

    def read(self) -> Iterator[str]:
        """The files that they were made from."""
        for engine in (self.usual, *self.by_folder.values()):
            yield from read_for(engine)

    def of(self, file: str) -> Engine:
        """The engine that judges this recipe."""
        return self.by_folder.get(os.path.dirname(file), self.usual)


def _with_notebook(engine: Engine) -> Engine:
    """This engine, the notebook of its studio read. NotebookError if it can't be."""
    _ = engine.notebook
    return engine


def folders_of(files: list[tuple[str, str]]) -> list[str]:
    """The folders that these recipes lie in, each once."""
    return list(dict.fromkeys(os.path.dirname(file) for _, file in files if file))


def _without(
    files: list[tuple[str, str]], known: Mapping[str, object]
) -> Iterator[tuple[str, str]]:
    """Folders that were named and have a studio file, with one below that has none."""
    told: set[str] = set()
    for path, file in files:
        top, folder = os.path.dirname(os.path.join(path, "")), os.path.dirname(file)
        if file != path and top in known and folder not in known and top not in told:
            told.add(top)
            yield top, folder
