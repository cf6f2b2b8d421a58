"""Files that complete ``felt-engine`` in bash, zsh and fish, and what they are made with.

The files are made once and kept, so that no Python starts when a line is completed.
"""

from __future__ import annotations

import os

FILES = {"bash": "felt-engine.bash", "zsh": "_felt-engine", "fish": "felt-engine.fish"}
"""By shell, the file beside this module; zsh wants it to be called as its function is."""


def path(shell: str) -> str:
    """Where the file for this shell is. KeyError for another shell."""
    return os.path.join(os.path.dirname(os.path.abspath(__file__)), FILES[shell])
