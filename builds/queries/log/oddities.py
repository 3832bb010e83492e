"""What is odd about lines that are about to be logged. Nothing is refused for it: whoever logs them is asked once."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from datetime import date
from itertools import groupby

from django.db.models import Max, QuerySet, Sum

from builds.models import Build, Entry
from builds.models.oddity import Oddity, oddity_of
from builds.queries.snapshot import PartRow, PartsAtHand
from calcs.parts.count import find_count_gaps, passed_each
from calcs.parts.plan import OperationPlan

# More than this on one day is asked about: a long Saturday is silent, a clock forgotten overnight is not.
LONG_DAY_MINUTES = 12 * 60
# A day's minutes: what takes longer was not one evening.
DAY_MINUTES = 24 * 60

Found = tuple[Oddity, ...]
Counts = defaultdict[int | None, defaultdict[int | None, tuple[int, int]]]


def oddities_of(
    at_hand: PartsAtHand,
    entries: Sequence[Entry],
    *,
    instead_of: Entry | None = None,
    clock_overnight: bool = False,
) -> tuple[Found, ...]:
    """What is odd about each of some entries that are not saved, given the log as it stands. Two queries, and one more
    where pieces are counted.

    at_hand: the build as of the date by the machine, with the parts that were read of it.
    instead_of: the kept entry whose place the one entry takes.
    clock_overnight: the time is that of a clock that ran past the end of the evening.
    An entry whose token the log has already is a form sent twice, and nothing is odd about it.
    """
    if not entries:
        return ()
    log = _Log(at_hand, entries, instead_of)
    found: dict[int, list[Oddity]] = {id(entry): [] for entry in entries}
    found[id(entries[0])].extend(log.machine())
    for _day, some in groupby(sorted(entries, key=lambda entry: entry.worked_on), lambda entry: entry.worked_on):
        evening = list(some)
        # An evening's lines stand in any order, so each is held against all of them.
        log.take(evening)
        last = {_whose(entry): entry for entry in evening if entry.bench_minutes and not entry.since_on}
        for entry in evening:
            of_time = log.time(entry, last.get(_whose(entry)), clock_overnight)
            found[id(entry)].extend([*log.dates(entry), *of_time, *log.pieces(entry)])
    odd = [entry.token for entry in entries if found[id(entry)]]
    again = (
        set(_kept(at_hand.build, instead_of).filter(token__in=odd).values_list("token", flat=True)) if odd else set()
    )
    return tuple(() if entry.token in again else tuple(found[id(entry)]) for entry in entries)


def still_odd(was: Entry, new: Entry) -> Found:
    """What was odd about an entry when it was logged and cannot be seen in it, as far as an amendment leaves it so."""
    stands = {
        "clock over night": was.bench_minutes == new.bench_minutes,
        "machine behind": was.worked_on == new.worked_on,
    }
    return tuple(one for one in map(oddity_of, was.oddities) if stands.get(one.kind))


class _Log:
    """The log as it stands, as far as some new entries need it, and those of them that were taken in so far."""

    def __init__(self, at_hand: PartsAtHand, entries: Sequence[Entry], instead_of: Entry | None) -> None:
        self.build, self.today = at_hand.build, at_hand.as_of
        kept = _kept(self.build, instead_of)
        self.last_on: date | None = kept.aggregate(last=Max("worked_on"))["last"]
        self.minutes = _minutes_by_day(entries, instead_of)
        counted = {entry.part_id for entry in entries if entry.part_id is not None and (entry.good or entry.scrap)}
        self.parts = {row.part.pk: row for row in at_hand.rows(counted)}
        # Good and scrap, by operation and batch.
        self.counts: Counts = defaultdict(lambda: defaultdict(lambda: (0, 0)))
        if counted:
            logged = kept.filter(part__in=counted).order_by().values_list("operation", "batch")
            for operation, batch, good, scrap in logged.annotate(good_sum=Sum("good"), scrap_sum=Sum("scrap")):
                self.counts[operation][batch] = good, scrap

    def take(self, entries: Sequence[Entry]) -> None:
        for entry in entries:
            good, scrap = self.counts[entry.operation_id][entry.batch_id]
            self.counts[entry.operation_id][entry.batch_id] = good + entry.good, scrap + entry.scrap
            if entry.since_on is None:
                self.minutes[_whose(entry), entry.worked_on] += entry.bench_minutes or 0

    def machine(self) -> Iterator[Oddity]:
        """Said of the first line alone, for it is the same for all."""
        if self.last_on is not None and self.today < self.last_on:
            yield Oddity("machine behind", {"days": (self.last_on - self.today).days})

    def dates(self, entry: Entry) -> Iterator[Oddity]:
        first, began = entry.since_on or entry.worked_on, self.build.started_on
        if began is not None and first < began:
            yield Oddity("before the build", {"days": (began - first).days})

    def time(self, entry: Entry, last: Entry | None, clock_overnight: bool) -> Iterator[Oddity]:
        """last: the last line of the day that adds to it, of whoever worked; the day's sum is said of that one."""
        minutes = entry.bench_minutes or 0
        if clock_overnight:
            yield Oddity("clock over night", {"minutes": minutes})
        if entry.since_on is not None:
            days = (entry.worked_on - entry.since_on).days + 1
            if minutes > days * LONG_DAY_MINUTES:
                yield Oddity("long lump", {"minutes": minutes, "days": days})
            return
        of_the_day = self.minutes[_whose(entry), entry.worked_on]
        if minutes > DAY_MINUTES:
            yield Oddity("one evening", {"minutes": minutes})
        elif of_the_day > LONG_DAY_MINUTES and last is entry:
            yield Oddity("long day", {"minutes": of_the_day})

    def pieces(self, entry: Entry) -> Iterator[Oddity]:
        part = self.parts.get(entry.part_id) if entry.part_id is not None else None
        if part is None or not (entry.good or entry.scrap):
            return
        gap = self._gap(part, entry)
        if gap is not None:
            yield Oddity("more than could reach", {"counted": gap[0], "reached": gap[1]})
        if entry.batch is not None:
            seen, before = self._seen(part, entry), self._seen(part, entry, less=True)
            if seen > max(before, entry.batch.blanks):
                yield Oddity("more than blanks", {"pieces": seen, "blanks": entry.batch.blanks})
        good = sum(good for good, _scrap in self.counts[entry.operation_id].values())
        wanted = part.part.quantity_with_spares
        # Some more than is wanted are made for losses to come: half as many again, or as many as blanks were started.
        if entry.good and good > max(wanted + max(1, wanted // 2), part.plan.blanks_started):
            yield Oddity("more than wanted", {"good": good, "wanted": wanted})

    def _gap(self, part: PartRow, entry: Entry) -> tuple[int, int] | None:
        """Pieces counted at the entry's operation and those that could have reached it, where it makes them more."""
        # What was counted without naming a batch may have been of this one; what is counted here is of it alone.
        here = None if entry.batch_id is None else {entry.batch_id}
        further_up = None if here is None else here | {None}
        route = tuple(
            self._counted(one.plan, here if one.plan.key == entry.operation_id else further_up)
            for one in part.operations
        )
        gaps = (gap for gap in find_count_gaps(route) if gap.key == entry.operation_id)
        return next(((gap.counted, gap.could_have_reached) for gap in gaps), None)

    def _seen(self, part: PartRow, entry: Entry, *, less: bool = False) -> int:
        """Pieces that a batch must have had, by what was counted at all its operations; less: but for this entry."""
        route = [self._counted(one.plan, {entry.batch_id}) for one in part.operations]
        if less:
            route = [
                replace(one, good=one.good - entry.good, scrap=one.scrap - entry.scrap)
                if one.key == entry.operation_id
                else one
                for one in route
            ]
        return passed_each(route)[0] + route[0].scrap if route else 0

    def _counted(self, plan: OperationPlan, batches: AbstractSet[int | None] | None) -> OperationPlan:
        """An operation with what was counted in some batches; None for all."""
        of = self.counts[plan.key]
        counts = [of[batch] for batch in of.keys() & batches] if batches is not None else of.values()
        good, scrap = (sum(some) for some in zip(*counts, strict=True)) if counts else (0, 0)
        return replace(plan, good=good, reworked=0, scrap=scrap)


def _kept(build: Build, instead_of: Entry | None) -> "QuerySet[Entry]":
    kept = Entry.objects.kept().filter(build=build)
    return kept if instead_of is None else kept.exclude(pk=instead_of.pk)


def _whose(entry: Entry) -> int | str | None:
    """Who it is that worked. Somebody who comes with a file has a name and no key yet."""
    return entry.builder_id or (entry.builder.name if entry.builder is not None else None)


def _minutes_by_day(entries: Sequence[Entry], instead_of: Entry | None) -> Counter[tuple[int | str | None, date]]:
    """What each builder of the entries has logged on their days already, whatever it was built. One query."""
    days = [entry.worked_on for entry in entries]
    logged = Entry.objects.kept().filter(since_on=None, worked_on__range=(min(days), max(days)))
    people = {entry.builder_id for entry in entries}
    named = logged.filter(builder__in=people - {None})
    if None in people:
        named = named | logged.filter(builder=None, build=entries[0].build)
    if instead_of is not None:
        named = named.exclude(pk=instead_of.pk)
    summed = named.order_by().values_list("builder", "worked_on").annotate(minutes=Sum("bench_minutes"))
    return Counter({(whose, day): minutes or 0 for whose, day, minutes in summed})
