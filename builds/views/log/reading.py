"""How the program reads what is being typed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from builds.models import Builder
from builds.queries.log.usual_day import usual_day
from calcs.typed.durations import read_duration


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
