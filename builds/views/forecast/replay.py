"""How past forecasts held."""

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts import Chart
from builds.charts.forecast.replay import finish_over_time, hours_foreseen
from builds.models import Build
from builds.permissions import the_build
from builds.queries.forecast.replay import DRAWS, Replay, progress_of, replay_at_hand
from builds.queries.forecast.replay_work import ask_for
from builds.views.looks import LOOKS, looks_of


@require_safe
def replay_page(request: HttpRequest, slug: str) -> HttpResponse:
    build, today = the_build(slug), timezone.localdate()
    replay = replay_at_hand(build, today)
    context: dict[str, Any] = {"build": build, "here": "forecast", "replay": replay, "draws": DRAWS}
    context |= waiting_for_months(request, build, today) if replay is None else {"charts": charts_of(replay)}
    template = "forecast/replay.html#course" if request.htmx else "forecast/replay.html"  # type: ignore[attr-defined]
    return render(request, template, context)


def charts_of(replay: Replay) -> list[Chart]:
    """How finish and hours moved, as far as there is anything to draw."""
    return [chart for chart in (finish_over_time(replay), hours_foreseen(replay)) if chart]


def waiting_for_months(request: HttpRequest, build: Build, today: date) -> dict[str, object]:
    """Has the months worked out, and says how far that is: the context of forecast/months_waiting.html."""
    ask_for(build, today)
    looks = {"next_look": looks_of(request) + 1, "looks": LOOKS}
    return {"progress": progress_of(build, today), "to": request.path, **looks}
