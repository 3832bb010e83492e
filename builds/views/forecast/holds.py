"""What holds each milestone: one of them open, the others fetched when they are opened."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts.network import network_drawing
from builds.models import Build, Milestone
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.forecast.holds import milestones_held
from builds.views.forecast.forecast import MilestoneRow, milestone_lines
from builds.views.kept import Shown, follows_its_build


@dataclass(frozen=True)
class Folded:
    """A milestone that is not open on the page, with the words for its range."""

    milestone: Milestone
    line: MilestoneRow


@require_safe
@follows_its_build
def holds_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    """The milestone asked for, else the next; alone for its fold. Only the plain page is kept."""
    asked = request.GET.get("milestone", "")
    part = "holds_work.html" if request.htmx else "holds.html#main"  # type: ignore[attr-defined]
    inside = shown.part(request, f"forecast/{part}", lambda: _context(shown.build, asked), None if asked else "")
    if request.htmx:  # type: ignore[attr-defined]
        return HttpResponse(inside)
    return render(request, "forecast/holds.html", {"build": shown.build, "main": inside, "here": "forecast"})


def _context(build: Build, asked: str) -> dict[str, Any]:
    build_forecast = forecast_of(build, timezone.localdate())
    snapshot = build_forecast.snapshot
    ahead = [] if snapshot.state.finished else snapshot.open_milestones
    if not ahead:
        return {"work": None, "folded": ()}
    chosen = next((one for one in ahead if str(one.pk) == asked), ahead[0])
    lines = {line.name: line for line in milestone_lines(build_forecast)}
    (work,) = milestones_held(build_forecast, only=chosen.pk)
    return {
        "work": work,
        "line": lines[chosen.name],
        "drawing": network_drawing(work),
        "folded": [Folded(one, lines[one.name]) for one in ahead if one is not chosen],
    }
