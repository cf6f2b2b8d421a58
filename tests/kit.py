"""Small helpers that several tests share."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent
RECIPES = ROOT / "recipes"

GROUND = """\
piece:
  title: Twelve inch ground
  use: picture ground
  shape: rectangle
  laid out: 12 x 12 in
  outline: straight
  stage: firm
lots:
  natural prefelt: {fibre: merino, preparation: prefelt, fineness: 20.5 um}
  grey: {fibre: merino, preparation: combed top, fineness: 20.5 um}
layers:
  - {name: base, of: natural prefelt, amount: 0.4 oz, lay: sheet}
  - {name: cross layer, of: grey, amount: 0.4 oz, direction: north-south, lay: shingle}
  - {name: design, of: grey, amount: 0.65 oz, direction: east-west, lay: shingle}
"""
UNCROSSED = "".join(line for line in GROUND.splitlines(True) if "cross layer" not in line)
BROKEN = GROUND.replace("amount: 0.4 oz, direction", 'amount: "1,500 g", direction')


def run(
    *arguments: str, cwd: Path | None = None, **environment: str
) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, piped."""
    full = {**os.environ, "PYTHONIOENCODING": "utf-8", **environment}
    return subprocess.run(
        [sys.executable, "-P", "-m", "felt_engine", *arguments],
        capture_output=True, text=True, encoding="utf-8", cwd=cwd, env=full, timeout=60, check=False,
    )  # fmt: skip
