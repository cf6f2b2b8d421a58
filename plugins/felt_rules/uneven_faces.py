"""The two faces of a flat resist: walls of one thing that shrink alike? For uneven-shrinking."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import attrs

from felt_engine import Bench, FaceBuild, Figure, Laid, Said, figures

ONE_FACE = ("front", "back")
LIKE = 1e-6
"""Part of the greatest difference below which two weights are alike but for rounding."""
HEAVIER = 1.15
"""Times the weight from which the weights are said to make the difference."""


@attrs.frozen(eq=False, repr=False)
class Wall:
    """One face: all fibre on it, and that without what decorates, as (kg/m², feltability)."""

    face: FaceBuild
    every: tuple[float, float]
    plain: tuple[float, float]


def judge(
    bench: Bench, stage: str, least: str, is_decor: Callable[[Laid], bool], enough: float
) -> Iterator[Said]:
    """A finding where one face is to shrink far less than the other, or what would tell.

    ``stage`` is how far it is felted, ``least`` how far it is at least.
    """
    use = bench.build.use
    if use is None or not use.walls or len(bench.build.faces) != 2:
        return
    walls = [_wall(face, is_decor) for face in bench.build.faces]
    if not all(wall.plain[0] for wall in walls):
        return
    hand = walls[0].face.hand

    def differ(at: str) -> float:
        """By how much, as it is and without what decorates: the lesser; 0 where they disagree."""
        front, back = walls
        every = figures.fibre_strain(front.every, at, hand) - figures.fibre_strain(
            back.every, at, hand
        )
        plain = figures.fibre_strain(front.plain, at, hand) - figures.fibre_strain(
            back.plain, at, hand
        )
        return figures.steady(min(every, plain, key=abs)) if every * plain > 0 else 0.0

    apart, limit = differ(stage), bench.limit("faces")
    if figures.steady(abs(apart)) < limit:
        return
    more, less = walls if apart > 0 else reversed(walls)
    found = _culprit(less, more, is_decor)
    if found is None or _meant(bench, walls):
        return
    if abs(differ(least)) < limit:
        yield bench.unsaid(
            bench.recipe.piece,
            "say the stage: whether a front and a back that shrink unlike will show depends on it",
        )
        return
    there, culprit = found
    yield _finding(
        bench,
        less,
        more,
        _odd(bench, less, more, there),
        culprit,
        stage,
        abs(apart),
        enough * limit,
    )


def _wall(face: FaceBuild, is_decor: Callable[[Laid], bool]) -> Wall:
    """Open cloth carries by itself: where it lies, wool isn't weighed against wool."""
    places = [place for place in face.places if place.stack and not place.open_cloth]
    every = [(place.area, place.stack) for place in places]
    plain = [(area, [one for one in stack if not is_decor(one)]) for area, stack in every]
    return Wall(face, figures.mean_fibre(every), figures.mean_fibre(plain))


def _apart(heavy: Wall, light: Wall) -> list[tuple[float, Laid]]:
    """What lies on the two in unlike weights: how much more on the first (kg), and it."""
    more: dict[tuple[str, str], float] = {}
    first: dict[tuple[str, str], Laid] = {}
    for wall, way in ((heavy, 1), (light, -1)):
        for laid, area in wall.face.laid:
            key = laid.layer.name, laid.placement.of
            more[key] = more.get(key, 0.0) + way * laid.areal * area
            first.setdefault(key, laid)
    least = LIKE * max(map(abs, more.values()), default=0.0)
    return [(kg, first[key]) for key, kg in more.items() if abs(kg) > least]


def _culprit(less: Wall, more: Wall, is_decor: Callable[[Laid], bool]) -> tuple[Wall, Laid] | None:
    """What makes the difference most, and the face on which there is more of it.

    Of the heavier face, if there is anything that decorates nothing; else of the other.
    """
    pairs = [(less, more), (more, less)]
    if less.plain[0] < more.plain[0]:
        pairs.reverse()
    for heavy, light in pairs:
        found = [(kg, laid) for kg, laid in _apart(heavy, light) if kg > 0 and not is_decor(laid)]
        if found:
            return heavy, max(found, key=lambda one: round(one[0], 9))[1]
    return None


def _meant(bench: Bench, walls: list[Wall]) -> bool:
    names: list[object] = []
    for _, laid in _apart(*walls):
        names += [laid.layer, laid.placement.zone, laid.placement.of]
    return any(bench.meant(what, *ONE_FACE, *names) for what in ("relief", "thick", "thin"))


def _odd(bench: Bench, less: Wall, more: Wall, there: Wall) -> Wall:
    """The face that is out of the ordinary: a slow one, one too light, else the one that has more."""
    use = bench.build.use
    if not _is_heavier(less, more):
        return less
    return more if use is not None and more.every[0] < use.low else there


def _is_heavier(less: Wall, more: Wall) -> bool:
    """Whether the difference comes of weight, and not of wool."""
    return less.plain[0] >= HEAVIER * more.plain[0]


def _finding(
    bench: Bench,
    less: Wall,
    more: Wall,
    odd: Wall,
    culprit: Laid,
    stage: str,
    size: float,
    most: float,
) -> Said:
    one, two = less.face.name, more.face.name
    why = "of wool that felts more slowly than"
    if _is_heavier(less, more):
        why = f"{less.plain[0] / more.plain[0]:.1f} times as heavy as"
    return bench.finding(
        "caution",
        culprit.about,
        f"The {one} is laid {why} the {two}, so it shrinks less. The piece may come out lopsided, "
        f"its edges drawn over to the {two}.",
        f"{_mend(less, more, stage, most)}; if it is wanted, say so (on purpose, what: relief).",
        measured=Figure("difference in strain", size, ""),
        limit="faces",
        how=f"{_sum(less, stage)}; {_sum(more, stage)}; means without accents and veils, "
        f"difference: {size:.2f}",
        where=f"{one} and {two}",
        also=(culprit.layer.name, culprit.placement.of, *ONE_FACE),
        at=tuple(place for place in odd.face.places if place.stack),
    )


def _mend(less: Wall, more: Wall, stage: str, most: float) -> str:
    hand = less.face.hand
    ways = []
    need = figures.levelled(more.plain, less.plain, stage, most, hand)
    if need is not None and need > more.plain[0]:
        added = figures.areal_at_least(need - more.plain[0])
        ways.append(f"lay about {added} more on the {more.face.name}")
    down = figures.levelled(less.plain, more.plain, stage, most, hand)
    if down is not None and down < less.plain[0]:
        ways.append(
            f"bring the {less.face.name} down to about {figures.areal_at_most(down)} in all"
        )
    if not ways:
        ways.append("take wool that felts alike for both, and lay as much of it")
    text = ", or ".join(ways)
    return f"{text[0].upper()}{text[1:]}"


def _sum(wall: Wall, stage: str) -> str:
    weight, felts = wall.plain
    strain = figures.fibre_strain(wall.plain, stage, wall.face.hand)
    shorter = figures.percent(figures.shrinkage(strain))
    return (
        f"{wall.face.name}: {figures.areal(weight)} of feltability {felts:.2f}, at {stage} strain "
        f"{strain:.2f} ({shorter} shorter)"
    )
