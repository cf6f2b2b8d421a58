"""Which files are recipes, and which studio file lies beside one. Reads nothing but names."""

from __future__ import annotations

import os

ENDINGS = (".yaml", ".yml", ".json")
NOTEBOOK_FILES = ("swatches.yaml", "swatches.yml", "swatches.json")
STUDIO_FILES = ("studio.yaml", "studio.yml", "studio.json")


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
    whole = os.fspath(path)
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

    Every file that ends in .yaml, .yml or .json, but studio files, notebooks, and what is hidden.
    """
    found: list[str] = []
    for here, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        found += [
            os.path.join(here, name)
            for name in sorted(files)
            if name.lower().endswith(ENDINGS)
            and not (name.startswith(".") or is_studio_file(name) or is_notebook_file(name))
        ]
    return found
