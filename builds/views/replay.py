"""How past outlooks held."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.charts.replay import finish_over_time, hours_foreseen
from builds.permissions import the_build
from builds.queries.replay import DRAWS, replay_of

# So many months are worked out in one request at the most; the page asks for the next ones by itself.
MONTHS_AT_ONCE = 12


@require_safe
def replay_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    replay = replay_of(build, timezone.localdate(), at_most=MONTHS_AT_ONCE)
    context = {"build": build, "here": "outlook", "replay": replay, "draws": DRAWS}
    if replay.complete:
        charts = (finish_over_time(replay), hours_foreseen(replay))
        context |= {"charts": [chart for chart in charts if chart]}
    template = "outlook/replay.html#course" if request.htmx else "outlook/replay.html"  # type: ignore[attr-defined]
    return render(request, template, context)
