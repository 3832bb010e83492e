"""The log book."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.http import require_POST, require_safe

from builds.forms.log.amend import AmendForm
from builds.forms.log.counts import reasons_used
from builds.forms.log.logbook import LogFilterForm
from builds.forms.log.work import WorkChoices
from builds.models import Build, Entry
from builds.permissions import for_builders, the_builder
from builds.queries.log.bench import reasons_lately
from builds.queries.log.logbook import log_page as read_log
from builds.queries.snapshot import PartsAtHand
from builds.services.log.clock import evening_of
from builds.services.log.entries import amend_entry, remove_entry
from builds.views.back import back_to
from builds.views.kept import Shown, follows_its_build
from builds.views.log.asking import remarked
from builds.views.put_back import say_removed
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _


@require_safe
@follows_its_build
def log_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    part = "entries" if request.htmx else "main"  # type: ignore[attr-defined]
    page = request.GET.get("page", "")
    only_leafed = not request.GET.keys() - {"page"} and (not page or (page.isdecimal() and len(page) < 6))
    html = shown.part(
        request,
        f"log/log.html#{part}",
        lambda: _log_context(shown.build, request.GET),
        page if only_leafed else None,
    )
    if part == "entries":
        return HttpResponse(html)
    # The form for what is refused of it, which is said on top of the page, outside of what is kept.
    form = LogFilterForm(request.GET or None, build=shown.build)
    context = {"build": shown.build, "main": html, "form": form, "here": "log"}
    return render(request, "log/log.html", context)


def _log_context(build: Build, asked: QueryDict) -> dict[str, object]:
    form = LogFilterForm(asked or None, build=build)
    query = asked.copy()
    query.pop("page", None)
    return {
        "form": form,
        "log": read_log(build, form.asked(), asked.get("page", 1)),
        "query": f"{query.urlencode()}&" if query else "",
    }


@for_builders
def amend(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Put an entry right."""
    entry = get_object_or_404(Entry.objects.kept().select_related("build"), build__slug=slug, pk=pk)
    today = evening_of(timezone.now())
    at_hand = PartsAtHand(entry.build, today)
    choices = WorkChoices(at_hand, lambda: [entry.part_id] if entry.part_id else [])
    form = AmendForm(request.POST or None, entry=entry, choices=choices)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        with refusals_beside(form):
            line = form.line(data, without=[entry.token])
            lines = remarked(request, at_hand, [line], [form], instead_of=entry)
            if lines is not None:
                amend_entry(entry=entry, line=lines[0], by=the_builder(request), today=today, seen=data["seen"])
                messages.success(request, _("The entry is amended. What it was before is kept."))
                return redirect("builds:log", slug)
    reasons = reasons_used(reasons_lately(entry.build, today))
    context = {"build": entry.build, "form": form, "entry": entry, "reasons": reasons, "here": "log"}
    return render(request, "log/amend.html", context, status=422 if form.errors or form.questions else 200)


@require_POST
def remove(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    entry = get_object_or_404(Entry.objects.select_related("build", "part", "operation"), build__slug=slug, pk=pk)
    with refusals_on_top(request):
        event = remove_entry(entry=entry, by=the_builder(request))
        if event is not None:
            say_removed(request, _("The entry of {day} is removed.", day=date_format(entry.worked_on)), event)
    return back_to(request, reverse("builds:log", args=[slug]))
