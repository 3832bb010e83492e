"""What the measurements of a size say of the next pieces."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from builds.charts.repeats.run_of_sizes import run_of_sizes
from builds.models import Size
from builds.queries.repeats.spread import spread_page as read_spread


@require_safe
def spread_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    size = get_object_or_404(Size.objects.select_related("part__build"), part__build__slug=slug, pk=pk)
    page = read_spread(size)
    context = {
        "build": size.part.build,
        "part": size.part,
        "page": page,
        "chart": run_of_sizes(page),
        "here": "repeats",
    }
    return render(request, "repeats/spread.html", context)
