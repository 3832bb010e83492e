"""What the shop has: machines, materials, and the people who may sign in."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.forms import ModelForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST

from builds.forms.shop import EditPersonForm, MachineForm, MaterialForm, NewPersonForm
from builds.models import Builder, Machine, Material
from builds.permissions import for_builders, for_owners
from builds.services.shop import items as shop_services
from builds.services.shop.builders import add_builder, keep_person, role_of
from builds.views.put_back import say_with_way_back
from builds.views.refusals import refusals_beside, refusals_on_top
from builds.views.shop.door import open_again
from calcs.messages import _


@dataclass(frozen=True)
class ItemKind:
    title: Promise
    one: Promise
    words: Promise
    form: type[ModelForm]
    items: "QuerySet[Any]"


KINDS = {
    "machines": ItemKind(
        gettext_lazy("Machines"),
        gettext_lazy("machine"),
        gettext_lazy("Each with the spindle speeds it really has."),
        MachineForm,
        Machine.objects.all(),
    ),
    "materials": ItemKind(
        gettext_lazy("Materials"),
        gettext_lazy("material"),
        gettext_lazy("With the shop's own figures, where it has some."),
        MaterialForm,
        Material.objects.all(),
    ),
}


def the_kind(kind: str) -> ItemKind:
    if kind not in KINDS:
        raise Http404
    return KINDS[kind]


def shop_page(request: HttpRequest, kind: str) -> HttpResponse:
    what = the_kind(kind)
    form = what.form(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            shop_services.keep(item=form.save(commit=False))
            messages.success(request, _("The {record} is kept.", record=what.one))
            return redirect(request.path)
    context = {"kind": kind, "what": what, "form": form, "items": what.items.all(), "here": kind}
    return render(request, "shop/shop.html", context, status=422 if form.errors else 200)


@for_builders
def edit_item(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    what = the_kind(kind)
    item = get_object_or_404(what.items.all(), pk=pk)
    form = what.form(request.POST or None, instance=item)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            shop_services.keep(item=form.save(commit=False))
            return redirect("builds:shop", kind)
    title = _("Edit this {record}", record=what.one)
    context = {"kind": kind, "form": form, "record": item, "title": title, "doing": _("Save")}
    context |= {"remove_to": reverse("builds:remove_item", args=[kind, pk]), "here": kind}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


@require_POST
def remove_item(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    what = the_kind(kind)
    item = get_object_or_404(what.items.all(), pk=pk)
    with refusals_on_top(request):
        # In the browser's session, since the shop has no events: gone when it is put back, or with the session.
        request.session[f"removed {kind} {pk}"] = shop_services.remove(item=item)
        way_back = reverse("builds:put_back_item", args=[kind, pk])
        say_with_way_back(request, _("The {record} is removed.", record=what.one), way_back)
    return redirect("builds:shop", kind)


@require_POST
def put_back_item(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Put back what this browser removed."""
    what, place = the_kind(kind), f"removed {kind} {pk}"
    if place not in request.session:
        raise Http404
    with refusals_on_top(request):
        item = shop_services.put_back(model=what.form._meta.model, kept=request.session[place])
        del request.session[place]
        messages.success(request, _("{item} is back.", item=item))
    return redirect("builds:shop", kind)


@for_owners
def people_page(request: HttpRequest) -> HttpResponse:
    """Who may sign in, and the form for one more."""
    form = NewPersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            user = add_builder(**form.cleaned_data)
            messages.success(request, _("{name} may sign in now.", name=user.get_username()))
            return redirect(request.path)
    people = [(builder, role_of(builder).label) for builder in Builder.objects.select_related("user")]
    context = {"form": form, "people": people, "here": "people"}
    return render(request, "shop/people.html", context, status=422 if form.errors else 200)


@for_owners
def edit_person(request: HttpRequest, pk: int) -> HttpResponse:
    """What somebody may do, a new password, and the door opened again after too many attempts."""
    builder = get_object_or_404(Builder.objects.select_related("user"), pk=pk, user__isnull=False)
    form = EditPersonForm(
        request.POST or None, initial={"role": role_of(builder), "may_sign_in": builder.user.is_active}
    )
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            keep_person(builder=builder, **form.cleaned_data)
            open_again(builder.user.get_username())
            messages.success(request, _("What {name} may do is kept.", name=builder))
            return redirect("builds:people")
    context = {"form": form, "title": str(builder), "doing": _("Save"), "here": "people"}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)
