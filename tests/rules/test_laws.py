"""Laws that the verdicts keep for any recipe, right or wrong, drawn at random."""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

import attrs
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from kit_plans import Bit, Pass, Plan, Units, plans, turned, written
from kit_rules import ORDER, RULES, Plain, as_json, at_pointer, cases, report_of, text_of

import felt_engine
from felt_engine import RecipeError
from felt_engine.checking.report import Report

WORDS = ("laid one way", "thin", "thick", "relief", "loose fibre", "show-through")
LAW = settings(max_examples=120, deadline=None, derandomize=True, database=None)

Told = list[tuple[Any, ...]]


def judged(recipe: Plain) -> Report:
    """The report, for a recipe of which every amount lies somewhere."""
    try:
        return report_of(recipe)
    except RecipeError as error:
        assume("no part lies on the piece" not in str(error))
        raise


def told(report: Report, *, with_figures: bool = False) -> Told:
    """What was found and what was not said, by rule, level and place."""
    found: Told = []
    for f in report.findings:
        figure = round(f.measured.value, 5) if with_figures and f.measured else None
        found.append((f.rule, f.level, f.spot.pointer, figure))
    found += [(u.rule, "unsaid", u.spot.pointer, None) for u in report.unsaid]
    return sorted(found, key=str)


def _sorted(report: Report) -> list[float]:
    """The measured figures, in the order of what they are about."""
    found = [
        (f.rule, f.level, f.spot.pointer, f.measured.value) for f in report.findings if f.measured
    ]
    return [value for *_, value in sorted(found)]


def by_layer(report: Report) -> Told:
    """The same, by layer instead of by placement."""
    return [(r, level, "/".join(p.split("/")[:3])) for r, level, p, _ in told(report)]


@LAW
@given(plans(), st.sampled_from((True, False)))
def test_grams_and_ounces_give_one_report(plan: Plan, metric_first: bool) -> None:
    one = judged(written(plan, Units(metric=metric_first)))
    two = judged(written(plan, Units(metric=not metric_first)))

    def bare(report: Report) -> Report:
        assert report.weights is not None
        tables = {
            key: tuple(attrs.evolve(w, how="") for w in getattr(report.weights, key))
            for key in ("by_layer", "by_lot", "by_fibre")
        }
        piece = attrs.evolve(report.weights.piece, how="")
        weights = attrs.evolve(report.weights, piece=piece, **tables)
        return attrs.evolve(report, weights=weights)

    assert bare(one) == bare(two)


@LAW
@given(plans(with_zones=False), st.sampled_from((2, 3)))
def test_a_larger_piece_of_the_same_build_gets_the_same_verdicts(plan: Plan, scale: int) -> None:
    # how far in a ruffled edge reaches is a length: a scarf may be a frill all over, a shawl not
    plan = attrs.evolve(plan, outline=None) if plan.outline == "ruffled" else plan
    small, large = judged(written(plan)), judged(written(plan, Units(scale=scale)))
    assert told(small, with_figures=True) == told(large, with_figures=True)
    for one, two in zip(small.faces, large.faces, strict=True):
        assert math.isclose(one.area_m2 * scale**2, two.area_m2, rel_tol=1e-8)
        assert math.isclose(one.mean_g_m2, two.mean_g_m2, rel_tol=1e-8)
        assert (one.pull, one.bare_index) == (two.pull, two.bare_index)


@LAW
@given(plans())
def test_a_quarter_turn_of_the_table_changes_no_verdict(plan: Plan) -> None:
    one, two = judged(written(plan)), judged(written(turned(plan)))
    assert told(one) == told(two)
    for old, new in zip(_sorted(one), _sorted(two), strict=True):
        # how narrow a slanted part is, is measured along the table's edges: 1 % either way
        assert math.isclose(old, new, rel_tol=0.01, abs_tol=1e-6)
    for face, other in zip(one.faces, two.faces, strict=True):
        assert math.isclose(face.pull, other.pull, abs_tol=2e-6)
        if face.axis_deg is not None and face.pull > 1e-4:
            assert other.axis_deg is not None
            apart = (face.axis_deg + 90 - other.axis_deg) % 180
            assert min(apart, 180 - apart) < 0.01


@LAW
@given(plans(), st.data())
def test_an_amount_in_two_equal_portions_is_the_same_amount(
    plan: Plan, data: st.DataObject
) -> None:
    number = data.draw(st.integers(0, len(plan.passes) - 1))
    one = plan.passes[number]
    index = data.draw(st.integers(0, len(one.bits) - 1))
    bit = one.bits[index]
    whole = attrs.evolve(bit, steps=2 * bit.steps)
    bits = {
        "whole": (*one.bits[:index], whole, *one.bits[index + 1 :]),
        "split": (*one.bits[:index], bit, bit, *one.bits[index + 1 :]),
    }
    reports = [
        judged(
            written(
                attrs.evolve(
                    plan,
                    passes=(
                        *plan.passes[:number],
                        attrs.evolve(one, bits=bits[key]),
                        *plan.passes[number + 1 :],
                    ),
                )
            )
        )
        for key in ("whole", "split")
    ]
    assert by_layer(reports[0]) == by_layer(reports[1])
    assert reports[0].faces == reports[1].faces


BANDS = tuple(
    (f"strip {k}", {"shape": "band", "along": "west", "from": 20 * k, "to": 20 * (k + 1)})
    for k in range(4)
)


@LAW
@given(plans(with_zones=False, most=3), st.data())
def test_the_order_of_amounts_side_by_side_does_not_matter(plan: Plan, data: st.DataObject) -> None:
    lots = data.draw(st.lists(st.sampled_from(("oat", "ink", "silk", "viscose")), min_size=4,
                              max_size=4))  # fmt: skip
    bits = tuple(
        Bit(lot, data.draw(st.integers(1, 30)), name)
        for lot, (name, _) in zip(lots, BANDS, strict=True)
    )
    order = data.draw(st.permutations(range(4)))
    role = data.draw(st.sampled_from(("cover", None)))
    found = []
    for turn in (range(4), order):
        layer = Pass(tuple(bits[k] for k in turn), 0, role)
        full = attrs.evolve(
            plan, shape="rectangle", wide=80, zones=BANDS, passes=(*plan.passes, layer)
        )
        recipe = written(full)
        report = judged(recipe)
        things = []
        for rule, level, pointer, figure in told(report, with_figures=True):
            thing = at_pointer(recipe, pointer)
            what = (thing.get("name"), thing.get("of"), thing.get("zone"))
            things.append((rule, level, what, figure))
        found.append((sorted(things, key=str), report.faces))
    assert found[0] == found[1]


@LAW
@given(plans(), st.sampled_from(WORDS), st.data())
def test_saying_a_purpose_adds_no_fault_and_no_caution(
    plan: Plan, what: str, data: st.DataObject
) -> None:
    recipe = written(plan)
    names = ["whole", *recipe["lots"], *(layer["name"] for layer in recipe["layers"])]
    purpose = {"what": what, "why": "so", "where": data.draw(st.sampled_from(names))}

    def counted(report: Report) -> list[tuple[str, int]]:
        real = [f for f in report.findings if f.level != "note"]
        return [
            (rule, sum(ORDER[::-1].index(f.level) for f in real if f.rule == rule))
            for rule in RULES
        ]

    before = counted(judged(recipe))
    after = counted(judged({**recipe, "on purpose": [purpose]}))
    assert all(new <= old for (_, old), (_, new) in zip(before, after, strict=True))


@LAW
@given(plans())
def test_every_place_that_a_report_names_is_in_the_file(plan: Plan) -> None:
    recipe = written(plan)
    text = text_of(recipe)
    rows = text.splitlines()
    report = judged(recipe)
    for spot in [f.spot for f in report.findings] + [u.spot for u in report.unsaid]:
        assert at_pointer(recipe, spot.pointer) is not None
        assert spot.line is not None and spot.column is not None and spot.thing
        assert rows[spot.line - 1][spot.column - 1 :].strip()


@LAW
@given(plans())
def test_a_json_file_of_the_same_recipe_is_judged_alike(plan: Plan) -> None:
    recipe = written(plan)
    one = judged(recipe)
    two = felt_engine.check(as_json(recipe), name="kitchen table")
    assert told(one, with_figures=True) == told(two, with_figures=True)
    assert (one.weights, one.faces) == (two.weights, two.faces)


@LAW
@given(plans(), st.randoms(use_true_random=False))
def test_rules_in_any_order_give_one_report(plan: Plan, chance: random.Random) -> None:
    from felt_engine.checking.rulebook import judge
    from felt_engine.checking.settle import settle

    recipe = felt_engine.load(text_of(written(plan)), name="kitchen table")
    try:
        build = felt_engine.measure(recipe)
    except RecipeError:
        assume(False)
    rules = felt_engine.Engine().rule_book.rules
    found = [judge(shelved, build, {}) for shelved in rules]

    def locate(pointer: str) -> tuple[None, None]:
        return None, None

    first = settle(build, found, (), locate, "0")
    chance.shuffle(found)
    assert settle(build, found, (), locate, "0") == first
    assert settle(build, list(reversed(found)), (), locate, "0") == first


def test_the_drawn_plans_are_of_all_kinds() -> None:
    """The strategy is worth something only if every rule speaks, asks and keeps silent in it."""
    seen: set[tuple[str, str]] = set()

    @settings(max_examples=800, deadline=None, derandomize=True, database=None)
    @given(plans())
    def look(plan: Plan) -> None:
        try:
            report = report_of(written(plan))
        except RecipeError:
            return
        said = {(f.rule, f.level) for f in report.findings} | {
            (u.rule, "unsaid") for u in report.unsaid
        }
        seen.update(said)
        seen.update((rule, "silent") for rule in report.judged if rule not in {r for r, _ in said})

    look()
    rules = ("direction-balance", "halo-clash", "luster-carrier", "thin-layer")
    assert seen >= set(itertools.product(rules, ("fault", "caution", "unsaid", "silent")))


def test_the_tables_keep_the_laws_too() -> None:
    for name in ("right", "faulty"):
        for case in cases(f"{name}.yaml"):
            report = report_of(case.recipe)
            two = felt_engine.check(as_json(case.recipe), name="kitchen table")
            assert told(report, with_figures=True) == told(two, with_figures=True), case.name
            for spot in [f.spot for f in report.findings]:
                assert at_pointer(case.recipe, spot.pointer) is not None
