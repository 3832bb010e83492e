"""What a phone or tablet needs to keep the program on its own screen, and to open the bench without a connection."""

import json
from functools import cache

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from builds.permissions import for_builders, the_builder
from builds.queries.log.bench import build_last_logged
from builds.static_files import SCRIPT, SHEET
from calcs.messages import _

MARK = "img/favicon.svg"
PAPER = "#f4efe3"
"""`--paper` of static/css/tokens.css by day: a manifest takes one colour and knows no variables."""


@require_safe
@for_builders
def bench_at_hand(request: HttpRequest) -> HttpResponse:
    """The bench of the build that this builder logged last: what the mark on a phone's screen opens."""
    return _at_hand(request, "builds:bench")


@require_safe
def build_at_hand(request: HttpRequest) -> HttpResponse:
    """The plan of that build: where an onlooker, who has no bench, is led to what is in work."""
    return _at_hand(request, "builds:page")


def _at_hand(request: HttpRequest, page: str) -> HttpResponse:
    build = build_last_logged(the_builder(request))
    return redirect(page, build.slug) if build else redirect("builds:list")


@require_safe
@login_not_required
@cache_control(no_cache=True)
def manifest(request: HttpRequest) -> HttpResponse:
    """The web app manifest (W3C, https://www.w3.org/TR/appmanifest/)."""
    icons = [
        {"src": static(MARK), "sizes": "any", "type": "image/svg+xml"},
        {"src": static("img/icon-192.png"), "sizes": "192x192", "type": "image/png"},
        {"src": static("img/icon-512.png"), "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
    ]
    content = {
        "name": "Swarfbook",
        "description": _("A workshop's record of a long build."),
        "id": "/",
        "start_url": reverse("builds:bench_at_hand"),
        "scope": "/",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": icons,
    }
    return JsonResponse(content, content_type="application/manifest+json")


@require_safe
@login_not_required
@cache_control(no_cache=True)
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, after the addresses that it keeps. They hold digests, so a new version is a new worker."""
    addresses = {
        "FILES": [static(name) for name in (SHEET, SCRIPT, MARK)],
        "KEPT_PAGES": reverse("kept_pages"),
        "AT_HAND": reverse("builds:bench_at_hand"),
        "DOOR": reverse("sign_in"),
        "WAY_OUT": reverse("sign_out"),
    }
    lines = "".join(f"const {name} = {json.dumps(value)};\n" for name, value in addresses.items())
    return HttpResponse(lines + _worker_script(), content_type="text/javascript; charset=utf-8")


@cache
def _worker_script() -> str:
    return (settings.BASE_DIR / "static" / "js" / "worker.js").read_text(encoding="utf-8")


@require_safe
@login_not_required
@cache_control(no_cache=True)
def kept_pages(request: HttpRequest) -> HttpResponse:
    """What is shown instead of a page that cannot be had: which bench pages this device keeps."""
    return render(request, "device/kept_pages.html")
