"""What is offered at the bench with one touch, and what is said once an entry is in."""

from datetime import date, timedelta
from typing import Any

import pytest

from builds.models import Build, Clock
from builds.queries.log.bench import after_logging, bench_of, likely_picks
from builds.queries.snapshot import PartsAtHand
from builds.services.log import entries as log
from tests import factories

TODAY = factories.TODAY
DAY = date(2026, 3, 2)


def offered(build: Build, wanted: int | None = None, most: int = 6) -> list[str]:
    """The picks as "part/operation", in their order."""
    picks = likely_picks(PartsAtHand(build, TODAY), wanted, most=most)
    return [f"{pick.line.part.number}/{pick.operation.kind if pick.operation else ''}" for pick in picks]


@pytest.fixture
def build(db: None) -> Build:
    build = factories.make_build()
    for number in "123":
        factories.make_part(build, number, quantity=4, operations=[{"kind": "sawing"}, {"kind": "turning"}])
    return build


def entry(build: Build, number: str, kind: str, **fields: Any) -> Any:
    operation = build.parts.get(number=number).operations.get(kind=kind)
    return factories.make_entry(build, operation=operation, part=operation.part, **fields)


def test_before_anything_is_logged_the_plans_order_is_offered(build: Build) -> None:
    assert offered(build) == ["1/sawing", "2/sawing", "3/sawing"]


def test_what_was_used_last_comes_first_with_what_follows_it(build: Build) -> None:
    entry(build, "3", "turning", worked_on=DAY)
    entry(build, "2", "sawing", worked_on=DAY + timedelta(days=1), good=4)

    assert offered(build) == ["2/turning", "3/turning", "3/sawing", "1/sawing"]


def test_an_operation_that_has_passed_all_its_pieces_is_not_offered(build: Build) -> None:
    entry(build, "1", "turning", good=4)

    assert offered(build) == ["2/sawing", "3/sawing"]


def test_a_removed_entry_does_not_bring_its_operation_forward(build: Build) -> None:
    log.remove_entry(entry=entry(build, "3", "sawing"), by=None)

    assert offered(build)[0] == "1/sawing"


def test_a_part_asked_for_comes_first(build: Build) -> None:
    entry(build, "1", "sawing")

    assert offered(build, wanted=build.parts.get(number="3").pk)[0] == "3/sawing"
    assert offered(build, wanted=987_654) == offered(build)


def test_no_more_is_offered_than_fits(build: Build) -> None:
    assert offered(build, most=2) == ["1/sawing", "2/sawing"]


def test_what_waits_is_not_offered_unless_it_was_just_worked_on(build: Build) -> None:
    build.parts.filter(number="1").update(waiting_for="material", waiting_since_on=DAY)
    assert offered(build) == ["2/sawing", "3/sawing"]

    entry(build, "1", "sawing")
    assert offered(build)[0] == "1/sawing"


def test_what_is_finished_by_hand_or_only_bought_is_not_offered(build: Build) -> None:
    build.parts.filter(number="1").update(finished_on=DAY)
    factories.make_part(build, "4", role="bought", operations=[])

    assert offered(build) == ["2/sawing", "3/sawing"]


def test_a_part_without_a_route_and_time_without_an_operation_are_offered_as_the_part(build: Build) -> None:
    factories.make_part(build, "4", operations=[])
    factories.make_entry(build, part=build.parts.get(number="2"))

    assert offered(build)[0] == "2/"
    assert offered(build)[-1] == "4/"


def test_a_pick_says_how_many_pieces_are_left_there(build: Build) -> None:
    entry(build, "1", "turning", good=1)
    entry(build, "1", "sawing", worked_on=DAY + timedelta(days=1), good=3)

    picks = {pick.value: pick.left for pick in likely_picks(PartsAtHand(build, TODAY))}

    sawing, turning = build.parts.get(number="1").operations.all()
    assert (picks[f"o{sawing.pk}"], picks[f"o{turning.pk}"]) == (1, 3)


@pytest.mark.parametrize(("size", "queries"), [(1, 7), (2, 7), (3, 6), (5, 6)])
def test_the_bench_takes_as_many_queries_whatever_is_there(
    db: None, django_assert_num_queries: Any, size: int, queries: int
) -> None:
    """One less where what was used lately fills the picks: then the plan is not asked for more."""
    build, ada = factories.make_build(), factories.make_builder()
    for n in range(size):
        part = factories.make_part(build, str(n), quantity=9, operations=[{}] * size)
        milestone = build.milestones.create(name=f"Milestone {n}")
        milestone.parts.set([part])
        milestone.assemblies.set([factories.make_assembly(build, f"Assembly {n}")])
        factories.make_entry(build, TODAY, part=part, operation=part.operations.first(), builder=ada)
        factories.make_builder(f"Builder {n}")

    with django_assert_num_queries(queries):
        bench = bench_of(build, ada, TODAY)
        assert [str(one.part) + str(one.operation) + str(one.builder) for one in bench.today_entries]
        assert [str(pick.line.part) for pick in bench.picks]


def test_the_bench_shows_the_evenings_own_kept_entries(build: Build) -> None:
    kept = entry(build, "1", "sawing", worked_on=TODAY)
    entry(build, "1", "sawing", worked_on=TODAY - timedelta(days=1))
    log.remove_entry(entry=entry(build, "1", "sawing", worked_on=TODAY), by=None)

    assert bench_of(build, None, TODAY).today_entries == (kept,)


def test_a_clock_is_shown_here_or_as_running_elsewhere(build: Build) -> None:
    ada, other = factories.make_builder(), factories.make_build("Launch engine")
    clock = Clock.objects.create(builder=ada, build=other, activity="tidying", started_at="2026-11-25T19:00:00Z")

    here, elsewhere = bench_of(other, ada, TODAY), bench_of(build, ada, TODAY)

    assert (here.clock, here.clock_elsewhere) == (clock, None)
    assert (elsewhere.clock, elsewhere.clock_elsewhere) == (None, clock)
    assert bench_of(build, factories.make_builder("Ben"), TODAY).clock_elsewhere is None
    assert bench_of(build, None, TODAY).clock is None


def test_after_logging_each_part_worked_on_is_told_once(build: Build, django_assert_num_queries: Any) -> None:
    entry(build, "1", "sawing", good=2)
    first, second = build.parts.get(number="1").pk, build.parts.get(number="2").pk

    at_once = after_logging(build, TODAY, [second, first, second, 987_654])
    assert [one.line.part.number for one in at_once.parts] == ["2", "1"]
    assert (at_once.pending, at_once.parts[1].forecast) == (True, None)
    told = after_logging(build, TODAY, [second, first], wait=True)
    assert not told.pending
    assert told.parts[1].forecast is not None
    assert told.parts[1].row.sentence.startswith("Piston ring, 4 needed: ")
    with django_assert_num_queries(4):
        assert after_logging(build, TODAY, [first]).parts[0].forecast == told.parts[1].forecast
        assert after_logging(build, TODAY, []).parts == ()
