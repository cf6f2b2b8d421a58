"""Which files are recipes, and which studio file lies beside one. Reads nothing but names."""

from __future__ import annotations

import os

ENDINGS = (".yaml", ".yml", ".json")
NOTEBOOK_FILES = ("swatches.yaml", "swatches.yml", "swatches.json")
STUDIO_FILES = ("studio.yaml", "studio.yml", "studio.json")
CACHE_MARK = "CACHEDIR.TAG"
"""Marks a folder of what can be made again (the Cache Directory Tagging Specification)."""

NO_RECIPES = frozenset((*STUDIO_FILES, *NOTEBOOK_FILES))


def is_studio_file(path: str | os.PathLike[str]) -> bool:
    """Whether a path has the name of a studio file, and so is no recipe."""
    return os.path.basename(os.fspath(path)) in STUDIO_FILES


def is_notebook_file(path: str | os.PathLike[str]) -> bool:
    """Whether a path has the name of a swatch notebook, and so is no recipe."""
    return os.path.basename(os.fspath(path)) in NOTEBOOK_FILES


def studio_beside(path: str | os.PathLike[str]) -> str | None:
    """The studio file in the folder of this recipe (or in this folder), or ``None``.

    No other folder is looked into. StudioError if there are several in it.
    """
    whole = os.fspath(path) if isinstance(path, os.PathLike) else path
    if not isinstance(whole, str):
        kind = type(path).__name__
        raise TypeError(f"studio_beside: expected a path, such as recipes, and not {kind}")
    folder = whole if os.path.isdir(whole) else os.path.dirname(whole)
    found = [one for name in STUDIO_FILES if os.path.lexists(one := os.path.join(folder, name))]
    if len(found) > 1:
        from felt_engine.errors import Problem, StudioError

        names = " and ".join(os.path.basename(one) for one in found)
        problem = Problem(
            f"{names} in one folder", "one studio file", "keep one of them", "", None, None, "text"
        )
        raise StudioError(folder or os.curdir, (problem,))
    return found[0] if found else None


def recipes_in(folder: str | os.PathLike[str]) -> list[str]:
    """The recipes in a folder and those below it, sorted within each.

    Every file that ends in .yaml, .yml or .json, but studio files, notebooks, what is hidden, and
    folders below it that are marked as kept results are (CACHEDIR.TAG).
    """
    return [path for path, _ in recipes_and_links(folder)]


def recipes_and_links(folder: str | os.PathLike[str]) -> list[tuple[str, bool]]:
    """As :func:`recipes_in`, each with whether it is a link.

    A folder that can't be read has none; one below it that can't be stands for itself, to be refused.
    """
    found: list[tuple[str, bool]] = []
    waiting = [os.fspath(folder)]
    while waiting:
        below: list[str] = []
        here = waiting.pop()
        try:
            entries = _in_order(here)
        except OSError:
            if here != os.fspath(folder):
                found.append((here, False))
            continue
        if here != os.fspath(folder) and any(one.name == CACHE_MARK for one in entries):
            continue
        for entry in entries:
            link = entry.is_symlink()
            if os.path.isdir(entry.path) if link else entry.is_dir():
                below += [] if link else [entry.path]
            elif entry.name.lower().endswith(ENDINGS) and entry.name not in NO_RECIPES:
                found.append((entry.path, link))
        waiting += reversed(below)
    return found


def _in_order(folder: str) -> list[os.DirEntry[str]]:
    """What is in a folder and not hidden, by name. OSError where it can't be read."""
    with os.scandir(folder) as entries:
        return sorted(
            (one for one in entries if not one.name.startswith(".")), key=lambda one: one.name
        )


def why_closed(folder: str | os.PathLike[str]) -> str:
    """Why a folder can't be looked into; an empty text if it can."""
    try:
        with os.scandir(folder):
            return ""
    except OSError as error:
        return (error.strerror or "the system refused").lower()


def leads_out(path: str | os.PathLike[str], folder: str | os.PathLike[str]) -> bool:
    """Whether a path, all links followed, lies outside of a folder."""
    top = os.path.realpath(os.fspath(folder) or os.curdir)
    try:
        return os.path.commonpath((top, os.path.realpath(path))) != top
    except ValueError:  # another drive
        return True
