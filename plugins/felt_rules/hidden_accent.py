"""What halo-clash sees of accents: laid where no face that shows will ever show them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

from felt_engine import Bench, FaceBuild, Figure, Laid, Place, Said, figures

Key = tuple[object, ...]

ALL = 0.9
"""Part of a face from which a layer lies all over it (own choice)."""


def judge(bench: Bench) -> Iterator[Said]:
    """Accents on parts that lie deep under wool wherever they lie, seen from each face that shows."""
    piece = bench.recipe.piece
    shows, every = piece.shown or piece.surfaces[1:], piece.shown or piece.surfaces
    for face in bench.build.alike:
        least: dict[Key, tuple[float, float, Laid]] = {}
        lying: dict[Key, list[Place]] = {}
        for place in face.places:
            for laid in place.stack:
                if laid.layer.role == "accent":
                    bared = _is_bared(bench, place, laid)
                    shown, any_way = (
                        0.0 if bared else min(_over(place, laid, surface) for surface in surfaces)
                        for surfaces in (shows, every)
                    )
                    known = least.get(laid.portion_of)
                    if known is not None:
                        any_way = min(any_way, known[1])
                    if known is None or shown < known[0]:
                        known = shown, any_way, laid
                    least[laid.portion_of] = known[0], any_way, known[2]
                    lying.setdefault(laid.portion_of, []).append(place)
        for key, (shown, any_way, laid) in least.items():
            names = (laid.layer, laid.placement.zone, laid.placement.of, face.name)
            buried = bench.limit("buried")
            if (
                figures.steady(shown) < buried
                or bench.meant("hidden", *names)
                or _all_over(face, laid)
            ):
                continue
            if figures.steady(any_way) >= buried:
                yield _finding(bench, laid, shown, tuple(lying[key]), shows)
            else:
                yield bench.unsaid(
                    laid.about,
                    f"say which face shows (piece, shows): from the {shows[0]}, “{laid.placement.of}” lies "
                    f"under too much wool to be seen",
                )


def _all_over(face: FaceBuild, laid: Laid) -> bool:
    """Whether the layer has this lot wherever the face is, in however many parts: then it is no accent."""
    own = (laid.key[0], laid.placement.of)
    here = [p for p in face.places if any((o.key[0], o.placement.of) == own for o in p.stack)]
    return figures.part_of(sum(place.area for place in here), face.area) >= ALL


def _over(place: Place, laid: Laid, surface: str) -> float:
    """Coverage of what lies between a layer and a surface, accents and veils left out.

    None of it counts over what is as heavy itself: that shows by its relief.
    """
    layers = figures.inward(place.stack, surface)
    over = list(takewhile(lambda one: one is not laid, layers))
    own = sum(one.areal for one in place.stack if one.portion_of == laid.portion_of)
    if figures.steady(own) >= figures.steady(sum(one.areal for one in over)):
        return 0.0
    return sum(one.coverage for one in over if one.layer.role not in ("accent", "veil", "open"))


def _is_bared(bench: Bench, place: Place, laid: Laid) -> bool:
    """Whether a resist lies over it there, which is cut open to show what lies below."""
    recipe = bench.recipe
    names = [layer.name for layer in recipe.layers]
    for resist in recipe.resists:
        zone = recipe.zone(resist.zone)
        over = resist.above in names and names.index(resist.above) >= laid.key[0]
        if over and resist.lies_on(place.face.name) and (zone is None or place.area_in(zone) > 0):
            return True
    return False


def _finding(
    bench: Bench, laid: Laid, cover: float, at: tuple[Place, ...], shows: tuple[str, ...]
) -> Said:
    of, face = laid.placement.of, at[0].face
    faces = " and the ".join(shows)
    which = "face that shows" if len(shows) == 1 else "faces that show"
    return bench.finding(
        "caution", laid.about,
        f"The accent “{of}” lies under so much wool that hardly anything of it comes to the {faces}, "
        f"the {which}: it will hardly be seen.",
        "Lay it after what lies over it; or say which face shows (piece, shows), if it is laid face "
        "down; or that it is to stay hidden (on purpose, what: hidden).",
        measured=Figure("coverage over it", cover, ""), limit="buried",
        how="coverage of all that lies between it and the face, where that is least; accents and veils "
        "left out",
        where=figures.locate(at, face),
        also=tuple(name for name in (laid.layer.name, of, laid.placement.zone, face.name)
                   if name != "whole"),
        at=at,
    )  # fmt: skip
