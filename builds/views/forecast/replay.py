"""How past forecasts held."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts.forecast.replay import finish_over_time, hours_foreseen
from builds.permissions import the_build
from builds.queries.forecast.replay import DRAWS, replay_of

# So many months are worked out in one request at the most: few before there is a page at all, more when it asks for the
# next ones by itself.
MONTHS_AT_FIRST, MONTHS_AT_ONCE = 12, 24


@require_safe
def replay_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    at_most = MONTHS_AT_ONCE if request.htmx else MONTHS_AT_FIRST  # type: ignore[attr-defined]
    replay = replay_of(build, timezone.localdate(), at_most=at_most)
    context = {"build": build, "here": "forecast", "replay": replay, "draws": DRAWS}
    if replay.complete:
        charts = (finish_over_time(replay), hours_foreseen(replay))
        context |= {"charts": [chart for chart in charts if chart]}
    template = "forecast/replay.html#course" if request.htmx else "forecast/replay.html"  # type: ignore[attr-defined]
    return render(request, template, context)
