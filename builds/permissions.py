"""Who may see and change what, in pairs: `user_can_…` asks, `check_user_can_…` refuses with the reason.

Every page is behind the sign-in (views/middleware.py); the exceptions are marked where they stand, with
`login_not_required`. There are three roles: an owner keeps the people, a builder may change every build, and an
onlooker reads everything and changes nothing. What is sent (POST) is refused to an onlooker, unless its view says
`onlookers_may`; a page that is there for changing alone says `for_builders`.
"""

from collections.abc import Callable
from typing import Any

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.auth.models import AnonymousUser, User
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404

from builds.models import Build, Builder, Shop
from builds.services.shop.builders import builder_for
from calcs.messages import _

View = Callable[..., HttpResponseBase]
AnyUser = AbstractBaseUser | AnonymousUser


def the_build(slug: str) -> Build:
    return get_object_or_404(Build, slug=slug)


def the_builder(request: HttpRequest) -> Builder:
    return builder_for(user=request.user)


def user_can_keep_people(user: AnyUser) -> bool:
    return bool(getattr(user, "is_superuser", False))


def check_user_can_keep_people(user: AnyUser) -> None:
    if not user_can_keep_people(user):
        raise PermissionDenied(_("Only the owner of this installation may do that."))


def user_can_change(user: AnyUser) -> bool:
    """Log work, and change plans, machines and materials."""
    if not user.is_authenticated:
        return False
    builder: Builder | None = getattr(user, "builder", None)
    return user_can_keep_people(user) or builder is None or not builder.looks_on


def check_user_can_change(user: AnyUser) -> None:
    if not user_can_change(user):
        raise PermissionDenied(_("You are an onlooker here: you may read everything, and change nothing."))


def for_owners(view: View) -> View:
    view.check = check_user_can_keep_people  # type: ignore[attr-defined]
    return view


def for_builders(view: View) -> View:
    """A page that is there for changing alone, so that an onlooker finds nothing on it."""
    view.check = check_user_can_change  # type: ignore[attr-defined]
    return view


def onlookers_may(view: View) -> View:
    """What is sent here changes nothing of the workshop."""
    view.onlookers_may = True  # type: ignore[attr-defined]
    return view


def visitors_may_if_ticked(view: View) -> View:
    """Open to anybody once the owner says so (`Shop.arithmetic_for_visitors`); nothing of a build stands there."""
    view.open_if_ticked = True  # type: ignore[attr-defined]
    return view


def user_can_read(user: AnyUser, view: View) -> bool:
    """Whether whoever asks may read this page without having signed in, or has."""
    if user.is_authenticated or not getattr(view, "login_required", True):
        return True
    return getattr(view, "open_if_ticked", False) and Shop.the_one().arithmetic_for_visitors


def check_user_can_ask(request: HttpRequest, view: View) -> None:
    """What each address asks of whoever is signed in; `SignInMiddleware` calls it before the view."""
    check: Callable[[AnyUser], None] | None = getattr(view, "check", None)
    if check is not None:
        check(request.user)
    elif request.method not in ("GET", "HEAD", "OPTIONS") and not getattr(view, "onlookers_may", False):
        check_user_can_change(request.user)


class PeopleBackend(ModelBackend):
    """Django's, but a user is read together with the builder, whose role every page asks for."""

    def get_user(self, user_id: int) -> User | None:
        user = User.objects.select_related("builder").filter(pk=user_id).first()
        return user if user is not None and self.user_can_authenticate(user) else None

    def authenticate(self, request: HttpRequest | None, **credentials: Any) -> Any:
        user = super().authenticate(request, **credentials)
        if user is None:
            # No other is asked: Django's own stands behind this one for the sessions that began with it.
            raise PermissionDenied
        return user
