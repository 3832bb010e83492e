"""What the pages show, as tables."""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.forms.forecast import AsOfForm
from builds.forms.log.logbook import LogFilterForm
from builds.forms.rates import cut_of
from builds.forms.shop import CuttingForm
from builds.models import Build
from builds.permissions import the_build
from builds.queries.log.logbook import filtered
from builds.queries.shop.to_buy import ToBuy, read_to_buy
from builds.transfer.tables.out import TYPES, TableOut, written
from calcs.messages import _


@require_safe
def download_table(request: HttpRequest, slug: str, name: str) -> HttpResponse:
    """A table of a build, asked for as its page is. name: what of it, and how it is written ("log.csv")."""
    build = the_build(slug)
    what, _dot, ending = name.partition(".")
    if what not in TABLES or ending not in TYPES:
        raise Http404(_("There is no such table."))
    response = HttpResponse(written(TABLES[what](request, build), ending), content_type=TYPES[ending])
    response["Content-Disposition"] = f'attachment; filename="{build.slug}-{name}"'
    return response


def _log(request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.log_out import log_table

    return log_table(filtered(build, LogFilterForm(request.GET or None, build=build).asked()))


def _parts(_request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.parts_out import parts_table

    return parts_table(build)


# Not at the top, none of them: what writes tables is no concern of an ordinary page.
def _rates(request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.figures_out import rates_table

    return rates_table(build, timezone.localdate(), cut_of(request.GET.get("by", "")))


def _yields(_request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.figures_out import yields_table

    return yields_table(build, timezone.localdate())


def _forecast(request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.figures_out import forecast_table

    form = AsOfForm(request.GET if "as_of" in request.GET else None, today=timezone.localdate())
    return forecast_table(build, form.day())


def _years(_request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.figures_out import years_table

    return years_table(build, timezone.localdate())


def _to_buy(request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.to_buy_out import to_buy_table

    return to_buy_table(_asked_to_buy(request, build))


def _cutting(request: HttpRequest, build: Build) -> TableOut:
    from builds.transfer.tables.to_buy_out import cutting_table

    return cutting_table(_asked_to_buy(request, build))


def _asked_to_buy(request: HttpRequest, build: Build) -> ToBuy:
    """As its page is asked; what was refused there is cut as usual."""
    usual = CuttingForm({}, unit=build.length_unit).asked
    cutting = CuttingForm(request.GET, unit=build.length_unit).asked or usual
    if cutting is None:
        raise Http404(_("There is no such table."))
    return read_to_buy(build, timezone.localdate(), cutting)


TABLES: dict[str, Callable[[HttpRequest, Build], TableOut]] = {
    "log": _log,
    "parts": _parts,
    "rates": _rates,
    "yields": _yields,
    "forecast": _forecast,
    "years": _years,
    "to-buy": _to_buy,
    "cutting": _cutting,
}
