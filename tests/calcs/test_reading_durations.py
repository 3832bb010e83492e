"""Times as typed: what holds for every text, what is said back, and showing times and hours."""

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from calcs.typed.durations import format_duration, format_hours, read_duration
from tests.calcs.typed_texts import assert_whole, typed

times = st.integers(0, 12_000_000) | st.floats(min_value=1e-6, max_value=12_000_000) | st.just(0.0)


@settings(deadline=None)  # a busy machine is no failure
@given(text=typed)
@example(text="1/0 h")
@example(text="99999999 x 99999999 h")
@example(text="\u0663h")
@example(text="+" * 200)
@example(text="9" * 5000)
def test_no_text_upsets_the_reader(text):
    assert_whole(read_duration(text), text, float)


@settings(deadline=None)  # a busy machine is no failure
@given(minutes=times)
@example(minutes=0.75)
@example(minutes=100 / 3)
def test_a_shown_time_reads_back_as_the_very_same(minutes):
    reading = read_duration(format_duration(minutes))
    assert reading.status == "ok"
    assert reading.value == minutes


@settings(deadline=None)  # a busy machine is no failure
@given(hours=st.integers(0, 20_000), minutes=st.integers(0, 59))
def test_hours_and_minutes_may_be_joined_in_any_usual_way(hours, minutes):
    expected = 60 * hours + minutes
    for text in (f"{hours}h{minutes:02d}", f"{hours}:{minutes:02d}", f"{hours} h {minutes} min", f"{hours}H{minutes}M"):
        assert read_duration(text).value == expected


@settings(deadline=None)  # a busy machine is no failure
@given(hours=st.integers(0, 999), minutes=st.integers(60, 999))
def test_minutes_over_fifty_nine_behind_hours_are_refused(hours, minutes):
    for text in (f"{hours}:{minutes}", f"{hours} h {minutes} min"):
        assert read_duration(text).status == "refused"


@settings(deadline=None)  # a busy machine is no failure
@given(start=st.integers(0, 1439), minutes=st.integers(1, 960))
def test_start_and_stop_on_the_24_hour_clock_give_the_time_between(start, minutes):
    stop = (start + minutes) % 1440
    # Without a leading zero or an hour past 12 the text could mean the 12-hour clock; that is refused, not guessed.
    assume(start // 60 > 12 or stop // 60 > 12 or start < stop)
    text = f"{start // 60:02d}:{start % 60:02d}-{stop // 60:02d}:{stop % 60:02d}"
    assert read_duration(text).value == minutes


@settings(deadline=None)  # a busy machine is no failure
@given(number=st.integers(0, 10_000))
def test_a_bare_whole_number_is_hours_up_to_twelve_and_asked_about_above(number):
    reading = read_duration(str(number))
    if number <= 12:
        assert (reading.status, reading.value) == ("ok", number * 60)
    else:
        assert reading.message == f"{number} of what? Write {number} min or {number} h."


def test_whole_minutes_are_whole_numbers():
    assert isinstance(read_duration("1.5 h").value, int)
    assert isinstance(read_duration("45 s").value, float)


def test_zero_unknown_and_roughly_are_three_things():
    zero, blank, roughly = read_duration("0"), read_duration(None), read_duration("~0.5 h")
    assert (zero.status, zero.value, zero.has_value) == ("ok", 0, True)
    assert (blank.status, blank.value, blank.text) == ("unknown", None, "")
    assert (roughly.status, roughly.value) == ("rough", 30)


def test_only_a_running_total_is_a_meter_reading():
    meter = read_duration("to date 1,283")
    assert (meter.value, meter.meter, meter.status) == (1283 * 60, True, "ok")
    assert not read_duration("40 hours since November").meter


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2h30", "2h30 → 2 h 30 min"),
        ("2.5", "2.5 → 2 h 30 min (a figure without a unit is taken in hours)"),
        ("~3h", "~3h → about 3 h"),
        ("3-4 hours", "3-4 hours → 3 h to 4 h, taken as 3 h 30 min"),
        ("to date 1,283", "to date 1,283 → 1283 h (a running total to date)"),
        (
            "40 hours since May",
            "40 hours since May → 40 h (one time for several days; what follows “since” is left aside)",
        ),
        ("0", "0 → 0 min (no time at all, which is not the same as unknown)"),
        ("many hours", "This gives no figure to work with. Write a rough figure like “~3h”."),
    ],
)
def test_the_reading_is_said_back(text, said):
    assert read_duration(text).message == said


def test_refusals_of_different_kinds_have_sentences_of_their_own():
    texts = [
        "1h75",
        "-1h",
        "1d 2h",
        "overnight",
        "16 h soak, 1 h heating",
        "14:00-",
        "2:30pm",
        "90",
        "many hours",
        "all day",
    ]
    readings = [read_duration(text) for text in texts]
    assert {reading.status for reading in readings} == {"refused"}
    assert len({reading.message for reading in readings}) == len(texts)


@pytest.mark.parametrize(
    ("minutes", "shown"),
    [
        (150, "2 h 30 min"),
        (45, "45 min"),
        (0, "0 min"),
        (0.0, "0 min"),
        (120, "2 h"),
        (61.0, "1 h 1 min"),
        (0.75, "0.75 min"),
    ],
)
def test_times_are_shown_in_hours_and_minutes(minutes, shown):
    assert format_duration(minutes) == shown


@pytest.mark.parametrize(
    ("minutes", "shown"),
    [
        (0, "0 h"),
        (1, "under 0.1 h"),
        (3, "0.1 h"),
        (150, "2.5 h"),
        (9.94 * 60, "9.9 h"),
        (9.96 * 60, "10 h"),
        (639.5 * 60, "640 h"),
        (999.4 * 60, "999 h"),
        (999.6 * 60, "1,000 h"),
        (1283 * 60, "1,280 h"),
        (1285 * 60, "1,290 h"),
        (42_292, "705 h"),
    ],
)
def test_hours_are_rounded_to_what_they_deserve(minutes, shown):
    assert format_hours(minutes) == shown


@pytest.mark.parametrize("show", [format_duration, format_hours])
@pytest.mark.parametrize("minutes", [-1, float("nan"), float("inf")])
def test_a_time_that_is_none_cannot_be_shown(show, minutes):
    with pytest.raises(ValueError, match="zero or more"):
        show(minutes)


@given(st.integers(1, 99), st.integers(1, 99), st.sampled_from(["", " h", " min"]))
def test_two_figures_with_a_slash_are_a_fraction_only_where_nobody_could_mean_both(top, bottom, unit):
    reading = read_duration(f"{top}/{bottom}{unit}")
    usual = bottom in (1, 2, 3, 4, 8, 16, 32, 64)
    if not usual and 2 * top >= bottom:
        assert reading.status == "refused"
    elif reading.status == "ok":
        assert reading.value == pytest.approx(top / bottom * (1 if unit == " min" else 60))


@given(st.integers(0, 23), st.integers(0, 23), st.sampled_from(["-", " - ", " to "]))
def test_hours_with_an_h_on_both_sides_are_never_taken_for_the_other_of_two_meanings(first, last, joint):
    reading = read_duration(f"{first}h{joint}{last}h")
    clock, length = (last - first) % 24 * 60, (first + last) * 30
    if reading.status == "ok":
        assert (reading.value, first > 12) == (clock, True)
    elif reading.status == "range":
        assert (reading.value, max(first, last) <= 6) == (length, True)
