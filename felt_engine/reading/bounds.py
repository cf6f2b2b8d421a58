"""Named limits of what is read. Anything past them is refused with its place, never truncated."""

from __future__ import annotations

FILE_BYTES = 1_000_000
"""Largest file, bytes. A recipe with twenty layers is about 15,000."""

DEPTH = 32
"""Deepest nesting of maps and lists."""

NODES = 50_000
"""Most values in one file."""

PROBLEMS = 200
"""Most problems listed for one file; a last line says that there are more."""

PROBLEM_LETTERS = 15_000
"""Most letters of all problems listed for one file, each with 100 for what stands round it."""

PROBLEMS_SOUGHT = 250
"""Reading stops after so many."""

NAME_LENGTH = 80
STEP_LENGTH = 200
"""Longest name in a pointer to a problem; the pointer ends before a longer one."""
TEXT_LENGTH = 4_000
LOTS = 200
LAYERS = 100
PLACEMENTS = 200
PLACEMENTS_IN_ALL = 500
"""Amounts of all layers together."""
LOTS_IN_ALL = 1_500
"""Lots in the amounts of all layers together, each lot of a blend counted."""
ZONES = 200
CORNERS = 200
CORNERS_IN_ALL = 4_000
"""Corners of all zones together: forty shapes of a hundred."""
PARTS = 50
STEPS = 300
NOTES = 200
INTENTS = 100
"""Most resists, purposes and waivers, each: more than anybody keeps in mind."""
TOTALS = 40
PIECES = 10_000
SMALLEST_TUFT = 1e-3
"""Least side of a tuft, m: nobody lays a smaller one."""
ROWS = 1_000
"""Most rows that a layer may say: a rug of four metres has some eighty."""
TIMES = 100_000
