"""How the program reads what is being typed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import escape

from builds.models import Builder
from builds.models.choices import Units
from builds.permissions import the_build
from builds.queries.log.usual_day import usual_day
from builds.queries.plan.sizes import size_in_words
from calcs.shop.general_tolerances import read_general_tolerance
from calcs.typed.durations import read_duration
from calcs.units.registry import LengthUnit


def read_time(request: HttpRequest) -> HttpResponse:
    """The reading of one time, as a few words for the place beside its field: the first value of the query but `lines`.

    lines: the field stands in a form that can give each of several works a line of its own, which is offered then.
    """
    text = next((value for name, value in request.GET.items() if name != "lines"), "")
    if not text.strip():
        return HttpResponse("")
    reading = read_duration(text, usual_minutes=lambda: _usual(request))
    return render(request, "log/time_read.html", {"reading": reading, "apart": "lines" in request.GET})


def _usual(request: HttpRequest) -> int | None:
    builder: Builder | None = getattr(request.user, "builder", None)
    return usual_day(builder) if builder is not None else None


def read_size(request: HttpRequest, slug: str) -> HttpResponse:
    """The reading of a part's size, with its limits or those that the build gives it."""
    typed = {name: request.GET[name] for name in ("full_size", "made") if request.GET.get(name, "").strip()}
    return HttpResponse(escape(size_in_words(the_build(slug), **typed)) if typed else "")


def read_tolerance(request: HttpRequest) -> HttpResponse:
    """The reading of a build's general tolerance, in the unit that the form says."""
    text = request.GET.get("general_tolerance", "")
    unit: LengthUnit = "in" if request.GET.get("units") == Units.INCH else "mm"
    return HttpResponse(escape(read_general_tolerance(text, unit).message) if text.strip() else "")
