"""Places in a recipe file: JSON Pointers (RFC 6901)."""

from __future__ import annotations


def escape(step: str) -> str:
    """One step of a JSON Pointer, with ``~`` and ``/`` written as RFC 6901 wants them."""
    return step.replace("~", "~0").replace("/", "~1")


def join(*steps: str | int) -> str:
    """The JSON Pointer that takes these steps from the top of the document."""
    return "".join("/" + escape(str(step)) for step in steps)


def steps(pointer: str) -> tuple[str, ...]:
    """The steps of a JSON Pointer, unescaped; the empty pointer has none."""
    if not pointer:
        return ()
    return tuple(s.replace("~1", "/").replace("~0", "~") for s in pointer[1:].split("/"))
