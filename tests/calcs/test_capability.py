"""What measured pieces say: what is told for few pieces, for one limit, and what is refused."""

import math

import pytest

from calcs.parts.capability import capability, drift_of

TWELVE = [12.49, 12.52, 12.50, 12.51, 12.50, 12.48, 12.51, 12.49, 12.50, 12.51, 12.49, 12.50]


def test_twelve_pieces_tell_and_five_do_not():
    assert not capability(TWELVE, 12.46, 12.54).too_few_to_tell
    assert capability(TWELVE[:5], 12.46, 12.54).too_few_to_tell


def test_a_wider_confidence_asks_for_more_pieces():
    assert capability(TWELVE, 12.46, 12.54, 0.99).too_few_to_tell


def test_a_mean_outside_of_a_limit_is_told_from_few_pieces():
    found = capability([12.61, 12.62, 12.60, 12.62], 12.45, 12.55)
    assert found.cpk_range[1] < 0
    assert not found.too_few_to_tell


def test_with_one_limit_there_is_a_cpk_and_no_cp():
    found = capability(TWELVE, None, 12.54)
    assert (found.cp, found.cp_range) == (None, None)
    assert found.cpk == pytest.approx((12.54 - found.mean) / (3 * found.spread))


def test_the_other_limit_makes_the_range_no_narrower():
    one, both = capability(TWELVE, None, 12.54), capability(TWELVE, 12.0, 12.54)
    assert both.cpk_range[0] == one.cpk_range[0]
    assert both.cpk_range[1] > one.cpk_range[1]
    assert both.outside_range[1] > one.outside_range[1]


def test_the_figures_lie_in_their_ranges():
    found = capability(TWELVE, 12.46, 12.53)
    for figure, (low, high) in (
        (found.cp, found.cp_range),
        (found.cpk, found.cpk_range),
        (found.outside, found.outside_range),
        (found.drift.slope, found.drift.slope_range),
    ):
        assert low < figure < high
    assert found.next_outside > found.outside


def test_one_piece_has_a_mean_and_nothing_else():
    found = capability([12.5], 12.45, 12.55)
    assert (found.n, found.mean, found.spread, found.cpk, found.drift) == (1, 12.5, None, None, None)
    assert found.too_few_to_tell
    assert not found.all_alike


@pytest.mark.parametrize("sizes", [[0.3, 0.1 + 0.2, 0.3], [0.6, 3 * 0.2, 0.6], [12.5] * 12])
def test_one_reading_for_all_pieces_shows_no_spread(sizes):
    found = capability(sizes, 0.1, 13)
    assert found.all_alike
    assert (found.cp, found.cpk, found.outside) == (None, None, None)
    assert found.too_few_to_tell


def test_the_order_of_the_pieces_counts_for_the_drift_alone():
    risen, mixed = capability(sorted(TWELVE), 12.46, 12.54), capability(TWELVE, 12.46, 12.54)
    assert risen.drift.is_clear
    assert not mixed.drift.is_clear
    assert risen.cpk_range == mixed.cpk_range


def test_four_pieces_in_perfect_order_are_no_clear_drift():
    assert not drift_of([1.0, 1.01, 1.02, 1.03]).is_clear
    assert drift_of([1.0, 1.01, 1.02, 1.03, 1.04]).is_clear


def test_a_falling_size_has_a_slope_below_nothing():
    assert drift_of([1.04, 1.03, 1.02, 1.01, 1.0]).slope == pytest.approx(-0.01)


@pytest.mark.parametrize("unit", [1 / 25.4, 1000.0])
def test_the_unit_does_not_matter(unit):
    found = capability(TWELVE, 12.46, 12.54)
    other = capability([size * unit for size in TWELVE], 12.46 * unit, 12.54 * unit)
    assert (other.cp, other.cpk, *other.cpk_range, *other.outside_range) == pytest.approx(
        (found.cp, found.cpk, *found.cpk_range, *found.outside_range), rel=1e-5
    )


def test_a_limit_a_million_spreads_away_is_answered():
    found = capability([1.0, 1.0000001, 1.0000002], None, 1000.0)
    assert 0 < found.cpk_range[0] < found.cpk < found.cpk_range[1] < math.inf
    assert found.outside == 0


@pytest.mark.parametrize(
    ("values", "lower", "upper", "confidence", "sentence"),
    [
        ([], 1, 2, 0.8, "At least one measured piece is needed."),
        ([1.5], None, None, 0.8, "At least one limit is needed, lower or upper."),
        ([1.5], 2, 1, 0.8, "The lower limit must lie below the upper one."),
        ([1.5], 2, 2, 0.8, "The lower limit must lie below the upper one."),
        ([1.5, math.nan], 1, 2, 0.8, "The measured size must be a plain number"),
        (["1.5"], 1, 2, 0.8, "The measured size must be a plain number"),
        ([1.5], math.inf, 2, 0.8, "The lower limit must be a plain number"),
        ([1.5], 1, math.nan, 0.8, "The upper limit must be a plain number"),
        ([1e9], 1, 2, 0.8, "The measured size must lie between"),
        ([1.5, 1.6], 1, 2, 1.0, "The confidence must lie between 0.01 and 0.9999."),
    ],
)
def test_nonsense_is_refused_with_a_sentence(values, lower, upper, confidence, sentence):
    with pytest.raises(ValueError, match=sentence):
        capability(values, lower, upper, confidence)
