"""The drawings with what they said wrongly, the photos of the whole, and the words that the book uses."""

from collections.abc import Iterator

from builds.book.paper import Paper
from builds.book.pictures import caption_of, picture_of, scan_of
from builds.book.section import Section
from builds.models import Sheet
from builds.queries.book import BuildBook
from builds.templatetags.figures import day
from calcs.messages import _, gettext_noop, ngettext

WORDS = (
    (gettext_noop("Yield"), gettext_noop("Good pieces out of all that were tried: good ÷ (good + scrap).")),
    (gettext_noop("Scrap"), gettext_noop("Pieces that were lost: none of them came into the build.")),
    (gettext_noop("Reworked"), gettext_noop("Good pieces that passed only after being put right.")),
    (gettext_noop("Spare"), gettext_noop("A good piece more than the build needs.")),
    (gettext_noop("Set-up"), gettext_noop("Time before the first piece: the machine, the work-holding, the tool.")),
    (
        gettext_noop("Bench hours"),
        gettext_noop("Hours somebody stood at the work; a machine that runs alone is not in."),
    ),
    (gettext_noop("Blank"), gettext_noop("The piece of stock or the casting that a part is made from.")),
    (gettext_noop("As scaled"), gettext_noop("The full size of the real one, divided by the build’s scale.")),
    (gettext_noop("Even chance"), gettext_noop("1 chance in 2: as easily sooner as later.")),
)


def drawings(book: BuildBook) -> Iterator[Section]:
    if book.sheets:
        yield Section(0, _("The drawings"), lambda paper: _draw_sheets(paper, book))


def _draw_sheets(paper: Paper, book: BuildBook) -> None:
    parts: dict[int, list[str]] = {}
    for line in book.snapshot.parts:
        if line.part.sheet_id is not None:
            parts.setdefault(line.part.sheet_id, []).append(line.part.number)
    heads = (_("Sheet"), _("Title"), _("Revision"), _("Parts"))
    rows = [(one.number, one.title, one.revision, ", ".join(parts.get(one.pk, ()))) for one in book.sheets]
    paper.rows(heads, rows, (1.3, 4, 1.3, 4))
    for sheet in book.sheets:
        if sheet.pk in book.remarks:
            _draw_remarks(paper, book, sheet)
        scan = book.scans.get(sheet.pk)
        for page in range(1, scan.pages + 1) if scan else ():
            paper.sheet(scan_of(scan, page), _("Sheet {sheet}, page {page}", sheet=sheet, page=page))


def _draw_remarks(paper: Paper, book: BuildBook, sheet: Sheet) -> None:
    paper.small_heading(_("Remarks on sheet {sheet}", sheet=sheet))
    paper.places[sheet.pk] = paper.page
    heads = (_("The drawing says"), _("We made"), _("Noted on"))
    rows = [(one.drawing_says, one.we_made, day(one.noted_on)) for one in book.remarks[sheet.pk]]
    paper.rows(heads, rows, (4, 4, 1.6))


def photos(book: BuildBook) -> Iterator[Section]:
    shown = book.photos.get(None, ())
    if shown:
        title = ngettext("{n} photo of the whole", "{n} photos of the whole", len(shown))
        yield Section(0, title, lambda paper: paper.pictures([(picture_of(one), caption_of(one)) for one in shown]))


def words(_book: BuildBook) -> Iterator[Section]:
    rows = [(_(word), _(meaning)) for word, meaning in WORDS]
    yield Section(0, _("Words"), lambda paper: paper.rows((_("Word"), _("What it means here")), rows, (1.6, 6)))
