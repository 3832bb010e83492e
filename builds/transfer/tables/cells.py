"""Single cells of a table: dates, times, counts and figures. Each reader raises ValueError with a sentence."""

import re
from calendar import monthrange
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
# A workbook may hold a time of day with the date.
_TIME_OF_DAY = re.compile(r"[ T]\d{1,2}:\d{2}(?::\d{2})?")
_WORDS = re.compile(r"(\d{1,2})\.?[ -]([^\W\d]{3,9})\.?,?[ -](\d{4})|([^\W\d]{3,9})\.? (\d{1,2}),? (\d{4})")
_MONTH = re.compile(
    r"(\d{4})[-/.](\d{1,2})|(\d{1,2})[-/.](\d{4})"
    r"|([^\W\d]{3,9})\.?[ ,/-]*(\d{4})|(\d{4})[ ,/-]*([^\W\d]{3,9})"
)
_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
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
        if found := _PARTED.fullmatch(_without_time(cell)):
            day_first |= int(found[1]) > 12
            month_first |= int(found[2]) > 12
    if day_first and month_first:
        raise ValueError(_("Some dates have the day first and some the month. Write them all like 2023-12-24."))
    return day_first if day_first or month_first else None


def order_unclear(cells: Iterable[str]) -> bool:
    """Whether some of these dates can be read in two ways, and none of them tells which is meant."""
    parted = [found for cell in cells if (found := _PARTED.fullmatch(_without_time(cell)))]
    return any(one[1] != one[2] for one in parted) and not any(int(n) > 12 for one in parted for n in one.group(1, 2))


def _without_time(cell: str) -> str:
    return _TIME_OF_DAY.sub("", cell)


def month_number(word: str) -> int | None:
    """A month by its English name or the beginning of it; None where it is none."""
    plain = word.casefold()
    return next((n for n, name in enumerate(_MONTHS, start=1) if len(plain) > 2 and name.startswith(plain)), None)


def read_month(cell: str, year: str = "") -> tuple[date, date] | None:
    """The first and the last day of a month ("2024-03", "March 2024", "03/2024"); None where it is no month.

    year: from a column of its own, for a month without one.
    """
    found = _MONTH.fullmatch(f"{cell} {year}" if year and month_number(cell) else cell)
    if not found:
        return None
    years, month = found[1] or found[4] or found[6] or found[7], found[2] or found[3]
    number = int(month) if month else month_number(found[5] or found[8])
    if not number or not 1 <= number <= 12 or int(years) < FIRST_YEAR:
        return None
    first = date(int(years), number, 1)
    return first, last_of_month(first)


def last_of_month(day: date) -> date:
    return day.replace(day=monthrange(day.year, day.month)[1])


def read_day(cell: str, day_first: bool | None, today: date) -> date:
    """A date that is not in the future."""
    if not cell:
        raise ValueError(_("The date is missing."))
    read = _as_date(_without_time(cell), day_first)
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
            return _in_words(cell)
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


def _in_words(cell: str) -> date | None:
    found = _WORDS.fullmatch(cell)
    month = month_number(found[2] or found[4]) if found else None
    return date(int(found[3] or found[6]), month, int(found[1] or found[5])) if found and month else None


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
    if reading.note:
        raise ValueError(_("{cell} is a time with words beside it; give the time alone.", cell=quoted(cell)))
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


def read_meter(cell: str, *, comma_decimal: bool) -> Time:
    """A reading of a running total of hours, in minutes. What parts its thousands is left out: 1,283 and "1, 879"."""
    plain = re.sub(r",\s*", "", cell) if _THOUSANDS.fullmatch(cell) else cell
    reading = read_duration(plain)
    if reading.meter and reading.status == "ok" and reading.value is not None:
        return Time(_whole_minutes(Decimal(str(reading.value)), cell), TimeIs.EXACT)
    time = read_time(plain, in_minutes=False, comma_decimal=comma_decimal)
    if time.minutes is None:
        raise ValueError(_("{cell} is no reading of a running total.", cell=quoted(cell)))
    return time


def is_meter(cell: str) -> bool:
    """Whether a cell says of itself that it is a running total ("to date 1,283")."""
    return bool(cell) and not _BARE.fullmatch(cell) and read_duration(cell).meter


def read_figure(cell: str, *, comma_decimal: bool, most: float) -> float | None:
    """A figure that is no less than nothing; None where the cell is empty."""
    if not cell:
        return None
    plain = _with_point(cell, comma_decimal)
    if not _BARE.fullmatch(plain) or float(plain) > most:
        raise ValueError(_("{cell} is not a figure from 0 to {most:,.0f}.", cell=quoted(cell), most=most))
    return float(plain)


def read_plan_minutes(cell: str, *, comma_decimal: bool) -> float | None:
    """Planned minutes, not rounded; a bare number is minutes. None where nobody knows."""
    if not cell or _BARE.fullmatch(cell) or _COMMA_DECIMAL.fullmatch(cell):
        return read_figure(cell, comma_decimal=comma_decimal, most=MOST_MINUTES)
    reading = read_duration(cell)
    if reading.status == "unknown":
        return None
    if reading.status == "refused" or reading.meter or reading.value is None or reading.value > MOST_MINUTES:
        raise ValueError(_("{cell} is not a time. {why}", cell=quoted(cell), why=reading.message))
    return float(reading.value)
