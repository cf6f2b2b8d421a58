"""What the work asks for: how large the wetted piece lies, what a roller takes up, how it is rolled."""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from felt_engine.analysis import geometry as geo
from felt_engine.analysis.build import Build
from felt_engine.analysis.layout import cuts_of, outline, wanted
from felt_engine.analysis.shrinkage import DIRECTION, ROLLING
from felt_engine.model.recipe import Recipe
from felt_engine.model.work import Step
from felt_engine.value import Value

Box = tuple[float, float, float, float]
EDGES = ("north", "south", "east", "west")


@attrs.frozen(eq=False, repr=False)
class Extent(Value):
    """A size on the table, metres: west to east, and near to far edge.

    ``aslant`` is the shorter and longer side of a polygon, of which neither need lie straight.
    """

    width: float
    depth: float
    aslant: tuple[float, float] | None = None

    @property
    def longer(self) -> float:
        """The longer side, m."""
        return self.aslant[1] if self.aslant else max(self.width, self.depth)

    @property
    def shorter(self) -> float:
        """The shorter side, m."""
        return self.aslant[0] if self.aslant else min(self.width, self.depth)

    def part_in(self, width: float, depth: float) -> float:
        """How much of its tighter side a sheet of this size takes, turned the better way round."""
        ways = [(self.width, self.depth), (self.shorter, self.longer)]
        return max(
            min(one / wide, two / deep)
            for wide, deep in ways for one, two in ((width, depth), (depth, width))
        )  # fmt: skip

    def grown(self, by: float) -> Extent:
        """The same with so much more in all, each way."""
        aslant = (self.aslant[0] + by, self.aslant[1] + by) if self.aslant else None
        return Extent(self.width + by, self.depth + by, aslant)


def laid_extent(recipe: Recipe) -> Extent:
    """The laid-out size (on a resist: of the resist)."""
    return Extent(*recipe.piece.sides, _aslant(recipe))


def _aslant(recipe: Recipe) -> tuple[float, float] | None:
    return geo.sides(outline(recipe.piece))[:2] if recipe.piece.shape == "polygon" else None


def wetted_extent(recipe: Recipe) -> Extent:
    """The laid-out size with all that lies past its edge: what is laid past it, and wraps.

    Locks and other accents that hang over aren't counted, nor what is folded back in.
    """
    own = recipe.piece.box
    reach, corners = own, list(outline(recipe.piece))
    for layer in recipe.layers:
        if layer.role == "accent":
            continue
        if layer.wraps is not None:
            reach = _joined(reach, _grown(own, layer.wraps.si))
            corners += _lying(recipe, "whole", layer.wraps.si)
        for placement in layer.placements:
            if placement.past is not None:
                reach = _joined(reach, _past(recipe, placement.zone, placement.past.si, own))
                corners += _lying(recipe, placement.zone, placement.past.si)
    west, south, east, north = reach
    aslant = geo.sides(tuple(corners))[:2] if recipe.piece.shape == "polygon" else None
    return Extent(east - west, north - south, aslant)


def _lying(recipe: Recipe, zone: str, by: float) -> Iterator[tuple[float, float]]:
    """Corners of what is laid past the edge of a zone, at most so far past a polygon's outline."""
    if recipe.piece.shape != "polygon":
        return
    for patch in wanted(cuts_of(recipe.zone(zone), outline(recipe.piece), recipe.piece.box, by)):
        yield from patch.corners


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _joined(one: Box, two: Box) -> Box:
    return min(one[0], two[0]), min(one[1], two[1]), max(one[2], two[2]), max(one[3], two[3])


def _past(recipe: Recipe, zone: str, by: float, own: Box) -> Box:
    """The box of a zone that is laid past its edge; at most so far past the outline."""
    found = _grown(own, by)
    for polygon, want in cuts_of(recipe.zone(zone), outline(recipe.piece), own, by):
        if want:
            box = geo.bounds(polygon)
            found = (max(found[0], box[0]), max(found[1], box[1]),
                     min(found[2], box[2]), min(found[3], box[3]))  # fmt: skip
    return found if found[0] < found[2] and found[1] < found[3] else own


def rolled_areal(build: Build) -> float:
    """Fibre that a roller takes up, kg/m²: on a resist the two faces lie one on the other."""
    area = sum(face.area for face in build.faces) / len(build.faces)
    return build.weights.piece.kg / area


@attrs.frozen(eq=False, repr=False)
class Rolling(Value):
    """How the piece is rolled: by edge how often (or, where only times are said, how many seconds).

    ``loose`` is rolling from no edge that is said. ``counted`` is false where some step doesn't say
    how often, or where turns and times are mixed; figures are 0 there.
    """

    north: float
    south: float
    east: float
    west: float
    loose: float
    edges: tuple[str, ...]
    counted: bool
    by_time: bool = False

    @property
    def across(self) -> float:
        """Rolled from the near or far edge, which shrinks it north-south."""
        return self.north + self.south

    @property
    def along(self) -> float:
        """Rolled from the right or left edge, which shrinks it east-west."""
        return self.east + self.west

    @property
    def total(self) -> float:
        """All rolling together."""
        return self.across + self.along + self.loose

    @property
    def said(self) -> bool:
        """Whether it says from which edge it is rolled each time, and how often."""
        return self.counted and self.total > 0 and not self.loose

    @property
    def imbalance(self) -> float:
        """q = (n_along - n_across) / n; rolling from no said edge is taken to make it even."""
        if not self.total:
            return 0.0
        apart = self.along - self.across
        return math.copysign(max(0.0, abs(apart) - self.loose), apart) / self.total


def rolling(steps: tuple[Step, ...]) -> Rolling:
    """How often the work says that the piece is rolled, edge by edge."""
    rolls = [step for step in steps if step.do == "roll"]
    by_time = bool(rolls) and all(step.times is None for step in rolls)
    found = dict.fromkeys((*EDGES, "loose"), 0.0)
    counted = True
    for step in rolls:
        much = (step.lasts.si if step.lasts else None) if by_time else step.times
        counted = counted and much is not None
        found[step.edge or "loose"] += much or 0.0
    edges = tuple(edge for edge in EDGES if any(step.edge == edge for step in rolls))
    if not counted:
        found = dict.fromkeys(found, 0.0)
    return Rolling(**found, edges=edges, counted=counted, by_time=by_time)


def uneven_shrinkage(pull: float, imbalance: float) -> float:
    """g = (ε_x - ε_y) / (ε_x + ε_y) that fibre and rolling lead to, x being east-west."""
    return DIRECTION[0] * pull + ROLLING[0] * imbalance
