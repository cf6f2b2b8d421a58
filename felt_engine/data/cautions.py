"""Lines of caution in our own words, by hazard, and what in a recipe calls for each.

They are reminders for a sheet that somebody else works from. Product labels, the rules of the place
and qualified advice come first; none of these lines replaces them.
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

# Standing of a source: "verified", "from memory", or "common practice, no source".
SOURCES: dict[str, tuple[str, str]] = {
    "scalds": (
        "times to a burn by water's heat, Moritz & Henriques, American Journal of Pathology 23"
        " (1947) 695: minutes at 50 °C, seconds at 60 °C; sooner on a child's skin",
        "from memory",
    ),
    "workshop": ("what is said before a class begins", "common practice, no source"),
}

# says: the usual line. when: what calls for it.
CAUTIONS: dict[str, dict[str, str]] = {
    "hot water": {
        "says": "Hot water scalds: carry it only half full, test it with the wrist, wear gloves.",
        "when": "a step with hot water",
        "source": "scalds",
    },
    "wet floor": {
        "says": "Water and soap on the floor are slippery: lay towels and mop at once.",
        "when": "steps that wet, rinse or throw",
        "source": "workshop",
    },
    "blades": {
        "says": "Cut away from the hand that holds, and lay blades down closed.",
        "when": "steps that cut or trim",
        "source": "workshop",
    },
    "hot iron": {
        "says": "The iron stays hot after use: one person at it, and stand it on its heel.",
        "when": "pressing with a warm or hot iron",
        "source": "workshop",
    },
    "dye dust": {
        "says": "Weigh dye powder out of the draught, with mask and gloves, away from food.",
        "when": "dyeing with powder, which no step of a recipe says so far",
        "source": "workshop",
    },
    "repeated strain": {
        "says": "Change hands and posture often, and stop before wrists or shoulders hurt.",
        "when": "some hundred rolls, or rubbing and fulling for long",
        "source": "workshop",
    },
    "slippery soles": {
        "says": "Felt soles slip on smooth floors: give them a sole that grips before wear.",
        "when": "felt that is walked on: slippers and boots",
        "source": "workshop",
    },
    "soap and fibre allergies": {
        "says": "Soap and wool can irritate skin: try a little first, and say so if it itches.",
        "when": "soap or wool on skin, in a class or with children",
        "source": "workshop",
    },
}


def usual_caution(hazard: str, build: Any = None) -> str:
    """The usual line of caution about a hazard; with a build, as the plugins there are have it.

    ValueError for a hazard that isn't known.
    """
    own = None if build is None else build.cautions.get(hazard)
    if own is None and hazard not in CAUTIONS:
        raise ValueError(f"no hazard is called {hazard!r}: there are {', '.join(CAUTIONS)}")
    return str(CAUTIONS[hazard]["says"] if own is None else own.says)
