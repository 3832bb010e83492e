"""Where every piece stands."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.parts.count import count_pieces, find_count_gaps, passed_each
from calcs.parts.plan import OperationPlan, PartPlan


def route(*counts: tuple[int, int, int]) -> tuple[OperationPlan, ...]:
    return tuple(
        OperationPlan(key, "turning", 10, 5, good=good, reworked=reworked, scrap=scrap)
        for key, (good, reworked, scrap) in enumerate(counts, start=1)
    )


@st.composite
def parts(draw):
    counts = draw(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 5)), max_size=5))
    operations = route(*((good, draw(st.integers(0, good)), scrap) for good, scrap in counts))
    return PartPlan(
        1,
        "stud",
        "cylinder",
        draw(st.integers(0, 20)),
        draw(st.integers(0, 4)),
        operations,
        marked_finished=draw(st.booleans()),
        blanks_started=draw(st.integers(0, 40)),
    )


def test_a_piece_seen_later_has_passed_the_earlier_operations():
    assert passed_each(route((2, 0, 0), (0, 0, 0), (4, 0, 1))) == (5, 5, 4)


def test_rings_of_a_real_batch_stand_where_they_should():
    # Common practice: twelve needed and two spares, twenty made, eight perfect, six after rework, six scrap.
    part = PartPlan(1, "piston ring", "cylinder", 12, 2, route((20, 0, 0), (14, 6, 6)))
    count = count_pieces(part)
    assert (count.finished_good, count.reworked, count.scrap) == (14, 6, 6)
    assert (count.had, count.spares_had, count.over) == (12, 2, 0)
    assert (count.in_work, count.to_make, count.spares_to_make) == (0, 0, 0)


def test_pieces_between_operations_are_in_work():
    count = count_pieces(PartPlan(1, "stud", "", 10, 0, route((7, 0, 1), (3, 0, 1), (2, 0, 0)), blanks_started=9))
    assert count.standing == (1, 3, 1)
    assert count.blanks_waiting == 1
    assert (count.in_work, count.had, count.to_make, count.scrap) == (4, 2, 4, 2)


def test_spares_are_wanted_only_up_to_their_number():
    count = count_pieces(PartPlan(1, "stud", "", 4, 2, route((9, 0, 0))))
    assert (count.had, count.spares_had, count.over) == (4, 2, 3)


def test_a_part_said_to_be_finished_is_taken_at_its_word():
    count = count_pieces(PartPlan(1, "stud", "", 6, 1, route((2, 0, 0)), marked_finished=True))
    assert (count.had, count.uncounted, count.to_make, count.spares_to_make) == (2, 4, 0, 0)


def test_a_gap_in_the_counts_is_pointed_out_and_not_refused():
    operations = route((6, 0, 0), (0, 0, 0), (7, 0, 1))
    [gap] = find_count_gaps(operations)
    assert (gap.place, gap.key, gap.counted, gap.could_have_reached, gap.missing) == (2, 3, 8, 6, 2)
    assert find_count_gaps(route((8, 0, 0), (7, 0, 1))) == ()


@given(parts())
def test_every_piece_is_counted_once(part):
    count = count_pieces(part)
    assert count.had + count.spares_had + count.over == count.finished_good
    assert count.in_work == sum(count.standing[1:])
    assert min(count.had, count.spares_had, count.over, count.to_make, count.spares_to_make, count.in_work) >= 0
    if part.marked_finished:
        assert (count.in_work, count.had + count.uncounted) == (0, part.quantity)
    elif part.operations:
        started = count.passed[0] + part.operations[0].scrap
        assert started == count.finished_good + count.in_work + count.scrap
    if not part.marked_finished:
        assert count.had + count.to_make <= part.quantity
        assert count.had + count.to_make + count.in_work >= part.quantity


@given(parts())
def test_fewer_pieces_never_pass_earlier_operations(part):
    passed = passed_each(part.operations)
    assert all(before >= after for before, after in pairwise(passed))


def test_impossible_counts_are_refused():
    with pytest.raises(ValueError, match="count"):
        count_pieces(PartPlan(1, "stud", "", -1, 0))
    with pytest.raises(ValueError, match="Reworked"):
        count_pieces(PartPlan(1, "stud", "", 1, 0, route((1, 2, 0))))
    with pytest.raises(ValueError, match="count"):
        count_pieces(PartPlan(1, "stud", "", 1, 0, route((1, 0, -2))))
