"""weight-for-use: is the piece about as heavy as such a piece is laid?"""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import (
    Bench,
    Example,
    FaceBuild,
    Figure,
    Finding,
    Limit,
    Place,
    Rule,
    UseEntry,
    figures,
)

ALIKE = 0.02
"""How far the weights of places may lie from each other that are told as one figure, as a part of it."""
SHEETS = ("felt", "close cloth")
SAMPLES = ("swatch",)
"""Uses that may stand for any other."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Large places that are far too light; then the piece as a whole, if it is far too heavy."""
    use = bench.build.use
    if use is None or use.name in SAMPLES:
        return
    light = [place for place in _places(bench) if _is_light(bench, use, place)]
    if _part(bench, light) >= bench.limit("most"):
        yield _all_light(bench, use, light)
        return
    for face in bench.build.alike:
        here = [place for place in light if place.face is face]
        if figures.part_of(sum(place.area for place in here), face.area) >= bench.limit(
            "large-part"
        ):
            yield _some_light(bench, use, face, here)
    heavy = [place for place in _places(bench) if _is_heavy(bench, use, place)]
    if _part(bench, heavy) >= bench.limit("most"):
        yield _heavy(bench, use, heavy)


def _places(bench: Bench) -> list[Place]:
    """All places, those put together that are alike."""
    return [place for face in bench.build.alike for place in face.places]


def _part(bench: Bench, places: list[Place]) -> float:
    """Part that places are of all that is laid, both faces together."""
    laid = sum(place.area for place in _places(bench) if place.stack)
    return figures.part_of(sum(place.area for place in places), laid)


def _weight(place: Place) -> float:
    """All fibre there but open cloth, kg/m²."""
    return figures.weight_and_felts(place.stack)[0]


def _is_light(bench: Bench, use: UseEntry, place: Place) -> bool:
    """Far under the band, though closed: where it is bare, that is what matters.

    A prefelt is on its way to something: by itself it may be light, whatever it is to become.
    """
    if bench.recipe.piece.stage == "prefelt" and use.name != "prefelt sheet":
        return False
    if not place.stack or place.areal >= figures.steady(use.low / bench.limit("band-slack")):
        return False
    if place.width < bench.limit_on(place.face, "strip", "strip-part") or place.open_cloth:
        return False
    holding = [laid for laid in place.stack if laid.felting_share > 0]
    if holding and all(laid.layer.role == "open" for laid in holding):
        return False
    closed = any(p.stuff.lot.preparation in SHEETS for one in place.stack for p in one.parts)
    return (closed or place.bare() <= use.bare_caution) and not _meant(bench, "thin", place)


def _is_heavy(bench: Bench, use: UseEntry, place: Place) -> bool:
    if use.relief or bench.recipe.piece.over == "ball":
        return False
    far = _weight(place) > figures.steady(use.high * bench.limit("band-slack"))
    return far and not _meant(bench, "thick", place)


def _meant(bench: Bench, what: str, place: Place) -> bool:
    names: list[object] = [place.face.name]
    for laid in place.stack:
        names += [laid.layer, laid.placement.zone, laid.placement.of]
    return bench.meant(what, place, *names)


def _middle(places: list[Place]) -> float:
    """The weight per area that half of these places' area lies below."""
    ranked = sorted((_weight(place), place.area) for place in places)
    half, passed = sum(size for _, size in ranked) / 2, 0.0
    for areal, size in ranked:
        passed += size
        if passed >= half * (1 - 1e-9):
            return areal
    return 0.0


def _most_of(places: list[Place]) -> str:
    """Of what these places are most: the piece, or, where much of it is bare, what is laid."""
    faces = {id(place.face): place.face.area for place in places}
    part = figures.part_of(sum(place.area for place in places), sum(faces.values()))
    if part == 0.5:
        return "half of the piece"
    return "most of the piece" if part > 0.5 else "most of what is laid"


def _there(places: list[Place]) -> str:
    """A word that says that it isn't the whole piece, where it isn't."""
    if sum(place.share for place in places) > 0.97 * len({id(place.face) for place in places}):
        return ""
    faces = {id(place.face): place.face for place in places}
    return " " + " and ".join(
        figures.locate([p for p in places if p.face is face], face) for face in faces.values()
    )


def _usual(use: UseEntry) -> str:
    band = f"{figures.areal(use.low)} to {figures.areal(use.high)}"
    return f"usual for the use {use.name} is {band}"


def _all_light(bench: Bench, use: UseEntry, places: list[Place]) -> Finding:
    areal = _middle(places)
    short = sum((use.low - place.areal) * place.area for place in places)
    alike = all(abs(place.areal - areal) <= ALIKE * areal for place in places)
    slip, write = _slip(bench, use, areal, light=True)
    return bench.finding(
        "caution",
        bench.recipe.piece,
        f"Only {figures.areal(areal)} lies on {_most_of(places)}; {_usual(use)}. It may come out "
        f"too thin.{slip}",
        (
            f"Lay about {figures.areal_at_least(use.low - areal)} more{_there(places)}, that is "
            if alike
            else f"Bring what is lighter up to {figures.areal_at_least(use.low)}, that is "
        )
        + f"{figures.weight_at_least(short)} {'' if alike else 'more '}on one piece{write}, or say "
        f"that it is meant (on purpose, what: thin).",
        measured=Figure("weight per area", areal * 1000, "g/m²"),
        limit=_least(bench, use),
        how=_sum(bench, use, "/", use.low),
        also=("whole", *figures.names_at_all(places)),
        at=tuple(places),
    )


def _some_light(bench: Bench, use: UseEntry, face: FaceBuild, places: list[Place]) -> Finding:
    lightest = min(places, key=lambda place: (place.areal, place.area))
    areal = lightest.areal
    most, _ = figures.weightiest(lightest.stack)
    where = figures.locate(places, face)
    return bench.finding(
        "caution",
        most.about if most else bench.recipe.piece,
        f"Only {figures.areal(areal)} lies {where}; {_usual(use)}. It may come out too thin there.",
        f"Lay about {figures.areal_at_least(use.low - areal)} more there, or say that it is meant (on "
        f"purpose, what: thin).",
        measured=Figure("weight per area", areal * 1000, "g/m²"),
        limit=_least(bench, use),
        how=_sum(bench, use, "/", use.low),
        where=where,
        also=(*figures.names_at_all(places), *(() if face.name == "whole" else (face.name,))),
        at=tuple(places),
    )


def _heavy(bench: Bench, use: UseEntry, places: list[Place]) -> Finding:
    areal = _middle(places)
    much = sum((place.areal - use.high) * place.area for place in places)
    alike = all(abs(place.areal - areal) <= ALIKE * areal for place in places)
    slip, write = _slip(bench, use, areal, light=False)
    return bench.finding(
        "caution",
        bench.recipe.piece,
        f"{figures.areal(areal)} lies on {_most_of(places)}; {_usual(use)}. It may come out too "
        f"thick and stiff, and be slow to felt through.{slip}",
        (
            f"Lay about {figures.areal_at_least(areal - use.high)} less{_there(places)}, that is "
            if alike
            else f"Bring what is heavier down to {figures.areal_at_most(use.high)}, that is "
        )
        + f"{figures.weight_at_least(much)} {'' if alike else 'less '}on one piece{write}, or say "
        f"that it is meant (on purpose, what: thick).",
        measured=Figure("weight per area", areal * 1000, "g/m²"),
        limit=Figure(
            "highest of the use, with slack", use.high * bench.limit("band-slack") * 1000, "g/m²"
        ),
        how=_sum(bench, use, "x", use.high),
        also=("whole", *figures.names_at_all(places)),
        at=tuple(places),
    )


def _least(bench: Bench, use: UseEntry) -> Figure:
    least = use.low / bench.limit("band-slack")
    return Figure("lowest of the use, with slack", least * 1000, "g/m²")


def _sum(bench: Bench, use: UseEntry, sign: str, end: float) -> str:
    return (
        f"all fibre that lies there (open cloth left out), over its area; limit = "
        f"{figures.areal(end)} {sign} {bench.limit('band-slack'):g}"
    )


INCHES = 2.54**2
"""How much larger a layout is in inches than in centimetres."""


def _in_inches(bench: Bench, use: UseEntry, areal: float, light: bool) -> tuple[str, str]:
    """Sides in inches that were written as centimetres: where it is too heavy, and then quite usual."""
    size = bench.recipe.piece.laid_out
    usual = use.low <= areal / INCHES <= use.high
    if light or size is None or not usual or not size.text.endswith("cm"):
        return "", ""
    text = size.text.replace("cm", "in")
    return (
        f" If its sides are inches, it is laid out {text} and weighs {figures.areal(areal / INCHES)}.",
        f"; or write laid out: {text}, and all other lengths in inches too",
    )


def _slip(bench: Bench, use: UseEntry, areal: float, light: bool) -> tuple[str, str]:
    """A slip that would explain it, in words and what to write: one's weight given for the pair,
    the pair's for one, or each face's for both. Only where undoing it is quite usual.
    """
    piece = bench.recipe.piece
    placed = [one for layer in bench.recipe.layers for one in layer.placements]
    if any(one.amount.kind != "weight" for one in placed):
        return "", ""
    said = piece.amounts_for if piece.count > 1 else None
    if said == ("all" if light else "one"):
        other = areal * piece.count if light else areal / piece.count
        pieces = f"all {piece.count} pieces"
        now, then = (pieces, "one piece") if light else ("one piece", pieces)
        write = f"amounts for: {'one' if light else 'all'}"
    elif light and placed and all(one.face == "both" for one in placed):
        other, now, then, write = 2 * areal, "both faces together", "each face", "face: each"
    else:
        return _in_inches(bench, use, areal, light)
    if not use.low <= other <= use.high:
        return _in_inches(bench, use, areal, light)
    return (
        f" The amounts are said to be for {now}; if they are for {then}, it is "
        f"{figures.areal(other)}, which is as usual.",
        f", or write {write} if that is what they are",
    )


_PIECE = """\
piece: {{title: Low water, use: {use}, shape: rectangle, laid out: 60 x 40 cm, stage: firm}}
lots:
  fog: {{fibre: merino, preparation: combed top, fineness: 18.5 um}}
layers:
  - {{name: along, of: fog, amount: {each}, direction: east-west, lay: shingle}}
  - {{name: across, of: fog, amount: {each}, direction: north-south, lay: shingle}}
"""

RULE = Rule(
    id="weight-for-use",
    title="As heavy as such a piece is laid",
    since="0.1.0",
    purpose="Slippers with the weight of a scarf wear through; a scarf with the weight of a bag stands by "
    "itself. Too light is judged at every large place, too heavy on the piece as a whole: a sole, a "
    "heart or a border may be thick.",
    judge=judge,
    limits=(
        Limit(
            "band-slack", 1.3, "", "how far beyond the use's usual weights a piece may be, as a "
            "factor either way", "common practice, no source", "layout weights of 30 to 2500 g/m²",
        ),
        Limit(
            "most", 0.5, "", "part of all that is laid from which it is the piece that is too light "
            "or too heavy", "common practice, no source",
        ),
        Limit(
            "large-part", 0.1, "", "part of a face that may be too light for the use",
            "common practice, no source",
        ),
        Limit(
            "strip", 0.025, "m", "a rim narrower than this is not held against the use's weight",
            "common practice, no source",
        ),
        Limit(
            "strip-part", 0.1, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
    ),
    examples=(
        Example(
            "slippers with the weight of a scarf", _PIECE.format(use="slippers", each="60 g/m²"),
            "caution",
        ),
        Example(
            "a scarf with the weight of a bag", _PIECE.format(use="scarf", each="250 g/m²"),
            "caution",
        ),
        Example("a scarf with the weight of a scarf", _PIECE.format(use="scarf", each="50 g/m²")),
        Example("a bag with the weight of a bag", _PIECE.format(use="bag", each="250 g/m²")),
        Example("a swatch of any weight", _PIECE.format(use="swatch", each="250 g/m²")),
        Example("slippers a little light", _PIECE.format(use="slippers", each="200 g/m²")),
    ),
    purposes=("thin", "thick"),
    model="The layout weight of the whole stack at each place, against the band of the table of uses. "
    "Nothing is computed beyond that; a caution only from 1.3 times beyond the band, never a fault.",
    weak_spots="The bands are common practice and by likeness; none is measured. Wool that felts harder "
    "may be laid lighter. A place that is bare is left to thin-layer. Balls, and uses in which relief "
    "is intended, are never too heavy. What open cloth carries is never too light.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
    explained_by=("thin-layer",),
)  # fmt: skip
