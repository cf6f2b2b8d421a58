"""Either side of every limit: each place where a verdict turns is worked out here, by hand formulas.

Nothing of the engine's analysis is used for that. Formulas: mean coverage of straight fibres
(Kallmes & Corte, Tappi 43 (1960) 737), its gamma-distributed zero class (Greenwood & Yule 1920),
axial resultants (Mardia & Jupp 2000), fibre blends (Stearns & Noechel 1944), all from memory; the
migration share is the project's own model, no outside source. Colour differences by another library.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import attrs
import pytest
from kit_rules import Plain, laid, report_of, said, sheet, shown

import felt_engine

FIRM = 1.7
FACTOR = 1.5
TOP, BATT, SHEET = 0.30, 0.15, 0.10

# kg/m³: wool, viscose (Morton & Hearle, table 5.1)
WOOL, VISCOSE = 1310.0, 1490.0


def bisect(turns: Callable[[float], bool], low: float, high: float) -> float:
    """Where a yes turns into a no between two numbers, either way round."""
    start = turns(low)
    assert start is not turns(high)
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if turns(middle) is start else (low, middle)
    return (low + high) / 2


def grams_for_cover(cover: float, micrometres: float = 20.5, density: float = WOOL) -> float:
    """g/m² of round fibre that lie ``cover`` fibres deep on the average."""
    return 1000 * cover * math.pi * micrometres * 1e-6 * density / 4


def grams_for_bare(bare: float, v: float = TOP, micrometres: float = 20.5) -> float:
    """g/m² that leave a bare index."""
    return grams_for_cover((bare ** -(v * v) - 1) / (v * v), micrometres)


def under(cover: float, depth: float) -> float:
    """Share of the face from below a cover: a reflected normal step, then a weight of e^-t."""

    def phi(x: float) -> float:
        return 0.5 * (1 + math.erf(x / math.sqrt(2)))

    a, b = cover / depth, depth
    half = depth * depth / 2
    straight = math.exp(half - cover) * phi(a - b)
    return 2 * phi(-a) + straight - math.exp(half + cover) * phi(-a - b)


def g(amount: float) -> str:
    """A weight per area in g/m² as the recipe wants it."""
    return f"{amount:.4f} g/m²"


def mm(length: float) -> str:
    """A length in mm."""
    return f"{length:.4f} mm"


@attrs.frozen
class Turn:
    """One limit: a recipe by one figure, where its verdict turns, and the verdicts either side."""

    rule: str
    limit: str
    of: str
    recipe: Callable[[float], Plain]
    at: float
    below: str | None
    above: str | None
    near: float = 0.01


# thin-layer ---------------------------------------------------------------------------------------


def shade(amount: float, of: str = "oat", **more: object) -> Plain:
    """A lampshade of one random layer (its own band of weights starts at 100 / 1.3 g/m²)."""
    fields: Plain = {"use": "lampshade", "size": "60 x 40 cm", **more}
    return sheet(laid(of, g(amount), "random"), **fields)


def gap(width: float, side: float) -> Plain:
    """A panel in two bands with a gap between them."""
    size = f"{mm(side)} x {mm(side)}"
    first = (side - width) / 2
    zones = {
        "west part": {"shape": "band", "along": "west", "to": mm(first)},
        "east part": {"shape": "band", "along": "west", "from": mm(first + width), "to": mm(side)},
    }
    layers = [
        laid("oat", "300 g/m²", "random", zone="west part"),
        laid("oat", "300 g/m²", "random", zone="east part"),
    ]
    return sheet(*layers, use="wall panel", size=size, zones=zones)


def strip(width: float, side: float) -> float:
    """A strip's width in the engine's sense, twice its area over its perimeter."""
    return width * side / (width + side)


def strip_for(narrowest: float, side: float) -> float:
    """How wide a strip across the piece is whose narrowest width is this."""
    return narrowest * side / (side - narrowest)


THIN = (
    Turn("thin-layer", "bare of the use", "oat", shade, grams_for_bare(0.03), "caution", None),
    Turn("thin-layer", "bare of the use", "oat", shade, grams_for_bare(0.08), "fault", "caution"),
    Turn(
        "thin-layer", "bare of the use", "batt",
        lambda x: shade(x, "batt oat"), grams_for_bare(0.08, BATT), "fault", "caution",
    ),
    Turn(
        "thin-layer", "bare of the use", "scarf",
        lambda x: shade(x, "mist", use="scarf"), grams_for_bare(0.08, TOP, 18.5), "caution", None,
    ),
    Turn(
        "thin-layer", "bare of the use", "thin scarf",
        lambda x: shade(x, "mist", use="scarf"), grams_for_bare(0.20, TOP, 18.5), "fault", "caution",
    ),
    Turn(
        "thin-layer", "bare-caution", "no use", lambda x: shade(x, use=None),
        grams_for_bare(0.03), "unsaid", None,
    ),
    Turn(
        "thin-layer", "bare-caution-draping", "no use", lambda x: shade(x, use=None),
        grams_for_bare(0.08), "caution", "unsaid",
    ),
    Turn("thin-layer", "narrow", "60 cm", lambda x: gap(x, 600), strip_for(10, 600), None, "fault"),
    Turn(
        "thin-layer", "narrow-part", "10 cm",
        lambda x: gap(x, 100), strip_for(4, 100), None, "fault",
    ),
)  # fmt: skip

# direction-balance --------------------------------------------------------------------------------


def ground(cross: float, along: float, base: float = 120.0) -> Plain:
    """A sheet of prefelt, a cross layer and a layer along it."""
    layers = [laid("sheet white", g(base)), laid("oat", g(along), "east-west")]
    if cross:
        layers.insert(1, laid("oat", g(cross), "north-south"))
    return sheet(*layers, use="wall panel", size="40 x 40 cm")


def missing(width: float, base: float = 122, outline: str = "straight") -> Plain:
    """The cross layer is missing on a strip along the west edge."""
    rest = {"shape": "band", "along": "east", "to": mm(305 - width)}
    return sheet(
        laid("sheet white", g(base)),
        laid("oat", "122 g/m²", "north-south", zone="rest"),
        laid("oat", "198 g/m²", "east-west"),
        size="305 x 305 mm", zones={"rest": rest}, outline=outline,
    )  # fmt: skip


def half(along: float, outline: str = "straight") -> Plain:
    """The cross layer, and a heavy one, lies on the far half only."""
    far = {"shape": "band", "along": "north", "to": "20 cm"}
    return sheet(
        laid("sheet white", "200 g/m²"),
        laid("oat", "300 g/m²", "north-south", zone="far"),
        laid("oat", g(along), "east-west"),
        size="40 x 40 cm", zones={"far": far}, outline=outline,
    )  # fmt: skip


def on_cloth(width: float) -> Plain:
    """Wool laid one way, with gauze under a part of it."""
    cloth = {"shape": "band", "along": "west", "to": mm(width)}
    return sheet(
        laid("gauze", "20 g/m²", zone="cloth"),
        laid("mist", "120 g/m²", "east-west"),
        use="nuno cloth", size="1000 x 400 mm", zones={"cloth": cloth},
    )  # fmt: skip


def one_way(size: str, **more: object) -> Plain:
    """Two layers of top, both east-west."""
    layers = [laid("oat", "150 g/m²", "east-west") for _ in range(2)]
    return sheet(*layers, **{"use": None, "size": size, **more})


def wanted(wide: float) -> Plain:
    """Two layers east-west on 60 cm each way, of which 42 cm are to be left north-south."""
    return one_way("60 x 60 cm", finished=f"{mm(wide)} x 42 cm")


# (ln(600/x) - ln(600/420)) / (ln(600/x) + ln(600/420)) = 0.15 * 0.85
_N = math.log(600 / 420)
WANTED = 600 * math.exp(-_N * (1 + 0.1275) / (1 - 0.1275))
SHAWL = 600 / (1 - math.sqrt(0.15))
"""A square of which 0.15 lies more than 30 cm from its edge, mm."""


def _reach(width: float) -> float:
    """Part of the face that counts as missing its cross layer: the staple reaches in 18 mm."""
    return max(0.0, 1 - 36 / strip(width, 305)) * width / 305


# 0.85 (x - 1) / (2 + x) = 0.33; 0.80 x / (1 + x) = 0.45 at the low end of alignment
CROSSED = 120 * (0.85 + 0.66) / (0.85 - 0.33)
UNCROSSED_LOW = 120 * 0.45 / (0.80 - 0.45)
UNCROSSED = 120 * 0.33 / (0.85 - 0.33)

DIRECTION = (
    Turn(
        "direction-balance", "caution", "light cross",
        lambda x: ground(120, x), CROSSED, None, "caution",
    ),
    Turn(
        "direction-balance", "caution", "no cross",
        lambda x: ground(0, x, base=240), 2 * UNCROSSED, None, "caution",
    ),
    Turn(
        "direction-balance", "fault", "no cross",
        lambda x: ground(0, x, base=240), 2 * UNCROSSED_LOW, "caution", "fault",
    ),
    Turn(
        "direction-balance", "local", "near half", half, 200 * 0.45 / (0.85 - 0.45), None, "caution",
    ),
    Turn(
        "direction-balance", "local-area", "strip", missing,
        bisect(lambda w: _reach(w) < 0.05, 40, 80), None, "caution",
    ),
    Turn(
        "direction-balance", "free-local", "near half", lambda x: half(x, "free"),
        200 * 0.60 / (0.85 - 0.60), None, "caution",
    ),
    Turn(
        "direction-balance", "free-area", "strip", lambda x: missing(x, 60, "free"),
        bisect(lambda w: _reach(w) < 0.25, 60, 200), None, "caution",
    ),
    Turn(
        "direction-balance", "staple-reach", "strip", missing,
        bisect(lambda w: _reach(w) < 0.05, 40, 80), None, "caution",
    ),
    *(
        Turn(
            "direction-balance", limit, edge,
            lambda x, edge=edge: one_way(f"{mm(x)} x {mm(x)}", outline=edge), SHAWL, None, "caution",
        )
        for limit, edge in (("edge-reach", "ruffled"), ("middle", "drawn in"))
    ),
    Turn(
        "direction-balance", "strap-width", "band", lambda x: one_way(f"1 m x {mm(x)}"), 120.0,
        None, "fault",
    ),
    Turn(
        "direction-balance", "strap-ratio", "band", lambda x: one_way(f"{mm(x)} x 10 cm"), 400.0,
        "fault", None,
    ),
    Turn("direction-balance", "wanted", "waistcoat", wanted, WANTED, None, "fault"),
    Turn("direction-balance", "cloth", "gauze", on_cloth, 900.0, "fault", None),
)  # fmt: skip

# luster-carrier -----------------------------------------------------------------------------------


def shiny(amount: float, of: str = "viscose", **more: object) -> Plain:
    """Loose fibre on a panel of wool."""
    fields: Plain = {"use": "wall panel", "size": "40 x 40 cm", **more}
    return sheet(laid("oat", "400 g/m²", "random"), laid(of, g(amount), "random"), **fields)


def specks_in(percent: float) -> Plain:
    """Specks carded into wool."""
    blend = {"fleck": {"oat": f"{percent:.3f} %", "specks": f"{100 - percent:.3f} %"}}
    return sheet(
        laid("oat", "400 g/m²", "random"),
        laid("fleck", "10 g/m²", "random"),
        use="wall panel", blends=blend,
    )  # fmt: skip


def crumbs_on(amount: float) -> Plain:
    """Wool neps on a sound panel, with nothing over them."""
    panel = [laid("oat", "200 g/m²", way) for way in ("east-west", "north-south")]
    return sheet(*panel, laid("crumbs", g(amount), lay="scatter", role="accent"))


def veiled(amount: float) -> Plain:
    """Specks under a veil."""
    return sheet(
        laid("oat", "400 g/m²", "random"),
        laid("specks", "10 g/m²", lay="scatter"),
        laid("oat", g(amount), lay="wisps", role="veil"),
        use="wall panel",
    )  # fmt: skip


def line(width: float, side: float) -> Plain:
    """A thick line of viscose across the piece."""
    zone = {"shape": "band", "along": "south", "from": "30 mm", "to": mm(30 + width)}
    return sheet(
        laid("oat", "400 g/m²", "random"),
        laid("viscose", "120 g/m²", "random", zone="line"),
        use="wall panel", size=f"{mm(side)} x {mm(side)}", zones={"line": zone},
    )  # fmt: skip


def lapped(part: float) -> Plain:
    """Heavy cotton cloth, 10 cm square, and wool that laps over a part of it."""
    cotton = {"fibre": "cotton", "preparation": "close cloth", "fineness": "15 um"}
    zones = {
        "cloth": {"shape": "rectangle", "size": "100 x 100 mm", "at": "100 mm east, 100 mm north"},
        "edge": {"shape": "band", "along": "south", "from": "50 mm", "to": mm(100 + 100 * part)},
    }
    return sheet(
        laid("oat", "400 g/m²", "random"),
        laid("sailcloth", "200 g/m²", zone="cloth"),
        laid("oat", "60 g/m²", "random", zone="edge"),
        use="wall panel", size="400 x 400 mm", zones=zones, lots={"sailcloth": cotton},
    )  # fmt: skip


def _viscose(share: float, depth: float) -> float:
    cover = bisect(lambda c: under(c, depth) > share, 0.5, 12)
    return grams_for_cover(cover, 14, VISCOSE)


LUSTER = (
    Turn("luster-carrier", "caution", "viscose", shiny, _viscose(0.20, FIRM), None, "caution"),
    Turn(
        "luster-carrier", "fault", "viscose", shiny,
        _viscose(0.08, FIRM * FACTOR), "caution", "fault",
    ),
    Turn("luster-carrier", "piled", "crumbs", crumbs_on, 80.0, None, "caution"),
    Turn("luster-carrier", "body-share", "specks", specks_in, 50.0, "caution", None),
    Turn("luster-carrier", "body-veil", "specks", veiled, grams_for_cover(0.5), "caution", None),
    Turn(
        "luster-carrier", "narrow", "60 cm", lambda x: line(x, 600), strip_for(6, 600), None, "fault",
    ),
    Turn(
        "luster-carrier", "narrow", "15 cm", lambda x: line(x, 150), strip_for(6, 150), None, "fault",
    ),
    Turn("luster-carrier", "lap", "10 cm", lapped, 0.1, "fault", None),
)  # fmt: skip

# halo-clash ---------------------------------------------------------------------------------------

COLOURS = {
    "chalk": "#f4f0e6", "ink": "#1d2747", "milk": "#efe9da", "slate": "#808080",
    "sheet white": "#efe9da",
}  # fmt: skip


def _linear(hexed: str) -> list[float]:
    values = [int(hexed[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    return [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values]


def _mixed(parts: list[tuple[float, list[float]]]) -> list[float]:
    """Stearns & Noechel, b = 0.15, by linear sRGB channel, no channel below 0.012."""

    def f(r: float) -> float:
        r = max(0.012, r)
        return (1 - r) / (0.15 * (r - 0.01) + 0.01)

    total = sum(share for share, _ in parts)
    found = []
    for k in range(3):
        mean = sum(share * f(colour[k]) for share, colour in parts) / total
        found.append((1 - 0.01 * mean * 0.85) / (1 + mean * 0.15))
    return found


def _halo(over: str, below: str, cover: float, depth: float) -> float:
    coloraide = pytest.importorskip("coloraide")
    top, low = _linear(COLOURS[over]), _linear(COLOURS[below])
    share = under(cover, depth)
    one = coloraide.Color("srgb-linear", _mixed([(1.0, top)])).convert("lab-d65")
    two = coloraide.Color("srgb-linear", _mixed([(1 - share, top), (share, low)])).convert(
        "lab-d65"
    )
    return float(one.delta_e(two, method="2000"))


def _clash(over: str, below: str, amount: float) -> str | None:
    cover = amount / grams_for_cover(1.0)
    thin = cover * (1 - 1.2816 * (SHEET if over == "sheet white" else TOP))

    def reaches(mean: float, thinner: float, depth: float) -> bool:
        return (
            _halo(over, below, cover, depth) >= mean or _halo(over, below, thin, depth) >= thinner
        )

    if not reaches(2, 3, FIRM):
        return None
    return "fault" if reaches(5, 12, FIRM) and reaches(5, 12, FIRM / FACTOR) else "caution"


def covered(over: str, below: str, amount: float, role: str | None = "cover") -> Plain:
    """A cover over a ground of another colour."""
    top = laid(over, g(amount), "random")
    if role:
        top["role"] = role
    return sheet(laid(below, "300 g/m²", "random"), top, use="wall panel", size="40 x 40 cm")


def _turn(limit: str, over: str, below: str, level: str, milder: str | None) -> Turn:
    worse = ("fault",) if level == "fault" else ("fault", "caution")
    at = bisect(lambda w: _clash(over, below, w) in worse, 30, 400)
    return Turn(
        "halo-clash", limit, f"{over} over {below}",
        lambda x: covered(over, below, x), at, level, milder,
    )  # fmt: skip


def seamed(width: float, role: str | None, side: float = 600) -> Plain:
    """Two colours side by side that lap; the upper one is pale."""
    zones = {
        "dark": {"shape": "band", "along": "west", "to": mm(side / 2)},
        "pale": {"shape": "band", "along": "east", "to": mm(side / 2 + width)},
    }
    pale = laid("chalk", "110 g/m²", "random", zone="pale")
    if role:
        pale["role"] = role
    dark = laid("ink", "110 g/m²", "random", zone="dark", role="structure")
    base = laid("chalk", "250 g/m²", "random", role="structure")
    return sheet(
        base, dark, pale, use="wall panel", size=f"{mm(side)} x {mm(side)}", zones=zones
    )  # fmt: skip


def buried_under(grams: float) -> Plain:
    """A shape of prefelt under wool of so many g/m², on a ground that is to lie below."""
    return {
        "piece": {"title": "Buried", "use": "swatch", "shape": "rectangle", "laid out": "40 x 40 cm",
                  "stage": "firm", "shows": ["top"]},
        "lots": {"oat": {"fibre": "merino", "preparation": "combed top", "fineness": "20 um"}},
        "zones": {"leaf": {"shape": "round", "size": "15 cm", "at": "20 cm east, 20 cm north"}},
        "layers": [
            {"name": "leaf", "of": "oat", "amount": "40 g/m²", "zone": "leaf", "role": "accent",
             "direction": "random"},
            {"name": "ground", "of": "oat", "amount": f"{grams:.6f} g/m²", "direction": "random"},
        ],
    }  # fmt: skip


def halo_turns() -> tuple[Turn, ...]:
    """Made when asked for, since another library works out where they lie."""
    mixing = grams_for_cover(bisect(lambda c: under(c, FIRM) > 0.25, 0.5, 12))
    return (
        _turn("caution-thin", "chalk", "ink", "caution", None),
        _turn("caution-thin", "milk", "slate", "caution", None),
        _turn("caution-thin", "ink", "chalk", "caution", None),
        _turn("fault-thin", "chalk", "ink", "fault", "caution"),
        _turn("fault-thin", "milk", "slate", "fault", "caution"),
        _turn("fault-thin", "ink", "chalk", "fault", "caution"),
        _turn("fault-mean", "sheet white", "ink", "fault", "caution"),
        Turn("halo-clash", "seam", "60 cm", lambda x: seamed(x, "cover"),
             strip_for(30, 600), None, "fault"),
        Turn("halo-clash", "seam-undeclared", "60 cm", lambda x: seamed(x, None),
             strip_for(50, 600), None, "unsaid"),
        Turn("halo-clash", "seam-part", "8 cm", lambda x: seamed(x, "cover", 80),
             strip_for(16, 80), None, "fault"),
        Turn("halo-clash", "buried", "20 um", buried_under, grams_for_cover(6.0, 20), None, "caution"),
        Turn("halo-clash", "mixing", "undeclared", lambda x: covered("chalk", "ink", x, None),
             mixing, None, "unsaid"),
    )  # fmt: skip


TURNS = (*THIN, *DIRECTION, *LUSTER, *halo_turns())
RULES = ("direction-balance", "halo-clash", "luster-carrier", "thin-layer")


@pytest.mark.parametrize("turn", TURNS, ids=lambda t: f"{t.rule} {t.limit}: {t.of}")
def test_a_verdict_turns_at_its_limit_and_nowhere_else(turn: Turn) -> None:
    for factor, verdict in ((1 - turn.near, turn.below), (1 + turn.near, turn.above)):
        report = report_of(turn.recipe(turn.at * factor))
        assert said(turn.recipe(turn.at * factor)).get(turn.rule) == verdict, shown(report)


@pytest.mark.parametrize("turn", TURNS, ids=lambda t: f"{t.rule} {t.limit}: {t.of}")
def test_the_finding_shows_a_figure_beyond_its_limit(turn: Turn) -> None:
    for factor in (1 - turn.near, 1 + turn.near):
        for finding in report_of(turn.recipe(turn.at * factor)).findings:
            assert finding.measured is not None and finding.limit is not None, finding
            assert math.isfinite(finding.measured.value) and finding.how, finding


def test_every_limit_of_every_rule_has_a_pair_here() -> None:
    """One limit is only reached together with another one."""
    book = felt_engine.Engine().rule_book
    declared = {(s.rule.id, limit.name) for s in book.rules for limit in s.rule.limits}
    ours = {(rule, name) for rule, name in declared if rule in RULES}
    # The thin tenth of a cover reaches its limit of 3 before the mean reaches 2.
    never_alone = {("halo-clash", "caution-mean")}
    # speaks by a tip alone: test_direction.py
    never_alone |= {("direction-balance", "square")}
    tried = {(turn.rule, turn.limit) for turn in TURNS} | never_alone
    assert ours - tried == set()
    assert {name for name in tried if name[1] != "bare of the use"} - ours == set()


def test_a_scale_step_turns_a_fault_into_a_caution() -> None:
    """58.5 g/m² on 0.24 m² are 14 g; half a step of 1 g more would be 60.6 g/m², no fault."""
    amount = grams_for_bare(0.08) * 0.98 * 0.24
    layer = laid("oat", f"{amount:.3f} g", "random")
    fine = {"use": "lampshade", "size": "60 x 40 cm"}
    assert said(sheet(layer, **fine, scale_step="0.1 g")) == {"thin-layer": "fault"}
    assert said(sheet(layer, **fine, scale_step="1 g")) == {"thin-layer": "caution"}
    divided = {**layer, "divided from": f"{20 * amount:.3f} g"}
    assert said(sheet(divided, **fine, scale_step="1 g")) == {"thin-layer": "fault"}
