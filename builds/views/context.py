from django.http import HttpRequest

LOOKS = ("day", "evening")


def look(request: HttpRequest) -> dict[str, str]:
    """The day or evening look that this browser asked for; empty follows the system."""
    chosen = request.COOKIES.get("look", "")
    return {"look": chosen if chosen in LOOKS else ""}
