"""What a file is that was taken for something else, by its keys. Imported only when it was refused."""

from __future__ import annotations

from felt_engine.errors import Problem
from felt_engine.reading.tree import Node

_APART = "name a recipe; keep what is written out of the folder that is checked"
_KINDS = {
    "a recipe": ({"piece", "layers"}, "give the recipe another name, or name another file here"),
    "a notebook": (
        {"swatches"},
        "felt-engine swatches shows what is in it; called swatches.yaml, it is left out where a folder "
        "is checked",
    ),
    "a studio file": (
        {"rules", "fibres", "uses", "as of", "needed plugins", "plugins as of", "rule files"},
        "name it with --studio; called studio.yaml, it holds for the recipes beside it",
    ),
    "a report": ({"engine", "reports"}, _APART),
    "a report (SARIF)": ({"version", "runs"}, _APART),
    "a forecast": ({"areal", "pull"}, _APART),
}  # fmt: skip
"""Keys that only such a file has, and what to do with one."""
_ONE_OF = ("a notebook", "a studio file")
_MAIN = {"piece", "lots", "blends", "layers", "zones"}
_ALSO_STUDIO = {"name", "prices", "stock"}
"""Further keys of a studio file, where none of a recipe's main parts is there."""


def misfiled(tree: Node, expected: str) -> Problem | None:
    """That this file is of another kind, if it has keys of that kind alone; ``expected`` is the kind."""
    if tree.kind != "map":
        return None
    keys = {key.text for key, _ in tree.pairs}
    found = [
        kind
        for kind, (marks, _) in _KINDS.items()
        if (marks & keys if kind in _ONE_OF else marks <= keys)
    ]
    if found[-1:] == ["a forecast"]:  # which counts its swatches
        del found[:-1]
    if (expected, found) == ("a recipe", []) and keys & _ALSO_STUDIO and not keys & _MAIN:
        found = ["a studio file"]
    if len(found) != 1 or found == [expected]:
        return None
    return tree.problem(found[0], expected, _KINDS[found[0]][1], "", "text")
