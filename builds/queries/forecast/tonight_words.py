"""What can be begun, in words: the page and the command line say the same."""

from collections.abc import Callable, Iterator
from math import inf

from builds.queries.forecast.tonight import EveningOffer, Tonight
from calcs.forecast.words import chance_in_words
from calcs.messages import _, gettext_noop, listed, ngettext
from calcs.parts.at_hand import Hold
from calcs.typed.durations import format_duration

# Minutes below which a time to come is told to so many of them.
STEPS = ((20, 1), (120, 5), (inf, 15))

WHY = {
    "toward_milestone": gettext_noop("towards {milestone}"),
    "others_need_it": gettext_noop("others wait for it"),
    "same_fixture": gettext_noop("same fixture"),
    "set_up_stands": gettext_noop("set up already"),
    "logged_last": gettext_noop("on the bench last"),
    "short_filler": gettext_noop("a short one"),
}


def why_line(offer: EveningOffer) -> str:
    """The chance that it fits into the time at hand, and why it is offered, as one line."""
    chance = [chance_in_words(offer.fit.chance)] if offer.fit is not None else []
    return " · ".join([*chance, *(_(WHY[key], milestone=offer.milestone) for key in offer.why)])


def time_words(offer: EveningOffer) -> str:
    """How many pieces, and what they take as a range that holds with 4 chances in 5."""
    if offer.fit is None:
        return _("no time planned")
    low, high = (format_duration(_rounded(minutes)) for minutes in (offer.fit.p10, offer.fit.p90))
    time = low if low == high else _("{low} to {high}", low=low, high=high)
    return " · ".join(one for one in (_pieces_words(offer.fit.pieces, offer.pieces), time) if one)


def _pieces_words(fitting: int, pieces: int) -> str:
    """How many of the pieces; empty for a single one, and so for work that has no pieces."""
    if pieces == 1:
        return ""
    if fitting == pieces:
        return ngettext("{n} piece", "{n} pieces", pieces)
    return ngettext("{k} of {n} piece", "{k} of {n} pieces", pieces, k=fitting)


def _rounded(minutes: float) -> int:
    """No more exact than a time to come deserves."""
    step = next(step for below, step in STEPS if minutes < below)
    return max(1, step * round(minutes / step))


def nothing_words(found: Tonight) -> str:
    """Why nothing can be begun, as a sentence; empty where something can."""
    if found.offers:
        return ""
    if found.state.finished:
        return _("The build is finished, so nothing is left to do.")
    held = list(held_words(found))
    if held:
        return _("Nothing can be begun now: {reasons}.", reasons=listed(held))
    return _("Nothing is left to do in the plan as it stands.")


def held_words(found: Tonight) -> Iterator[str]:
    """What keeps the others from being begun, with how many there are."""
    for hold, number in found.held.items():
        if hold in HELD:
            yield HELD[hold](number)
    if found.without_route:
        yield ngettext("{n} part has no operation yet", "{n} parts have no operation yet", found.without_route)


HELD: dict[Hold, Callable[[int], str]] = {
    "waiting": lambda n: ngettext("{n} operation is of a part that waits", "{n} operations are of parts that wait", n),
    "material": lambda n: ngettext(
        "{n} operation has no material in the rack", "{n} operations have no material in the rack", n
    ),
    "needs": lambda n: ngettext("{n} operation needs others first", "{n} operations need others first", n),
    "machine": lambda n: ngettext(
        "{n} operation is for a machine that is out of order",
        "{n} operations are for machines that are out of order",
        n,
    ),
}
