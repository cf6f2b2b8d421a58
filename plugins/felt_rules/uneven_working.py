"""uneven-working: is a piece that is to come out true worked alike from all its edges and faces?"""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import Bench, Example, Figure, Limit, Rule, Said, Step, figures

TRUE = ("straight", "round")
FLAT = (
    "picture ground", "wall panel", "cushion", "seat pad", "rug", "trivet", "table runner",
    "bookcover", "craft sheet",
)  # fmt: skip
"""Uses that are wanted square or round, where the recipe doesn't say which outline is wanted."""

DRAPING = (
    "scarf",
    "wrap",
    "nuno cloth",
    "cobweb",
    "openwork",
    "garment cloth",
    "blanket",
    "collar",
)
"""Uses that are rolled mostly one way, or thrown, and are none the worse for it if they are long."""

TURNS = ("turn over", "turn inside out")
WAYS = {"north": "north-south", "south": "north-south", "east": "east-west", "west": "east-west"}
OPPOSITE = {"north": "south", "south": "north", "east": "west", "west": "east"}


def judge(bench: Bench) -> Iterator[Said]:
    """Rolling by its two directions, else by opposite edges; then faces, then throwing."""
    if not bench.recipe.work or not _may_matter(bench):
        return
    if not _is_true(bench):
        yield from _unsaid(bench)
        return
    unlike = list(_directions(bench))
    yield from unlike or _opposite(bench)
    yield from _one_face(bench)
    yield from _thrown(bench)


def _is_long(bench: Bench) -> bool:
    laid = figures.laid_extent(bench.recipe)
    return figures.steady(laid.longer / laid.shorter) >= bench.limit("long")


def _may_matter(bench: Bench) -> bool:
    """Whether anything says against judging it: what it is for, its outline, what it is laid over."""
    piece, use = bench.recipe.piece, bench.build.use
    if piece.over == "ball" or piece.outline not in (None, *TRUE):
        return False
    if use is not None and (use.one_way or use.name in ("swatch", "prefelt sheet")):
        return False
    drapes = use is not None and use.name in DRAPING
    if drapes and piece.outline is None:
        return False
    if piece.over == "flat resist" and piece.outline is None:
        return piece.finished is not None and piece.form == "rectangle"
    if not _is_long(bench):
        return True
    return (
        use is not None
        and not drapes
        and piece.outline == "straight"
        and piece.finished is not None
    )


def _is_true(bench: Bench) -> bool:
    """Whether a straight or round outline is wanted, or a size in both directions."""
    piece, use = bench.recipe.piece, bench.build.use
    flat = use is not None and use.name in FLAT and piece.form in ("rectangle", "round")
    return piece.outline in TRUE or piece.finished is not None or flat


def _unsaid(bench: Bench) -> Iterator[Said]:
    found = list(_directions(bench))
    for said in found:
        if getattr(said, "level", None):
            yield bench.unsaid(
                bench.recipe.piece,
                "say which outline or finished size is wanted: it is rolled far more one way",
            )


def _main_step(bench: Bench, edges: tuple[str, ...]) -> Step:
    """The step that rolls most from one of these edges."""
    rolls = [s for s in bench.recipe.work if s.do == "roll" and s.edge in edges]
    return max(rolls, key=lambda s: (s.times or 0, s.lasts.si if s.lasts else 0.0))


def _much(rolled: figures.Rolling, value: float) -> str:
    return f"{value / 60:.0f} min" if rolled.by_time else f"{value:.0f} times"


def _is_much(bench: Bench, rolled: figures.Rolling, value: float) -> bool:
    """Whether it is rolled long enough for its direction to matter."""
    least = bench.limit("least-time" if rolled.by_time else "least")
    return value >= least


def _directions(bench: Bench) -> Iterator[Said]:
    """q = (n_along - n_across) / n, unless fibre or the size wanted make up for it."""
    rolled = figures.rolling(bench.recipe.work)
    if not rolled.edges:
        return
    if not rolled.counted:
        yield from _uncounted(bench, rolled)
        return
    q = rolled.imbalance
    pull = figures.fibre_pull(bench.build)
    wanted = figures.wanted_ratio(bench.recipe.piece)
    off = figures.uneven_shrinkage(pull, q) - (wanted or 0.0)
    if abs(q) < bench.limit("imbalance") - 1e-9 or not _is_much(bench, rolled, rolled.total):
        return
    if off * q <= 0 or abs(off) < bench.limit("apart") - 1e-9 or bench.meant("worked one way"):
        return
    yield _unlike(bench, rolled, q, off)


def _uncounted(bench: Bench, rolled: figures.Rolling) -> Iterator[Said]:
    """Rolled one way only as far as the recipe says, but not how often."""
    if len({WAYS[edge] for edge in rolled.edges}) == 1 and not any(
        step.do == "roll" and step.edge is None for step in bench.recipe.work
    ):
        step = _main_step(bench, rolled.edges)
        yield bench.unsaid(step, "say how often it is rolled, and whether from the other edges too")


def _unlike(bench: Bench, rolled: figures.Rolling, q: float, off: float) -> Said:
    way, other = ("east-west", "north-south") if q > 0 else ("north-south", "east-west")
    edges = ("east", "west") if q > 0 else ("north", "south")
    less = ("north", "south") if q > 0 else ("east", "west")
    more, few = max(rolled.along, rolled.across), min(rolled.along, rolled.across)
    is_round = bench.recipe.piece.shape in ("round", "oval")
    come_out = "oval" if is_round else f"shorter {way} and longer {other} than is wanted"
    seldom = f"only {_much(rolled, few)}" if few else "not at all"
    return bench.finding(
        "caution",
        _main_step(bench, edges),
        f"It is rolled {_much(rolled, more)} from the {edges[0]} and {edges[1]} edges, and {seldom} "
        f"from the {less[0]} and {less[1]}. Felt shrinks most the way it is rolled: it may come out "
        f"{come_out}.",
        f"Roll it about {_much(rolled, more - few)} more from the {less[0]} and {less[1]} edges, or "
        f"share the same rolling over all four; if it is meant, say so under on purpose (what: "
        f"worked one way).",
        measured=Figure("imbalance of rolling", abs(q), ""),
        limit="imbalance",
        how=f"|q| = |n east-west - n north-south| / n = |{rolled.along:.0f} - {rolled.across:.0f}| / "
        f"{rolled.total:.0f}; with the fibre's own pull and the finished size, g is off by "
        f"{abs(off):.2f}, limit {bench.limit('apart'):.2f}",
    )  # fmt: skip


def _opposite(bench: Bench) -> Iterator[Said]:
    """One edge rolled far more than the one opposite, as where the fourth edge was forgotten."""
    rolled = figures.rolling(bench.recipe.work)
    if not rolled.edges or not rolled.counted or rolled.loose:
        return
    pairs = [("north", "south"), ("east", "west")]
    if all(bool(getattr(rolled, one)) != bool(getattr(rolled, two)) for one, two in pairs):
        return  # one edge of each pair: rolled once each way, which many do
    if _edges_change(bench.recipe.work):
        return
    for pair in pairs:
        most = max(pair, key=lambda edge: getattr(rolled, edge))
        more, few = getattr(rolled, most), getattr(rolled, OPPOSITE[most])
        share = (more - few) / (more + few) if more else 0.0
        if share < bench.limit("opposite") - 1e-9 or not _is_much(bench, rolled, more):
            continue
        if bench.meant("worked one way"):
            continue
        seldom = f"only {_much(rolled, few)}" if few else "never"
        yield bench.finding(
            "caution",
            _main_step(bench, (most,)),
            f"It is rolled {_much(rolled, more)} from the {most} edge and {seldom} from the "
            f"{OPPOSITE[most]}. The end that lies inside the roll is worked harder and draws in more: "
            f"the sides may come out of true.",
            f"Roll it about {_much(rolled, (more - few) / 2)} from the {OPPOSITE[most]} edge and that "
            f"much less from the {most}; if it is meant, say so under on purpose (what: worked one "
            f"way).",
            measured=Figure("imbalance of opposite edges", share, ""),
            limit="opposite",
            how=f"({more:.0f} - {few:.0f}) / {more + few:.0f}",
        )


def _edges_change(steps: tuple[Step, ...]) -> bool:
    """Whether it is turned over between rolls: which edge is which is then not sure."""
    rolls = [number for number, step in enumerate(steps) if step.do == "roll"]
    turned = any(steps[number].do in TURNS for number in range(rolls[0], rolls[-1]))
    faces: dict[str | None, set[str | None]] = {}
    for number in rolls:
        faces.setdefault(steps[number].edge, set()).add(steps[number].side)
    return turned or any(len(sides) > 1 for sides in faces.values())


def _one_face(bench: Bench) -> Iterator[Said]:
    """Every roll with one face up, and nothing else that reaches the other."""
    steps = bench.recipe.work
    rolls = [s for s in steps if s.do == "roll"]
    sides = {s.side for s in steps if s.do in ("rub", "roll", "full", "throw") and s.side}
    turned = any(s.do in TURNS for s in steps)
    if not rolls or turned or len(sides) != 1 or any(s.side is None for s in rolls):
        return
    rolled = figures.rolling(steps)
    if not rolled.counted or not _is_much(bench, rolled, rolled.total):
        return
    side = next(iter(sides))
    later = any(s.do in ("full", "throw") and s.side is None for s in steps)
    if later:
        yield bench.tip(
            rolls[0], f"All rolling is on the {side}: turn the piece over half-way, so that both "
            f"faces firm up alike.",
        )  # fmt: skip
    elif not bench.meant("worked on one face"):
        yield bench.finding(
            "caution",
            rolls[0],
            f"It is worked on the {side} only, and never turned over. The other face stays softer, "
            f"and the piece may curl towards the {side}.",
            "Turn it over half-way and give the other face the same.",
            measured=Figure(
                "rolling on one face", rolled.total, "s" if rolled.by_time else "times"
            ),
            limit="least-time" if rolled.by_time else "least",
            how=f"every rub and roll that names a face names the {side}",
        )


def _thrown(bench: Bench) -> Iterator[Said]:
    """Throwing instead of fulling draws a flat piece in as it happens to fall."""
    recipe, use = bench.recipe, bench.build.use
    if recipe.piece.over != "table" or (use is not None and use.name in DRAPING):
        return
    throws = [step for step in recipe.work if step.do == "throw"]
    rolled = figures.rolling(recipe.work)
    times = sum(step.times or 0 for step in throws)
    fulled = any(step.do == "full" for step in recipe.work)
    if not times or fulled or rolled.by_time or not rolled.counted:
        return
    part = times / (times + rolled.total)
    if part < bench.limit("thrown") or times < bench.limit("least") or bench.meant("thrown"):
        return
    yield bench.finding(
        "caution",
        throws[0],
        f"It is fulled mainly by throwing, {times} times. A flat piece draws in unevenly where it "
        f"happens to strike: corners and sides may come out of true.",
        f"Roll it some {times} times more from all four edges instead, and keep a few gentle throws "
        f"for the end; measure between.",
        measured=Figure("part of the working that is thrown", part, ""),
        limit="thrown",
        how=f"{times} / ({times} + {rolled.total:.0f} rolls)",
    )


_PANEL = """\
piece: {{title: Marker post, use: {use}, shape: rectangle, laid out: {size}, outline: {outline},
  stage: firm}}
lots: {{white: {{fibre: merino, preparation: combed top, fineness: 20 um}}}}
layers:
  - {{name: along, of: white, amount: {each}, direction: east-west}}
  - {{name: across, of: white, amount: {each}, direction: north-south}}
work:
  - {{do: wet, water: 40 °C, soap: neutral}}
  - {{do: rub, for: 15 min}}
  - {{do: check}}
{work}
  - {{do: rinse}}
  - {{do: dry}}
"""


def _page(work: str, size: str = "60 x 40 cm", use: str = "wall panel", each: int = 170) -> str:
    outline = "free" if use == "scarf" else "straight"
    lines = "\n".join(f"  - {{{line}}}" for line in work.split(" / "))
    return _PANEL.format(work=lines, size=size, use=use, each=f"{each} g/m²", outline=outline)


_FOUR = "do: roll, edge: north, times: {0} / do: roll, edge: south, times: {0} / " \
    "do: roll, edge: east, times: {1} / do: roll, edge: west, times: {1}"  # fmt: skip

RULE = Rule(
    id="uneven-working",
    title="What is to come out true is worked alike from all sides",
    since="0.1.0",
    purpose="Felt shrinks most the way it is rolled, and most where it is worked hardest. A panel "
    "that is rolled far more one way comes out of proportion; one thrown instead of rolled, crooked.",
    judge=judge,
    limits=(
        Limit(
            "imbalance", 0.40, "", "imbalance |q| of rolling from which the size may be off",
            "the pull that may put a piece out of square, carried over (from memory; no case stands "
            "behind it)", "pieces rolled from their edges",
        ),
        Limit(
            "apart", 0.10, "", "how far the unevenness of shrinkage may be from what is wanted",
            "0.25 x 0.40 (from memory)",
        ),
        Limit(
            "opposite", 0.60, "", "imbalance of two opposite edges, four to one", "from memory",
        ),
        Limit(
            "least", 100.0, "times", "rolling or throwing that is too little to matter, below",
            "common practice, no source; value from memory",
        ),
        Limit("least-time", 300.0, "s", "the same, where times are said", "from memory"),
        Limit(
            "long", 3.0, "", "length over width from which a piece is rolled as it fits",
            "scarves and belts are rolled mostly one way (common practice, no source)",
        ),
        Limit(
            "thrown", 0.5, "", "part of rolling and throwing from which throwing is the main "
            "fulling, where no step says to full", "common practice, no source; value from memory",
        ),
    ),
    examples=(
        Example("rolled from two opposite edges only", _page(
            "do: roll, edge: north, times: 200 / do: roll, edge: south, times: 200"), "caution"),
        Example("rolled from all four", _page(_FOUR.format(100, 100))),
        Example("a little more one way", _page(_FOUR.format(150, 100))),
        Example("a scarf rolled lengthwise only", _page(
            "do: roll, edge: east, times: 200 / do: roll, edge: west, times: 200",
            "200 x 45 cm", "scarf", 40)),
    ),
    purposes=("worked one way", "worked on one face", "thrown"),
    model="q = (n_x - n_y) / n, n_x rolling from the east and west edges, n_y from the north and "
    "south. g = 0.30 R_x + 0.25 q is the unevenness of shrinkage that fibre and rolling lead to, R_x "
    "the pull of what felts along east-west; a finished size has its own g. Found where |q| is large "
    "and the two differ. Rolling from an edge that isn't said counts as making up the difference.",
    weak_spots="The factors are from memory, and no case stands behind the limits: never more than a "
    "caution. Kneading and pulling by hand can make up for much. Long pieces, strips, free, blocked, "
    "ruffled and cut outlines and balls are not judged, nor is rubbing by the minute.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
