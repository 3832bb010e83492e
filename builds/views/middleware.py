"""What stands around every page: the door, and what every answer to htmx needs."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode, urlsplit

from django.conf import settings
from django.contrib.auth import REDIRECT_FIELD_NAME
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.template.loader import render_to_string
from django.utils.cache import patch_cache_control, patch_vary_headers

from builds.permissions import check_user_can_ask, check_user_can_keep_people, user_can_read
from builds.sessions import renew
from builds.views.sent_again import ask_to_sign_in, page_of, sent_with, shown_again, waiting


class HtmxResponseMiddleware:
    """A page and its partial share an address, so nothing between here and the browser may take one for the other;
    and whoever was signed out meanwhile is told so instead of finding the sign-in page inside the page."""

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
            return _say_signed_out(request, door)
        return response


def _say_signed_out(request: HttpRequest, door: str) -> HttpResponse:
    """Say it on the page as it stands. Leading away from it would throw away what is typed there."""
    page = urlsplit(request.headers.get("HX-Current-URL", "")).path
    to = f"{door}?{urlencode({REDIRECT_FIELD_NAME: page})}" if page else door
    return HttpResponse(
        render_to_string("components/signed_out.html", {"to": to}),
        headers={"HX-Reswap": "none", "HX-Push-Url": "false"},
    )


class SignInMiddleware(LoginRequiredMiddleware):
    """Django's, but what was to be done leads back to the page it was on: its own address answers no browser."""

    def process_view(self, request: HttpRequest, view_func: Callable[..., Any], *args: Any) -> HttpResponse | None:
        open_to_all = not request.user.is_authenticated and user_can_read(request.user, view_func)
        request.behind_sign_in = not open_to_all and getattr(view_func, "login_required", True)  # type: ignore[attr-defined]
        of_owner = getattr(view_func, "check", None) is check_user_can_keep_people
        request.of_owner = of_owner  # type: ignore[attr-defined]
        response = None if open_to_all else super().process_view(request, view_func, *args)
        if response is None and request.behind_sign_in:  # type: ignore[attr-defined]
            renew(request)
            if waiting(request):
                request.method = "POST"
                check_user_can_ask(request, view_func)
                return shown_again(request, view_func, *args)
            check_user_can_ask(request, view_func)
        return response

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        """Pages behind the sign-in are this browser's alone and asked for each time; the owner's stay nowhere.

        A form has to be held: whoever goes back is to find what was typed, and the token that keeps it from being
        logged twice.
        """
        if getattr(request, "behind_sign_in", False) and not response.has_header("Cache-Control"):
            of_owner = getattr(request, "of_owner", False)
            patch_cache_control(response, private=True, **({"no_store": True} if of_owner else {"no_cache": True}))
        return response

    def handle_no_permission(self, request: HttpRequest, view_func: Callable[..., Any]) -> HttpResponse:
        if request.method in ("GET", "HEAD"):
            return super().handle_no_permission(request, view_func)
        sent = sent_with(request)
        if sent is not None:
            return ask_to_sign_in(request, sent)
        return redirect_to_login(page_of(request), self.get_login_url(view_func), REDIRECT_FIELD_NAME)
