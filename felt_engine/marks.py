"""Marks: short names for what a report depends on besides its recipe.

A mark is taken of contents, never of times: of every file of the engine and of each plugin's package
(compiled code aside), of the names and versions of all that is installed, of rule files, and of the
Python release. Two runs with one mark give one report for one recipe. What a plugin reads from
elsewhere, and code that it imports from a folder that is no installed package, are not in it.
"""

from __future__ import annotations

import os
import sys
from hashlib import sha256

from felt_engine import __version__, installed

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

LENGTH = 32
"""Hexadecimal digits of a mark: 128 bits of SHA-256 (FIPS 180-4)."""


def mark(parts: Iterable[str | bytes]) -> str:
    """A short name for these parts; another order, or another split, gives another one."""
    whole = sha256()
    for part in parts:
        data = part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part
        whole.update(b"%d:" % len(data))
        whole.update(data)
    return whole.hexdigest()[:LENGTH]


def of_path(path: str) -> str:
    """The mark of a file's bytes, or of all files in a folder with their names.

    OSError if one can't be read, or is far too long.
    """
    if not os.path.isdir(path):
        return mark((bytes_of(path, LONGEST),))
    return mark(part for name, file in _files(path) for part in (name, bytes_of(file, LONGEST)))


def _files(folder: str) -> Iterator[tuple[str, str]]:
    """All regular files below a folder, by names within it and by paths; links to folders aside."""
    waiting = [("", folder)]
    while waiting:
        within, path = waiting.pop()
        try:
            with os.scandir(path) as entries:
                here = sorted(entries, key=lambda entry: entry.name)
        except OSError:
            continue
        for entry in here:
            if entry.is_dir():
                if entry.name != "__pycache__" and not entry.is_symlink():
                    waiting.append((f"{within}{entry.name}/", entry.path))
            elif entry.is_file() and not entry.name.endswith((".pyc", ".pyo")):
                yield within + entry.name, entry.path


LONGEST = 16_000_000
"""Bytes of the longest file that is looked at whole: no rule file has near as many."""

_READ = 16_384
"""Bytes that are read at once: more than most recipes have, so that one call does."""

_AT_ONCE = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def bytes_of(path: str, longest: float = float("inf")) -> bytes:
    """The bytes of a regular file. OSError for anything else, and for what is longer than that."""
    handle = os.open(path, _AT_ONCE)
    try:
        data = os.read(handle, _READ)
        if data and len(data) < _READ:
            return data
        found = os.fstat(handle)
        if found.st_mode & 0o170000 != 0o100000:
            raise OSError("it is no ordinary file")
        if found.st_size > longest:
            raise OSError("it is far too long")
        return data + os.read(handle, found.st_size + 1)
    finally:
        os.close(handle)


def of_module(name: str) -> str:
    """The mark of the package that a module belongs to; empty where there is no file to read."""
    top = name.partition(":")[0].partition(".")[0]
    loaded = getattr(sys.modules.get(top), "__spec__", None)
    spec = loaded or _spec(top)
    places = list(getattr(spec, "submodule_search_locations", None) or ())
    origin = getattr(spec, "origin", None)
    if not places and origin and os.path.isfile(origin):
        places = [origin]
    try:
        return mark(of_path(place) for place in places) if places else ""
    except OSError:
        return ""


def _spec(top: str) -> object:
    """Where Python would import a package from, without importing it."""
    for finder in sys.meta_path:
        try:
            found = finder.find_spec(top, None)
        except (AttributeError, ImportError, ValueError):
            continue
        if found is not None:
            return found
    return None


def of_engine() -> str:
    """The mark of the engine's own files."""
    return of_module("felt_engine")


def of_files(paths: Iterable[str]) -> str:
    """The mark of rule files, or of folders of them. OSError if one can't be read."""
    return mark(part for path in paths for part in (os.path.basename(path), of_path(path)))


def of_installation() -> str:
    """The mark of the engine, all plugins, and names and versions of all else that is installed."""
    parts = [__version__, f"{sys.version_info[0]}.{sys.version_info[1]}", of_engine()]
    for package, version, folder in installed.distributions():
        parts += [package, version]
        for name, module in installed.entries(folder):
            parts += [name, module, of_module(module)]
    return mark(parts)
