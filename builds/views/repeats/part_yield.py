"""The yield of one part: by operation, by reason, over its batches, and what the next piece will take."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from builds.charts.repeats.learning_curve import learning_curve
from builds.charts.repeats.scrap_reasons import scrap_reasons
from builds.charts.repeats.yield_by_batch import yield_by_batch
from builds.charts.repeats.yields import yield_by_operation
from builds.queries.repeats.learning_curve import most_worked
from builds.queries.repeats.part_yield import yield_page as read_yield
from builds.views.plan.parts import the_part


def yield_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    part = the_part(slug, pk)
    page = read_yield(part, timezone.localdate())
    context = {
        "build": part.build,
        "part": part,
        "page": page,
        "by_operation": yield_by_operation(page.repeated),
        "by_reason": scrap_reasons(page.reasons),
        "by_batch": yield_by_batch(page),
        "curves": [chart for chart in map(learning_curve, most_worked(page.learned)) if chart],
        "here": "repeats",
    }
    return render(request, "repeats/part_yield.html", context)
