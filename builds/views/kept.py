"""Pages that follow from their build's revision: told to be the same before anything is read, and kept once made."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.contrib.messages import get_messages
from django.core.cache import cache
from django.db.models import F, QuerySet
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.cache import get_conditional_response, patch_cache_control, patch_vary_headers
from django.utils.crypto import salted_hmac
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from builds.models import Build
from builds.models.shop import SHOP_REVISION
from builds.permissions import user_can_change
from builds.queries.cache_store import program_version
from builds.views.context import theme

# The day is part of the key, so tomorrow asks for nothing that was kept today.
A_DAY = 24 * 3600
# Stands in what is kept where each reader's own token goes. From the secret key, so that nobody can type it in a name.
TOKENS_PLACE = salted_hmac("builds.views.kept", "token", algorithm="sha256").hexdigest()


@dataclass(frozen=True)
class Shown:
    """A build, and the mark of all that its pages follow from whoever reads them."""

    build: Build
    mark: str
    # What the build is shown to visitors in; empty is the language of the reader.
    language: str = ""

    def part(
        self, request: HttpRequest, template: str, context: Callable[[], dict[str, Any]], asked: str | None = ""
    ) -> SafeString:
        """A part of a page, one for all builders and one for all onlookers; its context is made where it is not kept.

        asked: what of the address it goes by, out of few; None where that may be anything, and nothing is kept.
        """
        doors = {"user_can_change": user_can_change(request.user), "signed_in": request.user.is_authenticated}
        key = f"page:{template}:{_digest(self.mark, TOKENS_PLACE, asked, *doors.values())}"
        html: str | None = None if asked is None else cache.get(key)
        if html is None:
            html = render_to_string(template, {"build": self.build, "csrf_token": TOKENS_PLACE, **doors, **context()})
            if asked is not None:
                cache.set(key, html, A_DAY)
        return SafeString(html.replace(TOKENS_PLACE, get_token(request)) if TOKENS_PLACE in html else html)


def shown_build(slug: str, **also: Any) -> Shown:
    """The build at an address, or a page that says there is none. One query."""
    return _shown(get_object_or_404(_builds(), slug=slug, **also))


def shown_builds(**which: Any) -> list[Shown]:
    """Every build that this holds for, by name. One query."""
    return [_shown(build) for build in _builds().filter(**which)]


def all_together(builds: Sequence[Shown]) -> Shown:
    """The mark of a page of several builds, or of none; what it shows of each is asked of that one."""
    build = builds[0].build if builds else Build()
    return Shown(build, _digest(program_version(), timezone.localdate(), get_language(), *(one.mark for one in builds)))


def _builds() -> "QuerySet[Build]":
    return Build.objects.annotate(of_shop=SHOP_REVISION, in_language=F("exhibit__language"))


def _shown(build: Build) -> Shown:
    of_shop, language = build.of_shop, build.in_language  # type: ignore[attr-defined]
    mark = _digest(program_version(), build.uid, build.revision, of_shop, timezone.localdate(), get_language())
    return Shown(build, mark, language or "")


def follows_its_build(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A page of a build behind the sign-in, whose view gets what is `Shown` in the place of the slug.

    What else its address names comes behind that; it is part of the address that the page's mark holds.
    """

    @wraps(view)
    def page(request: HttpRequest, slug: str, **also: Any) -> HttpResponse:
        shown = shown_build(slug)
        token = request.META.get("CSRF_COOKIE")
        # What waits to be said is said once, and a page whose token nobody holds would have forms that are refused.
        etag = None if not token or len(get_messages(request)) else etag_of(request, shown, request.user.pk, token)
        response = unless_modified(request, etag, lambda: view(request, shown, **also))
        patch_cache_control(response, private=True, no_cache=True)
        return response

    return page


def etag_of(request: HttpRequest, shown: Shown, *reader: object) -> str:
    """Another one for every page that would look otherwise. Weak: pages are packed with a padding of chance."""
    asked = [request.headers.get(name, "") for name in ("HX-Request", "HX-Target")]
    may_change = user_can_change(request.user)
    return f'W/"{_digest(shown.mark, request.get_full_path(), theme(request)["theme"], *asked, may_change, *reader)}"'


def unless_modified(request: HttpRequest, etag: str | None, page: Callable[[], HttpResponse]) -> HttpResponse:
    """The page, or word that the browser has it already. Without an etag always the page."""
    response = get_conditional_response(request, etag=etag) if etag else None
    if response is None:
        response = page()
    if etag:
        response.headers.setdefault("ETag", etag)
    patch_vary_headers(response, ["Cookie"])
    return response


def _digest(*said: object) -> str:
    return hashlib.sha256(repr([str(one) for one in said]).encode()).hexdigest()[:32]
