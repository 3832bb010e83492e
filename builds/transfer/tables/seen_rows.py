"""What would come of a table, row by row: what a preview shows before anything is stored."""

from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy

from builds.transfer.complaints import Complaint
from builds.transfer.tables.table import Table


class State(TextChoices):
    """What would become of a row."""

    REFUSED = "refused", gettext_lazy("refused")
    NEW = "new", gettext_lazy("new")
    CHANGED = "changed", gettext_lazy("changed")
    SAME = "same", gettext_lazy("the same")
    REMOVED = "removed", gettext_lazy("removed since, and left so")
    ASIDE = "aside", gettext_lazy("left aside")


@dataclass(frozen=True)
class SeenRow:
    """A row by its number as a spreadsheet counts it: what it says in short, and what there is to say of it."""

    number: int
    state: State
    said: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class SeenTable:
    """Every row of a table, and what is wrong with it as a whole. unclear: its dates can be read in two ways."""

    table: Table
    rows: tuple[SeenRow, ...]
    complaints: tuple[Complaint, ...] = ()
    unclear: bool = False
    also: tuple[str, ...] = field(default=())

    @cached_property
    def counts(self) -> dict[State, int]:
        counted = Counter(row.state for row in self.rows)
        return {state: counted[state] for state in State if counted[state]}

    @property
    def refused(self) -> bool:
        return bool(self.complaints) or State.REFUSED in self.counts

    @property
    def to_take(self) -> bool:
        """Whether it can be taken in, and something would come of it."""
        return not self.refused and bool({State.NEW, State.CHANGED} & self.counts.keys())


def refused_rows(complaints: list[Complaint], cells: dict[int, str]) -> list[SeenRow]:
    """The rows that are refused, each with all that is wrong with it. cells: what each row says, in short."""
    by_row: dict[int, list[str]] = {}
    for one in complaints:
        if one.row is not None:
            by_row.setdefault(one.row, []).append(f"{one.column}: {one.sentence}" if one.column else one.sentence)
    return [SeenRow(row, State.REFUSED, cells.get(row, ""), tuple(words)) for row, words in by_row.items()]
