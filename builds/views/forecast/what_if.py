"""What if, in words and with the bars side by side."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.text import capfirst

from builds.forms.forecast import WhatIfForm
from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.forecast.what_if import Scenario, WhatIf, what_if
from builds.templatetags.figures import hours
from calcs.forecast.result import FinishDates
from calcs.forecast.words import FOUR_IN_FIVE, finish_range, hours_left_in_words, month_in_words, period_of
from calcs.messages import _, ngettext


@dataclass(frozen=True)
class Way:
    """One way things may go: its name, the bar's places and words (components/spread.html), and what more there is."""

    title: str
    spread: dict[str, str]
    more: str


@dataclass(frozen=True)
class WhatWords:
    refusal: str
    answer: str
    ways: tuple[Way, ...]


def what_if_context(build_forecast: BuildForecast, form: WhatIfForm) -> dict[str, object]:
    """What templates/forecast/what_if.html needs beside the build."""
    what = what_if(build_forecast, form.asked)
    return {"what": what, "what_form": form, "what_words": words_of(what, build_forecast.forecast.as_of)}


def words_of(what: WhatIf, as_of: date) -> WhatWords:
    """What was asked and its outcome in whole sentences; no ways where nothing was asked or can be told."""
    if what.refusal or what.then is None:
        return WhatWords(what.refusal, "", ())
    end = _end(what, as_of)
    ways = (
        _way(_("As it stands"), what.as_it_stands, what.pace, as_of, end),
        _way(asked_in_words(what), what.then, what.new_pace, as_of, end),
    )
    return WhatWords("", _answer(what), ways)


def asked_in_words(what: WhatIf) -> str:
    """What is changed, as a heading: "One evening more a week, and no more spares"."""
    asked = what.asked
    changes = []
    if asked.hours is not None:
        number = f"{asked.hours:.1f}".removesuffix(".0")
        kept = ngettext(
            "{hours} hour a week kept", "{hours} hours a week kept", 1 if number == "1" else 2, hours=number
        )
        changes.append(kept)
    if asked.evenings:
        changes.append(ngettext("one evening more a week", "{n} evenings more a week", asked.evenings))
    if asked.without_spares:
        changes.append(_("no more spares"))
    if len(changes) == 1:
        return capfirst(changes[0])
    return capfirst(_("{changes} and {last}", changes=", ".join(changes[:-1]), last=changes[-1]))


def _answer(what: WhatIf) -> str:
    days = what.days_sooner
    if days is None:
        return _("How much sooner or later cannot be told: one of the two lies beyond what the forecast looks at.")
    if abs(days) < 4:
        return _("The even chance stays where it is, within a few days.")
    if days > 0:
        return _("The even chance comes about {time} nearer.", time=_time(days))
    return _("The even chance moves about {time} off.", time=_time(-days))


def _time(days: int) -> str:
    """A stretch of time with no more digits than it deserves."""
    if days >= 700:
        years = days / 365.25
        number = (f"{years:.1f}" if years < 5 else f"{years:.0f}").removesuffix(".0")
        return ngettext("{years} year", "{years} years", round(years), years=number)
    if days >= 60:
        return ngettext("{n} month", "{n} months", round(days / 30.44))
    return ngettext("{n} week", "{n} weeks", round(days / 7)) if days >= 14 else ngettext("{n} day", "{n} days", days)


def _end(what: WhatIf, as_of: date) -> date:
    """Where both bars end: the latest date of the two, with a little room."""
    finishes = [
        one.finish_on for one in (what.as_it_stands, what.then) if one is not None and one.finish_on is not None
    ]
    known = [end for one in finishes for end in (one.p10, one.p50, one.p80, one.p90) if end is not None]
    last = max(known, default=as_of)
    beyond = any(one.p90 is None for one in finishes)
    return last + timedelta(days=max(7, round((last - as_of).days * (0.25 if beyond else 0.04))))


def _way(title: str, scenario: Scenario, pace: float | None, as_of: date, end: date) -> Way:
    left = scenario.hours_left
    words = {"hours": capfirst(hours_left_in_words(left)) if left else "", "week": hours(pace)}
    if left is None:
        more = ""
    elif pace is None:
        more = _("{hours} left.", **words)
    else:
        more = _("{hours} left, about {week} a week.", **words)
    return Way(title, _spread(scenario.finish_on, as_of, end), more)


def _spread(finish: FinishDates | None, as_of: date, end: date) -> dict[str, str]:
    if finish is None:
        return {"low": "0", "mid": "0", "high": "0", "text": _("When it is finished cannot be told yet.")}
    span = max(1, (end - as_of).days)

    def place(day: date | None) -> str:
        return f"{100 if day is None else max(0, min(100, 100 * (day - as_of).days / span)):.1f}"

    words = {"when": finish_range(finish, as_of), "chance": _(FOUR_IN_FIVE)}
    if finish.p50 is None:
        text = _("Finished {when}, {chance}.", **words)
    else:
        even = period_of(finish.p50, as_of).placed
        text = _("Finished {when}, {chance}; even chance {even}.", **words, even=even)
    return {
        "low": place(finish.p10),
        "mid": place(finish.p50),
        "high": place(finish.p90),
        "text": text,
        "from": month_in_words(as_of),
        "to": month_in_words(end),
    }
