"""Catching up: a week, a month or a year out of a paper notebook, shown whole before anything is stored."""

from datetime import date, timedelta

from django.core.exceptions import ValidationError
from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from builds.forms.log.catch_up import CatchUpLines, count_lines, fresh_sheet, go_on, read_lines
from builds.forms.log.notebook import Notebook
from builds.forms.log.work import WorkChoices
from builds.forms.two_people import refuse
from builds.models import Build, Builder, Entry
from builds.permissions import for_builders, the_build, the_builder
from builds.queries.log.bench import work_lately
from builds.queries.snapshot import PartsAtHand
from builds.services.log.clock import evening_of
from builds.services.log.entries import Recorded, record_entries
from builds.views.log.asking import remarked
from builds.views.log.bench import to_logged


@for_builders
def catch_up(request: HttpRequest, slug: str) -> HttpResponse:
    """A page of days and lines. Lines that were not read yet are read and shown; only then are they logged."""
    build, builder, today = the_build(slug), the_builder(request), evening_of(timezone.now())
    at_hand = PartsAtHand(build, timezone.localdate())
    data = request.POST.copy() if request.method == "POST" else fresh_sheet(_first_day(build, builder, today), today)
    if not count_lines(data):
        return redirect("builds:catch_up", slug)
    unread = read_lines(data, Notebook(at_hand, with_batches=False)) if request.method == "POST" else 0
    go_on(data, today, more="more" in data)
    near = list(dict.fromkeys(part for part, _operation in work_lately(build, today)))[:6]
    lines = CatchUpLines(data, choices=WorkChoices(at_hand, lambda: near), picks=(), builder=builder)
    logging = request.method == "POST" and "log" in data and not unread
    if logging and lines.is_valid():
        recorded = _record(request, at_hand, lines, builder, today)
        if recorded is not None:
            return redirect(to_logged(build, recorded))
    context = {"build": build, "lines": lines, "unread": unread, "here": "bench"}
    context["read"] = any(form.is_read for form in lines.forms)
    context["asked"] = logging and any(form.questions for form in lines.forms)
    refused = any(form.errors for form in lines.forms) or context["asked"]
    return render(request, "log/catch_up.html", context, status=422 if refused else 200)


def _first_day(build: Build, builder: Builder, today: date) -> date:
    """The day after the last that this builder logged."""
    last: date | None = Entry.objects.kept().filter(build=build, builder=builder).aggregate(on=Max("worked_on"))["on"]
    return min(last + timedelta(days=1), today) if last is not None else today


def _record(
    request: HttpRequest, at_hand: PartsAtHand, lines: CatchUpLines, builder: Builder, today: date
) -> Recorded | None:
    """Log all of them as one event; None where something was refused or is asked about."""
    given = lines.lines({"builder": builder})
    touched = lines.touched()
    if any(form.errors for form in touched):
        return None
    try:
        to_log = remarked(request, at_hand, given, touched)
        return (
            record_entries(build=at_hand.build, lines=to_log, by=builder, today=today) if to_log is not None else None
        )
    except ValidationError as error:
        refuse(touched[getattr(error, "line", 0)] if touched else lines.forms[0], error)
        return None
