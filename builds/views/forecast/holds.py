"""What holds each milestone."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts.network import network_drawing
from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.forecast.holds import milestones_held
from builds.views.forecast.forecast import milestone_lines
from builds.views.kept import Shown, follows_its_build


@require_safe
@follows_its_build
def holds_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    main = shown.part(request, "forecast/holds.html#main", lambda: _context(shown.build))
    return render(request, "forecast/holds.html", {"build": shown.build, "main": main, "here": "forecast"})


def _context(build: Build) -> dict[str, object]:
    build_forecast = forecast_of(build, timezone.localdate())
    lines = {line.name: line for line in milestone_lines(build_forecast)}
    found = milestones_held(build_forecast)
    return {"milestones": [(work, lines[work.milestone.name], network_drawing(work)) for work in found]}
