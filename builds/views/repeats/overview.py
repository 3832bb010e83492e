"""Repeated parts."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.queries.repeats.overview import repeats_page as read_repeats
from builds.queries.repeats.overview import yields_of
from builds.views.kept import Shown, follows_its_build
from builds.views.plan.parts import the_part


@require_safe
@follows_its_build
def repeats_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    main = shown.part(
        request, "repeats/repeats.html#main", lambda: {"page": read_repeats(shown.build, timezone.localdate())}
    )
    return render(request, "repeats/repeats.html", {"build": shown.build, "main": main, "here": "repeats"})


def yield_table(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Yield by operation of one part, for htmx to put in its place; for everybody else the part's own page has it."""
    part = the_part(slug, pk)
    if not request.htmx:  # type: ignore[attr-defined]
        return redirect("builds:part", slug, pk)
    context = {"build": part.build, "part": yields_of(part, timezone.localdate())}
    return render(request, "repeats/yield_table.html", context)
