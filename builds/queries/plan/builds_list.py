"""All builds, each with its headline figures."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date

from django.core.cache import cache
from django.db.models import Count, Max, Sum
from django.db.models.functions import Coalesce

from builds.models import Build, Entry
from builds.models.choices import BuildState
from builds.queries.cache_store import program_version
from builds.queries.forecast.build_forecast import kept_forecast
from builds.queries.plan.role_counts import counts_of
from builds.queries.snapshot import PartRow, read_parts_of
from builds.templatetags.figures import roughly
from calcs.forecast.result import Forecast
from calcs.forecast.words import period_of
from calcs.messages import _


@dataclass(frozen=True)
class Headline:
    """What a build's row says beside the build, as of one revision; of `parts` details, `made` are finished."""

    parts: int = 0
    made: int = 0
    minutes: int = 0
    entries: int = 0
    last_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class BuildRow(Headline):
    """A build in the list. `forecast`: the one that is kept; None where none is, or where no date is told."""

    build: Build
    forecast: Forecast | None

    @property
    def hours_left(self) -> str:
        """The even chance of bench hours left; empty where it is not known here."""
        left = self.forecast and self.forecast.hours_left
        return _("about {hours}", hours=roughly(left.p50)) if left else ""

    @property
    def even_chance(self) -> str:
        """The time by which there is an even chance that it is finished; empty where it is not known here."""
        finish = self.forecast and self.forecast.finish_on
        return period_of(finish.p50, self.forecast.as_of).words if self.forecast and finish and finish.p50 else ""


def builds_list(today: date) -> tuple[BuildRow, ...]:
    """Every build, the one worked on last first. One query, six after a change; no forecast is worked out for it."""
    builds = list(Build.objects.all())
    headlines = _headlines(builds, today)
    rows = [
        BuildRow(
            **vars(headlines[build.pk]),
            build=build,
            forecast=kept_forecast(build, today) if build.state == BuildState.ACTIVE else None,
        )
        for build in builds
    ]
    return tuple(sorted(rows, key=lambda row: (-(row.last_on or date.min).toordinal(), row.build.name)))


def _headlines(builds: list[Build], today: date) -> dict[int, Headline]:
    """By build; kept by revision and day, so that only those are summed that were changed since."""
    keys = {build.pk: f"headline:{program_version()}:{build.uid}:{build.revision}:{today}" for build in builds}
    found: dict[str, Headline] = cache.get_many(keys.values())
    kept = {pk: found[key] for pk, key in keys.items() if key in found}
    fresh = _summed([build for build in builds if build.pk not in kept], today)
    cache.set_many({keys[pk]: headline for pk, headline in fresh.items()})
    return kept | fresh


def _summed(builds: list[Build], today: date) -> dict[int, Headline]:
    if not builds:
        return {}
    headlines = _of_parts(builds, today)
    counted = {build.pk: build.counted for build in builds}
    sums = (
        Entry.objects.kept()
        .filter(build__in=counted)
        .order_by()
        .values_list("build_id", "activity")
        .annotate(minutes=Coalesce(Sum("bench_minutes"), 0), n=Count("pk"), last=Max("worked_on"))
    )
    for pk, activity, minutes, entries, last_on in sums:
        before = headlines[pk]
        headlines[pk] = replace(
            before,
            minutes=before.minutes + (minutes if not activity or activity in counted[pk] else 0),
            entries=before.entries + entries,
            last_on=max(before.last_on or last_on, last_on),
        )
    return headlines


def _of_parts(builds: list[Build], today: date) -> dict[int, Headline]:
    """How many details each build has, and how many of them are made."""
    of_build: dict[int, list[PartRow]] = defaultdict(list)
    for row in read_parts_of(builds, today):
        of_build[row.part.build_id].append(row)
    details = {build.pk: counts_of(of_build[build.pk]).details for build in builds}
    return {pk: Headline(parts=count.of, made=count.made) for pk, count in details.items()}
