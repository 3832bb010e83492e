"""The clock: on, off, over midnight, over a restart, and on the two nights a year that are not like the others."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.utils import timezone

from builds.models import Build, Builder, Clock, Entry, Operation, Part
from builds.services.log.clock import clock_off, clock_on, discard_clock, evening_of, minutes_since
from builds.services.log.entries import LogLine
from builds.services.plan import records as plan
from tests import factories

LONDON = ZoneInfo("Europe/London")


def at(day: int, hour: int, minute: int = 0, month: int = 11) -> datetime:
    """A moment on the shop's wall clock, as the server has it."""
    return datetime(2026, month, day, hour, minute, tzinfo=LONDON).astimezone(UTC)


@pytest.fixture
def part(db: None) -> Part:
    return factories.make_part(factories.make_build())


@pytest.fixture
def ada(db: None) -> Builder:
    return factories.make_builder("Ada")


def on(ada: Builder, part: Part, now: datetime, activity: str = "") -> Clock:
    """Clock on to the part's one operation, or to shop time."""
    work = {"part": None, "operation": None} if activity else {"part": part, "operation": part.operations.get()}
    return clock_on(builder=ada, build=part.build, activity=activity, now=now, **work)


def off(now: datetime, **fields: object) -> Entry:
    """Clock off as after a restart: all that is known comes from the table."""
    return clock_off(clock=Clock.objects.get(), line=LogLine(worked_on=date(2000, 1, 1), **fields), now=now)  # type: ignore[arg-type]


def test_on_and_off_logs_what_the_clock_measured(part: Part, ada: Builder) -> None:
    on(ada, part, at(24, 19))

    entry = off(at(24, 21, 15), good=2, note="second ring cut")

    assert (entry.bench_minutes, entry.bench_is, entry.worked_on) == (135, "exact", date(2026, 11, 24))
    assert (entry.builder, entry.part, entry.operation) == (ada, part, part.operations.get())
    assert (entry.good, entry.note) == (2, "second ring cut")
    assert not Clock.objects.exists()


@pytest.mark.parametrize(
    ("moment", "evening"),
    [
        (at(24, 23, 59), date(2026, 11, 24)),
        (at(25, 0, 0), date(2026, 11, 24)),
        (at(25, 3, 59), date(2026, 11, 24)),
        (at(25, 4, 0), date(2026, 11, 25)),
        (at(1, 2, 0, month=7), date(2026, 6, 30)),
        # 02:30 UTC in summer is 03:30 in the shop; 03:30 UTC is 04:30 there.
        (datetime(2026, 7, 1, 2, 30, tzinfo=UTC), date(2026, 6, 30)),
        (datetime(2026, 7, 1, 3, 30, tzinfo=UTC), date(2026, 7, 1)),
    ],
)
def test_the_small_hours_belong_to_the_evening_before(moment: datetime, evening: date) -> None:
    assert evening_of(moment) == evening


def test_work_over_midnight_is_logged_on_the_evening_it_began(part: Part, ada: Builder) -> None:
    on(ada, part, at(24, 22, 30))

    entry = off(at(25, 0, 45))

    assert (entry.worked_on, entry.bench_minutes) == (date(2026, 11, 24), 135)


def test_a_clock_put_on_after_midnight_and_off_at_breakfast_belongs_to_the_evening_before(
    part: Part, ada: Builder
) -> None:
    on(ada, part, at(25, 1))

    entry = off(at(25, 5))

    assert (entry.worked_on, entry.bench_minutes) == (date(2026, 11, 24), 240)


@pytest.mark.parametrize(
    ("start", "stop", "minutes"),
    [
        # 29 March 2026: the clocks go from 01:00 to 02:00, so this night has an hour less than it shows.
        (at(28, 23, month=3), at(29, 3, month=3), 180),
        # 25 October 2026: they go from 02:00 back to 01:00, so it has one more.
        (at(24, 23, month=10), at(25, 3, month=10), 300),
    ],
)
def test_on_the_nights_the_clocks_change_the_real_minutes_count(
    part: Part, ada: Builder, start: datetime, stop: datetime, minutes: int
) -> None:
    with time_machine.travel(start, tick=False):
        on(ada, part, timezone.now())
    with time_machine.travel(stop, tick=False):
        entry = off(timezone.now())

    assert entry.bench_minutes == minutes
    assert entry.worked_on == timezone.localtime(start).date()


def test_an_hour_that_comes_twice_is_told_apart(part: Part, ada: Builder) -> None:
    first = datetime(2026, 10, 25, 1, 30, fold=0, tzinfo=LONDON).astimezone(UTC)
    second = datetime(2026, 10, 25, 1, 30, fold=1, tzinfo=LONDON).astimezone(UTC)
    on(ada, part, first)

    assert off(second).bench_minutes == 60


def test_clocking_on_twice_to_the_same_work_keeps_the_first_moment(part: Part, ada: Builder) -> None:
    first = on(ada, part, at(24, 19))

    assert on(ada, part, at(24, 20)) == first
    assert Clock.objects.get().started_at == at(24, 19)


def test_a_part_with_one_operation_is_the_same_work_as_that_operation(part: Part, ada: Builder) -> None:
    first = on(ada, part, at(24, 19))
    again = clock_on(builder=ada, build=part.build, part=part, operation=None, activity="", now=at(24, 20))

    assert again == first
    assert again.operation == part.operations.get()


def test_other_work_is_refused_while_a_clock_runs_and_it_runs_on(part: Part, ada: Builder) -> None:
    on(ada, part, at(24, 19))

    with pytest.raises(ValidationError, match="running on 10 making of Beam engine"):
        on(ada, part, at(24, 20), activity="tidying")
    with pytest.raises(ValidationError, match="Clock off there first"):
        on(ada, factories.make_part(factories.make_build("Launch engine")), at(24, 20))

    assert Clock.objects.get().started_at == at(24, 19)


def test_two_builders_have_a_clock_each(part: Part, ada: Builder) -> None:
    on(ada, part, at(24, 19))
    on(factories.make_builder("Ben"), part, at(24, 19))

    assert Clock.objects.count() == 2


def test_what_cannot_be_logged_cannot_be_clocked(part: Part, ada: Builder) -> None:
    other = factories.make_part(factories.make_build("Launch engine"))
    neighbour = factories.make_part(part.build, number="2", name="Column")
    nothing = {"part": None, "operation": None, "activity": ""}
    cases = [
        ({"part": other}, "another build"),
        ({"part": part, "operation": neighbour.operations.get()}, "not on the route"),
        ({"part": part, "activity": "tidying"}, "choose one of the two"),
        ({}, "choose one of the two"),
        ({"activity": "sleeping"}, "not in the list"),
    ]
    for fields, sentence in cases:
        with pytest.raises(ValidationError, match=sentence):
            clock_on(builder=ada, build=part.build, now=at(24, 19), **{**nothing, **fields})  # type: ignore[arg-type]

    assert not Clock.objects.exists()


def test_pressing_off_twice_logs_once(part: Part, ada: Builder) -> None:
    clock = on(ada, part, at(24, 19))
    line = LogLine(worked_on=date(2026, 11, 24))
    revision = Build.objects.get().revision

    first = clock_off(clock=clock, line=line, now=at(24, 20))
    again = clock_off(clock=clock, line=line, now=at(24, 21))

    assert again == first
    assert Entry.objects.get().bench_minutes == 60
    assert Build.objects.get().revision == revision + 1


def test_a_new_clock_is_no_second_press_of_an_old_one_even_under_its_number(part: Part, ada: Builder) -> None:
    """Clocks of another database have had these numbers, and a build brings their entries with it."""
    old = on(ada, part, at(23, 19))
    off(at(23, 20))
    Clock.objects.create(pk=old.pk, builder=ada, build=part.build, part=part, started_at=at(24, 19))

    assert off(at(24, 21)).bench_minutes == 120
    assert Entry.objects.count() == 2


def test_a_time_given_by_the_builder_goes_before_the_clocks(part: Part, ada: Builder) -> None:
    on(ada, part, at(24, 19))
    assert off(at(24, 23), bench_minutes=90, bench_is="rough").bench_minutes == 90

    on(ada, part, at(24, 23))
    unknown = off(at(24, 23, 30), bench_is="unknown")
    assert (unknown.bench_minutes, unknown.bench_is) == (None, "unknown")


def test_a_refused_clocking_off_leaves_the_clock_running(part: Part, ada: Builder) -> None:
    on(ada, part, at(24, 19))

    with pytest.raises(ValidationError, match="cannot be more"):
        off(at(24, 20), good=1, reworked=2)

    assert Clock.objects.get().started_at == at(24, 19)
    assert not Entry.objects.exists()


def test_a_clock_thrown_away_logs_nothing(part: Part, ada: Builder) -> None:
    clock = on(ada, part, at(24, 19))
    discard_clock(clock=clock)
    discard_clock(clock=clock)

    assert not Clock.objects.exists()
    assert not Entry.objects.exists()


def test_the_operation_under_a_clock_cannot_be_removed_until_it_stops(part: Part, ada: Builder) -> None:
    plan.add_operation(operation=Operation(part=part, kind="lapping"), by=None, today=factories.TODAY)
    making = part.operations.get(kind="making")
    clock = clock_on(builder=ada, build=part.build, part=part, operation=making, activity="", now=at(24, 19))

    with pytest.raises(ValidationError, match="has to be stopped first"):
        plan.remove(record=making, by=None)
    discard_clock(clock=clock)
    plan.remove(record=making, by=None)

    assert [operation.kind for operation in part.operations.all()] == ["lapping"]


def test_a_clock_never_shows_less_than_nothing(part: Part, ada: Builder) -> None:
    clock = on(ada, part, at(24, 19))

    assert minutes_since(clock, at(24, 18)) == 0
    assert minutes_since(clock, at(24, 19)) == 0
    assert minutes_since(clock, at(27, 19)) == 3 * 24 * 60
