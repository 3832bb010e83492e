"""Will it be ready by a day: the question, and the answer in words."""

from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.forms.forecast import ReadyForm
from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.forecast.ready import ready_by, ready_words
from builds.views.kept import Shown, follows_its_build

MOST_LATER = 6


@require_safe
@follows_its_build
def ready_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    """The wished finish is asked for where nothing else is, and only its answer is kept."""
    build, page = shown.build, "forecast/ready.html"
    if "by" not in request.GET:
        main = shown.part(request, f"{page}#main", lambda: _context(build, None))
        return render(request, page, {"build": build, "main": main, "here": "forecast"})
    context = _context(build, request.GET)
    main = shown.part(request, f"{page}#main", lambda: context, asked=None)
    return render(request, page, {**context, "build": build, "main": main, "here": "forecast"})


def _context(build: Build, asked: QueryDict | None) -> dict[str, Any]:
    today = timezone.localdate()
    build_forecast = forecast_of(build, today)
    wished = build.wished_finish_on if build.wished_finish_on and build.wished_finish_on >= today else None
    form = ReadyForm(asked, initial={"by": wished}, milestones=build_forecast.snapshot.open_milestones)
    question = form.asked if asked is not None else (wished, None) if wished else None
    found = ready_by(build_forecast, *question) if question else None
    context = {"form": form, "found": found, "wished": asked is None and wished}
    if found is not None:
        context |= {"words": ready_words(found), "later": found.later[:MOST_LATER]}
    return context
