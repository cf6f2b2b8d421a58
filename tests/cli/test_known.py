"""Several reports in one run, and the file of known findings, as a CI job meets them."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest
from kit import BROKEN, GROUND, UNCROSSED, run

import felt_engine

HEAD = '{"format": 1, "what": "Findings of felt-engine"}\n'
LINE = (
    '{"recipe": "a.yaml", "rule": "r", "thing": "t", "at": [], "level": "fault", '
    '"fingerprint": "0123012301230123"}\n'
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "a.yaml").write_text(UNCROSSED, encoding="utf-8")
    (tmp_path / "b.yaml").write_text(GROUND, encoding="utf-8")
    assert run("check", ".", "--write-known", "known.jsonl", cwd=tmp_path).returncode == 1
    return tmp_path


def test_fingerprints_outlive_moved_lines_but_not_another_thing() -> None:
    (one,) = felt_engine.check(UNCROSSED).findings
    (moved,) = felt_engine.check("# a line\n\n" + UNCROSSED.replace("0.65 oz", "0.7 oz")).findings
    (other,) = felt_engine.check(UNCROSSED.replace("name: design", "name: sky")).findings
    assert one.spot.line != moved.spot.line and one.fingerprint == moved.fingerprint
    assert len(one.fingerprint) == 16 and one.fingerprint != other.fingerprint


def test_known_findings_pass_and_new_ones_stop(folder: Path) -> None:
    done = run("check", ".", "--known", "known.jsonl", cwd=folder)
    assert (
        done.returncode == 0
        and "Known fault in the " in done.stdout
        and "known.jsonl" not in done.stdout
    )
    assert run("check", "a.yaml", cwd=folder).returncode == 1
    done = run("check", str(folder), "--known", str(folder / "known.jsonl"), cwd=folder.parent)
    assert done.returncode == 0
    (folder / "b.yaml").write_text(UNCROSSED, encoding="utf-8")
    before = (folder / "known.jsonl").read_bytes()
    done = run("check", ".", "--known", "known.jsonl", cwd=folder)
    assert done.returncode == 1 and (folder / "known.jsonl").read_bytes() == before
    run("check", ".", "--known", "known.jsonl", "--write-known", "known.jsonl", cwd=folder)
    assert (folder / "known.jsonl").read_bytes() == before


def test_it_shrinks_when_asked_and_else_says_what_is_mended(folder: Path) -> None:
    (folder / "a.yaml").write_text(GROUND, encoding="utf-8")
    before = (folder / "known.jsonl").read_bytes()
    done = run("check", ".", "--known", "known.jsonl", cwd=folder)
    assert "1 known finding is mended" in done.stderr
    assert (folder / "known.jsonl").read_bytes() == before
    run("check", ".", "--known", "known.jsonl", "--write-known", "known.jsonl", cwd=folder)
    assert len((folder / "known.jsonl").read_text(encoding="utf-8").splitlines()) == 1


def test_a_graver_finding_is_new(folder: Path) -> None:
    text = (folder / "known.jsonl").read_text(encoding="utf-8").replace('"fault"', '"caution"')
    (folder / "known.jsonl").write_text(text, encoding="utf-8")
    assert run("check", ".", "--known", "known.jsonl", cwd=folder).returncode == 1


def test_what_was_not_looked_at_or_not_read_stays_known(folder: Path) -> None:
    both = ("--known", "known.jsonl", "--write-known", "known.jsonl")
    before = (folder / "known.jsonl").read_bytes()
    run("check", "b.yaml", *both, cwd=folder)
    assert (folder / "known.jsonl").read_bytes() == before
    (folder / "a.yaml").write_text("piece: [", encoding="utf-8")
    assert run("check", ".", *both, cwd=folder).returncode == 2
    assert (folder / "known.jsonl").read_bytes() == before


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "line 1: this is empty"),
        ("{", "line 1, column 2"),
        ("[]", "line 1: this begins no file of known findings"),
        ('{"format": 2}', "line 1: this begins no file of known findings, format 1"),
        (HEAD + "\n{}", "line 3: a known finding has recipe, rule, thing, level, fingerprint, at"),
        (HEAD + LINE.replace("fault", "grave"), "line 2: there is no level “grave”, but fault"),
        (HEAD + LINE.replace("0123", "012"), "line 2: “012012012012” is no fingerprint"),
        (HEAD + LINE.replace("[]", '"x"'), "line 2: “at” is a list"),
        (HEAD + LINE.replace('"a.yaml"', "3"), "line 2: “recipe” is a text"),
        (HEAD + LINE + "<<<<<<< mine\n", "line 3: a merge left its mark here"),
        (HEAD + "[" * 99_999, "line 2: this is no JSON"),
        ("\0", "line 1, column 1"),
        (None, "--write-known none.jsonl makes it"),
    ],
)
def test_a_file_that_is_wrong_is_told_plainly(tmp_path: Path, text: str | None, said: str) -> None:
    (tmp_path / "b.yaml").write_text(GROUND, encoding="utf-8")
    if text is not None:
        (tmp_path / "none.jsonl").write_text(text, encoding="utf-8")
    done = run("check", "b.yaml", "--known", "none.jsonl", cwd=tmp_path)
    assert done.returncode == 2 and said in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize("name", ["json", "sarif", "junit", "markdown", "text"])
def test_the_exit_status_is_the_same_in_any_format(folder: Path, name: str) -> None:
    (folder / "c.yaml").write_text(BROKEN, encoding="utf-8")
    assert run("check", ".", "--as", name, "--to", "out.txt", cwd=folder).returncode == 2
    assert run("check", "a.yaml", "--as", name, cwd=folder).returncode == 1
    assert run("check", "b.yaml", "--as", name, cwd=folder).returncode == 0


def test_several_reports_in_one_run(folder: Path) -> None:
    done = run(
        "check", "a.yaml", "--as", "sarif", "--to", "a.sarif", "--as", "text", "--as", "junit",
        "--to", "b.xml", "--to", "c.json", "--as", "json", cwd=folder,
    )  # fmt: skip
    assert done.returncode == 1 and "Fault in the " in done.stdout
    assert "2.1.0" in (folder / "a.sarif").read_text(encoding="utf-8")
    assert "<testsuites" in (folder / "b.xml").read_text(encoding="utf-8")
    assert "reports" in json.loads((folder / "c.json").read_text(encoding="utf-8"))
    done = run("check", "a.yaml", "--as", "sarif", "--as", "junit", cwd=folder)
    assert done.returncode == 2 and "only one report can go to the terminal" in done.stderr
    done = run("check", "a.yaml", "--to", "x", "--to", "./x", cwd=folder)
    assert done.returncode == 2 and "two reports would go to" in done.stderr


BOTH = ("--known", "known.jsonl", "--write-known", "known.jsonl")


def known_in(folder: Path) -> list[dict[str, str]]:
    lines = (folder / "known.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines[1:]]


def test_writing_again_changes_nothing_and_never_adds(folder: Path) -> None:
    (folder / "b.yaml").write_text(UNCROSSED, encoding="utf-8")
    before = (folder / "known.jsonl").read_bytes()
    for _ in range(2):
        assert run("check", ".", *BOTH, cwd=folder).returncode == 1
        assert (folder / "known.jsonl").read_bytes() == before


def test_the_order_of_paths_does_not_matter(folder: Path) -> None:
    (folder / "b.yaml").write_text(UNCROSSED, encoding="utf-8")
    written = set()
    for paths in (("a.yaml", "b.yaml"), ("b.yaml", "a.yaml"), ("b.yaml", ".", "./a.yaml")):
        (folder / "known.jsonl").unlink()
        run("check", *paths, "--write-known", "known.jsonl", cwd=folder)
        written.add((folder / "known.jsonl").read_bytes())
        assert run("check", *paths[::-1], "--known", "known.jsonl", cwd=folder).returncode == 0
    assert len(written) == 1 and len(known_in(folder)) == 2


def test_the_file_may_lie_elsewhere(folder: Path) -> None:
    (folder / "kept").mkdir()
    to = ("--known", "known.jsonl", "--write-known", "kept/other.jsonl")
    assert run("check", ".", *to, cwd=folder).returncode == 0
    assert '"recipe": "../a.yaml"' in (folder / "kept/other.jsonl").read_text(encoding="utf-8")
    done = run("check", "../a.yaml", "--known", "other.jsonl", cwd=folder / "kept")
    assert done.returncode == 0


def test_a_recipe_with_another_name_is_asked_about(folder: Path) -> None:
    """Its findings are new under the new name; the lines of the old one wait for a person to say so."""
    (folder / "a.yaml").rename(folder / "c.yaml")
    done = run("check", ".", *BOTH, cwd=folder)
    assert done.returncode == 1 and len(known_in(folder)) == 1
    assert "a.yaml is not there, and known.jsonl has 1 known finding of it" in done.stderr
    assert "if it has another name now, write that in the file" in done.stderr
    text = (folder / "known.jsonl").read_text(encoding="utf-8").replace("a.yaml", "c.yaml")
    (folder / "known.jsonl").write_text(text, encoding="utf-8")
    assert run("check", ".", *BOTH, cwd=folder).returncode == 0


def test_a_recipe_that_is_thrown_away_takes_its_known_findings_along(folder: Path) -> None:
    (folder / "a.yaml").unlink()
    done = run("check", ".", *BOTH, cwd=folder)
    assert done.returncode == 0 and "taken out" in done.stderr and known_in(folder) == []


def test_writing_anew_keeps_what_could_not_be_looked_at(folder: Path) -> None:
    (folder / "a.yaml").write_text("piece: [", encoding="utf-8")
    assert run("check", ".", "--write-known", "known.jsonl", cwd=folder).returncode == 2
    assert [one["recipe"] for one in known_in(folder)] == ["a.yaml"]


@pytest.mark.parametrize("over", ["a.yaml", "b.yaml", ""])
def test_known_findings_are_not_written_over_anything_else(folder: Path, over: str) -> None:
    before = {path: path.read_bytes() for path in folder.iterdir()}
    done = run("check", ".", "--write-known", over, cwd=folder)
    assert done.returncode == 2 and "Traceback" not in done.stderr and done.stderr
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


@pytest.mark.parametrize("error", [KeyboardInterrupt, OSError(28, "No space left on device")])
@pytest.mark.parametrize("step", ["chmod", "replace"])
def test_a_write_that_is_cut_short_leaves_the_old_file(
    folder: Path, monkeypatch: pytest.MonkeyPatch, step: str, error: BaseException
) -> None:
    from felt_engine.cli.main import main

    def broken(*_: object) -> None:
        raise error

    before = {path: path.read_bytes() for path in folder.iterdir()}
    (folder / "b.yaml").write_text(UNCROSSED, encoding="utf-8")
    before[folder / "b.yaml"] = UNCROSSED.encode()
    monkeypatch.chdir(folder)
    monkeypatch.setattr(f"os.{step}", broken)
    status = main(["check", ".", "--write-known", "known.jsonl"])
    monkeypatch.undo()
    assert status == (130 if error is KeyboardInterrupt else 2)
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def git(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    who = ("-c", "user.name=Ada", "-c", "user.email=ada@localhost", "-c", "init.defaultBranch=main")
    return subprocess.run(
        ["git", *who, *arguments], cwd=cwd, capture_output=True, text=True, timeout=60, check=False
    )


@pytest.mark.skipif(not shutil.which("git"), reason="there is no git here")
@pytest.mark.parametrize("ours", [0, 1, 4])
@pytest.mark.parametrize("union", [False, True])
def test_two_people_mend_and_git_merges(tmp_path: Path, ours: int, union: bool) -> None:
    """Without help it merges what isn't side by side; ``merge=union`` merges that too."""
    for number in range(6):
        (tmp_path / f"{number}.yaml").write_text(UNCROSSED, encoding="utf-8")
    if union:
        (tmp_path / ".gitattributes").write_text("known.jsonl merge=union\n", encoding="utf-8")
    run("check", ".", "--write-known", "known.jsonl", cwd=tmp_path)
    for step in (("init",), ("add", "."), ("commit", "-m", "before"), ("branch", "theirs")):
        assert git(*step, cwd=tmp_path).returncode == 0
    for branch, mended in (("main", ours), ("theirs", 2)):
        git("checkout", branch, cwd=tmp_path)
        (tmp_path / f"{mended}.yaml").write_text(GROUND, encoding="utf-8")
        assert run("check", ".", *BOTH, cwd=tmp_path).returncode == 0
        git("commit", "-am", f"mended {mended}", cwd=tmp_path)
    merged = git("merge", "main", cwd=tmp_path).returncode == 0
    assert merged is (union or ours != 1)
    if not merged:
        done = run("check", ".", "--known", "known.jsonl", cwd=tmp_path)
        assert done.returncode == 2 and "a merge left its mark here" in done.stderr
        return
    assert run("check", ".", *BOTH, cwd=tmp_path).returncode == 0
    assert [one["recipe"] for one in known_in(tmp_path)] == [
        f"{n}.yaml" for n in range(6) if n not in (ours, 2)
    ]


SHINE = """\
piece: {{title: R, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, stage: firm}}
lots: {{a: {{fibre: merino, preparation: combed top, fineness: 21 um}},
  s: {{fibre: silk, preparation: combed top}}}}
layers:
  - {{name: one, of: a, amount: 200 g/m², direction: east-west}}
  - {{name: two, of: a, amount: 200 g/m², direction: north-south}}
  - {{name: shine, direction: north-south, {amounts}}}
"""


def test_an_amount_written_within_its_layer_or_in_portions_stays_known() -> None:
    forms = (
        "of: s, amount: 120 g/m²",
        "placements: [{of: s, amount: 120 g/m²}]",
        "placements: [{of: s, amount: 60 g/m²}, {of: s, amount: 60 g/m²}]",
    )
    found = [felt_engine.check(SHINE.format(amounts=form)).findings for form in forms]
    assert found[0] and len({tuple(f.fingerprint for f in one) for one in found}) == 1
    other = SHINE.format(
        amounts="placements: [{of: s, amount: 110 g/m²}, {of: a, amount: 10 g/m²}]"
    )
    assert felt_engine.check(other).findings[0].fingerprint != found[0][0].fingerprint
