"""What is shown where a page could not be made."""

import sys

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

from builds.services.disk import why_not_stored


def server_error(request: HttpRequest) -> HttpResponse:
    """Without the request, which may be what broke. Says what the disk said, where it was the disk."""
    why = why_not_stored(sys.exc_info()[1])
    return HttpResponse(render_to_string("500.html", {"why": why}), status=503 if why else 500)
