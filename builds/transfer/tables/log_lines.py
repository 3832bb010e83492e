"""One line for each piece of work: rows that speak of several parts are taken apart.

Either the parts stand in the headings, with hours below, or a cell names several, each with a time of its own or all
with one time together.
"""

import re
from collections.abc import Container, Iterator
from dataclasses import dataclass

from builds.transfer.complaints import plain_name
from builds.transfer.tables.table import Cells, Table
from calcs.messages import _
from calcs.typed.durations import read_duration

_BETWEEN = re.compile(r"\s*(?:[,;/&+\n]|\band\b)\s*")
# "tailplane 51", "elevator: 2 h 30", "fin (45 min)".
# Where a time may begin behind a name: "tailplane 51", "elevator: 2 h 30", "fin (45 min)".
_BEFORE_TIME = re.compile(r"(?<=\S)[\s:=(-]+(?=\d)")
_BARE = re.compile(r"\d+(?:\.\d+)?", re.ASCII)
LONGEST_NAME = 200
MOST_PARTS_A_LINE = 40
TIME_COLUMNS = ("hours", "minutes", "meter", "start", "end")


@dataclass(frozen=True)
class Line:
    """One piece of work of a row.

    shared: how many lines the row's time is to be shared among, `place` which of them this is. whole: the row, where it
    gives the time of all its lines beside that of each.
    """

    row: int
    cells: Cells
    shared: int = 1
    place: int = 0
    whole: Cells | None = None

    @property
    def remark(self) -> str:
        if self.shared == 1:
            return ""
        return _("the time of the row, shared evenly among {n} parts and marked as rough", n=self.shared)


def lines_of(table: Table, parts: Container[str]) -> Iterator[Line]:
    """The lines of a table. parts: names and numbers of the build's parts and of shop time, plain."""
    if table.spread:
        yield from _below_headings(table)
        return
    for number, cells in table.rows:
        yield from _of_cell(number, cells, parts)


def _below_headings(table: Table) -> Iterator[Line]:
    for (number, cells), (_number, all_cells) in zip(table.rows, table.body, strict=True):
        for place in table.spread:
            hours = all_cells[place] if place < len(all_cells) else ""
            if hours and hours not in ("0", "-", "–"):
                yield Line(number, {**cells, "part": table.head[place], "hours": hours})


def _of_cell(number: int, cells: Cells, parts: Container[str]) -> Iterator[Line]:
    said = cells.get("part", "")
    names = _BETWEEN.split(said) if said and plain_name(said) not in parts else [said]
    if not 1 < len(names) <= MOST_PARTS_A_LINE or not all(names):
        yield Line(number, cells)
    elif all(plain_name(name) in parts for name in names):
        for place, name in enumerate(names):
            # What else the row says is said once.
            said_once = cells if place == 0 else _without_counts(cells)
            yield Line(number, {**said_once, "part": name}, len(names), place)
    else:
        yield from _with_own_times(number, cells, names)


def _with_own_times(number: int, cells: Cells, names: list[str]) -> Iterator[Line]:
    """Each with a time of its own, where the row gives none beside or all of them have their unit."""
    found = [_name_and_time(name) for name in names]
    has_time = any(cells.get(column) for column in TIME_COLUMNS)
    if not all(found) or (has_time and any(_BARE.fullmatch(one[1]) for one in found if one)):
        yield Line(number, cells)
        return
    column = "minutes" if "minutes" in cells and "hours" not in cells else "hours"
    for place, (name, time) in enumerate(one for one in found if one):
        said_once = cells if place == 0 else _without_counts(cells)
        own = {c: "" for c in TIME_COLUMNS if c in cells} | {"part": name, column: time}
        yield Line(number, {**said_once, **own}, place=place, whole=cells if has_time else None)


def _name_and_time(text: str) -> tuple[str, str] | None:
    """A name with a time behind it, parted; None where there is no time."""
    for gap in _BEFORE_TIME.finditer(text[:LONGEST_NAME]):
        time = text[gap.end() :].removesuffix(")").strip()
        if _BARE.fullmatch(time) or _is_time_alone(time):
            return text[: gap.start()], time
    return None


def _is_time_alone(text: str) -> bool:
    reading = read_duration(text)
    return reading.status in ("ok", "rough") and not reading.note


def _without_counts(cells: Cells) -> Cells:
    return {**cells, **{c: "" for c in ("good", "reworked", "scrap", "reason", "unattended", "batch") if c in cells}}
