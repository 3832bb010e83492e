"""Whether a measured figure says that a piece is within its limits, out of them, or neither.

The rule of ISO 14253-1 (from memory): with an instrument uncertain by U each way, a figure proves that a piece is
within its limits only U or more inside of them, and that it is out of them only where it lies more than U outside.
Between the two nothing is proved. Where U is not known, figures are taken as they stand.
"""

from dataclasses import dataclass
from enum import StrEnum

from calcs.messages import _

NANOMETRES = 1_000_000
"""In a millimetre. A figure counts to the nearest one, so that what floats leave behind moves no piece over a limit."""


class Verdict(StrEnum):
    """What is known of a piece; the last two are said by a limit gauge."""

    IN = "in"
    OUT = "out"
    NOT_DECIDED = "not decided"
    NO_LIMITS = "no limits"
    GO = "go"
    NO_GO = "no go"

    @property
    def is_good(self) -> bool:
        return self in (Verdict.IN, Verdict.GO)

    @property
    def is_bad(self) -> bool:
        return self in (Verdict.OUT, Verdict.NO_GO)

    @property
    def is_open(self) -> bool:
        """Whether a better instrument would tell."""
        return self is Verdict.NOT_DECIDED


@dataclass(frozen=True)
class Conformity:
    """beyond: millimetres by which the figure lies above its upper limit, or, below 0, under its lower one; 0 between.

    lower, upper: millimetres; None where there is no such limit.
    """

    verdict: Verdict
    beyond: float = 0.0
    lower: float | None = None
    upper: float | None = None


def conformity(figure: float, lower: float | None, upper: float | None, uncertainty: float = 0.0) -> Conformity:
    """What a figure says of its piece; all in millimetres. The limits themselves are within.

    uncertainty: of the instrument, each way; 0 where it is not known. ValueError where that is below 0, or where the
    lower limit lies above the upper one.

    >>> conformity(12.017, 12.0, 12.018, 0.002).verdict.value, conformity(12.03, 12.0, 12.018).beyond
    ('not decided', 0.012)
    """
    if uncertainty < 0:
        raise ValueError(_("An uncertainty cannot be below 0."))
    if lower is not None and upper is not None and lower > upper:
        raise ValueError(_("The lower limit lies above the upper one."))
    if lower is None and upper is None:
        return Conformity(Verdict.NO_LIMITS)
    at, doubt = _nanometres(figure), _nanometres(uncertainty)
    below = None if lower is None else _nanometres(lower) - at
    above = None if upper is None else at - _nanometres(upper)
    furthest = max(outside for outside in (below, above) if outside is not None)
    beyond = 0 if furthest <= 0 else furthest if furthest == above else -furthest
    return Conformity(_verdict(furthest, doubt), beyond / NANOMETRES, lower, upper)


def _verdict(outside: int, doubt: int) -> Verdict:
    """outside: how far a figure lies outside of its nearest limit; below 0, how far inside."""
    if outside <= -doubt:
        return Verdict.IN
    return Verdict.OUT if outside > doubt else Verdict.NOT_DECIDED


def _nanometres(millimetres: float) -> int:
    return round(millimetres * NANOMETRES)
