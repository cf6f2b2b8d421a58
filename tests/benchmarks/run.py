"""Speed and memory as ratios, each measured against its base in the same run. Asserts nothing.

    python tests/benchmarks/run.py            all but the last two (about three minutes)
    python tests/benchmarks/run.py a b d      only those

(a) cold: the command on one recipe of about 4 KB, over a bare interpreter start
(b) warm: the whole check of that recipe from text, over PyYAML's C safe load of the same text
(c) 1,000 recipes by the command, over check-jsonschema that only validates the same files
(d) peak memory of the command at 10, 100 and 1,000 recipes
(e) the shape tendency of that recipe, solved once, over its whole check from text
(f) the command on 1,000 recipes of which none has changed, over a bare interpreter start
(g) the command on 1,000 recipes in one process, over the same in two
(h) 10,000 recipes in two processes: peak memory of the caller, and of the largest worker
(i) 10,000 recipes one after the other, in two processes, and on dask's distributed with two workers:
    whether the bytes are the same
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


def unchanged(count: int = 1000, rounds: int = 15) -> None:
    """(f)"""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name, "recipes")
        folder.mkdir()
        catalogue(folder, count)
        command = [str(SCRIPTS / "felt-engine"), "check", str(folder), "--keep", f"{name}/kept"]
        wall(command)
        bare = [sys.executable, "-c", "pass"]
        pairs = [(wall(bare), wall(command)) for _ in range(rounds)]
        base, ours = (statistics.median(times) for times in zip(*pairs, strict=True))
        print(
            f"(f) {count} unchanged recipes {ours * 1000:.0f} ms / bare start {base * 1000:.0f} ms "
            f"= {ours / base:.2f}"
        )


def side_by_side(count: int = 1000, rounds: int = 3) -> None:
    """(g)"""
    with tempfile.TemporaryDirectory() as name:
        catalogue(Path(name), count)
        command = [str(SCRIPTS / "felt-engine"), "check", name]
        pairs = [(wall(command), wall([*command, "--processes", "2"])) for _ in range(rounds)]
        one, two = (statistics.median(times) for times in zip(*pairs, strict=True))
        print(f"(g) {count} recipes: one process {one:.2f} s / two {two:.2f} s = {one / two:.2f}")


def flat(counts: tuple[int, ...] = (100, 1000, 10_000)) -> None:
    """(h)"""
    code = (
        "import resource, sys\n"
        "from felt_engine.cli.main import main\n"
        "main(sys.argv[1:])\n"
        "for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN):\n"
        "    print(resource.getrusage(who).ru_maxrss, file=sys.stderr)"
    )
    for count in counts:
        with tempfile.TemporaryDirectory() as name:
            catalogue(Path(name), count)
            done = subprocess.run(
                [sys.executable, "-c", code, "check", name, "--processes", "2"],
                stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=True,
            )  # fmt: skip
            caller, worker = (int(line) / 1024 for line in done.stderr.split())
            print(f"(h) {count} recipes: caller {caller:.1f} MiB, largest worker {worker:.1f} MiB")


def same_bytes(count: int = 10_000) -> None:
    """(i)"""
    import hashlib
    from concurrent.futures import ProcessPoolExecutor

    import distributed

    import felt_engine

    with tempfile.TemporaryDirectory() as name:
        catalogue(Path(name), count)

        def judged(executor: object) -> str:
            reports = felt_engine.check_many([name], executor)  # type: ignore[arg-type]
            whole = hashlib.sha256()
            for piece in felt_engine.Engine().render(reports, "json"):
                whole.update(piece.encode())
            return whole.hexdigest()

        with ProcessPoolExecutor(2) as processes:
            two = judged(processes)
        cluster = distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None
        )
        with cluster, distributed.Client(cluster) as client:
            spread = judged(client.get_executor())
        one = judged(None)
        print(
            f"(i) {count} recipes: {one[:16]} alone, {two[:16]} two processes, {spread[:16]} dask"
        )
        print(f"(i) the same bytes: {'yes' if one == two == spread else 'NO'}")


if __name__ == "__main__":
    parts = {
        "a": cold, "b": warm, "c": many, "d": memory, "e": shape, "f": unchanged,
        "g": side_by_side, "h": flat, "i": same_bytes,
    }  # fmt: skip
    wanted = sys.argv[1:] or list("abcdefg")
    for key, measure in parts.items():
        if key in wanted:
            measure()
