"""The talk sheet: what a demonstrator has at hand when visitors ask.

It tells all, by the functions that tell visitors; what they are not told is marked on the sheet.
"""

from dataclasses import dataclass
from datetime import date

from builds.models import Build, Exhibit
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.finished import FinishedBuild, finished_build
from builds.queries.plan.piece_row import PieceRow, piece_row
from builds.queries.plan.worksheet import sums_sheet
from builds.queries.snapshot import BuildSnapshot, PartRow
from builds.queries.visitors.bench import BenchTold, bench_told, latest_parts
from builds.queries.visitors.counts import CountsTold, counts_told
from builds.queries.visitors.exhibit import exhibit_of
from builds.queries.visitors.hardest import HardestTold, hardest_told
from builds.queries.visitors.hours import HoursTold, hours_told
from builds.queries.visitors.metal import MassesTold, masses_told, materials_in_order
from builds.queries.visitors.way import StepOnTheWay, WayTold, way_told
from calcs.forecast.remark_words import remarks_in_words
from calcs.forecast.words import finish_sentences, hours_left_in_words

# How many parts are named as the biggest, how many more lie on the bench to be shown, how many steps lie ahead, and
# how many sums are set.
BIGGEST, ON_SHOW, AHEAD, SUMS = 5, 2, 4, 3
# Each part asked for sums reads what its own sheet reads, so few are asked.
PARTS_ASKED = 4


@dataclass(frozen=True)
class SumToTry:
    """A sum of a part's worksheet: what is asked, and what it comes to."""

    title: str
    question: str
    answer: str


@dataclass(frozen=True)
class TalkSheet:
    """`biggest` took most hours; `how_it_works` is one sentence each; `sums` have their answers."""

    build_forecast: BuildForecast
    exhibit: Exhibit
    finished: FinishedBuild | None
    hours: HoursTold | None
    biggest: tuple[PartRow, ...]
    counts: CountsTold | None
    masses: MassesTold | None
    materials: tuple[str, ...]
    hardest: HardestTold | None
    bench: BenchTold | None
    on_show: tuple[tuple[PartRow, PieceRow], ...]
    way: WayTold | None
    sums: tuple[SumToTry, ...]

    @property
    def when(self) -> tuple[str, ...]:
        """When it will run and how sure that is, in whole sentences."""
        if self.finished is not None:
            return self.finished.sentences
        state, forecast = self.build_forecast.snapshot.state, self.build_forecast.forecast
        if state.resting:
            return (state.sentence,)
        if forecast.finish_on is None:
            return remarks_in_words(forecast)
        return finish_sentences(forecast.finish_on, forecast.as_of)

    @property
    def ahead(self) -> tuple[StepOnTheWay, ...]:
        """The next steps on the way to the first run."""
        return tuple(step for step in self.way.steps if not step.reached)[:AHEAD] if self.way else ()

    @property
    def hours_left(self) -> str:
        """Bench hours left with their range; empty where nobody knows, or none are."""
        left = self.build_forecast.forecast.hours_left
        return hours_left_in_words(left) if left is not None and left.p90 > 0 else ""

    @property
    def how_it_works(self) -> tuple[str, ...]:
        return tuple(filter(None, map(str.strip, self.exhibit.how_it_works.splitlines())))


def talk_sheet(build: Build, today: date) -> TalkSheet:
    """All that the sheet says. Eleven queries, and those of the sums of a few parts."""
    build_forecast, exhibit = forecast_of(build, today), exhibit_of(build)
    snapshot = build_forecast.snapshot
    biggest, masses = biggest_parts(snapshot.parts), masses_told(snapshot)
    return TalkSheet(
        build_forecast=build_forecast,
        exhibit=exhibit,
        finished=finished_build(snapshot),
        hours=hours_told(snapshot),
        biggest=biggest,
        counts=counts_told(build_forecast),
        masses=masses,
        materials=() if masses else materials_in_order(snapshot.parts),
        hardest=hardest_told(snapshot, scrap=True, hours=True),
        bench=bench_told(snapshot, exhibit, (), scrap=True),
        on_show=pieces_on_show(snapshot),
        way=way_told(build_forecast, dates=True),
        sums=sums_to_try(biggest, today),
    )


def biggest_parts(parts: tuple[PartRow, ...]) -> tuple[PartRow, ...]:
    """The details that took most bench hours, the biggest first; jigs and work on assemblies are no parts to show."""
    worked = [row for row in parts if row.part.is_detail and row.bench_minutes]
    return tuple(sorted(worked, key=lambda row: -row.bench_minutes)[:BIGGEST])


def pieces_on_show(snapshot: BuildSnapshot) -> tuple[tuple[PartRow, PieceRow], ...]:
    """The repeated parts that were worked on before the last one, each with its pieces in a row."""
    before = [row for row in latest_parts(snapshot)[1:] if row.part.quantity_with_spares > 1 and not row.part.is_work]
    return tuple((row, piece_row(row.count, unit_name=row.part.name)) for row in before[:ON_SHOW])


def sums_to_try(parts: tuple[PartRow, ...], today: date) -> tuple[SumToTry, ...]:
    """Sums from the figures of parts that a visitor sees, no two of a kind; each has its answer worked out."""
    found: dict[str, SumToTry] = {}
    for row in parts[:PARTS_ASKED]:
        for one in sums_sheet(row.part, today).sums:
            found.setdefault(one.title, SumToTry(one.title, one.question, one.answer))
        if len(found) >= SUMS:
            break
    return tuple(found.values())[:SUMS]
