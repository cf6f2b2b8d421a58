"""The recipe format, key by key: what editors show, what the reader wants, what the model gets."""

from __future__ import annotations

from typing import Any

from felt_engine.model.intent import Purpose, Waiver
from felt_engine.model.layup import Layer, Placement
from felt_engine.model.lots import Blend, Lot
from felt_engine.model.piece import Piece, Resist, Zone
from felt_engine.model.recipe import Recipe
from felt_engine.model.work import PrintedCaution, Roller, Step, Tools, Total
from felt_engine.reading import bounds, words
from felt_engine.reading.forms import (
    COLOUR,
    DIRECTION,
    FINENESS,
    PART,
    POINT,
    PRICE,
    SHARE,
    SHARES_LIKE,
    SHRINKAGE,
    SIZE,
    WARMTH,
)
from felt_engine.reading.groups import Field, ListOf, MapOf, Record
from felt_engine.reading.shape import BAD, Context, Count, Entry, Quantity, Text, Thing, Word
from felt_engine.reading.tree import Node

LINE = Text(200, lines=False)
NAME = Text(bounds.NAME_LENGTH, lines=False)
PROSE = Text()
LENGTH = Quantity("length")
DISTANCE = Quantity("position")
WEIGHT = Quantity("weight")
NOTE = Field("note", PROSE, "Anything worth remembering; never judged.")

PIECE = Record(
    "piece",
    "What is being made.",
    Piece,
    (
        Field("title", LINE, "What the piece is called.", "Harbour at low tide", needed=True),
        Field(
            "use", Entry("use", "take the nearest of these; swatch fits any sample"),
            "What it is for, as in the table of uses; gives the weight band.",
            "wall panel",
        ),
        Field(
            "shape", Word("a shape", *words.SHAPES), "Outline of the layout, seen from above.",
            "rectangle", needed=True,
        ),
        Field(
            "over", Word("what it is laid over", *words.OVER),
            "What the wool is laid on: the table (as if left out), a flat resist with a front and "
            "a back, or a ball.", "flat resist",
        ),
        Field(
            "laid out", SIZE,
            "Size of the layout before felting (on a resist: of the resist): width, then depth; "
            "one length across for a round piece or a ball.", "60 x 40 cm",
        ),
        Field(
            "corners", ListOf(POINT, bounds.CORNERS, 3, "corners"),
            "Corners of a polygon in order, instead of a laid-out size; counted from any fixed "
            "near left point.",
        ),
        Field(
            "how many", Count(1, bounds.PIECES), "How many of them: 2 for a pair of slippers.", 2,
            attr="count",
        ),
        Field(
            "amounts for", Word("what the amounts are for", "one", "all"),
            "Where there are several pieces: whether amounts are for one of them or for all.",
            "one",
        ),
        Field(
            "outline", Word("an outline", *words.OUTLINES),
            "How the finished edge is wanted. Ruffled and drawn in are meant to pull unevenly.",
            "straight",
        ),
        Field("finished", SIZE, "Size wanted after felting.", "42 x 28 cm"),
        Field(
            "shrinkage", SHRINKAGE,
            "The shrinkage that the sheet states: the part of each side that is lost, unless it says "
            "by area.", "30 %",
        ),
        Field(
            "stage", Word("a felting stage", *words.STAGES), "How far it is to be felted.", "firm"
        ),
        Field(
            "shows", ListOf(Word("a face", *words.SURFACES), 2, 1, "faces"),
            "Faces that are seen: top (as if left out) or bottom of a flat piece, outside or "
            "inside of one laid over something.", ["top"],
        ),
        NOTE,
    ),
    need_one=(("laid out", "corners"),),
    never=(("laid out", "corners"),),
)  # fmt: skip


def _lot(name: str, values: dict[str, Any]) -> Lot:
    return Lot(name=name, **values)


LOT = Record(
    "lot",
    "One fibre as bought.",
    dict,
    (
        Field(
            "fibre", Entry("fibre", "take the nearest; what is not known is not taken for wool"),
            "Fibre type, as in the fibre table: the breed or the plain name.",
            "merino", needed=True,
        ),
        Field(
            "preparation", Word("a preparation", *words.PREPARATIONS), "How it was prepared.",
            "combed top",
        ),
        Field(
            "fineness", FINENESS,
            "Mean fibre diameter, or a wool count grade; thickness for film fibre.", "19 um",
        ),
        Field("colour", COLOUR, "Its colour on screen (sRGB).", "#b3202a"),
        Field("shade", LINE, "What the dyer calls the colour.", "rowan berry"),
        Field("dye lot", NAME, "Dye lot on the bag.", "2231"),
        Field("price", PRICE, "Price by weight.", "4.80 EUR per 100 g"),
        Field("stock", WEIGHT, "How much of it there is.", "250 g"),
        Field(
            "treatment", Word("a treatment", *words.TREATMENTS),
            "Whether the wool was treated so that it does not felt; untreated if left out.",
            "shrink-proofed",
        ),
        NOTE,
    ),
)  # fmt: skip


class _Shares(MapOf):
    """The shares of a blend. Where all but one are of one basis, that one is asked for in it too."""

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """A tuple, in file order."""
        begun = len(ctx.problems)
        found = super().read(node, at, ctx)
        if found is not BAD or node.kind != "map":
            return found
        texts = [value.text for _, value in node.pairs if value.kind == "text"]
        bases = {SHARE.value(text).basis for text in texts if SHARE.takes(text)}
        if len(bases) != 1:
            return found
        del ctx.problems[begun:]
        return MapOf(SHARES_LIKE[bases.pop()], self.most, self.least, self.what).read(node, at, ctx)


BLEND = _Shares(SHARE, bounds.PARTS, 1, "lots")

ZONE = Record(
    "zone",
    "A named part of the piece. Distances are on the layout, before felting.",
    dict,
    (
        Field(
            "shape", Word("a zone's shape", *words.ZONE_SHAPES),
            "band (along one edge or across), rectangle, round, oval, polygon, rim (a frame all "
            "round) or middle (all but a frame).", "band", needed=True,
        ),
        Field("along", Word("an edge", *words.SIDES), "Band: the edge that it runs along.", "south"),
        Field(
            "from", DISTANCE, "Band: where it starts, counted from that edge; 0 if left out.",
            "0 cm", attr="start",
        ),
        Field("to", LENGTH, "Band: where it ends, counted from that edge.", "12 cm", attr="end"),
        Field("width", LENGTH, "Rim: how wide; middle: how wide a frame it leaves.", "3 cm"),
        Field(
            "size", SIZE, "Rectangle or oval: width, then depth; round: across.", "20 x 10 cm"
        ),
        Field(
            "at", POINT, "Rectangle: its near left corner; round and oval: the centre.",
            "5 cm east, 8 cm north",
        ),
        Field("corners", ListOf(POINT, bounds.CORNERS, 3, "corners"), "Polygon: corners in order."),
        NOTE,
    ),
)  # fmt: skip

AMOUNT = Quantity("weight", "areal")
_PLACED = (
    Field("of", NAME, "The lot or blend that is laid.", "pale grey"),
    Field(
        "amount", AMOUNT,
        "How much: a weight for the whole zone, or a weight per area.", "0.4 oz",
    ),
    Field("zone", NAME, "Where: a zone's name; the whole piece if left out.", "sky"),
    Field(
        "face", Word("a face", *words.FACES),
        "On a flat resist: front, back, both (the amount is for the two together) or each.", "each",
    ),
    Field("past", LENGTH, "How far it is laid past the edge of its zone, all round.", "2 cm"),
    Field("short", LENGTH, "How far it stops short of the edge of its zone, all round.", "2 cm"),
    Field(
        "divided from", WEIGHT,
        "Weight of the batch that was weighed once and divided into portions such as this.", "12 g",
    ),
)  # fmt: skip
_NEVER = (("past", "short"),)

PLACEMENT = Record(
    "placement", "An amount of one lot or blend on one zone.", Placement, (*_PLACED, NOTE),
    never=_NEVER,
)  # fmt: skip
PLACEMENT.fields["of"] = Field("of", NAME, _PLACED[0].about, _PLACED[0].example, needed=True)
PLACEMENT.fields["amount"] = Field(
    "amount", AMOUNT, _PLACED[1].about, _PLACED[1].example, needed=True
)
_INLINE = tuple(field.attr for field in _PLACED)


def _layer(**values: Any) -> Layer:
    placed = {key: values.pop(key) for key in _INLINE if key in values}
    if placed:
        values["placements"] = (Placement(inline=True, **placed),)
    return Layer(**values)


LAYER = Record(
    "layer",
    "One pass over the piece. Layers are listed from bottom to top, in the order of laying.",
    _layer,
    (
        Field("name", NAME, "What the layer is called.", "cross layer", needed=True),
        *_PLACED,
        Field(
            "placements", ListOf(PLACEMENT, bounds.PLACEMENTS, 1, "placements"),
            "Several amounts in one layer, instead of one of and amount.",
        ),
        Field(
            "direction", DIRECTION,
            "Which way the fibre lies, as seen lying on the table.", "north-south",
        ),
        Field("lay", Word("a lay", *words.LAYS), "How it is laid.", "shingle"),
        Field("overlap", PART, "Shingle: how much of a tuft the next row covers.", "1/3"),
        Field("tuft", SIZE, "Shingle: size of a tuft, across the fibre x along it.", "5 x 10 cm"),
        Field("taper", PART, "Shingle: how much of a tuft's length its thin end takes.", "25 %"),
        Field(
            "rows", Count(1, bounds.ROWS), "Shingle: how many rows, one after another along the "
            "fibre.", 5,
        ),
        Field(
            "batt edges", Word("batt edges", *words.BATT_EDGES), "Batt: whether cut or torn.", "cut"
        ),
        Field(
            "role", Word("a role", *words.ROLES),
            "What the layer is for: structure (holds), cover (hides what lies below), accent, veil "
            "(thin, over something) or open (holes are meant).", "cover",
        ),
        Field(
            "wraps", LENGTH,
            "On a resist: how far it is laid past the edge and turned over onto the other face.",
            "2 cm",
        ),
        Field(
            "turned in", LENGTH,
            "On the table: how far its edge is laid past the outline and folded back.", "2 cm",
        ),
        NOTE,
    ),
    need_one=(("of", "placements"), ("amount", "placements")),
    never=(
        ("of", "placements"), ("amount", "placements"), ("zone", "placements"),
        ("face", "placements"), ("past", "placements"), ("short", "placements"),
        ("divided from", "placements"), ("wraps", "turned in"), *_NEVER,
    ),
)  # fmt: skip

RESIST = Record(
    "resist",
    "Something laid between layers that keeps them apart on purpose.",
    Resist,
    (
        Field("name", NAME, "What it is called.", "pocket", needed=True),
        Field("above", NAME, "The layer that it lies on.", "cross layer", needed=True),
        Field("zone", NAME, "Where it lies; the whole piece if left out.", "pocket"),
        Field("makes", Word("what it makes", *words.RESIST_MAKES), "What it is for.", "pocket"),
        Field(
            "face",
            Word("a face", "front", "back"),
            "On a flat resist: the one face on which it lies; both if left out.",
            "front",
        ),
        NOTE,
    ),
)

TOOLS = Record(
    "set of tools",
    "What the piece is worked with.",
    Tools,
    (
        Field("mat", SIZE, "Rolling mat.", "70 x 100 cm"),
        Field("mesh", SIZE, "Net or mesh over the wool.", "80 x 60 cm"),
        Field("cover", SIZE, "Sheet over or under the wool.", "80 x 60 cm"),
        Field(
            "roller",
            Record(
                "roller", "The roller.", Roller,
                (
                    Field("length", LENGTH, "How long.", "60 cm"),
                    Field("across", LENGTH, "How thick.", "5 cm"),
                ),
            ),
            "The roller.",
        ),
        Field("iron", Word("an iron", "cool", "warm", "hot"), "The iron, if one is used.", "warm"),
        Field("barrier", Thing(200, lines=False), "What lies between iron and felt.", "baking parchment"),
    ),
)  # fmt: skip

STEP = Record(
    "step",
    "One step of the work after laying.",
    Step,
    (
        Field("do", Word("a step", *words.STEPS), "What is done.", "roll", needed=True),
        Field("edge", Word("an edge", *words.SIDES), "Rolling: from which edge.", "north"),
        Field("side", Word("a face", *words.SURFACES, "front", "back"), "Which face.", "top"),
        Field("times", Count(1, bounds.TIMES), "How often.", 100),
        Field("for", Quantity("time"), "How long.", "10 min", attr="lasts"),
        Field("water", WARMTH, "How warm the water is.", "40 °C"),
        Field("soap", Word("a soap", *words.SOAPS), "What kind of soap.", "alkaline"),
        NOTE,
    ),
)

TOTAL = Record(
    "total",
    "A total that the sheet states.",
    Total,
    (
        Field("amount", WEIGHT, "The total.", "41 g", needed=True),
        Field(
            "per", Word("what it is for", *words.TOTAL_PER),
            "One piece (as if left out), one face, the pair, or all pieces.", "piece",
        ),
        Field(
            "covers", ListOf(NAME, bounds.NOTES, 1, "names"),
            "Layers, lots or blends that it covers; all if left out.", ["cross layer"],
        ),
        Field(
            "without", ListOf(NAME, bounds.NOTES, 1, "names"),
            "Layers, lots or blends that it leaves out.", ["base"],
        ),
        NOTE,
    ),
)  # fmt: skip

CAUTION = Record(
    "caution",
    "A caution that the sheet prints.",
    PrintedCaution,
    (
        Field(
            "about", Entry("hazard", "take one of these", *words.HAZARDS),
            f"What it warns of: {', '.join(words.HAZARDS)}, or what a plugin adds.", "hot water",
            needed=True,
        ),
        Field("says", PROSE, "The words on the sheet.", "Keep the kettle at the back."),
    ),
)  # fmt: skip

WHY = Field("why", PROSE, "The reason, as told to a helper.", "the frill is to ruffle", needed=True)

PURPOSE = Record(
    "purpose",
    "Something that looks odd and is meant. Rules then judge against it.",
    Purpose,
    (
        Field(
            "what", NAME,
            "What is meant, in a rule's own words; felt-engine rules RULE lists them.",
            "laid one way", needed=True,
        ),
        Field(
            "where", NAME, "A layer, zone, lot or face; the whole piece if left out.", "frill"
        ),
        WHY,
    ),
)  # fmt: skip

WAIVER = Record(
    "waiver",
    "One rule's finding, accepted at one place.",
    Waiver,
    (
        Field("rule", NAME, "The rule's name.", "thin-layer", needed=True),
        Field("where", NAME, "The layer, zone, lot or face of the finding.", "rim", needed=True),
        WHY,
    ),
)


def _recipe(**values: Any) -> Recipe:
    values["lots"] = tuple(Lot(name=name, **value) for name, value in values["lots"])
    values["zones"] = tuple(Zone(name=name, **value) for name, value in values.get("zones", ()))
    values["blends"] = tuple(Blend(name, parts) for name, parts in values.get("blends", ()))
    return Recipe(**values)


RECIPE = Record(
    "recipe",
    "One wet-felted piece: lots, layers from bottom to top, and what else its sheet says. All but "
    "piece, lots and layers may be left out; what is left out is unknown, never a fault.",
    _recipe,
    (
        Field("format", Count(1, 1), "Version of this format.", 1),
        Field("piece", PIECE, "What is being made.", needed=True),
        Field("lots", MapOf(LOT, bounds.LOTS, 1, "lots"), "Fibre as bought, by name.", needed=True),
        Field(
            "blends", MapOf(BLEND, bounds.LOTS, 0, "blends"),
            "Lots mixed before laying, by name: shares of each lot.",
            {"surf": {"pale grey": "70 %", "tussah": "30 %"}},
        ),
        Field(
            "zones", MapOf(ZONE, bounds.ZONES, 0, "zones"),
            "Parts of the piece, by name; whole is always there.",
        ),
        Field(
            "layers", ListOf(LAYER, bounds.LAYERS, 1, "layers"),
            "Layers from bottom to top, in the order of laying.", needed=True,
        ),
        Field("resists", ListOf(RESIST, bounds.INTENTS, 0, "resists"), "Resists between layers."),
        Field("tools", TOOLS, "Mat, mesh, cover, roller, iron."),
        Field("work", ListOf(STEP, bounds.STEPS, 0, "steps"), "Steps after laying, in order."),
        Field("totals", ListOf(TOTAL, bounds.TOTALS, 0, "totals"), "Totals that the sheet states."),
        Field("scale step", WEIGHT, "Smallest step that the scale shows.", "1 g"),
        Field(
            "readers", ListOf(Word("a reader", *words.READERS), 4, 0, "readers"),
            "Who the sheet is for.", ["pattern for sale"],
        ),
        Field("cautions", ListOf(CAUTION, bounds.NOTES, 0, "cautions"), "Cautions printed."),
        Field(
            "on purpose", ListOf(PURPOSE, bounds.INTENTS, 0, "purposes"),
            "What looks odd and is meant.", attr="purposes",
        ),
        Field("waivers", ListOf(WAIVER, bounds.INTENTS, 0, "waivers"), "Findings accepted."),
        NOTE,
    ),
)  # fmt: skip

PLACEMENT.elsewhere = (
    LAYER.fields.keys() - PLACEMENT.fields.keys(),
    "write it with the layer, of which all placements have it; what is laid otherwise is a layer of its own",
)
RECIPE.elsewhere = (PIECE.fields.keys() - RECIPE.fields.keys(), "write it under piece")
