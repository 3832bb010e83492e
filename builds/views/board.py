"""The progress board: for visitors, who need not sign in, and see no name and no note."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_safe

from builds.models import Build
from builds.queries.board import Board, board_of
from builds.queries.visitors.exhibit import exhibit_of, photos_for_visitors
from builds.views.kept import Shown, etag_of, shown_build, unless_modified
from builds.views.plan.photos import served
from calcs.forecast.words import finish_range, finish_sentences

SECONDS_A_PANEL = 18
# After so many turns one, two, four or five panels are back at the first, so fresh figures cut no panel short.
TURNS = 20


@login_not_required
@require_safe
def board_page(request: HttpRequest, slug: str) -> HttpResponse:
    builder_looks = request.user.is_authenticated
    shown = shown_build(slug, **({} if builder_looks else {"on_board": True}))

    def page() -> HttpResponse:
        html = shown.part(request, "board/board.html#board", lambda: _board_context(shown))
        return render(request, "board/board.html", {"build": shown.build, "html": html})

    # The page differs by the cookie of the look, and for builders, so caches in between must tell them apart.
    response = unless_modified(request, etag_of(request, shown, builder_looks), page)
    patch_cache_control(response, **({"private": True} if builder_looks else {"public": True, "max_age": 60}))
    return response


@login_not_required
@require_safe
def board_photo(request: HttpRequest, slug: str, pk: int) -> HttpResponseBase:
    """A photo that is ticked for visitors. Any other has no address here, and its own is behind the sign-in."""
    build = get_object_or_404(Build, slug=slug, on_board=True)
    photo = get_object_or_404(photos_for_visitors(exhibit_of(build)), pk=pk)
    response = served(request, photo.image.name)
    # Asked for again each time, so that one that is taken off the board is gone at once.
    patch_cache_control(response, public=True, no_cache=True)
    return response


def _board_context(shown: Shown) -> dict[str, object]:
    board = board_of(shown.build, timezone.localdate())
    return {
        "board": board,
        "when": finish_words(board),
        "seconds": SECONDS_A_PANEL,
        "fresh": TURNS * SECONDS_A_PANEL,
    }


def finish_words(board: Board) -> dict[str, str] | None:
    """When it may run, in a range and an even chance. None where the builder hides it, or nobody can tell."""
    finish, left = board.build_forecast.finish_on, board.build_forecast.forecast.hours_left
    if board.finished or not board.build.date_on_board or finish is None or left is None or left.p90 <= 0:
        return None
    as_of = board.build_forecast.forecast.as_of
    words = {"range": finish_range(finish, as_of), "even": finish_sentences(finish, as_of)[0]}
    ahead = next((milestone for milestone in board.build_forecast.milestones if milestone.finish_on), None)
    if ahead is not None and ahead.finish_on is not None and ahead.finish_on != finish:
        words |= {"next": ahead.name, "next_range": finish_range(ahead.finish_on, as_of)}
    return words
