"""The text exporter: whole pages against golden files, narrow pages, colour, several recipes."""

from __future__ import annotations

import os
from pathlib import Path

import attrs
import pytest
from kit import BROKEN, GROUND, UNCROSSED

import felt_engine
from felt_engine import Figure, NotJudged, Report, Sheet
from felt_engine.plain_text import columns, plain

GOLDEN = Path(__file__).parent.parent / "golden"
CASES = {"right": GROUND, "fault": UNCROSSED, "unreadable": BROKEN}


@pytest.mark.parametrize("name", CASES)
def test_pages_are_as_they_were(name: str) -> None:
    """Set REWRITE_GOLDEN=1 to write them anew, then read the difference."""
    text = felt_engine.export(felt_engine.look(CASES[name], name=f"{name}.yaml"), "text")
    file = GOLDEN / f"{name}.txt"
    if os.environ.get("REWRITE_GOLDEN"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("width", [40, 60, 80])
@pytest.mark.parametrize("name", CASES)
def test_no_line_is_wider_than_asked(name: str, width: int) -> None:
    report = felt_engine.look(CASES[name], name=f"{name}.yaml")
    text = felt_engine.export(report, "text", Sheet(width=width))
    assert max(columns(line) for line in text.splitlines()) <= width


@pytest.mark.parametrize(("value", "shown"), [
    (0.14159, "0.142"), (28.349, "28.3"), (999.4, "999"), (999.6, "1000"), (4166.7, "4167"),
    (-2000.2, "-2000"), (0.0, "0"),
])  # fmt: skip
def test_a_measured_figure_has_no_power_of_ten(value: float, shown: str) -> None:
    (finding, *_) = felt_engine.check(UNCROSSED).findings
    heavy = Figure("weight", value, "g/m²")
    told = attrs.evolve(finding, measured=heavy, limit=attrs.evolve(heavy, value=2 * value))
    assert told.compared.startswith(f"weight {shown} g/m²; limit ") and "e+" not in told.compared


def test_every_figure_of_a_finding_is_on_the_page() -> None:
    report = felt_engine.check(UNCROSSED)
    text = " ".join(felt_engine.export(report, "text").split())
    for finding in report.findings:
        for part in (finding.message, finding.do, finding.how, finding.rule, finding.spot.thing):
            assert " ".join(part.split()) in text


def test_grams_and_ounces_of_a_line_are_one_amount() -> None:
    weights = felt_engine.check(GROUND).weights
    assert weights is not None
    for line in (*weights.by_layer, *weights.by_lot, *weights.by_fibre, weights.piece):
        # 1 oz = 28.349523125 g exactly (NIST SP 811, appendix B)
        assert line.grams == pytest.approx(line.ounces * 28.349523125, rel=1e-8)
    assert sum(line.grams for line in weights.by_layer) == pytest.approx(weights.piece.grams)
    assert sum(line.grams for line in weights.by_lot) == pytest.approx(weights.piece.grams)
    assert sum(line.grams for line in weights.by_fibre) == pytest.approx(weights.piece.grams)


def test_colour_only_adds_to_the_page() -> None:
    import re

    report = felt_engine.check(UNCROSSED)
    painted = felt_engine.export(report, "text", Sheet(colour=True))
    assert "\x1b[31m" in painted
    assert re.sub(r"\x1b\[[0-9]*m", "", painted) == felt_engine.export(report, "text")


def test_no_report_is_no_text_and_several_are_counted() -> None:
    assert felt_engine.export([], "text") == ""
    reports = [felt_engine.look(text, name=name) for name, text in CASES.items()]
    text = felt_engine.export(reports, "text")
    assert "Weights" not in text
    assert text.rstrip().splitlines()[-1].startswith("3 recipes: ")


def test_what_was_not_judged_is_listed_and_never_silence() -> None:
    report = Report("x.yaml", "X", not_judged=(NotJudged("r", "p", "1", "it fell"),), judged=("a",))
    assert report.verdict == "not judged" and report.exit_status() == 3
    text = felt_engine.export(report, "text")
    assert "Not judged" in text and "r, from p 1: it fell" in text and "Nothing to mend" not in text


def test_zero_rules_is_no_pass() -> None:
    report = Report("x.yaml", "X")
    assert report.verdict == "not judged" and report.exit_status() == 2
    assert "No rule looked at it" in felt_engine.export(report, "text")


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        ("plain", "plain"),
        ("two\nlines\tand tab", "two lines and tab"),
        ("\x1b[31mred", "\\x1b[31mred"),
        ("\u202eback", "\\u202eback"),
        ("a\u200eb", "a\\u200eb"),
        ("\ud800", "\\ud800"),
        ("Höhe 😀 ½", "Höhe 😀 ½"),
        ("\U000e0041", "\\U000e0041"),
    ],
)
def test_text_from_a_recipe_is_made_plain(raw: str, shown: str) -> None:
    assert plain(raw) == shown


def test_columns_counts_what_a_terminal_shows() -> None:
    assert columns("abc") == 3 and columns("羊毛") == 4 and columns("e\u0301") == 1
