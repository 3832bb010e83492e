"""A build's title block, as on a drawing (fields after ISO 7200), with the build's figures in it."""

from typing import TypedDict

from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.repeats.shop_counter import counter_of
from builds.queries.snapshot import PartRow
from builds.templatetags.figures import day, hours, minutes
from builds.templatetags.money import money
from calcs.forecast.words import hours_range, period_of


class Cell(TypedDict):
    label: str
    value: str
    wide: bool


def title_block(build_forecast: BuildForecast) -> list[Cell]:
    build, snapshot, forecast = build_forecast.snapshot.build, build_forecast.snapshot, build_forecast.forecast
    left = forecast.hours_left
    finish = build_forecast.finish_on
    cells = [
        ("Title", build.name, True),
        ("Subject", build.subject, True),
        ("Scale", build.scale, False),
        ("Sheets", _sheets(build_forecast), False),
        ("Begun", day(build.started_on) if build.started_on else "", False),
        ("Revision", str(build.revision), False),
        ("Parts finished", f"{snapshot.parts_made} of {len(snapshot.parts)}", False),
        ("Hours done", hours(snapshot.headline_minutes / 60), False),
        ("Hours left", hours_range(left) if left else "not known yet", True),
        (
            "Even chance",
            period_of(finish.p50, forecast.as_of).words if finish and finish.p50 else "not known yet",
            False,
        ),
    ]
    if build.for_counter:
        cells.append(("One for the counter", _for_the_counter(build_forecast), True))
    return [Cell(label=label, value=value, wide=wide) for label, value, wide in cells if value]


def _for_the_counter(build_forecast: BuildForecast) -> str:
    """Hours and price of one, as far as they are known."""
    page = counter_of(build_forecast)
    price = page.price
    if price is None or price.hours is None:
        return "not known yet"
    told = f"{minutes(page.minutes)} in one of {page.batch}"
    return told if price.price is None else f"{told}, {money(price.price, page.build.currency)}"


def part_block(line: PartRow) -> list[Cell]:
    """A part's own title block."""
    part = line.part
    spares = f" and {part.spares} spare{'s' if part.spares > 1 else ''}" if part.spares else ""
    cells = [
        ("Title", part.name, True),
        ("Item", part.number, False),
        ("Sheet", str(part.sheet or ""), False),
        ("Needed", f"{part.quantity}{spares}", False),
        ("Material", str(part.material or ""), False),
        ("Blank", part.blank, False),
        ("Finished mass", f"{part.finished_mass_grams:g} g" if part.finished_mass_grams else "", False),
        ("Source", part.get_source_display(), False),
        ("Assembly", str(part.assembly or ""), False),
    ]
    return [Cell(label=label, value=value, wide=wide) for label, value, wide in cells if value]


def _sheets(build_forecast: BuildForecast) -> str:
    sheets = {line.part.sheet_id for line in build_forecast.snapshot.parts if line.part.sheet_id is not None}
    return str(len(sheets)) if sheets else ""
