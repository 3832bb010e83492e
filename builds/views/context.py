from collections.abc import Callable
from functools import partial

from django.http import HttpRequest

from builds.permissions import user_can_change, user_can_keep_people

THEMES = ("day", "evening")


def theme(request: HttpRequest) -> dict[str, str]:
    """The day or evening theme that this browser asked for; empty follows the system."""
    chosen = request.COOKIES.get("theme", "")
    return {"theme": chosen if chosen in THEMES else ""}


def doors(request: HttpRequest) -> dict[str, Callable[[], bool]]:
    """What whoever reads may do; asked only where a template asks."""
    user = getattr(request, "user", None)
    if user is None:
        return {}
    return {
        "user_can_change": partial(user_can_change, user),
        "user_can_keep_people": partial(user_can_keep_people, user),
    }
