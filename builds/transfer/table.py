"""A table in a text file, as spreadsheets write them: with commas, semicolons or tabs, and headers in any order."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from builds.transfer.complaints import LogError, quoted

LARGEST_FILE = 20 * 1024 * 1024
MOST_ROWS = 50_000
DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab"}

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
        return f"{self.name}, row {row}, column {quoted(self.headers.get(column, column))}"


def read_table(source: Path | str, name: str = "") -> Table:
    """Read a file (a path) or the text of one. Raises LogError where it is no such table."""
    if isinstance(source, Path):
        name = name or source.name
        text = _text_of(source, name)
    else:
        name, text = name or "the log", source.removeprefix("\ufeff")
    if not text.strip():
        raise LogError([f"{name}: The file is empty."])
    if "\0" in text:
        raise LogError([f"{name}: This is no table in a text file. Save the spreadsheet as CSV first."])
    delimiter = _delimiter(text)
    header, *rows = _cells(text, delimiter, name)
    headers, places, aside = _columns(header[1], name)
    return Table(name, delimiter, headers, aside, tuple(_by_column(rows, places, len(header[1]), name)))


def _text_of(path: Path, name: str) -> str:
    try:
        if path.is_dir():
            raise LogError([f"{name}: This is a folder, not a file."])
        if path.stat().st_size > LARGEST_FILE:
            raise LogError([f"{name}: This file is larger than {LARGEST_FILE // 2**20} MB, so it is no log."])
        content = path.read_bytes()
    except FileNotFoundError as error:
        raise LogError([f"{name}: There is no such file."]) from error
    except (OSError, ValueError) as error:
        if isinstance(error, LogError):
            raise
        raise LogError([f"{name}: This file cannot be read: {getattr(error, 'strerror', None) or error}."]) from error
    encodings = ("utf-16",) if content[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise LogError([f"{name}: This is no table in a text file. Save the spreadsheet as CSV first."])


def _delimiter(text: str) -> str:
    """What parts the headers: the sign that occurs most among them, a comma where none does."""
    first = next(line for line in text.splitlines() if line.strip())
    return max(DELIMITERS, key=first.count)


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
                raise LogError([f"{name}: This log has more than {MOST_ROWS:,} rows. Split it first."])
    except csv.Error as error:
        raise LogError([f"{name}, row {number + 1}: This row cannot be parted into cells ({error})."]) from error
    return rows


def _columns(header: Sequence[str], name: str) -> tuple[dict[str, str], dict[str, int], tuple[str, ...]]:
    """Which of our columns stands where. Raises LogError where one that is needed is missing."""
    plain = [" ".join(cell.casefold().replace("_", " ").split()) for cell in header]
    twice = {cell for cell in plain if cell and plain.count(cell) > 1}
    if twice:
        raise LogError([f"{name}, row 1: The header {quoted(sorted(twice)[0])} stands twice."])
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
            names = " or ".join(f'"{column}"' for column in wanted)
            found = ", ".join(quoted(cell) for cell in header[:12])
            complaints.append(f"{name}, row 1: There is no column {names}. The columns are: {found}.")
    if complaints:
        raise LogError(complaints)


def _by_column(
    rows: Sequence[tuple[int, list[str]]], places: dict[str, int], width: int, name: str
) -> list[tuple[int, dict[str, str]]]:
    too_wide = [number for number, cells in rows if any(cells[width:])]
    if too_wide:
        raise LogError(
            [
                f"{name}, row {number}: This row has more cells than there are columns. "
                "A text or number with the parting sign in it stands in quotation marks."
                for number in too_wide
            ]
        )
    return [
        (number, {column: cells[i] if i < len(cells) else "" for column, i in places.items()}) for number, cells in rows
    ]
