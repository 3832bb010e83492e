"""The plan, assembly by assembly: each part with its drawing, sizes, route, yields and photos."""

from collections.abc import Iterator, Sequence
from functools import partial

from builds.book.paper import Paper
from builds.book.pictures import caption_of, picture_of
from builds.book.section import Section, cell
from builds.models import Entry, Operation
from builds.queries.book import BuildBook
from builds.queries.plan.build_page import Branch, PlannedPart
from builds.queries.plan.piece_row import piece_row
from builds.queries.plan.titleblock import Cell, part_facts
from builds.queries.repeats.overview import RepeatedPart
from builds.queries.snapshot import OperationRow
from builds.templatetags.figures import day, hours_of_minutes, minutes, percent
from calcs.messages import _, listed


def sections(book: BuildBook) -> Iterator[Section]:
    yield Section(0, _("The plan, assembly by assembly"), _draw_chapter)
    for branch in book.branches:
        yield from _branch(book, branch, "")


def _draw_chapter(paper: Paper) -> None:
    words = _(
        "Planned is what the plan first said for the pieces that were counted at an operation, at the bench alone; "
        "took is what the log says of all work on it."
    )
    paper.paragraph(words, quiet=True)


def _branch(book: BuildBook, branch: Branch, within: str) -> Iterator[Section]:
    """An assembly, its parts, and what nests in it under the names of both."""
    name = f"{within} › {branch.name}" if within else branch.name
    yield Section(1, name, partial(_draw_branch, branch=branch))
    for part in branch.parts:
        yield Section(2, str(part.line.part), partial(_draw_part, book=book, part=part))
    for inner in branch.branches:
        yield from _branch(book, inner, name)


def _draw_branch(paper: Paper, branch: Branch) -> None:
    words = {"parts": branch.counts.words, "hours": hours_of_minutes(branch.minutes_done)}
    paper.paragraph(_("Parts made: {parts}. Bench hours: {hours}.", **words), quiet=True)


def _draw_part(paper: Paper, book: BuildBook, part: PlannedPart) -> None:
    line = part.line
    paper.facts([*part_facts(line), *_more_facts(part)])
    if line.part.for_visitors:
        paper.paragraph(line.part.for_visitors)
    if line.part.note:
        paper.paragraph(line.part.note)
    _point_to_remarks(paper, book, part)
    _draw_sizes(paper, book, part)
    _draw_route(paper, part)
    if not line.part.is_work and line.part.quantity_with_spares > 1:
        paper.paragraph(piece_row(line.count, unit_name=line.part.name).sentence)
    if repeated := book.repeated.get(line.part.pk):
        _draw_yields(paper, repeated)
    _draw_notes(paper, book.notes.get(line.part.pk, ()))
    photos = book.photos.get(line.part.pk, ())
    paper.pictures([(picture_of(photo), caption_of(photo)) for photo in photos])


def _more_facts(part: PlannedPart) -> list[Cell]:
    record = part.line.part
    facts = [
        cell(_("Made"), part.words),
        cell(_("Bench hours"), hours_of_minutes(part.line.bench_minutes)),
        cell(_("Finished"), day(record.finished_on)),
        cell(_("Supplier"), record.supplier),
        cell(_("Revision of the sheet"), record.sheet.revision if record.sheet else ""),
    ]
    return [fact for fact in facts if fact["value"]]


def _point_to_remarks(paper: Paper, book: BuildBook, part: PlannedPart) -> None:
    sheet = part.line.part.sheet
    if sheet is not None and book.remarks.get(sheet.pk):
        words = {"sheet": sheet.number, "page": paper.places[sheet.pk]}
        paper.paragraph(_("The drawing proved wrong in places: see sheet {sheet} on page {page}.", **words))


def _draw_sizes(paper: Paper, book: BuildBook, part: PlannedPart) -> None:
    heads = (_("Size"), _("Full size"), _("As scaled"), _("As made"), _("Deviation"), _("Why"))
    rows = [
        (row.size.name, row.size.full_size, row.scaled, row.size.made, row.departs, row.size.reason or row.message)
        for row in book.sizes.get(part.line.part.pk, ())
    ]
    paper.rows(heads, rows, (2.4, 1.7, 1.7, 1.7, 1.7, 4), {1, 2, 3, 4})


def _draw_route(paper: Paper, part: PlannedPart) -> None:
    steps = [step for step in part.line.operations if not step.operation.kept_for_its_log or step.tally.entries]
    heads = (_("No."), _("Operation"), _("Set-up"), _("For one"), _("Planned"), _("Took"), _("Good"), _("Scrap"))
    rows = [_step(step) for step in steps]
    paper.rows(heads, rows, (0.9, 4.4, 1.5, 1.7, 1.7, 1.7, 1, 1), {2, 3, 4, 5, 6, 7})
    for step in steps:
        if step.operation.note:
            paper.paragraph(f"{step.operation.number}: {step.operation.note}", points=8)
    if elsewhere := part.line.elsewhere.bench_minutes:
        paper.paragraph(_("Without an operation named: {time}.", time=minutes(elsewhere)), quiet=True, points=8)


def _step(step: OperationRow) -> tuple[str, ...]:
    """An operation's row."""
    operation, tally = step.operation, step.tally
    planned = step.plan.bench_minutes_planned(step.plan.counted, max(1, step.plan.setups_done))
    each = operation.minutes_per_piece
    took = minutes(tally.bench_minutes) if tally.entries else "–"
    return (
        str(operation.number),
        _named(operation),
        minutes(operation.setup_minutes) if operation.setup_minutes else "–",
        minutes(each) if each is not None else "–",
        minutes(planned) if planned and step.plan.counted else "–",
        _("{time}, some not known", time=took) if tally.times_unknown else took,
        str(tally.good or "–"),
        str(tally.scrap or "–"),
    )


def _named(operation: Operation) -> str:
    """What is done, and on which machine."""
    kind = str(operation.get_kind_display())
    named = [f"{operation.title} ({kind})" if operation.title else kind]
    return ", ".join([*named, operation.machine.name] if operation.machine else named)


def _draw_yields(paper: Paper, repeated: RepeatedPart) -> None:
    counted = [one for one in repeated.counted if not one.line.operation.never_scraps]
    lossy = [one for one in counted if one.scrap or one.reworked]
    if not lossy:
        return
    heads = (_("Yield at"), _("Tried"), _("Good"), _("Of them reworked"), _("Scrap"), _("Yield"))
    rows = [
        (
            str(one.line.operation),
            str(one.tried),
            str(one.good),
            str(one.reworked),
            str(one.scrap),
            percent(one.after_rework),
        )
        for one in lossy
    ]
    paper.rows(heads, rows, (5, 1.2, 1.2, 1.8, 1.2, 1.4), {1, 2, 3, 4, 5})
    if len(counted) > 1:
        words = {"share": percent(repeated.rolled), "n": len(counted)}
        paper.paragraph(_("Yield through the {n} operations that were counted: {share}.", **words))
    if repeated.reasons:
        reasons = [_("{reason} ({n})", reason=_(reason), n=n) for reason, n in repeated.reasons]
        paper.paragraph(_("Why pieces were scrapped: {reasons}.", reasons=listed(reasons)))


def _draw_notes(paper: Paper, entries: Sequence[Entry]) -> None:
    """What was noted while it was made."""
    if entries:
        paper.small_heading(_("Noted at the bench"))
    for entry in entries:
        name = f", {entry.builder.name}" if entry.builder else ""
        paper.paragraph(f"{day(entry.worked_on)}{name}: {entry.note}", points=8)
