"""Who may try once more at the door. Wrong passwords and wrong first codes are counted by django-axes alike."""

from typing import Any

from axes.attempts import get_cool_off_threshold
from axes.handlers.database import AxesDatabaseHandler
from axes.handlers.proxy import AxesProxyHandler
from axes.models import AccessAttempt
from django.contrib.auth.signals import user_login_failed
from django.db.models import Sum
from django.http import HttpRequest

# Several people sit behind one address, so it may be wrong this many times as often as one name from it.
NAMES_AN_ADDRESS = 4


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


def may_try(request: HttpRequest, name: str) -> bool:
    allowed: bool = AxesProxyHandler.is_allowed(request, {"username": name})
    return allowed


def tried_in_vain(request: HttpRequest, name: str) -> None:
    user_login_failed.send(sender=__name__, credentials={"username": name}, request=request)


def open_again(name: str) -> None:
    """Let somebody try again at once, after too many attempts."""
    AxesProxyHandler.reset_attempts(username=name)
