"""Repeated parts."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from builds.charts.yields import yield_by_operation
from builds.permissions import the_build
from builds.queries.repeats import repeats_page as read_repeats


def repeats_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    page = read_repeats(build, timezone.localdate())
    parts = [(part, yield_by_operation(part) if part.counted else None) for part in page.parts]
    return render(request, "repeats/repeats.html", {"build": build, "page": page, "parts": parts, "here": "repeats"})
