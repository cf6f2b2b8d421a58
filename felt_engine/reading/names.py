"""Names that lead nowhere: of lots, blends, zones, layers and faces.

They are looked up on the bare tree, so that they are told beside all other problems of a file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import chain

from felt_engine.model.place import join
from felt_engine.plain_text import looks
from felt_engine.reading.offers import with_blanks
from felt_engine.reading.tree import Node
from felt_engine.reading.yaml_tree import is_nothing

Slip = tuple[str, str, str, str]
"""Pointer, found, expected, mend."""

SUGGESTED = 20
"""For how many unknown names the nearest known one is looked for; further ones show the list."""

ALL_OVER = ("piece", "the piece", "all", "all over", "everything", "everywhere")
_WHOLE = "write whole, for all of the piece"
_FACES = ("front", "back")
_SECTIONS = ("lots", "blends", "zones", "layers")
_WHAT = {
    "lots": ("lot", "name it under lots"),
    "of": ("lot or blend", "name it under lots or blends"),
    "zones": ("zone", "describe it under zones"),
    "layers": ("layer", "name a layer"),
    "covered": ("layer, lot or blend", "name what it covers"),
    "places": ("place", "name a layer, zone, lot or face"),
}


def check_names(tree: Node) -> Iterator[Slip]:
    """All names that are not known, section by section."""
    top = _fields(tree)
    known = _known(tree, top)
    blends = _keys(top.get("blends"))
    looked = 0
    for at, node, kind in _used(top):
        name = _name(node)
        names = known[kind]
        if name is None or names is None or name in names:
            continue
        looked += 1
        if kind == "lots" and name in blends:
            yield (
                join(*at), f'the blend "{name[:60]}" in a blend', "lots, of which a blend is made",
                "write the lots that are in it, each with its share",
            )  # fmt: skip
            continue
        yield _unknown(join(*at), *_WHAT[kind], name, names, looked <= SUGGESTED)


def _known(tree: Node, top: dict[str, Node]) -> dict[str, set[str] | None]:
    """The names that may stand in each kind of place; ``None`` where they can't be told.

    A section that is there twice gives the names of both: that it is there twice is told already.
    """
    there = [(key.text, node) for key, node in tree.pairs] if top else []
    blends, zones, told = (
        set().union(*(_keys(node) for name, node in there if name == section))
        for section in ("blends", "zones", "lots")
    )
    zones |= {"whole"}
    laid = chain.from_iterable(_items(node) for name, node in there if name == "layers")
    layers = {_name(_fields(layer).get("name")) or "" for layer in laid} - {""}
    lots = told if "lots" in top and top["lots"].kind == "map" else None
    of = None if lots is None else lots | blends
    named = None if of is None else of | layers
    over = _name(_fields(top.get("piece")).get("over")) or "table"
    surfaces = {"bottom", "top"} if over == "table" else {"inside", "outside"}
    return {
        "lots": lots, "of": of, "zones": zones, "layers": layers or None, "covered": named,
        "places": None if named is None else named | zones | surfaces | set(_FACES),
    }  # fmt: skip


Steps = tuple[str | int, ...]


def _used(top: dict[str, Node]) -> Iterator[tuple[Steps, Node | None, str]]:
    """Every place that names something: the steps to it, its node, and the kind of name."""
    blends = top.get("blends")
    for key, blend in blends.pairs if blends is not None and blends.kind == "map" else ():
        for part, share in blend.pairs if blend.kind == "map" else ():
            if is_nothing(share) and (":" in part.text or part.text[:1].isdigit()):
                continue  # no blank behind a colon, or half of a figure: that is told already
            yield ("blends", key.text, part.text), part, "lots"
    for at, placed in _placements(top):
        yield (*at, "of"), placed.get("of"), "of"
        yield (*at, "zone"), placed.get("zone"), "zones"
    for index, resist in enumerate(_items(top.get("resists"))):
        fields = _fields(resist)
        yield ("resists", index, "above"), fields.get("above"), "layers"
        yield ("resists", index, "zone"), fields.get("zone"), "zones"
    for index, total in enumerate(_items(top.get("totals"))):
        for word in ("covers", "without"):
            for number, name in enumerate(_items(_fields(total).get(word))):
                yield ("totals", index, word, number), name, "covered"
    for section in ("on purpose", "waivers"):
        for index, item in enumerate(_items(top.get(section))):
            yield (section, index, "where"), _fields(item).get("where"), "places"


def _placements(top: dict[str, Node]) -> Iterator[tuple[Steps, dict[str, Node]]]:
    for index, layer in enumerate(_items(top.get("layers"))):
        fields = _fields(layer)
        yield ("layers", index), fields
        for number, placement in enumerate(_items(fields.get("placements"))):
            yield ("layers", index, "placements", number), _fields(placement)


def _unknown(
    pointer: str, what: str, otherwise: str, name: str, known: Iterable[str], suggest: bool
) -> Slip:
    from felt_engine.suggest import did_you_mean, unlike

    names = sorted(known)
    if what == "place" and name.lower() in ALL_OVER:
        return pointer, f'the {what} "{name}", which is not known', "whole", _WHOLE
    if what == _WHAT["covered"][0] and name.lower() in ALL_OVER:
        otherwise = "leave covers out: then the total is that of all layers"
        return (
            pointer,
            f'the {what} "{name}", which is not known',
            "names, or none for all",
            otherwise,
        )
    twin = next((one for one in names if looks(one) == looks(name)), None) if suggest else None
    if twin is not None:
        blanks = _spaced(twin) == _spaced(name)
        otherwise = (
            f"copy the name from there{unlike(name, twin) or ': only its blanks differ' * blanks}"
        )
        suggest = blanks and twin == _spaced(twin)
    said, *short = (f"{one[:60]}…" if len(one) > 61 else one for one in (name, *names[:12]))
    shown = ", ".join(short) + (", …" if len(names) > 12 else "")
    mend = did_you_mean(name, names, otherwise) if suggest else otherwise
    return (
        pointer,
        with_blanks(f'the {what} "{" ".join(said.split())}", which is not known', mend),
        f"one of: {shown}" if names else f"a {what} (there is none)",
        mend,
    )


def _spaced(name: str) -> str:
    """A name with one blank for several."""
    return re.sub(" +", " ", name)


def _fields(node: Node | None) -> dict[str, Node]:
    return {} if node is None or node.kind != "map" else {k.text: v for k, v in node.pairs}


def _items(node: Node | None) -> list[Node]:
    return [] if node is None or node.kind != "list" else node.items


def _keys(node: Node | None) -> set[str]:
    return (
        set() if node is None or node.kind != "map" else {key.text.strip() for key, _ in node.pairs}
    )


def _name(node: Node | None) -> str | None:
    if node is None or node.kind not in ("text", "number") or is_nothing(node):
        return None
    return node.text.strip() or None
