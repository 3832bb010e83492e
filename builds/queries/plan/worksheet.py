"""A sheet for beginners: sums made from a part's real numbers, each with its answer worked out.

A sum is left out where the build does not know a number that it needs: nothing on the sheet is invented.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from builds.models import Part
from builds.models.choices import Basis
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.what_if import usual_evening
from builds.queries.plan.sizes import sizes_of
from builds.queries.repeats.material import blank_of
from builds.queries.snapshot import OperationRow, PartRow
from calcs.units.figures import format_significant
from calcs.working.result import Step, Working

# Beyond this a repeated part's blank is surely a bar for several pieces, and the sum would be about another thing.
MOST_CHIPS = 90.0


@dataclass(frozen=True)
class Sum:
    """One question for the first page, and its working for the second. `lines` are blank lines to work on."""

    title: str
    question: str
    working: Working
    lines: int = 4

    @property
    def rules(self) -> range:
        return range(self.lines)

    @property
    def answer(self) -> str:
        last = self.working.steps[-1]
        return f"{last.result if isinstance(last.result, str) else format_significant(last.result)} {last.unit}".strip()


@dataclass(frozen=True)
class SumsSheet:
    part: Part
    sums: tuple[Sum, ...]
    left_out: tuple[str, ...]


Maker = Callable[[BuildForecast, PartRow], Sum | None]


def sums_sheet(part: Part, today: date) -> SumsSheet:
    """The sums that a part's own numbers allow, easiest first, and what was missing for the others. Ten queries."""
    build_forecast = forecast_of(part.build, today)
    line = build_forecast.snapshot.by_part[part.pk]
    sums, left_out = [], []
    for title, maker in MAKERS.items():
        made = maker(build_forecast, line)
        if made is None:
            left_out.append(title)
        else:
            sums.append(made)
    return SumsSheet(part, tuple(sums), tuple(left_out))


def _pieces_with_spares(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    part = line.part
    if part.quantity_with_spares < 2:
        return None
    one = next((o for o in line.operations if o.plan.minutes_per_piece), None)
    if one is None:
        return None
    minutes = one.plan.minutes_per_piece or 0.0
    whole = one.plan.setup_minutes + minutes * part.quantity_with_spares
    spares = f" and {part.spares} spare" + ("s" if part.spares > 1 else "") if part.spares else ""
    setup = (
        f"Setting up takes {format_significant(one.plan.setup_minutes)} minutes once. "
        if one.plan.setup_minutes
        else ""
    )
    return Sum(
        "Time for a batch",
        f"{part.name}: the engine needs {part.quantity}{spares}. {setup}One piece then takes {format_significant(minutes)} "
        f"minutes at “{one.operation.title or one.operation.kind}”. How long do they take together?",
        Working(
            "Time for a batch",
            (
                Step(
                    "n",
                    "needed + spares",
                    f"{part.quantity} + {part.spares}",
                    float(part.quantity_with_spares),
                    "pieces",
                ),
                Step(
                    "t",
                    "set-up + n × time for one",
                    f"{format_significant(one.plan.setup_minutes)} + {part.quantity_with_spares} × {format_significant(minutes)}",
                    whole,
                    "min",
                ),
                Step("t in hours", "t ÷ 60", f"{format_significant(whole)} ÷ 60", whole / 60, "h"),
            ),
        ),
    )


def _holes(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    counted = (o for o in line.operations if o.operation.basis != Basis.PIECE and o.plan.minutes_per_piece)
    found: OperationRow | None = next(counted, None)
    if found is None:
        return None
    op = found.operation
    each, amount = op.minutes_per_unit or 0.0, op.amount
    return Sum(
        "Counted by the piece of work",
        f"One {line.part.name.lower()} has {format_significant(amount)} × {op.get_basis_display()} at “{op.title or op.kind}”, "
        f"and each takes {format_significant(each)} minutes. How many minutes is that for one piece?",
        Working(
            "Counted by the piece of work",
            (
                Step(
                    "t",
                    "amount × time for one",
                    f"{format_significant(amount)} × {format_significant(each)}",
                    amount * each,
                    "min",
                ),
            ),
        ),
        lines=3,
    )


def _scaled(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    size = next((s for s in sizes_of(line.part) if s.scaled), None)
    if size is None:
        return None
    return Sum(
        "From full size to model",
        f"On the real engine the {size.size.name} of the {line.part.name.lower()} is {size.size.full_size}. The model "
        f"is built at a scale of {line.part.build.scale}. What is the size on the model?",
        Working(
            "From full size to model",
            (Step("size", "full size × scale", f"{size.size.full_size} × {line.part.build.scale}", size.scaled, ""),),
        ),
        lines=3,
    )


def _chips(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    part = line.part
    density, finished = part.material.density if part.material else None, part.finished_mass_grams
    blank = blank_of(part, part.build.length_unit)
    if blank is None or not density or not finished:
        return None
    from calcs.shop.stock import cut_away
    from calcs.units.registry import registry

    quantity = registry().Quantity
    try:
        away = cut_away(
            blank.volume().value,
            quantity(finished, "gram") / quantity(density, "kilogram / meter ** 3"),
            quantity(density, "kilogram / meter ** 3"),
        )
    except ValueError:
        return None
    if part.quantity_with_spares > 1 and away.percent > MOST_CHIPS:
        return None
    return Sum(
        "What becomes chips",
        f"The blank for one {part.name.lower()} is {part.blank}, of {part.material} ({format_significant(density)} kg/m³). The "
        f"finished piece weighs {format_significant(finished)} g. What share of the blank becomes chips?",
        Working(
            "What becomes chips", (*blank.section.working.steps, *blank.volume().working.steps, *away.working.steps)
        ),
        lines=7,
    )


def _speed(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    part = line.part
    speed = part.material.cutting_speed if part.material else None
    blank = blank_of(part, part.build.length_unit)
    turned = next((o.operation for o in line.operations if o.operation.kind in ("turning", "facing", "boring")), None)
    if blank is None or not speed or turned is None or blank.shape not in ("round", "hexagon", "tube"):
        return None
    from calcs.cutting import Machine, spindle_speed
    from calcs.units.registry import registry

    machine = turned.machine
    steps = Machine(tuple(machine.speeds)) if machine is not None and machine.speeds else None
    found = spindle_speed(registry().Quantity(speed, "meter / minute"), blank.section.across, steps)
    has = f" The {machine} has {', '.join(f'{s:g}' for s in machine.speeds)} rev/min." if steps and machine else ""
    return Sum(
        "Spindle speed",
        f"The blank for one {part.name.lower()} is {part.blank}. {part.material} is turned at {format_significant(speed)} m/min. "
        f"How fast should the spindle turn?{has}",
        found.working,
        lines=5,
    )


def _overrun(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    timed = [
        o
        for o in line.operations
        if o.tally.good + o.tally.scrap
        and o.tally.counted_minutes
        and o.plan.minutes_per_piece
        and not o.tally.times_unknown
    ]
    if not timed:
        return None
    o = max(timed, key=lambda each: each.tally.counted_minutes)
    pieces = o.tally.good + o.tally.scrap
    planned = o.plan.bench_minutes_planned(pieces, max(1, o.plan.setups_done))
    if planned <= 0:
        return None
    return Sum(
        "Planned and real",
        f"“{o.operation.title or o.operation.kind}” was planned to take {format_significant(planned)} minutes for {pieces} "
        f"pieces. The log says {o.tally.counted_minutes} minutes. How many times the plan is that?",
        Working(
            "Planned and real",
            (
                Step(
                    "ratio",
                    "real ÷ planned",
                    f"{o.tally.counted_minutes} ÷ {format_significant(planned)}",
                    o.tally.counted_minutes / planned,
                    "times",
                ),
            ),
        ),
        lines=3,
    )


def _yield(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    lossy = [o for o in line.operations if o.tally.scrap]
    if not lossy:
        return None
    o = max(lossy, key=lambda each: each.tally.scrap)
    good, tried = o.tally.good, o.tally.good + o.tally.scrap
    share = good / tried
    if share <= 0:
        return None
    need = line.part.quantity_with_spares
    return Sum(
        "How many to start",
        f"At “{o.operation.title or o.operation.kind}” {good} of {tried} pieces came out good. If that goes on, "
        f"how many must come to it so that about {need} come out good?",
        Working(
            "How many to start",
            (
                Step("yield", "good ÷ (good + scrap)", f"{good} ÷ {tried}", share, ""),
                Step("pieces", "needed ÷ yield", f"{need} ÷ {format_significant(share)}", need / share, "pieces"),
                Step("start", "rounded up to whole pieces", "", float(math.ceil(need / share - 1e-9)), "pieces"),
            ),
        ),
    )


def _evenings(build_forecast: BuildForecast, line: PartRow) -> Sum | None:
    left = build_forecast.forecast.hours_left
    evening = usual_evening(build_forecast.snapshot)
    if left is None or left.p50 <= 0 or not evening:
        return None
    hours, each = round(left.p50), round(evening * 2) / 2 or 0.5
    return Sum(
        "Evenings to go",
        f"About {hours} hours of work are left on the whole {build_forecast.snapshot.build.name.lower()}. A usual evening at "
        f"this bench is {format_significant(each)} hours. How many evenings are left?",
        Working(
            "Evenings to go",
            (
                Step(
                    "evenings",
                    "hours left ÷ hours an evening",
                    f"{hours} ÷ {format_significant(each)}",
                    hours / each,
                    "evenings",
                ),
            ),
        ),
        lines=3,
    )


MAKERS: dict[str, Maker] = {
    "From full size to model": _scaled,
    "Counted by the piece of work": _holes,
    "Time for a batch": _pieces_with_spares,
    "Spindle speed": _speed,
    "What becomes chips": _chips,
    "Planned and real": _overrun,
    "How many to start": _yield,
    "Evenings to go": _evenings,
}
