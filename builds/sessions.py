"""How long somebody stays signed in: as long as the session is used. It is written at most once a day for that."""

from typing import Any

from django.contrib.auth.signals import user_logged_in
from django.db import DatabaseError
from django.http import HttpRequest
from django.utils import timezone

# The day on which a session was last used, in the session.
USED_ON = "used on"


def renew(request: HttpRequest) -> None:
    """Let a session that is used today last its whole time from today on."""
    today = timezone.localdate().isoformat()
    if request.session.get(USED_ON) == today:
        return
    request.session[USED_ON] = today
    try:
        # Here, since a full disk would otherwise break the page when it is finished: then the session lasts as it is.
        request.session.save()
    except (DatabaseError, OSError):
        request.session.modified = False


def _used_today(request: HttpRequest, **_: Any) -> None:
    request.session[USED_ON] = timezone.localdate().isoformat()


def connect() -> None:
    user_logged_in.connect(_used_today, dispatch_uid="a session is used on the day it begins")
