"""The first pages: what the book is of, who worked on it, and what the real one was."""

from collections.abc import Iterator

from builds.book.letters import written
from builds.book.page import TOP
from builds.book.paper import Paper, in_rows
from builds.book.pictures import picture_of
from builds.book.section import Section, cell
from builds.charts.drawing import INK, QUIET
from builds.queries.book import BuildBook, Worker
from builds.queries.plan.titleblock import title_block
from builds.templatetags.figures import day, hours_of_minutes
from calcs.messages import _, ngettext


def draw_title_page(paper: Paper, book: BuildBook) -> None:
    build = book.build
    paper.add_page()
    paper.set_y(TOP + 12)
    paper.letters(12, colour=QUIET)
    paper.put(_("Build book"), paper.epw)
    paper.ln(2)
    paper.letters(28 if len(build.name) < 40 else 18, bold=True)
    paper.put(written(build.name), paper.epw)
    paper.ln(1)
    paper.letters(13, colour=INK)
    for words in filter(None, (build.subject, build.scale)):
        paper.put(written(words), paper.epw)
    paper.ln(6)
    block, photos = title_block(book.build_forecast), book.photos.get(None)
    if photos:
        # The newest that shows the whole; below it the title block, and a line for each name.
        below = sum(paper.heights_of(in_rows(block))) + 28 + 8 * len(book.workers)
        paper.cover(picture_of(photos[-1]), below)
    paper.facts(block)
    _draw_workers(paper, book.workers)
    made = _("Made on {day} from revision {n} of the record.", day=day(book.snapshot.as_of), n=build.revision)
    paper.paragraph(made, quiet=True, points=8)


def _draw_workers(paper: Paper, workers: tuple[Worker, ...]) -> None:
    if workers:
        paper.small_heading(_("Who worked on it"), room=20)
        rows = [(one.name or _("no name given"), hours_of_minutes(one.minutes), _span(one)) for one in workers]
        paper.rows((_("Name"), _("Bench hours, all shop time included"), _("Years")), rows, (5, 4, 2), {1, 2})


def _span(worker: Worker) -> str:
    first, last = worker.first.year, worker.last.year
    return str(first) if first == last else f"{first}–{last}"


def sections(book: BuildBook) -> Iterator[Section]:
    yield Section(0, _("What it is"), lambda paper: _draw_what_it_is(paper, book))


def _draw_what_it_is(paper: Paper, book: BuildBook) -> None:
    build, exhibit = book.build, book.exhibit
    for words in (build.for_visitors, exhibit.what_it_did):
        if words:
            paper.paragraph(words)
    sizes = [
        cell(_("Length of the real one"), exhibit.real_length),
        cell(_("Height of the real one"), exhibit.real_height),
        cell(_("Length of the model"), exhibit.model_length),
        cell(_("Height of the model"), exhibit.model_height),
    ]
    paper.facts([one for one in sizes if one["value"]])
    if exhibit.how_it_works:
        paper.small_heading(_("How it works"))
        paper.paragraph(exhibit.how_it_works)
    details = sum(line.part.quantity for line in book.snapshot.parts if line.part.is_detail)
    words = _("{parts}, {pieces} of their own making.", parts=_parts(book), pieces=_pieces(details))
    paper.paragraph(words)


def _parts(book: BuildBook) -> str:
    return ngettext("{n} part in the plan", "{n} parts in the plan", len(book.snapshot.parts))


def _pieces(number: int) -> str:
    return ngettext("{n} piece", "{n} pieces", number)
