"""What a size keeps that has no limits of its own: a class of ISO 2768-1, or so much either way.

Sizes below 0.5 mm and above the table have none there: the standard wants their limits beside them. Edges that are
broken (chamfers, and radii, which are taken as those of an outside edge) have a table of their own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from calcs.messages import _, gettext_noop
from calcs.shop.reference_tables import LimitRow, cited, general_rows
from calcs.typed.lengths import find_typed
from calcs.typed.lengths_grammar import in_words
from calcs.typed.reading import Reading, Refusal, Status, check_size, refused, taken
from calcs.typed.text import decimal_places, plain_text
from calcs.units.registry import LengthUnit

CLASSES = {
    "f": gettext_noop("fine"),
    "m": gettext_noop("medium"),
    "c": gettext_noop("coarse"),
    "v": gettext_noop("very coarse"),
}
_NUMBER = r"(?:(?:(?:din|bs|nf)[ -]?)?(?:en[ -]?)?iso[ -]?)?2768(?:-1)?(?::\d{4})?[ -]*"
_CLASS = re.compile(rf"{_NUMBER}([fmcv])[ -]?([hkl]?)")
_BY_WORD = re.compile(rf"(?:{_NUMBER})?(fine|medium|coarse|very coarse)")
_EITHER_WAY = re.compile(r"(?:±|\+/-|\+-|-/\+|plus or minus)\s*(.+)")
_EDGES = ("chamfer", "radius")
# Ranges that the sentence goes through; larger parts are rare on a bench.
_TOLD_UP_TO = 400


@dataclass(frozen=True)
class GeneralTolerance:
    """How a text was read: a class, or so many mm either way (exact); neither where it could not be, see `message`."""

    text: str
    status: Status
    message: str
    grade: str = ""
    either_way: Fraction | None = None

    @property
    def name(self) -> str:
        """How it is called on a page: "ISO 2768-m", or as it was typed."""
        return f"ISO 2768-{self.grade}" if self.grade else self.text.strip()

    def around(self, nominal: Fraction, of: str = "") -> Fraction | None:
        """Return what a size in mm may be off either way, mm; None where nothing is said of such a size.

        of: what the size is of, as `Reading.of` has it; edges have other rows.

        >>> read_general_tolerance("ISO 2768-m", "mm").around(Fraction(12))
        Fraction(1, 5)
        """
        if self.grade:
            row = _row(self.grade, nominal, "edge" if of in _EDGES else "size")
            return None if row is None else Fraction(row.micrometres) / 1000
        return self.either_way


def read_general_tolerance(text: str | None, unit: LengthUnit | None) -> GeneralTolerance:
    """Read a general tolerance; never raises for any text. None and blank count as unknown.

    unit: what a figure without a unit is in. One letter alone is asked about, and so is a figure without ±.

    >>> read_general_tolerance("±.005", "in").either_way
    Fraction(127, 1000)
    """
    typed = "" if text is None else str(text)
    plain = " ".join(plain_text(typed[:1000]).rstrip(" .,;").split())
    try:
        check_size(typed)
        if not plain:
            return GeneralTolerance(typed, "unknown", _("No general tolerance is given."))
        if found := _CLASS.fullmatch(plain):
            return _by_class(typed, found[1], found[2])
        if named := _BY_WORD.fullmatch(plain):
            return _by_class(typed, next(letter for letter, word in CLASSES.items() if word == named[1]), "")
        return _either_way(typed, plain, unit)
    except Refusal as trouble:
        reading = refused(typed, trouble.sentence)
        return GeneralTolerance(typed, reading.status, reading.message)


def _by_class(typed: str, grade: str, geometry: str) -> GeneralTolerance:
    rows = [row for row in general_rows() if row.name == f"{grade} size" and row.up_to <= _TOLD_UP_TO]
    alike = (list(rows) for width, rows in groupby(rows, key=lambda row: row.micrometres))
    steps = ", ".join(_step(first, last) for first, *_between, last in ([*rows, rows[-1]] for rows in alike))
    words = _("class {letter} ({word}): {steps} …", letter=grade, word=_(CLASSES[grade]), steps=steps)
    notes = [cited(rows[0].source, rows[0].status)]
    if geometry:
        notes.append(_("{letter} is for shape and position and is left aside", letter=geometry.upper()))
    return _as_read(taken(typed, None, words, tuple(notes)), grade=grade)


def _step(first: LimitRow, last: LimitRow) -> str:
    width = decimal_places(Fraction(first.micrometres) / 1000, 3)
    return _("±{width} mm at {low} to {high} mm", width=width, low=f"{first.over:g}", high=f"{last.up_to:g}")


def _either_way(typed: str, plain: str, unit: LengthUnit | None) -> GeneralTolerance:
    found = _EITHER_WAY.fullmatch(plain)
    if not found:
        what = _("Write a class such as ISO 2768-m (f, m, c or v), or so much either way, such as ±0.1 mm or ±.005 in.")
        raise Refusal(what)
    size = find_typed(found[1], unit)
    if size is None or size.high is not None or size.rough or size.fit or size.deviations or not size.mm:
        raise Refusal(_("One plain figure stands behind the ±, such as ±0.1 mm or ±.005 in."))
    return _as_read(taken(typed, None, f"±{in_words(size)}", size.notes), either_way=size.mm)


def _as_read(reading: Reading, grade: str = "", either_way: Fraction | None = None) -> GeneralTolerance:
    return GeneralTolerance(reading.text, reading.status, reading.message, grade, either_way)


def _row(grade: str, nominal: Fraction, of: str) -> LimitRow | None:
    """The row for a size. The first range begins with its lower end, every other one above it."""
    rows = [row for row in general_rows() if row.name == f"{grade} {of}"]
    return next((row for row in rows if row.over < nominal <= row.up_to or nominal == row.over == 0.5), None)
