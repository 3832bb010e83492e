"""The plain names of fits, and what they feel like in the hand. Common practice, as textbooks of fitting have them.

A name holds for a hole H with a shaft, or a shaft h with a hole, as the letters were chosen for; and from the pushed
fits on only in grades to 8, since in coarser ones such letters say nothing of how the parts go together.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from calcs.messages import _, gettext_noop


@dataclass(frozen=True)
class FitName:
    """What a fit is called, and what it feels like, in the language of whoever reads it."""

    name: str
    feel: str


_NAMES = {
    ("d", "e"): (
        gettext_noop("loose running fit"),
        gettext_noop("turns with play that you can feel; for bearings that run hot, long or dirty"),
    ),
    ("f",): (gettext_noop("running fit"), gettext_noop("turns freely with a film of oil, and hardly shakes")),
    ("g",): (
        gettext_noop("close sliding fit"),
        gettext_noop("slides and turns by hand without shake; for slow or guided parts"),
    ),
    ("h",): (gettext_noop("sliding fit"), gettext_noop("goes together by hand when both are clean and oiled")),
    ("js", "k"): (
        gettext_noop("push fit"),
        gettext_noop("goes in with the thumb or a light tap, and comes apart again"),
    ),
    ("m", "n"): (
        gettext_noop("tight push fit"),
        gettext_noop("goes in with a mallet and sits firmly; a key still carries the load"),
    ),
    ("p",): (gettext_noop("light press fit"), gettext_noop("goes in under a vice or a press, and stays")),
    ("r", "s"): (
        gettext_noop("press fit"),
        gettext_noop("needs a press or a warmed hole, and hardly comes apart unhurt"),
    ),
}
_COARSEST_PUSHED = 8


def name_of_fit(hole: str, shaft: str) -> FitName | None:
    """Return the name of a fit of two symbols like H7 and g6; None where there is no usual one.

    >>> name_of_fit("H7", "g6").name, name_of_fit("H11", "k6")
    ('close sliding fit', None)
    """
    (hole_letter, hole_grade), (shaft_letter, shaft_grade) = _parts(hole), _parts(shaft)
    if hole_letter != "H" and shaft_letter != "h":
        return None
    letter = shaft_letter if hole_letter == "H" else hole_letter.lower()
    clear = letter in ("d", "e", "f", "g", "h")
    if not clear and max(hole_grade, shaft_grade) > _COARSEST_PUSHED:
        return None
    name, feel = next(words for letters, words in _NAMES.items() if letter in letters)
    return FitName(_(name), _(feel))


def _parts(symbol: str) -> tuple[str, int]:
    found = re.fullmatch(r"([A-Za-z]{1,2})(\d{1,2})", symbol)
    if found is None:
        raise ValueError(_("A fit is written as hole and shaft, like H7/g6."))
    return found[1], int(found[2])
