"""A thing for the shop's counter: what one costs."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from builds.forms.repeats.shop_counter import TogetherForm
from builds.permissions import the_build
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.repeats.shop_counter import CounterPage, counter_of, usual_batch


def counter_page(request: HttpRequest, slug: str) -> HttpResponse:
    """Hours, yield, material and price of one; for htmx without the page around them."""
    build = the_build(slug)
    if not build.for_counter:
        return render(request, "repeats/shop_counter.html", {"build": build, "here": "plan"})
    build_forecast = forecast_of(build, timezone.localdate())
    form = TogetherForm(request.GET, usual=usual_batch(build_forecast.snapshot))
    page: CounterPage | None = counter_of(build_forecast, form.cleaned_data["batch"]) if form.is_valid() else None
    context = {"build": build, "form": form, "page": page, "here": "plan"}
    template = "repeats/shop_counter.html#price" if request.htmx else "repeats/shop_counter.html"  # type: ignore[attr-defined]
    return render(request, template, context, status=422 if form.errors else 200)
