"""Speed and memory as ratios, each measured against its base in the same run. Asserts nothing.

    python tests/benchmarks/run.py            all five figures (about two minutes)
    python tests/benchmarks/run.py a b d      only those

(a) cold: the command on one recipe of about 4 KB, over a bare interpreter start
(b) warm: the whole check of that recipe from text, over PyYAML's C safe load of the same text
(c) 1,000 recipes by the command, over check-jsonschema that only validates the same files
(d) peak memory of the command at 10, 100 and 1,000 recipes
(e) the shape tendency of that recipe, solved once, over its whole check from text
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import sysconfig
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parent
SAMPLE = HERE / "sample.yaml"
SCHEMA = HERE.parent.parent / "schemas" / "recipe.schema.json"
SCRIPTS = Path(sysconfig.get_path("scripts"))
QUIET = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


def wall(command: list[str]) -> float:
    """Seconds that a command takes, start to end."""
    began = time.perf_counter()
    subprocess.run(command, check=True, env=environment(), **QUIET)  # type: ignore[call-overload]
    return time.perf_counter() - began


def environment() -> dict[str, str]:
    """This environment with byte code allowed, as in an ordinary installation."""
    return {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def cold(rounds: int = 21) -> None:
    """(a)"""
    bare = [sys.executable, "-c", "pass"]
    check = [str(SCRIPTS / "felt-engine"), "check", str(SAMPLE)]
    wall(check)
    pairs = [(wall(bare), wall(check)) for _ in range(rounds)]
    base = statistics.median(b for b, _ in pairs)
    ours = statistics.median(c for _, c in pairs)
    print(
        f"(a) cold check {ours * 1000:.0f} ms / bare start {base * 1000:.0f} ms = {ours / base:.1f}"
    )


def warm(rounds: int = 15, number: int = 20) -> None:
    """(b)"""
    import yaml

    from felt_engine.api import Engine

    engine = Engine()
    text = SAMPLE.read_text(encoding="utf-8")
    engine.check(text)
    load, check = [], []
    for _ in range(rounds):
        began = time.perf_counter()
        for _ in range(number):
            yaml.load(text, Loader=yaml.CSafeLoader)
        load.append(time.perf_counter() - began)
        began = time.perf_counter()
        for _ in range(number):
            engine.check(text)
        check.append(time.perf_counter() - began)
    ours, base = statistics.median(check) / number, statistics.median(load) / number
    print(
        f"(b) warm check {ours * 1e6:.0f} us / C safe load {base * 1e6:.0f} us = {ours / base:.2f}"
    )


def catalogue(folder: Path, count: int) -> None:
    """Write so many different recipes: title, size and weights vary."""
    text = SAMPLE.read_text(encoding="utf-8")
    for number in range(count):
        varied = text.replace("Seven fields", f"Field {number}").replace(
            "amount: 65 g", f"amount: {65 + number % 40} g"
        )
        (folder / f"recipe-{number:05}.yaml").write_text(varied, encoding="utf-8")


def many(count: int = 1000) -> None:
    """(c)"""
    with tempfile.TemporaryDirectory() as name:
        catalogue(Path(name), count)
        ours = wall([str(SCRIPTS / "felt-engine"), "check", name])
        files = [str(path) for path in sorted(Path(name).iterdir())]
        base = wall([str(SCRIPTS / "check-jsonschema"), "--schemafile", str(SCHEMA), *files])
        print(f"(c) {count} recipes {ours:.2f} s / schema check {base:.2f} s = {ours / base:.3f}")


def memory() -> None:
    """(d)"""
    for count in (10, 100, 1000):
        with tempfile.TemporaryDirectory() as name:
            catalogue(Path(name), count)
            code = (
                "import subprocess, resource, sys;"
                "subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL);"
                "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
            )
            command = [str(SCRIPTS / "felt-engine"), "check", name]
            out = subprocess.run(
                [sys.executable, "-c", code, *command], capture_output=True, text=True, check=True
            )
            print(f"(d) {count} recipes: peak {int(out.stdout) / 1024:.1f} MiB")
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"(d) this process alone, for scale: {own / 1024:.1f} MiB")


def shape(rounds: int = 15) -> None:
    """(e)"""
    from felt_engine import figures
    from felt_engine.api import Engine, load, measure

    engine = Engine()
    text = SAMPLE.read_text(encoding="utf-8")
    face = measure(load(text)).faces[0]
    engine.check(text)
    solve, check = [], []
    for _ in range(rounds):
        began = time.perf_counter()
        figures.shape_tendency(face, "firm")
        solve.append(time.perf_counter() - began)
        began = time.perf_counter()
        engine.check(text)
        check.append(time.perf_counter() - began)
    ours, base = statistics.median(solve), statistics.median(check)
    print(f"(e) outline {ours * 1000:.1f} ms / warm check {base * 1000:.1f} ms = {ours / base:.2f}")


if __name__ == "__main__":
    parts = {"a": cold, "b": warm, "c": many, "d": memory, "e": shape}
    wanted = sys.argv[1:] or list(parts)
    for key, measure in parts.items():
        if key in wanted:
            measure()
