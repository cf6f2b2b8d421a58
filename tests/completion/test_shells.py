"""TAB in real shells. A shell that isn't there is left out, unless FELT_SHELLS=needed asks for all."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from kit import ROOT
from kit_shells import PATIENCE, SHELLS, environment, given, home, offered

NEEDED = os.environ.get("FELT_SHELLS") == "needed"
RECIPES = {"harbour scarf.yaml", "hearth mat.yml", "Coasters.JSON", "winter work"}
FILES = {*RECIPES, "notes.txt", "house.py"}
CHECK = {
    "--as", "--called", "--help", "--keep", "--known", "--processes", "--rule-file",
    "--stop-at", "--studio", "--to", "--write-known",
}  # fmt: skip
COMMANDS = {"check", "forecast", "new-plugin", "resize", "rows", "rules", "swatches"}
EXPORTERS = {"json", "junit", "markdown", "page", "sarif", "text"}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    (folder / "winter work").mkdir(parents=True)
    for name in FILES - {"winter work"}:
        (folder / name).touch()
    (folder / "winter work" / "oar grip.yaml").touch()
    return folder


@pytest.fixture(params=SHELLS)
def shell(request: pytest.FixtureRequest) -> Iterator[str]:
    name = str(request.param)
    if not SHELLS[name] and not NEEDED:
        pytest.skip(f"there is no {name} here")
    yield name


def plain(shell: str, words: list[str], option: str = "") -> set[str]:
    """Without what differs from shell to shell: quoting, a folder's last stroke, short names."""
    found = {one.replace("\\", "").rstrip("/") for one in words}
    return {one.removeprefix(f"{option}=") if option else one for one in found} - {"-h"}


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("", COMMANDS),
        ("r", {"resize", "rows", "rules"}),
        ("--", {"--help", "--version"}),
        ("check --st", {"--stop-at", "--studio"}),
        ("check --stop-at ", {"fault", "caution", "note"}),
        ("check --as ", EXPORTERS),
        ("check a.yaml --as json --to a.json --as ", EXPORTERS),
        ("check a.yaml --to a.json --as json --to ", FILES),
        ("forecast --as ", {"json", "text"}),
        ("rules th", {"thin-layer"}),
        ("rules --studio none th", {"thin-layer"}),
        ("check ", RECIPES),
        ("check a.yaml b.yaml ", RECIPES),
        ("check --stop-at note h", {"harbour scarf.yaml", "hearth mat.yml"}),
        ("check --studio ", {*RECIPES, "none"}),
        ("check --rule-file ", {"house.py", "winter work"}),
        ("check --known ", FILES),
        ("resize ", RECIPES),
        ("new-plugin --to ", {"winter work"}),
        ("rows --tuft ", set()),
        ("check -- -", set()),
        ("check a.yaml > n", {"notes.txt"}),
    ],
)
def test_tab_offers(shell: str, line: str, wanted: set[str], shop: Path) -> None:
    assert plain(shell, offered(shell, f"felt-engine {line}", shop)) == wanted


def test_tab_offers_every_option_again_beside_one_that_repeats(shell: str, shop: Path) -> None:
    found = plain(shell, offered(shell, "felt-engine check a.yaml --as json --to a.json -", shop))
    assert found == CHECK


def test_a_value_joined_to_its_option_is_completed(shell: str, shop: Path) -> None:
    found = offered(shell, "felt-engine check --stop-at=ca", shop)
    assert plain(shell, found, "--stop-at") == {"caution"}
    found = offered(shell, "felt-engine check --studio=no", shop)
    assert "none" in plain(shell, found, "--studio")


def test_no_python_is_started(shell: str, shop: Path) -> None:
    for line in ("felt-engine ", "felt-engine check --as ", "felt-engine rules "):
        assert offered(shell, line, shop)
    assert not (home(shop) / "started").exists()


@pytest.mark.parametrize("line", ["harbour\\ s", '"harbour s', "'harbour s", "harb"])
def test_a_name_with_spaces_is_found_however_it_was_begun(
    shell: str, line: str, shop: Path
) -> None:
    found = offered(shell, f"felt-engine check {line}", shop)
    assert plain(shell, found) == {"harbour scarf.yaml"}


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("check harbour\\ s", ["check", "harbour scarf.yaml"]),
        ('check "harbour s', ["check", "harbour scarf.yaml"]),
        ("check harb", ["check", "harbour scarf.yaml"]),
        ("check --to=harb", ["check", "--to=harbour scarf.yaml"]),
        ("check winter\\ work/o", ["check", "winter work/oar grip.yaml"]),
        ("check --studio=no --stop-at ca", ["check", "--studio=no", "--stop-at", "caution"]),
    ],
)
def test_the_command_gets_the_completed_word_as_one(
    shell: str, line: str, words: list[str], shop: Path
) -> None:
    assert given(shell, f"felt-engine {line}", shop) == words


ASK = {
    "bash": ["-c", ". ~/.bashrc && complete -p felt-engine"],
    "zsh": [
        "-c",
        "autoload -Uz compinit && compinit -u -D && . ~/.zshrc && print $_comps[felt-engine]",
    ],
    "fish": ["-c", "complete -C 'felt-engine check --stop-at n'"],
}
"""How a shell that was told by the README's line is asked whether it knows."""


def test_the_line_of_the_readme_sets_the_shell_up(shell: str, shop: Path) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (line,) = re.findall(rf"^    (.*felt_engine\.completion {shell}\).*)$", readme, re.MULTILINE)
    (home(shop) / ".config" / "fish" / "completions").mkdir(parents=True)
    line = line.replace("python -m", f"{sys.executable} -m")
    asked = [SHELLS[shell] or shell, *ASK[shell]]
    for command in (["bash", "-c", line], asked):
        done = subprocess.run(
            command, cwd=shop, env=environment(shop), capture_output=True, text=True,
            timeout=PATIENCE, check=True,
        )  # fmt: skip
    assert re.search(r"_felt[-_]engine|^note\b", done.stdout), done.stdout + done.stderr
