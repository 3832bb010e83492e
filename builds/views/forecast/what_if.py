"""What if, in words and with the bars side by side."""

from dataclasses import dataclass
from datetime import date, timedelta

from builds.forms.forecast import WhatIfForm
from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.forecast.what_if import Scenario, WhatIf, what_if
from builds.templatetags.figures import hours
from calcs.forecast.result import FinishDates
from calcs.forecast.words import finish_range, hours_range, period_of


@dataclass(frozen=True)
class Way:
    """One way things may go: its name, the bar's places and words (for components/spread.html), and what else to say."""

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
    what = what_if(build_forecast, form.supposed)
    return {"what": what, "what_form": form, "what_words": words_of(what, build_forecast.forecast.as_of)}


def words_of(what: WhatIf, as_of: date) -> WhatWords:
    """The supposition and its outcome in whole sentences; no ways where nothing was supposed or can be told."""
    if what.refusal or what.then is None:
        return WhatWords(what.refusal, "", ())
    end = _end(what, as_of)
    ways = (
        _way("As it stands", what.as_it_stands, what.pace, as_of, end),
        _way(supposed_in_words(what), what.then, what.new_pace, as_of, end),
    )
    return WhatWords("", _answer(what), ways)


def supposed_in_words(what: WhatIf) -> str:
    """What is supposed, as a heading: "One evening more a week, and no more spares"."""
    supposed = what.supposed
    said = []
    if supposed.hours is not None:
        said.append(f"{_number(supposed.hours)} hour{'s' * (supposed.hours != 1)} a week kept")
    if supposed.evenings:
        count = "one evening" if supposed.evenings == 1 else f"{supposed.evenings} evenings"
        said.append(f"{count} more a week")
    if supposed.without_spares:
        said.append("no more spares")
    words = " and ".join(filter(None, (", ".join(said[:-1]), said[-1])))
    return words[0].upper() + words[1:]


def _number(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _answer(what: WhatIf) -> str:
    days = what.days_sooner
    if days is None:
        return "How much sooner or later cannot be told: one of the two lies beyond what the forecast looks at."
    if abs(days) < 4:
        return "The even chance stays where it is, within a few days."
    stretch = _time(abs(days))
    return (
        f"The even chance comes about {stretch} nearer." if days > 0 else f"The even chance moves about {stretch} off."
    )


def _time(days: int) -> str:
    """A stretch of time with no more digits than it deserves."""
    for least, unit, name in ((700, 365.25, "year"), (60, 30.44, "month"), (14, 7, "week")):
        if days >= least:
            number = days / unit
            shown = f"{number:.1f}" if name == "year" and number < 5 else f"{number:.0f}"
            return f"{shown.removesuffix('.0')} {name}s"
    return f"{days} days"


def _end(what: WhatIf, as_of: date) -> date:
    """Where both bars end: the latest date of the two, with a little room."""
    finishes = [
        one.finish_on for one in (what.as_it_stands, what.then) if one is not None and one.finish_on is not None
    ]
    known = [end for one in finishes for end in (one.p10, one.p50, one.p80, one.p90) if end is not None]
    last = max(known, default=as_of)
    beyond = any(one.p90 is None for one in finishes)
    return last + timedelta(days=max(7, round((last - as_of).days * (0.25 if beyond else 0.04))))


def _way(title: str, foreseen: Scenario, pace: float | None, as_of: date, end: date) -> Way:
    left, finish = foreseen.hours_left, foreseen.finish_on
    more = [] if left is None else [f"{hours_range(left)} left".capitalize()]
    if pace is not None:
        more.append(f"about {hours(pace)} a week")
    return Way(title, _spread(finish, as_of, end), f"{', '.join(more)}." if more else "")


def _spread(finish: FinishDates | None, as_of: date, end: date) -> dict[str, str]:
    if finish is None:
        return {"low": "0", "mid": "0", "high": "0", "text": "When it is finished cannot be told yet."}
    span = max(1, (end - as_of).days)

    def place(day: date | None) -> str:
        return f"{100 if day is None else max(0, min(100, 100 * (day - as_of).days / span)):.1f}"

    range_ = finish_range(finish, as_of)
    even = "" if finish.p50 is None else f"; even chance {period_of(finish.p50, as_of).placed}"
    return {
        "low": place(finish.p10),
        "mid": place(finish.p50),
        "high": place(finish.p90),
        "text": f"Finished {range_}, eight chances in ten{even}.",
        "from": f"{as_of:%B %Y}",
        "to": f"{end:%B %Y}",
    }
