"""Text to Notebook, with the same care as a recipe."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import attrs

from felt_engine.errors import NotebookError, Problem
from felt_engine.model.notebook import Notebook, NotedSwatch
from felt_engine.model.place import join
from felt_engine.plain_text import looks
from felt_engine.reading.names import Slip
from felt_engine.reading.notebook_shape import NOTEBOOK
from felt_engine.reading.read import in_one_sign, in_order, located, of_its_shape, tree_of
from felt_engine.reading.shape import BAD, Context, Enough
from felt_engine.reading.source import Readable, check_characters, name_of, open_source
from felt_engine.reading.tree import Unreadable

LARGER = 1.6
"""A side that came out this much longer than it was laid was hardly measured right."""


def read_notebook(
    source: Readable, tables: Mapping[str, Mapping[str, str]], name: str | None = None
) -> Notebook:
    """The notebook in a file or a text. NotebookError with every problem that was found."""
    try:
        opened = open_source(source, name, what="notebook")
        check_characters(opened.text)
        tree = tree_of(opened)
    except Unreadable as error:
        raise NotebookError(name_of(source, name), tuple(map(_ours, error.problems))) from None
    context = Context(opened.text, opened.door, tables)
    said: Any
    try:
        said = NOTEBOOK.read(tree, "", context)
    except Enough:
        said = BAD
    problems = context.problems
    if said is not BAD:
        problems.extend(located(tree, slip) for slip in _links(said.get("swatches", ())))
    problems = in_one_sign(problems, tree, opened.text, NOTEBOOK)
    if problems:
        told = [of_its_shape(tree, one, "rectangle") for one in problems]
        raise NotebookError(opened.name, in_order(told, tree, "a notebook"))
    return Notebook(**said, file=opened.name, source=opened)


def read_named(path: str, tables: Mapping[str, Mapping[str, str]], name: str) -> Notebook:
    """The notebook that a studio file names so; told by its path where it is wrong."""
    try:
        return read_notebook(path, tables, name)
    except NotebookError as error:
        raise NotebookError(path, error.problems) from None


def _ours(problem: Problem) -> Problem:
    """The same problem, in the words of a notebook."""
    return attrs.evolve(
        problem,
        found=problem.found.replace("recipe", "notebook"),
        expected=problem.expected.replace(
            "a recipe with piece, lots and layers", "a notebook with swatches"
        ).replace("recipe", "notebook"),
    )


def _links(swatches: tuple[NotedSwatch, ...]) -> Iterator[Slip]:
    """Names that are taken, sizes with one side, and sides that grew beyond belief."""
    seen: dict[str, int] = {}
    for number, one in enumerate(swatches):
        first = seen.setdefault(looks(one.name), number)
        if first != number:
            yield (
                join("swatches", number, "name"), f'"{one.name}", which swatch {first + 1} has too',
                "a name of its own", "add a date or a number to it",
            )  # fmt: skip
        for key, size in (("laid out", one.laid_out), ("finished", one.finished)):
            if size.depth is None:
                yield (
                    join("swatches", number, key), f'"{size.text}", which has one side',
                    "both sides, such as 30 x 30 cm",
                    "measure both: a swatch seldom shrinks alike both ways",
                )  # fmt: skip
        for laid, came in (
            (one.laid_out.width, one.finished.width), (one.laid_out.depth, one.finished.depth),
        ):  # fmt: skip
            if laid is not None and came is not None and came.si > LARGER * laid.si:
                yield (
                    join("swatches", number, "finished"),
                    f'"{one.finished.text}" from a layout of {one.laid_out.text}',
                    "a size after felting", "check the figures and units, and the order of sides",
                )  # fmt: skip
                break


__all__ = ["read_named", "read_notebook"]
