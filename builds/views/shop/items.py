"""What the shop has: machines, materials, and the people who may sign in."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.forms import ModelForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from builds.forms.fields import refuse
from builds.forms.shop import MachineForm, MaterialForm, PersonForm
from builds.models import Builder, Machine, Material
from builds.permissions import owner_only
from builds.services.shop import items as shop_services
from builds.services.shop.builders import add_builder


@dataclass(frozen=True)
class ItemKind:
    title: str
    one: str
    words: str
    form: type[ModelForm]
    items: "QuerySet[Any]"


KINDS = {
    "machines": ItemKind(
        "Machines", "machine", "Each with the spindle speeds it really has.", MachineForm, Machine.objects.all()
    ),
    "materials": ItemKind(
        "Materials", "material", "With the shop's own figures, where it has some.", MaterialForm, Material.objects.all()
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
        shop_services.keep(item=form.save(commit=False))
        messages.success(request, f"The {what.one} is kept.")
        return redirect(request.path)
    context = {"kind": kind, "what": what, "form": form, "items": what.items.all(), "here": kind}
    return render(request, "shop/shop.html", context, status=422 if form.errors else 200)


def edit_item(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    what = the_kind(kind)
    item = get_object_or_404(what.items.all(), pk=pk)
    form = what.form(request.POST or None, instance=item)
    if request.method == "POST" and form.is_valid():
        shop_services.keep(item=form.save(commit=False))
        return redirect("builds:shop", kind)
    context = {"kind": kind, "form": form, "record": item, "title": f"Edit this {what.one}", "doing": "Save"}
    context |= {"remove_to": reverse("builds:remove_item", args=[kind, pk]), "here": kind}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


@require_POST
def remove_item(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    what = the_kind(kind)
    item = get_object_or_404(what.items.all(), pk=pk)
    try:
        shop_services.remove(item=item)
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, f"The {what.one} is removed.")
    return redirect("builds:shop", kind)


@owner_only
def people_page(request: HttpRequest) -> HttpResponse:
    """Who may sign in, and the form for one more."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            user = add_builder(**form.cleaned_data)
        except ValidationError as error:
            refuse(form, error)
        else:
            messages.success(request, f"{user.get_username()} may sign in now.")
            return redirect(request.path)
    context = {"form": form, "people": Builder.objects.select_related("user"), "here": "people"}
    return render(request, "shop/people.html", context, status=422 if form.errors else 200)
