"""What doesn't fit together: all of it at once, in file order, each with the place and what to do."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from kit_reading import PANEL, documents, only, problems, read, recipes

import felt_engine
from felt_engine import RecipeError
from felt_engine.model.recipe import Source
from felt_engine.reading import bounds
from felt_engine.reading.groups import Record
from felt_engine.reading.read import place_of
from felt_engine.reading.recipe_shape import RECIPE
from felt_engine.reading.shape import Count


class Plainly(yaml.SafeDumper):
    """Writes the same thing twice rather than an alias."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def changed(**parts: Any) -> str:
    """The panel as YAML with some top-level parts replaced (none) or added."""
    document = yaml.safe_load(PANEL)
    for key, part in parts.items():
        key = key.replace("_", " ")
        if isinstance(part, dict) and isinstance(document.get(key), dict):
            document[key] = {k: v for k, v in {**document[key], **part}.items() if v is not None}
        else:
            document[key] = part
    return yaml.dump(document, Dumper=Plainly, sort_keys=False, allow_unicode=True)


def layer(**keys: Any) -> list[dict[str, Any]]:
    one = {"name": "base", "of": "white", "amount": "20 g", **keys}
    return [{k.replace("_", " "): v for k, v in one.items() if v is not None}]


def zone(**keys: Any) -> dict[str, Any]:
    return {"sky": {k.rstrip("_"): v for k, v in keys.items()}}


TWO = {"over": "flat resist"}
CROSSED = ["0 cm east, 0 cm north", "9 cm east, 9 cm north", "9 cm east, 0 cm north",
           "0 cm east, 9 cm north"]  # fmt: skip
LINKS: list[tuple[dict[str, Any], str, str, str]] = [
    # piece
    ({"piece": {"shows": ["top", "inside"]}}, "/piece/shows/1", '"inside"', "top"),
    ({"piece": {"shows": ["top"], **TWO}, "layers": layer(face="each")}, "/piece/shows/0", '"top"',
     "outside"),
    ({"piece": {"how many": 2}}, "/piece/how many", "2 pieces", "amounts for"),
    ({"piece": {"over": "ball"}}, "/piece/shape", '"rectangle"', "write shape: round"),
    ({"piece": {"shape": "polygon"}}, "/piece/shape", '"polygon" with a laid-out size', "corners"),
    ({"piece": {"laid out": None, "corners": CROSSED[:3]}}, "/piece/shape",
     '"rectangle" with corners', "shape: polygon"),
    ({"piece": {"laid out": "60 cm"}}, "/piece/laid out", "one length", "60 cm x 60 cm"),
    ({"piece": {"laid out": "60 cm", "shape": "oval"}}, "/piece/laid out", "one length", "60 cm x"),
    ({"piece": {"shape": "round"}}, "/piece/laid out", '"60 x 40 cm"', "oval"),
    ({"piece": {"shape": "polygon", "laid out": None, "corners": CROSSED}}, "/piece/corners",
     "crosses itself", "order"),
    ({"piece": {"shape": "polygon", "laid out": None, "corners": CROSSED[:2] + CROSSED[:1]}},
     "/piece/corners/2", "the same corner twice", "closes by itself"),
    # blends
    ({"blends": {"white": {"white": "100 %"}}}, "/blends/white", "for a lot and a blend", "rename"),
    ({"blends": {"mix": {"whit": "100 %"}}}, "/blends/mix/whit", 'the lot "whit"', 'write "white"'),
    ({"blends": {"mix": {"white": "60 %"}}}, "/blends/mix", "add up to 60 %", "check the shares"),
    ({"lots": {"red": {"fibre": "silk"}}, "blends": {"mix": {"white": "60 %", "red": "1 part"}}},
     "/blends/mix", "shares of different kinds", "alike"),
    ({"blends": {"a/b~c": {"x/y": "100 %"}}}, "/blends/a~1b~0c/x~1y", 'the lot "x/y"', "under lots"),
    # zones
    ({"zones": {"whole": {"shape": "rim", "width": "2 cm"}}}, "/zones/whole", '"whole"', "rename"),
    ({"zones": zone(shape="band", to="2 cm")}, "/zones/sky", "a band without along", "add along"),
    ({"zones": zone(shape="band", along="south")}, "/zones/sky", "a band without to", "add to"),
    ({"zones": zone(shape="rectangle", size="9 x 2 cm")}, "/zones/sky", "without at", "add at"),
    ({"zones": zone(shape="round", at="0 cm east, 0 cm north")}, "/zones/sky", "without size", "add size"),
    ({"zones": zone(shape="polygon")}, "/zones/sky", "a polygon without corners", "add corners"),
    ({"zones": zone(shape="rim")}, "/zones/sky", "a rim without width", "add width"),
    ({"zones": zone(shape="middle")}, "/zones/sky", "a middle without width", "add width"),
    ({"zones": zone(shape="rim", width="2 cm", to="4 cm")}, "/zones/sky/to", "to in a rim", "leave to out"),
    ({"zones": zone(shape="rim", width="2 cm", from_="4 cm")}, "/zones/sky/from", "from in a rim", "leave"),
    ({"zones": zone(shape="band", along="south", to="2 cm", at="1 cm east, 1 cm north")},
     "/zones/sky/at", "at in a band", "leave at out"),
    ({"zones": {"sky": {"shape": "band", "along": "south", "from": "4 cm", "to": "2 cm"}}},
     "/zones/sky", "from 4 cm to 2 cm", "swap"),
    ({"zones": zone(shape="oval", size="9 cm", at="0 cm east, 0 cm north")}, "/zones/sky/size",
     '"9 cm"', "width x depth"),
    ({"zones": zone(shape="round", size="9 x 8 cm", at="0 cm east, 0 cm north")}, "/zones/sky/size",
     '"9 x 8 cm"', "oval"),
    ({"zones": zone(shape="polygon", corners=CROSSED)}, "/zones/sky/corners", "crosses", "order"),
    ({"piece": {"over": "ball", "shape": "round", "laid out": "30 cm"},
      "zones": zone(shape="rim", width="2 cm")}, "/zones/sky", "a zone on a ball", "leave the zone out"),
    ({"piece": {"over": "ball", "shape": "round", "laid out": "30 cm"},
      "layers": layer(short="2 cm")}, "/layers/0/short", "short: 2 cm", "leave out short"),
    ({"layers": layer(past="50 m")}, "/layers/0/past", '"50 m"', "check the figure"),
    ({"piece": {"over": "ball", "shape": "round", "laid out": "30 cm"},
      "layers": layer(wraps="2 cm")}, "/layers/0/wraps", "wraps", "leave it out"),
    # layers
    ({"layers": layer() * 2}, "/layers/1/name", 'a second layer called "base"', "layer 1"),
    ({"layers": layer(of="wihte")}, "/layers/0/of", 'the lot or blend "wihte"', 'write "white"'),
    ({"layers": layer(of="zzz")}, "/layers/0/of", 'the lot or blend "zzz"', "under lots or blends"),
    ({"layers": layer(zone="skye"), "zones": zone(shape="rim", width="2 cm")}, "/layers/0/zone",
     'the zone "skye"', 'write "sky"'),
    ({"layers": layer(zone="all over")}, "/layers/0/zone", 'the zone "all over"', "under zones"),
    ({"layers": [{"name": "b", "placements": [{"of": "white", "amount": "1 g"},
                                              {"of": "black", "amount": "1 g"}]}]},
     "/layers/0/placements/1/of", 'the lot or blend "black"', "under lots"),
    ({"layers": layer(wraps="2 cm")}, "/layers/0/wraps", "wraps", "turned in"),
    ({"layers": layer(turned_in="20.1 cm")}, "/layers/0/turned in", '"20.1 cm"', "check the figure"),
    ({"piece": TWO, "layers": layer(wraps="9 in", face="each")}, "/layers/0/wraps", '"9 in"', "check"),
    ({"piece": TWO, "layers": layer(turned_in="2 cm", face="each")}, "/layers/0/turned in",
     "turned in", "wraps"),
    ({"piece": TWO}, "/layers/0/amount", "20 g, and nothing that says on which face", "add face"),
    ({"piece": TWO, "layers": [{"name": "b", "placements": [{"of": "white", "amount": "1 g"}]}]},
     "/layers/0/placements/0/amount", "on which face", "add face"),
    ({"layers": layer(face="front")}, "/layers/0/face", "face: front", "leave it out"),
    # the rest
    ({"resists": [{"name": "p", "above": "bass"}]}, "/resists/0/above", 'the layer "bass"', 'write "base"'),
    ({"resists": [{"name": "p", "above": "base", "zone": "z"}]}, "/resists/0/zone", 'the zone "z"', "zones"),
    ({"totals": [{"amount": "1 g", "covers": ["base", "wite"]}]}, "/totals/0/covers/1",
     'the layer, lot or blend "wite"', 'write "white"'),
    ({"totals": [{"amount": "1 g", "without": ["x"]}]}, "/totals/0/without/0", '"x"', "what it covers"),
    ({"on_purpose": [{"what": "a", "why": "b", "where": "inside"}]}, "/on purpose/0/where",
     'the place "inside"', "face"),
    ({"waivers": [{"rule": "a", "why": "b", "where": "bas"}]}, "/waivers/0/where", '"bas"', 'write "base"'),
    # the tables
    ({"lots": {"white": {"fibre": "marino"}}}, "/lots/white/fibre", 'the fibre "marino"', 'write "merino"'),
    ({"lots": {"white": {"fibre": "moss"}}}, "/lots/white/fibre", 'the fibre "moss"', "not taken for wool"),
    ({"piece": {"use": "scraf"}}, "/piece/use", 'the use "scraf"', 'write "scarf"'),
    ({"piece": {"use": "parachute"}}, "/piece/use", 'the use "parachute"', "swatch"),
    ({"lots": {"white": {"fibre": "merino", "fineness": "61s"}}}, "/lots/white/fineness", '"61s"',
     "micrometres"),
    ({"lots": {"white": {"fibre": "merino", "colour": "zzz"}}}, "/lots/white/colour", '"zzz"',
     "#rrggbb"),
]  # fmt: skip


@pytest.mark.parametrize(("parts", "pointer", "found", "mend"), LINKS, ids=[x[1] for x in LINKS])
def test_what_does_not_fit(parts: dict[str, Any], pointer: str, found: str, mend: str) -> None:
    text = changed(**parts)
    problem = only(text)
    assert (problem.pointer, problem.kind) == (pointer, "link"), problem
    assert found in problem.found and mend in problem.mend, problem
    assert problem.expected
    assert (problem.line, problem.column) == place_of(Source("t", text), pointer)
    as_json = json.dumps(yaml.safe_load(text), indent=1)
    assert [p.pointer for p in problems(as_json, "json")] == [pointer]


FITS: list[dict[str, Any]] = [
    {"piece": {"shows": ["top", "bottom"]}},
    {"piece": {"how many": 2, "amounts for": "all"}},
    {"piece": {"over": "ball", "shape": "round", "laid out": "30 cm across"}},
    {"piece": {"shape": "round", "laid out": "40 x 40 cm"}},
    {"piece": {"shape": "polygon", "laid out": None, "corners": CROSSED[:3]}},
    {"blends": {"mix": {"white": "99.5 %"}}}, {"blends": {"mix": {"white": "3 g"}}},
    {"zones": zone(shape="band", along="west", to="4 in")},
    {"zones": zone(shape="rectangle", size="9 x 2 cm", at="0 cm east, 0 cm north")},
    {"zones": zone(shape="round", size="9 cm", at="5 cm east, 5 cm north")},
    {"piece": TWO, "layers": layer(face="both", wraps="2 cm")},
    {"layers": layer(turned_in="2 cm", zone="whole")}, {"layers": layer(turned_in="20 cm")},
    {"layers": layer(past="2 cm")}, {"layers": layer(divided_from="40 g")},
    {"resists": [{"name": "p", "above": "base"}], "totals": [{"amount": "20 g", "covers": ["base"]}]},
    {"on_purpose": [{"what": "a", "why": "b", "where": "top"}, {"what": "a", "why": "b"}]},
    {"waivers": [{"rule": "a", "why": "b", "where": place} for place in ("whole", "white", "front")]},
]  # fmt: skip


@pytest.mark.parametrize("parts", FITS, ids=range(len(FITS)))
def test_what_fits(parts: dict[str, Any]) -> None:
    assert not problems(changed(**parts))


SHAPES: list[tuple[str, str, str, str, str]] = [
    # old, new, pointer, found, mend
    ("  title: Panel\n", "", "/piece", "a piece without title", "add title, for example title: Harbour"),
    ("  shape: rectangle\n", "", "/piece", "a piece without shape", "add shape"),
    ("  laid out: 60 x 40 cm\n", "", "/piece", "a piece without laid out", "add laid out"),
    ("    of: white\n", "", "/layers/0", "a layer without of", "add of"),
    ("    amount: 20 g\n", "", "/layers/0", "a layer without amount", "add amount"),
    ("name: base", "note: hm", "/layers/0", "a layer without name", "add name"),
    ("{fibre: merino}", "{colour: navy}", "/lots/white", "a lot without fibre", "add fibre"),
    ("title:", "titel:", "/piece/titel", 'the key "titel"', 'write "title"'),
    ("laid out:", "laid_out:", "/piece/laid_out", 'the key "laid_out"', 'write "laid out"'),
    ("laid out:", "Laid Out:", "/piece/Laid Out", 'the key "Laid Out"', 'write "laid out"'),
    ("{fibre:", "{color: navy, fibre:", "/lots/white/color", 'the key "color"', 'write "colour"'),
    ("    of:", "    fluff: 3\n    of:", "/layers/0/fluff", 'the key "fluff"', "leave it out"),
    ("60 x 40 cm", "60 x 40 cm\n  corners: [a, b, c]", "/piece", "both laid out and corners", "one of them"),
    ("20 g", "20 g\n    past: 2 cm\n    short: 2 cm", "/layers/0", "both past and short", "one of them"),
    ("20 g", "20 g\n    wraps: 2 cm\n    turned in: 2 cm", "/layers/0", "both wraps and turned in", "one"),
    ("20 g", "20 g\n    placements: [{of: white, amount: 1 g}]", "/layers/0", "both of and placements",
     "one"),
    ("rectangle", "rectangel", "/piece/shape", '"rectangel"', 'write "rectangle"'),
    ("rectangle", "square", "/piece/shape", '"square"', 'write "rectangle"'),
    ("rectangle", "blob", "/piece/shape", '"blob"', "take one of these"),
    ("rectangle", "[round]", "/piece/shape", "a list", "write one text"),
    ("rectangle", "{a: b}", "/piece/shape", "a group of keys", "write one text"),
    ("{fibre: merino}", "merino", "/lots/white", '"merino"', "give it its keys"),
    ("{fibre: merino}", "", "/lots/white", "nothing", "give it its keys"),
    ("\n  white: {fibre: merino}", " merino", "/lots", '"merino"', "name"),
    ("\n  white: {fibre: merino}", " [merino]", "/lots", "a list", "name"),
    ("\n  white: {fibre: merino}", " {}", "/lots", "0", "names"),
    ("  white: {fibre", "  ' ': {fibre", "/lots/ ", '" "', "change the name"),
    ("  white: {fibre", f"  {'w' * 81}: {{fibre", f"/lots/{'w' * 81}", '"www', "change the name"),
    ("20 g", "20 ml", "/layers/0/amount", '"20 ml"', "weigh it"),
    ("20 g", "20", "/layers/0/amount", '"20"', "say the unit"),
    ("20 g", "250 kg", "/layers/0/amount", '"250 kg"', "check the number"),
    ("20 g", "[20 g]", "/layers/0/amount", "a list", "write one text"),
    ("60 x 40 cm", "60 x 40", "/piece/laid out", '"60 x 40"', "say the unit: 60 x 40 cm"),
    ("60 x 40 cm", "60", "/piece/laid out", '"60"', "say the unit: 60 cm"),
    ("60 x 40 cm", "60 x 40 x 2 cm", "/piece/laid out", '"60 x 40 x 2 cm"', "two lengths"),
    ("60 x 40 cm", "60 x 40 g", "/piece/laid out", '"60 x 40 g"', "the unit of a weight"),
    ("60 x 40 cm", "60*40 cm", "/piece/laid out", '"60*40 cm"', "write 60 x 40 cm"),
    ("60 x 40 cm", "12 in square", "/piece/laid out", '"12 in square"', "both sides"),
    ("60 x 40 cm", "2 x 3 ft 4 in", "/piece/laid out", '"2 x 3 ft 4 in"', "both lengths with their units"),
    ("60 x 40 cm", "300 x 200 m", "/piece/laid out", '"300 x 200 m"', "check the number"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "pointer", "found", "mend"), SHAPES, ids=lambda x: ascii(x)[:30]
)
def test_what_has_the_wrong_shape(old: str, new: str, pointer: str, found: str, mend: str) -> None:
    assert old in PANEL
    text = PANEL.replace(old, new)
    about = [p for p in problems(text) if p.kind in ("shape", "limit") and p.pointer == pointer]
    assert any(found in p.found and mend in p.mend for p in about), problems(text)
    for problem in about:
        assert problem.line and problem.column and problem.expected
        line = text.split("\n")[problem.line - 1]
        assert problem.column <= len(line) + 1


FORMS: list[tuple[str, str, str, str]] = [
    # key, text, hint, where it may stand
    ("direction", "vertical", "write north-south", "layer"), ("direction", "across", "east-west", "layer"),
    ("direction", "north-east", "write northeast-southwest, if", "layer"),
    ("direction", "northwest", "write northwest-southeast, if", "layer"),
    ("direction", "SE", "write northwest-southeast, if", "layer"),
    ("direction", "E", "write east-west, if", "layer"), ("direction", "one way", "bearing 30°", "layer"),
    ("direction", "left to right", "write east-west, if", "layer"),
    ("direction", "top to bottom", "write north-south, if", "layer"),
    ("direction", "30°", "write bearing 30°", "layer"),
    ("direction", "bearing 45º", "write bearing 45°", "layer"),
    ("direction", "-45°", "write bearing 315°", "layer"),
    ("direction", "at 45 degrees", "write bearing 45°", "layer"),
    ("direction", "bearing 400°", "check the figure", "layer"), ("direction", "NS", 'write "N-S"', "layer"),
    ("direction", "diagonal", "northeast-southwest", "layer"), ("direction", "zzz", "bearing", "layer"),
    ("overlap", "30", "write 30 %", "layer"), ("overlap", "95 %", "check the figure", "layer"),
    ("overlap", "a third", "write it like this: 1/3", "layer"),
    ("overlap", "2/1", "check the figure", "layer"),
    ("tuft", "5 by 10", "say the unit", "layer"), ("past", "0 cm", "above nothing", "layer"),
    ("fineness", "19", "write 19 um", "lot"), ("fineness", "64", "write 64s", "lot"),
    ("fineness", "64/70s", "write 64s or 70s, whichever", "lot"),
    ("fineness", "64s - 70s", "write 64s or 70s, whichever", "lot"),
    ("fineness", "64/71s", "write it like this", "lot"), ("fineness", "64's", "write 64s", "lot"),
    ("fineness", "19 mic", "write 19 um", "lot"),
    ("fineness", ".", "write it like this", "lot"), ("fineness", "1.2.3", "decimal point", "lot"),
    ("price", "€4.80", "it buys, as in 4.80 EUR per 100 g", "lot"),
    ("price", "4.80 EUR", "it buys, as in 4.80 EUR per 100 g", "lot"),
    ("price", "€4.80/100g", "write 4.80 EUR per 100g, if", "lot"),
    ("price", "4.80/5.20 EUR per kg", "write 4.80 EUR per kg or 5.20 EUR per kg, whi", "lot"),
    ("price", "4.80 - 5.20 EUR/kg", "write 4.80 EUR/kg or 5.20 EUR/kg, whichever you", "lot"),
    ("price", "€4–5 a kg", "write one figure; a range can go into a note", "lot"),
    ("price", "12 gbp a kg", "write 12 GBP per kg, if", "lot"),
    ("price", "4.80 per 100 g", "three letters, as in 4.80 EUR", "lot"),
    ("price", "45 kr. / kg", "write 45 SEK per kg or 45 NOK per kg or 45 DKK per kg, wh", "lot"),
    ("price", "4.80 EUR per bag", "write it like this: 4.80 EUR per 100 g", "lot"),
    ("price", "US$3.50/oz", "write 3.50 USD per oz, if", "lot"),
    ("price", "12 pounds per kg", "three letters, as in", "lot"),
    ("price", "-4 EUR per kg", "write it like this: 4.80 EUR per 100 g", "lot"),
    ("price", "cheap", "write it like this: 4.80 EUR per 100 g", "lot"),
    ("price", "4.80  EUR per 100 g", "write 4.80 EUR per 100 g", "lot"), ("stock", "2 bags", "units", "lot"),
    ("colour", "#12345", "#rrggbb", "lot"), ("colour", "Navy", 'write "navy"', "lot"),
    ("colour", "light grey", 'write "lightgrey"', "lot"), ("colour", "none", "#rrggbb", "lot"),
    ("colour", "natural white", "#rrggbb", "lot"), ("colour", "nayv", 'write "navy"', "lot"),
    ("preparation", "tops", "combed top", "lot"),
    ("water", "tepid", "write lukewarm", "step"), ("water", "Hot", "write hot", "step"),
    ("water", "40", "say the unit: 40 °C", "step"), ("water", "-5 °C", "below 0 °C", "step"),
    ("water", "300 °C", "check the number", "step"), ("water", "120 °C", "write 120 °F, if", "step"),
    ("water", "220 °F", "check the figure", "step"), ("times", "0", "check the number", "step"),
    ("times", "many", "write a whole number", "step"), ("times", "03", "write 3", "step"),
    ("times", "3.00", "write 3", "step"), ("times", "two", "write 2", "step"),
    ("times", "100x", "write 100", "step"), ("times", "x 100", "write 100", "step"),
    ("times", "100 times", "write 100", "step"), ("times", "999999999", "check the number", "step"),
    ("for", "10", "say the unit: 10 min", "step"),
    ("for", "1 h 30 min", "in one unit: 90 min", "step"), ("do", "rol", 'write "roll"', "step"),
    ("do", "vinegar", 'write "acid soak"', "step"), ("edge", "left", 'write "west"', "step"),
    ("at", "5 east, 0 north", "say the units: 5 cm east, 0 cm north", "zone"),
    ("at", "5 cm north, 3 cm east", "write 3 cm east, 5 cm north", "zone"),
    ("at", "3 cm west, 5 cm north", "near left corner", "zone"), ("at", "middle", "like this", "zone"),
    ("a", "70", "write 70 % or 70 parts", "blend"), ("a", "70 percent", "write 70 %", "blend"),
    ("a", "0 %", "leave the lot out", "blend"), ("a", "0,0 parts", "leave the lot out", "blend"),
    ("a", "2 Teile", "like this: 70 %", "blend"), ("a", "101 %", "check the figure", "blend"),
    ("a", "70 % of it", "like this: 70 %", "blend"), ("a", "1,500 g", "1500 g or 1.5 g", "blend"),
    ("a", "most", "like this: 70 %", "blend"), ("a", "11/2 parts", "5 1/2 parts or 1 1/2 parts", "blend"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("key", "text", "hint", "place"), FORMS, ids=[f"{x[0]}-{x[1]}" for x in FORMS]
)
def test_texts_of_a_fixed_form_are_refused_with_a_hint(
    key: str, text: str, hint: str, place: str
) -> None:
    at = {
        "layer": ("layers/0", {"layers": layer(**{key.replace(" ", "_"): text})}),
        "lot": ("lots/white", {"lots": {"white": {"fibre": "merino", key: text}}}),
        "step": ("work/0", {"work": [{"do": "roll", key: text}]}),
        "zone": ("zones/sky", {"zones": {"sky": {"shape": "round", "size": "2 cm", key: text}}}),
        "blend": ("blends/m", {"blends": {"m": {"white": text}}}),
    }
    pointer, parts = at[place]
    document = yaml.safe_load(changed(**parts))
    problem = (
        only(json.dumps(document), "json")
        if key != "times"
        else only(changed(**parts).replace("'", ""))
    )
    assert problem.pointer == f"/{pointer}/{'white' if place == 'blend' else key}"
    assert hint in problem.mend, problem
    assert " ".join(text.split()) in problem.found


SICK = """\
pice: {}
piece:
  title:
  shape: rectangel
  laid out: 60 x 40
lots:
  white: {fibre: marino, colour: #b3202a
    }
  grey: {fibre: merino, fineness: 61s, dye: 4}
blends:
  mist: {whit: 70 %, grey: 31 %}
layers:
  - {name: base, of: wite, amount: 20 ml, zone: skye}
  - name: top
    placements:
      - {of: grey, amount: "1,500 g"}
      - {of: gray, amount: 4 g, past: 1 cm, short: 1 cm}
  - {name: base, amount: 4 g}
totals:
  - {amount: 3 g, covers: [base, wite]}
waivers:
  - {rule: x, where: nowhere}
"""


def test_all_problems_of_a_file_are_told_at_once_in_file_order() -> None:
    found = problems(SICK)
    told = [(p.line, p.pointer, p.kind) for p in found]
    assert told == [
        (1, "/pice", "shape"), (3, "/piece/title", "shape"), (4, "/piece/shape", "shape"),
        (5, "/piece/laid out", "shape"), (7, "/lots/white/fibre", "link"),
        (7, "/lots/white/colour", "shape"),
        (9, "/lots/grey/fineness", "link"), (9, "/lots/grey/dye", "shape"),
        (11, "/blends/mist/whit", "link"),
        (13, "/layers/0/of", "link"), (13, "/layers/0/amount", "shape"), (13, "/layers/0/zone", "link"),
        (16, "/layers/1/placements/0/amount", "shape"),
        (17, "/layers/1/placements/1", "shape"), (17, "/layers/1/placements/1/of", "link"),
        (18, "/layers/2", "shape"), (20, "/totals/0/covers/1", "link"),
        (22, "/waivers/0", "shape"), (22, "/waivers/0/where", "link"),
    ]  # fmt: skip
    places = [(p.line, p.column) for p in found]
    assert places == sorted(places)


def test_names_are_not_asked_for_where_their_section_is_missing() -> None:
    without = PANEL.replace("lots:\n  white: {fibre: merino}\n", "")
    assert [p.found for p in problems(without)] == ["a recipe without lots"]
    broken = PANEL.replace("\n  white: {fibre: merino}", " none")
    assert [p.pointer for p in problems(broken)] == ["/lots"]


def test_a_long_list_of_names_is_not_told_whole() -> None:
    lots = {f"wool {n}": {"fibre": "merino"} for n in range(150)}
    problem = only(changed(lots=lots, layers=layer(of="moss")))
    assert problem.expected.endswith(", …") and problem.expected.count(",") == 12
    problem = only(changed(layers=layer(of="w" * 70)))
    assert len(problem.found) < 120


def test_too_many_of_anything_is_refused() -> None:
    for parts, pointer in [
        ({"lots": {f"lot {n}": {"fibre": "merino"} for n in range(bounds.LOTS)}}, "/lots"),
        ({"layers": [{**layer()[0], "name": f"l{n}"} for n in range(bounds.LAYERS + 1)]}, "/layers"),
        ({"work": [{"do": "roll"}] * (bounds.STEPS + 1)}, "/work"),
        ({"piece": {"shape": "polygon", "laid out": None, "corners": ["0 cm east, 0 cm north"] * 2}},
         "/piece/corners"),
    ]:  # fmt: skip
        assert [p.pointer for p in problems(changed(**parts)) if p.kind == "shape"] == [pointer]


def keys_of(record: Record) -> list[tuple[str, Any]]:
    return [(key, field) for key, field in record.fields.items()]


@settings(max_examples=150, deadline=None, derandomize=True)
@given(document=documents())
def test_links_never_break_on_documents_of_the_right_shape(document: dict[str, Any]) -> None:
    for problem in problems(json.dumps(document), "json"):
        assert problem.kind in ("link", "limit"), problem
        assert (
            problem.line and problem.column and problem.found and problem.expected and problem.mend
        )


@settings(max_examples=100, deadline=None, derandomize=True)
@given(document=recipes())
def test_recipes_that_fit_are_read(document: dict[str, Any]) -> None:
    recipe = read(json.dumps(document), "json")
    assert len(recipe.layers) == len(document["layers"])
    assert tuple(lot.name for lot in recipe.lots) == tuple(document["lots"])
    assert tuple(zone.name for zone in recipe.zones) == tuple(document["zones"])


def test_every_key_of_the_format_reaches_the_model() -> None:
    """A field that is read and dropped would be a silent lie: each key's attribute is in the model."""
    import attrs

    from felt_engine.model.layup import Layer, Placement
    from felt_engine.model.lots import Lot
    from felt_engine.model.piece import Zone
    from felt_engine.model.recipe import Recipe

    made = {"lot": Lot, "zone": Zone, "layer": Layer, "recipe": Recipe}
    waiting: list[Any] = [RECIPE]
    seen = set()
    while waiting:
        kind = waiting.pop()
        if isinstance(kind, Record) and kind.name not in seen:
            seen.add(kind.name)
            model = made.get(kind.name, kind.make)
            names = {field.name for field in attrs.fields(model)}
            if model is Layer:
                names |= {field.name for field in attrs.fields(Placement)}
            assert {field.attr for _, field in keys_of(kind)} <= names, kind.name
            waiting.extend(field.kind for _, field in keys_of(kind))
        elif not isinstance(kind, Count):
            waiting.extend([kind.item] if hasattr(kind, "item") else [])
    assert {"recipe", "piece", "lot", "zone", "layer", "placement", "roller", "waiver"} <= seen


def test_a_name_that_only_looks_the_same_is_told_apart() -> None:
    """As one letter with its accent, and as a letter and an accent (as some systems paste it)."""
    text = PANEL.replace("white:", "\u00e9cru:").replace("of: white", "of: e\u0301cru", 1)
    (one,) = problems(text.replace("of: white", "of: \u00e9cru"))
    assert "copy the name from there" in one.mend and "U+0301" in one.mend, one


@pytest.mark.parametrize("nothing", ['""', '" "', "", "~", "null"])
@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("title", "piece: {title: NOTHING, shape: round, laid out: 30 cm across}"),
        ("laid out", "piece: {title: T, shape: round, laid out: NOTHING}"),
        ("fibre", "lots: {w: {fibre: NOTHING}}"),
        ("amount", "layers: [{name: a, of: w, amount: NOTHING}]"),
        ("of", "layers: [{name: a, of: NOTHING, amount: 3 g}]"),
        ("along", "zones: {z: {shape: band, along: NOTHING, to: 3 cm}}"),
        ("to", "zones: {z: {shape: band, along: south, to: NOTHING}}"),
        ("at", "zones: {z: {shape: round, size: 3 cm, at: NOTHING}}"),
        ("width", "zones: {z: {shape: rim, width: NOTHING}}"),
    ],
)
def test_what_has_to_be_there_is_never_to_be_left_out(key: str, line: str, nothing: str) -> None:
    parts = {
        "piece": "piece: {title: T, shape: round, laid out: 30 cm across}",
        "lots": "lots: {w: {fibre: merino}}",
        "layers": "layers: [{name: a, of: w, amount: 3 g}]",
    }
    parts[line.split(":")[0]] = line.replace("NOTHING", nothing)
    told = [one for one in problems("\n".join(parts.values())) if one.found == "nothing"]
    assert [one.mend.split(": ")[0] for one in told] == [f"write it, for example {key}"]


@pytest.mark.parametrize("none", ["0 g", "0 g/m²", "0"])
def test_an_amount_of_nothing_is_not_to_be_left_out(none: str) -> None:
    text = re.sub(r"amount: [^,}\n]+", f"amount: {none}", PANEL, count=1)
    (slip, *_) = problems(text)
    assert "leave" not in slip.mend


@pytest.mark.parametrize(
    ("value", "mend"),
    [
        ("true", "write what is expected here, in double quotes"),
        ("1.5e3", 'say the unit, in quotes: "1500 …"'),
        ("1E2", 'say the unit, in quotes: "100 …"'),
        ("12", 'say the unit, in quotes: "12 …"'),
        ("-1", "write an amount above nothing with its unit, in quotes"),
        ("0", "write an amount above nothing with its unit, in quotes"),
        ("1e300", "check the figure, and say its unit, in quotes"),
    ],
)
def test_what_json_has_in_place_of_an_amount(value: str, mend: str, tmp_path: Path) -> None:
    file = tmp_path / "r.json"
    file.write_text(
        '{"piece": {"title": "T", "shape": "round", "laid out": "30 cm across"}, "lots": {"w": {"fibre": '
        f'"merino"}}}}, "layers": [{{"name": "a", "of": "w", "amount": {value}}}]}}', "utf-8",
    )  # fmt: skip
    with pytest.raises(RecipeError) as refused:
        felt_engine.load(file)
    assert [one.mend for one in refused.value.problems] == [mend]


@pytest.mark.parametrize("door", ["yaml", "json"])
def test_a_bare_nothing_is_a_place_to_start_from(door: str) -> None:
    zoned = yaml.safe_load(PANEL) | {
        "zones": {"sky": {"shape": "band", "along": "south", "from": 0, "to": "2 cm"}}
    }
    written = yaml.safe_dump if door == "yaml" else json.dumps
    assert only(written(zoned), door).mend.replace('"', "") == "write 0 cm or 0 in"
    zoned["zones"]["sky"]["from"] = "0 cm"
    assert read(written(zoned), door)
