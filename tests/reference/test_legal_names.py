"""Label names against Regulation (EU) No 1007/2011, Annex I, and 15 U.S.C. 68(b)."""

import csv
from pathlib import Path
from typing import Any

import pytest

from felt_engine.data import fibres

CATALOGUE: dict[str, Any] = fibres.FIBRES

with (Path(__file__).parent / "data" / "eu_fibre_names.csv").open(
    encoding="utf-8", newline=""
) as table:
    ANNEX_I = list(csv.DictReader(table))

NUMBER = {name: int(row["number"]) for row in ANNEX_I for name in row["names"].split("|")}
LISTED = sorted(
    name for name, entry in CATALOGUE.items() if entry["legal"]["eu"][1] != "eu-unlisted"
)


def eu(name: str) -> str:
    return str(CATALOGUE[name]["legal"]["eu"][0])


def annex_number(legal: str) -> int | None:
    """Number of a name in Annex I; no. 3 lets the kind of animal stand before "hair"."""
    if legal in NUMBER:
        return NUMBER[legal]
    return 3 if legal.endswith(" hair") else None


@pytest.mark.parametrize("name", LISTED)
def test_name_stands_in_annex_i(name: str) -> None:
    assert annex_number(eu(name)) is not None


@pytest.mark.parametrize(
    ("name", "legal", "number"),
    [
        ("bamboo viscose", "viscose", 25),
        ("viscose", "viscose", 25),
        ("modal", "modal", 22),
        ("lyocell", "lyocell", 33),
        ("cupro", "cupro", 21),
        ("soya protein", "protein", 23),
        ("milk protein", "protein", 23),
        ("merino", "wool", 1),
        ("lambswool", "wool", 1),
        ("alpaca", "alpaca", 2),
        ("suri alpaca", "alpaca", 2),
        ("kid mohair", "mohair", 2),
        ("angora", "angora", 2),
        ("qiviut", "musk ox hair", 3),
        ("tussah silk", "silk", 4),
        ("eri silk", "silk", 4),
        ("hemp", "true hemp", 8),
        ("nylon", "polyamide", 30),
        ("trilobal nylon", "polyamide", 30),
        ("polylactide", "polylactide", 34),
        ("film fibre", "polyester", 35),
        ("metallised film fibre", "metallised fibre", 48),
    ],
)
def test_name_and_number(name: str, legal: str, number: int) -> None:
    assert eu(name) == legal
    assert annex_number(legal) == number


@pytest.mark.parametrize("word", ["bamboo", "soya", "milk", "merino", "faux", "mulberry", "pla"])
def test_trade_words_are_no_eu_names(word: str) -> None:
    """Art. 5: a listed name belongs to its own fibre, and no other word stands in for it."""
    used = {part for name in CATALOGUE for part in eu(name).split()}
    assert word not in used


def test_banana_fibre_is_not_called_abaca() -> None:
    """Annex I no. 10 is one plant, Musa textilis; other banana stems are not listed."""
    assert eu("banana fibre") != "abaca"
    assert CATALOGUE["banana fibre"]["legal"]["eu"][1] == "eu-unlisted"


def test_sheep_are_wool_on_both_sides_of_the_ocean() -> None:
    for name, entry in CATALOGUE.items():
        names = {entry["legal"]["eu"][0], entry["legal"]["us"][0]}
        assert (names == {"wool"}) == (entry["group"] == "wool"), name


def test_us_wool_act_rests_on_the_act_only_for_sheep() -> None:
    """15 U.S.C. 68(b): sheep and lamb; the finer names for hair are from the rules, unseen."""
    for name, entry in CATALOGUE.items():
        by_act = entry["legal"]["us"][1] == "us-wool"
        assert by_act == (entry["group"] == "wool"), name


def test_bamboo_viscose_is_rayon_in_the_united_states() -> None:
    assert CATALOGUE["bamboo viscose"]["legal"]["us"][0] == "rayon"
