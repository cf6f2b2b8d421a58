"""below-scale: amounts that the scale cannot show."""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from felt_engine import Bench, Example, Figure, Limit, Placement, Rule, Said, figures

Portions = list[figures.Portion]
SMALL_LAYS = ("wisps", "scatter")
SMALL_ROLES = ("accent", "veil")


def judge(bench: Bench) -> Iterator[Said]:
    """Batches; portions that are alike, as one finding; then the parts of blends."""
    portions = figures.portions(bench.build)
    step = bench.recipe.scale_step
    too_large = _too_large_ones(portions, 0.0 if step is None else step.si / 2)
    for several in too_large:
        yield _too_large(bench, several)
    if step is None:
        return
    told = {portion.key for several in too_large for portion in several}
    groups: dict[tuple[object, ...], Portions] = {}
    for portion in portions:
        if portion.key not in told:
            groups.setdefault(_alike(portion), []).append(portion)
    for group in groups.values():
        yield from _look(bench, group, step.si)
    for part in figures.blend_parts(bench.build):
        yield from _blend(bench, part, step.si)


def _too_large_ones(portions: tuple[figures.Portion, ...], doubt: float) -> list[Portions]:
    """Portions of one layer that come to more than the batch that they are divided from.

    Faces and pieces may have a batch each: then all together come to just so many batches. What a
    batch may be off on the scale (``doubt``, kg) is let off.
    """
    groups: dict[tuple[object, ...], Portions] = {}
    for portion in portions:
        if portion.batch is not None:
            of = (portion.layer.name, portion.placement.of, portion.batch)
            groups.setdefault(of, []).append(portion)
    return [group for group in groups.values() if _is_too_large(group, doubt)]


def _is_too_large(group: Portions, doubt: float) -> bool:
    batch = group[0].batch or math.inf
    most = batch * (1 + figures.ROUNDED) + doubt
    if max(portion.kg for portion in group) > batch * (1 + figures.ROUNDED):
        return True
    batches = _all_of(group) / batch
    return sum(portion.kg for portion in group) > most or (
        _all_of(group) > most and abs(batches - round(batches)) > 0.02 * batches
    )


def _all_of(group: Portions) -> float:
    return sum(portion.kg * portion.times for portion in group)


def _alike(portion: figures.Portion) -> tuple[object, ...]:
    batch = None if portion.batch is None else round(portion.batch, 9)
    return portion.placement.of, round(portion.kg, 9), batch


def _doubt(kg: float, step: float) -> float:
    """Half a step as a part of what is weighed."""
    return step / 2 / kg


def _few_steps(bench: Bench, kg: float, step: float) -> bool:
    return kg < bench.limit("show") * step * (1 - 1e-9)


def _look(bench: Bench, group: Portions, step: float) -> Iterator[Said]:
    one = group[0]
    weighed = one.weighed
    if _doubt(weighed, step) <= bench.limit("doubt") * (1 + 1e-9):
        return
    group = [portion for portion in group if not bench.meant("by eye", *_names(portion))]
    if not group:
        return
    one = group[0]
    minor = all(_minor(bench, portion) for portion in group)
    unseen = _few_steps(bench, weighed, step)
    if minor and not unseen:
        yield bench.tip(_about(one), f"{_said(group)}: {_mend(bench, group, step)}")
        return
    yield _finding(bench, group, step, "fault" if unseen and not minor else "caution")


def _minor(bench: Bench, portion: figures.Portion) -> bool:
    """A touch of colour or shine: somewhat more or less of it does no harm."""
    role, lay = portion.layer.role, portion.layer.lay
    if role is not None:
        return role in SMALL_ROLES
    stuffs = [
        bench.build.stuffs[lot.name] for lot, _ in bench.recipe.fractions(portion.placement.of)
    ]
    loose = all(not stuff.holds or stuff.is_body for stuff in stuffs)
    return lay in SMALL_LAYS or loose


def _about(portion: figures.Portion) -> object:
    return portion.layer if portion.placement.inline else portion.placement


def _names(portion: figures.Portion) -> tuple[object, ...]:
    placement: Placement = portion.placement
    return portion.layer, placement.zone, placement.of


def _said(group: Portions) -> str:
    one = group[0]
    count = sum(portion.times for portion in group)
    of = f"{figures.weight(one.weighed)} of “{one.placement.of}”"
    if one.batch is not None:
        return f"The batch of {of}"
    layers = list(dict.fromkeys(portion.layer.name for portion in group))
    named = f"“{layers[0]}”"
    if layers[1:]:
        named += f" and {len(layers) - 1} more layer{'s' if layers[2:] else ''}"
    return f"{of} for {named}" if count == 1 else f"{count} portions of {of}, for {named},"


def _finding(bench: Bench, group: Portions, step: float, level: str) -> Said:
    one = group[0]
    weighed = one.weighed
    doubt = _doubt(weighed, step)
    several = one.batch is None and sum(portion.times for portion in group) > 1
    keys = {portion.key for portion in group}
    steps = f"a scale with steps of {figures.weight(step)}"
    alone = " one by one" if several else ""
    shows = "0" if weighed < step / 2 else "0 or one step, whatever lies on it"
    end = f"can't be weighed{alone} on {steps}: it will show {shows}"
    if not _few_steps(bench, weighed, step):
        end = f"may each be off by {figures.percent(doubt)} on {steps}"
        end = end if several else end.replace("each ", "")
    return bench.finding(
        level,
        _about(one),
        f"{_said(group)} {end}.",
        f"{_mend(bench, group, step)}, or say that it goes by eye (on purpose, what: by eye).",
        measured=Figure("half a step as a part of it", doubt, ""),
        limit="doubt",
        how=f"half a step over what is weighed: {figures.grams(step / 2)} / "
        f"{figures.grams(weighed)} g",
        also=tuple(dict.fromkeys(str(getattr(n, "name", n)) for p in group for n in _names(p))),
        at=tuple(
            place for place in bench.build.places if any(laid.key in keys for laid in place.stack)
        ),
    )  # fmt: skip


def _mend(bench: Bench, group: Portions, step: float) -> str:
    """How many portions to weigh at once; halving is what hands do well."""
    one = group[0]
    least = step / 2 / bench.limit("batch")
    if one.batch is not None:
        return f"Weigh {figures.weight_at_least(least)} or more at once and divide it by eye"
    count = sum(portion.times for portion in group)
    if one.kg * count < least * (1 - 1e-9):
        count = 2 ** max(1, math.ceil(math.log2(least / one.kg) - 1e-9))
    batch = max(1, round(one.kg * count / step)) * step
    return (
        f"Weigh {figures.weight(batch)} once, divide it by eye into {count} and use one for "
        f"each (divided from: {figures.grams(batch)} g), or use a finer scale"
    )


def _too_large(bench: Bench, group: Portions) -> Said:
    """One portion that is more than its batch can't be; several may come from more than one."""
    one = max(group, key=lambda portion: portion.kg)
    batch, total = one.batch or 0.0, _all_of(group)
    alone = one.kg > batch * (1 + figures.ROUNDED)
    what = f"A portion of {figures.weight(one.kg)} of “{one.placement.of}” can't be divided from "
    if not alone:
        many = sum(portion.times for portion in group)
        what = (
            f"{many} portions of “{one.placement.of}” in “{one.layer.name}” come to "
            f"{figures.weight(total)}, and are to be divided from one batch of "
        )
    return bench.finding(
        "fault" if alone else "caution",
        _about(one) if alone else one.layer,
        f"{what}{figures.weight(batch)}.",
        "Write the weight of the whole batch under divided from, and of one portion under amount.",
        measured=Figure(
            "portion" if alone else "portions", (one.kg if alone else total) * 1000, "g"
        ),
        limit=Figure("batch", batch * 1000, "g"),
        also=(one.placement.of,),
    )


def _blend(bench: Bench, part: figures.BlendPart, step: float) -> Iterator[Said]:
    """Too little of a lot for its blend. A share asks for no weight: there a tip is enough."""
    doubt = _doubt(part.kg, step)
    if doubt <= bench.limit("doubt") * (1 + 1e-9) or bench.meant("by eye", part.blend, part.lot):
        return
    least = step / 2 / bench.limit("batch") / part.share
    text = f"{figures.weight(part.kg)} of “{part.lot}” in the blend “{part.blend.name}”"
    mend = f"Make {figures.weight_at_least(least)} of the blend or more, and keep what is left"
    if not part.as_weight or not _few_steps(bench, part.kg, step):
        yield bench.tip(part.blend, f"{text} is little for the scale. {mend}.")
        return
    yield bench.finding(
        "caution",
        part.blend,
        f"{text} can't be weighed on a scale with steps of {figures.weight(step)}.",
        f"{mend}, use a finer scale, or say that it goes by eye (on purpose, what: by eye).",
        measured=Figure("half a step as a part of it", doubt, ""),
        limit="doubt",
        how=f"half a step over what is weighed: {figures.grams(step / 2)} / "
        f"{figures.grams(part.kg)} g",
        also=(part.lot,),
    )  # fmt: skip


@attrs.frozen
class _Sheet:
    """The recipe of the examples."""

    amount: str = "1 g"
    more: str = ""
    step: str = "1 g"

    def text(self) -> str:
        return (
            "piece: {title: Pins, use: brooch sheet, shape: rectangle, laid out: 8 x 5 cm, "
            "how many: 8, amounts for: one, stage: hard}\n"
            "lots:\n  berry: {fibre: merino, preparation: combed top, fineness: 20 um}\n"
            "layers:\n"
            f"  - {{name: along, of: berry, amount: {self.amount}{self.more}, direction: east-west}}\n"
            f"  - {{name: across, of: berry, amount: {self.amount}{self.more}, "
            "direction: north-south}\n"
            f"scale step: {self.step}\n"
        )


RULE = Rule(
    id="below-scale",
    title="No amount is smaller than the scale can show",
    since="0.1.0",
    purpose="A scale with steps of 1 g shows 0.4 g as nothing, and 1.2 g as anything from 0.5 to 2. A "
    "small portion is weighed many at once and divided by eye.",
    judge=judge,
    limits=(
        Limit(
            "doubt", 0.25, "", "half a scale step as a part of what is weighed, from which it is too "
            "coarse", "a portion a quarter out is seen in the felt (common practice, no source)",
            "scales that round to their step",
        ),
        Limit(
            "show", 1.0, "steps", "less than this can't be told from nothing",
            "common practice, no source", "scales that round to their step",
        ),
        Limit(
            "batch", 0.1, "", "the same part for a batch that is advised", "from memory",
            "heaps divided by eye are about as even",
        ),
    ),
    examples=(
        Example("less than a step", _Sheet("0.8 g").text(), "fault"),
        Example("the same divided from a batch", _Sheet("0.8 g", ", divided from: 12.8 g").text()),
        Example("the same on a finer scale", _Sheet("0.8 g", step="0.1 g").text()),
        Example("more than its batch", _Sheet("2 g", ", divided from: 1.2 g").text(), "fault"),
        Example("two steps", _Sheet("2 g", step="1 g").text()),
    ),
    purposes=("by eye",),
    model="Half a step over what lies on the scale at once: an amount on each face and of each piece by "
    "itself, amounts for all pieces together, a batch where an amount is divided from one, and a weight "
    "per area as what it comes to on its zone. Portions of one layer may not come to more than the batch "
    "that they are divided from, whatever the scale.",
    weak_spots="How evenly a batch is divided by eye isn't judged. Accents, veils, wisps and what doesn't "
    "felt are let off more lightly, since somewhat more or less of them does no harm. Sheets and cloth "
    "are cut to size and not looked at. A blend is taken to be made once for all that is laid of it, and "
    "gets a tip where its shares come to less than the scale can show.",
    laws=("units", "quarter turn", "order of placements"),
)  # fmt: skip
