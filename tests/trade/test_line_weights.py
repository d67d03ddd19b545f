import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.trade.line_weights import (
    rate_single_hand,
    rate_two_handed,
    single_hand_size,
    single_hand_sizes,
    two_handed_class,
    two_handed_classes,
)


@pytest.mark.parametrize("mass", [None, math.nan, math.inf, 0.0, -1.0, 53.9 * GRAIN, 565.1 * GRAIN])
def test_out_of_the_single_hand_table(mass):
    assert rate_single_hand(mass) is None


@given(st.floats(54.0, 565.0))
def test_the_single_hand_rating_is_the_nearest_target_and_tells_limits_from_gaps(grains):
    mass = grains * GRAIN
    rating = rate_single_hand(mass)
    best = min(abs(size.target - mass) for size in single_hand_sizes())
    assert abs(rating.nearest.target - mass) == pytest.approx(best, abs=1e-15)
    holders = [size for size in single_hand_sizes() if size.low <= mass <= size.high]
    if holders:
        assert rating.between is None
        assert rating.nearest is holders[0]
    elif rating.between is not None:
        lighter, heavier = (single_hand_size(number) for number in rating.between)
        assert lighter.high < mass < heavier.low
        assert rating.nearest.number in rating.between


def test_a_tie_goes_to_the_lighter_line():
    assert rate_single_hand(260.0 * GRAIN).nearest.number == 9
    assert rate_two_handed(40 * FOOT, lambda _: 275.0 * GRAIN).size == 6


def test_words():
    assert str(rate_single_hand(140 * GRAIN).words) == "within the limits of line 5"
    assert str(rate_single_hand(149 * GRAIN).words) == "between lines 5 and 6"


def test_an_unknown_size_is_refused_with_what_was_found():
    with pytest.raises(ValueError, match="1 to 15, not 16"):
        single_hand_size(16)


@pytest.mark.parametrize(
    ("feet", "letter"),
    [
        (29.99, None),
        (30.0, "H"),
        (50.0, "H"),
        (50.01, "S"),
        (60.0, "S"),
        (70.0, "M"),
        (70.01, "L"),
        (120.0, "L"),
    ],
)
def test_edges_belong_to_the_class_of_the_shorter_heads(feet, letter):
    column = two_handed_class(feet * FOOT)
    assert (column.letter if column else None) == letter


def test_an_edge_made_of_segments_that_do_not_quite_add_up():
    assert two_handed_class(sum([5.0 * FOOT / 7.0] * 42)).letter == "H"
    assert two_handed_class(sum([FOOT / 3.0] * 150)).letter == "H"


def test_a_line_that_ends_before_the_weigh_point_is_weighed_whole():
    asked = []

    def running_mass(length):
        asked.append(length)
        return 360 * GRAIN

    rating = rate_two_handed(33 * FOOT, running_mass, line_length=35 * FOOT)
    assert asked == [35 * FOOT]
    assert rating.weighed_over == 35 * FOOT


def test_the_weigh_point_is_asked_for_when_the_line_goes_on():
    rating = rate_two_handed(33 * FOOT, lambda length: length * 0.03 / FOOT * 0.02, 100 * FOOT)
    assert rating is None or rating.weighed_over == 40 * FOOT
    assert rate_two_handed(33 * FOOT, lambda _: 360 * GRAIN, 100 * FOOT).weighed_over == 40 * FOOT


@pytest.mark.parametrize(
    ("grains", "size"), [(224.9, None), (225.1, 6), (274, 6), (276, 7), (749.9, 12), (750.1, None)]
)
def test_out_of_the_two_handed_table_beyond_half_a_step(grains, size):
    rating = rate_two_handed(40 * FOOT, lambda _: grains * GRAIN)
    assert (rating.size if rating else None) == size


def test_the_two_tables_are_read_once():
    assert single_hand_sizes() is single_hand_sizes()
    assert two_handed_classes() is two_handed_classes()


@pytest.mark.parametrize("number", [1, 6, 15])
def test_a_weight_at_a_limit_but_for_rounding_is_within_it(number):
    size = single_hand_size(number)
    for limit, outward in ((size.low, -1.0), (size.high, 1.0)):
        assert rate_single_hand(limit * (1.0 + outward * 5e-10)) is not None
        assert rate_single_hand(limit * (1.0 + outward * 5e-10)).between is None
        beyond = rate_single_hand(limit * (1.0 + outward * 5e-9))
        # Where the next size begins at this very limit it is that one that holds the weight.
        assert beyond is None or beyond.between or beyond.nearest is not size


def test_the_two_handed_table_ends_half_a_step_beyond_its_sizes_but_for_rounding():
    for grains, outward, size in ((225.0, -1.0, 6), (750.0, 1.0, 12)):
        near, beyond = (
            rate_two_handed(40 * FOOT, lambda _, g=grains * (1.0 + outward * off): g * GRAIN)
            for off in (5e-10, 1e-7)
        )
        assert near.size == size
        assert beyond is None
