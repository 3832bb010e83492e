"""A build's title block, as on a drawing (fields after ISO 7200), with the build's figures in it."""

from typing import TypedDict

from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.plan.role_counts import counts_of
from builds.queries.repeats.shop_counter import counter_of
from builds.queries.snapshot import PartRow
from builds.templatetags.figures import day, hours, minutes
from builds.templatetags.money import money
from calcs.forecast.words import hours_left_in_words, period_of
from calcs.messages import _, ngettext


class Cell(TypedDict):
    label: str
    value: str
    wide: bool


def title_block(build_forecast: BuildForecast) -> list[Cell]:
    build, snapshot = build_forecast.snapshot.build, build_forecast.snapshot
    counts = counts_of(snapshot.parts)
    cells = [
        (_("Title"), build.name, True),
        (_("Subject"), build.subject, True),
        (_("Scale"), build.scale, False),
        (_("Sheets"), _sheets(build_forecast), False),
        (_("Begun"), day(build.started_on) if build.started_on else "", False),
        (_("Revision"), str(build.revision), False),
        (_("Parts finished"), counts.details.figures if counts.details.of else "", False),
        *((count.label, count.figures, False) for count in counts.others),
        (_("Hours done"), hours(snapshot.headline_minutes / 60), False),
        *_ahead(build_forecast),
    ]
    if build.for_counter:
        cells.append((_("One for the counter"), _for_the_counter(build_forecast), True))
    return [Cell(label=label, value=value, wide=wide) for label, value, wide in cells if value]


def _ahead(build_forecast: BuildForecast) -> list[tuple[str, str, bool]]:
    """What is left and when it may be finished; of a finished build when it was."""
    state, forecast = build_forecast.snapshot.state, build_forecast.forecast
    if state.finished_on is not None:
        return [(_("Finished"), day(state.finished_on), False)]
    left, finish = forecast.hours_left, build_forecast.finish_on
    if state.resting:
        even = _("none while it rests")
    else:
        even = period_of(finish.p50, forecast.as_of).words if finish and finish.p50 else _("not known yet")
    return [
        (_("Hours left"), hours_left_in_words(left) if left else _("not known yet"), True),
        (_("Even chance"), even, False),
    ]


def _for_the_counter(build_forecast: BuildForecast) -> str:
    """Hours and price of one, as far as they are known."""
    page = counter_of(build_forecast)
    price = page.price
    if price is None or price.hours is None:
        return _("not known yet")
    figures = {"time": minutes(page.minutes), "batch": page.batch}
    if price.price is None:
        return _("{time} in one of {batch}", **figures)
    return _("{time} in one of {batch}, {price}", price=money(price.price, page.build.currency), **figures)


def part_block(line: PartRow) -> list[Cell]:
    """A part's own title block."""
    title = Cell(label=_("Title"), value=line.part.name, wide=True)
    return [title, Cell(label=_("Item"), value=line.part.number, wide=False), *part_facts(line)]


def part_facts(line: PartRow) -> list[Cell]:
    """The same without what a heading says."""
    part = line.part
    needed = str(part.quantity)
    if part.spares:
        needed = ngettext("{quantity} and {n} spare", "{quantity} and {n} spares", part.spares, quantity=part.quantity)
    cells = [
        (_("Sheet"), str(part.sheet or ""), False),
        (_("Needed"), "" if part.is_work else needed, False),
        (_("Material"), str(part.material or ""), False),
        (_("Blank"), part.blank, False),
        (_("Finished mass"), f"{part.finished_mass_grams:g} g" if part.finished_mass_grams else "", False),
        (_("What it is"), str(part.counts_as.label), False),
        (_("Assembly"), str(part.assembly or ""), False),
    ]
    return [Cell(label=label, value=value, wide=wide) for label, value, wide in cells if value]


def _sheets(build_forecast: BuildForecast) -> str:
    sheets = {line.part.sheet_id for line in build_forecast.snapshot.parts if line.part.sheet_id is not None}
    return str(len(sheets)) if sheets else ""
