"""Repeated parts: pieces, yields and reasons."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.models import Build, Part
from builds.queries.plan.piece_row import SINGLY_UP_TO, piece_row
from builds.queries.repeats.overview import RepeatedPart, repeats_page
from builds.services.log import entries as log
from calcs.parts.count import count_pieces
from calcs.parts.plan import OperationPlan, PartPlan
from tests import factories

TODAY = factories.TODAY


def rings(build: Build, **fields: Any) -> Part:
    return factories.make_part(
        build, quantity=12, spares=2, operations=[{"kind": "turning"}, {"kind": "lapping"}], **fields
    )


def lapped(part: Part, **fields: Any) -> Any:
    return factories.make_entry(part.build, part=part, operation=part.operations.get(kind="lapping"), **fields)


def yields(build: Build) -> RepeatedPart:
    return repeats_page(build, TODAY).parts[0]


def test_rings_that_passed_after_rework_count_in_the_final_yield_and_not_in_the_first_time(db: None) -> None:
    """Eight good at once, six good after rework and six scrapped of twenty: 40 % and 70 %."""
    build = factories.make_build()
    part = rings(build)
    lapped(part, good=8)
    lapped(part, good=6, reworked=6, scrap=6, scrap_reason="cracked")

    turning, lapping = yields(build).yields

    assert lapping.first_time == pytest.approx(8 / 20)
    assert lapping.after_rework == pytest.approx(14 / 20)
    assert (lapping.good, lapping.reworked, lapping.scrap) == (14, 6, 6)
    assert lapping.low is not None
    assert lapping.high is not None
    assert 0 < lapping.low < 0.7 < lapping.high < 1
    assert (turning.first_time, turning.after_rework, turning.low, turning.high) == (None, None, None, None)
    assert yields(build).counted == (lapping,)
    assert yields(build).rolled == pytest.approx(0.7)


def test_the_yield_through_the_route_is_the_product_of_the_operations(db: None) -> None:
    build = factories.make_build()
    part = rings(build)
    factories.make_entry(build, part=part, operation=part.operations.get(kind="turning"), good=16, scrap=4)
    lapped(part, good=12, scrap=4)

    assert yields(build).rolled == pytest.approx(0.8 * 0.75)


def test_a_yield_of_nothing_is_nought_and_not_unknown(db: None) -> None:
    build = factories.make_build()
    lapped(rings(build), scrap=3)

    assert yields(build).yields[1].after_rework == 0.0
    assert yields(build).rolled == 0.0
    assert yields(build).reasons == (("no reason given", 3),)


def test_reasons_are_counted_in_pieces_the_commonest_first(db: None) -> None:
    build = factories.make_build()
    first, second = rings(build), rings(build, number="15", name="Gland ring")
    lapped(first, scrap=2, scrap_reason="cracked")
    lapped(first, scrap=1, scrap_reason="measured wrong")
    lapped(second, scrap=4, scrap_reason="measured wrong")
    log.remove_entry(entry=lapped(second, scrap=99, scrap_reason="cracked"), by=None)

    page = repeats_page(build, TODAY)

    assert [(one.reason, one.pieces) for one in page.reasons] == [("measured wrong", 5), ("cracked", 2)]
    assert [len(group.marks) for one in page.reasons for group in one.row.groups] == [5, 2]
    assert page.parts[0].reasons == (("cracked", 2), ("measured wrong", 1))


def test_a_part_made_once_is_repeated_only_when_pieces_were_lost(db: None) -> None:
    build = factories.make_build()
    single = factories.make_part(build, "1", quantity=1)
    factories.make_part(build, "2", quantity=2)
    factories.make_part(build, "3", quantity=1, spares=1)
    assert [part.line.part.number for part in repeats_page(build, TODAY).parts] == ["2", "3"]

    factories.make_entry(build, part=single, scrap=1)
    assert [part.line.part.number for part in repeats_page(build, TODAY).parts] == ["1", "2", "3"]


def test_what_is_in_work_comes_before_what_is_to_begin_and_what_is_finished(db: None) -> None:
    build = factories.make_build()
    for number in "123":
        factories.make_part(build, number, quantity=2)
    factories.make_entry(build, part=build.parts.get(number="1"), good=2)
    factories.make_entry(build, part=build.parts.get(number="3"), good=1)

    assert [part.line.part.number for part in repeats_page(build, TODAY).parts] == ["3", "2", "1"]


@pytest.mark.parametrize("size", [1, 3])
def test_repeats_take_ten_queries(db: None, django_assert_num_queries: Any, size: int) -> None:
    build = factories.make_build()
    for n in range(size):
        part = rings(build, number=str(n))
        lapped(part, good=1, scrap=1)
        milestone = build.milestones.create(name=f"Milestone {n}")
        milestone.parts.set([part])
        milestone.assemblies.set([factories.make_assembly(build, f"Assembly {n}")])

    with django_assert_num_queries(10):
        assert len(repeats_page(build, TODAY).parts) == size


# ---- the row of pieces and its sentence ----


def row_of(build: Build, unit: str = "Piston ring") -> Any:
    return repeats_page(build, TODAY).parts[0].row


def test_the_pieces_of_a_part_are_told_in_one_sentence(db: None) -> None:
    build = factories.make_build()
    part = rings(build)
    factories.make_entry(build, part=part, operation=part.operations.get(kind="turning"), good=13)
    lapped(part, good=7, reworked=2, scrap=3)

    row = row_of(build)

    assert row.sentence == (
        "Piston ring, 12 needed and 2 spares: 5 good, 2 good after rework, 3 in work, 2 still to make, "
        "3 scrapped and 2 spares to make."
    )
    assert {group.state: group.count for group in row.groups} == {
        "good": 5,
        "reworked": 2,
        "work": 3,
        "make": 2,
        "scrap": 3,
    }
    assert not row.by_tens


def test_a_part_not_begun_says_what_is_to_make_and_one_spare_is_one(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build, quantity=2, spares=1)

    assert row_of(build).sentence == "Piston ring, 2 needed and 1 spare: 2 still to make and 1 spare to make."


def test_a_part_finished_by_hand_has_its_pieces_although_nobody_counted_them(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build, quantity=3, finished_on=date(2026, 2, 1))

    assert row_of(build).sentence == "Piston ring, 3 needed: 3 good."


def test_many_pieces_are_drawn_by_tens(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build, quantity=SINGLY_UP_TO)
    assert not row_of(build).by_tens
    build.parts.update(quantity=SINGLY_UP_TO + 3)

    (group,) = row_of(build).groups
    assert group.by_tens
    assert (len(group.tens), len(group.rest), len(group.marks)) == (6, 3, 0)


counts = st.integers(0, 30)


@given(
    quantity=st.integers(1, 40),
    spares=st.integers(0, 10),
    worked=st.lists(st.tuples(counts, counts, counts), max_size=3),
    blanks=counts,
    finished=st.booleans(),
)
def test_every_piece_stands_in_one_group_and_the_needed_ones_add_up(
    quantity: int, spares: int, worked: list[tuple[int, int, int]], blanks: int, finished: bool
) -> None:
    operations = tuple(
        OperationPlan(n, "turning", 0, 1, good=good, reworked=min(reworked, good), scrap=scrap)
        for n, (good, reworked, scrap) in enumerate(worked)
    )
    count = count_pieces(
        PartPlan(1, "Ring", "", quantity, spares, operations, marked_finished=finished, blanks_started=blanks)
    )

    row = piece_row(count, unit_name="Ring")

    drawn = {group.state: group.count for group in row.groups}
    assert drawn.get("scrap", 0) == sum(scrap for _, _, scrap in worked)
    assert drawn.get("good", 0) + drawn.get("reworked", 0) == (
        quantity if finished else min(quantity, count.finished_good)
    )
    assert drawn.get("spare", 0) == max(0, count.finished_good - quantity)
    assert all(number > 0 for number in drawn.values())
    for group in row.groups:
        assert len(group.marks) + 10 * len(group.tens) + len(group.rest) == group.count
    assert row.sentence.endswith(".")
