"""What a stated total should come to, and which slips would make it what it says."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import attrs

from felt_engine.analysis.portions import CUT
from felt_engine.analysis.written import half_digit
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.recipe import Recipe
from felt_engine.model.work import Total
from felt_engine.value import Value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from felt_engine.analysis.build import Build


@attrs.frozen(eq=False, repr=False)
class Atom(Value):
    """One lot's part of one placement: kg on one piece, and how much rounding may have changed it.

    ``front`` and ``back`` are the parts of it that lie on each face.
    """

    layer: Layer
    placement: Placement
    lot: str
    cut: bool
    kg: float
    rounding: float
    front: float
    back: float


@attrs.frozen(eq=False, repr=False)
class Sum(Value):
    """What something comes to, kg, and by how much a total of it may be off by rounding alone."""

    kg: float
    slack: float


@attrs.frozen(eq=False, repr=False)
class Allow(Value):
    """How much rounding is allowed for at most, as parts of the sum: of a total, and of its parts."""

    own: float
    parts: float


def atoms(build: Build) -> tuple[Atom, ...]:
    """All atoms of a build, in the order of laying."""
    recipe = build.recipe
    found = []
    for number, layer in enumerate(recipe.layers):
        for index, placement in enumerate(layer.placements):
            mass = build.masses[number, index]
            rounding = half_digit(placement.amount) / placement.amount.si
            front = {"front": 1.0, "back": 0.0, "both": 0.5, "each": 0.5}.get(
                placement.face or "", 1.0
            )
            back = 1 - front if placement.face else 1.0
            for lot, share in recipe.fractions(placement.of):
                kg = mass * share
                cut = lot.preparation in CUT
                found.append(
                    Atom(layer, placement, lot.name, cut, kg, kg * rounding, front, back)
                )  # fmt: skip
    return tuple(found)


PER = ("piece", "face", "pair", "all")


@attrs.frozen(eq=False, repr=False)
class Reckoned(Value):
    """A stated total beside what it should be. ``sums`` has one for each way to read it.

    ``atoms`` are what it covers, ``every`` all of the build.
    """

    total: Total
    sums: tuple[Sum, ...]
    atoms: tuple[Atom, ...]
    allow: Allow
    every: tuple[Atom, ...] = ()

    @property
    def kg(self) -> float:
        """What the total is stated as, kg."""
        return self.total.amount.si

    @property
    def nearest(self) -> Sum:
        """The sum that comes nearest to it, of the ways to read it."""
        return min(self.sums, key=lambda one: abs(one.kg - self.kg))

    @property
    def agrees(self) -> bool:
        """Whether it is the sum, but for rounding."""
        return any(abs(one.kg - self.kg) <= one.slack * (1 + 1e-9) for one in self.sums)


def reckoned(build: Build, own: float, parts: float) -> tuple[Reckoned, ...]:
    """Every stated total beside the sum of what it covers; for the two parts see :class:`Allow`."""
    if not build.recipe.totals:
        return ()
    every = atoms(build)
    allow = Allow(own, parts)
    return tuple(reckon(build.recipe, every, total, allow) for total in build.recipe.totals)


def reckon(recipe: Recipe, every: tuple[Atom, ...], total: Total, allow: Allow) -> Reckoned:
    """A stated total beside the sum of what it covers."""
    readings = {tuple(map(id, one)): one for one in _readings(every, total)}
    sums = [found for one in readings.values() for found in _sums(recipe, one, total, allow)]
    covered = next(iter(readings.values()))
    return Reckoned(total, tuple(sums), covered, allow, every)


def _readings(every: tuple[Atom, ...], total: Total) -> Iterator[tuple[Atom, ...]]:
    """What it covers; a name that is a layer's and a lot's may be read as either."""
    for covers, without in _ways_of(every, total):
        covered = covers.of(every) if total.covers else every
        out = set(map(id, without.of(covered))) if total.without else ()
        yield tuple([atom for atom in covered if id(atom) not in out])


def _ways_of(every: tuple[Atom, ...], total: Total) -> Iterator[tuple[Named, Named]]:
    """What it covers and what it leaves out, in each way to read their names."""
    layers = {atom.layer.name for atom in every}
    stuff = {atom.lot for atom in every} | {atom.placement.of for atom in every}
    for by_layer in _ways_to_read(total.covers, layers & stuff):
        for without_layer in _ways_to_read(total.without, layers & stuff):
            yield (
                _named(total.covers, layers, stuff, by_layer),
                _named(total.without, layers, stuff, without_layer),
            )


def _ways_to_read(names: tuple[str, ...], twofold: set[str]) -> tuple[bool, ...]:
    """Layers first, and where a name is a lot's too, lots first."""
    return (True, False) if twofold.intersection(names) else (True,)


@attrs.frozen(eq=False, repr=False)
class Named(Value):
    """Names of layers, and other names of lots and blends."""

    layers: frozenset[str]
    stuff: frozenset[str]

    def of(self, atoms: Sequence[Atom]) -> list[Atom]:
        """Those of any of these names."""
        layers, stuff = self.layers, self.stuff
        return [
            atom for atom in atoms
            if atom.lot in stuff or atom.layer.name in layers or atom.placement.of in stuff
        ]  # fmt: skip


def _named(names: tuple[str, ...], layers: set[str], stuff: set[str], layer_first: bool) -> Named:
    """These names as layers' where they are that, and as lots' and blends'."""
    of_layers = {name for name in names if name in layers and (layer_first or name not in stuff)}
    return Named(frozenset(of_layers), frozenset(names) - of_layers)


def _sums(recipe: Recipe, covered: tuple[Atom, ...], total: Total, allow: Allow) -> Iterator[Sum]:
    """The sum for one piece, face, pair or all; each face where the two differ, and half of both."""
    step = recipe.scale_step.si / 2 if recipe.scale_step else 0.0
    digit = half_digit(total.amount)
    for times, share in _times(recipe, total.per):
        kg, rounding = _kg(covered, share) * times, _rounding(covered, share) * times
        yield Sum(kg, step + min(digit, allow.own * kg) + min(rounding, allow.parts * kg))


Share = Callable[[Atom], float]


def _kg(atoms: Sequence[Atom], share: Share | None) -> float:
    """The sum of them, or of that share of each."""
    if share is None:
        return sum([atom.kg for atom in atoms])
    return sum([atom.kg * share(atom) for atom in atoms])


def _rounding(atoms: Sequence[Atom], share: Share | None) -> float:
    if share is None:
        return sum([atom.rounding for atom in atoms])
    return sum([atom.rounding * share(atom) for atom in atoms])


def _times(recipe: Recipe, per: str) -> Iterator[tuple[float, Share | None]]:
    """How often a total counts which share of each atom; None is the whole of it."""
    if per == "face" and len(recipe.piece.faces) == 2:
        yield 1.0, lambda atom: atom.front
        yield 1.0, lambda atom: atom.back
        yield 0.5, None
    else:
        count = {"pair": 2, "all": recipe.piece.count}.get(per, 1)
        yield float(count), None


@attrs.frozen(eq=False, repr=False)
class Slip(Value):
    """A way to get at what a total says: ``kind`` is per, without, with, twice or cut, ``names`` what."""

    kind: str
    names: tuple[str, ...]
    sum: Sum


def slips(build: Build, found: Reckoned, graver: bool = True) -> tuple[Slip, ...]:
    """Common slips that give just what the total says, the likeliest kind first and alone.

    Not ``graver``: only those of kind per and cut, which leave the total right for something else.
    """
    recipe, every, total = build.recipe, found.every, found.total
    digit, parts = half_digit(total.amount), list[tuple[str, tuple[Atom, ...]]]()

    def by_parts(kind: str, sign: float) -> Iterator[Slip]:
        if not parts:
            parts.extend(_ways(found.atoms))
        return _by_parts(recipe, found, kind, sign, parts)

    kinds: tuple[Callable[[], Iterator[Slip]], ...] = (
        lambda: _other_per(recipe, found), lambda: _without_cut(recipe, found),
        lambda: by_parts("without", -1.0), lambda: _counted_in(recipe, every, found),
        lambda: by_parts("twice", 1.0),
    )  # fmt: skip
    for kind in kinds if graver else kinds[:2]:
        ways = {
            slip.names: slip for slip in kind()
            if abs(slip.sum.kg - total.amount.si) <= _tight(digit, slip.sum)
        }  # fmt: skip
        if ways:
            return tuple(ways.values())
    return ()


def _tight(digit: float, reached: Sum) -> float:
    """A coincidence is no explanation: rounding of the total, and a hundredth of it at most."""
    return min(reached.slack * (1 + 1e-9), _near(digit, reached.kg))


def _near(digit: float, kg: float) -> float:
    return max(digit, 0.01 * kg) * (1 + 1e-9)


def _other_per(recipe: Recipe, found: Reckoned) -> Iterator[Slip]:
    total = found.total
    for per in PER:
        if per == total.per or (per == "pair" and recipe.piece.count != 2):
            continue
        for one in _sums(recipe, found.atoms, attrs.evolve(total, per=per), found.allow):
            yield Slip("per", (per,), one)


def _without_cut(recipe: Recipe, found: Reckoned) -> Iterator[Slip]:
    """Cloth and bought sheets come cut, and are often left out of a total of what is weighed."""
    kept = tuple(atom for atom in found.atoms if not atom.cut)
    if kept and len(kept) < len(found.atoms):
        names = dict.fromkeys(atom.layer.name for atom in found.atoms if atom.cut)
        for one in _sums(recipe, kept, found.total, found.allow):
            yield Slip("cut", tuple(names), one)


def _by_parts(
    recipe: Recipe, found: Reckoned, kind: str, sign: float,
    parts: Sequence[tuple[str, tuple[Atom, ...]]],
) -> Iterator[Slip]:  # fmt: skip
    """The sum without one layer, one lot, one placement in turn, or with it once more.

    Only those that come near to what the total says are yielded.
    """
    step = recipe.scale_step.si / 2 if recipe.scale_step else 0.0
    digit, allow = half_digit(found.total.amount), found.allow
    for times, share in _times(recipe, found.total.per):
        all_kg = _kg(found.atoms, share) * times
        all_rounding = _rounding(found.atoms, share) * times
        for name, part in parts:
            kg = all_kg + sign * _kg(part, share) * times
            if abs(kg - found.kg) > _near(digit, kg):
                continue
            rounding = all_rounding + sign * _rounding(part, share) * times
            slack = step + min(digit, allow.own * kg) + min(rounding, allow.parts * kg)
            yield Slip(kind, (name,), Sum(kg, slack))


def _ways(covered: tuple[Atom, ...]) -> Iterator[tuple[str, tuple[Atom, ...]]]:
    """One layer, one lot, one placement in turn, by its name; never all of it, and none twice."""
    seen: set[frozenset[int]] = set()
    for key in (_layer_name, _lot_name, _placed_name):
        groups: dict[str, list[Atom]] = {}
        for atom in covered:
            groups.setdefault(key(atom), []).append(atom)
        for name, part in groups.items():
            mark = frozenset(map(id, part))
            if len(part) < len(covered) and mark not in seen:
                seen.add(mark)
                yield name, tuple(part)


def _layer_name(atom: Atom) -> str:
    return atom.layer.name


def _lot_name(atom: Atom) -> str:
    return atom.lot


def _placed_name(atom: Atom) -> str:
    return f"{atom.placement.of} on {atom.placement.zone} in {atom.layer.name}"


def _counted_in(recipe: Recipe, every: tuple[Atom, ...], found: Reckoned) -> Iterator[Slip]:
    """What it says it leaves out is counted all the same: what one name alone leaves out, in turn."""
    total = found.total
    if not total.without:
        return
    for covers, without in _ways_of(every, total):
        base, alone = list[Atom](), dict[str, list[Atom]]()
        for atom in covers.of(every) if total.covers else every:
            layer, lot, of = atom.layer.name, atom.lot, atom.placement.of
            by_layer, by_lot = layer in without.layers, lot in without.stuff
            by_blend = of != lot and of in without.stuff
            if not (by_layer or by_lot or by_blend):
                base.append(atom)
            elif by_layer + by_lot + by_blend == 1:
                name = layer if by_layer else lot if by_lot else of
                alone.setdefault(name, []).append(atom)
        parts = [(name, tuple(alone[name])) for name in total.without if name in alone]
        yield from _by_parts(recipe, attrs.evolve(found, atoms=tuple(base)), "with", 1.0, parts)


__all__ = ["Atom", "Reckoned", "Slip", "Sum", "atoms", "reckon", "reckoned", "slips"]
