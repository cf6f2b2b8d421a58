"""Small recipes as text: made of layers in one line each, or drawn at random."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from typing import Any

Plain = dict[str, Any]

SHELF: dict[str, Plain] = {
    "white top": {"fibre": "merino", "preparation": "combed top", "fineness": "20.5 um",
                  "colour": "#efe9da"},
    "blue top": {"fibre": "merino", "preparation": "combed top", "fineness": "20.5 um",
                 "colour": "#27519c"},
    "fine top": {"fibre": "merino", "preparation": "combed top", "fineness": "18.5 um",
                 "colour": "#d8dcdf"},
    "white batt": {"fibre": "merino", "preparation": "carded batt", "fineness": "20.5 um",
                   "colour": "#e6dcc6"},
    "hill batt": {"fibre": "corriedale", "preparation": "carded batt", "fineness": "27 um",
                  "colour": "#8d877c"},
    "white prefelt": {"fibre": "merino", "preparation": "prefelt", "fineness": "20.5 um",
                      "colour": "#efe9da"},
    "curls": {"fibre": "wensleydale", "preparation": "locks", "fineness": "34 um",
              "colour": "#efe3c4"},
    "treated top": {"fibre": "merino", "preparation": "combed top", "fineness": "20.5 um",
                    "colour": "#d9cfc0", "treatment": "shrink-proofed"},
    "silk": {"fibre": "silk", "preparation": "combed top", "fineness": "12.5 um",
             "colour": "#f0e6cf"},
    "viscose": {"fibre": "viscose", "preparation": "combed top", "fineness": "14 um",
                "colour": "#f7f5ef"},
    "glint": {"fibre": "film fibre", "preparation": "film", "fineness": "12 um",
              "colour": "#dfe8ec"},
    "gauze": {"fibre": "silk", "preparation": "open cloth", "fineness": "12.5 um",
              "colour": "#f2ead8"},
    "unlabelled": {"fibre": "merino", "preparation": "combed top"},
}  # fmt: skip
"""Lots by name, for recipes that don't describe their own. Invented stock."""


def laid(of: str, amount: str, direction: str | None = None, **more: Any) -> Plain:
    """One layer: ``laid("silk", "5 g", "north-south", role="accent", name="shine")``.

    Keywords are keys of a layer, with ``_`` for a blank.
    """
    layer: Plain = {"of": of, "amount": amount}
    if direction is not None:
        layer["direction"] = direction
    return {**layer, **_spelt(more)}


def recipe(
    *layers: Mapping[str, Any], size: str = "30 x 30 cm", use: str | None = "picture ground",
    stage: str | None = "firm", **more: Any,
) -> str:  # fmt: skip
    """A recipe as text, of these layers from bottom to top.

    Lots that it names and doesn't describe come off the SHELF. Keywords are sections of a recipe
    (``lots``, ``zones``, ``work``, ``on_purpose`` ...) or else keys of the piece, with ``_`` for a
    blank; ``None`` leaves a key out.
    """
    piece: Plain = {"title": "Trial piece", "shape": "rectangle", "laid out": size, "use": use,
                    "stage": stage}  # fmt: skip
    sections: Plain = {}
    for key, value in _spelt(more).items():
        (sections if key in _SECTIONS else piece)[key] = value
    listed = [
        {"name": layer.get("name", f"layer {number}"), **layer}
        for number, layer in enumerate(layers, 1)
    ]
    lots = dict(sections.pop("lots", {}))
    for name in _lots_named(listed, sections.get("blends", {})):
        if name not in lots and name in SHELF:
            lots[name] = SHELF[name]
    whole = {
        "piece": {key: value for key, value in piece.items() if value is not None},
        "lots": lots, "layers": listed, **sections,
    }  # fmt: skip
    return _text(whole)


_SECTIONS = (
    "lots", "blends", "zones", "resists", "tools", "work", "totals", "readers", "cautions",
    "on purpose", "waivers", "scale step", "note",
)  # fmt: skip


def _spelt(more: Mapping[str, Any]) -> Plain:
    return {key.replace("_", " "): value for key, value in more.items()}


def _lots_named(layers: list[Plain], blends: Mapping[str, Any]) -> Iterator[str]:
    for layer in layers:
        for amount in layer.get("placements", [layer]):
            yield from blends.get(amount.get("of"), [amount.get("of")])


def _text(whole: Plain) -> str:
    import yaml

    class Plainly(yaml.SafeDumper):
        """Writes no anchors: recipes have none."""

        def ignore_aliases(self, data: Any) -> bool:
            return True

    return yaml.dump(whole, Dumper=Plainly, sort_keys=False, allow_unicode=True, width=10_000)


# drawn at random ----------------------------------------------------------------------------------

_USES = ("picture ground", "scarf", "cobweb", "bag", "lampshade", "swatch", "rug", None)
_STAGES = ("prefelt", "light", "firm", "hard", None)
_OUTLINES = ("straight", "free", "blocked", None, None)
_WAYS = ("north-south", "east-west", "northeast-southwest", "bearing 30°", "random", None)
_AREALS = (10, 25, 40, 60, 80, 120, 200, 400)
_STEPS: tuple[Plain, ...] = (
    {"do": "wet", "water": "warm", "soap": "neutral"}, {"do": "rub", "for": "10 min"},
    {"do": "check"}, {"do": "roll", "edge": "north", "times": 100},
    {"do": "roll", "edge": "east", "times": 100}, {"do": "full", "water": "hot"},
    {"do": "throw", "times": 40}, {"do": "cut"}, {"do": "rinse"}, {"do": "press"}, {"do": "dry"},
)  # fmt: skip


def drawn(count: int = 24, seed: int = 1) -> Iterator[str]:
    """Recipes as text, right and wrong, drawn at random: the same ones for the same seed.

    Flat pieces for the most part, with zones and without, a few over a resist or a ball.
    """
    chance = random.Random(seed)
    for number in range(count):
        yield _draw(chance, number)


def _draw(chance: random.Random, number: int) -> str:
    over = ("table", "table", "table", "table", "flat resist", "ball")[number % 6]
    shape = (
        "round" if over == "ball" else chance.choice(("rectangle", "rectangle", "round", "oval"))
    )
    wide, deep = chance.randrange(16, 120), chance.randrange(16, 120)
    size = f"{wide} cm across" if shape == "round" else f"{wide} x {deep} cm"
    zones: Plain = {}
    if over == "table" and number % 2:
        zones = _scattered(chance, min(wide, deep)) if number % 3 else _side_by_side(wide)
    layers = [
        _layer(chance, tuple(zones), over == "flat resist") for _ in range(chance.randint(1, 4))
    ]
    more: Plain = {"zones": zones} if zones else {}
    if chance.random() < 0.5:
        more["work"] = [step for step in _STEPS if chance.random() < 0.6]
        more["readers"] = [chance.choice(("own notes", "class handout", "children"))]
    return recipe(
        *layers, size=size, use=chance.choice(_USES), stage=chance.choice(_STAGES), shape=shape,
        over=None if over == "table" else over, outline=chance.choice(_OUTLINES), **more,
    )  # fmt: skip


def _side_by_side(wide: int) -> Plain:
    third = wide // 3
    return {
        name: {
            "shape": "band",
            "along": "west",
            "from": f"{k * third} cm",
            "to": f"{(k + 1) * third} cm",
        }
        for k, name in enumerate(("left", "centre", "right"))
    }


def _scattered(chance: random.Random, least: int) -> Plain:
    side = chance.choice(("north", "south", "east", "west"))
    start = chance.randrange(0, least // 2)
    band: Plain = {"shape": "band", "along": side, "to": f"{start + least // 3} cm"}
    if start:
        band["from"] = f"{start} cm"
    across = max(2, least // 4)
    spot = {"shape": "rectangle", "size": f"{across} x {across + 1} cm",
            "at": f"{chance.randrange(least // 3, least // 2)} cm east, {least // 3} cm north"}  # fmt: skip
    return {"strip": band, "patch": spot, "frame": {"shape": "rim", "width": f"{least // 5} cm"}}


def _layer(chance: random.Random, zones: tuple[str, ...], resist: bool) -> Plain:
    def amount() -> str:
        return f"{chance.choice(_AREALS)} g/m²"

    more: Plain = {"role": role} if (role := chance.choice((None, None, "cover", "accent"))) else {}
    if resist:
        more["face"] = chance.choice(("both", "each"))
    way = chance.choice(_WAYS)
    lots = tuple(SHELF)
    if not zones or chance.random() < 0.4:
        return laid(chance.choice(lots), amount(), way, **more)
    placements = [
        {"of": chance.choice(lots), "amount": amount(), "zone": zone}
        for zone in zones if chance.random() < 0.7
    ]  # fmt: skip
    if not placements:
        return laid(chance.choice(lots), amount(), way, zone=zones[0], **more)
    layer: Plain = {"placements": placements, **more}
    return {**layer, "direction": way} if way else layer


__all__ = ["SHELF", "drawn", "laid", "recipe"]
