"""The forecast: how many hours are left, when the build may be finished, and how that was worked out."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import capfirst
from django.views.decorators.http import require_safe

from builds.charts import hours_over_time
from builds.charts.forecast.assembly_bars import assembly_bars
from builds.charts.forecast.hours_by_assembly import assemblies_in_words, assembly_hours
from builds.forms.forecast import AsOfForm, WhatIfForm
from builds.models import Build
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.finished import finished_build
from builds.queries.forecast.open_plan import open_plan
from builds.queries.plan.build_page import plan_tree
from builds.queries.plan.build_state import RESTS
from builds.queries.plan.role_counts import counts_of
from builds.views.forecast.pieces import PIECES, as_of_form
from builds.views.forecast.what_if import what_if_context
from builds.views.kept import Shown, follows_its_build
from calcs.forecast.remark_words import remarks_in_words
from calcs.forecast.result import FinishDates
from calcs.forecast.words import (
    FOUR_IN_FIVE,
    finish_range,
    finish_sentences,
    hours_left_in_words,
    hours_range,
    period_of,
)
from calcs.forecast.working import next_milestone, other_work_in_words
from calcs.messages import _


@require_safe
@follows_its_build
def forecast_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    build, form, what_form = shown.build, as_of_form(request), _what_if_form(request)
    if _asks_for(request, "what-if-answer"):
        context = _what_context(forecast_of(build, form.day()), form, what_form)
        return render(request, "forecast/what_if.html", {"build": build, **context})
    asked = None if what_form.is_bound else form.kept_as
    main = shown.part(request, "forecast/forecast.html#main", lambda: _context(build, form, what_form), asked)
    # The forms for what is refused of them, which is said on top of the page, outside of what is kept.
    forms = {"form": form, "what_form": what_form}
    return render(request, "forecast/forecast.html", {"build": build, "main": main, "here": "forecast", **forms})


def _what_context(build_forecast: BuildForecast, form: AsOfForm, what_form: WhatIfForm) -> dict[str, object]:
    return {
        "asked_day": form.day().isoformat() if form.day() != form.today else "",
        **what_if_context(build_forecast, what_form),
    }


def _context(build: Build, form: AsOfForm, what_form: WhatIfForm) -> dict[str, object]:
    build_forecast = forecast_of(build, form.day())
    assemblies = assembly_hours(plan_tree(build_forecast))
    return {
        "form": form,
        "today": form.today,
        "day_query": f"as_of={form.day().isoformat()}",
        **_what_context(build_forecast, form, what_form),
        "build_forecast": build_forecast,
        "forecast": build_forecast.forecast,
        "words": headline(build_forecast),
        "remarks": remarks_in_words(build_forecast.forecast),
        "counts": counts_of(build_forecast.snapshot.parts),
        "assemblies": assembly_bars(assemblies),
        "assemblies_words": assemblies_in_words(assemblies),
        "milestones": tuple(milestone_lines(build_forecast)),
        "other_work": _other_work(build_forecast),
        "open": open_plan(build_forecast),
        "over_time": hours_over_time(build_forecast),
        "pieces": PIECES,
    }


def _what_if_form(request: HttpRequest) -> WhatIfForm:
    """Bound only where something is asked, so that a plain visit refuses nothing."""
    asked = any(name in request.GET for name in WhatIfForm.base_fields)
    return WhatIfForm(request.GET if asked else None)


def _asks_for(request: HttpRequest, target: str) -> bool:
    htmx = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and htmx.target == target


@dataclass(frozen=True)
class Headline:
    """The forecast in big words, then in whole sentences; `chance` says how sure the big words are."""

    big: str
    chance: str
    sentences: tuple[str, ...]
    hours: str


def headline(build_forecast: BuildForecast) -> Headline:
    """What can be said of the finish. A range always stands beside its chance."""
    forecast = build_forecast.forecast
    left, finish = forecast.hours_left, forecast.finish_on
    finished = finished_build(build_forecast.snapshot)
    if finished is not None:
        return Headline(finished.when, "", finished.sentences[1:], "")
    if left is None:
        return Headline(_("How much is left cannot be told yet."), "", (), "")
    hours = hours_range(left)
    if left.p90 <= 0:
        return Headline(_("Nothing is left to do."), "", (), "")
    if build_forecast.snapshot.state.resting:
        return Headline(_("{hours} are left.", hours=capfirst(hours)), "", (_(RESTS),), hours)
    if finish is None:
        big = _("{hours} are left; when they are worked cannot be told yet.", hours=capfirst(hours))
        return Headline(big, "", (), hours)
    big = _("Finished {when}", when=finish_range(finish, forecast.as_of))
    chance = _("{chance} that the finish falls there.", chance=_(FOUR_IN_FIVE))
    return Headline(big, chance, finish_sentences(finish, forecast.as_of)[:2], hours)


@dataclass(frozen=True)
class MilestoneRow:
    """A milestone with the words for its range; `reached_on` where it lies behind."""

    name: str
    reached_on: date | None
    range: str
    even: str
    hours: str
    note: str = ""


def milestone_lines(build_forecast: BuildForecast) -> Iterator[MilestoneRow]:
    """The milestones in the builder's order, reached ones too."""
    ahead = {milestone.key: milestone for milestone in build_forecast.milestones}
    as_of, state = build_forecast.forecast.as_of, build_forecast.snapshot.state
    for milestone in build_forecast.snapshot.milestones:
        reached = milestone.reached_on if milestone.reached_on and milestone.reached_on <= as_of else None
        forecast = ahead.get(milestone.pk)
        if reached or forecast is None:
            yield MilestoneRow(milestone.name, reached, "", "", "")
            continue
        if state.finished or forecast.hours_left.p90 <= 0:
            note = _("reached; the day was not written down") if state.finished else _("nothing is left to make for it")
            yield MilestoneRow(milestone.name, None, "", "", "", note)
            continue
        even = _even(forecast.finish_on, as_of)
        span = finish_range(forecast.finish_on, as_of) if forecast.finish_on else ""
        if state.resting:
            span = even = _("none while it rests")
        yield MilestoneRow(milestone.name, None, span, even, hours_left_in_words(forecast.hours_left))


def _other_work(build_forecast: BuildForecast) -> str:
    """How much of the hours goes into the next milestone; empty where none has a date."""
    ahead = next_milestone(build_forecast.forecast)
    return "" if ahead is None else other_work_in_words(ahead)


def _even(finish: FinishDates | None, as_of: date) -> str:
    """The even chance as a period; empty where it is not known, or further off than the forecast looks."""
    if finish is None or finish.p50 is None:
        return ""
    return _("by {end}", end=period_of(finish.p50, as_of).end)
