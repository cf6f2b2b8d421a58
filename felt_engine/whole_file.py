"""A file, or a folder, written whole or not at all: to a name beside it first, then renamed.

The name beside it is always the same one, ``.report.json.felt-engine.part``, and locked while it is
written to. A run that was killed leaves at most that one behind, and the next one uses it up.
"""

from __future__ import annotations

import errno
import os
import stat

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

ENDING = ".felt-engine.part"


def part_of(path: str, middle: str = "") -> str:
    """What a file is called while it is being written."""
    folder, name = os.path.split(path)
    return os.path.join(folder, f".{name[:40]}{middle}{ENDING}")


def write_whole(path: str, pieces: Iterable[str]) -> None:
    """Write pieces of text to this file, which may be there already and then keeps its rights.

    What raises, OSError or whatever the pieces raise, leaves the file as it was.
    """
    part = part_of(path)
    handle = _locked(part)
    if handle is None:
        part = part_of(path, f".{os.getpid()}-{os.urandom(4).hex()}")
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    done = False
    try:
        with open(handle, "w", encoding="utf-8", newline="\n") as file:
            file.writelines(pieces)
            file.flush()
            os.chmod(part, _rights(path))
            if os.name == "posix":
                os.replace(part, path)
                done = True
        if not done:
            os.replace(part, path)
            done = True
    finally:
        if not done:
            _delete(part)


def write_tree(folder: str, files: Iterable[tuple[str, str]]) -> None:
    """Write files, each its path from there and its text, into a new or empty folder: all or none.

    They are written to a folder beside it (or in it, where it is there), which then takes its name; the
    next run clears away what a killed one left of that. Raises OSError.
    """
    bare = folder.rstrip("/" + os.sep) or folder
    there = os.path.isdir(folder)
    stage = os.path.join(folder, ENDING) if there else part_of(bare)
    made = [stage]
    _clear(stage)
    try:
        os.mkdir(stage)
        for path, text in files:
            file = os.path.join(stage, *path.split("/"))
            os.makedirs(os.path.dirname(file), exist_ok=True)
            with open(file, "x", encoding="utf-8", newline="\n") as opened:
                opened.write(text)
        if there:
            for name in os.listdir(stage):
                os.rename(os.path.join(stage, name), os.path.join(folder, name))
                made.append(os.path.join(folder, name))
            os.rmdir(stage)
        else:
            os.rename(stage, bare)
    except BaseException:
        for path in made:
            _clear(path)
        raise


def _clear(path: str) -> None:
    """Delete what a run left, a file or a folder of ours. FileExistsError for anything else."""
    if not os.path.lexists(path):
        return
    import shutil

    found = os.lstat(path)
    if (hasattr(os, "geteuid") and found.st_uid != os.geteuid()) or stat.S_ISLNK(found.st_mode):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), path)
    shutil.rmtree(path) if stat.S_ISDIR(found.st_mode) else os.unlink(path)


def write_into(path: str, pieces: Iterable[str]) -> None:
    """Write pieces of text into what is no ordinary file: a device, a pipe, an output by its number.

    A pipe that nobody reads from is an OSError, and never waited for.
    """
    handle = _opened(path)
    try:
        os.set_blocking(handle, True)
    except BaseException:
        os.close(handle)
        raise
    with open(handle, "w", encoding="utf-8", newline="\n") as file:
        file.writelines(pieces)


def _opened(path: str) -> int:
    flags = os.O_WRONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0)
    try:
        return os.open(path, flags)
    except OSError as error:
        if error.errno == errno.ENXIO and stat.S_ISFIFO(os.stat(path).st_mode):
            raise OSError(error.errno, "it is a pipe that nobody reads from", path) from None
        raise


def _locked(part: str) -> int | None:
    """This file, empty and locked for us; ``None`` where it isn't ours, or another one writes to it."""
    try:
        import fcntl

        flags = os.O_WRONLY | os.O_CREAT | os.O_NOFOLLOW | os.O_NONBLOCK
        handle = os.open(part, flags, 0o600)
    except (ImportError, FileExistsError, PermissionError):
        return None
    except OSError as error:
        if os.path.lexists(part):
            return None
        raise error
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        if _is_ours(handle, part):
            os.ftruncate(handle, 0)
            return handle
    except OSError:
        pass
    os.close(handle)
    return None


def _is_ours(handle: int, part: str) -> bool:
    """Whether this is still the file of that name, an ordinary one of our own, under no other name."""
    found, named = os.fstat(handle), os.lstat(part)
    return (
        (found.st_dev, found.st_ino) == (named.st_dev, named.st_ino)
        and stat.S_ISREG(found.st_mode)
        and found.st_nlink == 1
        and found.st_uid == os.geteuid()
    )


def _rights(path: str) -> int:
    """Those of the file that is there, else those of any new file."""
    try:
        return stat.S_IMODE(os.stat(path).st_mode)
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def _delete(path: str) -> None:
    try:
        os.unlink(path)
    except OSError:
        return


__all__ = ["ENDING", "part_of", "write_into", "write_tree", "write_whole"]
