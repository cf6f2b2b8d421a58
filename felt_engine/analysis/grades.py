"""Wool count grades of the United States: names such as "64s" and their mean fibre diameters."""

from __future__ import annotations

import math

# Name and least average fibre diameter in micrometres; each grade ends where the next begins.
# USDA Official Standards of the United States for Grades of Wool (1965/1968); ASTM D3991.
# Bounds down to 40s seen on three public pages that agree; the last two rows from memory.
# The printed upper bounds (19.14 and so on) close each class at two decimals.
GRADES: tuple[tuple[str, float], ...] = (
    ("Finer than 80s", 0.0),
    ("80s", 17.70),
    ("70s", 19.15),
    ("64s", 20.60),
    ("62s", 22.05),
    ("60s", 23.50),
    ("58s", 24.95),
    ("56s", 26.40),
    ("54s", 27.85),
    ("50s", 29.30),
    ("48s", 31.00),
    ("46s", 32.70),
    ("44s", 34.40),
    ("40s", 36.20),
    ("36s", 38.10),
    ("Coarser than 36s", 40.21),
)


def grade_of_micrometres(diameter: float) -> str:
    """Return the name of the grade of an average fibre diameter in micrometres.

    Classes are half-open: 20.60 <= diameter < 22.05 is 64s.  ValueError for a diameter that isn't
    positive and finite.  Source: USDA grades of wool (1965/1968).
    """
    if not 0.0 < diameter < math.inf:
        raise ValueError(f"a diameter must be a positive finite number, not {diameter!r}")
    name = GRADES[0][0]
    for grade, least in GRADES:
        if diameter < least:
            break
        name = grade
    return name


def micrometres_of_grade(name: str) -> tuple[float, float]:
    """Return the bounds (low, high) of a grade in micrometres; high itself is the next grade's.

    The finest grade begins at 0, the coarsest ends at infinity.  ValueError for an unknown name.
    Source: USDA grades of wool (1965/1968).
    """
    ends = [least for _, least in GRADES[1:]] + [math.inf]
    for (grade, least), end in zip(GRADES, ends, strict=True):
        if grade == name:
            return least, end
    raise ValueError(f"unknown wool grade {name!r}")
