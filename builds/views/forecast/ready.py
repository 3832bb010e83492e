"""Will it be ready by a day: the question, and the answer in words."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.forms.forecast import ReadyForm
from builds.permissions import the_build
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.forecast.ready import ready_by, ready_words

MOST_LATER = 6


@require_safe
def ready_page(request: HttpRequest, slug: str) -> HttpResponse:
    """The wished finish is asked for where nothing else is."""
    build, today = the_build(slug), timezone.localdate()
    build_forecast = forecast_of(build, today)
    milestones = build_forecast.snapshot.open_milestones
    wished = build.wished_finish_on if build.wished_finish_on and build.wished_finish_on >= today else None
    asked = "by" in request.GET
    form = ReadyForm(request.GET if asked else None, initial={"by": wished}, milestones=milestones)
    question = form.asked if asked else (wished, None) if wished else None
    found = ready_by(build_forecast, *question) if question else None
    context = {"build": build, "here": "forecast", "form": form, "found": found, "wished": not asked and wished}
    if found is not None:
        context |= {"words": ready_words(found), "later": found.later[:MOST_LATER]}
    return render(request, "forecast/ready.html", context)
