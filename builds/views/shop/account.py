"""Signing in for the first time, passwords, and the look of the pages."""

from typing import Any

from axes.helpers import get_lockout_response
from django.contrib import messages
from django.contrib.auth import login, update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.views import LoginView
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_POST

from builds.forms.shop import SignInForm, WelcomeForm
from builds.models import Build
from builds.models.choices import EventType
from builds.permissions import onlookers_may, the_builder
from builds.services.changes import note
from builds.services.shop.builders import make_first_owner, nobody_may_sign_in, owner_exists, sign_out_everywhere
from builds.views.back import back_to
from builds.views.context import THEMES
from builds.views.refusals import refusals_beside
from builds.views.sent_again import take_back
from builds.views.shop.door import may_try, tried_in_vain
from calcs.messages import _


class SignInView(LoginView):
    """Django's, but what was sent after the session was over comes back in its form."""

    authentication_form = SignInForm

    def get(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if nobody_may_sign_in():
            return redirect("welcome")
        return super().get(request, *args, **kwargs)

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if "again" in request.POST:
            # From the page of whoever tried too often: back to an empty form, with all that was kept.
            return self.render_to_response(self.get_context_data(form=SignInForm(request)))
        return super().post(request, *args, **kwargs)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(kept=self.request.POST.get("kept", ""), **kwargs)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        signed_in = super().form_valid(form)
        return take_back(self.request, self.request.POST.get("kept", "")) or signed_in


def to_sign_in(request: HttpRequest) -> HttpResponse:
    """The administration pages have no door of their own."""
    return redirect(reverse("sign_in") + f"?{urlencode({'next': request.GET.get('next', '/admin/')})}")


@login_not_required
@require_POST
def set_theme(request: HttpRequest) -> HttpResponse:
    """Choose the day or evening look for this browser; choosing it again goes back to the system's."""
    response = back_to(request, "/")
    chosen = request.POST.get("theme", "")
    if chosen in THEMES and chosen != request.COOKIES.get("theme"):
        response.set_cookie("theme", chosen, max_age=2 * 365 * 24 * 3600, samesite="Lax", httponly=True)
    else:
        response.delete_cookie("theme")
    return response


@login_not_required
def welcome(request: HttpRequest) -> HttpResponse:
    """Make the first owner with the code from the server's window. Gone once there is an owner."""
    if owner_exists():
        raise Http404
    if request.method == "POST" and not may_try(request, request.path):
        return get_lockout_response(request)
    form = WelcomeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            user = make_first_owner(**form.cleaned_data)
            login(request, user, backend="builds.permissions.PeopleBackend")
            return redirect("builds:list" if Build.objects.exists() else "builds:new")
        if form.has_error("code"):
            tried_in_vain(request, request.path)
    return render(request, "shop/welcome.html", {"form": form, "step": 1}, status=422 if form.errors else 200)


@onlookers_may
@require_POST
def sign_out_myself(request: HttpRequest) -> HttpResponse:
    """End every session of whoever asks, this one as well."""
    sign_out_everywhere(user=request.user, by=the_builder(request))
    return redirect("sign_in")


@onlookers_may
def change_password(request: HttpRequest) -> HttpResponse:
    form = PasswordChangeForm(request.user, request.POST or None)
    if request.method == "POST" and form.is_valid():
        update_session_auth_hash(request, form.save())
        note(by=the_builder(request), type=EventType.SET_PASSWORD, name=request.user.get_username())
        messages.success(request, _("Your password is changed."))
        return redirect("builds:list")
    return render(request, "shop/password.html", {"form": form}, status=422 if form.errors else 200)
