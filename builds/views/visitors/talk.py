"""The talk sheet, for whoever stands beside the engine and answers."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.html import strip_tags
from django.views.decorators.http import require_safe

from builds.language import spoken_to_visitors
from builds.queries.visitors.talk import talk_sheet
from builds.views.kept import Shown, follows_its_build

# So many signs go onto a page in letters of the first size, and of the second; what is more has the third.
ROOM = (3800, 4700)


@spoken_to_visitors
@require_safe
@follows_its_build
def talk_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    html = shown.part(request, "visitors/talk.html#main", lambda: _context(shown))
    signs = len(" ".join(strip_tags(html).split()))
    context = {"build": shown.build, "main": html, "letters": sum(signs > room for room in ROOM), "here": "board"}
    return render(request, "visitors/talk.html", context)


def _context(shown: Shown) -> dict[str, object]:
    return {"sheet": talk_sheet(shown.build, timezone.localdate())}
