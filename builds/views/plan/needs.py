"""What a part, or one of its operations, needs first."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from builds.forms.needs import NeedForm
from builds.models import Need
from builds.permissions import the_builder
from builds.queries.plan.needs import part_needs
from builds.queries.snapshot import read_parts
from builds.services.plan import records as plan_services
from builds.views.plan.parts import the_part
from builds.views.put_back import say_removed
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _


def needs_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """All that comes before a part and after it, and the form for one more."""
    part, today = the_part(slug, pk), timezone.localdate()
    sent = request.method == "POST"
    if sent and "search" not in request.POST:
        form = NeedForm(request.POST, part=part, today=today)
    else:
        form = NeedForm(part=part, today=today, initial=(request.POST if sent else request.GET).dict())
    if form.is_valid():
        with refusals_beside(form):
            need = plan_services.save(record=form.need(), by=the_builder(request))
            messages.success(request, _("{order}: that is kept.", order=need))
            return redirect(request.path)
    snapshot = read_parts(part.build, today, [part.pk])
    needs = part_needs(snapshot, snapshot.by_part[part.pk])
    context = {"build": part.build, "part": part, "needs": needs, "form": form, "here": "plan"}
    return render(request, "plan/needs.html", context, status=422 if form.errors else 200)


@require_POST
def remove_need(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    need = get_object_or_404(Need.objects.select_related("part__build"), part__build__slug=slug, pk=pk)
    with refusals_on_top(request):
        event = plan_services.remove(record=need, by=the_builder(request))
        say_removed(request, _("{order}: that is no longer said.", order=need), event)
    return redirect("builds:needs", slug, need.part_id)
