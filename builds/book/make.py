"""Making a book, a section a step, so that whoever waits sees how far it is and other work goes on between."""

import logging
from collections.abc import Iterator
from datetime import date
from itertools import chain
from pathlib import Path

from django.utils.translation import get_language

from builds.book import back, course, front, parts
from builds.book.paper import Paper
from builds.book.section import Section
from builds.models import Build
from builds.queries.book import BuildBook, read_book
from builds.queries.forecast.replay import Progress
from builds.queries.forecast.replay_work import month_by_month
from builds.services.disk import write_whole
from calcs.messages import _

# Signs that the letters lack are drawn as boxes, which is no news to whoever keeps the server.
for _talks in ("fpdf", "fontTools"):
    logging.getLogger(_talks).setLevel(logging.ERROR)


def make_book(build: Build, today: date, size: str, file: Path) -> Iterator[Progress]:
    """Write the book of a build to a file, in the language spoken now. size: "a4" or "letter". Raises OSError.

    Past months that are not worked out yet come first, a step each; then the sections; then the file.
    """
    months = 0
    for month in month_by_month(build, today):
        months = month.wanted
        yield month
    book = read_book(build, today)
    sections = sections_of(book)
    paper = Paper(size, _("Build book: {build}", build=build.name), today, get_language() or "en")
    front.draw_title_page(paper, book)
    paper.reserve_contents(_("Contents"), len(sections))
    for number, section in enumerate(sections, start=1):
        paper.heading(section.level, section.title)
        section.draw(paper)
        yield Progress(months + number, months + len(sections) + 1)
    write_whole(file, bytes(paper.output()))


def sections_of(book: BuildBook) -> tuple[Section, ...]:
    """All that stands in the contents, in the order of the book."""
    chapters = (front.sections, course.sections, back.drawings, parts.sections, back.photos, back.words)
    return tuple(chain.from_iterable(chapter(book) for chapter in chapters))
