"""Drawings to scale as SVG text: one millimetre of wool is one unit, north is up.

Every colour comes from the engine as ``#rrggbb``; every text is escaped here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from html import escape

from felt_engine import (
    Drawing,
    DrawnArea,
    DrawnFace,
    DrawnLayer,
    DrawnPlacement,
    Report,
    Swatch,
)
from felt_engine.plain_text import plain
from felt_exporters.page.taken import Taken

Corners = tuple[tuple[float, float], ...]

PULLS = 0.33
"""Pull from which an arrow is drawn: the limit from which direction-balance cautions."""

MARKED = 24
"""Places of one finding that are marked on a drawing at most, the largest."""

OUTLINED = 30
"""Zones of lower layers that are drawn in outline at most, the uppermost."""

UNKNOWN = "#ffffff"
INK = "#2b2622"
PATTERNS = (
    "", "M4,4 h.01", "M2,2 h.01 M6,6 h.01", "M2.4,4 h3.2 M4,2.4 v3.2",
    "M2.6,2.6 l2.8,2.8 M5.4,2.6 l-2.8,2.8",
    "M4,2.2 l1.9,3.4 h-3.8 z", "M2.4,2.4 h3.2 v3.2 h-3.2 z", "M4,1.8 l2.2,2.2 l-2.2,2.2 l-2.2,-2.2 z",
    "M4,4 m-1.8,0 a1.8,1.8 0 1,0 3.6,0 a1.8,1.8 0 1,0 -3.6,0", "M2.2,4.8 l1.8,-1.8 l1.8,1.8",
    "M4,2 h.01 M2.3,5.4 h.01 M5.7,5.4 h.01", "M2.2,3.2 l1.8,1.8 l1.8,-1.8",
)  # fmt: skip
"""Marks in a tile of 8 by 8, one for each lot: they tell lots apart without colour. None is a long
line, since lines show which way the fibre lies."""


def letter(number: int) -> str:
    """A, B … Z, A2, B2 …: the mark of a lot in the drawings."""
    round_, place = divmod(number, 26)
    return chr(65 + place) + (str(round_ + 1) if round_ else "")


class Canvas:
    """One drawing: the face's box with a margin, and how large text and lines have to be."""

    def __init__(self, face: DrawnFace, key: str, margin: float = 0.06) -> None:
        self.face, self.key = face, key
        self.span = max(face.width_mm, face.depth_mm)
        self.margin = self.span * margin
        self.unit = self.span / 100
        self.parts: list[str] = []
        self.below = 0.0

    def x(self, value: float) -> str:
        """A place east, as text."""
        return f"{value - self.face.west_mm:.2f}".rstrip("0").rstrip(".")

    def y(self, value: float) -> str:
        """A place north, as text, counted down from the far edge."""
        return f"{self.face.south_mm + self.face.depth_mm - value:.2f}".rstrip("0").rstrip(".")

    def points(self, corners: Corners) -> str:
        """Corners for a polygon."""
        return " ".join(f"{self.x(x)},{self.y(y)}" for x, y in corners)

    def path(self, area: DrawnArea) -> str:
        """An outline with its holes, as path data."""
        rings = [area.outline, *area.holes]
        return " ".join(
            "M" + " L".join(f"{self.x(x)},{self.y(y)}" for x, y in ring) + " Z" for ring in rings
        )

    def add(self, text: str) -> None:
        """Add an element."""
        self.parts.append(text)

    def polygon(self, corners: Corners, style: str) -> None:
        """Add a polygon."""
        self.add(f'<polygon points="{self.points(corners)}" {style}/>')

    def text(self, x: float, y: float, words: str, size: float = 3.6, style: str = "") -> None:
        """Add a text with a light rim, so that it can be read on any colour."""
        self.add(
            f'<text x="{self.x(x)}" y="{self.y(y)}" font-size="{size * self.unit:.2f}" '
            f'class="t" stroke-width="{self.unit * 0.9:.2f}" {style}>{safe(words)}</text>'
        )

    def done(self, title: str, about: str, classes: str = "") -> str:
        """The whole drawing, with a title and a description for a screen reader."""
        m, f = self.margin, self.face
        foot = max(self.unit * 5, self.below + self.unit * 5 - m)
        box = f"{-m:.2f} {-m:.2f} {f.width_mm + 2 * m:.2f} {f.depth_mm + 2 * m + foot:.2f}"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" '
            f'aria-labelledby="{self.key}-t {self.key}-d" class="{classes}">'
            f'<title id="{self.key}-t">{safe(title)}</title>'
            f'<desc id="{self.key}-d">{safe(about)}</desc>' + "".join(self.parts) + "</svg>"
        )

    def outline(self) -> None:
        """The piece's outline and a scale bar."""
        width = self.unit * 0.55
        self.polygon(
            self.face.outline, f'class="edge" fill="none" stroke="{INK}" stroke-width="{width:.2f}"'
        )
        self.scale_bar()

    def scale_bar(self) -> None:
        """A bar of a round length below the drawing and what reaches past it."""
        wanted = self.span / 4
        length = next((s for s in (500, 200, 100, 50, 20, 10, 5, 2, 1) if s <= wanted), 1)
        top = self.face.depth_mm + max(self.margin * 0.8, self.below + self.unit)
        thick = self.unit * 1.1
        self.add(
            f'<rect x="0" y="{top:.2f}" width="{length}" height="{thick:.2f}" fill="{INK}"/>'
            f'<text x="{length + self.unit * 1.5:.2f}" y="{top + thick * 1.6:.2f}" '
            f'font-size="{self.unit * 3.4:.2f}" class="s">{_long(length)}</text>'
        )


def _long(mm: float) -> str:
    inches = f"{mm / 25.4:.1f} in"
    return f"{mm / 10:g} cm ({inches})" if mm >= 10 else f"{mm:g} mm ({inches})"


def safe(text: str) -> str:
    """Text for HTML and SVG: control and bidirectional characters shown, then escaped."""
    return escape(plain(text), quote=True)


def _centre(corners: Corners) -> tuple[float, float]:
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def definitions(drawing: Drawing) -> str:
    """The patterns of all lots, shared by every drawing on the page."""
    parts = []
    for swatch in drawing.swatches:
        path = PATTERNS[swatch.pattern % len(PATTERNS)]
        colour = swatch.colour or UNKNOWN
        line = _against(colour)
        for size, name in ((1.0, "s"), (2.5, "m"), (6.0, "l"), (15.0, "x")):
            ink = (
                f'<path d="{path}" fill="none" stroke="{line}" stroke-width="0.9" '
                f'stroke-linecap="round"/>'
                if path
                else ""
            )
            parts.append(
                f'<pattern id="p{swatch.pattern}{name}" width="8" height="8" '
                f'patternUnits="userSpaceOnUse" patternTransform="scale({size})">'
                f'<rect width="8" height="8" fill="{colour}"/>{ink}</pattern>'
            )
    return (
        '<svg width="0" height="0" class="defs" aria-hidden="true" focusable="false"><defs>'
        + "".join(parts)
        + "</defs></svg>"
    )


def _against(colour: str) -> str:
    """Black or white lines, whichever shows on this colour (relative luminance, WCAG 2.2)."""
    red, green, blue = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    light = 0.2126 * red**2.2 + 0.7152 * green**2.2 + 0.0722 * blue**2.2
    return "#000000" if light > 0.18 else "#ffffff"


def _fill(canvas: Canvas, swatch: Swatch) -> str:
    size = (
        "s"
        if canvas.span < 150
        else "m"
        if canvas.span < 500
        else "l"
        if canvas.span < 1500
        else "x"
    )
    return f"url(#p{swatch.pattern}{size})"


def layer(report: Report, face: DrawnFace, drawn: DrawnLayer, key: str) -> str:
    """One layer on one face: what lies where, which way, in rows, over what lies below in outline."""
    drawing = report.drawing
    assert drawing is not None
    span = max(face.width_mm, face.depth_mm)
    canvas = Canvas(face, key, max(0.06, drawn.turned_mm / span + 0.02 if drawn.overhang else 0.0))
    swatches = {swatch.name: swatch for swatch in drawing.swatches}
    for number, placement in enumerate(drawn.placements):
        _placement(canvas, drawn, placement, swatches[placement.of], f"{key}-{number}")
    below = [
        placement.area
        for lower in face.layers if lower.number < drawn.number
        for placement in lower.placements if placement.zone != "whole" and not placement.turned
    ]  # fmt: skip
    for area in below[-OUTLINED:]:
        dashed(canvas, area)
    if drawn.overhang:
        canvas.below = drawn.turned_mm
        width = canvas.unit * 0.4
        canvas.polygon(
            drawn.overhang, f'class="overhang" fill="none" stroke="{INK}" '
            f'stroke-width="{width:.2f}" stroke-dasharray="{width:.2f} {3 * width:.2f}"',
        )  # fmt: skip
    canvas.outline()
    for placement in drawn.placements:
        if not placement.turned:
            _label(canvas, placement, swatches[placement.of])
    _marks(
        canvas,
        report,
        face,
        {placement.pointer for placement in drawn.placements} | {drawn.pointer},
    )
    return canvas.done(
        f"Layer {drawn.number + 1}: {drawn.name}", describe_layer(drawn, face), "layer"
    )


def describe_layer(drawn: DrawnLayer, face: DrawnFace) -> str:
    """What a layer's drawing shows, in a sentence."""
    side = "" if face.name == "whole" else f" on the {face.name}"
    way = f", laid {drawn.direction}" if drawn.direction else ", no direction said"
    what = "; ".join(
        f"{p.of} turned over along the edge" if p.turned
        else f"{p.of} on {p.zone}, {p.grams:.0f} g" if p.grams >= 100
        else f"{p.of} on {p.zone}, {p.grams:.3g} g"
        for p in drawn.placements
    )  # fmt: skip
    return f"{what}{side}{way}."


def _placement(
    canvas: Canvas, drawn: DrawnLayer, placement: DrawnPlacement, swatch: Swatch, key: str
) -> None:
    path = canvas.path(placement.area)
    clips = ""
    if placement.area.clip:
        clip = canvas.points(placement.area.clip)
        canvas.add(f'<clipPath id="{key}-o"><polygon points="{clip}"/></clipPath>')
        clips = f'clip-path="url(#{key}-o)"'
    line = canvas.unit * 0.3
    dash = f'stroke-dasharray="{canvas.unit:.2f}"' if placement.turned else ""
    canvas.add(
        f'<g {clips}><path class="area" data-zone="{safe(placement.zone)}" d="{path}" '
        f'fill-rule="evenodd" fill="{_fill(canvas, swatch)}" stroke="{INK}" '
        f'stroke-width="{line:.2f}" {dash}/>'
        f'<clipPath id="{key}-z"><path d="{path}" clip-rule="evenodd"/></clipPath>'
        f'<g clip-path="url(#{key}-z)">{"".join(_strokes(canvas, drawn, placement))}'
        f"{''.join(_rows(canvas, drawn, placement))}</g></g>"
    )


def _strokes(canvas: Canvas, drawn: DrawnLayer, placement: DrawnPlacement) -> Iterator[str]:
    """Lines that show which way the fibre lies."""
    face, step = canvas.face, canvas.unit * 7
    ink = _against(placement.colour or UNKNOWN)
    style = f'class="way" stroke="{ink}" stroke-width="{canvas.unit * 0.5:.2f}"'
    middle_x, middle_y = face.width_mm / 2, face.depth_mm / 2
    if drawn.way == "around":
        for k in range(1, 15):
            yield (
                f'<circle cx="{middle_x:.1f}" cy="{middle_y:.1f}" r="{k * step * 0.75:.1f}" '
                f'fill="none" {style}/>'
            )
        return
    if drawn.way == "radial":
        reach = canvas.span
        for k in range(24):
            angle = k * math.pi / 12
            yield (
                f'<line x1="{middle_x:.1f}" y1="{middle_y:.1f}" '
                f'x2="{middle_x + reach * math.sin(angle):.1f}" '
                f'y2="{middle_y - reach * math.cos(angle):.1f}" {style}/>'
            )
        return
    if drawn.way == "random" or placement.bearing is None:
        if drawn.way == "random" or drawn.lay in ("scatter", "wisps"):
            yield from _scattered(canvas, style)
        return
    turn = math.radians(placement.bearing)
    ux, uy = math.sin(turn), -math.cos(turn)
    reach = canvas.span
    for k in range(-12, 13):
        x, y = middle_x - k * step * uy, middle_y + k * step * ux
        yield (
            f'<line x1="{x - reach * ux:.1f}" y1="{y - reach * uy:.1f}" '
            f'x2="{x + reach * ux:.1f}" y2="{y + reach * uy:.1f}" {style}/>'
        )


def _scattered(canvas: Canvas, style: str) -> Iterator[str]:
    """Short strokes in turning directions, the same each time."""
    face, step = canvas.face, canvas.unit * 8
    count = 0
    y = step / 2
    while y < face.depth_mm:
        x = step / 2 + (count % 2) * step / 2
        while x < face.width_mm:
            angle = (count * 137.5) % 180 * math.pi / 180
            dx, dy = step * 0.28 * math.cos(angle), step * 0.28 * math.sin(angle)
            start = f'x1="{x - dx:.1f}" y1="{y - dy:.1f}"'
            yield f'<line {start} x2="{x + dx:.1f}" y2="{y + dy:.1f}" {style}/>'
            x += step
            count += 1
        y += step
        count += 1


def dashed(canvas: Canvas, area: DrawnArea) -> None:
    unit, path = canvas.unit, canvas.path(area)
    canvas.add(
        f'<path d="{path}" fill="none" stroke="#ffffff" stroke-opacity="0.7" '
        f'stroke-width="{unit * 0.6:.2f}"/>'
        f'<path class="below" d="{path}" fill="none" stroke="#6b625a" '
        f'stroke-width="{unit * 0.35:.2f}" stroke-dasharray="{unit * 1.6:.2f} {unit * 1.2:.2f}"/>'
    )


CLOSEST = 0.5
"""Rows nearer to each other than this part of a drawing's unit aren't drawn: they would run together."""


def _rows(canvas: Canvas, drawn: DrawnLayer, placement: DrawnPlacement) -> Iterator[str]:
    """Where each row of tufts begins, for rows that run along one side of the table."""
    rows, face, unit = placement.rows, canvas.face, canvas.unit
    if rows is None or drawn.bearing not in (0.0, 90.0) or rows.pitch_mm < unit * CLOSEST:
        return
    style = (
        f'class="row" stroke="{_against(placement.colour or UNKNOWN)}" '
        f'stroke-width="{unit * 0.35:.2f}" stroke-opacity="0.7" '
        f'stroke-dasharray="{unit * 3:.2f} {unit * 1.5:.2f}"'
    )
    for k in range(1, rows.count):
        at = rows.start_mm + k * rows.pitch_mm
        if drawn.bearing == 0.0:
            y = canvas.y(at)
            yield f'<line x1="0" x2="{face.width_mm:.1f}" y1="{y}" y2="{y}" {style}/>'
        else:
            x = canvas.x(at)
            yield f'<line x1="{x}" x2="{x}" y1="0" y2="{face.depth_mm:.1f}" {style}/>'


def _label(canvas: Canvas, placement: DrawnPlacement, swatch: Swatch) -> None:
    x, y = spot(placement.area)
    unit, face = canvas.unit, canvas.face
    xs, ys = [a for a, _ in placement.area.outline], [b for _, b in placement.area.outline]
    if max(xs) - min(xs) < unit * 7 or max(ys) - min(ys) < unit * 6:  # beside it, not on it
        if max(xs) + unit * 8 < face.west_mm + face.width_mm:
            x = max(xs) + unit * 3.5
        else:
            y = min(ys) - unit * 4
    canvas.text(x, y - canvas.unit * 1.8, letter(swatch.pattern), 5.4, 'text-anchor="middle"')


def spot(area: DrawnArea) -> tuple[float, float]:
    """A place to write: the middle, or beside the hole of a frame."""
    x, y = _centre(area.outline)
    if area.holes:
        low = min(b for _, b in area.outline)
        hole = min(b for _, b in area.holes[0])
        return x, (low + hole) / 2
    return x, y


def _marks(canvas: Canvas, report: Report, face: DrawnFace, pointers: set[str] | None) -> None:
    """Numbers of the findings at their places."""
    unit = canvas.unit
    taken = Taken(unit * 6.5)
    for number, finding in enumerate(report.findings, 1):
        if pointers is not None and finding.spot.pointer not in pointers:
            continue
        boxes = _largest(mark.box for mark in finding.marks if mark.face == face.name)
        if not boxes and finding.marks:
            continue
        whole = (face.west_mm, face.south_mm, face.west_mm + face.width_mm,
                 face.south_mm + face.depth_mm)  # fmt: skip
        for box in boxes or [whole]:
            west, south, east, north = box
            inset = unit * 0.9 * taken.count if len(boxes or [whole]) == 1 else 0.0
            _frame(canvas, box, inset, finding.level)
            x, y = min(east, west + unit * 4), max(south, north - unit * 4)
            while taken.is_near(x, y):
                x += unit * 7
            taken.add(x, y)
            canvas.add(_badge(canvas, x, y, finding.level))
            canvas.add(
                f'<text x="{canvas.x(x)}" y="{canvas.y(y - unit * 1.4)}" text-anchor="middle" '
                f'font-size="{unit * 4:.2f}" class="number">{number}</text>'
            )


def _largest(boxes: Iterable[Sequence[float]]) -> list[Sequence[float]]:
    """So many as can be told apart, in their own order."""
    every = list(boxes)
    if len(every) <= MARKED:
        return every
    least = sorted(_area(box) for box in every)[-MARKED]
    return [box for box in every if _area(box) >= least][:MARKED]


def _area(box: Sequence[float]) -> float:
    west, south, east, north = box
    return (east - west) * (north - south)


def _frame(canvas: Canvas, box: Sequence[float], inset: float, level: str) -> None:
    """A frame round a place: whole for a fault, dashed for anything less."""
    west, south, east, north = box
    inset = min(inset, (east - west) / 4, (north - south) / 4)
    west, south, east, north = west + inset, south + inset, east - inset, north - inset
    unit = canvas.unit
    dash = "" if level == "fault" else f'stroke-dasharray="{unit * 2.2:.2f} {unit:.2f}"'
    canvas.polygon(
        ((west, south), (east, south), (east, north), (west, north)),
        f'class="mark {safe(level)}" fill="none" stroke-width="{unit * 0.8:.2f}" {dash}',
    )


def _badge(canvas: Canvas, x: float, y: float, level: str) -> str:
    """A disc for a fault, a square for anything less: told apart without colour."""
    size = canvas.unit * 3.1
    if level == "fault":
        return f'<circle cx="{canvas.x(x)}" cy="{canvas.y(y)}" r="{size:.2f}" class="badge {safe(level)}"/>'
    return (
        f'<rect x="{canvas.x(x - size)}" y="{canvas.y(y + size)}" width="{2 * size:.2f}" '
        f'height="{2 * size:.2f}" class="badge {safe(level)}"/>'
    )


def stack(report: Report, face: DrawnFace, key: str) -> str:
    """Local weight as shades of grey with figures, and arrows where what felts pulls one way."""
    canvas = Canvas(face, key)
    most = max((place.g_m2 for place in face.places), default=1.0) or 1.0
    for place in face.places:
        grey = round(250 - 110 * place.g_m2 / most)
        shade = f"#{grey:02x}{grey:02x}{grey:02x}"
        for piece in place.pieces:
            canvas.polygon(
                piece, f'class="place" fill="{shade}" stroke="{shade}" '
                f'stroke-width="{canvas.unit * 0.15:.2f}"',
            )  # fmt: skip
    _figures(canvas, face)
    canvas.outline()
    _marks(canvas, report, face, None)
    low = min((place.g_m2 for place in face.places), default=0.0)
    about = f"Weight of the whole stack: from {low:.0f} to {most:.0f} grams per square metre."
    if any(place.pull >= PULLS for place in face.places):
        about += " Double arrows show where what felts pulls more one way than across."
    return canvas.done("The stack" + side(face), about, "stack")


def _figures(canvas: Canvas, face: DrawnFace) -> None:
    """Weights and pulls of the larger places, none upon another."""
    taken: list[tuple[float, float]] = []
    whole = face.width_mm * face.depth_mm
    for place in sorted(face.places, key=lambda place: -_size(place.pieces)):
        if _size(place.pieces) < 0.02 * whole and taken:
            break
        x, y = _centre(max(place.pieces, key=lambda piece: _size((piece,))))
        near = canvas.unit * 9
        if any(abs(x - a) < 1.6 * near and abs(y - b) < near for a, b in taken):
            continue
        taken.append((x, y))
        if place.bearing is not None and place.pull >= PULLS:
            _arrow(canvas, x, y + canvas.unit * 3, place.bearing, place.pull)
        canvas.text(x, y - canvas.unit * 2.5, f"{place.g_m2:.0f}", 3.6, 'text-anchor="middle"')


def side(face: DrawnFace) -> str:
    return "" if face.name == "whole" else f", {face.name}"


def _size(pieces: Sequence[Corners]) -> float:
    total = 0.0
    for piece in pieces:
        for (x1, y1), (x2, y2) in zip(piece, (*piece[1:], *piece[:1]), strict=True):
            total += (x1 * y2 - x2 * y1) / 2
    return abs(total)


def _arrow(canvas: Canvas, x: float, y: float, bearing: float, pull: float) -> None:
    unit = canvas.unit
    turn, half = math.radians(bearing), unit * (4 + 8 * pull)
    dx, dy = half * math.sin(turn), half * math.cos(turn)
    head = unit * 1.6
    parts = [
        f'<line x1="{canvas.x(x - dx)}" y1="{canvas.y(y - dy)}" x2="{canvas.x(x + dx)}" '
        f'y2="{canvas.y(y + dy)}" class="pull" stroke-width="{unit * 0.7:.2f}"/>'
    ]
    for sign in (1, -1):
        tip_x, tip_y = x + sign * dx, y + sign * dy
        for spread in (2.6, -2.6):
            ex = tip_x + sign * head * math.sin(turn + spread)
            ey = tip_y + sign * head * math.cos(turn + spread)
            parts.append(
                f'<line x1="{canvas.x(tip_x)}" y1="{canvas.y(tip_y)}" x2="{canvas.x(ex)}" '
                f'y2="{canvas.y(ey)}" class="pull" stroke-width="{unit * 0.7:.2f}"/>'
            )
    canvas.add("".join(parts))


def colours(report: Report, face: DrawnFace, number: int, key: str) -> str:
    """How one surface may look after felting: a mixture of what lies there, good for a class."""
    drawing = report.drawing
    assert drawing is not None
    surface = drawing.surfaces[number]
    canvas = Canvas(face, key)
    unknown = False
    for place in face.places:
        said = place.colours[number]
        colour = said and safe(said)
        unknown = unknown or colour is None
        for piece in place.pieces:
            canvas.polygon(piece, _plain_fill(colour, canvas.unit))
    for drawn in face.layers:
        for placement in drawn.placements:
            if placement.zone != "whole" and not placement.turned:
                dashed(canvas, placement.area)
    _letters(canvas, face, number)
    canvas.outline()
    about = f"The {surface} as it may look: colours of what lies there, mixed as fibres."
    if unknown:
        about += " Crossed out where a colour is not said."
    return canvas.done(f"Colours, {surface}{side(face)}", about, "colours")


def _letters(canvas: Canvas, face: DrawnFace, number: int) -> None:
    """The letters of what lies uppermost, so that colours can be told apart in grey too."""
    taken: list[tuple[float, float]] = []
    for place in sorted(face.places, key=lambda place: -_size(place.pieces)):
        seen = place.seen[number] if place.seen else None
        if seen is None:
            continue
        x, y = _centre(max(place.pieces, key=lambda piece: _size((piece,))))
        if any(math.hypot(x - a, y - b) < canvas.unit * 7 for a, b in taken):
            continue
        taken.append((x, y))
        canvas.text(x, y - canvas.unit * 1.4, letter(seen), 4.2, 'text-anchor="middle"')


def _plain_fill(colour: str | None, unit: float) -> str:
    if colour is None:
        return f'class="place" fill="#ffffff" stroke="#6b625a" stroke-width="{unit * 0.2:.2f}"'
    return f'class="place" fill="{colour}" stroke="{colour}" stroke-width="{unit * 0.15:.2f}"'


def small(report: Report, key: str) -> str:
    """A small picture for the index: the first shown surface, or the outline alone."""
    drawing = report.drawing
    if drawing is None or not drawing.faces:
        return ""
    face = drawing.faces[0]
    canvas = Canvas(face, key, margin=0.02)
    for place in face.places:
        colour = place.colours[0] if place.colours else None
        grey = round(250 - 110 * place.g_m2 / (max(p.g_m2 for p in face.places) or 1.0))
        shown = safe(colour) if colour else f"#{grey:02x}{grey:02x}{grey:02x}"
        data = "".join(
            "M" + "L".join(f"{canvas.x(round(x))},{canvas.y(round(y))}" for x, y in piece) + "Z"
            for piece in place.pieces
        )
        canvas.add(f'<path d="{data}" fill="{shown}"/>')
    canvas.polygon(
        face.outline, f'fill="none" stroke="{INK}" stroke-width="{canvas.unit * 1.2:.2f}"'
    )
    m = canvas.margin
    box = f"{-m:.1f} {-m:.1f} {face.width_mm + 2 * m:.1f} {face.depth_mm + 2 * m:.1f}"
    return (
        f'<svg viewBox="{box}" aria-hidden="true" focusable="false">{"".join(canvas.parts)}</svg>'
    )


def key_tile(swatch: Swatch) -> str:
    """A tile of a lot's colour and pattern, for tables."""
    return (
        '<svg viewBox="0 0 24 24" class="tile" aria-hidden="true" focusable="false">'
        f'<rect x="0.5" y="0.5" width="23" height="23" fill="url(#p{swatch.pattern}s)" stroke="{INK}"/>'
        "</svg>"
    )


def all_keys(swatches: Iterable[Swatch]) -> dict[str, str]:
    """Each lot's tile by its name."""
    return {swatch.name: key_tile(swatch) for swatch in swatches}
