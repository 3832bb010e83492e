"""A table in a text file, as spreadsheets write them: with commas, semicolons or tabs, and headers in any order."""

import csv
import io
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from builds.transfer.complaints import LogError, plain_name, quoted
from builds.transfer.files import MOST_ROWS, read_bytes
from calcs.messages import _, gettext_noop

MOST_MEGABYTES = 20
# As many as a spreadsheet can have.
MOST_COLUMNS = 16_384
DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab"}

NO_TABLE = gettext_noop("{name}: This is no table in a text file. Save the spreadsheet as CSV first.")

# The names that a column may have; where a file has several of one line, the first counts.
COLUMNS: dict[str, tuple[str, ...]] = {
    "date": ("date", "day", "worked on", "date worked"),
    "since": ("since", "from", "begun"),
    "hours": ("hours", "bench hours", "hours worked", "hrs", "h", "time", "duration"),
    "minutes": ("minutes", "bench minutes", "mins", "min"),
    "part": ("part", "section", "item", "component", "part number", "part name"),
    "operation": ("operation", "step"),
    "builder": ("builder", "who", "worker", "person"),
    "good": ("good", "pieces", "good pieces"),
    "reworked": ("reworked", "rework", "put right"),
    "scrap": ("scrap", "scrapped", "spoiled"),
    "reason": ("reason", "scrap reason", "why"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
    "activity": ("activity", "shop time"),
}


@dataclass(frozen=True)
class Table:
    """Cells by our own column names, for each row its number as a spreadsheet counts it (the header is row 1).

    headers: what each of our columns is called in the file. aside: headers that mean nothing here.
    """

    name: str
    delimiter: str
    headers: dict[str, str]
    aside: tuple[str, ...]
    rows: tuple[tuple[int, dict[str, str]], ...]

    def place(self, row: int, column: str) -> str:
        """Where a cell stands, for complaints."""
        figures = {"name": self.name, "row": row, "column": quoted(self.headers.get(column, column))}
        return _("{name}, row {row}, column {column}", **figures)


def read_table(source: Path | str, name: str = "") -> Table:
    """Read a file (a path) or the text of one. Raises LogError where it is no such table."""
    if isinstance(source, Path):
        name = name or source.name
        text = _text_of(source, name)
    else:
        name, text = name or _("the log"), source.removeprefix("\ufeff")
    if not text.strip():
        raise LogError([_("{name}: The file is empty.", name=name)])
    if "\0" in text:
        raise LogError([_(NO_TABLE, name=name)])
    delimiter = _delimiter(text)
    _check_width(text, delimiter, name)
    cells = _cells(text, delimiter, name)
    if not cells:
        raise LogError([_("{name}: The file is empty.", name=name)])
    header, *rows = cells
    headers, places, aside = _columns(header[1], name)
    return Table(name, delimiter, headers, aside, tuple(_by_column(rows, places, len(header[1]), name)))


def _text_of(path: Path, name: str) -> str:
    try:
        content = read_bytes(path, MOST_MEGABYTES)
    except ValueError as error:
        raise LogError([f"{name}: {error}"]) from error
    encodings = ("utf-16",) if content[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise LogError([_(NO_TABLE, name=name)])


def _delimiter(text: str) -> str:
    """What parts the headers: the sign that occurs most among them, a comma where none does."""
    first = next(line for line in text.splitlines() if line.strip())
    return max(DELIMITERS, key=first.count)


def _check_width(text: str, delimiter: str, name: str) -> None:
    """Before a row is parted, for each cell of it takes memory. Raises LogError."""
    for number, line in enumerate(io.StringIO(text, newline=None), start=1):
        if line.count(delimiter) >= MOST_COLUMNS:
            figures = {"name": name, "row": number, "most": MOST_COLUMNS}
            raise LogError([_("{name}, row {row}: This row has more than {most:,} columns.", **figures)])


def _cells(text: str, delimiter: str, name: str) -> list[tuple[int, list[str]]]:
    """Rows with their numbers, empty ones left out."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[int, list[str]]] = []
    number = 0
    try:
        for cells in reader:
            number += 1
            if any(cell.strip() for cell in cells):
                rows.append((number, [cell.strip() for cell in cells]))
            if len(rows) > MOST_ROWS:
                raise LogError(
                    [_("{name}: This log has more than {most:,} rows. Split it first.", name=name, most=MOST_ROWS)]
                )
    except csv.Error as error:
        figures = {"name": name, "row": number + 1, "why": error}
        raise LogError([_("{name}, row {row}: This row cannot be parted into cells ({why}).", **figures)]) from error
    return rows


def _columns(header: Sequence[str], name: str) -> tuple[dict[str, str], dict[str, int], tuple[str, ...]]:
    """Which of our columns stands where. Raises LogError where one that is needed is missing."""
    plain = [plain_name(cell.replace("_", " ")) for cell in header]
    twice = {cell for cell, times in Counter(plain).items() if cell and times > 1}
    if twice:
        raise LogError([_("{name}, row 1: The header {header} stands twice.", name=name, header=quoted(min(twice)))])
    places: dict[str, int] = {}
    for column, names in COLUMNS.items():
        there = [plain.index(known) for known in names if known in plain]
        if there:
            places[column] = there[0]
    _check_needed(places, header, name)
    taken = set(places.values())
    aside = tuple(cell for i, cell in enumerate(header) if cell and i not in taken)
    return {column: header[i] for column, i in places.items()}, places, aside


def _check_needed(places: dict[str, int], header: Sequence[str], name: str) -> None:
    complaints = []
    for wanted in (("date",), ("hours", "minutes"), ("part", "activity")):
        if not any(column in places for column in wanted):
            names = _(" or ").join(f'"{column}"' for column in wanted)
            figures = {"name": name, "names": names, "found": ", ".join(quoted(cell) for cell in header[:12])}
            complaints.append(_("{name}, row 1: There is no column {names}. The columns are: {found}.", **figures))
    if complaints:
        raise LogError(complaints)


def _by_column(
    rows: Sequence[tuple[int, list[str]]], places: dict[str, int], width: int, name: str
) -> list[tuple[int, dict[str, str]]]:
    too_wide = [number for number, cells in rows if any(cells[width:])]
    if too_wide:
        raise LogError(
            [
                _(
                    "{name}, row {row}: This row has more cells than there are columns. "
                    "A text or number with the parting sign in it stands in quotation marks.",
                    name=name,
                    row=number,
                )
                for number in too_wide
            ]
        )
    return [
        (number, {column: cells[i] if i < len(cells) else "" for column, i in places.items()}) for number, cells in rows
    ]
