"""Pieces of the forecast: each a page of its own, for paper too, and the inside of a fold of the forecast's page."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from builds.charts import hours_by_week
from builds.forms.forecast import AsOfForm
from builds.models.choices import Kind
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.weeks import weeks_of
from builds.templatetags.figures import day
from builds.views.kept import Shown, follows_its_build
from calcs.forecast.trust import trust_lines
from calcs.forecast.working import working_of
from calcs.messages import _


@dataclass(frozen=True)
class Piece:
    """What it is called, the template of its inside, and what that shows of a forecast."""

    title: Promise
    template: str
    context: Callable[[BuildForecast], dict[str, Any]]


def _ratios(build_forecast: BuildForecast) -> dict[str, Any]:
    rates = build_forecast.forecast.rates
    return {"rates": tuple(replace(rate, kind=str(Kind(rate.kind).label) if rate.kind else "") for rate in rates)}


def _pace(build_forecast: BuildForecast) -> dict[str, Any]:
    weeks = weeks_of(build_forecast.snapshot)
    return {"weeks": weeks, "by_week": hours_by_week(weeks)}


PIECES = {
    "working": Piece(
        gettext_lazy("How it was worked out"),
        "forecast/working.html",
        lambda build_forecast: {"working": working_of(build_forecast.forecast)},
    ),
    "ratios": Piece(gettext_lazy("The ratios it reckons with"), "forecast/rates.html", _ratios),
    "pace": Piece(gettext_lazy("Pace, week by week"), "forecast/pace.html", _pace),
    "trust": Piece(
        gettext_lazy("How far to trust it"), "forecast/trust.html", lambda _build_forecast: {"trust": trust_lines()}
    ),
}


def as_of_form(request: HttpRequest) -> AsOfForm:
    """The day that a page of the forecast is asked for; bound only where one is."""
    today = timezone.localdate()
    return AsOfForm(request.GET if "as_of" in request.GET else None, initial={"as_of": today}, today=today)


@require_safe
@follows_its_build
def forecast_piece(request: HttpRequest, shown: Shown, piece: str) -> HttpResponse:
    """One of them, as of the day asked for."""
    if piece not in PIECES:
        raise Http404(_("The forecast has no such page."))
    found, form = PIECES[piece], as_of_form(request)
    inside = shown.part(
        request, found.template, lambda: found.context(forecast_of(shown.build, form.day())), form.kept_as
    )
    back = reverse("builds:forecast", args=[shown.build.slug]) + form.query
    about = {"title": found.title, "inside": inside, "day": day(form.day()), "tab": "forecast", "back": back}
    return alone_or_on_a_page(request, shown, **about)


def alone_or_on_a_page(request: HttpRequest, shown: Shown, *, inside: str, **about: object) -> HttpResponse:
    """A piece alone for a fold, a page around it for everybody else. about: what forecast/piece.html takes."""
    if request.htmx:  # type: ignore[attr-defined]
        return HttpResponse(inside)
    return render(request, "forecast/piece.html", {"build": shown.build, "here": "forecast", "inside": inside, **about})
