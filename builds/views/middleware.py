"""What every answer to htmx needs."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.cache import patch_vary_headers


class HtmxResponseMiddleware:
    """A page and its partial share an address, so nothing between here and the browser may take one for the other;
    and whoever was signed out meanwhile is led to the sign-in page instead of finding it inside the page."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        patch_vary_headers(response, ["HX-Request"])
        door = resolve_url(settings.LOGIN_URL)
        if (
            "HX-Request" in request.headers
            and isinstance(response, HttpResponseRedirect)
            and response.url.startswith(door)
        ):
            return HttpResponse(status=204, headers={"HX-Redirect": door})
        return response
