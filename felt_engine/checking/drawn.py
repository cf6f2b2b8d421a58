"""The values that a drawing is made of, in millimetres.

Counted east and north from the near left corner of the laid-out size, rounded to 0.01 mm.
"""

from __future__ import annotations

import attrs

from felt_engine.value import Value

Corners = tuple[tuple[float, float], ...]


@attrs.frozen(eq=False, repr=False)
class Mark(Value):
    """Where on a face a finding lies: a box in mm (west, south, east, north)."""

    face: str
    box: tuple[float, ...]


@attrs.frozen(eq=False, repr=False)
class DrawnArea(Value):
    """An outline with holes, seen only inside ``clip`` where there is one."""

    outline: Corners
    holes: tuple[Corners, ...] = ()
    clip: Corners = ()


@attrs.frozen(eq=False, repr=False)
class Rows(Value):
    """What is laid in rows: rows along the fibre, tufts in a row, grams a tuft (one face).

    ``start_mm`` is where the first row begins, counted along the fibre from the near left corner.
    """

    count: int
    pitch_mm: float
    overlap: float
    tufts: int
    grams_each: float
    start_mm: float = 0.0
    tuft_mm: float = 0.0


@attrs.frozen(eq=False, repr=False)
class DrawnPlacement(Value):
    """One placement on one face. ``turned`` marks fibre that was folded or wrapped over.

    ``bearing`` is how its fibre lies there, degrees clockwise from north, where it lies one way.
    """

    of: str
    zone: str
    amount: str
    grams: float
    g_m2: float
    colour: str | None
    area: DrawnArea
    turned: bool
    past_mm: float
    short_mm: float
    pointer: str
    rows: Rows | None = None
    bearing: float | None = None


@attrs.frozen(eq=False, repr=False)
class DrawnLayer(Value):
    """One layer on one face. ``bearing`` in degrees clockwise from north, where it has one.

    ``turned_mm`` is how far it is laid past the edge and turned over or in; ``overhang`` outlines
    how far that reaches. ``then`` says what is laid on it before the next layer: resists.
    """

    number: int
    name: str
    way: str | None
    bearing: float | None
    direction: str | None
    lay: str | None
    role: str | None
    grams: float
    placements: tuple[DrawnPlacement, ...]
    pointer: str
    turned_mm: float
    overhang: Corners = ()
    then: tuple[str, ...] = ()


@attrs.frozen(eq=False, repr=False)
class DrawnPlace(Value):
    """A part of a face with one stack, as four-cornered pieces.

    ``colours`` has one for each surface of the drawing, ``seen`` the pattern of what lies uppermost
    there.
    """

    pieces: tuple[Corners, ...]
    g_m2: float
    pull: float
    bearing: float | None
    layers: tuple[int, ...]
    colours: tuple[str | None, ...]
    seen: tuple[int | None, ...] = ()


@attrs.frozen(eq=False, repr=False)
class DrawnZone(Value):
    """A named part of a face: where it is in words, measured, and its outline."""

    name: str
    words: str
    area: DrawnArea


@attrs.frozen(eq=False, repr=False)
class DrawnFace(Value):
    """One face: its box in mm, its outline, its layers from bottom to top, its places.

    ``zones`` are those that anything is laid on.
    """

    name: str
    width_mm: float
    depth_mm: float
    west_mm: float
    south_mm: float
    outline: Corners
    layers: tuple[DrawnLayer, ...]
    places: tuple[DrawnPlace, ...]
    zones: tuple[DrawnZone, ...] = ()


@attrs.frozen(eq=False, repr=False)
class Swatch(Value):
    """A lot or blend as the drawings show it: a colour, if known, and a pattern of its own."""

    name: str
    colour: str | None
    pattern: int
    parts: str


@attrs.frozen(eq=False, repr=False)
class Drawing(Value):
    """Everything that is drawn. ``surfaces`` names the colours of each place, in order.

    ``facts`` are pairs of a word and what the recipe says of the piece; ``steps``, ``cautions``
    and ``notes`` are the recipe's own, as text for the page.
    """

    faces: tuple[DrawnFace, ...]
    swatches: tuple[Swatch, ...]
    surfaces: tuple[str, ...]
    stage_said: bool
    facts: tuple[tuple[str, str], ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
