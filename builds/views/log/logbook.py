"""The log book."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from builds.forms.log.amend import AmendForm
from builds.forms.log.logbook import LogFilterForm
from builds.forms.log.work import WorkChoices
from builds.models import Entry, Event
from builds.permissions import the_build, the_builder
from builds.queries.log.logbook import log_page as read_log
from builds.services.log.clock import evening_of
from builds.services.log.entries import amend_entry, remove_entry
from builds.views.refusals import refusals_beside
from calcs.messages import _


def log_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    form = LogFilterForm(request.GET or None, build=build)
    page = read_log(build, form.asked(), request.GET.get("page", 1))
    query = request.GET.copy()
    query.pop("page", None)
    context = {
        "build": build,
        "form": form,
        "log": page,
        "here": "log",
        "query": f"{query.urlencode()}&" if query else "",
    }
    undo = request.GET.get("undo", "")
    if undo.isdecimal():
        context["undo"] = Event.objects.filter(build=build, pk=int(undo), undoable=True).first()
    template = "log/log.html#entries" if request.htmx else "log/log.html"  # type: ignore[attr-defined]
    return render(request, template, context)


def amend(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Put an entry right."""
    entry = get_object_or_404(Entry.objects.kept().select_related("build"), build__slug=slug, pk=pk)
    today = evening_of(timezone.now())
    choices = WorkChoices(entry.build, today, [entry.part_id] if entry.part_id else [])
    form = AmendForm(request.POST or None, entry=entry, choices=choices)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        counted = not entry.activity or entry.activity in entry.build.counted
        with refusals_beside(form):
            line = form.line(data, taken_off=(entry.bench_minutes or 0) if counted else 0)
            amend_entry(entry=entry, line=line, by=the_builder(request), today=today, seen=data["seen"])
            messages.success(request, _("The entry is amended. What it was before is kept."))
            return redirect("builds:log", slug)
    context = {"build": entry.build, "form": form, "entry": entry, "title": _("Amend an entry"), "here": "log"}
    return render(request, "log/amend.html", context, status=422 if form.errors else 200)


@require_POST
def remove(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    entry = get_object_or_404(Entry.objects.select_related("build", "part", "operation"), build__slug=slug, pk=pk)
    event = remove_entry(entry=entry, by=the_builder(request))
    return redirect(reverse("builds:log", args=[slug]) + (f"?undo={event.pk}" if event is not None else ""))
