"""stated-totals: do the totals that a sheet states add up?"""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import Bench, Example, Figure, Limit, Rule, Said, figures

JUST = 0.002
"""Part of a total by which it may be off, and still be called the sum of something."""

FOR = {"piece": "one piece", "face": "one face", "pair": "the pair", "all": "all pieces"}


def judge(bench: Bench) -> Iterator[Said]:
    """Each stated total by itself, against the sum of what it says it covers."""
    own, parts = bench.limit("rounding"), bench.limit("rounding-parts")
    for found in figures.reckoned(bench.build, own, parts):
        if not found.agrees:
            yield _finding(bench, found)


def _finding(bench: Bench, found: figures.Reckoned) -> Said:
    total = found.total
    ways = figures.slips(bench.build, found, graver=not bench.unread)
    kind = ways[0].kind if ways else ""
    if kind == "cut":
        return bench.tip(
            total,
            f"The total of {total.amount.text} counts what is weighed and not “{ways[0].names[0]}”, "
            f"which comes cut: say so (without: [{', '.join(ways[0].names)}]).",
        )
    right = found.nearest.kg
    off = abs(found.kg - right) / right if right else 1.0
    sure = figures.steady(off) > bench.limit("material") and kind != "per"
    return bench.finding(
        "fault" if sure else "caution",
        total,
        f"The total of {total.amount.text} for {FOR[total.per]}{_covered(found)} doesn't add up: "
        f"the amounts come to {figures.weight(right)}.{_why(ways, found.kg)}",
        _mend(right, ways),
        measured=Figure("total as stated, beside the sum", found.kg * 1000, "g"),
        limit=Figure("the sum", right * 1000, "g"),
        how="" if bench.unread else _sum(found),
        also=(*total.covers, *total.without),
    )  # fmt: skip


def _covered(found: figures.Reckoned) -> str:
    total = found.total
    text = f" of {_names(total.covers)}" if total.covers else ""
    return f"{text} without {_names(total.without)}" if total.without else text


def _names(names: tuple[str, ...], last: str = "and") -> str:
    quoted = [f"“{name}”" for name in names]
    if len(quoted) > 4:
        return ", ".join(quoted[:3]) + f" {last} {len(quoted) - 3} more"
    return f" {last} ".join(filter(None, (", ".join(quoted[:-1]), quoted[-1])))


def _why(ways: tuple[figures.Slip, ...], kg: float) -> str:
    if not ways:
        return ""
    named = _names(tuple(dict.fromkeys(name for way in ways for name in way.names)), "or")
    kind = ways[0].kind
    if kind == "per":
        return f" What it says is the sum for {FOR[ways[0].names[0]]}."
    just = all(abs(way.sum.kg - kg) <= JUST * kg for way in ways)
    text = {
        "without": f"is {'' if just else 'about '}the sum without",
        "with": "counts in",
        "twice": "counts twice",
    }[kind]
    return f" What it says {text} {named}."


def _mend(right: float, ways: tuple[figures.Slip, ...]) -> str:
    write = f"Write {figures.weight(right)}"
    if not right:
        return "Leave the total out, or look for what it should cover: nothing of that is laid."
    _, most, words = figures.RANGES["weight"]
    if right > most:
        return f"Leave the total out: a weight in a recipe is {words}."
    if not ways:
        return f"{write}, or look for the amount that is wrong."
    if ways[0].kind == "per":
        return f"{write}, or say that it is for {FOR[ways[0].names[0]]} (per: {ways[0].names[0]})."
    name = ways[0].names[0]
    if ways[0].kind == "without" and len(ways) == 1:
        return f"{write}, or say that it leaves “{name}” out (without: [{name}])."
    return f"{write}."


def _sum(found: figures.Reckoned) -> str:
    parts: dict[str, float] = {}
    for atom in found.atoms:
        parts[atom.layer.name] = parts.get(atom.layer.name, 0.0) + atom.kg
    terms = [f"{name} {figures.grams(kg)}" for name, kg in list(parts.items())[:8]]
    more = f" + {len(parts) - 8} more" if len(parts) > 8 else ""
    return (
        f"on one piece, in g: {' + '.join(terms)}{more}; then for "
        f"{FOR[found.total.per]}; allowed for rounding: {figures.weight(found.nearest.slack)}"
    )


_GROUND = """\
piece: {{title: Ebb, use: picture ground, shape: rectangle, laid out: 12 x 12 in, stage: firm}}
lots:
  sheet: {{fibre: merino, preparation: prefelt, fineness: 20.5 um}}
  oat: {{fibre: merino, preparation: combed top, fineness: 20.5 um}}
layers:
  - {{name: base, of: sheet, amount: 0.4 oz}}
  - {{name: cross, of: oat, amount: 0.35 oz, direction: north-south}}
  - {{name: ground, of: oat, amount: 0.65 oz, direction: east-west}}
totals:
  - {{amount: {total}}}
"""

RULE = Rule(
    id="stated-totals",
    title="Totals on the sheet are the sums of their parts",
    since="0.1.0",
    purpose="A total that leaves a row out sends a buyer off with too little wool. Every stated total "
    "is added up again, for what it says it covers: one face or both, one piece or the pair, the base "
    "counted or not.",
    judge=judge,
    limits=(
        Limit(
            "material", 0.05, "", "part of the sum by which a total has to be off to be a fault",
            "common practice, no source", "any weight",
        ),
        Limit(
            "rounding", 0.10, "", "part of the sum up to which half of a total's last digit is let off",
            "“1 oz” may be 1.1 but hardly 1.4 (common practice, no source)",
        ),
        Limit(
            "rounding-parts", 0.05, "", "the same for half the last digits of all its parts together",
            "common practice, no source",
        ),
    ),
    examples=(
        Example("a total that is the sum", _GROUND.format(total="1.4 oz")),
        Example("the same in grams, rounded", _GROUND.format(total="40 g")),
        Example("the cross layer left out of the sum", _GROUND.format(total="1.05 oz"), "fault"),
        Example(
            "the base left out, and said so", _GROUND.format(total="1 oz, without: [base]")
        ),
    ),
    model="Own sum over layers, lots and blends; a total may be off by half of the last digit that it "
    "is written with, half a scale step, and the rounding of its parts (half a last digit each, "
    "each up to its limit).",
    weak_spots="Whether a name that is both a layer's and a lot's means the one or the other isn't "
    "asked: either may be right. Rows that weigh less than the rounding allowed aren't missed. A total "
    "that leaves out cloth or bought sheets gets a tip, since these come cut.",
    laws=("quarter turn", "order of placements"),
)  # fmt: skip
