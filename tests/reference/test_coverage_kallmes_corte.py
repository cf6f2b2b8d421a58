"""Coverage and bare fraction of fibre webs.

Sources: O. Kallmes & H. Corte, Tappi 43 (1960) 737-752; W. W. Sampson, Modelling Stochastic Fibrous
Materials with Mathematica (2009); M. Greenwood & G. U. Yule, J. R. Stat. Soc. 83 (1920) 255-279
for the uneven web.  Formulas from memory of all three.
"""

from __future__ import annotations

import csv
import math
import pickle
from collections.abc import Callable
from pathlib import Path
from statistics import NormalDist

import pytest

from felt_engine.analysis.coverage import (
    LAYING_CV,
    bare_index,
    bare_random,
    coverage_for_bare,
    cylinder_coverage,
    film_coverage,
    thin_cover,
)
from felt_engine.analysis.rows import Rows, shingle_rows

DATA = Path(__file__).parent / "data"
WOOL = 1310.0  # kg/m3; Morton & Hearle, from memory
# NIST SP 811 (2008), Appendix B: 1 oz = 28.349523125 g, 1 square foot = 0.09290304 m2.
OUNCE_PER_FOOT2 = 28.349523125e-3 / 0.09290304

Row = dict[str, str]


def _rows(name: str) -> list[Row]:
    text = (DATA / name).read_text("utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("# ")))


WEBS, LAYERS, TABLE = _rows("webs.csv"), _rows("webs_layers.csv"), _rows("webs_table.csv")


def _cover(row: Row) -> float:
    mass, fibre = float(row["areal_g_m2"]) / 1e3, float(row["diameter_um"]) / 1e6
    return cylinder_coverage(mass, fibre, float(row["density_kg_m3"]))


def _wool(areal_g: float, diameter_um: float) -> float:
    return cylinder_coverage(areal_g / 1e3, diameter_um / 1e6, WOOL)


def test_the_tables_are_whole() -> None:
    assert (len(WEBS), len(LAYERS), len(TABLE)) == (6, 10, 16)


@pytest.mark.parametrize("row", LAYERS)
def test_coverage_of_a_layer(row: Row) -> None:
    """Kallmes & Corte 1960: c = 4 w / (pi d rho)."""
    assert _cover(row) == pytest.approx(float(row["coverage"]), rel=1e-7)


@pytest.mark.parametrize("web", WEBS, ids=[web["description"] for web in WEBS])
def test_bare_fraction_of_a_web(web: Row) -> None:
    """Kallmes & Corte 1960: coverages add, bare = exp(-c), direction doesn't enter."""
    total = sum(_cover(layer) for layer in LAYERS if layer["web"] == web["web"])
    assert total == pytest.approx(float(web["coverage"]), rel=1e-7)
    assert bare_random(total) == pytest.approx(float(web["bare"]), rel=1e-8)


@pytest.mark.parametrize("web", WEBS, ids=[web["description"] for web in WEBS])
def test_bare_fraction_of_a_simulated_web(web: Row) -> None:
    """Straight fibres dropped at random; within three standard errors of the simulation."""
    total = sum(_cover(layer) for layer in LAYERS if layer["web"] == web["web"])
    simulated, error = float(web["simulated_bare"]), float(web["simulated_bare_se"])
    assert abs(bare_random(total) - simulated) <= 3.0 * error
    mean, mean_error = float(web["simulated_mean"]), float(web["simulated_mean_se"])
    assert abs(total - mean) <= 3.0 * mean_error


@pytest.mark.parametrize("row", TABLE)
def test_table_of_wool_webs(row: Row) -> None:
    """Kallmes & Corte 1960; six digits."""
    assert _cover(row) == pytest.approx(float(row["coverage"]), abs=6e-7)
    assert bare_random(_cover(row)) == pytest.approx(float(row["bare"]), rel=5.1e-6)


def test_film_coverage_is_geometry() -> None:
    """A sheet of film 12 um thick and 1380 kg/m3 weighs 16.56 g/m2, and covers once."""
    assert film_coverage(16.56e-3, 12e-6, 1380.0) == pytest.approx(1.0, rel=1e-12)


def _gamma_mean_bare(cover: float, variation: float) -> float:
    """Integrate exp(-x) over the gamma density of mean `cover` and the given variation.

    Trapezium rule in log x, where the integrand dies away smoothly at both ends.
    """
    shape = 1.0 / variation**2
    scale = cover / shape
    step = 0.002
    total = 0.0
    for i in range(-15000, 5000):
        u = i * step
        x = math.exp(u)
        log_density = shape * u - x / scale - math.lgamma(shape) - shape * math.log(scale)
        total += math.exp(log_density - x)
    return total * step


@pytest.mark.parametrize("variation", [0.15, 0.30, 0.45, 1.0])
@pytest.mark.parametrize("cover", [0.5, 2.0, 5.787])
def test_uneven_web_is_the_mean_over_a_gamma_distribution(cover: float, variation: float) -> None:
    """Greenwood & Yule 1920: integrated here from the gamma density itself."""
    expected = _gamma_mean_bare(cover, variation)
    assert bare_index(cover, variation) == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize("variation", [0.0, 1e-200, 1e-9, 1e-6])
def test_even_web_is_the_random_one(variation: float) -> None:
    """Greenwood & Yule 1920: without variation the negative binomial is Poisson."""
    assert bare_index(5.0, variation) == pytest.approx(math.exp(-5.0), rel=1e-10)
    assert coverage_for_bare(math.exp(-5.0), variation) == pytest.approx(5.0, rel=1e-10)


@pytest.mark.parametrize("variation", [0.1, 0.3, 0.45])
def test_thin_cover_is_the_tenth_percentile(variation: float) -> None:
    """The normal distribution's own quantile, from the standard library."""
    expected = NormalDist(5.0, 5.0 * variation).inv_cdf(0.1)
    assert thin_cover(5.0, variation) == pytest.approx(expected, abs=2e-4)


def test_thin_cover_is_never_negative() -> None:
    assert thin_cover(5.0, 0.9) == 0.0


# --- computed by the project's own model, no outside source


@pytest.mark.parametrize(
    ("diameter", "cover", "bare", "index"),
    [
        (18.0, 6.5909, 0.001373, 0.005657),
        (20.5, 5.7871, 0.003067, 0.009481),
        (23.0, 5.1581, 0.005753, 0.014451),
    ],
)
def test_four_tenths_of_an_ounce(diameter: float, cover: float, bare: float, index: float) -> None:
    """0.4 oz of wool on a square foot (common practice, no source), hand-laid."""
    found = cylinder_coverage(0.4 * OUNCE_PER_FOOT2, diameter / 1e6, WOOL)
    assert found == pytest.approx(cover, abs=5.1e-5)
    assert bare_random(found) == pytest.approx(bare, abs=5.1e-7)
    assert bare_index(found, LAYING_CV["top"]) == pytest.approx(index, abs=5.1e-7)


@pytest.mark.parametrize(("variation", "index"), [(0.30, 0.158968), (0.15, 0.141380)])
def test_index_of_two_fibres_over_a_point(variation: float, index: float) -> None:
    assert bare_index(2.0, variation) == pytest.approx(index, abs=5.1e-7)


@pytest.mark.parametrize(
    ("index", "cover", "grams", "ounces"),
    [(0.03, 4.1230, 87.0, 0.285), (0.08, 2.8358, 60.0, 0.196)],
)
def test_cover_at_the_limits(index: float, cover: float, grams: float, ounces: float) -> None:
    found = coverage_for_bare(index, 0.30)
    assert found == pytest.approx(cover, abs=5.1e-5)
    once = math.pi * 20.5e-6 * WOOL / 4.0
    assert found * once * 1e3 == pytest.approx(grams, abs=0.5)
    assert found * once / OUNCE_PER_FOOT2 == pytest.approx(ounces, abs=5.1e-4)


@pytest.mark.parametrize(
    ("grams", "index"),
    [(40.0, 0.146), (50.0, 0.095), (60.0, 0.062), (80.0, 0.028), (100.0, 0.014)],
)
def test_index_of_fine_crossed_layers(grams: float, index: float) -> None:
    """Weights of one published row of samples; 18.5 um assumed, the index is the model's."""
    assert bare_index(_wool(grams, 18.5), 0.30) == pytest.approx(index, abs=5.1e-4)


def test_index_of_two_border_cases() -> None:
    assert bare_index(_wool(80.0, 19.5), 0.30) == pytest.approx(0.033, abs=5.1e-4)
    light = cylinder_coverage(0.35 * OUNCE_PER_FOOT2, 23e-6, WOOL)
    assert bare_index(light, 0.30) == pytest.approx(0.0226, abs=5.1e-5)


def test_laying_variation_by_preparation() -> None:
    """Values from memory of the craft, not measured."""
    assert LAYING_CV == {
        "prefelt": 0.10, "batt": 0.15, "sliver": 0.30, "top": 0.30, "scatter": 0.45,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("extent", "tuft", "overlap", "count", "fitted", "pitch"),
    [
        (304.8, 101.6, 0.25, 4, 1 / 3, 203.2 / 3),
        (304.8, 50.8, 0.10, 7, 1 / 6, 254.0 / 6),
        (100.0, 100.0, 0.25, 1, 0.0, 100.0),
        (80.0, 100.0, 0.25, 1, 0.0, 100.0),
        (101.0, 100.0, 0.25, 2, 0.99, 1.0),
        (300.0, 100.0, 0.0, 3, 0.0, 100.0),
        (0.7, 0.1, 0.25, 9, 0.25, 0.075),
        (0.24, 0.1, 0.3, 3, 0.3, 0.07),
    ],
)
def test_rows_of_tufts(
    extent: float, tuft: float, overlap: float, count: int, fitted: float, pitch: float
) -> None:
    """Geometry; the first two are figures of the project's model, the rest by hand."""
    rows = shingle_rows(extent, tuft, overlap)
    assert rows.count == count
    assert rows.overlap == pytest.approx(fitted, abs=1e-9)
    assert rows.pitch == pytest.approx(pitch, rel=1e-9)


def test_weight_of_a_tuft() -> None:
    """0.4 oz over 12 x 12 in, tufts of 4 x 2 in: 28 tufts."""
    along, across = shingle_rows(304.8, 101.6, 0.25), shingle_rows(304.8, 50.8, 0.10)
    grams = 0.4 * 28.349523125 / (along.count * across.count)
    assert grams == pytest.approx(0.40499, abs=5.1e-6)


def test_rows_behave_like_a_value() -> None:
    rows = shingle_rows(304.8, 101.6, 0.25)
    count, overlap, pitch = rows
    assert rows == Rows(int(count), overlap, pitch)
    assert hash(rows) == hash(Rows(int(count), overlap, pitch))
    assert rows != Rows(5, overlap, pitch)
    assert rows != (count, overlap, pitch)
    assert repr(Rows(1, 0.0, 2.5)) == "Rows(count=1, overlap=0.0, pitch=2.5)"
    with pytest.raises(AttributeError, match="count"):
        rows.count = 5
    with pytest.raises(AttributeError, match="pitch"):
        del rows.pitch


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
def test_rows_pickle(protocol: int) -> None:
    rows = shingle_rows(304.8, 50.8, 0.10)
    assert pickle.loads(pickle.dumps(rows, protocol)) == rows


@pytest.mark.parametrize("wrong", [-1.0, math.nan, math.inf, -math.inf])
def test_negative_and_endless_numbers_are_refused(wrong: float) -> None:
    calls: list[Callable[[], object]] = [
        lambda: cylinder_coverage(wrong, 20e-6, WOOL),
        lambda: film_coverage(wrong, 20e-6, WOOL),
        lambda: bare_random(wrong),
        lambda: bare_index(wrong, 0.3),
        lambda: bare_index(1.0, wrong),
        lambda: coverage_for_bare(0.5, wrong),
        lambda: thin_cover(wrong, 0.3),
        lambda: thin_cover(1.0, wrong),
    ]
    for call in calls:
        with pytest.raises(ValueError, match="must be zero or a positive finite number"):
            call()


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf, 5e-324])
def test_sizes_that_are_not_positive_are_refused(wrong: float) -> None:
    calls: list[Callable[[], object]] = [
        lambda: cylinder_coverage(0.1, wrong, WOOL),
        lambda: cylinder_coverage(0.1, 20e-6, wrong),
        lambda: film_coverage(0.1, wrong, WOOL),
        lambda: film_coverage(0.1, 20e-6, wrong),
        lambda: shingle_rows(wrong, 0.1, 0.25),
        lambda: shingle_rows(0.1, wrong, 0.25),
    ]
    for call in calls:
        with pytest.raises(ValueError, match="must be a positive finite number"):
            call()


@pytest.mark.parametrize("wrong", [-0.01, 1.0, math.nan])
def test_nonsense_overlaps_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="overlap"):
        shingle_rows(0.3, 0.1, wrong)


@pytest.mark.parametrize("wrong", [0.0, -0.1, 1.0001, math.nan])
def test_nonsense_bare_shares_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="bare index"):
        coverage_for_bare(wrong, 0.3)


def test_a_bare_share_out_of_reach_is_refused() -> None:
    with pytest.raises(ValueError, match="no finite coverage"):
        coverage_for_bare(1e-300, 3.0)
