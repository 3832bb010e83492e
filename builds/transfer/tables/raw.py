"""A table as it stands in a file, before anybody asks what its columns mean."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from builds.transfer.complaints import Complaint, LogError
from builds.transfer.files import read_bytes
from calcs.messages import _, gettext_noop

MOST_MEGABYTES = 20
NO_TABLE = gettext_noop("This is no table in a text file. Save the spreadsheet as CSV or XLSX first.")
EMPTY = gettext_noop("The file is empty.")
OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
# What makes a spreadsheet take a text for a formula, once a file is opened with one.
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True)
class RawTable:
    """Rows of cells as text, each with its number as a spreadsheet counts it, blank rows left out.

    delimiter: what parts the cells of a text file; empty for a workbook. sheets: the tabs of a workbook. guessed: where
    our columns stand, of a table that has no headings of its own.
    """

    name: str
    delimiter: str
    rows: tuple[tuple[int, list[str]], ...]
    sheets: tuple[str, ...] = ()
    guessed: Mapping[str, int] | None = None

    @property
    def comma_decimal(self) -> bool:
        """Whether 2,5 may stand for two and a half."""
        return self.delimiter != ","


def read_raw(source: Path | str, name: str = "", sheet: str = "") -> RawTable:
    """Read a file (a path) or the text of one; sheet: which tab of a workbook, else the first that holds anything.

    Raises LogError where it is no such table.
    """
    if not isinstance(source, Path):
        return read_content(source.encode(errors="replace"), name or _("the log"))
    name = name or source.name
    try:
        content = read_bytes(source, MOST_MEGABYTES)
    except ValueError as error:
        raise LogError([Complaint(name, str(error))]) from error
    return read_content(content, name, sheet)


def read_content(content: bytes, name: str, sheet: str = "") -> RawTable:
    """Read the bytes of a file. Raises LogError where it is no such table."""
    # Not at the top: each of them knows this file.
    from builds.transfer.tables.text_file import read_text
    from builds.transfer.tables.workbook import read_workbook

    if content[:4] in (b"PK\x03\x04", b"PK\x05\x06"):
        return read_workbook(content, name, sheet)
    if content[:4] == OLD_WORKBOOK:
        raise LogError([Complaint(name, _("This is a workbook of the old kind (XLS). Save it as XLSX or CSV first."))])
    return read_text(_decoded(content, name), name)


def _decoded(content: bytes, name: str) -> str:
    encodings = ("utf-16",) if content[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise LogError([Complaint(name, _(NO_TABLE))])


def escaped(text: str) -> str:
    """A text that no spreadsheet takes for a formula: one that might be begins with an apostrophe."""
    return f"'{text}" if text.lstrip("'").startswith(FORMULA_SIGNS) else text


def unescaped(text: str) -> str:
    """What `escaped` was given."""
    return text[1:] if text.startswith("'") and text.lstrip("'").startswith(FORMULA_SIGNS) else text
