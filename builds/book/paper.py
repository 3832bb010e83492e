"""The paper that a build book is printed on: its letters and lines, and what stands on every page.

Lengths are in millimetres and letters in points. Letters are Matplotlib's own, put into the file, so that it looks the
same everywhere and any name can be written; a sign that they lack is a box, and is found and copied as what it is.
"""

import unicodedata
from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime, time
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import cast

import matplotlib
from django.utils.translation import get_language_info
from fpdf import FPDF, FontFace
from fpdf.bidi import BidiParagraph
from fpdf.enums import Align, MethodReturnValue, TableBordersLayout, TextDirection, VAlign
from fpdf.outline import OutlineSection
from matplotlib.ft2font import FT2Font
from PIL import Image

from builds.charts.drawing import BLUE, INK, QUIET, RULE, Chart, legible
from builds.queries.plan.titleblock import Cell

LETTERS = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
LEFT, RIGHT, TOP, FOOT = 22, 18, 20, 18
BODY, SMALL, HEADINGS = 9.5, 8.0, (20.0, 14.0, 11.5)
LINE = 1.38
"""Height of a line, in heights of its letters."""
AFTER = 2.6
"""Below a paragraph, a table or a row of pictures."""
COLUMNS = 4
TALLEST = 105
"""Of a picture, so that two rows stand on a page."""
CONTENTS_LINE = 6.2
NO_LETTER = "□"


class Paper(FPDF):
    """A book that grows from top to bottom, a page at a time. `size` is "a4" or "letter"."""

    def __init__(self, size: str, title: str, day: date, language: str) -> None:
        super().__init__(format=size)
        self.name = written(title)
        # Pages that other pages speak of, by what stands there.
        self.places: dict[int, int] = {}
        self.add_font("book", "", LETTERS / "DejaVuSans.ttf")
        self.add_font("book", "B", LETTERS / "DejaVuSans-Bold.ttf")
        # The bold ones are fewer.
        self.set_fallback_fonts(["book"], exact_match=False)
        self.set_margins(LEFT, TOP, RIGHT)
        self.set_auto_page_break(True, FOOT)
        self.c_margin = 0.0
        self.set_title(self.name)
        self.set_lang(language)
        self.direction = TextDirection.RTL if get_language_info(language)["bidi"] else TextDirection.LTR
        self.set_creator("Swarfbook")
        # The day alone: two books of one day and one record are the same.
        self.set_creation_date(datetime.combine(day, time()).astimezone())
        self.letters()

    def letters(self, points: float = BODY, *, bold: bool = False, colour: str = INK) -> None:
        """Write with these letters from here on."""
        self.set_font("book", "B" if bold else "", points)
        self.set_text_color(colour)

    def header(self) -> None:
        """The name of the book, on every page but the first."""
        if self.page > 1:
            self.letters(SMALL, colour=QUIET)
            self.set_y(10)
            self.cell(self.epw, 5, self.fitted(self.name, self.epw))
            self.set_draw_color(RULE)
            self.line(LEFT, 15.5, self.w - RIGHT, 15.5)
            self.set_y(TOP)

    def footer(self) -> None:
        self.letters(SMALL, colour=QUIET)
        self.set_y(-13)
        self.cell(self.epw, 5, str(self.page), align=Align.R)

    # ---- words ------------------------------------------------------------------------------------------------------
    def height_of(self, words: str, width: float) -> float:
        """How tall the words stand in so wide a column, with the letters of now. Millimetres."""
        how = MethodReturnValue.HEIGHT
        return cast(
            float, self.multi_cell(width, self.font_size * LINE, words, align=Align.L, dry_run=True, output=how)
        )

    @property
    def begun(self) -> bool:
        """Whether something stands on this page already."""
        return self.y > TOP + 0.1

    def keep_together(self, height: float) -> None:
        """Go on to the next page where this one has no room for what comes."""
        if self.begun and self.will_page_break(height):
            self.add_page()

    def put(self, words: str, width: float, *, align: Align = Align.L) -> None:
        """Words at the place of now, in lines of so many millimetres."""
        self.multi_cell(
            width, self.font_size * LINE, self.in_order(words, width), align=align, new_x="LEFT", new_y="NEXT"
        )

    def paragraph(self, words: str, *, quiet: bool = False, points: float = BODY) -> None:
        self.letters(points, colour=QUIET if quiet else INK)
        self.put(written(words), self.epw)
        self.ln(AFTER)

    def heading(self, level: int, title: str) -> None:
        """A heading that stands in the contents as well; one of the first level begins a page."""
        if not self.page or (level == 0 and self.begun):
            self.add_page()
        self.letters(HEADINGS[level], bold=True)
        title = written(title)
        height = self.height_of(title, self.epw)
        self.ln((0, 6, 5)[level] if self.begun else 0)
        self.keep_together(height + (30, 60, 75)[level])
        self.start_section(title, level, strict=False)
        self.put(title, self.epw)
        self.set_draw_color(INK if level < 2 else RULE)
        self.set_line_width((0.7, 0.35, 0.2)[level])
        self.line(LEFT, self.y + 0.8, self.w - RIGHT, self.y + 0.8)
        self.ln(AFTER + 0.8)

    def small_heading(self, title: str) -> None:
        """One that the contents do without."""
        self.keep_together(50)
        self.letters(BODY, bold=True)
        self.put(title, self.epw)
        self.ln(0.8)

    def in_order(self, words: str, width: float) -> str:
        """The words as they are drawn, from left to right: what is read from right to left in lines of its own."""
        if not any(unicodedata.bidirectional(letter) in {"R", "AL"} for letter in words):
            return words
        how = MethodReturnValue.LINES
        lines = cast(list[str], self.multi_cell(width, text=words, align=Align.L, dry_run=True, output=how))
        return "\n".join(BidiParagraph(line, self.direction).get_reordered_string() for line in lines)

    def fitted(self, words: str, width: float) -> str:
        """One line of them, the loss shown."""
        kept = len(words)
        while self.get_string_width(words[:kept] + ("…" if kept < len(words) else "")) > width - 2 * self.c_margin:
            kept -= max(1, (kept - 60) // 2)
        line = words if kept == len(words) else words[:kept].rstrip() + "…"
        return self.in_order(line, width)

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
        rows, width = _in_rows(cells), self.epw / COLUMNS
        self.letters(BODY)
        heights = [max(self.height_of(written(one["value"]), width * of - 3) for one, of in row) + 6.2 for row in rows]
        self.keep_together(sum(heights))
        for row, height in zip(rows, heights, strict=True):
            left, top = float(LEFT), self.y
            for cell, of in row:
                self._fact(cell, left, top, width * of, height)
                left += width * of
            self.set_xy(LEFT, top + height)
        self.ln(AFTER + 1)

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

    def cover(self, picture: bytes | str) -> None:
        """The picture of a title page; nothing where it is not to be had."""
        if isinstance(picture, bytes):
            self.image(BytesIO(picture), LEFT, self.y, self.epw, TALLEST, keep_aspect_ratio=True)
            self.set_y(self.y + TALLEST + 8)

    def chart(self, chart: Chart | None) -> None:
        """A drawing over the whole width, with what is seen on it in words. Nothing where there is none."""
        if chart is None:
            return
        picture = chart.for_print()
        with Image.open(BytesIO(picture)) as drawing:
            height = self.epw * drawing.height / drawing.width
        self.keep_together(height + 20)
        self.small_heading(chart.title)
        self.image(BytesIO(picture), LEFT, self.y, self.epw, height)
        self.set_y(self.y + height + 1)
        self.paragraph(chart.description, quiet=True, points=SMALL)

    # ---- contents ---------------------------------------------------------------------------------------------------
    def reserve_contents(self, title: str, lines: int) -> None:
        """Leave as many pages as the contents will take, each heading on one line."""
        self.add_page()
        room = self.h - TOP - FOOT
        first = int((room - 16) // CONTENTS_LINE)
        pages = 1 + max(0, -(-(lines - first) // int(room // CONTENTS_LINE)))

        self.insert_toc_placeholder(lambda _paper, outline: self._contents(title, outline), pages)

    def _contents(self, title: str, outline: Sequence[OutlineSection]) -> None:
        self.letters(HEADINGS[0], bold=True)
        self.set_xy(LEFT, TOP)
        self.put(title, self.epw)
        self.set_y(TOP + 16)
        for one in outline:
            self.letters(BODY, bold=one.level == 0)
            self.keep_together(CONTENTS_LINE)
            indent, link = 6.0 * one.level, self.add_link(page=one.page_number)
            self.set_x(LEFT + indent)
            words = self.fitted(one.name, self.epw - indent - 16)
            self.cell(self.epw - indent - 14, CONTENTS_LINE, words, link=link)
            self.letters(BODY, colour=BLUE)
            self.cell(14, CONTENTS_LINE, str(one.page_number), align=Align.R, link=link)
            self.set_y(self.y + CONTENTS_LINE)


def written(words: str) -> str:
    """The words line by line, without what can be neither printed nor seen; a box for each sign without a letter."""
    lines = "\n".join(legible(line) for line in words.splitlines()).strip()
    return "".join(sign if ord(sign) in drawable() or sign.isspace() else NO_LETTER for sign in lines)


@cache
def drawable() -> frozenset[int]:
    """The code points of all signs that the book can draw."""
    return frozenset(FT2Font(LETTERS / "DejaVuSans.ttf").get_charmap())


def _in_rows(cells: Sequence[Cell]) -> list[list[tuple[Cell, int]]]:
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
    if isinstance(picture, str):
        return 30.0
    with Image.open(BytesIO(picture)) as opened:
        return min(TALLEST, width * opened.height / opened.width)
