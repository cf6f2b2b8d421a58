"""rows-and-laps: do rows and bands reach, lap and join, so that no place is thin by a slip?"""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine import Bench, Example, Limit, Rule, Said, figures
from felt_rules import rows_words as words
from felt_rules.rows_gaps import gaps, loose_seam, seams, weak_seams
from felt_rules.rows_reach import rows
from felt_rules.rows_rims import rims
from felt_rules.steps import is_for_others


def judge(bench: Bench) -> Iterator[Said]:
    """Rows of each layer, the rim of a flat piece, gaps and seams of each face."""
    use = bench.build.use
    if use is not None and use.open:
        return
    told: set[int] = set()
    thin = False
    for face in bench.build.faces:
        for number, layer in enumerate(bench.recipe.layers):
            found = None
            if number not in told and words.is_body(layer):
                found = rows(bench, face, number)
            if found is not None:
                told.add(number)
                yield found
        rim = list(rims(bench, face))
        thin = thin or bool(rim)
        yield from rim
    yield from words.merged(one for face in bench.build.faces for one in gaps(bench, face))
    weak = [weak_seams(bench, face) for face in bench.build.faces]
    yield from words.merged(one for on_face in weak for one in seams(bench, on_face))
    yield from loose_seam(bench, weak)
    if not thin:
        yield from _joined(bench)


def _joined(bench: Bench) -> Iterator[Said]:
    """Whether anything that felts goes round a resist's edge; asked, where a sheet for others is silent."""
    piece, layers = bench.recipe.piece, bench.recipe.layers
    if piece.over != "flat resist":
        return
    if not all(any(laid.felting_share > 0 for laid, _ in face.laid) for face in bench.build.faces):
        return
    every = [one for layer in layers for one in layer.placements]
    if any(layer.wraps or figures.lies_past(bench.build, layer) for layer in layers):
        return
    if all(one.short for one in every):
        yield bench.finding(
            "caution", piece,
            "Every layer stops short of the resist’s edge and none is wrapped over it: nothing joins the "
            "front and the back.",
            "Wrap a layer or two of each face over the edge (wraps), or lay it past the edge (past), by "
            "1 cm (3/8 in) or more; or write the two faces as two pieces on the table.",
            how=f"{len(every)} amounts, each with short, none with past, no layer with wraps",
        )  # fmt: skip
    elif is_for_others(bench) and not any(one.short for one in every):
        yield bench.unsaid(
            piece, "say how far the layers go round the resist’s edge (wraps): where none does, nothing "
            "joins its faces",
        )  # fmt: skip


_PANEL = """\
piece: {{title: Mud flats, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, outline: {outline},
        stage: firm}}
lots:
  reed: {{fibre: merino, preparation: combed top, fineness: 20 um}}
  wide: {{fibre: merino, preparation: carded batt, fineness: 21 um}}
zones:
  flats: {{shape: band, along: south, to: {to} cm}}
  sky: {{shape: band, along: north, to: 20 cm}}
layers:
  - {{name: base, of: wide, amount: {base} g/m², direction: north-south, lay: batt, {edge}}}
  - name: picture
    direction: east-west
    lay: shingle
    tuft: 6 x 12 cm
    {rows}
    role: cover
    placements:
      - {{of: reed, amount: 200 g/m², zone: flats}}
      - {{of: reed, amount: 200 g/m², zone: sky}}
"""


def _panel(**values: object) -> str:
    plain: dict[str, object] = {
        "outline": "free", "to": 22, "base": 220, "edge": "batt edges: cut", "rows": "overlap: 1/3",
    }  # fmt: skip
    return _PANEL.format(**{**plain, **values})


RULE = Rule(
    id="rows-and-laps",
    title="Rows and bands that reach, lap and join",
    since="0.1.0",
    purpose="Where rows stop before the edge, only meet, or leave a gap to the next band, the felt gets "
    "thin, and tears or bows there. What counts is the whole stack at the place; a part that is "
    "bare or thin on purpose is nobody's slip.",
    judge=judge,
    limits=(
        Limit(
            "bridge", 0.010, "m", "a gap narrower than this is bridged by the fibre beside it",
            "common practice, no source", "staples of 50 to 90 mm",
        ),
        Limit(
            "bridge-part", 0.04, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "cell", 0.025, "m", "size of a place that is felt as one, and width of the rim",
            "below the length of a staple (own calculation)", "staples of 50 to 90 mm",
        ),
        Limit(
            "cell-part", 0.1, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "stack-caution", 0.70, "", "weight of a place, of that beside it, below which it is thin",
            "a little over two standard deviations of ordinary laying (own calculation)",
        ),
        Limit(
            "stack-fault", 0.50, "", "the same, below which it will fail",
            "half the weight (own calculation)",
        ),
        Limit(
            "through", 0.25, "", "a gap with less than this runs through the whole stack",
            "from memory",
        ),
        Limit(
            "join-within", 0.06, "m", "zones further apart than this are not taken for neighbours",
            "common practice, no source",
        ),
        Limit(
            "join-part", 0.25, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "filled", 0.9, "", "part of the face that a layer and its gaps fill, if it is to fill it",
            "from memory",
        ),
        Limit(
            "cover-gap", 0.015, "m", "gap in a cover from which the ground shows",
            "stray fibre covers a finger's width (common practice, no source)",
        ),
        Limit(
            "held", 0.20, "", "weight that runs across a seam, of the lighter side, that holds it",
            "from memory",
        ),
        Limit("seam", 0.05, "m", "a seam shorter than this is held by its ends", "from memory"),
        Limit(
            "seam-part", 0.2, "", "the same, as a part of the shorter side (the lesser counts)",
            "from memory",
        ),
        Limit(
            "least-lap", 0.02, "", "overlap of rows below which they only meet",
            "common practice, no source",
        ),
        Limit(
            "lap-share", 0.2, "", "a layer that is less than this of the stack may lap as it likes",
            "from memory",
        ),
        Limit(
            "reach-slack", 0.1, "", "part of a tuft by which rows may seem to stop short",
            "no tuft is as long as the next (common practice, no source)",
        ),
        Limit(
            "tuft-slack", 0.15, "", "how much longer than said tufts may be drawn", "from memory"
        ),
        Limit(
            "rim-caution", 0.75, "", "weight of the rim, of what was meant, below which it is thin",
            "a rim 20 % thin is within what hands vary by, one 30 % thin is not (own calculation)",
        ),
        Limit(
            "rim-fault", 0.50, "", "the same, below which it will fail; and where no even edge is "
            "asked for, from which it is said at all", "half the weight (own calculation)",
        ),
        Limit(
            "rim-tip", 0.80, "", "weight of the rim where rows end, below which there is a tip",
            "ordinary hands vary by 17 % (own calculation)",
        ),
        Limit(
            "stands-bare", 0.03, "", "bare index up to which a place is closed, where no use is said",
            "practitioner's samples, from memory",
        ),
        Limit(
            "band-slack", 1.3, "", "how far below the use's usual weight a place may be",
            "common practice, no source",
        ),
    ),
    examples=(
        Example("a cover whose bands leave 3 cm between them", _panel(to=17), "caution"),
        Example("bands that lap by 2 cm", _panel()),
        Example("rows that only meet", _panel(rows="overlap: 0 %"), "caution"),
        Example("three rows of 12 cm for 60 cm", _panel(rows="rows: 3"), "fault"),
        Example("seven rows", _panel(rows="rows: 7")),
        Example("a heavy torn batt up to a straight edge",
                _panel(outline="straight", base=420, edge="batt edges: torn"), "caution"),
        Example("the same batt turned in",
                _panel(outline="straight", base=420, edge="batt edges: torn, turned in: 3 cm")),
        Example("the same batt to a free edge", _panel(base=420, edge="batt edges: torn")),
        Example("the same batt cut", _panel(outline="straight", base=420)),
        Example("a light torn batt under the picture",
                _panel(outline="straight", base=100, edge="batt edges: torn")),
    ),
    purposes=("thin", "gap", "butt join"),
    model="Rows: reach = tuft x (1 + (rows - 1) x (1 - overlap)). Where rows meet, a layer has overlap "
    "over taper of a full tuft, averaged over 25 mm. A gap of width d counts for d / 50 mm of a "
    "place 25 mm wide, since fibre reaches in from both sides. A seam is weak where little of the "
    "weight runs across it. The rim is the outer 25 mm (a tenth of a small piece), held against "
    "what it would have if nothing stopped short or thinned out; torn batt thins out over 40 mm.",
    weak_spots="How torn batt thins out and how a tuft tapers are from memory. A lap of a few "
    "millimetres counts as a lap. Bands of one loose layer that share a line get a tip only, "
    "since hands lay fibre over it; sheets, cut batts and two layers that end at one line are "
    "judged. Rows are looked at along one direction; radial and around are not. The rims of "
    "resists and balls are not looked at: fold edges are no rims; of a resist only whether "
    "anything goes round its edge. A frame of ground that shows round a picture is taken for "
    "meant where the ground is enough by itself.",
    laws=("scaling", "units", "quarter turn", "splitting", "order of placements"),
)  # fmt: skip
