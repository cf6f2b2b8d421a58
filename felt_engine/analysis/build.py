"""Recipe to Build: what lies where, as numbers. The one function of this room is :func:`measure`.

All figures are SI: metres, kg, kg/m². Amounts are for one piece.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain

import attrs

from felt_engine.analysis import stack
from felt_engine.analysis.borders import (
    Blobs,
    Cell,
    Joined,
    Touch,
    blobs_of,
    borders_of,
    cells_of,
    touches_of,
)
from felt_engine.analysis.geometry import Box, Polygon, fold
from felt_engine.analysis.layout import Face, Layout, Region, Spread, lay_out
from felt_engine.analysis.stack import Laid, Part
from felt_engine.analysis.steady import part_of, steady, width_of
from felt_engine.analysis.strain import counts_of, strain_at, weight_and_felts
from felt_engine.analysis.stuff import Stuff, alignment, laying_cv, laying_group, stuff_of
from felt_engine.analysis.weights import Weights, placed_mass, weigh
from felt_engine.analysis.whereabouts import Whereabouts, box_of, locate, narrowest
from felt_engine.model.catalogue import Catalogue, Caution, UseEntry
from felt_engine.model.piece import Zone
from felt_engine.model.recipe import Recipe
from felt_engine.value import Fixed, Forgetful, fenced, kept, kept_by_one, lazy

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.analysis.patches import Patch
    from felt_engine.analysis.shrinkage import Hand
    from felt_engine.analysis.within import Within


@attrs.frozen(eq=False, repr=False, slots=False)
class Place(Forgetful):
    """A part of a face with one stack, from bottom to top.

    ``joined`` are the places that it was put together from, where there are any
    (:attr:`FaceBuild.alike`).
    """

    face: FaceBuild = attrs.field(repr=False)
    area: float
    stack: tuple[Laid, ...]
    region: Region = attrs.field(repr=False)
    joined: tuple[Place, ...] = attrs.field(default=(), repr=False)

    @property
    def as_written(self) -> tuple[Place, ...]:
        """The places that it was put together from, or itself."""
        return self.joined or (self,)

    @property
    def share(self) -> float:
        """Its part of the face, 0 to 1."""
        return part_of(self.area, self.face.area)

    @lazy
    def areal(self) -> float:
        """All fibre here, kg/m²."""
        return steady(stack.areal(self.stack))

    @lazy
    def carried(self) -> float:
        """What holds together here, kg/m²: fibre that felts, and cloth."""
        return sum(areal for laid in self.stack for areal in laid.bonded)

    @lazy
    def felting_areal(self) -> float:
        """Fibre that felts well enough to hold, kg/m²."""
        return stack.areal(self.stack, holding=True)

    @lazy
    def pull(self) -> complex:
        """Doubled-angle resultant of what felts here; 0 where nothing does."""
        return stack.resultant([(laid, 1.0) for laid in self.stack])

    @fenced
    def bare(self, end: str = "usual") -> float:
        """Bare index of the felting fibre here, for fibre as fine or coarse as it may be."""
        return self._bare(end)

    @kept
    def _bare(self, end: str) -> float:
        return stack.bare(self.stack, end)

    @lazy
    def open_cloth(self) -> bool:
        """Whether open cloth carries the piece here."""
        return any(part.stuff.is_open_cloth for laid in self.stack for part in laid.parts)

    @lazy
    def width(self) -> float:
        """How wide it is across its narrow direction, m (twice its area over its perimeter)."""
        around = self.face.around(self)
        return width_of(self.area, around) if around else narrowest([self.region], self.face.face)

    @lazy
    def shapes(self) -> tuple[tuple[Polygon, Box], ...]:
        """The trapezoids that it consists of, each with its box: west, south, east, north."""
        return tuple((patch.corners, patch.box) for patch in self.region.patches)

    @lazy
    def felts(self) -> float:
        """Feltability of all fibre here by weight, open cloth left out, 0 to 1 (merino)."""
        return self._fibre[1]

    @fenced
    def strain(self, stage: str) -> float:
        """How far it draws in by itself at a stage, as a log strain (see :mod:`shrinkage`)."""
        areal, felts = self._fibre
        return strain_at(areal, felts, stage, counts_of(self.face.hand)) if areal else 0.0

    @lazy
    def _fibre(self) -> tuple[float, float]:
        return weight_and_felts(self.stack)

    @fenced
    def lies_in(self, zone: Zone) -> bool:
        """Whether nearly all of it lies in a zone, even if nothing there was placed by that zone."""
        return self.face.number_of(self) in self.face.lying_in(zone)

    @fenced
    def area_in(self, zone: Zone) -> float:
        """How much of it lies in a zone, m²."""
        return self.face.areas_in(zone)[self.face.number_of(self)]

    @fenced
    def beyond(self, reach: float, outside: Sequence[Zone] = ()) -> float:
        """How much of it (m²) lies further than ``reach`` (m) from the outline, in none of the zones."""
        here = [zone for zone in outside if self.area_in(zone) > 0]
        if not here and not reach:
            return self.area
        from felt_engine.analysis.within import area_beyond

        zones = [self.face.within(zone) for zone in here]
        return area_beyond(self.region, self.face.face, reach, zones)

    @lazy
    def box(self) -> Box:
        """West, south, east and north end, m."""
        return box_of([self.region], self.face.face)

    @lazy
    def whereabouts(self) -> Whereabouts:
        """Where on the face it lies, in words and as a box."""
        return locate([self.region], self.face.face)


@attrs.frozen(eq=False, repr=False)
class Border:
    """Two places of one face that touch, and the length of the border between them, m."""

    one: Place
    two: Place
    length: float


@attrs.frozen(eq=False, repr=False, slots=False)
class FaceBuild(Forgetful):
    """One face: ``whole`` of a flat piece or a ball, ``front`` or ``back`` of a flat resist."""

    face: Face = attrs.field(repr=False)
    hand: Hand | None = attrs.field(default=None, repr=False)
    keeps_zones: bool = attrs.field(default=False, repr=False)
    places: tuple[Place, ...] = attrs.field(init=False, default=())

    @property
    def name(self) -> str:
        """whole, front or back."""
        return self.face.name

    @property
    def area(self) -> float:
        """Area, m²."""
        return self.face.area

    @property
    def shorter_side(self) -> float:
        """The shorter side of the narrowest box round it, m."""
        return self.face.sides[0]

    @property
    def longer_side(self) -> float:
        """The longer side of that box, m."""
        return self.face.sides[1]

    @property
    def long_axis(self) -> float:
        """The axis of its longer side: radians anticlockwise from east."""
        return self.face.sides[2]

    @fenced
    @kept_by_one
    def within(self, zone: Zone) -> Within:
        """A zone as it lies on this face."""
        from felt_engine.analysis.within import within

        return within(self.face, zone)

    @fenced
    @kept_by_one
    def areas_in(self, zone: Zone) -> tuple[float, ...]:
        """How much of each of its places lies in a zone, m²."""
        lying, shared = self.within(zone), [0.0] * len(self.places)
        for patch, size in lying.shares.items():
            number = self._owners.get(patch)
            if number is not None:
                shared[number] += size
        if lying.inside:
            return tuple(shared)
        return tuple(place.area - left for place, left in zip(self.places, shared, strict=True))

    @fenced
    @kept_by_one
    def lying_in(self, zone: Zone) -> frozenset[int]:
        """The numbers of its places of which nearly all lies in a zone."""
        areas = zip(self.places, self.areas_in(zone), strict=True)
        return frozenset(n for n, (p, area) in enumerate(areas) if part_of(area, p.area) >= 0.8)

    @lazy
    def _owners(self) -> dict[Patch, int]:
        """The number of the place that each patch belongs to."""
        return {p: number for number, place in enumerate(self.places) for p in place.region.patches}

    @lazy
    def alike(self) -> FaceBuild:
        """This face with the places put together that differ only in how a layer was written.

        A layer that is laid in two halves is judged as one: as much of one thing on zones that touch.
        How they join is told by the face itself; so is all where the recipe says something of a zone.
        """
        if self.keeps_zones:
            return self
        amounts = self._amounts()
        if amounts is None:
            return self
        groups: dict[tuple[Laid, ...], list[Place]] = {}
        for place in self.places:
            groups.setdefault(tuple(amounts[id(laid)] for laid in place.stack), []).append(place)
        if len(groups) == len(self.places):
            return self
        regions = [_joined([place.region for place in group]) for group in groups.values()]
        found = FaceBuild(attrs.evolve(self.face, regions=tuple(regions)), self.hand)
        places = tuple(
            Place(found, region.area, one, region, tuple(group))
            for region, (one, group) in zip(regions, groups.items(), strict=True)
        )
        object.__setattr__(found, "places", places)
        return found

    def _amounts(self) -> dict[int, Laid] | None:
        """By what is laid the first that is the same amount: as much of it, on zones that touch.

        ``None`` where each is one by itself.
        """
        every = [laid for laid, _ in self.laid]
        kinds = {id(laid): stack.kind(laid) for laid in every}
        if len(set(kinds.values())) == len(every):
            return None
        numbers = {id(laid): number for number, laid in enumerate(every)}
        joined = Joined(len(every))
        for border in self.borders:
            there: dict[tuple[object, ...], list[Laid]] = {}
            for laid in border.two.stack:
                there.setdefault(kinds[id(laid)], []).append(laid)
            for laid in border.one.stack:
                for other in there.get(kinds[id(laid)], ()):
                    if other is not laid and stack.as_much(laid, other):
                        joined.join(numbers[id(laid)], numbers[id(other)])
        first: dict[int, Laid] = {}
        return {id(one): first.setdefault(joined.root(n), one) for n, one in enumerate(every)}

    @lazy
    def borders(self) -> tuple[Border, ...]:
        """All pairs of places that touch along a border. A ball has one place and none."""
        return self._borders[0]

    @fenced
    def number_of(self, place: Place) -> int:
        """A place's number among the places of this face, from 0. ValueError for any other place."""
        return self._numbers[id(place)]

    @lazy
    def _numbers(self) -> dict[int, int]:
        return {id(place): number for number, place in enumerate(self.places)}

    @fenced
    def rim(self, place: Place) -> float:
        """How much of the face's outline a place of it has, m."""
        return self._borders[1].get(id(place), 0.0)

    @fenced
    def around(self, place: Place) -> float:
        """How long the edge of a place of it is, m: its part of the outline, and its borders."""
        return self._borders[2].get(id(place), 0.0)

    @lazy
    def cells(self) -> tuple[Cell, ...]:
        """The patches that its places were cut into, each with its place's number."""
        return cells_of([place.region for place in self.places])

    @lazy
    def touches(self) -> tuple[Touch, ...]:
        """Which of these patches touch, and along how much, m."""
        return touches_of(self.cells, self.face.cut)

    @lazy
    def zones_by_layer(self) -> dict[int, dict[int, set[str]]]:
        """By the numbers of a layer and of a place: the zones that the layer has there."""
        found: dict[int, dict[int, set[str]]] = {}
        for number, place in enumerate(self.places):
            for laid in place.stack:
                here = found.setdefault(laid.key[0], {})
                here.setdefault(number, set()).add(laid.placement.zone)
        return found

    @lazy
    def blobs(self) -> Blobs:
        """The parts of its places that hang together, and along how much they touch."""
        return blobs_of(self.cells, self.touches)

    @lazy
    def _borders(self) -> tuple[tuple[Border, ...], dict[int, float], dict[int, float]]:
        places = self.places
        found = borders_of(len(places), self.cells, self.touches)
        shared = tuple(
            Border(places[one], places[two], length) for (one, two), length in found.shared.items()
        )
        outer = {id(p): length for p, length in zip(places, found.outer, strict=True)}
        around = dict(outer)
        for border in shared:
            for place in (border.one, border.two):
                around[id(place)] += border.length
        return shared, outer, around

    @lazy
    def laid(self) -> tuple[tuple[Laid, float], ...]:
        """Everything laid on this face, with the area (m²) of the places that have it."""
        areas: dict[int, float] = {}
        found: dict[int, Laid] = {}
        for place in self.places:
            for laid in place.stack:
                found[id(laid)] = laid
                areas[id(laid)] = areas.get(id(laid), 0.0) + place.area
        order = sorted(found.values(), key=lambda laid: (laid.key, laid.turned))
        return tuple((laid, areas[id(laid)]) for laid in order)

    @lazy
    def pull(self) -> complex:
        """Doubled-angle resultant of what felts on the whole face."""
        return stack.resultant(list(self.laid))


@attrs.frozen(eq=False, repr=False)
class Build:
    """A measured recipe. ``stuffs`` holds each lot's figures by name, ``use`` the use's entry.

    ``masses`` are kg on one piece by the numbers of layer and placement, from 0; ``areas`` are m²
    that each is laid on, over all faces, with what is past the outline. ``hand`` is what the
    studio's swatches taught, if it has any. ``cautions`` are lines of caution that plugins add or
    correct, by hazard.
    """

    recipe: Recipe
    faces: tuple[FaceBuild, ...]
    stuffs: dict[str, Stuff] = attrs.field(converter=Fixed)
    use: UseEntry | None
    weights: Weights
    masses: dict[tuple[int, int], float] = attrs.field(converter=Fixed)
    areas: dict[tuple[int, int], float] = attrs.field(converter=Fixed)
    hand: Hand | None = None
    cautions: Mapping[str, Caution] = attrs.field(factory=Fixed, converter=Fixed)

    @property
    def places(self) -> tuple[Place, ...]:
        """All places on all faces."""
        return tuple(chain.from_iterable(face.places for face in self.faces))

    @property
    def alike(self) -> tuple[FaceBuild, ...]:
        """The faces, each with its places put together that are alike."""
        return tuple(face.alike for face in self.faces)


def _joined(regions: Sequence[Region]) -> Region:
    """Regions of one face as one."""
    if len(regions) == 1:
        return regions[0]
    patches = tuple(patch for region in regions for patch in region.patches)
    size = steady(sum(region.area for region in regions))
    return attrs.evolve(regions[0], area=size, patches=patches)


def measure(recipe: Recipe, catalogue: Catalogue, hand: Hand | None = None) -> Build:
    """The Build of a recipe. Raises RecipeError for a placement that lies nowhere on the piece."""
    stuffs = {lot.name: stuff_of(lot, catalogue) for lot in recipe.lots}
    layout = lay_out(recipe)
    made = _Measuring(recipe, layout, stuffs, hand)
    faces = tuple(made.face(face) for face in layout.faces)
    use = catalogue.uses[recipe.piece.use] if recipe.piece.use else None
    weights = weigh(recipe, layout)
    masses = {
        (number, index): placed_mass(recipe, placement, layout.spread_area[number, index])
        for number, layer in enumerate(recipe.layers)
        for index, placement in enumerate(layer.placements)
    }
    areas = dict(layout.spread_area)
    return Build(recipe, faces, stuffs, use, weights, masses, areas, hand, catalogue.cautions)


def _speaks_of_zones(recipe: Recipe) -> bool:
    """Whether a purpose, a waiver or a resist is for a zone, so that it matters what lies in it."""
    zones = {zone.name for zone in recipe.zones}
    named = {one.where for one in recipe.purposes} | {one.where for one in recipe.waivers}
    return not zones.isdisjoint({*named, *(resist.zone for resist in recipe.resists)})


class _Measuring:
    def __init__(
        self, recipe: Recipe, layout: Layout, stuffs: dict[str, Stuff], hand: Hand | None
    ) -> None:
        self.hand = hand
        self.keeps_zones = _speaks_of_zones(recipe)
        self.recipe, self.layout, self.stuffs = recipe, layout, stuffs
        self.made: dict[tuple[tuple[int, int], str, bool, complex], Laid] = {}

    def face(self, face: Face) -> FaceBuild:
        build = FaceBuild(face, self.hand, self.keeps_zones)
        places = tuple(
            Place(build, region.area, tuple(self.laid(s, face) for s in region.spreads), region)
            for region in face.regions
        )
        object.__setattr__(build, "places", places)
        return build

    def laid(self, spread: Spread, face: Face) -> Laid:
        folded = fold(face.edge) if spread.turned else 1 + 0j
        key = (spread.key, spread.laid_on, spread.turned, folded)
        found = self.made.get(key)
        if found is None:
            found = self.made[key] = self._laid(spread, folded)
        return found

    def _laid(self, spread: Spread, folded: complex) -> Laid:
        layer, placement = spread.layer, spread.placement
        area = self.layout.face_area[spread.key, spread.laid_on]
        areal = steady(self.mass(spread) / self.layout.spread_area[spread.key])
        if placement.face == "each" and placement.amount.kind == "weight":
            areal = steady(self.mass(spread) / 2 / area)
        parts = []
        for lot, share in self.recipe.fractions(placement.of):
            stuff = self.stuffs[lot.name]
            group = laying_group(stuff, layer)
            lies = alignment(group, stuff.lot.preparation is not None or layer.lay is not None)
            parts.append(Part(stuff, areal * share, share, group, laying_cv(group), lies))
        return Laid(
            layer, placement, spread.key, areal, tuple(parts), spread.turned, self.doubt(spread),
            folded, area,
        )  # fmt: skip

    def mass(self, spread: Spread) -> float:
        """Weight on one piece, kg."""
        return placed_mass(self.recipe, spread.placement, self.layout.spread_area[spread.key])

    def doubt(self, spread: Spread) -> float:
        """Half a scale step over what was weighed, as a part of it (0 where no step is stated).

        Portions of one thing in a layer count as weighed together, and so do those for each face.
        """
        step, own = self.recipe.scale_step, spread.placement
        if step is None:
            return 0.0
        if own.divided_from is not None:
            weighed = own.divided_from.si
        else:
            number, masses = spread.key[0], self.layout.spread_area
            weighed = sum(
                one.amount.si * (2 if one.face == "each" else 1) if one.amount.kind == "weight"
                else placed_mass(self.recipe, one, masses.get((number, index), 0.0))
                for index, one in enumerate(spread.layer.placements)
                if one.divided_from is None and (one.of, one.zone) == (own.of, own.zone)
            )  # fmt: skip
        return min(0.5, step.si / 2 / weighed) if weighed else 0.0
