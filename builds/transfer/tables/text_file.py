"""A table in a text file, as spreadsheets write them: with commas, semicolons or tabs."""

import csv
import io

from builds.transfer.complaints import Complaint, LogError
from builds.transfer.files import MOST_ROWS
from builds.transfer.tables.raw import EMPTY, NO_TABLE, RawTable, unescaped
from calcs.messages import _

# As many as a spreadsheet can have.
MOST_COLUMNS = 16_384
DELIMITERS = (",", ";", "\t")


def read_text(text: str, name: str) -> RawTable:
    """Part the text of a file into cells. Raises LogError where it is no such table."""
    if not text.strip():
        raise LogError([Complaint(name, _(EMPTY))])
    if "\0" in text:
        raise LogError([Complaint(name, _(NO_TABLE))])
    delimiter = _delimiter(text)
    _check_width(text, delimiter, name)
    rows = _rows(text, delimiter, name)
    if not rows:
        raise LogError([Complaint(name, _(EMPTY))])
    return RawTable(name, delimiter, tuple(rows))


def _delimiter(text: str) -> str:
    """What parts the headers: the sign that occurs most among them, a comma where none does."""
    first = next(line for line in text.splitlines() if line.strip())
    return max(DELIMITERS, key=first.count)


def _check_width(text: str, delimiter: str, name: str) -> None:
    """Before a row is parted, for each cell of it takes memory. Raises LogError."""
    for number, line in enumerate(io.StringIO(text, newline=None), start=1):
        if line.count(delimiter) >= MOST_COLUMNS:
            sentence = _("This row has more than {most:,} columns.", most=MOST_COLUMNS)
            raise LogError([Complaint(name, sentence, number)])


def _rows(text: str, delimiter: str, name: str) -> list[tuple[int, list[str]]]:
    """Rows with their numbers, empty ones left out."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[int, list[str]]] = []
    number = 0
    try:
        for cells in reader:
            number += 1
            if any(cell.strip() for cell in cells):
                rows.append((number, [unescaped(cell.strip()) for cell in cells]))
            if len(rows) > MOST_ROWS:
                sentence = _("This table has more than {most:,} rows. Split it first.", most=MOST_ROWS)
                raise LogError([Complaint(name, sentence)])
    except csv.Error as error:
        sentence = _("This row cannot be parted into cells ({why}).", why=error)
        raise LogError([Complaint(name, sentence, number + 1)]) from error
    return rows
