"""The bench page: what was worked on last, what comes next, the running clock."""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.db.models import Exists, OuterRef, Q, Sum

from builds.models import Build, Builder, Clock, Entry, Operation, Part
from builds.models.choices import TimeIs
from builds.queries.forecast.build_forecast import forecast_of, kept_forecast, left_of
from builds.queries.log.evenings import PastEvening, evenings_before
from builds.queries.plan.build_state import state_on
from builds.queries.plan.piece_row import PieceRow, piece_row
from builds.queries.snapshot import PartRow, PartsAtHand, read_parts
from calcs.forecast.result import PartForecast, Spread
from calcs.messages import _, listed, ngettext
from calcs.parts.remaining import nothing_left

# Part and operation of entries.
Worked = list[tuple[int, int | None]]

# Entries that the picks are looked for in, and those whose reasons for scrap are offered.
LATELY = 60
REASONS_OF = 500
# Longer ones are no usual evening (a judgement).
LONGEST_USUAL = 8 * 60
# Lengths of an evening that are offered with one touch, where the log tells no others.
USUAL_MINUTES = (30, 60, 90, 120, 150, 180)
# As many as stand on a phone with all of a usual evening, so that nothing of it wants a scroll.
MOST_PICKS = 3
# Parts that are listed at once in a large build.
MOST_NEAR = 6


@dataclass(frozen=True)
class Pick:
    """Something that may be on the bench tonight: an operation of a part, or the part where it has none."""

    line: PartRow
    operation: Operation | None

    @property
    def value(self) -> str:
        """How the form names it."""
        return f"o{self.operation.pk}" if self.operation is not None else f"p{self.line.part.pk}"

    @property
    def left(self) -> int | None:
        """Good pieces still to pass this operation, spares among them; None where there is no operation."""
        for row, to_pass in zip(self.line.operations, self.line.to_pass, strict=True):
            if row.operation == self.operation:
                return to_pass
        return None

    @property
    def ahead(self) -> list[tuple[Operation, int]]:
        """The operations of its part that pieces have still to pass, and how many."""
        to_pass = zip(self.line.operations, self.line.to_pass, strict=True)
        return [(row.operation, number) for row, number in to_pass if number]


@dataclass(frozen=True)
class Bench:
    """The bench of a builder. Each thing is read when it is asked for, and of the build only what was on it lately.

    evening: the day that is offered for logging, which after midnight is still the day before.
    wanted: the key of a part that comes first, whatever was used last; at: of its operation that is meant, where it is
    not the next one.
    """

    build: Build
    builder: Builder | None
    today: date
    evening: date
    wanted: int | None = None
    at: int | None = None

    @cached_property
    def _last(self) -> Worked:
        return work_lately(self.build, self.today)

    @cached_property
    def at_hand(self) -> PartsAtHand:
        """The parts that were read for it."""
        return PartsAtHand(self.build, self.today)

    @cached_property
    def picks(self) -> tuple[Pick, ...]:
        """The last used first."""
        return likely_picks(self.at_hand, self.wanted, self.at, last=self._last)

    @cached_property
    def near(self) -> tuple[int, ...]:
        """Keys of the parts that are listed at once in a large build."""
        keys = [*(pick.line.part.pk for pick in self.picks), *(part for part, _ in self._last)]
        return tuple(dict.fromkeys(keys))[:MOST_NEAR]

    @cached_property
    def usual_minutes(self) -> tuple[int, ...]:
        """The lengths of this builder's evenings, to be picked with one touch."""
        return usual_minutes(self.build, self.builder)

    @cached_property
    def _clock(self) -> Clock | None:
        clocks = Clock.objects.select_related("build", "part", "operation", "operation__part")
        return clocks.filter(builder=self.builder).first() if self.builder is not None else None

    @property
    def told(self) -> str:
        """That the build is finished or rests; empty while it is under way."""
        return state_on(self.build, self.today).sentence

    @property
    def clock(self) -> Clock | None:
        return self._clock if self._clock is not None and self._clock.build_id == self.build.pk else None

    @property
    def clock_elsewhere(self) -> Clock | None:
        return None if self.clock is not None else self._clock

    @cached_property
    def today_entries(self) -> tuple[Entry, ...]:
        entries = Entry.objects.kept().filter(build=self.build, worked_on=self.evening)
        return tuple(entries.select_related("part", "operation", "builder"))

    @cached_property
    def evenings_before(self) -> tuple[PastEvening, ...]:
        return evenings_before(self.build, self.evening)


def bench_of(
    build: Build,
    builder: Builder | None,
    today: date,
    wanted: int | None = None,
    evening: date | None = None,
    at: int | None = None,
) -> Bench:
    """The bench; `evening` is today unless it is said."""
    return Bench(build, builder, today, evening or today, wanted, at)


def likely_picks(
    at_hand: PartsAtHand,
    wanted: int | None = None,
    at: int | None = None,
    most: int = MOST_PICKS,
    last: Worked | None = None,
) -> tuple[Pick, ...]:
    """What is likely on the bench: the operations logged last while they have pieces left, then what comes next.

    wanted, at: part and operation that come first, if any of it is left.
    """
    last = work_lately(at_hand.build, at_hand.as_of) if last is None else last
    lately = list(dict.fromkeys(part for part, _ in last))
    picks: dict[str, Pick] = {}

    def offer(line: PartRow, operation: Operation | None) -> None:
        pick = Pick(line, operation)
        if len(picks) < most and not line.quantity_made and pick.left != 0:
            picks.setdefault(pick.value, pick)

    if (line := at_hand.row(wanted, lately)) is not None:
        meant = [pick for one in line.operations if (pick := Pick(line, one.operation)).left and one.operation.pk == at]
        # What was asked for, spares too.
        picks |= {pick.value: pick for pick in meant}
        offer(line, line.next_operation)
    for part_id, operation_id in last:
        if len(picks) >= most:
            break
        if (line := at_hand.row(part_id, lately)) is not None:
            offer(line, next((o.operation for o in line.operations if o.operation.pk == operation_id), None))
            offer(line, line.next_operation)
    for line in _not_begun(at_hand) if len(picks) < most else ():
        if not line.plan.waiting and not nothing_left(line.plan):
            offer(line, line.next_operation)
        if len(picks) >= most:
            break
    return tuple(picks.values())


def build_last_logged(builder: Builder) -> Build | None:
    """The build that the builder's newest entry is of, or anybody's where the builder has none."""
    entries = Entry.objects.kept().order_by("-pk").select_related("build")
    newest = entries.filter(builder=builder).first() or entries.first()
    return newest.build if newest else None


def work_lately(build: Build, today: date) -> Worked:
    """Part and operation of the last entries, the newest first. One query."""
    entries = Entry.objects.kept().filter(build=build, part__isnull=False, worked_on__lte=today)
    return list(entries.order_by("-worked_on", "-pk").values_list("part_id", "operation_id")[:LATELY])


def usual_minutes(build: Build, builder: Builder | None) -> tuple[int, ...]:
    """The times that a builder logged most often lately, to a quarter of an hour, shortest first. One query.

    As many as `USUAL_MINUTES`, which stand in where the log tells fewer.
    """
    timed = Entry.objects.kept().filter(build=build, builder=builder, bench_is=TimeIs.EXACT, since_on__isnull=True)
    times = timed.order_by("-worked_on", "-pk").values_list("bench_minutes", flat=True)[:LATELY]
    quarters = Counter(15 * round(minutes / 15) for minutes in times if minutes and minutes <= LONGEST_USUAL)
    often = [minutes for minutes, times in quarters.most_common() if minutes and times > 1]
    return tuple(sorted(list(dict.fromkeys([*often, *USUAL_MINUTES]))[: len(USUAL_MINUTES)]))


def _not_begun(at_hand: PartsAtHand) -> Iterator[PartRow]:
    """The parts on which nothing was logged, as the plan has them, read in portions: the first few mostly do."""
    begun = Exists(Entry.objects.kept().filter(part=OuterRef("pk"), worked_on__lte=at_hand.as_of))
    parts = Part.objects.filter(~begun, build=at_hand.build).order_by("position", "pk").values_list("pk", flat=True)
    first, portion = 0, 4
    while keys := list(parts[first : first + portion]):
        yield from at_hand.rows(keys)
        first, portion = first + portion, portion * 4


def headline_minutes(build: Build, as_of: date, without: Collection[str] = ()) -> int:
    """Bench minutes that count in the build's headline up to a day. One query. without: tokens of entries left out."""
    counts = Q(activity="") | Q(activity__in=build.counted)
    entries = Entry.objects.kept().filter(counts, build=build, worked_on__lte=as_of).exclude(token__in=without)
    return entries.aggregate(total=Sum("bench_minutes"))["total"] or 0


def reasons_lately(build: Build, today: date) -> list[str]:
    """Why pieces were scrapped, as the last entries tell it, the newest first. One query."""
    entries = Entry.objects.kept().filter(build=build, worked_on__lte=today).order_by("-worked_on", "-pk")
    return list(
        dict.fromkeys(reason for reason in entries.values_list("scrap_reason", flat=True)[:REASONS_OF] if reason)
    )


@dataclass(frozen=True)
class AfterLogging:
    """What is left of a part once an entry is in."""

    line: PartRow
    forecast: PartForecast | None

    @property
    def hours_left(self) -> Spread | None:
        """Bench hours left; None where there is no figure."""
        return left_of(self.forecast)

    @property
    def standing(self) -> str:
        """At which operations the pieces in work stand, as a sentence; empty where none are."""
        waiting = zip(self.line.operations[1:], self.line.count.standing[1:], strict=True)
        told = [
            ngettext("{n} waits for {operation}", "{n} wait for {operation}", number, operation=row.operation)
            for row, number in waiting
            if number
        ]
        return _("{pieces}.", pieces=listed(told)) if told else ""

    @property
    def row(self) -> PieceRow:
        return piece_row(self.line.count, unit_name=self.line.part.name)


@dataclass(frozen=True)
class After:
    """What an evening brought. `pending`: what is left is being worked out, and can be asked for again."""

    parts: tuple[AfterLogging, ...]
    pending: bool = False
    entries: tuple[Entry, ...] = ()

    @property
    def minutes(self) -> int:
        return sum(entry.bench_minutes or 0 for entry in self.entries)


def after_logging(
    build: Build, today: date, part_ids: list[int], entry_ids: Sequence[int] = (), *, wait: bool = False
) -> After:
    """The entries just logged, and what is left of their parts: counts at once, hours where they are known already.

    wait: work the hours out where they are not.
    """
    kept = Entry.objects.kept().filter(build=build, pk__in=entry_ids).select_related("part", "operation")
    entries = tuple(kept.order_by("worked_on", "pk")) if entry_ids else ()
    keys = list(dict.fromkeys(part_ids))
    if not keys:
        return After((), entries=entries)
    rows = read_parts(build, today, keys, bare=True).by_part
    found = kept_forecast(build, today) or (forecast_of(build, today).forecast if wait else None)
    by_part = {part.key: part for part in found.parts} if found is not None else {}
    return After(tuple(AfterLogging(rows[pk], by_part.get(pk)) for pk in keys if pk in rows), found is None, entries)
