"""Which of our columns stands where in a table: found by its heading, or said by a person."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import cached_property

from builds.transfer.complaints import Complaint, LogError, plain_name, quoted
from builds.transfer.tables.columns import KINDS, TableKind
from builds.transfer.tables.raw import RawTable
from calcs.messages import _

# Rows among which the headings are looked for: a title may stand above them.
HEAD_ROWS = 10
# So alike two headings are that one is taken for a slip of the other; a judgement.
ALIKE = 0.85
SHORTEST_ALIKE = 4
# Headings that are held against ours letter by letter; in a wide table the others are known when spelt right.
MOST_COMPARED = 200

Cells = dict[str, str]
# Where a person says that a column stands: its place from 0, or None for nowhere.
Chosen = Mapping[str, int | None]


@dataclass(frozen=True)
class Table:
    """Cells by our own column names, for each row its number as a spreadsheet counts it.

    head: the headings of the file. places: in which of its columns ours stand. spread: columns whose headings are
    parts, each with hours of its own.
    """

    raw: RawTable
    kind: TableKind
    head_row: int
    head: tuple[str, ...]
    places: dict[str, int]
    spread: tuple[int, ...] = ()
    body: tuple[tuple[int, list[str]], ...] = field(default=(), repr=False)

    @property
    def name(self) -> str:
        return self.raw.name

    @cached_property
    def headers(self) -> dict[str, str]:
        """What each of our columns is called in the file."""
        return {column: self.head[place] for column, place in self.places.items()}

    @property
    def aside(self) -> tuple[str, ...]:
        """Headings that mean nothing here."""
        taken = {*self.places.values(), *self.spread}
        return tuple(cell for i, cell in enumerate(self.head) if cell and i not in taken)

    @cached_property
    def rows(self) -> tuple[tuple[int, Cells], ...]:
        """The rows below the headings."""
        places = self.places.items()
        return tuple(
            (number, {column: cells[i] if i < len(cells) else "" for column, i in places})
            for number, cells in self.body
        )

    def complaint(self, row: int | None, column: str, sentence: object) -> Complaint:
        return Complaint(self.name, str(sentence), row, self.headers.get(column, column))


def plain_heading(cell: str) -> str:
    """A heading as it is compared: "Time (min)" and "time_min" are the same."""
    return plain_name(re.sub(r"[\W_]+", " ", cell.replace("#", " no ")))


def matched(raw: RawTable, kind: str, chosen: Chosen | None = None) -> Table:
    """Find the columns of a table. Raises LogError where one that is needed is missing."""
    table = find_columns(raw, kind, chosen)
    complaints = what_is_missing(table)
    if complaints:
        raise LogError(complaints)
    return table


def what_is_missing(table: Table) -> list[Complaint]:
    """Columns that are needed and not there, and rows that go beyond the headings."""
    return [*_missing(table), *_too_wide(table)]


def find_columns(raw: RawTable, kind: str, chosen: Chosen | None = None) -> Table:
    """Find the columns of a table, as far as they are there. Raises LogError where two headings are the same."""
    sort = KINDS[kind]
    at, places = head_of(raw, sort)
    number, head = raw.rows[at]
    _refuse_doubles(raw, number, head)
    for column, place in (chosen or {}).items():
        places = {name: there for name, there in places.items() if name != column and there != place}
        if place is not None and place < len(head):
            places[column] = place
    spread = _parts_as_headings(head, places, chosen) if kind == "log" else ()
    body = raw.rows[at + 1 :]
    return Table(raw, sort, number, tuple(head), places, spread, body)


def head_of(raw: RawTable, sort: TableKind) -> tuple[int, dict[str, int]]:
    """Which row holds the headings, and where our columns stand by them."""
    if raw.guessed is not None:
        return 0, dict(raw.guessed)
    found = [(i, _places(cells, sort)) for i, (_number, cells) in enumerate(raw.rows[:HEAD_ROWS])]
    return max(found, key=lambda one: (len(one[1]) if has_needed(one[1], sort) else 0, -one[0]))


def has_needed(places: dict[str, int], sort: TableKind) -> bool:
    return all(any(column in places for column in group) for group in sort.needed)


def _refuse_doubles(raw: RawTable, number: int, head: Sequence[str]) -> None:
    plain = Counter(plain_name(cell.replace("_", " ")) for cell in head)
    twice = {cell for cell, times in plain.items() if cell and times > 1}
    if twice:
        raise LogError([Complaint(raw.name, _("The header {header} stands twice.", header=quoted(min(twice))), number)])


def _places(head: Sequence[str], sort: TableKind) -> dict[str, int]:
    """Known by its heading; of several headings that a column is known by the first of ours counts. Then near ones."""
    plain = {plain_heading(cell): i for i, cell in reversed(list(enumerate(head))) if cell}
    places: dict[str, int] = {}
    for column in sort.columns:
        there = [plain[name] for name in sort.names(column) if name in plain and plain[name] not in places.values()]
        if there:
            places[column] = there[0]
    if len(plain) > MOST_COMPARED:
        return places
    for column in sort.columns:
        left = [name for name, i in plain.items() if i not in places.values() and len(name) >= SHORTEST_ALIKE]
        names = [name for name in sort.names(column) if len(name) >= SHORTEST_ALIKE]
        near = [one for name in names for one in get_close_matches(name, left, n=1, cutoff=ALIKE)]
        if column not in places and near:
            places[column] = plain[near[0]]
    return places


def _parts_as_headings(head: Sequence[str], places: dict[str, int], chosen: Chosen | None) -> tuple[int, ...]:
    """Where a log has a date and no column of parts nor of hours, the other headings are parts, with hours below."""
    if "date" not in places or any(c in places for c in ("part", "activity", "hours", "minutes", "meter", "start")):
        return ()
    taken = set(places.values())
    sums = {"total", "sum", "totals", "all"}
    return tuple(i for i, cell in enumerate(head) if cell and i not in taken and plain_heading(cell) not in sums)


def _missing(table: Table) -> list[Complaint]:
    if table.spread:
        return []
    complaints = []
    for group in table.kind.needed:
        if not any(column in table.places for column in group):
            names = _(" or ").join(f'"{table.kind.names(column)[0]}"' for column in group)
            found = ", ".join(quoted(cell) for cell in table.head[:12])
            sentence = _("There is no column {names}. The columns are: {found}.", names=names, found=found)
            complaints.append(Complaint(table.name, sentence, table.head_row))
    return complaints


def _too_wide(table: Table) -> list[Complaint]:
    sentence = _(
        "This row has more cells than there are columns. "
        "A text or number with the parting sign in it stands in quotation marks."
    )
    width = len(table.head)
    return [Complaint(table.name, sentence, number) for number, cells in table.body if any(cells[width:])]
