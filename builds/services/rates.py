"""The shop's own rates, taken over into the rest of the plan as one step that can be undone."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError

from builds.models import Build, Builder, Entry, Event, Operation
from builds.models.choices import EventType
from builds.models.own_rate import bring_to_own_rate, first_planned
from builds.services.changes import Stale, change, write
from calcs.messages import _


@dataclass(frozen=True)
class NewRate:
    """An operation and the ratio, own ÷ first planned, that its minutes for one are brought to."""

    operation: Operation
    ratio: float


def apply_rates(
    *, build: Build, rates: Sequence[NewRate], by: Builder | None, today: date, seen: int | None = None
) -> Event:
    """Bring the minutes for one of operations not begun to first planned × ratio, all of them or none.

    Each keeps what it was first planned at, so that the forecast does not take the ratio twice; done again it starts
    from there, too. Set-ups stay as planned. seen: the build's revision that the preview showed; a later one raises
    Stale. Raises ValidationError where there is nothing to change, or one of them cannot be.
    """
    if not rates:
        raise ValidationError(_("No operation is left whose time your own rates would change."))
    for rate in rates:
        _refuse(rate, build)
    begun = Entry.objects.kept().filter(operation__in=[rate.operation for rate in rates]).select_related("operation")
    one = begun.first()
    if one is not None:
        message = _("{operation} has been begun, so its planned time stays as it is.", operation=one.operation)
        raise ValidationError(message)
    with change(build=build, by=by, type=EventType.APPLY_RATES, details={"operations": len(rates)}) as event:
        # Asked inside, where nobody else can change the build any more.
        if seen is not None and build.revision != seen + 1:
            raise Stale
        for rate in rates:
            bring_to_own_rate(rate.operation, rate.ratio, today.isoformat())
            write(rate.operation, exclude={"part", "machine"})
    return event


def _refuse(rate: NewRate, build: Build) -> None:
    operation = rate.operation
    if operation.part.build_id != build.pk:
        raise ValidationError(_("{operation} belongs to another build.", operation=operation))
    if first_planned(operation).minutes_per_unit is None:
        raise ValidationError(_("{operation} has no planned time that a rate could change.", operation=operation))
    if not (math.isfinite(rate.ratio) and rate.ratio > 0):
        raise ValidationError(_("A ratio is a number above nothing."))
