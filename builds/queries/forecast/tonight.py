"""What can be begun with the time at hand: asked for here by the page and the command line alike."""

from collections import Counter
from dataclasses import dataclass, field
from datetime import date

from builds.models import Build, Operation
from builds.models.choices import Role
from builds.queries.forecast.evening_table import EveningRow, evening_table
from builds.queries.forecast.set_ups import SetUps, set_ups_of
from builds.queries.plan.build_state import StateOnDay, state_on
from builds.queries.shop.stock import material_at_hand
from calcs.forecast.evening import FITS, Fit, fit_into
from calcs.parts.at_hand import Hold, Standing

# Minutes that are taken where nobody says any and the log knows no usual evening.
AN_EVENING = 90
# What is finished for sure within so many minutes is offered as a filler: a judgement.
SHORT = 30
# Hours that a milestone comes nearer are told apart by the quarter; within one, a set-up that stands comes first.
QUARTER = 15


@dataclass(frozen=True)
class EveningOffer:
    """An operation that can be begun. `fit` is None where nobody knows what it takes; `pieces` lie before it.

    `why` holds keys: `toward_milestone`, `others_need_it`, `set_up_stands`, `logged_last`, `same_fixture`,
    `short_filler`. `milestone` is the first that
    needs it, empty for none. `minutes_likely` are those that it is likely to fill of the time at hand.
    """

    operation: Operation
    pieces: int
    fit: Fit | None
    minutes_likely: float
    milestone: str
    milestone_place: int
    why: tuple[str, ...]

    @property
    def rank(self) -> tuple[object, ...]:
        """What fits first, of it what the next milestone needs, then what others wait for, most work, a set-up.

        What is alike in all of it stands in the working order.
        """
        fit, quarters = self.fit, -round(self.minutes_likely / QUARTER)
        needed, stands = "others_need_it" in self.why, not {"set_up_stands", "same_fixture"}.isdisjoint(self.why)
        alike = *self.operation.part.working_rank, self.operation.number
        return fit is None, not (fit and fit.fits), self.milestone_place, not needed, quarters, not stands, *alike


@dataclass(frozen=True)
class Tonight:
    """What can be begun, in the order of what it brings; `held` counts by reason the operations that cannot."""

    build: Build
    as_of: date
    minutes: float
    state: StateOnDay
    offers: tuple[EveningOffer, ...]
    held: Counter[Hold] = field(default_factory=Counter)
    without_route: int = 0
    next_milestone: str = ""

    @property
    def fitting(self) -> tuple[EveningOffer, ...]:
        """Those of which something fits with 4 chances in 5."""
        return tuple(one for one in self.offers if one.fit is not None and one.fit.chance >= FITS)

    @property
    def longer(self) -> tuple[EveningOffer, ...]:
        """Those that can be begun and will hardly be through."""
        return tuple(one for one in self.offers if one.fit is not None and one.fit.chance < FITS)

    @property
    def untimed(self) -> tuple[EveningOffer, ...]:
        """Those that can be begun, and nobody knows what they take."""
        return tuple(one for one in self.offers if one.fit is None)


def tonight(build: Build, as_of: date, minutes: float | None = None) -> Tonight:
    """What can be begun on a day in so many minutes; None stands for a usual evening.

    Four queries while the table of the day is kept, and nine more where it is made.
    """
    table = evening_table(build, as_of)
    minutes = minutes or table.usual_minutes or AN_EVENING
    rows = {row.times.key: row for row in table.rows}
    set_ups, in_the_rack = set_ups_of(build, as_of, table.jigs), material_at_hand(build) if rows else {}
    offers, held = [], Counter[Hold]()
    for operation in Operation.objects.filter(pk__in=rows).select_related("part", "machine"):
        row = rows[operation.pk]
        standing = _standing_of(operation, row, as_of, in_the_rack.get(operation.part.number))
        if standing.hold is None:
            offers.append(_offer(operation, row, standing.pieces_with_material, minutes, set_ups))
        else:
            held[standing.hold] += 1
    return Tonight(
        build=build,
        as_of=as_of,
        minutes=minutes,
        state=state_on(build, as_of),
        offers=tuple(sorted(offers, key=lambda one: one.rank)),
        held=held,
        without_route=table.without_route,
        next_milestone=table.next_milestone,
    )


def _standing_of(operation: Operation, row: EveningRow, as_of: date, material: bool | None) -> Standing:
    part, machine = operation.part, operation.machine
    return Standing(
        pieces=row.pieces,
        started=row.started,
        material=material,
        bought=part.role == Role.BOUGHT,
        waiting=part.waiting_since_on is not None and part.waiting_since_on <= as_of,
        needs_open=row.needs_open,
        machine_out_of_order=machine is not None and machine.out_of_order_on(as_of),
    )


def _offer(operation: Operation, row: EveningRow, pieces: int, minutes: float, set_ups: SetUps) -> EveningOffer:
    stands = set_ups.stands(operation)
    times = row.times.standing or row.times.set_up if stands else row.times.set_up
    fit = fit_into([one for one in times if one.pieces <= pieces], minutes)
    why = {
        "toward_milestone": bool(row.milestone) and row.milestone_place == 0,
        "others_need_it": row.others_need_it,
        "set_up_stands": stands,
        "logged_last": operation.pk == set_ups.logged_last,
        "same_fixture": set_ups.same_fixture(operation),
        "short_filler": fit is not None and fit.pieces == pieces and fit.p90 <= SHORT,
    }
    reasons = tuple(key for key, true in why.items() if true)
    likely = min(fit.p50, minutes) if fit else 0.0
    return EveningOffer(operation, pieces, fit, likely, row.milestone, row.milestone_place, reasons)
