"""What was sent while nobody was signed in, or with a token of before: shown in its form again, and sent once.

Until somebody signs in it stands, signed, in the sign-in page itself, so nothing is stored for strangers. Then it is
shown by the very view that it was sent to, while the services hold everything back: it comes back beside what was
typed, as whatever is refused does.
"""

from dataclasses import asdict, dataclass
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib import messages
from django.contrib.messages import get_messages
from django.core import signing
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, QueryDict
from django.shortcuts import render, resolve_url
from django.urls import Resolver404, resolve
from django.utils.datastructures import MultiValueDict

from builds.forms.shop import SignInForm
from builds.permissions import check_user_can_keep_people
from builds.services.disk import hold_back
from calcs.messages import _

SALT = PLACE = "builds.views.sent_again"
LONGEST = 1_000_000
"""Characters; what is longer is not carried through a sign-in."""
# Neither is ever kept: the one is of the session that is over, the others are secrets.
NOT_KEPT = ("csrfmiddlewaretoken", "password", "code")


@dataclass(frozen=True)
class Sent:
    """What was sent: where to, from which page, its fields without secrets, and whether files were with it."""

    path: str
    page: str
    fields: dict[str, list[str]]
    files: bool

    @property
    def signed(self) -> str:
        return signing.dumps(asdict(self), salt=SALT, compress=True)


def sent_with(request: HttpRequest) -> Sent | None:
    """What a request brings that somebody typed; None where that is nothing, or belongs to the owner's pages."""
    if not _comes_back(request.path):
        return None
    names = [name for name in request.POST if not any(secret in name.lower() for secret in NOT_KEPT)]
    fields = {name: request.POST.getlist(name) for name in names}
    length = sum(len(value) for values in fields.values() for value in values)
    if not 0 < length <= LONGEST:
        return None
    return Sent(request.get_full_path(), page_of(request), fields, bool(request.FILES))


def _comes_back(path: str) -> bool:
    """Whether what is sent there may be kept: neither the owner's pages nor the doors themselves."""
    try:
        view = resolve(path).func
    except Resolver404:
        return False
    of_owner = getattr(view, "check", None) is check_user_can_keep_people or path.startswith("/admin/")
    return not of_owner and getattr(view, "login_required", True)


def page_of(request: HttpRequest) -> str:
    """The page that something was sent from, if that is one of this site."""
    came_from = urlsplit(request.headers.get("Referer", ""))
    return came_from.path if came_from.netloc == request.get_host() else resolve_url(settings.LOGIN_REDIRECT_URL)


def ask_to_sign_in(request: HttpRequest, sent: Sent) -> HttpResponse:
    """The sign-in page with what was sent in it."""
    context = {"form": SignInForm(request), "next": sent.page, "kept": sent.signed}
    response = render(request, "registration/login.html", context)
    if "HX-Request" in request.headers:
        response["HX-Retarget"], response["HX-Reswap"] = "body", "innerHTML show:top"
    return response


def take_back(request: HttpRequest, kept: str) -> HttpResponse | None:
    """After the sign-in: on to where it was sent, to be shown there. None where nothing was kept."""
    try:
        sent = Sent(**signing.loads(kept, salt=SALT, max_age=settings.SESSION_COOKIE_AGE))
    except (signing.BadSignature, TypeError):
        return None
    return show_next(request, sent)


def show_next(request: HttpRequest, sent: Sent) -> HttpResponse:
    request.session[PLACE] = asdict(sent)
    return HttpResponseRedirect(sent.path)


def waiting(request: HttpRequest) -> bool:
    """Whether something waits to be shown at just this address."""
    kept: dict[str, Any] | None = request.session.get(PLACE) if request.method == "GET" else None
    return kept is not None and kept["path"] == request.get_full_path()


def shown_again(request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse:
    """The page of what was sent, as its own view makes it, with nothing recorded."""
    sent = Sent(**request.session.pop(PLACE))
    _turn_into(request, sent)
    words = _("You had been signed out. Nothing is recorded yet: here is what you typed. Send it once more.")
    messages.warning(request, _("{words} Choose the file again, too.", words=words) if sent.files else words)
    response = None
    with transaction.atomic(), hold_back(_("Nothing is recorded yet: send it once more.")):
        try:
            response = view(request, *args, **kwargs)
        except ValidationError:
            # What has no form to come back in.
            response = None
        transaction.set_rollback(True)
    if response is not None and response.status_code in (200, 422):
        return response  # type: ignore[no-any-return]
    # A button without a form of its own: what its view said of it is not so.
    list(get_messages(request))
    messages.warning(request, _("You had been signed out, and nothing was recorded. Press it once more."))
    return HttpResponseRedirect(sent.page)


def _turn_into(request: HttpRequest, sent: Sent) -> None:
    """Give a request the fields that were sent."""
    fields = QueryDict(mutable=True)
    for name, values in sent.fields.items():
        fields.setlist(name, values)
    request.method = "POST"
    request.POST = fields  # type: ignore[assignment]
    request._files = MultiValueDict()  # type: ignore[attr-defined]
