"""Planned against yours, and your rates taken over into the rest of the plan."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from builds.charts.rates import planned_against_actual
from builds.forms.rates import ApplyRatesForm, cut_of
from builds.permissions import the_build, the_builder
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.rates.apply_rates import last_applied, preview_of
from builds.queries.rates.comparison import CUTS
from builds.queries.rates.comparison import rates_page as read_rates
from builds.services import rates as rate_services
from builds.services.rates import NewRate
from builds.views.refusals import refusals_on_top
from calcs.messages import ngettext


@require_safe
def rates_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    cut = cut_of(request.GET.get("by", ""))
    form = ApplyRatesForm(request.GET)
    page = read_rates(build, timezone.localdate(), cut)
    context = {
        "build": build,
        "here": "forecast",
        "page": page,
        "cut": cut,
        "cuts": CUTS,
        "cut_words": CUTS[cut],
        "chart": planned_against_actual(page.compared, page.overall),
        "form": form,
        "preview": preview_of(page.snapshot, page.build_forecast.forecast.rates, leave_worked_out=form.leave),
        "taken": last_applied(page.snapshot),
    }
    template = "rates/rates.html#table" if _asks_for(request, "rates-table") else "rates/rates.html"
    return render(request, template, context)


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
