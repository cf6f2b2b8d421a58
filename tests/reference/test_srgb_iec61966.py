"""sRGB, XYZ and CIELAB against the standards.

Sources: IEC 61966-2-1:1999 (sRGB) and CIE 15:2004 (CIELAB).  The constants typed here come from
memory of those standards; where the table comes from is told in its head.
"""

from __future__ import annotations

import csv
import math
from fractions import Fraction
from pathlib import Path

import pytest

from felt_engine.analysis.colour import (
    hex_of_linear,
    lab_of_linear,
    linear_of_hex,
    xyz_of_linear,
)

TABLE = Path(__file__).parent / "data" / "srgb_iec61966.csv"

# IEC 61966-2-1, chromaticities of the primaries and of D65 (from memory).
PRIMARIES = [("0.64", "0.33"), ("0.30", "0.60"), ("0.15", "0.06")]
WHITE = ("0.3127", "0.3290")
# IEC 61966-2-1, the matrix as the standard prints it (from memory).
PRINTED = [(0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505)]

Row = dict[str, str]


def _rows() -> list[Row]:
    lines = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("# ")]
    return list(csv.DictReader(lines))


ROWS = _rows()
IDS = [row["hex"] for row in ROWS]


def _column(xy: tuple[str, str]) -> list[Fraction]:
    x, y = Fraction(xy[0]), Fraction(xy[1])
    return [x / y, Fraction(1), (1 - x - y) / y]


def _determinant(a: list[Fraction], b: list[Fraction], c: list[Fraction]) -> Fraction:
    return (
        a[0] * (b[1] * c[2] - b[2] * c[1])
        - b[0] * (a[1] * c[2] - a[2] * c[1])
        + c[0] * (a[1] * b[2] - a[2] * b[1])
    )


def _exact_columns() -> list[list[float]]:
    """Return XYZ of pure red, green and blue, solved in fractions so that white is D65."""
    columns, white = [_column(xy) for xy in PRIMARIES], _column(WHITE)
    whole = _determinant(*columns)
    exact = []
    for place in range(3):
        replaced = [white if i == place else column for i, column in enumerate(columns)]
        scale = _determinant(*replaced) / whole
        exact.append([float(scale * part) for part in columns[place]])
    return exact


def test_the_table_holds_twelve_colours() -> None:
    assert len(ROWS) == 12


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_xyz_of_the_table(row: Row) -> None:
    """Printed to six decimals."""
    found = xyz_of_linear(linear_of_hex(row["hex"]))
    assert found == pytest.approx([float(row[k]) for k in "XYZ"], abs=5.1e-7)


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_lab_of_the_table(row: Row) -> None:
    """Printed to four decimals."""
    found = lab_of_linear(linear_of_hex(row["hex"]))
    assert found == pytest.approx([float(row[k]) for k in "Lab"], abs=5.1e-5)


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_lab_stays_near_the_printed_matrix(row: Row) -> None:
    """The four-decimal matrix of IEC 61966-2-1 moves these colours by at most 0.03."""
    found = lab_of_linear(linear_of_hex(row["hex"]))
    assert found == pytest.approx([float(row[f"{k}_rounded"]) for k in "Lab"], abs=0.03)


@pytest.mark.parametrize("place", range(3), ids=["red", "green", "blue"])
def test_matrix_follows_from_the_primaries(place: int) -> None:
    """IEC 61966-2-1: solved in exact fractions, and rounded as printed there."""
    pure = [0.0, 0.0, 0.0]
    pure[place] = 1.0
    found = xyz_of_linear((pure[0], pure[1], pure[2]))
    assert found == pytest.approx(_exact_columns()[place], rel=1e-15)
    assert found == pytest.approx([line[place] for line in PRINTED], abs=5e-5)


@pytest.mark.parametrize("code", range(256))
def test_greys_are_neutral_and_every_code_comes_back(code: int) -> None:
    """IEC 61966-2-1: equal codes are grey, so a = b = 0; eight bits survive the round trip."""
    text = f"#{code:02x}{code:02x}{code:02x}"
    linear = linear_of_hex(text)
    lightness, a, b = lab_of_linear(linear)
    assert 0.0 <= lightness <= 100.0 + 1e-9
    assert abs(a) < 1e-9
    assert abs(b) < 1e-9
    assert hex_of_linear(linear) == text


def test_channels_keep_their_places() -> None:
    assert hex_of_linear(linear_of_hex("#12aBeF")) == "#12abef"
    assert linear_of_hex("#ff0000") == (1.0, 0.0, 0.0)
    assert linear_of_hex("#0000ff") == (0.0, 0.0, 1.0)


def test_the_two_pieces_of_the_decoding_curve() -> None:
    """IEC 61966-2-1: straight up to 0.04045 (code 10), a power of 2.4 above (from memory)."""
    assert linear_of_hex("#0a0b80") == pytest.approx(
        (
            10 / 255 / 12.92,
            ((11 / 255 + 0.055) / 1.055) ** 2.4,
            ((128 / 255 + 0.055) / 1.055) ** 2.4,
        ),
        rel=1e-14,
    )


@pytest.mark.parametrize(
    ("linear", "code"),
    [(0.0025799, 8), (0.0025801, 9), (0.0028834, 9), (0.0028836, 10), (0.0031872, 10)],
)
def test_the_two_pieces_of_the_encoding_curve(linear: float, code: int) -> None:
    """IEC 61966-2-1: straight up to 0.0031308, 255 * 12.92 * linear by hand (from memory)."""
    assert hex_of_linear((linear, 0.0, 1.0)) == f"#{code:02x}00ff"


def test_lab_of_a_dark_colour_takes_the_straight_piece() -> None:
    """CIE 15: below Y = 216/24389, L = Y 24389/27 (kappa from memory)."""
    lightness, a, b = lab_of_linear((0.004, 0.004, 0.004))
    assert lightness == pytest.approx(0.004 * 24389 / 27, rel=1e-12)
    assert (a, b) == pytest.approx((0.0, 0.0), abs=1e-12)


@pytest.mark.parametrize(
    "text", ["", "red", "#fff", "#ff00000", "ff0000", "0ff0000", "#gg0000", "#+10000", "# 10000"]
)
def test_other_ways_to_write_a_colour_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="#rrggbb"):
        linear_of_hex(text)


@pytest.mark.parametrize("wrong", [-1e-9, 1.0 + 1e-9, math.nan, math.inf])
@pytest.mark.parametrize("convert", [hex_of_linear, xyz_of_linear, lab_of_linear])
def test_channels_outside_their_range_are_refused(convert: object, wrong: float) -> None:
    assert callable(convert)
    with pytest.raises(ValueError, match="between 0 and 1"):
        convert((0.5, wrong, 0.5))
