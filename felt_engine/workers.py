"""What a worker does: plain text in, bytes of JSON out, whatever carries them.

The *setup* says what the caller judges with: its engine, plugins, rule files and studio, each with a
mark of its contents. A worker loads its own, once, and compares; if anything differs it says what, and
judges nothing. So a report can't depend on which worker made it. No exception, and no value but bytes,
leaves :func:`judge_batch`.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from functools import lru_cache
from types import ModuleType
from typing import Any

import attrs

import felt_engine
from felt_engine import marks
from felt_engine.api import Engine, Slow
from felt_engine.checking.plain import report_from_plain, report_to_plain
from felt_engine.checking.report import NotJudged, Report
from felt_engine.checking.rulebook import reason_of
from felt_engine.errors import CallError, WorkerDiffers
from felt_engine.many import looked, unjudged
from felt_engine.model.recipe import Source
from felt_engine.plugins import Plugins, find

LONGEST_TRACE = 20_000
FILE = "file:"


def setup_of(engine: Engine) -> str:
    """What a worker needs to judge as this engine does, as JSON text.

    CallError for a plugin that was registered in this process only.
    """
    studio, notebook = engine.studio, engine.notebook
    source = studio.source if studio is not None else None
    return json.dumps(
        {
            "engine": [felt_engine.__version__, marks.of_engine()],
            "plugins": dict(sorted(_marked(engine.plugins))),
            "broke": [[b.what, b.package, b.version, b.reason] for b in engine.broke],
            "studio": None if source is None or studio is None
            else [source.name, source.text, source.door, studio.file],
            "notebook": None if notebook is None or notebook.source is None
            else [notebook.file, notebook.source.text, notebook.source.door],
        }
    )  # fmt: skip


def _marked(plugins: Plugins) -> Iterator[tuple[str, list[str]]]:
    """Each plugin that is loaded, by its label: package, version and mark of its files."""
    for label, (package, version) in plugins.packages.items():
        module = plugins.manager.get_plugin(label)
        if module is None:
            continue
        if label.startswith(FILE):
            found = marks.of_path(label.removeprefix(FILE))
        else:
            found = marks.of_module(module.__name__) if isinstance(module, ModuleType) else ""
        if not found:
            raise CallError(
                f"“{label}”, from {package} {version}, was registered in this process alone, so no "
                f"worker can load it: install it as a package, or name its file as a rule file"
            )
        yield label, [package, version, found]


@lru_cache(maxsize=4)
def engine_for(setup: str) -> Engine:
    """This worker's engine for a setup. WorkerDiffers if it isn't the caller's."""
    asked = json.loads(setup)
    ours = [felt_engine.__version__, marks.of_engine()]
    if asked["engine"] != ours:
        raise WorkerDiffers(_differs("felt-engine", asked["engine"], ours))
    labels = set(asked["plugins"])
    plugins = Plugins.load(one for one in find() if f"{one.package}:{one.name}" in labels)
    files = [label.removeprefix(FILE) for label in labels if label.startswith(FILE)]
    plugins = plugins.with_files(sorted(files)) if files else plugins
    loaded = dict(_marked(plugins))
    for label, theirs in asked["plugins"].items():
        mine = loaded.get(label)
        if mine != theirs:
            name = os.path.basename(label) if label.startswith(FILE) else theirs[0]
            raise WorkerDiffers(_differs(name, theirs[1:], mine and mine[1:]))
    known = {tuple(one) for one in asked["broke"]}
    here = {(b.what, b.package, b.version, b.reason) for b in Engine(plugins).broke}
    for what, package, *_ in sorted(here - known):
        raise WorkerDiffers(f"“{what}”, from {package}, breaks down there and not here")
    plugins.broke[:] = [NotJudged(*one) for one in asked["broke"]]
    engine = Engine(plugins)
    if asked["studio"] is None:
        return engine
    name, text, door, shown = asked["studio"]
    notebook = asked["notebook"]
    return engine.with_house(
        Source(name, text, door), shown,
        None if notebook is None else Source(*notebook),
    )  # fmt: skip


def _differs(name: str, theirs: list[str], mine: list[str] | None) -> str:
    if mine is None:
        return f"{name} {theirs[0]} is not installed there, or doesn’t load".replace("  ", " ")
    if mine[0] != theirs[0]:
        return f"it has {name} {mine[0]}, and not {theirs[0]}"
    return f"its files of {name} {theirs[0]}".rstrip() + " are not the same"


def _one(engine: Engine, source: Source, drawing: bool) -> Report:
    """A report, whatever happens: an interrupt here is a rule's, since the caller's stays there."""
    try:
        return looked(engine, source, drawing)
    except KeyboardInterrupt as error:
        return unjudged(source.name, reason_of(error))


def judge_batch(text: str) -> bytes:
    """Reports of a batch of recipes, as JSON: ``refused`` with a reason, or ``reports``.

    ``text`` is JSON with ``setup`` (text of :func:`setup_of`), ``recipes`` (lists of name, text and
    door) and ``drawing``.
    """
    try:
        asked = json.loads(text)
        engine = engine_for(asked["setup"])
        engine.slowest.clear()
        reports = [_one(engine, Source(*one), asked["drawing"]) for one in asked["recipes"]]
        found: dict[str, Any] = {
            "reports": [report_to_plain(one) for one in reports],
            "traces": [[b.trace[-LONGEST_TRACE:] for b in one.not_judged] for one in reports],
            "slow": [[*attrs.astuple(one)] for one in engine.slowest.values()],
            "asked": marks.mark((text,)),
        }
    except WorkerDiffers as error:
        found = {"refused": str(error)}
    except BaseException as error:
        found = {"refused": f"something went wrong that should not ({reason_of(error)})"}
    return json.dumps(found).encode("ascii")


def answered(answer: bytes, asked: str) -> tuple[list[Report], list[Slow]]:
    """What a worker's bytes say. WorkerDiffers if it refused, CallError if it is no answer.

    ``asked`` is the mark of the text that was sent: WorkerDiffers for the answer to another one.
    """
    try:
        found = json.loads(answer)
        if "refused" in found:
            raise WorkerDiffers(f"a worker can’t judge as this process does: {found['refused']}")
        if found["asked"] != asked:
            raise WorkerDiffers(
                "the executor gave the answer for other recipes than those that it was asked about"
            )
        reports = [
            _traced(report_from_plain(plain), traces)
            for plain, traces in zip(found["reports"], found["traces"], strict=True)
        ]
        return reports, [Slow(*one) for one in found["slow"]]
    except (ValueError, TypeError, KeyError, RecursionError) as error:
        raise CallError(f"a worker’s answer can’t be read ({reason_of(error)})") from None


def _traced(report: Report, traces: list[str]) -> Report:
    if not traces:
        return report
    pairs = zip(report.not_judged, traces, strict=True)
    return attrs.evolve(report, not_judged=tuple(attrs.evolve(b, trace=t) for b, t in pairs))


__all__ = ["answered", "engine_for", "judge_batch", "setup_of"]
