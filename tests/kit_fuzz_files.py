"""The fuzzer for all that is not a recipe: studio files, notebooks, known findings, amounts; and resize.

Each kind has a few right documents, which are changed as recipes are (kit_fuzz): values, words, letters.
"""

from __future__ import annotations

import contextlib
import copy
import json
import random
import re
from fractions import Fraction
from typing import Any

import yaml
from kit import RECIPES
from kit_fuzz import Plain, Shelf, Tally, figure, look_at, text_of
from kit_mutate import WRONG, mutate, spoil, spots

from felt_engine.api import Engine
from felt_engine.checking.known_file import from_text, to_text
from felt_engine.errors import FeltError
from felt_engine.reading.quantity import UNITS, VULGAR, Refused, parse

STUDIO: Plain = {
    "name": "Saltgrass Felt", "as of": "0.1.0", "scale step": "1 g", "readers": ["class handout"],
    "rules": {
        "direction-balance": {"limits": {"caution": "0.30"}}, "luster-carrier": {"loudest": "caution"},
        "weight-for-use": {"limits": {"strip": "3 cm"}}, "thin-layer": {"quietest": "note"},
        "halo-clash": {"switched off": "we marl our colours on purpose"},
    },
    "fibres": {"merino": {"felts": "0.9 to 1 usually 0.95"},
               "saltmarsh cross": {"like": "corriedale", "fineness": "28 to 33 um usually 30 um"}},
    "uses": {"oar grip": {"weight": "500 to 900 g/m²", "like": "seat pad"}},
    "prices": {"saltmarsh cross": "2.40 EUR per 100 g"}, "stock": {"saltmarsh cross": "3 kg"},
}  # fmt: skip
SWATCH: Plain = {
    "name": "oat, crossed", "date": "2026-01-12", "laid out": "30 x 30 cm", "finished": "20 x 20.4 cm",
    "stage": "firm", "fibre": "merino", "amount": "27 g", "directions": ["north-south", "east-west"],
    "rolled": {"north-south": 200, "east-west": 200},
}  # fmt: skip
BOOK: Plain = {
    "title": "Swatches of this winter",
    "swatches": [SWATCH, {**SWATCH, "name": "second", "stage": "light", "finished": "24 x 25 cm"},
                 {**SWATCH, "name": "third", "fibre": "corriedale", "directions": ["random"]}],
}  # fmt: skip
KNOWN: Plain = {
    "lines": [
        {"format": 1, "what": "known"},
        {"recipe": "a.yaml", "rule": "thin-layer", "thing": "base", "at": [], "level": "caution",
         "fingerprint": "4f2a4f2a4f2a4f2a"},
        {"recipe": "a.yaml", "rule": "halo-clash", "thing": "sky", "at": ["whole 1"],
         "level": "fault", "fingerprint": "77aa77aa77aa77aa"},
    ],
}  # fmt: skip
ODD = [
    *WRONG,
    "0.5 to 0.9",
    "../../x.py",
    "99.99",
    ["x.py"],
    {"like": "merino"},
    float("inf"),
    "caution",
]
LETTERS = "0123456789.,/ '\"½¼⅙-–+xgmzklbofticnµ°²\u00a0\u202f\u200b٣４\n"
QUANTITIES = (
    "12 g", "0.4 oz", "1 1/2 oz", "½ oz", "2 lb 3 oz", "1,5 g", "120 g/m²", "3.5 oz/yd²", "60 cm", "24 in",
    "3 ft 4 in", "1½ in", "3'4\"", "19 um", "10 min", "1 1/2 h", "40 °C", "104 F", "1,500 g",
    "2 x 15 g", "500 mg",
)  # fmt: skip


def changed(document: Plain, seed: int) -> tuple[str, str]:
    """A right document with a few changes, as text, and the door that it goes through."""
    chance = random.Random(seed)
    made = copy.deepcopy(document)
    for _ in range(chance.choice((1, 1, 1, 2))):
        texts = [(h, k) for h, k in spots(made) if isinstance(h[k], str) and re.search(r"\d", h[k])]
        act = chance.randrange(8)
        holder, key = chance.choice(texts if texts and act < 5 else spots(made) or [({"": ""}, "")])
        if act < 5:
            holder[key] = figure(str(holder[key]), chance)
        elif act == 5:
            holder[key] = copy.deepcopy(chance.choice(ODD))
        elif act == 6:
            made = mutate(made, chance.randrange(10**9))
        else:
            other, place = chance.choice(spots(made))
            holder[key] = copy.deepcopy(other[place])
    door = chance.choice(("yaml", "json"))
    try:
        text = text_of(made) if door == "yaml" else json.dumps(made, ensure_ascii=False)
    except (ValueError, RecursionError, yaml.YAMLError):
        text = "{}"
    for _ in range(chance.choice((0,) * 8 + (1, 4))):
        text = spoil(text, chance)
    return text + "\n", door


def told(error: FeltError) -> str:
    """What an error says, which has to be short enough to read."""
    said = str(error)
    assert said.strip() and max(map(len, said.splitlines())) <= 2000, said[:300]
    return said


def look_at_studio(engine: Engine, seed: int, tally: Tally, recipe: str) -> None:
    """A studio file, and a recipe judged by it if it can be read."""
    text, door = changed(STUDIO, seed)
    try:
        made = engine.with_studio(_source(text, door, f"studio-{seed}"), found=True)
    except FeltError as error:
        told(error)
        return
    report = made.check(recipe, name="r.yaml")
    tally.judged += not report.problems
    assert not report.not_judged, report.not_judged


def look_at_notebook(engine: Engine, seed: int, tally: Tally, recipe: str) -> None:
    """A notebook, what it teaches, and a forecast by it."""
    text, door = changed(BOOK, seed)
    try:
        book = engine.read_notebook(_source(text, door, f"book-{seed}"))
        engine.learned(book)
        said = engine.forecast(recipe, notebook=book, finished="40 x 30 cm")
    except FeltError as error:
        told(error)
        return
    tally.judged += 1
    for side in said.sides:
        assert 0 < side.finished.low <= side.finished.likely <= side.finished.high < 1e3, (
            seed,
            side,
        )


def look_at_known(seed: int) -> None:
    """A file of known findings: read and written again alike, or refused in a line."""
    text, _ = changed(KNOWN, seed)
    with contextlib.suppress(ValueError, TypeError, KeyError, RecursionError):
        text = "\n".join(json.dumps(one) for one in json.loads(text)["lines"])
    try:
        found = from_text(text)
    except ValueError as error:
        assert 0 < len(str(error)) < 12_000 and "\n" not in str(error)
        return
    assert from_text(to_text(found)) == {name: ones for name, ones in found.items() if ones}


def look_at_resized(engine: Engine, seed: int, tally: Tally, stock: Shelf) -> None:
    """A recipe of the tables at another size: it can be read, and weighs the same per area."""
    chance = random.Random(seed)
    recipe = copy.deepcopy(chance.choice(stock.recipes))
    if chance.random() < 0.5:
        texts = [
            (h, k) for h, k in spots(recipe) if isinstance(h[k], str) and re.search(r"\d", h[k])
        ]
        holder, key = chance.choice(texts)
        holder[key] = figure(holder[key], chance)
    door = chance.choice(("yaml", "json"))
    text = text_of(recipe) if door == "yaml" else json.dumps(recipe, ensure_ascii=False)
    wish = chance.choice(({"times": round(10 ** chance.uniform(-1.6, 1.6), 3)}, {"laid_out": "77 x 31 cm"},
                          {"finished": "31 x 31 cm"}, {"pieces": chance.randint(1, 9)}))  # fmt: skip
    try:
        old = engine.load(_source(text, door, "r"))
        new = engine.resize(old, **wish)  # type: ignore[arg-type]
    except FeltError as error:
        told(error)
        return
    again = engine.load(_source(new.text, door, "r"))
    tally.judged += 1
    one, two = (_areals(engine, each) for each in (old, again))
    assert set(one) == set(two)
    for key, (before, area) in one.items():
        after, larger = two[key]
        if min(area, larger) > 1e-5:
            assert abs(after - before) <= 0.02 * before, (wish, key, before, after)


def _areals(engine: Engine, recipe: Any) -> dict[Any, tuple[float, float]]:
    """For each placement its weight per area, kg/m², and its area, m²."""
    build = engine.measure(recipe)
    return {k: (mass / (build.areas[k] or 1), build.areas[k]) for k, mass in build.masses.items()}


def look_at_amount(seed: int) -> None:
    """A quantity with slips of the keys: read as anybody reads it, or refused with what would mend it."""
    chance = random.Random(seed)
    text = chance.choice(QUANTITIES)
    for _ in range(chance.choice((1, 1, 2, 3))):
        at = chance.randrange(len(text) + 1)
        new = chance.choice((chance.choice(LETTERS), chance.choice(QUANTITIES), ""))
        text = text[:at] + new + text[at + chance.randrange(3) :]
    for kind in chance.sample(sorted(UNITS), 2):
        try:
            read = parse(kind, text)
        except Refused as refused:
            assert refused.mend and refused.expected and len(refused.mend) < 300, (kind, text)
            continue
        if kind != "temperature":
            wanted = float(by_hand(text, UNITS[kind]))
            assert abs(read.si - wanted) <= 1e-12 * wanted, (kind, text, read.si, wanted)


def by_hand(text: str, units: dict[str, float]) -> Fraction:
    """The sum of all numbers times the factor of the unit behind each, exactly; nothing else may be there."""
    total = Fraction(0)
    plain = re.sub("[\u00a0\u2007\u2009\u202f]", " ", text)
    marks = "".join(VULGAR)
    number = rf"(?:\d+ ?)?[{marks}]|(?:\d+ )?\d+/\d+|\d*[.,]\d+|\d+"
    pattern = rf"({number}) ?([^\d.,/ {marks}][^\d.,{marks} ]*(?:(?<=[mdt])2)?)"
    at = 0
    for match in re.finditer(pattern, plain):
        assert not plain[at : match.start()].strip(), (text, plain[at : match.start()])
        at = match.end()
        total += _number(match[1]) * Fraction(units[match[2]])
    assert at == len(plain), (text, plain[at:])
    return total


def _number(text: str) -> Fraction:
    marks = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
             "⅞": "7/8"}  # fmt: skip
    for mark, plain in marks.items():
        text = text.replace(mark, f" {plain}")
    return sum((Fraction(part.replace(",", ".")) for part in text.split()), Fraction(0))


def _source(text: str, door: str, name: str) -> Any:
    from felt_engine.model.recipe import Source

    return Source(f"{name}.{door}", text, door)


RIGHT = (RECIPES / "morning-fog-scarf.yaml").read_text(encoding="utf-8")
SHARES = (
    ("recipe", 45),
    ("amount", 34),
    ("studio", 6),
    ("notebook", 6),
    ("known", 4),
    ("resize", 5),
)
"""Of a hundred inputs."""


def look_at_any(engine: Engine, seed: int, stock: Shelf, tally: Tally, every: int = 21) -> None:
    """One input of some kind; slips go to the tally."""
    left = seed * 37 % 100
    kind = next(k for k, upto in _UPTO if left < upto)
    if kind == "recipe":
        look_at(engine, seed, stock, tally, every)
        return
    tally.inputs += 1
    tally.kinds[kind] += 1
    try:
        if kind == "amount":
            look_at_amount(seed)
        elif kind == "studio":
            look_at_studio(engine, seed, tally, RIGHT)
        elif kind == "notebook":
            look_at_notebook(engine, seed, tally, RIGHT)
        elif kind == "known":
            look_at_known(seed)
        else:
            look_at_resized(engine, seed, tally, stock)
    except Exception as error:
        tally.broken.append(f"{kind} seed {seed}: {type(error).__name__}: {error}")


_UPTO = [(kind, sum(n for _, n in SHARES[: index + 1])) for index, (kind, _) in enumerate(SHARES)]
