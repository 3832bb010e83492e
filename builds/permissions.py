"""Who may see and change what.

Every page is behind the sign-in (Django's LoginRequiredMiddleware); the exceptions are marked where they stand, with
`login_not_required`. Whoever signs in is a builder and may change every build; the owner alone adds builders.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from builds.models import Build, Builder
from builds.services.shop.builders import builder_for
from calcs.messages import _


def the_build(slug: str) -> Build:
    return get_object_or_404(Build, slug=slug)


def the_builder(request: HttpRequest) -> Builder:
    return builder_for(user=request.user)


def owner_only(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not request.user.is_superuser:  # type: ignore[union-attr]
            raise PermissionDenied(_("Only the owner of this installation may do that."))
        return view(request, *args, **kwargs)

    return guarded
