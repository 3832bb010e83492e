"""A thing for the shop's counter: what one costs."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from builds.forms.counter import TogetherForm
from builds.permissions import the_build
from builds.queries.counter import CounterPage, counter_of, usual_batch
from builds.queries.outlook import prospect_of


def counter_page(request: HttpRequest, slug: str) -> HttpResponse:
    """Hours, yield, material and price of one; for htmx without the page around them."""
    build = the_build(slug)
    if not build.for_counter:
        return render(request, "counter/counter.html", {"build": build, "here": "plan"})
    prospect = prospect_of(build, timezone.localdate())
    form = TogetherForm(request.GET, usual=usual_batch(prospect.ledger))
    page: CounterPage | None = counter_of(prospect, form.cleaned_data["batch"]) if form.is_valid() else None
    context = {"build": build, "form": form, "page": page, "here": "plan"}
    template = "counter/counter.html#price" if request.htmx else "counter/counter.html"  # type: ignore[attr-defined]
    return render(request, template, context, status=422 if form.errors else 200)
