"""What is shown where a page could not be made."""

import sys

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views.csrf import csrf_failure

from builds.services.disk import why_not_stored
from builds.views.sent_again import ask_to_sign_in, sent_with, show_next


def form_gone_stale(request: HttpRequest, reason: str = "") -> HttpResponse:
    """What was sent with a token of before comes back in its form with a new one; from elsewhere it is refused."""
    from_here = request.headers.get("Origin", "") == f"{request.scheme}://{request.get_host()}"
    sent = sent_with(request) if from_here and settings.CSRF_COOKIE_NAME in request.COOKIES else None
    if sent is not None and getattr(request.resolver_match, "func", None) is not None:
        signed_in = request.user.is_authenticated
        return show_next(request, sent) if signed_in else ask_to_sign_in(request, sent)
    return csrf_failure(request, reason)


def server_error(request: HttpRequest) -> HttpResponse:
    """Without the request, which may be what broke. Says what the disk said, where it was the disk."""
    why = why_not_stored(sys.exc_info()[1])
    return HttpResponse(render_to_string("500.html", {"why": why}), status=503 if why else 500)
