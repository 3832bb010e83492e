"""Repeated parts."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.queries.repeats.overview import repeats_page as read_repeats
from builds.views.kept import Shown, follows_its_build


@require_safe
@follows_its_build
def repeats_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    main = shown.part(
        request, "repeats/repeats.html#main", lambda: {"page": read_repeats(shown.build, timezone.localdate())}
    )
    return render(request, "repeats/repeats.html", {"build": shown.build, "main": main, "here": "repeats"})
