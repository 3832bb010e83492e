"""The progress board: for visitors, who need not sign in, and see no name and no note."""

from collections.abc import Sequence

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.utils.safestring import SafeString
from django.utils.translation import override
from django.views.decorators.http import require_safe

from builds.charts.panels import panels_of
from builds.language import language_of, spoken_to_visitors
from builds.models import Build
from builds.queries.cache_store import program_version
from builds.queries.visitors.exhibit import exhibit_of, photos_for_visitors
from builds.queries.visitors.facts import facts_of
from builds.views.kept import Shown, all_together, etag_of, shown_build, shown_builds, unless_modified
from builds.views.plan.photos import served
from builds.views.visitors.facts import facts_code
from calcs.messages import _

# How often a screen asks for news, and how long a cache in between may answer it: together under a minute.
SECONDS_TO_NEWS, SECONDS_IN_A_CACHE = 30, 20


@spoken_to_visitors
@login_not_required
@require_safe
def board_page(request: HttpRequest, slug: str) -> HttpResponse:
    builder_looks = request.user.is_authenticated
    shown = shown_build(slug, **({} if builder_looks else {"on_board": True}))
    return _board(request, shown, [shown], builder_looks=builder_looks)


@spoken_to_visitors
@login_not_required
@require_safe
def boards_page(request: HttpRequest) -> HttpResponse:
    """Every build that visitors are shown, one after the other."""
    builds = shown_builds(on_board=True)
    return _board(request, all_together(builds), builds, builder_looks=request.user.is_authenticated)


@spoken_to_visitors
@login_not_required
@require_safe
def board_photo(request: HttpRequest, slug: str, pk: int) -> HttpResponseBase:
    """A photo that is ticked for visitors. Any other has no address here, and its own is behind the sign-in."""
    build = get_object_or_404(Build, slug=slug, **({} if request.user.is_authenticated else {"on_board": True}))
    photo = get_object_or_404(photos_for_visitors(exhibit_of(build)), pk=pk)
    response = served(request, photo.image.name)
    # Asked for again each time, so that one that is taken off the board is gone at once.
    patch_cache_control(response, public=True, no_cache=True)
    return response


def _board(request: HttpRequest, together: Shown, builds: Sequence[Shown], *, builder_looks: bool) -> HttpResponse:
    def page() -> HttpResponse:
        panels = [_panels(request, one, language_of(request, one.language)) for one in builds]
        # The page around several builds is in the reader's language, each build in its own.
        around = language_of(request, builds[0].language if len(builds) == 1 else "")
        with override(around):
            response = render(request, "board/board.html", _around(request, builds, panels))
        response.headers["Content-Language"] = around
        return response

    # The page differs by the cookie of the look, and for builders, so caches in between must tell them apart.
    response = unless_modified(request, etag_of(request, together, builder_looks), page)
    cached = {"private": True} if builder_looks else {"public": True, "max_age": SECONDS_IN_A_CACHE}
    patch_cache_control(response, **cached)
    return response


def _around(request: HttpRequest, builds: Sequence[Shown], panels: list[SafeString]) -> dict[str, object]:
    title = _("{build}: progress board", build=builds[0].build.name) if len(builds) == 1 else _("Progress board")
    news = request.get_full_path()
    around = {"title": title, "panels": panels, "news": news, "fresh": SECONDS_TO_NEWS, "version": program_version()}
    build = builds[0].build if len(builds) == 1 else None
    return {**around, "build": build, **(facts_code(request, build) if build else {})}


def _panels(request: HttpRequest, shown: Shown, language: str) -> SafeString:
    """The panels of one build in a language, kept by it."""

    def context() -> dict[str, object]:
        facts = facts_of(shown.build, timezone.localdate())
        return {"facts": facts, "panels": panels_of(facts)}

    with override(language):
        return shown.part(request, "board/panels.html", context, asked=language)
