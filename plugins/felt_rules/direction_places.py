"""What direction-balance sees part by part: uneven places, a middle inside its edge, round pieces."""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import Bench, FaceBuild, Figure, Laid, Place, Said, Zone, figures
from felt_rules import direction_words as words

ALONG = 0.5 - 1e-6
"""Cosine of twice the angle, 30°, up to which a pull lies along a side; 30° itself does."""
SHAPED = ("cut", "trim", "shape")
"""Steps after which a round is as round as its maker wants it."""


def lengthways(bench: Bench, face: FaceBuild, pull: complex) -> bool:
    """Whether this is a strap, a cord, a narrow band that is laid along its length."""
    use = bench.build.use
    ratio = figures.steady(face.longer_side / face.shorter_side)
    along = not pull or figures.along_axis(pull, face.long_axis) >= ALONG
    if use is not None and use.one_way:
        return along or ratio < bench.limit("strap-ratio")
    narrow = face.shorter_side <= bench.limit("strap-width")
    on_table = bench.recipe.piece.over == "table"
    return along and narrow and on_table and ratio >= bench.limit("strap-ratio")


def is_meant(bench: Bench, laid: Laid) -> bool:
    placement = laid.placement
    return bench.meant("laid one way", laid.layer, placement.zone, placement.of)


def middle(bench: Bench, face: FaceBuild, edge: str) -> Iterator[Said]:
    """An edge that is to ruffle or draw in says nothing about a middle far from it."""
    reach = bench.limit("edge-reach")
    uneven = [p for p in face.places if _local(bench, p) > bench.limit("local")]
    meant = _zones_meant(bench, uneven)
    share = figures.part_of(sum(place.beyond(reach, meant) for place in uneven), face.area)
    if share < bench.limit("middle"):
        return
    worst = max(uneven, key=lambda place: figures.ranked(place.beyond(reach)))
    along, across = words.way(worst.pull), words.way(-worst.pull)
    side = "" if face.name == "whole" else f"the {face.name}"
    middle = f"the middle of {side}" if side else "the middle"
    yield bench.finding(
        "caution",
        _main(worst),
        f"The edge is meant to {edge}, but {middle}, {figures.length(reach)} and more from it, "
        f"pulls {along} too. It may draw in {along} and be weak {across}.",
        words.reach_over(face, uneven, figures.pieces(bench.build), reach) + words.MEANT,
        measured=Figure("part of the face that is middle and pulls one way", share, ""),
        limit="middle",
        how=f"|R| there is {abs(worst.pull):.2f}, limit {bench.limit('local'):.2f}",
        where=", ".join(filter(None, (side, f"more than {figures.length(reach)} from the edge"))),
        also=words.place_names(uneven),
        at=tuple(uneven),
    )


def _heavy(place: Place) -> tuple[float, float]:
    """What tells apart two parts that count alike: how far it pulls, and its weight."""
    return figures.ranked(abs(place.pull)), figures.ranked(place.areal)


def _main(place: Place) -> object:
    """What pulls most there, in however many portions."""
    most, _ = figures.weightiest(place.stack, lambda one: figures.toward((one, 1.0), place.pull))
    return most.about if most is not None else place.stack[0].about


def uneven_places(bench: Bench, face: FaceBuild, free: bool = False) -> Iterator[Said]:
    """Parts of the face that pull one way although the whole is in balance.

    Where the outline is free only large ones count, for what they lack across.
    """
    limit = bench.limit("free-local" if free else "local")
    part = "free-area" if free else "local-area"
    least = bench.limit(part)
    uneven = [p for p in face.places if _local(bench, p) > limit]
    if figures.part_of(sum(place.area for place in uneven), face.area) < least:
        return
    reach = bench.limit("staple-reach")
    meant = _zones_meant(bench, uneven)
    counted = {
        place: max(0.0, 1 - 2 * reach / place.width) * _left(place, meant)
        for place in uneven if place.width > 0
    }  # fmt: skip
    share = figures.part_of(sum(counted.values()), 1.0)
    if share < least:
        return
    worst = max(counted, key=lambda place: (figures.ranked(counted[place]), *_heavy(place)))
    alike = [p for p in counted if figures.alike(p.pull, worst.pull) > 0.7]
    where = figures.locate(alike, face)
    along = words.way(worst.pull)
    yield bench.finding(
        "caution",
        _main(worst),
        f"The piece as a whole is in balance, but {where} what felts pulls {along}. That part may "
        + (
            f"be weak {words.way(-worst.pull)}."
            if free
            else f"draw in {along} and pucker beside its neighbours."
        ),
        words.reach_over(face, alike, figures.pieces(bench.build)) + words.MEANT,
        measured=Figure("share of the face that pulls one way", share, ""),
        limit=part,
        how=f"|R| there is {abs(worst.pull):.2f}, limit {limit:.2f}; parts narrower than "
        f"{figures.length(2 * reach)} are bridged by the staple and not counted",
        where=where,
        also=words.place_names(alike),
        at=tuple(alike),
    )


def _local(bench: Bench, place: Place) -> float:
    if any(laid.lacks_direction for laid in place.stack):
        return 0.0
    if bench.meant("laid one way", place) or any(is_meant(bench, laid) for laid in place.stack):
        return 0.0
    one_way = lengthways(bench, place.face, place.pull)
    return 0.0 if one_way else figures.steady(abs(place.pull))


def _left(place: Place, meant: list[Zone]) -> float:
    return (place.beyond(0.0, meant) if meant else place.area) / place.face.area


def _zones_meant(bench: Bench, places: list[Place]) -> list[Zone]:
    """Zones that are meant to be laid one way and take a part of these places."""
    zones = bench.recipe.zones if bench.recipe.purposes else ()
    taking = [z for z in zones if any(p.area_in(z) > 0.001 * p.area for p in places)]
    return [zone for zone in taking if bench.meant("laid one way", zone)]


def squareness(bench: Bench, face: FaceBuild) -> Iterator[Said]:
    """Advice on a round that is wanted round and laid in nothing but a cross."""
    piece = bench.recipe.piece
    if (piece.form, piece.outline, piece.over) != ("round", "round", "table"):
        return
    if any(step.do in SHAPED for step in bench.recipe.work) or not face.places:
        return
    wide = [place for place in face.places if place.share >= bench.limit("local-area")]
    least = min((figures.fourfold(place.stack) for place in wide), default=0.0)
    if figures.steady(least) < bench.limit("square"):
        return
    yield bench.tip(
        piece,
        "A round that is laid in nothing but crossed combed top may come out a little square, flat "
        "where the fibre runs to the edge. If it has to be truly round, lay the last layer from the "
        "middle outwards (radial) or a pair of layers turned by an eighth, work its rim by hand "
        "while it is soft, or cut it round.",
    )
