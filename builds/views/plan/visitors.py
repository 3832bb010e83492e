"""What visitors are told of a build."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from builds.forms.visitors import ExhibitForm
from builds.permissions import for_builders, the_build, the_builder
from builds.queries.visitors.exhibit import exhibit_of
from builds.services.plan.visitors import keep_exhibit
from builds.views.refusals import refusals_beside
from calcs.messages import _


@for_builders
def visitors_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    form = ExhibitForm(request.POST or None, instance=exhibit_of(build))
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            keep_exhibit(exhibit=form.save(commit=False), **form.of_build(), by=the_builder(request))
            messages.success(request, _("What visitors are told is kept."))
            return redirect(request.path)
    context = {"build": the_build(slug), "form": form, "here": "board"}
    return render(request, "plan/visitors.html", context, status=422 if form.errors else 200)
