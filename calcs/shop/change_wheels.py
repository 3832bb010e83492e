"""Wheels between the spindle and the leadscrew of a lathe, for a thread of a pitch.

Source: the leadscrew turns pitch ÷ leadscrew's pitch for each turn of the spindle (common practice); a train is drivers
over driven. Everything is reckoned in whole fractions: a train cuts a pitch exactly, or is off by so much.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count
from calcs.units.figures import format_plain
from calcs.units.kinds import INCH, LENGTH
from calcs.working.result import Step, Working

COMMON_WHEELS = (20, 25, 30, 35, 38, 40, 45, 50, 55, 60, 65, 127)
"""A common set with a wheel of 127 for the other system of threads, from memory."""
MOST_WHEELS = 20
_NEAREST = 5


@dataclass(frozen=True)
class Train:
    """Drivers over driven wheels, one pair or two; `pitch` in mm, exact."""

    drivers: tuple[int, ...]
    driven: tuple[int, ...]
    pitch: Fraction

    def as_text(self) -> str:
        """The train as it is written on a lathe.

        >>> Train((20, 30), (40, 60), Fraction(1)).as_text()
        '20/40 × 30/60'
        """
        return " × ".join(f"{one}/{two}" for one, two in zip(self.drivers, self.driven, strict=True))

    def error(self, wanted: Quantity) -> float:
        """How far the thread runs out, mm over 100 mm, positive where it is too long."""
        asked = _exact(wanted, _("pitch"))
        return float((self.pitch - asked) / asked * 100)


@dataclass(frozen=True)
class ChangeWheels:
    """The ratio wanted, the trains that come nearest, the best first, and how far the first is off.

    error: mm over 100 mm of thread, positive where it is too long.
    """

    ratio: Fraction
    trains: tuple[Train, ...]
    error: float
    working: Working


def change_wheels(pitch: Quantity, leadscrew: Quantity, wheels: Sequence[int] = COMMON_WHEELS) -> ChangeWheels:
    """Return the trains for a pitch out of the wheels at hand, each used once, simple ones before compound ones.

    ValueError where there are fewer than two wheels, or more than 20.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> found = change_wheels(Q(1.5, "mm"), Q(3, "mm"))
    >>> found.trains[0].as_text(), found.error
    ('20/40', 0.0)
    """
    wanted, screw = _exact(pitch, _("pitch")), _exact(leadscrew, _("pitch of the leadscrew"))
    teeth = sorted(count(wheel, _("number of teeth"), 500) for wheel in wheels)
    if not 2 <= len(teeth) <= MOST_WHEELS:
        raise ValueError(_("Give from 2 to {most} wheels.", most=MOST_WHEELS))
    ratio = wanted / screw
    trains = tuple(
        Train(drivers, driven, screw * Fraction(_product(drivers), _product(driven)))
        for drivers, driven in _nearest(teeth, ratio)
    )
    return ChangeWheels(ratio, trains, trains[0].error(pitch), _working(wanted, screw, trains[0]))


def _exact(length: Quantity, name: str) -> Fraction:
    """A length in mm as a fraction: threads to the inch come out exact, since nobody means a millionth of one."""
    size = amount(length, LENGTH, name)
    per_inch = Fraction(float(INCH) / size).limit_denominator(64)
    # None at all where the pitch is over ten feet.
    if per_inch and abs(float(INCH / per_inch) / size - 1) < 1e-12 and per_inch.denominator <= 8:
        return INCH / per_inch
    return Fraction(size).limit_denominator(1_000_000)


def _nearest(teeth: list[int], ratio: Fraction) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
    best: dict[tuple[int, int], tuple[float, int, tuple[int, ...], tuple[int, ...]]] = {}
    for drivers, driven in _trains(teeth):
        above, below = _product(drivers) * ratio.denominator, _product(driven) * ratio.numerator
        shortened = Fraction(_product(drivers), _product(driven))
        key = shortened.numerator, shortened.denominator
        if key not in best:  # the simple train comes first, and the one of the smallest wheels
            best[key] = (abs(above / below - 1) if above != below else 0.0, len(drivers), drivers, driven)
    nearest = sorted(best.values())[:_NEAREST]
    return [(drivers, driven) for _off, _pairs, drivers, driven in nearest]


def _trains(teeth: list[int]) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every train of one pair or two; a wheel that is there twice may be used twice."""
    has = Counter(teeth)
    for size in (1, 2):
        chosen = sorted(set(combinations(teeth, size)))
        for drivers in chosen:
            left = has - Counter(drivers)
            yield from ((drivers, driven) for driven in chosen if not Counter(driven) - left)


def _product(teeth: tuple[int, ...]) -> int:
    return teeth[0] * (teeth[1] if len(teeth) > 1 else 1)


def _working(wanted: Fraction, screw: Fraction, train: Train) -> Working:
    ratio = wanted / screw
    cut, asked, lead = (format_plain(float(size)) for size in (train.pitch, wanted, screw))
    numbers = f"{lead} × {train.as_text().replace('/', ' ÷ ')}"
    steps = (
        Step(
            _("ratio"),
            _("pitch ÷ leadscrew's pitch"),
            f"{asked} ÷ {lead}",
            float(ratio),
            "",
            "",
            f"{ratio}",
        ),
        Step(_("cuts"), _("leadscrew's pitch·drivers ÷ driven"), numbers, float(train.pitch), "mm", "", f"{cut} mm"),
    )
    return Working(_("Change wheels"), steps)
