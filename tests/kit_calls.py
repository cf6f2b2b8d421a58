"""Calls of the command under hard limits of CPU time and memory: each in a child of a small process.

The small process has only what the command itself loads, so that the memory which is measured is the
command's own. Asked for, a call runs as another user, in an ASCII locale, or with other limits.
"""

from __future__ import annotations

import base64
import contextlib
import io
import json
import os
import re
import resource
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from kit import GROUND

SECONDS, MEGABYTES = 1.0, 256
"""What one call may take: CPU time of all its processes, and memory of the largest of them.

One that waits for ever is ended after 20 s, by the signal ALRM.
"""
LONGEST_LINE, LONGEST = 1000, 20_000
"""Characters that a call which fails says at most, in one line and in all."""
NOBODY = 65534


STUDIO = "name: Saltgrass Felt\n"
BOOK = """\
title: Swatches
swatches:
  - {name: one, laid out: 30 x 30 cm, finished: 20 x 20 cm, stage: firm, fibre: merino, amount: 27 g,
     directions: [north-south, east-west]}
"""
ODD = GROUND.replace("Twelve inch ground", "Zwölf “Zoll” 漢 🧶")


def recipe(at: Path, text: str = ODD, name: str = "right.yaml") -> Path:
    """A recipe in a file."""
    (at / name).write_text(text, encoding="utf-8")
    return at / name


class Done:
    """What came of a call: status (below 0: the signal), what it said, what it took."""

    def __init__(self, answer: dict[str, Any]) -> None:
        self.status: int = answer["status"]
        self.out: str = answer["out"]
        self.err: str = answer["err"]
        self.seconds: float = answer["seconds"]
        self.megabytes: float = answer["kilobytes"] / 1024

    @property
    def said(self) -> str:
        """Both streams."""
        return self.out + self.err


class Caller:
    """The small process, and calls in children of it."""

    def __init__(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-P", __file__], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parent)},
        )  # fmt: skip

    def __call__(
        self, arguments: Sequence[str], at: Path | str, stdin: bytes = b"", **extra: Any
    ) -> Done:
        """Run the command in a folder. ``extra``: user, file_bytes, locale, closed, seconds."""
        asked = {
            "arguments": [os.fsencode(a).decode("latin-1") for a in arguments],
            "at": str(at), "stdin": base64.b64encode(stdin).decode(), **extra,
        }  # fmt: skip
        assert self.process.stdin and self.process.stdout
        self.process.stdin.write(json.dumps(asked).encode() + b"\n")
        self.process.stdin.flush()
        return Done(json.loads(self.process.stdout.readline()))

    def close(self) -> None:
        """End the small process."""
        assert self.process.stdin and self.process.stdout
        self.process.stdin.close()
        self.process.wait(10)
        self.process.stdout.close()


def one_caller() -> Iterator[Caller]:
    """For a fixture."""
    caller = Caller()
    yield caller
    caller.close()


def quickest(call: Caller, arguments: Sequence[str], at: Path) -> Done:
    """A call that only reads, made again (three times at most) where it took longer than it may.

    What else the machine does adds to the CPU time of a call and takes nothing off it.
    """
    tries = [call(arguments, at)]
    while tries[-1].seconds > SECONDS and len(tries) < 3:
        tries.append(call(arguments, at))
    return min(tries, key=lambda done: done.seconds)


def held(done: Done, status: int, word: str = "", seconds: float = SECONDS) -> Done:
    """That a call ended so, said this, kept its limits, and said it in words short enough to read."""
    said = done.said
    assert "Traceback" not in said and "should not" not in said, said[-2000:]
    assert done.status == status, (done.status, said[-1500:])
    assert word in " ".join(said.split()), (word, said[:1500])
    assert done.seconds <= seconds, done.seconds
    assert done.megabytes <= MEGABYTES, done.megabytes
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", said)
    assert not re.search(r"^\s*::|##\w*\[", said, re.MULTILINE)
    if status >= 2:
        assert said.strip()
        assert max(map(len, said.splitlines())) <= LONGEST_LINE, max(map(len, said.splitlines()))
        assert len(said) <= LONGEST, len(said)
    return done


def _child(asked: dict[str, Any], files: Sequence[int]) -> int:
    from felt_engine.cli.main import main

    with contextlib.suppress(OSError):
        os.setpgid(0, 0)
    for number, file in enumerate(files):
        os.dup2(file, number)
    if asked.get("closed"):
        reader, writer = os.pipe()
        os.close(reader)
        os.dup2(writer, 1)
    os.chdir(asked["at"])
    if asked.get("locale"):
        os.environ.update(LC_ALL=asked["locale"], PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    letters = "ascii" if asked.get("locale") else "utf-8"
    sys.stdin = io.TextIOWrapper(os.fdopen(0, "rb", closefd=False), encoding=letters)
    for name, number in (("stdout", 1), ("stderr", 2)):
        stream = os.fdopen(number, "wb", closefd=False)
        errors = "strict" if number == 1 else "backslashreplace"
        setattr(sys, name, io.TextIOWrapper(stream, encoding=letters, errors=errors))
    soft = asked.get("seconds", SECONDS)
    resource.setrlimit(resource.RLIMIT_CPU, (max(1, round(soft + 1)), max(1, round(soft + 2))))
    signal.alarm(20)
    if asked.get("file_bytes"):
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (asked["file_bytes"],) * 2)
    if asked.get("user"):
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)
    status = main([os.fsdecode(a.encode("latin-1")) for a in asked["arguments"]])
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError):
            stream.flush()
    return status


def _serve() -> None:
    import pkgutil

    import felt_engine.cli
    from felt_engine.api import default_engine

    for found in pkgutil.walk_packages(felt_engine.__path__, "felt_engine."):
        if not found.name.endswith("__main__") and ".testing" not in found.name:
            __import__(found.name)
    import difflib
    import textwrap

    assert difflib and textwrap
    engine = default_engine()
    engine.export(engine.look("{}\n"), "page")
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for line in sys.stdin.buffer:
        sys.stdout.write(json.dumps(_call(json.loads(line))) + "\n")
        sys.stdout.flush()


def _call(asked: dict[str, Any]) -> dict[str, Any]:
    files = [tempfile.TemporaryFile() for _ in range(3)]  # noqa: SIM115
    files[0].write(base64.b64decode(asked["stdin"]))
    files[0].seek(0)
    child = os.fork()
    if not child:
        status = 99
        try:
            status = _child(asked, [f.fileno() for f in files])
        except SystemExit as leaving:
            status = int(leaving.code or 0)
        except BaseException as error:
            os.write(2, f"Traceback: {error!r}".encode())
        os._exit(status)
    _, status, used = os.wait4(child, 0)
    texts = []
    for file in files[1:]:
        file.seek(0)
        texts.append(file.read().decode("utf-8", "replace"))
        file.close()
    return {
        "status": os.waitstatus_to_exitcode(status), "out": texts[0], "err": texts[1],
        "seconds": used.ru_utime + used.ru_stime, "kilobytes": used.ru_maxrss,
    }  # fmt: skip


if __name__ == "__main__":
    _serve()
