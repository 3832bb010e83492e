"""What the shop as a whole shows visitors, for the owner."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from builds.forms.shop_visitors import ShopVisitorsForm
from builds.models import Shop
from builds.permissions import for_owners, the_builder
from builds.services.shop.visitors import keep_for_visitors
from builds.views.refusals import refusals_beside
from calcs.messages import _


@for_owners
def shop_visitors(request: HttpRequest) -> HttpResponse:
    """Whether the arithmetic stands open, and the shop's own headings for the board."""
    form = ShopVisitorsForm(request.POST or None, instance=Shop.the_one())
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            keep_for_visitors(shop=form.save(commit=False), by=the_builder(request))
            messages.success(request, _("What visitors are shown is kept."))
            return redirect(request.path)
    context = {"form": form, "title": _("For visitors"), "doing": _("Save"), "here": "visitors"}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)
