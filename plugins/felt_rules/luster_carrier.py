"""luster-carrier: is fibre that does not felt held by wool that does?"""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from felt_engine import Bench, Example, FaceBuild, Figure, Laid, Limit, Place, Rule, Said, figures

Key = tuple[object, ...]


@attrs.frozen(eq=False, repr=False)
class Loose:
    """A placement that is badly held somewhere: how badly, where, and on which surface."""

    laid: Laid
    level: str
    share: float
    depth: float
    place: Place
    surface: str
    body: bool = False


def judge(bench: Bench) -> Iterator[Said]:
    """Both surfaces of every place; the worst place of each placement is the finding."""
    for face in bench.build.faces:
        worst: dict[Key, Loose] = {}
        unsure: dict[Key, Laid] = {}
        for place in face.places:
            if not any(_is_loose(laid, place) for laid in place.stack):
                continue
            for surface in bench.recipe.piece.surfaces:
                for loose in _surface(bench, face, place, surface, unsure):
                    known = worst.get(_key(loose.laid))
                    if not _is_narrow(bench, place) and (known is None or _worse(loose, known)):
                        worst[_key(loose.laid)] = loose
        for loose in worst.values():
            yield _body(bench, loose) if loose.body else _finding(bench, face, loose)
        for key, laid in unsure.items():
            if key not in worst:
                yield bench.unsaid(
                    bench.recipe.piece,
                    f"say the felting stage: whether “{laid.placement.of}” is held depends on it",
                )


def _key(laid: Laid) -> Key:
    """What one finding is about: one lot on one zone in one layer, in however many portions."""
    return laid.key[0], laid.placement.of, laid.placement.zone


def _is_loose(laid: Laid, place: Place) -> bool:
    """Whether it has fibre to hold. Where nothing felts, treated wool is left to thin-layer."""
    return laid.has_loose and (place.felting_areal > 0 or not laid.is_wool)


def _is_narrow(bench: Bench, place: Place) -> bool:
    """Whether it is tied in from its sides."""
    part = place.face.shorter_side * bench.limit("narrow-part")
    return place.width < min(bench.limit("narrow"), part)


def _worse(one: Loose, two: Loose) -> bool:
    rank = ("note", "caution", "fault")
    return (rank.index(one.level), -one.share) > (rank.index(two.level), -two.share)


def _surface(
    bench: Bench, face: FaceBuild, place: Place, surface: str, unsure: dict[Key, Laid]
) -> Iterator[Loose]:
    layers = figures.inward(place.stack, surface)
    yield from _bodies(bench, face, layers, place, surface)
    loose = [laid for laid in layers if not laid.is_body]
    if not loose:
        return
    depths = figures.depths(bench.recipe.piece.stage)
    if all(figures.held_at_least(loose, depth, bench.limit("caution")) for depth in depths):
        return
    meant = [laid for laid in loose if laid.has_loose and _meant(bench, place, laid)]
    found: list[tuple[str | None, figures.Anchoring]] = []
    for depth in depths:
        held = figures.anchoring(loose, depth, meant)
        found.append((_level(bench, held), held))
    levels = {level for level, _ in found}
    open_to = [laid for laid in loose if laid not in meant and _is_loose(laid, place)]
    main = _main(loose, open_to, found[0][1])
    if main is None or levels == {None}:
        return
    if None in levels:
        if not _is_narrow(bench, place):
            unsure.setdefault(_key(main), main)
        return
    level = "fault" if levels == {"fault"} else "caution"
    held = max((held for _, held in found), key=lambda h: h.share)
    yield Loose(main, level, held.share, held.depth, place, surface)


def _level(bench: Bench, held: figures.Anchoring) -> str | None:
    if held.share >= bench.limit("caution"):
        return None
    fault = bench.limit("fault")
    return "fault" if held.share < fault and held.kinder < fault else "caution"


def _main(layers: list[Laid], among: list[Laid], held: figures.Anchoring) -> Laid | None:
    """The placement among these whose fibre that does not felt takes most of the face."""
    best, most = None, 0.0
    for laid, share in zip(layers, held.shares, strict=True):
        loose = share * (1 - laid.felting_share)
        if laid in among and loose > most:
            best, most = laid, loose
    return best


def _meant(bench: Bench, place: Place, laid: Laid) -> bool:
    names = (laid.placement.zone, laid.placement.of, place.face.name)
    return bench.meant("loose fibre", laid.layer, place, *names)


def _bodies(
    bench: Bench, face: FaceBuild, layers: list[Laid], place: Place, surface: str
) -> Iterator[Loose]:
    """Neps and yarn: held by felting fibre mixed in, or by a veil over them."""
    for index, laid in enumerate(layers):
        if not any(p.stuff.is_body and not p.stuff.holds for p in laid.parts):
            continue
        held = sum(part.share for part in laid.parts if part.stuff.holds)
        veil = figures.felting_cover_above(layers, index)
        below = figures.felting_cover_above(list(reversed(layers)), len(layers) - 1 - index)
        if held >= bench.limit("body-share") or _meant(bench, place, laid):
            continue
        if veil < bench.limit("body-veil") and (veil < below or below == 0):
            yield Loose(laid, "caution", held, 0.0, place, surface, body=True)


def _about(laid: Laid) -> object:
    return laid.layer if laid.placement.inline else laid.placement


def _also(laid: Laid, face: str) -> tuple[str, ...]:
    zone = laid.placement.zone
    names = (laid.layer.name, laid.placement.of, "" if zone == "whole" else zone, face)
    return tuple(name for name in names if name and name != "whole")


def _fibres(laid: Laid) -> str:
    names = {
        ("treated " if p.stuff.lot.treatment == "shrink-proofed" else "") + p.stuff.fibre.name
        for p in laid.parts
        if not p.stuff.holds
    }
    return " and ".join(sorted(names))


def _finding(bench: Bench, face: FaceBuild, loose: Loose) -> Said:
    laid = loose.laid
    where = loose.place.whereabouts.words
    surface = f"the {loose.surface}" + ("" if face.name == "whole" else f", {face.name}")
    laid_at = f"at {figures.areal(laid.areal)} on {surface}"
    if loose.place.felting_areal <= 0:
        what = f"“{laid.placement.of}” lies {laid_at} where nothing felts, so nothing holds it"
    elif any(p.stuff.holds for p in laid.parts):
        what = f"“{laid.placement.of}” lies {laid_at} with too little wool in it for its "
        what += _fibres(laid)
    else:
        what = f"The {_fibres(laid)} of “{laid.placement.of}” lies {laid_at}: too thick for wool "
        what += "to come through and hold it"
    ends = "It will rub off." if loose.level == "fault" else "It may rub off or lift in sheets."
    return bench.finding(
        loose.level,
        _about(laid),
        f"{what}. {ends}",
        "Lay it thinner, blend felting wool into it (a third or more), or lay a fine veil of wool "
        "over it, about 10 g/m² (0.3 oz/yd²).",
        measured=Figure("anchor share", loose.share, ""),
        limit="fault" if loose.level == "fault" else "caution",
        how=_sum(loose),
        where=where,
        also=_also(laid, face.name),
        at=(loose.place,),
    )


def _sum(loose: Loose) -> str:
    laid = loose.laid
    return (
        f"coverage of what lies there c = {laid.coverage:.2f}, felting part of it "
        f"{laid.felting_share:.2f}; share of felting fibre at the face for fibre that wanders "
        f"L = {loose.depth:.1f} (good to a factor of 1.5, so this is a class, not a forecast): "
        f"A = {loose.share:.2f}"
    )


def _body(bench: Bench, loose: Loose) -> Said:
    laid = loose.laid
    kinds = {p.stuff.lot.preparation for p in laid.parts if p.stuff.is_body and not p.stuff.holds}
    kind = " and ".join(sorted(str(k) for k in kinds))
    return bench.finding(
        "caution",
        _about(laid),
        f"The {_fibres(laid)} {kind} of “{laid.placement.of}” lie on the surface with no felting "
        f"wool among or over them. Many may drop.",
        "Card them into felting wool (half or more), or lay a fine veil of wool over them, about "
        "10 g/m² (0.3 oz/yd²).",
        measured=Figure("felting share of the placement", loose.share, ""),
        limit="body-share",
        how="felting weight over all weight of the placement; a few neps drop from any felt",
        where=loose.place.whereabouts.words,
        also=_also(laid, loose.place.face.name),
        at=(loose.place,),
    )


_PANEL = """\
piece: {{title: Tide line, use: wall panel, shape: rectangle, laid out: 40 x 30 cm, stage: firm}}
lots:
  sand: {{fibre: merino, preparation: combed top, fineness: 20 um{treated}}}
  gleam: {{fibre: {fibre}, preparation: combed top}}
blends:
  mixed: {{sand: 70 %, gleam: 30 %}}
zones:
  line: {{shape: band, along: south, from: 8 cm, to: 14 cm}}
layers:
  - {{name: along, of: sand, amount: 150 g/m², direction: east-west}}
  - {{name: across, of: sand, amount: 150 g/m², direction: north-south}}
  - {{name: line, of: {of}, amount: {amount}, zone: line, direction: east-west}}
{veil}"""


def _panel(amount: str, of: str = "gleam", fibre: str = "viscose", treated: str = "",
           veil: str = "") -> str:  # fmt: skip
    return _PANEL.format(amount=amount, of=of, fibre=fibre, treated=treated, veil=veil)


RULE = Rule(
    id="luster-carrier",
    title="Fibre that does not felt is held by wool that does",
    since="0.1.0",
    purpose="Silk, viscose, nylon, film and treated wool have no scales that catch and stay only where "
    "felting wool holds them: blended in, laid over as a veil, or coming up through a thin layer.",
    judge=judge,
    limits=(
        Limit(
            "caution", 0.20, "", "share of felting fibre at the face below which it may rub off",
            "pure viscose holds up to about 46 g/m², silk to 36 (from memory)",
            "light to hard felting",
        ),
        Limit(
            "fault", 0.08, "", "share below which it will, if it holds at the kinder end of L",
            "viscose of 92 g/m² lies loose (common practice, no source)", "light to hard felting",
        ),
        Limit(
            "body-share", 0.5, "", "felting part of a placement that holds neps or yarn in it",
            "common practice, no source",
        ),
        Limit(
            "body-veil", 0.5, "", "coverage of a veil that holds neps or yarn (about 10 g/m²)",
            "common practice, no source",
        ),
        Limit(
            "narrow", 0.006, "m", "a part narrower than this is tied in from its sides",
            "from memory",
        ),
        Limit(
            "narrow-part", 0.02, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
    ),
    examples=(
        Example("viscose laid thick on wool", _panel("120 g/m²"), "fault"),
        Example("viscose laid thin on wool", _panel("30 g/m²")),
        Example("the same thick line, blended into wool", _panel("90 g/m²", of="mixed")),
        Example(
            "thick, under a veil of wool",
            _panel(
                "45 g/m²", fibre="silk",
                veil="  - {name: veil, of: sand, amount: 12 g/m², zone: line, role: veil}\n",
            ),
        ),
        Example(
            "thin, on wool that was treated not to felt",
            _panel("30 g/m²", treated=", treatment: shrink-proofed"), "fault",
        ),
    ),
    purposes=("loose fibre",),
    model="A = Σ (share of the face that a layer takes) x (felting part of its coverage). Shares: "
    "fibre wanders through the thickness by a normal step of s.d. L in units of coverage (prefelt "
    "0.5, light 1.0, firm 1.7, hard 2.4), reflected at the face, and shows with weight e^-t at "
    "depth t. Fibre with a feltability under 0.3 holds nothing.",
    weak_spots="The project's own model, never tested against measured felt; L is from memory. It "
    "lets all fibre wander, though silk mostly stays put. Cloth and hankies are sheets, not random "
    "fibre; open cloth counts as held. Fibre fixed later under an iron isn't looked at.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
