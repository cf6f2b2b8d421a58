"""A piece that lies aslant on the table is judged as one that lies straight."""

from __future__ import annotations

import math
import random

import pytest

import felt_engine

Points = list[tuple[float, float]]

STRIP = """\
piece: {{title: T, use: bag, shape: polygon, corners: {edge}, stage: firm}}
lots: {{wool: {{fibre: merino, preparation: combed top, fineness: 21 um}}}}
zones: {{mid: {{shape: polygon, corners: {mid}}}}}
layers:
  - {{name: a, of: wool, amount: 300 g/m², direction: bearing {along}°}}
  - {{name: b, of: wool, amount: 300 g/m², direction: bearing {across}°}}
  - {{name: s, of: wool, amount: 700 g/m², direction: random, zone: mid}}
"""
TURNED_IN = """\
piece: {{title: T, use: bag, shape: polygon, corners: {edge}, stage: firm}}
lots: {{wool: {{fibre: merino, preparation: combed top, fineness: 21 um}}}}
layers:
  - {{name: a, of: wool, amount: 300 g/m², direction: bearing {along}°, turned in: 8 cm}}
  - {{name: b, of: wool, amount: 100 g/m², direction: bearing {across}°}}
"""
ON_A_MAT = """\
piece: {{title: T, use: scarf, shape: polygon, corners: {edge}, stage: light}}
lots: {{wool: {{fibre: merino, preparation: combed top, fineness: 19 um}}}}
layers:
  - {{name: a, of: wool, amount: 40 g/m², direction: bearing {along}°}}
  - {{name: b, of: wool, amount: 40 g/m², direction: bearing {across}°}}
tools: {{mat: {mat}}}
"""


def box(wide: float, deep: float, west: float = 0.0) -> Points:
    return [(west, 0), (west + wide, 0), (west + wide, deep), (west, deep)]


def written(text: str, degrees: float, edge: Points, mid: Points = (), **more: str) -> str:  # type: ignore[assignment]
    """The recipe with all of its corners and directions turned, anticlockwise."""
    turn = math.radians(degrees)

    def turned(points: Points) -> Points:
        return [
            (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
            for x, y in points
        ]

    west, south = min(x for x, _ in turned(edge)), min(y for _, y in turned(edge))

    def places(points: Points) -> str:
        texts = [f'"{x - west:.5f} cm east, {y - south:.5f} cm north"' for x, y in turned(points)]
        return f"[{', '.join(texts)}]"

    along, across = -degrees % 180, (90 - degrees) % 180
    return text.format(edge=places(edge), mid=places(mid), along=along, across=across, **more)


def told(text: str) -> list[tuple[str, str, str]]:
    return [(one.rule, one.level, one.spot.pointer) for one in felt_engine.check(text).findings]


ANGLES = [0, 10, 30, 45, 60, 90, 120, 171]


@pytest.mark.parametrize("degrees", ANGLES)
def test_a_heavy_strip_in_the_middle(degrees: int) -> None:
    found = told(written(STRIP, degrees, box(20, 40), box(3, 40, 8.5)))
    assert found == [("uneven-shrinking", "caution", "/layers/2")]


@pytest.mark.parametrize("degrees", ANGLES)
def test_a_layer_that_is_turned_in(degrees: int) -> None:
    found = told(written(TURNED_IN, degrees, box(40, 40)))
    assert found == [("direction-balance", "fault", "/layers/0")]


@pytest.mark.parametrize(("mat", "wanted"), [("40 x 100 cm", []), ("15 x 100 cm", ["tools-fit"])])
@pytest.mark.parametrize("degrees", ANGLES)
def test_a_strip_on_a_mat(degrees: int, mat: str, wanted: list[str]) -> None:
    found = told(written(ON_A_MAT, degrees, box(20, 81), mat=mat))
    assert [rule for rule, _, _ in found] == wanted


CROSSED = """
piece: {{title: T, use: wall panel, shape: round, laid out: 40 cm, stage: firm, outline: round}}
lots:
  w: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  s: {{fibre: tussah silk, preparation: combed top}}
layers:
{layers}{purposes}"""
"""A round, whose layers lie along any bearings."""


def test_layers_at_just_30_or_45_or_60_degrees_are_judged_alike_wherever_north_is() -> None:
    draw = random.Random(4)
    for _ in range(120):
        layers = [
            (draw.choice("wwws"), draw.choice([10, 15, 20, 30, 45, 60]), draw.choice(range(0, 180, 15)),
             draw.choice([""] * 5 + [", role: veil", ", role: structure", ", role: accent"]))
            for _ in range(draw.randint(2, 4))
        ]  # fmt: skip
        one = draw.randrange(len(layers))
        meant = f"on purpose: [{{what: laid one way, where: l{one}, why: to draw in}}]\n"
        purposes = meant if draw.random() < 0.4 else ""
        answers = set()
        for turn, way in [(0, 1), (15, 1), (37, 1), (90, 1), (0, -1), (45, -1), (60, -1)]:
            laid = "".join(
                f"  - {{name: l{n}, of: {of}, amount: {g} g, direction: bearing {b}°{r}}}\n"
                for n, (of, g, b, r) in enumerate(
                    (of, g, (way * b + turn) % 180, r) for of, g, b, r in layers
                )
            )
            report = felt_engine.check(CROSSED.format(layers=laid, purposes=purposes))
            found = tuple((one.rule, one.level, one.spot.pointer) for one in report.findings)
            answers.add((found, tuple(one.rule for one in report.unsaid)))
        assert len(answers) == 1, (layers, answers)
