"""The board's facts as one page: large print, and what a phone opens from the board's code or the sign's."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_safe

from builds.language import language_of, speak, spoken_to_visitors
from builds.models import Build
from builds.queries.visitors.facts import facts_of
from builds.queries.visitors.in_words import in_words
from builds.views.codes import drawn_code, this_machine_alone
from builds.views.kept import Shown, etag_of, shown_build, unless_modified


@spoken_to_visitors
@login_not_required
@require_safe
def facts_page(request: HttpRequest, slug: str) -> HttpResponse:
    """Public where the board is, and there for nobody else: what it tells is the same for a builder."""
    shown = shown_build(slug, on_board=True)

    def page() -> HttpResponse:
        language = language_of(request, shown.language)
        speak(request, language)
        html = shown.part(request, "visitors/facts.html#facts", lambda: _context(shown), asked=language)
        return render(request, "visitors/facts.html", {"build": shown.build, "html": html})

    response = unless_modified(request, etag_of(request, shown), page)
    patch_cache_control(response, public=True, max_age=60)
    return response


def _context(shown: Shown) -> dict[str, object]:
    facts = facts_of(shown.build, timezone.localdate())
    return {"facts": facts, "told": in_words(facts)}


def facts_code(request: HttpRequest, build: Build) -> dict[str, object]:
    """What `board/qr.html` shows: the code of the page above. Nothing where no phone would get there."""
    if not build.on_board or this_machine_alone(request):
        return {}
    address = request.build_absolute_uri(reverse("builds:facts", args=[build.slug]))
    return {"code": drawn_code(address), "code_address": address}
