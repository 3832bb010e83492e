"""Words for dates must be true of the dates."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.forecast.result import FinishDates, Spread
from calcs.forecast.words import MONTHS, finish_range, finish_sentences, hours_range, period_of

TODAY = date(2026, 11, 25)
days = st.dates(date(2000, 1, 1), date(2090, 12, 31))
ahead = st.one_of(st.integers(0, 100), st.integers(0, 800), st.integers(0, 21900))


@st.composite
def finishes(draw):
    as_of = draw(days)
    steps = sorted(draw(st.lists(st.one_of(ahead, st.just(10**6)), min_size=4, max_size=4)))
    return as_of, FinishDates(*(None if step == 10**6 else as_of + timedelta(days=step) for step in steps))


@given(days, ahead)
def test_a_date_lies_in_the_period_named_for_it(as_of, days_ahead):
    day = as_of + timedelta(days=days_ahead)
    period = period_of(day, as_of)
    assert period.first <= day <= period.last
    assert str(day.year) in period.words


@given(days, ahead)
def test_no_more_is_claimed_than_is_known(as_of, days_ahead):
    day = as_of + timedelta(days=days_ahead)
    period = period_of(day, as_of)
    length = (period.last - period.first).days + 1
    if days_ahead < 70:
        assert length == 1
    elif days_ahead < 365:
        assert 28 <= length <= 31
        assert not period.words[0].isdigit()
    else:
        assert 181 <= length <= 184
        assert not any(month in period.words for month in MONTHS)


@given(finishes())
def test_the_range_runs_forwards(finish):
    as_of, dates = finish
    words = finish_range(dates, as_of)
    if words.startswith("between"):
        assert dates.p10 is not None
        assert dates.p90 is not None
        early, late = period_of(dates.p10, as_of), period_of(dates.p90, as_of)
        assert words == f"between {early.words} and {late.words}"
        assert early.first < late.first
        assert early.last <= late.last
    elif dates.p10 is not None and dates.p90 is not None:
        late = period_of(dates.p90, as_of)
        assert words == late.placed
        assert late.first <= dates.p10 <= dates.p90 <= late.last
    else:
        assert words.endswith(("or later", "sixty years away"))


@given(finishes())
def test_every_sentence_that_names_a_date_names_its_chance(finish):
    as_of, dates = finish
    for sentence in finish_sentences(dates, as_of):
        assert sentence.endswith(".")
        names_a_year = any(str(year) in sentence for year in range(2000, 2152))
        if names_a_year or "sixty" in sentence:
            assert "chance" in sentence


@given(finishes())
def test_what_is_said_to_be_later_is_later(finish):
    as_of, dates = finish
    for sentence in finish_sentences(dates, as_of):
        if "later than" in sentence:
            assert dates.p90 is not None
            assert period_of(dates.p90, as_of).last >= dates.p90
        if "before" in sentence:
            assert dates.p10 is not None
            assert as_of < period_of(dates.p10, as_of).first <= dates.p10


def test_a_build_with_nothing_left_has_no_range():
    assert finish_sentences(FinishDates(TODAY, TODAY, TODAY, TODAY), TODAY) == ("Nothing is left to do.",)


def test_months_nested_in_a_half_year_are_not_set_against_it():
    as_of = date(2026, 6, 1)
    dates = FinishDates(date(2027, 5, 31), date(2027, 6, 1), date(2027, 6, 1), date(2027, 6, 1))
    assert finish_range(dates, as_of) == "in the first half of 2027"


def test_a_finish_in_the_past_is_refused():
    with pytest.raises(ValueError, match="past"):
        period_of(TODAY - timedelta(days=1), TODAY)


@given(st.lists(st.floats(0, 1e6), min_size=4, max_size=4))
def test_hours_are_rounded_outwards(figures):
    p10, p50, p80, p90 = sorted(figures)
    words = hours_range(Spread(p50, p10, p50, p80, p90))
    numbers = [int(word.replace(",", "")) for word in words.split() if word[0].isdigit()]
    if numbers:
        assert numbers[0] <= p10 + 1e-9
        assert numbers[-1] >= p90 - 1e-9
    else:
        assert words == "no hours"
        assert p90 == 0
