"""What may be odd about a line of the log: asked about before it is logged, and kept with the entry as its remark."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from calcs.messages import _, gettext_noop, ngettext
from calcs.typed.durations import format_logged

Figures = Mapping[str, int]


@dataclass(frozen=True)
class Oddity:
    """One thing that is odd about an entry: which of `WORDS`, and its figures (pieces, minutes or days)."""

    kind: str
    figures: Figures

    @property
    def words(self) -> str:
        return WORDS[self.kind][1](self.figures)

    @property
    def hint(self) -> str:
        """What may be done about it, where the words alone do not tell; else empty."""
        return _(HINTS[self.kind]) if self.kind in HINTS else ""

    @property
    def mark(self) -> str:
        """The kind with its figures in one word: a yes to it holds for these figures and no others."""
        return ",".join([self.kind, *(f"{name}={figure}" for name, figure in sorted(self.figures.items()))])

    def kept(self) -> dict[str, Any]:
        """As an entry keeps it."""
        return {"oddity": self.kind, **self.figures}


def oddity_of(kept: Mapping[str, Any]) -> Oddity:
    """An oddity as an entry keeps it. Raises ValueError for what is none of them, or lacks a figure."""
    figures = {name: figure for name, figure in kept.items() if name != "oddity"}
    kind = str(kept.get("oddity"))
    named = WORDS[kind][0].split() if kind in WORDS else None
    if named != sorted(figures) or not all(type(figure) is int for figure in figures.values()):
        raise ValueError(f"{dict(kept)!r} is not an oddity that an entry keeps.")
    return Oddity(kind, figures)


def _reached(d: Figures) -> str:
    return ngettext(
        "{n} piece is counted at this operation, and {reached} could have got there.",
        "{n} pieces are counted at this operation, and {reached} could have got there.",
        d["counted"],
        reached=d["reached"],
    )


def _blanks(d: Figures) -> str:
    return ngettext(
        "That makes {pieces} pieces of a batch of {n} blank.",
        "That makes {pieces} pieces of a batch of {n} blanks.",
        d["blanks"],
        pieces=d["pieces"],
    )


def _lump(d: Figures) -> str:
    time = format_logged(d["minutes"])
    return ngettext("That is {time} in {n} day.", "That is {time} in {n} days.", d["days"], time=time)


def _timed(message: str) -> Callable[[Figures], str]:
    return lambda d: _(message, time=format_logged(d["minutes"]))


# The names of the figures in alphabetical order, and the sentence. There is no date among them, so that a record that
# is moved in time still says what is true.
WORDS: dict[str, tuple[str, Callable[[Figures], str]]] = {
    "more than could reach": ("counted reached", _reached),
    "more than blanks": ("blanks pieces", _blanks),
    "more than wanted": (
        "good wanted",
        lambda d: ngettext("{good} good of {n} wanted.", "{good} good of {n} wanted.", d["wanted"], good=d["good"]),
    ),
    "before the build": (
        "days",
        lambda d: ngettext(
            "That is {n} day before the build began.", "That is {n} days before the build began.", d["days"]
        ),
    ),
    "long day": ("minutes", _timed(gettext_noop("That makes {time} at the bench on one day."))),
    "long lump": ("days minutes", _lump),
    "one evening": ("minutes", _timed(gettext_noop("That is {time} in one evening."))),
    "clock over night": ("minutes", _timed(gettext_noop("The clock ran on over night: {time}."))),
    "machine behind": (
        "days",
        lambda d: ngettext(
            "The date of the machine is {n} day before the last entry.",
            "The date of the machine is {n} days before the last entry.",
            d["days"],
        ),
    ),
}

HINTS = {
    "more than could reach": gettext_noop("A count may be missing further up."),
    "more than blanks": gettext_noop("If more were started, put the number of blanks of this batch right."),
    "one evening": gettext_noop("For several days in one line, give the day it began under “Since”."),
    "clock over night": gettext_noop("If you worked less, say beside it how long."),
    "machine behind": gettext_noop("If the machine is wrong, put its clock right first."),
}
