"""The dividing head: turns of the crank and holes on a plate for a division, exactly, or how far off the nearest is.

Source: turns for one division = worm ratio ÷ divisions (common practice for plain indexing). Everything is reckoned
in whole fractions; a setting either divides the circle exactly or it does not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce

from calcs.messages import _, ngettext
from calcs.units.argument_checks import count, ratio
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step, Working

# One common set of three plates, from memory; what the shop has stands above it.
COMMON_CIRCLES = (15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 37, 39, 41, 43, 47, 49)
MOST_DIVISIONS = 100_000


@dataclass(frozen=True)
class Setting:
    """So many whole turns and so many holes on a circle of holes."""

    circle: int
    whole_turns: int
    holes: int

    @property
    def turns(self) -> Fraction:
        """The turns of the crank, exactly."""
        return self.whole_turns + Fraction(self.holes, self.circle)

    def as_text(self) -> str:
        """The setting in words.

        >>> Setting(21, 0, 10).as_text(), Setting(20, 3, 0).as_text()
        ('10 holes on the 21-hole circle', '3 whole turns')
        """
        turns = ngettext("{n} whole turn", "{n} whole turns", self.whole_turns)
        holes = ngettext(
            "{n} hole on the {circle}-hole circle",
            "{n} holes on the {circle}-hole circle",
            self.holes,
            circle=self.circle,
        )
        if self.whole_turns and self.holes:
            return _("{turns} and {holes}", turns=turns, holes=holes)
        return turns if self.whole_turns else holes if self.holes else _("no turn at all")


@dataclass(frozen=True)
class Dividing:
    """What a division asks for.

    turns: of the crank for one division, exact. settings: all circles that give it exactly. nearest: where there is
    none, the setting that comes nearest, with its error over the whole circle in degrees (else None and 0).
    """

    turns: Fraction
    settings: tuple[Setting, ...]
    nearest: Setting | None
    error_degrees: float
    words: str
    working: Working


def divide(divisions: int, worm_ratio: int = 40, circles: Sequence[int] = COMMON_CIRCLES) -> Dividing:
    """Return the settings of a dividing head for so many divisions of the circle.

    worm_ratio: turns of the crank for one of the spindle; circles: the numbers of holes that the shop's plates have.
    ValueError for figures that are no whole numbers of at least one.

    >>> divide(42).words
    '20 holes on the 21-hole circle'
    """
    number = count(divisions, _("number of divisions"), MOST_DIVISIONS)
    worm = count(worm_ratio, _("worm ratio"), 1000)
    return _index(Fraction(worm, number), f"{worm} ÷ {number}", _("worm ratio ÷ divisions"), circles, number)


def divide_angle(angle: float | Fraction, worm_ratio: int = 40, circles: Sequence[int] = COMMON_CIRCLES) -> Dividing:
    """Return the settings for one step of an angle in degrees (more than 0, up to 360): worm·angle ÷ 360.

    >>> divide_angle(9).words
    '1 whole turn'
    """
    size = ratio(float(angle), _("angle in degrees"), 1e-4, 360)
    worm = count(worm_ratio, _("worm ratio"), 1000)
    exact = angle if isinstance(angle, Fraction) else Fraction(repr(size))
    return _index(
        worm * exact / 360,
        f"{worm} × {format_in_full(size)} ÷ 360",
        _("worm ratio·angle ÷ 360°"),
        circles,
        1,
        worm,
    )


def _index(
    turns: Fraction, numbers: str, formula: str, circles: Sequence[int], steps: int, worm: int | None = None
) -> Dividing:
    plates = sorted({count(circle, _("number of holes in a circle"), 1000) for circle in circles})
    if not plates:
        raise ValueError(_("Give the numbers of holes that the plates have, like 15, 16, 17."))
    lines = [Step(_("turns"), formula, numbers, _mixed(turns), _("turns of the crank for each"))]
    whole, part = divmod(turns, 1)
    # A division by whole turns needs no particular plate: the smallest will do.
    exact = [one for one in plates if (part * one).denominator == 1] if part else plates[:1]
    settings = tuple(Setting(one, int(whole), int(part * one)) for one in exact)
    if settings:
        either = _("{first}, or {second}")
        words = reduce(lambda one, more: either.format(first=one, second=more), map(Setting.as_text, settings))
        return Dividing(turns, settings, None, 0.0, words, _working(lines, words))
    nearest = min((_round_to(turns, one) for one in plates), key=lambda setting: abs(setting.turns - turns))
    ratio_of_worm = worm if worm is not None else turns * steps
    error = float(abs(nearest.turns - turns) * steps / ratio_of_worm * 360)
    off = (
        _("None of these plates gives it exactly. The nearest is {setting}, off by {error}° in the whole circle.")
        if steps > 1
        else _("None of these plates gives it exactly. The nearest is {setting}, off by {error}° in one step.")
    )
    words = off.format(setting=nearest.as_text(), error=f"{error:.2g}")
    return Dividing(turns, (), nearest, error, words, _working(lines, words))


def _round_to(turns: Fraction, circle: int) -> Setting:
    whole, holes = divmod(round(turns * circle), circle)
    return Setting(circle, whole, holes)


def _working(lines: list[Step], words: str) -> Working:
    return Working(_("Dividing"), (*lines, Step(_("setting"), "", "", words, "")))


def _mixed(turns: Fraction) -> str:
    whole, part = divmod(turns, 1)
    return " ".join(str(one) for one in (int(whole), part) if one) or "0"
