"""The git hooks by their file: they take as recipes what the command does, and are as the README says.

What they do when a shop commits is tried by .ci/hook.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml
from kit import ROOT

from felt_engine.beside import recipes_in
from felt_engine.cli.main import _parser

HOOKS: dict[str, dict[str, Any]] = {
    one["id"]: one
    for one in yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
}
NAMES = (
    "scarf.yaml", "hat.yml", "Coasters.JSON", "notes.txt", "studio.yaml", "swatches.json",
    "my studio.yaml", ".draft.yaml", "winter/oar grip.yaml", "winter/studio.json", ".old/mat.yaml",
    "winter/yaml", "studio/rug.yaml", "swatches.yaml.bak",
)  # fmt: skip


def taken(hook: dict[str, Any], path: str) -> bool:
    """As pre-commit takes a file: both patterns are searched for in its path."""
    shut_out = re.search(hook["exclude"], path) if "exclude" in hook else None
    return bool(re.search(hook["files"], path)) and not shut_out


def test_the_hook_takes_what_the_command_takes_for_a_recipe(tmp_path: Path) -> None:
    for name in NAMES:
        file = tmp_path / "recipes" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.touch()
    folder = str(tmp_path / "recipes")
    judged = {str(Path(one).relative_to(tmp_path)) for one in recipes_in(folder)}
    paths = {f"recipes/{name}" for name in NAMES}
    assert {one for one in paths if taken(HOOKS["felt-recipes"], one)} == judged
    assert len(judged) == 6
    assert taken(HOOKS["felt-recipes"], "house/recipes/scarf.yaml")
    assert not taken(HOOKS["felt-recipes"], "list.yaml")


def test_a_studio_file_or_notebook_starts_the_other_hook() -> None:
    hook = HOOKS["felt-studio"]
    found = {name for name in NAMES if taken(hook, f"recipes/{name}")}
    assert found == {"studio.yaml", "swatches.json", "winter/studio.json"}
    assert hook["args"] == ["recipes"] and hook["pass_filenames"] is False


def test_what_the_readme_tells_a_shop_fits_the_hooks() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (text,) = re.findall(r"^    repos:\n(?:^    .*\n)+", readme, re.MULTILINE)
    (shop,) = yaml.safe_load(text)["repos"]
    assert [one["id"] for one in shop["hooks"]] == list(HOOKS)
    for one in shop["hooks"]:
        words = HOOKS[one["id"]]["entry"].split()
        files = [] if HOOKS[one["id"]].get("pass_filenames") is False else ["recipes/a.yaml"]
        said = _parser().parse_args([*words[1:], *one["args"], *files])
        assert words[0] == "felt-engine" and said.stop_at == "caution" and said.paths
    assert HOOKS["felt-recipes"]["require_serial"] is True
