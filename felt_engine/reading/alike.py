"""Names of one map: each once, none that looks the same as another, no blank at an end."""

from __future__ import annotations

import re

from felt_engine.plain_text import looks

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.reading.shape import Context
    from felt_engine.reading.tree import Node

_NAME = re.compile(r"(?=\S)[^\n\r\t]{1,80}(?<=\S)")


def doubled(key: Node, seen: dict[str, Node], at: str, ctx: Context) -> bool:
    """Note a name that was there before, or that looks the same as one."""
    first = seen.setdefault(looks(key.text), key)
    if first is key:
        return False
    if first.text == key.text:
        ctx.bad(
            key, at, "each key once", "join the two, or rename one",
            found=f'a second "{key.text[:60]}"', kind="text",
        )  # fmt: skip
        return True
    from felt_engine.suggest import unlike

    ctx.bad(
        key, at, "names that can be told apart", f"rename one{unlike(key.text, first.text)}",
        found=f'"{key.text[:60]}", which looks the same as a name in line {first.line}', kind="link",
    )  # fmt: skip
    return True


def misnamed(key: Node, at: str, ctx: Context) -> bool:
    """Note a name that is too long, is more than a line, or has a blank at an end."""
    name = key.text
    if _NAME.fullmatch(name):
        return False
    bare = name.strip()
    if bare and bare != name and _NAME.fullmatch(bare):
        where = "before" if name[0] != bare[0] else "behind"
        ctx.bad(
            key, at, "a name without a blank at its ends", "take the blank out",
            found=f'a blank {where} "{bare[:60]}"',
        )  # fmt: skip
    else:
        ctx.bad(key, at, "a name of 1 to 80 characters on one line", "change the name")
    return True
