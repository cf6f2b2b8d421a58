"""unit-slip: a number in the wrong unit, named once, in place of all that comes of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import attrs

from felt_engine import (
    Bench,
    Example,
    Finding,
    Laid,
    Limit,
    RecipeError,
    Rule,
    Said,
    Seen,
    figures,
)
from felt_rules import fineness_slip, undone

Slip = figures.Misunit
SMALL_ROLES = ("accent", "veil", "open")
SMALL_LAYS = ("wisps", "scatter")
FEW = 4.0
"""Two units as near as inch and centimetre, or foot and metre, are taken for each other (own choice)."""
ANY_USE = (0.03, 2.5)
"""From the lightest cobweb to the heaviest rug, kg/m²."""


@attrs.frozen
class Cure:
    """A slip, what would be gone if it were undone, and whether that alone is enough to name it."""

    slip: Slip
    gone: tuple[Seen, ...]
    order: int

    @property
    def rank(self) -> tuple[int, int, int]:
        """What mends most by the fewest changes comes first."""
        return -sum(undone.GRAVITY[f.level] for _, f in self.gone), self.slip.values, self.order


def judge(bench: Bench) -> Iterator[Said]:
    """Name the slip that mends most; then others that mend something else. Fineness first, and alone."""
    finenesses = tuple(fineness_slip.judge(bench))
    yield from finenesses
    cures = [] if finenesses else sorted(_cures(bench), key=lambda cure: cure.rank)
    named: list[Cure] = []
    for cure in cures:
        old = {id(f) for one in named for _, f in one.gone}
        new = [f for _, f in cure.gone if id(f) not in old]
        if not named or (new and not any(_overlap(cure.slip, one.slip) for one in named)):
            named.append(cure)
            yield _finding(bench, cure)


def _overlap(one: Slip, two: Slip) -> bool:
    return one.about is two.about or bool(set(one.keys) & set(two.keys))


def _cures(bench: Bench) -> Iterator[Cure]:
    found = tuple(seen for seen in bench.found if not _accepted(bench, seen))
    work = sum(len(place.stack) + len(place.shapes) for place in bench.build.places)
    work += len(bench.recipe.totals) * sum(len(one.placements) for one in bench.recipe.layers)
    tries = int(min(bench.limit("tries"), max(1, bench.limit("work") // max(work, 1))))
    for order, (slip, enough) in enumerate(_likely(bench)):
        if not enough and not _weights(found):
            continue
        if tries <= 0:
            return
        tries -= 1
        try:
            changed = slip.changed()
            after = bench.again(changed)
        except RecipeError:
            continue
        if _worse(bench.found, after):
            continue
        gone = undone.gone(found, bench.recipe, after, changed)
        if gone or enough:
            yield Cure(slip, gone, order)


def _accepted(bench: Bench, seen: Seen) -> bool:
    """Whether a waiver of the recipe names it: what is accepted needs no mending."""
    rule, finding = seen
    names = {*finding.also, *undone.names(finding.about), "whole"}
    return any(w.rule == rule and w.where in names for w in bench.recipe.waivers)


def _weights(found: Iterable[Seen]) -> dict[str, int]:
    sums: dict[str, int] = {}
    for rule, finding in found:
        if undone.GRAVITY[finding.level]:
            sums[rule] = sums.get(rule, 0) + undone.GRAVITY[finding.level]
    return sums


def _worse(before: tuple[Seen, ...], after: tuple[Seen, ...]) -> bool:
    """Whether any rule finds more than it did."""
    old = _weights(before)
    return any(weight > old.get(rule, 0) for rule, weight in _weights(after).items())


FELTED = (0.35, 1.02)
"""Finished length over laid-out length that felting can do (common practice, no source)."""

# --- what is likely enough to be tried


def _likely(bench: Bench) -> Iterator[tuple[Slip, bool]]:
    """Slips worth trying, and whether the figure alone is enough where nothing is mended by it."""
    pieces = _Piece(bench)
    if not _weights(bench.found) and not pieces.odd():
        return
    few = len(pieces.areal) <= bench.limit("placements")
    for slip in figures.misunits.amounts(bench.recipe) if few else ():
        verdict = pieces.amount(slip)
        if verdict is not None:
            yield slip, verdict
    for slip in figures.misunits.points(bench.recipe) if few else ():
        if pieces.point(slip):
            yield slip, True
    for slip in figures.misunits.laid_out(bench.recipe):
        if pieces.size(slip):
            yield slip, pieces.overwhelming(slip)
    yield from ((slip, False) for slip in _by_findings(bench, pieces))


def _by_findings(bench: Bench, pieces: _Piece) -> Iterator[Slip]:
    """Lengths, totals and tools: only where something is found about them."""
    recipe = bench.recipe
    rules = {rule for rule, finding in bench.found if undone.GRAVITY[finding.level]}
    about = {id(finding.about) for _, finding in bench.found if undone.GRAVITY[finding.level]}
    if "stated-totals" in rules:
        yield from (s for s in figures.misunits.totals(recipe) if id(s.about) in about)
    if "sizes-agree" in rules:
        yield from filter(pieces.shrinks_to, figures.misunits.finished(recipe))
    if "below-scale" in rules:
        yield from filter(pieces.fits_scale, figures.misunits.scale_step(recipe))
    if recipe.tools is not None and id(recipe.tools) in about:
        yield from filter(pieces.of_layout, figures.misunits.tools(recipe))
    for slip in figures.misunits.layer_lengths(recipe):
        if id(slip.about) in about and pieces.of_lengths(slip):
            yield slip
    if rules:
        yield from filter(pieces.of_lengths, figures.misunits.zones(recipe))


_SCALES = (9.9e-6, 0.031)
"""Steps that scales for wool have, kg: 0.01 g to an ounce (from memory)."""


class _Piece:
    """What the piece weighs, place by place, and in which units it is mostly written."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        build = bench.build
        self.places = build.places
        self.areal = {laid.key: laid.areal for place in build.places for laid in place.stack}
        self.laid = {laid.key: laid for place in build.places for laid in place.stack}
        self.area = {
            key: figures.steady(build.masses[key] / areal)
            for key, areal in self.areal.items()
            if areal
        }
        self.small = {key: self._weighs_little(laid) for key, laid in self.laid.items()}
        counted = (key for key in self.areal if not self.small[key])
        self.ranked = sorted((self.areal[key], key) for key in counted)
        self.twins: dict[tuple[str, str], set[tuple[int, int]]] = {}
        for key, laid in self.laid.items():
            one = laid.placement
            self.twins.setdefault((one.of, one.amount.text), set()).add(key)
        self.whole = sum(face.area for face in build.faces)
        self.mean = sum(place.areal * place.area for place in build.places) / self.whole
        self.lying: dict[tuple[int, int], list[tuple[int, float]]] = {}
        for number, place in enumerate(build.places):
            for laid in place.stack:
                self.lying.setdefault(laid.key, []).append((number, laid.areal))
        self.sides = build.recipe.piece.sides
        use = build.use
        self.band = (use.low, use.high) if use else ANY_USE

    def _outside(self, areal: float) -> float:
        """How many times it lies below or above the usual weights; 1 inside."""
        low, high = self.band
        areal = figures.steady(areal)
        out = low / areal if areal < low else areal / high if areal > high else 1.0
        return figures.steady(out)

    def odd(self) -> bool:
        """Whether the weights alone could be evidence enough, where no rule finds anything."""
        if self._outside(self.mean) >= self.bench.limit("outside"):
            return True
        least = self.ranked[0][0] if self.ranked else 0.0
        return max(self.areal.values(), default=0.0) >= least * self.bench.limit("far") > 0

    @property
    def _least(self) -> float:
        """Less than this nobody lays all over, kg/m²."""
        return ANY_USE[0] * self.bench.limit("accent")

    def amount(self, slip: Slip) -> bool | None:
        """None if it isn't likely; else whether the figure alone is enough."""
        if any(key not in self.area for key in slip.keys):
            return None
        new = self._new(slip)
        mean = self.mean + sum(
            (new[key] - self.areal[key]) * self.area[key] / self.whole for key in slip.keys
        )
        was, becomes = self._outside(self.mean), self._outside(mean)
        rest = self._beside_them(slip)
        if rest is None:
            if min(new.values()) < self._least:
                return None
            return self._all(slip, was, becomes, mean)
        if becomes > max(was, self.bench.limit("band-slack")) or not self._usual_there(new):
            return None
        return self._beside(slip, new, rest)

    def _usual_there(self, new: dict[tuple[int, int], float]) -> bool:
        """Whether each place where these amounts lie is then nearer to the weights of the use."""
        slack = self.bench.limit("band-slack")
        more: dict[int, float] = {}
        for key, areal in new.items():
            for number, old in self.lying[key]:
                more[number] = more.get(number, 0.0) + areal - old
        places = self.places
        return all(
            self._outside(places[n].areal + change) <= max(self._outside(places[n].areal), slack)
            for n, change in more.items() if change
        )  # fmt: skip

    def _beside_them(self, slip: Slip) -> tuple[float, float] | None:
        """The lightest and the heaviest of all that counts and isn't changed, kg/m²."""
        changed = set(slip.keys)
        low = next((a for a, key in self.ranked if key not in changed), None)
        high = next((a for a, key in reversed(self.ranked) if key not in changed), None)
        return None if low is None or high is None else (low, high)

    def _all(self, slip: Slip, was: float, becomes: float, mean: float) -> bool | None:
        """All amounts, or all that count: only the weights of the use are there to compare with."""
        if becomes > 1 or was < self.bench.limit("outside"):
            return None
        absurd = was >= self.bench.limit("far")
        if slip.written.kind != slip.meant.kind:
            lighter = mean < self.mean and slip.meant.kind == "areal"
            return False if absurd and lighter else None
        if mean > self.mean and (not self.of_layout(slip) or "lb" in _units(slip)):
            return False if was >= self.bench.limit("absurd") else None
        return absurd

    def _new(self, slip: Slip) -> dict[tuple[int, int], float]:
        if slip.written.kind == slip.meant.kind:
            return {key: figures.steady(self.areal[key] * slip.ratio) for key in slip.keys}
        per = slip.meant.si / slip.written.si
        placements = {key: self.laid[key].placement for key in slip.keys}
        if slip.meant.kind == "areal":
            return {key: figures.steady(placements[key].amount.si * per) for key in slip.keys}
        recipe = self.bench.recipe
        return {
            key: figures.steady(
                one.amount.si * per * figures.times_laid(recipe, one) / self.area[key]
            )
            for key, one in placements.items()
        }

    def _beside(
        self, slip: Slip, new: dict[tuple[int, int], float], beside: tuple[float, float]
    ) -> bool | None:
        """Against the layers that aren't changed: all of it far off now, and then alike."""
        (low, high), far = beside, self.bench.limit("far")
        slack = self.bench.limit("near")
        same = self._same_unit(slip)
        if not same:
            if not (_units(slip) == {"g", "oz"} or self._to_layout_areal(slip)):
                return None
            far, slack = self.bench.limit("far-alone"), self.bench.limit("near-alone")
        for key, areal in new.items():
            old, small = self.areal[key], self.small[key]
            off = self.bench.limit("near") if same and small else far
            if not (old * off <= low or old >= high * off):
                return None
            if small:
                if areal > old or not low * self.bench.limit("accent") <= areal <= high:
                    return None
            elif not low / slack <= areal <= high * slack:
                return None
        heavier = all(areal < self.areal[key] and not self.small[key] for key, areal in new.items())
        return same and (heavier or self.twin(slip))

    def twin(self, slip: Slip) -> bool:
        """Whether the very amount that may be meant stands beside it, of the same lot or blend."""
        return all(
            self.twins.get((self.laid[key].placement.of, slip.meant.text), set()) - set(slip.keys)
            for key in slip.keys
        )

    def point(self, slip: Slip) -> bool:
        """Whether one amount is far from all beside it, and with its point moved is one of those."""
        (key,) = slip.keys
        if key not in self.area or self.small[key] or not self.twin(slip):
            return False
        if self.laid[key].layer.role == "cover":
            return False
        rest = self._beside_them(slip)
        if rest is None:
            return False
        (low, high), old, new = rest, self.areal[key], self.areal[key] * slip.ratio
        far, near = self.bench.limit("far"), self.bench.limit("near-alone")
        if not (old * far <= low or old >= high * far):
            return False
        mean = self.mean + (new - old) * self.area[key] / self.whole
        becomes = self._outside(mean)
        usual = becomes <= max(self._outside(self.mean), self.bench.limit("band-slack"))
        usual = usual and self._usual_there({key: new})
        return usual and low / near <= new <= high * near

    def _to_layout_areal(self, slip: Slip) -> bool:
        kinds = {slip.written.kind, slip.meant.kind}
        return kinds == {"areal"} and self.of_layout(slip)

    @staticmethod
    def _weighs_little(laid: Laid) -> bool:
        """An accent, a veil, wisps, what doesn't felt: it may weigh as little as it likes."""
        if laid.layer.role is not None:
            return laid.layer.role in SMALL_ROLES
        return laid.layer.lay in SMALL_LAYS or laid.felting_share < 0.5 or laid.is_body

    def _same_unit(self, slip: Slip) -> bool:
        rest = [laid.placement.amount for key, laid in self.laid.items() if key not in slip.keys]
        return bool(rest) and all(figures.unit(one) == figures.unit(slip.meant) for one in rest)

    def _of_weights(self) -> tuple[bool, bool]:
        """Whether amounts are written in ounces and the like, and whether all are of one system."""
        kinds = [figures.imperial(laid.placement.amount) for laid in self.laid.values()]
        return sum(kinds) * 2 > len(kinds), len(set(kinds)) == 1

    def size(self, slip: Slip) -> bool:
        """A laid-out size that makes the piece far too heavy or light, and as meant does not."""
        by_weight = sum(
            self.bench.build.masses[key] for key, laid in self.laid.items()
            if laid.placement.amount.kind == "weight"
        )  # fmt: skip
        by_area = max(0.0, self.mean * self.whole - by_weight)
        if by_weight < by_area:
            return False
        becomes = self._outside((by_weight / slip.ratio**2 + by_area) / self.whole)
        if becomes > 1 or self._outside(self.mean) < self.bench.limit("outside"):
            return False
        thinnest = min((
            areal for key, areal in self.areal.items()
            if not self.small[key] and self.laid[key].placement.amount.kind == "weight"
        ), default=math.inf)  # fmt: skip
        if slip.ratio > 1 and thinnest < self._least * slip.ratio**2:
            return False
        return self._far(slip) or self.fits_weights(slip)

    def overwhelming(self, slip: Slip) -> bool:
        """Whether the weights alone are evidence enough for a laid-out size."""
        return self._outside(self.mean) >= self.bench.limit("outside")

    def _absurd(self, slip: Slip) -> bool:
        return max(slip.ratio, 1 / slip.ratio) >= self.bench.limit("absurd")

    def _far(self, slip: Slip) -> bool:
        return max(slip.ratio, 1 / slip.ratio) > self.bench.limit("far")

    def fits_weights(self, slip: Slip) -> bool:
        """Whether as meant it is of the system that the amounts are in, and as written it isn't."""
        ounces, alike = self._of_weights()
        meant, written = figures.imperial(slip.meant), figures.imperial(slip.written)
        return (alike and meant == ounces != written) or self._absurd(slip)

    def fits_scale(self, slip: Slip) -> bool:
        """Whether scales have such a step as meant, of the amounts' system, or none as written."""
        meant, written = (_SCALES[0] <= a.si <= _SCALES[1] for a in (slip.meant, slip.written))
        ounces, alike = self._of_weights()
        ours = figures.imperial(slip.meant) == ounces != figures.imperial(slip.written)
        return meant and ((alike and ours) or (not written and self._absurd(slip)))

    def of_layout(self, slip: Slip) -> bool:
        """Whether as meant it is of the system of the laid-out size, and as written it isn't."""
        piece = self.bench.recipe.piece
        first = piece.laid_out.width if piece.laid_out else piece.corners[0].east
        own = figures.imperial(first)
        return figures.imperial(slip.meant) == own != figures.imperial(slip.written)

    def of_lengths(self, slip: Slip) -> bool:
        """The same of a length on the layout: one that isn't longer, in a unit much like its own."""
        near = max(slip.ratio, 1 / slip.ratio) < FEW
        width, depth = self.sides
        along = getattr(slip.about, "along", None)
        room = {"north": depth, "south": depth, "east": width, "west": width}
        fits = slip.meant.si <= room.get(along or "", max(width, depth))
        return near and fits and self.of_layout(slip)

    def shrinks_to(self, slip: Slip) -> bool:
        """Whether felting makes that finished size of the layout, and the unit is likely."""
        sizes = figures.expected(self.bench.build)
        if sizes is None or not (self.of_layout(slip) or self._far(slip)):
            return False
        sides = zip(sizes.finished, sizes.laid, strict=True)
        low, high = FELTED
        return all(low <= slip.ratio * finished / laid <= high for finished, laid in sides)


def _units(slip: Slip) -> set[str]:
    return {figures.unit(slip.written), figures.unit(slip.meant)}


# --- words


def _finding(bench: Bench, cure: Cure) -> Finding:
    slip = cure.slip
    said, meant = slip.written.text, slip.meant.text
    many = " and so on" if slip.keys and slip.values > 1 else ""
    rules = list(dict.fromkeys(rule for rule, _ in cure.gone))
    return bench.finding(
        "caution",
        slip.about,
        f"{said}{many} for {slip.what} may have been meant as {meant}{_in_both(slip)}. "
        f"{_effect(bench, slip, rules)}",
        f"Write {meant}{many}, if that was meant; else mend what is found here one by one.",
        how=_how(bench, slip),
        explains=tuple(finding for _, finding in cure.gone),
    )  # fmt: skip


def _in_both(slip: Slip) -> str:
    if slip.meant.kind == "length" or (slip.keys and slip.values > 1):
        return ""
    say = figures.weight if slip.meant.kind == "weight" else figures.areal
    said = say(slip.meant.si)
    return (
        said.removeprefix(slip.meant.text)
        if said.startswith(slip.meant.text)
        else f", that is {said}"
    )


def _effect(bench: Bench, slip: Slip, rules: list[str]) -> str:
    if not rules and 0 < len(slip.keys) < sum(len(one.placements) for one in bench.recipe.layers):
        return "It would then be of a weight with what lies beside it."
    if not rules:
        usual = "is usual for its use" if bench.build.use else "felt may have"
        return f"The piece would then have a weight that {usual}."
    names = " and ".join(filter(None, (", ".join(rules[:-1]), rules[-1])))
    return (
        f"With that, nothing would be left of what {names} {'find' if rules[1:] else 'finds'} here."
    )


def _how(bench: Bench, slip: Slip) -> str:
    if slip.written.kind != slip.meant.kind:
        return "the same digits, once for the whole zone and once to the area"
    ratio = max(slip.ratio, 1 / slip.ratio)
    if figures.unit(slip.written) == figures.unit(slip.meant):
        text = "the decimal point by one place"
    else:
        text = f"the units differ by a factor of {ratio:.4g}"
    if slip.keys:
        areals = [
            laid.areal for place in bench.build.places for laid in place.stack
            if laid.key in slip.keys
        ]  # fmt: skip
        new = figures.areal(min(areals) * slip.ratio)
        text += f"; at its lightest it lies at {figures.areal(min(areals))} and would lie at {new}"
    return text


_BAG = """\
piece: {{title: Net bag, use: bag, shape: rectangle, laid out: {size}, stage: firm}}
lots:
  dune: {{fibre: corriedale, preparation: carded batt, fineness: 27 um}}
layers:
  - {{name: inner, of: dune, amount: 1.7 oz, direction: east-west}}
  - {{name: middle, of: dune, amount: {middle}, direction: north-south}}
  - {{name: outer, of: dune, amount: 1.7 oz, direction: east-west}}
"""

_PANEL = """\
piece: {{title: Long view, use: wall panel, shape: rectangle, laid out: 40 x 30 cm, stage: firm}}
lots:
  oat: {{fibre: merino, preparation: combed top, fineness: 20.5 um}}
layers:
  - {{name: along, of: oat, amount: {one}, direction: east-west}}
  - {{name: across, of: oat, amount: {one}, direction: north-south}}
  - {{name: veil, of: oat, amount: 1 g, direction: east-west, role: veil}}
"""

RULE = Rule(
    id="unit-slip",
    title="No number stands in the wrong unit",
    since="0.1.0",
    purpose="An ounce written as a gram, an inch as a centimetre, a weight for the zone as a weight to "
    "the area, a decimal point a place off: one such slip makes many findings, and all of them point "
    "at the wrong thing. It is named once, in their place, and only if undoing it mends something and "
    "leaves a usual weight.",
    judge=judge,
    limits=(
        Limit(
            "far", 5.0, "times", "how far an amount has to lie from the layers beside it",
            "layers of one piece differ by less (common practice, no source)", "structure and cover",
        ),
        Limit(
            "near", 2.0, "times", "how near it has to come to them with the other unit, where they "
            "are written in it; and how far an accent has to lie from them", "common practice, no source",
            "structure and cover",
        ),
        Limit(
            "far-alone", 10.0, "times", "the same as far, where they aren't written in it",
            "from memory", "g and oz, 28.35 to one",
        ),
        Limit(
            "near-alone", 1.3, "times", "the same as near, where they aren't written in it, and where a "
            "decimal point is moved",
            "from memory", "g and oz, 28.35 to one",
        ),
        Limit(
            "accent", 0.1, "", "part of the lightest layer beside it that an accent weighs at least, if "
            "its amount is too high by a slip", "common practice, no source",
        ),
        Limit(
            "absurd", 100.0, "times", "a slip so large needs no other evidence of the unit meant",
            "own calculation from the widths of the weight bands", "kg for g, mm for m",
        ),
        Limit(
            "outside", 2.0, "times", "how far a whole piece has to lie outside the weights of its "
            "use, for all amounts or the laid-out size to be doubted", "common practice, no source",
        ),
        Limit(
            "band-slack", 1.3, "times", "how far outside those weights it may lie afterwards, if one "
            "amount is changed", "common practice, no source",
        ),
        Limit(
            "placements", 400.0, "", "most amounts of a recipe in which one is doubted",
            "own calculation of cost",
        ),
        Limit(
            "work", 8_000.0, "", "most amounts, each at every place where it lies and in every total, and "
            "parts that places are cut into, that are judged again in all tries",
            "own calculation of cost",
        ),
        Limit(
            "fineness", 2.0, "times", "how far a wool has to lie outside the usual diameters of its "
            "fibre", "common practice, no source; value from memory",
        ),
        Limit("tries", 40.0, "", "most slips that are tried on one recipe", "own calculation of cost"),
    ),
    examples=(
        Example("one layer of three in grams", _BAG.format(middle="1.7 g", size="20 x 14 in"),
                "caution"),
        Example("the same in ounces", _BAG.format(middle="1.7 oz", size="20 x 14 in")),
        Example("inches written as centimetres", _BAG.format(middle="1.7 oz", size="20 x 14 cm"),
                "caution"),
        Example("a thin veil in grams", _PANEL.format(one="24 g")),
        Example("ounces for grams all over", _PANEL.format(one="24 oz"), "caution"),
        Example("one layer of three with its point a place off", _BAG.format(
            middle="0.17 oz", size="20 x 14 in"), "caution"),
        Example("a fineness with its point a place back", _BAG.format(
            middle="1.7 oz", size="20 x 14 in").replace("27 um", "2.7 um"), "caution"),
        Example("a strong lot of its wool", _BAG.format(
            middle="1.7 oz", size="20 x 14 in").replace("27 um", "30 um")),
        Example("a veil of a tenth", _PANEL.format(one="10 g")),
        Example("one layer that is missing and no slip", _PANEL.format(one="20 g").replace(
            "north-south", "northeast-southwest")),
    ),
    model="The same digits with another unit (28.35 g to the ounce, 2.54 cm to the inch, 16 oz to the "
    "pound, 10, 12 and 1000, and a weight for a weight to the area), or with the decimal point a place "
    "on, give a changed recipe, and all rules "
    "judge it again. A slip is named if no rule then finds more and some find less, and if the amount was "
    "far from its neighbours, or the piece far from the weights of its use, and then is not.",
    weak_spots="A ratio that happens to be near is no evidence, so a slip that does no harm is not seen. "
    "Two slips of unlike kinds in one recipe may hide each other. A decimal point is doubted "
    "in one amount at a time, and only where the amount that it would be stands beside it, of the same "
    "lot or blend. Fineness is held against the fibre table alone. It depends on the unit that a "
    "figure is written in, as no other rule does.",
    laws=("quarter turn", "order of placements"),
    reconsiders=True,
)  # fmt: skip
