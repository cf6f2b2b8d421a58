"""What settling makes of what rules say: names of things, order, levels, waivers, figures, fingerprints."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

import attrs
import pytest
from kit_rules import laid, sheet, text_of

import felt_engine
from felt_engine import Bench, Figure, Finding, Recipe, Report, Rule, Said
from felt_engine.checking.fingerprint import of_finding
from felt_engine.checking.rulebook import RuleBook, Shelved, judge_all
from felt_engine.checking.settle import settle
from felt_engine.model.piece import Resist
from felt_engine.model.place import join

OZ, FOOT = 0.028349523125, 0.3048
RECIPE = sheet(
    laid("oat", "0.4 oz", "east-west", name="along"),
    laid("ice", "0.4 oz", "north-south", name="across"),
    {"name": "sun", "placements": [laid("chalk", "0.4 oz", zone="sun"), laid("chalk", "0.1 oz")],
     "direction": "east-west"},
    zones={"sun": {"shape": "round", "size": "3 in", "at": "6 in east, 6 in north"}},
    waivers=[{"rule": "slip", "where": "along", "why": "a trial"},
             {"rule": "slip", "where": "along", "why": "said twice"},
             {"rule": "slip", "where": "sun", "why": "in its zone"}],
    on_purpose=[{"what": "thin", "where": "sun", "why": "a window"}],
)  # fmt: skip
RECIPE["work"] = [{"do": "wet"}, {"do": "roll", "times": 100}]
BUILD = felt_engine.measure(felt_engine.load(text_of(RECIPE)))
MADE = BUILD.recipe


def slip(judge: Callable[[Bench], Iterable[Said]], name: str = "slip", **more: object) -> Rule:
    return attrs.evolve(Rule(name, name, "0.1.0", "a test", judge, purposes=("thin",)), **more)


def reported(*rules: Rule, levels: dict[str, tuple[str | None, str | None]] | None = None,
             drawing: bool = False) -> Report:  # fmt: skip
    shelved = tuple(Shelved(one, "test", "0") for one in rules)
    book = RuleBook(shelved, levels=levels or {})
    judged = judge_all(book, BUILD, felt_engine.measure)
    assert not [one.broke for one in judged if one.broke], judged
    return settle(BUILD, judged, (), lambda at: (None, None), "0", drawing, book)


def about(*things: object, level: str = "caution") -> Rule:
    return slip(lambda bench: [bench.finding(level, one, "seen", "mend it") for one in things])


def found(report: Report) -> list[str]:
    return [f.spot.pointer for f in report.findings if f.rule == "slip"]


NAMED = [
    (MADE.piece, "piece", "/piece"), (MADE.layers[1], "layer “across”", "/layers/1"),
    (MADE.layers[2].placements[1], "layer “sun”, “chalk”", "/layers/2/placements/1"),
    (MADE.lots[0], "lot “oat”", "/lots/oat"), (MADE.zones[0], "zone “sun”", "/zones/sun"),
    (MADE.work[1], "step 2, roll", join("work", 1)), (MADE.waivers[2], "waiver 3", "/waivers/2"),
    (MADE.purposes[0], "purpose 1", "/on purpose/0"),
]  # fmt: skip


@pytest.mark.parametrize(("thing", "name", "pointer"), NAMED, ids=lambda v: str(v)[:20])
def test_a_thing_is_named_as_its_maker_would(thing: object, name: str, pointer: str) -> None:
    (spot,) = {f.spot for f in reported(about(thing)).findings if f.rule == "slip"}
    assert (spot.thing, spot.pointer) == (name, pointer)


def test_without_lines_the_tenth_layer_comes_after_the_second() -> None:
    twelve = sheet(*(laid("oat", "0.4 oz", "random", name=f"l{n}") for n in range(12)))
    build = felt_engine.measure(felt_engine.load(text_of(twelve)))
    book = RuleBook((Shelved(about(*reversed(build.recipe.layers)), "test", "0"),))
    report = settle(
        build, judge_all(book, build, felt_engine.measure), (), lambda at: (None, None), "0"
    )
    assert found(report) == [f"/layers/{n}" for n in range(12)]
    assert report.drawing is None
    assert reported(about(), drawing=True).drawing is not None


def test_the_first_waiver_that_names_it_is_the_one_that_counts() -> None:
    report = reported(about(*MADE.layers))
    waived = {f.spot.thing: f.waived for f in report.findings if f.rule == "slip"}
    assert waived == {
        "layer “along”": "a trial", "layer “across”": None, "layer “sun”": "in its zone",
    }  # fmt: skip
    assert [w.matched for w in report.waivers] == [True, False, True]
    assert [(p.what, p.where, p.why, p.matched) for p in report.purposes] == [
        ("thin", "sun", "a window", False)
    ]


def test_a_waiver_for_a_zone_fits_what_lies_all_in_it() -> None:
    zone = MADE.zones[0]
    inside = tuple(p for p in BUILD.places if p.lies_in(zone))
    outside = tuple(p for p in BUILD.places if not p.lies_in(zone))
    assert inside and outside
    for at, waived in (
        (inside, "in its zone"),
        (outside, None),
        (inside + outside, None),
        ((), None),
    ):

        def judge(bench: Bench, at: tuple[object, ...] = at) -> list[Said]:
            return [bench.finding("fault", bench.recipe.piece, "seen", "mend", at=at)]

        report = reported(slip(judge))
        assert [f.waived for f in report.findings if f.rule == "slip"] == [waived]


@pytest.mark.parametrize(
    ("level", "bounds", "told"),
    [
        ("caution", (None, None), "caution"), ("note", ("caution", None), "caution"),
        ("fault", ("caution", None), "fault"), ("fault", (None, "caution"), "caution"),
        ("note", (None, "caution"), "note"), ("note", ("fault", "fault"), "fault"),
        ("caution", ("caution", "caution"), "caution"),
    ],
)  # fmt: skip
def test_a_studio_may_raise_and_lower_levels(
    level: str, bounds: tuple[str | None, str | None], told: str
) -> None:
    report = reported(about(MADE.piece, level=level), levels={"slip": bounds})
    (one,) = [f for f in report.findings if f.rule == "slip"]
    assert one.level == told
    assert one.rule_says == (None if level == told else level)


def test_remarks_are_sorted_and_said_once() -> None:
    def judge(bench: Bench) -> list[Said]:
        layers = bench.recipe.layers
        tips = [bench.tip(layers[1], "b"), bench.tip(layers[1], "a"), bench.tip(layers[1], "b")]
        return [bench.unsaid(layers[0], "z"), bench.unsaid(layers[0], "y"), *tips]

    report = reported(slip(judge), slip(lambda b: [b.tip(b.recipe.piece, "c")], "a-rule"))
    assert [(t.rule, t.text) for t in report.tips] == [
        ("a-rule", "c"),
        ("slip", "a"),
        ("slip", "b"),
    ]
    assert [u.text for u in report.unsaid] == ["y", "z"]
    assert report.judged == ("a-rule", "slip") and report.looked_for == ("a-rule", "slip")


def test_figures_of_a_face_by_hand() -> None:
    """1.3 oz on a square foot; the patch is 3 in across; top of 0.85 aligned (Mardia & Jupp 2000)."""
    (face,) = reported(about()).faces
    ground, patch = 0.9 * OZ / FOOT**2, 0.4 * OZ / (math.pi * (FOOT / 8) ** 2)
    assert face.area_m2 == pytest.approx(FOOT**2, rel=1e-8)
    assert face.mean_g_m2 == pytest.approx(1300 * OZ / FOOT**2, rel=1e-8)
    assert face.thinnest_g_m2 == pytest.approx(1000 * ground, rel=1e-8)
    assert face.thickest_g_m2 == pytest.approx(1000 * (ground + patch), rel=1e-4)
    assert face.pull == pytest.approx(0.85 * (0.9 - 0.4) / 1.3, abs=1e-4)
    assert face.axis_deg == pytest.approx(90, abs=1e-6)
    assert face.bare_index == pytest.approx(max(p.bare() for p in BUILD.places), abs=1e-6)


def test_a_face_in_balance_has_no_axis_and_an_empty_one_is_bare() -> None:
    def face(*layers: object) -> felt_engine.Report:
        return felt_engine.check(text_of(sheet(*layers)))  # type: ignore[arg-type]

    even = face(laid("oat", "1 oz", "east-west"), laid("oat", "1 oz", "north-south")).faces[0]
    assert even.pull == 0 and even.axis_deg is None
    north = face(laid("oat", "1 oz", "bearing 30°")).faces[0]
    assert (north.pull, north.axis_deg) == (pytest.approx(0.85), pytest.approx(30))


def test_weights_are_in_grams_and_ounces_and_for_all_that_are_made() -> None:
    pair = sheet(laid("oat", "1 oz", "random", name="all of it"), how_many=2, amounts_for="one")
    weights = felt_engine.check(text_of(pair)).weights
    assert weights is not None and weights.pieces == 2
    assert (weights.piece.name, weights.all_pieces.name) == ("one piece", "all 2 pieces")
    assert (weights.piece.grams, weights.piece.ounces) == pytest.approx((28.3495231, 1))
    assert (weights.all_pieces.grams, weights.all_pieces.ounces) == pytest.approx((56.6990463, 2))
    single = reported(about()).weights
    assert single is not None and single.pieces == 1
    assert single.all_pieces.name == "the piece"
    assert single.all_pieces.grams == single.piece.grams == pytest.approx(1300 * OZ)


# what makes two findings the same one


def sign(thing: object, recipe: Recipe = MADE, measured: float | None = None, limit: float = 1.0,
         **more: object) -> str:  # fmt: skip
    said = Finding("fault", thing, "m", "d")
    if measured is not None:
        said = attrs.evolve(
            said, measured=Figure("cover", measured, ""), limit=Figure("most", limit, "")
        )
    return of_finding(slip(lambda bench: [], **more), said, recipe)


def test_a_fingerprint_tells_apart_what_a_maker_tells_apart() -> None:
    patch, rest = MADE.layers[2].placements
    things = [MADE.piece, MADE, *MADE.layers, patch, rest, *MADE.lots, *MADE.zones, *MADE.work,
              MADE.waivers[0], MADE.waivers[2], MADE.purposes[0],
              attrs.evolve(MADE.purposes[0], where="shore"), attrs.evolve(MADE.purposes[0], what="x"),
              attrs.evolve(MADE.waivers[0], rule="other"),
              attrs.evolve(MADE.work[1], edge="cuff"), attrs.evolve(MADE.work[1], side="west"),
              attrs.evolve(patch, of="oat"),
              attrs.evolve(patch, zone="moon"), attrs.evolve(patch, face="front")]  # fmt: skip
    assert len({sign(thing) for thing in things}) == len(things)
    assert all(len(sign(thing)) == 16 for thing in things)
    assert sign(MADE.layers[0].placements[0]) == sign(MADE.layers[0])  # all there is in it
    assert sign(MADE.waivers[0]) == sign(attrs.evolve(MADE.waivers[0], why="another reason"))
    assert sign(MADE.work[1]) == sign(attrs.evolve(MADE.work[1], times=7))


def test_a_resist_is_told_apart_by_its_name_and_by_where_it_lies() -> None:
    one = Resist("pocket", "along")
    others = [attrs.evolve(one, name="flap"), attrs.evolve(one, above="across"),
              attrs.evolve(one, zone="sun")]  # fmt: skip
    assert len({sign(thing) for thing in (one, *others)}) == 4
    assert sign(one) == sign(attrs.evolve(one, note="a bin liner"))


def test_the_same_lot_in_another_layer_is_another_thing() -> None:
    one, two = MADE.layers[0].placements[0], MADE.layers[1].placements[0]
    other = attrs.evolve(MADE, layers=(attrs.evolve(MADE.layers[0], name="else"), *MADE.layers[1:]))
    assert (
        sign(one) != sign(two) and sign(one) != sign(one, other) and sign(two) == sign(two, other)
    )


def test_the_side_of_its_limit_counts_and_the_figure_does_not() -> None:
    over, under = sign(MADE.piece, measured=1.1), sign(MADE.piece, measured=0.9)
    assert over == sign(MADE.piece, measured=7) != under
    assert under == sign(MADE.piece, measured=1.0) == sign(MADE.piece, measured=0.1)
    assert len({over, under, sign(MADE.piece)}) == 3


def test_a_renamed_rule_keeps_the_fingerprints_of_its_oldest_name() -> None:
    assert sign(MADE.piece) == sign(MADE.piece, id="new", formerly=("slip", "later"))
    assert sign(MADE.piece) != sign(MADE.piece, id="new", formerly=("later", "slip"))


# cause first


@pytest.mark.parametrize("first", [True, False])
def test_a_layer_and_an_amount_in_it_are_one_place(first: bool) -> None:
    pair = [MADE.layers[2], MADE.layers[2].placements[0]]
    cause, effect = pair if first else reversed(pair)

    def says(thing: object) -> Callable[[Bench], list[Said]]:
        return lambda bench: [bench.finding("fault", thing, "seen", "mend", also=("nothing",))]

    rules = slip(says(cause), "first"), slip(says(effect), "second", explained_by=("first",))
    report = reported(*rules)
    told = [(f.rule, [e.rule for e in f.explains]) for f in report.findings if f.rule != "waivers"]
    assert ("first", ["second"]) in told and "second" not in [rule for rule, _ in told]
    apart = slip(says(MADE.layers[0]), "second", explained_by=("first",))
    assert "second" in [f.rule for f in reported(rules[0], apart).findings]
