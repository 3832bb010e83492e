"""Is it getting better: rules that hold for every input."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.parts.trend import yield_trend

counts = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 8)), min_size=2, max_size=6)


@given(counts)
def test_chances_are_chances_and_the_two_sides_cover_everything(batches):
    found = yield_trend(batches)
    if found is not None:
        assert 0 < found.better <= 1
        assert 0 < found.worse <= 1
        assert found.better + found.worse >= 1 - 1e-9
        assert found.best_possible <= max(found.better, found.worse) + 1e-9


@given(counts)
def test_batches_in_the_other_order_change_sides(batches):
    found, turned = yield_trend(batches), yield_trend(batches[::-1])
    if found is None:
        assert turned is None
    else:
        assert (turned.better, turned.worse) == pytest.approx((found.worse, found.better), abs=1e-9)


@given(counts, st.integers(0, 6))
def test_a_batch_of_which_nothing_was_counted_says_nothing(batches, place):
    longer = [*batches[:place], (0, 0), *batches[place:]]
    assert yield_trend(longer) == yield_trend(batches)


@pytest.mark.parametrize("batches", [[], [(5, 2)], [(5, 0), (7, 0)], [(0, 3), (0, 4)], [(0, 0), (3, 1)]])
def test_where_there_is_nothing_to_compare_nothing_is_said(batches):
    assert yield_trend(batches) is None


@pytest.mark.parametrize(
    ("batches", "verdict"),
    [
        ([(1, 1), (2, 1)], "too few"),
        ([(9, 1), (10, 0)], "too few"),
        ([(3, 9), (6, 4)], "no sign"),
        ([(2, 10), (9, 1)], "better"),
        ([(9, 1), (2, 10)], "worse"),
    ],
)
def test_the_verdict_is_honest_about_few_pieces(batches, verdict):
    assert yield_trend(batches).verdict == verdict


def test_a_count_below_nothing_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        yield_trend([(1, -1), (2, 2)])


def test_very_large_batches_are_answered_too():
    assert yield_trend([(9000, 400), (9100, 300), (9200, 200)]).verdict == "better"
