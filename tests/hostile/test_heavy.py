"""Small recipes that ask for much: zones over zones, within a second of CPU time and 256 MB."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest
from kit_calls import Caller, held, quickest

HEAD = """\
piece: {title: Much, shape: rectangle, laid out: 60 x 40 cm, use: scarf, stage: light}
lots: {white: {fibre: merino, preparation: combed top, fineness: 19 um}}
"""


def recipe(zones: Iterable[str], layers: int, head: str = HEAD) -> str:
    """A layer of 3 g on each of so many zones, in turn."""
    named = [f"  z{k}: {zone}\n" for k, zone in enumerate(zones)]
    each = [
        f"  - {{name: l{k}, of: white, amount: 3 g, direction: random, zone: z{k % len(named)}}}\n"
        for k in range(layers)
    ]
    return "".join((head, "zones:\n", *named, "layers:\n", *each))


def rounds(count: int) -> list[str]:
    return [
        f'{{shape: round, size: 16 cm, at: "{10 + 1.1 * k % 40:.1f} cm east, {12 + 7 * k % 15} cm north"}}'
        for k in range(count)
    ]


def bands(count: int) -> list[str]:
    return [
        f"{{shape: band, along: west, from: {k / 2} cm, to: {k / 2 + 3} cm}}" for k in range(count)
    ]


def stars(count: int, corners: int, deep: float = 0.5) -> list[str]:
    """Stars whose points lie over each other."""
    found = []
    for star in range(count):
        ends = []
        for k in range(corners):
            turn, reach = 2 * math.pi * k / corners, 15 * (1 - deep * (k % 2))
            east, north = 20 + 1.3 * star + reach * math.cos(turn), 20 + reach * math.sin(turn)
            ends.append(f'"{east:.2f} cm east, {north:.2f} cm north"')
        found.append(f"{{shape: polygon, corners: [{', '.join(ends)}]}}")
    return found


def comb(teeth: int, slanted: float = 0.0) -> str:
    ends = [
        f'"{20 * k / teeth + slanted * (k % 2):.3f} cm east, {1 + 30 * (k % 2)} cm north"'
        for k in range(teeth)
    ]
    return f'{{shape: polygon, corners: [{", ".join(ends)}, "40 cm east, 0 cm north"]}}'


def star_zones(named: int, corners: int) -> str:
    """An outline of many corners, and zones that are meant to lie one way where nothing is laid."""
    ends = []
    for k in range(corners):
        turn, reach = 2 * math.pi * k / corners, 50 * (1 - 0.04 * (k % 3))
        ends.append(
            f'"{50 + reach * math.cos(turn):.2f} cm east, {50 + reach * math.sin(turn):.2f} cm north"'
        )
    head = HEAD.replace(
        "shape: rectangle, laid out: 60 x 40 cm", f"shape: polygon, corners: [{', '.join(ends)}]"
    )
    zones = "".join(
        f"  z{k}: {{shape: oval, size: {20 + k % 9} x {14 + k % 7} cm, "
        f'at: "{20 + k * 7 % 60} cm east, {20 + k * 13 % 60} cm north"}}\n'
        for k in range(named)
    )
    why = "".join(f"  - {{what: laid one way, where: z{k}, why: so}}\n" for k in range(named))
    return (
        f"{head}zones:\n{zones}layers:\n"
        "  - {name: a, of: white, amount: 60 g/m², direction: east-west}\n"
        "  - {name: b, of: white, amount: 60 g/m², direction: north-south, zone: z0}\n"
        "  - {name: c, of: white, amount: 160 g/m², direction: north-south, zone: z1}\n"
        f"on purpose:\n{why}"
    )


SHORT = HEAD.replace("rectangle", "oval") + "layers:\n" + "".join(
    f"  - {{name: l{k}, of: white, amount: 3 g, short: {0.1 + 0.15 * k:.2f} cm}}\n" for k in range(25)
)  # fmt: skip


def laid(layers: int, each: int, amount: Callable[[int, int], str], keys: str = "") -> str:
    """Layers of several amounts: ``amount`` by the numbers of layer and amount, ``keys`` of a layer."""
    found = ["layers:\n"]
    for n in range(layers):
        found.append(f"  - name: L{n}\n{keys.format(('north-south', 'east-west')[n % 2])}")
        found.append("    placements:\n")
        found += [f"    - {{{amount(n, k)}}}\n" for k in range(each)]
    return "".join(found)


def portions(layers: int, each: int) -> str:
    """Layers of many lots, all over the piece."""
    lots = "".join(f"  w{k}: {{fibre: merino, fineness: 19 um}}\n" for k in range(each))
    amounts = laid(layers, each, lambda n, k: f"of: w{k}, amount: 1 g")
    return f"{HEAD.splitlines()[0]}\nlots:\n{lots}{amounts}"


def nested(zones: int, layers: int, each: int) -> str:
    """Round zones in each other, and on each amounts of three fibres in turn."""
    head = HEAD.splitlines()[0].replace("60 x 40 cm", "100 x 100 cm") + (
        "\nlots:\n  a: {fibre: merino}\n  b: {fibre: silk}\n  c: {fibre: corriedale}\nzones:\n"
    )
    named = [
        f'  r{k}: {{shape: round, size: {3 + k * 90 / zones:.1f} cm, at: "50 cm east, 50 cm north"}}\n'
        for k in range(zones)
    ]
    amounts = laid(layers, each, lambda n, k: (
        f"of: {'abc'[(n + k) % 3]}, amount: 20 g/m², zone: r{(n * each + k) % zones}"
    ), "    direction: random\n")  # fmt: skip
    return "".join((head, *named, amounts))


def crossed_bands(layers: int, each: int) -> str:
    """Fourteen bands each way, and amounts on them in turn, each laid past its edge."""
    zones = [
        f"  {side[0]}{k}: {{shape: band, along: {side}, from: {5 * k + 1} cm, to: {5 * k + 4} cm}}\n"
        for k in range(14) for side in ("south", "west")
    ]  # fmt: skip
    names = [zone.split(":")[0].strip() for zone in zones]
    amounts = laid(
        layers, each,
        lambda n, k: f"of: white, amount: 20 g/m², zone: {names[(n + 3 * k) % 28]}, past: 0.5 cm",
        "    direction: {}\n    lay: batt\n",
    )  # fmt: skip
    return "".join((HEAD.replace("60 x 40 cm", "100 x 100 cm"), "zones:\n", *zones, amounts))


def on_few_bands(layers: int, each: int) -> str:
    """Ten bands that lap, and amounts on them in turn."""
    zones = [
        f"  b{k}: {{shape: band, along: west, from: {5 * k} cm, to: {5 * k + 50} cm}}\n"
        for k in range(10)
    ]
    amounts = laid(layers, each, lambda n, k: f"of: white, amount: 2 g, zone: b{(n + k) % 10}")
    return "".join((HEAD.replace("60 x 40 cm", "100 x 100 cm"), "zones:\n", *zones, amounts))


def wrong_totals(layers: int, totals: int, each: int) -> str:
    """Totals that don't add up, each of half of the layers; a layer has several amounts."""
    amounts = laid(
        layers, each,
        lambda n, k: f"of: white, amount: {1 + (n * 37 % 83) / 10 + 0.07 * k:.2f} g",
    )  # fmt: skip
    half = [[f"L{(k + n) % layers}" for n in range(layers // 2)] for k in range(totals)]
    summed = [
        f"  - {{amount: {100 + k} g, covers: [{', '.join(names)}]}}\n"
        for k, names in enumerate(half)
    ]
    return "".join((HEAD, amounts, "totals:\n", *summed))


def blended(layers: int, each: int, lots: int) -> str:
    """Amounts of one blend of so many lots, and totals that don't add up."""
    first, _, rest = wrong_totals(layers, 40, each).replace("of: white", "of: mix").split("\n", 2)
    made = "".join(f"  w{k}: {{fibre: merino, fineness: 19 um}}\n" for k in range(lots))
    of = ", ".join(f"w{k}: 1 part" for k in range(lots))
    return f"{first}\nlots:\n{made}blends: {{mix: {{{of}}}}}\n{rest}"


def left_out(lots: int, blends: int, each: int) -> str:
    """A layer of each of so many blends, and totals that leave half of the lots out."""
    first, _ = HEAD.splitlines()
    wool = "".join(f"  w{k}: {{fibre: merino, fineness: 19 um}}\n" for k in range(lots))
    made = "".join(
        f"  b{k}: {{{', '.join(f'w{(k * 7 + n * 3) % lots}: 1 part' for n in range(each))}}}\n"
        for k in range(blends)
    )
    amounts = "".join(
        f"  - {{name: L{k}, of: b{k}, amount: {10 + k} g, direction: random}}\n"
        for k in range(blends)
    )
    over = ", ".join(f"L{k}" for k in range(blends))
    summed = "".join(
        f"  - {{amount: {50 + k}.3 g, covers: [{over}], "
        f"without: [{', '.join(f'w{(k + 2 * n) % lots}' for n in range(lots // 2))}]}}\n"
        for k in range(40)
    )
    return f"{first}\nlots:\n{wool}blends:\n{made}layers:\n{amounts}totals:\n{summed}"


def short_tufts(layers: int) -> str:
    """Rows of shingled tufts by the thousand, in a layer of four amounts each."""
    head = HEAD.replace("60 x 40 cm", "200 x 200 cm").replace("shape:", "outline: straight, shape:")
    return head + laid(layers, 4, lambda n, k: (
        f"of: white, amount: {0.6 + ((4 * n + k) * 37 % 83) / 10:.2f} g" + ", past: 1 cm" * (k % 2)
    ), "    direction: {}\n    lay: shingle\n")  # fmt: skip


OBLONG = "shape: rectangle, laid out: 100 x 80 cm"


def on_a_resist(layers: int, each: int, kinds: str, head: str = OBLONG) -> str:
    """Wool and what parts it, in turn, on both faces of a flat resist, wrapped over its edge."""
    lots = {
        "wool": "{fibre: merino, preparation: combed top, fineness: 19 um}",
        "cloth": "{fibre: silk, preparation: close cloth}",
        "felt": "{fibre: corriedale, preparation: felt}",
        "film": "{fibre: film fibre, preparation: film}",
        "shine": "{fibre: viscose, preparation: combed top}",
    }
    of = kinds.split()
    amounts = "".join(
        f"  - name: l{n}\n    direction: {('north-south', 'east-west')[n % 2]}\n    wraps: 2 cm\n"
        + "    placements:\n"
        + "".join(f"      - {{of: {of[(n * each + k) % len(of)]}, amount: {3 + k} g, face: each}}\n"
                  for k in range(each))
        for n in range(layers)
    )  # fmt: skip
    named = "".join(f"  {name}: {said}\n" for name, said in lots.items())
    piece = f"piece: {{title: Much, use: bag, over: flat resist, stage: firm, {head}}}\n"
    return f"{piece}lots:\n{named}layers:\n{amounts}"


def star_outline(corners: int) -> str:
    """Keys of a piece whose outline has so many corners."""
    ends = []
    for k in range(corners):
        turn, reach = 2 * math.pi * k / corners, 50 if k % 2 else 42.5
        ends.append(
            f"{50 + reach * math.cos(turn):.2f} cm east, {50 + reach * math.sin(turn):.2f} cm north"
        )
    return "shape: polygon, corners: [" + ", ".join(f'"{end}"' for end in ends) + "]"


def meant(laid_on: int, named: int) -> str:
    """Amounts on ovals over each other, and as many purposes on others where nothing is laid."""

    def ovals(letter: str, count: int, size: int) -> list[str]:
        return [
            f"  {letter}{k}: {{shape: oval, size: {size + k % 7} x {size + k % 5} cm, "
            f'at: "{35 + k * 7 % 30} cm east, {30 + k * 11 % 20} cm north"}}\n'
            for k in range(count)
        ]  # fmt: skip

    head = HEAD.replace("60 x 40 cm", "100 x 80 cm") + "zones:\n"
    amounts = laid(
        laid_on, 3, lambda n, k: f"of: white, amount: {5 + n} g/m², zone: a{(n + 3 * k) % laid_on}"
    )
    why = "".join(f"  - {{what: thin, where: b{k}, why: so}}\n" for k in range(named))
    zones = (*ovals("a", laid_on, 20), *ovals("b", named, 50))
    return "".join((head, *zones, amounts, "on purpose:\n", why))


def unknown_names(known: int, letters: str) -> str:
    """Long names of two letters, and totals of names that are nearly those."""

    def name(number: int) -> str:
        return (
            "".join(letters[number * 37 // (k + 1) % len(letters)] for k in range(70)) + f"{number}"
        )

    lots = "".join(f"  {name(k)}: {{fibre: merino}}\n" for k in range(known))
    layers = "".join(
        f"  - {{name: {name(1000 + k)}, of: {name(k)}, amount: 3 g}}\n" for k in range(90)
    )
    covers = "".join(
        f"  - {{amount: 5 g, covers: [{', '.join(name(5000 + 40 * k + n) for n in range(40))}]}}\n"
        for k in range(40)
    )
    return f"{HEAD.splitlines()[0]}\nlots:\n{lots}layers:\n{layers}totals:\n{covers}"


GREAT = """\
piece: {title: Much, use: bag, shape: rectangle, over: flat resist, laid out: 90 x 90 m, stage: firm}
lots:
  wool: {fibre: merino, preparation: combed top, fineness: 19 um}
  cloth: {fibre: silk, preparation: close cloth}
zones:
  a: {shape: rectangle, size: 60 x 60 m, at: "10 m east, 10 m north"}
  b: {shape: oval, size: 80 x 80 m, at: "45 m east, 45 m north"}
layers:
  - {name: y0, of: wool, amount: 100 g/m², face: each, direction: north-south}
  - {name: y1, of: cloth, amount: 60 g/m², face: each, zone: a}
  - {name: y2, of: cloth, amount: 60 g/m², face: each, zone: b}
  - {name: y3, of: wool, amount: 100 g/m², face: each, direction: east-west}
"""
"""What joins lies far off: a net of squares of 3 cm over all of it took the memory of the machine."""


def many_resists(count: int) -> str:
    """Layers of wool and cloth, and so many little resists between them."""
    zones = "".join(
        f'  z{k}: {{shape: rectangle, size: 6 x 6 cm, at: "{3 * k % 54} cm east, {7 * k % 34} cm north"}}\n'
        for k in range(count)
    )
    resists = "".join(
        f"  - {{name: r{k}, above: l{k % 12}, zone: z{k}, makes: pocket}}\n" for k in range(count)
    )
    layers = "".join(
        f"  - {{name: l{k}, of: {('white', 'cloth')[k % 2]}, amount: 40 g/m², direction: random, "
        f"zone: z{k % 7}}}\n"
        for k in range(12)
    )
    head = HEAD.rstrip("\n") + "\n  cloth: {fibre: silk, preparation: close cloth}\n"
    head = head.replace("lots: {white: ", "lots:\n  white: ").replace("19 um}}", "19 um}")
    return f"{head}zones:\n{zones}layers:\n{layers}resists:\n{resists}"


def many_of_all(zones: int, resists: int) -> str:
    """Polygons side by side on both faces of a resist, amounts that go past them, and as many resists."""
    side = math.isqrt(zones - 1) + 1
    step = 200 / side
    shapes, amounts = [], []
    for k in range(zones):
        east, north = (k % side + 0.5) * step, (k // side + 0.5) * step
        ends = ", ".join(
            f'"{east + step * 0.4 * math.cos(math.pi * n / 10):.2f} cm east, '
            f'{north + step * 0.4 * math.sin(math.pi * n / 10):.2f} cm north"'
            for n in range(20)
        )
        shapes.append(f"  z{k}: {{shape: polygon, corners: [{ends}]}}\n")
    for k in range(40):
        placements = "".join(
            f"      - {{of: white, amount: {5 + n + k / 10} g, zone: z{(k * 7 + n) % zones}, face: each, "
            f"past: {1 + n % 3} cm}}\n"
            for n in range(8)
        )
        amounts.append(
            f"  - name: L{k}\n    direction: {('north-south', 'east-west')[k % 2]}\n"
            f"    placements:\n{placements}"
        )
    kept = "".join(
        f"  - {{name: r{k}, above: L{k % 39}, zone: z{k % zones}, makes: pocket}}\n"
        for k in range(resists)
    )
    meant = "".join(f"  - {{what: kept apart, where: z{k % 5}, why: so}}\n" for k in range(100))
    waived = "".join(f"  - {{rule: thin-layer, where: z{k % 5}, why: so}}\n" for k in range(100))
    return (
        "piece: {title: Much, use: bag, shape: rectangle, over: flat resist, laid out: 200 x 200 cm,\n"
        "  stage: firm, shows: [outside]}\n"
        "lots: {white: {fibre: merino, preparation: combed top, fineness: 19 um}}\nzones:\n"
        + "".join(shapes)
        + "layers:\n"
        + "".join(amounts)
        + "resists:\n"
        + kept
        + "on purpose:\n"
        + meant
        + "waivers:\n"
        + waived
    )


def wrapped_accents(layers: int, corners: int) -> str:
    """Accents laid by themselves and wrapped by ten distances, on both faces of a ring of many corners."""
    ring = ", ".join(
        f'"{100 + 90 * math.cos(2 * math.pi * k / corners):.3f} cm east, '
        f'{100 + 90 * math.sin(2 * math.pi * k / corners):.3f} cm north"'
        for k in range(corners)
    )
    head = HEAD.splitlines()[1].replace("}}", "}, shine: {fibre: silk, preparation: close cloth}}")
    faces = ("each", "front", "both", "back")
    laid = "".join(
        f"  - name: L{k}\n    direction: random\n    role: accent\n    wraps: {0.6 * (1 + k % 10):.2f} cm\n"
        "    placements:\n"
        + "".join(
            f"      - {{of: {('white', 'shine')[(k + n) % 2]}, amount: {20 + k + n} g, "
            f"face: {faces[(k + n) % 4]}}}\n"
            for n in range(3)
        )
        for k in range(layers)
    )
    return (
        "piece: {title: Much, use: bag, shape: polygon, over: flat resist, stage: firm,\n"
        f"  corners: [{ring}]}}\n"
        f"{head}\nlayers:\n{laid}totals: [{{amount: 100 g}}]\n"
    )


JUST_SO = """\
piece: {title: Much, shape: rectangle, over: flat resist, laid out: 40 x 10 cm}
lots:
  a: {fibre: corriedale, preparation: prefelt}
  b: {fibre: tussah silk, preparation: film}
  c: {fibre: bergschaf, preparation: carded batt}
zones: {z: {shape: round, size: 3 cm, at: "12 cm east, 4 cm north"}}
layers:
  - name: y0
    placements: [{of: a, amount: 4 g, zone: z, face: each}, {of: b, amount: 3.5 oz/yd², face: front}]
  - {name: y2, of: c, amount: 40 g/m², zone: z, face: both}
"""
"""A strip all of which lies just as far from where layers join as the rule's limit is."""


def spots(count: int) -> list[str]:
    """Rounds apart from each other, in rows of three."""
    return [
        f"{{shape: round, size: 9 cm, at: '{8 + 11 * (k % 3)} cm east, {8 + 11 * (k // 3)} cm north'}}"
        for k in range(count)
    ]


def moved(zones: list[str], amounts: int, word: str, step: float = 0.0001) -> str:
    """As many amounts, each short of its outline, or past it, by a distance (mm) of its own."""
    layers = "".join(
        f"  - name: l{k}\n    direction: random\n    placements:\n" + "".join(
            f"      - {{of: white, amount: 3 g, zone: z{n % len(zones)}, {word}: {0.1 + n * step:.4f} mm}}\n"
            for n in range(k, amounts, 90)
        )
        for k in range(min(amounts, 90))
    )  # fmt: skip
    named = [f"  z{k}: {zone}\n" for k, zone in enumerate(zones)]
    return "".join((HEAD, "zones:\n", *named, "layers:\n", layers))


MUCH: dict[str, tuple[str, int, str]] = {
    "rounds over each other": (recipe(rounds(20), 20), 1, "Much"),
    "more rounds over each other": (recipe(rounds(40), 40), 2, "too many places"),
    "rounds all over": (recipe(rounds(200), 100), 2, "too many places"),
    "few stars": (recipe(stars(3, 40), 10), 1, "Much"),
    "stars": (recipe(stars(5, 200), 10), 2, "too many places"),
    "rounds that stop short, one within another": (
        moved(["{shape: round, size: 16 cm, at: '20 cm east, 20 cm north'}"], 60, "short", 1), 1, "Much"),
    "nine times ten such rounds": (moved(spots(9), 90, "short", 0.4), 1, "Much"),
    "stars that stop short by many distances": (moved(stars(8, 190), 50, "short"), 2, "too many places"),
    "stars that stop short in too many ways": (moved(stars(8, 190), 450, "short"), 2, "10000 corners"),
    "stars that go past in too many ways": (moved(stars(20, 198), 450, "past"), 2, "10000 corners"),
    "many stars": (recipe(stars(19, 200, 0.9), 50), 2, "too many places"),
    "shapes with many corners, nearly the same": (recipe(stars(20, 50, 0), 20), 1, "Much"),
    "too many corners": (recipe(stars(100, 120), 5), 2, "12000 corners"),
    "a comb": (recipe([comb(199)], 5), 0, "Much"),
    "slanted combs": (recipe([comb(199, 20.0)] * 19, 5), 0, "Much"),
    "all short of the edge": (SHORT, 1, "Much"),
    "amounts upon each other": (portions(20, 25), 0, "Much"),
    "too many amounts": (portions(90, 60), 2, "5400 amounts"),
    "rounds in rounds, of three fibres": (nested(20, 60, 3), 1, "Much"),
    "few rounds in rounds, of three fibres": (nested(5, 50, 10), 1, "Much"),
    "rounds in rounds, in too many places": (nested(200, 100, 5), 2, "too many places"),
    "bands across each other": (crossed_bands(50, 3), 1, "Much"),
    "too much across each other": (crossed_bands(100, 5), 2, "500 amounts, so many over each other"),
    "too much on a few bands": (on_few_bands(100, 5), 2, "500 amounts, so many over each other"),
    "totals that don't add up": (wrong_totals(100, 40, 1), 1, "doesn't add up"),
    "totals of many amounts": (wrong_totals(50, 40, 10), 1, "doesn't add up"),
    "totals of blends": (blended(100, 5, 3), 1, "doesn't add up"),
    "totals that leave much out": (left_out(200, 30, 50), 1, "doesn't add up"),
    "too many lots in blends": (blended(100, 5, 50), 2, "25000 lots in the amounts"),
    "too many totals": (wrong_totals(10, 41, 1), 2, "0 to 40 totals"),
    "rows of little": (short_tufts(20), 0, "Much"),
    "a strip just so wide": (JUST_SO, 0, "Much"),
    "cloths between wool": (on_a_resist(40, 5, "wool cloth felt"), 1, "Much"),
    "many cloths between wool": (on_a_resist(100, 5, "wool cloth film felt"), 1, "Much"),
    "webs between wool": (on_a_resist(60, 5, "wool shine wool film shine"), 0, "Much"),
    "wrapped over many corners": (on_a_resist(40, 1, "wool wool shine", star_outline(200)), 0, "Much"),
    "bands over each other": (recipe(bands(99), 99), 1, "Much"),
    "cloths on a great resist": (GREAT, 1, "Much"),
    "much of all on a resist": (many_of_all(40, 100), 1, "Much"),
    "too many places on two faces": (many_of_all(80, 20), 2, "too many places"),
    "wrapped accents": (wrapped_accents(24, 100), 1, "Much"),
    "many little resists": (many_resists(100), 1, "Much"),
    "many zones meant, in a star": (star_zones(100, 200), 1, "Much"),
    "much that is meant": (meant(10, 100), 1, "Much"),
    "names that are nearly known": (unknown_names(200, "ab"), 2, "which is not known"),
}  # fmt: skip


@pytest.mark.parametrize("name", MUCH)
def test_much(name: str, tmp_path: Path, call: Caller) -> None:
    text, status, word = MUCH[name]
    (tmp_path / "odd.yaml").write_text(text)
    held(quickest(call, ["check", "odd.yaml"], tmp_path), status, word)


@pytest.mark.parametrize("call_of", [
    ["check", "odd.yaml", "--as", "page"], ["rows", "odd.yaml"], ["resize", "odd.yaml", "--times", "0.5"],
], ids=lambda one: " ".join(one))  # fmt: skip
@pytest.mark.parametrize("keys", ["tuft: 1 x 1 mm, overlap: 90 %", "tuft: 5 x 10 cm, rows: 1000"])
def test_rows_by_the_thousand(call_of: list[str], keys: str, tmp_path: Path, call: Caller) -> None:
    """A floor of 40 m in tufts of 1 mm: a page with a line for each row had 110 MB."""
    text = HEAD.replace("60 x 40 cm", "40 x 30 m") + "layers:\n" + "".join(
        f"  - {{name: l{k}, of: white, amount: 200 g/m², direction: {way}, lay: shingle, {keys}}}\n"
        for k, way in enumerate(("north-south", "east-west") * 5)
    )  # fmt: skip
    (tmp_path / "odd.yaml").write_text(text)
    done = held(quickest(call, call_of, tmp_path), 0, "")
    assert len(done.said) < 2_000_000


def test_more_rows_than_anyone_lays_are_refused(tmp_path: Path, call: Caller) -> None:
    text = HEAD + "layers: [{name: l, of: white, amount: 9 g, lay: shingle, rows: 1001}]\n"
    (tmp_path / "odd.yaml").write_text(text)
    held(quickest(call, ["check", "odd.yaml"], tmp_path), 2, "a whole number from 1 to 1000")


@pytest.mark.parametrize("call_of", [
    ["check", "odd.yaml", "--as", "page"], ["check", "odd.yaml", "--as", "json"],
    ["forecast", "odd.yaml"], ["rows", "odd.yaml"], ["resize", "odd.yaml", "--times", "2"],
], ids=lambda one: " ".join(one))  # fmt: skip
@pytest.mark.parametrize(
    "name",
    ["amounts upon each other", "rounds over each other", "all short of the edge", "few stars"],
)
def test_much_in_every_command(call_of: list[str], name: str, tmp_path: Path, call: Caller) -> None:
    (tmp_path / "odd.yaml").write_text(MUCH[name][0])
    held(quickest(call, call_of, tmp_path), MUCH[name][1] if call_of[0] == "check" else 0, "")


@pytest.mark.parametrize("text", [" " * 40_000, "\u00a0 " * 20_000, ", " * 40_000, "', '" * 14_000,
                                  "1 cm east, " * 20_000, "- " * 40_000, "1-1/2 " * 20_000])  # fmt: skip
@pytest.mark.parametrize("key", ["size", "at", "share", "fineness", "water", "direction", "amount"])
def test_a_long_text_where_a_short_one_is_wanted(
    key: str, text: str, tmp_path: Path, call: Caller
) -> None:
    said = {"size": "50 x 50 cm", "at": "9 cm east, 9 cm north", "share": "70 %", "fineness": "19 um",
            "water": "40 °C", "direction": "random", "amount": "3 g"} | {key: text}  # fmt: skip
    (tmp_path / "long.yaml").write_text(
        f'piece: {{title: T, shape: rectangle, laid out: "{said["size"]}"}}\n'
        f'lots: {{m: {{fibre: merino, fineness: "{said["fineness"]}"}}, n: {{fibre: merino}}}}\n'
        f'blends: {{b: {{m: "{said["share"]}", n: 30 %}}}}\n'
        f'zones: {{z: {{shape: round, size: 3 cm, at: "{said["at"]}"}}}}\n'
        f'layers: [{{name: a, of: b, amount: "{said["amount"]}", direction: "{said["direction"]}"}}]\n'
        f'work: [{{do: wet, water: "{said["water"]}"}}]\n',
        encoding="utf-8",
    )
    held(quickest(call, ["check", "long.yaml"], tmp_path), 2, "Could not be read")


@pytest.mark.parametrize("blank", [" ", "\t"])
def test_nothing_but_blanks_behind_a_key(blank: str, tmp_path: Path, call: Caller) -> None:
    text = recipe(bands(1), 1) + "note:" + 700_000 * blank + "\n"
    (tmp_path / "blank.yaml").write_text(text, "utf-8")
    held(quickest(call, ["check", "blank.yaml"], tmp_path), 2, "Could not be read")


@pytest.mark.parametrize("words", ["not superwash ", "superwash: no ", "superwash-free "])
def test_notes_that_deny_much(words: str, tmp_path: Path, call: Caller) -> None:
    note = (words * 400)[:3_900].strip()
    lots = "".join(f'  l{k}: {{fibre: merino, note: "{note}"}}\n' for k in range(99))
    layers = "".join(f"  - {{name: a{k}, of: l{k}, amount: 3 g}}\n" for k in range(99))
    head = HEAD.partition("lots")[0]
    (tmp_path / "notes.yaml").write_text(f"{head}lots:\n{lots}layers:\n{layers}", "utf-8")
    held(quickest(call, ["check", "notes.yaml"], tmp_path), 0, "")


def test_signs_that_nobody_sees_where_a_word_is_wanted(tmp_path: Path, call: Caller) -> None:
    text = recipe(bands(1), 1) + f'work: [{{do: "{400_000 * chr(0x34F)}"}}]\n'
    (tmp_path / "unseen.yaml").write_text(text, "utf-8")
    held(quickest(call, ["check", "unseen.yaml"], tmp_path), 2, "Could not be read")


@pytest.mark.parametrize("lead", ["amount: 1", "amount: 3 g, note: x", "amount: 3 g, role: cover"])
def test_a_value_that_commas_cut_in_thousands(lead: str, tmp_path: Path, call: Caller) -> None:
    rest = ", ".join(map(str, range(8_000)))
    text = f"{HEAD}layers: [{{name: a, of: white, {lead}, {rest}}}]\n"
    (tmp_path / "cut.yaml").write_text(text, "utf-8")
    held(quickest(call, ["check", "cut.yaml"], tmp_path), 2, "Could not be read")
