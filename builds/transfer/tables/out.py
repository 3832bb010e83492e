"""Tables out: the one writer of CSV and of XLSX."""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from builds.transfer.tables.raw import escaped

Value = str | int | float | date | None
WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
TYPES = {"csv": "text/csv; charset=utf-8", "xlsx": WORKBOOK}
# Signs that no XML may hold, and so no workbook.
_NOT_IN_XML = {number: None for number in range(32) if chr(number) not in "\t\n\r"}


@dataclass(frozen=True)
class TableOut:
    """A table as it is written. title: what its tab is called. Headings say the unit of what stands below."""

    title: str
    headings: Sequence[str]
    rows: Iterable[Sequence[Value]]


def written(table: TableOut, ending: str) -> bytes:
    """The file. ending: "csv" or "xlsx"."""
    return as_csv(table).encode() if ending == "csv" else as_workbook(table)


def as_csv(table: TableOut) -> str:
    """As spreadsheets read it: they take it for UTF-8 by the mark at its beginning."""
    out = io.StringIO("\ufeff", newline="")
    out.seek(0, io.SEEK_END)
    writer = csv.writer(out)
    writer.writerow(table.headings)
    writer.writerows([_in_text(value) for value in row] for row in table.rows)
    return out.getvalue()


def as_workbook(table: TableOut) -> bytes:
    """One tab, whose numbers are numbers and whose days are days."""
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    tab = book.create_sheet(table.title)
    tab.freeze_panes = "A2"
    tab.append(list(table.headings))
    for row in table.rows:
        tab.append([_in_cell(value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _in_text(value: Value) -> object:
    # No table in a text file has a sign of nothing in it.
    return escaped(value.replace("\0", "")) if isinstance(value, str) else value


def _in_cell(value: Value) -> object:
    return escaped(value.translate(_NOT_IN_XML)) if isinstance(value, str) else value
