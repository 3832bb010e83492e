"""The sums of the sheet for beginners, each a question and the steps to its answer; None where a number is missing."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from builds.models import Operation
from builds.models.choices import Basis
from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.forecast.what_if import usual_evening
from builds.queries.plan.sizes import sizes_of
from builds.queries.plan.work_out import spindle_of, turned_diameter
from builds.queries.repeats.material import blank_of
from builds.queries.snapshot import PartRow
from calcs.forecast.words import nearest_two_figures
from calcs.messages import _, gettext_noop, ngettext
from calcs.units.figures import format_significant
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step

# Beyond this a repeated part's blank is surely a bar for several pieces, and the sum would be about another thing.
MOST_CHIPS = 90.0


@dataclass(frozen=True)
class Task:
    question: str
    steps: tuple[Step, ...]


Maker = Callable[[BuildForecast, PartRow], Task | None]


def _named(operation: Operation) -> str:
    return operation.title or str(operation.get_kind_display())


def _as_asked(figure: float) -> tuple[float, str]:
    """A figure as the question says it, and as text: the answer is worked out from what is asked, not from more."""
    text = format_significant(figure)
    return float(text.replace(",", "")), text


def _scaled(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    size = next((size for size in sizes_of(row.part) if size.scaled), None)
    if size is None:
        return None
    full_size, scale = size.drawn, row.part.build.scale
    return Task(
        _(
            "On the real engine the {size} of the {part} is {full_size}. The model is built at a scale of {scale}. "
            "What is the size on the model?",
            size=size.size.name,
            part=row.part.name.lower(),
            full_size=full_size,
            scale=scale,
        ),
        (Step(_("size"), _("full size × scale"), f"{full_size} × {scale}", size.scaled, ""),),
    )


def _counted_by_the_piece_of_work(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    counted = (one for one in row.operations if one.operation.basis != Basis.PIECE and one.plan.minutes_per_piece)
    found = next(counted, None)
    if found is None:
        return None
    operation = found.operation
    (amount, said), (each, minutes) = _as_asked(operation.amount), _as_asked(operation.minutes_per_unit or 0.0)
    figures = {"amount": said, "minutes": minutes}
    return Task(
        _(
            "One {part} has {amount} × {basis} at “{operation}”, and each takes {minutes} minutes. How many minutes is "
            "that for one piece?",
            part=row.part.name.lower(),
            basis=operation.get_basis_display(),
            operation=_named(operation),
            **figures,
        ),
        (Step("t", _("amount × time for one"), " × ".join(figures.values()), amount * each, "min"),),
    )


def _time_for_a_batch(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    part, pieces = row.part, row.part.quantity_with_spares
    one = next((one for one in row.operations if one.plan.minutes_per_piece), None)
    if pieces < 2 or one is None:
        return None
    each, minutes = _as_asked(one.plan.minutes_per_piece or 0.0)
    setup, setup_minutes = _as_asked(one.plan.setup_minutes)
    whole = setup + each * pieces
    named = {"part": part.name, "quantity": part.quantity}
    needed = _("{part}: the engine needs {quantity}.", **named)
    if part.spares:
        needed = ngettext(
            "{part}: the engine needs {quantity} and {n} spare.",
            "{part}: the engine needs {quantity} and {n} spares.",
            part.spares,
            **named,
        )
    set_up = [_("Setting up takes {minutes} minutes once.", minutes=setup_minutes)] if setup else []
    asked = _(
        "One piece then takes {minutes} minutes at “{operation}”. How long do they take together?",
        minutes=minutes,
        operation=_named(one.operation),
    )
    return Task(
        " ".join([needed, *set_up, asked]),
        (
            Step("n", _("needed + spares"), f"{part.quantity} + {part.spares}", float(pieces), _("pieces")),
            Step("t", _("set-up + n × time for one"), f"{setup_minutes} + {pieces} × {minutes}", whole, "min"),
            Step(_("t in hours"), "t ÷ 60", f"{format_in_full(whole)} ÷ 60", whole / 60, "h"),
        ),
    )


def _spindle_speed(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    part = row.part
    speed = part.material.cutting_speed if part.material else None
    turned = next((one.operation for one in row.operations if turned_diameter(one.operation) is not None), None)
    if not speed or turned is None:
        return None
    from calcs.cutting import Machine, spindle_speed
    from calcs.units.registry import registry

    question = _(
        "The blank for one {part} is {blank}. {material} is turned at {speed} m/min. How fast should the spindle turn?",
        part=part.name.lower(),
        blank=part.blank,
        material=part.material,
        speed=format_significant(speed),
    )
    has, machine = None, turned.machine
    if machine is not None and spindle_of(machine):
        has = Machine(tuple(machine.speeds)) if machine.speeds else Machine((), machine.speed_low, machine.speed_high)
        question += " " + _("The {machine} has {speeds} rev/min.", machine=machine, speeds=spindle_of(machine))
    found = spindle_speed(registry().Quantity(speed, "meter / minute"), turned_diameter(turned), has)
    return Task(question, found.working.steps)


def _chips(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    part = row.part
    density, finished = part.material.density if part.material else None, part.finished_mass_grams
    blank = blank_of(part, part.build.length_unit)
    if blank is None or not density or not finished:
        return None
    from calcs.shop.stock import cut_away
    from calcs.units.registry import registry

    quantity = registry().Quantity
    per_volume = quantity(density, "kilogram / meter ** 3")
    try:
        away = cut_away(blank.volume().value, quantity(finished, "gram") / per_volume, per_volume)
    except ValueError:
        return None
    if part.quantity_with_spares > 1 and away.percent > MOST_CHIPS:
        return None
    return Task(
        _(
            "The blank for one {part} is {blank}, of {material} ({density} kg/m³). The finished piece weighs {mass} g. "
            "What share of the blank becomes chips?",
            part=part.name.lower(),
            blank=part.blank,
            material=part.material,
            density=format_significant(density),
            mass=format_significant(finished),
        ),
        (*blank.section.working.steps, *blank.volume().working.steps, *away.working.steps),
    )


def _planned_and_real(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    timed = [
        one
        for one in row.operations
        if one.tally.piece_minutes
        and one.tally.counted_minutes
        and one.plan.minutes_per_piece
        and not one.tally.times_unknown
    ]
    if not timed:
        return None
    one = max(timed, key=lambda each: each.tally.counted_minutes)
    pieces, real = one.tally.good + one.tally.scrap, one.tally.counted_minutes
    minutes = one.plan.bench_minutes_planned(pieces, max(1, one.plan.setups_done))
    if minutes <= 0:
        return None
    planned, said = _as_asked(minutes)
    return Task(
        ngettext(
            "“{operation}” was planned to take {planned} minutes for {n} piece. The log says {real} minutes. How many "
            "times the plan is that?",
            "“{operation}” was planned to take {planned} minutes for {n} pieces. The log says {real} minutes. How many "
            "times the plan is that?",
            pieces,
            operation=_named(one.operation),
            planned=said,
            real=real,
        ),
        (Step(_("ratio"), _("real ÷ planned"), f"{real} ÷ {said}", real / planned, _("times")),),
    )


def _how_many_to_start(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    lossy = [one for one in row.operations if one.tally.scrap]
    if not lossy:
        return None
    one = max(lossy, key=lambda each: each.tally.scrap)
    good, tried, need = one.tally.good, one.tally.good + one.tally.scrap, row.part.quantity_with_spares
    if not good:
        return None
    share = good / tried
    pieces = _("pieces")
    return Task(
        _(
            "At “{operation}” {good} of {tried} pieces came out good. If that goes on, how many must come to it so "
            "that about {need} come out good?",
            operation=_named(one.operation),
            good=good,
            tried=tried,
            need=need,
        ),
        (
            Step(_("yield"), _("good ÷ (good + scrap)"), f"{good} ÷ {tried}", share, ""),
            Step(pieces, _("needed ÷ yield"), f"{need} ÷ {format_in_full(share)}", need / share, pieces),
            Step(_("start"), _("rounded up to whole pieces"), "", float(math.ceil(need / share - 1e-9)), pieces),
        ),
    )


def _evenings_to_go(build_forecast: BuildForecast, row: PartRow) -> Task | None:
    left = build_forecast.forecast.hours_left
    evening = usual_evening(build_forecast.snapshot)
    if left is None or left.p50 <= 0 or not evening:
        return None
    hours = round(nearest_two_figures(left.p50))
    return Task(
        _(
            "About {hours} hours of work are left on the whole {build}. A usual evening at this bench is {evening} "
            "hours. How many evenings are left?",
            hours=hours,
            build=build_forecast.snapshot.build.name.lower(),
            evening=format_significant(evening),
        ),
        (
            Step(
                _("evenings"),
                _("hours left ÷ hours an evening"),
                f"{hours} ÷ {format_significant(evening)}",
                hours / evening,
                _("evenings"),
            ),
        ),
    )


# Title, maker, and how many blank lines there are to work on; the easiest first.
MAKERS: tuple[tuple[str, Maker, int], ...] = (
    (gettext_noop("From full size to model"), _scaled, 3),
    (gettext_noop("Counted by the piece of work"), _counted_by_the_piece_of_work, 3),
    (gettext_noop("Time for a batch"), _time_for_a_batch, 4),
    (gettext_noop("Spindle speed"), _spindle_speed, 5),
    (gettext_noop("What becomes chips"), _chips, 7),
    (gettext_noop("Planned and real"), _planned_and_real, 3),
    (gettext_noop("How many to start"), _how_many_to_start, 4),
    (gettext_noop("Evenings to go"), _evenings_to_go, 3),
)
