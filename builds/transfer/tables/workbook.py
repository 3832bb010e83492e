"""A table in a workbook (XLSX). What it would come to is known before any of it is unpacked."""

import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

from builds.transfer.complaints import Complaint, LogError, known, quoted
from builds.transfer.files import MOST_ROWS
from builds.transfer.tables.raw import EMPTY, RawTable, unescaped
from calcs.messages import _, gettext_noop

# Texts of a workbook are held in memory while it is read.
MOST_UNPACKED_MEGABYTES = 80
MOST_FILES = 1_000
# Cells that are looked at, blank ones among them: a single one far out makes its whole row as wide.
MOST_CELLS = 5_000_000
NO_WORKBOOK = gettext_noop("This workbook cannot be read. Open it in the spreadsheet and save it as XLSX or CSV anew.")
TOO_LARGE = gettext_noop("Unpacked, this workbook is larger than {number} MB: too large to be taken in.")


def read_workbook(content: bytes, name: str, sheet: str = "") -> RawTable:
    """The cells of one tab as text: days as 2026-01-03, figures with a point. Raises LogError."""
    try:
        _check_unpacked(content, name)
        book = _opened(content)
        titles = tuple(one.title for one in book.worksheets)
        if sheet and sheet not in titles:
            sentence = _("There is no tab {sheet}. The tabs are: {known}.", sheet=quoted(sheet), known=known(titles))
            raise LogError([Complaint(name, sentence)])
        for tab in book.worksheets:
            if not sheet or tab.title == sheet:
                rows = tuple(_rows(tab, name))
                if rows or sheet:
                    break
        else:
            rows = ()
    except (LogError, MemoryError):
        raise
    except Exception as error:
        # The library raises whatever it stumbles over in a damaged file.
        raise LogError([Complaint(name, _(NO_WORKBOOK))]) from error
    if not rows:
        raise LogError([Complaint(name, _(EMPTY))])
    return RawTable(name, "", rows, titles)


def _opened(content: bytes) -> Any:
    from openpyxl import load_workbook

    return load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)


def _check_unpacked(content: bytes, name: str) -> None:
    """What the list of contents says is the most that is ever unpacked of each. Raises LogError."""
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        files = packed.infolist()
    if len(files) > MOST_FILES or sum(one.file_size for one in files) > MOST_UNPACKED_MEGABYTES * 2**20:
        raise LogError([Complaint(name, _(TOO_LARGE, number=MOST_UNPACKED_MEGABYTES))])


def _rows(tab: Any, name: str) -> Iterator[tuple[int, list[str]]]:
    """Rows with their numbers, empty ones left out."""
    # How far it goes stands in the file, and need not be true.
    tab.reset_dimensions()
    looked_at = found = 0
    for number, row in enumerate(tab.iter_rows(), start=1):
        looked_at += len(row) + 1
        if looked_at > MOST_CELLS:
            sentence = _("This tab has more than {most:,} cells. Split it first.", most=MOST_CELLS)
            raise LogError([Complaint(name, sentence)])
        cells = [_text(cell) for cell in row]
        if any(cells):
            found += 1
            yield number, cells
        if found > MOST_ROWS:
            sentence = _("This table has more than {most:,} rows. Split it first.", most=MOST_ROWS)
            raise LogError([Complaint(name, sentence)])


def _text(cell: Any) -> str:
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return unescaped(value.strip())
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return _figure(value)
    if isinstance(value, datetime):
        return _day(value, cell.number_format)
    if isinstance(value, timedelta):
        return _clock(round(value.total_seconds() / 60))
    if isinstance(value, time):
        return _clock(60 * value.hour + value.minute)
    return value.isoformat() if isinstance(value, date) else str(value)


def _figure(value: float) -> str:
    """A figure as it was typed: binary dust from sums of the spreadsheet is left out."""
    text = format(value, ".12g")
    return text if "e" not in text else str(value)


def _day(value: datetime, number_format: str) -> str:
    """A day; where the spreadsheet shows only its month, the month."""
    shown = number_format.lower()
    if "d" not in shown and "y" in shown and value.day == 1:
        return f"{value.year:04}-{value.month:02}"
    if (value.hour, value.minute, value.second) != (0, 0, 0):
        return value.isoformat(sep=" ", timespec="minutes")
    return value.date().isoformat()


def _clock(minutes: int) -> str:
    """A time of day, or a time that was taken: the spreadsheet does not tell them apart."""
    sign, minutes = ("-", -minutes) if minutes < 0 else ("", minutes)
    return f"{sign}{minutes // 60}:{minutes % 60:02}"
