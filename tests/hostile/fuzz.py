"""A longer run by hand: ``python tests/hostile/fuzz.py N SEED``, with figures of what came of it."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "plugins"), str(ROOT)]

from kit_fuzz import Tally, shelf  # noqa: E402
from kit_fuzz_files import look_at_any  # noqa: E402

from felt_engine.api import Engine  # noqa: E402


def main(count: int, first: int) -> int:
    """Run, say what came of it; 1 if anything broke."""
    engine, stock, tally = Engine(), shelf(), Tally()
    every = int(os.environ.get("EVERY", "21"))
    worst = (0.0, 0)
    began = time.process_time()
    for seed in range(first, first + count):
        before = time.process_time()
        look_at_any(engine, seed, stock, tally, every)
        worst = max(worst, (time.process_time() - before, seed))
    used = time.process_time() - began
    print(tally.line())
    print(f"{used:.0f} s of CPU, {1000 * used / max(1, count):.1f} ms each; "
          f"longest {worst[0]:.2f} s, seed {worst[1]}")  # fmt: skip
    for rule, times in tally.findings.most_common():
        print(f"  {rule:<22}{times:>7} findings {tally.unsaid[rule]:>7} not enough said")
    for slip in tally.broken[:40]:
        print("BROKEN", slip[:600])
    return bool(tally.broken)


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("python tests/hostile/fuzz.py N SEED")
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2])))
