"""A parts list that was copied without its headings: what its columns hold is told from the cells."""

import re
from collections.abc import Sequence
from dataclasses import replace

from builds.transfer.tables.columns import KINDS
from builds.transfer.tables.raw import RawTable
from builds.transfer.tables.table import has_needed, head_of
from calcs.messages import _

HEADINGS, PART = "headings", "part"
"""What the first row is."""
LONGEST_NUMBER = 16


def headed(raw: RawTable, first_row: str) -> RawTable:
    """The table with headings above it that count its columns, where it has none of its own.

    first_row: whether it holds the HEADINGS or is a PART already; any other word leaves that to the cells.
    """
    if first_row == HEADINGS or (first_row != PART and _has_headings(raw)):
        return raw
    width = max(len(cells) for _number, cells in raw.rows)
    first = [*raw.rows[0][1], *[""] * width][:width]
    heads = [_("Column {n}: {first}", n=n, first=cell[:30]) for n, cell in enumerate(first, start=1)]
    return replace(raw, rows=((0, heads), *raw.rows), guessed=_guessed(raw, width))


def _has_headings(raw: RawTable) -> bool:
    """Known ones, or words above a column of numbers."""
    kind = KINDS["parts"]
    if has_needed(head_of(raw, kind)[1], kind):
        return True
    head, below = raw.rows[0][1], [cells for _number, cells in raw.rows[1:]]
    return any(
        cell and not re.search("[0-9]", cell) and bool(column := _column(below, at)) and all(map(_is_count, column))
        for at, cell in enumerate(head)
    )


def _guessed(raw: RawTable, width: int) -> dict[str, int]:
    """Where each of our columns stands: item, name, quantity, material and sheet, in this order but for the quantity.

    A first column of short texts with a figure in each, none twice, are the items; one of whole numbers the quantity.
    """
    columns = {at: _column([cells for _number, cells in raw.rows], at) for at in range(width)}
    left = [at for at in columns if columns[at]]
    places: dict[str, int] = {}
    if len(left) > 1 and _are_items(columns[left[0]]):
        places["number"] = left.pop(0)
    for at in left:
        counts = all(map(_is_count, columns[at]))
        free = next((one for one in ("name", "material", "sheet") if one not in places), None)
        column = "quantity" if counts and "quantity" not in places else None if counts else free
        if column is not None:
            places[column] = at
    return places


def _column(rows: Sequence[list[str]], at: int) -> list[str]:
    """The cells of a column that hold anything."""
    return [cells[at] for cells in rows if at < len(cells) and cells[at]]


def _are_items(cells: list[str]) -> bool:
    return len(set(cells)) == len(cells) and all(
        re.search("[0-9]", cell) and len(cell) <= LONGEST_NUMBER and " " not in cell for cell in cells
    )


def _is_count(cell: str) -> bool:
    return re.fullmatch("[0-9]{1,4}", cell) is not None
