"""What if: the outlook beside the same with another pace, or without the spares.

Only the plain figures handed to the arithmetic change, and the seed stays: a difference is no noise of the draws.

The pace is changed by lengthening or shortening every stint of the log in proportion. An expected pace for all time to
come would be the other way; it would make all weeks alike, and so leave out the empty weeks and the season and give a
range that is too narrow, above all near the end. What is added stands in stints of a kind of their own, which count for
the pace and for nothing else: the hours done, the share of shop time and the growth of the plan stay what they are.
"""

from dataclasses import dataclass, replace
from statistics import median

from builds.queries import kept
from builds.queries.ledger import Ledger
from builds.queries.outlook import ARITHMETIC, Prospect, seed_of
from calcs.forecast import FinishDates, Spread
from calcs.plan import BuildPlan, Stint

# The kind of the stints that stand for hours not worked; no other sum takes it.
IMAGINED = "imagined"
# Days of the log that tell how long an evening is.
EVENINGS_LOOKED_AT = 60


@dataclass(frozen=True)
class Supposed:
    """What is supposed: evenings more a week, hours a week kept from now on (None as in the log), no more spares."""

    evenings: int = 0
    hours: float | None = None
    without_spares: bool = False

    @property
    def anything(self) -> bool:
        return bool(self.evenings) or self.hours is not None or self.without_spares


@dataclass(frozen=True)
class Foreseen:
    """Hours left and finish under what is supposed; None is not known."""

    hours_left: Spread | None
    finish_on: FinishDates | None


@dataclass(frozen=True)
class WhatIf:
    """The outlook as it stands and as supposed. `pace` and `new_pace` are hours a week, `evening` hours.

    `spares`: how many spares are still to make in parts not finished. `refusal` says why nothing can be told.
    """

    supposed: Supposed
    as_it_stands: Foreseen
    then: Foreseen | None
    pace: float | None
    new_pace: float | None
    evening: float | None
    spares: int
    refusal: str

    @property
    def days_sooner(self) -> int | None:
        """Days that the even chance comes nearer; below 0 it moves off. None where one of the two is not known."""
        now, then = self.as_it_stands.finish_on, self.then and self.then.finish_on
        if now is None or not then or now.p50 is None or then.p50 is None:
            return None
        return (now.p50 - then.p50).days


def what_if(prospect: Prospect, supposed: Supposed) -> WhatIf:
    """Work out what is supposed. No queries; the sums are done once a revision, day and supposition, and kept."""
    outlook = prospect.outlook
    pace = outlook.pace_hours_per_week
    evening = usual_evening(prospect.ledger)
    spares = spares_to_make(prospect.ledger)
    new_pace = _new_pace(pace, evening, supposed)
    refusal = _refusal(prospect, supposed, spares) if supposed.anything else ""
    then = None if refusal or not supposed.anything else _foreseen(prospect.ledger, supposed, pace, new_pace)
    as_it_stands = Foreseen(outlook.hours_left, outlook.finish_on)
    return WhatIf(supposed, as_it_stands, then, pace, new_pace, evening, spares, refusal)


def usual_evening(ledger: Ledger) -> float | None:
    """Hours of the middle one of the last days with work; None for an empty log. Lumps over days tell nothing of it."""
    by_day: dict[object, float] = {}
    for stint in ledger.stints:
        if stint.first == stint.last and stint.minutes > 0:
            by_day[stint.last] = by_day.get(stint.last, 0.0) + stint.minutes / 60
    days = list(by_day.values())[-EVENINGS_LOOKED_AT:]
    return median(days) if days else None


def spares_to_make(ledger: Ledger) -> int:
    """Spares not made yet, of the parts that the build still has open."""
    return sum(
        max(0, min(line.part.spares, line.part.wanted - line.count.finished_good))
        for line in ledger.parts
        if not line.plan.finished and not line.finished_by_hand
    )


def _new_pace(pace: float | None, evening: float | None, supposed: Supposed) -> float | None:
    base = supposed.hours if supposed.hours is not None else pace
    return None if base is None else base + supposed.evenings * (evening or 0.0)


def _refusal(prospect: Prospect, supposed: Supposed, spares: int) -> str:
    if prospect.outlook.hours_left is None:
        return "No part has a figure yet, so nothing can be told of other ways either."
    if prospect.outlook.hours_left.p90 <= 0:
        return "Nothing is left to do, so nothing would change."
    if prospect.outlook.pace_hours_per_week is None and (supposed.evenings or supposed.hours is not None):
        return "No hours have been logged yet, so there is no pace to change. A first evening opens this."
    if supposed.without_spares and not spares and not supposed.evenings and supposed.hours is None:
        return "No spares are left to make, so leaving them out changes nothing."
    return ""


def _foreseen(ledger: Ledger, supposed: Supposed, pace: float | None, new_pace: float | None) -> Foreseen:
    build, as_of = ledger.build, ledger.as_of
    factor = new_pace / pace if new_pace is not None and pace else 1.0
    told = f"{factor:.6f}:{supposed.without_spares}"
    key = f"what-if:{ARITHMETIC}:{build.uid}:{build.revision}:{as_of.isoformat()}:{told}"
    found = kept.fetch(key, Foreseen)
    if found is None:
        # Not at the top: it loads NumPy, which an ordinary page does without.
        from calcs.outlook import foresee

        plan = supposed_plan(ledger.build_plan(), factor, without_spares=supposed.without_spares)
        outlook = foresee(plan, as_of, seed=seed_of(build, as_of))
        found = Foreseen(outlook.hours_left, outlook.finish_on)
        kept.keep(key, found)
    return found


def supposed_plan(plan: BuildPlan, factor: float, *, without_spares: bool) -> BuildPlan:
    """The plan with the pace of its log times `factor`, and without spares if so."""
    parts = tuple(replace(part, spares=0) for part in plan.parts) if without_spares else plan.parts
    more = tuple(
        Stint(stint.first, stint.last, stint.minutes * (factor - 1), kind=IMAGINED)
        for stint in plan.stints
        if stint.minutes and factor != 1
    )
    return replace(plan, parts=parts, stints=plan.stints + more)
