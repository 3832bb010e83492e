"""What a reader must know beside the figures of a forecast, in whole sentences."""

from calcs.forecast.result import Forecast, Remark
from calcs.messages import _, gettext_noop, ngettext


def remarks_in_words(forecast: Forecast) -> tuple[str, ...]:
    """Return what a reader must know beside the figures, in whole sentences."""
    return tuple(_of_counted(remark) or _(_PLAIN[remark.about]) for remark in forecast.remarks)


_PLAIN: dict[str, str] = {
    "no parts": gettext_noop("No part has been listed yet, so nothing can be said about the hours left."),
    "no figures": gettext_noop("No part has a planned figure yet, so nothing can be said about the hours left."),
    "no hours logged": gettext_noop("No hours have been logged yet, so there is no pace and no date."),
    "few operations compared": gettext_noop(
        "No operation has been logged against a plan so far, so your ratio rests mostly on what others found."
    ),
    "much growth": gettext_noop(
        "Many operations came into the plan after work began; the hours left count on more of them."
    ),
    "finish beyond the horizon": gettext_noop("At this pace the finish may well lie more than sixty years ahead."),
}


def _of_counted(remark: Remark) -> str:
    """The sentence of a remark on so many of something; empty for others, and for none."""
    if remark.about == "parts without a figure":
        return ngettext(
            "{n} part has no planned figure; a range is borrowed from the build's other parts.",
            "{n} parts have no planned figure; a range is borrowed from the build's other parts.",
            remark.number,
        )
    if remark.about == "operations with nothing to borrow":
        return ngettext(
            "{n} operation has no planned figure and no other to borrow one from, so it counts for nothing so far.",
            "{n} operations have no planned figure and no other to borrow one from, so they count for nothing so far.",
            remark.number,
        )
    if remark.about == "few evenings logged":
        return ngettext(
            "The log holds {n} evening so far, so the hours left lean on the plan.",
            "The log holds {n} evenings so far, so the hours left lean on the plan.",
            remark.number,
        )
    if remark.about == "few weeks logged":
        return ngettext(
            "The log covers {n} week only, so the date is very wide.",
            "The log covers {n} weeks only, so the date is very wide.",
            remark.number,
        )
    if remark.about == "few operations compared" and remark.number:
        return ngettext(
            "{n} operation has been logged against a plan so far, so your ratio rests mostly on what others found.",
            "{n} operations have been logged against a plan so far, so your ratio rests mostly on what others found.",
            remark.number,
        )
    if remark.about == "parts with a count gap":
        return ngettext(
            "{n} part has more pieces counted than could have got there.",
            "{n} parts have more pieces counted than could have got there.",
            remark.number,
        )
    return ""
