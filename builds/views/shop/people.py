"""The people who may sign in, and what they and everybody did."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST

from builds.forms.shop import EditPersonForm, EventFilterForm, NewPersonForm
from builds.models import Builder
from builds.permissions import for_owners, the_builder
from builds.queries.log.events import every_events_page
from builds.services.shop.builders import add_builder, keep_person, role_of, sign_out_everywhere
from builds.views.refusals import refusals_beside
from builds.views.shop.door import open_again
from calcs.messages import _


@for_owners
def people_page(request: HttpRequest) -> HttpResponse:
    """Who may sign in, and the form for one more."""
    form = NewPersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            user = add_builder(**form.cleaned_data, by=the_builder(request))
            messages.success(request, _("{name} may sign in now.", name=user.get_username()))
            return redirect(request.path)
    people = [(builder, role_of(builder).label) for builder in Builder.objects.select_related("user")]
    context = {"form": form, "people": people, "here": "people"}
    return render(request, "shop/people.html", context, status=422 if form.errors else 200)


@for_owners
def edit_person(request: HttpRequest, pk: int) -> HttpResponse:
    """What somebody may do, a new password, and the door opened again after too many attempts."""
    builder = get_object_or_404(Builder.objects.select_related("user"), pk=pk, user__isnull=False)
    form = EditPersonForm(request.POST or None, entry=builder)
    if request.method == "POST" and form.is_valid():
        changes = {name: form.cleaned_data[name] for name in ("role", "may_sign_in", "password")}
        with refusals_beside(form):
            keep_person(builder=builder, **changes, by=the_builder(request))
            open_again(builder.user.get_username())
            messages.success(request, _("What {name} may do is kept.", name=builder))
            return redirect("builds:people")
    context = {"form": form, "title": str(builder), "doing": _("Save"), "person": builder, "here": "people"}
    return render(request, "shop/person.html", context, status=422 if form.errors else 200)


@for_owners
@require_POST
def sign_out_person(request: HttpRequest, pk: int) -> HttpResponse:
    """End every session of somebody."""
    builder = get_object_or_404(Builder.objects.select_related("user"), pk=pk, user__isnull=False)
    sign_out_everywhere(user=builder.user, by=the_builder(request))
    messages.success(request, _("{name} is signed out everywhere.", name=builder))
    return redirect("builds:people")


@for_owners
def shop_events(request: HttpRequest) -> HttpResponse:
    """Who did what, in all builds and at the doors."""
    form = EventFilterForm(request.GET)
    query = request.GET.copy()
    query.pop("page", None)
    page = every_events_page(**form.asked(), number=request.GET.get("page", 1))
    context = {"form": form, "page": page, "query": f"{query.urlencode()}&" if query else "", "here": "events"}
    return render(request, "shop/events.html", context)
