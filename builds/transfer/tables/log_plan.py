"""From the rows of a log file to entries of a build: which part, which operation, and which rows are there already."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from itertools import count

from django.core.exceptions import ValidationError
from django.db import transaction

from builds.models import Batch, Build, Builder, Entry, Operation, Part
from builds.models.choices import Activity, EventType, Kind
from builds.models.oddity import Oddity
from builds.queries.log.oddities import oddities_of
from builds.queries.snapshot import PartsAtHand
from builds.services.changes import change, write
from builds.services.log.entries import check_entry
from builds.transfer.complaints import Complaint, known, plain_name, quoted
from builds.transfer.saving import save_all
from builds.transfer.tables.log_file import FileRow, LogFile
from builds.transfer.tables.seen_rows import State
from calcs.messages import _, gettext_noop

# Which column of a file a model's field came from, for complaints.
COLUMN_OF = {"worked_on": "date"}
# What a row says of an entry, and the columns that say it: what has no column in a file stays as it is.
TIMES = ("hours", "minutes", "meter", "start")
SAID_BY = {
    "worked_on": ("date",), "since_on": ("since",), "builder": ("builder",), "part": ("part", "activity"),
    "activity": ("part", "activity"), "operation": ("operation",), "batch": ("batch",), "bench_minutes": TIMES,
    "bench_is": TIMES, "unattended_minutes": ("unattended",), "good": ("good",), "reworked": ("reworked",),
    "scrap": ("scrap",), "scrap_reason": ("reason",), "note": ("note",),
}  # fmt: skip


@dataclass
class Intake:
    """What a file brings that the build does not have yet; nothing of it is saved."""

    entries: list[Entry] = field(default_factory=list)
    # Entries that the build has, with other figures; what differs is said in `states`.
    changed: list[Entry] = field(default_factory=list)
    states: list[tuple[FileRow, State, tuple[str, ...]]] = field(default_factory=list)
    complaints: list[Complaint] = field(default_factory=list)
    again: int = 0
    removed: int = 0
    # Row of the file and what is odd about it, where something is: it is taken in with that as its remark.
    odd: list[tuple[int, Oddity]] = field(default_factory=list)
    new_parts: list[Part] = field(default_factory=list)
    new_operations: list[Operation] = field(default_factory=list)
    new_builders: list[Builder] = field(default_factory=list)


class _Places:
    """The parts of a build with their routes, and those that a file adds."""

    def __init__(self, build: Build, intake: Intake) -> None:
        self.build = build
        self.intake = intake
        parts = list(build.parts.prefetch_related("operations", "batches"))
        self.routes = {part.number: list(part.operations.all()) for part in parts}
        self.by_number = {part.number.casefold(): part for part in parts}
        self.by_name: dict[str, list[Part]] = defaultdict(list)
        for part in parts:
            self.by_name[plain_name(part.name)].append(part)
        self.position = max((part.position for part in parts), default=-1) + 1
        self.log_begun = build.entries.exists()
        self.free_numbers = (str(n) for n in count(len(parts) + 1) if str(n) not in self.by_number)

    def part(self, row: FileRow) -> Part | None:
        """The part that a row is about, a new one where its name is new; None for shop time."""
        if row.activity:
            return None
        wanted = plain_name(row.part)
        if wanted in self.by_number:
            return self.by_number[wanted]
        same = self.by_name.get(wanted, [])
        if len(same) > 1:
            figures = {"name": quoted(row.part), "count": len(same), "known": known([part.number for part in same])}
            raise _Wrong("part", _("{name} is the name of {count} parts: give the number ({known}).", **figures))
        if same:
            return same[0]
        return None if wanted in Activity.values else self._new_part(row)

    def _new_part(self, row: FileRow) -> Part:
        part = Part(build=self.build, number=next(self.free_numbers), name=row.part, position=self.position)
        # In a log that has begun already, the part joins the plan with the first row that speaks of it.
        making = Operation(part=part, number=10, kind=Kind.MAKING, added_on=row.worked_on if self.log_begun else None)
        self.position += 1
        self.by_number[part.number.casefold()] = part
        self.by_name[plain_name(part.name)].append(part)
        self.routes[part.number] = [making]
        self.intake.new_parts.append(part)
        self.intake.new_operations.append(making)
        return part

    def operation(self, row: FileRow, part: Part | None) -> Operation | None:
        if part is None:
            if row.operation:
                raise _Wrong("operation", _("Shop time has no operation."))
            return None
        route = self.routes[part.number]
        if not row.operation:
            return route[0] if len(route) == 1 and not row.mark else None
        wanted = plain_name(row.operation)
        for name in ("number", "title", "kind"):
            same = [o for o in route if plain_name(str(getattr(o, name))) == wanted]
            if len(same) == 1:
                return same[0]
            if same:
                figures = {"name": quoted(row.operation), "count": len(same), "part": part}
                raise _Wrong("operation", _("{name} stands {count} times in the route of {part}.", **figures))
        figures = {"part": part, "route": known(route)}
        raise _Wrong("operation", _("{part} has no such operation. Its route: {route}.", **figures))

    def batch(self, row: FileRow, part: Part | None) -> Batch | None:
        if not row.batch:
            return None
        batches = [] if part is None or part.pk is None else list(part.batches.all())
        found = next((one for one in batches if str(one.number) == row.batch), None)
        if found is None:
            figures = {"batch": quoted(row.batch), "known": known([one.number for one in batches])}
            raise _Wrong("batch", _("There is no batch {batch} of this part. Its batches: {known}.", **figures))
        return found


class _Wrong(ValueError):
    def __init__(self, column: str, sentence: str) -> None:
        self.column = column
        super().__init__(sentence)


def plan_rows(build: Build, file: LogFile, *, by: Builder | None, today: date) -> Intake:
    """Turn rows into entries that are not saved; what does not fit the build is among the complaints."""
    intake = Intake()
    planner = _Planner(intake, file, _Places(build, intake), by, today)
    # The oldest first, so that a new part joins the plan on the first day of work on it.
    for row in sorted(file.rows, key=lambda row: row.worked_on):
        planner.plan(row)
    if not intake.complaints:
        odd = oddities_of(PartsAtHand(build, today), intake.entries)
        for number, entry, found in zip(planner.rows, intake.entries, odd, strict=True):
            entry.oddities = [one.kept() for one in found]
            intake.odd.extend((number, one) for one in found)
    return intake


class _Planner:
    """Finds out row by row what would come of a file."""

    def __init__(self, intake: Intake, file: LogFile, places: _Places, by: Builder | None, today: date) -> None:
        self.intake, self.file, self.places, self.by, self.today = intake, file, places, by, today
        self.there = dict(places.build.entries.values_list("token", "removed_at"))
        marks = {row.mark for row in file.rows if row.mark in self.there}
        kept = (
            places.build.entries.select_related("builder", "part", "operation", "batch")
            if marks
            else Entry.objects.none()
        )
        self.marked = {entry.token: entry for entry in kept if entry.token in marks}
        self.builders = {builder.name.casefold(): builder for builder in Builder.objects.all()}
        self.rows: list[int] = []
        self.seen: dict[str, int] = {}

    def plan(self, row: FileRow) -> None:
        try:
            if row.mark and self.seen.setdefault(row.mark, row.row) != row.row:
                raise _Wrong("mark", _("This mark stands in row {row} already.", row=self.seen[row.mark]))
            state, words = self._state(row)
        except _Wrong as error:
            self.intake.complaints.append(self.file.table.complaint(row.row, error.column, error))
        except ValidationError as error:
            for name, sentences in error.message_dict.items():
                complaint = self.file.table.complaint(row.row, COLUMN_OF.get(name, name), " ".join(sentences))
                self.intake.complaints.append(complaint)
        else:
            self.intake.states.append((row, state, words))

    def _state(self, row: FileRow) -> tuple[State, tuple[str, ...]]:
        if row.token in self.there:
            removed = self.there[row.token] is not None
            words = () if removed or not row.mark else self._changes(row, self.marked[row.token])
            self.intake.again += not words
            self.intake.removed += removed
            return (State.REMOVED if removed else State.CHANGED if words else State.SAME), words
        entry = _entry(row, self.places, self.builders, self.by)
        check_entry(entry, self.today)
        self.intake.entries.append(entry)
        self.rows.append(row.row)
        return State.NEW, ()

    def _changes(self, row: FileRow, entry: Entry) -> tuple[str, ...]:
        """What a row says otherwise than its entry, in words; the entry is given it."""
        said = _entry(row, self.places, self.builders, None)
        columns = self.file.table.places
        words = []
        for name, by_columns in SAID_BY.items():
            before, now = getattr(entry, name), getattr(said, name)
            if any(column in columns for column in by_columns) and _plain(before) != _plain(now):
                setattr(entry, name, now)
                words.append(f"{_(COLUMN_NAMES[name])}: {_shown(before)} → {_shown(now)}")
        if words:
            check_entry(entry, self.today)
            self.intake.changed.append(entry)
        return tuple(words)


# What a change of each is called.
COLUMN_NAMES = {
    "worked_on": gettext_noop("date"), "since_on": gettext_noop("since"), "builder": gettext_noop("builder"),
    "part": gettext_noop("part"), "activity": gettext_noop("shop time"), "operation": gettext_noop("operation"),
    "batch": gettext_noop("batch"), "bench_minutes": gettext_noop("minutes"), "bench_is": gettext_noop("how sure"),
    "unattended_minutes": gettext_noop("unattended minutes"), "good": gettext_noop("good"),
    "reworked": gettext_noop("reworked"), "scrap": gettext_noop("scrap"), "scrap_reason": gettext_noop("reason"),
    "note": gettext_noop("note"),
}  # fmt: skip


def _plain(value: object) -> object:
    """As it is compared: a table carries no white space to speak of."""
    return " ".join(value.split()) if isinstance(value, str) else value


def _shown(value: object) -> str:
    return _("nothing") if value in (None, "") else str(value)[:60]


def _entry(row: FileRow, places: _Places, builders: dict[str, Builder], by: Builder | None) -> Entry:
    part = places.part(row)
    if part is None and (row.good or row.scrap):
        sentence = _("Pieces are counted at a part's operation, not in shop time.")
        raise _Wrong("good" if row.good else "scrap", sentence)
    return Entry(
        build=places.build,
        worked_on=row.worked_on,
        since_on=row.since_on,
        builder=_builder(row, places.intake, builders, by),
        part=part,
        operation=places.operation(row, part),
        activity=(row.activity or plain_name(row.part)) if part is None else "",
        batch=places.batch(row, part),
        bench_minutes=row.time.minutes,
        bench_is=row.time.bench_is,
        unattended_minutes=row.unattended,
        good=row.good,
        reworked=row.reworked,
        scrap=row.scrap,
        scrap_reason=row.reason,
        note=row.note,
        token=row.token,
    )


def _builder(row: FileRow, intake: Intake, builders: dict[str, Builder], by: Builder | None) -> Builder | None:
    if not row.builder:
        return by
    name = " ".join(row.builder.split())
    if name.casefold() not in builders:
        builders[name.casefold()] = Builder(name=name)
        intake.new_builders.append(builders[name.casefold()])
    return builders[name.casefold()]


def save(build: Build, intake: Intake, *, by: Builder | None, name: str) -> None:
    """Write an intake, all or nothing, as one event, each record with the history row that undoing goes by.

    Taking the event back takes the entries back; the new parts that they speak of stay in the plan.
    """
    details: dict[str, object] = {"entries": len(intake.entries), "file": name}
    details |= {"parts": len(intake.new_parts)} if intake.new_parts else {}
    details |= {"changed": len(intake.changed)} if intake.changed else {}
    with transaction.atomic():
        for builder in intake.new_builders:
            builder.save()
        with change(build=build, by=by, type=EventType.IMPORT_LOG, details=details) as event:
            save_all(Part, intake.new_parts, event)
            save_all(Operation, intake.new_operations, event)
            save_all(Entry, intake.entries, event)
            for entry in intake.changed:
                _tie(entry)
                write(entry)


def _tie(entry: Entry) -> None:
    """Give an entry the keys of what was saved only after the two were tied."""
    entry.part, entry.operation, entry.builder = entry.part, entry.operation, entry.builder
