"""The closed word lists of a recipe."""

from __future__ import annotations

SHAPES = ("rectangle", "round", "oval", "polygon")
OVER = ("table", "flat resist", "ball")
OUTLINES = ("straight", "round", "free", "ruffled", "drawn in", "blocked", "cut")
STAGES = ("prefelt", "light", "firm", "hard")
SURFACES = ("top", "bottom", "outside", "inside")
PREPARATIONS = (
    "combed top", "carded batt", "carded sliver", "prefelt", "felt", "locks", "loose fibre",
    "short fibre", "neps", "noil", "silk hankies", "open cloth", "close cloth", "yarn", "film",
)  # fmt: skip
TREATMENTS = ("untreated", "shrink-proofed")
LAYS = ("shingle", "sheet", "batt", "wisps", "scatter")
ROLES = ("structure", "cover", "accent", "veil", "open")
FACES = ("front", "back", "both", "each")
SIDES = ("north", "south", "east", "west")
ZONE_SHAPES = ("band", "rectangle", "round", "oval", "polygon", "rim", "middle")
BATT_EDGES = ("cut", "torn")
STEPS = (
    "wet", "rub", "roll", "check", "full", "throw", "stretch", "rinse", "acid soak", "dry",
    "press", "cut", "trim", "heal edges", "remove resist", "turn over", "turn inside out", "shape",
    "rest", "other",
)  # fmt: skip
WATER = ("cold", "cool", "lukewarm", "warm", "hot")
SOAPS = ("none", "neutral", "alkaline", "unknown")
TOTAL_PER = ("piece", "face", "pair", "all")
READERS = ("own notes", "class handout", "pattern for sale", "children")
HAZARDS = (
    "hot water", "wet floor", "blades", "hot iron", "dye dust", "repeated strain",
    "slippery soles", "soap and fibre allergies",
)  # fmt: skip
RESIST_MAKES = ("pocket", "flap", "crater", "opening", "layered edge")

COMPASS = {
    "north-south": 0.0, "south-north": 0.0, "N-S": 0.0,
    "northeast-southwest": 45.0, "southwest-northeast": 45.0, "NE-SW": 45.0,
    "east-west": 90.0, "west-east": 90.0, "E-W": 90.0,
    "northwest-southeast": 135.0, "southeast-northwest": 135.0, "NW-SE": 135.0,
}  # fmt: skip
"""Compass words and their bearings: degrees clockwise from north, the far edge of the table."""
