"""A batch of one part: starting it, and the grid that is filled with a thumb."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from builds.forms.log.counts import reasons_used
from builds.forms.repeats.batch import Grid, StartBatchForm
from builds.forms.two_people import refuse
from builds.models import Batch, Build, Part
from builds.permissions import for_builders, the_build, the_builder
from builds.queries.log.bench import reasons_lately
from builds.queries.repeats.batches import BatchRow, batch_row
from builds.queries.shop.stock import bar_at_hand
from builds.queries.snapshot import PartsAtHand, PartsSnapshot, read_parts
from builds.services.log.clock import evening_of
from builds.services.log.entries import Recorded, record_entries
from builds.services.plan import records as plan_services
from builds.views.log.asking import remarked
from builds.views.plan.parts import the_part
from builds.views.refusals import refusals_beside
from calcs.messages import _, ngettext


@for_builders
def start_batch(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Start a batch of a part with so many blanks; then its grid."""
    part = the_part(slug, pk)
    form = StartBatchForm(
        request.POST or None,
        instance=Batch(part=part),
        initial=_initial(request, part),
        bar_at_hand=bar_at_hand(part),
    )
    if request.method == "POST" and form.is_valid():
        batch = _started(request, part, form)
        if batch is not None:
            return redirect("builds:batch_grid", slug, batch.pk)
    context = {"build": part.build, "part": part, "form": form, "here": "repeats"}
    return render(request, "repeats/start_batch.html", context, status=422 if form.errors else 200)


def _initial(request: HttpRequest, part: Part) -> dict[str, object]:
    blanks = request.GET.get("blanks", "")
    return {
        "number": plan_services.next_batch_number(str(part.pk)),
        "started_on": evening_of(timezone.now()),
        "blanks": blanks if blanks.isdecimal() and len(blanks) < 7 else None,
    }


def _started(request: HttpRequest, part: Part, form: StartBatchForm) -> Batch | None:
    """The batch that the form asks for; None where something was refused, which then stands in the form."""
    kept = Batch.objects.filter(part=part, number=form.cleaned_data["number"]).first()
    if kept is not None and form.same_as(kept):
        return kept
    batch = form.save(commit=False)
    with refusals_beside(form):
        from_rack = form.cleaned_data.get("from_rack", False)
        plan_services.start_batch(batch=batch, from_rack=from_rack, by=the_builder(request))
        return batch
    return None


def batch_grid(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """The batch across its route."""
    build = the_build(slug)
    snapshot, row = _batch(build, pk)
    return _page(request, snapshot, row, Grid(None, row, snapshot.as_of))


@for_builders
def log_batch(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Log what was entered in the grid.

    Its address is not the grid's own, so that a browser that goes back shows the form with the token it sent.
    """
    if request.method != "POST":
        return redirect("builds:batch_grid", slug, pk)
    build = the_build(slug)
    snapshot, row = _batch(build, pk)
    grid = Grid(request.POST, row, snapshot.as_of, the_builder(request))
    if grid.is_valid():
        recorded = _record(request, build, grid)
        if recorded is not None:
            _say(request, recorded)
            return redirect(reverse("builds:batch_grid", args=[slug, pk]) + f"?logged={len(recorded.entries)}")
    return _page(request, snapshot, row, grid)


def _record(request: HttpRequest, build: Build, grid: Grid) -> Recorded | None:
    """Log the lines; None where something was refused or is asked about, which then stands beside it."""
    builder = the_builder(request)
    at_hand = PartsAtHand(build, timezone.localdate())
    try:
        lines = remarked(request, at_hand, grid.lines(builder), grid.touched())
        if lines is None:
            return None
        return record_entries(build=build, lines=lines, by=builder, today=evening_of(timezone.now()))
    except ValidationError as error:
        named = set(getattr(error, "error_dict", {}))
        touched = grid.touched()
        in_a_step = touched and not (named and named <= set(grid.day.fields))
        refuse(touched[getattr(error, "line", 0)] if in_a_step else grid.day, error)
        return None


def _say(request: HttpRequest, recorded: Recorded) -> None:
    if recorded.again:
        messages.warning(request, _("That form had been sent already and is logged once; nothing was added."))
    else:
        count = len(recorded.entries)
        messages.success(request, ngettext("Logged at {n} operation.", "Logged at {n} operations.", count))


def _batch(build: Build, pk: int) -> tuple[PartsSnapshot, BatchRow]:
    batch = get_object_or_404(Batch, part__build=build, pk=pk)
    snapshot = read_parts(build, evening_of(timezone.now()), [batch.part_id])
    if batch.part_id not in snapshot.by_part:
        raise Http404
    part_row = snapshot.by_part[batch.part_id]
    batch.part = part_row.part
    return snapshot, batch_row(snapshot, part_row, batch)


def _page(request: HttpRequest, snapshot: PartsSnapshot, row: BatchRow, grid: Grid) -> HttpResponse:
    context = {
        "build": snapshot.build,
        "part": row.line.part,
        "line": row,
        "grid": grid,
        "siblings": row.line.batches,
        "reasons": reasons_used(reasons_lately(snapshot.build, snapshot.as_of)),
        "here": "repeats",
    }
    return render(request, "repeats/grid.html", context, status=422 if grid.refused or grid.asks else 200)
