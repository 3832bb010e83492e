"""How the program reads what is being typed."""

from django.http import HttpRequest, HttpResponse
from django.utils.html import escape

from builds.models.choices import Units
from builds.permissions import the_build
from builds.queries.plan.sizes import size_in_words
from calcs.shop.general_tolerances import read_general_tolerance
from calcs.typed.durations import read_duration
from calcs.units.registry import LengthUnit


def read_time(request: HttpRequest) -> HttpResponse:
    """The reading of one time, as a few words for the place beside its field. Takes the first value of the query."""
    text = next(iter(request.GET.values()), "")
    return HttpResponse(escape(read_duration(text).message) if text.strip() else "")


def read_size(request: HttpRequest, slug: str) -> HttpResponse:
    """The reading of a part's size, with its limits or those that the build gives it."""
    typed = {name: request.GET[name] for name in ("full_size", "made") if request.GET.get(name, "").strip()}
    return HttpResponse(escape(size_in_words(the_build(slug), **typed)) if typed else "")


def read_tolerance(request: HttpRequest) -> HttpResponse:
    """The reading of a build's general tolerance, in the unit that the form says."""
    text = request.GET.get("general_tolerance", "")
    unit: LengthUnit = "in" if request.GET.get("units") == Units.INCH else "mm"
    return HttpResponse(escape(read_general_tolerance(text, unit).message) if text.strip() else "")
