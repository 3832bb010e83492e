"""Who may try once more at the door. Wrong passwords and wrong first codes are counted by django-axes alike."""

from typing import Any

from axes.attempts import get_cool_off_threshold
from axes.handlers.database import AxesDatabaseHandler
from axes.handlers.proxy import AxesProxyHandler
from axes.models import AccessAttempt
from django.contrib.auth.models import User
from django.contrib.auth.signals import user_login_failed
from django.db.models import Sum
from django.http import HttpRequest

from builds.models.choices import EventType
from builds.services.changes import note
from builds.services.shop.builders import builder_for

# Several people sit behind one address, so it may be wrong this many times as often as one name from it.
NAMES_AN_ADDRESS = 4
LONGEST_USERNAME = User._meta.get_field("username").max_length


class DoorHandler(AxesDatabaseHandler):
    """Counts by name and address, and, against one who tries many names, by the address alone."""

    def get_failures(self, request: HttpRequest, credentials: dict[str, Any] | None = None) -> int:
        by_name: int = super().get_failures(request, credentials)
        of_address = AccessAttempt.objects.filter(
            ip_address=request.axes_ip_address,  # type: ignore[attr-defined]
            attempt_time__gte=get_cool_off_threshold(request),
        )
        by_address = of_address.aggregate(total=Sum("failures_since_start"))["total"] or 0
        return max(by_name, by_address // NAMES_AN_ADDRESS)

    def user_login_failed(
        self, sender: Any, credentials: dict[str, Any], request: HttpRequest | None = None, **kwargs: Any
    ) -> None:
        # Whoever goes on at a shut door is not written down each time: else anybody could fill the disk.
        shut = getattr(request, "axes_locked_out", False)
        super().user_login_failed(sender, credentials, request, **kwargs)
        if not shut:
            name = str(credentials.get("username") or "")[:LONGEST_USERNAME].replace("\0", "")
            note(by=None, type=EventType.SIGN_IN_REFUSED, name=name)

    def user_logged_in(self, sender: Any, request: HttpRequest, user: Any, **kwargs: Any) -> None:
        super().user_logged_in(sender, request, user, **kwargs)
        note(by=builder_for(user=user), type=EventType.SIGN_IN, name=user.get_username())

    def user_logged_out(self, sender: Any, request: HttpRequest, user: Any, **kwargs: Any) -> None:
        super().user_logged_out(sender, request, user, **kwargs)
        if user is not None:
            note(by=builder_for(user=user), type=EventType.SIGN_OUT, name=user.get_username())


def may_try(request: HttpRequest, name: str) -> bool:
    allowed: bool = AxesProxyHandler.is_allowed(request, {"username": name})
    return allowed


def tried_in_vain(request: HttpRequest, name: str) -> None:
    user_login_failed.send(sender=__name__, credentials={"username": name}, request=request)


def open_again(name: str) -> None:
    """Let somebody try again at once, after too many attempts."""
    AxesProxyHandler.reset_attempts(username=name)
