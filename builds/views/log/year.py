"""A year in the shop, on the screen and on paper."""

from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts.log import hours_of_year
from builds.charts.repeats.scrap_reasons import scrap_reasons
from builds.models import Build
from builds.permissions import the_build
from builds.queries.forecast.replay import replay_at_hand
from builds.queries.log.year import entries_of_longest, latest_year, read_shop_year, read_year
from builds.views.forecast.replay import charts_of, waiting_for_months
from builds.views.kept import shown_build
from calcs.messages import _


@require_safe
def latest_year_page(_request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    return redirect("builds:year", slug, latest_year(build, timezone.localdate()))


@require_safe
def year_page(request: HttpRequest, slug: str, year: int) -> HttpResponse:
    """What the log tells is kept by the build's revision; how the forecast moved comes out of the background."""
    shown, today = shown_build(slug), timezone.localdate()
    main = shown.part(request, "log/year.html#main", lambda: _context(shown.build, year, today), str(year))
    context = {"build": shown.build, "here": "log", "year": year, "main": main}
    template = "log/year.html#moved" if request.htmx else "log/year.html"  # type: ignore[attr-defined]
    return render(request, template, {**context, **_moved(request, shown.build, year, today)})


@require_safe
def latest_shop_year_page(_request: HttpRequest) -> HttpResponse:
    return redirect("builds:shop_year", timezone.localdate().year)


@require_safe
def shop_year_page(request: HttpRequest, year: int) -> HttpResponse:
    """All builds together."""
    found = read_shop_year(year, timezone.localdate())
    if found is None:
        raise Http404(_("There is no build of that year."))
    by_month = hours_of_year(found.months, found.months_before)
    return render(request, "shop/year.html", {"shop": found, "by_month": by_month, "here": "builds"})


def _context(build: Build, year: int, today: date) -> dict[str, object]:
    found = read_year(build, year, today)
    if found is None:
        raise Http404(_("That is no year of this build."))
    return {
        "shop": found,
        "by_month": hours_of_year(found.hours.months, found.before.months if found.before else ()),
        "by_reason": scrap_reasons(found.reasons),
        "longest": entries_of_longest(found),
    }


def _moved(request: HttpRequest, build: Build, year: int, today: date) -> dict[str, Any]:
    """How the forecast moved from the last day of the year before on."""
    replay = replay_at_hand(build, today)
    if replay is None:
        return waiting_for_months(request, build, today)
    eve = date.fromordinal(max(1, date(year, 1, 1).toordinal() - 1))
    return {"replay": replay, "charts": charts_of(replay.between(eve, date(year, 12, 31)))}
