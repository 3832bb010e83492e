"""The working of a forecast in one readable chain.

Planned hours left × your ratio − learning + what finished parts took beyond it + remakes + growth + shop time
= hours left; ÷ pace = weeks; + closures = date.
"""

from __future__ import annotations

from calcs.forecast.result import LEAST_HOURS, Chain, Forecast, MilestoneForecast
from calcs.forecast.words import BEYOND_HORIZON, EVEN_CHANCE, period_of
from calcs.messages import _, ngettext
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step, Working


def working_of(forecast: Forecast) -> Working:
    """Return the chain, hours first and then the date, as far as there is something to go by."""
    title = _("Hours left and finish date")
    if forecast.hours_left is None:
        return Working(title, (Step(_("hours left"), "", _("no part has a figure"), _("not known"), ""),))
    lines = _hour_steps(forecast.chain)
    numbers = " + ".join(format_in_full(float(line.result)) for line in lines[1:]).replace("+ −", "− ")
    added = _("sum of the lines above, from the second on")
    mean = Step(_("mean hours left"), added, numbers, forecast.chain.hours_left, "h")
    half = _("half of the simulated futures need no more; a few long ones raise the mean")
    even = Step(_("hours left, even chance"), half, "", forecast.hours_left.p50, "h")
    return Working(title, (*lines, mean, even, *_week_steps(forecast), *_milestone_steps(forecast)))


def _hour_steps(chain: Chain) -> list[Step]:
    """Lines that come to nothing are left out, the first two excepted."""
    ratio = f"{format_in_full(chain.planned)} × {format_in_full(chain.ratio)}"
    links = [
        (_("learning"), _("later pieces take less than the first, at your curve"), chain.learning),
        (_("what finished parts took"), _("against what was foreseen for them"), chain.excess),
        (_("without a figure"), _("borrowed from the build's own figures"), chain.imputed),
        (_("remakes"), _("pieces lost on the way, at your yields"), chain.remakes),
        (
            _("already spent on unfinished work"),
            _("bench hours logged on pieces that are not counted yet"),
            -chain.work_in_progress,
        ),
        (_("growth"), _("operations that come into the plan as work goes on"), chain.growth),
        (_("shop time"), _("fixtures, drawings, tidying and the like, at your share"), chain.shop_time),
    ]
    return [
        Step(_("planned hours left"), _("set-ups + pieces × minutes each, as first planned"), "", chain.planned, "h"),
        Step(
            _("at your ratios"),
            _("planned hours left × mean ratio of the work left, each kind at its own"),
            ratio,
            chain.at_own_ratio,
            "h",
        ),
        *(Step(symbol, formula, "", hours, "h") for symbol, formula, hours in links if abs(hours) >= LEAST_HOURS),
    ]


def _week_steps(forecast: Forecast) -> list[Step]:
    pace, finish_on, hours = forecast.pace, forecast.finish_on, forecast.chain.hours_left
    formula = _("mean hours left ÷ pace")
    if pace is None:
        return [Step(_("weeks"), formula, _("no hours have been logged"), _("not known"), "")]
    mean = _("mean bench hours a week, recent weeks weighing more")
    numbers = f"{format_in_full(hours)} ÷ {format_in_full(pace.mean_hours)}"
    steps = [
        Step(_("pace"), mean, "", pace.mean_hours, _("h a week")),
        Step(_("weeks"), formula, numbers, hours / pace.mean_hours, _("weeks")),
    ]
    if finish_on is not None:
        even = _(BEYOND_HORIZON) if finish_on.p50 is None else period_of(finish_on.p50, forecast.as_of).words
        closures = ngettext("{n} closure", "{n} closures", forecast.closures)
        formula = _("when half of the simulated futures have worked off their hours, closed days left out")
        steps.append(Step(_(EVEN_CHANCE), formula, closures, even, ""))
    return steps


def next_milestone(forecast: Forecast) -> MilestoneForecast | None:
    """Return the first milestone ahead that has something left to do and a date; None where there is none."""
    ahead = (one for one in forecast.milestones if one.hours_left.p90 > 0 and one.finish_on is not None)
    return next(ahead, None)


def other_work_in_words(milestone: MilestoneForecast) -> str:
    """Return how many of ten hours go into what a milestone needs, and how that is known."""
    share = ngettext(
        "Other work goes on meanwhile: of ten hours about {n} goes into what “{milestone}” needs.",
        "Other work goes on meanwhile: of ten hours about {n} go into what “{milestone}” needs.",
        tenths_towards(milestone),
        milestone=milestone.name,
    )
    if milestone.towards.reached:
        return share + " " + _("So it went towards the milestones reached so far.")
    return share + " " + _("So the log has it so far, and what is usual where the log says little.")


def tenths_towards(milestone: MilestoneForecast) -> int:
    """Return how many of ten hours go into what a milestone needs: 1 to 10."""
    return max(1, round(10 * milestone.towards.mean))


def _milestone_steps(forecast: Forecast) -> list[Step]:
    milestone = next_milestone(forecast)
    if milestone is None or milestone.finish_on is None:
        return []
    even = milestone.finish_on.p50
    words = _(BEYOND_HORIZON) if even is None else period_of(even, forecast.as_of).words
    towards = _("towards “{milestone}”", milestone=milestone.name)
    formula = _("what half of the simulated futures reach with its own hours and the other work in between")
    return [
        Step(towards, other_work_in_words(milestone), "", tenths_towards(milestone), _("of ten hours")),
        Step(_("“{milestone}”, even chance", milestone=milestone.name), formula, "", words, ""),
    ]
