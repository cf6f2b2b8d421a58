"""Recipes that a caller made: each is written out as a tree, and read as a file would be.

What the reader refuses in a file is refused here too, with the pointer that it would have there. Only
the text of an amount may be the caller's own (``half of 9 g``), as long as it has a number and ends
with the unit: what counts is the value then.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from itertools import chain, islice
from typing import Any

import attrs

from felt_engine.errors import Problem, RecipeError
from felt_engine.model.amount import (
    Amount,
    Colour,
    Direction,
    Fineness,
    Point,
    Price,
    Share,
    Size,
    Warmth,
)
from felt_engine.model.layup import Layer
from felt_engine.model.lots import Blend, Lot
from felt_engine.model.piece import Zone
from felt_engine.model.place import join
from felt_engine.model.recipe import Recipe, Source
from felt_engine.plain_text import plain
from felt_engine.reading import forms
from felt_engine.reading.groups import Field, ListOf, MapOf, Record
from felt_engine.reading.links import check_links
from felt_engine.reading.names import check_names
from felt_engine.reading.quantity import UNITS, Refused, parse_any
from felt_engine.reading.read import in_words
from felt_engine.reading.recipe_shape import LOT, PLACEMENT, RECIPE, ZONE
from felt_engine.reading.shape import BAD, Context, Count, Enough, Kind, Quantity
from felt_engine.reading.tree import Node

_FORMS = {
    forms.COLOUR: Colour, forms.DIRECTION: Direction, forms.FINENESS: Fineness, forms.PART: Share,
    forms.POINT: Point, forms.PRICE: Price, forms.SHARE: Share, forms.SHRINKAGE: Share,
    forms.SIZE: Size, forms.WARMTH: Warmth,
}  # fmt: skip
_NAMED = {"lots": Lot, "zones": Zone, "blends": Blend}
_MADE = {"recipe": Recipe, "lot": Lot, "zone": Zone, "layer": Layer}
"""What is made of a record whose ``make`` is no class."""
_PLAIN = {"weight": ("mg", 1e-6, "kg", 1.0), "length": ("mm", 1e-3, "m", 1.0),
         "areal": ("g/m²", 1e-3, "kg/m²", 1.0)}  # fmt: skip
"""By kind: the unit for small figures and the one for large ones, each with its SI value."""
_DIGITS = re.compile("[0-9]")


def check_made(recipe: Recipe, tables: Mapping[str, Mapping[str, str]]) -> None:
    """See that a file could say this recipe.

    TypeError for a part of another class than it has to be, with the way to it; RecipeError for all
    that a reader would refuse, and for a value that isn't what its own text says.
    """
    source = recipe.source
    if source is not None:
        for name in ("name", "text", "door"):
            _of(getattr(_of(source, Source, "recipe.source"), name), str, f"recipe.source.{name}")
    tree = _record(RECIPE, recipe, "recipe")
    context = Context("", "json", tables)
    try:
        read = RECIPE.read(tree, "", context)
    except Enough:
        read = BAD
    problems = context.problems
    slips = check_names(tree) if read is BAD else chain(check_names(tree), check_links(read))
    problems.extend(
        Problem(found, expected, mend, at, kind="link") for at, found, expected, mend in slips
    )
    if read is not BAD and not problems:
        problems.extend(_unlike(read, recipe, ""))
    if problems:
        name = source.name if source is not None else "a recipe made by hand"
        raise RecipeError(name, tuple(_placed(in_words(tree, one)) for one in problems))


def _placed(problem: Problem) -> Problem:
    """Without a line, and safe to show: what comes from a file has been looked at already."""
    said = (problem.found, problem.expected, problem.mend, problem.path)
    found, expected, mend, path = map(plain, said)
    return attrs.evolve(
        problem, found=found, expected=expected, mend=mend, path=path, line=None, column=None
    )  # fmt: skip


def _text(text: str) -> Node:
    return Node("text", text, 0, 0, 1, 1, quoted=True)


def _group(pairs: list[tuple[str, Node]]) -> Node:
    return Node("map", [(_text(key), value) for key, value in pairs], 0, 0, 1, 1)


def _of(value: object, kind: type[Any] | tuple[type[Any], ...], at: str) -> Any:
    """The value, if it is of this class, or of one of these; a truth value is no number."""
    if isinstance(value, kind) and not isinstance(value, bool):
        return value
    wanted = kind[0] if isinstance(kind, tuple) else kind
    raise TypeError(f"{at}: expected {wanted.__name__}, and not {type(value).__name__}")


def _node(kind: Kind, value: object, at: str) -> Node:
    if isinstance(kind, Record):
        return _record(kind, value, at)
    if isinstance(kind, ListOf):
        items = [_node(kind.item, one, f"{at}[{k}]") for k, one in enumerate(_of(value, tuple, at))]
        return Node("list", items, 0, 0, 1, 1)
    if isinstance(kind, MapOf):
        return _group(
            [_shared(kind, one, f"{at}[{k}]") for k, one in enumerate(_of(value, tuple, at))]
        )
    if isinstance(kind, Count):
        return Node("number", str(max(-(10**9), min(_of(value, int, at), 10**9))), 0, 0, 1, 1)
    if isinstance(kind, Quantity):
        return _text(_amount(_of(value, Amount, at), kind.kinds, at))
    holds = _FORMS.get(kind)  # type: ignore[call-overload]
    if holds is None:
        return _text(_of(value, str, at))
    text = _of(_of(value, holds, at).text, str, f"{at}.text")
    return _text(_pair(value, text, at) if isinstance(value, (Size, Point)) else text)


def _amount(amount: Amount, kinds: tuple[str, ...], at: str) -> str:
    """Its text, or, where that is the caller's own, the value in plain digits."""
    text, unit = _of(amount.text, str, f"{at}.text"), _of(amount.unit, str, f"{at}.unit")
    si, kind = _of(amount.si, (float, int), f"{at}.si"), _of(amount.kind, str, f"{at}.kind")
    if not abs(si) < 1e9:
        return _shown(si)[:20]
    try:
        parse_any(kinds, text)
    except Refused:
        own = "length" if kind == "position" else kind
        fits = kind in kinds or (own == "length" and "position" in kinds)
        mine = kind in _PLAIN and unit in UNITS[kind] and text.endswith(unit)
        if fits and mine and _DIGITS.search(text):
            return _plain(si, kind)
    return str(text)


def _plain(si: float, kind: str) -> str:
    small, low, large, high = _PLAIN[kind]
    return f"{si / low:.6f} {small}" if abs(si) < 5e6 * low else f"{si / high:.6f} {large}"


def _pair(value: Size | Point, text: str, at: str) -> str:
    """The text of a size or a place, or what its two amounts say where that is the caller's own."""
    names = ("width", "depth") if isinstance(value, Size) else ("east", "north")
    given = [(one, getattr(value, one)) for one in names if getattr(value, one) is not None]
    for name, one in given:
        si = _of(_of(one, Amount, f"{at}.{name}").si, (float, int), f"{at}.{name}.si")
        for part in ("text", "unit", "kind"):
            _of(getattr(one, part), str, f"{at}.{name}.{part}")
        if not abs(si) < 1e9:
            return _shown(si)[:20]
    form = forms.SIZE if isinstance(value, Size) else forms.POINT
    odd = not given or any(one.kind != "length" for _, one in given)
    if odd or form.takes(text) or not _DIGITS.search(text):
        return text
    sides = [_plain(one.si, "length") for _, one in given]
    return " x ".join(sides) if isinstance(value, Size) else f"{sides[0]} east, {sides[-1]} north"


def _shared(kind: MapOf, value: object, at: str) -> tuple[str, Node]:
    """A lot's name with its share of a blend."""
    pair = _of(value, tuple, at)
    if len(pair) != 2:
        raise TypeError(f"{at}: expected a lot's name and its share, and not {len(pair)} things")
    return _of(pair[0], str, f"{at}[0]"), _node(kind.item, pair[1], f"{at}[1]")


def _record(kind: Record, value: object, at: str) -> Node:
    holds = kind.make if isinstance(kind.make, type) and kind.make is not dict else _MADE[kind.name]
    _of(value, holds, at)
    left_out = {one.name: one.default for one in attrs.fields(holds)}
    pairs = []
    for field, owner, where in _fields(kind, value, at):
        found = getattr(owner, field.attr)
        if found is None or (not field.needed and _is_left_out(found, left_out.get(field.attr))):
            continue
        where = f"{where}.{field.attr}"
        named = _NAMED.get(field.attr) if holds is Recipe else None
        node = _named(named, found, where) if named else _node(field.kind, found, where)
        pairs.append((field.key, node))
    return _group(pairs)


def _is_left_out(found: object, default: object) -> bool:
    return type(found) is type(default) and found == default


def _fields(kind: Record, value: Any, at: str) -> Iterator[tuple[Field, Any, str]]:
    """Each key, with what has its attribute: of a layer that names its one amount, that amount."""
    amounts: Any = ()
    if isinstance(value, Layer):
        placements = _of(value.placements, tuple, f"{at}.placements")
        holds = PLACEMENT.make
        for k, one in enumerate(placements):
            _of(one, holds, f"{at}.placements[{k}]")  # type: ignore[arg-type]
        amounts = placements if len(placements) == 1 and placements[0].inline else ()
    for field in kind.fields.values():
        if not isinstance(value, Layer) or hasattr(value, field.attr):
            if field.key != "placements" or not amounts:
                yield field, value, at
        elif amounts and field.attr != "note":
            yield field, amounts[0], f"{at}.placements[0]"


def _named(holds: type[Any], found: object, at: str) -> Node:
    """Lots, blends or zones, each by its name."""
    pairs = []
    for k, one in enumerate(_of(found, tuple, at)):
        where = f"{at}[{k}]"
        name = _of(_of(one, holds, where).name, str, f"{where}.name")
        if holds is Blend:
            kind = RECIPE.fields["blends"].kind.item  # type: ignore[attr-defined]
            node = _node(kind, one.parts, f"{where}.parts")
        else:
            node = _record(LOT if holds is Lot else ZONE, one, where)
        pairs.append((name, node))
    return _group(pairs)


def _unlike(read: Any, made: Any, at: str) -> Iterator[Problem]:
    """The first value that differs from what is read from its own text."""
    if read == made:
        return
    held = isinstance(read, (Amount, Size, Point))
    if attrs.has(type(read)) and type(read) is type(made) and not held:
        for field in attrs.fields(type(read)):
            if field.eq:
                one, two = getattr(read, field.name), getattr(made, field.name)
                where = f"{at}/{field.name}"
                if field.name == "placements" and len(two) == 1 and two[0].inline:
                    one, two, where = one[0], two[0], at
                yield from _first(_unlike(one, two, where))
        return
    if isinstance(read, tuple) and isinstance(made, tuple) and len(read) == len(made):
        for k, (one, two) in enumerate(zip(read, made, strict=True)):
            step = one.name if at in ("/lots", "/blends", "/zones") else k
            yield from _first(_unlike(one, two, f"{at}{join(step)}"))
        return
    if isinstance(read, (Amount, Size, Point)) and type(read) is type(made):
        yield from _worth(read, made, at)
        return
    numbers = isinstance(read, float) and isinstance(made, (int, float)) and abs(made) < 1e9
    if numbers and math.isclose(read, made, rel_tol=1e-9, abs_tol=1e-15):
        return
    yield _differs(made, read, at)


def _worth(read: Any, made: Any, at: str) -> Iterator[Problem]:
    """Where an amount is another than its text says: its words may differ, not its value."""
    if isinstance(read, Amount):
        if read.kind != made.kind:
            yield _differs(made.kind, read.kind, f"{at}/kind")
        elif read.text == made.text and read.unit != made.unit:
            yield _differs(made.unit, read.unit, f"{at}/unit")
        elif not math.isclose(read.si, made.si, rel_tol=1e-6, abs_tol=1e-9):
            yield _differs(made.si, read.si, f"{at}/si")
        return
    for field in attrs.fields(type(read)):
        one, two = getattr(read, field.name), getattr(made, field.name)
        if isinstance(one, Amount) and isinstance(two, Amount):
            yield from _first(_worth(one, two, f"{at}/{field.name}"))
        elif (one is None) != (two is None):
            yield _differs(two, one, f"{at}/{field.name}")


def _shown(value: object) -> str:
    try:
        return repr(value)
    except ValueError:
        return "a number of thousands of digits"


def _differs(made: object, read: object, at: str) -> Problem:
    mend = "let a value and its text say the same"
    return Problem(_shown(made)[:80], _shown(read)[:80], mend, at, kind="link")


def _first(found: Iterator[Problem]) -> Iterator[Problem]:
    yield from islice(found, 1)
