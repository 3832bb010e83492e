"""What a build still takes of material and bought parts, and what it costs."""

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.forms.shop import CuttingForm
from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.shop.cost import cost_of
from builds.queries.shop.stock import read_shelf
from builds.queries.shop.to_buy import to_buy_of
from builds.queries.shop.to_buy_lines import cut_lines, how_sure_of, purchase_lines
from builds.queries.snapshot import read_snapshot
from builds.views.kept import Shown, follows_its_build


@require_safe
@follows_its_build
def to_buy_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    """How bars are cut may be asked otherwise; the usual answer is kept."""
    build = shown.build
    form = CuttingForm(request.GET, unit=build.length_unit)
    main = shown.part(
        request, "shop/to_buy.html#main", lambda: _context(build, form), None if form.asks_otherwise else ""
    )
    context = {"build": build, "form": form, "main": main, "here": "plan"}
    return render(request, "shop/to_buy.html", context, status=422 if form.errors else 200)


def _context(build: Build, form: CuttingForm) -> dict[str, Any]:
    cutting, today = form.asked, timezone.localdate()
    if cutting is None:
        return {"page": None}
    shelf = read_shelf()
    hours = None
    if build.hourly_figure is None:
        snapshot = read_snapshot(build, today)
    else:
        found = forecast_of(build, today)
        snapshot, left = found.snapshot, found.forecast.hours_left
        hours = (snapshot.headline_minutes / 60, None if left is None else left.p50)
    page = to_buy_of(snapshot, shelf, cutting)
    cuts = cut_lines(page)
    return {
        "page": page,
        "purchases": purchase_lines(page),
        "cuts": cuts,
        "how_sure": how_sure_of(cuts),
        "cost": cost_of(page, shelf, hours),
        "query": urlencode(form.data) if form.asks_otherwise else "",
    }
