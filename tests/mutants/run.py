"""Small wrong changes to our own code, one at a time: which does no test notice?

By hand: ``python tests/mutants/run.py PART [COUNT] [SEED]``. Without a count every change is tried. Each
runs in a forked child that imports the changed module from memory; no file is written. A change that
the tests outlast (a time limit) counts as noticed.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from collections.abc import Iterator
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import CodeType

import hypothesis
import hypothesis.strategies
import jinja2  # noqa: F401
import jsonschema  # noqa: F401
import pint  # noqa: F401
import pluggy  # noqa: F401
import pytest
import yaml  # noqa: F401
from changes import Change, changes, code_of

ROOT = Path(__file__).resolve().parents[2]
READING, RULES = "felt_engine/reading/", "plugins/felt_rules/"
JUDGED = ("rules/test_told.py", "rules/test_rule_pages.py", "rules/test_borderlines.py",
          "rules/test_model_figures.py")  # fmt: skip
PARTS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "quantities": (
        (READING + "quantity.py", READING + "misread.py"),
        ("reference/test_unit_conversions_sp811.py", "reading/test_hints.py", "reading/test_amounts.py"),
    ),
    "forms": (
        (READING + "forms.py", READING + "misread_forms.py"),
        ("reading/test_forms.py", "reading/test_links.py", "reading/test_short_cuts.py"),
    ),
    "positions": (
        (*(f"{READING}{name}.py" for name in ("tree", "yaml_tree", "json_tree", "read")),
         "felt_engine/model/place.py"),
        ("reading/test_hostile.py", "reading/test_places.py", "reading/test_links.py"),
    ),
    "cutting": (
        tuple(f"felt_engine/analysis/{name}.py" for name in ("patches", "borders")),
        ("analysis/test_geometry.py", "analysis/test_borders.py", "analysis/test_whereabouts.py",
         "analysis/test_shape_tendency.py", "analysis/test_joins.py"),
    ),
    "settle": (
        tuple(f"felt_engine/checking/{n}.py" for n in ("settle", "causes", "fingerprint")),
        ("checking/test_causes.py", "checking/test_settle.py", "rules/test_on_purpose.py",
         "checking/test_former.py", "exporters/test_text.py"),
    ),
    "direction": (
        tuple(RULES + f"direction_{name}.py" for name in ("balance", "places", "words")),
        (*JUDGED, "rules/test_direction.py"),
    ),
    "luster": (
        (RULES + "luster_carrier.py",),
        (*JUDGED, "rules/test_barrier.py", "rules/test_on_purpose.py"),
    ),
    "thin": (
        (RULES + "thin_layer.py",), (*JUDGED, "rules/test_on_purpose.py"),
    ),
    "halo": (
        (RULES + "halo_clash.py",), (*JUDGED, "rules/test_halo.py", "rules/test_on_purpose.py"),
    ),
}  # fmt: skip
"""By part: the files that are changed, and the direct tests of them, quickest first."""
LEFT_OUT = ("ten_thousand", "long_texts", "any_text", "up_to_date", "saying_a_purpose_never")
"""Words in the names of tests that take too long for this."""
ASKED = (
    "-x",
    "-q",
    "--tb=no",
    "-p",
    "no:cacheprovider",
    "-p",
    "no:xdist",
    "-k",
    "not " + " and not ".join(LEFT_OUT),
)


def child(path: Path, code: CodeType, tests: list[str], limit: float) -> None:
    """Run the tests with this code in the place of a file's; never returns."""
    usual = SourceFileLoader.get_code

    def get_code(loader: SourceFileLoader, name: str) -> CodeType | None:
        return code if Path(loader.path) == path else usual(loader, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign]
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    signal.setitimer(signal.ITIMER_REAL, limit)
    status = 1
    try:
        status = int(pytest.main([*ASKED, *tests]))
    finally:
        os._exit(status)


def noticed(path: Path, code: CodeType, tests: list[str], limit: float) -> bool:
    """Whether any test fails, or none ends in time."""
    number = os.fork()
    if number == 0:
        child(path, code, tests, limit)
    return os.waitpid(number, 0)[1] != 0


def every(files: tuple[str, ...]) -> Iterator[tuple[Path, Change]]:
    for name in files:
        source = (ROOT / name).read_text("utf-8")
        for change in changes(source):
            yield ROOT / name, change


def main(part: str, count: int | None, seed: int) -> int:
    """Try the changes, name those that nothing noticed, and give the share of the others."""
    files, names = PARTS[part]
    tests = [str(ROOT / "tests" / name) for name in names if (ROOT / "tests" / name).exists()]
    first = ROOT / files[0]
    began = time.perf_counter()
    if noticed(first, code_of(first.read_text("utf-8"), first), tests, 600):
        sys.exit("the tests fail as it is")
    taken = time.perf_counter() - began
    for name in files:
        broken = compile("raise RuntimeError", name, "exec")
        if not noticed(ROOT / name, broken, tests, 600):
            sys.exit(f"the tests pass without {name}")
    found = list(every(files))
    tried = found if count is None else random.Random(seed).sample(found, min(count, len(found)))
    survived = 0
    for path, change in sorted(tried, key=lambda one: (one[0], one[1].line)):
        if not noticed(path, change.code(path), tests, 3 * taken + 10):
            survived += 1
            print(f"{path.relative_to(ROOT)}:{change.line}: {change.about}", flush=True)
    share = 100 * (1 - survived / max(1, len(tried)))
    print(f"{part}: {len(tried) - survived} of {len(tried)} noticed ({share:.1f} %), of "
          f"{len(found)} that can be tried; {time.perf_counter() - began:.0f} s")  # fmt: skip
    return 0


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3, 4) or sys.argv[1] not in PARTS:
        sys.exit(f"python tests/mutants/run.py {'|'.join(PARTS)} [COUNT] [SEED]")
    os.chdir(ROOT)
    sys.dont_write_bytecode = True
    quick = [hypothesis.Phase.explicit, hypothesis.Phase.generate]
    hypothesis.settings.register_profile("mutants", phases=quick, database=None, derandomize=True)
    hypothesis.settings.load_profile("mutants")
    asked = [int(word) for word in sys.argv[2:]]
    sys.exit(main(sys.argv[1], asked[0] if asked else None, asked[1] if len(asked) > 1 else 1))
