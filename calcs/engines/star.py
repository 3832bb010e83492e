"""A star (cylinders evenly round one crank pin): the order in which it fires, and the cam ring that works its valves.

The tops follow one another round the star, 360° ÷ cylinders apart. A four-stroke engine fires at every second one, so
the order skips one cylinder each time: 1-3-5-2-4 (common practice). That comes past every cylinder only where their
number is odd; of an even number it comes past half of them, for ever.

A ring of L lobes lifts each valve once in two turns of the crank if it turns at 1/(2L) of the crank's speed. From one
cylinder to the next that fires, 720° ÷ n further round, the crank turns 720° ÷ n and the ring 360° ÷ (n·L). That a lobe
stands ready there asks for 2L − n = 1 with the crank, and n − 2L = 1 against it (derived).
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import count, degrees
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

MOST_CYLINDERS = 29


@dataclass(frozen=True)
class StarOrder:
    """The firing order of a star. visited: the cylinders in turn; all of them where `works`.

    gap: degrees of the crank from one to the next in `visited`.
    """

    cylinders: int
    visited: tuple[int, ...]
    gap: float
    working: Working

    @property
    def works(self) -> bool:
        """Whether every cylinder fires."""
        return len(self.visited) == self.cylinders

    def as_text(self) -> str:
        """The order as it is written: 1-3-5-2-4."""
        return "-".join(map(str, self.visited))


@dataclass(frozen=True)
class CamRing:
    """A ring with so many lobes for each sort of valve, one turn to `ratio` turns of the crank.

    between: degrees of the ring from lobe to lobe; lobe: degrees of it that one takes, None where no duration is given.
    """

    lobes: int
    ratio: int
    with_the_crank: bool
    between: float
    lobe: float | None
    working: Working


def star_order(cylinders: int, strokes: int = 4) -> StarOrder:
    """Return the firing order of a star of 3 to 29 cylinders, numbered the way the crank turns.

    >>> star_order(9).as_text(), star_order(6).as_text(), star_order(6).works
    ('1-3-5-7-9-2-4-6-8', '1-3-5', False)
    """
    number = _cylinders(cylinders)
    if strokes not in (2, 4):
        raise ValueError(_("An engine of this kind has two strokes or four."))
    skip = strokes // 2
    visited = [1]
    while (following := (visited[-1] - 1 + skip) % number + 1) != 1:
        visited.append(following)
    sums = WorkingBuilder(_("Firing order of a star"))
    sums.line(_("from top to top"), _("360° ÷ cylinders"), f"360 ÷ {number}", 360 / number, "angle")
    gap = skip * 360 / number
    formula = _("180° × strokes ÷ cylinders")
    sums.line(_("from one that fires to the next"), formula, f"180 × {strokes} ÷ {number}", gap, "angle")
    return StarOrder(number, tuple(visited), gap, sums.working())


def cam_rings(cylinders: int, duration: float | None = None) -> tuple[CamRing, CamRing]:
    """Return the two cam rings of a four-stroke star of an odd number of cylinders: against the crank, and with it.

    duration: how long a valve stands open, in degrees of the crank, 90 to 360. ValueError for an even number.

    >>> [(ring.lobes, ring.ratio, ring.with_the_crank) for ring in cam_rings(9)]
    [(4, 8, False), (5, 10, True)]
    """
    number = _cylinders(cylinders)
    if number % 2 == 0:
        raise ValueError(_("A four-stroke star has an odd number of cylinders; of an even number half never fire."))
    open_for = None if duration is None else degrees(duration, _("duration"), 90, 360)
    return _ring(number, False, open_for), _ring(number, True, open_for)


def _ring(number: int, with_the_crank: bool, open_for: float | None) -> CamRing:
    sign, words = ("+", _("(cylinders + 1) ÷ 2")) if with_the_crank else ("−", _("(cylinders − 1) ÷ 2"))
    lobes = (number + 1) // 2 if with_the_crank else (number - 1) // 2
    title = _("Cam ring that turns with the crank") if with_the_crank else _("Cam ring that turns against the crank")
    sums = WorkingBuilder(title)
    sums.line(_("lobes"), words, f"({number} {sign} 1) ÷ 2", lobes, "number")
    sums.line(_("turns of the crank for one of the ring"), _("2 × lobes"), f"2 × {lobes}", 2 * lobes, "number")
    sums.line(_("from lobe to lobe"), _("360° ÷ lobes"), f"360 ÷ {lobes}", 360 / lobes, "angle")
    numbers = f"720 ÷ {number} ÷ {2 * lobes}"
    formula = _("720° ÷ cylinders ÷ (2 × lobes), from one that fires to the next,")
    sums.line(_("the ring turns"), formula, numbers, 360 / (number * lobes), "angle")
    lobe = None
    if open_for is not None:
        lobe = open_for / (2 * lobes)
        formula, numbers = _("duration ÷ (2 × lobes)"), f"{format_in_full(open_for)} ÷ {2 * lobes}"
        sums.line(_("a lobe takes"), formula, numbers, lobe, "angle")
    return CamRing(lobes, 2 * lobes, with_the_crank, 360 / lobes, lobe, sums.working())


def _cylinders(cylinders: int) -> int:
    number = count(cylinders, _("number of cylinders"), MOST_CYLINDERS)
    if number < 3:
        raise ValueError(_("A star has three cylinders or more."))
    return number
