"""Files that a run writes: whole or not at all, and never over what it reads or writes besides."""

from __future__ import annotations

import os
import stat

from felt_engine.whole_file import part_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
    from collections.abc import Set as AbstractSet

    Place = str | tuple[int, int]
    """A file by its device and number, or, where there is none yet, by where it will be."""


def named(path: str, option: str, what: str = "file") -> str:
    """The name that an option was given. CallError for a blank one, and for ``-``."""
    from felt_engine.errors import CallError

    if not path.strip():
        raise CallError(f"{option} is to name a {what}, and what it names here is empty")
    if path == "-":
        out = "; without it, all goes to standard output" if option == "--to" else ""
        raise CallError(
            f"{option} is to name a {what}, and one that is called - is ./-"
            f"{out if what == 'file' else ''}"
        )
    return path


def place(path: str) -> Place:
    """What is the same for two names of one file, by links of either kind."""
    real = os.path.realpath(path)
    for name in (path, real):
        try:
            found = os.stat(name)
        except (OSError, ValueError):
            continue
        return found.st_dev, found.st_ino
    return real


def places(paths: Iterable[str]) -> set[Place]:
    """The places of the files among these paths."""
    return {place(path) for path in paths if path and os.path.isfile(path)}


def standard_output() -> Place | None:
    """The file or pipe that standard output goes to; ``None`` for a terminal or another device."""
    return _opened(1)


def standard_input() -> Place | None:
    """The file or pipe that standard input comes from; ``None`` for a terminal or another device."""
    return _opened(0)


def _opened(number: int) -> Place | None:
    try:
        found = os.fstat(number)
    except OSError:
        return None
    plain = stat.S_ISREG(found.st_mode) or stat.S_ISFIFO(found.st_mode)
    return (found.st_dev, found.st_ino) if plain else None


def keep_apart(
    written: Iterable[str], read: Iterable[str], what: str = "a report", opened: Place | None = None
) -> None:
    """CallError where something would be written over a file that this run reads, or has ``opened``."""
    paths = [path for path in written if path]
    inputs = (places(read) if paths else set()) | {opened}
    for path in paths:
        if {place(path), place(part_of(os.path.realpath(path)))} & inputs:
            from felt_engine.errors import CallError

            raise CallError(
                f"cannot write {what} over {path}: this run reads it, and it would be written "
                f"over; name another file"
            )


def keep_out(written: Iterable[str], kept: str) -> None:
    """CallError where something would be written into the folder of kept results."""
    inside = os.path.join(os.path.realpath(kept), "")
    for path in written:
        if path and (os.path.realpath(path) + os.sep).startswith(inside):
            from felt_engine.errors import CallError

            raise CallError(
                f"cannot write {path}: {kept} is the folder of kept results, and may be deleted at "
                f"any time; name another file"
            )


def taken_by(written: list[str], read: Iterable[str]) -> set[Place]:
    """Where no page of a folder may go: what is read, and what else is written."""
    if not any(written):
        return set()
    return places([*written, *read]) | {os.path.realpath(path) for path in written if path}


def write_file(path: str, pieces: Iterable[str], through_links: bool = True) -> None:
    """Write a file whole or not at all; what is no ordinary file, such as a pipe, is written into.

    A link is followed to the file that it leads to, which is replaced; or, without ``through_links``,
    is itself replaced. Raises OutputError if that fails; a file that was there is then still there.
    """
    from felt_engine.errors import OutputError
    from felt_engine.whole_file import write_into, write_whole

    real = os.path.realpath(path) if through_links else os.path.abspath(path)
    if os.path.isdir(path):
        raise OutputError(f"cannot write {path}: there is a folder of this name")
    if path.endswith(("/", os.sep)):
        raise OutputError(f"cannot write {path}: there is no folder of this name")
    try:
        if _is_special(path, through_links):
            write_into(path, pieces)
        elif through_links and os.path.islink(real):
            raise OutputError(f"cannot write {path}: it is a link that leads to itself")
        else:
            write_whole(real, pieces)
    except OSError as error:
        raise OutputError(f"cannot write {path}: {error.strerror or error}") from None


def _is_special(path: str, through_links: bool) -> bool:
    """Whether there is something that can't be replaced: a device, a pipe, an output by its number."""
    try:
        mode = os.stat(path, follow_symlinks=through_links).st_mode
    except (OSError, ValueError):
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISLNK(mode))


def write_folder(
    folder: str, files: Iterable[tuple[str, Iterable[str]]], taken: AbstractSet[Place] = frozenset()
) -> None:
    """Write files into a folder, each whole or not at all; the folder is made if need be.

    A link in the folder is replaced and never followed, since only the folder was named. Raises
    OutputError if that fails, for a name that would leave the folder, and for a place that is
    ``taken``: by what the run reads, or writes besides.
    """
    from felt_engine.errors import OutputError

    try:
        os.makedirs(folder, exist_ok=True)
    except OSError as error:
        raise OutputError(f"cannot make the folder {folder}: {error.strerror}") from None
    for name, pieces in files:
        if os.path.basename(name) != name or name in ("", ".", ".."):
            raise OutputError(f"cannot write {name}: it would leave the folder {folder}")
        path = os.path.join(folder, name)
        at = {place(part_of(path))} if os.path.islink(path) else {
            place(path), os.path.realpath(path), place(part_of(path))
        }  # fmt: skip
        if at & taken:
            raise OutputError(
                f"cannot write {path}: this run reads it, or writes something else to it; name "
                f"another folder"
            )
        write_file(path, pieces, through_links=False)
