"""``python -m felt_engine.completion``: says where the files are; ``--write`` makes them anew."""

from __future__ import annotations

import sys

from felt_engine.completion import FILES, path

USAGE = f"python -m felt_engine.completion [{' | '.join(FILES)} | --write]"


def write() -> None:
    """Make all files anew, from the parser and the built-in plugins."""
    from felt_engine.completion import bash, fish, zsh

    for shell, module in (("bash", bash), ("zsh", zsh), ("fish", fish)):
        with open(path(shell), "w", encoding="utf-8", newline="\n") as file:
            file.write(module.text())


if __name__ == "__main__":
    wanted = sys.argv[1:]
    if wanted == ["--write"]:
        write()
    elif any(one not in FILES for one in wanted):
        sys.exit(f"usage: {USAGE}")
    else:
        print("\n".join(path(shell) for shell in wanted or FILES))
