"""How far to trust the forecast: how its ranges held on simulated builds, as the calibration last measured it."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.forecast.measured import MEASURED, Measured
from calcs.messages import _


@dataclass(frozen=True)
class TrustLine:
    """One line of the table: builds of a sort, in words, and what was measured on them."""

    title: str
    measured: Measured


def trust_lines() -> tuple[TrustLine, ...]:
    """Return the lines in the order measured.

    >>> [line.title for line in trust_lines()][-1]
    'all of these together'
    """
    titles = {
        "base": _("an ordinary build"),
        "strong learning": _("repeated parts quickly learned"),
        "no learning": _("nothing learned on the way"),
        "no counts": _("hours on parts, nothing counted"),
        "by assembly": _("hours by assembly alone"),
        "early": _("asked after the first few evenings"),
        "kinds astray": _("some kinds planned far too short"),
        "rough plans": _("rough plans"),
        "heavy shop time": _("much shop time"),
        "growth": _("a plan that keeps growing"),
        "wild tails": _("many surprises"),
        "normal tails": _("no surprises"),
        "pace drifts down": _("a pace that falls"),
        "pace drifts up": _("a pace that rises"),
        "pace jumps": _("a pace that jumps"),
        "few parts": _("15 parts"),
        "many parts": _("200 parts"),
        "all regimes": _("all of these together"),
    }
    return tuple(TrustLine(titles[one.name], one) for one in MEASURED)
