"""How past forecasts held."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts.forecast.replay import finish_over_time, hours_foreseen
from builds.permissions import the_build
from builds.queries.forecast.replay import DRAWS, progress_of, replay_at_hand
from builds.queries.forecast.replay_work import ask_for
from builds.views.looks import LOOKS, looks_of


@require_safe
def replay_page(request: HttpRequest, slug: str) -> HttpResponse:
    build, today = the_build(slug), timezone.localdate()
    replay = replay_at_hand(build, today)
    context: dict[str, Any] = {"build": build, "here": "forecast", "replay": replay, "draws": DRAWS}
    if replay is None:
        ask_for(build, today)
        context |= {"progress": progress_of(build, today), "next_look": looks_of(request) + 1, "looks": LOOKS}
    else:
        charts = (finish_over_time(replay), hours_foreseen(replay))
        context |= {"charts": [chart for chart in charts if chart]}
    template = "forecast/replay.html#course" if request.htmx else "forecast/replay.html"  # type: ignore[attr-defined]
    return render(request, template, context)
