"""The working of a forecast in one readable chain.

Planned hours left × your ratio − learning + what finished parts took beyond it + remakes + growth + shop time
= hours left; ÷ pace = weeks; + closures = date.
"""

from __future__ import annotations

from calcs.forecast.result import LEAST_HOURS, Chain, Forecast
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
    half = _("half of the drawn paths need no more; a few long ones raise the mean")
    even = Step(_("hours left, even chance"), half, "", forecast.hours_left.p50, "h")
    return Working(title, (*lines, mean, even, *_week_steps(forecast)))


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
        formula = _("when half of the drawn paths have worked off their hours, closed days left out")
        steps.append(Step(_(EVEN_CHANCE), formula, closures, even, ""))
    return steps
