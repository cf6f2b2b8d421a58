"""Laws of the fibre and use tables: sources, order of figures, names."""

import ast
import math
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from felt_engine.data import fibres, uses

STANDINGS = {"verified", "from memory", "common practice, no source"}
GROUPS = {
    "wool", "hair", "silk", "cellulosic", "protein",
    "synthetic", "film", "bast", "cotton", "metal",
}  # fmt: skip
FIBRE_KEYS = {
    "also", "group", "felts", "density", "diameter", "thickness",
    "heat_bondable", "luster", "legal", "note",
}  # fmt: skip
USE_KEYS = {"also", "band", "open", "bare", "note"}

FIBRES: dict[str, Any] = fibres.FIBRES
USES: dict[str, Any] = uses.USES
TABLES = pytest.mark.parametrize("table", [FIBRES, USES], ids=["fibres", "uses"])
MODULES = pytest.mark.parametrize("module", [fibres, uses], ids=["fibres", "uses"])


def source_keys(value: Any) -> list[str]:
    """Source keys in an entry: the last member of every tuple that starts with a figure."""
    if isinstance(value, dict):
        return [key for part in value.values() for key in source_keys(part)]
    if isinstance(value, tuple) and value and isinstance(value[0], (bool, float)):
        return [str(value[-1])]
    return []


def all_keys(table: dict[str, Any]) -> list[str]:
    keys = [key for entry in table.values() for key in source_keys(entry)]
    for entry in table.values():
        keys += [key for _, key in entry.get("legal", {}).values()]
    return keys


def bare_index(weight: float, diameter: float, unevenness: float = 0.30) -> float:
    """Bare share of a hand-laid stack of wool; g/m2, um, coefficient of variation."""
    cover = 4.0 * weight * 1e-3 / (math.pi * diameter * 1e-6 * 1310.0)
    return math.exp(-math.log1p(cover * unevenness**2) / unevenness**2)


@MODULES
def test_every_source_has_a_standing(module: Any) -> None:
    for key, (text, standing) in module.SOURCES.items():
        assert text.strip(), key
        assert standing in STANDINGS, key


@pytest.mark.parametrize(
    ("table", "sources", "extra"),
    [(FIBRES, fibres.SOURCES, {fibres.SHRINK_PROOFED_FELTS[3]}), (USES, uses.SOURCES, set())],
    ids=["fibres", "uses"],
)
def test_figures_and_sources_meet(
    table: dict[str, Any], sources: dict[str, Any], extra: set[str]
) -> None:
    used = set(all_keys(table)) | extra
    assert used == set(sources), "a figure without a source, or a source without a figure"


def test_fibre_entries_are_whole() -> None:
    for name, entry in FIBRES.items():
        assert set(entry) <= FIBRE_KEYS, name
        size = "thickness" if entry["group"] == "film" else "diameter"
        assert FIBRE_KEYS - set(entry) == {"diameter", "thickness"} - {size}, name
        assert set(entry["legal"]) == {"eu", "us"}, name
        assert isinstance(entry["luster"], bool), name
        assert entry["note"].splitlines() == [entry["note"].strip()], name


def test_use_entries_are_whole() -> None:
    for name, entry in USES.items():
        assert set(entry) - {"one_way", "relief", "walls"} == USE_KEYS, name
        assert isinstance(entry["open"], bool), name
        assert entry["note"].splitlines() == [entry["note"].strip()], name


def test_fibre_groups_are_known() -> None:
    assert {entry["group"] for entry in FIBRES.values()} <= GROUPS


@TABLES
def test_names_are_lower_case_and_stand_once(table: dict[str, Any]) -> None:
    names = [*table, *(other for entry in table.values() for other in entry["also"])]
    assert [name for name in names if name != name.lower().strip()] == []
    assert [name for name, count in Counter(names).items() if count > 1] == []


def test_low_usual_high_stand_in_order() -> None:
    triples = {name: entry["felts"] for name, entry in FIBRES.items()}
    triples["shrink-proofed"] = fibres.SHRINK_PROOFED_FELTS
    for name, (low, usual, high, _) in triples.items():
        assert 0.0 <= low <= usual <= high <= 1.0, name
    for name, entry in FIBRES.items():
        low, usual, high, _ = entry.get("diameter") or entry["thickness"]
        assert 0.0 < low <= usual <= high, name
        assert 100.0 < entry["density"][0] < 8000.0, name


def test_only_scaled_fibre_felts_and_merino_sets_the_scale() -> None:
    for name, entry in FIBRES.items():
        assert (entry["felts"][2] > 0.0) == (entry["group"] in {"wool", "hair"}), name
    assert FIBRES["merino"]["felts"][1] == 1.0


@pytest.mark.parametrize(
    ("name", "usual"),
    [
        ("corriedale", 0.85),
        ("wensleydale", 0.7),
        ("lincoln", 0.7),
        ("coarse crossbred", 0.5),
        ("down wool", 0.3),
        ("suffolk", 0.3),
        ("silk", 0.0),
        ("nylon", 0.0),
    ],
)
def test_feltability_by_type(name: str, usual: float) -> None:
    assert FIBRES[name]["felts"][1] == usual


def test_bands_and_bare_limits_rise() -> None:
    for name, entry in USES.items():
        low, high, _ = entry["band"]
        assert 0.0 < low < high, name
        caution, fault, _ = entry["bare"]
        assert 0.0 < caution < fault < 1.0, name


def test_open_uses_are_the_ones_whose_holes_are_the_point() -> None:
    assert {name for name, entry in USES.items() if entry["open"]} == {"cobweb", "openwork"}


def test_no_use_finds_fault_with_its_own_band() -> None:
    """Fine merino: sound at the heavy end; nowhere a fault at the light end."""
    for name, entry in USES.items():
        low, high, _ = entry["band"]
        caution, fault, _ = entry["bare"]
        assert bare_index(low, 18.5) < fault, name
        assert bare_index(high, 18.5) < caution, name


@pytest.mark.parametrize(
    ("weight", "index", "scarf", "ground"),
    [
        (40.0, 0.146, "caution", "fault"),
        (50.0, 0.095, "caution", "fault"),
        (60.0, 0.062, "sound", "caution"),
        (80.0, 0.028, "sound", "sound"),
        (100.0, 0.014, "sound", "sound"),
    ],
)
def test_crossed_samples_of_fine_merino(
    weight: float, index: float, scarf: str, ground: str
) -> None:
    """Many thin patches at 50 g/m2, usable at 60, none at 100; fineness assumed 18.5 um."""
    bare = bare_index(weight, 18.5)
    assert bare == pytest.approx(index, abs=5e-4)
    for use, wanted in (("scarf", scarf), ("wrap", scarf), ("picture ground", ground)):
        caution, fault, _ = USES[use]["bare"]
        found = "fault" if bare >= fault else "caution" if bare >= caution else "sound"
        assert found == wanted, use


@MODULES
def test_tables_are_plain_literals(module: Any) -> None:
    """They load with every check, so they import and compute nothing."""
    body = ast.parse(Path(module.__file__).read_text(encoding="utf-8")).body
    assert isinstance(body[0], ast.Expr)
    for node in body[1:]:
        assert isinstance(node, ast.AnnAssign)
        assert node.value is not None
        ast.literal_eval(node.value)
