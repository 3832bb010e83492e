"""A page of a build book: its letters and lines, what stands on every page, words, headings and contents.

Lengths are in millimetres and letters in points. Letters are Matplotlib's own, put into the file, so that it looks the
same everywhere: Latin, Greek, Cyrillic, Hebrew and Arabic, and the usual signs. A sign that they lack is a box.
"""

import unicodedata
from collections.abc import Sequence
from datetime import date, datetime, time
from typing import cast

from django.utils.translation import get_language_info
from fpdf import FPDF
from fpdf.bidi import BidiParagraph
from fpdf.enums import Align, MethodReturnValue, TextDirection
from fpdf.outline import OutlineSection

from builds.book.letters import BOLD, REGULAR, joined, written
from builds.charts.drawing import BLUE, INK, QUIET, RULE

LEFT, RIGHT, TOP, FOOT = 22, 18, 20, 18
BODY, SMALL, HEADINGS = 9.5, 8.0, (20.0, 14.0, 11.5)
LINE = 1.38
"""Height of a line, in heights of its letters."""
AFTER = 2.6
"""Below a paragraph, a table or a row of pictures."""
CONTENTS_LINE = 6.2


class Page(FPDF):
    """A book that grows from top to bottom, a page at a time. `size` is "a4" or "letter"."""

    def __init__(self, size: str, title: str, day: date, language: str) -> None:
        super().__init__(format=size)
        self.name = written(title)
        # Pages that other pages speak of, by what stands there.
        self.places: dict[int, int] = {}
        self.add_font("book", "", REGULAR)
        self.add_font("book", "B", BOLD)
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

    def small_heading(self, title: str, room: float = 50) -> None:
        """One that the contents do without. room: millimetres that stay with it on its page."""
        self.keep_together(room)
        self.letters(BODY, bold=True)
        self.put(title, self.epw)
        self.ln(0.8)

    def in_order(self, words: str, width: float) -> str:
        """The words as they are drawn, from left to right: what is read from right to left in lines of its own."""
        if not any(unicodedata.bidirectional(letter) in {"R", "AL"} for letter in words):
            return words
        how = MethodReturnValue.LINES
        lines = cast(list[str], self.multi_cell(width, text=joined(words), align=Align.L, dry_run=True, output=how))
        return "\n".join(BidiParagraph(line, self.direction).get_reordered_string() for line in lines)

    def fitted(self, words: str, width: float) -> str:
        """One line of them, the loss shown."""
        kept = len(words)
        while self.get_string_width(words[:kept] + ("…" if kept < len(words) else "")) > width - 2 * self.c_margin:
            kept -= max(1, (kept - 60) // 2)
        line = words if kept == len(words) else words[:kept].rstrip() + "…"
        return self.in_order(line, width)

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
