"""One batch on its way, and a part's yield over its batches."""

from datetime import date
from typing import Any

import pytest

from builds.queries.repeats.batches import BatchRow, batches_of
from builds.queries.repeats.part_yield import ranked_reasons, yield_page
from builds.queries.snapshot import read_snapshot
from tests import factories

ROUTE = [{"kind": kind, "minutes_per_unit": 10.0} for kind in ("turning", "lapping")]


@pytest.fixture
def ring(make_build: Any, make_part: Any) -> Any:
    return make_part(make_build(), quantity=6, spares=2, operations=ROUTE)


def count(part: Any, batch: Any, number: int, **counts: Any) -> None:
    factories.make_entry(part.build, part=part, operation=part.operations.get(number=number), batch=batch, **counts)


def the_batch(part: Any, today: date) -> BatchRow:
    """The part's only batch."""
    snapshot = read_snapshot(part.build, today)
    [row] = batches_of(snapshot, snapshot.by_part[part.pk])
    return row


def test_each_batch_counts_its_own_pieces(ring: Any, today: date) -> None:
    one, two = (factories.make_batch(ring, blanks=10, number=n) for n in (1, 2))
    count(ring, one, 10, good=8, scrap=2)
    count(ring, two, 10, good=5)
    count(ring, two, 20, good=3, reworked=1, scrap=1)
    count(ring, None, 10, good=4, scrap=1)
    first, second = batches_of(read_snapshot(ring.build, today), read_snapshot(ring.build, today).by_part[ring.pk])
    assert [step.waiting for step in first.steps] == [0, 8]
    assert (first.good, first.scrap, first.settled, first.on_the_way) == (0, 2, 2, 8)
    assert [step.waiting for step in second.steps] == [5, 1]
    assert (second.good, second.scrap, second.elsewhere.good, second.elsewhere.scrap) == (3, 1, 4, 1)


def test_a_batch_is_drawn_piece_by_piece(ring: Any, today: date) -> None:
    batch = factories.make_batch(ring, blanks=10)
    count(ring, batch, 10, good=6, scrap=1)
    count(ring, batch, 20, good=3, reworked=1)
    row = the_batch(ring, today).row
    assert {group.state: group.count for group in row.groups} == {
        "good": 2, "reworked": 1, "work": 3, "make": 3, "scrap": 1,
    }  # fmt: skip
    assert row.sentence.startswith("Batch 1, 10 blanks: 2 good, 1 good after rework, 3 in work, 3 not begun")


def test_more_counted_than_started_is_told(ring: Any, today: date) -> None:
    batch = factories.make_batch(ring, blanks=4)
    count(ring, batch, 10, good=6)
    [told] = the_batch(ring, today).remarks
    assert "2 more than" in told


def test_a_batch_asks_the_same_however_much_is_logged(
    ring: Any, today: date, django_assert_max_num_queries: Any
) -> None:
    batch = factories.make_batch(ring, blanks=9)
    asked = []
    for _ in range(3):
        count(ring, batch, 10, good=1)
        with django_assert_max_num_queries(9) as captured:
            the_batch(ring, today)
        asked.append(len(captured.captured_queries))
    assert len(set(asked)) == 1


def test_the_yield_page_tells_both_intervals_and_the_rolled_yield(ring: Any, today: date) -> None:
    batch = factories.make_batch(ring, blanks=20)
    count(ring, batch, 10, good=20)
    count(ring, batch, 20, good=14, reworked=6, scrap=6, scrap_reason="broke at the gap")
    page = yield_page(ring, today)
    turned, lapped = page.operations
    # Common practice: twenty made, eight perfect, six usable after rework, six scrap.
    assert (lapped.first_time, lapped.after_rework) == (pytest.approx(0.4), pytest.approx(0.7))
    assert lapped.exact[0] < lapped.wilson[0] < 0.7 < lapped.wilson[1] < lapped.exact[1]
    assert turned.exact[1] == 1.0
    assert page.repeated.rolled == pytest.approx(0.7)
    assert [(reason.name, reason.pieces, reason.share) for reason in page.reasons] == [("broke at the gap", 6, 1.0)]


def test_an_operation_where_nothing_was_counted_has_no_yield(ring: Any, today: date) -> None:
    page = yield_page(ring, today)
    assert all(one.first_time is one.exact is one.wilson is None for one in page.operations)
    assert page.counted == ()
    assert page.verdict.startswith("Too few to tell")


@pytest.mark.parametrize(
    ("batches", "verdict"),
    [
        ([(2, 10), (9, 1)], "It is getting better"),
        ([(9, 1), (2, 10)], "It is getting worse"),
        ([(3, 9), (6, 4)], "Too few to tell one way or the other"),
        ([(1, 1), (2, 1)], "Too few losses to show a trend."),
        ([(5, 0), (6, 0)], "Nothing to tell: no batch lost a piece."),
        ([(0, 5), (0, 6)], "Nothing to tell: no batch has a good piece yet."),
        ([(5, 2)], "Too few to tell: it takes two batches"),
    ],
)
def test_whether_it_gets_better_is_told_honestly(
    ring: Any, today: date, batches: list[tuple[int, int]], verdict: str
) -> None:
    for number, (good, scrap) in enumerate(batches, start=1):
        batch = factories.make_batch(ring, 12, number, started_on=date(2026, 1, number))
        count(ring, batch, 20, good=good, scrap=scrap)
    assert yield_page(ring, today).verdict.startswith(verdict)


def test_batches_stand_in_the_order_they_were_started(ring: Any, today: date) -> None:
    for number, month in ((1, 5), (2, 3), (3, 4)):
        count(ring, factories.make_batch(ring, 12, number, started_on=date(2026, month, 1)), 20, good=1)
    assert [one.line.batch.number for one in yield_page(ring, today).settled] == [2, 3, 1]


def test_reasons_are_ranked_and_those_without_a_reason_come_last() -> None:
    ranked = ranked_reasons({"no reason given": 9, "lost": 1, "warped": 4, "measured wrong": 4})
    assert [reason.name for reason in ranked] == ["measured wrong", "warped", "lost", "no reason given"]
    assert [round(reason.within, 2) for reason in ranked] == [0.22, 0.44, 0.5, 1.0]


def test_the_next_piece_takes_the_shops_own_rate(make_build: Any, make_part: Any, today: date) -> None:
    build = make_build()
    for number in range(8):
        done = make_part(build, str(number), operations=[{"kind": "turning", "minutes_per_unit": 30.0}])
        factories.make_entry(build, minutes=60, part=done, operation=done.operations.get(), good=1)
    route = [
        {"kind": "turning", "minutes_per_unit": 20.0, "setup_minutes": 15.0},
        {"kind": "lapping", "minutes_per_unit": 10.0, "unattended_share": 0.5},
        {"kind": "drilling"},
    ]
    piece = yield_page(make_part(build, "99", operations=route, quantity=4), today).next_piece
    turned, lapped, drilled = piece.operations
    assert 1.6 < turned.rate.ratio < 2.2
    assert turned.rate.of == "turning"
    assert lapped.rate.of == "all work"
    assert piece.planned == 25
    assert turned.expected == pytest.approx(20 * turned.rate.ratio)
    assert (drilled.planned, drilled.expected, piece.unknown) == (None, None, (drilled,))
    assert piece.setup == pytest.approx(15 * turned.rate.ratio)


def test_without_a_log_the_planned_time_stands(ring: Any, today: date) -> None:
    piece = yield_page(ring, today).next_piece
    assert not piece.compared
    assert piece.expected == piece.planned == 20


def test_the_yield_page_asks_the_same_for_one_batch_and_for_three(
    ring: Any, today: date, django_assert_max_num_queries: Any
) -> None:
    from builds.models import Part

    asked = []
    for number in (1, 2, 3):
        count(ring, factories.make_batch(ring, 12, number), 20, good=number, scrap=1)
        part = Part.objects.select_related("build").get(pk=ring.pk)
        with django_assert_max_num_queries(9) as captured:
            yield_page(part, today)
        asked.append(len(captured.captured_queries))
    assert len(set(asked)) == 1
