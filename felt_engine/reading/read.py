"""Text to Recipe, and Recipe to places: the one function of this room."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain, islice

import attrs

from felt_engine.errors import Problem, RecipeError
from felt_engine.model.place import join, steps
from felt_engine.model.recipe import Recipe, Source
from felt_engine.reading import bounds
from felt_engine.reading.decimals import beside_commas, doubtful, mixed
from felt_engine.reading.links import check_links
from felt_engine.reading.names import check_names
from felt_engine.reading.recipe_shape import RECIPE
from felt_engine.reading.shape import BAD, Context, Enough, Kind
from felt_engine.reading.source import check_characters
from felt_engine.reading.tree import Node, Unreadable

Tables = Mapping[str, Mapping[str, str]]
"""For "fibre" and "use": each name that may be written, and the entry's own name."""


_last: tuple[Source, Node] | None = None
"""The source that was read last, and its tree: its report asks for the place of all that it names."""


def tree_of(source: Source) -> Node:
    """The tree of this source, by its door; nobody may change it. Raises Unreadable."""
    global _last
    last = _last
    if last is None or last[0] is not source:
        last = _last = source, _parsed(source)
    return last[1]


def _parsed(source: Source) -> Node:
    if source.door == "json":
        from felt_engine.reading.json_tree import read_json

        return read_json(source.text)
    from felt_engine.reading.yaml_tree import read_yaml

    return read_yaml(source.text)


def read_recipe(source: Source, tables: Tables) -> Recipe:
    """The recipe in this text. Raises RecipeError with every problem that was found."""
    try:
        check_characters(source.text)
        tree = tree_of(source)
    except Unreadable as error:
        raise RecipeError(source.name, error.problems) from None
    context = Context(source.text, source.door, tables)
    try:
        recipe = RECIPE.read(tree, "", context)
    except Enough:
        recipe = BAD
    problems = context.problems
    slips = check_names(tree) if recipe is BAD else chain(check_names(tree), check_links(recipe))
    unnamed = context.nameless
    known = (slip for slip in slips if not unnamed or not _is_of(slip, unnamed))
    problems.extend(located(tree, slip) for slip in islice(known, bounds.PROBLEMS_SOUGHT))
    problems = in_one_sign(problems, tree, source.text)
    if problems:
        told = [of_its_shape(tree, one) for one in problems]
        raise RecipeError(source.name, in_order(told, tree))
    return _with_source(recipe, source)


def in_one_sign(
    problems: Iterable[Problem], tree: Node, text: str, record: Kind | None = None
) -> list[Problem]:
    """The problems of a file, with its doubtful decimal points, and offers that aren't doubted beside them.

    A doubtful point is told alone where anything else comes of it. ``record`` is what the file is read
    as; a recipe, if that is left out.
    """
    slips = islice(doubtful(tree, record), bounds.PROBLEMS_SOUGHT) if mixed(text) else ()
    doubts = [located(tree, slip) for slip in slips]
    places = {one.pointer for one in doubts}
    told = [*(one for one in problems if one.pointer not in places), *doubts]
    return beside_commas(told, tree, record)


def _is_of(slip: tuple[str, str, str, str], unnamed: set[str]) -> bool:
    """Whether a slip comes of an entry whose name wasn't told from its value."""
    return slip[0] in unnamed or any(one in slip[1] for one in unnamed if one[0] == '"')


def of_its_shape(tree: Node, problem: Problem, shape: str = "") -> Problem:
    """A size that was refused is mended as its shape has it: a round has one length, others two.

    ``shape`` is that of things that say none.
    """
    sized = problem.pointer.endswith(("/laid out", "/finished", "/size", "/tuft"))
    hint = problem.mend.startswith(("write ", "say the unit"))
    if not sized or not (hint or problem.expected.startswith("a size: ")):
        return problem
    from felt_engine.reading.misread_size import OF_A_TUFT, of_shape, of_tuft

    if problem.pointer.endswith("/tuft"):
        size = problem.expected.startswith("a size: ")
        mend = of_tuft(of_shape(problem.mend, "rectangle"))
        return attrs.evolve(problem, mend=mend, expected=OF_A_TUFT if size else problem.expected)
    if not hint:
        return problem
    said = find(tree, problem.pointer.rpartition("/")[0] + "/shape")
    if not shape and said.kind == "text":
        shape = said.text
    return attrs.evolve(problem, mend=of_shape(problem.mend, shape))


def _with_source(recipe: Recipe, source: Source) -> Recipe:
    object.__setattr__(recipe, "source", source)
    return recipe


def located(tree: Node, slip: tuple[str, str, str, str]) -> Problem:
    """A slip (pointer, found, expected, mend) as a problem at its place."""
    pointer, found, expected, mend = slip
    return find(tree, pointer).problem(found, expected, mend, pointer, "link")


def in_order(problems: list[Problem], tree: Node, what: str = "a recipe") -> tuple[Problem, ...]:
    """Problems in file order, each once, and not more of them, or of their words, than helps.

    A file of another kind (a notebook where a recipe is expected) is one problem.
    """
    from felt_engine.reading.misfiled import misfiled

    other = misfiled(tree, what)
    if other is not None:
        return (other,)
    ordered = sorted(problems, key=lambda p: (p.line or 0, p.column or 0, p.pointer, p.found))
    unique = [in_words(tree, one) for one in dict.fromkeys(ordered)]
    room, count = bounds.PROBLEM_LETTERS, 0
    for one in unique[: bounds.PROBLEMS]:
        room -= 100 + len(one.found) + len(one.expected) + len(one.mend) + len(one.path)
        if room < 0 and count:
            break
        count += 1
    if len(unique) <= count:
        return tuple(unique)
    more = Problem(
        f"more than {count} problems", what, "mend those above first",
        "", unique[count].line, unique[count].column, "limit",
    )  # fmt: skip
    return (*unique[:count], more)


def in_words(tree: Node, problem: Problem) -> Problem:
    """The problem with the path to it in words; a pointer ends before a name of absurd length."""
    node: Node | None = tree
    path: list[str] = []
    pointer = ""
    for step in steps(problem.pointer):
        if len(step) > bounds.STEP_LENGTH:
            path.append(_short(step))
            break
        pointer += join(step)
        place = node is not None and node.kind == "list" and step.isdecimal()
        path.append(str(int(step) + 1) if place else _short(step))
        node = None if node is None else _child(node, step)
    return attrs.evolve(problem, pointer=pointer, path=" > ".join(path))


def _short(step: str) -> str:
    return f"{step[:60]}…" if len(step) > bounds.NAME_LENGTH else step


def find(tree: Node, pointer: str) -> Node:
    """The node at a pointer, or the deepest one on the way to it."""
    node = tree
    for step in steps(pointer):
        below = _child(node, step)
        if below is None:
            return node
        node = below
    return node


def _child(node: Node, step: str) -> Node | None:
    if node.kind == "map":
        return next((value for key, value in node.pairs if key.text == step), None)
    if node.kind == "list" and step.isdecimal() and int(step) < len(node.items):
        return node.items[int(step)]
    return None


def place_of(source: Source, pointer: str) -> tuple[int, int] | tuple[None, None]:
    """Line and column, from 1, of what a pointer names in this text; none in one that can't be read."""
    try:
        node = find(tree_of(source), pointer)
    except Unreadable:  # the text of a recipe made by hand
        return None, None
    return node.line, node.column
