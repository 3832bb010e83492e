"""Sizes that go by a name: number and letter drills, BA and metric screws, the British standard wire gauge.

Sources. Number and letter drills: the standard series of ASME B94.11M, written down from memory; twelve of
them are checked in tests/outside against published tap drill tables. BA: nominal major diameters of BS 93,
as printed in common tables (11BA from memory). Metric: the nominal diameters of ISO 261, which are the names
themselves; the list is from memory. Standard wire gauge: the British series of 1884, from memory.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from calcs.messages import _
from calcs.typed.reading import Refusal
from calcs.units.kinds import INCH

# Ten-thousandths of an inch, number 1 first.
_NUMBER_DRILLS = (
    "2280 2210 2130 2090 2055 2040 2010 1990 1960 1935 1910 1890 1850 1820 1800 1770 1730 1695 1660 1610 "
    "1590 1570 1540 1520 1495 1470 1440 1405 1360 1285 1200 1160 1130 1110 1100 1065 1040 1015 0995 0980 "
    "0960 0935 0890 0860 0820 0810 0785 0760 0730 0700 0670 0635 0595 0550 0520 0465 0430 0420 0410 0400 "
    "0390 0380 0370 0360 0350 0330 0320 0310 0292 0280 0260 0250 0240 0225 0210 0200 0180 0160 0145 0135"
)
# Thousandths of an inch, A first.
_LETTER_DRILLS = (
    "234 238 242 246 250 257 261 266 272 277 281 290 295 302 316 323 332 339 348 358 368 377 386 397 404 413"
)
# Tenths of a millimetre, 0BA first.
_BA_DIAMETERS = "60 53 47 41 36 32 28 25 22 19 17 15 13"
# Ten-thousandths of an inch, gauge 0 first.
_WIRE_GAUGE = (
    "3240 3000 2760 2520 2320 2120 1920 1760 1600 1440 1280 1160 1040 0920 0800 0720 0640 0560 0480 0400 "
    "0360 0320 0280 0240 0220 0200 0180 0164 0148 0136 0124"
)

NUMBER_DRILLS = {n: Fraction(int(size), 10_000) * INCH for n, size in enumerate(_NUMBER_DRILLS.split(), 1)}
LETTER_DRILLS = {chr(ord("a") + n): Fraction(int(size), 1000) * INCH for n, size in enumerate(_LETTER_DRILLS.split())}
BA_DIAMETERS = {n: Fraction(int(size), 10) for n, size in enumerate(_BA_DIAMETERS.split())}
WIRE_GAUGE = {n: Fraction(int(size), 10_000) * INCH for n, size in enumerate(_WIRE_GAUGE.split())}

_METRIC = (
    "1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 3 3.5 4 4.5 5 5.5 6 7 8 9 10 11 12 14 15 16 17 18 20 22 24 25 26 27 28 30 32 33 "
    "35 36 38 39 40 42 45 48 50 52 55 56 58 60 62 64 65 68 70 72 75 76 80"
)
# Number screws of ASME B1.1: 0.060 in and 0.013 in more for each number.
NUMBER_SCREWS = frozenset((*range(7), 8, 10, 12))
METRIC_THREADS = frozenset(map(Fraction, _METRIC.split()))


@dataclass(frozen=True)
class NamedSize:
    """A size with the words that say which table it was taken from; `mm` is exact."""

    mm: Fraction
    words: str
    inch: bool


_PATTERNS = (
    ("number drill", r"(?:drill )?(?:#|no\.?|number) ?(\d+)(?: drill)?"),
    ("letter drill", r"(?:letter )([a-z])(?: drill)?|([a-z]) drill|drill ([a-z])"),
    ("BA", r"(?:no\.? )?(0|[1-9]\d*) ?(?:ba|b\.a\.?)(?: (?:dia|diam|diameter))?"),
    ("metric", r"m ?(\d+(?:[.,]\d+)?)"),
    ("wire gauge", r"(0|[1-9]\d*) ?(?:swg|s\.w\.g\.?)|(?:swg|s\.w\.g\.?) ?(0|[1-9]\d*)"),
)


def named_size(plain: str) -> NamedSize | None:
    """The size a plain text names, or None when it names none; Refusal when the table has no such size.

    >>> float(named_size("#30").mm), float(named_size("4ba").mm)
    (3.2639, 3.6)
    """
    for kind, pattern in _PATTERNS:
        found = re.fullmatch(pattern, plain)
        if found:
            return _look_up(kind, next(group for group in found.groups() if group))
    return None


def _look_up(kind: str, key: str) -> NamedSize:
    if kind == "letter drill":
        return NamedSize(LETTER_DRILLS[key], _("letter drill {letter}", letter=key.upper()), inch=True)
    if kind == "metric":
        return _metric(key.replace(",", "."))
    number = int(key)
    if kind == "number drill":
        if number not in NUMBER_DRILLS:
            raise Refusal(_("Number drills run from #1 to #80. Write one of those, or the size with its unit."))
        return NamedSize(NUMBER_DRILLS[number], _drill_in_words(number), inch=True)
    if kind == "BA":
        if number not in BA_DIAMETERS:
            raise Refusal(_("BA sizes are known here from 0BA to 12BA. Write the diameter with its unit."))
        return NamedSize(BA_DIAMETERS[number], _("the major diameter of {name}", name=f"{number}BA"), inch=False)
    if number not in WIRE_GAUGE:
        raise Refusal(_("The standard wire gauge is known here from 0 to 30 swg. Write the thickness with its unit."))
    return NamedSize(WIRE_GAUGE[number], _("standard wire gauge {number}", number=number), inch=True)


def _drill_in_words(number: int) -> str:
    """A number drill, and the screw that goes by the same number where there is one."""
    if number not in NUMBER_SCREWS:
        return _("number drill {number}", number=number)
    screw = f"{float(Fraction(60 + 13 * number, 1000)):.3f} in"
    return _("number drill {number}; a screw of that number is {screw}", number=number, screw=screw)


def _metric(size: str) -> NamedSize:
    if Fraction(size) not in METRIC_THREADS:
        no_thread = _("There is no metric thread M{size}. Write the length meant with its unit, like {size} mm.")
        raise Refusal(no_thread.format(size=size))
    return NamedSize(Fraction(size), _("the nominal diameter of an M{size} thread", size=size), inch=False)
