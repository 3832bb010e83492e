"""Cells of a log that are read by its own rules: texts, shop time, and times that rows share."""

from collections.abc import Callable
from datetime import date
from typing import Any

from builds.models import Builder, Entry, Operation, Part
from builds.models.choices import Activity, TimeIs
from builds.transfer.complaints import NOT_SHOP_TIME, TOO_LONG, known, plain_name, quoted
from builds.transfer.files import FIRST_YEAR
from builds.transfer.tables.cells import Time, month_number
from builds.transfer.tables.log_lines import Line
from calcs.messages import _


class OfColumn(ValueError):
    """What is wrong with one of the columns that a reading is made from."""

    def __init__(self, column: str, sentence: str) -> None:
        self.column = column
        super().__init__(sentence)


def share(time: Time, line: Line) -> Time:
    """A line's part of the time of its row; whole minutes, so that all of them together are the row's."""
    if line.shared == 1 or time.minutes is None:
        return time
    minutes = time.minutes * (line.place + 1) // line.shared - time.minutes * line.place // line.shared
    return Time(minutes, TimeIs.ROUGH)


def month_before(word: str, day: date) -> date | None:
    """The first of the last month of that name before a day, or of the day's own."""
    number = month_number(word)
    if number is None or day.year <= FIRST_YEAR:
        return None
    return date(day.year if number <= day.month else day.year - 1, number, 1)


TEXTS = {
    "part": Part.name,
    "operation": Operation.title,
    "builder": Builder.name,
    "reason": Entry.scrap_reason,
    "note": Entry.note,
    "mark": Entry.token,
}


def short(column: Any) -> Callable[[str], str]:
    def read(text: str) -> str:
        figures = {"length": len(text), "max_length": column.field.max_length}
        if figures["length"] > figures["max_length"]:
            raise ValueError(_(TOO_LONG, **figures))
        return text

    return read


def read_activity(text: str) -> str:
    plain = plain_name(text)
    if plain and plain not in Activity.values:
        raise ValueError(_(NOT_SHOP_TIME, value=quoted(text), known=known(Activity.values)))
    return plain
