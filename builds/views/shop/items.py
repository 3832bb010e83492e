"""What the shop has: machines, materials, stock and measuring instruments."""

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

from builds.forms.shop import InstrumentForm, MachineForm, MaterialForm, OfferForm, StockForm
from builds.models import Instrument, Machine, Material, Offer, Stock
from builds.permissions import for_builders, the_builder
from builds.services.shop import items as shop_services
from builds.views.put_back import say_with_way_back
from builds.views.refusals import refusals_beside, refusals_on_top
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
    "rack": ItemKind(
        gettext_lazy("In the rack"),
        gettext_lazy("stock on hand"),
        gettext_lazy("Bars and plates that are there, offcuts too. They are cut up before anything is bought."),
        StockForm,
        Stock.objects.select_related("material"),
    ),
    "on-sale": ItemKind(
        gettext_lazy("Lengths on sale"),
        gettext_lazy("length on sale"),
        gettext_lazy("The lengths that can be bought, each with its price where it is known."),
        OfferForm,
        Offer.objects.select_related("material"),
    ),
    "instruments": ItemKind(
        gettext_lazy("Measuring instruments"),
        gettext_lazy("measuring instrument"),
        gettext_lazy("What pieces are measured with, and how far each may be wrong."),
        InstrumentForm,
        Instrument.objects.all(),
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
            shop_services.keep(item=form.save(commit=False), by=the_builder(request))
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
            shop_services.keep(item=form.save(commit=False), by=the_builder(request))
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
        # In the session, since machines and materials have no history: gone when it is put back, or with the session.
        request.session[f"removed {kind} {pk}"] = shop_services.remove(item=item, by=the_builder(request))
        way_back = reverse("builds:put_back_item", args=[kind, pk])
        say_with_way_back(request, _("The {record} is removed.", record=what.one), way_back)
    return redirect("builds:shop", kind)


@require_POST
def put_back_item(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Put back what this browser removed."""
    place = f"removed {kind} {pk}"
    if place not in request.session:
        raise Http404
    with refusals_on_top(request):
        kept = request.session[place]
        item = shop_services.put_back(kept=kept, by=the_builder(request))
        del request.session[place]
        messages.success(request, _("{item} is back.", item=item))
    return redirect("builds:shop", kind)
