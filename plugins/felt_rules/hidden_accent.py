"""What halo-clash sees of accents: laid where no face that shows will ever show them."""

from __future__ import annotations

from collections.abc import Iterator

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
        bared = _bared(bench, face)
        for number, place in enumerate(face.places):
            accents = [laid for laid in place.stack if laid.layer.role == "accent"]
            over = [_over(place, surface) for surface in every] if accents else []
            seen = [over[every.index(surface)] for surface in shows] if accents else []
            for laid in accents:
                shown, any_way = (
                    0.0 if bared[number] >= laid.key[0] else min(one[id(laid)] for one in covers)
                    for covers in (seen, over)
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


def _over(place: Place, surface: str) -> dict[int, float]:
    """Of each laid at a place, by its identity: coverage of what lies between it and a surface.

    Accents, veils and open cloth are left out. None of it counts over what is as heavy itself: that
    shows by its relief.
    """
    own: dict[Key, float] = {}
    for laid in place.stack:
        own[laid.portion_of] = own.get(laid.portion_of, 0.0) + laid.areal
    found: dict[int, float] = {}
    areal = coverage = 0.0
    for laid in place.stack if surface in ("bottom", "inside") else reversed(place.stack):
        heavy = figures.steady(own[laid.portion_of]) >= figures.steady(areal)
        found.setdefault(id(laid), 0.0 if heavy else coverage)
        areal += 0.0 if laid.is_open_cloth else laid.areal
        if not laid.is_open_cloth and laid.layer.role not in ("accent", "veil", "open"):
            coverage += laid.coverage
    return found


def _bared(bench: Bench, face: FaceBuild) -> list[int]:
    """For each place the last layer below a resist there, which is cut open to show it; or -1."""
    recipe, found = bench.recipe, [-1] * len(face.places)
    names = [layer.name for layer in recipe.layers]
    for resist in recipe.resists:
        if resist.above not in names or not resist.lies_on(face.name):
            continue
        zone, depth = recipe.zone(resist.zone), names.index(resist.above)
        areas = [1.0] * len(found) if zone is None else face.areas_in(zone)
        found = [
            max(last, depth) if area > 0 else last for last, area in zip(found, areas, strict=True)
        ]
    return found


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
