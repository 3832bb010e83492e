"""Which language visitors read: the one in the address, else the build's own, else the reader's."""

from django.conf import settings
from django.http import HttpRequest
from django.utils.translation import get_language


def language_for(request: HttpRequest, of_build: str) -> str:
    """The language to show a page in; one that there is no catalogue of says nothing. of_build: Exhibit.language."""
    there_are = dict(settings.LANGUAGES)
    wished = (request.GET.get("language", ""), of_build, get_language() or "")
    return next((one for one in wished if one in there_are), settings.LANGUAGE_CODE)
