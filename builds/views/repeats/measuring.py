"""Pieces measured: the form for a phone beside a lathe, and what was found so far."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from builds.forms.repeats.measuring import MeasuringForm, fresh_initial, read_one
from builds.models import Instrument, Measurement, Part, Size
from builds.permissions import the_builder
from builds.queries.plan.sizes import limits_of
from builds.queries.repeats.measured import figure_in_words
from builds.queries.repeats.measuring import WAYS, MeasuringPage, measured_meanwhile, measuring_page
from builds.services.log.clock import evening_of
from builds.services.log.measuring import Measured, Measuring, record_measurements
from builds.services.plan import records as plan_services
from builds.views.back import back_to
from builds.views.plan.parts import the_part
from builds.views.put_back import say_removed
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _, ngettext


def measure(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """The figures of one size, piece by piece. `turn_to` in the form asks for another way of reading off, with what was
    typed so far in place; `then` for another size once these are kept.
    """
    part = the_part(slug, pk)
    if request.method != "POST":
        return _page(request, measuring_page(part, request.GET.dict()), {})
    sent = request.POST.dict()
    if way := sent.pop("turn_to", ""):
        return _page(request, measuring_page(part, sent | {"way": way}), sent)
    page = measuring_page(part, sent)
    form = MeasuringForm(sent, page=page, initial={})
    if page.size is not None and form.is_valid():
        with refusals_beside(form):
            _say(request, page, _kept(request, page, page.size.size, form), form)
            return redirect(_address(page, sent.get("then", "")))
    return _shown(request, page, form, status=422)


def _page(request: HttpRequest, page: MeasuringPage, typed: dict[str, str]) -> HttpResponse:
    """The form with nothing refused yet. typed: what stood in it before, another way of reading off."""
    form = MeasuringForm(None, page=page, initial=fresh_initial(page, evening_of(timezone.now())) | typed)
    return _shown(request, page, form)


def _kept(request: HttpRequest, page: MeasuringPage, size: Size, form: MeasuringForm) -> Measured:
    data = form.cleaned_data
    measuring = Measuring(
        size=size,
        batch=page.batch,
        operation=page.operation,
        instrument=data["instrument"],
        measured_on=data["measured_on"],
        token=data["token"],
    )
    today = evening_of(timezone.now())
    return record_measurements(measuring=measuring, figures=form.figures, by=the_builder(request), today=today)


def _say(request: HttpRequest, page: MeasuringPage, kept: Measured, form: MeasuringForm) -> None:
    if kept.again:
        messages.warning(request, _("That form had been sent already and is kept once; nothing was added."))
        return
    count = len(kept.measurements)
    messages.success(request, ngettext("{n} piece is measured.", "{n} pieces are measured.", count))
    data, pieces = form.cleaned_data, [one.piece for one in form.figures]
    for other in measured_meanwhile(page, pieces, data["seen"] or 0, data["token"]):
        figure = other.get_gauged_display()
        if other.millimetres is not None:
            figure = figure_in_words(other.millimetres, page.build.length_unit)
        words = _(
            "Piece {piece} was measured by somebody else meanwhile: {figure}. Both figures are kept; yours counts."
        )
        messages.warning(request, words.format(piece=other.piece, figure=figure))


def _address(page: MeasuringPage, then: str) -> str:
    """The page again. then: the key of the size that comes next, "" for the same."""
    where = {"size": page.size.size.pk if page.size else "", "way": page.way, "first": page.first}
    where |= {"batch": page.batch.pk if page.batch else "", "operation": page.operation.pk if page.operation else ""}
    to = where | ({"size": then} if then else {})
    return f"{reverse('builds:measure', args=[page.build.slug, page.part.pk])}?{urlencode(to)}"


def _shown(request: HttpRequest, page: MeasuringPage, form: MeasuringForm, status: int = 200) -> HttpResponse:
    context = {
        "build": page.build,
        "part": page.part,
        "page": page,
        "form": form if page.size is not None else None,
        "ways": [(way, words) for way, words in zip(WAYS, _ways(), strict=True)],
        "out": [(one, _at_the_bench(page, [one.reason])) for one in page.out],
        "all_out": _at_the_bench(page, [one.reason for one in page.out]),
        "here": "repeats",
    }
    return render(request, "repeats/measure.html", context, status=status)


def _ways() -> tuple[str, str, str]:
    return _("Full figure"), _("Difference to a master"), _("Limit gauge")


def _at_the_bench(page: MeasuringPage, reasons: list[str]) -> dict[str, str]:
    """Where pieces that are out are logged as scrap, or as reworked, with the form filled; nothing is logged by it."""
    bench = reverse("builds:bench", args=[page.build.slug])
    asked: dict[str, Any] = {"part": page.part.pk, "why": _("out of size: {what}", what="; ".join(reasons))}
    if page.counted_at is not None:
        asked["operation"] = page.counted_at.pk
    if page.batch is not None:
        asked["batch"] = page.batch.pk
    count = len(reasons)
    as_scrap, as_rework = {"scrap": count}, {"good": count, "reworked": count}
    return {
        "scrap": f"{bench}?{urlencode(asked | as_scrap)}",
        "rework": f"{bench}?{urlencode(asked | as_rework)}",
    }


@require_safe
def reading(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """How one figure is read while somebody types, and whether its piece is in."""
    part: Part = the_part(slug, pk)
    asked = request.GET.dict()
    size = get_object_or_404(part.sizes.all(), pk=_key(asked.get("size", "")))
    size.part = part
    instrument = Instrument.objects.filter(pk=_key(asked.get("instrument", ""))).first()
    told = read_one(asked, limits_of(size), instrument, part.build.length_unit)
    return render(request, "repeats/verdict.html", {"told": told})


def _key(text: str) -> int | None:
    return int(text) if text.isdecimal() and len(text) < 19 else None


@require_POST
def remove_measurement(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    found = Measurement.objects.select_related("size__part__build")
    measurement = get_object_or_404(found, size__part__build__slug=slug, pk=pk)
    part = measurement.size.part
    with refusals_on_top(request):
        event = plan_services.remove(record=measurement, by=the_builder(request))
        say_removed(request, _("The figure of {record} is removed.", record=measurement), event)
    return back_to(request, reverse("builds:measure", args=[slug, part.pk]))
