"""How the build went: the years, where the hours went, the milestones, and what had been forecast."""

from collections.abc import Iterator

from builds.book.paper import Paper
from builds.book.section import Section
from builds.charts.forecast.hours_by_assembly import hours_by_assembly
from builds.charts.forecast.hours_over_time import hours_over_time
from builds.charts.forecast.replay import finish_over_time, hours_foreseen
from builds.models import Milestone
from builds.models.choices import Activity
from builds.queries.book import BuildBook
from builds.queries.forecast.finished import span_in_words
from builds.queries.forecast.replay import Replay
from builds.templatetags.figures import day, hours, hours_of_minutes, percent
from calcs.forecast.words import hours_left_in_words, period_of
from calcs.messages import _, ngettext


def sections(book: BuildBook) -> Iterator[Section]:
    yield Section(0, _("How it went"), lambda paper: _draw_years(paper, book))
    if book.snapshot.milestones:
        yield Section(1, _("Milestones"), lambda paper: _draw_milestones(paper, book))
    yield Section(1, _("What was forecast"), lambda paper: _draw_forecast(paper, book))
    yield Section(0, _("Where the hours went"), lambda paper: _draw_hours(paper, book))
    yield Section(1, _("Hours by part"), lambda paper: _draw_parts(paper, book))


def _draw_years(paper: Paper, book: BuildBook) -> None:
    for words in _told(book):
        paper.paragraph(words)
    heads = (_("Year"), _("Bench hours"), _("Days with work"), _("Pieces scrapped"))
    rows = [(str(one.year), hours(one.hours), str(one.days), str(one.scrap)) for one in book.years]
    paper.rows(heads, rows, (1, 1, 1, 1), {1, 2, 3})
    paper.chart(hours_over_time(book.build_forecast))


def _told(book: BuildBook) -> tuple[str, ...]:
    """How long it took, or has taken so far."""
    if book.finished is not None:
        return (book.finished.when, book.finished.took)
    snapshot = book.snapshot
    began = snapshot.build_plan().started_on
    if began is None or began > snapshot.as_of:
        return (_("Nothing is logged yet."),)
    words = {"hours": hours_of_minutes(snapshot.headline_minutes), "time": span_in_words(began, snapshot.as_of)}
    return (_("{hours} at the bench in {time}, and it is not finished.", **words),)


def _draw_milestones(paper: Paper, book: BuildBook) -> None:
    rows = [(one.name, _reached(one, book)) for one in book.snapshot.milestones]
    paper.rows((_("Milestone"), _("Reached")), rows, (3, 2))


def _reached(milestone: Milestone, book: BuildBook) -> str:
    """The day it was reached, or the even chance of one that lies ahead."""
    as_of = book.snapshot.as_of
    if milestone not in book.snapshot.open_milestones:
        return day(milestone.reached_on)
    ahead = next((one for one in book.build_forecast.milestones if one.key == milestone.pk), None)
    if ahead is None or ahead.finish_on is None or ahead.finish_on.p50 is None or book.snapshot.state.resting:
        return _("not yet")
    return _("not yet; even chance by {period}", period=period_of(ahead.finish_on.p50, as_of).end)


def _draw_forecast(paper: Paper, book: BuildBook) -> None:
    if book.finished is not None:
        paper.paragraph(book.finished.had_been_said or _("No forecast named a date while it was under way."))
    else:
        left = book.build_forecast.forecast.hours_left
        paper.paragraph(
            _("Hours left: {hours}.", hours=hours_left_in_words(left))
            if left
            else _("What is left is not known: the plan has no figures yet.")
        )
    replay = book.replay
    if replay is not None:
        for words in _held(replay):
            paper.paragraph(words)
        paper.chart(finish_over_time(replay))
        paper.chart(hours_foreseen(replay))


def _held(replay: Replay) -> Iterator[str]:
    """How often past ranges held, in sentences."""
    held, months = replay.months_held
    if months:
        yield _("Every range was meant to hold with 4 chances in 5.")
        yield ngettext(
            "Of {n} month’s forecast, the parts finished within the year after took the hours foreseen in {held}.",
            "Of {n} months’ forecasts, the parts finished within the year after took the hours foreseen in {held}.",
            months,
            held=held,
        )
    share, parts = replay.parts_held
    if parts:
        words = "Part by part, {share} of the ranges held, over {n} part."
        yield ngettext(words, "Part by part, {share} of the ranges held, over {n} parts.", parts, share=percent(share))
    for one in replay.milestones_held:
        yield _(
            "{milestone} was reached on {day}; {held} of {all} months before it had that day in their range.",
            milestone=one.name,
            day=day(one.reached_on),
            held=one.held,
            all=one.of,
        )


def _draw_hours(paper: Paper, book: BuildBook) -> None:
    paper.chart(hours_by_assembly(book.branches))
    rows = [(one.name, one.counts.words, hours_of_minutes(one.minutes_done)) for one in book.branches]
    paper.rows((_("Assembly"), _("Parts made"), _("Bench hours")), rows, (3, 3, 1.2), {2})
    kinds = [(kind or _("no operation named"), hours_of_minutes(n)) for kind, n in book.minutes_by_kind]
    paper.rows((_("Work on parts, by kind of operation"), _("Bench hours")), kinds, (4, 1.4), {1}, share=0.6)
    paper.rows((_("Shop time that stands with no part"), _("Bench hours")), _shop_time(book), (4, 1.4), {1}, share=0.6)
    account = book.snapshot.account
    words = {"parts": hours_of_minutes(account.parts), "all": hours_of_minutes(account.headline)}
    paper.paragraph(_("At the parts {parts}; with the shop time that counts {all} in all.", **words))


def _shop_time(book: BuildBook) -> Iterator[tuple[str, str]]:
    account = book.snapshot.account
    for name in Activity.values:
        label = str(Activity(name).label)
        if name in account.shop_time:
            yield label, hours_of_minutes(account.shop_time[name])
        if name in account.uncounted:
            words = _("{activity} (not counted in the build’s hours)", activity=label)
            yield words, hours_of_minutes(account.uncounted[name])


def _draw_parts(paper: Paper, book: BuildBook) -> None:
    heads = (_("Item"), _("Part"), _("Made"), _("Planned"), _("Took"))
    rows = [
        (
            part.line.part.number,
            part.line.part.name,
            part.words,
            _planned(book, part.line.part.pk),
            hours_of_minutes(part.line.bench_minutes) if part.line.begun else "–",
        )
        for branch in book.branches
        for part in branch.all_parts
    ]
    paper.rows(heads, rows, (1.6, 5, 2, 1.5, 1.5), {3, 4})
    words = _("Planned is what the plan says for those pieces alone that were counted with a time.")
    paper.paragraph(words, quiet=True, points=8)


def _planned(book: BuildBook, part: int) -> str:
    return hours(book.planned_hours[part]) if part in book.planned_hours else "–"
