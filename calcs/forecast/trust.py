"""How far to trust the forecast: how its ranges held on simulated builds, as the calibration last measured it."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.forecast.measured import ROWS
from calcs.messages import _


@dataclass(frozen=True)
class Measured:
    """Builds of one sort: how many looks at them, how many in a hundred kept the range of hours (80 are meant), stayed
    under the fairly safe figure (80) and kept the range of dates (80), and even chance ÷ truth (median)."""

    name: str
    looks: int
    held: int
    under_safe: int
    even: float
    dates_held: int


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
    return tuple(TrustLine(titles[row[0]], Measured(*row)) for row in ROWS)
