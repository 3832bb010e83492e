"""What was first planned is found again, whatever the ratio, and nothing odd in a record is taken for it."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.models import Operation
from builds.models.own_rate import KEY, bring_to_own_rate, first_planned

MINUTES = st.floats(0.01, 1e5)
RATIOS = st.floats(0.05, 30)


def operation(minutes: float | None, **fields: Any) -> Operation:
    return Operation(kind="turning", number=10, minutes_per_unit=minutes, **fields)


@given(MINUTES, RATIOS)
def test_the_first_figure_and_where_it_came_from_are_kept(minutes: float, ratio: float) -> None:
    one = operation(minutes, origin="starter table")

    bring_to_own_rate(one, ratio, "2026-11-25")

    assert one.minutes_per_unit == minutes * ratio
    first = first_planned(one)
    assert (first.minutes_per_unit, first.origin, first.ratio) == (minutes, "starter table", ratio)


@given(MINUTES, RATIOS, RATIOS)
def test_the_last_ratio_holds_and_ratios_never_pile_up(minutes: float, earlier: float, later: float) -> None:
    one = operation(minutes)

    bring_to_own_rate(one, earlier, "2026-11-24")
    bring_to_own_rate(one, later, "2026-11-25")

    assert one.minutes_per_unit == minutes * later
    assert first_planned(one).minutes_per_unit == minutes


def test_how_a_time_was_worked_out_stays_beside_it() -> None:
    one = operation(10.0, origin="worked out", worked={"inputs": {"diameter": "12 mm"}})

    bring_to_own_rate(one, 1.5, "2026-11-25")

    assert one.worked is not None
    assert one.worked["inputs"] == {"diameter": "12 mm"}


def test_without_a_figure_nothing_changes() -> None:
    one = operation(None)

    bring_to_own_rate(one, 1.5, "2026-11-25")

    assert (one.minutes_per_unit, one.origin, one.worked) == (None, "by hand", None)


@pytest.mark.parametrize(
    "noted",
    [
        None,
        "1.5",
        {},
        {"first": "10", "ratio": 1.5, "minutes": 15.0},
        {"first": -10.0, "ratio": -1.5, "minutes": 15.0},
        {"first": 10.0, "ratio": 0, "minutes": 15.0},
        {"first": True, "ratio": 1.5, "minutes": 15.0},
        {"first": 10.0, "ratio": 1.5, "minutes": 14.0},
    ],
)
def test_a_note_that_does_not_fit_is_no_note(noted: Any) -> None:
    one = operation(15.0, origin="own rate", worked={KEY: noted})

    assert first_planned(one).minutes_per_unit == 15.0
    assert first_planned(one).ratio == 1.0


def test_a_figure_no_longer_at_the_own_rate_stands_for_itself() -> None:
    one = operation(10.0)
    bring_to_own_rate(one, 1.5, "2026-11-25")
    one.origin = "by hand"

    assert first_planned(one).minutes_per_unit == 15.0
