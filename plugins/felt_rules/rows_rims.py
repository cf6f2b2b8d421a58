"""What rows-and-laps sees at the rim of a flat piece: what stops short or thins out there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from felt_engine import Bench, FaceBuild, Figure, Finding, Laid, Said, Zone, figures
from felt_rules import rows_words as words
from felt_rules.rows_words import WANTED


def rims(bench: Bench, face: FaceBuild) -> Iterator[Said]:
    """What stops short of the outline or thins out there, on the worst side; else a tip."""
    piece = bench.recipe.piece
    wanted = piece.outline in WANTED
    if piece.over != "table" or not (wanted or piece.outline in (None, "blocked")):
        return
    trimmed = any(step.do in ("cut", "trim") for step in bench.recipe.work)
    may = [one for one, _ in face.laid if _may_lack(bench, one, wanted)]
    if trimmed or not may:
        return
    strips = figures.rims(bench.recipe, face, words.cell(bench, face))
    limit = bench.limit("rim-caution" if wanted else "rim-fault")
    kept = [
        (rim, _joined([loss for loss in rim.losses if _counts(bench, loss, wanted)]))
        for rim in strips
    ]
    if _worst(kept)[1] < limit - 1e-9:
        kept = [(rim, _not_meant(bench, rim, losses)) for rim, losses in kept]
        losses, share = _worst(kept)
        if losses and share < limit - 1e-9:
            weak = [(rim, own) for rim, own in kept if figures.rim_share(rim, own) < limit - 1e-9]
            yield _rim_finding(bench, face, losses, share, weak)
    elif wanted:
        yield from _tip(bench, face, strips)


def _joined(losses: Sequence[figures.Loss]) -> list[figures.Loss]:
    """Portions of one amount lack as one."""
    found: dict[tuple[object, ...], figures.Loss] = {}
    for loss in losses:
        key = loss.key[0], loss.placement.of, loss.placement.zone, loss.why
        known = found.get(key)
        if known is not None:
            places = tuple(dict.fromkeys((*known.places, *loss.places)))
            loss = attrs.evolve(known, areal=known.areal + loss.areal, places=places)
        found[key] = loss
    return list(found.values())


Kept = list[tuple[figures.Rim, list[figures.Loss]]]


def _worst(kept: Kept) -> tuple[list[figures.Loss], float]:
    """The losses of the strip that is left with least, and what it is left with."""
    rim, losses = min(kept, key=_left)
    return losses, figures.rim_share(rim, losses)


def _left(pair: tuple[figures.Rim, list[figures.Loss]]) -> tuple[object, ...]:
    """What a strip is left with, less where more is lost; then by what it is that is lost."""
    rim, losses = pair
    lost = round(sum(loss.areal for loss in losses), 9)
    return round(figures.rim_share(rim, losses), 9), -lost, sorted(loss.key for loss in losses)


def _may_lack(bench: Bench, laid: Laid, wanted: bool) -> bool:
    layer = laid.layer
    lacks = laid.placement.short is not None
    lacks |= wanted and (layer.batt_edges == "torn" or layer.lay == "shingle")
    return lacks and words.is_body(layer)


def _counts(bench: Bench, loss: figures.Loss, wanted: bool) -> bool:
    """Whether a loss may be a slip: not a frame of ground round the picture, not openwork."""
    if loss.why == "rows" or not words.is_body(loss.layer):
        return False
    return wanted if loss.why == "torn" else not _is_frame(bench, loss, wanted)


def _not_meant(
    bench: Bench, rim: figures.Rim, losses: Sequence[figures.Loss]
) -> list[figures.Loss]:
    edges = [zone for zone in bench.recipe.zones if _lies_along(zone, rim.side)]
    return [
        loss for loss in losses
        if not bench.meant("thin", loss.layer, *loss.places, *edges)
        and not bench.meant("gap", loss.layer)
    ]  # fmt: skip


def _lies_along(zone: Zone, side: str) -> bool:
    """Whether a zone is the strip along this side, so that a purpose for it is one for its rim."""
    at_edge = zone.start is None or zone.start.si <= 0
    return zone.shape == "rim" or (zone.shape == "band" and zone.along == side and at_edge)


def _is_frame(bench: Bench, loss: figures.Loss, wanted: bool) -> bool:
    """Whether what lies outside the layer is enough by itself, and is seen as a frame."""
    if not all(words.stands(bench, place) for place in loss.places):
        return False
    seen = not any(words.over(place, loss.key[0]) for place in loss.places)
    return not wanted or (seen and loss.layer.role != "structure")


def _rim_finding(
    bench: Bench, face: FaceBuild, losses: Sequence[figures.Loss], share: float,
    weak: Kept,
) -> Finding:  # fmt: skip
    short = [loss for loss in losses if loss.why == "short"]
    main = (
        max(short, key=lambda loss: (round(loss.areal, 9), -loss.key[0], -loss.key[1]))
        if short else max(losses, key=lambda loss: loss.key)
    )  # fmt: skip
    fault = share < bench.limit("rim-fault") - 1e-9 and len(short) == len(losses)
    every = [loss for _, own in weak for loss in own if loss.why == "short" or not short]
    places = tuple(dict.fromkeys(place for loss in every for place in loss.places))
    if all(words.stands(bench, place) for place in places):
        keys = {loss.key for loss in losses}
        inside = [place for place in face.places if any(one.key in keys for one in place.stack)]
        places = tuple(dict.fromkeys((*places, *inside)))
    one_side = len(weak) == 1 and weak[0][0].side
    where = f"along the {one_side} edge" if one_side else "all round"
    strip = figures.length(words.cell(bench, face))
    names = words.listed([loss.layer.name for loss in sorted(losses, key=lambda loss: loss.key)])
    s = "" if len({loss.key[0] for loss in losses}) > 1 else "s"
    if main.why == "short":
        by = main.placement.short
        stop = f" {figures.length(by.si)}" if by is not None else ""
        what = f"{names} stop{s}{stop} short of the outline {where}"
        mend = f"Lay “{main.layer.name}” up to the outline, or past it and fold it in"
    else:
        what = f"{names} end{s} in torn batt at the outline {where}"
        mend = (
            f"Lay “{main.layer.name}” {figures.length(figures.RAMP)} past the outline and fold it in "
            "or trim it, or cut its edges"
        )
    lost = sum(loss.areal for loss in losses)
    one = len({loss.key for loss in losses if loss.layer is main.layer}) == 1
    torn = main.why == "torn" and bench.recipe.piece.form == "rectangle"
    corners = ", the corners less still" if torn else ""
    return bench.finding(
        "fault" if fault else "caution",
        main.placement if one and not main.placement.inline else main.layer,
        f"{what}: the outer {strip} will have about {figures.percent(share)} of the weight that was "
        f"meant{corners}. The edge "
        + ("will be thin or bare." if fault else "may come out thin and uneven."),
        f"{mend}: about {figures.areal_at_least(lost)} is missing there.",
        measured=Figure("weight of the rim, of what was meant", share, ""),
        limit="rim-fault" if fault or not _even(bench) else "rim-caution",
        how=f"what lies in the outer {strip}, over the same with the "
        f"{figures.areal(lost)} that is missing",
        where=where, also=tuple(sorted({loss.layer.name for loss in losses})), at=places,
    )  # fmt: skip


def _even(bench: Bench) -> bool:
    return bench.recipe.piece.outline in WANTED


def _tip(bench: Bench, face: FaceBuild, rims: Sequence[figures.Rim]) -> Iterator[Said]:
    """Rows that end at the outline leave it thin by themselves: advice, once a recipe."""
    if any(laid.turned for laid, _ in face.laid):
        return
    share = min((rim.share("rows") for rim in rims), default=1.0)
    if share >= bench.limit("rim-tip"):
        return
    first = min(loss.key[0] for rim in rims for loss in rim.losses if loss.why == "rows")
    yield bench.tip(
        bench.recipe.layers[first],
        "Rows that end at the outline leave the rim thinner than the middle. For an even edge lay them "
        f"{figures.length(0.02)} to {figures.length(0.03)} past it and fold that in or trim it, or "
        "add half a row at both ends.",
    )
