"""What visitors are told of a build: the one place that the board and everything that hangs from it reads.

What a build does not show is not among the facts, so no page can tell it by an oversight.
"""

from dataclasses import dataclass
from datetime import date

from builds.models import Build, Builder, Entry, Exhibit, Photo, Shop
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.visitors import headings
from builds.queries.visitors.bench import BenchTold, bench_told, latest_parts
from builds.queries.visitors.counts import CountsTold, counts_told
from builds.queries.visitors.exhibit import exhibit_of, photos_for_visitors
from builds.queries.visitors.hardest import HardestTold, hardest_told
from builds.queries.visitors.hours import FinishedTold, HoursTold, finished_told, hours_told
from builds.queries.visitors.metal import BlockTold, MassesTold, block_told, masses_told, materials_in_order
from builds.queries.visitors.sizes import Sizes, sizes_of
from builds.queries.visitors.way import WayTold, way_told
from calcs.messages import _, listed, ngettext

MOST_PHOTOS = 4


@dataclass(frozen=True)
class Facts:
    """Each fact is None or empty where there is nothing to say, or where visitors are not told of it.

    `build` gives its name, scale, subject and word for visitors. `materials` stand where no mass is known.
    """

    build: Build
    as_of: date
    what_it_did: str
    how_it_works: tuple[str, ...]
    sizes: Sizes
    hours: HoursTold | None
    finished: FinishedTold | None
    counts: CountsTold | None
    bench: BenchTold | None
    block: BlockTold | None
    hardest: HardestTold | None
    masses: MassesTold | None
    materials: tuple[str, ...]
    photos: tuple[Photo, ...]
    way: WayTold | None
    people: tuple[str, ...]
    resting: bool
    seconds_a_panel: int
    headings: dict[str, str]

    @property
    def panels(self) -> tuple[str, ...]:
        """The keys of the panels that have something to say, in their order; one at least."""
        says = {
            "size": self.sizes.known or bool(self.build.subject or self.build.for_visitors or self.what_it_did),
            "hours": self.hours is not None and self.finished is None,
            "finished": self.finished is not None,
            "counts": self.counts is not None,
            "bench": self.bench is not None and self.finished is None,
            "chips": self.block is not None,
            "hardest": self.hardest is not None,
            "masses": self.masses is not None or bool(self.materials),
            "photos": bool(self.photos),
            "way": self.way is not None,
            "people": bool(self.people),
        }
        return tuple(key for key in headings.PANELS if says[key]) or ("size",)

    @property
    def people_words(self) -> str:
        return listed(self.people)

    @property
    def materials_words(self) -> str:
        """The materials as a list in a sentence."""
        told = [name[:1].lower() + name[1:] if name[1:2].islower() else name for name in self.materials]
        return listed(told)

    @property
    def times_smaller(self) -> str:
        """Such as "The model is 6 times smaller than the real one."; empty where no scale is known."""
        times = self.sizes.times
        if times is None or round(times) < 2:
            return ""
        return ngettext(
            "The model is {n} time smaller than the real one.",
            "The model is {n} times smaller than the real one.",
            round(times),
        )

    @property
    def standing(self) -> str:
        """How it stands, in a line: that it is finished, rests, or goes on."""
        if self.finished is not None:
            return self.finished.when
        return _("Work on it rests") if self.resting else ""


def facts_of(build: Build, today: date) -> Facts:
    """The facts of a build. Thirteen queries, one more for the names where they are shown; of a finished one some more,
    once a revision and day.
    """
    exhibit = exhibit_of(build)
    build_forecast = forecast_of(build, today)
    snapshot = build_forecast.snapshot
    hours = hours_told(snapshot) if exhibit.hours_shown else None
    photos = tuple(photos_for_visitors(exhibit))
    masses = masses_told(snapshot)
    latest = latest_parts(snapshot)
    own = Shop.the_one().headings
    return Facts(
        build=build,
        as_of=snapshot.as_of,
        what_it_did=exhibit.what_it_did,
        how_it_works=tuple(filter(None, (line.strip() for line in exhibit.how_it_works.splitlines()))),
        sizes=sizes_of(build, exhibit),
        hours=hours,
        finished=finished_told(snapshot, hours, dates=build.date_on_board),
        counts=counts_told(build_forecast),
        bench=bench_told(snapshot, exhibit, photos, scrap=exhibit.scrap_shown),
        block=block_told(snapshot, latest[0] if latest else None),
        hardest=hardest_told(snapshot, scrap=exhibit.scrap_shown, hours=exhibit.hours_shown),
        masses=masses,
        materials=() if masses else materials_in_order(snapshot.parts),
        photos=photos[:MOST_PHOTOS],
        way=way_told(build_forecast, dates=build.date_on_board),
        people=_people(exhibit),
        resting=snapshot.state.resting,
        seconds_a_panel=exhibit.seconds_a_panel,
        headings={key: headings.heading(key, own) for key in headings.PANELS},
    )


def _people(exhibit: Exhibit) -> tuple[str, ...]:
    """Who stands in the log, where they are shown. One query."""
    if not exhibit.names_shown:
        return ()
    logged = Entry.objects.kept().filter(build=exhibit.build).values("builder")
    return tuple(Builder.objects.filter(pk__in=logged).values_list("name", flat=True))
