"""The outlook: how many hours are left, when the build may be finished, and how that was worked out."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts import hours_by_assembly, hours_by_week, hours_over_time
from builds.charts.hours_by_assembly import assembly_hours
from builds.forms.outlook import AsOfForm, WhatIfForm
from builds.permissions import the_build
from builds.queries.open_plan import open_plan
from builds.queries.outlook import Prospect, prospect_of
from builds.queries.plan import plan_tree
from builds.queries.weeks import weeks_of
from builds.views.what_if import what_if_context
from calcs.forecast import FinishDates
from calcs.forecast_words import finish_range, finish_sentences, hours_range, period_of


@require_safe
def outlook_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    today = timezone.localdate()
    form = AsOfForm(request.GET if "as_of" in request.GET else None, initial={"as_of": today}, today=today)
    prospect = prospect_of(build, form.day())
    supposed = {
        "build": build,
        "asked_day": form.day().isoformat() if form.day() != today else "",
        **what_if_context(prospect, _what_if_form(request)),
    }
    if _asks_for(request, "what-if"):
        return render(request, "outlook/what_if.html", supposed)
    branches, weeks = plan_tree(prospect), weeks_of(prospect.ledger)
    by_assembly = hours_by_assembly(prospect, branches)
    context = supposed | {
        "here": "outlook",
        "form": form,
        "today": today,
        "prospect": prospect,
        "outlook": prospect.outlook,
        "words": headline(prospect),
        "assemblies": assembly_hours(prospect, branches),
        "milestones": tuple(milestone_lines(prospect)),
        "open": open_plan(prospect),
        "weeks": weeks,
        "over_time": hours_over_time(prospect),
        # The page shows the table it was drawn from in full, with the parts counted.
        "by_assembly": by_assembly and replace(by_assembly, rows=()),
        "by_week": hours_by_week(weeks),
    }
    return render(request, "outlook/page.html", context)


def _what_if_form(request: HttpRequest) -> WhatIfForm:
    """Bound only where something is supposed, so that a plain visit refuses nothing."""
    asked = any(name in request.GET for name in WhatIfForm.base_fields)
    return WhatIfForm(request.GET if asked else None)


def _asks_for(request: HttpRequest, target: str) -> bool:
    htmx = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and htmx.target == target


@dataclass(frozen=True)
class Headline:
    """The outlook in big words, then in whole sentences; `chance` says how sure the big words are."""

    big: str
    chance: str
    sentences: tuple[str, ...]
    hours: str


def headline(prospect: Prospect) -> Headline:
    """What can be said of the finish. A range always stands beside its chance."""
    outlook = prospect.outlook
    left, finish = outlook.hours_left, outlook.finish_on
    if left is None:
        return Headline("How much is left cannot be told yet.", "", (), "")
    hours = hours_range(left)
    if left.p90 <= 0:
        return Headline("Nothing is left to do.", "", (), "")
    if finish is None:
        return Headline(
            f"{hours[0].upper()}{hours[1:]} are left; when they are worked cannot be told yet.", "", (), hours
        )
    big = finish_range(finish, outlook.as_of)
    chance = "Eight chances in ten that the finish falls there."
    return Headline(f"Finished {big}", chance, finish_sentences(finish, outlook.as_of)[:2], hours)


@dataclass(frozen=True)
class MilestoneLine:
    """A milestone with the words for its range; `reached_on` where it lies behind."""

    name: str
    reached_on: date | None
    range: str
    even: str
    hours: str


def milestone_lines(prospect: Prospect) -> Iterator[MilestoneLine]:
    """The milestones in the builder's order, reached ones too."""
    ahead = {milestone.key: milestone for milestone in prospect.milestones}
    as_of = prospect.outlook.as_of
    for milestone in prospect.ledger.milestones:
        reached = milestone.reached_on if milestone.reached_on and milestone.reached_on <= as_of else None
        outlook = ahead.get(milestone.pk)
        if reached or outlook is None:
            yield MilestoneLine(milestone.name, reached, "", "", "")
            continue
        even = _even(outlook.finish_on, as_of)
        span = finish_range(outlook.finish_on, as_of) if outlook.finish_on else ""
        yield MilestoneLine(milestone.name, None, span, even, hours_range(outlook.hours_left))


def _even(finish: FinishDates | None, as_of: date) -> str:
    """The even chance as a period; empty where it is not known, or further off than the outlook looks."""
    if finish is None or finish.p50 is None:
        return ""
    period = period_of(finish.p50, as_of)
    return f"by {period.words}" if period.first == period.last else f"by the end of {period.words}"
