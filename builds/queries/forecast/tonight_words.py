"""What can be begun, in words: the page and the command line say the same."""

from collections.abc import Callable, Iterator

from builds.queries.forecast.tonight import EveningOffer, Tonight
from calcs.forecast.words import chance_in_words
from calcs.messages import _, gettext_noop, listed, ngettext
from calcs.parts.at_hand import Hold
from calcs.typed.durations import format_duration

# Beyond this many minutes a time to come is told to five of them.
TO_THE_MINUTE = 20

WHY = {
    "toward_milestone": gettext_noop("toward {milestone}"),
    "set_up_stands": gettext_noop("set up already"),
    "logged_last": gettext_noop("on the bench last"),
    "short_filler": gettext_noop("a small one"),
}


def why_words(offer: EveningOffer) -> list[str]:
    """Why it is offered, a few words each."""
    return [_(WHY[key], milestone=offer.milestone) for key in offer.why]


def why_line(offer: EveningOffer) -> str:
    """The chance that it fits, and why it is offered, as one line."""
    return " · ".join(one for one in (chance_words(offer), *why_words(offer)) if one)


def pieces_words(offer: EveningOffer) -> str:
    """How many of its pieces; empty for a single one, and for work that has no pieces."""
    if offer.fit is None or offer.pieces == 1:
        return ""
    if offer.fit.pieces == offer.pieces:
        return ngettext("all {n} piece", "all {n} pieces", offer.pieces)
    return ngettext("{k} of {n} piece", "{k} of {n} pieces", offer.pieces, k=offer.fit.pieces)


def time_words(offer: EveningOffer) -> str:
    """What they take, as a range that holds with 4 chances in 5."""
    if offer.fit is None:
        return _("no time planned")
    low, high = (format_duration(_rounded(minutes)) for minutes in (offer.fit.p10, offer.fit.p90))
    return low if low == high else _("{low} to {high}", low=low, high=high)


def chance_words(offer: EveningOffer) -> str:
    """The chance that they fit into the time at hand."""
    return "" if offer.fit is None else _("{chance} that it fits", chance=chance_in_words(offer.fit.chance))


def _rounded(minutes: float) -> int:
    return max(1, round(minutes)) if minutes <= TO_THE_MINUTE else 5 * round(minutes / 5)


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
