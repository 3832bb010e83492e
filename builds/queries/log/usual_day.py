"""How long a builder works on a usual day, where a text says "2 days" and not how long."""

from collections.abc import Sequence
from statistics import median

from django.db.models import Sum

from builds.models import Builder, Entry

# Days with work that are looked at.
DAYS_LOOKED_AT = 60


def middle_day(hours: Sequence[float]) -> float | None:
    """Hours of the middle one of the last days with work, the newest last, to the half hour; None for no days."""
    lately = hours[-DAYS_LOOKED_AT:]
    return max(0.5, round(median(lately) * 2) / 2) if lately else None


def usual_day(builder: Builder) -> int | None:
    """Minutes of a builder's usual day in whichever builds; None where the log tells of none. One query.

    Lumps over days tell nothing of it.
    """
    worked = Entry.objects.kept().filter(builder=builder, since_on__isnull=True, bench_minutes__gt=0)
    days = worked.order_by("-worked_on").values("worked_on").annotate(minutes=Sum("bench_minutes"))[:DAYS_LOOKED_AT]
    usual = middle_day([day["minutes"] / 60 for day in days])
    return None if usual is None else round(60 * usual)
