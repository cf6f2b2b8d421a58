"""What rows-and-laps sees between zones: gaps, and seams that only butt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from felt_engine import Bench, FaceBuild, Figure, Finding, Laid, Layer, Place, Tip, figures
from felt_rules import rows_words as words
from felt_rules.rows_words import LAP

SHEETS = ("prefelt", "felt", "close cloth")


@attrs.frozen(eq=False)
class Open:
    """A gap that is a slip: of which layer, how bad, the weight in it over that beside it.

    ``at`` is the gap; where nothing in it is thin by itself, what lies beside it too, so that what
    else comes of the step in weight is told with it.
    """

    layer: Layer
    gap: figures.Gap
    level: str
    ratio: float
    left: float
    shows: bool
    at: tuple[Place, ...]


def gaps(bench: Bench, face: FaceBuild) -> Iterator[Finding]:
    """Strips that zones of a layer leave free between them; the same strip of two layers is one."""
    found: dict[tuple[object, ...], list[Open]] = {}
    for number, layer in enumerate(bench.recipe.layers):
        if len(layer.placements) < 2 or not words.is_body(layer):
            continue
        every = figures.gaps(face, number)
        for gap in every:
            one = _gap(bench, face, layer, gap, every)
            if one is not None:
                key = (frozenset(id(place) for place in gap.places), gap.zones)
                found.setdefault(key, []).append(one)
    for same in found.values():
        butts = all(one.level == "butt" for one in same)
        yield _butt_finding(bench, same) if butts else _gap_finding(bench, face, same)


def _gap(
    bench: Bench, face: FaceBuild, layer: Layer, gap: figures.Gap, every: Sequence[figures.Gap]
) -> Open | None:
    widest = bench.limit_on(face, "join-within", "join-part")
    if gap.wide > widest or any(place.open_cloth for place in gap.places):
        return None
    here = min(figures.carried(place) for place in gap.places)
    sides = [figures.carried(place) for place in gap.beside if words.weight_of(place, gap.layer)]
    beside = min(sides, default=0.0)
    if not beside:
        return None
    ratio = figures.steady(min(1.0, here / beside))
    left = 1 - min(1.0, gap.wide / (2 * words.cell(bench, face))) * (1 - ratio)
    if gap.wide < words.narrow(bench, face):
        butts = ratio < bench.limit("held") and gap.long >= _least_seam(bench, face)
        meant = butts and bench.meant("butt join", layer, *gap.zones)
        if not butts or meant:
            return None
        return Open(layer, gap, "butt", ratio, left, False, gap.places)
    stands = all(words.stands(bench, place) for place in gap.places)
    if stands and (gap.filled < bench.limit("filled") or _pattern(gap, every)):
        return None
    shows = _shows(layer, gap) and (stands or ratio >= bench.limit("through"))
    level = _gap_level(bench, layer, gap, (ratio, left), stands)
    if level is None or _is_meant(bench, layer, gap):
        return None
    at = (*gap.places, *gap.beside) if stands else gap.places
    return Open(layer, gap, level, ratio, left, shows, at)


def _is_meant(bench: Bench, layer: Layer, gap: figures.Gap) -> bool:
    thin = bench.meant("thin", layer, *gap.places)
    return thin or bench.meant("gap", layer, *gap.places, *gap.zones)


def _gap_level(
    bench: Bench, layer: Layer, gap: figures.Gap, weights: tuple[float, float], stands: bool
) -> str | None:
    ratio, left = weights
    thin = left < bench.limit("stack-caution") - 1e-9
    if not stands:
        if left < bench.limit("stack-fault") - 1e-9:
            return "fault"
        if thin or ratio < bench.limit("through"):
            return "caution"
    if _shows(layer, gap):
        return "caution" if gap.wide > bench.limit("cover-gap") else None
    return "caution" if thin and (layer.role == "structure" or _hidden(gap)) else None


def _shows(layer: Layer, gap: figures.Gap) -> bool:
    """Whether the ground shows in a gap of a layer that was to hide it."""
    return layer.role == "cover" and not _hidden(gap)


def _hidden(gap: figures.Gap) -> bool:
    """Whether a later layer runs over the gap and over both its sides, so that nobody sees it."""
    over = [words.over(place, gap.layer) for place in (*gap.places, *gap.beside)]
    return bool(over) and bool(frozenset.intersection(*over))


def _pattern(gap: figures.Gap, every: Sequence[figures.Gap]) -> bool:
    """Whether gaps as wide come more than once in a layer: then they are a pattern."""
    alike = [one for one in every if abs(one.wide - gap.wide) <= 0.2 * gap.wide]
    return len(alike) > 1 or len(gap.zones) > 3


def _gap_finding(bench: Bench, face: FaceBuild, same: Sequence[Open]) -> Finding:
    one = min(same, key=lambda found: (found.level != "fault", found.shows))
    gap, layers = one.gap, [found.layer.name for found in same]
    where = f"between {words.listed(gap.zones)}"
    own = sum(
        max(words.weight_of(place, found.gap.layer) for place in gap.beside) for found in same
    )
    what = (
        "the ground will show there as a stripe" if one.shows
        else "the two will hardly join there" if one.ratio < bench.limit("through")
        else "the piece will be thin there and may tear along it"
    )  # fmt: skip
    return bench.finding(
        one.level,
        one.layer,
        f"{words.listed(layers)} leave{'s' if len(set(layers)) == 1 else ''} a gap of "
        f"{figures.length(gap.wide)} {where}: {what}.",
        f"Move their edges together and let one lie {figures.length(LAP)} over the other: about "
        f"{figures.weight(own * gap.long * (gap.wide + LAP))} more at {figures.areal(own)}.",
        measured=Figure("gap", gap.wide * 1000, "mm") if one.shows
        else Figure("weight in the gap, of that beside it", one.left, ""),
        limit=Figure("gap in a cover", bench.limit("cover-gap") * 1000, "mm") if one.shows
        else ("stack-fault" if one.level == "fault" else "stack-caution"),
        how=f"{figures.percent(one.ratio)} of the weight beside it lies in the gap; as fibre reaches "
        f"in from both sides, a place of {figures.length(words.cell(bench, face))} has at least "
        f"{figures.percent(one.left)}",
        where=where, also=(*dict.fromkeys(layers), *gap.zones), at=one.at,
    )  # fmt: skip


def _butt_finding(bench: Bench, same: Sequence[Open]) -> Finding:
    one = same[0]
    areal = max(words.weight_of(place, one.gap.layer) for place in one.gap.beside)
    gap = one.gap
    return _seam_finding(bench, one.layer, gap.zones, gap.long, one.ratio, gap.places, areal, 0)


# seams through the whole stack --------------------------------------------------------------------


def _least_seam(bench: Bench, face: FaceBuild) -> float:
    return bench.limit_on(face, "seam", "seam-part")


def seams(bench: Bench, on_face: Sequence[figures.Seam]) -> Iterator[Finding]:
    """Weak lines where zones only butt, in all layers at one place: one finding for a face."""
    weak = [seam for seam in on_face if _is_firm(seam)]
    if not weak or _is_meant_there(bench, weak):
        return
    worst = weak[0]
    number = min(laid.key[0] for seam in weak for laid in _apart(seam))
    zones = sorted({laid.placement.zone for laid in _apart(worst)})
    places = tuple(seam.line for seam in weak)
    areal = min(worst.one.areal, worst.two.areal)
    yield _seam_finding(
        bench, bench.recipe.layers[number], zones, worst.length, worst.held, places, areal,
        len(weak) - 1,
    )  # fmt: skip


def loose_seam(bench: Bench, faces: Sequence[Sequence[figures.Seam]]) -> Iterator[Tip]:
    """Zones of one loose layer that share a line: where hands lay them, fibre strays over it."""
    for on_face in faces:
        weak = [seam for seam in on_face if not _is_firm(seam)]
        if not weak or _is_meant_there(bench, weak):
            continue
        number = min(laid.key[0] for laid in _apart(weak[0]))
        zones = sorted({laid.placement.zone for laid in _apart(weak[0])} - {"whole"})
        yield bench.tip(
            bench.recipe.layers[number],
            f"Nothing is said to run across {' '.join(filter(None, ('the line', _at(zones))))}. Let one "
            f"lie {figures.length(LAP)} over the other, so that they hold.",
        )
        return


def weak_seams(bench: Bench, face: FaceBuild) -> list[figures.Seam]:
    """Lines across which next to nothing runs, the longest first."""
    if len(face.places) < 2:
        return []
    return [
        seam for seam in figures.seams(face)
        if seam.held < bench.limit("held") - 1e-9
        and seam.length >= _least_seam(bench, face)
        and _is_join(seam)
    ]  # fmt: skip


def _is_firm(seam: figures.Seam) -> bool:
    """Whether the line is one indeed: of sheets and cut batts, or of two layers on both sides."""
    apart = _apart(seam)
    if all(_has_edge(laid) for laid in apart):
        return True
    keys = {(laid.key, laid.turned) for laid in seam.one.stack}
    sides = [
        {laid.key[0] for laid in apart if ((laid.key, laid.turned) in keys) is side}
        for side in (True, False)
    ]
    return min(len(side) for side in sides) > 1


def _has_edge(laid: Laid) -> bool:
    """Whether it ends in a line of its own: a sheet, or batt that was cut."""
    sheets = all(part.stuff.lot.preparation in SHEETS for part in laid.parts)
    return sheets or laid.layer.lay == "sheet" or laid.layer.batt_edges == "cut"


def _apart(seam: figures.Seam) -> list[Laid]:
    """What lies on one side of a seam only."""
    one = {(laid.key, laid.turned) for laid in seam.one.stack}
    two = {(laid.key, laid.turned) for laid in seam.two.stack}
    return [
        laid for place, other in ((seam.one, two), (seam.two, one)) for laid in place.stack
        if (laid.key, laid.turned) not in other and laid.felting_share > 0
    ]  # fmt: skip


def _is_join(seam: figures.Seam) -> bool:
    apart = _apart(seam)
    return bool(apart) and all(words.is_body(laid.layer) for laid in apart)


def _is_meant_there(bench: Bench, weak: Sequence[figures.Seam]) -> bool:
    apart = [laid for seam in weak for laid in _apart(seam)]
    names = {name for laid in apart for name in (laid.placement.zone, laid.layer.name)}
    places = [place for seam in weak for place in (seam.one, seam.two)]
    return bench.meant("butt join", *places, *sorted(names))


def _at(zones: Sequence[str]) -> str:
    """Which line it is, in words, by the zones on either side."""
    named = [zone for zone in zones if zone != "whole"]
    if len(named) > 1:
        return "between " + words.listed(named)
    return f"at the edge of “{named[0]}”" if named else ""


def _seam_finding(
    bench: Bench, layer: Layer, zones: Sequence[str], long: float, held: float,
    places: tuple[Place, ...], areal: float, more: int,
) -> Finding:  # fmt: skip
    where = _at(zones)
    others = "" if not more else f" So do {more} other seam{'s' if more > 1 else ''}."
    return bench.finding(
        "caution",
        layer,
        f"Along {' '.join(filter(None, (figures.length(long), where)))} all that felts only butts, "
        + (f"but for {figures.percent(held)} of its weight" if held > 0.005 else
           "with nothing that runs across")
        + f": it will be a weak join, and may come apart there.{others}",
        f"Let one lie {figures.length(LAP)} over the other (about "
        f"{figures.weight(areal * long * LAP)} more), or let the layers meet at different places, or "
        "say that it is meant (on purpose, what: butt join).",
        measured=Figure("weight that runs across the seam", held, ""),
        limit="held",
        how="what lies on both sides of the line, over what the lighter side has; only fibre that "
        "felts, and cloth",
        where=where, also=tuple(zone for zone in zones if zone != "whole"), at=places,
    )  # fmt: skip
