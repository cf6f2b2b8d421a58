"""Ways in which a recipe may have been written with a wrong unit, and what it would then be.

Each keeps the digits and puts another unit behind them: an ounce written as a gram, an inch as a
centimetre, a weight for the zone as a weight per area; or it moves the decimal point. Whether any of
them is likely isn't said here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import attrs

from felt_engine.analysis.written import is_sum, shifted, unit, with_unit
from felt_engine.model.amount import RANGES, Amount, Point, Size
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.piece import Zone
from felt_engine.model.recipe import Recipe
from felt_engine.value import Value

Key = tuple[int, int]
"""The numbers of a layer and of a placement in it, from 0."""

OTHER: dict[str, tuple[str, ...]] = {
    "g": ("oz", "kg", "g/m²"), "oz": ("g", "lb", "oz/ft²", "oz/yd²"), "kg": ("g", "kg/m²"),
    "lb": ("oz",), "mg": ("g",),
    "g/m²": ("g", "oz/yd²", "g/ft²"), "oz/yd²": ("oz", "g/m²", "oz/ft²"),
    "oz/ft²": ("oz", "oz/yd²", "g/m²"), "kg/m²": ("g/m²", "kg"),
    "cm": ("in", "mm", "m"), "in": ("cm", "ft", "mm"), "mm": ("cm", "in"),
    "m": ("cm", "ft"), "ft": ("in", "m"),
}  # fmt: skip
"""Units that are taken for each other, the likeliest first."""


@attrs.frozen(eq=False, repr=False)
class Misunit(Value):
    """One such way: ``about`` what it is, ``written`` and ``meant`` as amounts (one of them, if many).

    ``keys`` are the placements whose amounts change, none for a length or a total. ``values`` counts
    what is changed. ``changed`` makes the recipe as it may have been meant.
    """

    about: object
    what: str
    written: Amount
    meant: Amount
    values: int
    changed: Callable[[], Recipe]
    keys: tuple[Key, ...] = ()

    @property
    def ratio(self) -> float:
        """What is meant over what is written; 1 where these are of two kinds."""
        return self.meant.si / self.written.si if self.meant.kind == self.written.kind else 1.0


def _kind_of(word: str, amount: Amount) -> str:
    if "/" in word:
        return "areal"
    return "weight" if amount.kind == "areal" else amount.kind


def others(amount: Amount) -> Iterator[Amount]:
    """The same digits with each unit that may have been meant, where that can be written."""
    if is_sum(amount):
        return
    for word in OTHER.get(unit(amount), ()):
        meant = with_unit(amount, word, _kind_of(word, amount))
        if _in_range(meant):
            yield meant


def _in_range(*amounts: Amount | None) -> bool:
    """Whether a recipe may have all of these."""
    return all(RANGES[one.kind][0] <= one.si <= RANGES[one.kind][1] for one in amounts if one)


def amounts(recipe: Recipe) -> Iterator[Misunit]:
    """One amount; all of a layer, a lot, a unit that are written alike; the simplest first."""
    every = _every(recipe)
    seen: set[tuple[Key, ...]] = set()
    for what, about, keys in _groups(recipe, every):
        if keys in seen:
            continue
        seen.add(keys)
        first = every[keys[0]].amount
        if any(is_sum(every[key].amount) or unit(every[key].amount) != unit(first) for key in keys):
            continue
        for meant in others(first):
            new = {key: with_unit(every[key].amount, meant.unit, meant.kind) for key in keys}
            if not _in_range(*new.values()):
                continue
            yield Misunit(
                about, what, first, meant, len(keys), _with_amounts(recipe, new), keys
            )  # fmt: skip


def points(recipe: Recipe) -> Iterator[Misunit]:
    """One amount with its decimal point a place further on, or back."""
    for key, placement in _every(recipe).items():
        what, about = _called(recipe, key, placement)
        for places in (1, -1):
            meant = shifted(placement.amount, places)
            if meant is not None and _in_range(meant):
                yield Misunit(
                    about, what, placement.amount, meant, 1, _with_amounts(recipe, {key: meant}),
                    (key,),
                )  # fmt: skip


def _every(recipe: Recipe) -> dict[Key, Placement]:
    return {
        (number, index): placement
        for number, layer in enumerate(recipe.layers)
        for index, placement in enumerate(layer.placements)
    }


def _called(recipe: Recipe, key: Key, placement: Placement) -> tuple[str, Layer | Placement]:
    """What an amount is called, and what it is an amount of."""
    layer = recipe.layers[key[0]]
    if placement.inline:
        return f"“{layer.name}”", layer
    return f"“{placement.of}” in “{layer.name}”", placement


def _groups(
    recipe: Recipe, every: dict[Key, Placement]
) -> Iterator[tuple[str, object, tuple[Key, ...]]]:
    for key, placement in every.items():
        yield (*_called(recipe, key, placement), (key,))
    for number, layer in enumerate(recipe.layers):
        yield f"“{layer.name}”", layer, tuple(key for key in every if key[0] == number)
    for lot in dict.fromkeys(placement.of for placement in every.values()):
        keys = tuple(key for key, placement in every.items() if placement.of == lot)
        thing = recipe.lot(lot) or next((b for b in recipe.blends if b.name == lot), recipe)
        yield f"all of “{lot}”", thing, keys
    for word in dict.fromkeys(unit(placement.amount) for placement in every.values()):
        keys = tuple(key for key, p in every.items() if unit(p.amount) == word)
        text = "all amounts" if len(keys) == len(every) else f"all amounts in {word}"
        yield text, recipe, keys


def _with_amounts(recipe: Recipe, new: dict[Key, Amount]) -> Callable[[], Recipe]:
    """What makes the recipe with these amounts."""

    def changed() -> Recipe:
        layers = list(recipe.layers)
        for (number, index), amount in new.items():
            placements = list(layers[number].placements)
            placements[index] = attrs.evolve(placements[index], amount=amount)
            layers[number] = attrs.evolve(layers[number], placements=tuple(placements))
        return attrs.evolve(recipe, layers=tuple(layers))

    return changed


def _sized(size: Size, word: str) -> Size:
    width = with_unit(size.width, word)
    depth = with_unit(size.depth, word) if size.depth else None
    first = width.text.removesuffix(f" {word}") if depth else width.text
    text = first + (f" x {depth.text}" if depth else "")
    return Size(text, width, depth)


def _plain(size: Size | None) -> bool:
    if size is None or is_sum(size.width):
        return False
    return size.depth is None or (
        not is_sum(size.depth) and unit(size.depth) == unit(size.width)
    )  # fmt: skip


def _sizes(
    about: object, what: str, size: Size | None, put: Callable[[Size], Recipe]
) -> Iterator[Misunit]:
    if size is None or not _plain(size):
        return
    for meant in others(size.width):
        new = _sized(size, meant.unit)
        if not _in_range(new.depth):
            continue
        text = attrs.evolve(size.width, text=size.text)
        yield Misunit(
            about, what, text, attrs.evolve(meant, text=new.text), 2 if size.depth else 1,
            lambda new=new: put(new),  # type: ignore[misc]
        )  # fmt: skip


def laid_out(recipe: Recipe) -> Iterator[Misunit]:
    """The laid-out size: alone, and with all other lengths of the layout in the same unit."""
    piece = recipe.piece
    yield from _sizes(
        piece, "the laid-out size", piece.laid_out,
        lambda size: attrs.evolve(recipe, piece=attrs.evolve(piece, laid_out=size)),
    )  # fmt: skip
    size = piece.laid_out
    if size is None or not _plain(size):
        return
    word = unit(size.width)
    for one in _sizes(piece, "every size on the layout", size, lambda new: recipe):
        meant = one.meant.unit
        more = attrs.evolve(
            one, values=3,
            changed=lambda meant=meant: all_lengths(recipe, word, meant),  # type: ignore[misc]
        )  # fmt: skip
        yield more


def all_lengths(recipe: Recipe, word: str, meant: str) -> Recipe:
    """Every length of layout, zones and finished size in one unit, with another."""

    def amount(one: Amount) -> Amount:
        return with_unit(one, meant) if unit(one) == word and not is_sum(one) else one

    def maybe(one: Amount | None) -> Amount | None:
        return None if one is None else amount(one)

    def sized(size: Size | None) -> Size | None:
        if size is None:
            return None
        return Size(size.text, amount(size.width), maybe(size.depth))

    def point(at: Point) -> Point:
        return Point(at.text, amount(at.east), amount(at.north))

    def zone(one: Zone) -> Zone:
        return attrs.evolve(
            one, start=maybe(one.start), end=maybe(one.end), width=maybe(one.width),
            size=sized(one.size), at=point(one.at) if one.at else None,
            corners=tuple(point(at) for at in one.corners),
        )  # fmt: skip

    piece = attrs.evolve(
        recipe.piece, laid_out=sized(recipe.piece.laid_out), finished=sized(recipe.piece.finished)
    )
    return attrs.evolve(recipe, piece=piece, zones=tuple(zone(one) for one in recipe.zones))


def finished(recipe: Recipe) -> Iterator[Misunit]:
    """The finished size."""
    piece = recipe.piece
    yield from _sizes(
        piece, "the finished size", piece.finished,
        lambda size: attrs.evolve(recipe, piece=attrs.evolve(piece, finished=size)),
    )  # fmt: skip


def zones(recipe: Recipe) -> Iterator[Misunit]:
    """Where one zone lies and how large it is, all of it at once."""
    for number, zone in enumerate(recipe.zones):
        first = _first_length(zone)
        if first is None or is_sum(first):
            continue
        for meant in others(first):
            yield Misunit(
                zone, f"the zone “{zone.name}”", first, meant, 2,
                lambda number=number, first=first, meant=meant: _with_zone(  # type: ignore[misc]
                    recipe, number, unit(first), meant.unit
                ),
            )  # fmt: skip


def _first_length(zone: Zone) -> Amount | None:
    if zone.size:
        return zone.size.width
    if zone.corners:
        return zone.corners[0].east
    return zone.width or zone.end


def _with_zone(recipe: Recipe, number: int, word: str, meant: str) -> Recipe:
    zone = all_lengths(recipe, word, meant).zones[number]
    return attrs.evolve(
        recipe, zones=(*recipe.zones[:number], zone, *recipe.zones[number + 1 :])
    )  # fmt: skip


def scale_step(recipe: Recipe) -> Iterator[Misunit]:
    """The step of the scale."""
    step = recipe.scale_step
    of_studio = recipe.source is not None and "scale step" not in recipe.source.text
    for meant in others(step) if step else ():
        if step and meant.kind == "weight":
            yield Misunit(
                recipe if of_studio else step, "the scale step", step, meant, 1,
                lambda meant=meant: attrs.evolve(recipe, scale_step=meant),  # type: ignore[misc]
            )  # fmt: skip


def totals(recipe: Recipe) -> Iterator[Misunit]:
    """Each stated total by itself."""
    for number, total in enumerate(recipe.totals):
        for meant in others(total.amount):
            if meant.kind != "weight":
                continue
            new = attrs.evolve(total, amount=meant)
            kept = (*recipe.totals[:number], new, *recipe.totals[number + 1 :])
            yield Misunit(
                total, "a stated total", total.amount, meant, 1,
                lambda kept=kept: attrs.evolve(recipe, totals=kept),  # type: ignore[misc]
            )  # fmt: skip


def tools(recipe: Recipe) -> Iterator[Misunit]:
    """Each tool by itself."""
    kit = recipe.tools
    if kit is None:
        return
    for name in ("mat", "mesh", "cover"):
        yield from _sizes(
            kit, f"the {name}", getattr(kit, name),
            lambda size, name=name: attrs.evolve(  # type: ignore[misc]
                recipe, tools=attrs.evolve(kit, **{name: size})
            ),
        )  # fmt: skip
    if kit.roller and kit.roller.length:
        length = kit.roller.length
        for meant in others(length):
            roller = attrs.evolve(kit.roller, length=meant)
            new = attrs.evolve(kit, roller=roller)
            yield Misunit(
                kit, "the roller's length", length, meant, 1,
                lambda new=new: attrs.evolve(recipe, tools=new),  # type: ignore[misc]
            )  # fmt: skip


def layer_lengths(recipe: Recipe) -> Iterator[Misunit]:
    """Tufts, and how far a layer is turned over, layer by layer."""
    for number, layer in enumerate(recipe.layers):

        def put(number: int, **new: object) -> Recipe:
            layers = list(recipe.layers)
            layers[number] = attrs.evolve(layers[number], **new)  # type: ignore[arg-type]
            return attrs.evolve(recipe, layers=tuple(layers))

        yield from _sizes(
            layer, f"the tufts of “{layer.name}”", layer.tuft,
            lambda size, number=number, put=put: put(number, tuft=size),  # type: ignore[misc]
        )  # fmt: skip
        for key in ("wraps", "turned_in"):
            amount = getattr(layer, key)
            for meant in others(amount) if amount else ():
                yield Misunit(
                    layer, f"what “{layer.name}” is turned over", amount, meant, 1,
                    lambda number=number, put=put, key=key, meant=meant: put(  # type: ignore[misc]
                        number, **{key: meant}
                    ),
                )  # fmt: skip


__all__ = [
    "Key", "Misunit", "amounts", "finished", "laid_out", "layer_lengths", "points", "scale_step", "tools",
    "totals", "zones",
]  # fmt: skip
