"""How the program reads what is being typed."""

from django.http import HttpRequest, HttpResponse
from django.utils.html import escape

from calcs.typed.durations import read_duration


def read_time(request: HttpRequest) -> HttpResponse:
    """The reading of one time, as a few words for the place beside its field. Takes the first value of the query."""
    text = next(iter(request.GET.values()), "")
    return HttpResponse(escape(read_duration(text).message) if text.strip() else "")
