"""What an operation has learned: its lots in order, and the curve on from them."""

from datetime import date
from typing import Any

import pytest

from builds.queries.repeats.learning_curve import counts_of, learned_by
from builds.queries.snapshot import read_snapshot
from calcs.parts.learning_curve import Lot, lots_of
from tests import factories


@pytest.fixture
def stud(make_build: Any, make_part: Any) -> Any:
    route = [{"kind": "turning", "minutes_per_unit": 10.0, "setup_minutes": 20.0}]
    return make_part(make_build(), quantity=30, operations=route)


def log(part: Any, day: int, minutes: int | None, good: int = 0, scrap: int = 0, batch: Any = None) -> None:
    operation = part.operations.first()
    factories.make_entry(
        part.build, date(2026, 3, day), minutes, part=part, operation=operation, good=good, scrap=scrap, batch=batch
    )


def lots(part: Any, today: date) -> tuple[Lot, ...]:
    snapshot = read_snapshot(part.build, today)
    [line] = snapshot.by_part[part.pk].operations
    return lots_of(line.plan, counts_of(snapshot.rows, line.operation))


def test_minutes_before_a_count_belong_to_the_pieces_counted_then(stud: Any, today: date) -> None:
    log(stud, 1, 60)
    log(stud, 2, 40, good=3, scrap=1)
    log(stud, 3, 30, good=2)
    # Planned are 20 minutes to set up and 10 a piece, so that 40 of 60 go into the first four pieces themselves.
    assert lots(stud, today) == (Lot(1, 4, pytest.approx(100 * 40 / 60)), Lot(5, 6, 30))


def test_the_lots_are_those_that_the_forecast_learns_from(stud: Any, today: date) -> None:
    log(stud, 1, 60)
    log(stud, 2, 40, good=3, scrap=1)
    log(stud, 3, 30, good=2)
    plan = read_snapshot(stud.build, today).by_part[stud.pk].plan.operations[0]
    assert lots(stud, today) == lots_of(plan, plan.piece_minutes)


def test_set_ups_take_the_share_that_the_plan_gives_them(stud: Any, today: date) -> None:
    one, two = factories.make_batch(stud, number=1), factories.make_batch(stud, number=2)
    log(stud, 1, 100, good=4, batch=one)
    log(stud, 2, 50, good=4, batch=one)
    log(stud, 3, 30, good=2, batch=two)
    # The second set-up falls on one of the two later counts: half of it is taken out of each.
    assert [lot.minutes for lot in lots(stud, today)] == pytest.approx([100 * 40 / 60, 50 * 40 / 50, 30 * 20 / 30])


def test_a_time_that_is_not_known_or_none_makes_no_lot(stud: Any, today: date) -> None:
    log(stud, 1, 70, good=2)
    log(stud, 2, None)
    log(stud, 3, 40, good=3)
    log(stud, 4, 0, good=1)
    log(stud, 5, 30, good=1)
    assert [(lot.first, lot.last) for lot in lots(stud, today)] == [(1, 2), (3, 3)]


def test_below_six_pieces_there_is_too_little_to_tell(stud: Any, today: date) -> None:
    for day, pieces in ((1, 3), (2, 2)):
        log(stud, day, 40, good=pieces)
    snapshot = read_snapshot(stud.build, today)
    [learned] = learned_by(snapshot, snapshot.by_part[stud.pk])
    assert (learned.timed, learned.curve, learned.verdict) == (5, None, "too few to tell")


def test_a_falling_time_is_carried_on_to_the_pieces_left(stud: Any, today: date) -> None:
    stud.operations.update(minutes_per_unit=100.0, setup_minutes=10.0)
    for day in range(1, 13):
        log(stud, day, round(100 * day**-0.3) + (10 if day == 1 else 0), good=1)
    snapshot = read_snapshot(stud.build, today)
    [learned] = learned_by(snapshot, snapshot.by_part[stud.pk])
    curve = learned.curve
    assert 0.75 < curve.low < curve.rate < curve.high < 0.95
    assert learned.verdict == "quicker"
    assert [one.piece for one in curve.onwards] == list(range(13, 31))
    following = curve.onwards[0]
    assert following.low < following.middle < following.high
    assert 35 < following.middle < 60
    assert curve.onwards[-1].middle < following.middle


def test_an_operation_without_times_has_learned_nothing(stud: Any, today: date) -> None:
    log(stud, 1, None, good=8)
    snapshot = read_snapshot(stud.build, today)
    assert learned_by(snapshot, snapshot.by_part[stud.pk]) == ()
