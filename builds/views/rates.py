"""Planned against yours, and your rates taken over into the rest of the plan."""

from dataclasses import replace

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from builds.charts.rates import planned_against_actual
from builds.forms.rates import ApplyRatesForm, cut_of
from builds.models import Build
from builds.permissions import the_build, the_builder
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.rates.apply_rates import last_applied, preview_of
from builds.queries.rates.comparison import CUTS
from builds.queries.rates.comparison import rates_page as read_rates
from builds.services import rates as rate_services
from builds.services.rates import NewRate
from builds.views.forecast.pieces import alone_or_on_a_page
from builds.views.kept import Shown, follows_its_build
from builds.views.refusals import refusals_on_top
from calcs.messages import _, ngettext

# Operations that stand below their drawing.
FURTHEST = 24


@require_safe
@follows_its_build
def rates_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    cut, form = cut_of(request.GET.get("by", "")), ApplyRatesForm(request.GET)
    part = "table" if _asks_for(request, "rates-table") else "main"
    html = shown.part(
        request, f"rates/rates.html#{part}", lambda: _rates_context(shown.build, cut, form), f"{cut} {form.leave}"
    )
    if part == "table":
        return HttpResponse(html)
    return render(request, "rates/rates.html", {"build": shown.build, "main": html, "here": "forecast"})


@require_safe
@follows_its_build
def operations_compared(request: HttpRequest, shown: Shown) -> HttpResponse:
    """The table behind the drawing of the rates: alone for its fold, a page around it for everybody else."""

    def context() -> dict[str, object]:
        page = read_rates(shown.build, timezone.localdate())
        return {"chart": planned_against_actual(page.compared, page.overall)}

    inside = shown.part(request, "rates/operations.html", context)
    title, back = _("Planned against actual, operation by operation"), reverse("builds:rates", args=[shown.build.slug])
    return alone_or_on_a_page(request, shown, inside=inside, title=title, tab="rates", back=back)


def _rates_context(build: Build, cut: str, form: ApplyRatesForm) -> dict[str, object]:
    page = read_rates(build, timezone.localdate(), cut)
    chart = planned_against_actual(page.compared, page.overall)
    return {
        "page": page,
        "cut": cut,
        "cut_query": f"by={cut}",
        "cuts": CUTS,
        "cut_words": CUTS[cut],
        # The furthest astray; the whole table has an address of its own.
        "chart": chart and replace(chart, rows=chart.rows[:FURTHEST]),
        "form": form,
        "preview": preview_of(page.snapshot, page.build_forecast.forecast.rates, leave_worked_out=form.leave),
        "taken": last_applied(page.snapshot),
    }


@require_POST
def apply_rates(request: HttpRequest, slug: str) -> HttpResponse:
    """Bring the operations of the preview to the shop's rates, in one step that the events can undo."""
    build, today = the_build(slug), timezone.localdate()
    build_forecast, form = forecast_of(build, today), ApplyRatesForm(request.POST)
    preview = preview_of(build_forecast.snapshot, build_forecast.forecast.rates, leave_worked_out=form.leave)
    seen = request.POST.get("seen", "")
    with refusals_on_top(request):
        if preview.refusal:
            raise ValidationError(preview.refusal)
        rate_services.apply_rates(
            build=build,
            rates=[NewRate(change.operation, change.ratio) for change in preview.changes],
            by=the_builder(request),
            today=today,
            seen=int(seen) if seen.isdecimal() and len(seen) < 10 else None,
        )
        messages.success(
            request,
            ngettext(
                "{n} operation brought to your own rates.",
                "{n} operations brought to your own rates.",
                len(preview.changes),
            ),
        )
    return redirect("builds:rates", slug)


def _asks_for(request: HttpRequest, target: str) -> bool:
    htmx = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and htmx.target == target
