"""The bench page: log an evening, clock on and off."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from builds.forms.fields import refuse
from builds.forms.log.bench import ClockOffForm, EveningForm, EveningLines
from builds.forms.log.counts import reasons_used
from builds.forms.log.work import WorkChoices
from builds.models import Build, Builder, Clock
from builds.permissions import the_build, the_builder
from builds.queries.log.bench import Bench, after_logging, bench_of
from builds.services.log import clock as clock_services
from builds.services.log.clock import evening_of, minutes_since
from builds.services.log.entries import LogLine, record_entries
from builds.views.refusals import refusals_on_top
from calcs.messages import _


def bench_page(request: HttpRequest, slug: str) -> HttpResponse:
    """The form for an evening."""
    build, builder = the_build(slug), the_builder(request)
    part = request.GET.get("part", "")
    bench = _bench(build, builder, int(part) if part.isdecimal() else None)
    evening = EveningForm(initial={"worked_on": bench.evening, "builder": builder})
    return _page(request, bench, evening, _lines(request, bench))


def log_evening(request: HttpRequest, slug: str) -> HttpResponse:
    """Log an evening. `more` in the form asks for one more line instead of logging.

    Its address is not the form's own: a browser that goes back then shows the form it sent, with the token it sent,
    and pressing again logs nothing twice.
    """
    if request.method != "POST":
        return redirect("builds:bench", slug)
    build, builder = the_build(slug), the_builder(request)
    bench = _bench(build, builder)
    evening = EveningForm(request.POST)
    lines = _lines(request, bench)
    if "more" not in request.POST and evening.is_valid() and lines.is_valid():
        answer = _record(request, build, builder, bench, evening, lines)
        if answer is not None:
            return answer
    return _page(request, bench, evening, lines)


def _bench(build: Build, builder: Builder, first: int | None = None) -> Bench:
    """The bench now. After midnight it offers the evening before, and still knows what joined the plan since."""
    return bench_of(build, builder, timezone.localdate(), first, evening_of(timezone.now()))


def _lines(request: HttpRequest, bench: Bench) -> EveningLines:
    data = request.POST.copy() if request.method == "POST" else None
    if data is not None and "more" in data:
        count = int(data.get("form-TOTAL_FORMS", "1") or 1) if data.get("form-TOTAL_FORMS", "").isdecimal() else 1
        data["form-TOTAL_FORMS"] = str(min(count + 1, EveningLines.max_num))
    return EveningLines(data, choices=WorkChoices(bench.snapshot), picks=bench.picks)


def _record(
    request: HttpRequest, build: Build, builder: Builder, bench: Bench, evening: EveningForm, lines: EveningLines
) -> HttpResponse | None:
    """Log the lines; None where something was refused, which then stands beside its field."""
    today = evening_of(timezone.now())
    shared = evening.cleaned_data | {"builder": evening.cleaned_data["builder"] or builder}
    given = lines.lines(shared, bench.snapshot)
    if any(form.errors for form in lines.forms):
        return None
    try:
        recorded = record_entries(build=build, lines=given, by=builder, today=today)
    except ValidationError as error:
        touched = lines.touched()
        _spread(error, evening, touched[getattr(error, "line", 0)] if touched else None)
        return None
    if recorded.again:
        messages.warning(
            request,
            _("That form had been sent already and is logged once; nothing was added. Here is a new one."),
        )
    parts = ",".join(str(entry.part_id) for entry in recorded.entries if entry.part_id)
    return redirect(f"{reverse('builds:bench', args=[build.slug])}?logged={len(recorded.entries)}&parts={parts}")


def _spread(error: ValidationError, evening: EveningForm, line: object) -> None:
    """What the service refused goes to the evening's fields or to the line's."""
    known = getattr(error, "error_dict", None)
    if line is None or (known and set(known) <= set(evening.fields)):
        refuse(evening, error)
    else:
        refuse(line, error)  # type: ignore[arg-type]


def _page(request: HttpRequest, bench: Bench, evening: EveningForm, lines: EveningLines) -> HttpResponse:
    refused = request.method == "POST" and "more" not in request.POST
    keys = [int(key) for key in request.GET.get("parts", "").split(",") if key.isdecimal()][:30]
    context = {
        "build": bench.snapshot.build,
        "bench": bench,
        "evening": evening,
        "lines": lines,
        "reasons": reasons_used(dict.fromkeys(r.scrap_reason for r in reversed(bench.snapshot.rows) if r.scrap_reason)),
        "logged": request.GET.get("logged"),
        "evening_on": bench.evening,
        "builder": the_builder(request),
        "clock_form": ClockOffForm(),
        "clock_minutes": minutes_since(bench.clock, timezone.now()) if bench.clock else None,
        "after": after_logging(bench.snapshot, keys) if "logged" in request.GET else (),
        "here": "bench",
    }
    return render(request, "log/bench.html", context, status=422 if refused else 200)


@require_POST
def clock_on(request: HttpRequest, slug: str) -> HttpResponse:
    build, builder = the_build(slug), the_builder(request)
    with refusals_on_top(request):
        part, operation, activity = WorkChoices(_bench(build, builder).snapshot).chosen(_first_work(request))
        clock_services.clock_on(
            builder=builder, build=build, part=part, operation=operation, activity=activity, now=timezone.now()
        )
    return redirect("builds:bench", slug)


def _first_work(request: HttpRequest) -> str:
    """What the first line of the bench form is about: the clock is started from there."""
    return request.POST.get("form-0-other") or request.POST.get("form-0-work") or ""


@require_POST
def clock_off(request: HttpRequest, slug: str) -> HttpResponse:
    """Stop the clock and log its time; the counts are then added on the bench or by amending."""
    clock = Clock.objects.filter(builder=the_builder(request)).select_related("build", "part", "operation").first()
    if clock is None:
        messages.info(request, _("No clock of yours is running."))
        return redirect("builds:bench", slug)
    now = timezone.now()
    form = ClockOffForm(request.POST)
    with refusals_on_top(request):
        if not form.is_valid():
            raise ValidationError([error for errors in form.errors.values() for error in errors])
        minutes, sure = form.bench_time(clock_services.minutes_since(clock, now))
        line = LogLine(worked_on=evening_of(now), bench_minutes=minutes, bench_is=sure)
        entry = clock_services.clock_off(clock=clock, line=line, now=now)
        messages.success(request, _("The clock's time is logged. Count the pieces below, or leave it at that."))
        return redirect("builds:amend", entry.build.slug, entry.pk)
    return redirect("builds:bench", slug)


@require_POST
def discard_clock(request: HttpRequest, slug: str) -> HttpResponse:
    clock = get_object_or_404(Clock, builder=the_builder(request))
    clock_services.discard_clock(clock=clock)
    messages.info(request, _("The clock is stopped; nothing was logged."))
    return redirect("builds:bench", slug)
