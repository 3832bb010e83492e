"""The paper that a build book is printed on: pages with tables, title blocks, pictures and drawings."""

from collections.abc import Collection, Iterable, Sequence
from io import BytesIO

from fpdf import FontFace
from fpdf.enums import Align, TableBordersLayout, VAlign

from builds.book.letters import written
from builds.book.page import AFTER, BODY, FOOT, LEFT, LINE, SMALL, Page
from builds.charts.drawing import INK, QUIET, RULE, Chart
from builds.queries.plan.titleblock import Cell
from builds.services.plan.pictures import opened_picture

COLUMNS = 4
SHORTEST, TALLEST = 30, 105
"""Of a picture: so that something is seen, and so that two rows stand on a page."""


class Paper(Page):
    """A book that grows from top to bottom, a page at a time."""

    # ---- tables -----------------------------------------------------------------------------------------------------
    def rows(
        self,
        heads: Sequence[str],
        rows: Iterable[Sequence[str]],
        widths: Sequence[float],
        numbers: Collection[int] = (),
        *,
        share: float = 1.0,
    ) -> None:
        """A table. Nothing without a row.

        widths: of the columns, beside each other. numbers: those that stand to the right. share: of the page's width.
        """
        lines = [[written(cell) for cell in row] for row in rows]
        if not lines:
            return
        self.letters(SMALL)
        self.set_draw_color(RULE)
        self.set_line_width(0.2)
        whole = self.epw * share
        columns = [width / sum(widths) * whole for width in widths]
        aligns = tuple(Align.R if place in numbers else Align.L for place in range(len(widths)))
        with self.table(
            width=whole,
            align="LEFT",
            col_widths=tuple(columns),
            text_align=aligns,
            v_align=VAlign.T,
            borders_layout=TableBordersLayout.HORIZONTAL_LINES,
            headings_style=FontFace(emphasis="BOLD", color=QUIET),
            line_height=self.font_size * LINE,
            padding=(0.7, 1.2),
        ) as table:
            for line in (heads, *lines):
                table.row([self.in_order(cell, width - 2.4) for cell, width in zip(line, columns, strict=True)])
        self.ln(AFTER)

    def facts(self, cells: Sequence[Cell]) -> None:
        """A title block: boxes with a small word above each fact. It stands on one page."""
        rows, width = in_rows(cells), self.epw / COLUMNS
        heights = self.heights_of(rows)
        self.keep_together(sum(heights))
        for row, height in zip(rows, heights, strict=True):
            left, top = float(LEFT), self.y
            for cell, of in row:
                self._fact(cell, left, top, width * of, height)
                left += width * of
            self.set_xy(LEFT, top + height)
        self.ln(AFTER + 1)

    def heights_of(self, rows: Sequence[Sequence[tuple[Cell, int]]]) -> list[float]:
        """How tall each row of a title block is."""
        width = self.epw / COLUMNS
        self.letters(BODY)
        return [max(self.height_of(written(one["value"]), width * of - 3) for one, of in row) + 6.2 for row in rows]

    def _fact(self, cell: Cell, left: float, top: float, width: float, height: float) -> None:
        self.set_draw_color(INK)
        self.set_line_width(0.25)
        self.rect(left, top, width, height)
        self.set_xy(left + 1.5, top + 1)
        self.letters(6.5, colour=QUIET)
        self.cell(width - 3, 3, self.fitted(cell["label"], width - 3))
        self.set_xy(left + 1.5, top + 4.4)
        self.letters(BODY)
        self.put(written(cell["value"]), width - 3)

    # ---- pictures ---------------------------------------------------------------------------------------------------
    def pictures(self, shown: Sequence[tuple[bytes | str, str]]) -> None:
        """Pictures with what is said of each, two in a row. In the place of one that is not to be had, why not."""
        gap = 6.0
        width = (self.epw - gap) / 2
        for first in range(0, len(shown), 2):
            row = shown[first : first + 2]
            self.letters(SMALL)
            height = max(
                _height(picture, width) + 1.5 + self.height_of(written(words), width) for picture, words in row
            )
            self.keep_together(height)
            top = self.y
            for place, (picture, words) in enumerate(row):
                self.set_xy(LEFT + place * (width + gap), top)
                self._picture(picture, written(words), width)
            self.set_xy(LEFT, top + height)
            self.ln(AFTER + 1)

    def _picture(self, picture: bytes | str, words: str, width: float) -> None:
        left, top, height = self.x, self.y, _height(picture, width)
        if isinstance(picture, bytes):
            self.image(BytesIO(picture), left, top, width, height, keep_aspect_ratio=True)
        else:
            self.set_draw_color(RULE)
            self.rect(left, top, width, height)
            self.letters(SMALL, colour=QUIET)
            self.set_xy(left + 3, top + 3)
            self.put(picture, width - 6)
        self.set_xy(left, top + height + 1.5)
        self.letters(SMALL)
        self.put(words, width)

    def sheet(self, picture: bytes | str, words: str) -> None:
        """A page of a drawing over the whole width, as tall as a page lets it be, and which it is."""
        self.keep_together(_height(picture, self.epw) + 12)
        self._picture(picture, words, self.epw)
        self.ln(AFTER + 1)

    def cover(self, picture: bytes | str, below: float) -> None:
        """The picture of a title page, as tall as what comes below it leaves room for; nothing where it is not had."""
        tall = min(TALLEST, self.h - FOOT - self.y - 8 - below)
        if isinstance(picture, bytes) and tall > SHORTEST:
            self.image(BytesIO(picture), LEFT, self.y, self.epw, tall, keep_aspect_ratio=True)
            self.set_y(self.y + tall + 8)

    def chart(self, chart: Chart | None) -> None:
        """A drawing over the whole width, with what is seen on it in words. Nothing where there is none."""
        if chart is None:
            return
        picture = chart.for_print()
        height = self.epw * _shape(picture)
        self.keep_together(height + 20)
        self.small_heading(chart.title)
        self.image(BytesIO(picture), LEFT, self.y, self.epw, height)
        self.set_y(self.y + height + 1)
        self.paragraph(chart.description, quiet=True, points=SMALL)


def in_rows(cells: Sequence[Cell]) -> list[list[tuple[Cell, int]]]:
    """Cells in rows of four columns, a wide one over two; the last of a row reaches to its end."""
    rows: list[list[tuple[Cell, int]]] = []
    room = 0
    for cell in cells:
        columns = 2 if cell["wide"] else 1
        if columns > room:
            _stretch(rows, room)
            rows.append([])
            room = COLUMNS
        rows[-1].append((cell, columns))
        room -= columns
    _stretch(rows, room)
    return rows


def _stretch(rows: list[list[tuple[Cell, int]]], room: int) -> None:
    if rows and room:
        cell, columns = rows[-1][-1]
        rows[-1][-1] = (cell, columns + room)


def _height(picture: bytes | str, width: float) -> float:
    """How tall a picture stands at a width; 30 mm where there is none."""
    return 30.0 if isinstance(picture, str) else min(TALLEST, width * _shape(picture))


def _shape(picture: bytes) -> float:
    """Height over width."""
    with opened_picture(BytesIO(picture)) as opened:
        return opened.height / opened.width
