"""Real shells on a terminal of their own: a line is typed, TAB is pressed, and what comes is caught.

Each shell is started afresh, in a home without settings. Python and the command itself are stand-ins
that leave a mark when they are started.
"""

from __future__ import annotations

import os
import pty
import select
import shutil
import signal
import subprocess
import time
from pathlib import Path

from felt_engine import completion

SHELLS = {shell: shutil.which(shell) for shell in completion.FILES}
PATIENCE = 30
"""Seconds until a shell that says nothing has failed."""

MARK = "#!/bin/sh\necho started >> {home}/started\n"
GIVEN = "felt-engine() { printf '%s\\0' \"$@\" > caught.part; mv caught.part caught; }\n"
BASH = """\
source @FILE@
caught() {
    _felt_engine "$@"
    printf '%s\\0' "${COMPREPLY[@]}" > "$HOME/offered.part"
    mv "$HOME/offered.part" "$HOME/offered"
}
complete -F caught felt-engine
PS1=' READY> '
"""
FISH = """\
source @FILE@
function fish_prompt; echo ' READY> '; end
function felt-engine; printf '%s\\0' $argv > caught.part; mv caught.part caught; end
"""
ZSH = """\
fpath=(@FOLDER@ $fpath)
autoload -Uz compinit && compinit -u -D
zstyle ':completion:*' insert-tab false
compadd() {
    local -a hits
    if [[ " $* " != *' -'[OAD]' '* ]]; then
        builtin compadd -A hits "$@"
        (( $#hits )) && printf '%s\\0' "${hits[@]}" >> $HOME/offered.part
    fi
    builtin compadd "$@"
}
shown() {
    zle complete-word
    : >> $HOME/offered.part
    mv $HOME/offered.part $HOME/offered
}
zle -N shown
bindkey '^I' shown
PS1=' READY> '
"""


class Screen:
    """A shell at a terminal, with what it has written so far."""

    def __init__(self, command: list[str], folder: Path, environment: dict[str, str]) -> None:
        self.text = ""
        self.process, self.at = pty.fork()
        if not self.process:
            os.chdir(folder)
            os.execvpe(command[0], command, environment)

    def wait(self, done: str | Path) -> None:
        """Read until this is on the screen, or this file is there. AssertionError if it never is."""
        end = time.monotonic() + PATIENCE
        while not (done.exists() if isinstance(done, Path) else done in self.text):
            assert time.monotonic() < end, f"no {done}; on the screen: {self.text!r}"
            if select.select([self.at], [], [], 0.02)[0]:
                self.text += os.read(self.at, 4096).decode("utf-8", "replace")

    def type(self, keys: str) -> None:
        """Press these keys."""
        os.write(self.at, keys.encode())

    def close(self) -> None:
        """End the shell."""
        os.kill(self.process, signal.SIGKILL)
        os.waitpid(self.process, 0)
        os.close(self.at)


def home(folder: Path) -> Path:
    """A home beside the folder, with stand-ins for Python and the command."""
    made = folder.parent / "home"
    (made / "bin").mkdir(parents=True, exist_ok=True)
    for name in ("python", "python3", "felt-engine"):
        file = made / "bin" / name
        file.write_text(MARK.format(home=made), encoding="utf-8")
        file.chmod(0o755)
    return made


def environment(folder: Path) -> dict[str, str]:
    """What the shell is started with: nothing of the caller's but where programs are."""
    own = home(folder)
    return {
        "HOME": str(own), "PATH": f"{own}/bin:{os.environ['PATH']}", "TERM": "xterm",
        "LC_ALL": "C.UTF-8", "ZDOTDIR": str(own), "HISTFILE": "",
    }  # fmt: skip


def screen(shell: str, folder: Path) -> Screen:
    """The shell with the completion loaded as a user would load it, and ready for a line."""
    own, file = home(folder), completion.path(shell)
    setup = {"bash": BASH + GIVEN, "zsh": ZSH + GIVEN, "fish": FISH}[shell]
    (own / ".zshrc").write_text(
        setup.replace("@FILE@", file).replace("@FOLDER@", os.path.dirname(file)), encoding="utf-8"
    )
    rest = {
        "bash": ["--noprofile", "--rcfile", f"{own}/.zshrc", "-i"], "zsh": ["-i"],
        "fish": ["--no-config", "-i", "-C", f"source {own}/.zshrc"],
    }[shell]  # fmt: skip
    made = Screen([SHELLS[shell] or shell, *rest], folder, environment(folder))
    made.wait("READY> ")
    return made


def offered(shell: str, line: str, folder: Path) -> list[str]:
    """What the shell offers for the end of the line, sorted, each once."""
    if shell == "fish":
        return _offered_by_fish(line, folder)
    caught = home(folder) / "offered"
    caught.unlink(missing_ok=True)
    made = screen(shell, folder)
    try:
        made.type(line + "\t")
        made.wait(caught)
    finally:
        made.close()
    return sorted(set(caught.read_text(encoding="utf-8").split("\0")) - {""})


def _offered_by_fish(line: str, folder: Path) -> list[str]:
    file = completion.path("fish")
    done = subprocess.run(
        [SHELLS["fish"] or "fish", "--no-config", "-c", f"source {file}; complete -C $argv[1]", line],
        cwd=folder, env=environment(folder), capture_output=True, text=True, timeout=PATIENCE,
        check=True,
    )  # fmt: skip
    assert not done.stderr
    return sorted({one.split("\t")[0] for one in done.stdout.splitlines()})


def given(shell: str, line: str, folder: Path) -> list[str]:
    """The words that the command is called with, when TAB and Enter are pressed after the line."""
    caught = folder / "caught"
    made = screen(shell, folder)
    try:
        made.type(line + "\t\r")
        made.wait(caught)
    finally:
        made.close()
    words = caught.read_text(encoding="utf-8").split("\0")[:-1]
    caught.unlink()
    return words
