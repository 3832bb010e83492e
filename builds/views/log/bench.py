"""The bench page: log an evening."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import SimpleLazyObject
from django.views.decorators.http import require_safe

from builds.forms.log.amend import initial_again
from builds.forms.log.bench import EveningForm, EveningLines
from builds.forms.log.clock import ClockOffForm
from builds.forms.log.counts import reasons_used
from builds.forms.log.lines_sent import add_line, take_apart, take_away
from builds.forms.log.notebook import LONGEST_LINE, Notebook, NotebookForm, in_words
from builds.forms.log.work import WorkChoices
from builds.forms.two_people import refuse
from builds.models import Build, Builder, Entry, Event
from builds.models.choices import EventType
from builds.permissions import for_builders, the_build, the_builder
from builds.queries.log.bench import After, Bench, after_logging, bench_of, reasons_lately
from builds.queries.snapshot import PartsAtHand
from builds.services.log import clock as clock_services
from builds.services.log.clock import evening_of, minutes_since
from builds.services.log.entries import Recorded, record_entries
from builds.services.plan.new_work import add_work
from builds.views.log.asking import remarked
from builds.views.refusals import refusals_on_top
from calcs.messages import _
from calcs.typed.reading import Reading, quote_input


@for_builders
def bench_page(request: HttpRequest, slug: str) -> HttpResponse:
    """The form for an evening."""
    build, builder = the_build(slug), the_builder(request)
    bench = the_bench(build, builder, *(_key(request.GET.get(name, "")) for name in ("part", "operation")))
    again = Entry.objects.kept().filter(build=build, pk=_key(request.GET.get("again", ""))).first()
    if again is None:
        return fresh_page(request, bench)
    evening = EveningForm(initial={"worked_on": bench.evening, "builder": bench.builder})
    lines = _lines(bench, initial=[initial_again(again, [pick.value for pick in bench.picks])])
    return _page(request, bench, evening, lines, again=again)


def _key(text: str) -> int | None:
    return int(text) if text.isdecimal() and len(text) < 19 else None


@for_builders
def log_evening(request: HttpRequest, slug: str) -> HttpResponse:
    """Log an evening. `more` in the form asks for one more line instead of logging, `less` for one less,
    `search` for what was sought. A notebook line that was not read yet is read first, whatever was pressed.

    Its address is not the form's own: a browser that goes back then shows the form it sent, with the token it sent,
    and pressing again logs nothing twice.
    """
    if request.method != "POST":
        return redirect("builds:bench", slug)
    build, builder = the_build(slug), the_builder(request)
    bench = the_bench(build, builder)
    if unread := NotebookForm(request.POST).unread:
        return _read_line(request, bench, unread)
    if "add" in request.POST:
        return _add_work(request, bench)
    data = request.POST.copy()
    if (_is_sent(request) or "apart" in data) and (apart := take_apart(data, choices_of(build))):
        return _page(request, bench, EveningForm(data), _taken_apart(_lines(bench, data), apart))
    evening = EveningForm(request.POST)
    lines = _lines(bench, request.POST)
    if _is_sent(request) and evening.is_valid() and lines.is_valid():
        answer = _record(request, build, builder, bench, evening, lines)
        if answer is not None:
            return answer
    return _page(request, bench, evening, lines)


def _taken_apart(lines: EveningLines, apart: dict[int, Reading]) -> EveningLines:
    """The lines, with what was made of several works beside the first of each."""
    lines.is_valid()
    for place, reading in apart.items():
        made = _(
            "“{text}” stands on {n} lines now. Look them over and send them.",
            text=quote_input(reading.text),
            n=len(reading.lines),
        )
        lines.forms[place].add_error("time", made)
    return lines


def _read_line(request: HttpRequest, bench: Bench, line: str) -> HttpResponse:
    """The form, filled from a notebook line; nothing is logged."""
    data = request.POST.copy()
    read = Notebook(bench.at_hand).into_fields(data, line[:LONGEST_LINE], data.get("line_read", ""))
    if data["form-0-other"] in [pick.value for pick in bench.picks]:
        data["form-0-work"], data["form-0-other"] = data["form-0-other"], ""
    lines = _lines(bench, data)
    told = in_words(read, lines.forms[0].work_choices)
    return _page(request, bench, EveningForm(data), lines, notebook=NotebookForm(data), read=told)


def _add_work(request: HttpRequest, bench: Bench) -> HttpResponse:
    """The form as it was sent, with a new part or operation in the plan and chosen."""
    data = request.POST.copy()
    prefix = data["add"]
    names = {name: f"{prefix}-{name}" for name in ("work", "other", "new_part", "new_operation")}
    sent = {name: data.get(field, "").strip() for name, field in names.items()}
    with refusals_on_top(request):
        chosen = choices_of(bench.build).chosen(sent["other"] or sent["work"])[0] if not sent["new_part"] else None
        part, operation = add_work(
            build=bench.build,
            part=chosen,
            new_part=sent["new_part"],
            new_operation=sent["new_operation"],
            by=bench.builder,
            today=bench.today,
        )
        messages.success(request, _("{work} is in the plan now, and chosen.", work=f"{part}, {operation}"))
        data[names["other"]] = f"o{operation.pk}"
        data[names["new_part"]] = data[names["new_operation"]] = ""
    fresh = the_bench(bench.build, bench.builder)
    return _page(request, fresh, EveningForm(data), _lines(fresh, data))


def the_bench(build: Build, builder: Builder, first: int | None = None, at: int | None = None) -> Bench:
    """The bench now. After midnight it offers the evening before, and still knows what joined the plan since."""
    return bench_of(build, builder, timezone.localdate(), first, evening_of(timezone.now()), at)


def _lines(bench: Bench, sent: QueryDict | None = None, initial: list[dict[str, Any]] | None = None) -> EveningLines:
    """The lines as they were sent, as they are to be filled, or as a running clock keeps them."""
    data = sent.copy() if sent is not None else None
    if data is not None and "more" in data:
        add_line(data)
    if data is not None and "less" in data:
        take_away(data, data["less"])
    # Neither is read unless the form is shown.
    choices = WorkChoices(bench.at_hand, lambda: bench.near)
    kept = bench.clock.typed.get("lines", []) if data is None and initial is None and bench.clock else initial
    picks, usual = SimpleLazyObject(lambda: bench.picks), SimpleLazyObject(lambda: bench.usual_minutes)
    return EveningLines(data, initial=kept, choices=choices, picks=picks, usual=usual, builder=bench.builder)


def choices_of(build: Build) -> WorkChoices:
    return WorkChoices(PartsAtHand(build, timezone.localdate()))


def _is_sent(request: HttpRequest) -> bool:
    """Whether the evening is to be logged, and not only its form to be changed."""
    return request.method == "POST" and not {"more", "less", "search", "read", "add", "apart"} & request.POST.keys()


def _record(
    request: HttpRequest, build: Build, builder: Builder, bench: Bench, evening: EveningForm, lines: EveningLines
) -> HttpResponse | None:
    """Log the lines; None where something was refused or is asked about, which then stands beside it."""
    today = evening_of(timezone.now())
    shared = evening.cleaned_data | {"builder": evening.cleaned_data["builder"] or builder}
    given = lines.lines(shared)
    if any(form.errors for form in lines.forms):
        return None
    try:
        to_log = remarked(request, bench.at_hand, given, lines.touched())
        if to_log is None:
            return None
        recorded = record_entries(build=build, lines=to_log, by=builder, today=today)
    except ValidationError as error:
        touched = lines.touched()
        _spread(error, evening, touched[getattr(error, "line", 0)] if touched else None)
        return None
    if bench.clock is not None:
        clock_services.forget_lines(builder=builder)
    if recorded.again:
        messages.warning(
            request,
            _("That form had been sent already and is logged once; nothing was added. Here is a new one."),
        )
    return redirect(to_logged(build, recorded))


def to_logged(build: Build, recorded: Recorded) -> str:
    """The bench with what was logged, what is left of it, and the way back."""
    event = Event.objects.filter(build=build, revision=build.revision, type=EventType.LOG).first()
    asked = {
        "logged": len(recorded.entries),
        "parts": ",".join(dict.fromkeys(str(entry.part_id) for entry in recorded.entries if entry.part_id)),
        "entries": ",".join(str(entry.pk) for entry in recorded.entries),
        "event": event.pk if event is not None and not recorded.again else "",
    }
    return f"{reverse('builds:bench', args=[build.slug])}?{urlencode(asked, safe=',')}"


def _spread(error: ValidationError, evening: EveningForm, line: object) -> None:
    """What the service refused goes to the evening's fields or to the line's."""
    known = getattr(error, "error_dict", None)
    if line is None or (known and set(known) <= set(evening.fields)):
        refuse(evening, error)
    else:
        refuse(line, error)  # type: ignore[arg-type]


def fresh_page(request: HttpRequest, bench: Bench, clock_form: ClockOffForm | None = None) -> HttpResponse:
    """The bench with nothing typed but what a running clock keeps."""
    evening = EveningForm(initial={"worked_on": bench.evening, "builder": bench.builder})
    return _page(request, bench, evening, _lines(bench), clock_form)


def page_as_sent(request: HttpRequest, bench: Bench, error: ValidationError) -> HttpResponse:
    """The bench as it was sent, with what was refused of its first line."""
    evening, lines = EveningForm(request.POST), _lines(bench, request.POST)
    lines.is_valid()
    refuse(lines.forms[0] if lines.forms else evening, error)
    return _page(request, bench, evening, lines)


def _page(
    request: HttpRequest,
    bench: Bench,
    evening: EveningForm,
    lines: EveningLines,
    clock_form: ClockOffForm | None = None,
    *,
    notebook: NotebookForm | None = None,
    read: str = "",
    again: Entry | None = None,
) -> HttpResponse:
    """read: how a notebook line was read into the form, where that is what is shown; again: the entry it is as."""
    context = {
        "build": bench.build,
        "bench": bench,
        "evening": evening,
        "lines": lines,
        "reasons": reasons_used(reasons_lately(bench.build, timezone.localdate())),
        "logged": request.GET.get("logged"),
        "evening_on": bench.evening,
        "other_day": str(evening["worked_on"].value()) != bench.evening.isoformat(),
        "builder": the_builder(request),
        "clock_form": clock_form or (ClockOffForm(clock=bench.clock) if bench.clock else None),
        "asked": any(form.questions for form in lines.forms),
        "clock_minutes": minutes_since(bench.clock, timezone.now()) if bench.clock else None,
        "after": _after(request, bench.build) if "logged" in request.GET else None,
        "event": _undoable(request, bench.build) if "logged" in request.GET else None,
        "notebook": notebook or NotebookForm(request.POST or None),
        "read": read,
        "again": again,
        "here": "bench",
    }
    return render(request, "log/bench.html", context, status=422 if _is_sent(request) and not read else 200)


def _after(request: HttpRequest, build: Build, *, wait: bool = False) -> After:
    entries, parts = _keys(request.GET.get("entries", "")), _keys(request.GET.get("parts", ""))
    return after_logging(build, timezone.localdate(), parts, entries, wait=wait)


def _undoable(request: HttpRequest, build: Build) -> Event | None:
    """The event of what was just logged, where it can be undone still."""
    events = Event.objects.filter(build=build, type=EventType.LOG, undoable=True, undone_by__isnull=True)
    return events.filter(pk=_key(request.GET.get("event", ""))).first() if request.GET.get("event") else None


def _keys(text: str) -> list[int]:
    return [key for one in text.split(",")[:40] if (key := _key(one)) is not None]


@for_builders
@require_safe
def left_after(request: HttpRequest, slug: str) -> HttpResponse:
    """What is left after an evening, worked out; the page asks for it when it stands."""
    build = the_build(slug)
    return render(
        request,
        "log/logged.html",
        {"build": build, "after": _after(request, build, wait=True), "event": _undoable(request, build)},
    )


@for_builders
@require_safe
def find_work(request: HttpRequest, slug: str) -> HttpResponse:
    """The choices that a text is about, for the list of what was worked on."""
    sought = next((text for name, text in request.GET.items() if name.endswith("find")), "")
    chosen = next((value for name, value in request.GET.items() if name.endswith("other")), "")
    groups = choices_of(the_build(slug)).found(sought[:80], chosen)
    return render(request, "log/found.html", {"groups": groups, "chosen": chosen})
