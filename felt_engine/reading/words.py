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

HINTS = {
    "square": "rectangle", "oblong": "rectangle", "triangle": "polygon", "triangular": "polygon",
    "hexagon": "polygon", "star": "polygon", "circle": "round", "circular": "round", "ellipse": "oval",
    "egg": "oval", "freeform": "polygon", "flat": "table", "resist": "flat resist",
    "batt": "carded batt", "roving": "combed top", "top": "combed top", "tops": "combed top",
    "sliver": "carded sliver", "fleece": "loose fibre", "raw": "loose fibre", "nepps": "neps",
    "hankies": "silk hankies", "gauze": "open cloth", "chiffon": "open cloth", "fabric": "close cloth",
    "superwash": "shrink-proofed", "medium": "firm", "soft": "light", "half felt": "prefelt",
    "pre-felt": "prefelt", "hard-fulled": "hard", "fulled": "hard", "tepid": "lukewarm",
    "iron": "press", "felt": "rub", "roll up": "roll", "vinegar": "acid soak", "soak": "acid soak",
    "soap": "write do: wet, and soap beside it", "olive oil": "alkaline", "olive oil soap": "alkaline",
    "washing-up liquid": "neutral", "detergent": "neutral", "all": "write one step for each edge",
    "all four": "write one step for each edge", "left": "west", "right": "east", "near": "south",
    "far": "north", "inlay": "accent", "base": "structure", "design": "accent", "shingled": "shingle",
    "wispy": "wisps", "scattered": "scatter", "sprinkle": "scatter", "sprinkled": "scatter",
    "strewn": "scatter", "wavy": "ruffled", "children's class": "children",
    "class": "class handout", "pattern": "pattern for sale", "each face": "each", "both faces": "both",
}  # fmt: skip
"""What makers also write, and the word or the sentence that answers it."""

ALL = frozenset(
    word
    for group in list(vars().values())
    if isinstance(group, tuple)
    for word in group
    if isinstance(word, str)
)
"""Every word of the format."""

NOTHING_THERE = frozenset((
    "no", "none", "nothing", "not any", "nil", "without", "false", "off", "bare", "n/a", "na", "-", "--",
    "–", "—", "no barrier", "without barrier", "without a barrier", "no cloth", "nothing between",
))  # fmt: skip
"""What is also written where there is nothing."""
