"""What became of something a person typed: one shape for lengths, durations and scales."""

from dataclasses import dataclass
from typing import Any, Literal

from calcs.messages import _

Status = Literal["ok", "rough", "unknown", "range", "refused"]
Bound = Literal["", "least", "most"]

LONGEST_TEXT = 200


class Refusal(ValueError):
    """Raised inside the readers when a text cannot be taken; its message is the sentence shown to the person.

    It never leaves the public readers, which turn it into a `Reading` with the status "refused".
    """

    @property
    def sentence(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Reading:
    """The reading of one typed text.

    text:   the text exactly as typed ("" when nothing was given).
    value:  a Pint quantity in mm (lengths), minutes (durations), a Fraction (scales), or None.
    status: "ok"; "rough" (a value the person marked as rough); "range" (low and high are set);
            "unknown" (nothing known, which is not zero); "refused" (not taken, `message` tells what would be).
    message: the reading in words, or the sentence that says what would be understood.
    low, high: the two ends of a range, of the same type as value.
    meter:  durations only: the figure is a running total to date, not the time of one sitting.
    note:   durations only: what stands beside the time, as typed, for a field that takes notes.
    lines:  durations only: the readings of several works written in one text, which is refused; each has its note.
    bound:  "least" or "most" where the figure is a limit only ("2h+", "max 12 mm").
    of:     lengths only: what the size is of ("diameter", "across flats"), "" where nothing is said.
    fit:    lengths only: the tolerance class behind the size ("g6", "H7").

    >>> Reading("", None, "unknown", "Nothing is given.").has_value
    False
    """

    text: str
    value: Any
    status: Status
    message: str
    low: Any = None
    high: Any = None
    meter: bool = False
    note: str = ""
    lines: tuple["Reading", ...] = ()
    bound: Bound = ""
    of: str = ""
    fit: str = ""

    @property
    def has_value(self) -> bool:
        """True when there is a figure to reckon with; zero is such a figure."""
        return self.value is not None


def taken(text: str, value: Any, words: str, notes: tuple[str, ...] = (), **more: Any) -> Reading:
    """A reading that took something: its message quotes the text, and says in words what it was taken for."""
    behind = f" ({'; '.join(notes)})" if notes else ""
    return Reading(text, value, more.pop("status", "ok"), f"{quote_input(text)} → {words}{behind}", **more)


def refused(text: str, sentence: str) -> Reading:
    """A reading that took nothing, with the sentence that says what would be taken."""
    return Reading(text, None, "refused", sentence)


def quote_input(text: str, limit: int = 60) -> str:
    """The typed text on one line, fit to be quoted in a sentence.

    >>> quote_input("  2-1/2\\n")
    '2-1/2'
    """
    line = " ".join(text.split())
    return line if len(line) <= limit else line[: limit - 1] + "…"


def check_size(text: str) -> None:
    """Refuse a text too long to be one figure (more than 200 characters)."""
    if len(text) > LONGEST_TEXT:
        raise Refusal(_("This is longer than {most} characters. Write one figure with its unit.", most=LONGEST_TEXT))
