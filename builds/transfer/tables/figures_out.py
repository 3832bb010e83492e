"""What follows from plan and log, as tables: rates, yields and the forecast."""

from collections.abc import Iterator
from datetime import date

from builds.models import Build
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of, left_of
from builds.queries.log.year import YearInShop, read_years
from builds.queries.plan.sizes import SizeLimits, limits_of
from builds.queries.rates.comparison import CUTS, rates_page
from builds.queries.repeats.measured import every_measurement, found_at, uncertainty_of, verdict_in_words
from builds.queries.repeats.overview import RepeatsPage, repeats_page
from builds.transfer.tables.out import TableOut, Value
from calcs.forecast.result import FinishDates, Spread
from calcs.forecast.words import EVEN_CHANCE, FOUR_IN_FIVE, NINE_IN_TEN, ONE_IN_TEN
from calcs.messages import _


def rates_table(build: Build, today: date, cut: str) -> TableOut:
    """Planned against yours, cut as the page is."""
    page = rates_page(build, today, cut)
    headings = (
        str(CUTS[cut]), _("planned (h)"), _("yours (h)"), _("your ratio"), _("ratio, 1 chance in 10 below"),
        _("ratio, 1 chance in 10 above"), _("operations"),
    )  # fmt: skip
    overall = [] if page.overall is None or not page.compared else [(_("All kinds together"), page.overall)]
    named = [*((rate.kind, rate) for rate in page.lines), *overall]
    rows = (
        (name, rate.planned_hours, rate.actual_hours, rate.ratio, rate.low, rate.high, rate.operations)
        for name, rate in named
    )
    return TableOut("rates", headings, rows)


def yields_table(build: Build, today: date) -> TableOut:
    """Pieces counted at each operation of the repeated parts."""
    headings = (
        _("part"), _("name"), _("operation"), _("title"), _("good"), _("reworked"), _("scrap"),
        _("yield"), _("yield, low"), _("yield, high"), _("first-time yield"),
    )  # fmt: skip
    return TableOut("yields", headings, _yields(repeats_page(build, today)))


def _yields(page: RepeatsPage) -> Iterator[tuple[Value, ...]]:
    for repeated in page.parts:
        part = repeated.line.part
        for one in repeated.counted:
            operation = one.line.operation
            named = (part.number, part.name, operation.number, operation.title or str(operation.get_kind_display()))
            yield (*named, one.good, one.reworked, one.scrap, one.after_rework, one.low, one.high, one.first_time)


def measurements_table(build: Build) -> TableOut:
    """Every figure that was kept of the sizes of a build, with what it proves of its piece; the newest last."""
    headings = (
        _("part"), _("name"), _("size"), _("lower limit (mm)"), _("upper limit (mm)"), _("batch"), _("piece"),
        _("measured on"), _("as typed"), _("figure (mm)"), _("gauge"), _("verdict"), _("measured with"),
        _("uncertainty (mm)"), _("after operation"), _("by"),
    )  # fmt: skip
    return TableOut("measurements", headings, _measurements(build))


def _measurements(build: Build) -> Iterator[tuple[Value, ...]]:
    limits_by_size: dict[int, SizeLimits] = {}
    for one in every_measurement(build):
        if one.size_id not in limits_by_size:
            limits_by_size[one.size_id] = limits_of(one.size)
        limits, doubt = limits_by_size[one.size_id], uncertainty_of(one.instrument)
        found = found_at(one.millimetres, one.gauged, limits, doubt)
        gauge = str(one.get_gauged_display()) if one.gauged else None
        named = (one.size.part.number, one.size.part.name, one.size.name, limits.lower, limits.upper)
        piece = (None if one.batch is None else one.batch.number, one.piece, one.measured_on)
        figure = (one.typed, one.millimetres, gauge, verdict_in_words(found, build.length_unit))
        with_what = (None, None) if one.instrument is None else (one.instrument.name, doubt or None)
        after = None if one.operation is None else one.operation.number
        yield (*named, *piece, *figure, *with_what, after, None if one.by is None else one.by.name)


def forecast_table(build: Build, as_of: date) -> TableOut:
    """Hours done and left of the build, its assemblies, its parts and its milestones, with the dates that are known."""
    chances = (_(ONE_IN_TEN), _(EVEN_CHANCE), _(FOUR_IN_FIVE), _(NINE_IN_TEN))
    headings = (
        _("what"), _("name"), _("as of"), _("done (h)"), _("planned, left (h)"),
        *(_("left (h), {chance}", chance=chance) for chance in chances),
        *(_("finished by, {chance}", chance=chance) for chance in chances),
    )  # fmt: skip
    return TableOut("forecast", headings, _forecast_rows(forecast_of(build, as_of)))


def _forecast_rows(found: BuildForecast) -> Iterator[tuple[Value, ...]]:
    snapshot, forecast = found.snapshot, found.forecast
    as_of = forecast.as_of
    whole = (_("build"), snapshot.build.name, as_of, forecast.hours_done, forecast.planned_hours_left)
    yield (*whole, *_hours(forecast.hours_left), *_days(forecast.finish_on))
    names = {str(one.pk): one.name for one in snapshot.assemblies}
    for group in forecast.groups:
        if group.group in names:
            figures = (group.hours_done, group.planned_hours_left, *_hours(group.hours_left))
            yield (_("assembly"), names[group.group], as_of, *figures, *_days(None))
    for row in snapshot.parts:
        left = found.by_part.get(row.part.pk)
        planned = 0.0 if left is None else left.planned_hours_left
        figures = (row.bench_minutes / 60, planned, *_hours(left_of(left)))
        yield (_("part"), str(row.part), as_of, *figures, *_days(None))
    for one in forecast.milestones:
        yield (_("milestone"), one.name, as_of, None, None, *_hours(one.hours_left), *_days(one.finish_on))


def _hours(spread: Spread | None) -> tuple[Value, ...]:
    return (None,) * 4 if spread is None else (spread.p10, spread.p50, spread.p80, spread.p90)


def _days(finish: FinishDates | None) -> tuple[Value, ...]:
    return (None,) * 4 if finish is None else (finish.p10, finish.p50, finish.p80, finish.p90)


def years_table(build: Build, today: date) -> TableOut:
    """The years in the shop, the running one up to today."""
    headings = (
        _("year"), _("from"), _("to"), _("bench (h)"), _("evenings"), _("mean evening (h)"), _("longest evening (h)"),
        _("longest evening on"), _("times not known"), _("details finished"), _("other parts finished"),
        _("pieces finished"), _("pieces scrapped"), _("commonest reason"), _("milestones reached"), _("photos"),
    )  # fmt: skip
    return TableOut("years", headings, (_year(one) for one in read_years(build, today)))


def _year(shop: YearInShop) -> tuple[Value, ...]:
    hours = shop.hours
    day, longest = hours.longest_evening or (None, None)
    mean = hours.mean_evening
    return (
        shop.year,
        hours.first,
        hours.last,
        hours.minutes / 60,
        len(hours.evenings),
        None if mean is None else mean / 60,
        None if longest is None else longest / 60,
        day,
        hours.unknown,
        shop.details,
        len(shop.made) - shop.details,
        shop.good,
        shop.scrap,
        shop.reasons[0].name if shop.reasons else "",
        len(shop.milestones),
        len(shop.photos),
    )
