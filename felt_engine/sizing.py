"""The same design at another size, count or weight of wool: a new recipe in the old one's words.

What is kept is the weight per area of every layer, and how it is laid: tufts, overlaps, and how far
past an edge. What changes is the layout, zones and corners, the wanted size, weights, batches,
totals and how many rows there are. Tools, steps and notes stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence

import attrs

from felt_engine.analysis.build import Build
from felt_engine.analysis.portions import ROUNDED, Portion, portions
from felt_engine.analysis.rowplan import rows_at
from felt_engine.analysis.totals import reckoned
from felt_engine.errors import CallError, RecipeError
from felt_engine.model.amount import Amount, Point, Size
from felt_engine.model.layup import Placement
from felt_engine.model.piece import Piece, Zone
from felt_engine.model.place import join
from felt_engine.model.recipe import Recipe, pointer_of
from felt_engine.model.work import Total
from felt_engine.reading.decimals import in_commas, with_commas, with_points
from felt_engine.reading.read import find, tree_of
from felt_engine.reading.rewrite import Added, astray, rewrite
from felt_engine.reading.spell import amount_text, point_text, size_text
from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.forecasting import SizeForecast

LEAST, MOST = 0.02, 50.0
"""Smallest and largest factor for a side."""

MOSTLY = 0.9
"""Part of a batch from which all portions together are taken to use it up (the rest was rounding)."""

COARSE = 5.0
"""Scale steps below which a portion is to be divided from a batch: half a step is then a tenth."""

BATCH = 20.0
"""Scale steps that such a batch has at least: half a step is then a fortieth of it."""

ROUNDING = (0.10, 0.05)
"""Parts of a sum up to which the last digits of a total, and of its parts, are let off: as
stated-totals comes."""

Read = Callable[[str], Recipe]
Measure = Callable[[Recipe], Build]


@attrs.frozen(eq=False, repr=False)
class Change(Value):
    """One value that was changed: its JSON Pointer, old and new text."""

    pointer: str
    old: str
    new: str


@attrs.frozen(eq=False, repr=False)
class Resized(Value):
    """A recipe at another size: its ``text``, the recipe read from it, and what was changed.

    ``across`` and ``deep`` are the factors of the layout's sides; ``notes`` say what was left as it
    was and wants a look.
    """

    text: str
    recipe: Recipe
    across: float
    deep: float
    changes: tuple[Change, ...]
    notes: tuple[str, ...]


@attrs.frozen(eq=False, repr=False)
class Wanted(Value):
    """What is asked for: exactly one of a factor, a layout, a finished size or the wool there is.

    ``have`` pairs a lot's name with its weight in kg. ``pieces`` may come with any, or alone.
    ``forecast`` is a layout (m, m) that swatches give for ``finished``.
    """

    times: float | None = None
    laid_out: Size | None = None
    finished: Size | None = None
    have: tuple[str, float] | None = None
    pieces: int | None = None
    forecast: tuple[float, float] | None = None


def from_forecast(wanted: Wanted, piece: Piece, said: SizeForecast) -> Wanted:
    """The same wish with the layout that swatches give. CallError where there is no swatch."""
    lay = [side.lay for side in said.sides if side.lay is not None]
    if not said.swatches or len(lay) < 2:
        spans = " x ".join(_span(one.low, one.high) for one in lay)
        raise CallError(
            "the recipe doesn’t say what it comes out at (piece: finished), and there is no swatch "
            f"to tell: laid out it could be {spans}. Make a swatch and name the notebook, or ask for "
            "a laid-out size"
        )
    across, deep = lay[0].likely, lay[1].likely
    if piece.shape == "round":
        across = deep = (across * deep) ** 0.5
    return attrs.evolve(wanted, forecast=(across, deep))


def _span(low: float, high: float) -> str:
    """A range of lengths (m), in the unit in which both ends show."""
    if low < 0.05:
        return f"{1000 * low:.3g} to {1000 * high:.3g} mm"
    return f"{100 * low:.0f} to {100 * high:.0f} cm"


def resize(recipe: Recipe, wanted: Wanted, read: Read, measure: Measure) -> Resized:
    """The recipe at the wanted size. CallError if that can't be said or done.

    ``read`` turns a text into a recipe as this one was read, ``measure`` a recipe into a build.
    """
    if recipe.source is None:
        raise CallError("only a recipe that was read from a file or a text can be resized")
    given = [wanted.times, wanted.laid_out, wanted.finished, wanted.have]
    if sum(one is not None for one in given) > 1 or (wanted == Wanted()):
        raise CallError("say one thing: a factor, a size, the wool that is there, or how many")
    maker = _Maker(recipe, wanted.pieces or recipe.piece.count, read, measure)
    if wanted.have is not None:
        return maker.within(*wanted.have, wanted)
    across, deep = _factors(recipe.piece, wanted)
    return maker.at(across, deep, wanted)


def _factors(piece: Piece, wanted: Wanted) -> tuple[float, float]:
    if wanted.times is not None:
        return _bounded(wanted.times, wanted.times)
    if wanted.laid_out is not None:
        return _sides(piece, wanted.laid_out, piece.sides, "laid-out")
    if wanted.forecast is not None:
        own = piece.sides
        return _bounded(wanted.forecast[0] / own[0], wanted.forecast[1] / own[1])
    if wanted.finished is not None:
        if piece.finished is None:
            raise CallError(
                "the recipe doesn't say what it comes out at (piece: finished), so a new finished "
                "size says nothing about the layout: ask for a laid-out size, or add it"
            )
        return _sides(piece, wanted.finished, piece.finished.sides, "finished")
    return 1.0, 1.0


def _sides(piece: Piece, size: Size, own: tuple[float, float], word: str) -> tuple[float, float]:
    across = size.width.si / own[0]
    if size.depth is None:
        if piece.shape != "round" and abs(own[0] - own[1]) > 1e-9:
            raise CallError(
                f"the {word} size of this piece has two sides: give both, as 60 x 40 cm"
            )
        return _bounded(across, across)
    return _bounded(across, size.depth.si / own[1])


def _bounded(across: float, deep: float) -> tuple[float, float]:
    for factor in (across, deep):
        if not LEAST <= factor <= MOST:
            much = f"{factor:.0f}" if factor >= 100 else f"{factor:.3g}"
            limits = f"from {LEAST:g} to {MOST:g} times is possible"
            raise CallError(f"that is {much} times the size; {limits}")
    return across, deep


class _Maker:
    """Makes the new text in two steps: sizes first, then weights from the new areas."""

    def __init__(self, recipe: Recipe, pieces: int, read: Read, measure: Measure) -> None:
        assert recipe.source is not None
        self.recipe, self.source, self.pieces = recipe, recipe.source, pieces
        self.read, self.measure = read, measure
        self.commas = in_commas(tree_of(self.source))
        self.old = measure(recipe)
        self.step = self.old.recipe.scale_step  # the studio's, where the recipe says none
        self.portions = portions(self.old)

    def factor_for(self, lot: str, kg: float) -> float:
        """The factor at which all pieces together take this weight of a lot, by bisection."""
        if self.recipe.lot(lot) is None:
            from felt_engine.suggest import did_you_mean

            names = [one.name for one in self.recipe.lots]
            hint = did_you_mean(lot, names, "the lots are: " + ", ".join(names))
            raise CallError(f"no lot is called “{lot}”: {hint}")
        low, high = LEAST, MOST
        if not self.takes(lot, self.old) > 0:
            raise CallError(f"nothing of “{lot}” is laid, so its weight says nothing of the size")
        for _ in range(60):
            middle = (low * high) ** 0.5
            try:
                over = self.takes(lot, self.built(middle, middle)) > kg
            except RecipeError:
                over = False
            low, high = (low, middle) if over else (middle, high)
            if high / low < 1 + 1e-7:
                break
        if low <= LEAST * 1.001 or high >= MOST * 0.999:
            raise CallError(f"no size from {LEAST:g} to {MOST:g} times takes that weight")
        return low

    def within(self, lot: str, kg: float, wanted: Wanted) -> Resized:
        """The largest that takes no more of a lot than there is, as its amounts are written."""
        factor = self.factor_for(lot, kg)
        for step in range(10):
            made = self.at(factor, factor, wanted)
            laid = next(
                one.kg for one in self.measure(made.recipe).weights.by_lot if one.name == lot
            ) * self.pieces  # fmt: skip
            if laid <= kg * (1 + 1e-9):
                break
            factor *= (kg / laid) ** 0.5 * (1 - 1e-4 * 2**step)  # sizes are written rounded
        return made

    def takes(self, lot: str, build: Build) -> float:
        """Weight of a lot for all pieces at this build's size, at the old weights per area, kg."""
        areal = _areals(self.old)
        total = 0.0
        for key, area in _areas(build).items():
            of = self.recipe.layers[key[0]].placements[key[1]].of
            for one, share in self.recipe.fractions(of):
                if one.name == lot:
                    total += areal[key] * area * share
        return total * self.pieces

    def built(self, across: float, deep: float) -> Build:
        """The build at other sizes (its weights are still the old ones)."""
        values = dict(_sizes(self.recipe, across, deep, Wanted()))
        return self.measure(self.read(self._rewritten(values)))

    def at(self, across: float, deep: float, wanted: Wanted) -> Resized:
        recipe = self.recipe
        if recipe.piece.shape == "round" and abs(across / deep - 1) > 1e-9:
            raise CallError("a round piece stays round: give one size across")
        values = dict(_sizes(recipe, across, deep, wanted))
        try:
            build = self.measure(self.read(self._rewritten(values)))
        except RecipeError as error:
            raise CallError(
                f"at that size the recipe can't be laid out: {error.problems[0].found}"
            ) from None
        new, old = _areas(build), _areas(self.old)
        every = self.pieces / recipe.piece.count if recipe.piece.amounts_for == "all" else 1.0
        ratio = {key: every * area / old[key] for key, area in new.items()}
        for placement, key in _placements(recipe):
            self._weights(placement, key, ratio[key], values)
        self._totals(ratio, values)
        values |= rows_at(self.old, build)
        if self.pieces != recipe.piece.count:
            self._count(values)
        added = list(self._batches(ratio, wanted.have))
        if wanted.forecast is not None and wanted.finished is not None:
            added.append(Added("/piece/title", "finished", wanted.finished.text))
        if self.pieces != recipe.piece.count and recipe.piece.count == 1:
            added += self._new_count()
        text = self._rewritten(values, added)
        try:
            made = self.read(text)
            if recipe.totals:
                values |= self._summed(self.measure(made))
                text = self._rewritten(values, added)
                made = self.read(text)
        except RecipeError as error:
            one = error.problems[0]
            raise CallError(
                f"at that size the recipe can't be written: {one.path} would be {one.found}; "
                f"expected {one.expected}"
            ) from None
        assert made.source is not None
        lost = astray(
            made.source, {p: self._spelt(new) for p, new in values.items()},
            [attrs.evolve(one, text=self._spelt(one.text)) for one in added],
        )  # fmt: skip
        if lost:
            raise CallError(
                f"the recipe can't be written anew: {lost} would come to stand elsewhere"
            )
        changes = [Change(p, self._now(p), self._spelt(new)) for p, new in values.items()]
        changes += [
            Change(f"{a.after.rpartition('/')[0]}/{a.key}", "", self._spelt(a.text)) for a in added
        ]
        return Resized(
            text, made, across, deep,
            tuple(sorted((c for c in changes if c.old != c.new), key=lambda c: c.pointer)),
            tuple(_notes(recipe)),
        )  # fmt: skip

    def _rewritten(self, values: dict[str, str], added: Sequence[Added] = ()) -> str:
        """The text with these values, with decimal commas if it has any."""
        values = {pointer: self._spelt(value) for pointer, value in values.items()}
        added = [attrs.evolve(one, text=self._spelt(one.text)) for one in added]
        return rewrite(self.source, values, added)

    def _spelt(self, text: str) -> str:
        return with_commas(text) if self.commas else with_points(text)

    def _now(self, pointer: str) -> str:
        return find(tree_of(self.source), pointer).text

    def _weights(
        self, placement: Placement, key: tuple[int, int], ratio: float, values: dict[str, str]
    ) -> None:
        at = pointer_of(self.recipe, placement)
        amount = placement.amount
        if amount.kind == "weight":
            values[f"{at}/amount"] = amount_text(amount, amount.si * ratio)
        if placement.divided_from is not None:
            batch = placement.divided_from
            new = batch.si * ratio * self._more(placement)
            step = self.step
            if new >= batch.si or step is None or new >= COARSE * step.si:
                as_before = abs(new - batch.si) <= 1e-6 * batch.si
                new = new if as_before else self._weighable(new)
                values[f"{at}/divided from"] = amount_text(batch, new)

    def _totals(self, ratio: Mapping[tuple[int, int], float], values: dict[str, str]) -> None:
        every = self.pieces / self.recipe.piece.count
        if self.recipe.piece.amounts_for == "all":
            every = 1.0
        for number, total in enumerate(self.recipe.totals):
            old = new = 0.0
            for placement, key in _placements(self.recipe):
                part = _covered(self.recipe, total, placement, key) * self.old.masses[key]
                old += part
                new += part * ratio[key]
            if old > 0:
                times = every if total.per == "all" else 1.0
                if self.recipe.piece.amounts_for == "all" and total.per != "all":
                    times = self.recipe.piece.count / self.pieces
                scaled = total.amount.si * new / old * times
                values[join("totals", number, "amount")] = amount_text(total.amount, scaled)

    def _summed(self, new: Build) -> dict[str, str]:
        """Totals that were the sum of what they cover, as what that comes to now, as it is written."""
        found = {}
        pairs = zip(reckoned(self.old, *ROUNDING), reckoned(new, *ROUNDING), strict=True)
        for number, (was, now) in enumerate(pairs):
            if not was.agrees:
                continue
            nearest = next(n for n, one in enumerate(was.sums) if one is was.nearest)
            kg, old = now.sums[nearest].kg, was.total.amount
            alike = abs(kg - was.nearest.kg) <= 1e-6 * kg
            found[join("totals", number, "amount")] = old.text if alike else amount_text(old, kg)
        return found

    def _count(self, values: dict[str, str]) -> None:
        if "how many" in self._said_of_piece():
            values["/piece/how many"] = str(self.pieces)

    def _new_count(self) -> Iterator[Added]:
        said = self._said_of_piece()
        for key, value in (("how many", str(self.pieces)), ("amounts for", "one")):
            if key not in said:
                yield Added("/piece/title", key, value)

    def _more(self, placement: Placement) -> float:
        """How many times as large a batch has to be that serves all pieces, where their number changes."""
        if self.recipe.piece.amounts_for == "all":
            return 1.0
        alike = [one for one in self._alike(placement) if one.batch is not None]
        batch = placement.divided_from.si if placement.divided_from else 0.0
        total = sum(one.kg * one.times for one in alike if one.batch == batch)
        times, room = self.pieces / self.recipe.piece.count, (1 + ROUNDED) * batch
        serves_all = total <= room and (times * total > room or total > MOSTLY * batch)
        return times if serves_all else 1.0

    def _alike(self, placement: Placement) -> list[Portion]:
        """The portions of the old recipe that its layer takes of the same lot or blend."""
        layer = next((one.layer for one in self.portions if one.placement is placement), None)
        return [
            one for one in self.portions
            if one.layer is layer and one.placement.of == placement.of
        ]  # fmt: skip

    def _said_of_piece(self) -> set[str]:
        return {key.text for key, _ in find(tree_of(self.source), "/piece").pairs}

    def _batches(
        self, ratio: Mapping[tuple[int, int], float], have: tuple[str, float] | None
    ) -> Iterator[Added]:
        """Portions that have become too small for the scale are divided from a batch.

        Not from more of a lot than is there, nor into more heaps than anybody makes by eye.
        """
        step = self.step
        if step is None:
            return
        for placement, key in _placements(self.recipe):
            amount = placement.amount
            if placement.divided_from is not None or ratio[key] >= 1:
                continue
            portion = amount.si if amount.kind == "weight" else self.old.masses[key]
            portion *= ratio[key]
            if portion >= COARSE * step.si or portion <= 0:
                continue
            least = BATCH * step.si * (1 - 1e-6)
            parts = next((n for n in _PARTS if n * portion >= least), None)
            if parts is None:
                continue
            as_one = self.recipe.piece.amounts_for == "all" and amount.kind == "weight"
            times = sum(one.times for one in self._alike(placement))
            parts = max(parts, times if as_one else times * self.pieces // self.recipe.piece.count)
            like = amount if amount.kind == "weight" else step
            at = pointer_of(self.recipe, placement)
            batch = self._weighable(parts * portion)
            shares = {lot.name: share for lot, share in self.recipe.fractions(placement.of)}
            if have is not None and batch * shares.get(have[0], 0.0) > have[1] * (1 + 1e-9):
                continue
            yield Added(f"{at}/amount", "divided from", amount_text(like, batch))

    def _weighable(self, kg: float) -> float:
        """The nearest weight that the scale can show; as it is where no scale is stated."""
        step = self.step
        return kg if step is None else max(1, round(kg / step.si)) * step.si


_PARTS = (2, 4, 6, 8, 10, 12, 16, 20, 30, 40, 60, 100)
"""Into how many heaps a batch is divided by eye, at most (own choice)."""


def _placements(recipe: Recipe) -> Iterator[tuple[Placement, tuple[int, int]]]:
    for number, layer in enumerate(recipe.layers):
        for index, placement in enumerate(layer.placements):
            yield placement, (number, index)


def _areals(build: Build) -> dict[tuple[int, int], float]:
    areas = _areas(build)
    return {key: mass / areas[key] for key, mass in build.masses.items()}


def _areas(build: Build) -> dict[tuple[int, int], float]:
    return dict(build.areas)


def _covered(recipe: Recipe, total: Total, placement: Placement, key: tuple[int, int]) -> float:
    """The part of a placement's weight that a total covers."""
    layer = recipe.layers[key[0]].name
    parts = recipe.fractions(placement.of)
    found = 0.0
    for lot, share in parts:
        names = {layer, placement.of, lot.name}
        if (not total.covers or names & set(total.covers)) and not names & set(total.without):
            found += share
    return found


def _sizes(recipe: Recipe, across: float, deep: float, wanted: Wanted) -> Iterator[tuple[str, str]]:
    """New texts of all that scales with the layout, by JSON Pointer."""
    piece = recipe.piece
    if piece.laid_out is not None:
        asked = wanted.laid_out
        yield (
            "/piece/laid out",
            _size(piece.laid_out, across, deep) if asked is None else asked.text,
        )
    yield from _points("/piece/corners", piece.corners, across, deep)
    if piece.finished is not None:
        asked = wanted.finished
        yield (
            "/piece/finished",
            _size(piece.finished, across, deep) if asked is None else asked.text,
        )
    for zone in recipe.zones:
        yield from _zone(zone, across, deep)
    for placement, _ in _placements(recipe):
        if placement.short is not None:
            at = pointer_of(recipe, placement)
            factor = (across * deep) ** 0.5
            yield f"{at}/short", amount_text(placement.short, placement.short.si * factor)


def _size(size: Size, across: float, deep: float) -> str:
    if size.depth is None:
        return size_text(size, size.width.si * (across * deep) ** 0.5)
    return size_text(size, size.width.si * across, size.depth.si * deep)


def _points(
    at: str, points: tuple[Point, ...], across: float, deep: float
) -> Iterator[tuple[str, str]]:
    for number, point in enumerate(points):
        new = point_text(point, point.east.si * across, point.north.si * deep)
        yield f"{at}/{number}", new


def _zone(zone: Zone, across: float, deep: float) -> Iterator[tuple[str, str]]:
    at = join("zones", zone.name)
    even = (across * deep) ** 0.5
    along = deep if zone.along in ("north", "south") else across
    ends: tuple[tuple[str, Amount | None, float], ...] = (
        ("from", zone.start, along), ("to", zone.end, along), ("width", zone.width, even),
    )  # fmt: skip
    for key, amount, factor in ends:
        if amount is not None:
            yield f"{at}/{key}", amount_text(amount, amount.si * factor)
    if zone.size is not None:
        yield f"{at}/size", _size(zone.size, across, deep)
    if zone.at is not None:
        yield (
            f"{at}/at",
            point_text(zone.at, zone.at.east.si * across, zone.at.north.si * deep),
        )
    yield from _points(f"{at}/corners", zone.corners, across, deep)


_FIGURE = re.compile(r"[0-9½¼¾⅓⅔]")


def _notes(recipe: Recipe) -> Iterator[str]:
    """What was left alone and may now say something else than the recipe."""
    named: list[tuple[str, str | None]] = [
        ("the title", recipe.piece.title), ("the recipe’s note", recipe.note),
        ("the piece’s note", recipe.piece.note),
    ]  # fmt: skip
    named += [(f"the note of “{one.name}”", one.note) for one in recipe.layers]
    named += [(f"the note of “{one.name}”", one.note) for one in recipe.zones]
    named += [(f"the note of “{one.name}”", one.note) for one in recipe.lots]
    named += [(f"the note of “{one.name}”", one.note) for one in recipe.resists]
    named += [(f"step {n} ({one.do})", one.note) for n, one in enumerate(recipe.work, 1)]
    found = [name for name, text in named if text and _FIGURE.search(text)]
    if found:
        yield "figures in words were left as they are: see " + ", ".join(found)
    if recipe.tools is not None:
        yield "tools were left as they are: check the new recipe to see whether they are large enough"


__all__ = ["Change", "Resized", "Wanted", "resize"]
