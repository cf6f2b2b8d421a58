"""Laws that the formulas keep for any input, beside the published figures."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from felt_engine.analysis.axes import (
    alignment_of_spread,
    angle_of_bearing,
    bearing_of_angle,
    kindest,
    mean_axis,
    spread_of_alignment,
    stack_resultant,
)
from felt_engine.analysis.colour import (
    DARKEST,
    blend,
    delta_e_2000,
    difference,
    hex_of_linear,
    lab_of_linear,
    linear_of_hex,
    sn_f,
    sn_inverse,
)
from felt_engine.analysis.coverage import (
    bare_index,
    bare_random,
    coverage_for_bare,
    cylinder_coverage,
    film_coverage,
    thin_cover,
)
from felt_engine.analysis.grades import GRADES, grade_of_micrometres, micrometres_of_grade
from felt_engine.analysis.migration import anchor_share, bridge_share, layer_shares, under_share
from felt_engine.analysis.rows import shingle_rows

Triple = tuple[float, float, float]
Layer = tuple[float, float, float]
Range = tuple[float, float, float, float, float, float]

COVER = st.floats(0.0, 60.0)
VARIATION = st.floats(0.0, 2.0)
AREAL = st.floats(1e-4, 10.0)
DIAMETER = st.floats(5e-6, 100e-6)
DENSITY = st.floats(500.0, 3000.0)
DEPTH = st.floats(0.0, 6.0)
SHARE = st.floats(0.0, 1.0)
ANGLE = st.floats(-10.0, 10.0)
WEIGHT = st.floats(0.01, 10.0)
CHANNEL = st.floats(0.0, 1.0)
LINEAR = st.tuples(CHANNEL, CHANNEL, CHANNEL)
LAB = st.tuples(st.floats(0.0, 100.0), st.floats(-120.0, 120.0), st.floats(-120.0, 120.0))
LAYERS = st.lists(st.tuples(WEIGHT, SHARE, ANGLE), min_size=1, max_size=6)
STACK = st.lists(COVER, min_size=1, max_size=8)


@st.composite
def ranges(draw: st.DrawFn) -> Range:
    """Draw one layer with ends for its weight and alignment."""
    low, high = sorted((draw(WEIGHT), draw(WEIGHT)))
    r_low, r, r_high = sorted((draw(SHARE), draw(SHARE), draw(SHARE)))
    return low, high, r_low, r, r_high, draw(ANGLE)


# Coverage


@given(AREAL, DIAMETER, DENSITY, st.floats(1.01, 10.0))
def test_coverage_grows_with_mass_and_falls_with_size(
    areal: float, diameter: float, density: float, more: float
) -> None:
    cover = cylinder_coverage(areal, diameter, density)
    assert cylinder_coverage(areal * more, diameter, density) == pytest.approx(cover * more)
    assert cylinder_coverage(areal, diameter * more, density) == pytest.approx(cover / more)
    assert cylinder_coverage(areal, diameter, density * more) == pytest.approx(cover / more)
    assert film_coverage(areal, diameter, density) == pytest.approx(cover * math.pi / 4.0)


@given(COVER, COVER)
def test_bare_shares_of_two_random_webs_multiply(first: float, second: float) -> None:
    product = bare_random(first) * bare_random(second)
    assert bare_random(first + second) == pytest.approx(product, rel=1e-9)


@given(COVER, VARIATION, st.floats(0.01, 5.0))
def test_more_cover_leaves_less_bare(cover: float, variation: float, more: float) -> None:
    assert bare_index(cover + more, variation) < bare_index(cover, variation)


@given(st.floats(0.1, 60.0), VARIATION, st.floats(0.05, 1.0))
def test_uneven_webs_are_barer(cover: float, variation: float, more: float) -> None:
    even, uneven = bare_index(cover, variation), bare_index(cover, variation + more)
    assert bare_random(cover) * (1.0 - 1e-12) <= even < uneven <= 1.0


@given(st.floats(1e-3, 60.0), VARIATION)
@example(5.0, 1e-8)
def test_cover_for_bare_goes_back(cover: float, variation: float) -> None:
    index = bare_index(cover, variation)
    assume(index < 1.0)
    assert coverage_for_bare(index, variation) == pytest.approx(cover, rel=1e-8)


@given(COVER, VARIATION)
def test_thin_cover_lies_between_nothing_and_the_mean(cover: float, variation: float) -> None:
    assert 0.0 <= thin_cover(cover, variation) <= cover


@given(st.floats(0.01, 3.0), st.floats(0.02, 0.5), st.floats(0.0, 0.9))
@example(0.3, 0.1, 0.0)
@example(0.7, 0.1, 0.25)
def test_rows_end_flush_with_the_fewest_tufts(extent: float, tuft: float, overlap: float) -> None:
    count, fitted, pitch = rows = shingle_rows(extent, tuft, overlap)
    if count == 1:
        assert extent <= tuft * (1.0 + 1e-8)
        return
    assert (rows.count - 1) * pitch + tuft == pytest.approx(extent, rel=1e-9)
    assert pitch == pytest.approx(tuft * (1.0 - fitted), rel=1e-6, abs=1e-12)
    assert overlap - 1e-7 <= fitted < 1.0
    one_fewer = tuft + (rows.count - 2) * tuft * (1.0 - overlap)
    assert one_fewer < extent


# Directions


@given(st.floats(-720.0, 720.0))
def test_bearings_go_there_and_back(bearing: float) -> None:
    angle = angle_of_bearing(bearing)
    assert 0.0 <= angle < math.pi
    turn = (bearing_of_angle(angle) - bearing) % 180.0
    assert min(turn, 180.0 - turn) < 1e-9
    assert 0.0 <= bearing_of_angle(angle) < 180.0


@given(LAYERS, ANGLE)
def test_turning_all_leaves_the_imbalance(layers: list[Layer], turn: float) -> None:
    pull = stack_resultant(layers)
    turned = stack_resultant((w, r, a + turn) for w, r, a in layers)
    assert abs(turned) == pytest.approx(abs(pull), abs=1e-12)
    expected = pull * complex(math.cos(2.0 * turn), math.sin(2.0 * turn))
    assert turned == pytest.approx(expected, abs=1e-12)


@given(LAYERS)
def test_a_quarter_turn_swaps_the_axis(layers: list[Layer]) -> None:
    turned = stack_resultant((w, r, a + math.pi / 2.0) for w, r, a in layers)
    assert turned == pytest.approx(-stack_resultant(layers), abs=1e-12)


@given(LAYERS)
def test_a_half_turn_is_the_same_axis(layers: list[Layer]) -> None:
    turned = stack_resultant((w, r, a + math.pi) for w, r, a in layers)
    assert turned == pytest.approx(stack_resultant(layers), abs=1e-12)


@given(LAYERS, st.floats(0.1, 10.0))
def test_order_and_scale_do_not_matter(layers: list[Layer], scale: float) -> None:
    pull = stack_resultant(layers)
    assert abs(pull) <= max(r for _, r, _ in layers) + 1e-12
    backwards = stack_resultant((w * scale, r, a) for w, r, a in reversed(layers))
    assert backwards == pytest.approx(pull, abs=1e-12)


@given(LAYERS)
def test_a_layer_may_be_split(layers: list[Layer]) -> None:
    w, r, a = layers[0]
    split = [(w / 4.0, r, a), (w * 0.75, r, a), *layers[1:]]
    assert stack_resultant(split) == pytest.approx(stack_resultant(layers), abs=1e-12)


@given(st.lists(ranges(), min_size=1, max_size=5))
def test_kindest_is_never_above_the_nominal_imbalance(items: list[Range]) -> None:
    nominal = stack_resultant(((lo + hi) / 2.0, r, a) for lo, hi, _, r, _, a in items)
    assert 0.0 <= kindest(items) <= abs(nominal) + 1e-12


@given(st.lists(ranges(), min_size=1, max_size=5), st.data())
def test_kindest_is_a_lower_bound(items: list[Range], data: st.DataObject) -> None:
    chosen = []
    for low, high, r_low, _, r_high, angle in items:
        weight = data.draw(st.floats(low, high))
        chosen.append((weight, data.draw(st.floats(r_low, r_high)), angle))
    assert kindest(items) <= abs(stack_resultant(chosen)) + 1e-9


@given(st.lists(ranges(), min_size=1, max_size=5), ANGLE)
def test_turning_all_leaves_the_kindest(items: list[Range], turn: float) -> None:
    nominal = stack_resultant(((lo + hi) / 2.0, r, a) for lo, hi, _, r, _, a in items)
    assume(abs(nominal) > 1e-6)  # without an axis there is nothing to project on
    turned = [(*item[:5], item[5] + turn) for item in items]
    assert kindest(turned) == pytest.approx(kindest(items), abs=1e-8)


@given(st.floats(1e-3, 2.0))
def test_spread_goes_there_and_back(sigma: float) -> None:
    assert spread_of_alignment(alignment_of_spread(sigma)) == pytest.approx(sigma, rel=1e-9)


@given(st.floats(0.0, 3.0), st.floats(0.01, 3.0))
def test_scatter_takes_alignment(sigma: float, more: float) -> None:
    assert alignment_of_spread(sigma + more) < alignment_of_spread(sigma)


@given(ANGLE, WEIGHT, WEIGHT)
@example(2.0763471679956123, 0.6520994877327722, 0.5017759044531905)
def test_mean_of_one_axis_is_itself(angle: float, weight: float, other: float) -> None:
    length, axis = mean_axis([angle, angle], [weight, other])
    assert 1.0 - 1e-12 <= length <= 1.0
    assert 0.0 <= axis < math.pi
    assert abs(math.sin(axis - angle)) < 1e-9


# Colour


@given(LAB, LAB)
def test_difference_is_symmetric_and_never_negative(first: Triple, second: Triple) -> None:
    there, back = delta_e_2000(first, second), delta_e_2000(second, first)
    assert there >= 0.0
    assert there == pytest.approx(back, rel=1e-9, abs=1e-9)


@given(LAB, LAB)
def test_difference_is_zero_only_for_one_colour(first: Triple, second: Triple) -> None:
    assert delta_e_2000(first, first) == 0.0
    assume(math.dist(first, second) > 1.0)
    assert delta_e_2000(first, second) > 0.05


@given(LINEAR, LINEAR)
def test_difference_of_linear_colours_is_that_of_lab(first: Triple, second: Triple) -> None:
    expected = delta_e_2000(lab_of_linear(first), lab_of_linear(second))
    assert difference(first, second) == expected


@given(st.floats(0.0, 0.5), st.floats(0.001, 0.5))
def test_lighter_greys_are_lighter(grey: float, more: float) -> None:
    assert lab_of_linear((grey + more,) * 3)[0] > lab_of_linear((grey,) * 3)[0]


@given(st.integers(0, 0xFFFFFF))
def test_hex_goes_there_and_back(code: int) -> None:
    text = f"#{code:06x}"
    assert hex_of_linear(linear_of_hex(text)) == text


@given(SHARE, st.floats(0.0, 0.9))
def test_additive_function_goes_back(reflectance: float, b: float) -> None:
    assert sn_inverse(sn_f(reflectance, b), b) == pytest.approx(reflectance, abs=1e-9)


@given(LINEAR, WEIGHT, WEIGHT)
def test_blend_of_one_colour_is_itself_down_to_the_floor(
    colour: Triple, first: float, second: float
) -> None:
    expected = [max(DARKEST, channel) for channel in colour]
    assert blend([(first, colour), (second, colour)]) == pytest.approx(expected, abs=1e-9)


@given(st.lists(st.tuples(WEIGHT, LINEAR), min_size=1, max_size=5), st.floats(0.1, 10.0))
def test_blend_lies_between_its_parts(parts: list[tuple[float, Triple]], scale: float) -> None:
    mixed = blend(parts)
    for place, channel in enumerate(mixed):
        inside = [max(DARKEST, colour[place]) for _, colour in parts]
        assert min(inside) - 1e-9 <= channel <= max(inside) + 1e-9
    again = blend([(share * scale, colour) for share, colour in reversed(parts)])
    assert again == pytest.approx(mixed, abs=1e-9)


@given(st.floats(0.05, 0.95), st.floats(0.02, 0.98), st.floats(0.02, 0.98))
def test_blends_are_darker_than_the_mean(share: float, first: float, second: float) -> None:
    assume(abs(first - second) > 0.01)
    mixed = blend([(share, (first,) * 3), (1.0 - share, (second,) * 3)])
    assert mixed[0] < share * first + (1.0 - share) * second


# Migration


@given(COVER, DEPTH)
@example(4.728349612287867e-19, 0.009605917438948335)
def test_share_lies_between_bare_and_all(cover: float, depth: float) -> None:
    assert bare_random(cover) * (1.0 - 1e-9) <= under_share(cover, depth) <= 1.0


@given(COVER, DEPTH, st.floats(0.01, 5.0))
def test_more_cover_hides_more(cover: float, depth: float, more: float) -> None:
    assert under_share(cover + more, depth) < under_share(cover, depth)


@given(st.floats(0.1, 30.0), st.floats(0.0, 3.9), st.floats(0.01, 1.0))
def test_deeper_wandering_shows_more(cover: float, depth: float, more: float) -> None:
    assert under_share(cover, depth + more) >= under_share(cover, depth) * (1.0 - 1e-9)


@given(STACK, DEPTH)
@example([1.3781401567229772e-14, 2.5667956134081282e-26, 1.0], 3.689070177614117e-09)
def test_shares_sum_to_one(covers: list[float], depth: float) -> None:
    shares = layer_shares(covers, depth)
    assert len(shares) == len(covers)
    assert min(shares) >= 0.0
    assert math.fsum(shares) == pytest.approx(1.0, abs=1e-12)


@given(STACK, DEPTH)
def test_what_lies_under_a_layer_adds_up(covers: list[float], depth: float) -> None:
    shares = layer_shares(covers, depth)
    for place in range(1, len(covers)):
        below = math.fsum(shares[place:])
        expected = under_share(math.fsum(covers[:place]), depth)
        assert below == pytest.approx(expected, abs=1e-9)


@given(STACK, DEPTH)
def test_a_layer_may_be_laid_in_two(covers: list[float], depth: float) -> None:
    whole = layer_shares(covers, depth)
    split = layer_shares([covers[0] / 2.0, covers[0] / 2.0, *covers[1:]], depth)
    assert split[0] + split[1] == pytest.approx(whole[0], abs=1e-9)
    assert split[2:] == pytest.approx(whole[1:], abs=1e-9)


@given(st.lists(st.tuples(COVER, SHARE), min_size=1, max_size=6), DEPTH)
def test_anchor_lies_between_its_parts(items: list[tuple[float, float]], depth: float) -> None:
    felting = [share for _, share in items]
    assert min(felting) - 1e-12 <= anchor_share(items, depth) <= max(felting) + 1e-12


@given(STACK, DEPTH, SHARE)
def test_anchor_is_linear_in_the_felting_share(
    covers: list[float], depth: float, felting: float
) -> None:
    assert anchor_share([(c, 1.0) for c in covers], depth) == pytest.approx(1.0)
    assert anchor_share([(c, felting) for c in covers], depth) == pytest.approx(felting, abs=1e-12)


@given(st.floats(0.0, 20.0), st.floats(0.1, 6.0), st.floats(0.01, 3.0))
def test_wider_barriers_bridge_less(cover: float, depth: float, more: float) -> None:
    assert 0.0 <= bridge_share(cover + more, depth) <= bridge_share(cover, depth) <= 1.0
    assume(bridge_share(cover, depth) > 1e-300)
    assert bridge_share(cover + more, depth) < bridge_share(cover, depth)
    assert bridge_share(2.0 * cover, 2.0 * depth) == pytest.approx(bridge_share(cover, depth))


# Grades


@given(st.floats(1.0, 100.0), st.floats(0.0, 50.0))
def test_grades_follow_the_diameter(diameter: float, more: float) -> None:
    grade = grade_of_micrometres(diameter)
    low, high = micrometres_of_grade(grade)
    assert low <= diameter < high
    order = [name for name, _ in GRADES]
    assert order.index(grade_of_micrometres(diameter + more)) >= order.index(grade)
