"""What tests of blanks ask for."""

from collections.abc import Sequence

from calcs.parts.blanks import chances_by_blanks
from calcs.parts.yields import YieldBelief


def enough(blanks: int, needed: int, beliefs: Sequence[YieldBelief], in_work: Sequence[int] = ()) -> float:
    """The chance that so many blanks give at least the good pieces needed."""
    return chances_by_blanks(needed, beliefs, blanks, in_work)[blanks]
