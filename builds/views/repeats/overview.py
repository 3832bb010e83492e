"""Repeated parts."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from builds.permissions import the_build
from builds.queries.repeats.overview import repeats_page as read_repeats
from builds.queries.repeats.overview import yields_of
from builds.views.plan.parts import the_part


def repeats_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    page = read_repeats(build, timezone.localdate())
    return render(request, "repeats/repeats.html", {"build": build, "page": page, "here": "repeats"})


def yield_table(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Yield by operation of one part, for htmx to put in its place; for everybody else the part's own page has it."""
    part = the_part(slug, pk)
    if not request.htmx:  # type: ignore[attr-defined]
        return redirect("builds:part", slug, pk)
    context = {"build": part.build, "part": yields_of(part, timezone.localdate())}
    return render(request, "repeats/yield_table.html", context)
