"""A builder clocks on to an operation and off again. The clock is a row, so it survives all that a browser does not."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.utils import timezone

from builds.models import Build, Builder, Clock, Entry, Operation, Part
from builds.models.choices import TimeIs
from builds.services.disk import stored
from builds.services.log.entries import LogLine, check_entry, entry_for, record_entry
from calcs.messages import _

# Up to here in the small hours, an evening's work still belongs to the day before.
NIGHT_ENDS = time(4, 0)


def evening_of(moment: datetime) -> date:
    """The day that work at this moment belongs to, in the shop's own time zone."""
    local = timezone.localtime(moment)
    return local.date() - timedelta(days=1) if local.time() < NIGHT_ENDS else local.date()


def minutes_since(clock: Clock, now: datetime) -> int:
    """Whole minutes that a clock has run, never less than none."""
    return max(0, round((now - clock.started_at).total_seconds() / 60))


def clock_on(
    *,
    builder: Builder,
    build: Build,
    part: Part | None,
    operation: Operation | None,
    activity: str,
    now: datetime,
    typed: dict[str, Any] | None = None,
) -> Clock:
    """Start the builder's clock. Clocking on twice to the same work keeps the first moment, and what was typed then.

    typed: what stands in the forms already, by their fields' names; the clock keeps it until it is logged.
    """
    with stored():
        # Two presses at once queue here, so that the second finds the clock of the first.
        Builder.objects.select_for_update().get(pk=builder.pk)
        return _running_or_new(builder, build, part, operation, activity, now, typed or {})


def began_at(clock_time: time, now: datetime) -> datetime:
    """The last moment up to now at which the shop's clock on the wall showed that time."""
    moment = timezone.localtime(now).replace(hour=clock_time.hour, minute=clock_time.minute, second=0, microsecond=0)
    return moment if moment <= now else moment - timedelta(days=1)


def keep_on_clock(*, clock: Clock, typed: dict[str, Any], started_at: datetime | None = None) -> None:
    """Keep what was typed beside a running clock, and move its start where another is given.

    The lines of the evening that were typed before it ran stay.
    """
    lines = {"lines": clock.typed["lines"]} if "lines" in clock.typed else {}
    clock.typed = {**typed, **lines}
    clock.started_at = started_at or clock.started_at
    with stored():
        clock.save(update_fields=["typed", "started_at"])


def forget_lines(*, builder: Builder) -> None:
    """The other lines that a running clock kept are logged now."""
    for clock in Clock.objects.filter(builder=builder, typed__has_key="lines"):
        clock.typed.pop("lines")
        with stored():
            clock.save(update_fields=["typed"])


def _running_or_new(
    builder: Builder,
    build: Build,
    part: Part | None,
    operation: Operation | None,
    activity: str,
    now: datetime,
    typed: dict[str, Any],
) -> Clock:
    running = Clock.objects.filter(builder=builder).select_related("operation", "part", "build").first()
    wanted = entry_for(build, LogLine(worked_on=evening_of(now), part=part, operation=operation, activity=activity))
    work = {"build": build, "part": wanted.part, "operation": wanted.operation, "activity": activity}
    if running is not None:
        if all(getattr(running, name) == value for name, value in work.items()):
            return running
        raise ValidationError(
            _(
                "Your clock is running on {work} of {build}. Clock off there first.",
                work=running.operation or running.part or running.get_activity_display(),
                build=running.build,
            )
        )
    check_entry(wanted, wanted.worked_on)
    clock = Clock(builder=builder, started_at=now, typed=typed, **work)
    clock.full_clean()
    clock.save()
    return clock


def clock_line(clock: Clock, line: LogLine, now: datetime) -> LogLine:
    """What a clock logs: its work, its builder, the evening it was started on, and its time where none is given."""
    timed = replace(
        line,
        worked_on=evening_of(clock.started_at),
        builder=clock.builder,
        part=clock.part,
        operation=clock.operation,
        activity=clock.activity,
    )
    if timed.bench_minutes is None and timed.bench_is != TimeIs.UNKNOWN:
        timed = replace(timed, bench_minutes=minutes_since(clock, now), bench_is=TimeIs.EXACT)
    # Two presses at once log once. The moment is in it, since clocks of another database may have had this number.
    return replace(timed, token=f"clock-{clock.pk}-{clock.started_at.timestamp():.6f}")


def clock_off(*, clock: Clock, line: LogLine, now: datetime) -> Entry:
    """Stop the clock and log what it measured, in one go.

    line: counts and note from the form, and a bench time where the builder gave another than the clock's.
    """
    timed = clock_line(clock, line, now)
    with stored():
        entry = record_entry(build=clock.build, line=timed, by=clock.builder, today=evening_of(now))
        Clock.objects.filter(pk=clock.pk).delete()
    return entry


def discard_clock(*, clock: Clock) -> None:
    """Throw a clock away without logging anything."""
    with stored():
        Clock.objects.filter(pk=clock.pk).delete()


def put_back(clock: Clock) -> None:
    """Let a clock run on that was thrown away. Raises ValidationError where another runs, or its work is gone."""
    with stored():
        clock.full_clean()
        clock.save()
