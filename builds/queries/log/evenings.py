"""The last evenings, as the bench shows them beside its form."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Sum

from builds.models import Build, Entry

EVENINGS_SHOWN = 2
# So many lines stand in the column beside the form without making the page longer (a judgement).
LINES_SHOWN = 9


@dataclass(frozen=True)
class PastEvening:
    """A day with work. `entries` are those shown, the newest first; `unshown` more stand in the log book."""

    on: date
    minutes: int
    entries: tuple[Entry, ...]
    unshown: int


def evenings_before(build: Build, day: date) -> tuple[PastEvening, ...]:
    """The last days with work before a day, the newest first. Two queries, one where there are none."""
    kept = Entry.objects.kept().filter(build=build, worked_on__lt=day)
    by_day = kept.order_by("-worked_on").values_list("worked_on")
    days = list(by_day.annotate(number=Count("pk"), minutes=Sum("bench_minutes"))[:EVENINGS_SHOWN])
    if not days:
        return ()
    lines = kept.filter(worked_on__gte=days[-1][0]).select_related("part", "operation")
    shown = list(lines.order_by("-worked_on", "-pk")[:LINES_SHOWN])
    evenings = []
    for on, number, minutes in days:
        entries = tuple(entry for entry in shown if entry.worked_on == on)
        evenings.append(PastEvening(on, minutes or 0, entries, number - len(entries)))
    return tuple(evenings)
