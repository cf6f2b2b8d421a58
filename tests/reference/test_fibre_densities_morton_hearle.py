"""Densities against Morton & Hearle, table 5.1, and diameters against published ranges."""

import csv
from pathlib import Path
from typing import Any

import pytest

from felt_engine.data import fibres

DATA = Path(__file__).parent / "data"
CATALOGUE: dict[str, Any] = fibres.FIBRES


def published(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


DENSITIES = published("morton_hearle_density.csv")
DIAMETERS = published("published_diameters.csv")


@pytest.mark.parametrize("row", DENSITIES, ids=lambda row: row["catalogue_name"])
def test_density_is_within_20_kg_m3_of_the_published_one(row: dict[str, str]) -> None:
    density, source = CATALOGUE[row["catalogue_name"]]["density"]
    assert density == pytest.approx(float(row["density_kg_m3"]), abs=20.0)
    assert source == "morton-hearle"


def test_only_fibres_of_the_published_table_call_their_density_verified() -> None:
    seen = {float(row["density_kg_m3"]) for row in DENSITIES}
    called_verified = {
        name: entry["density"][0]
        for name, entry in CATALOGUE.items()
        if fibres.SOURCES[entry["density"][1]][1] == "verified"
    }
    assert set(called_verified.values()) == seen
    assert all(
        CATALOGUE[name]["group"] == "wool"
        for name, density in called_verified.items()
        if density == 1310.0
    )


@pytest.mark.parametrize(
    "row",
    [row for row in DIAMETERS if row["believable"] == "yes"],
    ids=lambda row: row["catalogue_name"],
)
def test_usual_range_overlaps_the_published_one(row: dict[str, str]) -> None:
    low, _, high, _ = CATALOGUE[row["catalogue_name"]]["diameter"]
    assert high >= float(row["low_um"])
    assert low <= float(row["high_um"] or "inf")


def test_the_much_copied_suri_range_is_not_used() -> None:
    (suri,) = (row for row in DIAMETERS if row["believable"] == "no")
    low, _, _, _ = CATALOGUE[suri["catalogue_name"]]["diameter"]
    assert low > float(suri["high_um"])


def test_kapok_weighs_what_it_weighs_with_its_air() -> None:
    """Cell wall about 1470 kg/m3, apparent 300 to 400 (from memory: hollow fibre)."""
    assert 300.0 <= CATALOGUE["kapok"]["density"][0] <= 400.0
