"""Blanks taken off the rack as a batch is started: the bars that are cut go, and their offcuts come."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from builds.models import Batch, Shop, Stock
from builds.services.changes import write
from calcs.messages import _
from calcs.units.registry import LengthUnit

if TYPE_CHECKING:
    from calcs.shop.stock_texts import SizedStock, StockSection

# What is shorter goes to the scrap box (a judgement).
LEAST_OFFCUT_MM = 10.0


def take_blanks(batch: Batch) -> None:
    """Take the blanks of a batch off the rack. Call inside `change`, whose event undoes it with the batch.

    Offcuts are put down as they are left by the usual saw cut, rounded down. ValidationError, with a sentence, where
    the rack does not give as many, or the part does not say what of.
    """
    from calcs.shop.buying import Cutting, taken_from_rack
    from calcs.shop.stock_texts import at_most_in_words

    section, length, rows = _bars_for(batch)
    there = Counter[float]()
    for row, size in rows:
        there[size.length_mm] += row.pieces
    try:
        taken = taken_from_rack(length, batch.blanks, tuple(there.items()), Cutting.kerf_mm)
    except ValueError as error:
        raise ValidationError({"from_rack": str(error)}) from error
    offcuts = Counter[tuple[float, LengthUnit]]()
    for bar, _pieces, left in taken:
        row = next(row for row, size in rows if size.length_mm == bar and row.pieces)
        row.pieces -= 1
        if left >= LEAST_OFFCUT_MM:
            offcuts[left, row.length_unit] += 1
    for row, _size in rows:
        write(row)
    for (left, unit), number in offcuts.items():
        _put_offcut(batch, rows[0], at_most_in_words(left, unit), unit, number)
    _clear(batch, section)
    Shop.raise_revision()


def _bars_for(batch: Batch) -> tuple[StockSection, float, list[tuple[Stock, SizedStock]]]:
    """The section that the part's blank is cut from, its length, and the rows of the rack that have it."""
    from calcs.shop.stock_texts import blank_of_text

    part = batch.part
    blank = blank_of_text(part.blank, part.build.length_unit)
    rows = [] if blank is None or blank.face_mm2 else _rows_of(batch, blank.section)
    if blank is None or not rows:
        raise ValidationError({"from_rack": _("The rack has no bar of this part’s material and section.")})
    return blank.section, blank.length_mm, rows


def _rows_of(batch: Batch, section: StockSection) -> list[tuple[Stock, SizedStock]]:
    from calcs.shop.stock_texts import stock_of_texts

    found = []
    for row in Stock.objects.filter(material=batch.part.material_id):
        try:
            size = stock_of_texts(row.section, row.length, row.length_unit)
        except ValueError:  # written past the forms
            continue
        if size.section.key == section.key:
            found.append((row, size))
    return found


def _put_offcut(batch: Batch, like: tuple[Stock, SizedStock], words: str, unit: LengthUnit, number: int) -> None:
    """Put offcuts beside those of that length, however it is written, or as a row of their own."""
    from calcs.shop.stock_texts import stock_of_texts

    first, size = like
    length = stock_of_texts(first.section, words, unit).length_mm
    beside = (
        row
        for row, there in _rows_of(batch, size.section)
        if (row.section, row.units, there.length_mm) == (first.section, first.units, length)
    )
    row = next(beside, None) or Stock(
        material=first.material, section=first.section, length=words, units=first.units, pieces=0
    )
    row.pieces += number
    write(row)


def _clear(batch: Batch, section: StockSection) -> None:
    """Rows of no pieces go, but the last of its section stays: it says that such stock is kept."""
    rows = [row for row, _size in _rows_of(batch, section)]
    empty = [row for row in rows if not row.pieces]
    for row in empty if len(empty) < len(rows) else empty[1:]:
        row.delete()
