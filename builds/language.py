"""Which language a page speaks, and how it then writes its figures.

Visitors' pages are there in every language of `LANGUAGES`, all others only in those that are not listed under
`LANGUAGES_OF_VISITORS`: half a page in another tongue helps nobody.
"""

import re
from collections.abc import Callable
from functools import cache
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.middleware.locale import LocaleMiddleware
from django.utils import translation
from django.utils.formats import get_format

A_YEAR = 365 * 24 * 3600

View = Callable[..., Any]


def spoken_to_visitors(view: View) -> View:
    """A page that visitors read, or that is printed for them."""
    view.spoken_to_visitors = True  # type: ignore[attr-defined]
    return view


def language_of(request: HttpRequest, own: str = "") -> str:
    """The language of a visitors' page: what the address asks for, else the build's own, else what was asked before
    on this device, else the browser's."""
    known = dict(settings.LANGUAGES)
    asked = request.GET.get("language", "")
    return next((code for code in (asked, own) if code in known), translation.get_language_from_request(request))


def speak(request: HttpRequest, language: str) -> None:
    """Answer the rest of a request in a language."""
    translation.activate(language)
    request.LANGUAGE_CODE = translation.get_language()  # type: ignore[attr-defined]


class LanguageMiddleware(LocaleMiddleware):
    """Django's, for pages that are not there in every language, and whose figures are written as the language does."""

    def process_request(self, request: HttpRequest) -> None:
        language = translation.get_language_from_request(request)
        speak(request, settings.LANGUAGE_CODE if language in settings.LANGUAGES_OF_VISITORS else language)

    def process_view(self, request: HttpRequest, view: View, *args: Any) -> None:
        if getattr(view, "spoken_to_visitors", False):
            speak(request, language_of(request))

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        response = super().process_response(request, response)
        asked = request.GET.get("language", "")
        # What caches in between may hand to others carries nobody's choice; such a page keeps its address.
        if asked in dict(settings.LANGUAGES) and "public" not in response.headers.get("Cache-Control", ""):
            response.set_cookie(settings.LANGUAGE_COOKIE_NAME, asked, max_age=A_YEAR, samesite="Lax", httponly=True)
        turn = _turning_into(response.headers.get("Content-Language", ""))
        if turn and not response.streaming and response.headers.get("Content-Type", "").startswith("text/html"):
            response.content = turn(response.content.decode(response.charset))
            if response.has_header("Content-Length"):
                response.headers["Content-Length"] = str(len(response.content))
        return response


# The pieces of a page: what is no text at all, then tags, then the text between them.
_PIECES = re.compile(r"<(script|style|textarea)\b.*?</\1>|<[^>]*>|[^<]+", re.DOTALL)
# What is read out of a tag by those who listen.
_READ_OUT = re.compile(r'((?:aria-label|alt|title|data-label)=")([^"]*)"')
# "1,283" and "1,283.5", or "12.5". Not the digits of a date, of a version, or of a list such as "1,2,3".
_FIGURE = re.compile(r"(?<![\w.,])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?![\w,]|\.\d)")


def figures_as_in(language: str, html: str) -> str:
    """A page's figures with the separators of its language. The arithmetic writes all as in 1,283.5.

    >>> figures_as_in("de", "<p>1,283.5 h</p>")
    '<p>1.283,5 h</p>'
    """
    turn = _turning_into(language)
    return turn(html) if turn else html


@cache
def _turning_into(language: str) -> Callable[[str], str] | None:
    """What turns a page's figures; None where the language writes them as they stand, as most pages' does."""
    point, thousands = (get_format(name, language) for name in ("DECIMAL_SEPARATOR", "THOUSAND_SEPARATOR"))
    if not language or point == ".":
        return None
    signs = str.maketrans({".": point, ",": thousands})

    def written(text: str) -> str:
        return _FIGURE.sub(lambda found: found[0].translate(signs), text)

    def turned(piece: re.Match[str]) -> str:
        if piece[1]:
            return piece[0]
        if piece[0].startswith("<"):
            return _READ_OUT.sub(lambda found: f'{found[1]}{written(found[2])}"', piece[0])
        return written(piece[0])

    return lambda html: _PIECES.sub(turned, html)
