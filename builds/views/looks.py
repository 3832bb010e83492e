"""A page that waits for work in the background looks again by itself, but not for ever."""

from django.http import HttpRequest

# Every two seconds: ten minutes.
LOOKS = 300


def looks_of(request: HttpRequest) -> int:
    """How often the page has looked by itself."""
    typed = request.GET.get("look", "")
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 6 else 0
