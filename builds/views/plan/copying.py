"""A part planned once more, and its route given to another part."""

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from builds.forms.copying import CopyPartForm, CopyRouteForm
from builds.models import Part
from builds.permissions import for_builders, the_builder
from builds.services.plan.copying import copy_part, copy_route, free_number_beside
from builds.views.plan.parts import the_part
from builds.views.put_back import say_done
from builds.views.refusals import refusals_beside
from calcs.messages import _


@for_builders
def copy_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Both copies, each with its button: `doing` says which one was pressed."""
    part, doing = the_part(slug, pk), request.POST.get("doing", "")
    whole = CopyPartForm(
        request.POST if doing == "part" else None,
        instance=Part(build=part.build),
        initial={"number": free_number_beside(part), "name": part.name},
    )
    route = CopyRouteForm(request.POST if doing == "route" else None, part=part)
    done = _copied(request, part, whole) or _route_copied(request, part, route)
    if done is not None:
        return redirect("builds:part", slug, done.pk)
    context = {"build": part.build, "part": part, "whole": whole, "route": route, "here": "plan"}
    refused: list[BaseForm] = [form for form in (whole, route) if form.errors]
    return render(request, "plan/copying.html", context, status=422 if refused else 200)


def _copied(request: HttpRequest, part: Part, form: CopyPartForm) -> Part | None:
    if form.is_valid():
        with refusals_beside(form):
            copy, event = copy_part(part=part, **form.cleaned_data, by=the_builder(request), today=timezone.localdate())
            say_done(request, _("{copy} is planned like {part}.", copy=copy, part=part), event)
            return copy
    return None


def _route_copied(request: HttpRequest, part: Part, form: CopyRouteForm) -> Part | None:
    if form.is_valid():
        to: Part = form.cleaned_data["to"]
        with refusals_beside(form):
            event = copy_route(part=part, to=to, by=the_builder(request), today=timezone.localdate())
            say_done(request, _("{to} has the route of {part} now.", to=to, part=part), event)
            return to
    return None
