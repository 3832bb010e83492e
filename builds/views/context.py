from django.http import HttpRequest

THEMES = ("day", "evening")


def theme(request: HttpRequest) -> dict[str, str]:
    """The day or evening theme that this browser asked for; empty follows the system."""
    chosen = request.COOKIES.get("theme", "")
    return {"theme": chosen if chosen in THEMES else ""}
