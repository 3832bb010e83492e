"""What can be begun, and how much of it fits into the time at hand."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.forecast.evening import CHANCES, FITS, OperationTimes, PiecesTime, fit_into
from calcs.forecast.evening_times import evening_times, pieces_asked
from calcs.parts.at_hand import AtHand, Standing, pieces_at_hand
from calcs.parts.count import count_pieces
from calcs.parts.plan import OperationPlan, PartPlan

SEED = 7


def turning(**facts: object) -> OperationPlan:
    return replace(OperationPlan(1, "turning", 20, 10), **facts)  # type: ignore[arg-type]


def logged_shop() -> list[PartPlan]:
    """Twenty finished parts that took just what was planned, so that rates are well known."""
    route = turning(good=8, bench_minutes_counted=100.0, setups_done=1)
    return [
        PartPlan(key, "pin", "", 8, 0, (replace(route, key=key),), marked_finished=True, number=f"p{key}")
        for key in range(100, 120)
    ]


def times_of(operation: OperationPlan, pieces: int = 6, *, may_stand: bool = False) -> OperationTimes:
    part = PartPlan(1, "stud", "", operation.counted + pieces, 0, (operation,), number="1")
    asked = [AtHand(part, 0, pieces, may_stand=may_stand)]
    return evening_times([*logged_shop(), part], asked, SEED, draws=1000)[0]


def median(times: tuple[PiecesTime, ...], pieces: int) -> float:
    return next(one for one in times if one.pieces == pieces).point(0.5)


COUNTS = st.integers(0, 9)
OPERATIONS = st.builds(
    OperationPlan, st.integers(1, 9), st.just("turning"), st.just(10.0), st.just(5.0), good=COUNTS, scrap=COUNTS
)


@st.composite
def parts(draw: st.DrawFn) -> PartPlan:
    return PartPlan(
        1,
        "stud",
        "",
        draw(st.integers(1, 9)),
        draw(COUNTS),
        tuple(draw(st.lists(OPERATIONS, min_size=1, max_size=4))),
        marked_finished=draw(st.booleans()) and draw(st.booleans()),
        blanks_started=draw(COUNTS),
    )


@given(parts())
@settings(max_examples=300)
def test_no_piece_is_at_hand_that_did_not_pass_the_operation_before(part: PartPlan) -> None:
    count = count_pieces(part)
    for place, pieces in enumerate(pieces_at_hand(part, count)):
        assert pieces <= part.quantity_with_spares
        assert not (part.marked_finished and pieces)
        if place:
            here = part.operations[place]
            assert pieces <= max(0, count.passed[place - 1] - count.passed[place] - here.scrap)


@given(parts())
@settings(max_examples=300)
def test_whatever_is_open_has_an_operation_that_can_be_begun(part: PartPlan) -> None:
    left = part.quantity_with_spares - part.operations[-1].good
    if left > 0 and not part.marked_finished:
        assert any(pieces_at_hand(part, count_pieces(part)))


@given(st.builds(Standing, COUNTS, COUNTS, st.sampled_from([None, True, False]), *[st.booleans()] * 4))
def test_nothing_that_holds_is_passed_over(standing: Standing) -> None:
    free = not (standing.bought or standing.waiting or standing.needs_open or standing.machine_out_of_order)
    there = standing.pieces > 0 and (standing.material is not False or standing.started > 0)
    assert (standing.hold is None) == (free and there)


def test_a_making_whose_place_others_took_is_not_begun() -> None:
    making = OperationPlan(1, "making", 0, 0, rough=True, bench_minutes_open=90)
    part = PartPlan(1, "stud", "", 4, 0, (making, turning(key=2)))
    assert pieces_at_hand(part, count_pieces(part)) == (0, 4)


def test_a_set_up_that_stands_is_not_made_again() -> None:
    times = times_of(turning(), may_stand=True)
    assert median(times.set_up, 6) == pytest.approx(80, rel=0.15)
    assert median(times.standing, 6) == pytest.approx(60, rel=0.15)


def test_where_nothing_can_stand_nothing_is_said_of_it() -> None:
    assert times_of(turning()).standing == ()


def test_more_pieces_take_longer_at_every_chance() -> None:
    times = times_of(turning(), pieces=40).set_up
    assert [one.pieces for one in times] == pieces_asked(40)
    for few, more in pairwise(times):
        assert all(low < high for low, high in zip(few.points, more.points, strict=True))


def test_minutes_spent_on_pieces_in_hand_are_taken_off() -> None:
    fresh, begun = times_of(turning(), may_stand=True), times_of(turning(bench_minutes_open=50.0), may_stand=True)
    assert median(begun.standing, 6) == pytest.approx(median(fresh.set_up, 6) - 50, abs=12)


def test_an_operation_that_nobody_gave_a_figure_borrows_one_from_its_kind() -> None:
    assert median(times_of(turning(minutes_per_piece=None)).set_up, 1) > 5


def test_where_nothing_was_planned_at_all_nothing_is_known() -> None:
    part = PartPlan(1, "stud", "", 4, 0, (OperationPlan(1, "turning", 0, None),), number="1")
    assert evening_times([part], [AtHand(part, 0, 4)], SEED, draws=200) == (OperationTimes(1, ()),)
    assert fit_into((), 90) is None


def even(pieces: int) -> PiecesTime:
    return PiecesTime(pieces, tuple(pieces * 100 * chance for chance in CHANCES))


@given(st.floats(0.1, 2000), st.integers(1, 12))
def test_as_many_pieces_are_named_as_fit_with_four_chances_in_five(minutes: float, most: int) -> None:
    times = [even(n) for n in range(1, most + 1)]
    fit = fit_into(times, minutes)
    assert fit is not None
    chances = {one.pieces: one.chance_within(minutes) for one in times}
    assert fit.chance == chances[fit.pieces]
    if fit.fits:
        assert all(chances[more] < FITS for more in range(fit.pieces + 1, most + 1))
    else:
        assert fit.pieces == 1


@pytest.mark.parametrize("chance", CHANCES[:-1])
def test_the_chance_of_a_point_is_the_one_that_it_is_kept_for(chance: float) -> None:
    assert even(3).chance_within(even(3).point(chance)) == pytest.approx(chance)
