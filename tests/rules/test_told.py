"""All that four rules tell a maker of pointed recipes, word for word, beside how the recipe is made.

The page of answers is read by a person when it changes (`REWRITE_GOLDEN=1` writes it); verdicts and
figures are worked out by hand in the other tests of these rules.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from kit_rules import Plain, laid, report_of, sheet

GOLDEN = Path(__file__).parents[1] / "golden" / "told.txt"
RULES = ("direction-balance", "halo-clash", "luster-carrier", "thin-layer")
BAND = {"shape": "band", "along": "south", "to": "10 cm"}
REST = {"shape": "band", "along": "north", "to": "30 cm"}
SUN = {"shape": "round", "size": "12 cm", "at": "20 cm east, 20 cm north"}
CORD = {"shape": "band", "along": "south", "from": "20 cm", "to": "20.9 cm"}
BALL = {"over": "ball", "use": "vessel", "shape": "round", "size": "40 cm"}
ZONES = {"wrack": BAND, "sky": REST, "sun": SUN, "cord": CORD}


def panel(*layers: Plain, **more: Any) -> Plain:
    """A wall panel, or another piece, 40 cm each way with all zones that are needed."""
    text = str(layers)
    zones = {name: zone for name, zone in ZONES.items() if f"'{name}'" in text}
    fields = {
        "use": "wall panel",
        "size": "40 x 40 cm",
        **({"zones": zones} if zones else {}),
        **more,
    }
    return sheet(*layers, **fields)


def wool(grams: float = 400, **more: Any) -> Plain:
    return laid("oat", f"{grams} g/m²", "random", **more)


def on_wool(of: str, grams: float, *over: Plain, **more: Any) -> Plain:
    return panel(wool(), laid(of, f"{grams} g/m²", "random", zone="wrack"), *over, **more)


def one_way(first: str, second: str, way: str = "east-west", **more: Any) -> Plain:
    layers = [laid("oat", first, way, name="one"), laid("oat", second, "north-south", name="two")]
    return panel(*layers, **more)


MIX = {"mix": {"oat": "40 %", "viscose": "60 %"}, "poor": {"oat": "5 %", "viscose": "95 %"}}
MADE: dict[str, Plain] = {
    "just too thin": panel(wool(85)), "a thin panel": panel(wool(70)), "a faulty panel": panel(wool(40)),
    "thin on a strip": panel(wool(60), wool(340, zone="sky")),
    "a bare strip": panel(wool(400, zone="sky")),
    "a strip of viscose alone": panel(wool(400, zone="sky"), laid("viscose", "50 g/m²", zone="wrack")),
    "half of it felts": panel(laid("mix", "150 g/m²", "random"), blends=MIX),
    "two thin steps": panel(wool(30), wool(15, zone="wrack"), wool(300, zone="sun")),
    "a strip that is bridged": panel(wool(400, zone="sky"), wool(400, zone="wrack")),
    "bare without a use": panel(wool(60), use=None), "thin without a use": panel(wool(45), use=None),
    "fineness unsaid": panel(wool(75), laid("grey", "9 g/m²", "random"), lots={
        "grey": {"fibre": "merino", "preparation": "combed top"},
        "oat": {"fibre": "merino", "preparation": "combed top"}}),
    "openwork": panel(wool(30, role="open")), "a cobweb": panel(wool(25, zone="sky"), use="cobweb"),
    "half openwork": panel(wool(20, role="open"), wool(20)),
    "openwork with shine": panel(wool(30, role="open"), laid("viscose", "5 g/m²", "random", zone="sun")),
    "thin under two shines": panel(wool(40), laid("viscose", "5 g/m²", "random", zone="sky"),
                                   laid("silk", "5 g/m²", "random", zone="wrack")),
    "bought felt": panel(laid("felt", "20 g/m²"), lots={"felt": {
        "fibre": "merino", "preparation": "felt", "fineness": "20 um"}}),
    "both sides of a bag": panel(wool(60, face="both"), use="bag", over="flat resist"),
    "one side of a bag": panel(wool(400, face="front"), wool(60, face="back"), use="bag",
                               over="flat resist"),
    "viscose": on_wool("viscose", 90), "a little viscose": on_wool("viscose", 60),
    "viscose all over": panel(wool(), laid("viscose", "90 g/m²", "random")),
    "viscose below": panel(laid("viscose", "90 g/m²", "random", zone="sun"), wool()),
    "viscose under silk": panel(wool(), laid("viscose", "40 g/m²", zone="sun"),
                                laid("silk", "40 g/m²", "random", zone="sun")),
    "viscose in portions": panel(wool(), {"name": "gleam", "placements": [
        laid("viscose", "45 g/m²", zone="wrack"), laid("viscose", "45 g/m²", zone="wrack")]}),
    "a poor blend": panel(wool(), laid("poor", "90 g/m²", "random"), blends=MIX),
    "treated wool": on_wool("washable", 150), "neps": on_wool("specks", 20),
    "neps veiled": on_wool("specks", 20, wool(20, lay="wisps", role="veil")),
    "yarn": on_wool("yarn", 20, lots={"yarn": {"fibre": "silk", "preparation": "yarn"}}),
    "hankies": on_wool("hankies", 60, lots={"hankies": {"fibre": "silk", "preparation": "silk hankies"}}),
    "pongee": on_wool("pongee", 60, lots={"pongee": {"fibre": "silk", "preparation": "close cloth"}}),
    "without a stage": on_wool("viscose", 45, stage=None),
    "much without a stage": on_wool("viscose", 90, stage=None),
    "melting": on_wool("glint", 40), "much that melts": on_wool("glint", 90),
    "a cord of viscose": panel(wool(), laid("viscose", "90 g/m²", zone="cord")),
    "shine inside a ball": panel(laid("viscose", "90 g/m²", "random"), wool(), **BALL),
    "shine outside a ball": panel(wool(), laid("viscose", "90 g/m²", "random"), **BALL),
    "all one way": one_way("300 g/m²", "0.1 g/m²"), "two to one": one_way("300 g/m²", "130 g/m²"),
    "on the slant": one_way("300 g/m²", "60 g/m²", "northeast-southwest"),
    "a bearing": one_way("300 g/m²", "60 g/m²", "bearing 70°"),
    "an oval": panel(laid("oat", "300 g/m²", "east-west"), shape="oval"),
    "a round": panel(laid("oat", "300 g/m²", "east-west"), shape="round", size="40 cm"),
    "free": panel(laid("oat", "300 g/m²", "east-west"), outline="free"),
    "carded": panel(laid("batt oat", "300 g/m²", "east-west")),
    "silk across": panel(laid("oat", "300 g/m²", "east-west"), laid("silk", "10 g/m²", "north-south")),
    "a belt across": panel(laid("oat", "400 g/m²", "north-south"), use="belt", size="120 x 8 cm"),
    "a shawl with a ruffle": panel(laid("oat", "200 g/m²", "east-west"), size="120 x 120 cm",
                                   outline="ruffled"),
    "no direction": panel(laid("oat", "300 g/m²"), laid("oat", "100 g/m²", "east-west")),
    "wanted so": one_way("300 g/m²", "60 g/m²", finished="25 x 32 cm"),
    "uneven parts": panel(laid("oat", "300 g/m²", "north-south", zone="sky", name="far"),
                          laid("oat", "300 g/m²", "east-west")),
    "a bag one way": panel(laid("oat", "300 g/m²", "east-west", face="both"), use="bag", over="flat resist"),
    "a square round": panel(laid("oat", "300 g/m²", "east-west"), laid("oat", "300 g/m²", "north-south"),
                            shape="round", size="28 cm", outline="round", use="trivet", stage="hard"),
    "a band a little askew": panel(laid("oat", "300 g/m²", "bearing 62°"), use=None, size="100 x 8 cm"),
    "a band more askew": panel(laid("oat", "300 g/m²", "bearing 58°"), use=None, size="100 x 8 cm"),
    "part of it meant": panel(laid("oat", "200 g/m²", "north-south", zone="sky", name="far"),
                              laid("oat", "300 g/m²", "east-west", zone="sky", name="on"),
                              laid("oat", "300 g/m²", "east-west", name="all"),
                              on_purpose=[{"what": "laid one way", "where": "wrack", "why": "the frill"}],
                              zones=ZONES),
    "a layer of it meant": panel(laid("oat", "200 g/m²", "north-south", name="cross"),
                                 laid("oat", "300 g/m²", "east-west", name="grain"),
                                 laid("oat", "500 g/m²", "north-south", zone="wrack", name="near"),
                                 on_purpose=[{"what": "laid one way", "where": "grain", "why": "the grain"}]),
    "a cover that the stage decides": panel(laid("slate", "300 g/m²", "random"), laid(
        "milk", "145 g/m²", "random", role="cover"), stage=None),
    "a cover that is covered": panel(laid("ink", "300 g/m²", "random"), laid(
        "milk", "70 g/m²", "random", role="cover"), laid("rowan", "300 g/m²", "random")),
    "a cover under shine": panel(laid("ink", "300 g/m²", "random"), laid(
        "milk", "70 g/m²", "random", role="cover"), laid("viscose", "10 g/m²", "random")),
    "a structure undeclared": panel(laid("ink", "300 g/m²", "random", role="structure"), laid(
        "milk", "70 g/m²", "random")),
    "structure over ink": panel(laid("ink", "300 g/m²", "random"), laid(
        "milk", "70 g/m²", "random", role="structure")),
    "a batt undeclared": panel(laid("ink", "300 g/m²", "random"), laid("batt oat", "70 g/m²", "random")),
    "a sheet undeclared": panel(laid("ink", "300 g/m²", "random"), laid("sheet white", "70 g/m²")),
    "locks undeclared": panel(laid("ink", "300 g/m²", "random"), laid("curls", "70 g/m²", "random")),
    "a seam undeclared": panel(laid("ink", "300 g/m²", "random"), laid("milk", "70 g/m²", zone="cord")),
    "a veil of wool": panel(laid("ink", "300 g/m²", "random"), laid("milk", "20 g/m²", "random")),
    "an accent on a cover": panel(laid("ink", "300 g/m²", "random"),
                                  laid("milk", "70 g/m²", "random", role="cover"),
                                  laid("rowan", "30 g/m²", zone="sun", role="accent")),
    "a cover in two portions": panel(laid("ink", "300 g/m²", "random"), {
        "name": "skin", "role": "cover", "direction": "random",
        "placements": [laid("milk", "35 g/m²"), laid("milk", "35 g/m²")]}),
    "neps on a veil": panel(wool(20), laid("specks", "20 g/m²", lay="scatter"), wool(400)),
    "neps in a blend": panel(wool(), laid("fleck", "20 g/m²", "random"), blends={
        "fleck": {"oat": "30 %", "specks": "70 %"}}),
    "neps half in wool": panel(wool(), laid("fleck", "20 g/m²", "random"), blends={
        "fleck": {"oat": "50 %", "specks": "50 %"}}),
    "shine in portions and silk": panel(wool(), {"name": "gleam", "placements": [
        laid("viscose", "32 g/m²", zone="sun"), laid("silk", "30 g/m²", zone="sun"),
        laid("viscose", "32 g/m²", zone="sun")]}),
    "pongee lapped": panel(wool(), laid("pongee", "60 g/m²", zone="sun"), wool(30, zone="sun")),
    "two shines": panel(wool(), laid("viscose", "30 g/m²", "random", zone="sun"),
                        laid("silk", "60 g/m²", "random", zone="sun")),
    "nothing at all felts": panel(laid("viscose", "300 g/m²", "random")),
    "no wool on cloth": panel(laid("gauze", "20 g/m²"), laid("viscose", "60 g/m²", "random")),
    "treated alone": panel(laid("washable", "300 g/m²", "random")),
    "felt alone with shine": panel(laid("ready felt", "300 g/m²"), laid("viscose", "60 g/m²", "random")),
    "ink under milk": panel(laid("ink", "300 g/m²", "random"), laid("milk", "70 g/m²", "random",
                                                                   role="cover")),
    "grey under milk": panel(laid("slate", "300 g/m²", "random"), laid("milk", "120 g/m²", "random",
                                                                      role="cover")),
    "milk under ink": panel(laid("milk", "300 g/m²", "random"), laid("ink", "30 g/m²", "random",
                                                                    role="cover")),
    "rowan under moss": panel(laid("rowan", "300 g/m²", "random"), laid("moss", "60 g/m²", "random",
                                                                       role="cover", zone="sky")),
    "undeclared": panel(laid("ink", "300 g/m²", "random"), laid("milk", "70 g/m²", "random")),
    "a cover without a stage": panel(laid("slate", "300 g/m²", "random"), laid(
        "milk", "90 g/m²", "random", role="cover"), stage=None),
    "a cover below": panel(laid("milk", "70 g/m²", "random", role="cover"), laid("ink", "300 g/m²", "random"),
                           shows=["top", "bottom"]),
    "too strong to hide": panel(laid("coal", "900 g/m²", "random"), laid("milk", "15 g/m²", "random",
                                                                        role="cover"), stage="hard"),
}  # fmt: skip
for _name, _more in (("pressed", {}), ("pressed cool", {"tools": {"iron": "cool"}})):
    for _melting in ("melting", "much that melts"):
        _work = [{"do": "dry"}, {"do": "press"}]
        MADE[f"{_melting}, {_name}"] = {**MADE[_melting], "work": _work, **_more}


def told(name: str, recipe: Plain) -> list[str]:
    """All that the four rules say of a recipe."""
    report = report_of(recipe, name)
    assert not report.problems and not report.not_judged, (name, report.problems, report.not_judged)
    lines = [f"== {name}"]
    every = [one for f in report.findings for one in (f, *f.explains)]
    for one in every:
        if one.rule in RULES:
            lines.append(f"{one.rule}: {one.level}, {one.spot.thing}, {one.where or 'no place'}")
            lines.append(f"  {one.message}")
    for f in report.findings:
        if f.rule in RULES:
            shown = [f"{x.name} {x.value:.4g} {x.unit}".strip() for x in (f.measured, f.limit) if x]
            lines += [f"  {f.do}", f"  {'; '.join(shown)}", f"  {f.how}"]
    for kind, remarks in (("not enough said", report.unsaid), ("tip", report.tips)):
        lines += [f"{r.rule}: {kind}, {r.spot.thing}: {r.text}" for r in remarks if r.rule in RULES]
    return lines


def test_all_that_is_told_is_as_the_page_says() -> None:
    text = "\n".join(line for name, recipe in MADE.items() for line in told(name, recipe)) + "\n"
    if os.environ.get("REWRITE_GOLDEN"):
        GOLDEN.write_text(text, "utf-8")
    assert text.splitlines() == GOLDEN.read_text("utf-8").splitlines()
