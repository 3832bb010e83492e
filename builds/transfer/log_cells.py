"""Single cells of a log file: dates, times and counts. Each reader raises ValueError with a sentence."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from builds.models.choices import TimeIs
from builds.transfer.complaints import quoted
from builds.transfer.files import FIRST_YEAR, MOST_MINUTES, MOST_PIECES
from calcs.messages import _
from calcs.typed.durations import read_duration

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_PARTED = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4})")
_BARE = re.compile(r"(?:\d+(?:\.\d*)?|\.\d+)", re.ASCII)
_COMMA_DECIMAL = re.compile(r"\d+,\d+", re.ASCII)
_THOUSANDS = re.compile(r"\d{1,3}(?:,\s*\d{3})+", re.ASCII)
_WHOLE = re.compile(r"\d{1,9}", re.ASCII)


def day_stands_first(cells: Iterable[str]) -> bool | None:
    """Whether dates like 24/12/2023 have the day first, by all dates of a file; None where they do not tell.

    Raises ValueError where some can only be read one way and some only the other.
    """
    day_first = month_first = False
    for cell in cells:
        found = _PARTED.fullmatch(cell)
        if found:
            day_first |= int(found[1]) > 12
            month_first |= int(found[2]) > 12
    if day_first and month_first:
        raise ValueError(_("Some dates have the day first and some the month. Write them all like 2023-12-24."))
    return day_first if day_first or month_first else None


def read_day(cell: str, day_first: bool | None, today: date) -> date:
    """A date that is not in the future."""
    if not cell:
        raise ValueError(_("The date is missing."))
    read = _as_date(cell, day_first)
    if read is None or read.year < FIRST_YEAR:
        raise ValueError(_("{cell} is not a date. Write it like 2023-12-24.", cell=quoted(cell)))
    if read > today:
        raise ValueError(_("{cell} has not come yet.", cell=quoted(cell)))
    return read


def _as_date(cell: str, day_first: bool | None) -> date | None:
    iso, parted = _ISO.fullmatch(cell), _PARTED.fullmatch(cell)
    try:
        if iso:
            return date(int(iso[1]), int(iso[2]), int(iso[3]))
        if not parted:
            return None
        first, second, year = int(parted[1]), int(parted[2]), int(parted[3])
        if day_first is None and first != second:
            sentence = _(
                "{cell} could have the day or the month first, and no date of the file tells. "
                "Write it like 2023-12-24.",
                cell=quoted(cell),
            )
            raise Unclear(sentence)
        return date(year, second, first) if day_first else date(year, first, second)
    except Unclear:
        raise
    except ValueError:
        return None


class Unclear(ValueError):
    """A cell that can be read in two ways."""


@dataclass(frozen=True)
class Time:
    """Whole minutes; None is "not known"."""

    minutes: int | None
    bench_is: str


def read_time(cell: str, *, in_minutes: bool, comma_decimal: bool) -> Time:
    """A time, where a bare number is in the column's own unit. Rounded to whole minutes: 0.33 h is 20 min.

    comma_decimal: whether 2,5 may stand for two and a half.
    """
    if not cell:
        raise ValueError(_("The time is missing. Write 0 where none was spent, ? where it is not known."))
    plain = _with_point(cell, comma_decimal)
    if _BARE.fullmatch(plain):
        return Time(_whole_minutes(Decimal(plain) * (1 if in_minutes else 60), cell), TimeIs.EXACT)
    reading = read_duration(cell)
    if reading.status == "unknown":
        return Time(None, TimeIs.UNKNOWN)
    if reading.status == "refused" or reading.value is None:
        raise ValueError(_("{cell} is not a time. {why}", cell=quoted(cell), why=reading.message))
    if reading.meter:
        raise ValueError(_("{cell} is a running total; give the time of each row.", cell=quoted(cell)))
    is_exact = reading.status == "ok"
    return Time(_whole_minutes(Decimal(str(reading.value)), cell), TimeIs.EXACT if is_exact else TimeIs.ROUGH)


def _with_point(cell: str, comma_decimal: bool) -> str:
    if _THOUSANDS.fullmatch(cell):
        raise ValueError(_("{cell} could be in thousands or a decimal. Write 1879 or 1.879.", cell=quoted(cell)))
    if "," in cell and (not comma_decimal or not _COMMA_DECIMAL.fullmatch(cell)):
        raise ValueError(_("{cell} is not a time. Write it like 2.5, 2:30 or 2 h 30 min.", cell=quoted(cell)))
    return cell.replace(",", ".")


def _whole_minutes(minutes: Decimal, cell: str) -> int:
    if minutes > MOST_MINUTES:
        raise ValueError(_("{cell} is more than a life at the bench.", cell=quoted(cell)))
    return int(minutes.quantize(Decimal(1), ROUND_HALF_UP))


def read_count(cell: str) -> int:
    """A number of pieces; an empty cell is none."""
    if not cell:
        return 0
    if not _WHOLE.fullmatch(cell) or int(cell) > MOST_PIECES:
        raise ValueError(_("{cell} is not a number of pieces. Write a whole number.", cell=quoted(cell)))
    return int(cell)
