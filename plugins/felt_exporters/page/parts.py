"""The named parts of a face, between rulers, so that they can be found on the table."""

from __future__ import annotations

from felt_engine import DrawnFace, DrawnZone
from felt_exporters.page.svg import INK, Canvas, dashed, side, spot

Box = tuple[float, float, float, float]
STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 5000)
MOST_TICKS = 11


def parts(face: DrawnFace, key: str) -> str:
    """The drawing: cm along the near and the left edge, inches along the far and the right one."""
    canvas = Canvas(face, key, margin=0.12)
    unit = canvas.unit
    for zone in face.zones:
        dashed(canvas, zone.area)
    _ruler(canvas, 10.0, "cm")
    _ruler(canvas, 25.4, "in")
    width = unit * 0.55
    canvas.polygon(
        face.outline, f'class="edge" fill="none" stroke="{INK}" stroke-width="{width:.2f}"'
    )
    taken: list[Box] = []
    for zone in sorted(face.zones, key=_extent):
        _name(canvas, zone, taken)
    said = "; ".join(f"{zone.name}: {zone.words}" for zone in face.zones)
    return canvas.done(f"The parts, measured{side(face)}", f"{said}.", "parts")


def _extent(zone: DrawnZone) -> float:
    xs, ys = [x for x, _ in zone.area.outline], [y for _, y in zone.area.outline]
    return (max(xs) - min(xs)) * (max(ys) - min(ys))


def _name(canvas: Canvas, zone: DrawnZone, taken: list[Box]) -> None:
    """Write a part's name in its middle, or as near as it lies on no other name."""
    unit = canvas.unit
    x, y = spot(zone.area)
    half = len(zone.name) * unit * 1.1
    step_x, step_y = 2 * half + unit, unit * 4.6
    for across, down in (
        (0, 0),
        (-1, 0),
        (1, 0),
        (0, 1),
        (0, -1),
        (-2, 0),
        (2, 0),
        (0, 2),
        (0, -2),
    ):
        at = x + across * step_x, y - down * step_y
        box = at[0] - half, at[1] - unit * 2.2, at[0] + half, at[1] + unit * 2.2
        if not any(_overlap(box, other) for other in taken):
            break
    taken.append(box)
    canvas.text(at[0], at[1] - unit * 1.3, zone.name, 3.8, 'text-anchor="middle"')


def _overlap(one: Box, two: Box) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


def _ruler(canvas: Canvas, mm: float, name: str) -> None:
    """Ticks along two sides, counted from the near left corner."""
    face, unit = canvas.face, canvas.unit
    near = name == "cm"
    step = next(s for s in STEPS if s * mm * MOST_TICKS > canvas.span)
    tick = unit * 1.6 * (1 if near else -1)
    row, drop = (face.depth_mm, unit * 2.8) if near else (0.0, -unit * 0.7)
    column, anchor = (0.0, "end") if near else (face.width_mm, "start")
    count = 0
    while count * step * mm <= canvas.span + 0.01:
        at = count * step * mm
        label = f"{count * step}" if count else f"0 {name}"
        if at <= face.width_mm + 0.01:
            _tick(canvas, (at, row), (at, row + tick))
            _number(canvas, at, row + tick + drop, label, "middle")
        if count and at <= face.depth_mm + 0.01:
            down = face.depth_mm - at
            _tick(canvas, (column, down), (column - tick, down))
            _number(canvas, column - tick * 1.4, down + unit, label, anchor)
        count += 1


def _tick(canvas: Canvas, start: tuple[float, float], end: tuple[float, float]) -> None:
    canvas.add(
        f'<line class="ruler" x1="{start[0]:.2f}" y1="{start[1]:.2f}" x2="{end[0]:.2f}" '
        f'y2="{end[1]:.2f}" stroke="{INK}" stroke-width="{canvas.unit * 0.25:.2f}"/>'
    )


def _number(canvas: Canvas, x: float, y: float, label: str, anchor: str) -> None:
    canvas.add(
        f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}" '
        f'font-size="{canvas.unit * 2.9:.2f}" class="s">{label}</text>'
    )


__all__ = ["parts"]
