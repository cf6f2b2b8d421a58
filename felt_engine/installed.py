"""What is installed, read from folder names and ``entry_points.txt`` alone.

The standard library's own machinery for this costs more than a whole check. Anything on the path
that is no folder is left to that machinery.
"""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

GROUP = "felt_engine"
"""The entry point group of plugins."""


def tidy(name: str) -> str:
    """A package's name as packaging tools compare it: lower case, runs of ``-_.`` as one dash."""
    return "-".join(filter(None, name.lower().replace("_", "-").replace(".", "-").split("-")))


def distributions(paths: Iterable[str] | None = None) -> Iterator[tuple[str, str, str]]:
    """Package, version and metadata folder of all that is installed on these paths (``sys.path``).

    A package that is there twice counts where Python would find it first.
    """
    seen: set[str] = set()
    for path in sys.path if paths is None else paths:
        here: dict[str, tuple[str, str]] = {}
        for name in _names(path or os.curdir):
            if name.endswith((".dist-info", ".egg-info")):
                stem = name.rsplit(".", 1)[0].split("-")
                version = stem[1] if len(stem) > 1 else ""
                here.setdefault(tidy(stem[0]), (version, os.path.join(path or os.curdir, name)))
        for package, (version, folder) in here.items():
            if package not in seen:
                seen.add(package)
                yield package, version, folder


def _names(folder: str) -> list[str]:
    try:
        return sorted(os.listdir(folder))
    except OSError:
        return []


def plugins(paths: Iterable[str] | None = None) -> list[tuple[str, str, str, str]]:
    """Package, version, name and module of each plugin that is installed, sorted."""
    found = {
        (package, name): (package, version, name, module)
        for package, version, folder in distributions(paths)
        for name, module in entries(folder)
    }
    return [found[key] for key in sorted(found)]


def entries(folder: str) -> Iterator[tuple[str, str]]:
    """Name and module of each plugin that a metadata folder names."""
    try:
        with open(os.path.join(folder, "entry_points.txt"), encoding="utf-8") as lines:
            text = lines.read()
    except (OSError, ValueError):
        return
    if GROUP not in text:
        return
    section = ""
    seen: set[str] = set()
    for line in text.splitlines():
        line = line.strip()
        if line.startswith("["):
            section = line.strip("[]").strip()
        elif section == GROUP and "=" in line and not line.startswith(("#", ";")):
            name, _, module = line.partition("=")
            if name.strip() not in seen:
                seen.add(name.strip())
                yield name.strip(), module.split("[")[0].strip()
