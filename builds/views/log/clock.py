"""The clock: on, its start set back, off, and put back where it was stopped by mistake."""

from datetime import datetime

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from builds.forms.log.clock import ClockOffForm, typed_on_bench, typed_on_clock
from builds.models import Clock
from builds.permissions import the_build, the_builder
from builds.queries.snapshot import PartsAtHand
from builds.services.log import clock as clock_services
from builds.services.log.clock import evening_of, minutes_since
from builds.services.log.entries import LogLine, Recorded
from builds.views.log.asking import remarked
from builds.views.log.bench import choices_of, fresh_page, page_as_sent, the_bench, to_logged
from builds.views.put_back import say_with_way_back
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _

DISCARDED = "discarded clock"


@require_POST
def clock_on(request: HttpRequest, slug: str) -> HttpResponse:
    """Start the clock on what the first line is about. What was typed already stays with the clock."""
    build, builder = the_build(slug), the_builder(request)
    try:
        part, operation, activity = choices_of(build).chosen(_first_work(request))
        clock_services.clock_on(
            builder=builder,
            build=build,
            part=part,
            operation=operation,
            activity=activity,
            now=timezone.now(),
            typed=typed_on_bench(request.POST),
        )
    except ValidationError as error:
        return page_as_sent(request, the_bench(build, builder), error)
    return redirect("builds:bench", slug)


def _first_work(request: HttpRequest) -> str:
    """What the first line of the bench form is about: the clock is started from there."""
    return request.POST.get("form-0-other") or request.POST.get("form-0-work") or ""


@require_POST
def clock_start(request: HttpRequest, slug: str) -> HttpResponse:
    """Move the start of the clock; what was typed beside it stays with it."""
    clock = get_object_or_404(Clock.objects.select_related("build"), builder=the_builder(request))
    form = ClockOffForm(request.POST, clock=clock)
    with refusals_beside(form):
        if form.is_valid():
            _take_start(request, clock, form, timezone.now())
            return redirect("builds:bench", clock.build.slug)
    return fresh_page(request, the_bench(clock.build, clock.builder), form)


def _take_start(request: HttpRequest, clock: Clock, form: ClockOffForm, now: datetime) -> None:
    """Keep what was typed with the clock, and the start that it was set to."""
    asked = form.new_start
    start = clock_services.began_at(asked, now) if asked is not None else None
    clock_services.keep_on_clock(clock=clock, typed=typed_on_clock(request.POST), started_at=start)


@require_POST
def clock_off(request: HttpRequest, slug: str) -> HttpResponse:
    """Stop the clock and log its time with what was counted and noted; without counts, the entry to add them to."""
    running = Clock.objects.filter(builder=the_builder(request))
    clock = running.select_related("build", "part", "operation", "builder").first()
    if clock is None:
        messages.info(request, _("No clock of yours is running."))
        return redirect("builds:bench", slug)
    now, form = timezone.now(), ClockOffForm(request.POST, clock=clock)
    with refusals_beside(form):
        lines = _clock_lines(request, clock, form, now) if form.is_valid() else None
        if lines is not None:
            entry = clock_services.clock_off(clock=clock, line=lines[0], now=now)
            if form.says_more:
                return redirect(to_logged(entry.build, Recorded((entry,))))
            messages.success(request, _("The clock's time is logged. Count the pieces below, or leave it at that."))
            return redirect("builds:amend", entry.build.slug, entry.pk)
    return fresh_page(request, the_bench(clock.build, clock.builder), form)


def _clock_lines(request: HttpRequest, clock: Clock, form: ClockOffForm, now: datetime) -> list[LogLine] | None:
    """What the clock would log; None where that is asked about."""
    if form.new_start is not None:
        _take_start(request, clock, form, now)
    stopped = form.stopped(clock.started_at, now)
    minutes, sure = form.bench_time(minutes_since(clock, stopped))
    at_hand = PartsAtHand(clock.build, timezone.localdate())
    line = form.line(clock, at_hand.row(clock.part_id), minutes, sure, stopped)
    overnight = not form.says_time and evening_of(clock.started_at) != evening_of(stopped)
    timed = clock_services.clock_line(clock, line, stopped)
    return remarked(request, at_hand, [timed], [form], clock_overnight=overnight)


@require_POST
def discard_clock(request: HttpRequest, slug: str) -> HttpResponse:
    """Stop the clock without logging; this browser can put it back as it was."""
    clock = get_object_or_404(Clock.objects.select_related("build"), builder=the_builder(request))
    kept = {name: getattr(clock, name) for name in ("build_id", "part_id", "operation_id", "activity")}
    typed = {**clock.typed, **typed_on_clock(request.POST)}
    clock_services.discard_clock(clock=clock)
    request.session[DISCARDED] = {**kept, "typed": typed, "started_at": clock.started_at.isoformat()}
    way_back = reverse("builds:put_back_clock", args=[clock.build.slug])
    say_with_way_back(request, _("The clock is stopped; nothing was logged."), way_back)
    return redirect("builds:bench", slug)


@require_POST
def put_back_clock(request: HttpRequest, slug: str) -> HttpResponse:
    """Let the clock run on that this browser stopped, since when it was started."""
    if DISCARDED not in request.session:
        raise Http404
    kept = request.session[DISCARDED]
    with refusals_on_top(request):
        started_at = datetime.fromisoformat(kept["started_at"])
        clock_services.put_back(Clock(builder=the_builder(request), **{**kept, "started_at": started_at}))
        del request.session[DISCARDED]
        messages.success(request, _("The clock runs on."))
    return redirect("builds:bench", slug)
