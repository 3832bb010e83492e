"""What can be begun tonight as the command line prints it: in words, or as plain figures."""

from collections.abc import Iterator
from typing import Any

from builds.queries.forecast.tonight import EveningOffer, Tonight
from builds.queries.forecast.tonight_words import held_words, nothing_words, time_words, why_line
from calcs.messages import _
from calcs.typed.durations import format_duration


def whole_text(found: Tonight) -> Iterator[str]:
    """A line for each operation, those that fit first; what is not offered at the end."""
    time = format_duration(found.minutes)
    yield _(
        "{build}, {time} at hand on {day}: what fits, and its chance",
        build=found.build.name,
        time=time,
        day=found.as_of.isoformat(),
    )
    if nothing := nothing_words(found):
        yield f"  {nothing}"
        return
    yield from map(_line, found.fitting)
    if found.longer:
        yield _("Can be begun, and would take longer:")
        yield from map(_line, found.longer)
    if found.untimed:
        yield _("Can be begun, with no time planned:")
        yield from map(_line, found.untimed)
    if held := ", ".join(held_words(found)):
        yield _("Not offered: {reasons}.", reasons=held)


def _line(offer: EveningOffer) -> str:
    operation = offer.operation
    return "  " + " · ".join(
        one for one in (f"{operation.part}, {operation}", time_words(offer), why_line(offer)) if one
    )


def as_figures(found: Tonight) -> Iterator[dict[str, Any]]:
    """A dict for each operation that can be begun, in the order of the page; what is not known is None."""
    for offer in found.offers:
        fit = offer.fit
        yield {
            "part": offer.operation.part.number,
            "operation": offer.operation.number,
            "pieces": fit.pieces if fit else None,
            "minutes": {"p10": fit.p10, "p50": fit.p50, "p90": fit.p90} if fit else None,
            "chance_it_fits": round(fit.chance, 3) if fit else None,
            "why": list(offer.why),
            "milestone": offer.milestone or None,
        }
